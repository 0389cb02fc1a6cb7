#include "tarewise/batch/reprice.h"

#include <algorithm>
#include <atomic>
#include <cstddef>
#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "handles.h"
#include "reprice_handle.h"

namespace tarewise::capi {
namespace {

constexpr std::size_t kMostLanes = 100'000;
constexpr std::size_t kMostClasses = 10'000;

Column ColumnOf(const tw_column& from, const char* field) {
  Column out;
  if (from.data == nullptr) return out;
  if (from.element < TW_ELEMENT_INT8 || from.element > TW_ELEMENT_FLOAT64) {
    Fail(TW_E_INPUT, "found element " + std::to_string(from.element) + ", expected a TW_ELEMENT_", field);
  }
  CheckReserved(from.reserved, field);
  out.data = from.data;
  out.stride = static_cast<std::ptrdiff_t>(from.stride);
  out.element = static_cast<Element>(from.element);
  out.unit = from.unit;
  return out;
}

// A column of a quantity needs its unit; of a code it has none.
Column Measured(const tw_column& from, const char* field, bool needed) {
  if (needed && from.data == nullptr) Fail(TW_E_NULL, "found NULL, expected a column", field);
  if (from.data != nullptr && from.unit < 1) {
    Fail(TW_E_INPUT, "found a unit of " + std::to_string(from.unit) + ", expected 1 or more", field);
  }
  return ColumnOf(from, field);
}
Column Counted(const tw_column& from, const char* field) {
  Column out = ColumnOf(from, field);
  out.unit = 1;
  return out;
}

// The last row must lie within the address space.
void CheckReach(const tw_column& column, std::size_t rows, const char* field) {
  if (column.data == nullptr || rows == 0) return;
  constexpr std::int64_t kMostStride = std::int64_t{1} << 32;
  const std::int64_t stride = column.stride;
  if (stride > kMostStride || stride < -kMostStride) {
    Fail(TW_E_COUNT, "found a stride of " + std::to_string(stride) + " bytes, expected at most 2^32 either way", field);
  }
  const auto base = reinterpret_cast<std::uintptr_t>(column.data);
  const auto reach = static_cast<std::uintptr_t>(stride < 0 ? -stride : stride) * (rows - 1);
  const bool leaves = stride < 0 ? reach > base : base + reach < base;
  if (leaves) Fail(TW_E_COUNT, "found a stride that leaves the address space with so many rows", field);
}

std::vector<Contents> ClassesOf(const tw_goods& goods) {
  std::vector<Contents> classes;
  if (goods.contents_class_count == 0) return classes;
  if (goods.contents_class_count > kMostClasses) {
    Fail(TW_E_COUNT, "found " + std::to_string(goods.contents_class_count) + ", expected at most 10000",
         "/contents_class_count");
  }
  if (goods.contents_classes == nullptr) Fail(TW_E_NULL, "found NULL, expected an array", "/contents_classes");
  for (std::uint32_t i = 0; i < goods.contents_class_count; ++i) {
    const std::string field = "/contents_classes/" + std::to_string(i);
    std::string_view words = TextOf(goods.contents_classes[i], field.c_str(), true);
    Contents contents;
    while (!words.empty()) {
      const std::size_t space = words.find(' ');
      const std::string_view word = words.substr(0, space);
      words = space == std::string_view::npos ? "" : words.substr(space + 1);
      if (!word.empty()) FailUnlessOk(contents.Add(word), field);
    }
    classes.push_back(std::move(contents));
  }
  return classes;
}

GoodsColumns ColumnsOf(const tw_goods& from) {
  CheckRows(from.rows);
  GoodsColumns out;
  out.rows = from.rows;
  out.weight = Measured(from.weight, "/weight", true);
  for (std::size_t i = 0; i < 3; ++i) out.sides[i] = Measured(from.sides[i], "/sides", true);
  out.value = Measured(from.value, "/value", false);
  out.quantity = Counted(from.quantity, "/quantity");
  out.contents = Counted(from.contents, "/contents");
  out.shape = Counted(from.shape, "/shape");
  out.this_side_up = Counted(from.this_side_up, "/this_side_up");
  out.rigid = Counted(from.rigid, "/rigid");
  out.bare = Counted(from.bare, "/bare");
  out.missing = Counted(from.missing, "/missing");
  out.order = Counted(from.order, "/order");
  const std::pair<const tw_column*, const char*> all[] = {
      {&from.weight, "/weight"},     {&from.sides[0], "/sides"},    {&from.sides[1], "/sides"},
      {&from.sides[2], "/sides"},    {&from.quantity, "/quantity"}, {&from.value, "/value"},
      {&from.contents, "/contents"}, {&from.shape, "/shape"},       {&from.this_side_up, "/this_side_up"},
      {&from.rigid, "/rigid"},       {&from.bare, "/bare"},         {&from.missing, "/missing"},
      {&from.order, "/order"}};
  for (const auto& [column, field] : all) CheckReach(*column, from.rows, field);
  return out;
}

}  // namespace

RepriceResults ResultsOf(const tw_results& from) {
  if (from.level_count > 100) {
    Fail(TW_E_COUNT, "found " + std::to_string(from.level_count) + ", expected at most 100", "/level_count");
  }
  if (from.level_count != 0 && from.levels == nullptr) Fail(TW_E_NULL, "found NULL, expected an array", "/levels");
  RepriceResults out;
  out.total = from.total_micros;
  out.service = from.service;
  out.packaging = from.packaging;
  out.second_total = from.second_total_micros;
  out.worst = from.worst_micros;
  out.worst_lane = from.worst_lane;
  out.expected = from.expected_micros;
  out.quantile = from.quantile_micros;
  out.levels = {from.levels, from.level_count};
  out.reason = from.row_status;
  out.cautions = from.cautions;
  out.parcels = from.parcels;
  return out;
}

Catalogue::Catalogue(const tw_goods* goods) {
  const tw_goods asked = ReadStruct(goods, "goods");
  columns = ColumnsOf(asked);
  classes = ClassesOf(asked);
  columns.contents_classes = classes;
}

Column MeasuredColumn(const tw_column& from, std::size_t rows, const char* field) {
  const Column out = Measured(from, field, false);
  CheckReach(from, rows, field);
  return out;
}

Column CountedColumn(const tw_column& from, std::size_t rows, const char* field) {
  const Column out = Counted(from, field);
  CheckReach(from, rows, field);
  return out;
}

void CheckRows(std::size_t rows) {
  constexpr std::size_t kMostRows = 1'000'000'000;
  if (rows > kMostRows) Fail(TW_E_COUNT, "found " + std::to_string(rows) + ", expected at most 1000 million", "/rows");
}

unsigned ThreadsOf(std::uint32_t threads) {
  constexpr std::uint32_t kMostThreads = 256;
  if (threads > kMostThreads) {
    Fail(TW_E_COUNT, "found " + std::to_string(threads) + ", expected at most 256", "/threads");
  }
  return std::max(threads, 1u);
}

RepriceOptions RepriceOptionsOf(const tw_reprice_options* options, std::size_t rows) {
  RepriceOptions how;
  if (options == nullptr) return how;
  const tw_reprice_options given = ReadStruct(options, "options");
  how.threads = ThreadsOf(given.threads);
  if (given.progress != nullptr) {
    how.progress = [progress = given.progress, payload = given.payload, rows](std::size_t done) {
      return progress(done, rows, payload) == 0;
    };
  }
  return how;
}

void CheckRun(const absl::Status& status) {
  if (status.code() == absl::StatusCode::kCancelled) Fail(TW_E_CANCELLED, "the progress callback asked to stop");
  FailUnlessOk(status);
}

tw_repricer* MakeRepricer(Repricer repricer) {
  auto made = std::make_unique<tw_repricer>();
  made->repricer = std::move(repricer);
  made->currency = made->repricer->currency().code();
  for (const auto& name : made->repricer->packagings()) made->packaging.emplace_back(name.code);
  return made.release();
}

}  // namespace tarewise::capi

