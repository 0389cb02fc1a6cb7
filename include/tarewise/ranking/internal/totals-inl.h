#ifndef TAREWISE_RANKING_INTERNAL_TOTALS_INL_H_
#define TAREWISE_RANKING_INTERNAL_TOTALS_INL_H_

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <vector>

#include "tarewise/ranking/internal/dispatch-inl.h"
#include "tarewise/ranking/internal/order.h"
#include "tarewise/ranking/internal/overdue.h"
#include "tarewise/ranking/totals.h"
#include "tarewise/rules/included_cover.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

TW_INLINE void RankTotals(const Dispatch& with, const ParcelFacts& parcel, Amount value, const PackagingCosts& costs,
                          TotalsResult& out) {
  const internal::DispatchState& dispatch = internal::StateOf(with);
  out.offers.clear();
  internal::DispatchState::SideProfiles profiles;
  dispatch.MeasureSides(parcel, profiles);
  const std::vector<internal::ServiceState>& services = dispatch.services();
  const internal::AskedGoods asked(dispatch, parcel, value);
  internal::ShipmentFacts shipment;
  const internal::CarrierState* priced_for = nullptr;
  bool handicapped = false;
  for (std::uint32_t s = 0; s < services.size(); ++s) {
    const internal::ServiceState& state = services[s];
    if (state.out) continue;
    const internal::CarrierState& carrier = dispatch.CarrierOf(state);
    if (&carrier != priced_for) {
      shipment = asked.FactsFor(carrier);
      priced_for = &carrier;
    }
    const std::optional<Amount> total = dispatch.Total(state, parcel, shipment, profiles[state.side_profile]);
    if (!total) continue;
    const std::optional<Amount> whole = dispatch.WithPackaging(carrier, *total, costs.issued, costs.own);
    if (!whole) continue;
    Amount handicap;
    if (!state.rules.handicaps.empty()) {  // so that without any nothing is called
      handicap = dispatch.HandicapOf(state, parcel, shipment, value);
      handicapped = true;
    }
    out.offers.push_back({*whole, s, handicap});
  }
  auto sort_by = [&](auto due) {
    std::sort(out.offers.begin(), out.offers.end(), [&](const ServiceTotal& a, const ServiceTotal& b) {
      if (due(a) != due(b)) return due(a) < due(b);
      return internal::ComesBefore(dispatch, {&services[a.service], {}, {}}, {&services[b.service], {}, {}});
    });
  };
  if (handicapped) {
    sort_by([](const ServiceTotal& one) { return one.total + one.handicap; });
  } else {
    sort_by([](const ServiceTotal& one) { return one.total; });
  }
}

TW_INLINE Amount IncludedCover(const Dispatch& with, std::size_t service, const ParcelFacts& parcel) {
  const internal::DispatchState& dispatch = internal::StateOf(with);
  const internal::ServiceState& state = dispatch.services()[service];
  if (state.out) return {};
  if (!state.service().cover_by_weight) return Amount::Micros(state.included_cover);
  const internal::CarrierState& carrier = dispatch.CarrierOf(state);
  internal::DispatchState::SideProfiles profiles;
  dispatch.MeasureSides(parcel, profiles);
  const internal::AskedGoods asked(dispatch, parcel, Amount());
  const internal::ShipmentFacts shipment = asked.FactsFor(carrier);
  const internal::Evaluation evaluation(*state.compiled, state.rules, parcel, shipment, state.zone,
                                        profiles[state.side_profile]);
  const Amount included = Amount::Micros(internal::IncludedCover(state.service(), evaluation.facts()));
  return dispatch.Converted(carrier, included).value_or(Amount());
}

TW_INLINE bool GoesByOverdue(const Dispatch& with, std::size_t service, const ParcelFacts& parcel, Amount value) {
  const internal::DispatchState& dispatch = internal::StateOf(with);
  const internal::ServiceState& state = dispatch.services()[service];
  const internal::CarrierState& carrier = dispatch.CarrierOf(state);
  if (state.out || !carrier.overdue) return false;
  const internal::AskedGoods asked(dispatch, parcel, value);
  const internal::ShipmentFacts shipment = asked.FactsFor(carrier);
  const internal::SideFacts sides = dispatch.MeasureSides(parcel, state);
  return internal::IsOverdue(carrier, {*state.compiled, state.rules, parcel, shipment, state.zone, sides});
}

}  // namespace tarewise::inline TW_VERSIONED

#endif  // TAREWISE_RANKING_INTERNAL_TOTALS_INL_H_
