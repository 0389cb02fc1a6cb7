#include "calendar_reader.h"

#include <algorithm>

namespace tarewise::inline TW_VERSIONED::load {

std::optional<Calendar> ReadCalendar(Fields& fields, Value value) {
  const Object object(fields, value, "a calendar, such as {\"working\": [\"mon\", \"tue\"], ...}",
                      {"working", "delivering", "holidays", "cut_off"});
  if (!object) return std::nullopt;
  Calendar calendar;
  if (const Value v = object.Require("working")) calendar.working = fields.ReadWeekdays(v).value_or(Weekdays());
  calendar.delivering = calendar.working;
  if (const Value v = object["delivering"]) {
    calendar.delivering = fields.ReadWeekdays(v).value_or(calendar.working);
  }
  if (const Value v = object["holidays"]; v && fields.List(v, "a list of dates")) {
    for (const Value item : v) {
      if (const std::optional<Date> date = fields.ReadDate(item)) calendar.holidays.push_back(*date);
    }
    std::sort(calendar.holidays.begin(), calendar.holidays.end());
    calendar.holidays.erase(std::unique(calendar.holidays.begin(), calendar.holidays.end()), calendar.holidays.end());
  }
  if (const Value v = object["cut_off"]) calendar.cut_off = fields.ReadTime(v);
  return calendar;
}

std::optional<Arrival> ReadArrival(Fields& fields, Value value) {
  if (!value.is(Kind::kArray) || value.size() != 2) {
    fields.Expected(kWrongKind, value, "two dates, the earliest and the latest");
    return std::nullopt;
  }
  const Value latest_value = value.first().next();
  const std::optional<Date> earliest = fields.ReadDate(value.first());
  const std::optional<Date> latest = fields.ReadDate(latest_value);
  if (!earliest || !latest) return std::nullopt;
  if (*latest < *earliest) {
    fields.Error(
        kDatesReversed, latest_value,
        "found " + FoundText(latest_value) + ", expected a date that is not before " + FoundText(value.first()));
    return std::nullopt;
  }
  return Arrival{*earliest, *latest};
}

}  // namespace tarewise::inline TW_VERSIONED::load
