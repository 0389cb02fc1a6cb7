#ifndef TAREWISE_UNITS_DATE_H_
#define TAREWISE_UNITS_DATE_H_

#include <chrono>
#include <compare>
#include <cstdint>
#include <cstdio>
#include <optional>
#include <string>
#include <string_view>

#include "absl/status/statusor.h"
#include "tarewise/units/internal/quantity_text.h"

namespace tarewise {

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
  static absl::StatusOr<Date> Parse(std::string_view text) {
    constexpr std::string_view kExpected = "a date such as \"2026-07-12\"";
    if (text.size() != 10 || text[4] != '-' || text[7] != '-') return internal::FoundExpected(text, kExpected);
    int part[3] = {0, 0, 0};
    for (std::size_t i = 0; i < text.size(); ++i) {
      if (i == 4 || i == 7) continue;
      if (!internal::IsDigit(text[i])) return internal::FoundExpected(text, kExpected);
      int& value = part[i < 4 ? 0 : (i < 7 ? 1 : 2)];
      value = value * 10 + (text[i] - '0');
    }
    const std::chrono::year_month_day day{std::chrono::year(part[0]),
                                          std::chrono::month(static_cast<unsigned>(part[1])),
                                          std::chrono::day(static_cast<unsigned>(part[2]))};
    if (!day.ok() || part[0] == 0) return internal::FoundExpected(text, "a date that exists");
    return Date(static_cast<std::int32_t>(std::chrono::sys_days(day).time_since_epoch().count()));
  }

  constexpr std::int32_t days() const { return days_; }

  std::string ToString() const {
    const std::chrono::year_month_day day{std::chrono::sys_days(std::chrono::days(days_))};
    char out[24];
    std::snprintf(out, sizeof out, "%04d-%02u-%02u", static_cast<int>(day.year()), static_cast<unsigned>(day.month()),
                  static_cast<unsigned>(day.day()));
    return out;
  }

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

}  // namespace tarewise

#endif  // TAREWISE_UNITS_DATE_H_
