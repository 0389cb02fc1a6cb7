// Prices that change by date: the row that holds, no value, and values that are too old.
#include <gtest/gtest.h>

#include <array>
#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <utility>
#include <variant>
#include <vector>

#include "absl/strings/str_replace.h"
#include "tarewise/batch/internal/fingerprint.h"
#include "tarewise/compare/summary.h"
#include "tarewise/compare/tariffs.h"
#include "tarewise/documents/load.h"
#include "tarewise/documents/ranking_json.h"
#include "tarewise/pricing/internal/compiled.h"
#include "tarewise/pricing/ratebook.h"
#include "tarewise/ranking/rank.h"
#include "tarewise/ranking/totals.h"

namespace tarewise::by_date_test {
namespace {

// Road takes fuel from a column, air by steps of an index, a fee from a series that ends, and a base by date.
std::string Document() {
  return R"({"format": "tarewise-tariff-1", "carrier": {"code": "ours", "name": "Ours"}, "title": "T", "currency": "USD",
"in_force": {"from": "2026-07-01"}, "zones": {"main": [{"kind": "one", "zone": "1"}]},
"series": {
  "fuel": {"columns": ["road", "index"], "good_for": "7 days",
           "rows": [["2026-07-06", "10 %", 3.2], ["2026-07-13", 11.5, 3.19], ["2026-07-20", null, 3.38]]},
  "fee": {"columns": ["until", "fee"], "rows": [["2026-07-06", "2026-07-12", 0.5], ["2026-07-20", null, 0.75]]}},
"services": [
  {"code": "road", "title": "Road", "zones": "main", "mode": "surface", "prices": [{"amount": 10}], "surcharges": ["fuel"]},
  {"code": "steps", "title": "Steps", "zones": "main", "mode": "surface", "prices": [{"amount": 10}], "surcharges": ["by-index"]},
  {"code": "over", "title": "Over", "zones": "main", "mode": "surface", "prices": [{"amount": 10}], "surcharges": ["over-index"]},
  {"code": "base", "title": "Base", "zones": "main", "mode": "surface", "prices": [{"amount": {"series": "fee"}}]},
  {"code": "heavy", "title": "Heavy", "zones": "main", "mode": "surface", "prices": [{"amount": 10}], "surcharges": ["heavy-fee"],
   "extras": ["paper"]},
  {"code": "less", "title": "Less", "zones": "main", "mode": "surface", "prices": [{"amount": 10}], "surcharges": ["off"]}],
"surcharges": [
  {"code": "fuel", "title": "Fuel", "percent": {"series": "fuel", "column": "road"}, "of": ["*"]},
  {"code": "by-index", "title": "Fuel", "percent": {"series": "fuel", "column": "index", "at_least": [["3.20", 10.5], ["3.38", 10.75]]},
   "of": ["base"]},
  {"code": "over-index", "title": "Fuel", "percent": {"series": "fuel", "column": "index", "over": [["3", 1], ["3.20", 10.5]]},
   "of": ["base"]},
  {"code": "heavy-fee", "title": "Fee", "when": {"weight": {"over": "5 lb"}}, "amount": {"series": "fee", "column": "fee"}},
  {"code": "off", "title": "Off", "less": {"amount": {"series": "fee"}}}],
"extras": [{"code": "paper", "title": "Paper", "percent": {"series": "fuel", "column": "road"}, "of": ["base"]}]})";
}

std::shared_ptr<const Ratebook> Book(const std::string& text) {
  Loaded<Tariff> tariff = ReadTariff({"tariff.json", text}, nullptr);
  for (const Diagnostic& one : tariff.diagnostics) {
    if (one.severity == Diagnostic::Severity::kError) ADD_FAILURE() << one.ToString();
  }
  std::vector<Tariff> tariffs;
  tariffs.push_back(*std::move(tariff.value));
  return *Ratebook::Create(std::move(tariffs));
}

Ranking Rank(const std::string& date, const std::string& weight = "1 lb", const std::string& more = "") {
  const std::string request =
      R"({"format": "tarewise-request-1", "parcel": {"weight": ")" + weight +
      R"(", "sides": "10 x 8 x 4 in"}, "from": {"country": "US"}, "to": {"country": "US"}, "date": ")" + date + "\"" +
      more + "}";
  const Loaded<Request> read = ReadRequest({"request.json", request});
  EXPECT_TRUE(read.ok()) << (read.diagnostics.empty() ? "" : read.diagnostics.front().ToString());
  auto ranking = tarewise::Rank(Book(Document()), nullptr, *read.value);
  EXPECT_TRUE(ranking.ok()) << ranking.status().ToString();
  return *std::move(ranking);
}

