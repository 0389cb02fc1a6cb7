// Next season's price list: every price by hand, and all else as it was written.

#include "tarewise/documents/renew.h"

#include <gtest/gtest.h>

#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "documents/sound.h"
#include "tarewise/documents/load.h"

namespace tarewise::renew_test {
namespace {

using namespace documents_test;  // NOLINT(google-build-using-namespace)

// A list with one price, in the place of PRICE, and perhaps what rounds it.
std::string Listed(const std::string& price, const std::string& rounding = "", const std::string& more = "") {
  return R"({
  "format": "tarewise-tariff-1",
  "carrier": {"code": "kestrel", "name": "Kestrel Parcels"},
  "title":   "Autumn",
  "currency": "USD",
  "in_force": {"from": "2026-09-01", "until": "2027-01-17"},)" +
         (rounding.empty() ? "" : "\n  \"rounding\": " + rounding + ",") + R"(
  "zones": {"main": [{"kind": "regions", "zones": {"1": ["US:0"], "2": ["US:9"]}}]},
  "services": [{"code": "ground", "title": "Ground", "zones": "main", "mode": "surface",
    "prices": [)" +
         price + "]" + more + "}]\n}\n";
}

Renewal By(std::string_view percent) {
  Renewal next;
  next.from = *Date::Parse("2027-01-18");
  next.increase = *Percent::Parse(percent);
  next.stem = "kestrel-2027-01";
  return next;
}

Renewed Made(const std::string& text, const Renewal& next, const std::map<std::string, std::string>& files = {}) {
  Loaded<Renewed> made =
      RenewTariff({"kestrel-2026-09.json", text}, next, [&](std::string_view name) -> std::optional<std::string> {
        const auto at = files.find(std::string(name));
        return at == files.end() ? std::nullopt : std::optional(at->second);
      });
  EXPECT_TRUE(made.ok()) << Lines(made.diagnostics);
  return made.ok() ? *std::move(made.value) : Renewed();
}

std::string Refused(const std::string& text, const Renewal& next) {
  const Loaded<Renewed> made = RenewTariff({"kestrel-2026-09.json", text}, next, {});
  EXPECT_FALSE(made.ok());
  return Lines(made.diagnostics);
}

// What stands in the place of the price.
std::string PriceOf(const std::string& price, std::string_view percent, const std::string& rounding = "") {
  const std::string text = Made(Listed(price, rounding), By(percent)).document.text;
  const std::size_t begin = text.find("\"prices\": [") + 11;
  return text.substr(begin, text.rfind("]}]") - begin);
}

TEST(Renew, HalvesGoAsTheListRoundsThem) {
  // 2.50 and 5 % are 2.625; 2.70 and 5 % are 2.835.
  const std::string two = R"({"by_zone": {"1": 2.50, "2": "2.70"}})";
  EXPECT_EQ(PriceOf(two, "5"), R"({"by_zone": {"1": 2.63, "2": "2.84"}})");
  EXPECT_EQ(PriceOf(two, "5", R"({"line": 0.01, "mode": "half_even"})"), R"({"by_zone": {"1": 2.62, "2": "2.84"}})");
  EXPECT_EQ(PriceOf(two, "5", R"({"line": 0.01, "mode": "down"})"), R"({"by_zone": {"1": 2.62, "2": "2.83"}})");
  EXPECT_EQ(PriceOf(two, "5", R"({"line": 0.01, "mode": "up"})"), R"({"by_zone": {"1": 2.63, "2": "2.84"}})");
  EXPECT_EQ(PriceOf(two, "5", R"({"line": 0.001, "mode": "half_up"})"), R"({"by_zone": {"1": 2.625, "2": "2.835"}})");
  // To a twentieth: 2.625 is half way between 2.60 and 2.65.
  EXPECT_EQ(PriceOf(two, "5", R"({"line": 0.05, "mode": "half_up"})"), R"({"by_zone": {"1": 2.65, "2": "2.85"}})");
  EXPECT_EQ(PriceOf(two, "5", R"({"line": 0.05, "mode": "half_even"})"), R"({"by_zone": {"1": 2.60, "2": "2.85"}})");
}

TEST(Renew, AHalfIsMissedByNoMoreThanItIs) {
  // 9.30 x 1.059 = 9.8487; 1.00 x 1.0049 = 1.0049; 1.00 x 1.005 = 1.005; 100.00 x 1.000049 = 100.0049.
  EXPECT_EQ(PriceOf(R"({"amount": 9.30})", "5.9"), R"({"amount": 9.85})");
  EXPECT_EQ(PriceOf(R"({"amount": 1})", "0.49"), R"({"amount": 1})") << "as it was written";
  EXPECT_EQ(PriceOf(R"({"amount": 1})", "0.5"), R"({"amount": 1.01})");
  EXPECT_EQ(PriceOf(R"({"amount": "100.00"})", "0.0049"), R"({"amount": "100.00"})");
  EXPECT_EQ(PriceOf(R"({"amount": "100.00"})", "0.005"), R"({"amount": "100.01"})");
}

TEST(Renew, NullStaysNullAndNoughtNought) {
  EXPECT_EQ(PriceOf(R"({"by_zone": {"1": null, "2": 0.00}})", "5.9"), R"({"by_zone": {"1": null, "2": 0.00}})");
}

TEST(Renew, EveryPartOfATable) {
  const Renewed made = Made(Listed(R"({"table": {"by": "weight", "unit": "lb", "columns": ["1", "2"],
      "rows": [[1, 5.00, null], ["2 lb", "6.00", 7.00]], "beyond": {"step": 1, "add": [0.50, null]}}},
      {"per": {"measure": "weight", "step": "1 lb", "first": 5.10, "each": 1.15}})"),
                            By("10 %"));
  EXPECT_NE(made.document.text.find(
                R"([[1, 5.50, null], ["2 lb", "6.60", 7.70]], "beyond": {"step": 1, "add": [0.55, null]})"),
            std::string::npos)
      << made.document.text;
  EXPECT_NE(made.document.text.find(R"("step": "1 lb", "first": 5.61, "each": 1.27)"), std::string::npos);
  ASSERT_EQ(made.prices.size(), 2u);
  EXPECT_EQ(made.prices[0].amounts, 4u);
  EXPECT_EQ(made.prices[0].changed, 4u);
  EXPECT_EQ(made.prices[0].least_before.ToString(), "0.50");
  EXPECT_EQ(made.prices[0].most_after.ToString(), "7.70");
  EXPECT_EQ(made.prices[1].number, 2u);
}

TEST(Renew, RatesKeepTheDecimalsThatArePrinted) {
  const std::string price =
      R"({"table": {"by": "weight", "unit": "kg", "rate": "1 kg", "least": 28, "columns": ["*"], "rows": [[45, 3.105], [100, 2.4]]}})";
  const Renewed made = Made(Listed(price), By("5"));
  // 3.26025 to the thousandth, 2.52, 29.40.
  EXPECT_NE(made.document.text.find(R"("least": 29.40, "columns": ["*"], "rows": [[45, 3.26], [100, 2.52]])"),
            std::string::npos)
      << made.document.text;
  EXPECT_TRUE(made.prices[0].finer);
  EXPECT_EQ(made.prices[0].step, 1000);
  EXPECT_NE(Made(Listed(price), By("5.1")).document.text.find("[45, 3.263]"), std::string::npos) << "3.263355";
}

TEST(Renew, AGridBesideKeepsItsForm) {
  const std::map<std::string, std::string> files = {{"kestrel-2026-09-grid.csv",
                                                     "\xEF\xBB\xBF"
                                                     "bound,1,2\r\n1, 5.10 ,\"6.90\"\r\n2 lb,,8\r\n"}};
  const std::string text = Listed(R"({"table": {"by": "weight", "unit": "lb", "csv": "kestrel-2026-09-grid.csv"}})");
  const Renewed made = Made(text, By("5.9"), files);
  ASSERT_EQ(made.grids.size(), 1u);
  EXPECT_EQ(made.grids[0].name, "kestrel-2027-01-grid.csv");
  EXPECT_EQ(made.grids[0].text,
            "\xEF\xBB\xBF"
            "bound,1,2\r\n1, 5.40 ,\"7.31\"\r\n2 lb,,8.47\r\n");
  // All else is as it was, to the last space.
  std::string expected = text;
  const auto put = [&](const std::string& from, const std::string& to) {
    expected.replace(expected.find(from), from.size(), to);
  };
  put(R"({"from": "2026-09-01", "until": "2027-01-17"})", R"({"from": "2027-01-18"})");
  put(R"("Autumn")",
      "\"Autumn\",\n  \"source\": \"computed from \\\"Autumn\\\" (kestrel-2026-09.json, in force from "
      "2026-09-01) by 5.9 %: replace by the printed list\"");
  put("kestrel-2026-09-grid.csv", "kestrel-2027-01-grid.csv");
  EXPECT_EQ(made.document.text, expected);
}

TEST(Renew, OneServiceOfTwoLeavesTheOtherItsGrid) {
  std::string text = Listed(R"({"table": {"by": "weight", "unit": "lb", "csv": "grid.csv"}})");
  text.replace(text.rfind("]\n}"), 1, R"(, {"code": "air", "title": "Air", "zones": "main", "mode": "air",
    "prices": [{"table": {"by": "weight", "unit": "lb", "csv": "grid.csv"}}]}])");
  Renewal next = By("5.9");
  next.services = {"air"};
  const Renewed made = Made(text, next, {{"grid.csv", "bound,1\n1,10\n"}});
  ASSERT_EQ(made.grids.size(), 1u);
  EXPECT_EQ(made.grids[0].text, "bound,1\n1,10.59\n");
  EXPECT_EQ(made.files, std::vector<std::string>{"grid.csv"});
  const auto cell = [&](std::size_t service) {
    return std::get<TablePrice>(made.tariff.services[service].prices[0].price).cells[0];
  };
  EXPECT_EQ(cell(0), 10'000'000);
  EXPECT_EQ(cell(1), 10'590'000);
  // Both: the shared grid rises once.
  next.services = {};
  const Renewed both = Made(text, next, {{"grid.csv", "bound,1\n1,10\n"}});
  ASSERT_EQ(both.grids.size(), 1u);
  EXPECT_EQ(both.grids[0].text, "bound,1\n1,10.59\n");
}

