#ifndef TAREWISE_RANKING_RANK_CHANGES_H_
#define TAREWISE_RANKING_RANK_CHANGES_H_

// Where the winner changes over the range of a weight or a side. Bodies of `Ranker`, declared in rank.h.

#include "tarewise/ranking/rank.h"

namespace tarewise {

inline void Ranker::FindChanges() {
  const bool weight_ranges = std::any_of(candidates_->begin(), candidates_->end(), [](const Candidate& candidate) {
    return candidate.weight_most != candidate.facts.weight;
  });
  if (weight_ranges) FindChangesOf(Aspect::kWeight, 0);
  if (!ranging_sides_) return;
  // A side's range is told along that side alone, for one unit or a sealed parcel: a pile has no one side to name.
  if (!request_->parcel && units_.size() != 1) return;
  for (std::size_t i = 0; i < 3; ++i) {
    const bool ranges = request_->parcel ? (*candidates_)[0].least[i] != (*candidates_)[0].most[i]
                                         : units_[0].sides[i] != units_most_[0].sides[i];
    if (ranges) FindChangesOf(Aspect::kLength, i);
  }
}

inline void Ranker::FindChangesOf(Aspect of, std::size_t axis) {
  std::vector<Way> ways;
  for (const Candidate& candidate : *candidates_) {
    for (const Dispatch::ServiceState& state : dispatch_.services()) {
      if (state.out || !Dispatch::PackagingAllowed(state.service(), dispatch_.CarrierOf(state), candidate.facts) ||
          Dispatch::ForbiddenByAir(state.service(), *candidate.facts.contents)) {
        continue;
      }
      ways.push_back({&candidate, &state, -1, std::nullopt});
    }
  }
  const bool by_weight = of == Aspect::kWeight;
  std::int64_t span = 0;
  if (by_weight) {
    for (const Candidate& candidate : *candidates_) {
      span = std::max(span, candidate.weight_most - candidate.facts.weight);
    }
  } else if (request_->parcel) {
    span = (*candidates_)[0].most[axis] - (*candidates_)[0].least[axis];
  } else {
    span = units_most_[0].sides[axis] - units_[0].sides[axis];
  }
  const Way* winner = nullptr;
  for (std::int64_t t = 0; t <= span;) {
    std::int64_t end = span;
    const Way* best = nullptr;
    for (Way& way : ways) {
      if (t > way.until) Answer(way, by_weight, axis, span, t);
      end = std::min(end, way.until);
      if (!way.total) continue;
      if (best == nullptr || *way.total < *best->total ||
          (*way.total == *best->total && Before(*way.state, *way.candidate, *best->state, *best->candidate))) {
        best = &way;
      }
    }
    if (t > 0 && best != winner) {
      WinnerChange change;
      change.of = by_weight ? Aspect::kWeight : static_cast<Aspect>(axis + 1);
      const std::int64_t base = by_weight ? (ranking_.estimate_ ? (*candidates_)[0].facts.weight : goods_weight_)
                                          : (request_->parcel ? (*candidates_)[0].least[axis] : units_[0].sides[axis]);
      if (by_weight) {
        change.above_weight = Weight::Nanograms(base + t - 1);
      } else {
        change.above_length = Length::Nanometres(base + t - 1);
      }
      if (best != nullptr) {
        change.carrier = dispatch_.CarrierOf(*best->state).edition->tariff->carrier;
        change.service = best->state->service().code;
        change.packaging = best->candidate->facts.packaging;
        change.total = *best->total;
      }
      ranking_.changes_.push_back(change);
    }
    winner = best;
    t = end + 1;
  }
}

inline void Ranker::Answer(Way& way, bool by_weight, std::size_t axis, std::int64_t span, std::int64_t t) const {
  const Candidate& candidate = *way.candidate;
  const Service& service = way.state->service();
  const Cuts& cuts = way.state->compiled->cuts;
  way.until = span;
  if (by_weight) {
    const std::int64_t weight = std::min(candidate.facts.weight + t, candidate.weight_most);
    way.total = TotalAt(*way.state, candidate, weight, Sorted(candidate.most));
    const std::int64_t end = cuts.NextWeight(weight, service.measure.weight);
    if (end < candidate.weight_most) way.until = end - candidate.facts.weight;
    return;
  }
  std::array<std::int64_t, 3> sides = candidate.most;
  // The parcel's side that grows with the goods' one; none in a carton, or where another turning takes over.
  std::size_t grows = 3;
  for (std::size_t i = 0; i < 3; ++i) {
    if (candidate.most[i] - candidate.least[i] == span && (grows == 3 || i == axis)) grows = i;
  }
  if (grows < 3) {
    sides[grows] = candidate.least[grows] + t;
    const std::int64_t end = cuts.NextSide(sides[grows], sides[(grows + 1) % 3], sides[(grows + 2) % 3],
                                           service.measure.sides, FactorOf(*way.state, candidate));
    if (end < candidate.most[grows]) way.until = end - candidate.least[grows];
  }
  way.total = TotalAt(*way.state, candidate, candidate.weight_most, Sorted(sides));
}

}  // namespace tarewise

#endif  // TAREWISE_RANKING_RANK_CHANGES_H_
