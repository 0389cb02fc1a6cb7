#ifndef TAREWISE_PACKING_INTERNAL_FILL_BLOCKS_H_
#define TAREWISE_PACKING_INTERNAL_FILL_BLOCKS_H_

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <utility>
#include <vector>

#include "tarewise/packing/internal/fill_goods.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// Units of one kind, in rows, columns and layers.
struct FillBlock {
  FillSides sides = {};
  FillSides unit = {};  // as it lies
  std::uint32_t kind = 0;
  std::int32_t count = 0;   // of units
  std::int64_t volume = 0;  // of the units
  bool top_free = false;
};

/// The blocks that can be made of the goods, the largest volume first.
class FillBlocks {
 public:
  /// About `most` blocks: of many units not every number of rows is taken.
  FillBlocks(const FillTask& task, std::size_t most) {
    std::size_t turnings = 0;
    for (const FillKind& kind : task.kinds()) turnings += kind.turnings.size();
    const std::size_t each = std::max<std::size_t>(1, most / std::max<std::size_t>(1, turnings));
    std::vector<FillBlock> made;
    for (std::size_t k = 0; k < task.kinds().size(); ++k) {
      for (const FillSides& unit : task.kinds()[k].turnings) AddRows(task, k, unit, each, made);
    }
    std::vector<std::pair<std::int64_t, std::size_t>> order;
    order.reserve(made.size());
    for (std::size_t i = 0; i < made.size(); ++i) order.emplace_back(-made[i].volume, i);
    std::sort(order.begin(), order.end());
    all_.reserve(made.size());
    for (const auto& [volume, i] : order) all_.push_back(made[i]);
  }

  const std::vector<FillBlock>& all() const { return all_; }

 private:
  using Numbers = std::array<std::vector<std::int32_t>, 3>;

  // 1 to `most`, each at least `sixteenths` / 16 of the one before.
  static void Count(std::int32_t most, std::int32_t sixteenths, std::vector<std::int32_t>& numbers) {
    numbers.clear();
    for (std::int32_t n = 1; n < most; n = std::max(n + 1, n * sixteenths / 16)) numbers.push_back(n);
    numbers.push_back(most);
  }

  static std::size_t CountRows(const Numbers& numbers, std::int32_t units) {
    std::size_t count = 0;
    for (std::int32_t x : numbers[0]) {
      for (std::int32_t y : numbers[1]) {
        if (x * y > units) break;
        const std::int32_t most = units / (x * y);
        count +=
            static_cast<std::size_t>(std::upper_bound(numbers[2].begin(), numbers[2].end(), most) - numbers[2].begin());
      }
    }
    return count;
  }

  void AddRows(const FillTask& task, std::size_t k, const FillSides& unit, std::size_t most,
               std::vector<FillBlock>& made) {
    const FillKind& kind = task.kinds()[k];
    Numbers& numbers = numbers_;
    std::int32_t sixteenths = 16;
    do {
      for (std::size_t axis = 0; axis < 3; ++axis) {
        const std::int32_t go_in = kind.top_free && axis == 2 ? 1 : task.room()[axis] / unit[axis];
        Count(std::min(kind.count, go_in), sixteenths, numbers[axis]);
      }
      sixteenths += 2;
    } while (CountRows(numbers, kind.count) > most && sixteenths <= 64);
    for (std::int32_t x : numbers[0]) {
      for (std::int32_t y : numbers[1]) {
        if (std::int64_t{x} * y > kind.count) break;
        for (std::int32_t z : numbers[2]) {
          const std::int32_t count = x * y * z;
          if (count > kind.count) break;
          made.push_back({{x * unit[0], y * unit[1], z * unit[2]},
                          unit,
                          static_cast<std::uint32_t>(k),
                          count,
                          count * kind.volume,
                          kind.top_free});
        }
      }
    }
  }

  std::vector<FillBlock> all_;
  Numbers numbers_;  // to work with
};

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_PACKING_INTERNAL_FILL_BLOCKS_H_
