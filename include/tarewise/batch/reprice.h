#ifndef TAREWISE_BATCH_REPRICE_H_
#define TAREWISE_BATCH_REPRICE_H_

#include <algorithm>
#include <atomic>
#include <cstddef>
#include <cstdint>
#include <functional>
#include <memory>
#include <mutex>
#include <new>
#include <numeric>
#include <optional>
#include <span>
#include <string>
#include <thread>
#include <utility>
#include <vector>

#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "tarewise/batch/columns.h"
#include "tarewise/batch/internal/goods.h"
#include "tarewise/batch/internal/plan.h"
#include "tarewise/batch/internal/store.h"
#include "tarewise/batch/internal/threads.h"
#include "tarewise/batch/internal/worker.h"
#include "tarewise/batch/setup.h"
#include "tarewise/ranking/cautions.h"
#include "tarewise/ranking/dispatch.h"
#include "tarewise/ranking/request.h"
#include "tarewise/units/money.h"

namespace tarewise {

/// Stands for a total that there is not.
inline constexpr std::int64_t kNoTotal = -1;

/// Columns out: each may be left out (nothing). Arrays of rows x lanes are row after row, a row's lanes side by side.
/// All totals are in millionths of the ranking's currency, packaging included; `kNoTotal` where there is none.
struct RepriceResults {
  std::int64_t* total = nullptr;      ///< Rows x lanes: the best offer's total.
  std::int16_t* service = nullptr;    ///< Rows x lanes: its service, an index into `Repricer::services()`, or -1.
  std::int16_t* packaging = nullptr;  ///< Rows x lanes: its packaging, an index into `Repricer::packagings()`, or -1.
  std::int64_t* second_total = nullptr;  ///< Rows x lanes: the least total of another service, whatever its packaging.
  std::int64_t* worst = nullptr;         ///< Rows: the dearest of the lanes' totals (of those that have one).
  std::int32_t* worst_lane = nullptr;    ///< Rows: its lane, the first of equals: the farthest place. -1: none.
  std::int64_t* expected = nullptr;      ///< Rows: mean of the lanes' totals weighted by shares, half up to
                                         ///< `Repricer::mean_step()`. None where a lane with a share has no total.
  std::int64_t* quantile = nullptr;  ///< Rows x `levels`: the least total that at least that part of the shares does
                                     ///< not pass. None where `expected` has none.
  std::span<const std::int64_t> levels;  ///< Of the quantiles, in millionths of the whole: 0 to 1,000,000.
  std::uint8_t* reason = nullptr;        ///< Rows: a `RowReason`.
  std::uint32_t* cautions = nullptr;     ///< Rows: `CautionSet::bits` of the goods and of the best offers on the lanes,
                                         ///< what closes a list left out. 0 where the row cannot be read.
};

struct RepriceOptions {
  unsigned threads = 1;  ///< 0: as many as the machine has, at most 256. The results never depend on it.
  /// Prices every packaging and service for each row, as a check: much slower, the same answers.
  bool one_by_one = false;
  /// Called now and then, by one thread at a time, with how many rows are done; false stops the run.
  std::function<bool(std::size_t rows_done)> progress = {};
};

/// Prices catalogues: every row for every lane, with the very totals, services and packagings that `Rank` puts first.
/// What rows share is worked out once, on first need, and kept: from then on a row is a test of which packagings fit
/// and a look-up. Safe from any thread; copies share what has been worked out.
class Repricer {
 public:
  /// Errors: InvalidArgument as `Dispatch::Create` and for lanes, shares, padding, fill or allowance out of range, and
  /// for more than 32,000 services or packagings.
  static absl::StatusOr<Repricer> Create(RepriceSetup setup) {
    absl::StatusOr<std::shared_ptr<const internal::RepricePlan>> plan = internal::RepricePlan::Create(std::move(setup));
    if (!plan.ok()) return plan.status();
    Repricer repricer;
    repricer.shared_ = std::make_shared<Shared>(*std::move(plan));
    return repricer;
  }

