// For random series and days: a price that takes its value from a series is the price of a document that has the value
// of that day typed in, in every total; and an offer is overdue just where the row is.
#include <gtest/gtest.h>

#include <cstdint>
#include <memory>
#include <optional>
#include <random>
#include <string>
#include <utility>
#include <vector>

#include "tarewise/documents/load.h"
#include "tarewise/pricing/ratebook.h"
#include "tarewise/ranking/rank.h"
#include "tarewise/ranking/totals.h"

namespace tarewise::by_date_property {
namespace {

constexpr int kWorlds = 60;
constexpr int kDays = 25;

struct RandomRow {
  Date from;
  std::optional<Date> until;
  std::int64_t percent = Series::kNoValue;  // Ten-thousandths.
  std::int64_t cents = Series::kNoValue;
};

class World {
 public:
  explicit World(std::uint32_t seed) : random_(seed) {
    const int rows = Pick(1, 8);
    std::int32_t day = Start().days() + Pick(0, 10);
    for (int i = 0; i < rows; ++i) {
      RandomRow row;
      row.from = Date::Days(day);
      const int length = Pick(1, 14);
      if (Pick(0, 3) == 0) row.until = Date::Days(day + Pick(0, length - 1));
      if (Pick(0, 4) != 0) row.percent = Pick(0, 400'000);
      if (Pick(0, 4) != 0) row.cents = Pick(0, 3'000);
      rows_.push_back(row);
      day += length;
    }
    if (Pick(0, 2) != 0) good_for_ = Pick(1, 12);
  }

  static Date Start() { return *Date::Parse("2026-07-01"); }
  int Pick(int least, int most) { return std::uniform_int_distribution<int>(least, most)(random_); }

  const RandomRow* On(Date date) const {
    const RandomRow* found = nullptr;
    for (const RandomRow& row : rows_) {
      if (row.from <= date) found = &row;
    }
    return found == nullptr || (found->until && *found->until < date) ? nullptr : found;
  }
  bool OverdueOn(Date date) const {
    const RandomRow* row = On(date);
    return row != nullptr && good_for_ && date.days() >= row->from.days() + *good_for_;
  }

  static std::string Percent(std::int64_t n) { return "\"" + tarewise::Percent::TenThousandths(n).ToString() + "\""; }
  static std::string Money(std::int64_t cents) { return "\"" + Amount::Micros(cents * 10'000).ToString(2) + "\""; }

  std::string SeriesText() const {
    std::string out = R"("series": {"s": {"columns": ["until", "p", "m"], "rows": [)";
    for (const RandomRow& row : rows_) {
      out += (&row == rows_.data() ? "" : ", ") + ("[\"" + row.from.ToString() + "\", ") +
             (row.until ? "\"" + row.until->ToString() + "\"" : "null") + ", " +
             (row.percent == Series::kNoValue ? "null" : Percent(row.percent)) + ", " +
             (row.cents == Series::kNoValue ? "null" : Money(row.cents)) + "]";
    }
    return out + "]" +
           (good_for_ ? ", \"good_for\": \"" + std::to_string(*good_for_) + (*good_for_ == 1 ? " day\"" : " days\"")
                      : "") +
           "}},";
  }

 private:
  std::mt19937 random_;
  std::vector<RandomRow> rows_;
  std::optional<int> good_for_;
};

// `percent` and `amount` are what stands in these places.
std::string Document(const std::string& series, const std::string& percent, const std::string& amount) {
  return R"({"format": "tarewise-tariff-1", "carrier": {"code": "ours", "name": "Ours"}, "title": "T", "currency": "USD",
"in_force": {"from": "2026-07-01"}, "zones": {"main": [{"kind": "one", "zone": "1"}]}, )" +
         series + R"("tax": {"code": "vat", "title": "VAT", "percent": 19, "listed": "without", "rounded": "line"},
"services": [
  {"code": "a", "title": "A", "zones": "main", "mode": "surface",
   "prices": [{"per": {"measure": "weight", "step": "1 lb", "first": 5, "each": 1.07}}],
   "surcharges": ["fee", "part", "off"], "extras": ["paper"]},
  {"code": "b", "title": "B", "zones": "main", "mode": "surface", "pick": "lowest",
   "prices": [{"amount": 12}, {"amount": )" +
         amount + R"(}], "surcharges": ["grouped", "dear", "late"], "extras": ["paper"]}],
"surcharges": [
  {"code": "fee", "title": "Fee", "when": {"weight": {"over": "3 lb"}}, "amount": )" +
         amount + R"(},
  {"code": "grouped", "title": "Grouped", "group": "g", "amount": )" +
         amount + R"(},
  {"code": "dear", "title": "Dear", "group": "g", "amount": 9.99},
  {"code": "part", "title": "Part", "percent": )" +
         percent + R"(, "of": ["*"]},
  {"code": "off", "title": "Off", "less": {"amount": )" +
         amount + R"(}},
  {"code": "late", "title": "Late", "percent": )" +
         percent + R"(, "of": ["base", "extras"]}],
"extras": [{"code": "paper", "title": "Paper", "amount": )" +
         amount + R"(}]})";
}

Ranking RankOf(const std::string& document, Date date, const std::string& weight, bool paper) {
  Loaded<Tariff> tariff = ReadTariff({"tariff.json", document}, nullptr);
  EXPECT_TRUE(tariff.ok()) << tariff.diagnostics.front().ToString() << "\n" << document;
  std::vector<Tariff> tariffs;
  tariffs.push_back(*std::move(tariff.value));
  const std::string request =
      R"({"format": "tarewise-request-1", "parcel": {"weight": ")" + weight +
      R"(", "sides": "10 x 8 x 4 in"}, "from": {"country": "US"}, "to": {"country": "US"}, "date": ")" +
      date.ToString() + "\"" + (paper ? R"(, "extras": ["paper"])" : "") + R"(, "tolerance": {"weight": "8 oz"}})";
  auto ranking = Rank(*Ratebook::Create(std::move(tariffs)), nullptr, *ReadRequest({"request.json", request}).value);
  EXPECT_TRUE(ranking.ok()) << ranking.status().ToString();
  return *std::move(ranking);
}

TEST(ByDateProperty, ASeriesIsTheValueOfTheDayTypedIn) {
  int offered = 0;
  int overdue = 0;
  int refused = 0;
  for (std::uint32_t seed = 1; seed <= kWorlds; ++seed) {
    World world(seed);
    for (int i = 0; i < kDays; ++i) {
      const Date date = Date::Days(World::Start().days() + world.Pick(0, 90));
      const std::string weight = std::to_string(world.Pick(1, 60)) + "00 g";
      const bool paper = world.Pick(0, 1) == 1;
      const Ranking dated =
          RankOf(Document(world.SeriesText(), R"({"series": "s", "column": "p"})", R"({"series": "s", "column": "m"})"),
                 date, weight, paper);
      const RandomRow* row = world.On(date);
      if (row == nullptr || row->percent == Series::kNoValue || row->cents == Series::kNoValue) {
        // Something that is due everywhere has no value.
        for (const Offer& offer : dated.offers())
          ADD_FAILURE() << seed << " " << date.ToString() << " " << offer.service;
        ++refused;
        continue;
      }
      const Ranking plain =
          RankOf(Document("", World::Percent(row->percent), World::Money(row->cents)), date, weight, paper);
      ASSERT_EQ(dated.offers().size(), plain.offers().size()) << seed << " " << date.ToString();
      for (std::size_t o = 0; o < plain.offers().size(); ++o) {
        const Offer& got = dated.offers()[o];
        const Offer& want = plain.offers()[o];
        EXPECT_EQ(got.service, want.service) << seed;
        EXPECT_EQ(got.total, want.total) << seed << " " << date.ToString();
        EXPECT_EQ(got.at_risk, want.at_risk);
        EXPECT_EQ(got.total_at_risk, want.total_at_risk);
        EXPECT_EQ(got.headroom.weight, want.headroom.weight);
        EXPECT_EQ(got.savers.size(), want.savers.size());
        ASSERT_EQ(got.charges.size(), want.charges.size());
        for (std::size_t c = 0; c < want.charges.size(); ++c) EXPECT_EQ(got.charges[c].amount, want.charges[c].amount);
        EXPECT_EQ(!got.overdue.empty(), world.OverdueOn(date)) << seed << " " << date.ToString();
        overdue += got.overdue.empty() ? 0 : 1;
        ++offered;
      }
    }
  }
  EXPECT_GT(offered, 500);
  EXPECT_GT(overdue, 100);
  EXPECT_GT(refused, 100);
}

}  // namespace
}  // namespace tarewise::by_date_property
