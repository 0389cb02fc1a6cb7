// Days of the week and times of the day.

#include <gtest/gtest.h>

#include <string>

#include "support/error_of.h"
#include "tarewise/units/time_of_day.h"
#include "tarewise/units/weekday.h"

namespace tarewise {
namespace {

using testing::ErrorOf;

TEST(Weekday, FollowsTheCalendar) {
  EXPECT_EQ(WeekdayOf(*Date::Parse("1970-01-01")), Weekday::kThursday);
  EXPECT_EQ(WeekdayOf(*Date::Parse("1969-12-31")), Weekday::kWednesday);
  EXPECT_EQ(WeekdayOf(*Date::Parse("2026-08-03")), Weekday::kMonday);
  EXPECT_EQ(WeekdayOf(*Date::Parse("2000-02-29")), Weekday::kTuesday);
  EXPECT_EQ(WeekdayOf(*Date::Parse("0001-01-01")), Weekday::kMonday);
  EXPECT_EQ(WeekdayOf(*Date::Parse("9999-12-31")), Weekday::kFriday);
  // 400 years are whole weeks, and each day of them is the one after the last.
  for (int day = -1'000; day < 1'000; ++day) {
    EXPECT_EQ(WeekdayOf(Date::Days(day)), WeekdayOf(Date::Days(day + 146'097)));
    EXPECT_EQ((static_cast<int>(WeekdayOf(Date::Days(day))) + 1) % 7, static_cast<int>(WeekdayOf(Date::Days(day + 1))));
  }
}

TEST(Weekdays, AreASet) {
  Weekdays days;
  EXPECT_TRUE(days.empty());
  days.Add(Weekday::kMonday);
  days.Add(Weekday::kSunday);
  days.Add(Weekday::kSunday);
  EXPECT_EQ(days.bits(), 0x41);
  EXPECT_TRUE(days.Has(Weekday::kSunday));
  EXPECT_FALSE(days.Has(Weekday::kSaturday));
}

TEST(TimeOfDay, IsReadAndWrittenAlike) {
  for (const char* text : {"00:00", "09:05", "16:00", "23:59"}) {
    EXPECT_EQ(TimeOfDay::Parse(text).value().ToString(), text);
  }
  EXPECT_EQ(TimeOfDay::Parse("16:01").value().minutes(), 961);
  EXPECT_LT(TimeOfDay::Parse("09:59").value(), TimeOfDay::Parse("10:00").value());
  for (const char* text : {"", "24:00", "12:60", "9:00", "0900", "12:00 ", "12:0x", "-1:00"}) {
    EXPECT_EQ(ErrorOf(TimeOfDay::Parse(text).status()),
              "found \"" + std::string(text) + "\", expected a time of the day such as \"16:00\"");
  }
}

}  // namespace
}  // namespace tarewise
