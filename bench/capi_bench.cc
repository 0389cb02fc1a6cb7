// What the C interface costs over the C++ that it calls: the typed call by parcels of the demonstration catalogue, and
// the catalogue by columns. Each pair prices the same, and checks that it does before it is timed.
//
// Aims: a typed call at most 15 % over C++, a batch at most 3 %; an explained ranking with its document below three
// times the ranking alone.
#include <benchmark/benchmark.h>
#include <tarewise_c.h>

#include <cstdint>
#include <fstream>
#include <iterator>
#include <memory>
#include <span>
#include <string>
#include <utility>
#include <vector>

#include "support/catalogue.h"
#include "support/demo_goods.h"
#include "tarewise/batch/reprice.h"
#include "tarewise/documents/load.h"
#include "tarewise/ranking/internal/pieces.h"
#include "tarewise/ranking/rank.h"
#include "tarewise/ranking/totals.h"

namespace {

using tarewise::testing::Demo;
using tarewise::testing::Stop;

struct Parcel {
  std::int64_t weight;
  std::int64_t sides[3];
  std::int32_t shape;
};

// Weights, sides and shapes of the catalogue, as closed parcels.
const std::vector<Parcel>& Parcels() {
  static const std::vector<Parcel> parcels = [] {
    std::vector<Parcel> out;
    for (const tarewise::testing::CatalogueRow& row : tarewise::testing::Catalogue()) {
      const tarewise::Item item = tarewise::testing::ItemOf(row);
      Parcel parcel{};
      parcel.weight = item.weight.nanograms();
      for (std::size_t i = 0; i < 3; ++i) parcel.sides[i] = item.sides[i].nanometres();
      parcel.shape = static_cast<std::int32_t>(item.shape);
      out.push_back(parcel);
    }
    return out;
  }();
  return parcels;
}

struct Cpp {
  std::shared_ptr<const tarewise::Ratebook> book;
  std::shared_ptr<const tarewise::Shelf> shelf;
  std::shared_ptr<const tarewise::Dispatch> dispatch;
  tarewise::Request request;
};

const Cpp& CppSide() {
  static const Cpp cpp = [] {
    Cpp out;
    out.book = Demo().book;
    out.shelf = Demo().shelf;
    out.request = tarewise::testing::RequestOn(tarewise::testing::LaneTo("US", "60614"));
    out.dispatch = std::make_shared<const tarewise::Dispatch>(
        *tarewise::Dispatch::Create(out.book, tarewise::Shipment::Of(out.request, out.shelf.get())));
    return out;
  }();
  return cpp;
}

struct C {
  tw_ratebook* book = nullptr;
  tw_dispatch* dispatch = nullptr;
  tw_shipment shipment = TW_SHIPMENT_INIT;
};

const C& CSide() {
  static const C c = [] {
    C out;
    tw_error* error = nullptr;
    tw_error_create(&error);
    out.shipment.from_country = out.shipment.to_country = "US";
    out.shipment.from_postal_code = "05401";
    out.shipment.to_postal_code = "60614";
    out.shipment.to_residential = 1;
    out.shipment.currency = "USD";
    if (tw_parse_date(&out.shipment.date, "2026-08-03", error) != TW_OK ||
        tw_ratebook_load_folder(&out.book, tarewise::testing::DemoFolder().c_str(), error) != TW_OK ||
        tw_dispatch_create(&out.dispatch, out.book, tw_ratebook_shelf(out.book), &out.shipment, error) != TW_OK) {
      Stop(tw_error_message(error));
    }
    tw_error_free(error);
    return out;
  }();
  return c;
}

// ---- totals of a closed parcel ----

class CppTotals {
 public:
  std::int64_t Best(const Parcel& parcel) {
    facts_ = tarewise::ParcelFacts();
    facts_.weight = parcel.weight;
    facts_.sides = tarewise::internal::Sorted({parcel.sides[0], parcel.sides[1], parcel.sides[2]});
    facts_.shape = static_cast<tarewise::Shape>(parcel.shape);
    facts_.kind = tarewise::KindOf(facts_.shape);
    facts_.contents = &contents_;
    facts_.items = {one_, 1};
    tarewise::RankTotals(*cpp_.dispatch, facts_, tarewise::Amount(), {}, totals_);
    return totals_.offers.empty() ? -1 : totals_.offers[0].total.micros();
  }

