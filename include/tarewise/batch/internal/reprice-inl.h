#ifndef TAREWISE_BATCH_INTERNAL_REPRICE_INL_H_
#define TAREWISE_BATCH_INTERNAL_REPRICE_INL_H_

#include <algorithm>
#include <atomic>
#include <cstddef>
#include <cstdint>
#include <memory>
#include <mutex>
#include <span>
#include <string>
#include <thread>
#include <utility>
#include <vector>

#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "tarewise/batch/internal/planned_orders.h"
#include "tarewise/batch/internal/run.h"
#include "tarewise/batch/internal/threads.h"
#include "tarewise/batch/reprice.h"
#include "tarewise/units/internal/quantity_text.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

TW_INLINE absl::StatusOr<Repricer> Repricer::Create(RepriceSetup setup) {
  absl::StatusOr<std::shared_ptr<const internal::RepricePlan>> plan = internal::RepricePlan::Create(std::move(setup));
  if (!plan.ok()) return plan.status();
  Repricer repricer;
  repricer.shared_ = std::make_shared<internal::RepriceShared>(*std::move(plan));
  return repricer;
}

TW_INLINE absl::StatusOr<Repricer> Repricer::WithRates(std::shared_ptr<const Ratebook> book) const {
  RepriceSetup setup = this->setup();
  setup.book = std::move(book);
  absl::StatusOr<std::shared_ptr<const internal::RepricePlan>> plan = internal::RepricePlan::Create(std::move(setup));
  if (!plan.ok()) return plan.status();
  Repricer repricer;
  repricer.shared_ = std::make_shared<internal::RepriceShared>(*std::move(plan), shared_->store);
  return repricer;
}

TW_INLINE std::span<const ServiceName> Repricer::services() const { return shared_->store.plan().service_names(); }
TW_INLINE std::span<const PackagingName> Repricer::packagings() const {
  return shared_->store.plan().packaging_names();
}
TW_INLINE Currency Repricer::currency() const { return shared_->store.plan().currency(); }
TW_INLINE std::int64_t Repricer::mean_step() const { return shared_->store.plan().mean_step(); }
TW_INLINE const RepriceSetup& Repricer::setup() const { return shared_->store.plan().setup(); }
TW_INLINE const std::shared_ptr<const Dispatch>& Repricer::dispatch(std::size_t lane) const {
  return shared_->store.plan().dispatch(lane);
}
TW_INLINE std::size_t Repricer::lane_classes() const { return shared_->store.plan().classes(); }
TW_INLINE std::size_t Repricer::bytes() const { return shared_->store.bytes(); }

TW_INLINE absl::Status Repricer::Run(const GoodsColumns& goods, const RepriceResults& results,
                                     const RepriceOptions& options) const {
  if (absl::Status status = internal::CheckColumns(goods); !status.ok()) return status;
  if (absl::Status status = internal::CheckResults(results, setup()); !status.ok()) return status;
  const std::vector<std::uint32_t> numbers = shared_->store.NumberContents(goods.contents_classes);
  const internal::ContentsNumbers contents{goods.contents_classes, numbers};
  const internal::OrderRows orders(goods);
  const std::size_t row_chunks = (goods.rows + internal::kChunkRows - 1) / internal::kChunkRows;
  // Orders come after the rows, as they may have their rows anywhere.
  const std::size_t chunks = row_chunks + (orders.count() + internal::kChunkOrders - 1) / internal::kChunkOrders;
  std::atomic<std::size_t> next{0};
  std::atomic<bool> stopped{false};
  std::mutex progress_mutex;
  std::size_t done = 0;

  auto work = [&] {
    std::unique_ptr<internal::RepriceWorker> worker = shared_->TakeWorker();
    const auto block = std::make_unique<internal::RowBlock>();
    internal::ResultWriter writer(shared_->store.plan(), results);
    internal::OrderReader reader(shared_->store, goods, contents);
    internal::PlannedOrders planned(shared_->store.plan());
    internal::PlannedOrders* const several = setup().most_parcels > 1 ? &planned : nullptr;
    while (!stopped.load(std::memory_order_relaxed)) {
      const std::size_t chunk = next.fetch_add(1, std::memory_order_relaxed);
      if (chunk >= chunks) break;
      std::size_t rows = 0;
      if (chunk < row_chunks) {
        const std::size_t end = std::min(goods.rows, (chunk + 1) * internal::kChunkRows);
        for (std::size_t first = chunk * internal::kChunkRows; first < end; first += internal::GoodsBlock::kRows) {
          const std::size_t count = std::min(internal::GoodsBlock::kRows, end - first);
          rows += internal::PriceBlock(goods, contents, first, count, options.one_by_one, *block, *worker, writer);
        }
      } else {
        const std::size_t first = (chunk - row_chunks) * internal::kChunkOrders;
        const std::size_t end = std::min(orders.count(), first + internal::kChunkOrders);
        for (std::size_t i = first; i < end; ++i) {
          internal::PriceOrder(orders.rows(i), options.one_by_one, reader, *worker, several, writer);
        }
        rows = orders.RowsOf(first, end);
      }
      if (options.progress && rows > 0) {
        const std::lock_guard<std::mutex> lock(progress_mutex);
        done += rows;
        if (!stopped.load(std::memory_order_relaxed) && !options.progress(done)) stopped.store(true);
      }
    }
    shared_->GiveBack(std::move(worker));
  };

  const unsigned machine = std::max(1u, std::thread::hardware_concurrency());
  const std::size_t wanted = std::min(options.threads == 0 ? machine : options.threads, 256u);
  internal::OnThreads(std::min(wanted, chunks), work, [&stopped] { stopped.store(true); });
  if (stopped.load()) return absl::CancelledError("repricing was stopped");
  return absl::OkStatus();
}

TW_INLINE absl::StatusOr<Request> Repricer::RequestFor(const GoodsColumns& goods, std::size_t row,
                                                       std::size_t lane) const {
  if (absl::Status status = internal::CheckColumns(goods); !status.ok()) return status;
  if (row >= goods.rows)
    return internal::Invalid("row " + std::to_string(row) + ": found " + std::to_string(goods.rows) + " rows");
  if (lane >= lanes().size()) {
    return internal::Invalid("lane " + std::to_string(lane) + ": found " + std::to_string(lanes().size()) + " lanes");
  }
  const std::vector<std::uint32_t> numbers = shared_->store.NumberContents(goods.contents_classes);
  const internal::ContentsNumbers contents{goods.contents_classes, numbers};
  const std::vector<std::size_t> rows = internal::RowsWith(goods, row);
  internal::OrderReader reader(shared_->store, goods, contents);
  if (reader.Read(rows) != RowReason::kPriced) {
    // Of an order a row that is wrong itself is told.
    std::size_t bad = 0;
    while (reader.reasons()[bad] == RowReason::kOrderNotPriced) ++bad;
    return internal::Invalid("row " + std::to_string(rows[bad]) + ": " + std::string(NameOf(reader.reasons()[bad])));
  }
  return internal::RequestOnLane(shared_->store.plan(), reader.Items(), lane);
}

}  // namespace tarewise::inline TW_VERSIONED

#endif  // TAREWISE_BATCH_INTERNAL_REPRICE_INL_H_
