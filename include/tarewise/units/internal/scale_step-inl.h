#ifndef TAREWISE_UNITS_INTERNAL_SCALE_STEP_INL_H_
#define TAREWISE_UNITS_INTERNAL_SCALE_STEP_INL_H_

#include <cstdint>
#include <optional>
#include <string_view>

#include "absl/status/statusor.h"
#include "tarewise/units/internal/quantity_text.h"
#include "tarewise/units/scale_step.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

template <typename Q>
absl::StatusOr<ScaleStep<Q>> ScaleStep<Q>::Parse(std::string_view text) {
  absl::StatusOr<Q> rounded = Q::Parse(text);
  if (!rounded.ok()) return rounded.status();
  std::string_view rest = internal::Trim(text);
  const std::optional<internal::Fraction> number = internal::TakeNumber(rest);
  rest = internal::Trim(rest);
  const internal::UnitName* unit = internal::FindUnit(Q::Units(), rest);
  if (Base(*rounded) < 1) return internal::FoundExpected(text, "a step of more than 0");
  if (!number || unit == nullptr) return Of(*rounded);  // a sum of units: its rounding is the step
  Int128 num = number->num * unit->size;
  Int128 den = number->den;
  const Int128 divisor = internal::GreatestCommonDivisor(num, den);
  num /= divisor;
  den /= divisor;
  const std::optional<std::int64_t> num64 = Narrow(num);
  const std::optional<std::int64_t> den64 = Narrow(den);
  if (!num64 || !den64) return Of(*rounded);
  return ScaleStep(*num64, *den64);
}

#ifndef TW_HEADER_ONLY
template class ScaleStep<Weight>;
template class ScaleStep<Length>;
#endif

}  // namespace tarewise::inline TW_VERSIONED

#endif  // TAREWISE_UNITS_INTERNAL_SCALE_STEP_INL_H_
