#ifndef TAREWISE_BATCH_INTERNAL_RUN_H_
#define TAREWISE_BATCH_INTERNAL_RUN_H_

#include <cstddef>
#include <cstdint>
#include <memory>
#include <mutex>
#include <new>
#include <span>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "absl/status/status.h"
#include "tarewise/batch/columns.h"
#include "tarewise/batch/internal/goods.h"
#include "tarewise/batch/internal/orders.h"
#include "tarewise/batch/internal/plan.h"
#include "tarewise/batch/internal/planned_orders.h"
#include "tarewise/batch/internal/result_writer.h"
#include "tarewise/batch/internal/store.h"
#include "tarewise/batch/internal/worker.h"
#include "tarewise/batch/reprice.h"
#include "tarewise/ranking/cautions.h"
#include "tarewise/units/internal/quantity_text.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// Rows that a thread takes at once: fixed, so that nothing depends on how many threads there are.
inline constexpr std::size_t kChunkRows = 16 * GoodsBlock::kRows;
/// Likewise orders, which take longer, some of them milliseconds: whoever stops a run waits for so many.
inline constexpr std::size_t kChunkOrders = 16;

/// What copies of a repricer share: what has been worked out, and workers between their runs.
struct RepriceShared {
  explicit RepriceShared(std::shared_ptr<const RepricePlan> plan) : store(std::move(plan)) {}
  RepriceShared(std::shared_ptr<const RepricePlan> plan, const RepriceStore& past) : store(std::move(plan), past) {}

  std::unique_ptr<RepriceWorker> TakeWorker() {
    {
      const std::lock_guard<std::mutex> lock(mutex);
      if (!idle.empty()) {
        std::unique_ptr<RepriceWorker> worker = std::move(idle.back());
        idle.pop_back();
        return worker;
      }
    }
    return std::make_unique<RepriceWorker>(store);
  }
  void GiveBack(std::unique_ptr<RepriceWorker> worker) {
    const std::lock_guard<std::mutex> lock(mutex);
    try {
      idle.push_back(std::move(worker));
    } catch (const std::bad_alloc&) {
      // Only its shortcuts are lost.
    }
  }

  RepriceStore store;
  std::mutex mutex;
  std::vector<std::unique_ptr<RepriceWorker>> idle;
};

inline absl::Status CheckColumns(const GoodsColumns& goods) {
  auto bad = [](std::string_view name, std::string_view what) {
    return Invalid("column " + std::string(name) + ": " + std::string(what));
  };
  const std::pair<std::string_view, const Column*> quantities[] = {{"weight", &goods.weight},
                                                                   {"length", &goods.sides[0]},
                                                                   {"width", &goods.sides[1]},
                                                                   {"height", &goods.sides[2]},
                                                                   {"value", &goods.value}};
  for (const auto& [name, column] : quantities) {
    if (!column->given()) {
      if (column == &goods.value || goods.rows == 0) continue;
      return bad(name, "found none, expected one");
    }
    if (column->unit < 1) return bad(name, "found a unit of 0 or less, expected 1 or more");
  }
  const std::pair<std::string_view, const Column*> wholes[] = {
      {"quantity", &goods.quantity},         {"contents", &goods.contents}, {"shape", &goods.shape},
      {"this_side_up", &goods.this_side_up}, {"rigid", &goods.rigid},       {"bare", &goods.bare},
      {"missing", &goods.missing},           {"order", &goods.order}};
  for (const auto& [name, column] : wholes) {
    if (column->given() && (column->element == Element::kFloat32 || column->element == Element::kFloat64)) {
      return bad(name, "found floating point, expected whole numbers");
    }
  }
  return absl::OkStatus();
}

inline absl::Status CheckResults(const RepriceResults& results, const RepriceSetup& setup) {
  if ((results.expected != nullptr || results.quantile != nullptr) && setup.shares.empty()) {
    return Invalid("found no shares, expected a destination mix for expected totals and quantiles");
  }
  for (const std::int64_t level : results.levels) {
    if (level < 0 || level > 1'000'000) {
      return InvalidAt("levels", "found " + std::to_string(level) + ", expected 0 to 1000000 millionths");
    }
  }
  return absl::OkStatus();
}

