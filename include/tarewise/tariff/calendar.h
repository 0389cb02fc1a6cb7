#ifndef TAREWISE_TARIFF_CALENDAR_H_
#define TAREWISE_TARIFF_CALENDAR_H_

#include <cstdint>
#include <optional>
#include <vector>

#include "tarewise/units/date.h"
#include "tarewise/units/time_of_day.h"
#include "tarewise/units/weekday.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

/// Business days from hand-over.
struct Days {
  std::int32_t least = 0;
  std::int32_t most = 0;
  friend bool operator==(const Days&, const Days&) = default;
};

/// The days on which a carrier works and delivers.
struct Calendar {
  Weekdays working;
  Weekdays delivering;
  std::vector<Date> holidays;        ///< Rising, each once: nothing works nor delivers.
  std::optional<TimeOfDay> cut_off;  ///< What is handed over after it starts on the next working day.
  friend bool operator==(const Calendar&, const Calendar&) = default;
};

/// The dates on which a parcel arrives, at the earliest and at the latest.
struct Arrival {
  Date earliest;
  Date latest;
  friend bool operator==(const Arrival&, const Arrival&) = default;
};

}  // namespace tarewise::inline TW_VERSIONED

#endif  // TAREWISE_TARIFF_CALENDAR_H_