using namespace tarewise::capi;  // NOLINT(google-build-using-namespace): definitions of the C interface only.

tw_status tw_repricer_create(tw_repricer** out, const tw_ratebook* book, const tw_shelf* shelf,
                             const tw_shipment* shipment, const tw_lane* lanes, size_t lane_count,
                             const tw_request* settings, tw_error* error) {
  return Guard(error, [&] {
    CheckPointer(out, "out");
    CheckHandle(book, "tw_ratebook");
    if (shelf != nullptr) CheckHandle(shelf, "tw_shelf");
    tarewise::RepriceSetup setup;
    setup.book = book->book;
    if (shelf != nullptr) setup.shelf = shelf->shelf;
    setup.shipment = TermsOf(ReadStruct(shipment, "shipment"), setup.shelf.get(), error);
    if (lane_count < 1 || lane_count > kMostLanes) {
      Fail(TW_E_COUNT, "found " + std::to_string(lane_count) + ", expected 1 to 100000", "/lane_count");
    }
    CheckPointer(lanes, "lanes");
    CheckSize<tw_lane>(lanes->struct_size, "lanes/0");
    bool shares = false;
    for (std::size_t i = 0; i < lane_count; ++i) {
      const tw_lane lane = ReadElement(lanes, i, "lanes");
      const std::string field = "/lanes/" + std::to_string(i);
      CheckReserved(lane.reserved, field + "/reserved");
      setup.lanes.push_back(
          {PlaceOf(lane.from_country, lane.from_postal_code, lane.from_residential, (field + "/from").c_str()),
           PlaceOf(lane.to_country, lane.to_postal_code, lane.to_residential, (field + "/to").c_str(),
                   /*area=*/lane.share != 0)});
      setup.shares.push_back(lane.share);
      shares = shares || lane.share != 0;
    }
    if (!shares) setup.shares.clear();
    if (settings != nullptr) {
      const tw_request given = ReadStruct(settings, "settings");
      tarewise::Request request;
      FillSettings(given, request);
      if (given.most_parcels < 0 || given.most_parcels > tarewise::kMostParcels) {
        Fail(TW_E_INPUT, "found " + std::to_string(given.most_parcels) + ", expected 0 to 100", "/most_parcels");
      }
      setup.most_parcels = std::max(given.most_parcels, 1);
      setup.padding = request.padding;
      setup.fill_weight = request.fill_weight;
      setup.allowance = request.allowance;
    }
    absl::StatusOr<tarewise::Repricer> made = tarewise::Repricer::Create(std::move(setup));
    FailUnlessShippable(made.status());
    *out = MakeRepricer(*std::move(made));
  });
}

