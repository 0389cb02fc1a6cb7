#ifndef TAREWISE_UNITS_INTERNAL_TIME_OF_DAY_INL_H_
#define TAREWISE_UNITS_INTERNAL_TIME_OF_DAY_INL_H_

#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>

#include "absl/status/statusor.h"
#include "tarewise/units/internal/quantity_text.h"
#include "tarewise/units/time_of_day.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

TW_INLINE absl::StatusOr<TimeOfDay> TimeOfDay::Parse(std::string_view text) {
  bool good = text.size() == 5 && text[2] == ':';
  std::int32_t digits[5] = {};
  for (std::size_t i = 0; good && i < 5; ++i) {
    if (i == 2) continue;
    good = internal::IsDigit(text[i]);
    digits[i] = text[i] - '0';
  }
  const std::int32_t hours = digits[0] * 10 + digits[1];
  const std::int32_t minutes = digits[3] * 10 + digits[4];
  if (!good || hours > 23 || minutes > 59) {
    return internal::FoundExpected(text, "a time of the day such as \"16:00\"");
  }
  return TimeOfDay(hours * 60 + minutes);
}

TW_INLINE std::string TimeOfDay::ToString() const {
  const auto two = [](std::int32_t n) { return (n < 10 ? "0" : "") + std::to_string(n); };
  return two(minutes_ / 60) + ":" + two(minutes_ % 60);
}

}  // namespace tarewise::inline TW_VERSIONED

#endif  // TAREWISE_UNITS_INTERNAL_TIME_OF_DAY_INL_H_
