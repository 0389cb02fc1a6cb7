#ifndef TAREWISE_RANKING_INTERNAL_OFFERS_H_
#define TAREWISE_RANKING_INTERNAL_OFFERS_H_

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <optional>
#include <utility>
#include <vector>

#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "tarewise/ranking/cautions.h"
#include "tarewise/ranking/internal/candidates.h"
#include "tarewise/ranking/internal/goods_range.h"
#include "tarewise/ranking/internal/order.h"
#include "tarewise/ranking/internal/overdue.h"
#include "tarewise/ranking/internal/pricer.h"
#include "tarewise/ranking/internal/refusals.h"
#include "tarewise/ranking/ranking.h"
#include "tarewise/rules/included_cover.h"
#include "tarewise/units/internal/quantity_text.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// Every way to send, and every way that is refused with its reasons.
struct Offers {
  std::vector<Offer> offers;
  std::vector<Refusal> refusals;
};

/// Prices every candidate by every service; see `FindOffers`.
class OfferFinder {
 public:
  OfferFinder(const RequestGoods& goods, const Candidates& candidates, const Pricer& pricer)
      : request_(goods.request()),
        goods_(goods),
        range_(goods),
        all_(candidates),
        candidates_(candidates.all),
        pricer_(pricer),
        dispatch_(pricer.dispatch()) {}

  absl::StatusOr<Offers> Find() &&;

 private:
  // A way with its number among the candidates and among the services.
  struct Numbered : WayToSend {
    std::size_t c;
    std::size_t s;
  };

  absl::Status PriceRange(const Numbered& way);
  absl::Status PricePoint(const Numbered& way, const ParcelFacts& facts, const SideFacts& sides,
                          std::optional<TotalRange> range);
  Offer OfferOf(const Numbered& way, const ParcelFacts& facts, const Evaluation& evaluation) const;
  TotalRange AllowanceRange(const WorkingCandidate& candidate, const WayToSend& way, Amount total) const;
  absl::Status FindRisk(const WayToSend& way, const ParcelFacts& facts, Offer& offer) const;
  absl::Status PriceOne(std::size_t c, std::size_t s, const DispatchState::SideProfiles* profiles);
  void KeepTheBetter(std::size_t offers, std::size_t refusals);
  void Sort();

  static void Widen(std::optional<TotalRange>& range, Amount total) {
    if (!range) range = TotalRange{total, total};
    range->lowest = std::min(range->lowest, total);
    range->highest = std::max(range->highest, total);
  }

  const Request& request_;
  const RequestGoods& goods_;
  const GoodsRange range_;
  const Candidates& all_;
  const std::vector<WorkingCandidate>& candidates_;
  const Pricer& pricer_;
  const DispatchState& dispatch_;
  Offers out_;
};

/// Offers best first, refusals by candidate and service. Errors: InvalidArgument where ranges or a tolerance are too
/// wide to be priced exactly.
inline absl::StatusOr<Offers> FindOffers(const RequestGoods& goods, const Candidates& candidates,
                                         const Pricer& pricer) {
  return OfferFinder(goods, candidates, pricer).Find();
}

inline absl::StatusOr<Offers> OfferFinder::Find() && {
  DispatchState::SideProfiles profiles;
  DispatchState::SideProfiles cut_profiles;
  auto measure = [this](const WorkingCandidate& candidate, DispatchState::SideProfiles& out) {
    if (!GoodsRange::BoxOf(candidate).IsPoint()) return static_cast<const DispatchState::SideProfiles*>(nullptr);
    dispatch_.MeasureSides(candidate.facts, out);
    return static_cast<const DispatchState::SideProfiles*>(&out);
  };
  for (std::size_t c = 0; c < candidates_.size(); ++c) {
    const bool pair = all_.IsCutDownNext(c);
    const DispatchState::SideProfiles* const whole = measure(candidates_[c], profiles);
    const DispatchState::SideProfiles* const cut = pair ? measure(candidates_[c + 1], cut_profiles) : nullptr;
    for (std::size_t s = 0; s < dispatch_.services().size(); ++s) {
      const std::size_t offers = out_.offers.size();
      const std::size_t refusals = out_.refusals.size();
      if (absl::Status status = PriceOne(c, s, whole); !status.ok()) return status;
      if (!pair) continue;
      if (absl::Status status = PriceOne(c + 1, s, cut); !status.ok()) return status;
      KeepTheBetter(offers, refusals);
    }
    if (pair) ++c;
  }
  Sort();
  return std::move(out_);
}

inline absl::Status OfferFinder::PriceOne(std::size_t c, std::size_t s, const DispatchState::SideProfiles* profiles) {
  const ServiceState& service = dispatch_.services()[s];
  const Numbered way{{service, candidates_[c]}, c, s};
  if (profiles == nullptr) return PriceRange(way);
  return PricePoint(way, candidates_[c].facts, (*profiles)[service.side_profile], std::nullopt);
}

