#ifndef TAREWISE_RANKING_HANDICAP_H_
#define TAREWISE_RANKING_HANDICAP_H_

#include <string_view>

#include "tarewise/units/money.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

/// What the seller's own rules count in the order although nobody bills it: minutes of packing, a trip to the counter.
/// Its views point into the ratebook.
struct OfferHandicap {
  std::string_view code;
  std::string_view title;
  Amount amount;  ///< In the ranking's currency.
};

}  // namespace tarewise::inline TW_VERSIONED

#endif  // TAREWISE_RANKING_HANDICAP_H_
