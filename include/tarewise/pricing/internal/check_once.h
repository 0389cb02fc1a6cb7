#ifndef TAREWISE_PRICING_INTERNAL_CHECK_ONCE_H_
#define TAREWISE_PRICING_INTERNAL_CHECK_ONCE_H_

#include <algorithm>
#include <cstdint>
#include <string>

#include "absl/status/status.h"
#include "tarewise/rules/once.h"
#include "tarewise/tariff/tariff.h"
#include "tarewise/units/internal/place_of_error.h"
#include "tarewise/units/internal/quantity_text.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

// What a program that makes a tariff by itself may have got wrong of what is due once a consignment, and documents may
// not.

inline absl::Status CheckOnceOfRules(const Tariff& tariff) {
  for (const ChargeRule& rule : tariff.rules) {
    if (!rule.once) continue;
    if (!rule.group.empty()) {
      return Invalid(tariff.carrier + ": found " + Quoted(rule.code) + " once a consignment in a group, expected none");
    }
    if (!SameInConsignment(rule.when) || !SameInConsignment(rule.price)) {
      return Invalid(tariff.carrier + ": found " + Quoted(rule.code) +
                     " once a consignment by what its parcels may differ in, expected what is the same for all");
    }
  }
  return absl::OkStatus();
}

inline absl::Status CheckOnceOfService(const Tariff& tariff, const Service& service) {
  auto wrong = [&](const std::string& what) { return Invalid(tariff.carrier + "/" + service.code + ": " + what); };
  for (const std::uint32_t index : service.extras) {
    if (index < tariff.rules.size() && tariff.rules[index].once) {
      return wrong("found the extra " + Quoted(tariff.rules[index].code) + " once a consignment, expected a surcharge");
    }
  }
  auto once = [](const PriceAlternative& price) { return price.once; };
  const auto last = std::find_if(service.prices.rbegin(), service.prices.rend(), once);
  if (last == service.prices.rend()) return absl::OkStatus();
  if (service.pick_lowest) return wrong("found a price once a consignment among which the lowest is taken");
  const bool same = std::all_of(last, service.prices.rend(), [](const PriceAlternative& price) {
    return SameInConsignment(price.when) && SameInConsignment(price.price);
  });
  if (same) return absl::OkStatus();
  return wrong(
      "found a price once a consignment, or one before it, by what its parcels may differ in, expected what is the "
      "same "
      "for all");
}

inline absl::Status CheckOnce(const Tariff& tariff) {
  if (absl::Status status = CheckOnceOfRules(tariff); !status.ok()) return status;
  for (const Service& service : tariff.services) {
    if (absl::Status status = CheckOnceOfService(tariff, service); !status.ok()) return status;
  }
  return absl::OkStatus();
}

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_PRICING_INTERNAL_CHECK_ONCE_H_
