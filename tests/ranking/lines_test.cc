// Tax, reductions, discounts that add up and those earned by the week, as a ranking tells them: which total counts,
// what an offer says of it, and thresholds where a total may fall while a price by the step rises. All tables are
// invented.

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "gtest/gtest.h"
#include "support/demo_goods.h"
#include "support/fewer.h"
#include "support/lines_tables.h"
#include "support/random.h"
#include "tarewise/documents/examples.h"
#include "tarewise/documents/load.h"
#include "tarewise/documents/ranking_json.h"
#include "tarewise/ranking/rank.h"
#include "tarewise/ranking/steps.h"

namespace tarewise::lines_test {
namespace {

using testing::Below;
using testing::kFewer;
using testing::Random;
using testing::Share;

const testing::Compiled& Cases() {
  static const testing::Compiled compiled = testing::Compile(testing::LoadTables(TW_TEST_ROOT "/tests/cases/lines"));
  return compiled;
}

Request SealedOn(std::string_view date, std::string_view currency) {
  Request request;
  request.date = *Date::Parse(date);
  request.currency = *Currency::Parse(currency);
  request.lane = {*Place::Make("US", "05401"), *Place::Make("US", "98101")};
  Parcel parcel;
  parcel.weight = Weight::Kilograms(2);
  parcel.sides = Dimensions(Length::Millimetres(200), Length::Millimetres(200), Length::Millimetres(100));
  request.parcel = parcel;
  return request;
}

const Offer* Of(const Ranking& ranking, std::string_view service) {
  for (const Offer& offer : ranking.offers()) {
    if (offer.service == service) return &offer;
  }
  return nullptr;
}

Ranking Ranked(Request request, std::shared_ptr<const Ratebook> book = Cases().book) {
  absl::StatusOr<Ranking> ranking = Rank(std::move(book), nullptr, std::move(request));
  EXPECT_TRUE(ranking.ok()) << ranking.status();
  return ranking.ok() ? *std::move(ranking) : Ranking();
}

std::vector<std::string> ServicesOf(const Ranking& ranking, std::string_view carrier) {
  std::vector<std::string> out;
  for (const Offer& offer : ranking.offers()) {
    if (offer.carrier == carrier) out.push_back(std::string(offer.service) + " " + offer.total.ToString());
  }
  return out;
}

TEST(Tax, RanksWithItOrWithoutIt) {
  Request request = SealedOn("2026-02-02", "EUR");
  EXPECT_EQ(ServicesOf(Ranked(request), "larkspur"),
            (std::vector<std::string>{"lines-in 1.50", "by-line 1.78", "with 11.90", "exempt 22.50", "without 26.78"}));
  request.totals = Totals::kWithoutTax;
  const Ranking net = Ranked(request);
  EXPECT_EQ(ServicesOf(net, "larkspur"),
            (std::vector<std::string>{"lines-in 1.26", "by-line 1.50", "with 10.00", "exempt 22.50", "without 22.50"}));
  const Offer& with = *Of(net, "with");
  ASSERT_TRUE(with.tax.has_value());
  EXPECT_EQ(with.tax->tax->code, "vat-in");
  EXPECT_EQ(with.tax->amount.ToString(), "1.90");
  EXPECT_EQ(with.tax->net.ToString(), "10.00");
  EXPECT_EQ(with.tax->with_tax.ToString(), "11.90");
  EXPECT_EQ(with.service_total.ToString(), "10.00");
  EXPECT_EQ(with.charges.size(), 1u) << "tax that is in the prices is no line";
  EXPECT_FALSE(Of(net, "exempt")->tax.has_value());
}

TEST(Tax, IsConvertedWithTheTotalThatCounts) {
  Request request = SealedOn("2026-02-02", "USD");
  request.exchange.emplace("EUR", *ExchangeRate::Parse("1.1"));
  EXPECT_EQ(Of(Ranked(request), "without")->total.ToString(), "29.46");
  request.totals = Totals::kWithoutTax;
  const Ranking net = Ranked(request);
  EXPECT_EQ(Of(net, "without")->total.ToString(), "24.75");
  EXPECT_EQ(Of(net, "without")->service_total.ToString(), "22.50");
  EXPECT_EQ(Of(net, "without")->tax->with_tax.ToString(), "26.78");
}

std::string OnOneLine(std::string json) {
  json.erase(std::remove(json.begin(), json.end(), '\n'), json.end());
  return json;
}

TEST(Tax, IsToldInWordsAndAsJson) {
  Request request = SealedOn("2026-02-02", "EUR");
  const Ranking ranking = Ranked(request);
  const Offer& without = *Of(ranking, "without");
  EXPECT_EQ(ranking.Why(without, without.charges.back()), "19 % of 22.50; contents are not documents");
  const Offer& by_line = *Of(ranking, "by-line");
  EXPECT_EQ(ranking.Why(by_line, by_line.charges.back()), "19 % of each line, together 1.50");
  EXPECT_EQ(ranking.Why(by_line, by_line.charges[2]), "taken off; one price");
  EXPECT_EQ(Ranking::Row(without.charges.back()), "");
  const std::string json = OnOneLine(ToJson(ranking, 0));
  EXPECT_NE(
      json.find(
          R"("tax": {"code": "vat","title": "VAT","percent": "19","amount": "4.28","net": "22.50","with_tax": "26.78"})"),
      std::string::npos)
      << json;
  EXPECT_EQ(json.find("\"totals\""), std::string::npos);
  request.totals = Totals::kWithoutTax;
  EXPECT_NE(ToJson(Ranked(request), 0).find(R"("totals": "without_tax")"), std::string::npos);
}

TEST(Tax, ExamplesStateEitherTotal) {
  const Tables tables = testing::LoadTables(TW_TEST_ROOT "/tests/cases/lines");
  for (const Tariff& tariff : tables.tariffs) {
    for (const DifferingExample& one : DifferingExamples(tariff, tables.gazetteer)) ADD_FAILURE() << one.text;
    Tariff wrong = tariff;
    if (wrong.examples.empty()) continue;
    for (Example& example : wrong.examples) example.net = Amount::Micros(77'000'000);
    EXPECT_EQ(DifferingExamples(wrong, tables.gazetteer).size(), wrong.examples.size());
  }
}

std::shared_ptr<const Ratebook> Earned() {
  const SourceText tariff = {
      "t.json", R"({"format": "tarewise-tariff-1", "carrier": {"code": "harbourline", "name": "Harbourline Post"},
    "title": "List", "currency": "EUR", "in_force": {"from": "2026-01-01"}, "zones": {"main": [{"kind": "one", "zone": "1"}]},
    "services": [{"code": "parcel", "title": "Parcel", "zones": "main", "mode": "surface", "prices": [{"amount": 10}], "surcharges": ["small"]}],
    "surcharges": [{"code": "small", "title": "Few parcels", "when": {"week": {"parcels": {"under": 10}, "spend": {"up_to": 500}}}, "amount": 1}]})"};
  const SourceText terms = {
      "m.json", R"({"format": "tarewise-terms-1", "carrier": "harbourline", "in_force": {"from": "2026-01-01"},
    "discounts": [{"when": {"week": {"spend": {"over": 400}}}, "percent": 20, "of": ["base"]},
                  {"when": {"week": {"parcels": {"at_least": 50}}}, "percent": 10, "of": ["base"]}]})"};
  Loaded<Tables> tables = ReadTables({tariff, terms});
  for (const Diagnostic& finding : tables.diagnostics) ADD_FAILURE() << finding.ToString();
  return testing::Compile(*std::move(tables.value)).book;
}

