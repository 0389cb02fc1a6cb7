// Checked by compiling: a date is a day of the calendar, not a number and not a moment.
#include "can.h"
#include "tarewise/units/date.h"
#include "tarewise/units/time_of_day.h"
#include "tarewise/units/weekday.h"

namespace tarewise {
namespace {

static_assert(sizeof(Date) == sizeof(std::int32_t) && can::kPlainValue<Date>);
static_assert(can::kNoBareNumbers<Date>);
static_assert(!can::Subtract<Date, Date> && !can::Add<Date, Date>);
static_assert(!std::is_constructible_v<Date, std::chrono::system_clock::time_point>, "the library has no clock");
static_assert(Date::Days(1) > Date::Days(0) && Date() == Date::Days(0));

// Both ends of a range belong to it, and an open end is no end.
static_assert(DateRange{Date::Days(3), Date::Days(5)}.Has(Date::Days(3)));
static_assert(DateRange{Date::Days(3), Date::Days(5)}.Has(Date::Days(5)));
static_assert(!DateRange{Date::Days(3), Date::Days(5)}.Has(Date::Days(2)));
static_assert(!DateRange{Date::Days(3), Date::Days(5)}.Has(Date::Days(6)));
static_assert(DateRange{Date::Days(3), std::nullopt}.Has(Date::Days(30'000)));
static_assert(DateRange{std::nullopt, Date::Days(5)}.Has(Date::Days(-30'000)));
static_assert(DateRange{}.Has(Date::Days(0)));

// A day of the week is known of every date, before 1970 too; a time of the day is no number.
static_assert(WeekdayOf(Date::Days(0)) == Weekday::kThursday && WeekdayOf(Date::Days(-7)) == Weekday::kThursday);
static_assert(WeekdayOf(Date::kFirst) == Weekday::kMonday && WeekdayOf(Date::kLast) == Weekday::kFriday);
static_assert(sizeof(Weekdays) == 1 && can::kPlainValue<Weekdays>);
static_assert(sizeof(TimeOfDay) == sizeof(std::int32_t) && can::kPlainValue<TimeOfDay>);
static_assert(can::kNoBareNumbers<TimeOfDay> && !can::Add<TimeOfDay, TimeOfDay>);
static_assert(TimeOfDay::Minutes(959) < TimeOfDay::Minutes(960));

}  // namespace
}  // namespace tarewise
