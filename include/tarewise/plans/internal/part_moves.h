#ifndef TAREWISE_PLANS_INTERNAL_PART_MOVES_H_
#define TAREWISE_PLANS_INTERNAL_PART_MOVES_H_

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <numeric>
#include <optional>
#include <utility>
#include <vector>

#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "tarewise/plans/internal/best_plans.h"
#include "tarewise/plans/internal/order_units.h"
#include "tarewise/plans/internal/parcel_sets.h"
#include "tarewise/plans/internal/parcel_ways.h"
#include "tarewise/plans/internal/way_chooser.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// Looks for good ways to part an order that has too many: puts unit after unit where it costs least, improves by
/// moving, swapping and merging, and begins again from a part of what it has. The same in every run: no clock, and
/// draws of its own.
class PartMoves {
 public:
  PartMoves(ParcelWays& ways, WayChooser& chooser, std::size_t most, std::int64_t steps)
      : ways_(ways), sets_(ways.sets()), chooser_(chooser), most_(most), steps_(sets_.looked_at() + steps) {}

  /// Looks for plans that belong among the best. Errors: as `ParcelWays::At`.
  absl::Status Find(BestPlans& best) {
    best_ = &best;
    const OrderUnits& units = sets_.units();
    Parts whole = {units.All()};
    if (absl::Status status = Offer(whole); !status.ok()) return status;
    for (const Order order : {Order::kVolume, Order::kWeight, Order::kLongest}) {
      Parts parts;
      if (absl::Status status = PutAll(Ordered(order), parts); !status.ok()) return status;
      if (absl::Status status = Improve(parts); !status.ok()) return status;
    }
    while (!Spent() && !best.plans().empty()) {
      if (absl::Status status = BeginAgain(); !status.ok()) return status;
      if (++rounds_ >= kRounds) break;
    }
    return absl::OkStatus();
  }

 private:
  using Parts = std::vector<UnitCounts>;
  enum class Order : std::uint8_t { kVolume, kWeight, kLongest };
  static constexpr int kRounds = 400;

  bool Spent() const { return sets_.looked_at() >= steps_; }

  // What a parcel costs at least by itself, exactly but for what hangs on others; 0 of nothing.
  absl::StatusOr<std::int64_t> CostOf(const UnitCounts& counts) {
    if (IsNothing(counts)) return 0;
    const absl::StatusOr<const ParcelWay*> way = ways_.At(sets_.Of(counts), 0);
    if (!way.ok()) return way.status();
    return *way == nullptr ? kNoPlan : (*way)->due;
  }
  static bool IsNothing(const UnitCounts& counts) {
    return std::all_of(counts.begin(), counts.end(), [](std::uint16_t count) { return count == 0; });
  }

  // Units of one kind.
  struct Some {
    std::size_t kind = 0;
    std::uint16_t units = 0;
  };
  static constexpr std::uint16_t kAtOnce = 16;

  // The units, the greatest first.
  std::vector<Some> Ordered(Order order) const {
    const OrderUnits& units = sets_.units();
    std::vector<Int128> greatness;
    for (const OrderUnits::Kind& kind : units.kinds()) {
      Int128 great = 0;
      for (const PlannedGoods& some : kind.goods) {
        const Item& item = units.request().goods[some.item];
        const std::array<Length, 3>& sides = item.sides;
        const Int128 one = order == Order::kVolume
                               ? Int128(sides[0].nanometres()) * sides[1].nanometres() * sides[2].nanometres()
                           : order == Order::kWeight ? Int128(item.weight.nanograms())
                                                     : Int128(std::max({sides[0], sides[1], sides[2]}).nanometres());
        great = order == Order::kLongest ? std::max(great, one) : great + one * (kind.bundle ? some.units : 0);
        if (!kind.bundle) great = one;
      }
      greatness.push_back(great);
    }
    std::vector<std::size_t> kinds(units.size());
    std::iota(kinds.begin(), kinds.end(), std::size_t{0});
    std::stable_sort(kinds.begin(), kinds.end(),
                     [&](std::size_t a, std::size_t b) { return greatness[a] > greatness[b]; });
    std::vector<Some> out;
    for (const std::size_t kind : kinds) {
      // Of many alike several at once.
      const std::uint16_t at_once = std::max<std::uint16_t>(units.kinds()[kind].count / kAtOnce, 1);
      for (std::uint16_t left = units.kinds()[kind].count; left > 0;) {
        const std::uint16_t some = std::min(at_once, left);
        out.push_back({kind, some});
        left = static_cast<std::uint16_t>(left - some);
      }
    }
    return out;
  }

