#ifndef TAREWISE_PLANS_INTERNAL_PART_SEARCH_H_
#define TAREWISE_PLANS_INTERNAL_PART_SEARCH_H_

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <utility>
#include <vector>

#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "tarewise/plans/internal/best_plans.h"
#include "tarewise/plans/internal/order_units.h"
#include "tarewise/plans/internal/parcel_sets.h"
#include "tarewise/plans/internal/parcel_ways.h"
#include "tarewise/plans/internal/set_floors.h"
#include "tarewise/plans/internal/way_chooser.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// Finds the best ways to part an order, exactly: branch and bound over the parts of sets of goods. What a set costs is
/// first only a bound, and worked out where the bound does not do; what the rest of the goods costs at least is a
/// dynamic programme over all sets, and what a branch learns about its rest is kept.
class PartSearch {
 public:
  PartSearch(ParcelWays& ways, WayChooser& chooser, const SetFloors& floors, std::size_t most, std::int64_t steps)
      : ways_(ways),
        sets_(ways.sets()),
        chooser_(chooser),
        numbers_(sets_.units()),
        steps_(steps),
        known_(numbers_.count(), nullptr),
        least_(numbers_.count(), kNoPlan) {
    for (std::size_t n = 1; n < numbers_.count(); ++n) {
      const UnitCounts counts = numbers_.CountsOf(n);
      if (sets_.units().MayTravel(counts)) least_[n] = floors.Of(counts);
      for (const std::uint16_t count : counts) repeats_ = repeats_ || count > 1;
    }
    MakeRest(most);
  }

  /// Looks for plans that belong among the best. Errors: as `ParcelWays::At`.
  absl::Status Find(BestPlans& best) {
    best_ = &best;
    const std::size_t all = numbers_.count() - 1;
    // One parcel is the best more often than not, and its price rules out most of the others.
    parts_ = {all};
    if (absl::Status status = Finish(); !status.ok()) return status;
    Learn(all, SetOf(all));
    parts_.clear();
    if (absl::Status status = PriceWhatMatters(all); !status.ok()) return status;
    at_least_ = RestOf(all, limit_);
    const absl::StatusOr<std::int64_t> found = Go(all, limit_, 0);
    if (!found.ok()) return found.status();
    at_least_ = std::max(at_least_, *found);
    return absl::OkStatus();
  }

  /// No plan costs less, by the services that were looked at.
  std::int64_t at_least() const { return at_least_; }
  bool cut_short() const { return cut_short_ || chooser_.cut_short(); }

 private:
  struct Child {
    std::int64_t bound = 0;  // Of the part and what is left after it.
    std::uint32_t part = 0;
    // The lowest first; of equals the greater part, which leaves fewer parcels.
    friend bool operator<(const Child& a, const Child& b) {
      return a.bound != b.bound ? a.bound > b.bound : a.part < b.part;
    }
  };

  // What each set costs at least in so many parcels: rest_[m][set].
  void MakeRest(std::size_t most) {
    rest_.push_back(least_);  // Of none: not used.
    rest_.push_back(least_);
    rest_[0].assign(least_.size(), kNoPlan);
    rest_[0][0] = 0;
    rest_[1][0] = 0;
    while (rest_.size() <= most) {
      const std::vector<std::int64_t>& fewer = rest_.back();
      std::vector<std::int64_t> more = fewer;
      bool changed = false;
      for (std::size_t n = 1; n < least_.size(); ++n) {
        std::int64_t best = more[n];
        numbers_.VisitParts(numbers_.CountsOf(n),
                            [&](std::size_t part) { best = std::min(best, AddDue(least_[part], fewer[n - part])); });
        changed = changed || best < more[n];
        more[n] = best;
      }
      if (!changed) break;
      rest_.push_back(std::move(more));
    }
    limit_ = most;
  }

  // Prices the sets that may be part of a plan that belongs among the best, without packing them: that is dearer.
  absl::Status PriceWhatMatters(std::size_t all) {
    if (sets_.whole()) return absl::OkStatus();
    for (std::size_t n = 1; n < all; ++n) {
      const std::int64_t bound = AddDue(least_[n], RestOf(all - n, limit_ - 1));
      if (best_->Hopeless(bound, 2)) continue;
      if (++used_ + sets_.looked_at() > steps_) break;
      ParcelSet& set = SetOf(n);
      const absl::StatusOr<std::int64_t> due = ways_.PriceOnly(set);
      if (!due.ok()) return due.status();
      least_[n] = std::max(least_[n], *due);
    }
    rest_.clear();
    MakeRest(limit_);
    return absl::OkStatus();
  }

  ParcelSet& SetOf(std::size_t number) {
    if (known_[number] == nullptr) known_[number] = &sets_.Of(numbers_.CountsOf(number));
    return *known_[number];
  }

  std::int64_t RestOf(std::size_t number, std::size_t parcels) const {
    if (number == 0) return 0;
    return parcels == 0 ? kNoPlan : rest_[std::min(parcels, rest_.size() - 1)][number];
  }