 private:
  const Cpp& cpp_ = CppSide();
  tarewise::Contents contents_;
  const tarewise::Contents* one_[1] = {&contents_};
  tarewise::ParcelFacts facts_;
  tarewise::TotalsResult totals_;
};

class CParcel {
 public:
  explicit CParcel(std::int32_t detail) {
    if (tw_ranking_create(&ranking_, nullptr) != TW_OK || tw_error_create(&error_) != TW_OK) Stop("no memory");
    request_.parcel = &parcel_;
    request_.detail = detail;
  }
  CParcel(const CParcel&) = delete;
  ~CParcel() {
    tw_ranking_free(ranking_);
    tw_error_free(error_);
  }
  std::int64_t Best(const Parcel& parcel) {
    parcel_.weight_ng = parcel.weight;
    for (std::size_t i = 0; i < 3; ++i) parcel_.sides_nm[i] = parcel.sides[i];
    parcel_.shape = parcel.shape;
    if (tw_rank(ranking_, c_.dispatch, &request_, error_) != TW_OK) Stop(tw_error_message(error_));
    if (tw_ranking_offer_count(ranking_) == 0) return -1;
    if (tw_ranking_offer(&offer_, ranking_, 0, error_) != TW_OK) Stop(tw_error_message(error_));
    return offer_.total_micros;
  }

 private:
  const C& c_ = CSide();
  tw_ranking* ranking_ = nullptr;
  tw_error* error_ = nullptr;
  tw_parcel parcel_ = TW_PARCEL_INIT;
  tw_request request_ = TW_REQUEST_INIT;
  tw_offer offer_ = TW_OFFER_INIT;
};

// ---- a full ranking of a closed parcel ----

class CppFull {
 public:
  std::int64_t Best(const Parcel& parcel) {
    tarewise::Request request = cpp_.request;
    request.parcel.emplace();
    request.parcel->weight = tarewise::Weight::Nanograms(parcel.weight);
    request.parcel->sides = tarewise::Dimensions(tarewise::Length::Nanometres(parcel.sides[0]),
                                                 tarewise::Length::Nanometres(parcel.sides[1]),
                                                 tarewise::Length::Nanometres(parcel.sides[2]));
    request.parcel->shape = static_cast<tarewise::Shape>(parcel.shape);
    const auto ranking = tarewise::Rank(cpp_.dispatch, cpp_.shelf, std::move(request));
    return ranking->offers().empty() ? -1 : ranking->offers()[0].total.micros();
  }

 private:
  const Cpp& cpp_ = CppSide();
};

template <typename A, typename B>
void CheckSame(A& a, B& b) {
  for (std::size_t i = 0; i < Parcels().size(); i += 7) {
    if (a.Best(Parcels()[i]) != b.Best(Parcels()[i])) Stop("C and C++ differ on parcel " + std::to_string(i));
  }
}

template <typename Side>
void Run(benchmark::State& state, Side& side) {
  std::size_t i = 0;
  std::int64_t sum = 0;
  const std::vector<Parcel>& parcels = Parcels();
  for (auto _ : state) {
    sum += side.Best(parcels[i]);
    if (++i == parcels.size()) i = 0;
  }
  benchmark::DoNotOptimize(sum);
  state.SetItemsProcessed(state.iterations());
}

void TypedTotalsCpp(benchmark::State& state) {
  CppTotals side;
  Run(state, side);
}
void TypedTotalsC(benchmark::State& state) {
  CParcel side(TW_DETAIL_TOTALS);
  CppTotals cpp;
  CheckSame(cpp, side);
  Run(state, side);
}
void TypedFullCpp(benchmark::State& state) {
  CppFull side;
  Run(state, side);
}
void TypedFullC(benchmark::State& state) {
  CParcel side(TW_DETAIL_FULL);
  CppFull cpp;
  CheckSame(cpp, side);
  Run(state, side);
}

// The explained ranking of a closed parcel, and the same with its document: whole, and as little as helps a seller.
class CDocument {
 public:
  enum class Document { kNone, kWhole, kBest };
  explicit CDocument(Document document) : document_(document) {
    if (tw_ranking_create(&ranking_, nullptr) != TW_OK || tw_error_create(&error_) != TW_OK) Stop("no memory");
    request_.parcel = &parcel_;
    request_.detail = TW_DETAIL_CHARGES;
    options_.most_offers = 1;
    options_.refusals = TW_REFUSALS_NONE;
    options_.without = TW_WITHOUT_THRESHOLDS;
  }
  CDocument(const CDocument&) = delete;
  ~CDocument() {
    tw_ranking_free(ranking_);
    tw_error_free(error_);
  }
  std::int64_t Best(const Parcel& parcel) {
    parcel_.weight_ng = parcel.weight;
    for (std::size_t i = 0; i < 3; ++i) parcel_.sides_nm[i] = parcel.sides[i];
    parcel_.shape = parcel.shape;
    if (tw_rank(ranking_, c_.dispatch, &request_, error_) != TW_OK) Stop(tw_error_message(error_));
    if (document_ == Document::kNone) return 0;
    const char* json = nullptr;
    std::size_t length = 0;
    if (tw_ranking_json_with(&json, &length, ranking_, document_ == Document::kBest ? &options_ : nullptr, error_) !=
        TW_OK) {
      Stop(tw_error_message(error_));
    }
    return static_cast<std::int64_t>(length);
  }