TEST(Week, EarnsWhatItsFiguresReach) {
  Request request = SealedOn("2026-02-02", "EUR");
  auto total = [&] { return Ranked(request, Earned()).offers().front().total.ToString(); };
  EXPECT_EQ(total(), "11.00") << "not stated: nothing is earned";
  request.week.each.parcels = 9;
  EXPECT_EQ(total(), "11.00");
  request.week.each.parcels = 49;
  EXPECT_EQ(total(), "10.00");
  request.week.each.parcels = 50;
  EXPECT_EQ(total(), "9.00");
  request.week.carriers["fenwick-dray"].parcels = 1;
  EXPECT_EQ(total(), "9.00");
  request.week.carriers["harbourline"].parcels = 10;
  EXPECT_EQ(total(), "10.00") << "a carrier's own figures stand in the place of both";
  request.week.carriers["harbourline"].spend = Amount::Micros(400'000'000);
  EXPECT_EQ(total(), "10.00");
  request.week.carriers["harbourline"].spend = Amount::Micros(400'010'000);
  EXPECT_EQ(total(), "8.00");
  const Ranking ranking = Ranked(request, Earned());
  EXPECT_EQ(ranking.Why(ranking.offers()[0], ranking.offers()[0].charges[1]),
            "20 % off 10.00; 400.01 spent in a week, over 400.00");
}