  // Plans for what is left, in at most so many parcels; what that costs at least. With `after` no part may stand
  // before it in the order of a plan's parcels: equal goods are parted once.
  absl::StatusOr<std::int64_t> Go(std::size_t left, std::size_t parcels, std::int64_t so_far) {
    const UnitCounts counts = numbers_.CountsOf(left);
    std::vector<Child> children;
    const std::optional<UnitCounts> after = After(counts);
    numbers_.VisitParts(counts, [&](std::size_t part) {
      const std::int64_t bound = AddDue(least_[part], RestOf(left - part, parcels - 1));
      if (bound >= kNoPlan) return;
      if (after && StandsBefore(numbers_.CountsOf(part), *after)) return;
      children.push_back({bound, static_cast<std::uint32_t>(part)});
    });
    std::make_heap(children.begin(), children.end());
    std::int64_t least = kNoPlan;
    while (!children.empty()) {
      std::pop_heap(children.begin(), children.end());
      Child child = children.back();
      children.pop_back();
      const std::size_t after_it = left - child.part;
      const std::int64_t now = AddDue(least_[child.part], RestOf(after_it, parcels - 1));
      if (now > child.bound) {  // More is known by now.
        Again(children, child, now);
        continue;
      }
      const std::size_t at_least = parts_.size() + (after_it == 0 ? 1 : 2);
      const std::int64_t sum = AddDue(so_far, child.bound);
      if (cut_short() || best_->Hopeless(sum, at_least)) {
        least = std::min(least, child.bound);
        // Those that follow cost no less, but of the same sum one may have fewer parcels.
        if (cut_short() || sum > best_->below()) break;
        continue;
      }
      ParcelSet& set = SetOf(child.part);
      if (!Exact(set)) {
        if (++used_ + sets_.looked_at() > steps_) {
          cut_short_ = true;
          least = std::min(least, child.bound);
          break;
        }
        if (absl::Status status = ways_.Refine(set); !status.ok()) return status;
        Learn(child.part, set);
        const std::int64_t bound = AddDue(least_[child.part], RestOf(after_it, parcels - 1));
        if (bound < kNoPlan) Again(children, child, bound);
        continue;
      }
      parts_.push_back(child.part);
      std::int64_t whole = child.bound;
      if (after_it == 0) {
        if (absl::Status status = Finish(); !status.ok()) return status;
      } else {
        const absl::StatusOr<std::int64_t> rest = Go(after_it, parcels - 1, AddDue(so_far, least_[child.part]));
        if (!rest.ok()) return rest.status();
        whole = AddDue(least_[child.part], *rest);
      }
      parts_.pop_back();
      least = std::min(least, whole);
    }
    if (!after && (parcels + 1 < rest_.size() || parcels >= Total(counts) || parcels == limit_)) {
      std::int64_t& known = rest_[std::min(parcels, rest_.size() - 1)][left];
      known = std::max(known, least);
    }
    return least;
  }

  static void Again(std::vector<Child>& children, Child child, std::int64_t bound) {
    child.bound = bound;
    if (bound >= kNoPlan) return;
    children.push_back(child);
    std::push_heap(children.begin(), children.end());
  }

  bool Exact(const ParcelSet& set) { return !ways_.Of(set).ways.empty(); }

  void Learn(std::size_t number, const ParcelSet& set) {
    least_[number] = std::max(least_[number], ways_.AtLeast(set));
  }

  // The part before, where what is left could make one that comes before it.
  std::optional<UnitCounts> After(const UnitCounts& left) {
    if (!repeats_ || parts_.empty()) return std::nullopt;
    UnitCounts last = numbers_.CountsOf(parts_.back());
    for (std::size_t k = 0; k < left.size(); ++k) {
      if (last[k] != 0) return left[k] != 0 ? std::optional<UnitCounts>(std::move(last)) : std::nullopt;
    }
    return std::nullopt;
  }
  static std::size_t Total(const UnitCounts& counts) {
    std::size_t total = 0;
    for (const std::uint16_t count : counts) total += count;
    return total;
  }

  absl::Status Finish() {
    std::vector<ParcelSet*> sets;
    for (const std::size_t part : parts_) sets.push_back(&SetOf(part));
    absl::StatusOr<std::optional<FoundPlan>> plan = chooser_.Choose(sets, AddDue(best_->below(), 1));
    if (!plan.ok()) return plan.status();
    if (*plan) best_->Add(**std::move(plan));
    return absl::OkStatus();
  }

  ParcelWays& ways_;
  ParcelSets& sets_;
  WayChooser& chooser_;
  SetNumbers numbers_;
  BestPlans* best_ = nullptr;
  std::int64_t steps_;
  std::int64_t used_ = 0;
  std::vector<ParcelSet*> known_;
  std::vector<std::int64_t> least_;  // No parcel of the set costs less; of one whose way is known, its cost.
  std::vector<std::vector<std::int64_t>> rest_;  // No parcels of the set, so many at most, cost less together.
  std::vector<std::size_t> parts_;
  std::size_t limit_ = 0;
  std::int64_t at_least_ = 0;
  bool repeats_ = false;
  bool cut_short_ = false;
};

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_PLANS_INTERNAL_PART_SEARCH_H_
