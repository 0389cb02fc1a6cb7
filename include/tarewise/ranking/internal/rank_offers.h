#ifndef TAREWISE_RANKING_INTERNAL_RANK_OFFERS_H_
#define TAREWISE_RANKING_INTERNAL_RANK_OFFERS_H_

// Every candidate priced by every service: offers with their lines, refusals with their reasons. Bodies of `Ranker`,
// declared in rank.h.

#include "tarewise/ranking/internal/explain.h"
#include "tarewise/ranking/internal/ranker.h"

namespace tarewise::internal {

inline absl::Status Ranker::Price() {
  for (const CarrierState& carrier : dispatch_.carriers()) {
    shipments_.push_back(dispatch_.FactsFor(carrier, value_));
  }
  DispatchState::SideProfiles profiles;
  for (std::size_t c = 0; c < candidates_->size(); ++c) {
    const Candidate& candidate = (*candidates_)[c];
    const ParcelBox box = BoxOf(candidate);
    const bool point = box.IsPoint();
    if (point) dispatch_.MeasureSides(candidate.facts, profiles);
    for (std::size_t s = 0; s < dispatch_.services().size(); ++s) {
      const ServiceState& state = dispatch_.services()[s];
      absl::Status status =
          point ? PricePoint(c, s, candidate.facts, profiles[state.side_profile], std::nullopt) : PriceRange(c, s);
      if (!status.ok()) return status;
    }
  }
  return absl::OkStatus();
}

inline absl::Status Ranker::PriceRange(std::size_t c, std::size_t s) {
  const Candidate& candidate = (*candidates_)[c];
  const ServiceState& state = dispatch_.services()[s];
  ParcelFacts worst = candidate.facts;
  std::optional<TotalRange> range;
  std::optional<ParcelFacts> refused;
  auto widen = [](std::optional<TotalRange>& wide, Amount total) {
    if (!wide) wide = TotalRange{total, total};
    wide->lowest = std::min(wide->lowest, total);
    wide->highest = std::max(wide->highest, total);
  };
  auto visit = [&](std::int64_t weight, const std::array<std::int64_t, 3>& sides) {
    ParcelFacts facts = candidate.facts;
    facts.weight = weight;
    facts.sides = sides;
    const std::optional<Amount> total = TotalAt(state, candidate, facts, dispatch_.MeasureSides(facts, state));
    if (!total) {
      refused = facts;
      return false;
    }
    if (!range || *total > range->highest || (*total == range->highest && weight > worst.weight)) worst = facts;
    widen(range, *total);
    return true;
  };
  absl::Status too_wide =
      Bad("the ranges of several sides together are too wide to be priced exactly; narrow them or give one side");
  const WeightSet weights = WeightsOf(candidate, request_->allowance.most);
  // The greatest parcel first: if it is refused, its reasons are the ones to tell.
  if (visit(candidate.weight_most, Sorted(candidate.most)) && !VisitRange(candidate, state, weights, visit)) {
    return too_wide;
  }
  if (!refused && ranking_.estimate_) {
    // The same goods at the least allowance; where that is refused, the most alone is told.
    std::optional<TotalRange> with_least = range;
    auto visit_least = [&](std::int64_t weight, const std::array<std::int64_t, 3>& sides) {
      const std::optional<Amount> total = TotalAt(state, candidate, weight, sides);
      if (total) {
        widen(with_least, *total);
      } else {
        with_least.reset();
      }
      return total.has_value();
    };
    if (!VisitRange(candidate, state, WeightsOf(candidate, request_->allowance.least), visit_least)) return too_wide;
    if (with_least) range = with_least;
  }
  const ParcelFacts& facts = refused ? *refused : worst;
  return PricePoint(c, s, facts, dispatch_.MeasureSides(facts, state), refused ? std::nullopt : range);
}

inline absl::Status Ranker::PricePoint(std::size_t c, std::size_t s, const ParcelFacts& facts, const SideFacts& sides,
                                       std::optional<TotalRange> range) {
  const Candidate& candidate = (*candidates_)[c];
  const ServiceState& state = dispatch_.services()[s];
  const CarrierState& carrier = dispatch_.CarrierOf(state);
  const bool allowed = DispatchState::PackagingAllowed(state.service(), carrier, facts);
  const bool by_air = DispatchState::ForbiddenByAir(state.service(), *facts.contents);
  if (!state.out && allowed && !by_air && candidate.cost_known) {
    const Evaluation evaluation(*state.compiled, state.rules, facts, shipments_[state.carrier], state.zone, sides);
    if (!evaluation.Refused()) {
      std::vector<Charge> charges;
      charges.reserve(8);
      const std::optional<Amount> total = evaluation.Total(charges);
      const std::optional<Amount> converted = total ? Converted(state, *total, candidate) : std::nullopt;
      if (converted) {
        return AddOffer(c, s, facts, evaluation, *total, *converted, std::move(charges), range);
      }
    }
  }
  AddRefusal(c, state, facts, sides, allowed, by_air);
  return absl::OkStatus();
}

inline absl::Status Ranker::AddOffer(std::size_t c, std::size_t s, const ParcelFacts& facts,
                                     const Evaluation& evaluation, Amount service_total, Amount total,
                                     std::vector<Charge> charges, std::optional<TotalRange> range) {
  const Candidate& candidate = (*candidates_)[c];
  const ServiceState& state = dispatch_.services()[s];
  const CarrierState& carrier = dispatch_.CarrierOf(state);
  const Tariff& tariff = *carrier.edition->tariff;
  Offer& offer = ranking_.offers_.emplace_back();
  offer.carrier = tariff.carrier;
  offer.service = state.service().code;
  offer.title = state.service().title;
  offer.packaging = facts.packaging;
  offer.issued_by = facts.issued_by;
  offer.zone = tariff.zone_names[state.zone];
  offer.days = state.days;
  offer.tracked = state.service().tracked;
  offer.mode = state.service().mode;
  offer.weight = Weight::Nanograms(facts.weight);
  offer.sides = Dimensions(Length::Nanometres(facts.sides[0]), Length::Nanometres(facts.sides[1]),
                           Length::Nanometres(facts.sides[2]));
  offer.billable = evaluation.billable();
  offer.billable_from = evaluation.from();
  offer.charges = std::move(charges);
  offer.tariff_currency = tariff.currency;
  offer.service_total = service_total;
  offer.packaging_cost = dispatch_.Converted(carrier, candidate.issued_cost).value_or(Amount()) + candidate.own_cost;
  offer.total = total;
  offer.included_cover = Amount::Micros(state.included_cover);
  offer.cautions = CautionsOfOffer(facts.contents->bits(), Weight::Nanograms(candidate.weight_most), offer.mode);
  offer.range = range;
  if (ranking_.estimate_ && !offer.range) {
    // Nothing ranges: the two ends of the allowance; where the least is refused, the most alone.
    const std::int64_t least_weight =
        goods_weight_ + (goods_weight_ > kPound ? request_->allowance.least.nanograms() : 0);
    const Amount least = TotalAt(state, candidate, least_weight, candidate.facts.sides).value_or(total);
    offer.range = TotalRange{std::min(total, least), std::max(total, least)};
  }
  offer.service_index = static_cast<std::uint32_t>(s);
  offer.candidate_index = static_cast<std::uint32_t>(c);
  return FindRisk(offer, facts);
}

inline absl::Status Ranker::FindRisk(Offer& offer, const ParcelFacts& facts) const {
  const Tolerance& tolerance = request_->tolerance;
  if (tolerance.weight.nanograms() == 0 && tolerance.sides.nanometres() == 0) return absl::OkStatus();
  const ServiceState& state = dispatch_.services()[offer.service_index];
  const Candidate& candidate = (*candidates_)[offer.candidate_index];
  ParcelBox box;
  box.weight = facts.weight;
  box.weight_most = std::min(facts.weight + tolerance.weight.nanograms(), Weight::kMostNanograms);
  box.least = facts.sides;
  for (std::size_t i = 0; i < 3; ++i) {
    box.most[i] = std::min(facts.sides[i] + tolerance.sides.nanometres(), Length::kMostSideNanometres);
  }
  PieceVisitor visitor = VisitorOf(state, candidate);
  if (visitor.OnePiece(box)) return absl::OkStatus();
  Amount highest = offer.total;
  bool refused = false;
  auto visit = [&](std::int64_t weight, const std::array<std::int64_t, 3>& sides) {
    const std::optional<Amount> total = TotalAt(state, candidate, weight, sides);
    refused = !total;
    if (total) highest = std::max(highest, *total);
    return !refused;
  };
  if (visit(box.weight_most, Sorted(box.most)) && !visitor.Visit(box, visit)) {
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

inline void Ranker::FindCautions() {
  CautionSet all = CautionsOfGoods(kept_->contents.bits(), Weight::Nanograms(goods_weight_most_));
  for (const Offer& offer : ranking_.offers_) all.AddAll(offer.cautions);
  ranking_.cautions_ = all.Told().List();
}

inline void Ranker::AddRefusal(std::size_t c, const ServiceState& state, const ParcelFacts& facts,
                               const SideFacts& sides, bool allowed, bool by_air) {
  const Candidate& candidate = (*candidates_)[c];
  const CarrierState& carrier = dispatch_.CarrierOf(state);
  const Tariff& tariff = *carrier.edition->tariff;
  Refusal& refusal = ranking_.refusals_.emplace_back();
  refusal.carrier = tariff.carrier;
  refusal.service = state.service().code;
  refusal.packaging = facts.packaging;
  auto add = [&refusal](Reason reason, std::string text, const RefuseRule* rule = nullptr) {
    refusal.reasons.push_back({reason, rule, std::move(text)});
  };
  const Shipment& terms = dispatch_.shipment();
  if (!carrier.in_force) {
    add(Reason::kNotInForce, "no tariff of " + tariff.carrier + " is in force on " + terms.date.ToString());
    return;
  }
  if (!carrier.currency_ok()) {
    add(Reason::kCurrencyDiffers, "the tariff is in " + std::string(tariff.currency.code()) + ", the ranking in " +
                                      std::string(dispatch_.currency().code()) + ", and no rate of exchange is given");
  } else if (!candidate.cost_known) {
    add(Reason::kCurrencyDiffers, "the packaging's cost is in " + std::string(candidate.cost_currency.code()) +
                                      ", the ranking in " + std::string(dispatch_.currency().code()) +
                                      ", and no rate of exchange is given");
  }
  if (state.zone == kNoZone) {
    add(Reason::kNoZone, "no zone from " + PlaceText(terms.lane.from) + " to " + PlaceText(terms.lane.to));
  }
  if (!allowed) add(Reason::kPackagingNotAllowed, PackagingWhy(facts));
  if (!state.promise_met && state.zone != kNoZone) add(Reason::kPromiseNotMet, PromiseWhy(state));
  if (by_air) add(Reason::kContentsNotAccepted, "goes by air, which these contents never may");
  const Evaluation evaluation(*state.compiled, state.rules, facts, shipments_[state.carrier], state.zone, sides);
  // Value and cover cannot be told in a currency without a rate, unless there are none.
  const bool too_much = shipments_[state.carrier].too_much;
  const bool money_known =
      !too_much && (carrier.currency_ok() || (value_.micros() == 0 && terms.cover.value_or(Amount()).micros() == 0));
  bool refused = by_air;
  for (const Reason code : {Reason::kContentsNotAccepted, Reason::kOverLimit}) {
    for (const LaneRules::Rule& at : state.rules.refuse) {
      const RefuseRule& rule = state.service().refuse[at.index];
      if (rule.code != code || (state.zone == kNoZone && MentionsZone(rule.when)) ||
          (!money_known && MentionsMoney(rule.when)) || !evaluation.Holds(rule.when)) {
        continue;
      }
      const std::string measured = DescribeTest(rule.when, evaluation, tariff, true);
      add(code, measured.empty() ? rule.reason : rule.reason + ": " + measured, &rule);
      refused = true;
    }
  }
  if (too_much && state.zone != kNoZone && !refused) {
    add(Reason::kNoPrice, "the declared value or the cover is more than 1000 million in " +
                              std::string(tariff.currency.code()) + ", which no price covers");
  }
  if (state.zone == kNoZone || !money_known) return;
  std::string_view too_dear;
  if (!refused && evaluation.NoPrice()) {
    add(Reason::kNoPrice, "no price covers " +
                              DescribeBillable(evaluation.billable(), evaluation.from(), WeightUnit(state.service())) +
                              " in zone " + tariff.zone_names[state.zone]);
  } else if (!refused && evaluation.TooDear(&too_dear)) {
    add(Reason::kNoPrice,
        (too_dear.empty() ? "the charges come" : "the charge \"" + std::string(too_dear) + "\" comes") +
            " to more than 1000 million");
  }
  std::string_view missing;
  if (evaluation.ExtraMissing(&missing)) {
    add(Reason::kExtraNotOffered, "\"" + std::string(missing) + "\" is not offered for this parcel");
  }
  // With nothing said it is the packaging, or the exchange, that takes the total past the bound.
  if (refusal.reasons.empty()) {
    add(Reason::kNoPrice, "the total comes to more than 1000 million in " + std::string(dispatch_.currency().code()));
  }
}

inline std::string Ranker::PromiseWhy(const ServiceState& state) const {
  const std::string days = state.days ? "takes up to " + std::to_string(state.days->most) + " business days"
                                      : std::string("publishes no days for this zone");
  if (const auto* within = std::get_if<WithinDays>(&dispatch_.shipment().promise)) {
    return days + ", the promise is " + std::to_string(within->days);
  }
  const auto& paid = std::get<PaidFor>(dispatch_.shipment().promise);
  return days + (state.service().tracked ? "" : ", untracked") + "; the buyer paid for " + paid.service;
}

inline void Ranker::Sort() {
  const bool cautious = request_->objective == Objective::kCautious;
  auto due = [cautious](const Offer& offer) {
    if (!cautious || !offer.at_risk) return offer.total.micros();
    return offer.total_at_risk ? offer.total_at_risk->micros() : std::numeric_limits<std::int64_t>::max();
  };
  std::sort(ranking_.offers_.begin(), ranking_.offers_.end(), [&](const Offer& a, const Offer& b) {
    if (due(a) != due(b)) return due(a) < due(b);
    if (a.total != b.total) return a.total < b.total;
    return Before(dispatch_.services()[a.service_index], (*candidates_)[a.candidate_index],
                  dispatch_.services()[b.service_index], (*candidates_)[b.candidate_index]);
  });
}

}  // namespace tarewise::internal

#endif  // TAREWISE_RANKING_INTERNAL_RANK_OFFERS_H_