TEST(Renew, ChargesRiseWhereTheyAreAskedTo) {
  std::string text = Listed(R"({"amount": 10})", "",
                            R"(, "surcharges": ["home", "fuel", {"code": "long", "title": "Long", "amount": 4}])");
  text.replace(text.rfind("\n}"), 2, R"(,
  "surcharges": [{"code": "home", "title": "Home", "amount": "2.10"}, {"code": "fuel", "title": "Fuel", "percent": 8.5, "of": ["base"]}]
})");
  EXPECT_NE(Made(text, By("10")).document.text.find("\"2.10\""), std::string::npos);
  Renewal next = By("10");
  next.charges = true;
  const std::string made = Made(text, next).document.text;
  EXPECT_NE(made.find("\"amount\": \"2.31\""), std::string::npos);
  EXPECT_NE(made.find("\"Long\", \"amount\": 4.40"), std::string::npos);
  EXPECT_NE(made.find("\"percent\": 8.5"), std::string::npos);
}

TEST(Renew, StaleExamplesAreLeftOut) {
  std::string text = Listed(R"({"amount": 10})");
  text.replace(text.rfind("\n}"), 2, R"(,
  "examples": [{"service": "ground", "parcel": {"weight": "1 lb", "sides": "6 x 4 x 2 in"}, "zone": "1", "total": "10"}]
})");
  const Renewed made = Made(text, By("10"));
  EXPECT_EQ(made.examples, 1u);
  EXPECT_TRUE(made.tariff.examples.empty());
}