  /// The same shelf, lanes and terms with other rates. What has been worked out here and still holds is taken over, so
  /// that a change of one service costs little. Errors: as `Create`.
  absl::StatusOr<Repricer> WithRates(std::shared_ptr<const Ratebook> book) const {
    RepriceSetup setup = this->setup();
    setup.book = std::move(book);
    absl::StatusOr<std::shared_ptr<const internal::RepricePlan>> plan = internal::RepricePlan::Create(std::move(setup));
    if (!plan.ok()) return plan.status();
    Repricer repricer;
    repricer.shared_ = std::make_shared<Shared>(*std::move(plan), store());
    return repricer;
  }

  /// Fills the columns asked for. A bad row gets its reason and never stops the rest. Where a thread cannot be started,
  /// fewer do the work. Throws std::bad_alloc where memory runs out, and whatever `progress` throws; rows that were not
  /// done are then untouched.
  ///
  /// Errors: InvalidArgument where weight or a side is not given, a unit is 0 or less, a column of counts, codes or
  /// flags holds floating point, a level is out of range, or a result of a mix is asked for without shares; Cancelled
  /// where `progress` said so: rows that were not done are then untouched. Nothing is allocated that grows with the
  /// rows.
  absl::Status Run(const GoodsColumns& goods, const RepriceResults& results, const RepriceOptions& options = {}) const;

  /// The request that `Rank` takes for one row and lane, for every offer, line and reason of it. Rank it with
  /// `dispatch(lane)` and the shelf. Errors: InvalidArgument as `Run`, and where the row itself is bad.
  absl::StatusOr<Request> RequestFor(const GoodsColumns& goods, std::size_t row, std::size_t lane) const;

  std::span<const ServiceName> services() const { return plan().service_names(); }
  /// The shelf's own in its order, then those issued; "estimate" alone without a shelf.
  std::span<const PackagingName> packagings() const { return plan().packaging_names(); }
  const std::vector<Lane>& lanes() const { return plan().setup().lanes; }
  Currency currency() const { return plan().currency(); }
  /// What means are rounded to, in millionths: the currency's minor unit, or the step of ten below it that the totals
  /// keep (0.001 where a tariff rounds its totals to that).
  std::int64_t mean_step() const { return plan().mean_step(); }
  const RepriceSetup& setup() const { return plan().setup(); }
  const std::shared_ptr<const Dispatch>& dispatch(std::size_t lane) const { return plan().dispatch(lane); }
  /// How many of the lanes are different to any service: rows cost by these.
  std::size_t lane_classes() const { return plan().classes(); }
  /// Bytes of what has been worked out so far: bounded, about 512 MiB at most.
  std::size_t bytes() const { return store().bytes(); }

 private:
  friend class RepriceIndex;

  // Rows that a thread takes at once: fixed, so that nothing depends on how many threads there are.
  static constexpr std::size_t kChunkRows = 16 * internal::GoodsBlock::kRows;

  struct Shared {
    explicit Shared(std::shared_ptr<const internal::RepricePlan> plan) : store(std::move(plan)) {}
    Shared(std::shared_ptr<const internal::RepricePlan> plan, const internal::RepriceStore& past)
        : store(std::move(plan), past) {}
    internal::RepriceStore store;
    std::mutex mutex;
    std::vector<std::unique_ptr<internal::RepriceWorker>> idle;
  };

  class Writer;
  struct Block;

  const internal::RepricePlan& plan() const { return shared_->store.plan(); }
  internal::RepriceStore& store() const { return shared_->store; }

  std::unique_ptr<internal::RepriceWorker> TakeWorker() const {
    {
      const std::lock_guard<std::mutex> lock(shared_->mutex);
      if (!shared_->idle.empty()) {
        std::unique_ptr<internal::RepriceWorker> worker = std::move(shared_->idle.back());
        shared_->idle.pop_back();
        return worker;
      }
    }
    return std::make_unique<internal::RepriceWorker>(store());
  }
  void GiveBack(std::unique_ptr<internal::RepriceWorker> worker) const {
    const std::lock_guard<std::mutex> lock(shared_->mutex);
    try {
      shared_->idle.push_back(std::move(worker));
    } catch (const std::bad_alloc&) {
      // Only its shortcuts are lost.
    }
  }

  static void PriceBlock(const GoodsColumns& goods, const internal::ContentsNumbers& contents, std::size_t first,
                         std::size_t count, bool one_by_one, Block& block, internal::RepriceWorker& worker,
                         Writer& writer);
  static absl::Status CheckColumns(const GoodsColumns& goods);
  absl::Status CheckResults(const RepriceResults& results) const;

