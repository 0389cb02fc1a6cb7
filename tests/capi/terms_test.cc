// On what terms it is sent: where it may end, tax, dates, money to be collected, the week and the seller's own rules,
// on the small tables of tests/command/europe. C against C++ field by field, and against the request document.
#include <cstdint>
#include <functional>
#include <memory>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "same_offers.h"
#include "support.h"
#include "tarewise/documents/load.h"
#include "tarewise/documents/ranking_json.h"
#include "tarewise/ranking/rank.h"

namespace {

using capi_test::ExpectSameOffers;

constexpr char kTables[] = TW_TEST_ROOT "/tests/command/europe";

struct Loaded {
  std::shared_ptr<const tarewise::Ratebook> book;
  std::shared_ptr<const tarewise::Shelf> shelf;
};

const Loaded& Europe() {
  static const auto* const loaded = [] {
    tarewise::Loaded<tarewise::Tables> read = tarewise::ReadFolder(kTables);
    tarewise::Tables& tables = *read.value;
    return new Loaded{*tarewise::Ratebook::Create(std::move(tables.tariffs), std::move(tables.terms),
                                                  std::move(tables.gazetteer), std::move(tables.seller)),
                      std::make_shared<const tarewise::Shelf>(*std::move(tables.shelf))};
  }();
  return *loaded;
}

tw_shipment Shipment(const char* to = "80331", const char* country = "DE") {
  tw_shipment shipment = TW_SHIPMENT_INIT;
  EXPECT_EQ(tw_parse_date(&shipment.date, "2026-08-04", nullptr), TW_OK);
  shipment.from_country = "DE";
  shipment.from_postal_code = "10117";
  shipment.to_country = country;
  shipment.to_postal_code = to;
  shipment.currency = "EUR";
  return shipment;
}

std::int32_t Day(const char* text) {
  std::int32_t day = 0;
  EXPECT_EQ(tw_parse_date(&day, text, nullptr), TW_OK);
  return day;
}

// One way to ask, in C and as members of a request document.
struct Case {
  std::string json;
  std::function<void(tw_shipment&)> in_c;
};

const tw_carrier_week* Weeks() {
  static tw_carrier_week weeks[2] = {TW_CARRIER_WEEK_INIT, TW_CARRIER_WEEK_INIT};
  weeks[0].carrier = "fenwick-dray";
  weeks[0].parcels = 40;
  weeks[0].spend_micros = 300'010'000;
  weeks[1].carrier = "larkspur";
  return weeks;
}

std::vector<Case> Cases() {
  static const char* const kMessage[] = {"message"};
  static const char* const kDropOff[] = {"drop-off"};
  return {
      {"", [](tw_shipment&) {}},
      {R"("accepts": ["door", "point"])", [](tw_shipment& s) { s.accepts = TW_DELIVERS_DOOR | TW_DELIVERS_POINT; }},
      {R"("accepts": ["locker"])", [](tw_shipment& s) { s.accepts = TW_DELIVERS_LOCKER; }},
      {R"("accepts": ["locker"], "extras": ["message"])",
       [](tw_shipment& s) { s.accepts = TW_DELIVERS_LOCKER, s.extras = kMessage, s.extra_count = 1; }},
      {R"("totals": "without_tax")", [](tw_shipment& s) { s.totals = TW_TOTALS_WITHOUT_TAX; }},
      {R"("time": "16:01")", [](tw_shipment& s) { s.time_minutes = 16 * 60 + 1; }},
      {R"("time": "16:00", "promise": {"by": "2026-08-07"})",
       [](tw_shipment& s) { s.time_minutes = 16 * 60, s.promise = TW_PROMISE_BY, s.by_date = Day("2026-08-07"); }},
      {R"("promise": {"by": "2026-08-06"})",
       [](tw_shipment& s) { s.promise = TW_PROMISE_BY, s.by_date = Day("2026-08-06"); }},
      {R"("amounts": {"cash_on_delivery": "164.00"})", [](tw_shipment& s) { s.cash_on_delivery_micros = 164'000'000; }},
      {R"("amounts": {"cash_on_delivery": "64"}, "extras": ["drop-off"])",
       [](tw_shipment& s) { s.cash_on_delivery_micros = 64'000'000, s.extras = kDropOff, s.extra_count = 1; }},
      {R"("week": {"parcels": 40})", [](tw_shipment& s) { s.week_parcels = 40; }},
      {R"("week": {"spend": "300.01"})", [](tw_shipment& s) { s.week_spend_micros = 300'010'000; }},
      {R"("week": {"parcels": 3, "carriers": {"fenwick-dray": {"parcels": 40, "spend": "300.01"}, "larkspur": {}}})",
       [](tw_shipment& s) { s.week_parcels = 3, s.carrier_weeks = Weeks(), s.carrier_week_count = 2; }},
  };
}

struct Goods {
  const char* weight;
  const char* sides;
  const char* value;
  std::uint32_t contents;
};
constexpr Goods kGoods[] = {{"300 g", "20 x 15 x 5 cm", "0", 0},
                            {"1.4 kg", "30 x 20 x 10 cm", "200", 0},
                            {"2.1 kg", "30 x 20 x 10 cm", "250", 0},
                            {"4.8 kg", "45 x 40 x 12 cm", "20", TW_CONTENTS_FRAGILE},
                            {"40 kg", "80 x 60 x 50 cm", "90", 0}};

std::string Document(const Case& one, const Goods& goods, const char* country, const char* code) {
  return std::string(R"({"format": "tarewise-request-1", "date": "2026-08-04", "currency": "EUR", )") +
         R"("from": {"country": "DE", "postal_code": "10117"}, "to": {"country": ")" + country +
         R"(", "postal_code": ")" + code + R"("}, "parcel": {"weight": ")" + goods.weight + R"(", "sides": ")" +
         goods.sides + R"(", "value": ")" + goods.value + R"(")" +
         (goods.contents != 0 ? R"(, "contents": ["fragile"])" : "") + "}" + (one.json.empty() ? "" : ", ") + one.json +
         "}";
}

