#ifndef TAREWISE_RULES_WALK_H_
#define TAREWISE_RULES_WALK_H_

#include <cstdint>
#include <span>
#include <vector>

#include "tarewise/tariff/seller.h"
#include "tarewise/tariff/tariff.h"
#include "tarewise/units/money.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// The part of a service that a test or a price stands in.
enum class Part : std::uint8_t {
  kDimensional,
  kAtLeast,
  kRefuse,
  kBase,
  kSurcharge,
  kExtra,
  kIncludedCover,
  kTax,
  kDiscount,
  kAvoid,
  kAsk,
  kHandicap
};

/// One rule of a service.
struct ServiceRule {
  Part part;
  const Test& when;
  const Price* price = nullptr;  ///< Of a base price, a surcharge or an extra; what is included of cover, by weight.
  const ChargeRule* charge = nullptr;  ///< Of a surcharge or an extra.
  bool once = false;                   ///< Due once a consignment.
};

/// Visits every test and every price of a service once, in the order of the document, then the discounts agreed for it.
/// Whoever gathers something of all rules goes through here: a new part of a service is visited by all of them.
template <typename F>
void Walk(const Tariff& tariff, const Service& service, std::span<const Discount* const> discounts, F visit) {
  for (const MeasureRules::Dimensional& at : service.measure.dimensional)
    visit(ServiceRule{Part::kDimensional, at.when});
  for (const MeasureRules::AtLeast& at : service.measure.at_least) visit(ServiceRule{Part::kAtLeast, at.when});
  for (const RefuseRule& at : service.refuse) visit(ServiceRule{Part::kRefuse, at.when});
  for (const PriceAlternative& at : service.prices) {
    visit(ServiceRule{Part::kBase, at.when, &at.price, nullptr, at.once});
  }
  for (const std::uint32_t index : service.surcharges) {
    const ChargeRule& at = tariff.rules[index];
    visit(ServiceRule{Part::kSurcharge, at.when, &at.price, &at, at.once});
  }
  for (const std::uint32_t index : service.extras) {
    const ChargeRule& at = tariff.rules[index];
    visit(ServiceRule{Part::kExtra, at.when, &at.price, &at});
  }
  if (service.cover_by_weight) {
    static const Test kAlways;
    visit(ServiceRule{Part::kIncludedCover, kAlways, &service.cover_by_weight->price});
  }
  if (service.tax) visit(ServiceRule{Part::kTax, tariff.taxes[*service.tax].when});
  for (const Discount* at : discounts) visit(ServiceRule{Part::kDiscount, at->when});
}

/// The seller's own rules, as far as they are for one service.
struct OwnRules {
  std::vector<const RefuseRule*> avoid;
  std::span<const SellerRules::Ask> ask;
  std::vector<const SellerRules::Handicap*> handicaps;
  Currency currency;
};

/// Visits every test of the seller's own rules for a service: a part of the walk by itself, for money in them is in
/// their own currency. Whoever walks a service's rules walks these too.
template <typename F>
void WalkOwn(const OwnRules& own, F visit) {
  for (const RefuseRule* at : own.avoid) visit(ServiceRule{Part::kAvoid, at->when});
  for (const SellerRules::Ask& at : own.ask) visit(ServiceRule{Part::kAsk, at.when});
  for (const SellerRules::Handicap* at : own.handicaps) visit(ServiceRule{Part::kHandicap, at->when});
}

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_RULES_WALK_H_
