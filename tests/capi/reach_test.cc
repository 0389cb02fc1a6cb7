// C reaches what C++ does: tariffs, shelves, zones, examples, fees, comparisons, catalogues when rates change.
#include <algorithm>
#include <cstdint>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <memory>
#include <string>
#include <vector>

#include "support.h"
#include "support/demo_goods.h"
#include "support/random.h"
#include "tarewise/batch/reprice.h"
#include "tarewise/compare/catalogues.h"
#include "tarewise/compare/summary.h"
#include "tarewise/compare/tariffs.h"
#include "tarewise/documents/comparison_json.h"
#include "tarewise/documents/examples.h"
#include "tarewise/economics/economics.h"
#include "tarewise/zone/zone_chart.h"

namespace {

using tarewise::Amount;
using tarewise::testing::Demo;

using EconomicsPtr = std::unique_ptr<tw_economics, capi_test::Free<tw_economics_release>>;
using ComparisonPtr = std::unique_ptr<tw_comparison, capi_test::Free<tw_comparison_free>>;
using ExamplesPtr = std::unique_ptr<tw_examples, capi_test::Free<tw_examples_free>>;
using ZonePtr = std::unique_ptr<tw_zone_answer, capi_test::Free<tw_zone_answer_free>>;
using IndexPtr = std::unique_ptr<tw_index, capi_test::Free<tw_index_free>>;
using CataloguePtr = std::unique_ptr<tw_catalogue, capi_test::Free<tw_catalogue_free>>;

std::int32_t Day(const char* text) {
  std::int32_t days = 0;
  EXPECT_EQ(tw_parse_date(&days, text, nullptr), TW_OK);
  return days;
}

// ---- what there is ----

TEST(Reach, TariffsAsTheyAreInForce) {
  const capi_test::BookPtr book = capi_test::LoadBook();
  const capi_test::ErrorPtr error = capi_test::NewError();
  const std::vector<tarewise::Tariff>& tariffs = Demo().book->tariffs();
  ASSERT_EQ(tw_ratebook_tariff_count(book.get()), tariffs.size());
  for (std::size_t i = 0; i < tariffs.size(); ++i) {
    const tarewise::Tariff& cpp = tariffs[i];
    tw_tariff c = TW_TARIFF_INIT;
    ASSERT_EQ(tw_ratebook_tariff(&c, book.get(), i, error.get()), TW_OK) << tw_error_message(error.get());
    EXPECT_EQ(c.carrier, cpp.carrier);
    EXPECT_EQ(c.carrier_name, cpp.carrier_name);
    EXPECT_EQ(c.title, cpp.title);
    EXPECT_EQ(c.source, cpp.source);
    EXPECT_EQ(c.currency, cpp.currency.code());
    EXPECT_EQ(c.has_from == 1, cpp.in_force.from.has_value());
    if (cpp.in_force.from) {
      EXPECT_EQ(c.from, cpp.in_force.from->days());
    }
    EXPECT_EQ(c.has_until == 1, cpp.in_force.until.has_value());
    if (cpp.in_force.until) {
      EXPECT_EQ(c.until, cpp.in_force.until->days());
    }
    EXPECT_EQ(c.example_count, cpp.examples.size());
    ASSERT_EQ(c.service_count, cpp.services.size());
    for (std::size_t k = 0; k < cpp.services.size(); ++k) {
      tw_service service = TW_SERVICE_INIT;
      ASSERT_EQ(tw_ratebook_service(&service, book.get(), i, k, error.get()), TW_OK);
      EXPECT_EQ(service.carrier, cpp.carrier);
      EXPECT_EQ(service.service, cpp.services[k].code);
      EXPECT_EQ(service.title, cpp.services[k].title);
      EXPECT_EQ(service.mode, static_cast<int>(cpp.services[k].mode));
      EXPECT_EQ(service.days_least, -1);
      EXPECT_STREQ(service.zone, "");
    }
    tw_service none = TW_SERVICE_INIT;
    EXPECT_EQ(tw_ratebook_service(&none, book.get(), i, cpp.services.size(), error.get()), TW_E_INDEX);
  }
  for (const char* day : {"2025-01-01", "2026-02-01", "2026-08-03", "2027-06-01"}) {
    for (const std::string_view carrier : Demo().book->Carriers()) {
      std::int64_t index = -7;
      ASSERT_EQ(tw_ratebook_in_force(&index, book.get(), std::string(carrier).c_str(), Day(day), error.get()), TW_OK);
      const tarewise::Edition* edition = Demo().book->InForce(carrier, *tarewise::Date::Parse(day));
      EXPECT_EQ(index, edition == nullptr ? -1 : edition->tariff - tariffs.data()) << carrier << " " << day;
    }
  }
  std::int64_t index = -7;
  EXPECT_EQ(tw_ratebook_in_force(&index, book.get(), "fenwick", Day("2026-08-03"), error.get()), TW_E_INPUT);
  EXPECT_NE(std::string(tw_error_message(error.get())).find("found \"fenwick\", expected one of "), std::string::npos);
  EXPECT_EQ(index, -7);
  EXPECT_EQ(tw_ratebook_in_force(&index, book.get(), "harbourline", INT32_MAX, error.get()), TW_E_INPUT);
}

// ---- shelves ----

std::vector<tw_packaging> PackagingOf(const tw_shelf* shelf) {
  std::vector<tw_packaging> out(tw_shelf_packaging_count(shelf), TW_PACKAGING_INIT);
  for (std::size_t i = 0; i < out.size(); ++i) EXPECT_EQ(tw_shelf_packaging(&out[i], shelf, i, nullptr), TW_OK);
  return out;
}

void ExpectSamePackaging(const tw_packaging& a, const tw_packaging& b) {
  EXPECT_STREQ(a.code, b.code);
  EXPECT_STREQ(a.title, b.title);
  EXPECT_STREQ(a.issued_by, b.issued_by);
  EXPECT_EQ(a.kind, b.kind);
  EXPECT_EQ(a.tare_ng, b.tare_ng);
  EXPECT_EQ(a.cost_micros, b.cost_micros);
  EXPECT_EQ(a.on_hand, b.on_hand);
  EXPECT_EQ(a.in_force, b.in_force);
  EXPECT_EQ(a.wall_nm, b.wall_nm);
  EXPECT_EQ(a.least_height_nm, b.least_height_nm);
  for (std::size_t i = 0; i < 3; ++i) {
    EXPECT_EQ(a.inside_nm[i], b.inside_nm[i]) << a.code;
    EXPECT_EQ(a.outside_nm[i], b.outside_nm[i]) << a.code;
  }
}

// A list of the demonstration's shelf makes that shelf again.
TEST(Reach, ShelvesMadeAgainAreTheSame) {
  const capi_test::BookPtr book = capi_test::LoadBook();
  const capi_test::ErrorPtr error = capi_test::NewError();
  const tw_shelf* read = tw_ratebook_shelf(book.get());
  const std::vector<tw_packaging> list = PackagingOf(read);
  ASSERT_EQ(list.size(), Demo().shelf->own.size() + Demo().shelf->issued.size());
  ASSERT_GT(Demo().shelf->issued.size(), 0u);
  tw_shelf* raw = nullptr;
  ASSERT_EQ(tw_shelf_create(&raw, list.data(), list.size(), tw_shelf_currency(read), error.get()), TW_OK)
      << tw_error_message(error.get());
  const capi_test::ShelfPtr made(raw);
  const std::vector<tw_packaging> again = PackagingOf(made.get());
  ASSERT_EQ(again.size(), list.size());
  for (std::size_t i = 0; i < list.size(); ++i) ExpectSamePackaging(list[i], again[i]);
  EXPECT_STREQ(tw_shelf_currency(made.get()), tw_shelf_currency(read));
}

TEST(Reach, ShelvesRefuseWhatADocumentRefuses) {
  const capi_test::ErrorPtr error = capi_test::NewError();
  tw_packaging carton = TW_PACKAGING_INIT;
  carton.code = "carton-a";
  carton.title = "Carton with \"quotes\" and \\";
  for (std::int64_t& side : carton.inside_nm) side = 10 * TW_INCH;
  carton.wall_nm = 3 * TW_MILLIMETRE + 1;  // to the nanometre
  carton.tare_ng = 6 * TW_OUNCE;
  carton.on_hand = -1;
  tw_shelf* raw = nullptr;
  ASSERT_EQ(tw_shelf_create(&raw, &carton, 1, nullptr, error.get()), TW_OK) << tw_error_message(error.get());
  const capi_test::ShelfPtr shelf(raw);
  tw_packaging told = TW_PACKAGING_INIT;
  ASSERT_EQ(tw_shelf_packaging(&told, shelf.get(), 0, error.get()), TW_OK);
  EXPECT_STREQ(told.title, carton.title);
  EXPECT_EQ(told.outside_nm[0], 10 * TW_INCH + 6 * TW_MILLIMETRE + 2);
  EXPECT_EQ(told.on_hand, -1);
  auto refused = [&](auto change, const char* words) {
    tw_packaging two[2] = {carton, carton};
    two[1].code = "carton-b";
    change(two[1]);
    tw_shelf* out = nullptr;
    EXPECT_EQ(tw_shelf_create(&out, two, 2, nullptr, error.get()), TW_E_INPUT) << words;
    EXPECT_EQ(out, nullptr);
    EXPECT_NE(std::string(tw_error_message(error.get())).find(words), std::string::npos)
        << tw_error_message(error.get());
  };
  refused([](tw_packaging& p) { p.code = "carton-a"; }, "\"carton-a\" twice");
  refused([](tw_packaging& p) { p.code = "Carton B"; }, "/packaging/1/code");
  refused([](tw_packaging& p) { p.inside_nm[1] = 0; }, "/packaging/1/inside");
  refused([](tw_packaging& p) { p.inside_nm[1] = -1; }, "/packagings/1/inside_nm");
  refused([](tw_packaging& p) { p.cost_micros = 1; }, "expected the currency of the shelf");
  refused([](tw_packaging& p) { p.kind = 7; }, "/packagings/1/kind");
  refused([](tw_packaging& p) { p.on_hand = -2; }, "/packagings/1/on_hand");
  refused([](tw_packaging& p) { p.outside_nm[0] = 10 * TW_INCH; }, "beside a wall");
  refused([](tw_packaging& p) { p.reserved = 1; }, "/packagings/1/reserved");
  refused([](tw_packaging& p) { p.least_height_nm = 40 * TW_INCH; }, "least_height");
}

TEST(Reach, OnHandMakesAnotherShelf) {
  const capi_test::BookPtr book = capi_test::LoadBook();
  const capi_test::ErrorPtr error = capi_test::NewError();
  const tw_shelf* before = tw_ratebook_shelf(book.get());
  const std::vector<tw_packaging> list = PackagingOf(before);
  for (const tw_packaging& one : list) {
    tw_shelf* raw = nullptr;
    ASSERT_EQ(tw_shelf_with_on_hand(&raw, before, one.issued_by, one.code, 0, error.get()), TW_OK);
    const capi_test::ShelfPtr changed(raw);
    std::vector<tw_packaging> after = PackagingOf(changed.get());
    ASSERT_EQ(after.size(), list.size());
    std::size_t different = 0;
    for (std::size_t i = 0; i < list.size(); ++i) {
      if (after[i].on_hand != list[i].on_hand) ++different;
      if (std::string(after[i].code) == one.code && std::string(after[i].issued_by) == one.issued_by) {
        EXPECT_EQ(after[i].on_hand, 0);
      }
    }
    EXPECT_EQ(different, one.on_hand == 0 ? 0u : 1u);
  }
  EXPECT_EQ(PackagingOf(before)[0].on_hand, list[0].on_hand);
  tw_shelf* out = nullptr;
  EXPECT_EQ(tw_shelf_with_on_hand(&out, before, nullptr, "carton-nowhere", 1, error.get()), TW_E_INPUT);
  EXPECT_NE(std::string(tw_error_message(error.get())).find("found \"carton-nowhere\", expected one of "),
            std::string::npos);
  EXPECT_EQ(tw_shelf_with_on_hand(&out, before, nullptr, list[0].code, 1'000'000'001, error.get()), TW_E_INPUT);
  EXPECT_EQ(out, nullptr);
}

// ---- zones and examples ----

TEST(Reach, ZonesAreExplained) {
  const capi_test::BookPtr book = capi_test::LoadBook();
  const capi_test::ErrorPtr error = capi_test::NewError();
  std::vector<int> kinds(5);
  const char* const places[][2] = {{"60614", "US"}, {"05408", "US"},   {"98101", "US"},   {"99501", "US"},
                                   {"10115", "DE"}, {"M5V 3L9", "CA"}, {"PA2 1AA", "GB"}, {"00601", "PR"}};
  for (const auto& [code, country] : places) {
    const tw_shipment shipment = capi_test::Shipment(code, country);
    tw_dispatch* raw = nullptr;
    ASSERT_EQ(tw_dispatch_create(&raw, book.get(), nullptr, &shipment, error.get()), TW_OK)
        << tw_error_message(error.get());
    const capi_test::DispatchPtr dispatch(raw);
    const tarewise::Lane lane = tarewise::testing::LaneTo(country, code);
    for (std::size_t i = 0; i < tw_dispatch_service_count(dispatch.get()); ++i) {
      tw_service service = TW_SERVICE_INIT;
      ASSERT_EQ(tw_dispatch_service(&service, dispatch.get(), i, error.get()), TW_OK);
      tw_zone_answer* answer = nullptr;
      ASSERT_EQ(tw_zone_explain(&answer, dispatch.get(), i, error.get()), TW_OK);
      const ZonePtr held(answer);
      tw_zone zone = TW_ZONE_INIT;
      ASSERT_EQ(tw_zone_get(&zone, answer, error.get()), TW_OK);
      EXPECT_STREQ(zone.zone, service.zone);
      EXPECT_EQ(zone.chart == -1, zone.zone[0] == '\0');
      EXPECT_EQ(zone.kind == -1, zone.zone[0] == '\0');
      EXPECT_EQ(std::string(zone.text).rfind("no zone: ", 0) == 0, zone.zone[0] == '\0');
      if (zone.zone[0] == '\0') continue;
      EXPECT_EQ(std::string(zone.text).rfind("zone " + std::string(zone.zone) + " ", 0), 0u) << zone.text;
      ++kinds[static_cast<std::size_t>(zone.kind)];
      EXPECT_EQ(zone.distance_metres >= 0, zone.kind == TW_CHART_DISTANCE);
      if (zone.kind == TW_CHART_DISTANCE && zone.up_to_nm != 0) {
        EXPECT_LE(zone.distance_metres, zone.up_to_nm / 1'000'000'000 + 1);
      }
      // The area that is named holds the place.
      if (zone.area[0] != '\0') {
        EXPECT_TRUE(tarewise::Area::Parse(zone.area)->Has(lane.to)) << zone.area;
      }
      if (zone.kind == TW_CHART_PAIRS) {
        EXPECT_TRUE(tarewise::Area::Parse(zone.origin)->Has(lane.from)) << zone.origin;
      }
    }
  }
  EXPECT_GE(std::count_if(kinds.begin(), kinds.end(), [](int n) { return n > 0; }), 3);
}

// With one total changed by a cent, that example alone differs, in the words of C++.
TEST(Reach, ExamplesAreChecked) {
  const capi_test::BookPtr book = capi_test::LoadBook();
  const capi_test::ErrorPtr error = capi_test::NewError();
  std::size_t agreeing = 0;
  for (std::size_t i = 0; i < tw_ratebook_tariff_count(book.get()); i += 3) {
    tw_examples* raw = nullptr;
    ASSERT_EQ(tw_examples_check(&raw, book.get(), i, error.get()), TW_OK);
    const ExamplesPtr examples(raw);
    EXPECT_EQ(tw_examples_differing(raw), 0u);
    agreeing += tw_examples_agreeing(raw);
    EXPECT_EQ(tw_examples_agreeing(raw), Demo().book->tariffs()[i].examples.size());
    tw_example none = TW_EXAMPLE_INIT;
    EXPECT_EQ(tw_examples_get(&none, raw, 0, error.get()), TW_E_INDEX);
  }
  EXPECT_GT(agreeing, 10u);

  std::string text = R"({"format": "tarewise-tariff-1", "title": "Parcels",
    "carrier": {"code": "harbourline", "name": "Harbourline Post"}, "currency": "USD", "in_force": {"from": "2026-01-01"},
    "rounding": {"line": "0.01", "total": "0.01", "mode": "half_up"},
    "zones": {"main": [{"kind": "one", "zone": "1"}]},
    "services": [{"code": "ground", "title": "Ground", "zones": "main", "prices": [{"amount": "4.00"}]}],
    "examples": [{"service": "ground", "parcel": {"weight": "1 lb", "sides": "9 x 6 x 4 in"}, "zone": "1", "total": "4.00"},
                 {"service": "ground", "parcel": {"weight": "2 lb", "sides": "9 x 6 x 4 in"}, "zone": "1", "total": "4.01"}]})";
  tw_source source = TW_SOURCE_INIT;
  source.name = "tariff.json";
  source.text = text.data();
  source.length = text.size();
  tw_ratebook* one = nullptr;
  ASSERT_EQ(tw_ratebook_load_memory(&one, &source, 1, error.get()), TW_OK) << tw_error_message(error.get());
  const capi_test::BookPtr small(one);
  tw_examples* raw = nullptr;
  ASSERT_EQ(tw_examples_check(&raw, one, 0, error.get()), TW_OK);
  const ExamplesPtr examples(raw);
  EXPECT_EQ(tw_examples_agreeing(raw), 1u);
  ASSERT_EQ(tw_examples_differing(raw), 1u);
  const tarewise::Loaded<tarewise::Tariff> tariff = tarewise::ReadTariff({"tariff.json", text});
  const auto cpp = tarewise::DifferingExamples(*tariff.value, {});
  ASSERT_EQ(cpp.size(), 1u);
  tw_example told = TW_EXAMPLE_INIT;
  ASSERT_EQ(tw_examples_get(&told, raw, 0, error.get()), TW_OK);
  EXPECT_EQ(told.number, 2u);
  EXPECT_EQ(told.text, cpp[0].text);
  EXPECT_STREQ(told.service, "ground");
  EXPECT_STREQ(told.pointer, "/examples/1");
  ASSERT_EQ(told.line_count, cpp[0].lines.size());
  const char* line = nullptr;
  ASSERT_EQ(tw_examples_line(&line, raw, 0, 0, error.get()), TW_OK);
  EXPECT_EQ(line, cpp[0].lines[0]);
  EXPECT_EQ(tw_examples_line(&line, raw, 0, told.line_count, error.get()), TW_E_INDEX);
}

// ---- what a sale leaves ----

// The example of `Economics`' own comment, whose figures are worked out there by hand.
TEST(Reach, EconomicsByHand) {
  const capi_test::ErrorPtr error = capi_test::NewError();
  tw_fee_tier selling = TW_FEE_TIER_INIT, payment = TW_FEE_TIER_INIT;
  selling.percent_millionths = 114'000;
  payment.percent_millionths = 22'000;
  payment.fixed_micros = 250'000;
  tw_fee fees[2] = {TW_FEE_INIT, TW_FEE_INIT};
  fees[0].code = "selling", fees[0].tiers = &selling;
  fees[1].code = "payment", fees[1].tiers = &payment;
  for (tw_fee& fee : fees) fee.tier_count = 1, fee.of = TW_FEE_OF_PRICE_AND_SHIPPING;
  tw_economics_setup setup = TW_ECONOMICS_SETUP_INIT;
  setup.currency = "USD";
  setup.fees = fees;
  setup.fee_count = 2;
  setup.labour_micros = 1'200'000;
  tw_economics* raw = nullptr;
  ASSERT_EQ(tw_economics_create(&raw, &setup, error.get()), TW_OK) << tw_error_message(error.get());
  const EconomicsPtr shop(raw);
  tw_place_total places[2] = {TW_PLACE_TOTAL_INIT, TW_PLACE_TOTAL_INIT};
  places[0].total_micros = 5'100'000, places[0].share = 3;
  places[1].total_micros = 9'400'000;
  tw_profit profit = TW_PROFIT_INIT;
  ASSERT_EQ(tw_economics_profit(&profit, raw, 4'000'000, 24'900'000, places, 2, nullptr, 0, nullptr, error.get()),
            TW_OK);
  EXPECT_EQ(profit.worst_micros, 6'660'000);
  EXPECT_EQ(profit.worst_place, 1);
  EXPECT_EQ(profit.expected_micros, 9'890'000);
  std::int64_t most = 0;
  ASSERT_EQ(tw_economics_most_to_pay(&most, raw, 24'900'000, places, 2, TW_WANTED_AMOUNT, 5'000'000, TW_CASE_WORST,
                                     error.get()),
            TW_OK);
  EXPECT_EQ(most, 5'660'000);
  tw_sale_line lines[16];
  for (tw_sale_line& line : lines) line = TW_SALE_LINE_INIT;
  std::size_t count = 0;
  EXPECT_EQ(tw_economics_account(nullptr, 0, &count, raw, 4'000'000, 24'900'000, &places[1], 0, error.get()),
            TW_E_BUFFER);
  ASSERT_EQ(tw_economics_account(lines, 16, &count, raw, 4'000'000, 24'900'000, &places[1], 0, error.get()), TW_OK);
  std::int64_t sum = 0;
  bool selling_there = false;
  for (std::size_t i = 0; i < count; ++i) {
    sum += lines[i].amount_micros;
    selling_there = selling_there || (std::string(lines[i].code) == "selling" && lines[i].amount_micros == -2'840'000);
  }
  EXPECT_EQ(sum, profit.worst_micros);
  EXPECT_TRUE(selling_there);
}

TEST(Reach, EconomicsAsInCpp) {
  const capi_test::ErrorPtr error = capi_test::NewError();
  std::mt19937_64 random(2);
  auto below = [&](std::uint64_t n) { return static_cast<std::int64_t>(random() % n); };
  std::size_t found = 0;
  for (int round = 0; round < 300; ++round) {
    SCOPED_TRACE(round);
    tarewise::EconomicsSetup cpp;
    cpp.currency = *tarewise::Currency::Parse(round % 5 == 0 ? "JPY" : "USD");
    const std::int64_t unit = cpp.currency.minor_unit();
    tw_economics_setup c = TW_ECONOMICS_SETUP_INIT;
    c.currency = round % 5 == 0 ? "JPY" : "USD";
    std::vector<tw_fee> fees(static_cast<std::size_t>(below(3)), TW_FEE_INIT);
    std::vector<std::vector<tw_fee_tier>> tiers(fees.size());
    static const char* const kCodes[] = {"selling", "payment"};
    for (std::size_t i = 0; i < fees.size(); ++i) {
      tarewise::Fee fee;
      fee.code = kCodes[i];
      fee.of = static_cast<tarewise::FeeOf>(below(2));
      fee.scale = static_cast<tarewise::FeeScale>(below(2));
      fee.on_return = static_cast<tarewise::FeeOnReturn>(below(3));
      const std::int64_t count = 1 + below(3);
      for (std::int64_t t = 0; t < count; ++t) {
        tarewise::FeeTier tier;
        tw_fee_tier given = TW_FEE_TIER_INIT;
        if (t + 1 < count) {
          given.has_up_to = 1;
          given.up_to_micros = (t + 1) * 20 * 1'000'000;
          tier.up_to = Amount::Micros(given.up_to_micros);
        }
        given.percent_millionths = below(200'000);
        given.fixed_micros = below(100) * unit;
        tier.percent = tarewise::Percent::TenThousandths(given.percent_millionths);
        tier.fixed = Amount::Micros(given.fixed_micros);
        tiers[i].push_back(given);
        fee.tiers.push_back(tier);
      }
      if (below(3) == 0) {
        fees[i].has_least = 1;
        fees[i].least_micros = 5 * unit;
        fee.least = Amount::Micros(5 * unit);
      }
      cpp.fees.push_back(fee);
      fees[i].code = kCodes[i];
      fees[i].of = static_cast<std::int32_t>(fee.of);
      fees[i].scale = static_cast<std::int32_t>(fee.scale);
      fees[i].on_return = static_cast<std::int32_t>(fee.on_return);
      fees[i].tiers = tiers[i].data();
      fees[i].tier_count = tiers[i].size();
    }
    c.fees = fees.data();
    c.fee_count = fees.size();
    c.labour_micros = below(300) * unit;
    cpp.labour = Amount::Micros(c.labour_micros);
    c.return_share_millionths = below(300'000);
    cpp.returns.share = tarewise::Percent::TenThousandths(c.return_share_millionths);
    c.seller_pays_return = static_cast<std::int32_t>(below(2));
    cpp.returns.seller_pays = c.seller_pays_return == 1;
    c.shipping_refunded = static_cast<std::int32_t>(below(2));
    cpp.returns.shipping_refunded = c.shipping_refunded == 1;
    c.return_recovered_millionths = below(1'000'001);
    cpp.returns.recovered = tarewise::Percent::TenThousandths(c.return_recovered_millionths);
    c.return_of_total_millionths = below(2'000'000);
    cpp.returns.of_total = tarewise::Percent::TenThousandths(c.return_of_total_millionths);
    std::vector<tw_place_total> places(static_cast<std::size_t>(1 + below(4)), TW_PLACE_TOTAL_INIT);
    std::vector<tarewise::PlaceTotal> cpp_places;
    for (tw_place_total& place : places) {
      place.total_micros = below(2000) * unit;
      place.charged_micros = below(800) * unit;
      place.share = 1 + below(5);
      place.parcels = static_cast<std::int32_t>(1 + below(3));
      cpp_places.push_back(
          {Amount::Micros(place.total_micros), Amount::Micros(place.charged_micros), place.share, place.parcels});
    }
    tw_economics* raw = nullptr;
    ASSERT_EQ(tw_economics_create(&raw, &c, error.get()), TW_OK) << tw_error_message(error.get());
    const EconomicsPtr shop(raw);
    const tarewise::Economics reference = *tarewise::Economics::Create(cpp);
    const std::int64_t cost = below(3000) * unit;
    const std::int64_t price = below(9000) * unit;
    const std::int64_t levels[] = {0, 50'000, 1'000'000};
    std::int64_t quantiles[3] = {};
    tw_profit profit = TW_PROFIT_INIT;
    ASSERT_EQ(
        tw_economics_profit(&profit, raw, cost, price, places.data(), places.size(), levels, 3, quantiles, error.get()),
        TW_OK);
    const tarewise::Profit expected =
        *reference.ProfitOf({Amount::Micros(cost), Amount::Micros(price)}, cpp_places, levels);
    EXPECT_EQ(profit.worst_micros, expected.worst.micros());
    EXPECT_EQ(profit.expected_micros, expected.expected.micros());
    EXPECT_EQ(profit.worst_returned_micros, expected.worst_returned.micros());
    for (std::size_t i = 0; i < 3; ++i) EXPECT_EQ(quantiles[i], expected.quantiles[i].micros());
    const std::int32_t which = static_cast<std::int32_t>(below(2));
    const std::int32_t kind = static_cast<std::int32_t>(below(2));
    const std::int64_t wanted = kind == TW_WANTED_PERCENT ? below(300'000) : below(500) * unit;
    const tarewise::Wanted cpp_wanted = kind == TW_WANTED_PERCENT
                                            ? tarewise::Wanted(tarewise::Percent::TenThousandths(wanted))
                                            : tarewise::Wanted(Amount::Micros(wanted));
    std::int32_t keeps = -1;
    ASSERT_EQ(
        tw_economics_keeps(&keeps, raw, cost, price, places.data(), places.size(), kind, wanted, which, error.get()),
        TW_OK);
    EXPECT_EQ(keeps == 1, *reference.Keeps({Amount::Micros(cost), Amount::Micros(price)}, cpp_places, cpp_wanted,
                                           static_cast<tarewise::Case>(which)));
    std::int64_t most = -7, least = -7;
    ASSERT_EQ(
        tw_economics_most_to_pay(&most, raw, price, places.data(), places.size(), kind, wanted, which, error.get()),
        TW_OK);
    const auto cpp_most =
        *reference.MostToPay(Amount::Micros(price), cpp_places, cpp_wanted, static_cast<tarewise::Case>(which));
    EXPECT_EQ(most, cpp_most ? cpp_most->micros() : -1);
    const std::int64_t up_to = 1000 * 1'000'000;
    ASSERT_EQ(tw_economics_least_price(&least, raw, cost, places.data(), places.size(), kind, wanted, which, up_to,
                                       error.get()),
              TW_OK);
    const auto cpp_least = *reference.LeastPrice(Amount::Micros(cost), cpp_places, cpp_wanted,
                                                 static_cast<tarewise::Case>(which), Amount::Micros(up_to));
    EXPECT_EQ(least, cpp_least ? cpp_least->micros() : -1);
    found += most >= 0 && least >= 0 ? 1u : 0u;
  }
  EXPECT_GT(found, 100u);
}

// Rows of the example by hand above: what the calls for one sale say of each.
TEST(Reach, EconomicsOfColumns) {
  const capi_test::ErrorPtr error = capi_test::NewError();
  tw_fee_tier selling = TW_FEE_TIER_INIT;
  selling.percent_millionths = 136'000;
  selling.fixed_micros = 250'000;
  tw_fee fee = TW_FEE_INIT;
  fee.code = "selling", fee.tiers = &selling, fee.tier_count = 1, fee.of = TW_FEE_OF_PRICE_AND_SHIPPING;
  tw_economics_setup setup = TW_ECONOMICS_SETUP_INIT;
  setup.currency = "USD";
  setup.fees = &fee;
  setup.fee_count = 1;
  tw_economics* raw = nullptr;
  ASSERT_EQ(tw_economics_create(&raw, &setup, error.get()), TW_OK) << tw_error_message(error.get());
  const EconomicsPtr shop(raw);
  const std::int64_t totals[] = {5'100'000, 9'400'000, 3'000'000, -1, 4'000'000, 4'000'000, 6'000'000, 7'000'000};
  const std::int64_t shares[] = {3, 1};
  const std::int64_t prices[] = {2'490, 1'500, 800, -1};  // cents
  const double costs[] = {4, 1.25, 3, 2};
  const std::uint8_t no_cost[] = {0, 0, 1, 0};
  std::int64_t profit[4], most[4], least[4];
  std::int8_t keeps[4];
  std::uint8_t reason[4];
  tw_sale_columns columns = TW_SALE_COLUMNS_INIT;
  columns.rows = 4;
  columns.place_count = 2;
  columns.total_micros = totals;
  columns.shares = shares;
  columns.price.data = prices, columns.price.stride = sizeof prices[0], columns.price.unit = 10'000;
  columns.price.element = TW_ELEMENT_INT64;
  columns.cost.data = costs, columns.cost.stride = sizeof costs[0], columns.cost.unit = 1'000'000;
  columns.cost.element = TW_ELEMENT_FLOAT64;
  columns.cost_missing.data = no_cost, columns.cost_missing.stride = 1;
  columns.cost_missing.element = TW_ELEMENT_UINT8;
  columns.wanted = 2'000'000;
  columns.profit_micros = profit, columns.most_to_pay_micros = most, columns.least_price_micros = least;
  columns.keeps = keeps, columns.reason = reason;
  ASSERT_EQ(tw_economics_columns(raw, &columns, error.get()), TW_OK) << tw_error_message(error.get());
  tw_place_total places[2] = {TW_PLACE_TOTAL_INIT, TW_PLACE_TOTAL_INIT};
  places[0].total_micros = totals[0], places[0].share = 3;
  places[1].total_micros = totals[1], places[1].share = 1;
  tw_profit one = TW_PROFIT_INIT;
  ASSERT_EQ(tw_economics_profit(&one, raw, 4'000'000, 24'900'000, places, 2, nullptr, 0, nullptr, error.get()), TW_OK);
  EXPECT_EQ(profit[0], one.expected_micros);
  std::int64_t alone = 0;
  ASSERT_EQ(tw_economics_most_to_pay(&alone, raw, 24'900'000, places, 2, TW_WANTED_AMOUNT, 2'000'000, TW_CASE_AVERAGE,
                                     error.get()),
            TW_OK);
  EXPECT_EQ(most[0], alone);
  ASSERT_EQ(tw_economics_least_price(&alone, raw, 4'000'000, places, 2, TW_WANTED_AMOUNT, 2'000'000, TW_CASE_AVERAGE, 0,
                                     error.get()),
            TW_OK);
  EXPECT_EQ(least[0], alone);
  EXPECT_EQ(keeps[0], 1);
  EXPECT_STREQ(tw_sale_reason_name(reason[0]), "");
  EXPECT_STREQ(tw_sale_reason_name(reason[1]), "not_priced");
  EXPECT_EQ(profit[1], TW_NO_PROFIT);
  EXPECT_EQ(most[1], -1);
  EXPECT_STREQ(tw_sale_reason_name(reason[2]), "no_cost");
  EXPECT_EQ(keeps[2], -1);
  EXPECT_GE(most[2], 0);
  EXPECT_STREQ(tw_sale_reason_name(reason[3]), "bad_price");
  EXPECT_GE(least[3], 0);
  EXPECT_STREQ(tw_sale_reason_name(10), "");

  const auto refused = [&](tw_status status, const std::string& words) {
    EXPECT_EQ(tw_economics_columns(raw, &columns, error.get()), status);
    EXPECT_EQ(tw_error_message(error.get()), words);
  };
  columns.cost.data = nullptr;
  refused(TW_E_NULL, "/cost: found NULL, expected a column, as profit_micros is asked for");
  columns.cost.data = costs;
  columns.place_count = 0;
  refused(TW_E_COUNT, "/place_count: found 0, expected 1 to 100000");
  columns.place_count = 2;
  const std::int64_t none[] = {0, 0};
  columns.shares = none;
  refused(TW_E_INPUT, "/places: found shares that add up to 0, expected 1 to 1000000000000");
  columns.shares = shares;
  const std::int64_t odd[] = {5'100'000, -2, 1, 1, 1, 1, 1, 1};
  columns.total_micros = odd;
  EXPECT_EQ(tw_economics_columns(raw, &columns, error.get()), TW_E_INPUT);
}

TEST(Reach, EconomicsRefuses) {
  const capi_test::ErrorPtr error = capi_test::NewError();
  tw_fee_tier tier = TW_FEE_TIER_INIT;
  tw_fee fee = TW_FEE_INIT;
  fee.code = "selling";
  fee.tiers = &tier;
  fee.tier_count = 1;
  auto refused = [&](auto change, tw_status status, const char* words) {
    tw_fee_tier own_tier = tier;
    tw_fee own = fee;
    own.tiers = &own_tier;
    tw_economics_setup setup = TW_ECONOMICS_SETUP_INIT;
    setup.currency = "USD";
    setup.fees = &own;
    setup.fee_count = 1;
    change(setup, own, own_tier);
    tw_economics* out = nullptr;
    EXPECT_EQ(tw_economics_create(&out, &setup, error.get()), status) << words;
    EXPECT_EQ(out, nullptr);
    EXPECT_NE(std::string(tw_error_message(error.get())).find(words), std::string::npos)
        << tw_error_message(error.get());
  };
  refused([](auto& s, auto&, auto&) { s.currency = "XXY"; }, TW_E_INPUT, "/currency");
  refused([](auto& s, auto&, auto&) { s.currency = nullptr; }, TW_E_NULL, "/currency");
  refused([](auto& s, auto&, auto&) { s.reserved = 1; }, TW_E_INPUT, "/reserved");
  refused([](auto& s, auto&, auto&) { s.labour_micros = -1; }, TW_E_INPUT, "/labour_micros");
  refused([](auto& s, auto&, auto&) { s.return_share_millionths = 1'000'001; }, TW_E_INPUT, "/return_share");
  refused([](auto& s, auto&, auto&) { s.seller_pays_return = 2; }, TW_E_INPUT, "/seller_pays_return");
  refused([](auto&, auto& f, auto&) { f.code = "price"; }, TW_E_INPUT, "price");
  refused([](auto&, auto& f, auto&) { f.tier_count = 0; }, TW_E_COUNT, "/fees/0/tier_count");
  refused([](auto&, auto& f, auto&) { f.of = 2; }, TW_E_INPUT, "/fees/0/of");
  refused([](auto&, auto& f, auto&) { f.most_micros = 1; }, TW_E_INPUT, "/fees/0/most_micros");
  refused([](auto&, auto&, auto& t) { t.percent_millionths = 1'000'001; }, TW_E_INPUT, "/fees/0/tiers/0/percent");
  refused([](auto&, auto&, auto& t) { t.has_up_to = 1; }, TW_E_INPUT, "/fees/0");
  refused([](auto&, auto&, auto& t) { t.struct_size = 0; }, TW_E_STRUCT_SIZE, "struct_size");
}

// ---- what changes ----

TEST(Reach, ComparisonsAsInCpp) {
  const capi_test::BookPtr book = capi_test::LoadBook();
  const capi_test::ErrorPtr error = capi_test::NewError();
  for (const auto& [first, second] : {std::pair("2026-02-01", "2026-08-03"), std::pair("2026-08-03", "2026-08-10"),
                                      std::pair("2026-08-03", "2026-08-03")}) {
    tw_comparison* raw = nullptr;
    ASSERT_EQ(tw_compare(&raw, book.get(), Day(first), book.get(), Day(second), error.get()), TW_OK);
    const ComparisonPtr held(raw);
    const tarewise::Comparison cpp =
        tarewise::Compare(*Demo().book, *tarewise::Date::Parse(first), *Demo().book, *tarewise::Date::Parse(second));
    EXPECT_EQ(tw_comparison_summary(raw), tarewise::Summary(cpp));
    const char* json = nullptr;
    std::size_t length = 0;
    ASSERT_EQ(tw_comparison_json(&json, &length, raw, 2, error.get()), TW_OK);
    EXPECT_EQ(std::string(json, length), tarewise::ToJson(cpp));
    std::size_t at = 0;
    auto check = [&](const tarewise::TariffComparison& tariff, const char* service, const char* charge,
                     const tarewise::PriceComparison& price) {
      for (const tarewise::CellChange& cell : price.cells) {
        tw_cell_change c = TW_CELL_CHANGE_INIT;
        ASSERT_EQ(tw_comparison_cell(&c, raw, at++, error.get()), TW_OK);
        EXPECT_EQ(c.carrier, tariff.carrier);
        EXPECT_STREQ(c.service, service);
        EXPECT_STREQ(c.charge, charge);
        EXPECT_EQ(c.when, price.when);
        EXPECT_EQ(c.row, cell.row);
        EXPECT_EQ(c.column, cell.column);
        EXPECT_EQ(c.before_micros, cell.before ? cell.before->micros() : -1);
        EXPECT_EQ(c.after_micros, cell.after ? cell.after->micros() : -1);
        EXPECT_EQ(c.has_percent == 1, cell.percent().has_value());
        EXPECT_EQ(c.percent_ten_thousandths, cell.percent().value_or(0));
        EXPECT_EQ(c.kind, static_cast<int>(cell.kind()));
      }
    };
    for (const tarewise::TariffComparison& tariff : cpp.carriers) {
      for (const tarewise::ServiceComparison& service : tariff.services) {
        for (const auto& price : service.prices) check(tariff, service.code.c_str(), "", price);
      }
      for (const tarewise::ChargeComparison& charge : tariff.charges) {
        check(tariff, "", charge.code.c_str(), charge.price);
      }
    }
    EXPECT_EQ(at, tw_comparison_cell_count(raw));
    EXPECT_EQ(at > 100, std::string(first) == "2026-02-01");
    tw_cell_change none = TW_CELL_CHANGE_INIT;
    EXPECT_EQ(tw_comparison_cell(&none, raw, at, error.get()), TW_E_INDEX);
  }
  tw_comparison* out = nullptr;
  EXPECT_EQ(tw_compare(&out, book.get(), INT32_MIN, book.get(), Day("2026-08-03"), error.get()), TW_E_INPUT);
  EXPECT_EQ(out, nullptr);
}

// Columns of the demonstration's catalogue.
struct CatalogueColumns {
  std::vector<std::int64_t> weight, sides[3];
  tarewise::GoodsColumns cpp;
  tw_goods c = TW_GOODS_INIT;
  CatalogueColumns() {
    for (const tarewise::testing::CatalogueRow& row : tarewise::testing::Catalogue()) {
      const tarewise::Item item = tarewise::testing::ItemOf(row);
      weight.push_back(item.weight.nanograms());
      for (std::size_t i = 0; i < 3; ++i) sides[i].push_back(item.sides[i].nanometres());
    }
    cpp.rows = c.rows = weight.size();
    cpp.weight = tarewise::Column::Of(weight);
    c.weight = Of(weight);
    for (std::size_t i = 0; i < 3; ++i) {
      cpp.sides[i] = tarewise::Column::Of(sides[i]);
      c.sides[i] = Of(sides[i]);
    }
  }
  static tw_column Of(const std::vector<std::int64_t>& values) { return {values.data(), 8, 1, TW_ELEMENT_INT64, 0}; }
};

// The demonstration's tables as files, and the same with one number changed.
struct Rates {
  capi_test::BookPtr now = capi_test::LoadBook();
  capi_test::RepricerPtr before, same;
  tw_lane lanes[2] = {TW_LANE_INIT, TW_LANE_INIT};
  explicit Rates(const capi_test::ErrorPtr& error) {
    for (tw_lane& lane : lanes) {
      lane.from_country = lane.to_country = "US";
      lane.from_postal_code = "05401";
      lane.to_residential = 1;
    }
    lanes[0].to_postal_code = "60614", lanes[0].share = 3;
    lanes[1].to_postal_code = "98101", lanes[1].share = 1;
    before = Make("2026-02-02", error);
    same = Make("2026-08-03", error);
  }
  capi_test::RepricerPtr Make(const char* day, const capi_test::ErrorPtr& error) {
    tw_shipment shipment = capi_test::Shipment();
    shipment.date = Day(day);
    tw_repricer* raw = nullptr;
    EXPECT_EQ(
        tw_repricer_create(&raw, now.get(), tw_ratebook_shelf(now.get()), &shipment, lanes, 2, nullptr, error.get()),
        TW_OK)
        << tw_error_message(error.get());
    return capi_test::RepricerPtr(raw);
  }
};

TEST(Reach, CataloguesAsInCpp) {
  const capi_test::ErrorPtr error = capi_test::NewError();
  Rates rates(error);
  const CatalogueColumns goods;
  std::vector<std::int64_t> monthly(goods.weight.size());
  for (std::size_t i = 0; i < monthly.size(); ++i) monthly[i] = static_cast<std::int64_t>(i % 7);
  tw_column volumes = CatalogueColumns::Of(monthly);
  volumes.unit = 1'000'000;
  tw_catalogue* raw = nullptr;
  ASSERT_EQ(
      tw_catalogue_compare(&raw, rates.before.get(), rates.same.get(), &goods.c, &volumes, 5, nullptr, error.get()),
      TW_OK)
      << tw_error_message(error.get());
  const CataloguePtr held(raw);
  tarewise::RepriceSetup before = tarewise::testing::SetupOn(tarewise::testing::LanesToHomes({"60614", "98101"}));
  before.shares = {3, 1};
  tarewise::RepriceSetup after = before;
  before.shipment.date = *tarewise::Date::Parse("2026-02-02");
  tarewise::CatalogueComparer comparer = *tarewise::CatalogueComparer::Create(before, after, 5);
  ASSERT_TRUE(comparer.Add(goods.cpp, tarewise::Column::Of(monthly, tarewise::kMillionthsPerParcel)).ok());
  const tarewise::CatalogueChange cpp = comparer.Result();
  tw_catalogue_facts c = TW_CATALOGUE_FACTS_INIT;
  ASSERT_EQ(tw_catalogue_get_facts(&c, raw, error.get()), TW_OK);
  EXPECT_EQ(c.rows, cpp.rows);
  EXPECT_EQ(c.comparable, cpp.comparable);
  EXPECT_EQ(c.changed, cpp.changed);
  EXPECT_GT(c.changed, 0u);
  EXPECT_EQ(c.total_changed, cpp.total_changed);
  EXPECT_EQ(c.service_changed, cpp.service_changed);
  EXPECT_EQ(c.packaging_changed, cpp.packaging_changed);
  EXPECT_EQ(c.offered_changed, cpp.offered_changed);
  EXPECT_EQ(c.dearer, cpp.dearer);
  EXPECT_EQ(c.cheaper, cpp.cheaper);
  EXPECT_EQ(c.lost, cpp.lost);
  EXPECT_EQ(c.gained, cpp.gained);
  EXPECT_EQ(c.month_before_micros, cpp.month_before.micros());
  EXPECT_EQ(c.month_after_micros, cpp.month_after.micros());
  EXPECT_EQ(c.month_parcels_millionths, cpp.month_parcels);
  EXPECT_STREQ(c.currency, "USD");
  ASSERT_EQ(c.loser_count, cpp.losers.size());
  ASSERT_GT(c.loser_count, 0u);
  for (std::size_t i = 0; i < cpp.losers.size(); ++i) {
    tw_row_loss loss = TW_ROW_LOSS_INIT;
    ASSERT_EQ(tw_catalogue_loser(&loss, raw, i, error.get()), TW_OK);
    EXPECT_EQ(loss.row, cpp.losers[i].row);
    EXPECT_EQ(loss.before_micros, cpp.losers[i].before.micros());
    EXPECT_EQ(loss.after_micros, cpp.losers[i].after.micros());
    EXPECT_EQ(loss.month_micros, cpp.losers[i].month.micros());
    EXPECT_EQ(loss.lane, static_cast<std::int32_t>(cpp.losers[i].lane));
    EXPECT_EQ(loss.carrier_before, cpp.losers[i].lane_before.carrier);
    EXPECT_EQ(loss.service_after, cpp.losers[i].lane_after.service);
    EXPECT_EQ(loss.packaging_after, cpp.losers[i].lane_after.packaging);
    EXPECT_EQ(loss.lane_after_micros, cpp.losers[i].lane_after.total);
  }
  EXPECT_EQ(tw_catalogue_summary(raw), tarewise::Summary(cpp, before.lanes));
  // Sides that do not go together, and a callback that says stop.
  tw_lane other = rates.lanes[0];
  tw_shipment shipment = capi_test::Shipment();
  tw_repricer* one = nullptr;
  ASSERT_EQ(tw_repricer_create(&one, rates.now.get(), nullptr, &shipment, &other, 1, nullptr, error.get()), TW_OK);
  const capi_test::RepricerPtr alone(one);
  tw_catalogue* out = nullptr;
  EXPECT_EQ(tw_catalogue_compare(&out, rates.before.get(), one, &goods.c, nullptr, 5, nullptr, error.get()),
            TW_E_INPUT);
  tw_reprice_options stop = TW_REPRICE_OPTIONS_INIT;
  stop.progress = [](std::size_t, std::size_t, void*) -> std::int32_t { return 1; };
  EXPECT_EQ(tw_catalogue_compare(&out, rates.before.get(), rates.same.get(), &goods.c, nullptr, 5, &stop, error.get()),
            TW_E_CANCELLED);
  EXPECT_EQ(out, nullptr);
}

// The demonstration's tables with the row of 2 lb of one grid 10.00 dearer in each zone.
capi_test::BookPtr DearerBook(const capi_test::ErrorPtr& error) {
  std::vector<std::string> names, texts;
  for (const auto& entry : std::filesystem::directory_iterator(TW_TEST_TABLES)) {
    if (!entry.is_regular_file()) continue;
    names.push_back(entry.path().filename().string());
    std::ifstream in(entry.path());
    texts.emplace_back(std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>());
    if (names.back() != "harbourline-2026-07-parcel.csv") continue;
    std::string& text = texts.back();
    std::size_t at = text.find("\n2,") + 2;
    const std::size_t end = text.find('\n', at);
    std::string row;
    for (; at < end; ++at) {
      row += text[at];
      if (text[at] == ',' && text[at + 1] != ',' && text[at + 1] != '\n') row += '1';
    }
    text.replace(text.find("\n2,") + 2, end - text.find("\n2,") - 2, row);
  }
  std::vector<tw_source> sources;
  for (std::size_t i = 0; i < names.size(); ++i) {
    tw_source source = TW_SOURCE_INIT;
    source.name = names[i].c_str();
    source.text = texts[i].data();
    source.length = texts[i].size();
    sources.push_back(source);
  }
  tw_ratebook* made = nullptr;
  EXPECT_EQ(tw_ratebook_load_memory(&made, sources.data(), sources.size(), error.get()), TW_OK)
      << tw_error_message(error.get());
  return capi_test::BookPtr(made);
}

// New rates through the index give the very bytes that repricing everything gives.
TEST(Reach, AnIndexPricesOnlyWhatChanges) {
  const capi_test::ErrorPtr error = capi_test::NewError();
  Rates rates(error);
  const CatalogueColumns goods;
  std::vector<std::int64_t> totals(2 * goods.c.rows), fresh(2 * goods.c.rows);
  tw_results results = TW_RESULTS_INIT;
  results.total_micros = totals.data();
  ASSERT_EQ(tw_reprice(&results, rates.same.get(), &goods.c, nullptr, error.get()), TW_OK);
  tw_index* raw = nullptr;
  ASSERT_EQ(tw_index_create(&raw, rates.same.get(), &goods.c, error.get()), TW_OK);
  const IndexPtr index(raw);
  // The same rates read again touch nothing.
  const capi_test::BookPtr again = capi_test::LoadBook();
  tw_repricer* with = nullptr;
  ASSERT_EQ(tw_repricer_with_rates(&with, rates.same.get(), again.get(), error.get()), TW_OK);
  const capi_test::RepricerPtr held(with);
  std::int32_t everything = -1;
  ASSERT_EQ(tw_index_update(&everything, raw, with, &goods.c, &results, error.get()), TW_OK)
      << tw_error_message(error.get());
  EXPECT_EQ(everything, 0);
  std::size_t touched = 7;
  EXPECT_EQ(tw_index_touched(raw, &touched), nullptr);  // the very same rates
  EXPECT_EQ(touched, 0u);
  results.total_micros = fresh.data();
  ASSERT_EQ(tw_reprice(&results, with, &goods.c, nullptr, error.get()), TW_OK);
  EXPECT_EQ(totals, fresh);
  // One row of one grid costs 10.00 more: some rows are priced again, and no others change.
  const capi_test::BookPtr dearer = DearerBook(error);
  tw_repricer* changed = nullptr;
  ASSERT_EQ(tw_repricer_with_rates(&changed, with, dearer.get(), error.get()), TW_OK);
  const capi_test::RepricerPtr held_too(changed);
  results.total_micros = totals.data();
  const std::vector<std::int64_t> before = totals;
  ASSERT_EQ(tw_index_update(&everything, raw, changed, &goods.c, &results, error.get()), TW_OK);
  EXPECT_EQ(everything, 0);
  const std::uint32_t* rows = tw_index_touched(raw, &touched);
  ASSERT_NE(rows, nullptr);
  EXPECT_LT(touched, goods.c.rows);
  EXPECT_TRUE(std::is_sorted(rows, rows + touched));
  for (std::size_t row = 0; row < goods.c.rows; ++row) {
    const bool differs = totals[2 * row] != before[2 * row] || totals[2 * row + 1] != before[2 * row + 1];
    EXPECT_TRUE(!differs || std::binary_search(rows, rows + touched, static_cast<std::uint32_t>(row))) << row;
  }
  EXPECT_NE(totals, before);
  results.total_micros = fresh.data();
  ASSERT_EQ(tw_reprice(&results, changed, &goods.c, nullptr, error.get()), TW_OK);
  EXPECT_EQ(totals, fresh);
  // Cautions are refused, and other goods.
  std::vector<std::uint32_t> cautions(goods.c.rows);
  results.cautions = cautions.data();
  EXPECT_EQ(tw_index_update(&everything, raw, changed, &goods.c, &results, error.get()), TW_E_INPUT);
  results.cautions = nullptr;
  tw_goods fewer = goods.c;
  fewer.rows -= 1;
  EXPECT_EQ(tw_index_update(&everything, raw, changed, &fewer, &results, error.get()), TW_E_INPUT);
}

// ---- text in ----

TEST(Reach, PlacesTraitsAndKindsFromText) {
  const capi_test::ErrorPtr error = capi_test::NewError();
  tw_place place = TW_PLACE_INIT;
  ASSERT_EQ(tw_parse_place(&place, "US 05401", error.get()), TW_OK);
  EXPECT_STREQ(place.country, "US");
  EXPECT_STREQ(place.postal_code, "05401");
  ASSERT_EQ(tw_parse_place(&place, "GB PA2 1AA", error.get()), TW_OK);
  EXPECT_STREQ(place.postal_code, "PA21AA");
  ASSERT_EQ(tw_parse_place(&place, "DE", error.get()), TW_OK);
  EXPECT_STREQ(place.country, "DE");
  EXPECT_STREQ(place.postal_code, "");
  EXPECT_EQ(tw_parse_place(&place, "US 5401", error.get()), TW_E_INPUT);
  EXPECT_STREQ(place.country, "DE");
  std::uint32_t contents = 7;
  ASSERT_EQ(tw_parse_contents(&contents, "media, fragile  lithium_alone", error.get()), TW_OK);
  EXPECT_EQ(contents, TW_CONTENTS_MEDIA | TW_CONTENTS_FRAGILE | TW_CONTENTS_LITHIUM_ALONE);
  ASSERT_EQ(tw_parse_contents(&contents, "", error.get()), TW_OK);
  EXPECT_EQ(contents, 0u);
  EXPECT_EQ(tw_parse_contents(&contents, "porcelain", error.get()), TW_E_INPUT);
  EXPECT_EQ(tw_parse_contents(&contents, "media x-signed", error.get()), TW_E_INPUT);
  EXPECT_NE(std::string(tw_error_message(error.get())).find("own_traits"), std::string::npos);
  std::int32_t number = -1;
  ASSERT_EQ(tw_parse_shape(&number, "irregular", error.get()), TW_OK);
  EXPECT_EQ(number, TW_SHAPE_IRREGULAR);
  ASSERT_EQ(tw_parse_packaging_kind(&number, "tube", error.get()), TW_OK);
  EXPECT_EQ(number, TW_PACKAGING_TUBE);
  EXPECT_EQ(tw_parse_shape(&number, "round", error.get()), TW_E_INPUT);
  EXPECT_NE(std::string(tw_error_message(error.get())).find("expected one of box, tube, soft, flat, irregular"),
            std::string::npos);
}

// ---- misuse ----

// Every call of these rooms with no handle, and with one of another kind.
TEST(Reach, NullAndWrongHandlesAreStatuses) {
  const capi_test::ErrorPtr wrong = capi_test::NewError();
  const capi_test::ErrorPtr error = capi_test::NewError();
  auto as = [&]<typename H>(H*, bool null) { return null ? nullptr : reinterpret_cast<H*>(wrong.get()); };
  for (const bool null : {true, false}) {
    SCOPED_TRACE(null);
    const tw_status expected = null ? TW_E_NULL : TW_E_HANDLE;
    auto* book = as(static_cast<tw_ratebook*>(nullptr), null);
    auto* shelf = as(static_cast<tw_shelf*>(nullptr), null);
    auto* dispatch = as(static_cast<tw_dispatch*>(nullptr), null);
    auto* zone = as(static_cast<tw_zone_answer*>(nullptr), null);
    auto* examples = as(static_cast<tw_examples*>(nullptr), null);
    auto* economics = as(static_cast<tw_economics*>(nullptr), null);
    auto* comparison = as(static_cast<tw_comparison*>(nullptr), null);
    auto* repricer = as(static_cast<tw_repricer*>(nullptr), null);
    auto* index = as(static_cast<tw_index*>(nullptr), null);
    auto* catalogue = as(static_cast<tw_catalogue*>(nullptr), null);
    auto* ranking = as(static_cast<tw_ranking*>(nullptr), null);
    auto* plans = as(static_cast<tw_plans*>(nullptr), null);
    tw_tariff tariff = TW_TARIFF_INIT;
    tw_service service = TW_SERVICE_INIT;
    tw_packaging packaging = TW_PACKAGING_INIT;
    tw_zone told = TW_ZONE_INIT;
    tw_example example = TW_EXAMPLE_INIT;
    tw_profit profit = TW_PROFIT_INIT;
    tw_cell_change cell = TW_CELL_CHANGE_INIT;
    tw_catalogue_facts facts = TW_CATALOGUE_FACTS_INIT;
    tw_row_loss loss = TW_ROW_LOSS_INIT;
    tw_goods goods = TW_GOODS_INIT;
    tw_results results = TW_RESULTS_INIT;
    tw_place_total place = TW_PLACE_TOTAL_INIT;
    tw_sale_columns sale_columns = TW_SALE_COLUMNS_INIT;
    const char* text = nullptr;
    std::int64_t number = 0;
    std::int32_t small = 0;
    std::size_t count = 0;
    tw_shelf* shelf_out = nullptr;
    tw_zone_answer* zone_out = nullptr;
    tw_examples* examples_out = nullptr;
    tw_comparison* comparison_out = nullptr;
    tw_repricer* repricer_out = nullptr;
    tw_index* index_out = nullptr;
    tw_catalogue* catalogue_out = nullptr;
    const tw_status found[] = {
        tw_ratebook_tariff(&tariff, book, 0, error.get()),
        tw_ratebook_in_force(&number, book, "harbourline", 20'000, error.get()),
        tw_ratebook_service(&service, book, 0, 0, error.get()),
        tw_shelf_packaging(&packaging, shelf, 0, error.get()),
        tw_shelf_with_on_hand(&shelf_out, shelf, nullptr, "carton-14x9", 1, error.get()),
        tw_zone_explain(&zone_out, dispatch, 0, error.get()),
        tw_zone_get(&told, zone, error.get()),
        tw_examples_check(&examples_out, book, 0, error.get()),
        tw_examples_get(&example, examples, 0, error.get()),
        tw_examples_line(&text, examples, 0, 0, error.get()),
        tw_economics_profit(&profit, economics, 0, 0, &place, 1, nullptr, 0, nullptr, error.get()),
        tw_economics_account(nullptr, 0, &count, economics, 0, 0, &place, 0, error.get()),
        tw_economics_keeps(&small, economics, 0, 0, &place, 1, 0, 0, 0, error.get()),
        tw_economics_most_to_pay(&number, economics, 0, &place, 1, 0, 0, 0, error.get()),
        tw_economics_least_price(&number, economics, 0, &place, 1, 0, 0, 0, 0, error.get()),
        tw_economics_columns(economics, &sale_columns, error.get()),
        tw_compare(&comparison_out, book, 20'000, book, 20'000, error.get()),
        tw_comparison_json(&text, nullptr, comparison, -1, error.get()),
        tw_comparison_cell(&cell, comparison, 0, error.get()),
        tw_repricer_with_rates(&repricer_out, repricer, book, error.get()),
        tw_index_create(&index_out, repricer, &goods, error.get()),
        tw_index_update(&small, index, repricer, &goods, &results, error.get()),
        tw_catalogue_compare(&catalogue_out, repricer, repricer, &goods, nullptr, 0, nullptr, error.get()),
        tw_catalogue_get_facts(&facts, catalogue, error.get()),
        tw_catalogue_loser(&loss, catalogue, 0, error.get()),
        tw_ranking_json_with(&text, nullptr, ranking, nullptr, error.get()),
        tw_rank_json_with(ranking, book, nullptr, "{}", 2, TW_DETAIL_FULL, error.get()),
        tw_plans_json_with(&text, nullptr, plans, nullptr, error.get()),
    };
    for (std::size_t i = 0; i < std::size(found); ++i) EXPECT_EQ(found[i], expected) << i;
    // Where nothing can be returned: nothing is there.
    EXPECT_EQ(tw_shelf_packaging_count(shelf), 0u);
    EXPECT_STREQ(tw_shelf_currency(shelf), "");
    EXPECT_EQ(tw_examples_agreeing(examples) + tw_examples_differing(examples), 0u);
    EXPECT_STREQ(tw_comparison_summary(comparison), "");
    EXPECT_EQ(tw_comparison_cell_count(comparison), 0u);
    EXPECT_STREQ(tw_catalogue_summary(catalogue), "");
    EXPECT_EQ(tw_index_touched(index, &count), nullptr);
    EXPECT_EQ(count, 0u);
    tw_zone_answer_free(zone);
    tw_examples_free(examples);
    tw_economics_release(economics);
    tw_comparison_free(comparison);
    tw_index_free(index);
    tw_catalogue_free(catalogue);
  }
  // The wrong handle is as good as before.
  std::int64_t number = 0;
  EXPECT_EQ(tw_parse_weight(&number, "a stone", wrong.get()), TW_E_INPUT);
  EXPECT_EQ(tw_error_count(wrong.get()), 1u);
}

}  // namespace
