#ifndef TAREWISE_PLANS_INTERNAL_CONSIGNMENTS_H_
#define TAREWISE_PLANS_INTERNAL_CONSIGNMENTS_H_

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <memory>
#include <optional>
#include <utility>
#include <vector>

#include "absl/status/statusor.h"
#include "tarewise/plans/internal/parcel_sets.h"
#include "tarewise/pricing/internal/evaluate.h"
#include "tarewise/pricing/internal/lane_rules.h"
#include "tarewise/ranking/internal/pricer.h"
#include "tarewise/ranking/rank.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// What parcels by one service cost together (FORMAT.md A4.10).
class Consignments {
 public:
  explicit Consignments(ParcelSets& sets) : sets_(sets) {}

  /// What the parcels of a plan come to, each by its way; `kNoPlan` where one is refused. Errors: as `Rank`.
  absl::StatusOr<std::int64_t> DueOf(const std::vector<ParcelSet*>& sets, const std::vector<ParcelWay>& ways) const {
    std::int64_t due = 0;
    for (std::size_t i = 0; i < ways.size(); ++i) {
      if (!ways[i].floor) {
        due = AddDue(due, ways[i].due);
        continue;
      }
      const Consignment consignment = Of(sets, ways, i);
      const absl::StatusOr<std::int64_t> one =
          sets_.whole() ? RankedDue(*sets[i], ways[i], consignment) : PricedDue(*sets[i], ways[i], consignment);
      if (!one.ok()) return one.status();
      due = AddDue(due, *one);
    }
    return due;
  }

  /// The consignment that a parcel of a plan is of: of those by its service.
  Consignment Of(const std::vector<ParcelSet*>& sets, const std::vector<ParcelWay>& ways, std::size_t parcel) const {
    Consignment consignment;
    std::int64_t weight = 0;
    for (std::size_t i = 0; i < ways.size(); ++i) {
      if (i == parcel || ways[i].service != ways[parcel].service) continue;
      ++consignment.others;
      weight += sets_.ParcelIn(*sets[i], ways[i].packaging).weight_most;
      if (i < parcel) consignment.first = false;
    }
    consignment.others_weight = Weight::Nanograms(weight);
    return consignment;
  }

  /// A dispatch of a parcel's for the consignment that it is of. Errors: as `Dispatch::Create`.
  static absl::StatusOr<std::shared_ptr<const Dispatch>> DispatchFor(const Dispatch& alone,
                                                                     const Consignment& consignment) {
    Shipment shipment = alone.shipment();
    shipment.consignment = consignment;
    absl::StatusOr<Dispatch> made = Dispatch::Create(alone.book(), std::move(shipment));
    if (!made.ok()) return made.status();
    return std::make_shared<const Dispatch>(*std::move(made));
  }

 private:
  // The service as it is for such a consignment, the parcel whole or cut down: the lower total.
  std::int64_t PricedDue(const ParcelSet& set, const ParcelWay& way, const Consignment& consignment) const {
    const Pricer& pricer = *set.pricer;
    const DispatchState& state = pricer.dispatch();
    const ServiceState& service = state.services()[way.service];
    const CarrierState& carrier = state.CarrierOf(service);
    std::int64_t due = kNoPlan;
    for (const WorkingCandidate& parcel : set.parcels[way.packaging]) {
      const WayToSend to_send{service, parcel};
      if (!parcel.cost_known || !pricer.MayTake(to_send)) continue;
      ShipmentFacts shipment = pricer.ShipmentOf(to_send);
      shipment.pieces = std::int64_t{consignment.others} + 1;
      shipment.others_weight = consignment.others_weight.nanograms();
      shipment.first = consignment.first;
      // What a lane settles must not look at the goods.
      ShipmentFacts lane = state.FactsFor(carrier, Amount());
      lane.pieces = shipment.pieces;
      lane.others_weight = shipment.others_weight;
      lane.first = shipment.first;
      const LaneRules rules =
          LaneRules::Of(*service.compiled, {*carrier.edition->tariff, service.service().mode, service.zone, lane});
      const SideFacts sides = state.MeasureSides(parcel.facts, service);
      const Evaluation evaluation(*service.compiled, rules, parcel.facts, shipment, service.zone, sides);
      if (evaluation.Refused()) continue;
      const std::optional<Priced> priced = evaluation.Total();
      if (!priced) continue;
      const std::optional<Amount> total = pricer.WithPackaging(to_send, priced->Counted(state.net()));
      if (total) due = std::min(due, (*total + pricer.HandicapOf(to_send)).micros());
    }
    return due;
  }

  // By every offer of the goods in that packaging, for what is not told packaging by packaging.
  absl::StatusOr<std::int64_t> RankedDue(const ParcelSet& set, const ParcelWay& way,
                                         const Consignment& consignment) const {
    const absl::StatusOr<std::shared_ptr<const Dispatch>> dispatch = DispatchFor(*set.dispatch, consignment);
    if (!dispatch.ok()) return dispatch.status();
    Request request = *set.request;
    request.consignment = consignment;
    const absl::StatusOr<Ranking> ranking = Rank(*dispatch, sets_.ShelfWith(way.packaging), std::move(request),
                                                 {.thresholds = false, .packer = sets_.packer()});
    if (!ranking.ok()) return ranking.status();
    for (const Offer& offer : ranking->offers()) {
      if (offer.service_index == way.service) return sets_.DueOf(offer);
    }
    return kNoPlan;
  }

  ParcelSets& sets_;
};

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_PLANS_INTERNAL_CONSIGNMENTS_H_
