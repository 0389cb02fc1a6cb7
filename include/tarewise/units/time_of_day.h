#ifndef TAREWISE_UNITS_TIME_OF_DAY_H_
#define TAREWISE_UNITS_TIME_OF_DAY_H_

#include <compare>
#include <cstdint>
#include <string>
#include <string_view>

#include "absl/status/statusor.h"
#include "tarewise/internal/switch.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

/// A time of the day to the minute, 00:00 to 23:59, where the parcel is handed over. A value type.
class TimeOfDay {
 public:
  constexpr TimeOfDay() = default;
  /// Since midnight: 0 to 1439.
  static constexpr TimeOfDay Minutes(std::int32_t minutes) { return TimeOfDay(minutes); }

  /// Reads "16:00". Errors: InvalidArgument for another form.
  static absl::StatusOr<TimeOfDay> Parse(std::string_view text);

  constexpr std::int32_t minutes() const { return minutes_; }
  /// "16:00".
  std::string ToString() const;

  friend constexpr auto operator<=>(TimeOfDay, TimeOfDay) = default;

 private:
  explicit constexpr TimeOfDay(std::int32_t minutes) : minutes_(minutes) {}
  std::int32_t minutes_ = 0;
};

}  // namespace tarewise::inline TW_VERSIONED

#ifdef TW_HEADER_ONLY
#include "tarewise/units/internal/time_of_day-inl.h"
#endif

#endif  // TAREWISE_UNITS_TIME_OF_DAY_H_
