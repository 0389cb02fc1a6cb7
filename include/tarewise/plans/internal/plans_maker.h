#ifndef TAREWISE_PLANS_INTERNAL_PLANS_MAKER_H_
#define TAREWISE_PLANS_INTERNAL_PLANS_MAKER_H_

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <memory>
#include <optional>
#include <utility>
#include <vector>

#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "tarewise/plans/internal/consignments.h"
#include "tarewise/plans/internal/order_units.h"
#include "tarewise/plans/internal/parcel_sets.h"
#include "tarewise/plans/internal/way_chooser.h"
#include "tarewise/plans/plans.h"
#include "tarewise/ranking/cautions.h"
#include "tarewise/ranking/rank.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// The one that fills a `Plans`: explains what was found, and checks on the way that each parcel's offer comes to what
/// the search took it for.
class PlansMaker {
 public:
  PlansMaker(std::shared_ptr<const Request> request, ParcelSets& sets, const Consignments& consignments,
             const PlanOptions& options)
      : sets_(sets), consignments_(consignments), options_(options) {
    plans_.request_ = std::move(request);
    plans_.currency_ = sets.dispatch()->currency();
    plans_.estimate_ = sets.shelf() == nullptr && plans_.request_->sealed.empty();
  }

  /// Errors: Internal where an offer is not what the search took it for.
  absl::Status AddPlan(const FoundPlan& found) {
    Plan plan;
    UnitCounts before(sets_.units().size(), 0);
    std::int64_t due = 0;
    for (std::size_t i = 0; i < found.sets.size(); ++i) {
      absl::StatusOr<PlannedParcel> parcel = ParcelOf(found, i, before);
      if (!parcel.ok()) return parcel.status();
      due = AddDue(due, sets_.DueOf(parcel->offer()));
      plan.parcels.push_back(*std::move(parcel));
      for (std::size_t k = 0; k < before.size(); ++k) {
        before[k] = static_cast<std::uint16_t>(before[k] + found.sets[i]->counts[k]);
      }
    }
    // A quick search may have taken a parcel for dearer than it is.
    if (due > found.due || (due < found.due && !sets_.quick())) {
      return absl::InternalError("a plan costs something else than its parcels together");
    }
    AddUp(plan);
    AddOnce(found, plan);
    plans_.plans_.push_back(std::move(plan));
    return absl::OkStatus();
  }

  /// The total of a plan of one parcel.
  absl::StatusOr<Amount> TotalOf(const FoundPlan& one) const {
    const absl::StatusOr<PlannedParcel> parcel = ParcelOf(one, 0, UnitCounts(sets_.units().size(), 0));
    if (!parcel.ok()) return parcel.status();
    return parcel->offer().total;
  }
  /// A plan that was added, by its place, is of one parcel.
  void SetSingle(std::size_t plan) { plans_.single_ = plans_.plans_[plan].total; }
  void SetSingle(Amount total) { plans_.single_ = total; }
  void SetProved(bool proved, std::int64_t at_least) {
    plans_.proved_ = proved;
    if (at_least < kWouldBeRefused) plans_.at_least_ = Amount::Micros(at_least);
  }
  void AddObstacle(PlanObstacle obstacle) { plans_.obstacles_.push_back(std::move(obstacle)); }

  Plans Take() && {
    CautionSet all;
    for (const Item& item : plans_.request_->goods) {
      all.AddAll(CautionsOfGoods(item.contents.bits(), item.weight_most.value_or(item.weight)));
    }
    for (const Parcel& parcel : plans_.request_->sealed) {
      all.AddAll(CautionsOfGoods(parcel.contents.bits(), parcel.weight_most.value_or(parcel.weight)));
    }
    for (const Plan& plan : plans_.plans_) {
      for (const PlannedParcel& parcel : plan.parcels) all.AddAll(parcel.offer().cautions);
    }
    plans_.cautions_ = all.Told().List();
    return std::move(plans_);
  }

 private:
  absl::StatusOr<PlannedParcel> ParcelOf(const FoundPlan& found, std::size_t i, const UnitCounts& before) const {
    const ParcelSet& set = *found.sets[i];
    const ParcelWay& way = found.ways[i];
    PlannedParcel parcel;
    Request request;
    if (set.request->parcel) {
      parcel.sealed = i;
      request = *set.request;
    } else {
      parcel.goods = sets_.units().GoodsOf(set.counts, &before);
      request = sets_.RequestFor(set, parcel.goods);
    }
    std::shared_ptr<const Dispatch> dispatch = set.dispatch;
    if (way.floor) {
      request.consignment = consignments_.Of(found.sets, found.ways, i);
      absl::StatusOr<std::shared_ptr<const Dispatch>> made = Consignments::DispatchFor(*dispatch, request.consignment);
      if (!made.ok()) return made.status();
      dispatch = *std::move(made);
    }
    const RankOptions options{.thresholds = options_.thresholds, .packer = options_.packer};
    absl::StatusOr<Ranking> ranking =
        Rank(std::move(dispatch), sets_.ShelfWith(way.packaging), std::move(request), options);
    if (!ranking.ok()) return ranking.status();
    parcel.ranking = *std::move(ranking);
    const std::vector<Offer>& offers = parcel.ranking.offers();
    const auto chosen = std::find_if(offers.begin(), offers.end(),
                                     [&way](const Offer& offer) { return offer.service_index == way.service; });
    if (chosen == offers.end()) return absl::InternalError("a plan has a parcel that its service does not take");
    parcel.offer_index = static_cast<std::size_t>(chosen - offers.begin());
    return parcel;
  }

  void AddUp(Plan& plan) const {
    plan.days = Days();
    plan.arrives = plan.parcels.front().offer().arrives;
    plan.total_at_risk = Amount();
    for (const PlannedParcel& parcel : plan.parcels) {
      const Offer& offer = parcel.offer();
      plan.total = plan.total + offer.total;
      plan.handicap = plan.handicap + offer.handicap;
      plan.at_risk = plan.at_risk || offer.at_risk;
      if (offer.at_risk && !offer.total_at_risk) plan.total_at_risk.reset();
      if (plan.total_at_risk) {
        plan.total_at_risk = *plan.total_at_risk + (offer.at_risk ? *offer.total_at_risk : offer.total);
      }
      if (!offer.days) plan.days.reset();
      if (plan.days) {
        plan.days = Days{std::max(plan.days->least, offer.days->least), std::max(plan.days->most, offer.days->most)};
      }
      if (!offer.arrives) plan.arrives.reset();
      if (plan.arrives) {
        plan.arrives = Arrival{std::max(plan.arrives->earliest, offer.arrives->earliest),
                               std::max(plan.arrives->latest, offer.arrives->latest)};
      }
    }
    if (!plan.at_risk) plan.total_at_risk.reset();
  }

  // What the first parcel of each consignment bears for all.
  static void AddOnce(const FoundPlan& found, Plan& plan) {
    for (std::size_t i = 0; i < plan.parcels.size(); ++i) {
      const Ranking& ranking = plan.parcels[i].ranking;
      if (!found.ways[i].floor || ranking.request().consignment.others == 0) continue;
      if (!ranking.request().consignment.first) continue;
      const Offer& offer = plan.parcels[i].offer();
      for (const Charge& charge : offer.charges) {
        if (!charge.basis.once) continue;
        plan.once.push_back({i, offer.carrier, offer.service, charge.code, charge.title, charge.amount});
      }
    }
  }

  ParcelSets& sets_;
  const Consignments& consignments_;
  const PlanOptions& options_;
  Plans plans_;
};

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_PLANS_INTERNAL_PLANS_MAKER_H_