 private:
  const C& c_ = CSide();
  Document document_;
  tw_ranking* ranking_ = nullptr;
  tw_error* error_ = nullptr;
  tw_parcel parcel_ = TW_PARCEL_INIT;
  tw_request request_ = TW_REQUEST_INIT;
  tw_json_options options_ = TW_JSON_OPTIONS_INIT;
};

void ExplainedC(benchmark::State& state) {
  CDocument side(CDocument::Document::kNone);
  Run(state, side);
}
void ExplainedWholeJsonC(benchmark::State& state) {
  CDocument side(CDocument::Document::kWhole);
  Run(state, side);
}
void ExplainedBestJsonC(benchmark::State& state) {
  CDocument side(CDocument::Document::kBest);
  Run(state, side);
}

// An order of the demonstration with goods to pack: from its document to an answer, and to the answer's document. The
// argument is the detail.
class COrder {
 public:
  COrder() {
    if (tw_ranking_create(&ranking_, nullptr) != TW_OK || tw_error_create(&error_) != TW_OK) Stop("no memory");
    std::ifstream in(TW_TEST_ROOT "/tables/demo-orders/record.json");
    request_.assign(std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>());
  }
  COrder(const COrder&) = delete;
  ~COrder() {
    tw_ranking_free(ranking_);
    tw_error_free(error_);
  }
  std::size_t Answer(std::int32_t detail, bool document) {
    const C& c = CSide();
    if (tw_rank_json_with(ranking_, c.book, tw_ratebook_shelf(c.book), request_.data(), request_.size(), detail,
                          error_) != TW_OK) {
      Stop(tw_error_message(error_));
    }
    if (!document) return 0;
    const char* json = nullptr;
    std::size_t length = 0;
    if (tw_ranking_json(&json, &length, ranking_, -1, error_) != TW_OK) Stop(tw_error_message(error_));
    return length;
  }

