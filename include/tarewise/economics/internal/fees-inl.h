#ifndef TAREWISE_ECONOMICS_INTERNAL_FEES_INL_H_
#define TAREWISE_ECONOMICS_INTERNAL_FEES_INL_H_

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "absl/status/status.h"
#include "tarewise/economics/fees.h"
#include "tarewise/units/internal/quantity_text.h"
#include "tarewise/units/rounding.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

TW_INLINE Fee Fee::Flat(std::string code, Percent percent, Amount fixed, FeeOf of) {
  Fee fee;
  fee.code = std::move(code);
  fee.of = of;
  fee.tiers.push_back({std::nullopt, percent, fixed});
  return fee;
}

TW_INLINE absl::Status Fee::Check() const {
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

TW_INLINE std::int64_t Fee::On(std::int64_t base, std::int64_t unit) const {
  return static_cast<std::int64_t>(DivideRounded(Exact(base), 1'000'000, unit, RoundMode::kHalfUp));
}

TW_INLINE std::int64_t Fee::KeptOnReturn(std::int64_t base, std::int64_t unit) const {
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

TW_INLINE Int128 Fee::Exact(std::int64_t base) const {
  Int128 fee = Unclamped(base);
  if (least) fee = std::max(fee, Int128(least->micros()) * 1'000'000);
  if (most) fee = std::min(fee, Int128(most->micros()) * 1'000'000);
  return fee;
}

TW_INLINE Int128 Fee::ExactKeptOnReturn(std::int64_t base) const {
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

TW_INLINE void Fee::Turns(std::vector<std::int64_t>& out) const {
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

TW_INLINE std::size_t Fee::TierOf(std::int64_t base) const {
  std::size_t tier = 0;
  while (tiers[tier].up_to && base > tiers[tier].up_to->micros()) ++tier;
  return tier;
}

TW_INLINE Int128 Fee::Unclamped(std::int64_t base) const {
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

}  // namespace tarewise::inline TW_VERSIONED

#endif  // TAREWISE_ECONOMICS_INTERNAL_FEES_INL_H_
