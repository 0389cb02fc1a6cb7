#ifndef TAREWISE_PLANS_INTERNAL_ORDER_BOUND_H_
#define TAREWISE_PLANS_INTERNAL_ORDER_BOUND_H_

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <utility>
#include <vector>

#include "tarewise/parcel/packaging.h"
#include "tarewise/plans/internal/parcel_sets.h"
#include "tarewise/ranking/internal/price_floor.h"
#include "tarewise/ranking/internal/pricer.h"
#include "tarewise/ranking/internal/request_goods.h"
#include "tarewise/rules/test.h"
#include "tarewise/units/rounding.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// What all parcels of an order cost together at least, told from its weight and volume alone: for so many parcels a
/// dynamic programme over how much of the two each takes, in so many parts of the whole.
class OrderBound {
 public:
  /// `all`: the whole order, made ready. `services`: which may be used.
  OrderBound(const ParcelSets& sets, const ParcelSet& all, const std::vector<bool>& services) {
    const RequestGoods& goods = *all.goods;
    for (const Item& item : sets.units().request().goods) {
      // Soft goods are pressed by a model of their own: they take no room here.
      Int128 volume = 0;
      if (!item.soft) {
        volume = Int128(item.sides[0].nanometres()) * item.sides[1].nanometres() * item.sides[2].nanometres();
      }
      items_.push_back({item.weight.nanograms(), volume, item.quantity});
      volume_ += volume * item.quantity;
    }
    weight_ = goods.weight();
    FindWhatGoesTogether();
    for (std::vector<std::int64_t>& row : least_) row.assign(kParts + 1, kNoPlan);
    for (std::size_t p = 0; p < sets.at_hand().size(); ++p) {
      const Packaging& packaging = *sets.at_hand()[p].packaging;
      if (packaging.kind == PackagingKind::kBare && !AnyBare(sets)) continue;
      const Int128 holds = VolumeAtMost(packaging);
      std::size_t rows = 0;  // So many parts of the volume may go in.
      while (rows <= kParts && (holds < 0 || volume_ * rows <= holds * kParts)) ++rows;
      if (rows > 0) TakeIn(sets, all, p, rows, services);
    }
    if (sets.shelf() == nullptr) {
      WorkingCandidate none;
      none.facts = goods.facts();
      for (std::uint32_t s = 0; s < services.size(); ++s) {
        if (!services[s]) continue;
        for (std::size_t w = 0; w <= kParts; ++w) {
          none.facts.weight = std::max<std::int64_t>(PartOfWeight(w), 1);
          for (std::vector<std::int64_t>& row : least_) row[w] = std::min(row[w], sets.FloorOf(all, s, none));
        }
      }
    }
    // What holds for less holds for more.
    for (std::size_t v = kParts + 1; v-- > 0;) {
      for (std::size_t w = kParts + 1; w-- > 0;) {
        if (v < kParts) least_[v][w] = std::min(least_[v][w], least_[v + 1][w]);
        if (w < kParts) least_[v][w] = std::min(least_[v][w], least_[v][w + 1]);
      }
    }
  }

  /// No plan of at most so many parcels costs less; `kNoPlan` where there is none.
  std::int64_t Of(std::size_t most) const {
    Grid one = least_;
    for (std::size_t v = 0; v <= kParts; ++v) {
      for (std::size_t w = 0; w <= kParts; ++w) {
        if (w < lightest_[v] || w > heaviest_[v]) one[v][w] = kNoPlan;
      }
    }
    Grid together = one;
    std::int64_t bound = least_[kParts][kParts];
    for (std::size_t m = 2; m <= most && m <= kParts; ++m) {
      Grid more;
      for (std::size_t v = 0; v <= kParts; ++v) {
        more[v].assign(kParts + 1, kNoPlan);
        for (std::size_t w = 0; w <= kParts; ++w) {
          for (std::size_t a = 0; a <= v; ++a) {
            for (std::size_t b = 0; b <= w; ++b) {
              more[v][w] = std::min(more[v][w], AddDue(one[a][b], together[v - a][w - b]));
            }
          }
        }
      }
      together = std::move(more);
      // Each parcel takes less than one part more than is counted.
      for (std::size_t v = kParts + 1 - m; v <= kParts; ++v) {
        for (std::size_t w = kParts + 1 - m; w <= kParts; ++w) bound = std::min(bound, together[v][w]);
      }
    }
    if (most > kParts) bound = std::min(bound, AddDue(least_[0][0], least_[0][0]));
    return bound;
  }

 private:
  static bool AnyBare(const ParcelSets& sets) {
    const std::vector<Item>& goods = sets.units().request().goods;
    return std::any_of(goods.begin(), goods.end(), [](const Item& item) { return item.bare_allowed; });
  }

