#ifndef TAREWISE_ECONOMICS_FEES_H_
#define TAREWISE_ECONOMICS_FEES_H_

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "absl/status/status.h"
#include "tarewise/internal/switch.h"
#include "tarewise/pricing/ratebook.h"
#include "tarewise/units/money.h"
#include "tarewise/units/percent.h"
#include "tarewise/units/rounding.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

/// What a fee is taken of.
enum class FeeOf : std::uint8_t { kPrice, kPriceAndShipping };
/// `kWhole`: the tier that the amount falls in holds for all of it. `kByParts`: each part of the amount by the tier
/// it lies in.
enum class FeeScale : std::uint8_t { kWhole, kByParts };
/// What stays with whoever takes the fee where the goods come back: all, the fixed part alone, or nothing.
enum class FeeOnReturn : std::uint8_t { kKept, kFixedKept, kGivenBack };

/// One tier of a fee: amounts up to `up_to`, inclusive.
struct FeeTier {
  std::optional<Amount> up_to;  ///< Nothing: no end; so the last one, and only the last one.
  Percent percent;              ///< At most 100 %.
  Amount fixed;
};

/// A selling fee or a payment fee of one sale, in the sale's currency.
///
/// Of an amount x (the price, or the price and what the buyer is charged for shipping) in the tier (p, f):
/// - `kWhole`: p * x + f.
/// - `kByParts`: the sum over the tiers of p * (the part of x that lies in the tier), and f of the tier that x falls
///   in.
///
/// Then not less than `least` and not more than `most`; then rounded once, half up to the currency's minor unit. So an
/// invented fee of 11.4 % and 0.25 takes of 24.90: 2.8386 + 0.25 = 3.0886, a fee of 3.09.
struct Fee {
  std::string code;
  std::string title;
  FeeOf of = FeeOf::kPrice;
  FeeScale scale = FeeScale::kWhole;
  std::vector<FeeTier> tiers;
  std::optional<Amount> least;
  std::optional<Amount> most;
  FeeOnReturn on_return = FeeOnReturn::kKept;

  /// A fee of one tier.
  static Fee Flat(std::string code, Percent percent, Amount fixed, FeeOf of = FeeOf::kPrice);

  /// Errors: InvalidArgument for no tiers, bounds that do not rise, a last tier with an end, a percentage over 100 %,
  /// amounts below 0 or over 1,000 million, `least` over `most`.
  absl::Status Check() const;

  /// The fee on an amount of 0 or more, in millionths, a whole number of minor units of `unit` millionths.
  std::int64_t On(std::int64_t base, std::int64_t unit) const;
  /// What of it stays where the goods come back.
  std::int64_t KeptOnReturn(std::int64_t base, std::int64_t unit) const;

  /// The fee before rounding, in millionths of millionths. Linear between the places that `Turns` names.
  Int128 Exact(std::int64_t base) const;
  Int128 ExactKeptOnReturn(std::int64_t base) const;

  /// The last amounts before `Exact` or `ExactKeptOnReturn` takes another line: ends of tiers, and where a least or a
  /// most (or the fixed part alone) takes over.
  void Turns(std::vector<std::int64_t>& out) const;

 private:
  std::size_t TierOf(std::int64_t base) const;

  Int128 Unclamped(std::int64_t base) const;
};

}  // namespace tarewise::inline TW_VERSIONED

#ifdef TW_HEADER_ONLY
#include "tarewise/economics/internal/fees-inl.h"
#endif

#endif  // TAREWISE_ECONOMICS_FEES_H_
