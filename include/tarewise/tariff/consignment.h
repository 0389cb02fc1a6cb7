#ifndef TAREWISE_TARIFF_CONSIGNMENT_H_
#define TAREWISE_TARIFF_CONSIGNMENT_H_

#include <cstdint>

#include "tarewise/units/weight.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

/// The most parcels of a consignment beside one.
inline constexpr std::int32_t kMostOthers = 999;

/// Parcels that go together by one service, as one of them sees them: tariffs may price by all of them, and charge what
/// is due once a consignment to the first alone.
struct Consignment {
  std::int32_t others = 0;  ///< How many there are beside this one, at most `kMostOthers`.
  Weight others_weight;     ///< Gross, of the others together: more than 0 and at most 100,000 kg; 0 without others.
  bool first = true;        ///< What is due once is due with this one; true without others.
};

}  // namespace tarewise::inline TW_VERSIONED

#endif  // TAREWISE_TARIFF_CONSIGNMENT_H_