  // Puts units where they cost least, a parcel of their own among the places; no parts where they go nowhere.
  absl::Status PutAll(std::vector<Some> left, Parts& parts) {
    std::reverse(left.begin(), left.end());
    while (!left.empty()) {
      const auto [kind, units] = left.back();
      left.pop_back();
      std::int64_t best = kNoPlan;
      std::size_t where = 0;
      for (std::size_t i = 0; i <= parts.size(); ++i) {
        if (i == parts.size() && parts.size() >= most_) break;
        UnitCounts grown = i < parts.size() ? parts[i] : UnitCounts(sets_.units().size(), 0);
        const absl::StatusOr<std::int64_t> before = CostOf(grown);
        if (!before.ok()) return before.status();
        grown[kind] = static_cast<std::uint16_t>(grown[kind] + units);
        const absl::StatusOr<std::int64_t> after = CostOf(grown);
        if (!after.ok()) return after.status();
        if (*after < kNoPlan && *after - *before < best) {
          best = *after - *before;
          where = i;
        }
      }
      if (best == kNoPlan && units > 1 && !Spent()) {  // Perhaps half of them.
        const auto half = static_cast<std::uint16_t>(units / 2);
        left.push_back({kind, half});
        left.push_back({kind, static_cast<std::uint16_t>(units - half)});
        continue;
      }
      if (best == kNoPlan || Spent()) {
        parts.clear();
        return absl::OkStatus();
      }
      if (where == parts.size()) parts.emplace_back(sets_.units().size(), 0);
      parts[where][kind] = static_cast<std::uint16_t>(parts[where][kind] + units);
    }
    return absl::OkStatus();
  }

  // Moves, swaps and merges while that saves something; then the plan is told.
  absl::Status Improve(Parts& parts) {
    if (parts.empty()) return absl::OkStatus();
    bool better = true;
    while (better && !Spent()) {
      better = false;
      for (std::size_t a = 0; a < parts.size() && !better; ++a) {
        for (std::size_t b = 0; b <= parts.size() && !better; ++b) {
          if (a == b || (b == parts.size() && parts.size() >= most_)) continue;
          const absl::StatusOr<bool> found = ImprovePair(parts, a, b);
          if (!found.ok()) return found.status();
          better = *found;
        }
      }
    }
    return Offer(parts);
  }

  absl::StatusOr<bool> ImprovePair(Parts& parts, std::size_t a, std::size_t b) {
    const UnitCounts from = parts[a];
    const UnitCounts to = b < parts.size() ? parts[b] : UnitCounts(from.size(), 0);
    const absl::StatusOr<std::int64_t> before = Together(from, to, kNoPlan);
    if (!before.ok()) return before.status();
    auto take = [&](const UnitCounts& one, const UnitCounts& other) -> absl::StatusOr<bool> {
      const absl::StatusOr<std::int64_t> after = Together(one, other, *before);
      if (!after.ok()) return after.status();
      if (*after >= *before) return false;
      parts[a] = one;
      if (b < parts.size()) {
        parts[b] = other;
      } else {
        parts.push_back(other);
      }
      parts.erase(std::remove_if(parts.begin(), parts.end(), IsNothing), parts.end());
      return true;
    };
    if (b < parts.size() && a < b) {
      UnitCounts all = from;
      for (std::size_t k = 0; k < all.size(); ++k) all[k] = static_cast<std::uint16_t>(all[k] + to[k]);
      absl::StatusOr<bool> merged = take(UnitCounts(from.size(), 0), all);
      if (!merged.ok() || *merged) return merged;
    }
    for (std::size_t k = 0; k < from.size(); ++k) {
      if (from[k] == 0) continue;
      UnitCounts one = from;
      UnitCounts other = to;
      --one[k];
      ++other[k];
      absl::StatusOr<bool> moved = take(one, other);
      if (!moved.ok() || *moved) return moved;
      for (std::size_t j = 0; a < b && j < to.size() && b < parts.size(); ++j) {
        if (to[j] == 0 || j == k) continue;
        UnitCounts swapped = one;
        UnitCounts got = other;
        ++swapped[j];
        --got[j];
        absl::StatusOr<bool> found = take(swapped, got);
        if (!found.ok() || *found) return found;
      }
    }
    return false;
  }

