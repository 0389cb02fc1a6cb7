// A request out of range is refused at every door, and one at the bound is let in at every one: the request itself,
// JSON and C. (The command reads JSON, and Python has a test of its own.)
#include <cstdint>
#include <functional>
#include <string>
#include <vector>

#include "support.h"
#include "tarewise/documents/load.h"
#include "tarewise/ranking/request.h"

namespace {

using tarewise::Amount;
using tarewise::Length;
using tarewise::Request;
using tarewise::Weight;

constexpr std::int64_t kMostWeight = Weight::kMostNanograms;
constexpr std::int64_t kMostSide = Length::kMostSideNanometres;

// What C is asked with; texts and arrays that the structures point to are statics of the cases.
struct AskedInC {
  tw_shipment shipment = capi_test::Shipment();
  tw_carrier_week week = TW_CARRIER_WEEK_INIT;
  tw_request request = TW_REQUEST_INIT;
  tw_item items[2] = {TW_ITEM_INIT, TW_ITEM_INIT};
};

struct Case {
  const char* name;
  bool taken;
  std::function<absl::Status(Request&)> in_cpp;
  std::string in_json;  // Members of a request, or in the place of "goods".
  std::function<void(AskedInC&)> in_c;
  // At these bounds the request is let in, but an answer may still be refused as too wide.
  bool only_read = false;
};

absl::Status SetRate(Request& request, const char* code, const char* text) {
  const absl::StatusOr<tarewise::ExchangeRate> rate = tarewise::ExchangeRate::Parse(text);
  if (!rate.ok()) return rate.status();
  request.exchange.emplace(code, *rate);
  return absl::OkStatus();
}
void SetRate(AskedInC& asked, const char* const* code, const std::int64_t* micros) {
  asked.shipment.exchange_currencies = code;
  asked.shipment.exchange_micros = micros;
  asked.shipment.exchange_count = 1;
}
absl::Status SetPaidFor(Request& request, const char* text) {
  const absl::StatusOr<tarewise::PaidFor> paid = tarewise::PaidFor::Parse(text);
  if (paid.ok()) request.promise = *paid;
  return paid.status();
}
void SetPaidFor(AskedInC& asked, const char* text) {
  asked.shipment.promise = TW_PROMISE_PAID_FOR;
  asked.shipment.paid_for = text;
}
Case PaidFor(const char* text, bool taken) {
  return {text, taken, [text](Request& r) { return SetPaidFor(r, text); },
          "\"promise\": {\"paid_for\": \"" + std::string(text) + "\"}", [text](AskedInC& c) { SetPaidFor(c, text); }};
}
Case Within(std::int32_t days, bool taken) {
  return {"within", taken,
          [days](Request& r) {
            r.promise = tarewise::WithinDays{days};
            return absl::OkStatus();
          },
          "\"promise\": {\"within\": " + std::to_string(days) + "}",
          [days](AskedInC& c) { c.shipment.promise = TW_PROMISE_WITHIN, c.shipment.within_days = days; }};
}
const std::vector<std::string>& ManyExtras() {
  static const auto* const extras = [] {
    auto* out = new std::vector<std::string>;
    for (int i = 0; i <= 100; ++i) out->push_back("extra-" + std::to_string(i));
    return out;
  }();
  return *extras;
}
Case Extras(std::vector<std::string> extras, bool taken) {
  std::string list;
  for (const std::string& extra : extras) list += (list.empty() ? "\"" : ", \"") + extra + "\"";
  return {"extras", taken,
          [extras](Request& r) {
            r.extras = extras;
            return absl::OkStatus();
          },
          "\"extras\": [" + list + "]",
          [extras](AskedInC& c) {
            static std::vector<std::string> texts;
            static std::vector<const char*> pointers;
            texts = extras;
            pointers.clear();
            for (const std::string& text : texts) pointers.push_back(text.c_str());
            c.shipment.extras = pointers.data();
            c.shipment.extra_count = pointers.size();
          }};
}
std::string Kilograms(std::int64_t ng) {
  std::string rest = std::to_string(ng % 1'000'000'000'000);
  return "\"" + std::to_string(ng / 1'000'000'000'000) + "." + std::string(12 - rest.size(), '0') + rest + " kg\"";
}
std::string Metres(std::int64_t nm) {
  std::string rest = std::to_string(nm % 1'000'000'000);
  return "\"" + std::to_string(nm / 1'000'000'000) + "." + std::string(9 - rest.size(), '0') + rest + " m\"";
}

Case Bears(std::int64_t ng, bool taken) {
  return {"bears", taken,
          [ng](Request& r) {
            r.goods[0].bears = Weight::Nanograms(ng);
            return absl::OkStatus();
          },
          R"("goods": [{"weight": "8 oz", "sides": "9 x 6 x 2 in", "bears": )" + Kilograms(ng) + "}]",
          [ng](AskedInC& c) { c.items[0].has_bears = 1, c.items[0].bears_ng = ng; }};
}

std::vector<Case> Cases() {
  static const char* const kEur[] = {"EUR"};
  static const char* const kUsd[] = {"USD"};
  static const std::int64_t kMost[] = {tarewise::kMostMicros};
  static const std::int64_t kMore[] = {tarewise::kMostMicros + 1};
  static const std::int64_t kOne[] = {1'000'000};
  std::vector<Case> cases = {
      {"nothing more", true, [](Request&) { return absl::OkStatus(); }, "\"extras\": []", [](AskedInC&) {}},
      Within(0, true),
      Within(10'000, true),
      Within(10'001, false),
      PaidFor("harbourline/parcel", true),
      PaidFor("harbourline", false),  // no service of that code: told by the tariffs
      PaidFor("/parcel", false),
      PaidFor("harbourline/", false),
      PaidFor("harbourline/parcel/x", false),
      PaidFor("Harbourline/parcel", false),
      PaidFor("-parcel", false),
      {"rate at the bound", true, [](Request& r) { return SetRate(r, "EUR", "1000000000"); },
       R"("exchange": {"EUR": "1000000000"})", [](AskedInC& c) { SetRate(c, kEur, kMost); }},
      {"rate past it", false, [](Request& r) { return SetRate(r, "EUR", "1000000000.000001"); },
       R"("exchange": {"EUR": "1000000000.000001"})", [](AskedInC& c) { SetRate(c, kEur, kMore); }},
      {"rate of the ranking's currency", false, [](Request& r) { return SetRate(r, "USD", "1"); },
       R"("exchange": {"USD": "1"})", [](AskedInC& c) { SetRate(c, kUsd, kOne); }},
      Extras({"signature"}, true),
      Extras({"Signature"}, false),
      Extras({""}, false),
      Extras({"cover"}, false),
      Extras({"signature", "signature"}, false),
      Extras({ManyExtras().begin(), ManyExtras().end() - 1}, true),
      Extras(ManyExtras(), false),
      Bears(0, false),
      Bears(1, true),
      Bears(kMostWeight, true),
      Bears(kMostWeight + 1, false),
  };
  cases.push_back({"a week with no carrier's code", false,
                   [](Request& r) {
                     r.week.carriers["Harbour Line"] = {};
                     return absl::OkStatus();
                   },
                   R"("week": {"carriers": {"Harbour Line": {"parcels": 3}}})",
                   [](AskedInC& c) {
                     c.week.carrier = "Harbour Line";
                     c.shipment.carrier_weeks = &c.week;
                     c.shipment.carrier_week_count = 1;
                   }});
  for (const bool past : {false, true}) {
    const std::int64_t micros = tarewise::kMostMicros + (past ? 1 : 0);
    const std::int64_t ng = kMostWeight + (past ? 1 : 0);
    const std::int64_t nm = kMostSide + (past ? 1 : 0);
    const std::string money = past ? "\"1000000000.000001\"" : "\"1000000000\"";
    auto add = [&](const char* name, std::function<void(Request&)> in_cpp, std::string in_json,
                   std::function<void(AskedInC&)> in_c, bool only_read = false) {
      cases.push_back({name, !past,
                       [in_cpp](Request& r) {
                         in_cpp(r);
                         return absl::OkStatus();
                       },
                       std::move(in_json), std::move(in_c), only_read});
    };
    add(
        "cover", [=](Request& r) { r.cover = Amount::Micros(micros); }, "\"cover\": " + money,
        [=](AskedInC& c) { c.shipment.cover_micros = micros; });
    add(
        "cash on delivery", [=](Request& r) { r.cash_on_delivery = Amount::Micros(micros); },
        "\"amounts\": {\"cash_on_delivery\": " + money + "}",
        [=](AskedInC& c) { c.shipment.cash_on_delivery_micros = micros; });
    const std::int64_t parcels = past ? 1'000'000'001 : 1'000'000'000;
    add(
        "parcels of a week", [=](Request& r) { r.week.each.parcels = parcels; },
        "\"week\": {\"parcels\": " + std::to_string(parcels) + "}",
        [=](AskedInC& c) { c.shipment.week_parcels = parcels; });
    add(
        "spend of a week", [=](Request& r) { r.week.each.spend = Amount::Micros(micros); },
        "\"week\": {\"spend\": " + money + "}", [=](AskedInC& c) { c.shipment.week_spend_micros = micros; });
    add(
        "a carrier's week",
        [=](Request& r) {
          r.week.carriers["harbourline"] = {parcels, Amount::Micros(micros)};
        },
        "\"week\": {\"carriers\": {\"harbourline\": {\"parcels\": " + std::to_string(parcels) +
            ", \"spend\": " + money + "}}}",
        [=](AskedInC& c) {
          c.week.carrier = "harbourline";
          c.week.parcels = parcels;
          c.week.spend_micros = micros;
          c.shipment.carrier_weeks = &c.week;
          c.shipment.carrier_week_count = 1;
        });
    add(
        "others of a consignment",
        [=](Request& r) {
          r.consignment = {past ? 1000 : 999, Weight::Nanograms(1), false};
        },
        std::string("\"consignment\": {\"others\": ") + (past ? "1000" : "999") +
            ", \"others_weight\": \"0.001 mg\", \"first\": false}",
        [=](AskedInC& c) {
          c.shipment.others = past ? 1000 : 999, c.shipment.others_weight_ng = 1, c.shipment.not_first = 1;
        });
    add(
        "weight of the others",
        [=](Request& r) {
          r.consignment = {1, Weight::Nanograms(ng), true};
        },
        "\"consignment\": {\"others\": 1, \"others_weight\": " + Kilograms(ng) + ", \"first\": true}",
        [=](AskedInC& c) { c.shipment.others = 1, c.shipment.others_weight_ng = ng; });
    add(
        "no weight of the others",
        [=](Request& r) {
          r.consignment = {1, Weight::Nanograms(past ? 0 : 1), true};
        },
        std::string("\"consignment\": {\"others\": 1, \"others_weight\": \"") + (past ? "0" : "0.001") +
            " mg\", \"first\": true}",
        [=](AskedInC& c) { c.shipment.others = 1, c.shipment.others_weight_ng = past ? 0 : 1; });
    add(
        "a weight without others",
        [=](Request& r) {
          r.consignment = {0, Weight::Nanograms(past ? 1 : 0), true};
        },
        std::string("\"consignment\": {\"others\": 0, \"others_weight\": \"") + (past ? "0.001" : "0") + " mg\"}",
        [=](AskedInC& c) { c.shipment.others_weight_ng = past ? 1 : 0; });
    add(
        "another is the first, without others",
        [=](Request& r) {
          r.consignment = {0, Weight(), !past};
        },
        std::string("\"consignment\": {\"others\": 0, \"first\": ") + (past ? "false" : "true") + "}",
        [=](AskedInC& c) { c.shipment.not_first = past ? 1 : 0; });
    add(
        "fill_weight", [=](Request& r) { r.fill_weight = Weight::Nanograms(ng); }, "\"fill_weight\": " + Kilograms(ng),
        [=](AskedInC& c) { c.request.fill_weight_ng = ng; });
    add(
        "padding", [=](Request& r) { r.padding = Length::Nanometres(nm); }, "\"padding\": " + Metres(nm),
        [=](AskedInC& c) { c.request.has_padding = 1, c.request.padding_nm = nm; });
    add(
        "allowance",
        [=](Request& r) {
          r.allowance = {Weight(), Weight::Nanograms(ng)};
        },
        "\"allowance\": {\"least\": \"0 g\", \"most\": " + Kilograms(ng) + "}",
        [=](AskedInC& c) { c.request.has_allowance = 1, c.request.allowance_most_ng = ng; });
    add(
        "tolerance of weight", [=](Request& r) { r.tolerance.weight = Weight::Nanograms(ng); },
        "\"tolerance\": {\"weight\": " + Kilograms(ng) + "}", [=](AskedInC& c) { c.request.tolerance_weight_ng = ng; },
        true);
    add(
        "tolerance of sides", [=](Request& r) { r.tolerance.sides = Length::Nanometres(nm); },
        "\"tolerance\": {\"sides\": " + Metres(nm) + "}", [=](AskedInC& c) { c.request.tolerance_sides_nm = nm; },
        true);
    add(
        "step of weight", [=](Request& r) { r.steps.weight = tarewise::ScaleStep<Weight>::Of(Weight::Nanograms(ng)); },
        "\"steps\": {\"weight\": " + Kilograms(ng) + "}", [=](AskedInC& c) { c.request.step_weight_ng = ng; });
    add(
        "step of sides", [=](Request& r) { r.steps.sides = tarewise::ScaleStep<Length>::Of(Length::Nanometres(nm)); },
        "\"steps\": {\"sides\": " + Metres(nm) + "}", [=](AskedInC& c) { c.request.step_sides_nm = nm; });
    // Of the goods, which JSON says in the place of the ones that are given.
    auto goods = [](const std::string& more, const std::string& weight = "\"8 oz\"",
                    const char* sides = "9 x 6 x 2 in") {
      return "\"goods\": [{\"sides\": \"" + std::string(sides) + "\", \"weight\": " + weight + more +
             "}, {\"sides\": \"9 x 6 x 2 in\", \"weight\": \"8 oz\"}]";
    };
    const std::int32_t quantity = past ? 10'000 : 9'999;
    add(
        "units together",
        [=](Request& r) {
          r.goods[0].quantity = quantity;
          r.goods[0].weight = Weight::Grams(1);
        },
        goods(", \"quantity\": " + std::to_string(quantity), "\"1 g\""),
        [=](AskedInC& c) { c.items[0].quantity = quantity, c.items[0].weight_ng = TW_GRAM; }, true);
    const std::int64_t left = ng - TW_OUNCE * 8;
    add(
        "weight together", [=](Request& r) { r.goods[0].weight = Weight::Nanograms(left); }, goods("", Kilograms(left)),
        [=](AskedInC& c) { c.items[0].weight_ng = left; }, true);
    add(
        "value", [=](Request& r) { r.goods[0].value = Amount::Micros(micros); }, goods(", \"value\": " + money),
        [=](AskedInC& c) { c.items[0].value_micros = micros; });
  }
  return cases;
}

TEST(Doors, RefuseTheSameAtTheSameBounds) {
  const capi_test::BookPtr book = capi_test::LoadBook();
  const capi_test::RankingPtr ranking = capi_test::NewRanking();
  const capi_test::ErrorPtr error = capi_test::NewError();
  int refused = 0;
  for (const Case& one : Cases()) {
    SCOPED_TRACE(one.name);
    // Only the tariffs know which services there are.
    const bool by_tariffs = std::string(one.name) == "harbourline";
    refused += one.taken ? 0 : 1;

    Request request;
    tarewise::Item item;
    item.weight = *Weight::Parse("8 oz");
    item.sides = {Length::Inches(9), Length::Inches(6), Length::Inches(2)};
    request.goods = {item, item};
    request.lane = {*tarewise::Place::Make("US", "05401"), *tarewise::Place::Make("US", "60614", true)};
    request.date = *tarewise::Date::Parse("2026-08-03");
    request.currency = *tarewise::Currency::Parse("USD");
    const absl::Status set = one.in_cpp(request);
    const absl::Status checked = set.ok() ? request.Check() : set;
    EXPECT_EQ(checked.ok(), one.taken || by_tariffs) << checked.message();

    const std::string goods =
        R"("goods": [{"weight": "8 oz", "sides": "9 x 6 x 2 in"}, {"weight": "8 oz", "sides": "9 x 6 x 2 in"}], )";
    const bool own_goods = one.in_json.starts_with("\"goods\"");
    const std::string json = R"({"format": "tarewise-request-1", "from": {"country": "US", "postal_code": "05401"}, )"
                             R"("to": {"country": "US", "postal_code": "60614", "residential": true}, )"
                             R"("date": "2026-08-03", "currency": "USD", )" +
                             (own_goods ? "" : goods) + one.in_json + "}";
    const tarewise::Loaded<Request> read = tarewise::ReadRequest({"request", json});
    EXPECT_EQ(read.ok(), one.taken || by_tariffs) << json << (read.ok() ? "" : "\n" + read.diagnostics[0].ToString());

    AskedInC asked;
    for (tw_item& c_item : asked.items) {
      c_item.weight_ng = 8 * TW_OUNCE;
      c_item.sides_nm[0] = 9 * TW_INCH, c_item.sides_nm[1] = 6 * TW_INCH, c_item.sides_nm[2] = 2 * TW_INCH;
    }
    asked.request.items = asked.items;
    asked.request.item_count = 2;
    asked.request.detail = TW_DETAIL_CHARGES;
    one.in_c(asked);
    tw_dispatch* dispatch = nullptr;
    tw_status status = tw_dispatch_create(&dispatch, book.get(), nullptr, &asked.shipment, error.get());
    const capi_test::DispatchPtr made(dispatch);
    if (status == TW_OK && !(one.taken && one.only_read)) {
      status = tw_rank(ranking.get(), dispatch, &asked.request, error.get());
    }
    EXPECT_EQ(status == TW_OK, one.taken) << tw_error_message(error.get());
    EXPECT_TRUE(status == TW_OK || status == TW_E_INPUT || status == TW_E_COUNT) << tw_error_message(error.get());
  }
  EXPECT_GT(refused, 20);
}

}  // namespace
