#ifndef TAREWISE_UNITS_INTERNAL_PERCENT_INL_H_
#define TAREWISE_UNITS_INTERNAL_PERCENT_INL_H_

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "absl/status/statusor.h"
#include "tarewise/units/internal/quantity_text.h"
#include "tarewise/units/percent.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

TW_INLINE absl::StatusOr<Percent> Percent::Parse(std::string_view text) {
  constexpr std::string_view kExpected = "a percentage such as \"16.75 %\"";
  std::string_view rest = internal::Trim(text);
  std::optional<internal::Decimal> decimal = internal::TakeDecimal(rest);
  rest = internal::Trim(rest);
  if (!decimal || (!rest.empty() && rest != "%")) return internal::FoundExpected(text, kExpected);
  if (decimal->scale > 4) return internal::FoundExpected(text, "a percentage with at most 4 decimals");
  const Int128 value = decimal->mantissa * internal::kPowersOfTen[4 - decimal->scale];
  if (value > 1'000'000'000'000) return internal::FoundExpected(text, "a percentage, not so large");
  return Percent(static_cast<std::int64_t>(value));
}

TW_INLINE std::string Percent::ToString() const { return internal::ShortestDecimal(value_, 10'000) + " %"; }

}  // namespace tarewise::inline TW_VERSIONED

#endif  // TAREWISE_UNITS_INTERNAL_PERCENT_INL_H_
