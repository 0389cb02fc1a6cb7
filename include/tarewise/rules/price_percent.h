#ifndef TAREWISE_RULES_PRICE_PERCENT_H_
#define TAREWISE_RULES_PRICE_PERCENT_H_

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "tarewise/rules/by_date.h"
#include "tarewise/rules/price_kind.h"
#include "tarewise/units/rounding.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// A part of the lines above it: whoever adds up the lines knows the sum that it is taken of.
template <>
struct PriceRule<PercentPrice> : NoPriceCuts, NothingCertain, NoGrid, NoColumn, BilledAsMeasured {
  static constexpr Basis::Kind kBasis = Basis::Kind::kPercent;

  static const PercentPrice* PartOfLines(const PercentPrice& price) { return &price; }
  // By itself it has no amount.
  static std::int64_t At(const PercentPrice&, const PointFacts&, Basis*) { return kNotOffered; }
  static std::int64_t Least(const PercentPrice&, ZoneId, const WeightsAtLeast&) { return kNotOffered; }
  static bool CoversAll(const PercentPrice&, const std::vector<bool>*) { return false; }
  static std::optional<std::uint32_t> ByDate(const PercentPrice& price) { return price.by_date; }
  static void Identity(const PercentPrice& price, IdentityBytes& out) {
    out.Put(price.percent);
    out.Put(price.of_all);
    out.Put(price.of_extras);
    out.Put(price.late);
    out.Put(price.of);
  }
  static std::string Words(const PercentPrice& price) {
    return price.by_date ? "a percentage by date" : "a percentage";
  }
  static void Why(const PercentPrice& price, const LineFacts& line, std::vector<std::string>& out) {
    const Percent percent = price.by_date ? PercentOf(static_cast<std::int64_t>(line.basis.measured)) : price.percent;
    out.push_back(percent.ToString() + " of " + line.basis.of.ToString(line.decimals));
    if (price.by_date) out.push_back(SinceSaid(line.basis.since));
  }

  /// The line, in millionths, of a sum of others.
  static std::int64_t LineOf(Percent percent, std::int64_t sum, const MoneyRounding& rounding) {
    return percent.Of(Amount::Micros(sum), rounding.line, rounding.mode).micros();
  }
};

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_RULES_PRICE_PERCENT_H_
