#ifndef TAREWISE_PRICING_CHARGE_H_
#define TAREWISE_PRICING_CHARGE_H_

#include <string>
#include <string_view>

#include "tarewise/tariff/basis.h"
#include "tarewise/tariff/tariff.h"
#include "tarewise/units/money.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

/// One line of a quote.
struct Charge {
  std::string_view code;
  std::string_view title;
  Amount amount;
  Basis basis;
};

/// One reason of a refusal. `rule` is the refuse rule of the tariff or the seller's own that it comes from, nothing
/// where it comes from none.
struct RefusalReason {
  Reason code = Reason::kOverLimit;
  const RefuseRule* rule = nullptr;
  std::string text;  ///< Filled by whoever explains.
};

}  // namespace tarewise::inline TW_VERSIONED

#endif  // TAREWISE_PRICING_CHARGE_H_