TEST(Week, SpendingIsInTheRankingsCurrency) {
  Request request = SealedOn("2026-02-02", "USD");
  request.exchange.emplace("EUR", *ExchangeRate::Parse("2"));
  request.week.each = {10, Amount::Micros(800'000'000)};
  EXPECT_EQ(Ranked(request, Earned()).offers().front().total.ToString(), "20.00");
  request.week.each.spend = Amount::Micros(800'010'000);
  EXPECT_EQ(Ranked(request, Earned()).offers().front().total.ToString(), "16.00") << "400.005 is half up 400.01";
}

TEST(Week, IsInRange) {
  Request request = SealedOn("2026-02-02", "EUR");
  request.week.each.parcels = kMostWeekParcels + 1;
  EXPECT_EQ(request.Check().message(), "week/parcels: found 1000000001, expected 0 to 1000 million parcels");
  request.week.each.parcels = kMostWeekParcels;
  request.week.carriers["harbourline"].spend = Amount::Micros(-1);
  EXPECT_EQ(request.Check().message(), "week/carriers/harbourline/spend: found -0.000001, expected 0 to 1000 million");
}

// What `StepsByWeight`, which passes over no cut, says of a service at a weight.
class Curve {
 public:
  Curve(const Ranking& ranking, std::size_t service, Weight most) : steps_(StepsByWeight(ranking, service, most)) {}
  std::optional<Amount> At(Weight weight) const { return Step(weight)->total; }
  /// How far the weight can grow at the same total; nothing: past what is known.
  std::optional<Weight> Headroom(Weight weight) const {
    const auto step = Step(weight);
    if (step + 1 == steps_.end()) return std::nullopt;
    return Weight::Nanograms(step->until.nanograms() - weight.nanograms());
  }
  TotalRange Range(Weight from, Weight to) const {
    auto step = Step(from);
    TotalRange range{*step->total, *step->total};
    for (; step->until < to; ++step) {
      range.lowest = std::min(range.lowest, *(step + 1)->total);
      range.highest = std::max(range.highest, *(step + 1)->total);
    }
    return range;
  }
  bool Offered(Weight from, Weight to) const {
    auto step = Step(from);
    for (; step->until < to && step->total; ++step) {
    }
    return step->total.has_value();
  }

 private:
  std::vector<WeightStep>::const_iterator Step(Weight weight) const {
    return std::lower_bound(steps_.begin(), steps_.end(), weight,
                            [](const WeightStep& step, Weight at) { return step.until < at; });
  }
  std::vector<WeightStep> steps_;
};

class Thresholds : public ::testing::TestWithParam<Totals> {};

TEST_P(Thresholds, AreThoseOfTheCutsOneByOne) {
  const testing::Compiled tables =
      testing::Compile(testing::WithTaxAndReductions(testing::DemoTables(), Weight::Grams(700)));
  Random random(20260803);
  const Weight most = Weight::Pounds(75);
  std::map<std::string, int> seen;
  for (int i = 0; i < 60 / static_cast<int>(kFewer); ++i) {
    Request request = testing::RequestOn(testing::LaneTo("US", i % 3 == 0 ? "98101" : "05602"));
    request.totals = GetParam();
    request.exchange.emplace("EUR", *ExchangeRate::Parse("1.0842"));
    if (i % 2 == 0) request.extras = {"x-drop-off"};
    if (i % 4 == 1) request.extras = {"signature", "x-drop-off"};
    request.week.each.parcels = 49 + Below(random, 2);
    Parcel parcel;
    parcel.weight = Weight::Nanograms(1 + Below(random, 20 * kNanogramsPerPound));
    parcel.sides =
        Dimensions(Length::Inches(8 + Below(random, 14)), Length::Inches(6), Length::Inches(2 + Below(random, 4)));
    parcel.value = Amount::Micros(Below(random, 200) * 1'000'000);
    request.parcel = parcel;
    const Ranking ranking = Ranked(request, tables.book);
    std::map<std::uint32_t, Curve> curves;
    for (const Offer& offer : ranking.offers()) {
      const Curve& curve = curves.emplace(offer.service_index, Curve(ranking, offer.service_index, most)).first->second;
      ASSERT_EQ(curve.At(offer.weight), offer.total) << offer.service;
      const std::optional<Weight> headroom = curve.Headroom(offer.weight);
      if (headroom) {
        ASSERT_EQ(offer.headroom.weight, headroom) << offer.service;
      }
      ++seen[headroom ? "headroom" : "none"];
    }
    if (ranking.offers().empty()) continue;
    // The least whole number of steps off for a lower best total.
    const Offer& best = ranking.offers().front();
    const std::size_t services = ranking.dispatch().services().size();
    for (std::uint32_t s = 0; s < services; ++s) curves.emplace(s, Curve(ranking, s, most));
    std::optional<Weight> take;
    for (std::int64_t n = 1; !take; ++n) {
      const Weight off = request.steps.weight.Times(n);
      if (off >= best.weight) break;
      const Weight left = Weight::Nanograms(best.weight.nanograms() - off.nanograms());
      for (const auto& [s, curve] : curves) {
        const std::optional<Amount> total = curve.At(left);
        if (total && *total < best.total) take = off;
      }
    }
    const auto saver = std::find_if(best.savers.begin(), best.savers.end(),
                                    [](const Saver& one) { return one.of == Aspect::kWeight; });
    ASSERT_EQ(saver != best.savers.end(), take.has_value());
    if (take) {
      ASSERT_EQ(saver->weight, *take);
    }
    ++seen[take ? "saver" : "no saver"];
    // A range: its two ends over all of it.
    Request ranging = request;
    ranging.parcel->weight_most =
        Weight::Nanograms(parcel.weight.nanograms() + 1 + Below(random, 4 * kNanogramsPerPound));
    const Ranking range = Ranked(ranging, tables.book);
    for (const Offer& offer : range.offers()) {
      const Curve& curve = curves.at(offer.service_index);
      ASSERT_TRUE(curve.Offered(parcel.weight, *ranging.parcel->weight_most));
      const TotalRange all = curve.Range(parcel.weight, *ranging.parcel->weight_most);
      ASSERT_EQ(offer.range->lowest, all.lowest) << offer.service;
      ASSERT_EQ(offer.range->highest, all.highest) << offer.service;
      ++seen["range"];
    }
  }
  EXPECT_GT(seen["headroom"], static_cast<int>(Share(200)));
  EXPECT_GT(seen["saver"], static_cast<int>(Share(20)));
  EXPECT_GT(seen["range"], static_cast<int>(Share(200)));
}

