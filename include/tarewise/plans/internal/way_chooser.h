#ifndef TAREWISE_PLANS_INTERNAL_WAY_CHOOSER_H_
#define TAREWISE_PLANS_INTERNAL_WAY_CHOOSER_H_

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <utility>
#include <vector>

#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "tarewise/plans/internal/consignments.h"
#include "tarewise/plans/internal/parcel_sets.h"
#include "tarewise/plans/internal/parcel_ways.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// One way to part an order, and how each parcel goes.
struct FoundPlan {
  std::int64_t due = kNoPlan;
  std::vector<ParcelSet*> sets;
  std::vector<ParcelWay> ways;  // Of each set.
};

/// Chooses a way for each parcel of a plan so that the sum is the lowest, with the packagings on hand, and with what
/// parcels by one service cost together.
class WayChooser {
 public:
  WayChooser(ParcelWays& ways, Consignments& consignments) : ways_(ways), consignments_(consignments) {}

  /// Looks no further than `steps` ways in all calls together.
  void SetSteps(std::int64_t steps) { steps_ = steps; }
  /// As though there were plenty of every packaging that is on hand.
  void TakePlenty() { plenty_ = true; }
  /// True where a packaging ran out on the way.
  bool ran_out() const { return ran_out_; }
  /// True where it could not look at all that it was asked about.
  bool cut_short() const { return cut_short_; }

  /// The best for these parcels, which stand in the order of a plan; nothing where none costs less than `below`.
  /// Errors: as `ParcelWays::At`.
  absl::StatusOr<std::optional<FoundPlan>> Choose(const std::vector<ParcelSet*>& sets, std::int64_t below) {
    sets_ = &sets;
    best_ = FoundPlan();
    best_.due = below;
    found_ = false;
    // After each parcel, the least that the others can come to.
    rest_.assign(sets.size() + 1, 0);
    for (std::size_t i = sets.size(); i-- > 0;) {
      const absl::StatusOr<const ParcelWay*> first = ways_.At(*sets[i], 0);
      if (!first.ok()) return first.status();
      if (*first == nullptr) return std::optional<FoundPlan>();
      rest_[i] = AddDue(rest_[i + 1], (*first)->due);
    }
    taken_.assign(ways_.sets().at_hand().size(), 0);
    chosen_.clear();
    places_.clear();
    if (absl::Status status = Go(0); !status.ok()) return status;
    if (!found_) return std::optional<FoundPlan>();
    best_.sets = sets;
    return std::optional<FoundPlan>(std::move(best_));
  }

 private:
  absl::Status Go(std::int64_t so_far) {
    const std::size_t i = chosen_.size();
    if (i == sets_->size()) return Finish(so_far);
    // Of equal goods the ways stand in their order.
    const bool as_before = i > 0 && (*sets_)[i] == (*sets_)[i - 1];
    for (std::size_t place = as_before ? places_.back() : 0;; ++place) {
      if (ways_.NextAtLeast(*(*sets_)[i]) == kNoPlan && place >= ways_.Of(*(*sets_)[i]).ways.size())
        return absl::OkStatus();
      const absl::StatusOr<const ParcelWay*> found = ways_.At(*(*sets_)[i], place);
      if (!found.ok()) return found.status();
      if (*found == nullptr) return absl::OkStatus();
      const ParcelWay way = **found;
      const std::int64_t sum = AddDue(so_far, way.due);
      // What hangs on others is not looked at in the order of the contract: of equals all are seen.
      const std::int64_t least = AddDue(sum, rest_[i + 1]);
      if (least > best_.due || (least == best_.due && !(found_ && ways_.hangs()))) return absl::OkStatus();
      if (--steps_ < 0) {
        cut_short_ = true;
        return absl::OkStatus();
      }
      if (way.packaging != ParcelWay::kNone) {
        const std::optional<std::int64_t>& on_hand = ways_.sets().at_hand()[way.packaging].on_hand;
        if (on_hand && !plenty_ && taken_[way.packaging] >= *on_hand) {
          ran_out_ = true;
          continue;
        }
        ++taken_[way.packaging];
      }
      chosen_.push_back(way);
      places_.push_back(place);
      absl::Status status = Go(sum);
      chosen_.pop_back();
      places_.pop_back();
      if (way.packaging != ParcelWay::kNone) --taken_[way.packaging];
      if (!status.ok()) return status;
    }
  }

  absl::Status Finish(std::int64_t so_far) {
    std::int64_t due = so_far;
    if (ways_.hangs()) {
      absl::StatusOr<std::int64_t> exact = consignments_.DueOf(*sets_, chosen_);
      if (!exact.ok()) return exact.status();
      due = *exact;
    }
    if (due > best_.due) return absl::OkStatus();
    if (due == best_.due && !(found_ && ways_.hangs() && ComesFirst(chosen_, best_.ways))) return absl::OkStatus();
    found_ = true;
    best_.due = due;
    best_.ways = chosen_;
    return absl::OkStatus();
  }

  // By the first parcel whose ways differ.
  bool ComesFirst(const std::vector<ParcelWay>& a, const std::vector<ParcelWay>& b) const {
    for (std::size_t i = 0; i < a.size(); ++i) {
      if (ways_.ComesFirst(a[i], b[i])) return true;
      if (ways_.ComesFirst(b[i], a[i])) return false;
    }
    return false;
  }

  ParcelWays& ways_;
  Consignments& consignments_;
  const std::vector<ParcelSet*>* sets_ = nullptr;
  std::vector<std::int64_t> rest_;
  std::vector<std::int64_t> taken_;
  std::vector<ParcelWay> chosen_;
  std::vector<std::size_t> places_;
  FoundPlan best_;
  std::int64_t steps_ = 0;
  bool found_ = false;
  bool cut_short_ = false;
  bool plenty_ = false;
  bool ran_out_ = false;
};

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_PLANS_INTERNAL_WAY_CHOOSER_H_
