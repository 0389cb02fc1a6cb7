#ifndef TAREWISE_TARIFF_WEEK_H_
#define TAREWISE_TARIFF_WEEK_H_

#include <cstdint>
#include <functional>
#include <map>
#include <string>
#include <string_view>

#include "tarewise/units/money.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

/// The most parcels of a week.
inline constexpr std::int64_t kMostWeekParcels = 1'000'000'000;

/// What the seller sends and spends in a week, for discounts that are earned by it.
struct Week {
  struct Figures {
    std::int64_t parcels = 0;  ///< At most `kMostWeekParcels`.
    Amount spend;              ///< In the ranking's currency.
  };
  Figures each;                                          ///< With each carrier.
  std::map<std::string, Figures, std::less<>> carriers;  ///< By code: in the place of `each`.

  const Figures& With(std::string_view carrier) const {
    const auto own = carriers.find(carrier);
    return own == carriers.end() ? each : own->second;
  }
};

}  // namespace tarewise::inline TW_VERSIONED

#endif  // TAREWISE_TARIFF_WEEK_H_