 private:
  std::string request_;
  tw_ranking* ranking_ = nullptr;
  tw_error* error_ = nullptr;
};

void OrderC(benchmark::State& state) {
  COrder order;
  for (auto _ : state) order.Answer(static_cast<std::int32_t>(state.range(0)), false);
}
void OrderJsonC(benchmark::State& state) {
  COrder order;
  std::size_t bytes = 0;
  for (auto _ : state) bytes = order.Answer(static_cast<std::int32_t>(state.range(0)), true);
  state.counters["bytes"] = static_cast<double>(bytes);
}

BENCHMARK(TypedTotalsCpp);
BENCHMARK(TypedTotalsC);
BENCHMARK(TypedFullCpp)->Unit(benchmark::kMicrosecond);
BENCHMARK(TypedFullC)->Unit(benchmark::kMicrosecond);
BENCHMARK(ExplainedC)->Unit(benchmark::kMicrosecond);
BENCHMARK(ExplainedWholeJsonC)->Unit(benchmark::kMicrosecond);
BENCHMARK(ExplainedBestJsonC)->Unit(benchmark::kMicrosecond);
BENCHMARK(OrderC)->Arg(TW_DETAIL_CHARGES)->Arg(TW_DETAIL_FULL)->Unit(benchmark::kMicrosecond);
BENCHMARK(OrderJsonC)->Arg(TW_DETAIL_CHARGES)->Arg(TW_DETAIL_FULL)->Unit(benchmark::kMicrosecond);

// ---- a catalogue by columns ----

constexpr std::size_t kRows = 100'000;

struct Columns {
  std::vector<std::int64_t> weight, sides[3];
  std::vector<std::int32_t> shape;
  Columns() {
    for (std::size_t i = 0; i < kRows; ++i) {
      const Parcel& parcel = Parcels()[i % Parcels().size()];
      weight.push_back(parcel.weight + static_cast<std::int64_t>(i) * 1'000'000);
      for (std::size_t k = 0; k < 3; ++k) sides[k].push_back(parcel.sides[k]);
      shape.push_back(parcel.shape);
    }
  }
};

class CppBatch {
 public:
  CppBatch() {
    tarewise::RepriceSetup setup;
    setup.book = CppSide().book;
    setup.shelf = CppSide().shelf;
    setup.shipment = tarewise::Shipment::Of(CppSide().request, CppSide().shelf.get());
    setup.lanes.push_back(CppSide().request.lane);
    repricer_ = *tarewise::Repricer::Create(std::move(setup));
    goods_.rows = kRows;
    goods_.weight = tarewise::Column::Of(columns_.weight);
    for (std::size_t i = 0; i < 3; ++i) goods_.sides[i] = tarewise::Column::Of(columns_.sides[i]);
    goods_.shape = tarewise::Column::Of(columns_.shape);
  }
  void Price(std::vector<std::int64_t>& totals) const {
    totals.resize(kRows);
    tarewise::RepriceResults results;
    results.total = totals.data();
    if (!repricer_->Run(goods_, results).ok()) Stop("repricing failed");
  }

 private:
  Columns columns_;
  std::optional<tarewise::Repricer> repricer_;
  tarewise::GoodsColumns goods_;
};

class CBatch {
 public:
  CBatch() {
    tw_lane lane = TW_LANE_INIT;
    lane.from_country = lane.to_country = "US";
    lane.from_postal_code = "05401";
    lane.to_postal_code = "60614";
    lane.to_residential = 1;
    if (tw_repricer_create(&repricer_, CSide().book, tw_ratebook_shelf(CSide().book), &CSide().shipment, &lane, 1,
                           nullptr, nullptr) != TW_OK) {
      Stop("no repricer");
    }
    goods_.rows = kRows;
    goods_.weight = Of(columns_.weight.data(), 8, TW_ELEMENT_INT64);
    for (std::size_t i = 0; i < 3; ++i) goods_.sides[i] = Of(columns_.sides[i].data(), 8, TW_ELEMENT_INT64);
    goods_.shape = Of(columns_.shape.data(), 4, TW_ELEMENT_INT32);
  }
  CBatch(const CBatch&) = delete;
  ~CBatch() { tw_repricer_release(repricer_); }
  void Price(std::vector<std::int64_t>& totals) const {
    totals.resize(kRows);
    tw_results results = TW_RESULTS_INIT;
    results.total_micros = totals.data();
    if (tw_reprice(&results, repricer_, &goods_, nullptr, nullptr) != TW_OK) Stop("repricing failed");
  }

 private:
  static tw_column Of(const void* data, std::int64_t stride, std::int32_t element) {
    tw_column column = TW_COLUMN_INIT;
    column.data = data;
    column.stride = stride;
    column.element = element;
    column.unit = 1;
    return column;
  }
  Columns columns_;
  tw_repricer* repricer_ = nullptr;
  tw_goods goods_ = TW_GOODS_INIT;
};

template <typename Side>
void RunBatch(benchmark::State& state, const Side& side) {
  std::vector<std::int64_t> totals;
  side.Price(totals);
  for (auto _ : state) {
    side.Price(totals);
    benchmark::ClobberMemory();
  }
  state.SetItemsProcessed(state.iterations() * static_cast<std::int64_t>(kRows));
}

void BatchCpp(benchmark::State& state) { RunBatch(state, CppBatch()); }
void BatchC(benchmark::State& state) {
  const CBatch side;
  std::vector<std::int64_t> c, cpp;
  side.Price(c);
  CppBatch().Price(cpp);
  if (c != cpp) Stop("C and C++ differ on the catalogue");
  RunBatch(state, side);
}
BENCHMARK(BatchCpp)->Unit(benchmark::kMillisecond);
BENCHMARK(BatchC)->Unit(benchmark::kMillisecond);

}  // namespace