INSTANTIATE_TEST_SUITE_P(OfTotals, Thresholds, ::testing::Values(Totals::kWithTax, Totals::kWithoutTax),
                         [](const auto& of) { return std::string(kTotalsNames[static_cast<int>(of.param)]); });

// What is taken off may make the dearer list the cheaper one, as soon as that takes the parcel.
TEST(Reductions, OnWhatIsCollectedCountForSavers) {
  const std::vector<SourceText> sources = {{"fenwick-dray.json", R"({
    "format": "tarewise-tariff-1", "carrier": {"code": "fenwick-dray", "name": "Fenwick & Dray"}, "title": "List",
    "currency": "USD", "in_force": {"from": "2026-01-01"}, "zones": {"main": [{"kind": "one", "zone": "N"}]},
    "services": [
      {"code": "road", "title": "Road", "zones": "main", "mode": "surface", "extras": ["cash-on-delivery"],
       "prices": [{"table": {"by": "weight", "unit": "kg", "columns": ["*"], "rows": [[1, 5], [2, 10]]}}]},
      {"code": "doorstep", "title": "Doorstep", "zones": "main", "mode": "surface", "prices": [{"amount": 20}],
       "refuse": [{"when": {"weight": {"over": "1 kg"}}, "reason": "heavier than 1 kg"}], "extras": [
         {"code": "cash-on-delivery", "title": "Cash brought to the desk", "less": 18}]}],
    "extras": [{"code": "cash-on-delivery", "title": "Cash", "amount": 0}]})"}};
  Loaded<Tables> tables = ReadTables(sources);
  for (const Diagnostic& finding : tables.diagnostics) ADD_FAILURE() << finding.ToString();
  Request request = SealedOn("2026-02-02", "USD");
  request.parcel->weight = Weight::Grams(1'500);
  request.cash_on_delivery = *Amount::Parse("40");
  request.weight_units = UnitSystem::kMetric;
  request.steps.weight = ScaleStep<Weight>::Of(Weight::Grams(1), 1);
  const Ranking ranking = Ranked(request, *Ratebook::Create(std::move(tables.value->tariffs)));
  ASSERT_EQ(ranking.offers().size(), 1U);
  const Offer& road = ranking.offers().front();
  EXPECT_EQ(road.total.ToString(), "10.00");
  ASSERT_FALSE(road.savers.empty());
  EXPECT_EQ(road.savers.front().weight.In("g"), "500 g");
  EXPECT_EQ(road.savers.front().total.ToString(), "2.00");
}

}  // namespace
}  // namespace tarewise::lines_test