// Of a carton, whole and then cut down, that were just priced by one service: the lower total stays, of equal ones the
// whole; where neither is offered, the reasons of the whole. A handicap is the same in both.
inline void OfferFinder::KeepTheBetter(std::size_t offers, std::size_t refusals) {
  if (out_.offers.size() == offers + 2) {
    Offer& whole = out_.offers[offers];
    if (out_.offers.back().total < whole.total) whole = std::move(out_.offers.back());
    out_.offers.pop_back();
  } else {
    out_.refusals.resize(out_.offers.size() == offers ? refusals + 1 : refusals);
  }
}

inline absl::Status OfferFinder::PriceRange(const Numbered& way) {
  const WorkingCandidate& candidate = way.candidate;
  ParcelFacts worst = candidate.facts;
  std::optional<TotalRange> range;
  std::optional<ParcelFacts> refused;
  auto visit = [&](std::int64_t weight, const std::array<std::int64_t, 3>& sides) {
    const ParcelFacts facts = Pricer::FactsAt(candidate, weight, sides);
    const std::optional<Amount> total = pricer_.TotalAt(way, facts, dispatch_.MeasureSides(facts, way.service));
    if (!total) {
      refused = facts;
      return false;
    }
    if (!range || *total > range->highest || (*total == range->highest && weight > worst.weight)) worst = facts;
    Widen(range, *total);
    return true;
  };
  absl::Status too_wide =
      Invalid("the ranges of several sides together are too wide to be priced exactly; narrow them or give one side");
  const WeightSet weights = range_.WeightsOf(candidate, request_.allowance.most);
  // The greatest parcel first: if it is refused, its reasons are the ones to tell.
  if (visit(candidate.weight_most, Sorted(candidate.most)) &&
      !range_.Visit(candidate, Pricer::Pieces(way), weights, visit)) {
    return too_wide;
  }
  if (!refused && candidate.estimated) {
    // The same goods at the least allowance; where that is refused, the most alone is told.
    std::optional<TotalRange> with_least = range;
    auto visit_least = [&](std::int64_t weight, const std::array<std::int64_t, 3>& sides) {
      const std::optional<Amount> total = pricer_.TotalAt(way, weight, sides);
      if (total) {
        Widen(with_least, *total);
      } else {
        with_least.reset();
      }
      return total.has_value();
    };
    const WeightSet least = range_.WeightsOf(candidate, request_.allowance.least);
    if (!range_.Visit(candidate, Pricer::Pieces(way), least, visit_least)) return too_wide;
    if (with_least) range = with_least;
  }
  const ParcelFacts& facts = refused ? *refused : worst;
  return PricePoint(way, facts, dispatch_.MeasureSides(facts, way.service), refused ? std::nullopt : range);
}

inline absl::Status OfferFinder::PricePoint(const Numbered& way, const ParcelFacts& facts, const SideFacts& sides,
                                            std::optional<TotalRange> range) {
  if (way.candidate.cost_known && pricer_.MayTake(way)) {
    const Evaluation evaluation = pricer_.Evaluate(way, facts, sides);
    if (!evaluation.Refused()) {
      std::vector<Charge> charges;
      charges.reserve(8);
      const std::optional<Priced> priced = evaluation.Total(charges);
      const Amount service_total = priced ? priced->Counted(dispatch_.net()) : Amount();
      const std::optional<Amount> total = priced ? pricer_.WithPackaging(way, service_total) : std::nullopt;
      if (total) {
        Offer& offer = out_.offers.emplace_back(OfferOf(way, facts, evaluation));
        offer.overdue = OverdueOf(pricer_.CarrierOf(way), charges);
        if (!offer.overdue.empty()) offer.cautions.Add(CautionCode::kValueOverdue);
        if (way.candidate.pillow) offer.cautions.Add(CautionCode::kMeasureSoft);
        offer.charges = std::move(charges);
        offer.service_total = service_total;
        if (priced->taxed != nullptr) offer.tax = OfferTax{priced->taxed, priced->tax, priced->Net(), priced->total};
        offer.total = *total;
        offer.range = range;
        if (way.candidate.estimated && !range) offer.range = AllowanceRange(way.candidate, way, *total);
        return FindRisk(way, facts, offer);
      }
    }
  }
  out_.refusals.push_back(RefusalOf(pricer_, way, facts, sides));
  return absl::OkStatus();
}

