#ifndef TAREWISE_PACKING_INTERNAL_FILL_SPACES_H_
#define TAREWISE_PACKING_INTERNAL_FILL_SPACES_H_

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <vector>

#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

// All of them, or one: without a jump for each, which here would be guessed wrongly half of the time.
template <typename... Tests>
constexpr bool Every(Tests... tests) {
  return (static_cast<unsigned>(tests) & ...) != 0;
}
template <typename... Tests>
constexpr bool Some(Tests... tests) {
  return (static_cast<unsigned>(tests) | ...) != 0;
}

/// A box in the room, in steps of the grid.
struct FillBox {
  std::array<std::int32_t, 3> low = {};
  std::array<std::int32_t, 3> high = {};

  std::int32_t Side(std::size_t axis) const { return high[axis] - low[axis]; }
  std::int64_t Volume() const { return std::int64_t{Side(0)} * Side(1) * Side(2); }
  bool Meets(const FillBox& other) const {
    return Every(low[0] < other.high[0], other.low[0] < high[0], low[1] < other.high[1], other.low[1] < high[1],
                 low[2] < other.high[2], other.low[2] < high[2]);
  }
  bool Holds(const FillBox& other) const {
    return Every(low[0] <= other.low[0], other.high[0] <= high[0], low[1] <= other.low[1], other.high[1] <= high[1],
                 low[2] <= other.low[2], other.high[2] <= high[2]);
  }
};

/// What `FillSpaces::Take` works with, kept from call to call.
struct FillScratch {
  // A side of the box that is taken: what remains there of the spaces it meets, and the spaces that end at it. Only
  // these can hold what remains there: it runs along the box, and so no space at another side holds it.
  struct Side {
    std::vector<FillBox> pieces;
    std::vector<FillBox> beside;
  };

  std::array<Side, 6> sides;
};

/// What is free in a room: every box that is free and cannot grow. They overlap.
class FillSpaces {
 public:
  const std::vector<FillBox>& all() const { return spaces_; }
  bool empty() const { return spaces_.empty(); }

  void Reset(const FillBox& room) { spaces_.assign(1, room); }

  /// Nothing that is left goes into this space.
  void Drop(std::size_t index) {
    spaces_[index] = spaces_.back();
    spaces_.pop_back();
  }

  /// Takes `box` out of what is free. Spaces that are shorter than `least` along an axis are forgotten.
  void Take(const FillBox& box, const std::array<std::int32_t, 3>& least, FillScratch& scratch) {
    for (FillScratch::Side& side : scratch.sides) {
      side.pieces.clear();
      side.beside.clear();
    }
    std::size_t kept = 0;
    for (const FillBox& space : spaces_) {
      if (space.Meets(box)) {
        Split(space, box, least, scratch);
        continue;
      }
      for (std::size_t axis = 0; axis < 3; ++axis) {
        if (space.high[axis] == box.low[axis]) scratch.sides[2 * axis].beside.push_back(space);
        if (space.low[axis] == box.high[axis]) scratch.sides[2 * axis + 1].beside.push_back(space);
      }
      spaces_[kept++] = space;
    }
    spaces_.resize(kept);
    for (const FillScratch::Side& side : scratch.sides) KeepMaximal(side);
  }

  /// Forgets spaces that became useless because what is left is larger.
  void Forget(const std::array<std::int32_t, 3>& least) {
    std::erase_if(spaces_, [&](const FillBox& space) {
      return space.Side(0) < least[0] || space.Side(1) < least[1] || space.Side(2) < least[2];
    });
  }

 private:
  static void Split(const FillBox& space, const FillBox& box, const std::array<std::int32_t, 3>& least,
                    FillScratch& scratch) {
    for (std::size_t axis = 0; axis < 3; ++axis) {
      if (box.low[axis] - space.low[axis] >= least[axis]) {
        std::vector<FillBox>& pieces = scratch.sides[2 * axis].pieces;
        pieces.push_back(space);
        pieces.back().high[axis] = box.low[axis];
      }
      if (space.high[axis] - box.high[axis] >= least[axis]) {
        std::vector<FillBox>& pieces = scratch.sides[2 * axis + 1].pieces;
        pieces.push_back(space);
        pieces.back().low[axis] = box.high[axis];
      }
    }
  }

  void KeepMaximal(const FillScratch::Side& side) {
    for (std::size_t i = 0; i < side.pieces.size(); ++i) {
      const FillBox& piece = side.pieces[i];
      bool maximal = true;
      for (std::size_t j = 0; j < side.beside.size() && maximal; ++j) maximal = !side.beside[j].Holds(piece);
      for (std::size_t j = 0; j < side.pieces.size() && maximal; ++j) {
        // Of two that are equal, the first stays.
        maximal = i == j || !side.pieces[j].Holds(piece) || (j > i && piece.Holds(side.pieces[j]));
      }
      if (maximal) spaces_.push_back(piece);
    }
  }

  std::vector<FillBox> spaces_;
};

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_PACKING_INTERNAL_FILL_SPACES_H_
