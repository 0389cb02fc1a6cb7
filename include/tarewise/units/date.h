#ifndef TAREWISE_UNITS_DATE_H_
#define TAREWISE_UNITS_DATE_H_

#include <compare>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "absl/status/statusor.h"
#include "tarewise/internal/switch.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

/// A calendar date, as days since 1970-01-01 (proleptic Gregorian, years 1 to 9999). The library has no clock: dates
/// are always given.
class Date {
 public:
  /// The first and the last day that can be written: of years 1 and 9999.
  static const Date kFirst;
  static const Date kLast;

  constexpr Date() = default;
  static constexpr Date Days(std::int32_t days) { return Date(days); }

  /// Reads "2026-07-12". Errors: InvalidArgument for another form or a day that does not exist.
  static absl::StatusOr<Date> Parse(std::string_view text);

  constexpr std::int32_t days() const { return days_; }

  std::string ToString() const;

  friend constexpr auto operator<=>(Date, Date) = default;

 private:
  explicit constexpr Date(std::int32_t days) : days_(days) {}
  std::int32_t days_ = 0;
};

inline constexpr Date Date::kFirst = Date::Days(-719'162);
inline constexpr Date Date::kLast = Date::Days(2'932'896);

/// Dates from `from` to `until`, both inclusive; either may be open.
struct DateRange {
  std::optional<Date> from;
  std::optional<Date> until;
  constexpr bool Has(Date date) const { return (!from || *from <= date) && (!until || date <= *until); }
  friend bool operator==(const DateRange&, const DateRange&) = default;
};

}  // namespace tarewise::inline TW_VERSIONED

#ifdef TW_HEADER_ONLY
#include "tarewise/units/internal/date-inl.h"
#endif

#endif  // TAREWISE_UNITS_DATE_H_
