#ifndef TAREWISE_RANKING_INTERNAL_ARRIVAL_H_
#define TAREWISE_RANKING_INTERNAL_ARRIVAL_H_

#include <algorithm>
#include <cstdint>
#include <optional>

#include "tarewise/tariff/calendar.h"
#include "tarewise/units/date.h"
#include "tarewise/units/time_of_day.h"
#include "tarewise/units/weekday.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// Days counted on a carrier's calendar; see `ArrivalOf`.
class CalendarDays {
 public:
  explicit CalendarDays(const Calendar& calendar) : calendar_(calendar) {}

  /// The day on which business days begin to count.
  std::optional<Date> Start(Date handed_over, std::optional<TimeOfDay> time) const {
    const bool late = time && calendar_.cut_off && *calendar_.cut_off < *time;
    if (!late && IsOn(calendar_.working, handed_over)) return handed_over;
    return Next(calendar_.working, handed_over);
  }

  /// So many business days after a start.
  std::optional<Date> After(Date start, std::int32_t days) const {
    if (days == 0 && IsOn(calendar_.delivering, start)) return start;
    std::optional<Date> worked = start;
    for (std::int32_t day = 1; day < days && worked; ++day) worked = Next(calendar_.working, *worked);
    return worked ? Next(calendar_.delivering, *worked) : std::nullopt;
  }

 private:
  static constexpr std::int32_t kFarthest = 400;

  bool IsOn(Weekdays weekdays, Date date) const {
    return weekdays.Has(WeekdayOf(date)) &&
           !std::binary_search(calendar_.holidays.begin(), calendar_.holidays.end(), date);
  }

  std::optional<Date> Next(Weekdays weekdays, Date date) const {
    for (std::int32_t day = 1; day <= kFarthest; ++day) {
      const Date next = Date::Days(date.days() + day);
      if (Date::kLast < next) break;
      if (IsOn(weekdays, next)) return next;
    }
    return std::nullopt;
  }

  const Calendar& calendar_;
};

/// When a parcel arrives that takes so many business days; nothing where a date cannot be told. Linear in the days,
/// each logarithmic in the holidays.
inline std::optional<Arrival> ArrivalOf(const Calendar& calendar, Date handed_over, std::optional<TimeOfDay> time,
                                        const Days& days) {
  const CalendarDays count(calendar);
  const std::optional<Date> start = count.Start(handed_over, time);
  if (!start) return std::nullopt;
  const std::optional<Date> earliest = count.After(*start, days.least);
  const std::optional<Date> latest = count.After(*start, days.most);
  if (!earliest || !latest) return std::nullopt;
  return Arrival{*earliest, *latest};
}

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_RANKING_INTERNAL_ARRIVAL_H_
