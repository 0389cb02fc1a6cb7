#ifndef TAREWISE_PLANS_INTERNAL_BEST_PLANS_H_
#define TAREWISE_PLANS_INTERNAL_BEST_PLANS_H_

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <utility>
#include <vector>

#include "tarewise/plans/internal/parcel_sets.h"
#include "tarewise/plans/internal/way_chooser.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// The best ways to part an order that were found so far, each once, at most so many.
class BestPlans {
 public:
  explicit BestPlans(std::size_t most) : most_(most) {}

  const std::vector<FoundPlan>& plans() const { return plans_; }
  bool full() const { return plans_.size() == most_; }
  /// What a plan must stay below to be among them; of equals that have more parcels none is.
  std::int64_t below() const { return full() ? plans_.back().due : kNoPlan; }

  /// True where no plan of this sum, or more, and of so many parcels, or more, can be among them.
  bool Hopeless(std::int64_t due, std::size_t parcels) const {
    if (due >= kNoPlan) return true;
    if (!full() || due < plans_.back().due) return false;
    return due > plans_.back().due || parcels >= plans_.back().sets.size();
  }

  void Add(FoundPlan plan) {
    for (FoundPlan& one : plans_) {
      if (one.sets != plan.sets) continue;
      if (plan.due < one.due) one = std::move(plan);
      Sort();
      return;
    }
    plans_.push_back(std::move(plan));
    Sort();
    if (plans_.size() > most_) plans_.pop_back();
  }

 private:
  void Sort() {
    std::stable_sort(plans_.begin(), plans_.end(), [](const FoundPlan& a, const FoundPlan& b) {
      if (a.due != b.due) return a.due < b.due;
      return a.sets.size() < b.sets.size();
    });
  }

  std::size_t most_;
  std::vector<FoundPlan> plans_;
};

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_PLANS_INTERNAL_BEST_PLANS_H_
