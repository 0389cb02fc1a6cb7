// When a parcel arrives and where it ends, worked out by hand on the calendar of August 2026, whose third is a Monday.
// All prices are invented.

#include "tarewise/tariff/calendar.h"

#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "gtest/gtest.h"
#include "support/refusal_of.h"
#include "support/reprice_support.h"
#include "support/same_as_rank.h"
#include "tarewise/batch/reprice.h"
#include "tarewise/documents/load.h"
#include "tarewise/documents/ranking_json.h"
#include "tarewise/ranking/internal/arrival.h"
#include "tarewise/ranking/rank.h"

namespace tarewise::calendar_test {
namespace {

using testing::RefusalOf;

// ---- dates ----

Date On(std::string_view text) { return *Date::Parse(text); }

Weekdays DaysOf(std::initializer_list<Weekday> days) {
  Weekdays out;
  for (const Weekday day : days) out.Add(day);
  return out;
}

Calendar FiveDays() {
  Calendar calendar;
  calendar.working =
      DaysOf({Weekday::kMonday, Weekday::kTuesday, Weekday::kWednesday, Weekday::kThursday, Weekday::kFriday});
  calendar.delivering = calendar.working;
  return calendar;
}

// "2026-08-07 to 2026-08-10", or "none".
std::string Arrives(const Calendar& calendar, std::string_view from, Days days, std::string_view time = "") {
  const std::optional<TimeOfDay> at = time.empty() ? std::nullopt : std::optional<TimeOfDay>(*TimeOfDay::Parse(time));
  const std::optional<Arrival> arrival = internal::ArrivalOf(calendar, On(from), at, days);
  return arrival ? arrival->earliest.ToString() + " to " + arrival->latest.ToString() : "none";
}

TEST(Arrival, CountsWorkingDays) {
  const Calendar calendar = FiveDays();
  EXPECT_EQ(Arrives(calendar, "2026-08-03", {0, 1}), "2026-08-03 to 2026-08-04");
  EXPECT_EQ(Arrives(calendar, "2026-08-06", {1, 2}), "2026-08-07 to 2026-08-10");
  EXPECT_EQ(Arrives(calendar, "2026-08-07", {0, 5}), "2026-08-07 to 2026-08-14");
  // Handed over on Saturday it starts on Monday.
  EXPECT_EQ(Arrives(calendar, "2026-08-08", {0, 1}), "2026-08-10 to 2026-08-11");
}

TEST(Arrival, IsOnADeliveringDayThatMayNotWork) {
  Calendar calendar = FiveDays();
  calendar.delivering.Add(Weekday::kSaturday);
  EXPECT_EQ(Arrives(calendar, "2026-08-07", {1, 2}), "2026-08-08 to 2026-08-11");
  calendar.delivering = DaysOf({Weekday::kTuesday, Weekday::kSaturday});
  EXPECT_EQ(Arrives(calendar, "2026-08-03", {0, 2}), "2026-08-04 to 2026-08-08");
  EXPECT_EQ(Arrives(calendar, "2026-08-04", {0, 1}), "2026-08-04 to 2026-08-08");
}

TEST(Arrival, PassesOverHolidays) {
  Calendar calendar = FiveDays();
  calendar.holidays = {On("2026-08-04"), On("2026-08-10")};
  EXPECT_EQ(Arrives(calendar, "2026-08-03", {1, 2}), "2026-08-05 to 2026-08-06");
  EXPECT_EQ(Arrives(calendar, "2026-08-04", {0, 1}), "2026-08-05 to 2026-08-06");
  EXPECT_EQ(Arrives(calendar, "2026-08-07", {1, 1}), "2026-08-11 to 2026-08-11");
}

TEST(Arrival, StartsTheNextWorkingDayAfterTheCutOff) {
  Calendar calendar = FiveDays();
  calendar.cut_off = *TimeOfDay::Parse("16:00");
  EXPECT_EQ(Arrives(calendar, "2026-08-07", {0, 1}, "16:00"), "2026-08-07 to 2026-08-10");
  EXPECT_EQ(Arrives(calendar, "2026-08-07", {0, 1}, "16:01"), "2026-08-10 to 2026-08-11");
  EXPECT_EQ(Arrives(calendar, "2026-08-07", {0, 1}), "2026-08-07 to 2026-08-10");
  // On Saturday nobody waits for it: late or not, it starts on Monday.
  EXPECT_EQ(Arrives(calendar, "2026-08-08", {1, 1}, "20:00"), "2026-08-11 to 2026-08-11");
  calendar.cut_off.reset();
  EXPECT_EQ(Arrives(calendar, "2026-08-07", {0, 0}, "23:59"), "2026-08-07 to 2026-08-07");
}

TEST(Arrival, EndsWithTheCalendarAndWithTheSearch) {
  Calendar calendar = FiveDays();
  EXPECT_EQ(Arrives(calendar, "9999-12-30", {0, 1}), "9999-12-30 to 9999-12-31");
  EXPECT_EQ(Arrives(calendar, "9999-12-30", {1, 2}), "none");
  calendar.working = DaysOf({Weekday::kMonday});
  calendar.delivering = calendar.working;
  // Mondays all off, until the one that is 400 days after a Sunday is not, and then it is too.
  for (int week = 0; week < 57; ++week) calendar.holidays.push_back(Date::Days(On("2026-08-10").days() + 7 * week));
  const Date last = Date::Days(On("2026-08-10").days() + 7 * 57);
  const Date start = Date::Days(last.days() - 400);
  EXPECT_EQ(Arrives(calendar, start.ToString(), {0, 0}), last.ToString() + " to " + last.ToString());
  EXPECT_EQ(Arrives(calendar, Date::Days(start.days() - 1).ToString(), {0, 0}), "none");
}

// ---- in a ranking ----

constexpr std::string_view kTariff = R"({
  "format": "tarewise-tariff-1", "carrier": {"code": "harbourline", "name": "Harbourline Post"}, "title": "List",
  "currency": "USD", "in_force": {"from": "2026-01-01"},
  "calendar": {"working": ["mon", "tue", "wed", "thu", "fri"], "holidays": ["2026-08-10"], "cut_off": "16:00"},
  "zones": {"main": [{"kind": "one", "zone": "N"}],
            "far": [{"kind": "regions", "zones": {"near": ["US:0"], "far": ["US:9"]}}]},
  "services": [
    {"code": "parcel", "title": "Parcel", "zones": "main", "mode": "surface", "days": {"*": [1, 3]}, "tracked": true,
     "prices": [{"amount": 5}],
     "surcharges": [{"code": "weekend", "title": "Weekend", "when": {"date": {"days": ["fri", "sat"]}}, "amount": 1}]},
    {"code": "saver", "title": "Saver", "zones": "main", "mode": "surface", "delivers": "point",
     "days_by": "far", "days": {"near": [1, 1], "far": [2, 4]}, "calendar": {"working": ["mon", "sat"]},
     "prices": [{"amount": 5}]},
    {"code": "slow", "title": "Slow", "zones": "main", "mode": "surface", "calendar": null, "days": {"*": [2, 2]},
     "prices": [{"amount": 4}]},
    {"code": "box", "title": "Box", "zones": "main", "mode": "surface", "delivers": "locker", "prices": [{"amount": 3}]}]})";

