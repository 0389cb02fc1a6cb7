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
#include "tarewise/pricing/ratebook.h"
#include "tarewise/units/money.h"
#include "tarewise/units/percent.h"
#include "tarewise/units/rounding.h"

namespace tarewise {

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
  static Fee Flat(std::string code, Percent percent, Amount fixed, FeeOf of = FeeOf::kPrice) {
    Fee fee;
    fee.code = std::move(code);
    fee.of = of;
    fee.tiers.push_back({std::nullopt, percent, fixed});
    return fee;
  }

  /// Errors: InvalidArgument for no tiers, bounds that do not rise, a last tier with an end, a percentage over 100 %,
  /// amounts below 0 or over 1,000 million, `least` over `most`.
  absl::Status Check() const {
    auto bad = [this](const std::string& message) {
      return internal::Invalid("fee " + internal::Quoted(code) + ": " + message);
    };
    auto in_range = [](Amount amount) { return amount.micros() >= 0 && amount.micros() <= kMostMicros; };
    if (tiers.empty()) return bad("found no tiers, expected one or more");
    for (std::size_t i = 0; i < tiers.size(); ++i) {
      const FeeTier& tier = tiers[i];
      const std::string where = "tier " + std::to_string(i + 1) + ": ";
      if (tier.up_to.has_value() == (i + 1 == tiers.size())) {
        return bad(where + (tier.up_to ? "found an end on the last tier, expected none"
                                       : "found no end, expected one on all but "
                                         "the last tier"));
      }
      if (tier.up_to && (!in_range(*tier.up_to) || (i > 0 && *tier.up_to <= *tiers[i - 1].up_to))) {
        return bad(where + "found an end of " + tier.up_to->ToString() +
                   ", expected ends that rise, at most 1000 million");
      }
      if (tier.percent.ten_thousandths() > 1'000'000) {
        return bad(where + "found " + tier.percent.ToString() + ", expected at most 100 %");
      }
      if (!in_range(tier.fixed)) {
        return bad(where + "found a fixed part of " + tier.fixed.ToString() +
                   ", expected 0 or more, at most 1000 million");
      }
    }
    if ((least && !in_range(*least)) || (most && !in_range(*most))) {
      return bad("found a least or a most out of range, expected 0 or more, at most 1000 million");
    }
    if (least && most && *most < *least) {
      return bad("found a least of " + least->ToString() + " over the most of " + most->ToString() +
                 ", expected no more");
    }
    return absl::OkStatus();
  }

  /// The fee on an amount of 0 or more, in millionths, a whole number of minor units of `unit` millionths.
  std::int64_t On(std::int64_t base, std::int64_t unit) const {
    return static_cast<std::int64_t>(DivideRounded(Exact(base), 1'000'000, unit, RoundMode::kHalfUp));
  }
  /// What of it stays where the goods come back.
  std::int64_t KeptOnReturn(std::int64_t base, std::int64_t unit) const {
    switch (on_return) {
      case FeeOnReturn::kKept:
        return On(base, unit);
      case FeeOnReturn::kFixedKept:
        return std::min(On(base, unit), static_cast<std::int64_t>(DivideRounded(tiers[TierOf(base)].fixed.micros(), 1,
                                                                                unit, RoundMode::kHalfUp)));
      case FeeOnReturn::kGivenBack:
        break;
    }
    return 0;
  }

  /// The fee before rounding, in millionths of millionths. Linear between the places that `Turns` names.
  Int128 Exact(std::int64_t base) const {
    Int128 fee = Unclamped(base);
    if (least) fee = std::max(fee, Int128(least->micros()) * 1'000'000);
    if (most) fee = std::min(fee, Int128(most->micros()) * 1'000'000);
    return fee;
  }
  Int128 ExactKeptOnReturn(std::int64_t base) const {
    switch (on_return) {
      case FeeOnReturn::kKept:
        return Exact(base);
      case FeeOnReturn::kFixedKept:
        return std::min(Exact(base), Int128(tiers[TierOf(base)].fixed.micros()) * 1'000'000);
      case FeeOnReturn::kGivenBack:
        break;
    }
    return 0;
  }

  /// The last amounts before `Exact` or `ExactKeptOnReturn` takes another line: ends of tiers, and where a least or a
  /// most (or the fixed part alone) takes over.
  void Turns(std::vector<std::int64_t>& out) const {
    std::int64_t from = 0;
    for (const FeeTier& tier : tiers) {
      if (tier.up_to) out.push_back(tier.up_to->micros());
      // Where the line of this tier meets a level: the base at which p * x + k passes it.
      const std::int64_t percent = tier.percent.ten_thousandths();
      auto meets = [&](std::int64_t level) {
        if (percent == 0) return;
        const Int128 x = from + (Int128(level) * 1'000'000 - Unclamped(from + 1) + percent) / percent;
        if (x >= 0 && x <= kMostMicros * 2) out.push_back(static_cast<std::int64_t>(x));
      };
      if (least) meets(least->micros());
      if (most) meets(most->micros());
      meets(tier.fixed.micros());
      if (tier.up_to) from = tier.up_to->micros();
    }
  }

 private:
  std::size_t TierOf(std::int64_t base) const {
    std::size_t tier = 0;
    while (tiers[tier].up_to && base > tiers[tier].up_to->micros()) ++tier;
    return tier;
  }

  Int128 Unclamped(std::int64_t base) const {
    const std::size_t last = TierOf(base);
    Int128 fee = Int128(tiers[last].fixed.micros()) * 1'000'000;
    if (scale == FeeScale::kWhole) return fee + Int128(base) * tiers[last].percent.ten_thousandths();
    std::int64_t from = 0;
    for (std::size_t i = 0; i <= last; ++i) {
      const std::int64_t to = i == last ? base : tiers[i].up_to->micros();
      fee += Int128(to - from) * tiers[i].percent.ten_thousandths();
      from = to;
    }
    return fee;
  }
};

}  // namespace tarewise

#endif  // TAREWISE_ECONOMICS_FEES_H_
