#ifndef TAREWISE_UNITS_PERCENT_H_
#define TAREWISE_UNITS_PERCENT_H_

#include <compare>
#include <concepts>
#include <cstdint>
#include <string>
#include <string_view>

#include "absl/status/statusor.h"
#include "tarewise/units/money.h"
#include "tarewise/units/rounding.h"

namespace tarewise {

/// A percentage in ten-thousandths of a percent: "16.75 %" is 167,500 (and so millionths of the whole). Never negative.
class Percent {
 public:
  constexpr Percent() = default;
  static constexpr Percent TenThousandths(std::int64_t n) { return Percent(n); }
  template <std::floating_point T>
  static Percent TenThousandths(T) = delete;

  /// Reads "16.75 %" or "16.75": no sign, at most 4 decimals. Errors: InvalidArgument saying what was found and
  /// expected.
  static absl::StatusOr<Percent> Parse(std::string_view text) {
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

  constexpr std::int64_t ten_thousandths() const { return value_; }
  std::string ToString() const { return internal::ShortestDecimal(value_, 10'000) + " %"; }

  /// This part of `amount`, rounded to a step of `step` millionths; saturates at the ends of Amount.
  Amount Of(Amount amount, std::int64_t step, RoundMode mode) const {
    const Int128 exact = DivideRounded(Int128(amount.micros()) * value_, 1'000'000, step, mode);
    return Amount::Micros(Narrow(exact).value_or(amount.micros() < 0 ? INT64_MIN / 4 : INT64_MAX / 4));
  }

  friend constexpr auto operator<=>(Percent, Percent) = default;

 private:
  explicit constexpr Percent(std::int64_t value) : value_(value) {}
  std::int64_t value_ = 0;
};

}  // namespace tarewise

#endif  // TAREWISE_UNITS_PERCENT_H_