std::shared_ptr<const Ratebook> Book(std::string_view text = kTariff) {
  const Loaded<Tables> tables = ReadTables({{"harbourline.json", std::string(text)}});
  for (const Diagnostic& finding : tables.diagnostics) ADD_FAILURE() << finding.ToString();
  return *Ratebook::Create(tables.value->tariffs, {}, {});
}

Ranking Ranked(std::string_view more, std::string_view to = "98101", std::string_view date = "2026-08-03",
               const std::shared_ptr<const Ratebook>& book = Book()) {
  Loaded<Request> request = ReadRequest(
      {"request.json", R"({"format": "tarewise-request-1", "from": {"country": "US", "postal_code": "05401"},
        "to": {"country": "US", "postal_code": ")" +
                           std::string(to) + R"("}, "date": ")" + std::string(date) +
                           R"(", "parcel": {"weight": "1 lb", "sides": "9 x 6 x 2 in"})" + std::string(more) + "}"});
  for (const Diagnostic& finding : request.diagnostics) ADD_FAILURE() << finding.ToString();
  absl::StatusOr<Ranking> ranking = Rank(book, nullptr, *std::move(request.value));
  EXPECT_TRUE(ranking.ok()) << ranking.status();
  return *std::move(ranking);
}

// "slow 4.00; parcel 5.00 2026-08-04 to 2026-08-06"
std::string Told(const Ranking& ranking) {
  std::string out;
  for (const Offer& offer : ranking.offers()) {
    out += (out.empty() ? "" : "; ") + std::string(offer.service) + " " + offer.total.ToString();
    if (offer.arrives) {
      out += " " + offer.arrives->earliest.ToString() + " to " + offer.arrives->latest.ToString();
    }
    if (offer.delivers != Delivery::kDoor) out += ", " + std::string(NameOf(offer.delivers));
  }
  return out;
}