// Rows on their way from columns to columns.
struct RowBlock {
  GoodsBlock goods;
  Goods row;
  RepriceWorker::Place places[GoodsBlock::kRows];
  CautionSet cautions[GoodsBlock::kRows];  // the goods' own
  bool by_offer[GoodsBlock::kRows];        // whether the best offers may have others
  std::uint16_t slow[GoodsBlock::kRows];
};

// First all look-ups, so that the memory that they point to is on its way, then what they found. How many rows were of
// no order: the others are left alone.
inline std::size_t PriceBlock(const GoodsColumns& goods, const ContentsNumbers& contents, std::size_t first,
                              std::size_t count, bool one_by_one, RowBlock& block, RepriceWorker& worker,
                              ResultWriter& writer) {
  block.goods.Read(goods, first, count);
  const bool cautions = writer.cautions();
  std::size_t slow = 0;
  for (std::size_t i = 0; i < count; ++i) {
    RepriceWorker::Place& place = block.places[i];
    place.words = nullptr;
    if (block.goods.in_order(i)) continue;
    place.reason = block.goods.Check(i, contents, block.row);
    if (place.reason != RowReason::kPriced) continue;
    if (cautions) writer.OwnCautions(block.row, block.cautions[i], block.by_offer[i]);
    if (one_by_one || !worker.Locate(block.row, place)) block.slow[slow++] = static_cast<std::uint16_t>(i);
    if (place.words != nullptr) __builtin_prefetch(place.words);
  }
  std::size_t next_slow = 0;
  std::size_t done = 0;
  for (std::size_t i = 0; i < count; ++i) {
    if (block.goods.in_order(i)) continue;
    ++done;
    RepriceWorker::Place place = block.places[i];
    if (next_slow < slow && block.slow[next_slow] == i) {
      ++next_slow;
      static_cast<void>(block.goods.Check(i, contents, block.row));
      place = one_by_one ? worker.PriceOneByOne(block.row) : worker.Price(block.row);
    }
    writer.Put(first + i, place);
    if (!cautions) continue;
    const bool by_offer = place.reason == RowReason::kPriced && block.by_offer[i];
    if (by_offer) static_cast<void>(block.goods.Check(i, contents, block.row));
    writer.PutCautions(first + i, place, block.cautions[i], by_offer ? &block.row : nullptr, worker);
  }
  return done;
}

// All rows of one order.
inline void PriceOrder(std::span<const std::size_t> rows, bool one_by_one, OrderReader& reader, RepriceWorker& worker,
                       PlannedOrders* planned, ResultWriter& writer) {
  RepriceWorker::Place place;
  place.reason = reader.Read(rows);
  const bool priced = place.reason == RowReason::kPriced;
  if (!priced) place.reason = reader.reasons()[0];
  const Goods& goods = reader.goods();
  CautionSet cautions;
  bool by_offer = false;
  if (priced && planned != nullptr) {
    place = planned->Price(reader.Items(/*as_rows=*/true));
  } else if (priced) {
    if (writer.cautions()) writer.OwnCautions(goods, cautions, by_offer);
    if (one_by_one) {
      place = worker.PriceOneByOne(goods);
    } else if (!worker.Locate(goods, place)) {
      place = worker.Price(goods);
    }
  }
  writer.Put(rows[0], place, priced && planned != nullptr ? planned->parcels() : nullptr);
  if (writer.cautions()) {
    if (priced && planned != nullptr && place.totals != nullptr) {
      writer.PutCautions(rows[0], planned->cautions());
    } else {
      writer.PutCautions(rows[0], place, cautions, by_offer ? &goods : nullptr, worker);
    }
  }
  // Where all together make no parcel that is accepted, no row of it is priced.
  const bool together = place.reason == RowReason::kPriced || place.reason == RowReason::kFitsNothing;
  for (std::size_t i = 1; i < rows.size(); ++i) {
    RepriceWorker::Place other;
    other.reason = priced && !together ? RowReason::kOrderNotPriced : reader.reasons()[i];
    writer.Put(rows[i], other);
    if (writer.cautions()) writer.PutCautions(rows[i], other, {}, nullptr, worker);
  }
}

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_BATCH_INTERNAL_RUN_H_
