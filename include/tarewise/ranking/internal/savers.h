#ifndef TAREWISE_RANKING_INTERNAL_SAVERS_H_
#define TAREWISE_RANKING_INTERNAL_SAVERS_H_

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <type_traits>
#include <vector>

#include "absl/container/inlined_vector.h"
#include "tarewise/ranking/internal/candidates.h"
#include "tarewise/ranking/internal/goods_fit.h"
#include "tarewise/ranking/internal/goods_range.h"
#include "tarewise/ranking/internal/headroom.h"
#include "tarewise/ranking/internal/order.h"
#include "tarewise/ranking/internal/price_floor.h"
#include "tarewise/ranking/internal/pricer.h"
#include "tarewise/ranking/ranking.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// Finds the savers of one candidate: what less weight or a shorter side would save.
class SaverFinder {
 public:
  SaverFinder(const RequestGoods& goods, const GoodsFit& fit, const Pricer& pricer)
      : request_(goods.request()), fit_(fit), pricer_(pricer) {}

  /// `offers` are the candidate's own, `best` the lowest total, with its handicap, of its packaging, which a carton has
  /// whole and cut down. The `saves` of each saver is for an offer at hand to fill in.
  std::vector<Saver> Find(const WorkingCandidate& candidate, const std::vector<const Offer*>& offers,
                          Amount best) const;

 private:
  // Where savers are sought from: the best offer of the candidate, and the total with its handicap to beat.
  struct Start {
    const WorkingCandidate& candidate;
    std::int64_t weight = 0;
    std::array<std::int64_t, 3> sides = {};
    Amount best;
  };
  // A service that could be cheaper, its billable weight at the start, and what counts beside its totals.
  struct Rival {
    const ServiceState* service;
    Cuts::Billable billable;
    Amount handicap;
  };
  using Rivals = absl::InlinedVector<Rival, 32>;

  // The most cuts that a saver is sought at one by one, where steps cannot be passed over.
  static constexpr int kMostVisits = 1'000'000;
  // Steps that are visited one by one before whole stretches of them are.
  static constexpr int kFewVisits = 16;

  std::vector<const ServiceState*> ServicesOf(const WorkingCandidate& candidate,
                                              const std::vector<const Offer*>& offers) const;
  Rivals RivalsOf(const Start& start, const std::vector<const ServiceState*>& services) const;
  std::optional<Saver> SaveWeight(const Start& start, const Rivals& rivals) const;
  std::optional<Saver> SaveSide(const Start& start, const Rivals& rivals, std::size_t i) const;

  // The fewest whole steps off `from`, staying above `floor`, for a best total below `best`.
  template <typename Q, typename PointAt, typename Previous>
  std::optional<Saver> Save(Aspect of, const Rivals& rivals, std::int64_t from, std::int64_t floor,
                            const ScaleStep<Q>& step, Amount best, PointAt point_at, Previous previous) const;
  // The same of one rival, where it takes fewer than `fewest`; else `fewest`.
  template <typename Q, typename PointAt, typename Previous>
  static std::int64_t StepsOf(const Rival& rival, std::int64_t from, std::int64_t floor, const ScaleStep<Q>& step,
                              Amount best, std::int64_t fewest, PointAt point_at, Previous previous);

  // In the order of offers in one packaging.
  bool Before(const Rival& a, const Rival& b) const {
    return ComesBefore(pricer_.dispatch(), {a.service, {}, {}}, {b.service, {}, {}});
  }

  static std::int64_t BaseUnits(Weight weight) { return weight.nanograms(); }
  static std::int64_t BaseUnits(Length length) { return length.nanometres(); }

  const Request& request_;
  const GoodsFit& fit_;
  const Pricer& pricer_;
};

