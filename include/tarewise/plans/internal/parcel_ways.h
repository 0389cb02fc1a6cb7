#ifndef TAREWISE_PLANS_INTERNAL_PARCEL_WAYS_H_
#define TAREWISE_PLANS_INTERNAL_PARCEL_WAYS_H_

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <functional>
#include <optional>
#include <span>
#include <tuple>
#include <unordered_map>
#include <utility>
#include <vector>

#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "tarewise/plans/internal/parcel_sets.h"
#include "tarewise/plans/internal/set_floors.h"
#include "tarewise/ranking/internal/order.h"
#include "tarewise/ranking/internal/price_floor.h"
#include "tarewise/ranking/internal/pricer.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// The ways to send sets of goods by some of the services, of each set cheapest first, found one after the other as
/// they are asked for: a service is priced when it could be the cheapest, and a packaging packed likewise. A way that
/// another one beats in the same packaging may be left out, unless its price hangs on the other parcels.
class ParcelWays {
 public:
  /// `services`: by number, which may be used; `floors` are of the same. All must outlive it.
  ParcelWays(ParcelSets& sets, std::vector<bool> services, const SetFloors& floors)
      : sets_(sets), floors_(floors), services_(std::move(services)) {
    const DispatchState& state = sets.state();
    for (std::size_t s = 0; s < services_.size(); ++s) {
      hangs_ = hangs_ || (services_[s] && HangsOnOthers(state.services()[s]));
    }
  }

  ParcelSets& sets() const { return sets_; }
  /// True where a price may hang on the other parcels.
  bool hangs() const { return hangs_; }

  static bool HangsOnOthers(const ServiceState& service) { return service.of_consignment(); }

  /// The order of the contract among equals.
  bool ComesFirst(const ParcelWay& a, const ParcelWay& b) const {
    const Later later{&sets_};
    return ComesBefore(sets_.state(), later.KeyOf(a), later.KeyOf(b));
  }

  /// The ways of one set that are known so far.
  struct List {
    std::vector<ParcelWay> ways;  // Cheapest first, and in the order of the contract among equals.
    bool ended = false;           // There are no others.

    // What is to be looked at yet, the lowest first (a heap): services that are not priced, of which `next` is the
    // first; a way whose sides hang on how the goods lie; one that may not take the goods; and one that does.
    enum class Kind : std::uint8_t { kServices, kFloor, kNotPacked, kReady };
    struct Entry {
      ParcelWay way;
      Kind kind = Kind::kReady;
    };
    std::vector<Entry> entries;
    std::vector<std::int64_t> best;  // By packaging, of what is priced.
    std::size_t next = 0;
    bool begun = false;
  };

  List& Of(const ParcelSet& set) { return lists_[&set]; }

  /// The next way of a set that is not in the list yet costs no less; `kNoPlan` where there is none.
  std::int64_t NextAtLeast(const ParcelSet& set) {
    const List& list = Of(set);
    if (!list.begun) return 0;
    return list.entries.empty() ? kNoPlan : list.entries.front().way.due;
  }

  /// The best way of a set costs no less, exactly where it is known; `kNoPlan` where there is none.
  std::int64_t AtLeast(const ParcelSet& set) {
    const List& list = Of(set);
    return list.ways.empty() ? NextAtLeast(set) : list.ways.front().due;
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

  /// Prices services as far as the next way hangs on whether the goods go in; packs nothing. What it costs at least.
  absl::StatusOr<std::int64_t> PriceOnly(ParcelSet& set) {
    List& list = Of(set);
    while (!list.begun ||
           (list.ways.empty() && !list.entries.empty() && list.entries.front().kind == List::Kind::kServices)) {
      if (absl::Status status = Refine(set); !status.ok()) return status;
    }
    return AtLeast(set);
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
      case List::Kind::kServices:
        PriceService(set, entry.way.service, list);
        PushServices(set, list);
        break;
      case List::Kind::kFloor:
        if (sets_.Goes(set, entry.way.packaging)) PricePacked(set, entry.way, list);
        break;
      case List::Kind::kNotPacked:
        if (sets_.Goes(set, entry.way.packaging)) list.ways.push_back(entry.way);
        break;
      case List::Kind::kReady:
        list.ways.push_back(entry.way);
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
      const bool a_bound = a.kind <= List::Kind::kFloor;
      const bool b_bound = b.kind <= List::Kind::kFloor;
      if (a_bound != b_bound) return b_bound;
      if (a_bound) return std::tie(a.kind, a.way.packaging) > std::tie(b.kind, b.way.packaging);
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
      list.best.assign(sets_.at_hand().size(), kNoPlan);
      PushServices(set, list);
    }
    list.ended = list.entries.empty();
    return absl::OkStatus();
  }