TEST(Terms, CIsAsCppAndAsTheDocument) {
  const capi_test::BookPtr book = capi_test::LoadBook(kTables);
  const capi_test::RankingPtr typed = capi_test::NewRanking();
  const capi_test::RankingPtr by_json = capi_test::NewRanking();
  const capi_test::ErrorPtr error = capi_test::NewError();
  std::size_t taxed = 0, arriving = 0, handicapped = 0, elsewhere = 0, billed = 0;
  for (const auto& [code, country] : {std::pair{"80331", "DE"}, std::pair{"8001", "CH"}}) {
    for (const Case& one : Cases()) {
      tw_shipment shipment = Shipment(code, country);
      one.in_c(shipment);
      const capi_test::DispatchPtr dispatch =
          capi_test::NewDispatch(book.get(), tw_ratebook_shelf(book.get()), shipment);
      ASSERT_NE(dispatch, nullptr) << one.json;
      for (const Goods& goods : kGoods) {
        const std::string document = Document(one, goods, country, code);
        SCOPED_TRACE(document);
        const tarewise::Loaded<tarewise::Request> asked = tarewise::ReadRequest({"request", document});
        ASSERT_TRUE(asked.ok()) << asked.diagnostics[0].ToString();
        const auto cpp = tarewise::Rank(Europe().book, Europe().shelf, *asked.value);
        ASSERT_TRUE(cpp.ok()) << cpp.status().message();
        ASSERT_EQ(tw_rank_json(by_json.get(), book.get(), tw_ratebook_shelf(book.get()), document.data(),
                               document.size(), error.get()),
                  TW_OK);
        ExpectSameOffers(*cpp, by_json.get(), TW_DETAIL_FULL);
        tw_parcel parcel = capi_test::Parcel(goods.weight, goods.sides);
        ASSERT_EQ(tw_parse_money(&parcel.value_micros, goods.value, nullptr), TW_OK);
        parcel.contents = goods.contents;
        tw_request request = TW_REQUEST_INIT;
        request.parcel = &parcel;
        request.weight_units = request.side_units = TW_UNITS_METRIC;
        request.step_weight_ng = TW_GRAM;
        request.step_sides_nm = TW_MILLIMETRE;
        for (const std::int32_t detail : {TW_DETAIL_TOTALS, TW_DETAIL_CHARGES, TW_DETAIL_FULL}) {
          request.detail = detail;
          ASSERT_EQ(tw_rank(typed.get(), dispatch.get(), &request, error.get()), TW_OK)
              << tw_error_message(error.get());
          ExpectSameOffers(*cpp, typed.get(), detail);
        }
        const char* json = nullptr;
        ASSERT_EQ(tw_ranking_json(&json, nullptr, typed.get(), 2, error.get()), TW_OK);
        EXPECT_EQ(json, tarewise::ToJson(*cpp));
        if (HasFailure()) return;
        for (const tarewise::Offer& offer : cpp->offers()) {
          taxed += offer.tax ? 1 : 0;
          arriving += offer.arrives ? 1 : 0;
          handicapped += offer.handicaps.empty() ? 0 : 1;
          elsewhere += offer.delivers == tarewise::Delivery::kDoor ? 0 : 1;
          for (const tarewise::Charge& charge : offer.charges)
            billed += tarewise::Ranking::BilledAs(charge).empty() ? 0 : 1;
        }
      }
    }
  }
  for (const std::size_t seen : {taxed, arriving, handicapped, elsewhere, billed}) EXPECT_GT(seen, 5u);
}

