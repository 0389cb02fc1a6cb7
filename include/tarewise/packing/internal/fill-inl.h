#ifndef TAREWISE_PACKING_INTERNAL_FILL_INL_H_
#define TAREWISE_PACKING_INTERNAL_FILL_INL_H_

#include <cstddef>
#include <cstdint>
#include <span>
#include <utility>
#include <vector>

#include "tarewise/packing/fill.h"
#include "tarewise/packing/internal/fill_bins.h"
#include "tarewise/packing/internal/fill_blocks.h"
#include "tarewise/packing/internal/fill_bound.h"
#include "tarewise/packing/internal/fill_goods.h"
#include "tarewise/packing/internal/fill_search.h"
#include "tarewise/packing/internal/fill_sums.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

namespace internal {

inline constexpr std::size_t kFillBlocks = 1'500;

/// Names the goods that units of a kind are: the first of its rows first.
class FillNames {
 public:
  explicit FillNames(const FillTask& task) : task_(task), row_(task.kinds().size(), 0), used_(task.kinds().size(), 0) {}

  void Add(std::uint32_t kind, const FillSides& low, const FillSides& sides, Filling& filling) {
    const auto& rows = task_.kinds()[kind].rows;
    if (used_[kind] == rows[row_[kind]].second) {
      ++row_[kind];
      used_[kind] = 0;
    }
    ++used_[kind];
    const std::size_t good = rows[row_[kind]].first;
    filling.placements.push_back(task_.PlacementOf(good, low, sides));
    ++filling.packed[good];
  }

 private:
  const FillTask& task_;
  std::vector<std::size_t> row_;    // by kind
  std::vector<std::int32_t> used_;  // of the row
};

inline std::vector<FillUnit> UnitsOf(const FillState& state, const FillBlocks& blocks) {
  std::vector<FillUnit> units;
  for (const FillPut& put : state.puts) {
    const FillBlock& block = blocks.all()[put.block];
    FillSides low = put.box.low;
    for (low[0] = put.box.low[0]; low[0] < put.box.high[0]; low[0] += block.unit[0]) {
      for (low[1] = put.box.low[1]; low[1] < put.box.high[1]; low[1] += block.unit[1]) {
        for (low[2] = put.box.low[2]; low[2] < put.box.high[2]; low[2] += block.unit[2]) {
          units.push_back(
              {block.kind, {low, {low[0] + block.unit[0], low[1] + block.unit[1], low[2] + block.unit[2]}}});
        }
      }
    }
  }
  return units;
}

inline Filling FillingOf(const std::vector<FillUnit>& units, const FillTask& task, FillNames& names) {
  Filling filling;
  filling.packed.assign(task.goods(), 0);
  filling.placements.reserve(units.size());
  for (const FillUnit& unit : units) {
    names.Add(unit.kind, unit.box.low, {unit.box.Side(0), unit.box.Side(1), unit.box.Side(2)}, filling);
  }
  return filling;
}

/// One room after the other, each filled with blocks of what is left.
inline std::vector<FillBin> RoomByRoom(const FillTask& task, std::int64_t& steps) {
  const FillBlocks blocks(task, kFillBlocks);
  const FillSums sums(task);
  FillSearch search(task, blocks, sums);
  std::vector<std::int32_t> left;
  std::int64_t more = 0;
  for (const FillKind& kind : task.kinds()) {
    left.push_back(kind.count);
    more += kind.count;
  }
  std::vector<FillBin> bins;
  while (more > 0) {
    search.Greedy(left);
    left = search.best().left;
    more = search.best().units;
    bins.push_back({UnitsOf(search.best(), blocks), search.best().volume});
  }
  steps += search.steps();
  return bins;
}

}  // namespace internal

TW_INLINE Filling FillRoom(std::span<const FillGood> goods, const Room& room, FillBudget budget) {
  const internal::FillTask task(goods, room);
  const internal::FillBlocks blocks(task, internal::kFillBlocks);
  const internal::FillSums sums(task);
  internal::FillSearch search(task, blocks, sums);
  search.Run(budget.steps);
  internal::FillNames names(task);
  Filling filling = internal::FillingOf(internal::UnitsOf(search.best(), blocks), task, names);
  filling.steps = search.steps();
  return filling;
}

TW_INLINE Binning FillRooms(std::span<const FillGood> goods, const Room& room, FillBudget budget) {
  const internal::FillTask task(goods, room);
  Binning binning;
  binning.left = task.left();
  if (task.kinds().empty()) return binning;
  binning.bound = internal::FillBound(task).Find();
  internal::FillBins bins(task);
  bins.Start(internal::RoomByRoom(task, binning.steps));
  bins.Improve(binning.bound, budget.steps);
  internal::FillNames names(task);
  for (const internal::FillBin& bin : bins.best()) {
    binning.rooms.push_back(internal::FillingOf(bin.units, task, names));
  }
  binning.steps += bins.steps();
  return binning;
}

}  // namespace tarewise::inline TW_VERSIONED

#endif  // TAREWISE_PACKING_INTERNAL_FILL_INL_H_