constexpr std::string_view kAll = R"(, "accepts": ["locker", "point", "door"])";

TEST(Calendar, DatesStandOnOffers) {
  EXPECT_EQ(Told(Ranked("")), "slow 4.00; parcel 5.00 2026-08-04 to 2026-08-06");
  // The parcel's third day is after a weekend and a holiday; the counter works and delivers on Mondays and Saturdays.
  EXPECT_EQ(
      Told(Ranked(kAll, "98101", "2026-08-06")),
      "box 3.00, locker; slow 4.00; parcel 5.00 2026-08-07 to 2026-08-12; saver 5.00 2026-08-15 to 2026-08-22, point");
  EXPECT_EQ(Told(Ranked(R"(, "time": "16:01")", "98101", "2026-08-06")),
            "slow 4.00; parcel 5.00 2026-08-11 to 2026-08-13");
}

TEST(Calendar, DaysMayGoByZonesOfTheirOwn) {
  // Of equal totals the fewer longest days come first: 1 near by, 4 far off, and none published in between.
  EXPECT_EQ(
      Told(Ranked(kAll, "05401")),
      "box 3.00, locker; slow 4.00; saver 5.00 2026-08-08 to 2026-08-08, point; parcel 5.00 2026-08-04 to 2026-08-06");
  EXPECT_EQ(
      Told(Ranked(kAll, "98101")),
      "box 3.00, locker; slow 4.00; parcel 5.00 2026-08-04 to 2026-08-06; saver 5.00 2026-08-10 to 2026-08-17, point");
  const Ranking between = Ranked(kAll, "10001");
  EXPECT_EQ(Told(between), "box 3.00, locker; slow 4.00; parcel 5.00 2026-08-04 to 2026-08-06; saver 5.00, point");
  EXPECT_FALSE(between.offers().back().days.has_value());
  EXPECT_EQ(between.offers().back().zone, "N");
}

TEST(Calendar, APromiseMayBeADate) {
  const Ranking kept = Ranked(std::string(kAll) + R"(, "promise": {"by": "2026-08-06"})");
  EXPECT_EQ(Told(kept), "parcel 5.00 2026-08-04 to 2026-08-06");
  EXPECT_EQ(RefusalOf(kept, "saver"),
            "promise_not_met: arrives on 2026-08-17 at the latest, the promise is 2026-08-06");
  EXPECT_EQ(RefusalOf(kept, "slow"),
            "promise_not_met: tells no calendar to reckon a date by, the promise is 2026-08-06");
  EXPECT_EQ(RefusalOf(kept, "box"), "promise_not_met: publishes no days for this zone, the promise is 2026-08-06");
  EXPECT_EQ(RefusalOf(Ranked(R"(, "promise": {"by": "2026-08-05"})"), "parcel"),
            "promise_not_met: arrives on 2026-08-06 at the latest, the promise is 2026-08-05");
  EXPECT_EQ(RefusalOf(Ranked(R"(, "promise": {"by": "9999-12-31"})", "98101", "9999-12-30"), "parcel"),
            "promise_not_met: no date can be reckoned, the promise is 9999-12-31");
}

TEST(Calendar, TestsMayLookAtTheDayOfTheWeek) {
  EXPECT_EQ(Told(Ranked("", "98101", "2026-08-07")), "slow 4.00; parcel 6.00 2026-08-11 to 2026-08-13");
  const Ranking friday = Ranked("", "98101", "2026-08-07");
  const Offer& parcel = friday.offers().back();
  ASSERT_EQ(parcel.charges.size(), 2u);
  EXPECT_EQ(friday.Why(parcel, parcel.charges[1]), "one price; handed over on 2026-08-07 (fri)");
  // By the hand-over date as it is asked for, not by the day on which it starts.
  EXPECT_EQ(Ranked("", "98101", "2026-08-09").offers().back().charges.size(), 1u);
}