TEST(Renew, APrintedGridIsLaidOver) {
  Renewal next = By("10");
  next.laid.push_back({"ground", 0, "", {"printed.csv", "bound,1,2\n1,5.75,6\n"}});
  const Renewed made = Made(Listed(R"({"table": {"by": "weight", "unit": "lb", "rows": [[1, 5.00, 6.00]],
      "columns": ["1", "2"], "beyond": {"step": 1, "add": [1, 2]}}})"),
                            next);
  EXPECT_NE(made.document.text.find(
                R"({"by": "weight", "unit": "lb",
      "csv": "kestrel-2027-01-ground.csv", "beyond": {"step": 1, "add": [1.10, 2.20]}})"),
            std::string::npos)
      << made.document.text;
  ASSERT_EQ(made.grids.size(), 1u);
  EXPECT_EQ(made.grids[0].text, "bound,1,2\n1,5.75,6\n");
  next.laid[0].grid.text = "bound,1,3\n1,5.75,6\n";
  EXPECT_NE(Refused(Listed(R"({"table": {"by": "weight", "unit": "lb", "columns": ["1"], "rows": [[1, 5.00]]}})"), next)
                .find("printed.csv:1:9: error 301"),
            std::string::npos);
}

TEST(Renew, WhatIsAskedIsChecked) {
  const std::string text = Listed(R"({"amount": 10})");
  Renewal next = By("10");
  next.services = {"grund"};
  EXPECT_NE(
      Refused(text, next)
          .find("found the service \"grund\" to increase, expected one of the document (did you mean \"ground\"?)"),
      std::string::npos);
  next = By("10");
  next.from = *Date::Parse("2026-09-01");
  EXPECT_NE(Refused(text, next).find("found the start 2026-09-01, expected a day after 2026-09-01"), std::string::npos);
  next = By("10");
  next.laid.push_back({"ground", 0, "", {"printed.csv", ""}});
  EXPECT_NE(
      Refused(text, next).find("found the price \"ground\" to lay printed.csv over, expected one that is a table"),
      std::string::npos);
  EXPECT_NE(Refused(Listed(R"({"amount": 999999999})"), By("10")).find("increased would pass 1000000000"),
            std::string::npos);
  EXPECT_NE(Refused("{", By("10")).find("error 103"), std::string::npos);
}

}  // namespace
}  // namespace tarewise::renew_test