tw_status tw_repricer_with_rates(tw_repricer** out, const tw_repricer* repricer, const tw_ratebook* book,
                                 tw_error* error) {
  return Guard(error, [&] {
    CheckPointer(out, "out");
    CheckHandle(repricer, "tw_repricer");
    CheckHandle(book, "tw_ratebook");
    *out = MakeRepricer(Take(repricer->repricer->WithRates(book->book)));
  });
}

tw_repricer* tw_repricer_retain(tw_repricer* repricer) { return Retain(repricer); }
void tw_repricer_release(tw_repricer* repricer) { Release(repricer); }

size_t tw_repricer_service_count(const tw_repricer* repricer) {
  return repricer == nullptr || repricer->tag != tw_repricer::kTag ? 0 : repricer->repricer->services().size();
}

tw_status tw_repricer_service(tw_service* out, const tw_repricer* repricer, size_t index, tw_error* error) {
  return Guard(error, [&] {
    CheckOut(out, "out");
    CheckHandle(repricer, "tw_repricer");
    CheckIndex(index, repricer->repricer->services().size(), "index");
    WriteStruct(out, ServiceOf(*repricer->repricer->dispatch(0), index));
  });
}

size_t tw_repricer_packaging_count(const tw_repricer* repricer) {
  return repricer == nullptr || repricer->tag != tw_repricer::kTag ? 0 : repricer->packaging.size();
}
const char* tw_repricer_packaging_code(const tw_repricer* repricer, size_t index) {
  return index < tw_repricer_packaging_count(repricer) ? repricer->packaging[index].c_str() : nullptr;
}
size_t tw_repricer_lane_count(const tw_repricer* repricer) {
  return repricer == nullptr || repricer->tag != tw_repricer::kTag ? 0 : repricer->repricer->lanes().size();
}
const char* tw_repricer_currency(const tw_repricer* repricer) {
  return repricer == nullptr || repricer->tag != tw_repricer::kTag ? "" : repricer->currency.c_str();
}

const char* tw_row_status_name(int32_t row_status) {
  return row_status < 0 || row_status >= static_cast<int32_t>(std::size(tarewise::kRowReasonNames))
             ? ""
             : tarewise::kRowReasonNames[row_status].data();
}

tw_status tw_reprice(const tw_results* results, const tw_repricer* repricer, const tw_goods* goods,
                     const tw_reprice_options* options, tw_error* error) {
  return Guard(error, [&] {
    const tw_results into = ReadStruct(results, "results");
    CheckHandle(repricer, "tw_repricer");
    const Catalogue asked(goods);
    const tarewise::RepriceOptions how = RepriceOptionsOf(options, asked.columns.rows);
    CheckRun(repricer->repricer->Run(asked.columns, ResultsOf(into), how));
  });
}
