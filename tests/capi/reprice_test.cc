// A catalogue by columns gives the totals of one call after another.
#include <dlfcn.h>
#include <pthread.h>

#include <algorithm>
#include <cerrno>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <string>
#include <vector>

#include "support.h"
#include "support/fewer.h"

// In the place of the C library's, for this program and the libraries that it loads: refuses where a test says so. Not
// under a sanitizer, which has one of its own.
#ifndef TW_TEST_SANITIZED
namespace {
bool refuse_threads = false;
int threads_refused = 0;
}  // namespace

extern "C" int pthread_create(pthread_t* thread, const pthread_attr_t* attributes, void* (*body)(void*),
                              void* argument) {
  if (refuse_threads) {
    ++threads_refused;
    return EAGAIN;
  }
  using Create = int(pthread_t*, const pthread_attr_t*, void* (*)(void*), void*);
  static auto* const create = reinterpret_cast<Create*>(dlsym(RTLD_NEXT, "pthread_create"));
  return create(thread, attributes, body, argument);
}
#endif

namespace {

struct Columns {
  std::vector<double> weight;
  std::vector<double> sides[3];
  std::vector<std::int32_t> quantity;
  std::vector<double> value;
  std::vector<std::uint8_t> flags[3];
};

tw_column Of(const void* data, std::int64_t stride, std::int32_t element, std::int64_t unit = 1) {
  tw_column column = TW_COLUMN_INIT;
  column.data = data;
  column.stride = stride;
  column.element = element;
  column.unit = unit;
  return column;
}

tw_goods GoodsOf(const Columns& columns) {
  tw_goods goods = TW_GOODS_INIT;
  goods.rows = columns.weight.size();
  goods.weight = Of(columns.weight.data(), 8, TW_ELEMENT_FLOAT64, TW_OUNCE);
  for (std::size_t i = 0; i < 3; ++i) goods.sides[i] = Of(columns.sides[i].data(), 8, TW_ELEMENT_FLOAT64, TW_INCH);
  goods.quantity = Of(columns.quantity.data(), 4, TW_ELEMENT_INT32);
  goods.value = Of(columns.value.data(), 8, TW_ELEMENT_FLOAT64, 1'000'000);
  goods.this_side_up = Of(columns.flags[0].data(), 1, TW_ELEMENT_UINT8);
  goods.rigid = Of(columns.flags[1].data(), 1, TW_ELEMENT_UINT8);
  goods.bare = Of(columns.flags[2].data(), 1, TW_ELEMENT_UINT8);
  return goods;
}

// 5 oz and 5 in a side, every row.
tw_goods AllAlike(std::size_t rows) {
  static constexpr std::int64_t kFive = 5;
  tw_goods goods = TW_GOODS_INIT;
  goods.rows = rows;
  goods.weight = Of(&kFive, 0, TW_ELEMENT_INT64, TW_OUNCE);
  for (tw_column& side : goods.sides) side = Of(&kFive, 0, TW_ELEMENT_INT64, TW_INCH);
  return goods;
}

Columns Read(const std::vector<capi_test::Goods>& catalogue) {
  Columns columns;
  for (const capi_test::Goods& one : catalogue) {
    columns.weight.push_back(std::stod(one.weight));
    for (std::size_t i = 0; i < 3; ++i) columns.sides[i].push_back(std::stod(one.sides[i]));
    columns.quantity.push_back(one.quantity);
    columns.value.push_back(std::stod(one.value));
    columns.flags[0].push_back(one.this_side_up);
    columns.flags[1].push_back(one.rigid);
    columns.flags[2].push_back(one.bare);
  }
  return columns;
}

const char* const kTo[] = {"05602", "60614", "98101", "99501"};

capi_test::RepricerPtr NewRepricer(const tw_ratebook* book, bool shares = true) {
  std::vector<tw_lane> lanes;
  for (const char* to : kTo) {
    tw_lane lane = TW_LANE_INIT;
    lane.from_country = lane.to_country = "US";
    lane.from_postal_code = "05401";
    lane.to_postal_code = to;
    lane.to_residential = 1;
    lane.share = shares ? 1 + static_cast<std::int64_t>(lanes.size()) : 0;
    lanes.push_back(lane);
  }
  const capi_test::ErrorPtr error = capi_test::NewError();
  const tw_shipment shipment = capi_test::Shipment();
  tw_repricer* repricer = nullptr;
  EXPECT_EQ(tw_repricer_create(&repricer, book, tw_ratebook_shelf(book), &shipment, lanes.data(), lanes.size(), nullptr,
                               error.get()),
            TW_OK)
      << tw_error_message(error.get());
  return capi_test::RepricerPtr(repricer);
}

TEST(Reprice, RowsOfOneOrderAreOneParcel) {
  const capi_test::BookPtr book = capi_test::LoadBook();
  const capi_test::RepricerPtr repricer = NewRepricer(book.get());
  const capi_test::ErrorPtr error = capi_test::NewError();
  constexpr std::size_t kLanes = std::size(kTo);
  const auto ask = [&](const tw_goods& goods, std::vector<std::uint8_t>& status) {
    std::vector<std::int64_t> totals(goods.rows * kLanes, 7);
    status.assign(goods.rows, 77);
    tw_results results = TW_RESULTS_INIT;
    results.total_micros = totals.data();
    results.row_status = status.data();
    EXPECT_EQ(tw_reprice(&results, repricer.get(), &goods, nullptr, error.get()), TW_OK)
        << tw_error_message(error.get());
    return totals;
  };
  std::vector<std::uint8_t> status;
  // Four alike, of which three are one order.
  const std::int64_t orders[] = {-9, 0, -9, -9};
  tw_goods goods = AllAlike(4);
  goods.order = Of(orders, 8, TW_ELEMENT_INT64);
  const std::vector<std::int64_t> totals = ask(goods, status);
  EXPECT_EQ(status, (std::vector<std::uint8_t>{TW_ROW_PRICED, TW_ROW_PRICED, TW_ROW_IN_ORDER, TW_ROW_IN_ORDER}));
  const std::int32_t quantities[] = {3, 1};
  tw_goods by_quantity = AllAlike(2);
  by_quantity.quantity = Of(quantities, 4, TW_ELEMENT_INT32);
  std::vector<std::uint8_t> other;
  const std::vector<std::int64_t> want = ask(by_quantity, other);
  for (std::size_t lane = 0; lane < kLanes; ++lane) {
    EXPECT_EQ(totals[lane], want[lane]);
    EXPECT_EQ(totals[kLanes + lane], want[kLanes + lane]);
    EXPECT_EQ(totals[2 * kLanes + lane], -1);
  }
  const std::uint8_t missing[] = {0, 0, 0, 1};
  goods.missing = Of(missing, 1, TW_ELEMENT_UINT8);
  static_cast<void>(ask(goods, status));
  EXPECT_EQ(status, (std::vector<std::uint8_t>{TW_ROW_ORDER_NOT_PRICED, TW_ROW_PRICED, TW_ROW_ORDER_NOT_PRICED,
                                               TW_ROW_MISSING}));
  EXPECT_STREQ(tw_row_status_name(TW_ROW_IN_ORDER), "in_order");
  EXPECT_STREQ(tw_row_status_name(TW_ROW_ORDER_NOT_PRICED), "order_not_priced");
  // A program of before has no such column.
  goods.missing = TW_COLUMN_INIT;
  goods.struct_size = static_cast<std::uint32_t>(offsetof(tw_goods, order));
  static_cast<void>(ask(goods, status));
  EXPECT_EQ(status, (std::vector<std::uint8_t>(4, TW_ROW_PRICED)));
}

// No price of the demonstration minds what goes together, so that a plan of two is the sum of what tw_rank tells of
// each.
TEST(Reprice, OrdersMayGoInSeveralParcels) {
  const capi_test::BookPtr book = capi_test::LoadBook();
  const capi_test::ErrorPtr error = capi_test::NewError();
  const tw_shipment shipment = capi_test::Shipment("98101");
  tw_lane lane = TW_LANE_INIT;
  lane.from_country = lane.to_country = "US";
  lane.from_postal_code = "05401";
  lane.to_postal_code = "98101";
  lane.to_residential = 1;
  const auto create = [&](const tw_request* settings) {
    tw_repricer* made = nullptr;
    tw_repricer_create(&made, book.get(), tw_ratebook_shelf(book.get()), &shipment, &lane, 1, settings, error.get());
    return capi_test::RepricerPtr(made);
  };
  tw_request settings = TW_REQUEST_INIT;
  const capi_test::RepricerPtr in_one = create(&settings);
  settings.most_parcels = 3;
  const capi_test::RepricerPtr in_several = create(&settings);
  ASSERT_NE(in_one, nullptr);
  ASSERT_NE(in_several, nullptr);

  // Irons and an anvil, which cost less apart; a cannon that nothing takes; a lamp of no order; two balls that are too
  // heavy for one parcel.
  const std::int64_t pounds[] = {40, 160, 30, 3, 80, 80};
  const std::int64_t inches[3][6] = {{14, 30, 12, 10, 8, 8}, {12, 9, 10, 8, 8, 8}, {9, 9, 8, 5, 8, 8}};
  const std::int64_t orders[] = {1, 2, 1, 3, 4, 4};
  constexpr std::size_t kRows = std::size(pounds);
  tw_goods goods = TW_GOODS_INIT;
  goods.rows = kRows;
  goods.weight = Of(pounds, 8, TW_ELEMENT_INT64, TW_POUND);
  for (std::size_t i = 0; i < 3; ++i) goods.sides[i] = Of(inches[i], 8, TW_ELEMENT_INT64, TW_INCH);
  goods.order = Of(orders, 8, TW_ELEMENT_INT64);

  const capi_test::DispatchPtr dispatch = capi_test::NewDispatch(book.get(), tw_ratebook_shelf(book.get()), shipment);
  const capi_test::RankingPtr ranking = capi_test::NewRanking();
  const auto best = [&](std::vector<std::size_t> rows) {
    std::vector<tw_item> items(rows.size(), TW_ITEM_INIT);
    for (std::size_t i = 0; i < rows.size(); ++i) {
      items[i].weight_ng = pounds[rows[i]] * TW_POUND;
      for (std::size_t side = 0; side < 3; ++side) items[i].sides_nm[side] = inches[side][rows[i]] * TW_INCH;
    }
    tw_request request = TW_REQUEST_INIT;
    request.items = items.data();
    request.item_count = items.size();
    EXPECT_EQ(tw_rank(ranking.get(), dispatch.get(), &request, error.get()), TW_OK) << tw_error_message(error.get());
    tw_offer offer = TW_OFFER_INIT;
    if (tw_ranking_offer_count(ranking.get()) == 0) return std::int64_t{-1};
    EXPECT_EQ(tw_ranking_offer(&offer, ranking.get(), 0, error.get()), TW_OK);
    return offer.total_micros;
  };

  std::int64_t totals[kRows];
  std::int64_t seconds[kRows];
  std::int16_t parcels[kRows];
  std::uint8_t status[kRows];
  tw_results results = TW_RESULTS_INIT;
  results.total_micros = totals;
  results.second_total_micros = seconds;
  results.parcels = parcels;
  results.row_status = status;
  ASSERT_EQ(tw_reprice(&results, in_several.get(), &goods, nullptr, error.get()), TW_OK)
      << tw_error_message(error.get());
  EXPECT_LT(best({0}) + best({2}), best({0, 2}));
  EXPECT_EQ(totals[0], best({0}) + best({2}));
  EXPECT_EQ(seconds[0], -1);
  EXPECT_EQ(best({1}), -1);
  EXPECT_EQ(totals[1], -1);
  EXPECT_EQ(totals[2], -1);
  EXPECT_EQ(totals[3], best({3}));
  EXPECT_EQ(best({4, 5}), -1);
  EXPECT_EQ(totals[4], 2 * best({4}));
  EXPECT_EQ(std::vector<std::int16_t>(parcels, parcels + kRows), (std::vector<std::int16_t>{2, 0, 0, 1, 2, 0}));
  EXPECT_EQ(status[0], TW_ROW_PRICED);
  EXPECT_EQ(status[1], TW_ROW_OFFERED_NOWHERE);
  EXPECT_EQ(status[2], TW_ROW_IN_ORDER);

  // In one parcel, as where nothing is said.
  ASSERT_EQ(tw_reprice(&results, in_one.get(), &goods, nullptr, error.get()), TW_OK);
  EXPECT_EQ(totals[0], best({0, 2}));
  EXPECT_EQ(totals[4], -1);
  EXPECT_EQ(std::vector<std::int16_t>(parcels, parcels + kRows), (std::vector<std::int16_t>{1, 0, 0, 1, 0, 0}));

  // What a program of before does not know is not written, and not read.
  std::fill(std::begin(parcels), std::end(parcels), std::int16_t{77});
  results.struct_size = static_cast<std::uint32_t>(offsetof(tw_results, parcels));
  ASSERT_EQ(tw_reprice(&results, in_one.get(), &goods, nullptr, error.get()), TW_OK);
  EXPECT_EQ(std::vector<std::int16_t>(parcels, parcels + kRows), std::vector<std::int16_t>(kRows, 77));
  results.struct_size = sizeof results;
  settings.struct_size = static_cast<std::uint32_t>(offsetof(tw_request, most_parcels));
  const capi_test::RepricerPtr of_before = create(&settings);
  ASSERT_NE(of_before, nullptr);
  ASSERT_EQ(tw_reprice(&results, of_before.get(), &goods, nullptr, error.get()), TW_OK);
  EXPECT_EQ(totals[0], best({0, 2}));
  EXPECT_EQ(parcels[0], 1);
}

TEST(Reprice, ParcelsOutOfRange) {
  const capi_test::BookPtr book = capi_test::LoadBook();
  const capi_test::ErrorPtr error = capi_test::NewError();
  tw_shipment shipment = capi_test::Shipment();
  tw_lane lane = TW_LANE_INIT;
  lane.from_country = lane.to_country = "US";
  lane.from_postal_code = "05401";
  lane.to_postal_code = "98101";
  tw_request settings = TW_REQUEST_INIT;
  tw_repricer* made = nullptr;
  for (const std::int32_t most : {-1, 101}) {
    settings.most_parcels = most;
    EXPECT_EQ(tw_repricer_create(&made, book.get(), nullptr, &shipment, &lane, 1, &settings, error.get()), TW_E_INPUT);
    EXPECT_TRUE(std::string(tw_error_message(error.get()))
                    .ends_with("/most_parcels: found " + std::to_string(most) + ", expected 0 to 100"))
        << tw_error_message(error.get());
    EXPECT_EQ(made, nullptr);
  }
  for (const std::int32_t most : {0, 1, 100}) {
    settings.most_parcels = most;
    made = nullptr;
    EXPECT_EQ(tw_repricer_create(&made, book.get(), nullptr, &shipment, &lane, 1, &settings, error.get()), TW_OK);
    tw_repricer_release(made);
  }
  // A single request has no orders.
  const capi_test::DispatchPtr dispatch = capi_test::NewDispatch(book.get(), nullptr, shipment);
  const capi_test::RankingPtr ranking = capi_test::NewRanking();
  const tw_parcel parcel = capi_test::Parcel();
  tw_request request = TW_REQUEST_INIT;
  request.parcel = &parcel;
  request.most_parcels = 2;
  EXPECT_EQ(tw_rank(ranking.get(), dispatch.get(), &request, error.get()), TW_E_INPUT);
  EXPECT_TRUE(std::string(tw_error_message(error.get()))
                  .ends_with("/most_parcels: found 2, expected it in a repricer's settings alone"))
      << tw_error_message(error.get());
}

TEST(Reprice, EveryRowIsTheSingleCalls) {
  constexpr std::size_t kEach = tarewise::testing::kFewer > 1 ? 47 : 3;
  const std::vector<capi_test::Goods>& catalogue = capi_test::Catalogue();
  const capi_test::BookPtr book = capi_test::LoadBook();
  const capi_test::RepricerPtr repricer = NewRepricer(book.get());
  ASSERT_EQ(tw_repricer_lane_count(repricer.get()), std::size(kTo));
  EXPECT_STREQ(tw_repricer_currency(repricer.get()), "USD");
  const Columns columns = Read(catalogue);
  tw_goods goods = GoodsOf(columns);
  std::vector<const char*> classes;
  std::vector<std::string> names;
  std::vector<std::uint16_t> contents;
  std::vector<std::int8_t> shapes;
  for (const capi_test::Goods& one : catalogue) {
    std::size_t at = 0;
    while (at < names.size() && names[at] != one.contents) ++at;
    if (at == names.size()) names.push_back(one.contents);
    contents.push_back(static_cast<std::uint16_t>(at));
    shapes.push_back(static_cast<std::int8_t>(one.shape == "box"    ? TW_SHAPE_BOX
                                              : one.shape == "tube" ? TW_SHAPE_TUBE
                                              : one.shape == "soft" ? TW_SHAPE_SOFT
                                              : one.shape == "flat" ? TW_SHAPE_FLAT
                                                                    : TW_SHAPE_IRREGULAR));
  }
  for (const std::string& name : names) classes.push_back(name.c_str());
  goods.contents = Of(contents.data(), 2, TW_ELEMENT_UINT16);
  goods.contents_classes = classes.data();
  goods.contents_class_count = static_cast<std::uint32_t>(classes.size());
  goods.shape = Of(shapes.data(), 1, TW_ELEMENT_INT8);
  const std::size_t rows = catalogue.size();
  const std::size_t cells = rows * std::size(kTo);
  std::vector<std::int64_t> totals(cells), expected(rows), worst(rows);
  std::vector<std::int16_t> service(cells), packaging(cells);
  std::vector<std::uint8_t> status(rows, 255);
  tw_results results = TW_RESULTS_INIT;
  results.total_micros = totals.data();
  results.service = service.data();
  results.packaging = packaging.data();
  results.expected_micros = expected.data();
  results.worst_micros = worst.data();
  results.row_status = status.data();
  std::vector<std::uint32_t> cautions(rows, 0xFFFFFFFFu), expected_cautions(rows, 0);
  results.cautions = cautions.data();
  std::size_t reported = 0;
  tw_reprice_options options = TW_REPRICE_OPTIONS_INIT;
  options.threads = 2;
  options.payload = &reported;
  options.progress = [](std::size_t done, std::size_t, void* payload) -> std::int32_t {
    *static_cast<std::size_t*>(payload) = done;
    return 0;
  };
  const capi_test::ErrorPtr error = capi_test::NewError();
  ASSERT_EQ(tw_reprice(&results, repricer.get(), &goods, &options, error.get()), TW_OK)
      << tw_error_message(error.get());
  EXPECT_EQ(reported, rows);
  const capi_test::RankingPtr ranking = capi_test::NewRanking();
  for (std::size_t lane = 0; lane < std::size(kTo); ++lane) {
    const capi_test::DispatchPtr dispatch =
        capi_test::NewDispatch(book.get(), tw_ratebook_shelf(book.get()), capi_test::Shipment(kTo[lane]));
    for (std::size_t i = 0; i < rows; i += kEach) {
      SCOPED_TRACE(catalogue[i].sku + " to " + kTo[lane]);
      tw_item item = TW_ITEM_INIT;
      ASSERT_EQ(tw_parse_weight(&item.weight_ng, catalogue[i].weight.c_str(), nullptr), TW_OK);
      ASSERT_EQ(tw_parse_money(&item.value_micros, catalogue[i].value.c_str(), nullptr), TW_OK);
      for (std::size_t k = 0; k < 3; ++k) {
        ASSERT_EQ(tw_parse_length(&item.sides_nm[k], catalogue[i].sides[k].c_str(), nullptr), TW_OK);
      }
      item.quantity = catalogue[i].quantity;
      item.shape = shapes[i];
      item.flags = (catalogue[i].this_side_up ? TW_THIS_SIDE_UP : 0) | (catalogue[i].rigid ? TW_RIGID : 0) |
                   (catalogue[i].bare ? TW_BARE : 0);
      const char* own[] = {"x-uneven"};
      std::istringstream words(catalogue[i].contents);
      for (std::string word; words >> word;) {
        if (word == "x-uneven") {
          item.own_traits = own;
          item.own_trait_count = 1;
        } else {
          static const char* const kNames[] = {
              "media",         "documents",        "fragile", "liquid", "perishable", "lithium_in_equipment",
              "lithium_alone", "flammable_liquid", "aerosol", "sharp",  "magnetic",   "live"};
          for (std::size_t bit = 0; bit < std::size(kNames); ++bit) {
            if (word == kNames[bit]) item.contents |= 1u << bit;
          }
        }
      }
      tw_request request = TW_REQUEST_INIT;
      request.items = &item;
      request.item_count = 1;
      request.detail = TW_DETAIL_CHARGES;
      ASSERT_EQ(tw_rank(ranking.get(), dispatch.get(), &request, error.get()), TW_OK) << tw_error_message(error.get());
      for (std::size_t k = 0; k < tw_ranking_caution_count(ranking.get()); ++k) {
        tw_caution caution = TW_CAUTION_INIT;
        ASSERT_EQ(tw_ranking_caution(&caution, ranking.get(), k, nullptr), TW_OK);
        // Contents' own; those of a weight and of a service are the best offers'.
        if (caution.code < TW_CAUTION_LIFT_WITH_HELP) expected_cautions[i] |= caution.code;
      }
      const std::size_t cell = i * std::size(kTo) + lane;
      if (tw_ranking_offer_count(ranking.get()) == 0) {
        ASSERT_EQ(totals[cell], -1);
        ASSERT_EQ(service[cell], -1);
        ASSERT_NE(status[i], TW_ROW_PRICED);
        continue;
      }
      tw_offer offer = TW_OFFER_INIT;
      ASSERT_EQ(tw_ranking_offer(&offer, ranking.get(), 0, nullptr), TW_OK);
      ASSERT_EQ(totals[cell], offer.total_micros);
      expected_cautions[i] |= offer.cautions;
      tw_service named = TW_SERVICE_INIT;
      ASSERT_EQ(tw_repricer_service(&named, repricer.get(), static_cast<std::size_t>(service[cell]), nullptr), TW_OK);
      ASSERT_STREQ(named.service, offer.service);
      ASSERT_STREQ(named.carrier, offer.carrier);
      ASSERT_STREQ(tw_repricer_packaging_code(repricer.get(), static_cast<std::size_t>(packaging[cell])),
                   offer.packaging);
    }
  }
  std::uint32_t all = 0;
  for (std::size_t i = 0; i < rows; i += kEach) {
    EXPECT_EQ(cautions[i], expected_cautions[i]) << catalogue[i].sku;
    all |= cautions[i];
  }
  EXPECT_NE(all & TW_CAUTION_LITHIUM_IN_EQUIPMENT, 0u);
}

TEST(Reprice, BadRowsNeverStopTheRest) {
  const capi_test::BookPtr book = capi_test::LoadBook();
  const capi_test::RepricerPtr repricer = NewRepricer(book.get(), false);
  const double nan = std::numeric_limits<double>::quiet_NaN();
  Columns columns;
  columns.weight = {11.3, nan, 11.3, 11.3, 11.3, -1, 11.3, 11.3, 11.3};
  columns.sides[0] = {10, 10, nan, 10, 10, 10, 10, 10, 10};
  columns.sides[1] = columns.sides[2] = std::vector<double>(9, 3);
  columns.quantity = {1, 1, 1, 0, 1, 1, 1, 1, 1};
  columns.value = {0, 0, 0, 0, -5, 0, 0, 0, 0};
  for (auto& flags : columns.flags) flags.assign(9, 0);
  const std::vector<std::uint32_t> contents = {0, 0, 0, 0, 0, 0, 0x1000, 0, 0};
  const std::vector<std::uint8_t> shapes = {0, 0, 0, 0, 0, 0, 0, 9, 0};
  const std::uint8_t expected[] = {TW_ROW_PRICED,       TW_ROW_BAD_WEIGHT, TW_ROW_BAD_SIDE,
                                   TW_ROW_BAD_QUANTITY, TW_ROW_BAD_VALUE,  TW_ROW_BAD_WEIGHT,
                                   TW_ROW_BAD_CONTENTS, TW_ROW_BAD_SHAPE,  TW_ROW_MISSING};
  const std::vector<std::uint8_t> missing = {0, 0, 0, 0, 0, 0, 0, 0, 1};
  tw_goods goods = GoodsOf(columns);
  goods.contents = Of(contents.data(), 4, TW_ELEMENT_UINT32);
  goods.shape = Of(shapes.data(), 1, TW_ELEMENT_UINT8);
  goods.missing = Of(missing.data(), 1, TW_ELEMENT_UINT8);
  std::vector<std::int64_t> totals(9 * std::size(kTo), 7);
  std::uint8_t status[9] = {};
  tw_results results = TW_RESULTS_INIT;
  results.total_micros = totals.data();
  results.row_status = status;
  const capi_test::ErrorPtr error = capi_test::NewError();
  ASSERT_EQ(tw_reprice(&results, repricer.get(), &goods, nullptr, error.get()), TW_OK) << tw_error_message(error.get());
  for (std::size_t i = 0; i < 9; ++i) {
    EXPECT_EQ(status[i], expected[i]) << i << " " << tw_row_status_name(status[i]);
    EXPECT_EQ(totals[i * std::size(kTo)] == -1, i != 0) << i;
  }
  // A column that is left out, or of the wrong kind, is the caller's mistake and not a row's.
  tw_goods broken = goods;
  broken.weight.data = nullptr;
  EXPECT_EQ(tw_reprice(&results, repricer.get(), &broken, nullptr, error.get()), TW_E_NULL);
  broken = goods;
  broken.quantity.element = TW_ELEMENT_FLOAT32;
  EXPECT_EQ(tw_reprice(&results, repricer.get(), &broken, nullptr, error.get()), TW_E_INPUT);
  broken = goods;
  broken.sides[1].unit = 0;
  EXPECT_EQ(tw_reprice(&results, repricer.get(), &broken, nullptr, error.get()), TW_E_INPUT);
  broken = goods;
  broken.rows = SIZE_MAX;
  EXPECT_EQ(tw_reprice(&results, repricer.get(), &broken, nullptr, error.get()), TW_E_COUNT);
  results.expected_micros = totals.data();  // there are no shares
  EXPECT_EQ(tw_reprice(&results, repricer.get(), &goods, nullptr, error.get()), TW_E_INPUT);
}

// Strides: 0 repeats one value, a negative one walks backwards, and structures of rows are walked in place.
TEST(Reprice, Strides) {
  const capi_test::BookPtr book = capi_test::LoadBook();
  const capi_test::RepricerPtr repricer = NewRepricer(book.get());
  struct Record {
    char sku[3];
    std::int32_t grams;
    double side;
  };
  const Record records[] = {{"a", 100, 20}, {"b", 2000, 30}, {"c", 9000, 40}};
  const std::int64_t five = 5;
  std::vector<std::int64_t> forwards(3 * std::size(kTo)), backwards(3 * std::size(kTo));
  tw_goods goods = TW_GOODS_INIT;
  goods.rows = 3;
  goods.weight = Of(&records[0].grams, sizeof(Record), TW_ELEMENT_INT32, TW_GRAM);
  goods.sides[0] = Of(&records[0].side, sizeof(Record), TW_ELEMENT_FLOAT64, TW_CENTIMETRE);
  goods.sides[1] = goods.sides[2] = Of(&five, 0, TW_ELEMENT_INT64, TW_CENTIMETRE);
  tw_results results = TW_RESULTS_INIT;
  results.total_micros = forwards.data();
  ASSERT_EQ(tw_reprice(&results, repricer.get(), &goods, nullptr, nullptr), TW_OK);
  goods.weight.data = &records[2].grams;
  goods.weight.stride = -static_cast<std::int64_t>(sizeof(Record));
  goods.sides[0].data = &records[2].side;
  goods.sides[0].stride = -static_cast<std::int64_t>(sizeof(Record));
  results.total_micros = backwards.data();
  ASSERT_EQ(tw_reprice(&results, repricer.get(), &goods, nullptr, nullptr), TW_OK);
  for (std::size_t row = 0; row < 3; ++row) {
    for (std::size_t lane = 0; lane < std::size(kTo); ++lane) {
      EXPECT_GT(forwards[row * std::size(kTo) + lane], 0);
      EXPECT_EQ(forwards[row * std::size(kTo) + lane], backwards[(2 - row) * std::size(kTo) + lane]);
    }
  }
}

// Threads change nothing: not a result, not what is reported.
TEST(Reprice, ThreadsChangeNothing) {
  const capi_test::BookPtr book = capi_test::LoadBook();
  const capi_test::RepricerPtr repricer = NewRepricer(book.get());
  constexpr std::size_t kRows = 150'001;  // no whole number of slices
  std::vector<std::int32_t> grams(kRows);
  for (std::size_t i = 0; i < kRows; ++i) grams[i] = static_cast<std::int32_t>(i * 7 % 20'000);
  const std::int64_t five = 5;
  tw_goods goods = TW_GOODS_INIT;
  goods.rows = kRows;
  goods.weight = Of(grams.data(), 4, TW_ELEMENT_INT32, TW_GRAM);
  for (tw_column& side : goods.sides) side = Of(&five, 0, TW_ELEMENT_INT64, TW_INCH);
  const std::int64_t levels[] = {500'000, 900'000};
  struct Answer {
    std::vector<std::int64_t> total = std::vector<std::int64_t>(kRows * std::size(kTo), 7), second = total;
    std::vector<std::int16_t> service = std::vector<std::int16_t>(kRows * std::size(kTo), 7), packaging = service;
    std::vector<std::int64_t> worst = std::vector<std::int64_t>(kRows, 7), expected = worst;
    std::vector<std::int64_t> quantile = std::vector<std::int64_t>(kRows * 2, 7);
    std::vector<std::int32_t> lane = std::vector<std::int32_t>(kRows, 7);
    std::vector<std::uint8_t> status = std::vector<std::uint8_t>(kRows, 77);
    bool operator==(const Answer&) const = default;
  };
  std::vector<Answer> answers(2);
  for (std::size_t i = 0; i < 2; ++i) {
    Answer& answer = answers[i];
    tw_results results = TW_RESULTS_INIT;
    results.total_micros = answer.total.data();
    results.second_total_micros = answer.second.data();
    results.service = answer.service.data();
    results.packaging = answer.packaging.data();
    results.worst_micros = answer.worst.data();
    results.worst_lane = answer.lane.data();
    results.expected_micros = answer.expected.data();
    results.quantile_micros = answer.quantile.data();
    results.levels = levels;
    results.level_count = 2;
    results.row_status = answer.status.data();
    std::size_t reported = 0;
    tw_reprice_options options = TW_REPRICE_OPTIONS_INIT;
    options.threads = i == 0 ? 1 : 4;
    options.payload = &reported;
    options.progress = [](std::size_t done, std::size_t rows, void* payload) -> std::int32_t {
      std::size_t& last = *static_cast<std::size_t*>(payload);
      const bool rises = done > last && done <= rows;
      last = done;
      return rises ? 0 : 1;
    };
    const capi_test::ErrorPtr error = capi_test::NewError();
    ASSERT_EQ(tw_reprice(&results, repricer.get(), &goods, &options, error.get()), TW_OK)
        << tw_error_message(error.get());
    EXPECT_EQ(reported, kRows);
  }
  EXPECT_TRUE(answers[0] == answers[1]);
  EXPECT_EQ(answers[0].status[0], TW_ROW_BAD_WEIGHT);
  EXPECT_GT(answers[0].total.back(), 0);
}

#ifndef TW_TEST_SANITIZED
// Where no thread is to be had the caller's own does it all.
TEST(Reprice, WithoutThreads) {
  const capi_test::BookPtr book = capi_test::LoadBook();
  const capi_test::RepricerPtr repricer = NewRepricer(book.get());
  const tw_goods goods = AllAlike(100'000);
  std::vector<std::int64_t> totals(goods.rows * std::size(kTo), 7);
  tw_results results = TW_RESULTS_INIT;
  results.total_micros = totals.data();
  tw_reprice_options options = TW_REPRICE_OPTIONS_INIT;
  options.threads = 4;
  const capi_test::ErrorPtr error = capi_test::NewError();
  threads_refused = 0;
  refuse_threads = true;
  const tw_status status = tw_reprice(&results, repricer.get(), &goods, &options, error.get());
  refuse_threads = false;
  EXPECT_EQ(status, TW_OK) << tw_error_message(error.get());
  EXPECT_GT(threads_refused, 0);
  EXPECT_GT(totals.back(), 7);
}
#endif

TEST(Reprice, Cancelling) {
  const capi_test::BookPtr book = capi_test::LoadBook();
  const capi_test::RepricerPtr repricer = NewRepricer(book.get());
  const tw_goods goods = AllAlike(200'000);
  std::vector<std::int64_t> totals(goods.rows * std::size(kTo), 7);
  tw_results results = TW_RESULTS_INIT;
  results.total_micros = totals.data();
  tw_reprice_options options = TW_REPRICE_OPTIONS_INIT;
  options.progress = [](std::size_t, std::size_t, void*) -> std::int32_t { return 1; };
  const capi_test::ErrorPtr error = capi_test::NewError();
  EXPECT_EQ(tw_reprice(&results, repricer.get(), &goods, &options, error.get()), TW_E_CANCELLED);
  EXPECT_NE(totals.front(), 7);
  EXPECT_EQ(totals.back(), 7);  // not done, not touched
  // A C++ caller's callback may throw: a status, and not the end of the program.
  options.progress = [](std::size_t, std::size_t, void*) -> std::int32_t { throw 7; };
  options.threads = 3;
  EXPECT_EQ(tw_reprice(&results, repricer.get(), &goods, &options, error.get()), TW_E_INTERNAL);
}

}  // namespace
