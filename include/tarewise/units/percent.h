#ifndef TAREWISE_UNITS_PERCENT_H_
#define TAREWISE_UNITS_PERCENT_H_

#include <compare>
#include <concepts>
#include <cstdint>
#include <string>
#include <string_view>

#include "absl/status/statusor.h"
#include "tarewise/internal/switch.h"
#include "tarewise/units/money.h"
#include "tarewise/units/rounding.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

/// A percentage in ten-thousandths of a percent: "16.75 %" is 167,500 (and so millionths of the whole). Never negative.
class Percent {
 public:
  constexpr Percent() = default;
  static constexpr Percent TenThousandths(std::int64_t n) { return Percent(n); }
  template <std::floating_point T>
  static Percent TenThousandths(T) = delete;

  /// Reads "16.75 %" or "16.75": no sign, at most 4 decimals. Errors: InvalidArgument saying what was found and
  /// expected.
  static absl::StatusOr<Percent> Parse(std::string_view text);

  constexpr std::int64_t ten_thousandths() const { return value_; }
  std::string ToString() const;

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

}  // namespace tarewise::inline TW_VERSIONED

#ifdef TW_HEADER_ONLY
#include "tarewise/units/internal/percent-inl.h"
#endif

#endif  // TAREWISE_UNITS_PERCENT_H_
