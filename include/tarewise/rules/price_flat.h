#ifndef TAREWISE_RULES_PRICE_FLAT_H_
#define TAREWISE_RULES_PRICE_FLAT_H_

#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "tarewise/rules/price_kind.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

// One amount, or one a zone, whatever the parcel.

template <>
struct PriceRule<FlatPrice> : NoPriceCuts, OwnAmount, SameEveryDay, NoGrid, NoColumn, BilledAsMeasured {
  static constexpr Basis::Kind kBasis = Basis::Kind::kFlat;

  static std::int64_t At(const FlatPrice& price, const PointFacts&, Basis*) { return price.amount.micros(); }
  static std::int64_t Least(const FlatPrice& price, ZoneId, const WeightsAtLeast&) { return price.amount.micros(); }
  static std::int64_t Certain(const FlatPrice& price, ZoneId) { return price.amount.micros(); }
  static bool CoversAll(const FlatPrice&, const std::vector<bool>*) { return true; }
  static void Identity(const FlatPrice& price, IdentityBytes& out) { out.Put(price.amount); }
  static std::string Words(const FlatPrice&) { return "one amount"; }
  static void Why(const FlatPrice&, const LineFacts&, std::vector<std::string>& out) { out.emplace_back("one price"); }
};

template <>
struct PriceRule<ZonePrice> : NoPriceCuts, OwnAmount, SameEveryDay, NoGrid, BilledAsMeasured {
  static constexpr Basis::Kind kBasis = Basis::Kind::kZone;

  static std::int64_t At(const ZonePrice& price, const PointFacts& at, Basis*) { return Of(price, at.lane.zone); }
  static std::int64_t Least(const ZonePrice& price, ZoneId zone, const WeightsAtLeast&) { return Of(price, zone); }
  static std::int64_t Certain(const ZonePrice& price, ZoneId zone) {
    const std::int64_t amount = Of(price, zone);
    return amount == kNotOffered ? 0 : amount;
  }
  static bool CoversAll(const ZonePrice& price, const std::vector<bool>* zones) {
    if (zones == nullptr) return false;
    for (std::size_t i = 0; i < zones->size(); ++i) {
      if ((*zones)[i] && price.by_zone[i] == kNotOffered) return false;
    }
    return true;
  }
  static void Identity(const ZonePrice& price, IdentityBytes& out) { out.PutCells(price.by_zone); }
  static std::string Words(const ZonePrice&) { return "an amount by zone"; }
  static std::string Column(const ZonePrice&, const Basis&, std::string_view zone) { return std::string(zone); }
  static void Why(const ZonePrice&, const LineFacts& line, std::vector<std::string>& out) {
    out.push_back("zone " + std::string(line.zone));
  }

 private:
  static std::int64_t Of(const ZonePrice& price, ZoneId zone) {
    return zone < price.by_zone.size() ? price.by_zone[zone] : kNotOffered;
  }
};

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_RULES_PRICE_FLAT_H_
