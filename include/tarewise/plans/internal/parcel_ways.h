#ifndef TAREWISE_PLANS_INTERNAL_PARCEL_WAYS_H_
#define TAREWISE_PLANS_INTERNAL_PARCEL_WAYS_H_

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <functional>
#include <optional>
#include <utility>
#include <vector>

#include "absl/container/flat_hash_map.h"
#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "tarewise/plans/internal/parcel_sets.h"
#include "tarewise/ranking/internal/order.h"
#include "tarewise/ranking/internal/price_floor.h"
#include "tarewise/ranking/internal/pricer.h"

namespace tarewise::internal {

/// The ways to send sets of goods by some of the services, of each set cheapest first, found one after the other as
/// they are asked for. Of a packaging only the best way stands, and beside it each way by a service whose price hangs
/// on the other parcels.
class ParcelWays {
 public:
  /// `services`: by number, which may be used. All must outlive it.
  ParcelWays(ParcelSets& sets, std::vector<bool> services) : sets_(sets), services_(std::move(services)) {
    const DispatchState& state = sets.state();
    for (std::size_t s = 0; s < services_.size(); ++s) {
      services_[s] = services_[s] && !state.services()[s].out;
      if (services_[s] && HangsOnOthers(state.services()[s])) hangs_ = true;
    }
  }

  ParcelSets& sets() const { return sets_; }
  /// True where a price may hang on the other parcels.
  bool hangs() const { return hangs_; }

  static bool HangsOnOthers(const ServiceState& service) {
    static_cast<void>(service);
    return false;
  }

  /// The ways of one set that are known so far.
  struct List {
    std::vector<ParcelWay> ways;  // Cheapest first, and in the order of the contract among equals.
    bool ended = false;           // There are no others.

    // What is to be looked at yet, the lowest first (a heap).
    enum class Kind : std::uint8_t { kFloor, kNotPacked, kReady };
    struct Entry {
      ParcelWay way;
      Kind kind = Kind::kReady;
    };
    std::vector<Entry> entries;
    bool begun = false;
  };

  List& Of(const ParcelSet& set) { return lists_[&set]; }

  /// The next way of a set that is not in the list yet costs no less; `kNoWay` where there is none.
  std::int64_t NextAtLeast(const ParcelSet& set) {
    const List& list = Of(set);
    if (!list.begun) return 0;
    return list.entries.empty() ? kNoWay : list.entries.front().way.due;
  }

  /// The way at a place of the order; nothing: there are not so many. Errors: InvalidArgument where the goods cannot be
  /// ranked.
  absl::StatusOr<const ParcelWay*> At(ParcelSet& set, std::size_t place) {
    List& list = Of(set);
    while (list.ways.size() <= place && !list.ended) {
      if (absl::Status status = Refine(set); !status.ok()) return status;
    }
    return place < list.ways.size() ? &list.ways[place] : nullptr;
  }

  /// One step towards the next way: packs or prices what could be the cheapest.
  absl::Status Refine(ParcelSet& set) {
    List& list = Of(set);
    if (!list.begun) return Begin(set, list);
    if (list.entries.empty()) {
      list.ended = true;
      return absl::OkStatus();
    }
    std::pop_heap(list.entries.begin(), list.entries.end(), Later{&sets_});
    const List::Entry entry = list.entries.back();
    list.entries.pop_back();
    switch (entry.kind) {
      case List::Kind::kReady:
        list.ways.push_back(entry.way);
        break;
      case List::Kind::kNotPacked:
        if (sets_.Goes(set, entry.way.packaging)) list.ways.push_back(entry.way);
        break;
      case List::Kind::kFloor:
        if (sets_.Goes(set, entry.way.packaging)) Price(set, entry.way.packaging, list);
        break;
    }
    list.ended = list.entries.empty();
    return absl::OkStatus();
  }

 private:
  // Later in the order of the ways: dearer, or of equals what is less wanted. What is only a bound comes first, so that
  // nothing is taken before it.
  struct Later {
    const ParcelSets* sets;
    bool operator()(const List::Entry& a, const List::Entry& b) const {
      if (a.way.due != b.way.due) return a.way.due > b.way.due;
      const bool a_floor = a.kind == List::Kind::kFloor;
      const bool b_floor = b.kind == List::Kind::kFloor;
      if (a_floor != b_floor) return b_floor;
      if (a_floor) return a.way.packaging > b.way.packaging;
      return ComesBefore(sets->state(), KeyOf(b.way), KeyOf(a.way));
    }
    WayKey KeyOf(const ParcelWay& way) const {
      WayKey key{&sets->state().services()[way.service], {}, {}};
      if (way.packaging == ParcelWay::kNone) return key;
      const NumberedAtHand& at_hand = sets->at_hand()[way.packaging];
      key.packaging = at_hand.packaging->code;
      if (at_hand.issued_by != nullptr) key.issued_by = at_hand.issued_by->edition->tariff->carrier;
      return key;
    }
  };

  void Push(List& list, ParcelWay way, List::Kind kind) const {
    list.entries.push_back({way, kind});
    std::push_heap(list.entries.begin(), list.entries.end(), Later{&sets_});
  }