const Offer* Find(const Ranking& ranking, std::string_view service) {
  for (const Offer& offer : ranking.offers()) {
    if (offer.service == service) return &offer;
  }
  return nullptr;
}
std::string Total(const Ranking& ranking, std::string_view service) {
  const Offer* offer = Find(ranking, service);
  return offer == nullptr ? "-" : offer->total.ToString(2);
}
std::string WhyNot(const Ranking& ranking, std::string_view service) {
  for (const Refusal& refusal : ranking.refusals()) {
    if (refusal.service != service) continue;
    std::string text;
    for (const RefusalReason& reason : refusal.reasons) {
      text += (text.empty() ? "" : "; ") + std::string(NameOf(reason.code)) + ": " + reason.text;
    }
    return text;
  }
  return "";
}

TEST(ByDate, EachDayHasItsRow) {
  for (const auto& [date, road, steps, over, base] : {std::array<std::string, 5>{"2026-07-05", "-", "-", "-", "-"},
                                                      {"2026-07-06", "11.00", "11.05", "10.10", "0.50"},
                                                      {"2026-07-12", "11.00", "11.05", "10.10", "0.50"},
                                                      {"2026-07-13", "11.15", "-", "10.10", "-"},
                                                      {"2026-07-19", "11.15", "-", "10.10", "-"},
                                                      {"2026-07-20", "-", "11.08", "11.05", "0.75"},
                                                      {"2027-07-20", "-", "11.08", "11.05", "0.75"}}) {
    const Ranking ranking = Rank(date);
    EXPECT_EQ(Total(ranking, "road"), road) << date;
    EXPECT_EQ(Total(ranking, "steps"), steps) << date;
    EXPECT_EQ(Total(ranking, "over"), over) << date;
    EXPECT_EQ(Total(ranking, "base"), base) << date;
  }
}

TEST(ByDate, WithoutAValueThereIsNoPrice) {
  const Ranking ranking = Rank("2026-07-20");
  EXPECT_EQ(WhyNot(ranking, "road"),
            "no_price: the charge \"fuel\" has no value on 2026-07-20 (series \"fuel\", column \"road\")");
  EXPECT_EQ(WhyNot(Rank("2026-07-13"), "base"),
            "no_price: the price has no value on 2026-07-13 (series \"fee\", column \"fee\")");
  // Only where it is due.
  EXPECT_EQ(Total(Rank("2026-07-13", "5 lb"), "heavy"), "10.00");
  EXPECT_EQ(WhyNot(Rank("2026-07-13", "5.1 lb"), "heavy"),
            "no_price: the charge \"heavy-fee\" has no value on 2026-07-13 (series \"fee\", column \"fee\")");
  EXPECT_EQ(Total(Rank("2026-07-20", "5.1 lb"), "heavy"), "10.75");
  EXPECT_EQ(WhyNot(Rank("2026-07-20", "1 lb", R"(, "extras": ["paper"])"), "heavy"),
            "no_price: the charge \"paper\" has no value on 2026-07-20 (series \"fuel\", column \"road\")");
  EXPECT_EQ(Total(Rank("2026-07-13", "1 lb", R"(, "extras": ["paper"])"), "heavy"), "11.15");
  EXPECT_EQ(Total(Rank("2026-07-20"), "less"), "9.25");
  EXPECT_EQ(Total(Rank("2026-07-13"), "less"), "-");
}

TEST(ByDate, WhatIsTooOldIsToldAndKept) {
  const Ranking fine = Rank("2026-07-26");
  ASSERT_NE(Find(fine, "steps"), nullptr);
  EXPECT_TRUE(Find(fine, "steps")->overdue.empty());
  EXPECT_TRUE(fine.cautions().empty());
  const Ranking late = Rank("2026-07-27");
  const Offer* steps = Find(late, "steps");
  ASSERT_NE(steps, nullptr);
  ASSERT_EQ(steps->overdue.size(), 1u);
  EXPECT_EQ(steps->overdue[0].series, "fuel");
  EXPECT_EQ(steps->overdue[0].since.ToString(), "2026-07-27");
  EXPECT_EQ(steps->cautions.Codes(), "value_overdue");
  // It hurts the purse alone, so nothing closes the list.
  ASSERT_EQ(late.cautions().size(), 1u);
  EXPECT_EQ(late.cautions()[0].name, "value_overdue");
  // A series that is good without an end is not overdue.
  EXPECT_TRUE(Find(late, "base")->overdue.empty());
  EXPECT_NE(ToJson(late, -1).find(R"("overdue":[{"series":"fuel","since":"2026-07-27"}],"cautions":["value_overdue"])"),
            std::string::npos)
      << ToJson(late, -1);
  for (std::size_t s = 0; s < late.dispatch().services().size(); ++s) {
    const Offer* offer = Find(late, late.dispatch().services()[s].service->code);
    if (offer == nullptr) continue;
    EXPECT_EQ(GoesByOverdue(late.dispatch(), s, late.candidates()[offer->candidate_index].facts, Amount()),
              !offer->overdue.empty());
  }
}

TEST(ByDate, LinesSayWhereTheyComeFrom) {
  const Ranking ranking = Rank("2026-07-15");
  const Offer* road = Find(ranking, "road");
  ASSERT_NE(road, nullptr);
  ASSERT_EQ(road->charges.size(), 2u);
  EXPECT_EQ(ranking.Why(*road, road->charges[1]), "11.5 % of 10.00; as of 2026-07-13");
}

