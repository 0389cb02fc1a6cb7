#ifndef TAREWISE_PACKING_INTERNAL_FILL_GOODS_H_
#define TAREWISE_PACKING_INTERNAL_FILL_GOODS_H_

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <map>
#include <numeric>
#include <span>
#include <utility>
#include <vector>

#include "absl/numeric/int128.h"
#include "tarewise/packing/fill.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

using FillSides = std::array<std::int32_t, 3>;

/// Goods that are alike, of however many rows.
struct FillKind {
  std::vector<FillSides> turnings;  // those that go into the room, each once, in order
  bool top_free = false;
  std::int64_t volume = 0;
  std::int32_t count = 0;
  std::vector<std::pair<std::size_t, std::int32_t>> rows;  // the goods that it stands for, and how many of each
};

/// Goods and room in whole steps of a grid, so that volumes go into 64 bits.
class FillTask {
 public:
  FillTask(std::span<const FillGood> goods, const Room& room) : goods_(goods), left_(goods.size(), 0) {
    wall_ = std::clamp<std::int64_t>(room.wall_padding, 0, kLongestPackSide);
    for (std::size_t axis = 0; axis < 3; ++axis) {
      inside_[axis] = std::max<std::int64_t>(0, std::min(room.sides[axis], kLongestPackSide) - 2 * wall_);
    }
    FindStep();
    for (std::size_t axis = 0; axis < 3; ++axis) room_[axis] = static_cast<std::int32_t>(inside_[axis] / step_);
    FindKinds();
  }

  const FillSides& room() const { return room_; }
  const std::vector<FillKind>& kinds() const { return kinds_; }
  const std::vector<std::int64_t>& left() const { return left_; }  // by good: units that are not tried
  std::int64_t RoomVolume() const { return std::int64_t{room_[0]} * room_[1] * room_[2]; }
  /// Whether no side was rounded: what holds in the grid holds of the goods.
  bool exact() const { return exact_; }

  /// Rooms that the units fill by their volumes.
  std::int64_t RoomsByVolume() const {
    absl::int128 sum = 0;
    for (const FillKind& kind : kinds_) {
      for (const auto& [good, count] : kind.rows) {
        sum += absl::int128(goods_[good].sides[0]) * goods_[good].sides[1] * goods_[good].sides[2] * count;
      }
    }
    const absl::int128 room = absl::int128(inside_[0]) * inside_[1] * inside_[2];
    return room == 0 ? 0 : static_cast<std::int64_t>((sum + room - 1) / room);
  }

  std::size_t goods() const { return goods_.size(); }

  /// A unit of a good, whose box in the grid is `low` to `low + sides`.
  Placement PlacementOf(std::size_t good, const FillSides& low, const FillSides& sides) const {
    Placement placement;
    placement.unit = good;
    for (std::size_t axis = 0; axis < 3; ++axis) placement.at[axis] = wall_ + low[axis] * step_;
    bool found = false;
    VisitTurnings(goods_[good], [&](const std::array<std::int64_t, 3>& turned) {
      if (found || InSteps(turned) != sides) return;
      placement.sides = turned;
      found = true;
    });
    return placement;
  }

 private:
  static constexpr std::int64_t kLongest = std::int64_t{1} << 20;  // side of the room, in steps

  // The turnings that go into the room.
  template <typename Visit>
  void VisitTurnings(const FillGood& good, const Visit& visit) const {
    for (std::size_t upright = 0; upright < 3; ++upright) {
      for (bool swapped : {false, true}) {
        if (good.as_written ? upright != 2 || swapped : !good.may_stand[upright]) continue;
        const std::size_t first = upright == 0 ? 1 : 0;
        const std::size_t second = upright == 2 ? 1 : 2;
        const std::array<std::int64_t, 3> sides = {good.sides[swapped ? second : first],
                                                   good.sides[swapped ? first : second], good.sides[upright]};
        bool goes_in = true;
        for (std::size_t axis = 0; axis < 3; ++axis)
          goes_in = goes_in && sides[axis] > 0 && sides[axis] <= inside_[axis];
        if (!goes_in) continue;
        const FillSides steps = InSteps(sides);
        if (steps[0] <= room_[0] && steps[1] <= room_[1] && steps[2] <= room_[2]) visit(sides);
      }
    }
  }

  FillSides InSteps(const std::array<std::int64_t, 3>& sides) const {
    FillSides steps;
    for (std::size_t axis = 0; axis < 3; ++axis)
      steps[axis] = static_cast<std::int32_t>((sides[axis] + step_ - 1) / step_);
    return steps;
  }

  void FindStep() {
    std::int64_t common = 0;
    for (const FillGood& good : goods_) {
      for (std::int64_t side : good.sides) common = std::gcd(common, std::max<std::int64_t>(0, side));
    }
    step_ = std::max<std::int64_t>(1, common);
    const std::int64_t longest = *std::max_element(inside_.begin(), inside_.end());
    exact_ = longest / step_ <= kLongest;
    if (!exact_) step_ = (longest + kLongest - 1) / kLongest;
  }

  void FindKinds() {
    std::map<std::pair<bool, std::vector<FillSides>>, std::size_t> known;
    auto more = static_cast<std::int64_t>(kMostPackUnits);
    for (std::size_t i = 0; i < goods_.size(); ++i) {
      if (goods_[i].quantity <= 0) continue;
      std::pair<bool, std::vector<FillSides>> key = {goods_[i].top_free, {}};
      std::vector<FillSides>& turnings = key.second;
      VisitTurnings(goods_[i], [&](const std::array<std::int64_t, 3>& sides) { turnings.push_back(InSteps(sides)); });
      std::sort(turnings.begin(), turnings.end());
      turnings.erase(std::unique(turnings.begin(), turnings.end()), turnings.end());
      const std::int64_t taken = turnings.empty() ? 0 : std::min(more, goods_[i].quantity);
      left_[i] = goods_[i].quantity - taken;
      more -= taken;
      if (taken == 0) continue;
      const auto [found, is_new] = known.try_emplace(key, kinds_.size());
      if (is_new) {
        const FillSides any = turnings.front();
        kinds_.push_back({turnings, goods_[i].top_free, std::int64_t{any[0]} * any[1] * any[2], 0, {}});
      }
      FillKind& kind = kinds_[found->second];
      kind.count += static_cast<std::int32_t>(taken);
      kind.rows.emplace_back(i, static_cast<std::int32_t>(taken));
    }
  }

  std::span<const FillGood> goods_;
  std::int64_t step_ = 1;  // nm
  bool exact_ = true;
  std::int64_t wall_ = 0;                    // nm
  std::array<std::int64_t, 3> inside_ = {};  // nm
  FillSides room_ = {};
  std::vector<FillKind> kinds_;
  std::vector<std::int64_t> left_;
};

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_PACKING_INTERNAL_FILL_GOODS_H_