TEST(Terms, ARepricerTakesThem) {
  const capi_test::BookPtr book = capi_test::LoadBook(kTables);
  const capi_test::RankingPtr ranking = capi_test::NewRanking();
  const capi_test::ErrorPtr error = capi_test::NewError();
  tw_lane lane = TW_LANE_INIT;
  lane.from_country = lane.to_country = "DE";
  lane.from_postal_code = "10117";
  lane.to_postal_code = "80331";
  constexpr std::size_t kRows = 3;
  const std::int64_t weights[kRows] = {300, 1'200, 40'000};
  const std::int64_t sides[3][kRows] = {{200, 280, 800}, {150, 180, 600}, {50, 120, 500}};
  const std::int64_t values[kRows] = {0, 180, 90};
  tw_goods goods = TW_GOODS_INIT;
  goods.rows = kRows;
  goods.weight = {weights, 8, TW_GRAM, TW_ELEMENT_INT64, 0};
  for (std::size_t i = 0; i < 3; ++i) goods.sides[i] = {sides[i], 8, TW_MILLIMETRE, TW_ELEMENT_INT64, 0};
  goods.value = {values, 8, 1'000'000, TW_ELEMENT_INT64, 0};
  for (const Case& one : Cases()) {
    SCOPED_TRACE(one.json);
    tw_shipment shipment = Shipment();
    one.in_c(shipment);
    tw_repricer* made = nullptr;
    ASSERT_EQ(
        tw_repricer_create(&made, book.get(), tw_ratebook_shelf(book.get()), &shipment, &lane, 1, nullptr, error.get()),
        TW_OK)
        << tw_error_message(error.get());
    const capi_test::RepricerPtr repricer(made);
    std::int64_t totals[kRows];
    std::int16_t services[kRows];
    tw_results results = TW_RESULTS_INIT;
    results.total_micros = totals;
    results.service = services;
    ASSERT_EQ(tw_reprice(&results, repricer.get(), &goods, nullptr, error.get()), TW_OK);
    const capi_test::DispatchPtr dispatch = capi_test::NewDispatch(book.get(), tw_ratebook_shelf(book.get()), shipment);
    for (std::size_t row = 0; row < kRows; ++row) {
      tw_item item = TW_ITEM_INIT;
      item.weight_ng = weights[row] * TW_GRAM;
      for (std::size_t i = 0; i < 3; ++i) item.sides_nm[i] = sides[i][row] * TW_MILLIMETRE;
      item.value_micros = values[row] * 1'000'000;
      tw_request request = TW_REQUEST_INIT;
      request.items = &item;
      request.item_count = 1;
      ASSERT_EQ(tw_rank(ranking.get(), dispatch.get(), &request, error.get()), TW_OK);
      tw_offer offer = TW_OFFER_INIT;
      const bool offered = tw_ranking_offer(&offer, ranking.get(), 0, nullptr) == TW_OK;
      EXPECT_EQ(totals[row], offered ? offer.total_micros : -1) << row;
      if (!offered) continue;
      tw_service service = TW_SERVICE_INIT;
      ASSERT_EQ(tw_repricer_service(&service, repricer.get(), static_cast<std::size_t>(services[row]), nullptr), TW_OK);
      EXPECT_STREQ(service.service, offer.service) << row;
    }
  }
}

