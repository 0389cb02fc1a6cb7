#ifndef TAREWISE_PACKING_INTERNAL_PACK_SPACES_H_
#define TAREWISE_PACKING_INTERNAL_PACK_SPACES_H_

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <vector>

#include "tarewise/packing/internal/pack_model.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

struct Box {
  Sides lo = {};
  Sides hi = {};

  bool Holds(const Box& other) const {
    return lo[0] <= other.lo[0] && lo[1] <= other.lo[1] && lo[2] <= other.lo[2] && hi[0] >= other.hi[0] &&
           hi[1] >= other.hi[1] && hi[2] >= other.hi[2];
  }
  bool Meets(const Box& other) const {
    return lo[0] < other.hi[0] && other.lo[0] < hi[0] && lo[1] < other.hi[1] && other.lo[1] < hi[1] &&
           lo[2] < other.hi[2] && other.lo[2] < hi[2];
  }
};

// The largest free boxes of a room that hold no unit yet, overlapping one another (empty maximal spaces).
class FreeSpaces {
 public:
  // `least` is what a space must hold, shortest side first: others are let go.
  void Begin(const Box& all, const Sides& least) {
    spaces_.clear();
    least_ = least;
    spaces_.push_back(all);
  }
  void Ask(const Sides& least) { least_ = least; }
  const std::vector<Box>& All() const { return spaces_; }

  void Take(const Box& taken) {
    fresh_.clear();
    std::size_t kept = 0;
    for (std::size_t i = 0; i < spaces_.size(); ++i) {
      const Box space = spaces_[i];
      if (!space.Meets(taken)) {
        spaces_[kept++] = space;
        continue;
      }
      for (std::size_t axis = 0; axis < 3; ++axis) {
        Sides sides = {space.hi[0] - space.lo[0], space.hi[1] - space.lo[1], space.hi[2] - space.lo[2]};
        sides[axis] = taken.lo[axis] - space.lo[axis];
        if (IsOfUse(sides)) {
          fresh_.push_back(space);
          fresh_.back().hi[axis] = taken.lo[axis];
        }
        sides[axis] = space.hi[axis] - taken.hi[axis];
        if (IsOfUse(sides)) {
          fresh_.push_back(space);
          fresh_.back().lo[axis] = taken.hi[axis];
        }
      }
    }
    spaces_.resize(kept);
    AddFresh(kept);
  }

 private:
  bool IsOfUse(const Sides& sides) const {
    const std::int64_t low = std::min(sides[0], sides[1]);
    const std::int64_t high = std::max(sides[0], sides[1]);
    return std::min(low, sides[2]) >= least_[0] && std::max(low, std::min(high, sides[2])) >= least_[1] &&
           std::max(high, sides[2]) >= least_[2];
  }

  // Of the new ones, those that no other space holds. What was kept is maximal still.
  void AddFresh(std::size_t kept) {
    for (std::size_t i = 0; i < fresh_.size(); ++i) {
      bool held = false;
      for (std::size_t j = 0; j < fresh_.size() && !held; ++j) {
        held = j != i && fresh_[j].Holds(fresh_[i]) && (j < i || !fresh_[i].Holds(fresh_[j]));
      }
      for (std::size_t j = 0; j < kept && !held; ++j) held = spaces_[j].Holds(fresh_[i]);
      if (!held) spaces_.push_back(fresh_[i]);
    }
  }

  std::vector<Box> spaces_;
  std::vector<Box> fresh_;
  Sides least_ = {};
};

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_PACKING_INTERNAL_PACK_SPACES_H_
