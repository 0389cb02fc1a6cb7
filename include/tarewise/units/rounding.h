#ifndef TAREWISE_UNITS_ROUNDING_H_
#define TAREWISE_UNITS_ROUNDING_H_

#include <cstdint>
#include <limits>
#include <optional>

#include "absl/numeric/int128.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

/// Signed 128-bit integer that holds every exact product of the library: a volume in nm3, a sum of money times a
/// percent.
using Int128 = absl::int128;

/// How money is rounded to a step. The magnitude is rounded and the sign put back, so that a discount of 0.125 is 0.13
/// under `kHalfUp` (Domestic Mail Manual 604.7, "round off").
enum class RoundMode : std::uint8_t { kHalfUp, kHalfEven, kUp, kDown };

/// How a measure is brought to a step: up to the next, down, to the nearest (half goes up), or left alone.
enum class StepMode : std::uint8_t { kExact, kUp, kDown, kNearest };

/// A rounding of weights or sides as a tariff states it. `step` is in the measure's base unit (ng or nm), 1 or more.
struct StepRounding {
  StepMode mode = StepMode::kExact;
  std::int64_t step = 1;
  friend bool operator==(const StepRounding&, const StepRounding&) = default;
};

/// `value` (not negative) brought to `rounding`'s step. Constant time; the result must fit 64 bits, which holds for all
/// parcel measures (at most 50 m and 100,000 kg) with steps up to the same sizes.
///
/// With a step of 10: up 41 -> 50, down 49 -> 40, nearest 45 -> 50 and 44 -> 40.
constexpr std::int64_t RoundToStep(std::int64_t value, StepRounding rounding) {
  const std::int64_t step = rounding.step;
  switch (rounding.mode) {
    case StepMode::kExact:
      return value;
    case StepMode::kUp:
      return (value + step - 1) / step * step;
    case StepMode::kDown:
      return value / step * step;
    case StepMode::kNearest:
      return (value + step / 2) / step * step;
  }
  return value;
}

/// The largest value whose rounding is at most `bound` (both not negative), or -1 if there is none. This turns a bound
/// on a rounded measure into one on the measure itself.
constexpr std::int64_t LargestRoundingTo(std::int64_t bound, StepRounding rounding) {
  const std::int64_t step = rounding.step;
  if (bound < 0) return -1;
  const std::int64_t floor = rounding.mode == StepMode::kExact ? bound : bound / step * step;
  switch (rounding.mode) {
    case StepMode::kExact:
    case StepMode::kUp:
      return floor;
    case StepMode::kDown:
      return floor + step - 1;
    case StepMode::kNearest:
      return floor + (step + 1) / 2 - 1;
  }
  return bound;
}

namespace internal {

// Not negative / positive, to a whole number.
template <typename T>
constexpr T DivideRounded(T magnitude, T divisor, RoundMode mode) {
  const T quotient = magnitude / divisor;
  const T rest = magnitude - quotient * divisor;
  bool up = false;
  switch (mode) {
    case RoundMode::kHalfUp:
      up = rest >= divisor - rest;
      break;
    case RoundMode::kHalfEven:
      up = rest > divisor - rest || (rest == divisor - rest && quotient % 2 != 0);
      break;
    case RoundMode::kUp:
      up = rest != 0;
      break;
    case RoundMode::kDown:
      break;
  }
  return up ? quotient + 1 : quotient;
}

}  // namespace internal

/// num / den rounded to a whole number of `step`s, given as a multiple of `step`. `den` and `step` are positive; den *
/// step must fit 128 bits.
inline Int128 DivideRounded(Int128 num, Int128 den, Int128 step, RoundMode mode) {
  const bool negative = num < 0;
  const Int128 magnitude = negative ? -num : num;
  const Int128 divisor = den * step;
  // Money almost always fits 64 bits, whose division is many times faster.
  constexpr std::int64_t kSmall = std::int64_t{1} << 62;
  const Int128 quotient = magnitude < kSmall && divisor < kSmall
                              ? Int128(internal::DivideRounded(static_cast<std::int64_t>(magnitude),
                                                               static_cast<std::int64_t>(divisor), mode))
                              : internal::DivideRounded(magnitude, divisor, mode);
  return negative ? -(quotient * step) : quotient * step;
}

/// The value as 64 bits, or nothing where it does not fit.
inline std::optional<std::int64_t> Narrow(Int128 value) {
  if (value > std::numeric_limits<std::int64_t>::max() || value < std::numeric_limits<std::int64_t>::min()) {
    return std::nullopt;
  }
  return static_cast<std::int64_t>(value);
}

namespace internal {

inline Int128 GreatestCommonDivisor(Int128 a, Int128 b) {
  while (b != 0) {
    const Int128 rest = a % b;
    a = b;
    b = rest;
  }
  return a;
}

// Half up to a whole number; num >= 0, den > 0.
inline Int128 RoundHalfUp(Int128 num, Int128 den) {
  const Int128 whole = num / den;
  const Int128 rest = num - whole * den;
  return rest >= den - rest ? whole + 1 : whole;
}

struct MulDivResult {
  Int128 floor = 0;
  bool exact = true;
};

/// floor(a * b / c) for a, b >= 0 and c > 0, and whether nothing was left over: exact whatever the size of the product;
/// quotients over `cap` give `cap`.
inline MulDivResult MulDiv(Int128 a, std::int64_t b, Int128 c, Int128 cap) {
  if (a == 0 || b == 0) return {};
  const absl::uint128 ua(a), uc(c), ucap(cap);
  const std::uint64_t ub = static_cast<std::uint64_t>(b);
  if (absl::Uint128High64(ua) == 0 || ua <= absl::Uint128Max() / ub) {
    const absl::uint128 product = ua * ub;
    const absl::uint128 quotient = product / uc;
    if (quotient > ucap) return {cap, true};
    return {Int128(quotient), quotient * uc == product};
  }
  // Quotient and rest of a, then the rest's share bit by bit; rest < c keeps each doubling inside 128 bits.
  const absl::uint128 whole = ua / uc;
  const absl::uint128 rest = ua - whole * uc;
  if (whole != 0 && ucap / ub < whole) return {cap, true};
  absl::uint128 accumulated = 0;
  absl::uint128 share = 0;
  for (int bit = 63; bit >= 0; --bit) {
    const bool carry_double = accumulated >= uc - accumulated && accumulated != 0;
    accumulated = carry_double ? accumulated - (uc - accumulated) : accumulated + accumulated;
    share = share * 2 + (carry_double ? 1 : 0);
    if (((ub >> bit) & 1) != 0) {
      const bool carry_add = accumulated >= uc - rest && rest != 0;
      accumulated = carry_add ? accumulated - (uc - rest) : accumulated + rest;
      share += carry_add ? 1 : 0;
    }
  }
  const absl::uint128 quotient = whole * ub + share;
  if (quotient > ucap) return {cap, true};
  return {Int128(quotient), accumulated == 0};
}

}  // namespace internal
}  // namespace tarewise::inline TW_VERSIONED

#endif  // TAREWISE_UNITS_ROUNDING_H_