  static constexpr std::size_t kParts = 20;
  static constexpr std::int64_t kCubicMicrometre = 1'000'000'000;

  // One of an item weighs so much and takes so much room, and there are so many.
  struct Some {
    std::int64_t weight;
    Int128 volume;
    std::int64_t units;
  };
  using Grid = std::array<std::vector<std::int64_t>, kParts + 1>;

  std::int64_t PartOfWeight(std::size_t parts) const {
    return static_cast<std::int64_t>(Int128(weight_) * parts / kParts);
  }

  void TakeIn(const ParcelSets& sets, const ParcelSet& all, std::size_t p, std::size_t rows,
              const std::vector<bool>& services) {
    WorkingCandidate parcel = sets.In(all, p);
    const std::int64_t around = parcel.weight_floor;
    const bool own_sides = sets.KeepsItsSides(p);
    for (std::uint32_t s = 0; s < services.size(); ++s) {
      if (!services[s]) continue;
      if (!sets.state().PackagingAllowed(sets.state().services()[s].service(),
                                         sets.state().CarrierOf(sets.state().services()[s]), parcel.facts)) {
        continue;
      }
      if (RefusesPackaging(*all.pricer, {sets.state().services()[s], parcel}, own_sides)) continue;
      for (std::size_t w = 0; w <= kParts; ++w) {
        parcel.facts.weight = std::max<std::int64_t>(PartOfWeight(w) + around, 1);
        const std::int64_t floor = sets.FloorOf(all, s, parcel);
        std::int64_t& least = least_[rows - 1][w];
        least = std::min(least, floor);
      }
    }
  }

  // Which parts of the weight can be with so many parts of the volume: the densest goods, and the lightest, by parts of
  // them at will.
  void FindWhatGoesTogether() {
    std::vector<Some> dense = items_;
    std::sort(dense.begin(), dense.end(), [](const Some& a, const Some& b) {
      // By density; what takes no room is the densest.
      return Int128(a.weight) * (b.volume / kCubicMicrometre) > Int128(b.weight) * (a.volume / kCubicMicrometre);
    });
    std::vector<Some> airy(dense.rbegin(), dense.rend());
    for (std::size_t v = 0; v <= kParts; ++v) {
      // Between so many parts and one more.
      const std::int64_t most = v == kParts ? weight_ : WeightIn(dense, volume_ * (v + 1) / kParts + 1, true);
      const std::int64_t least = WeightIn(airy, volume_ * v / kParts, false);
      const std::int64_t part = std::max<std::int64_t>(weight_, 1);
      heaviest_[v] = std::min<std::size_t>(static_cast<std::size_t>(Int128(most) * kParts / part), kParts);
      lightest_[v] = static_cast<std::size_t>(Int128(least) * kParts / part);
    }
  }
  // Of the first of these that fill so much.
  static std::int64_t WeightIn(const std::vector<Some>& goods, Int128 volume, bool up) {
    Int128 weight = 0;
    for (const Some& some : goods) {
      const Int128 all = some.volume * some.units;
      if (all <= volume) {
        weight += Int128(some.weight) * some.units;
        volume -= all;
        continue;
      }
      // 128 bits hold a weight times a part in millionths.
      const Int128 millionth = all / 1'000'000;
      const Int128 part = up ? volume / std::max<Int128>(millionth, 1) + 1 : volume / (millionth + 1);
      weight += Int128(some.weight) * some.units / 1'000'000 * part + (up ? 2'000'000 : 0);
      break;
    }
    return static_cast<std::int64_t>(weight);
  }

  // Whatever is in it.
  static bool RefusesPackaging(const Pricer& pricer, const WayToSend& way, bool own_sides) {
    const SideFacts sides = pricer.dispatch().MeasureSides(way.candidate.facts, way.service);
    const Evaluation evaluation = pricer.Evaluate(way, way.candidate.facts, sides);
    const std::vector<LaneRules::Rule>& rules = way.service.rules.refuse;
    return std::any_of(rules.begin(), rules.end(), [&](const LaneRules::Rule& rule) {
      const Test& when = way.service.service().refuse[rule.index].when;
      return LooksAtPackagingAlone(when, own_sides) && evaluation.Holds(when);
    });
  }

  std::vector<Some> items_;
  std::array<std::size_t, kParts + 1> lightest_ = {};
  std::array<std::size_t, kParts + 1> heaviest_ = {};
  Int128 volume_ = 0;
  std::int64_t weight_ = 0;
  Grid least_;  // By parts of the volume and of the weight that a parcel holds at least.
};

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_PLANS_INTERNAL_ORDER_BOUND_H_
