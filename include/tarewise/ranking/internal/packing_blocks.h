#ifndef TAREWISE_RANKING_INTERNAL_PACKING_BLOCKS_H_
#define TAREWISE_RANKING_INTERNAL_PACKING_BLOCKS_H_

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <iterator>
#include <map>
#include <utility>
#include <vector>

#include "tarewise/packing/arrange.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// Equal units, turned alike, that stand side by side: so many along each axis of the carton.
struct PackingBlock {
  std::size_t item = 0;
  std::array<std::size_t, 3> count = {1, 1, 1};
  std::array<std::int64_t, 3> at = {};
  std::array<std::int64_t, 3> end = {};
  std::array<std::int64_t, 3> sides = {};  ///< Of one.
  std::vector<Placement> units;            ///< From the bottom up.

  std::size_t per_layer() const { return count[0] * count[1]; }
};

/// Joins the units of an arrangement to blocks, in an order in which they can be put in: the lowest first. A unit of a
/// block never has another below it that comes later. Whatever is lower than the first unit of a block has been put in
/// before it; what is higher stands on units of the same outline.
class PackingBlocks {
 public:
  /// `items` is the item of each unit, `gaps` how far apart two units of an item may stand and be neighbours.
  PackingBlocks(const std::vector<Placement>& placements, const std::vector<std::size_t>& items,
                const std::vector<std::int64_t>& gaps)
      : items_(items), gaps_(gaps) {
    for (const Placement& one : placements) left_.emplace(PlaceOf(one.at), one);
  }

  std::vector<PackingBlock> Find() && {
    std::vector<PackingBlock> blocks;
    while (!left_.empty()) {
      PackingBlock best = Grown(left_.begin()->second, kOrders[0]);
      for (std::size_t i = 1; i < std::size(kOrders); ++i) {
        PackingBlock other = Grown(left_.begin()->second, kOrders[i]);
        if (other.units.size() > best.units.size()) best = std::move(other);
      }
      for (const Placement& one : best.units) left_.erase(PlaceOf(one.at));
      blocks.push_back(std::move(best));
    }
    return blocks;
  }

 private:
  // The lowest first, then from the front to the back and from left to right.
  using Place = std::array<std::int64_t, 3>;
  static Place PlaceOf(const std::array<std::int64_t, 3>& at) { return {at[2], at[1], at[0]}; }

  static constexpr std::size_t kOrders[6][3] = {{2, 0, 1}, {2, 1, 0}, {0, 2, 1}, {0, 1, 2}, {1, 2, 0}, {1, 0, 2}};

  // The neighbour of `unit` along `axis`, a little further than its side at most; nothing where there is none like it.
  const Placement* NextTo(const Placement& unit, std::size_t axis) const {
    const std::int64_t gap = gaps_[items_[unit.unit]];
    std::array<std::int64_t, 3> at = unit.at;
    for (const std::int64_t free : {std::int64_t{0}, gap}) {
      at[axis] = unit.at[axis] + unit.sides[axis] + free;
      const auto found = left_.find(PlaceOf(at));
      if (found == left_.end()) continue;
      const Placement& next = found->second;
      if (items_[next.unit] == items_[unit.unit] && next.sides == unit.sides) return &next;
    }
    return nullptr;
  }

  // Grows along one axis as far as it goes, then the whole of that along the next.
  PackingBlock Grown(const Placement& first, const std::size_t (&axes)[3]) const {
    PackingBlock block;
    block.item = items_[first.unit];
    block.sides = first.sides;
    block.units.push_back(first);
    for (const std::size_t axis : axes) {
      std::vector<Placement> slab = block.units;
      while (Shift(slab, axis)) {
        block.units.insert(block.units.end(), slab.begin(), slab.end());
        ++block.count[axis];
      }
    }
    std::sort(block.units.begin(), block.units.end(),
              [](const Placement& a, const Placement& b) { return PlaceOf(a.at) < PlaceOf(b.at); });
    block.at = first.at;
    for (std::size_t i = 0; i < 3; ++i) block.end[i] = block.units.back().at[i] + block.sides[i];
    return block;
  }

  // Puts the neighbours of all in their places; false, and nothing is said of `slab`, where one of them has none or
  // they do not stand as the slab does.
  bool Shift(std::vector<Placement>& slab, std::size_t axis) const {
    std::int64_t by = 0;
    for (Placement& one : slab) {
      const Placement* next = NextTo(one, axis);
      if (next == nullptr) return false;
      const std::int64_t moved = next->at[axis] - one.at[axis];
      if (by != 0 && moved != by) return false;
      by = moved;
      one = *next;
    }
    return true;
  }

  const std::vector<std::size_t>& items_;
  const std::vector<std::int64_t>& gaps_;
  std::map<Place, Placement> left_;
};

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_RANKING_INTERNAL_PACKING_BLOCKS_H_
