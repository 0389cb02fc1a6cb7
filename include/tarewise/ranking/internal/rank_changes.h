#ifndef TAREWISE_RANKING_INTERNAL_RANK_CHANGES_H_
#define TAREWISE_RANKING_INTERNAL_RANK_CHANGES_H_

// Where the winner changes over the range of a weight or a side. Bodies of `Ranker`, declared in rank.h.

#include "tarewise/ranking/internal/ranker.h"

namespace tarewise::internal {

inline void Ranker::FindChanges() {
  if (candidates_->empty() && partly_.empty()) return;
  if (goods_weight_most_ != goods_weight_) FindChangesOf(nullptr);
  // A side's range is told along that side alone, for one unit or a sealed parcel: a pile has no one side to name.
  if (!request_->parcel && units_.size() != 1) return;
  std::vector<std::size_t> order(ranging_.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::sort(order.begin(), order.end(),
            [this](std::size_t a, std::size_t b) { return ranging_[a].side < ranging_[b].side; });
  for (const std::size_t side : order) FindChangesOf(&side);
}

inline void Ranker::FindChangesOf(const std::size_t* side) {
  const std::int64_t least = side == nullptr ? goods_weight_ : ranging_[*side].least;
  const std::int64_t most = side == nullptr ? goods_weight_most_ : ranging_[*side].most;
  std::vector<Way> ways;
  auto add = [&](const Candidate& candidate, std::int64_t fits_until) {
    if (fits_until < least) return;
    for (const ServiceState& state : dispatch_.services()) {
      if (state.out || !DispatchState::PackagingAllowed(state.service(), dispatch_.CarrierOf(state), candidate.facts) ||
          DispatchState::ForbiddenByAir(state.service(), *candidate.facts.contents)) {
        continue;
      }
      ways.push_back({&candidate, &state, least - 1, std::nullopt, fits_until});
    }
  };
  for (const Candidate& candidate : *candidates_) add(candidate, most);
  if (side != nullptr) {
    for (const Candidate& candidate : partly_) add(candidate, FitsUntil(candidate, *side));
  }
  const Way* winner = nullptr;
  std::int64_t end = least - 1;
  for (std::int64_t at = least; at <= most;) {
    const std::int64_t before = end;
    end = most;
    const Way* best = nullptr;
    for (Way& way : ways) {
      if (at > way.until) Answer(way, side, at);
      end = std::min(end, way.until);
      if (!way.total) continue;
      if (best == nullptr || *way.total < *best->total ||
          (*way.total == *best->total && Before(*way.state, *way.candidate, *best->state, *best->candidate))) {
        best = &way;
      }
    }
    if (at > least && best != winner) {
      WinnerChange change;
      if (side == nullptr) {
        const bool of_parcel = ranking_.estimate_;
        change.above_weight = Weight::Nanograms(of_parcel ? Gross(candidates_->front(), before) : before);
      } else {
        change.of = static_cast<Aspect>(ranging_[*side].side + 1);
        change.above_length = Length::Nanometres(before);
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
    at = side == nullptr ? goods_weights_->AtOrAbove(end + 1) : end + 1;
  }
}

inline void Ranker::Answer(Way& way, const std::size_t* side, std::int64_t at) const {
  const Candidate& candidate = *way.candidate;
  const MeasureRules& rules = way.state->service().measure;
  const Cuts& cuts = way.state->cuts();
  if (side == nullptr) {
    const std::int64_t gross = Gross(candidate, at);
    way.total = TotalAt(*way.state, candidate, gross, Sorted(candidate.most));
    way.until = std::min(cuts.NextWeight(gross, rules.weight), Weight::kMostNanograms) - (gross - at);
    // Past a pound the allowance is added.
    if (ranking_.estimate_ && at <= kPound) way.until = std::min(way.until, kPound);
    return;
  }
  const GoodsSide& range = ranging_[*side];
  std::array<std::int64_t, 3> sides = candidate.most;
  way.until = range.most;
  if (at > way.fits_until) {
    way.total.reset();
    return;
  }
  if (candidate.follows_goods) {
    PieceVisitor::Values values = Ends(true);
    values[*side] = at;
    auto sides_of = [&](const PieceVisitor::Values& of) { return SidesOf(candidate, of); };
    sides = sides_of(values);
    way.until = VisitorOf(*way.state, candidate).LastAlike(values, *side, way.fits_until, sides_of);
  } else if (candidate.least[range.side] != candidate.most[range.side]) {
    std::int64_t& grows = sides[range.side];
    grows = candidate.least[range.side] + (at - range.least);
    const std::int64_t end = cuts.NextSide(grows, sides[(range.side + 1) % 3], sides[(range.side + 2) % 3], rules.sides,
                                           FactorOf(*way.state, candidate));
    if (end < candidate.most[range.side]) way.until = at + (end - grows);
  }
  way.total = TotalAt(*way.state, candidate, candidate.weight_most, Sorted(sides));
}

inline std::int64_t Ranker::FitsUntil(const Candidate& candidate, std::size_t side) const {
  const PilePacker pile;
  const Packer& packer = options_.packer != nullptr ? *options_.packer : pile;
  std::vector<PackUnit> units = units_most_;
  std::int64_t& size = units[0].sides[ranging_[side].side];
  std::int64_t fits = ranging_[side].least - 1;
  std::int64_t fails = ranging_[side].most + 1;
  while (fails - fits > 1) {
    size = fits + (fails - fits) / 2;
    (packer.Pack(units, *candidate.packaging, padding_).fit == Fit::kFits ? fits : fails) = size;
  }
  return fits;
}

}  // namespace tarewise::internal

#endif  // TAREWISE_RANKING_INTERNAL_RANK_CHANGES_H_
