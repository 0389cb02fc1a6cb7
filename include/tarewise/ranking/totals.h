#ifndef TAREWISE_RANKING_TOTALS_H_
#define TAREWISE_RANKING_TOTALS_H_

#include <cstddef>
#include <cstdint>
#include <vector>

#include "tarewise/internal/switch.h"
#include "tarewise/parcel/parcel_facts.h"
#include "tarewise/ranking/dispatch.h"
#include "tarewise/units/money.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

/// What a parcel's packaging costs.
struct PackagingCosts {
  Amount own;     ///< In the ranking's currency.
  Amount issued;  ///< In the currency of the tariff that issues it: added before conversion.
};

/// One service's total for a parcel, packaging included, in the ranking's currency.
struct ServiceTotal {
  Amount total;
  std::uint32_t service = 0;  ///< Into `Dispatch::services()`.
  Amount handicap;            ///< Counts in the order, and is in no total: see `OfferHandicap`. The ranking's currency.
  friend bool operator==(const ServiceTotal&, const ServiceTotal&) = default;
};

/// The totals of one parcel, best first. Keep one and pass it again: its memory is used again.
struct TotalsResult {
  std::vector<ServiceTotal> offers;
};

/// The totals that every service of a dispatch asks for one sealed parcel, in the order of the contract: what `Rank`
/// gives without lines, refusals and thresholds. `value` is the declared value in the ranking's currency. Services that
/// do not take the parcel, and totals that have no rate or are over 1,000 million, are left out. Safe from any thread
/// with a `TotalsResult` of its own.
///
///     TotalsResult best_first;
///     RankTotals(dispatch, parcel, Amount(), {}, best_first);
///     for (const ServiceTotal& one : best_first.offers) Tell(dispatch.services()[one.service].service->code);
///
/// Cost: one look at every service; see bench/.
void RankTotals(const Dispatch& dispatch, const ParcelFacts& parcel, Amount value, const PackagingCosts& costs,
                TotalsResult& out);

/// The cover that a service, by its number in `Dispatch::services()`, gives a sealed parcel for nothing, in the
/// ranking's currency: what goes by the weight, at this parcel's. 0 where the service is out, or that cannot be told.
Amount IncludedCover(const Dispatch& dispatch, std::size_t service, const ParcelFacts& parcel);

/// True where the offer of a service, by its number in `Dispatch::services()`, for a sealed parcel goes by a value that
/// changes by date and is older than it is good for (`Offer::overdue` says which). `value`: as of `RankTotals`.
bool GoesByOverdue(const Dispatch& dispatch, std::size_t service, const ParcelFacts& parcel, Amount value);

}  // namespace tarewise::inline TW_VERSIONED

#ifdef TW_HEADER_ONLY
#include "tarewise/ranking/internal/totals-inl.h"
#endif

#endif  // TAREWISE_RANKING_TOTALS_H_
