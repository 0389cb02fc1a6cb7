#ifndef TAREWISE_RANKING_INTERNAL_CHANGES_H_
#define TAREWISE_RANKING_INTERNAL_CHANGES_H_

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <numeric>
#include <optional>
#include <utility>
#include <vector>

#include "tarewise/ranking/internal/candidates.h"
#include "tarewise/ranking/internal/goods_fit.h"
#include "tarewise/ranking/internal/goods_range.h"
#include "tarewise/ranking/internal/order.h"
#include "tarewise/ranking/internal/pricer.h"
#include "tarewise/ranking/ranking.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// Finds where the winner changes over the range of a weight or a side; see `FindChanges`.
class ChangeFinder {
 public:
  ChangeFinder(const RequestGoods& goods, const GoodsFit& fit, const Candidates& candidates, const Pricer& pricer)
      : goods_(goods), range_(goods), fit_(fit), candidates_(candidates), pricer_(pricer) {}

  std::vector<WinnerChange> Find() &&;

 private:
  using RangingSide = RequestGoods::RangingSide;

  // The answer of a way somewhere along the range, which holds up to `until` of the goods' weight or side.
  struct Stretch {
    WayToSend way;
    std::int64_t fits_until;  // of the goods' side: the packaging does not hold them beyond
    std::int64_t until;
    std::optional<Amount> total = {};
    Amount handicap = {};
  };

  // Along the weight of the goods (`side` is nothing) or one of their sides.
  void Walk(const std::size_t* side);
  std::vector<Stretch> StretchesOf(const std::size_t* side) const;
  void AnswerAtWeight(Stretch& stretch, std::int64_t at) const;
  void AnswerAtSide(Stretch& stretch, std::size_t side, std::int64_t at) const;
  bool Before(const Stretch& a, const Stretch& b) const;
  // A carton cut down is the same way as the whole.
  static bool IsSameWay(const Stretch* a, const Stretch* b) {
    if (a == nullptr || b == nullptr) return a == b;
    return &a->way.service == &b->way.service && a->way.candidate.packaging == b->way.candidate.packaging;
  }
  // `best` may be nothing: nothing can be offered from there on.
  WinnerChange Change(const std::size_t* side, std::int64_t above, const Stretch* best) const;

  const RequestGoods& goods_;
  const GoodsRange range_;
  const GoodsFit& fit_;
  const Candidates& candidates_;
  const Pricer& pricer_;
  std::vector<WinnerChange> changes_;
};

/// By weight first, then side after side.
inline std::vector<WinnerChange> FindChanges(const RequestGoods& goods, const GoodsFit& fit,
                                             const Candidates& candidates, const Pricer& pricer) {
  return ChangeFinder(goods, fit, candidates, pricer).Find();
}