  // What two parcels cost; no less than `below` where that is plain before they are packed.
  absl::StatusOr<std::int64_t> Together(const UnitCounts& a, const UnitCounts& b, std::int64_t below) {
    absl::StatusOr<std::int64_t> first = CostOf(a);
    if (!first.ok() || *first >= below) return first;
    absl::StatusOr<std::int64_t> second = CostOf(b);
    if (!second.ok()) return second;
    return AddDue(*first, *second);
  }

  // Takes some of the units of the best plan out and puts them back in another order.
  absl::Status BeginAgain() {
    const std::vector<FoundPlan>& plans = best_->plans();
    Parts parts;
    for (const ParcelSet* set : plans[Draw(plans.size())].sets) parts.push_back(set->counts);
    std::vector<Some> out;
    const std::size_t some = 1 + Draw(3);
    if (Draw(2) == 0 && parts.size() > 1) {
      TakeOut(parts, Draw(parts.size()), out);
    }
    for (std::size_t i = 0; i < some * 2 && !parts.empty(); ++i) {
      UnitCounts& from = parts[Draw(parts.size())];
      const std::size_t k = Draw(from.size());
      if (from[k] == 0) continue;
      --from[k];
      out.push_back({k, 1});
    }
    parts.erase(std::remove_if(parts.begin(), parts.end(), IsNothing), parts.end());
    for (std::size_t i = out.size(); i > 1; --i) std::swap(out[i - 1], out[Draw(i)]);
    if (out.empty()) return absl::OkStatus();
    if (absl::Status status = PutAll(out, parts); !status.ok()) return status;
    return Improve(parts);
  }
  static void TakeOut(Parts& parts, std::size_t part, std::vector<Some>& out) {
    for (std::size_t k = 0; k < parts[part].size(); ++k) {
      if (parts[part][k] != 0) out.push_back({k, parts[part][k]});
    }
    parts.erase(parts.begin() + static_cast<std::ptrdiff_t>(part));
  }

  // In the order of a plan's parcels.
  absl::Status Offer(Parts& parts) {
    if (parts.size() > most_) return absl::OkStatus();
    std::sort(parts.begin(), parts.end(), StandsBefore);
    std::vector<ParcelSet*> sets;
    for (const UnitCounts& part : parts) sets.push_back(&sets_.Of(part));
    absl::StatusOr<std::optional<FoundPlan>> plan = chooser_.Choose(sets, AddDue(best_->below(), 1));
    if (!plan.ok()) return plan.status();
    if (*plan) best_->Add(**std::move(plan));
    return absl::OkStatus();
  }

  // 0 to `below` - 1. A multiplicative generator of Park, Miller and Stockmeyer, Communications of the ACM 36 (1993),
  // from memory.
  std::size_t Draw(std::size_t below) {
    draw_ = draw_ * 48'271 % 2'147'483'647;
    return static_cast<std::size_t>(draw_) % below;
  }

  ParcelWays& ways_;
  ParcelSets& sets_;
  WayChooser& chooser_;
  BestPlans* best_ = nullptr;
  std::size_t most_;
  std::int64_t steps_;
  std::int64_t draw_ = 20'260'803;
  int rounds_ = 0;
};

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_PLANS_INTERNAL_PART_MOVES_H_
