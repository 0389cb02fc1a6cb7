#ifndef TAREWISE_PACKING_INTERNAL_FILL_SUMS_H_
#define TAREWISE_PACKING_INTERNAL_FILL_SUMS_H_

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <vector>

#include "tarewise/packing/internal/fill_goods.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// Along each axis, the greatest sum of sides that goes into a length. A guess of what becomes useless: goods' counts
/// are kept by side, not over sides.
class FillSums {
 public:
  explicit FillSums(const FillTask& task) {
    const std::int32_t longest = std::max({task.room()[0], task.room()[1], task.room()[2], 1});
    while ((longest >> shift_) > kMost) ++shift_;
    for (std::size_t axis = 0; axis < 3; ++axis) {
      const std::size_t size = static_cast<std::size_t>(task.room()[axis] >> shift_) + 1;
      std::vector<std::uint8_t> reached(size, 0);
      std::vector<std::int32_t> used;
      reached[0] = 1;
      for (const FillKind& kind : task.kinds()) {
        std::int32_t last = 0;
        for (const FillSides& sides : kind.turnings) {
          const std::int32_t side = sides[axis] >> shift_;
          if (side == 0 || side == last) continue;
          last = side;
          AddSide(static_cast<std::size_t>(side), kind.count, reached, used);
        }
      }
      std::int32_t best = 0;
      best_[axis].resize(size);
      for (std::size_t i = 0; i < size; ++i) {
        if (reached[i] != 0) best = static_cast<std::int32_t>(i);
        best_[axis][i] = best << shift_;
      }
    }
  }

  std::int32_t Best(std::size_t axis, std::int32_t length) const {
    return best_[axis][static_cast<std::size_t>(length >> shift_)];
  }

 private:
  static constexpr std::int32_t kMost = 2048;

  static void AddSide(std::size_t side, std::int32_t count, std::vector<std::uint8_t>& reached,
                      std::vector<std::int32_t>& used) {
    used.assign(reached.size(), 0);
    for (std::size_t i = side; i < reached.size(); ++i) {
      if (reached[i] != 0 || reached[i - side] == 0 || used[i - side] >= count) continue;
      reached[i] = 1;
      used[i] = used[i - side] + 1;
    }
  }

  int shift_ = 0;
  std::array<std::vector<std::int32_t>, 3> best_;
};

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_PACKING_INTERNAL_FILL_SUMS_H_