TEST(Delivery, IsRefusedWhereTheRequestDoesNotAcceptIt) {
  const Ranking door = Ranked("");
  EXPECT_EQ(RefusalOf(door, "saver"), "delivered_elsewhere: ends at a point where it is called for, accepted: door");
  EXPECT_EQ(RefusalOf(door, "box"), "delivered_elsewhere: ends in a locker, accepted: door");
  const Ranking counter = Ranked(R"(, "accepts": ["point", "locker"], "promise": {"within": 1})");
  EXPECT_EQ(Told(counter), "");
  EXPECT_EQ(RefusalOf(counter, "parcel"),
            "delivered_elsewhere: ends at the door, accepted: point, locker; "
            "promise_not_met: takes up to 3 business days, the promise is 1");
}

TEST(Delivery, TheServicePaidForIsKeptWhereverItEnds) {
  const Ranking paid = Ranked(R"(, "promise": {"paid_for": "harbourline/saver"})", "05401");
  EXPECT_EQ(Told(paid), "saver 5.00 2026-08-08 to 2026-08-08, point");
  EXPECT_EQ(RefusalOf(paid, "box").substr(0, 20), "delivered_elsewhere:");
}

TEST(Delivery, JsonTellsWhatIsNotAtTheDoor) {
  const std::string json = ToJson(Ranked(kAll, "05401"), -1);
  EXPECT_NE(json.find(R"("days":[1,1],"arrives":["2026-08-08","2026-08-08"],"delivers":"point","tracked":false)"),
            std::string::npos)
      << json;
  EXPECT_NE(json.find(R"("days":[1,3],"arrives":["2026-08-04","2026-08-06"],"tracked":true)"), std::string::npos)
      << json;
}

TEST(Delivery, RequestsAreChecked) {
  Request request = Ranked("").request();
  EXPECT_TRUE(request.Check().ok());
  request.accepts = {};
  EXPECT_EQ(request.Check().message(), "accepts: found none, expected one or more of door, point and locker");
  request.accepts = {Delivery::kPoint, Delivery::kPoint};
  EXPECT_EQ(request.Check().message(), "accepts: found \"point\" twice, expected once");
  request.accepts = {Delivery::kPoint};
  request.time = TimeOfDay::Minutes(1440);
  EXPECT_EQ(request.Check().message(), "time: found 1440 minutes, expected 0 to 1439");
  request.time = TimeOfDay::Minutes(1439);
  request.promise = ByDate{Date::Days(Date::kLast.days() + 1)};
  EXPECT_EQ(request.Check().message(), "promise/by: found 2932897 days since 1970, expected a date of years 1 to 9999");
}

// ---- many at once ----

RepriceSetup ThreeLanes(Promise promise) {
  RepriceSetup setup;
  setup.book = Book();
  setup.shipment.date = On("2026-08-03");
  setup.shipment.accepts = {Delivery::kDoor, Delivery::kPoint};
  setup.shipment.promise = std::move(promise);
  for (const char* to : {"05401", "98101", "10001"}) {
    setup.lanes.push_back({*Place::Make("US", "05401"), *Place::Make("US", to)});
  }
  return setup;
}

// Lanes of one zone differ in their days, which decide between equal totals.
TEST(Calendar, RepricingTellsLanesOfOtherDaysApart) {
  const absl::StatusOr<Repricer> repricer = Repricer::Create(ThreeLanes(ByDate{On("2026-08-20")}));
  ASSERT_TRUE(repricer.ok()) << repricer.status();
  EXPECT_EQ(repricer->lane_classes(), 3u);
  const std::vector<Contents> classes(1);
  reprice_test::Random random(5);
  const reprice_test::Table table = reprice_test::NearThresholds(*repricer, classes, 200, random);
  reprice_test::Seen seen;
  reprice_test::ExpectSameAsRank(*repricer, table.Columns(classes), 3, random, seen);
  EXPECT_GT(seen.ties, 50u);
}

TEST(Calendar, RepricingKeepsPromisesByDate) {
  const absl::StatusOr<Repricer> repricer = Repricer::Create(ThreeLanes(ByDate{On("2026-08-06")}));
  ASSERT_TRUE(repricer.ok()) << repricer.status();
  for (std::size_t lane = 0; lane < 3; ++lane) {
    const std::vector<Dispatch::Entry>& services = repricer->dispatch(lane)->services();
    EXPECT_FALSE(services[0].out);
    EXPECT_TRUE(services[1].out);  // 2026-08-08 at the earliest
    EXPECT_TRUE(services[2].out);
    EXPECT_TRUE(services[3].elsewhere);
  }
}

}  // namespace
}  // namespace tarewise::calendar_test
