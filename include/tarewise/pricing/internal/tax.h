#ifndef TAREWISE_PRICING_INTERNAL_TAX_H_
#define TAREWISE_PRICING_INTERNAL_TAX_H_

#include <algorithm>
#include <cstdint>

#include "tarewise/tariff/tariff.h"
#include "tarewise/units/money.h"
#include "tarewise/units/rounding.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// What a service asks for a parcel, in the tariff's currency.
struct Priced {
  Amount total;                ///< With its tax.
  Amount tax;                  ///< 0 where none is due.
  const Tax* taxed = nullptr;  ///< The one that is due.

  Amount Net() const { return std::max(total - tax, Amount()); }
  Amount Counted(bool net) const { return net ? Net() : total; }
};

/// The tax in an amount, or on top of it, rounded as a line is. Millionths.
inline std::int64_t TaxOn(const Tax& tax, std::int64_t micros, const MoneyRounding& rounding) {
  constexpr std::int64_t kWhole = 1'000'000;
  const std::int64_t parts = tax.percent.ten_thousandths();
  return static_cast<std::int64_t>(
      DivideRounded(Int128(micros) * parts, tax.listed_with ? kWhole + parts : kWhole, rounding.line, rounding.mode));
}

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_PRICING_INTERNAL_TAX_H_
