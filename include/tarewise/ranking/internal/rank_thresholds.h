#ifndef TAREWISE_RANKING_INTERNAL_RANK_THRESHOLDS_H_
#define TAREWISE_RANKING_INTERNAL_RANK_THRESHOLDS_H_

// Headroom and savers, searched over the cuts of a ratebook. Bodies of `Ranker`, declared in rank.h.

#include "tarewise/ranking/internal/ranker.h"
#include "tarewise/rules/price.h"

namespace tarewise::internal {

inline void Ranker::FindHeadroom() {
  for (Offer& offer : ranking_.offers_) {
    const ServiceState& state = dispatch_.services()[offer.service_index];
    const Candidate& candidate = (*candidates_)[offer.candidate_index];
    const MeasureRules& rules = state.service().measure;
    const Cuts& cuts = state.cuts();
    const std::array<std::int64_t, 3> sides = {offer.sides.sides()[0].nanometres(), offer.sides.sides()[1].nanometres(),
                                               offer.sides.sides()[2].nanometres()};
    const std::int64_t weight = offer.weight.nanograms();
    const Cuts::Billable billable = BillableOf(offer.billable, offer.billable_from);
    const bool strides = Strides(state);
    offer.headroom.weight = Grow<Weight>(
        weight, Weight::kMostNanograms, offer.total, billable, strides,
        [&](std::int64_t w, const Cuts::Billable& now, bool series) {
          return cuts.NextWeight(w, rules.weight, now, series);
        },
        [&](std::int64_t w) { return PointAt(state, candidate, w, sides); });
    const std::int64_t factor = FactorOf(state, candidate);
    for (std::size_t i = 0; i < 3; ++i) {
      const std::int64_t a = sides[(i + 1) % 3];
      const std::int64_t b = sides[(i + 2) % 3];
      offer.headroom.sides[i] = Grow<Length>(
          sides[i], Length::kMostSideNanometres, offer.total, billable, strides,
          [&](std::int64_t x, const Cuts::Billable& now, bool series) {
            return cuts.NextSide(x, a, b, rules.sides, factor, now, series);
          },
          [&](std::int64_t x) {
            return PointAt(state, candidate, weight, Sorted({x, a, b}));
          });
    }
  }
}

template <typename Q, typename Next, typename PointOf>
std::optional<Q> Ranker::Grow(std::int64_t from, std::int64_t most, Amount total, Cuts::Billable billable, bool strides,
                              Next next, PointOf at_point) {
  std::int64_t at = from;
  while (true) {
    const std::int64_t end = next(at, billable, true);
    if (end >= most) return std::nullopt;
    Point point = at_point(end + 1);
    if (point.total != total) return Make<Q>(end - from);
    billable = point.billable;
    at = end + 1;
    if (!strides) continue;
    const std::int64_t stretch = std::min(next(at, billable, false), most);
    if (stretch <= at || next(at, billable, true) >= stretch) continue;
    point = at_point(stretch);
    if (point.total == total) {
      if (stretch >= most) return std::nullopt;
      billable = point.billable;
      at = stretch;
      continue;
    }
    std::int64_t same = at;
    std::int64_t differs = stretch;
    while (differs - same > 1) {
      const std::int64_t middle = same + (differs - same) / 2;
      (at_point(middle).total == total ? same : differs) = middle;
    }
    return Make<Q>(same - from);
  }
}

inline void Ranker::FindSavers() {
  for (std::size_t c = 0; c < candidates_->size(); ++c) {
    const Candidate& candidate = (*candidates_)[c];
    // Services by total now; those refused now come last, as less weight may open them.
    std::vector<std::uint32_t> order;
    std::optional<At> at;
    std::optional<Amount> best;
    for (const Offer& offer : ranking_.offers_) {
      if (offer.candidate_index != c) continue;
      order.push_back(offer.service_index);
      if (!best || offer.total < *best) {
        best = offer.total;
        at = At{offer.weight.nanograms(),
                {offer.sides.sides()[0].nanometres(), offer.sides.sides()[1].nanometres(),
                 offer.sides.sides()[2].nanometres()}};
      }
    }
    if (!best) continue;
    for (std::uint32_t s = 0; s < dispatch_.services().size(); ++s) {
      if (std::find(order.begin(), order.end(), s) != order.end()) continue;
      const ServiceState& state = dispatch_.services()[s];
      if (!state.out && DispatchState::PackagingAllowed(state.service(), dispatch_.CarrierOf(state), candidate.facts) &&
          !DispatchState::ForbiddenByAir(state.service(), *candidate.facts.contents)) {
        order.push_back(s);
      }
    }
    // Of a range: one that is dearer elsewhere in it may be the best here.
    if (!BoxOf(candidate).IsPoint()) {
      for (const std::uint32_t s : order) {
        const std::optional<Amount> here = TotalAt(dispatch_.services()[s], candidate, at->weight, at->sides);
        if (here) best = std::min(*best, *here);
      }
    }
    // Services that can be cheaper at less weight, and at this weight with shorter sides.
    auto could = [&](std::int64_t weight) {
      std::vector<std::uint32_t> some;
      for (const std::uint32_t s : order) {
        if (Floor(dispatch_.services()[s], candidate, weight) < *best) some.push_back(s);
      }
      return some;
    };
    std::vector<Saver> savers;
    const std::vector<std::uint32_t> lighter = could(0);
    const std::vector<std::uint32_t> smaller =
        candidate.sides_adjustable ? could(at->weight) : std::vector<std::uint32_t>();
    if (std::optional<Saver> saver = SaveWeight(candidate, lighter, *at, *best)) savers.push_back(*saver);
    if (candidate.sides_adjustable) {
      for (std::size_t i = 0; i < 3; ++i) {
        if (std::optional<Saver> saver = SaveSide(candidate, smaller, *at, *best, i)) savers.push_back(*saver);
      }
    }
    for (Offer& offer : ranking_.offers_) {
      if (offer.candidate_index != c) continue;
      offer.savers = savers;
      for (Saver& saver : offer.savers) saver.saves = offer.total - saver.total;
    }
  }
}

inline std::optional<Saver> Ranker::SaveWeight(const Candidate& candidate, const std::vector<std::uint32_t>& order,
                                               const At& at, Amount best) const {
  // Some goods must be left; of an estimate's range the dearest parcel may have the allowance where the least has none.
  const bool allowed_for = ranking_.estimate_ && at.weight > kPound;
  const std::int64_t floor = allowed_for ? request_->allowance.most.nanograms() : candidate.weight_floor;
  auto total = [&](const ServiceState& state, std::int64_t weight) {
    return PointAt(state, candidate, weight, at.sides);
  };
  auto previous = [&](const ServiceState& state, std::int64_t weight, const Cuts::Billable& now, bool series) {
    return state.cuts().PreviousWeight(weight, state.service().measure.weight, now, series);
  };
  return Save<Aspect::kWeight>(order, at.weight, floor, request_->steps.weight, best, total, previous);
}

inline std::optional<Saver> Ranker::SaveSide(const Candidate& candidate, const std::vector<std::uint32_t>& order,
                                             const At& at, Amount best, std::size_t i) const {
  const ScaleStep<Length>& step = request_->steps.sides;
  const std::int64_t a = at.sides[(i + 1) % 3];
  const std::int64_t b = at.sides[(i + 2) % 3];
  auto total = [&](const ServiceState& state, std::int64_t side) {
    return PointAt(state, candidate, at.weight, Sorted({side, a, b}));
  };
  auto previous = [&](const ServiceState& state, std::int64_t side, const Cuts::Billable& now, bool series) {
    return state.cuts().PreviousSide(side, a, b, state.service().measure.sides, FactorOf(state, candidate), now,
                                     series);
  };
  std::int64_t floor = 0;
  if (!request_->parcel && candidate.packaging != nullptr) floor = at.sides[i] - SpareRoom(candidate, i) - 1;
  std::optional<Saver> saver;
  switch (i) {
    case 0:
      saver = Save<Aspect::kLength>(order, at.sides[i], floor, step, best, total, previous);
      break;
    case 1:
      saver = Save<Aspect::kWidth>(order, at.sides[i], floor, step, best, total, previous);
      break;
    default:
      saver = Save<Aspect::kHeight>(order, at.sides[i], floor, step, best, total, previous);
      break;
  }
  return saver;
}

inline std::int64_t Ranker::SpareRoom(const Candidate& candidate, std::size_t i) const {
  std::array<std::size_t, 3> by_size = {0, 1, 2};
  std::stable_sort(by_size.begin(), by_size.end(),
                   [&](std::size_t x, std::size_t y) { return candidate.most[x] > candidate.most[y]; });
  const std::size_t axis = by_size[i];
  const PilePacker pile;
  const Packer& packer = options_.packer != nullptr ? *options_.packer : pile;
  Packaging cut = *candidate.packaging;
  const std::int64_t inside = cut.inside[axis].nanometres();
  std::int64_t fits = 0;
  std::int64_t fails = inside;
  while (fails - fits > 1) {
    const std::int64_t middle = fits + (fails - fits) / 2;
    cut.inside[axis] = Length::Nanometres(inside - middle);
    (packer.Pack(units_most_, cut, padding_).fit == Fit::kFits ? fits : fails) = middle;
  }
  return fits;
}

inline Amount Ranker::Floor(const ServiceState& state, const Candidate& candidate, std::int64_t weight) const {
  const CompiledService& compiled = *state.compiled;
  const std::int64_t billable = RoundToStep(weight, state.service().measure.weight);
  std::int64_t base = kMostMicros;
  for (const LaneRules::Rule& at : state.rules.prices) {
    const std::int64_t least = LeastOf(state.service().prices[at.index].price, state.zone, billable);
    if (least != kNotOffered) base = std::min(base, least);
  }
  std::int64_t deepest = 0;
  for (const Discount* discount : compiled.base_discounts) {
    deepest = std::max(deepest, discount->percent.ten_thousandths());
  }
  const MoneyRounding& rounding = compiled.tariff->rounding;
  const Amount off = Percent::TenThousandths(deepest).Of(Amount::Micros(base), 1, RoundMode::kUp);
  // Surcharges that stand whatever the parcel (settled by the lane, in no group, struck by nothing, without
  // discount).
  std::int64_t certain = 0;
  for (const LaneRules::Rule& at : state.rules.surcharges) {
    const CompiledService::Rule& rule = compiled.surcharges[at.index];
    if (!at.settled || rule.group >= 0 || rule.struck || !rule.discounts.empty()) continue;
    const std::int64_t amount = CertainOf(rule.rule->price, state.zone);
    if (amount > rounding.line) certain += amount - rounding.line;
  }
  // Roundings of line, discount and total can each take less than a step.
  const std::int64_t lowest =
      std::max<std::int64_t>(0, base - off.micros() - 2 * rounding.line - rounding.total + certain);
  return Converted(state, Amount::Micros(lowest), candidate).value_or(Amount::Micros(kMostMicros));
}

template <Aspect kOf, typename Q, typename Total, typename Previous>
std::optional<Saver> Ranker::Save(const std::vector<std::uint32_t>& order, std::int64_t from, std::int64_t floor,
                                  const ScaleStep<Q>& step, Amount best, Total total, Previous previous) const {
  auto taken = [&step](std::int64_t steps) {
    if constexpr (kOf == Aspect::kWeight) {
      return step.Times(steps).nanograms();
    } else {
      return step.Times(steps).nanometres();
    }
  };
  // The most steps that stay above the floor.
  const std::int64_t most_steps = step.Reaching(from - floor) - 1;
  std::int64_t fewest = most_steps + 1;
  for (const std::uint32_t s : order) {
    const ServiceState& state = dispatch_.services()[s];
    std::int64_t at = from;
    Cuts::Billable billable = total(state, at).billable;
    for (int visits = 0; visits < kMostVisits; ++visits) {
      // Over a stretch between cuts that are no series totals only fall on the way down: its far end tells whether
      // something in it will do, and halving finds the first.
      if (visits >= kFewVisits && Strides(state)) {
        const std::int64_t stretch = std::max(previous(state, at, billable, false), floor);
        const std::int64_t last = std::min(step.Reaching(from - stretch), fewest) - 1;
        std::int64_t before = step.Reaching(from - at);
        if (last > before) {
          const Point there = total(state, from - taken(last));
          if (there.total && *there.total < best) {
            std::int64_t enough = last;
            while (enough - before > 1) {
              const std::int64_t middle = before + (enough - before) / 2;
              const std::optional<Amount> here = total(state, from - taken(middle)).total;
              (here && *here < best ? enough : before) = middle;
            }
            fewest = std::min(fewest, enough);
            break;
          }
          at = from - taken(last);
          billable = there.billable;
        }
      }
      const std::int64_t cut = previous(state, at, billable, true);
      if (cut < 0) break;
      const std::int64_t steps = step.Reaching(from - cut);
      if (steps >= fewest) break;
      at = from - taken(steps);
      const Point here = total(state, at);
      billable = here.billable;
      if (here.total && *here.total < best) {
        fewest = steps;
        break;
      }
    }
  }
  if (fewest > most_steps) return std::nullopt;
  Saver saver;
  saver.of = kOf;
  if constexpr (kOf == Aspect::kWeight) {
    saver.weight = step.Times(fewest);
  } else {
    saver.length = step.Times(fewest);
  }
  std::optional<Amount> lowest;
  for (const std::uint32_t s : order) {
    const std::optional<Amount> here = total(dispatch_.services()[s], from - taken(fewest)).total;
    if (here && (!lowest || *here < *lowest)) lowest = here;
  }
  saver.total = *lowest;
  return saver;
}

}  // namespace tarewise::internal

#endif  // TAREWISE_RANKING_INTERNAL_RANK_THRESHOLDS_H_
