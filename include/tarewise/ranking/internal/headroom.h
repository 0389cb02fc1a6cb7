#ifndef TAREWISE_RANKING_INTERNAL_HEADROOM_H_
#define TAREWISE_RANKING_INTERNAL_HEADROOM_H_

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>

#include "tarewise/ranking/internal/pricer.h"
#include "tarewise/ranking/ranking.h"
#include "tarewise/units/internal/halving.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

inline std::array<std::int64_t, 3> SidesOf(const Offer& offer) {
  return {offer.sides.sides()[0].nanometres(), offer.sides.sides()[1].nanometres(),
          offer.sides.sides()[2].nanometres()};
}

/// How far a weight or a side (in ng or nm) can grow from `from` at the same total; nothing: up to `most` and so
/// without limit. `next(at, billable, series)` is the next cut, `point_at` the price there. With `strides` (see
/// `Pricer::Strides`) a whole stretch between cuts that are no series keeps the total if its end does, and else the
/// first change is found by halving; without, step by step.
template <typename Next, typename PointAt>
std::optional<std::int64_t> Grow(std::int64_t from, std::int64_t most, Amount total, Cuts::Billable billable,
                                 bool strides, Next next, PointAt point_at) {
  std::int64_t at = from;
  while (true) {
    const std::int64_t end = next(at, billable, true);
    if (end >= most) return std::nullopt;
    Pricer::Point point = point_at(end + 1);
    if (point.total != total) return end - from;
    billable = point.billable;
    at = end + 1;
    if (!strides) continue;
    const std::int64_t stretch = std::min(next(at, billable, false), most);
    if (stretch <= at || next(at, billable, true) >= stretch) continue;
    point = point_at(stretch);
    if (point.total == total) {
      if (stretch >= most) return std::nullopt;
      billable = point.billable;
      at = stretch;
      continue;
    }
    return GreatestThat(at, stretch, [&](std::int64_t value) { return point_at(value).total == total; }) - from;
  }
}

/// Of an offer that was made for this way.
inline Headroom HeadroomOf(const Pricer& pricer, const WayToSend& way, const Offer& offer) {
  const MeasureRules& rules = way.service.service().measure;
  const Cuts& cuts = way.service.cuts();
  const std::array<std::int64_t, 3> sides = SidesOf(offer);
  const std::int64_t weight = offer.weight.nanograms();
  const Cuts::Billable billable = Pricer::BillableOf(offer.billable, offer.billable_from);
  const bool strides = Pricer::Strides(way.service);
  Headroom headroom;
  const std::optional<std::int64_t> more = Grow(
      weight, Weight::kMostNanograms, offer.total, billable, strides,
      [&](std::int64_t w, const Cuts::Billable& now, bool series) {
        return cuts.NextWeight(w, rules.weight, now, series);
      },
      [&](std::int64_t w) { return pricer.PointAt(way, w, sides); });
  if (more) headroom.weight = Weight::Nanograms(*more);
  const std::int64_t factor = Pricer::VolumeFactor(way);
  for (std::size_t i = 0; i < 3; ++i) {
    const std::int64_t a = sides[(i + 1) % 3];
    const std::int64_t b = sides[(i + 2) % 3];
    const std::optional<std::int64_t> longer = Grow(
        sides[i], Length::kMostSideNanometres, offer.total, billable, strides,
        [&](std::int64_t x, const Cuts::Billable& now, bool series) {
          return cuts.NextSide(x, a, b, rules.sides, factor, now, series);
        },
        [&](std::int64_t x) {
          return pricer.PointAt(way, weight, Sorted({x, a, b}));
        });
    if (longer) headroom.sides[i] = Length::Nanometres(*longer);
  }
  return headroom;
}

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_RANKING_INTERNAL_HEADROOM_H_
