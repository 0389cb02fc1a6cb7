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
#include "tarewise/batch/internal/run.h"
#include "tarewise/batch/internal/threads.h"
#include "tarewise/batch/reprice.h"
#include "tarewise/units/internal/quantity_text.h"

namespace tarewise {

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
  const std::size_t chunks = (goods.rows + internal::kChunkRows - 1) / internal::kChunkRows;
  std::atomic<std::size_t> next{0};
  std::atomic<bool> stopped{false};
  std::mutex progress_mutex;
  std::size_t done = 0;

  auto work = [&] {
    std::unique_ptr<internal::RepriceWorker> worker = shared_->TakeWorker();
    const auto block = std::make_unique<internal::RowBlock>();
    internal::ResultWriter writer(shared_->store.plan(), results);
    while (!stopped.load(std::memory_order_relaxed)) {
      const std::size_t chunk = next.fetch_add(1, std::memory_order_relaxed);
      if (chunk >= chunks) break;
      const std::size_t end = std::min(goods.rows, (chunk + 1) * internal::kChunkRows);
      for (std::size_t first = chunk * internal::kChunkRows; first < end; first += internal::GoodsBlock::kRows) {
        const std::size_t count = std::min(internal::GoodsBlock::kRows, end - first);
        internal::PriceBlock(goods, contents, first, count, options.one_by_one, *block, *worker, writer);
      }
      if (options.progress) {
        const std::lock_guard<std::mutex> lock(progress_mutex);
        done += end - chunk * internal::kChunkRows;
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
  const auto block = std::make_unique<internal::GoodsBlock>();
  block->Read(goods, row, 1);
  internal::Goods checked;
  const RowReason reason = block->Check(0, {goods.contents_classes, numbers}, checked);
  if (reason != RowReason::kPriced) {
    return internal::Invalid("row " + std::to_string(row) + ": " + std::string(NameOf(reason)));
  }
  Item item;
  item.quantity = block->quantity(0);
  item.weight = Weight::Nanograms(checked.weight / item.quantity);
  for (std::size_t i = 0; i < 3; ++i) item.sides[i] = Length::Nanometres(block->side(0, i));
  item.value = Amount::Micros(checked.value / item.quantity);
  item.contents = shared_->store.ContentsOf(checked.contents)->contents;
  item.shape = checked.shape;
  item.this_side_up = checked.up;
  item.rigid = checked.rigid;
  item.bare_allowed = checked.bare;
  const Shipment& shipment = dispatch(lane)->shipment();
  Request request;
  request.goods.push_back(std::move(item));
  request.lane = shipment.lane;
  request.date = shipment.date;
  request.time = shipment.time;
  request.promise = shipment.promise;
  request.accepts = shipment.accepts;
  request.extras = shipment.extras;
  request.cover = shipment.cover;
  request.cash_on_delivery = shipment.cash_on_delivery;
  request.currency = currency();
  request.exchange = shipment.exchange;
  request.totals = shipment.totals;
  request.week = shipment.week;
  request.padding = setup().padding;
  request.fill_weight = setup().fill_weight;
  request.allowance = setup().allowance;
  return request;
}

}  // namespace tarewise

#endif  // TAREWISE_BATCH_INTERNAL_REPRICE_INL_H_
