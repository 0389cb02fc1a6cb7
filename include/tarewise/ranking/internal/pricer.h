#ifndef TAREWISE_RANKING_INTERNAL_PRICER_H_
#define TAREWISE_RANKING_INTERNAL_PRICER_H_

#include <array>
#include <cstdint>
#include <optional>
#include <vector>

#include "tarewise/pricing/internal/evaluate.h"
#include "tarewise/ranking/handicap.h"
#include "tarewise/ranking/internal/candidates.h"
#include "tarewise/ranking/internal/dispatch_state.h"
#include "tarewise/ranking/internal/pieces.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// A way to send: a service, and the goods in one packaging. Views only.
struct WayToSend {
  const ServiceState& service;
  const WorkingCandidate& candidate;
};

/// Prices ways to send at any weight and sides. What they are sent for (lane, day, value) is settled when it is made;
/// the dispatch must outlive it.
class Pricer {
 public:
  /// The total in the ranking's currency, nothing where it is refused or has no price; and the billable weight, from
  /// which the next change is sought.
  struct Point {
    std::optional<Amount> total;
    Cuts::Billable billable;
  };

  /// Of `goods` contents and whether they are rigid are looked at; `value` is declared, in the ranking's currency.
  Pricer(const DispatchState& dispatch, const ParcelFacts& goods, Amount value)
      : dispatch_(dispatch), value_(value), asked_(dispatch, goods, value) {
    for (const CarrierState& carrier : dispatch.carriers()) shipments_.push_back(asked_.FactsFor(carrier));
  }

  const DispatchState& dispatch() const { return dispatch_; }
  Amount value() const { return value_; }
  /// Asked for, in the ranking's currency.
  Amount cover() const { return asked_.asked().cover.value_or(Amount()); }
  const CarrierState& CarrierOf(const WayToSend& way) const { return dispatch_.CarrierOf(way.service); }
  const ShipmentFacts& ShipmentOf(const WayToSend& way) const { return shipments_[way.service.carrier]; }

  /// What keeps a candidate from a service whatever it weighs and measures, the lane aside.
  bool PackagingAllowed(const WayToSend& way) const {
    return DispatchState::PackagingAllowed(way.service.service(), CarrierOf(way), way.candidate.facts);
  }
  static bool ForbiddenByAir(const WayToSend& way) {
    return DispatchState::ForbiddenByAir(way.service.service(), *way.candidate.facts.contents);
  }
  /// True where some weight and sides might be offered.
  bool MayTake(const WayToSend& way) const { return !way.service.out && PackagingAllowed(way) && !ForbiddenByAir(way); }

  /// A candidate at another weight and other sides, which are sorted.
  static ParcelFacts FactsAt(const WorkingCandidate& candidate, std::int64_t weight,
                             const std::array<std::int64_t, 3>& sides) {
    ParcelFacts facts = candidate.facts;
    facts.weight = weight;
    facts.sides = sides;
    return facts;
  }
  Evaluation Evaluate(const WayToSend& way, const ParcelFacts& facts, const SideFacts& sides) const {
    return {*way.service.compiled, way.service.rules, facts, ShipmentOf(way), way.service.zone, sides};
  }

  std::optional<Amount> TotalAt(const WayToSend& way, std::int64_t weight,
                                const std::array<std::int64_t, 3>& sides) const {
    const ParcelFacts facts = FactsAt(way.candidate, weight, sides);
    return TotalAt(way, facts, dispatch_.MeasureSides(facts, way.service));
  }
  std::optional<Amount> TotalAt(const WayToSend& way, const ParcelFacts& facts, const SideFacts& sides) const {
    if (!way.candidate.cost_known) return std::nullopt;
    const std::optional<Amount> total = dispatch_.Total(way.service, facts, ShipmentOf(way), sides);
    return total ? WithPackaging(way, *total) : std::nullopt;
  }

  /// Of a way that `MayTake`.
  Point PointAt(const WayToSend& way, std::int64_t weight, const std::array<std::int64_t, 3>& sides) const {
    const ParcelFacts facts = FactsAt(way.candidate, weight, sides);
    const SideFacts measured = dispatch_.MeasureSides(facts, way.service);
    const Evaluation evaluation = Evaluate(way, facts, measured);
    Point point;
    point.billable = BillableOf(evaluation.billable(), evaluation.from());
    if (way.candidate.cost_known && !evaluation.Refused()) {
      if (const std::optional<Priced> priced = evaluation.Total()) {
        point.total = WithPackaging(way, priced->Counted(dispatch_.net()));
      }
    }
    return point;
  }
  /// The billable weight alone, which is far less work.
  Cuts::Billable BillableAt(const WayToSend& way, std::int64_t weight, const std::array<std::int64_t, 3>& sides) const {
    const ParcelFacts facts = FactsAt(way.candidate, weight, sides);
    const SideFacts measured = dispatch_.MeasureSides(facts, way.service);
    const Evaluation evaluation = Evaluate(way, facts, measured);
    return BillableOf(evaluation.billable(), evaluation.from());
  }
  static Cuts::Billable BillableOf(Weight weight, BillableFrom from) {
    return {weight.nanograms(), from == BillableFrom::kActual, from == BillableFrom::kDimensional};
  }

  /// A total of the tariff's, with the packaging, in the ranking's currency.
  std::optional<Amount> WithPackaging(const WayToSend& way, Amount total) const {
    return dispatch_.WithPackaging(CarrierOf(way), total, way.candidate.issued_cost, way.candidate.own_cost);
  }

  /// What counts in the order beside the totals of a way, whatever it weighs and measures; see `OfferHandicap`.
  Amount HandicapOf(const WayToSend& way, std::vector<OfferHandicap>* told = nullptr) const {
    return dispatch_.HandicapOf(way.service, way.candidate.facts, ShipmentOf(way), value_, told);
  }

  /// What the service multiplies the volume with, in millionths.
  static std::int64_t VolumeFactor(const WayToSend& way) {
    return way.candidate.facts.irregular() ? way.service.service().measure.irregular_factor : kVolumeScale;
  }
  /// See `ServiceState::strides`. Nor may a stretch be passed over where what is included of a cover rises by steps,
  /// and the cover is not known when cuts are made.
  static bool Strides(const ServiceState& service) { return service.strides && !service.cover_steps; }
  static PieceVisitor Pieces(const WayToSend& way) {
    return {way.service.cuts(), way.service.service().measure, VolumeFactor(way), Strides(way.service)};
  }

 private:
  const DispatchState& dispatch_;
  Amount value_;
  AskedGoods asked_;
  std::vector<ShipmentFacts> shipments_;  // By carrier.
};

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_RANKING_INTERNAL_PRICER_H_
