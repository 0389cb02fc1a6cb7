#ifndef TAREWISE_UNITS_WEEKDAY_H_
#define TAREWISE_UNITS_WEEKDAY_H_

#include <cstdint>
#include <string_view>

#include "tarewise/units/date.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

/// A day of the week.
enum class Weekday : std::uint8_t { kMonday, kTuesday, kWednesday, kThursday, kFriday, kSaturday, kSunday };
inline constexpr std::string_view kWeekdayNames[] = {"mon", "tue", "wed", "thu", "fri", "sat", "sun"};

constexpr std::string_view NameOf(Weekday day) { return kWeekdayNames[static_cast<int>(day)]; }

constexpr Weekday WeekdayOf(Date date) {
  const int from_thursday = date.days() % 7;  // 1970-01-01 was one
  return static_cast<Weekday>((from_thursday + 7 + 3) % 7);
}

/// Days of the week, any number of them. A value type.
class Weekdays {
 public:
  constexpr Weekdays() = default;

  constexpr void Add(Weekday day) { bits_ = static_cast<std::uint8_t>(bits_ | Bit(day)); }
  constexpr bool Has(Weekday day) const { return (bits_ & Bit(day)) != 0; }
  constexpr bool empty() const { return bits_ == 0; }
  /// Bit 0 is Monday.
  constexpr std::uint8_t bits() const { return bits_; }

  friend constexpr bool operator==(Weekdays, Weekdays) = default;

 private:
  static constexpr std::uint8_t Bit(Weekday day) { return static_cast<std::uint8_t>(1U << static_cast<unsigned>(day)); }
  std::uint8_t bits_ = 0;
};

}  // namespace tarewise::inline TW_VERSIONED

#endif  // TAREWISE_UNITS_WEEKDAY_H_
