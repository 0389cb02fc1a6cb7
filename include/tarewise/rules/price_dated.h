#ifndef TAREWISE_RULES_PRICE_DATED_H_
#define TAREWISE_RULES_PRICE_DATED_H_

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "tarewise/rules/by_date.h"
#include "tarewise/rules/price_kind.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// One amount whatever the parcel, another on another day. What it is on the day stands in no price: whoever knows the
/// tariff tells two of them apart (`Fingerprint`, `PriceComparer`).
template <>
struct PriceRule<DatedPrice> : NoPriceCuts, OwnAmount, NothingCertain, NoGrid, NoColumn, BilledAsMeasured {
  static constexpr Basis::Kind kBasis = Basis::Kind::kDated;

  static std::int64_t At(const DatedPrice& price, const PointFacts& at, Basis* basis) {
    const DatedValue value = ValueOn(at.lane, price.by_date);
    if (!value.known()) return kNotOffered;
    if (basis != nullptr) PutBasis(value, *basis);
    return value.micros;
  }
  static std::optional<std::uint32_t> ByDate(const DatedPrice& price) { return price.by_date; }
  static std::int64_t Least(const DatedPrice&, ZoneId, const WeightsAtLeast&) { return 0; }
  static bool CoversAll(const DatedPrice&, const std::vector<bool>*) { return false; }
  static void Identity(const DatedPrice&, IdentityBytes&) {}
  static std::string Words(const DatedPrice&) { return "an amount by date"; }
  static void Why(const DatedPrice&, const LineFacts& line, std::vector<std::string>& out) {
    out.push_back(Amount::Micros(static_cast<std::int64_t>(line.basis.measured)).ToString(line.decimals));
    out.push_back(SinceSaid(line.basis.since));
  }
};

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_RULES_PRICE_DATED_H_
