#ifndef TAREWISE_PACKING_INTERNAL_PACK_CONSTRUCT_H_
#define TAREWISE_PACKING_INTERNAL_PACK_CONSTRUCT_H_

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <vector>

#include "tarewise/packing/internal/pack_model.h"
#include "tarewise/packing/internal/pack_spaces.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

enum class PlaceRule : std::uint8_t { kFarFromFarCorner, kLowest, kTightest, kLowestTop };
inline constexpr std::size_t kPlaceRules = 4;

enum class PackSort : std::uint8_t { kVolume, kLongest, kLargestFace, kShortest, kSum, kMiddle };
inline constexpr std::size_t kPackSorts = 6;

// Packs units one after another, each at the near corner of a free space. There is one list of spaces for padded units
// and one for the others, as what each must keep clear of differs; so paddings are exact.
class ConstructivePass {
 public:
  explicit ConstructivePass(const PackModel& model)
      : model_(model), boxes_(model.units.size()), load_(model.units.size()) {
    const std::int64_t longest = *std::max_element(model.room.sides.begin(), model.room.sides.end());
    while ((longest >> shift_) >= (std::int64_t{1} << 29)) ++shift_;
  }

  // The units in the order of a key; those that take nothing on top, last.
  void Order(PackSort key, FewVector<std::size_t>& order) const {
    order.resize(model_.units.size());
    for (std::size_t i = 0; i < order.size(); ++i) order[i] = i;
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
      const ReadyUnit& one = model_.units[a];
      const ReadyUnit& other = model_.units[b];
      if (one.top_free != other.top_free) return other.top_free;
      const absl::int128 left = KeyOf(one, key);
      const absl::int128 right = KeyOf(other, key);
      if (left != right) return left > right;
      return one.weight > other.weight;
    });
  }

  // Whether all units found a place, in this order.
  bool Run(const FewVector<std::size_t>& order, PlaceRule rule) {
    // What the units from each on need at least.
    least_.resize(order.size() + 1);
    least_[order.size()].fill(std::numeric_limits<std::int64_t>::max());
    for (std::size_t at = order.size(); at-- > 0;) {
      const ReadyUnit& unit = model_.units[order[at]];
      const Sides& later = least_[at + 1];
      least_[at] = {std::min(unit.shortest, later[0]), std::min(unit.middle, later[1]),
                    std::min(unit.longest, later[2])};
    }
    Begin();
    for (std::size_t at = 0; at < order.size(); ++at) {
      if (!PlaceNext(order[at], rule, least_[at + 1], at + 1 == order.size())) return false;
    }
    return true;
  }

  std::vector<Placement> Placements() const {
    std::vector<Placement> placements;
    placements.reserve(boxes_.size());
    for (std::size_t i = 0; i < boxes_.size(); ++i) {
      const Box& box = boxes_[i];
      placements.push_back({i, box.lo, {box.hi[0] - box.lo[0], box.hi[1] - box.lo[1], box.hi[2] - box.lo[2]}});
    }
    return placements;
  }

  // Steps taken so far: one a turning in a space.
  std::int64_t Tries() const { return tries_; }

 private:
  using Score = std::array<std::int64_t, 3>;

  static absl::int128 KeyOf(const ReadyUnit& unit, PackSort key) {
    const absl::int128 longest = unit.longest;
    switch (key) {
      case PackSort::kVolume:
        return longest * unit.middle * unit.shortest;
      case PackSort::kLongest:
        return longest;
      case PackSort::kLargestFace:
        return longest * unit.middle;
      case PackSort::kShortest:
        return unit.shortest;
      case PackSort::kSum:
        return longest + unit.middle + unit.shortest;
      case PackSort::kMiddle:
        return unit.middle;
    }
    return 0;
  }

  void Begin() {
    placed_.clear();
    const Room& room = model_.room;
    for (int padded = 0; padded < 2; ++padded) {
      const std::int64_t wall = padded == 1 ? std::max(room.padding, room.wall_padding) : room.wall_padding;
      Box all;
      for (std::size_t axis = 0; axis < 3; ++axis) {
        all.lo[axis] = wall;
        all.hi[axis] = room.sides[axis] - wall;
      }
      spaces_[padded].Begin(all, least_[0]);
    }
  }

  bool PlaceNext(std::size_t index, PlaceRule rule, const Sides& least, bool last) {
    const ReadyUnit& unit = model_.units[index];
    Score best = {std::numeric_limits<std::int64_t>::max(), 0, 0};
    Box chosen;
    bool found = false;
    for (const Box& space : spaces_[unit.padded ? 1 : 0].All()) {
      for (std::size_t turning = 0; turning < unit.turnings; ++turning) {
        const Sides& sides = unit.turned[turning];
        if (sides[0] > space.hi[0] - space.lo[0] || sides[1] > space.hi[1] - space.lo[1] ||
            sides[2] > space.hi[2] - space.lo[2]) {
          continue;
        }
        ++tries_;
        const Box box = {space.lo, {space.lo[0] + sides[0], space.lo[1] + sides[1], space.lo[2] + sides[2]}};
        const Score score = ScoreOf(rule, box, space);
        if (found && (score[0] > best[0] || !(score < best))) continue;
        if ((model_.any_top_free || model_.any_bears) && !KeepsTops(index, box)) continue;
        best = score;
        chosen = box;
        found = true;
      }
    }
    if (!found) return false;
    boxes_[index] = chosen;
    if (!last) Place(index, chosen, least);
    return true;
  }

  Score ScoreOf(PlaceRule rule, const Box& box, const Box& space) const {
    switch (rule) {
      case PlaceRule::kFarFromFarCorner: {
        std::int64_t sum = 0;
        for (std::size_t axis = 0; axis < 3; ++axis) {
          const std::int64_t left = (model_.room.sides[axis] - box.hi[axis]) >> shift_;
          sum += left * left;
        }
        return {-sum, box.lo[2], box.lo[1]};
      }
      case PlaceRule::kLowest:
        return {box.lo[2], box.lo[1], box.lo[0]};
      case PlaceRule::kTightest: {
        Score left = {space.hi[0] - box.hi[0], space.hi[1] - box.hi[1], space.hi[2] - box.hi[2]};
        std::sort(left.begin(), left.end());
        return left;
      }
      case PlaceRule::kLowestTop:
        return {box.hi[2], box.hi[1], box.hi[0]};
    }
    return {};
  }

  // Nothing above what takes nothing on top, and no load too great.
  bool KeepsTops(std::size_t index, const Box& box) const {
    const ReadyUnit& unit = model_.units[index];
    std::int64_t load = 0;
    for (const std::size_t other : placed_) {
      if (!OverOneAnother(box, boxes_[other])) continue;
      if (boxes_[other].lo[2] >= box.hi[2]) {
        load += model_.units[other].weight;
        if (unit.top_free || load > unit.bears) return false;
      } else if (model_.units[other].top_free || load_[other] + unit.weight > model_.units[other].bears) {
        return false;
      }
    }
    return true;
  }

  static bool OverOneAnother(const Box& a, const Box& b) {
    return a.lo[0] < b.hi[0] && b.lo[0] < a.hi[0] && a.lo[1] < b.hi[1] && b.lo[1] < a.hi[1];
  }

  void Place(std::size_t index, const Box& box, const Sides& least) {
    const ReadyUnit& unit = model_.units[index];
    if (model_.any_bears) Load(index, box);
    placed_.push_back(index);
    for (int padded = 0; padded < 2; ++padded) {
      if (!(padded == 1 ? model_.any_padded : model_.any_plain)) continue;
      Box taken = box;
      const std::int64_t gap = padded == 1 || unit.padded ? model_.room.padding : 0;
      for (std::size_t axis = 0; axis < 3; ++axis) {
        taken.lo[axis] -= gap;
        taken.hi[axis] += gap;
      }
      spaces_[padded].Ask(least);
      spaces_[padded].Take(taken);
      if (!unit.top_free) continue;
      Box column = box;
      column.lo[2] = box.hi[2];
      column.hi[2] = model_.room.sides[2];
      if (column.hi[2] > column.lo[2]) spaces_[padded].Take(column);
    }
  }

  void Load(std::size_t index, const Box& box) {
    load_[index] = 0;
    for (const std::size_t other : placed_) {
      if (!OverOneAnother(box, boxes_[other])) continue;
      if (boxes_[other].lo[2] >= box.hi[2]) {
        load_[index] += model_.units[other].weight;
      } else {
        load_[other] += model_.units[index].weight;
      }
    }
  }

  const PackModel& model_;
  FreeSpaces spaces_[2];  // of units without and with padding
  FewVector<Box> boxes_;  // by unit
  FewVector<std::size_t> placed_;
  FewVector<std::int64_t> load_;
  FewVector<Sides> least_;
  int shift_ = 0;
  std::int64_t tries_ = 0;
};

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_PACKING_INTERNAL_PACK_CONSTRUCT_H_
