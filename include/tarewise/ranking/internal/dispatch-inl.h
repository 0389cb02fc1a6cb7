#ifndef TAREWISE_RANKING_INTERNAL_DISPATCH_INL_H_
#define TAREWISE_RANKING_INTERNAL_DISPATCH_INL_H_

#include <cstddef>
#include <memory>
#include <utility>
#include <vector>

#include "absl/status/statusor.h"
#include "tarewise/ranking/dispatch.h"
#include "tarewise/ranking/internal/dispatch_state.h"
#include "tarewise/ranking/internal/order.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

TW_INLINE Shipment Shipment::Of(const Request& request, const Shelf* shelf) {
  Shipment shipment;
  shipment.lane = request.lane;
  shipment.date = request.date;
  shipment.time = request.time;
  shipment.promise = request.promise;
  shipment.accepts = request.accepts;
  shipment.extras = request.extras;
  shipment.cover = request.cover;
  shipment.cash_on_delivery = request.cash_on_delivery;
  shipment.currency = request.currency;
  shipment.exchange = request.exchange;
  shipment.totals = request.totals;
  shipment.week = request.week;
  shipment.consignment = request.consignment;
  if (shelf != nullptr) shipment.shelf_currency = shelf->currency;
  return shipment;
}

TW_INLINE absl::StatusOr<Dispatch> Dispatch::Create(std::shared_ptr<const Ratebook> book, Shipment shipment) {
  absl::StatusOr<std::shared_ptr<const internal::DispatchState>> state =
      internal::DispatchState::Create(std::move(book), std::move(shipment));
  if (!state.ok()) return state.status();
  return Dispatch(*std::move(state));
}

TW_INLINE const std::shared_ptr<const Ratebook>& Dispatch::book() const { return state_->book(); }
TW_INLINE const Shipment& Dispatch::shipment() const { return state_->shipment(); }
TW_INLINE Currency Dispatch::currency() const { return state_->currency(); }
TW_INLINE const std::vector<Dispatch::Carrier>& Dispatch::carriers() const { return state_->carrier_views(); }
TW_INLINE const std::vector<Dispatch::Entry>& Dispatch::services() const { return state_->service_views(); }

TW_INLINE bool Dispatch::ComesBefore(std::size_t a, std::size_t b) const {
  const std::vector<internal::ServiceState>& services = state_->services();
  return internal::ComesBefore(*state_, {&services[a], {}, {}}, {&services[b], {}, {}});
}

}  // namespace tarewise::inline TW_VERSIONED

#endif  // TAREWISE_RANKING_INTERNAL_DISPATCH_INL_H_