  // Alone they may be refused, and go beside others all the same.
  void AddHanging(ParcelSet& set, List& list) {
    for (std::uint32_t s = 0; s < services_.size(); ++s) {
      if (!services_[s] || !HangsOnOthers(sets_.state().services()[s])) continue;
      ParcelWay way{.due = 0, .service = s, .floor = true};
      const bool unshelved = set.request->parcel || sets_.shelf() == nullptr;
      if (unshelved && !set.unshelved.empty()) list.entries.push_back({way, List::Kind::kReady});
      if (unshelved) continue;
      for (std::uint32_t p = 0; p < sets_.at_hand().size(); ++p) {
        way.packaging = p;
        if (sets_.Goes(set, p)) list.entries.push_back({way, List::Kind::kReady});
      }
    }
  }

  // The services that were not priced yet, as far as the next of them may be cheapest.
  void PushServices(const ParcelSet& set, List& list) const {
    const std::vector<SetFloors::Floor>& floors = floors_.ByService(set.counts);
    if (list.next == floors.size()) return;
    const auto& [due, service] = floors[list.next++];
    Push(list, {.due = due, .service = service}, List::Kind::kServices);
  }

  // A service in every packaging that the goods may go into.
  void PriceService(ParcelSet& set, std::uint32_t service, List& list) {
    for (std::uint32_t p = 0; p < sets_.at_hand().size(); ++p) {
      const ParcelWay way{.packaging = p, .service = service};
      if (set.goes[p] == ParcelSet::Goes::kFits) {
        PricePacked(set, way, list);
      } else if (set.goes[p] == ParcelSet::Goes::kNotAsked) {
        PriceUntried(set, way, list);
      }
    }
  }

  void PriceUntried(ParcelSet& set, ParcelWay way, List& list) {
    const ServiceState& service = set.pricer->dispatch().services()[way.service];
    const WorkingCandidate& candidate = sets_.Untried(set, way.packaging);
    const WayToSend untried{service, candidate};
    if (!candidate.cost_known || !set.pricer->MayTake(untried)) return;
    const bool own_sides = sets_.KeepsItsSides(way.packaging);
    if (own_sides && !HangsOnOthers(service)) {
      AddPriced(set, way, {&candidate, 1}, List::Kind::kNotPacked, list);
      return;
    }
    way.due = FloorWith(set, way, candidate);
    way.floor = HangsOnOthers(service);
    if (way.floor || way.due < list.best[way.packaging])
      Push(list, way, way.floor && own_sides ? List::Kind::kNotPacked : List::Kind::kFloor);
  }

  void PricePacked(ParcelSet& set, ParcelWay way, List& list) {
    const ServiceState& service = set.pricer->dispatch().services()[way.service];
    const std::vector<WorkingCandidate>& parcels = set.parcels[way.packaging];
    if (!HangsOnOthers(service)) {
      AddPriced(set, way, parcels, List::Kind::kReady, list);
      return;
    }
    const WayToSend packed{service, parcels.front()};
    if (!parcels.front().cost_known || !set.pricer->MayTake(packed)) return;
    way.due = FloorWith(set, way, parcels.front());
    way.floor = true;
    Push(list, way, List::Kind::kReady);
  }

  std::int64_t FloorWith(const ParcelSet& set, const ParcelWay& way, const WorkingCandidate& parcel) const {
    const WayToSend to_send{set.pricer->dispatch().services()[way.service], parcel};
    return sets_.FloorOf(set, way.service, parcel) + set.pricer->HandicapOf(to_send).micros();
  }

  // Whole, or cut down: the lower total.
  void AddPriced(ParcelSet& set, ParcelWay way, std::span<const WorkingCandidate> parcels, List::Kind kind,
                 List& list) {
    const ServiceState& service = set.pricer->dispatch().services()[way.service];
    way.due = kNoPlan;
    for (const WorkingCandidate& parcel : parcels) {
      const WayToSend one{service, parcel};
      const std::optional<Amount> total =
          set.pricer->TotalAt(one, parcel.facts, set.pricer->dispatch().MeasureSides(parcel.facts, service));
      if (total) way.due = std::min(way.due, (*total + set.pricer->HandicapOf(one)).micros());
    }
    // Of equals both stay: which of two comes first is for their order to say.
    if (way.due >= kNoPlan || way.due > list.best[way.packaging]) return;
    list.best[way.packaging] = way.due;
    Push(list, way, kind);
  }

  ParcelSets& sets_;
  const SetFloors& floors_;
  std::vector<bool> services_;
  std::unordered_map<const ParcelSet*, List> lists_;
  bool hangs_ = false;
};

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_PLANS_INTERNAL_PARCEL_WAYS_H_