inline std::vector<Saver> SaverFinder::Find(const WorkingCandidate& candidate, const std::vector<const Offer*>& offers,
                                            Amount best) const {
  const Offer* cheapest = offers.front();
  for (const Offer* offer : offers) {
    if (offer->total + offer->handicap < cheapest->total + cheapest->handicap) cheapest = offer;
  }
  Start start{candidate, cheapest->weight.nanograms(), SidesOf(*cheapest), best};
  const std::vector<const ServiceState*> services = ServicesOf(candidate, offers);
  // Of a range: one that is dearer elsewhere in it may be the best here.
  if (!GoodsRange::BoxOf(candidate).IsPoint()) {
    for (const ServiceState* service : services) {
      const std::optional<Amount> here = pricer_.TotalAt({*service, candidate}, start.weight, start.sides);
      if (here) start.best = std::min(start.best, *here + pricer_.HandicapOf({*service, candidate}));
    }
  }
  const Rivals lighter = RivalsOf(start, services);
  std::vector<Saver> savers;
  if (std::optional<Saver> saver = SaveWeight(start, lighter)) savers.push_back(*saver);
  if (!candidate.sides_adjustable) return savers;
  // At this weight with shorter sides fewer of them can be.
  Rivals smaller;
  for (const Rival& rival : lighter) {
    const Amount floor = FloorOf(pricer_, {*rival.service, candidate}, start.weight);
    if (floor + rival.handicap < start.best) smaller.push_back(rival);
  }
  for (std::size_t i = 0; i < 3; ++i) {
    if (std::optional<Saver> saver = SaveSide(start, smaller, i)) savers.push_back(*saver);
  }
  return savers;
}

// Services by total now; those refused now come last, as less weight may open them.
inline std::vector<const ServiceState*> SaverFinder::ServicesOf(const WorkingCandidate& candidate,
                                                                const std::vector<const Offer*>& offers) const {
  const std::vector<ServiceState>& all = pricer_.dispatch().services();
  std::vector<const ServiceState*> services;
  services.reserve(all.size());
  for (const Offer* offer : offers) services.push_back(&all[offer->service_index]);
  const auto offered = static_cast<std::ptrdiff_t>(services.size());
  for (const ServiceState& service : all) {
    if (std::find(services.begin(), services.begin() + offered, &service) != services.begin() + offered) continue;
    if (pricer_.MayTake({service, candidate})) services.push_back(&service);
  }
  return services;
}

// Services that can be cheaper at less weight.
inline SaverFinder::Rivals SaverFinder::RivalsOf(const Start& start,
                                                 const std::vector<const ServiceState*>& services) const {
  Rivals rivals;
  for (const ServiceState* service : services) {
    const WayToSend way{*service, start.candidate};
    const Amount handicap = pricer_.HandicapOf(way);
    if (FloorOf(pricer_, way, 0) + handicap < start.best) {
      rivals.push_back({service, pricer_.BillableAt(way, start.weight, start.sides), handicap});
    }
  }
  return rivals;
}

inline std::optional<Saver> SaverFinder::SaveWeight(const Start& start, const Rivals& rivals) const {
  // Some goods must be left; of an estimate's range the dearest parcel may have the allowance where the least has none.
  const bool allowed_for = start.candidate.estimated && start.weight > kPound;
  const std::int64_t floor = allowed_for ? request_.allowance.most.nanograms() : start.candidate.weight_floor;
  auto point_at = [&](const ServiceState& service, std::int64_t weight) {
    return pricer_.PointAt({service, start.candidate}, weight, start.sides);
  };
  auto previous = [](const ServiceState& service, std::int64_t weight, const Cuts::Billable& now, bool series) {
    return service.cuts().PreviousWeight(weight, service.service().measure.weight, now, series);
  };
  return Save(Aspect::kWeight, rivals, start.weight, floor, request_.steps.weight, start.best, point_at, previous);
}

inline std::optional<Saver> SaverFinder::SaveSide(const Start& start, const Rivals& rivals, std::size_t i) const {
  const WorkingCandidate& candidate = start.candidate;
  const std::int64_t a = start.sides[(i + 1) % 3];
  const std::int64_t b = start.sides[(i + 2) % 3];
  auto point_at = [&](const ServiceState& service, std::int64_t side) {
    return pricer_.PointAt({service, candidate}, start.weight, Sorted({side, a, b}));
  };
  auto previous = [&](const ServiceState& service, std::int64_t side, const Cuts::Billable& now, bool series) {
    return service.cuts().PreviousSide(side, a, b, service.service().measure.sides,
                                       Pricer::VolumeFactor({service, candidate}), now, series);
  };
  constexpr Aspect kSides[] = {Aspect::kLength, Aspect::kWidth, Aspect::kHeight};
  auto save_above = [&](std::int64_t floor) {
    return Save(kSides[i], rivals, start.sides[i], floor, request_.steps.sides, start.best, point_at, previous);
  };
  if (request_.parcel || candidate.packaging == nullptr) return save_above(0);
  if (rivals.empty()) return std::nullopt;
  // The carton's own axis that is the i-th longest outside.
  std::array<std::size_t, 3> by_size = {0, 1, 2};
  std::stable_sort(by_size.begin(), by_size.end(),
                   [&](std::size_t x, std::size_t y) { return candidate.most[x] > candidate.most[y]; });
  const std::size_t axis = by_size[i];
  // Cut down it is as low as it goes.
  if (axis == 2 && candidate.cut_to) return std::nullopt;
  const GoodsFit::Shortened carton{*candidate.packaging, axis, candidate.cut_to};
  if (fit_.of_one()) return save_above(start.sides[i] - fit_.SpareRoom(carton) - 1);
  // The fewest steps that save, whether the goods allow them or not; what takes more off holds them no better.
  std::optional<Saver> saver = save_above(start.sides[i] - fit_.SpareRoomAtMost(carton) - 1);
  if (saver && !fit_.FitsWithout(carton, saver->length)) saver.reset();
  return saver;
}

