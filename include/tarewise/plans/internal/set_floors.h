#ifndef TAREWISE_PLANS_INTERNAL_SET_FLOORS_H_
#define TAREWISE_PLANS_INTERNAL_SET_FLOORS_H_

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <utility>
#include <vector>

#include "tarewise/plans/internal/order_units.h"
#include "tarewise/plans/internal/parcel_sets.h"
#include "tarewise/ranking/internal/at_hand.h"
#include "tarewise/ranking/internal/price_floor.h"
#include "tarewise/ranking/internal/pricer.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// What a parcel of some of the goods costs at least, told from its weight alone: by the cheapest packaging of each
/// service that may be used, without asking what fits.
class SetFloors {
 public:
  /// Of nothing: of sealed parcels none is asked for.
  explicit SetFloors(const OrderUnits& units) : units_(units) {}
  SetFloors(const ParcelSets& sets, const Pricer& pricer, const std::vector<bool>& services) : units_(sets.units()) {
    const Request& order = units_.request();
    for (const OrderUnits::Kind& kind : units_.kinds()) {
      std::int64_t weight = 0;
      for (const PlannedGoods& some : kind.goods) {
        weight += order.goods[some.item].weight.nanograms() * (kind.bundle ? some.units : 0);
      }
      if (!kind.bundle) weight = order.goods[kind.goods.front().item].weight.nanograms();
      weights_.push_back(weight);
      total_ += weight * kind.count;
    }
    const std::vector<Least> ways = LeastOf(sets, pricer.dispatch(), services);
    std::vector<std::int64_t> of_service(services.size());
    for (std::size_t i = 0; i < kKnots; ++i) {
      const auto weight = static_cast<std::int64_t>(Int128(total_) * i / kKnots);
      std::fill(of_service.begin(), of_service.end(), kNoPlan);
      for (const Least& way : ways) {
        const std::int64_t at = std::max<std::int64_t>(weight, 1);
        const Amount floor = sets.floors_known() ? FloorOf(pricer, {*way.service, way.parcel}, at, at) : Amount();
        std::int64_t& least = of_service[way.number];
        least = std::min(least, floor.micros());
      }
      for (std::uint32_t s = 0; s < of_service.size(); ++s) {
        if (of_service[s] < kNoPlan) at_[i].push_back({of_service[s], s});
      }
      std::sort(at_[i].begin(), at_[i].end());
    }
  }

  /// A service, and what it asks for a parcel of some weight at least.
  using Floor = std::pair<std::int64_t, std::uint32_t>;

  /// By service, the lowest first, in the ranking's currency. Constant, but for the kinds.
  const std::vector<Floor>& ByService(const UnitCounts& counts) const {
    std::int64_t weight = 0;
    for (std::size_t k = 0; k < counts.size(); ++k) weight += weights_[k] * counts[k];
    const auto knot = static_cast<std::size_t>(Int128(weight) * kKnots / std::max<std::int64_t>(total_, 1));
    return at_[std::min(knot, kKnots - 1)];
  }
  /// Of all services; `kNoPlan` where there is none.
  std::int64_t Of(const UnitCounts& counts) const {
    const std::vector<Floor>& floors = ByService(counts);
    return floors.empty() ? kNoPlan : floors.front().first;
  }

 private:
  // Floors only rise with the weight: between two of these the lower stands.
  static constexpr std::size_t kKnots = 32;

  // A service in the cheapest packaging that it takes, of the seller's own or of those it is issued with.
  struct Least {
    Least(std::uint32_t of, const ServiceState* state) : number(of), service(state) {}
    std::uint32_t number;
    const ServiceState* service;
    WorkingCandidate parcel;
  };

  static std::vector<Least> LeastOf(const ParcelSets& sets, const DispatchState& state,
                                    const std::vector<bool>& services) {
    std::vector<Least> out;
    for (std::uint32_t s = 0; s < services.size(); ++s) {
      const ServiceState& service = state.services()[s];
      if (!services[s]) continue;
      if (sets.shelf() == nullptr) {
        out.emplace_back(s, &sets.AtLeast(s));
        continue;
      }
      std::optional<Amount> own;
      std::optional<Amount> issued;
      for (const NumberedAtHand& at_hand : sets.at_hand()) {
        ParcelFacts facts;
        facts.packaging = at_hand.packaging->code;
        if (at_hand.issued_by != nullptr) facts.issued_by = at_hand.issued_by->edition->tariff->carrier;
        if (!DispatchState::PackagingAllowed(service.service(), state.CarrierOf(service), facts)) continue;
        if (at_hand.issued_by != nullptr) {
          issued = std::min(issued.value_or(at_hand.packaging->cost), at_hand.packaging->cost);
          continue;
        }
        const OwnCost cost = OwnCostOf(*at_hand.packaging, sets.shelf()->currency, state);
        if (cost.known) own = std::min(own.value_or(cost.cost), cost.cost);
      }
      if (own) out.emplace_back(s, &sets.AtLeast(s)).parcel.own_cost = *own;
      if (issued) out.emplace_back(s, &sets.AtLeast(s)).parcel.issued_cost = *issued;
    }
    return out;
  }

  const OrderUnits& units_;
  std::vector<std::int64_t> weights_;
  std::array<std::vector<Floor>, kKnots> at_;
  std::int64_t total_ = 0;
};

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_PLANS_INTERNAL_SET_FLOORS_H_