TEST(Terms, WhatIsOutOfRangeIsSaidWithItsField) {
  const capi_test::BookPtr book = capi_test::LoadBook(kTables);
  const capi_test::ErrorPtr error = capi_test::NewError();
  static tw_carrier_week twice[2] = {TW_CARRIER_WEEK_INIT, TW_CARRIER_WEEK_INIT};
  twice[0].carrier = twice[1].carrier = "larkspur";
  static tw_carrier_week nobody[1] = {TW_CARRIER_WEEK_INIT};
  const struct {
    const char* pointer;
    tw_status status;
    std::function<void(tw_shipment&)> set;
  } cases[] = {
      {"/accepts", TW_E_INPUT, [](tw_shipment& s) { s.accepts = 8; }},
      {"/totals", TW_E_INPUT, [](tw_shipment& s) { s.totals = 2; }},
      {"/totals", TW_E_INPUT, [](tw_shipment& s) { s.totals = -1; }},
      {"/time_minutes", TW_E_INPUT, [](tw_shipment& s) { s.time_minutes = 1440; }},
      {"/time_minutes", TW_E_INPUT, [](tw_shipment& s) { s.time_minutes = -1; }},
      {"/by_date", TW_E_INPUT, [](tw_shipment& s) { s.promise = TW_PROMISE_BY, s.by_date = 3'000'000; }},
      {"/promise", TW_E_INPUT, [](tw_shipment& s) { s.promise = 4; }},
      {"/cash_on_delivery_micros", TW_E_INPUT, [](tw_shipment& s) { s.cash_on_delivery_micros = -1; }},
      {"/cash_on_delivery_micros", TW_E_INPUT,
       [](tw_shipment& s) { s.cash_on_delivery_micros = 1'000'000'000'000'001; }},
      {"/week_parcels", TW_E_INPUT, [](tw_shipment& s) { s.week_parcels = 1'000'000'001; }},
      {"/week_spend_micros", TW_E_INPUT, [](tw_shipment& s) { s.week_spend_micros = -1; }},
      {"/carrier_weeks", TW_E_COUNT, [](tw_shipment& s) { s.carrier_weeks = twice, s.carrier_week_count = 1001; }},
      {"/carrier_weeks", TW_E_NULL, [](tw_shipment& s) { s.carrier_week_count = 1; }},
      {"/carrier_weeks/1/carrier", TW_E_INPUT,
       [](tw_shipment& s) { s.carrier_weeks = twice, s.carrier_week_count = 2; }},
      {"/carrier_weeks/0/carrier", TW_E_NULL,
       [](tw_shipment& s) { s.carrier_weeks = nobody, s.carrier_week_count = 1; }},
  };
  for (const auto& one : cases) {
    SCOPED_TRACE(one.pointer);
    tw_shipment shipment = Shipment();
    one.set(shipment);
    tw_dispatch* made = nullptr;
    EXPECT_EQ(tw_dispatch_create(&made, book.get(), nullptr, &shipment, error.get()), one.status)
        << tw_error_message(error.get());
    EXPECT_EQ(made, nullptr);
    tw_finding finding = TW_FINDING_INIT;
    ASSERT_EQ(tw_error_finding(&finding, error.get(), 0), TW_OK);
    EXPECT_STREQ(finding.pointer, one.pointer) << finding.message;
  }
}

TEST(Terms, HandicapsNeedTheirDetail) {
  const capi_test::BookPtr book = capi_test::LoadBook(kTables);
  const capi_test::DispatchPtr dispatch = capi_test::NewDispatch(book.get(), nullptr, Shipment());
  const capi_test::RankingPtr ranking = capi_test::NewRanking();
  tw_parcel parcel = capi_test::Parcel("1.4 kg", "30 x 20 x 10 cm");
  tw_request request = TW_REQUEST_INIT;
  request.parcel = &parcel;
  ASSERT_EQ(tw_rank(ranking.get(), dispatch.get(), &request, nullptr), TW_OK);
  tw_offer offer = TW_OFFER_INIT;
  ASSERT_EQ(tw_ranking_offer(&offer, ranking.get(), 0, nullptr), TW_OK);
  EXPECT_EQ(offer.handicap_micros, 450'000);  // a minute and a half at 18.00 an hour
  EXPECT_EQ(offer.handicap_count, 0u);
  EXPECT_STREQ(offer.tax_code, "");
  tw_handicap handicap = TW_HANDICAP_INIT;
  EXPECT_EQ(tw_ranking_handicap(&handicap, ranking.get(), 0, 0, nullptr), TW_E_NOT_ASKED);
  request.detail = TW_DETAIL_CHARGES;
  ASSERT_EQ(tw_rank(ranking.get(), dispatch.get(), &request, nullptr), TW_OK);
  ASSERT_EQ(tw_ranking_offer(&offer, ranking.get(), 0, nullptr), TW_OK);
  ASSERT_EQ(offer.handicap_count, 1u);
  ASSERT_EQ(tw_ranking_handicap(&handicap, ranking.get(), 0, 0, nullptr), TW_OK);
  EXPECT_STREQ(handicap.code, "packing");
  EXPECT_EQ(tw_ranking_handicap(&handicap, ranking.get(), 0, 1, nullptr), TW_E_INDEX);
  EXPECT_EQ(tw_ranking_handicap(nullptr, ranking.get(), 0, 0, nullptr), TW_E_NULL);
  handicap.struct_size = 4;
  EXPECT_EQ(tw_ranking_handicap(&handicap, ranking.get(), 0, 0, nullptr), TW_E_STRUCT_SIZE);
}

TEST(Terms, WhatIsOverdueIsToldByItsSeries) {
  constexpr std::string_view kByDate =
      R"({"format": "tarewise-tariff-1", "carrier": {"code": "ours", "name": "Ours"}, "title": "T", "currency": "EUR",
          "in_force": {"from": "2026-01-01"}, "zones": {"main": [{"kind": "one", "zone": "1"}]},
          "series": {"fuel": {"columns": ["road"], "rows": [["2026-01-01", 9.5]], "good_for": "7 days"}},
          "services": [{"code": "road", "title": "Road", "zones": "main", "mode": "surface", "prices": [{"amount": 5}],
                        "surcharges": [{"code": "fuel", "title": "Fuel", "percent": {"series": "fuel"}, "of": ["*"]}]}]})";
  tw_source source = TW_SOURCE_INIT;
  source.name = "ours.json";
  source.text = kByDate.data();
  source.length = kByDate.size();
  tw_ratebook* made = nullptr;
  ASSERT_EQ(tw_ratebook_load_memory(&made, &source, 1, nullptr), TW_OK);
  const capi_test::BookPtr book(made);
  const capi_test::DispatchPtr dispatch = capi_test::NewDispatch(book.get(), nullptr, Shipment());
  const capi_test::RankingPtr ranking = capi_test::NewRanking();
  tw_parcel parcel = capi_test::Parcel("1.4 kg", "30 x 20 x 10 cm");
  tw_request request = TW_REQUEST_INIT;
  request.parcel = &parcel;
  tw_offer offer = TW_OFFER_INIT;
  for (const std::int32_t detail : {TW_DETAIL_TOTALS, TW_DETAIL_CHARGES}) {
    request.detail = detail;
    ASSERT_EQ(tw_rank(ranking.get(), dispatch.get(), &request, nullptr), TW_OK);
    ASSERT_EQ(tw_ranking_offer(&offer, ranking.get(), 0, nullptr), TW_OK);
    EXPECT_EQ(offer.cautions, TW_CAUTION_VALUE_OVERDUE) << detail;
    EXPECT_EQ(offer.overdue_count, detail == TW_DETAIL_CHARGES ? 1u : 0u);
  }
  tw_overdue overdue = TW_OVERDUE_INIT;
  ASSERT_EQ(tw_ranking_overdue(&overdue, ranking.get(), 0, 0, nullptr), TW_OK);
  EXPECT_STREQ(overdue.series, "fuel");
  EXPECT_EQ(overdue.since, tarewise::Date::Parse("2026-01-08")->days());
  EXPECT_EQ(tw_ranking_overdue(&overdue, ranking.get(), 0, 1, nullptr), TW_E_INDEX);
}

}  // namespace