  std::shared_ptr<Shared> shared_;
};

/// Writes the answers of rows into result columns.
class Repricer::Writer {
 public:
  Writer(const internal::RepricePlan& plan, const RepriceResults& results)
      : plan_(plan),
        results_(results),
        lanes_(plan.lane_class().size()),
        mixed_(results.expected != nullptr || results.quantile != nullptr),
        rows_(mixed_ || results.worst != nullptr || results.worst_lane != nullptr),
        mean_step_(plan.mean_step()),
        by_class_(plan.classes()),
        shares_(plan.classes(), 0) {
    const std::vector<std::int64_t>& shares = plan.setup().shares;
    for (std::size_t lane = 0; lane < shares.size(); ++lane) {
      shares_[plan.lane_class()[lane]] += shares[lane];
      sum_ += shares[lane];
    }
    // Where the sum of products surely fits 64 bits.
    small_total_ = sum_ > 0 ? std::numeric_limits<std::int64_t>::max() / 2 / sum_ : 0;
    for (const std::int64_t level : results.levels) {
      const Int128 need = (Int128(level) * sum_ + 999'999) / 1'000'000;
      needed_.push_back(std::max<std::int64_t>(static_cast<std::int64_t>(need), 1));
    }
    by_total_.reserve(plan.classes());
  }

  void None(std::size_t row, RowReason reason) {
    const std::size_t at = row * lanes_;
    if (results_.total != nullptr) std::fill_n(results_.total + at, lanes_, kNoTotal);
    if (results_.service != nullptr) std::fill_n(results_.service + at, lanes_, std::int16_t{-1});
    if (results_.packaging != nullptr) std::fill_n(results_.packaging + at, lanes_, std::int16_t{-1});
    if (results_.second_total != nullptr) std::fill_n(results_.second_total + at, lanes_, kNoTotal);
    if (results_.worst != nullptr) results_.worst[row] = kNoTotal;
    if (results_.worst_lane != nullptr) results_.worst_lane[row] = -1;
    if (results_.expected != nullptr) results_.expected[row] = kNoTotal;
    NoQuantiles(row);
    if (results_.reason != nullptr) results_.reason[row] = static_cast<std::uint8_t>(reason);
  }

  bool cautions() const { return results_.cautions != nullptr; }

  /// The cautions of goods as they are, and whether those of an offer may be others.
  void OwnCautions(const internal::Goods& goods, CautionSet& own, bool& by_offer) const {
    own = CautionsOfGoods(goods.traits, Weight::Nanograms(goods.weight));
    by_offer = NeverByAir(goods.traits) || CautionsOf(Weight::Nanograms(goods.weight)) !=
                                               CautionsOf(Weight::Nanograms(goods.weight + plan_.most_around()));
  }

  /// The goods' own are known; those of offers are looked for where `goods` is given.
  void PutCautions(std::size_t row, const internal::RepriceWorker::Place& place, CautionSet own,
                   const internal::Goods* goods) {
    if (place.reason != RowReason::kPriced && place.reason != RowReason::kFitsNothing) own = {};
    const internal::Way* ways = place.words != nullptr ? place.words + 2 * plan_.classes() : place.ways;
    if (goods != nullptr && place.reason == RowReason::kPriced) {
      for (std::size_t c = 0; c < plan_.classes(); ++c) {
        const auto service = static_cast<std::int16_t>(internal::ServiceOf(ways[c]));
        if (service < 0) continue;
        const internal::Pack& pack = plan_.packs()[internal::PackagingOf(ways[c])];
        own.AddAll(CautionsOfOffer(goods->traits, Weight::Nanograms(pack.Gross(goods->weight)),
                                   plan_.services()[static_cast<std::size_t>(service)].facts.service().mode));
      }
    }
    results_.cautions[row] = own.bits();
  }

  void Put(std::size_t row, const internal::RepriceWorker::Place& place) {
    if (place.words == nullptr && place.totals == nullptr) return None(row, place.reason);
    const std::size_t classes = plan_.classes();
    if (place.words != nullptr) {
      Write(row, place.words, place.words + classes, place.words + 2 * classes, plan_.unit());
    } else {
      Write(row, place.totals, place.totals + classes, place.ways, std::int64_t{1});
    }
  }

 private:
  template <typename T>
  static std::int64_t Shown(T total, std::int64_t unit) {
    return total == internal::Answers<T>::kNone ? kNoTotal : static_cast<std::int64_t>(total) * unit;
  }

  template <typename T>
  void Write(std::size_t row, const T* totals, const T* seconds, const internal::Way* ways, std::int64_t unit) {
    if (plan_.plain_lanes()) {
      Lanes(row * lanes_, totals, seconds, ways, unit, [](std::size_t lane) { return lane; });
    } else {
      const std::uint32_t* of = plan_.lane_class().data();
      Lanes(row * lanes_, totals, seconds, ways, unit, [of](std::size_t lane) { return of[lane]; });
    }
    const std::size_t classes = plan_.classes();
    if (results_.reason != nullptr) {
      std::size_t offered = 0;
      for (std::size_t c = 0; c < classes; ++c) offered += totals[c] != internal::Answers<T>::kNone ? 1 : 0;
      const RowReason reason = offered == classes ? RowReason::kPriced
                               : offered == 0     ? RowReason::kOfferedNowhere
                                                  : RowReason::kNotEverywhere;
      results_.reason[row] = static_cast<std::uint8_t>(reason);
    }
    if (!rows_) return;
    std::int64_t worst = kNoTotal;
    std::int32_t worst_lane = -1;
    for (std::size_t c = 0; c < classes; ++c) {
      by_class_[c] = Shown(totals[c], unit);
      // Classes come in the order of their first lanes, so the first of equals is the first lane.
      if (by_class_[c] <= worst) continue;
      worst = by_class_[c];
      worst_lane = static_cast<std::int32_t>(plan_.class_lanes()[c]);
    }
    if (results_.worst != nullptr) results_.worst[row] = worst;
    if (results_.worst_lane != nullptr) results_.worst_lane[row] = worst_lane;
    if (mixed_) Mix(row, by_class_.data(), worst);
  }

  template <typename T, typename ClassOf>
  void Lanes(std::size_t at, const T* totals, const T* seconds, const internal::Way* ways, std::int64_t unit,
             ClassOf class_of) {
    if (results_.total != nullptr) {
      std::int64_t* out = results_.total + at;
      for (std::size_t i = 0; i < lanes_; ++i) out[i] = Shown(totals[class_of(i)], unit);
    }
    if (results_.second_total != nullptr) {
      std::int64_t* out = results_.second_total + at;
      for (std::size_t i = 0; i < lanes_; ++i) out[i] = Shown(seconds[class_of(i)], unit);
    }
    if (results_.service != nullptr) {
      std::int16_t* out = results_.service + at;
      for (std::size_t i = 0; i < lanes_; ++i)
        out[i] = static_cast<std::int16_t>(internal::ServiceOf(ways[class_of(i)]));
    }
    if (results_.packaging != nullptr) {
      std::int16_t* out = results_.packaging + at;
      for (std::size_t i = 0; i < lanes_; ++i)
        out[i] = static_cast<std::int16_t>(internal::PackagingOf(ways[class_of(i)]));
    }
  }

  void NoQuantiles(std::size_t row) {
    if (results_.quantile == nullptr) return;
    std::fill_n(results_.quantile + row * needed_.size(), needed_.size(), kNoTotal);
  }

  void Mix(std::size_t row, const std::int64_t* totals, std::int64_t worst) {
    const std::size_t classes = plan_.classes();
    bool known = true;
    for (std::size_t c = 0; c < classes; ++c) known = known && (shares_[c] == 0 || totals[c] != kNoTotal);
    if (!known) {
      if (results_.expected != nullptr) results_.expected[row] = kNoTotal;
      NoQuantiles(row);
      return;
    }
    if (results_.expected != nullptr) results_.expected[row] = Mean(totals, worst);
    if (results_.quantile == nullptr) return;
    by_total_.clear();
    for (std::size_t c = 0; c < classes; ++c) {
      if (shares_[c] > 0) by_total_.emplace_back(totals[c], shares_[c]);
    }
    std::sort(by_total_.begin(), by_total_.end());
    for (std::size_t i = 0; i < needed_.size(); ++i) {
      std::int64_t reached = 0;
      std::size_t at = 0;
      while ((reached += by_total_[at].second) < needed_[i]) ++at;
      results_.quantile[row * needed_.size() + i] = by_total_[at].first;
    }
  }

  std::int64_t Mean(const std::int64_t* totals, std::int64_t worst) const {
    const std::size_t classes = plan_.classes();
    if (worst <= small_total_) {
      std::int64_t sum = 0;
      for (std::size_t c = 0; c < classes; ++c) sum += shares_[c] * totals[c];
      const std::int64_t divisor = sum_ * mean_step_;
      if (sum >= 0) return (sum / divisor + (sum % divisor >= divisor - divisor / 2 ? 1 : 0)) * mean_step_;
    }
    Int128 sum = 0;
    for (std::size_t c = 0; c < classes; ++c) {
      if (shares_[c] != 0) sum += Int128(shares_[c]) * totals[c];
    }
    return static_cast<std::int64_t>(DivideRounded(sum, sum_, mean_step_, RoundMode::kHalfUp));
  }

  const internal::RepricePlan& plan_;
  const RepriceResults& results_;
  std::size_t lanes_;
  bool mixed_;
  bool rows_;  // something beside the lanes is asked for
  std::int64_t mean_step_;
  std::vector<std::int64_t> by_class_;
  std::vector<std::int64_t> shares_;
  std::int64_t sum_ = 0;
  std::int64_t small_total_ = 0;
  std::vector<std::int64_t> needed_;  // by level: how much of the shares
  std::vector<std::pair<std::int64_t, std::int64_t>> by_total_;
};

inline absl::Status Repricer::CheckColumns(const GoodsColumns& goods) {
  auto bad = [](std::string_view name, std::string_view what) {
    return internal::Invalid("column " + std::string(name) + ": " + std::string(what));
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
      {"quantity", &goods.quantity}, {"contents", &goods.contents},
      {"shape", &goods.shape},       {"this_side_up", &goods.this_side_up},
      {"rigid", &goods.rigid},       {"bare", &goods.bare},
      {"missing", &goods.missing}};
  for (const auto& [name, column] : wholes) {
    if (column->given() && (column->element == Element::kFloat32 || column->element == Element::kFloat64)) {
      return bad(name, "found floating point, expected whole numbers");
    }
  }
  return absl::OkStatus();
}

inline absl::Status Repricer::CheckResults(const RepriceResults& results) const {
  if ((results.expected != nullptr || results.quantile != nullptr) && setup().shares.empty()) {
    return internal::Invalid("found no shares, expected a destination mix for expected totals and quantiles");
  }
  for (const std::int64_t level : results.levels) {
    if (level < 0 || level > 1'000'000) {
      return internal::Invalid("levels: found " + std::to_string(level) + ", expected 0 to 1000000 millionths");
    }
  }
  return absl::OkStatus();
}

// Rows on their way from columns to columns.
struct Repricer::Block {
  internal::GoodsBlock goods;
  internal::Goods row;
  internal::RepriceWorker::Place places[internal::GoodsBlock::kRows];
  CautionSet cautions[internal::GoodsBlock::kRows];  // the goods' own
  bool by_offer[internal::GoodsBlock::kRows];        // whether the best offers may have others
  std::uint16_t slow[internal::GoodsBlock::kRows];
};

// First all look-ups, so that the memory that they point to is on its way, then what they found.
inline void Repricer::PriceBlock(const GoodsColumns& goods, const internal::ContentsNumbers& contents,
                                 std::size_t first, std::size_t count, bool one_by_one, Block& block,
                                 internal::RepriceWorker& worker, Writer& writer) {
  block.goods.Read(goods, first, count);
  const bool cautions = writer.cautions();
  std::size_t slow = 0;
  for (std::size_t i = 0; i < count; ++i) {
    internal::RepriceWorker::Place& place = block.places[i];
    place.words = nullptr;
    place.reason = block.goods.Check(i, contents, block.row);
    if (place.reason != RowReason::kPriced) continue;
    if (cautions) writer.OwnCautions(block.row, block.cautions[i], block.by_offer[i]);
    if (one_by_one || !worker.Locate(block.row, place)) block.slow[slow++] = static_cast<std::uint16_t>(i);
    if (place.words != nullptr) __builtin_prefetch(place.words);
  }
  std::size_t next_slow = 0;
  for (std::size_t i = 0; i < count; ++i) {
    internal::RepriceWorker::Place place = block.places[i];
    if (next_slow < slow && block.slow[next_slow] == i) {
      ++next_slow;
      static_cast<void>(block.goods.Check(i, contents, block.row));
      place = one_by_one ? worker.PriceOneByOne(block.row) : worker.Price(block.row);
    }
    writer.Put(first + i, place);
    if (!cautions) continue;
    const bool by_offer = place.reason == RowReason::kPriced && block.by_offer[i];
    if (by_offer) static_cast<void>(block.goods.Check(i, contents, block.row));
    writer.PutCautions(first + i, place, block.cautions[i], by_offer ? &block.row : nullptr);
  }
}

inline absl::Status Repricer::Run(const GoodsColumns& goods, const RepriceResults& results,
                                  const RepriceOptions& options) const {
  if (absl::Status status = CheckColumns(goods); !status.ok()) return status;
  if (absl::Status status = CheckResults(results); !status.ok()) return status;
  const std::vector<std::uint32_t> numbers = store().NumberContents(goods.contents_classes);
  const internal::ContentsNumbers contents{goods.contents_classes, numbers};
  const std::size_t chunks = (goods.rows + kChunkRows - 1) / kChunkRows;
  std::atomic<std::size_t> next{0};
  std::atomic<bool> stopped{false};
  std::mutex progress_mutex;
  std::size_t done = 0;

  auto work = [&] {
    std::unique_ptr<internal::RepriceWorker> worker = TakeWorker();
    const auto block = std::make_unique<Block>();
    Writer writer(plan(), results);
    while (!stopped.load(std::memory_order_relaxed)) {
      const std::size_t chunk = next.fetch_add(1, std::memory_order_relaxed);
      if (chunk >= chunks) break;
      const std::size_t end = std::min(goods.rows, (chunk + 1) * kChunkRows);
      for (std::size_t first = chunk * kChunkRows; first < end; first += internal::GoodsBlock::kRows) {
        const std::size_t count = std::min(internal::GoodsBlock::kRows, end - first);
        PriceBlock(goods, contents, first, count, options.one_by_one, *block, *worker, writer);
      }
      if (options.progress) {
        const std::lock_guard<std::mutex> lock(progress_mutex);
        done += end - chunk * kChunkRows;
        if (!stopped.load(std::memory_order_relaxed) && !options.progress(done)) stopped.store(true);
      }
    }
    GiveBack(std::move(worker));
  };

  const unsigned machine = std::max(1u, std::thread::hardware_concurrency());
  const std::size_t wanted = std::min(options.threads == 0 ? machine : options.threads, 256u);
  internal::OnThreads(std::min(wanted, chunks), work, [&stopped] { stopped.store(true); });
  if (stopped.load()) return absl::CancelledError("repricing was stopped");
  return absl::OkStatus();
}

inline absl::StatusOr<Request> Repricer::RequestFor(const GoodsColumns& goods, std::size_t row,
                                                    std::size_t lane) const {
  if (absl::Status status = CheckColumns(goods); !status.ok()) return status;
  if (row >= goods.rows)
    return internal::Invalid("row " + std::to_string(row) + ": found " + std::to_string(goods.rows) + " rows");
  if (lane >= lanes().size()) {
    return internal::Invalid("lane " + std::to_string(lane) + ": found " + std::to_string(lanes().size()) + " lanes");
  }
  const std::vector<std::uint32_t> numbers = store().NumberContents(goods.contents_classes);
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
  item.contents = *store().ContentsOf(checked.contents);
  item.shape = checked.shape;
  item.this_side_up = checked.up;
  item.rigid = checked.rigid;
  item.bare_allowed = checked.bare;
  const Dispatch::Terms& terms = dispatch(lane)->terms();
  Request request;
  request.goods.push_back(std::move(item));
  request.lane = terms.lane;
  request.date = terms.date;
  request.promise = terms.promise;
  request.extras = terms.extras;
  request.cover = terms.cover;
  request.currency = currency();
  request.exchange = terms.exchange;
  request.padding = setup().padding;
  request.fill_weight = setup().fill_weight;
  request.allowance = setup().allowance;
  return request;
}

}  // namespace tarewise

#endif  // TAREWISE_BATCH_REPRICE_H_
