#ifndef TAREWISE_UNITS_INTERNAL_DATE_INL_H_
#define TAREWISE_UNITS_INTERNAL_DATE_INL_H_

#include <chrono>
#include <cstddef>
#include <cstdint>
#include <cstdio>
#include <string>
#include <string_view>

#include "absl/status/statusor.h"
#include "tarewise/units/date.h"
#include "tarewise/units/internal/quantity_text.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

TW_INLINE absl::StatusOr<Date> Date::Parse(std::string_view text) {
  constexpr std::string_view kExpected = "a date such as \"2026-07-12\"";
  if (text.size() != 10 || text[4] != '-' || text[7] != '-') return internal::FoundExpected(text, kExpected);
  int part[3] = {0, 0, 0};
  for (std::size_t i = 0; i < text.size(); ++i) {
    if (i == 4 || i == 7) continue;
    if (!internal::IsDigit(text[i])) return internal::FoundExpected(text, kExpected);
    int& value = part[i < 4 ? 0 : (i < 7 ? 1 : 2)];
    value = value * 10 + (text[i] - '0');
  }
  const std::chrono::year_month_day day{std::chrono::year(part[0]), std::chrono::month(static_cast<unsigned>(part[1])),
                                        std::chrono::day(static_cast<unsigned>(part[2]))};
  if (!day.ok() || part[0] == 0) return internal::FoundExpected(text, "a date that exists");
  return Date(static_cast<std::int32_t>(std::chrono::sys_days(day).time_since_epoch().count()));
}

TW_INLINE std::string Date::ToString() const {
  const std::chrono::year_month_day day{std::chrono::sys_days(std::chrono::days(days_))};
  char out[24];
  std::snprintf(out, sizeof out, "%04d-%02u-%02u", static_cast<int>(day.year()), static_cast<unsigned>(day.month()),
                static_cast<unsigned>(day.day()));
  return out;
}

}  // namespace tarewise::inline TW_VERSIONED

#endif  // TAREWISE_UNITS_INTERNAL_DATE_INL_H_