TEST(ByDate, ComparedByValuesAndByDays) {
  const std::shared_ptr<const Ratebook> before = Book(Document());
  const std::shared_ptr<const Ratebook> after =
      Book(absl::StrReplaceAll(Document(), {{"11.5, 3.19", "11.75, 3.19"},
                                            {"[\"2026-07-20\", null, 3.38]", "[\"2026-07-21\", 12, 3.38]"},
                                            {"\"7 days\"", "\"8 days\""}}));
  const Comparison whole = Compare(before->tariffs()[0], after->tariffs()[0]);
  ASSERT_EQ(whole.carriers.size(), 1u);
  std::string told;
  for (const SeriesChange& one : whole.carriers[0].series) {
    told += std::string(NameOf(one.kind())) + " " + one.series + "/" + one.column + " " + one.from.ToString() + " " +
            (one.before ? one.before->ToString(2) : "-") + " " + (one.after ? one.after->ToString(2) : "-") + "\n";
  }
  EXPECT_EQ(told,
            "changed fuel/road 2026-07-13 11.50 11.75\nremoved fuel/index 2026-07-20 3.38 -\n"
            "added fuel/road 2026-07-21 - 12.00\nadded fuel/index 2026-07-21 - 3.38\n");
  EXPECT_NE(Summary(whole).find("Ours, series fuel: 2 values added, first road from 2026-07-21 12; 1 value removed"),
            std::string::npos)
      << Summary(whole);
  const Comparison days = Compare(*before, *Date::Parse("2026-07-06"), *before, *Date::Parse("2026-07-13"));
  EXPECT_NE(Summary(days).find("fuel 10 % -> 11.5 %"), std::string::npos) << Summary(days);
}

TEST(ByDate, AProgramsOwnSeriesAreChecked) {
  auto error = [](auto change) {
    Tariff tariff = Book(Document())->tariffs()[0];
    change(tariff);
    std::vector<Tariff> tariffs;
    tariffs.push_back(std::move(tariff));
    return std::string(Ratebook::Create(std::move(tariffs)).status().message());
  };
  EXPECT_NE(error([](Tariff& t) { t.series[0].values.pop_back(); }).find("one for each row and column"),
            std::string::npos);
  EXPECT_NE(error([](Tariff& t) { t.series[0].good_for = 0; }).find("1 to 3660"), std::string::npos);
  EXPECT_NE(error([](Tariff& t) { t.series[0].rows[1].from = t.series[0].rows[0].from; }).find("after the one before"),
            std::string::npos);
  EXPECT_NE(error([](Tariff& t) { t.series[0].values[0] = -2; }).find("0 to 1000 million"), std::string::npos);
  EXPECT_NE(error([](Tariff& t) { t.by_date[0].column = 9; }).find("of no series or no column"), std::string::npos);
  EXPECT_NE(error([](Tariff& t) { t.series[0].values[0] = 1; }).find("more than 4 decimals"), std::string::npos);
  EXPECT_NE(error([](Tariff& t) { t.by_date.clear(); }).find("does not have"), std::string::npos);
  auto cover = [](Tariff& t) {
    DatedPrice price;
    price.by_date = static_cast<std::uint32_t>(t.by_date.size());
    t.services[0].cover_by_weight.emplace().price = price;
  };
  EXPECT_NE(error(cover).find("does not have"), std::string::npos);
}

// A service of one surcharge, a percentage, as bytes; `value` is what it takes on the day.
std::string PrintOf(const Tariff& tariff, const ChargeRule& rule, std::int16_t group,
                    std::vector<std::uint16_t> replaces, std::span<const DatedValue> value) {
  internal::CompiledService service;
  service.tariff = &tariff;
  service.service = tariff.services.data();
  internal::CompiledService::Rule& made = service.surcharges.emplace_back();
  made.rule = &rule;
  made.group = group;
  made.replaces = std::move(replaces);
  return internal::Fingerprint::OfPrices(service, value);
}

// The bytes of a value by date must not pass for those of what stands behind a percentage without one: here, of a group
// and of what it replaces.
TEST(ByDate, AFingerprintTellsWhetherAValueIsByDate) {
  const Tariff tariff = Book(Document())->tariffs()[0];
  ChargeRule fixed;
  fixed.code = "fuel";
  fixed.price = PercentPrice();
  ChargeRule dated = fixed;
  std::get<PercentPrice>(dated.price).by_date = 0;
  DatedValue value;
  value.micros = (std::int64_t{4} << 24) + (6 << 8);
  ASSERT_EQ(value.micros % 100, 0);
  EXPECT_NE(PrintOf(tariff, dated, 0, {}, {&value, 1}), PrintOf(tariff, fixed, 6, {0, 0, 0, 0}, {}));
}

}  // namespace
}  // namespace tarewise::by_date_test
