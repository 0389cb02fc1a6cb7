#ifndef TAREWISE_PACKING_INTERNAL_FILL_BOUND_H_
#define TAREWISE_PACKING_INTERNAL_FILL_BOUND_H_

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <vector>

#include "absl/numeric/int128.h"
#include "tarewise/packing/internal/fill_goods.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// Rooms that are needed at least. Along each axis sides below some limit count as nothing, and those that leave less
/// than the limit as the whole side (a dual feasible function): what fits still fits, and volume counts more.
class FillBound {
 public:
  explicit FillBound(const FillTask& task) : task_(task) {
    for (std::size_t axis = 0; axis < 3; ++axis) limits_[axis] = LimitsOf(axis);
  }

  std::int64_t Find() const {
    std::int64_t best = task_.RoomsByVolume();
    if (!task_.exact()) return best;
    for (std::int32_t x : limits_[0]) {
      for (std::int32_t y : limits_[1]) {
        for (std::int32_t z : limits_[2]) best = std::max(best, With({x, y, z}));
      }
    }
    return best;
  }

 private:
  static constexpr std::size_t kMost = 7;  // limits along an axis

  // 0 (sides as they are), the half, and sides up to it, evenly by rank.
  std::vector<std::int32_t> LimitsOf(std::size_t axis) const {
    std::vector<std::int32_t> sides;
    for (const FillKind& kind : task_.kinds()) {
      for (const FillSides& turned : kind.turnings) {
        // A side, or what it leaves, as the limit.
        const std::int32_t side = turned[axis];
        sides.push_back(side * 2 <= task_.room()[axis] ? side : task_.room()[axis] - side + 1);
      }
    }
    std::sort(sides.begin(), sides.end());
    sides.erase(std::unique(sides.begin(), sides.end()), sides.end());
    std::erase_if(sides, [&](std::int32_t side) { return side * 2 > task_.room()[axis]; });
    std::vector<std::int32_t> limits = {0, (task_.room()[axis] + 1) / 2};
    const std::size_t count = std::min(kMost, sides.size());
    for (std::size_t i = 0; i < count; ++i) limits.push_back(sides[i * sides.size() / count]);
    std::sort(limits.begin(), limits.end());
    limits.erase(std::unique(limits.begin(), limits.end()), limits.end());
    return limits;
  }

  std::int64_t With(const FillSides& limit) const {
    absl::int128 sum = 0;
    for (const FillKind& kind : task_.kinds()) {
      std::int64_t least = std::numeric_limits<std::int64_t>::max();
      for (const FillSides& sides : kind.turnings) {
        std::int64_t product = 1;
        for (std::size_t axis = 0; axis < 3; ++axis) {
          std::int64_t side = sides[axis];
          if (side < limit[axis]) side = 0;
          if (side > task_.room()[axis] - limit[axis]) side = task_.room()[axis];
          product *= side;
        }
        least = std::min(least, product);
      }
      sum += absl::int128(least) * kind.count;
    }
    const absl::int128 room = task_.RoomVolume();
    return static_cast<std::int64_t>((sum + room - 1) / room);
  }

  const FillTask& task_;
  std::array<std::vector<std::int32_t>, 3> limits_;
};

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_PACKING_INTERNAL_FILL_BOUND_H_