template <typename Q, typename PointAt, typename Previous>
std::optional<Saver> SaverFinder::Save(Aspect of, const Rivals& rivals, std::int64_t from, std::int64_t floor,
                                       const ScaleStep<Q>& step, Amount best, PointAt point_at,
                                       Previous previous) const {
  // The most steps that stay above the floor.
  const std::int64_t most_steps = step.Reaching(from - floor) - 1;
  std::int64_t fewest = most_steps + 1;
  for (const Rival& rival : rivals) {
    fewest = StepsOf(rival, from, floor, step, best, fewest, point_at, previous);
  }
  if (fewest > most_steps) return std::nullopt;
  Saver saver;
  saver.of = of;
  const Q taken = step.Times(fewest);
  if constexpr (std::is_same_v<Q, Weight>) {
    saver.weight = taken;
  } else {
    saver.length = taken;
  }
  // With handicaps equal sums may be of different totals: the first in the order is told.
  const Rival* first = nullptr;
  Amount lowest;
  for (const Rival& rival : rivals) {
    const std::optional<Amount> here = point_at(*rival.service, from - BaseUnits(taken)).total;
    if (!here) continue;
    const Amount due = *here + rival.handicap;
    if (first != nullptr && (lowest < due || (lowest == due && !Before(rival, *first)))) continue;
    first = &rival;
    lowest = due;
  }
  saver.total = lowest - first->handicap;
  return saver;
}

template <typename Q, typename PointAt, typename Previous>
std::int64_t SaverFinder::StepsOf(const Rival& rival, std::int64_t from, std::int64_t floor, const ScaleStep<Q>& step,
                                  Amount best, std::int64_t fewest, PointAt point_at, Previous previous) {
  const ServiceState& service = *rival.service;
  auto after = [&](std::int64_t steps) { return from - BaseUnits(step.Times(steps)); };
  std::int64_t at = from;
  Cuts::Billable billable = rival.billable;
  for (int visits = 0; visits < kMostVisits; ++visits) {
    // Over a stretch between cuts that are no series totals only fall on the way down: its far end tells whether
    // something in it will do, and halving finds the first.
    if (visits >= kFewVisits && Pricer::Strides(service)) {
      const std::int64_t stretch = std::max(previous(service, at, billable, false), floor);
      const std::int64_t last = std::min(step.Reaching(from - stretch), fewest) - 1;
      std::int64_t before = step.Reaching(from - at);
      if (last > before) {
        const Pricer::Point there = point_at(service, after(last));
        if (there.total && *there.total + rival.handicap < best) {
          std::int64_t enough = last;
          while (enough - before > 1) {
            const std::int64_t middle = before + (enough - before) / 2;
            const std::optional<Amount> here = point_at(service, after(middle)).total;
            (here && *here + rival.handicap < best ? enough : before) = middle;
          }
          return enough;
        }
        at = after(last);
        billable = there.billable;
      }
    }
    const std::int64_t cut = previous(service, at, billable, true);
    if (cut < 0) return fewest;
    const std::int64_t steps = step.Reaching(from - cut);
    if (steps >= fewest) return fewest;
    at = after(steps);
    const Pricer::Point here = point_at(service, at);
    billable = here.billable;
    if (here.total && *here.total + rival.handicap < best) return steps;
  }
  return fewest;
}

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_RANKING_INTERNAL_SAVERS_H_