// All but its prices.
inline Offer OfferFinder::OfferOf(const Numbered& way, const ParcelFacts& facts, const Evaluation& evaluation) const {
  const ServiceState& state = way.service;
  const CarrierState& carrier = pricer_.CarrierOf(way);
  const Tariff& tariff = *carrier.edition->tariff;
  Offer offer;
  offer.carrier = tariff.carrier;
  offer.service = state.service().code;
  offer.title = state.service().title;
  offer.packaging = facts.packaging;
  offer.issued_by = facts.issued_by;
  offer.zone = tariff.zone_names[state.zone];
  offer.days = state.days;
  offer.arrives = state.arrives;
  offer.delivers = state.service().delivers;
  offer.tracked = state.service().tracked;
  offer.mode = state.service().mode;
  offer.weight = Weight::Nanograms(facts.weight);
  offer.sides = Dimensions(Length::Nanometres(facts.sides[0]), Length::Nanometres(facts.sides[1]),
                           Length::Nanometres(facts.sides[2]));
  offer.billable = evaluation.billable();
  offer.billable_from = evaluation.from();
  offer.tariff_currency = tariff.currency;
  offer.packaging_cost =
      dispatch_.Converted(carrier, way.candidate.issued_cost).value_or(Amount()) + way.candidate.own_cost;
  const Amount included = Amount::Micros(IncludedCover(state.service(), evaluation.facts()));
  offer.included_cover = dispatch_.Converted(carrier, included).value_or(Amount());
  offer.handicap = pricer_.HandicapOf(way, &offer.handicaps);
  offer.cut_to = way.candidate.cut_to;
  offer.cautions = CautionsOfOffer(facts.contents->bits(), Weight::Nanograms(way.candidate.weight_most), offer.mode);
  offer.service_index = static_cast<std::uint32_t>(way.s);
  offer.candidate_index = static_cast<std::uint32_t>(way.c);
  return offer;
}

// Of an estimate of which nothing ranges: the two ends of the allowance; where the least is refused, the most alone.
inline TotalRange OfferFinder::AllowanceRange(const WorkingCandidate& candidate, const WayToSend& way,
                                              Amount total) const {
  const std::int64_t least_weight = goods_.weight() + AllowanceOf(goods_.weight(), request_.allowance.least);
  const Amount least = pricer_.TotalAt(way, least_weight, candidate.facts.sides).value_or(total);
  return {std::min(total, least), std::max(total, least)};
}

inline absl::Status OfferFinder::FindRisk(const WayToSend& way, const ParcelFacts& facts, Offer& offer) const {
  const Tolerance& tolerance = request_.tolerance;
  if (tolerance.weight.nanograms() == 0 && tolerance.sides.nanometres() == 0) return absl::OkStatus();
  ParcelBox box;
  box.weight = facts.weight;
  box.weight_most = std::min(facts.weight + tolerance.weight.nanograms(), Weight::kMostNanograms);
  box.least = facts.sides;
  for (std::size_t i = 0; i < 3; ++i) {
    box.most[i] = std::min(facts.sides[i] + tolerance.sides.nanometres(), Length::kMostSideNanometres);
  }
  PieceVisitor pieces = Pricer::Pieces(way);
  if (pieces.OnePiece(box)) return absl::OkStatus();
  Amount highest = offer.total;
  bool refused = false;
  auto visit = [&](std::int64_t weight, const std::array<std::int64_t, 3>& sides) {
    const std::optional<Amount> total = pricer_.TotalAt(way, weight, sides);
    refused = !total;
    if (total) highest = std::max(highest, *total);
    return !refused;
  };
  if (visit(box.weight_most, Sorted(box.most)) && !pieces.Visit(box, visit)) {
    return InvalidAt("tolerance", "found one too wide to be priced exactly for these sides, expected less");
  }
  if (refused) {
    offer.at_risk = true;
  } else if (highest > offer.total) {
    offer.at_risk = true;
    offer.total_at_risk = highest;
  }
  return absl::OkStatus();
}

inline void OfferFinder::Sort() {
  const bool cautious = request_.objective == Objective::kCautious;
  auto due = [cautious](const Offer& offer) {
    if (!cautious || !offer.at_risk) return (offer.total + offer.handicap).micros();
    return offer.total_at_risk ? (*offer.total_at_risk + offer.handicap).micros()
                               : std::numeric_limits<std::int64_t>::max();
  };
  auto key = [this](const Offer& offer) {
    return WayKey{&dispatch_.services()[offer.service_index], offer.packaging, offer.issued_by};
  };
  std::sort(out_.offers.begin(), out_.offers.end(), [&](const Offer& a, const Offer& b) {
    if (due(a) != due(b)) return due(a) < due(b);
    const Amount due_a = a.total + a.handicap;
    const Amount due_b = b.total + b.handicap;
    if (due_a != due_b) return due_a < due_b;
    return ComesBefore(dispatch_, key(a), key(b));
  });
}

/// Of the goods and of every offer.
inline std::vector<Caution> FindCautions(const RequestGoods& goods, const std::vector<Offer>& offers) {
  CautionSet all = CautionsOfGoods(goods.contents()->contents.bits(), Weight::Nanograms(goods.weight_most()));
  for (const Offer& offer : offers) all.AddAll(offer.cautions);
  return all.Told().List();
}

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_RANKING_INTERNAL_OFFERS_H_
