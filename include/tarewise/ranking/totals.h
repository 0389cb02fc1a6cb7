#ifndef TAREWISE_RANKING_TOTALS_H_
#define TAREWISE_RANKING_TOTALS_H_

#include <algorithm>
#include <cstdint>
#include <optional>
#include <vector>

#include "tarewise/pricing/facts.h"
#include "tarewise/ranking/dispatch.h"
#include "tarewise/ranking/internal/order.h"
#include "tarewise/units/money.h"

namespace tarewise {

/// What a parcel's packaging costs.
struct PackagingCosts {
  Amount own;     ///< In the ranking's currency.
  Amount issued;  ///< In the currency of the tariff that issues it: added before conversion.
};

/// One service's total for a parcel, packaging included, in the ranking's currency.
struct ServiceTotal {
  Amount total;
  std::uint32_t service = 0;  ///< Into `Dispatch::services()`.
  friend bool operator==(const ServiceTotal&, const ServiceTotal&) = default;
};

/// The totals of one parcel, best first. Keep one and pass it again: it allocates only while it grows.
struct TotalsResult {
  std::vector<ServiceTotal> offers;
};

/// The totals that every service of a dispatch asks for one sealed parcel, in the order of the contract: what `Rank`
/// gives without lines, refusals and thresholds. `value` is the declared value in the ranking's currency. Services that
/// do not take the parcel are left out. Safe from any thread with a `TotalsResult` of its own.
///
/// Cost: one look at every service; see bench/.
inline void RankTotals(const Dispatch& dispatch, const ParcelFacts& parcel, Amount value, const PackagingCosts& costs,
                       TotalsResult& out) {
  out.offers.clear();
  Dispatch::SideProfiles profiles;
  dispatch.MeasureSides(parcel, profiles);
  const std::vector<Dispatch::ServiceState>& services = dispatch.services();
  ShipmentFacts shipment;
  const Dispatch::Carrier* priced_for = nullptr;
  for (std::uint32_t s = 0; s < services.size(); ++s) {
    const Dispatch::ServiceState& state = services[s];
    if (state.out) continue;
    const Dispatch::Carrier& carrier = dispatch.CarrierOf(state);
    if (&carrier != priced_for) {
      shipment = dispatch.Shipment(carrier, value);
      priced_for = &carrier;
    }
    const std::optional<Amount> total = dispatch.Total(state, parcel, shipment, profiles[state.side_profile]);
    if (!total) continue;
    const std::optional<Amount> whole = dispatch.WithPackaging(carrier, *total, costs.issued, costs.own);
    if (whole) out.offers.push_back({*whole, s});
  }
  std::sort(out.offers.begin(), out.offers.end(), [&](const ServiceTotal& a, const ServiceTotal& b) {
    if (a.total != b.total) return a.total < b.total;
    return ComesBefore(dispatch, {&services[a.service], {}, {}}, {&services[b.service], {}, {}});
  });
}

}  // namespace tarewise

#endif  // TAREWISE_RANKING_TOTALS_H_