  absl::Status Begin(ParcelSet& set, List& list) {
    list.begun = true;
    if (!set.may_travel) {
      list.ended = true;
      return absl::OkStatus();
    }
    if (absl::Status status = sets_.MakeReady(set); !status.ok()) return status;
    if (sets_.whole()) {
      absl::StatusOr<std::vector<ParcelWay>> ways = sets_.RankWhole(set);
      if (!ways.ok()) return ways.status();
      for (const ParcelWay& way : *ways) {
        if (services_[way.service] && !HangsOnOthers(sets_.state().services()[way.service])) {
          list.entries.push_back({way, List::Kind::kReady});
        }
      }
      if (hangs_) AddHanging(set, list);
      std::make_heap(list.entries.begin(), list.entries.end(), Later{&sets_});
    } else {
      for (std::size_t p = 0; p < sets_.at_hand().size(); ++p) AddPackaging(set, p, list);
    }
    list.ended = list.entries.empty();
    return absl::OkStatus();
  }

  // Alone they may be refused, and go beside others all the same.
  void AddHanging(ParcelSet& set, List& list) {
    for (std::uint32_t s = 0; s < services_.size(); ++s) {
      if (!services_[s] || !HangsOnOthers(sets_.state().services()[s])) continue;
      ParcelWay way{.due = 0, .service = s, .floor = true};
      if (sets_.at_hand().empty()) list.entries.push_back({way, List::Kind::kReady});
      for (std::uint32_t p = 0; p < sets_.at_hand().size(); ++p) {
        way.packaging = p;
        if (sets_.Goes(set, p)) list.entries.push_back({way, List::Kind::kReady});
      }
    }
  }

  void AddPackaging(ParcelSet& set, std::size_t p, List& list) {
    if (set.goes[p] == ParcelSet::Goes::kNever || set.goes[p] == ParcelSet::Goes::kNo) return;
    if (set.goes[p] == ParcelSet::Goes::kFits) {
      Price(set, p, list);
      return;
    }
    const Packaging& packaging = *sets_.at_hand()[p].packaging;
    const WorkingCandidate candidate = sets_.Untried(set, p);
    if (packaging.kind == PackagingKind::kCarton && !packaging.least_height) {
      PriceIn({&candidate, 1}, *set.pricer, [&](ParcelWay way) {
        way.packaging = static_cast<std::uint32_t>(p);
        Push(list, way, List::Kind::kNotPacked);
      });
      return;
    }
    // Its sides are the goods', so that it is packed before it can be priced.
    ParcelWay way;
    way.packaging = static_cast<std::uint32_t>(p);
    way.due = FloorIn(candidate, *set.pricer);
    if (way.due < kNoWay) Push(list, way, List::Kind::kFloor);
  }

  void Price(ParcelSet& set, std::size_t p, List& list) {
    PriceIn(set.parcels[p], *set.pricer, [&](ParcelWay way) {
      way.packaging = static_cast<std::uint32_t>(p);
      Push(list, way, List::Kind::kReady);
    });
  }

  // The best way of a packaging, whole or cut down, and each that hangs on other parcels.
  template <typename Add>
  void PriceIn(std::span<const WorkingCandidate> parcels, const Pricer& pricer, Add add) const {
    const DispatchState& state = pricer.dispatch();
    const std::vector<ServiceState>& services = state.services();
    std::optional<ParcelWay> best;
    for (const WorkingCandidate& parcel : parcels) {
      DispatchState::SideProfiles profiles;
      state.MeasureSides(parcel.facts, profiles);
      for (std::uint32_t s = 0; s < services.size(); ++s) {
        if (!services_[s]) continue;
        const WayToSend way{services[s], parcel};
        if (HangsOnOthers(services[s])) {
          if (!pricer.MayTake(way)) continue;
          ParcelWay bound;
          bound.due = FloorOf(pricer, way, parcel.facts.weight).micros();
          bound.service = s;
          bound.floor = true;
          add(bound);
          continue;
        }
        const std::optional<Amount> total = pricer.TotalAt(way, parcel.facts, profiles[services[s].side_profile]);
        if (!total) continue;
        const std::int64_t due = (*total + pricer.HandicapOf(way)).micros();
        if (!best || due < best->due ||
            (due == best->due && ComesBefore(state, {&services[s], {}, {}}, {&services[best->service], {}, {}}))) {
          best = ParcelWay{.due = due, .service = s};
        }
      }
    }
    if (best) add(*best);
  }

  std::int64_t FloorIn(const WorkingCandidate& parcel, const Pricer& pricer) const {
    const std::vector<ServiceState>& services = pricer.dispatch().services();
    std::int64_t least = kNoWay;
    for (std::size_t s = 0; s < services.size(); ++s) {
      if (!services_[s]) continue;
      const WayToSend way{services[s], parcel};
      if (!parcel.cost_known || !pricer.MayTake(way)) continue;
      least = std::min(least, FloorOf(pricer, way, parcel.facts.weight).micros());
    }
    return least;
  }

  ParcelSets& sets_;
  std::vector<bool> services_;
  absl::flat_hash_map<const ParcelSet*, List> lists_;
  bool hangs_ = false;
};

}  // namespace tarewise::internal

#endif  // TAREWISE_PLANS_INTERNAL_PARCEL_WAYS_H_