inline std::vector<WinnerChange> ChangeFinder::Find() && {
  if (candidates_.all.empty() && candidates_.partly.empty()) return {};
  if (goods_.weight_most() != goods_.weight()) Walk(nullptr);
  // A side's range is told along that side alone, for one unit or a sealed parcel: a pile has no one side to name.
  if (!goods_.sealed() && goods_.units().size() != 1) return std::move(changes_);
  const std::vector<RangingSide>& ranging = goods_.ranging();
  std::vector<std::size_t> order(ranging.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::sort(order.begin(), order.end(),
            [&ranging](std::size_t a, std::size_t b) { return ranging[a].side < ranging[b].side; });
  for (const std::size_t side : order) Walk(&side);
  return std::move(changes_);
}

inline void ChangeFinder::Walk(const std::size_t* side) {
  const std::int64_t least = side == nullptr ? goods_.weight() : goods_.ranging()[*side].least;
  const std::int64_t most = side == nullptr ? goods_.weight_most() : goods_.ranging()[*side].most;
  std::vector<Stretch> stretches = StretchesOf(side);
  const Stretch* winner = nullptr;
  std::int64_t end = least - 1;
  for (std::int64_t at = least; at <= most;) {
    const std::int64_t before = end;
    end = most;
    const Stretch* best = nullptr;
    for (Stretch& stretch : stretches) {
      if (at > stretch.until) {
        if (side == nullptr) {
          AnswerAtWeight(stretch, at);
        } else {
          AnswerAtSide(stretch, *side, at);
        }
      }
      end = std::min(end, stretch.until);
      if (stretch.total && (best == nullptr || Before(stretch, *best))) best = &stretch;
    }
    if (at > least && !IsSameWay(best, winner)) changes_.push_back(Change(side, before, best));
    winner = best;
    at = side == nullptr ? goods_.weights().AtOrAbove(end + 1) : end + 1;
  }
}

// Of every way that might be offered somewhere along the range, with no answer yet.
inline std::vector<ChangeFinder::Stretch> ChangeFinder::StretchesOf(const std::size_t* side) const {
  const std::int64_t least = side == nullptr ? goods_.weight() : goods_.ranging()[*side].least;
  const std::int64_t most = side == nullptr ? goods_.weight_most() : goods_.ranging()[*side].most;
  std::vector<Stretch> stretches;
  auto add = [&](const WorkingCandidate& candidate, std::int64_t fits_until) {
    if (fits_until < least) return;
    for (const ServiceState& service : pricer_.dispatch().services()) {
      const WayToSend way{service, candidate};
      if (!pricer_.MayTake(way)) continue;
      stretches.push_back({way, fits_until, least - 1});
      stretches.back().handicap = pricer_.HandicapOf(way);
    }
  };
  for (const WorkingCandidate& candidate : candidates_.all) add(candidate, most);
  if (side != nullptr) {
    for (const WorkingCandidate& candidate : candidates_.partly) {
      add(candidate, fit_.FitsUntil(*candidate.packaging, goods_.ranging()[*side]));
    }
  }
  return stretches;
}

inline bool ChangeFinder::Before(const Stretch& a, const Stretch& b) const {
  const Amount due_a = *a.total + a.handicap;
  const Amount due_b = *b.total + b.handicap;
  if (due_a != due_b) return due_a < due_b;
  auto key = [](const WayToSend& way) {
    return WayKey{&way.service, way.candidate.facts.packaging, way.candidate.facts.issued_by};
  };
  return ComesBefore(pricer_.dispatch(), key(a.way), key(b.way));
}

inline WinnerChange ChangeFinder::Change(const std::size_t* side, std::int64_t above, const Stretch* best) const {
  WinnerChange change;
  if (side == nullptr) {
    // Of an estimate it is the parcel's weight that is told.
    const bool of_parcel = candidates_.estimate();
    change.above_weight = Weight::Nanograms(of_parcel ? range_.Gross(candidates_.all.front(), above) : above);
  } else {
    change.of = static_cast<Aspect>(goods_.ranging()[*side].side + 1);
    change.above_length = Length::Nanometres(above);
  }
  if (best != nullptr) {
    change.carrier = pricer_.CarrierOf(best->way).edition->tariff->carrier;
    change.service = best->way.service.service().code;
    change.packaging = best->way.candidate.facts.packaging;
    change.total = *best->total;
  }
  return change;
}

inline void ChangeFinder::AnswerAtWeight(Stretch& stretch, std::int64_t at) const {
  const WayToSend& way = stretch.way;
  const std::int64_t gross = range_.Gross(way.candidate, at);
  stretch.total = pricer_.TotalAt(way, gross, Sorted(way.candidate.most));
  const std::int64_t next = way.service.cuts().NextWeight(gross, way.service.service().measure.weight);
  stretch.until = std::min(next, Weight::kMostNanograms) - (gross - at);
  // Past a pound the allowance is added.
  if (way.candidate.estimated && at <= kPound) stretch.until = std::min(stretch.until, kPound);
}

inline void ChangeFinder::AnswerAtSide(Stretch& stretch, std::size_t side, std::int64_t at) const {
  const WayToSend& way = stretch.way;
  const WorkingCandidate& candidate = way.candidate;
  const RangingSide& ranging = goods_.ranging()[side];
  std::array<std::int64_t, 3> sides = candidate.most;
  stretch.until = ranging.most;
  if (at > stretch.fits_until) {
    stretch.total.reset();
    return;
  }
  if (candidate.follows_goods) {
    PieceVisitor::Values values = range_.Most();
    values[side] = at;
    auto sides_of = [&](const PieceVisitor::Values& of) { return range_.SidesOf(candidate, of); };
    sides = sides_of(values);
    stretch.until = Pricer::Pieces(way).LastAlike(values, side, stretch.fits_until, sides_of);
  } else if (candidate.least[ranging.side] != candidate.most[ranging.side]) {
    std::int64_t& grows = sides[ranging.side];
    grows = candidate.least[ranging.side] + (at - ranging.least);
    const std::int64_t end =
        way.service.cuts().NextSide(grows, sides[(ranging.side + 1) % 3], sides[(ranging.side + 2) % 3],
                                    way.service.service().measure.sides, Pricer::VolumeFactor(way));
    if (end < candidate.most[ranging.side]) stretch.until = at + (end - grows);
  }
  stretch.total = pricer_.TotalAt(way, candidate.weight_most, Sorted(sides));
}

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_RANKING_INTERNAL_CHANGES_H_
