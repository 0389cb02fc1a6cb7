#ifndef TAREWISE_RANKING_INTERNAL_AT_HAND_H_
#define TAREWISE_RANKING_INTERNAL_AT_HAND_H_

#include <optional>

#include "tarewise/parcel/packaging.h"
#include "tarewise/ranking/internal/dispatch_state.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// A packaging that can be taken, and the carrier that issues it; nothing: the seller's own.
struct AtHand {
  const Packaging* packaging = nullptr;
  const CarrierState* issued_by = nullptr;
};

/// A carrier's packaging of the shelf, in its tariff in force; without a packaging where that has none.
inline AtHand FindIssued(const Shelf::Issued& issued, const DispatchState& dispatch) {
  AtHand at_hand;
  for (const CarrierState& carrier : dispatch.carriers()) {
    if (carrier.edition->tariff->carrier != issued.carrier) continue;
    at_hand = {Ratebook::FindPackaging(*carrier.edition->tariff, issued.code), &carrier};
  }
  return at_hand;
}

/// What a packaging of the seller's own adds to a total.
struct OwnCost {
  Amount cost;        ///< In the ranking's currency.
  bool known = true;  ///< False: the shelf's currency has no rate.
  Currency currency;  ///< Of the shelf, where that is not the ranking's.
};

inline OwnCost OwnCostOf(const Packaging& packaging, const std::optional<Currency>& shelf_currency,
                         const DispatchState& dispatch) {
  OwnCost out;
  if (packaging.cost.micros() == 0 || !shelf_currency) return out;
  if (*shelf_currency == dispatch.currency()) {
    out.cost = packaging.cost;
    return out;
  }
  out.currency = *shelf_currency;
  const auto rate = dispatch.shipment().exchange.find(shelf_currency->code());
  out.known = rate != dispatch.shipment().exchange.end();
  // A cost that does not fit is past the bound, as a total with it is.
  if (out.known) {
    out.cost = rate->second.Into(packaging.cost, dispatch.currency()).value_or(Amount::Micros(kMostMicros + 1));
  }
  return out;
}

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_RANKING_INTERNAL_AT_HAND_H_
