#ifndef TAREWISE_PLANS_INTERNAL_PLANNER_H_
#define TAREWISE_PLANS_INTERNAL_PLANNER_H_

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "tarewise/plans/internal/best_plans.h"
#include "tarewise/plans/internal/consignments.h"
#include "tarewise/plans/internal/order_units.h"
#include "tarewise/plans/internal/parcel_sets.h"
#include "tarewise/plans/internal/parcel_ways.h"
#include "tarewise/plans/internal/part_search.h"
#include "tarewise/plans/internal/plans_maker.h"
#include "tarewise/plans/internal/set_floors.h"
#include "tarewise/plans/internal/way_chooser.h"
#include "tarewise/plans/plans.h"
#include "tarewise/ranking/internal/request_checks.h"
#include "tarewise/ranking/internal/request_goods.h"
#include "tarewise/units/internal/quantity_text.h"

namespace tarewise::internal {

/// Errors: InvalidArgument for what a request for plans cannot be; see `FindPlans`.
inline absl::Status CheckPlanned(const Request& request, const Dispatch& dispatch) {
  if (absl::Status status = CheckSent(request); !status.ok()) return status;
  if (request.parcel)
    return InvalidAt("parcel", "found one sealed parcel, expected goods, or several under \"sealed\"");
  const bool parted = request.sealed.size() > 1 || (request.parcels && request.parcels->most > 1);
  const std::optional<Amount>& cash = dispatch.shipment().cash_on_delivery;
  if (parted && cash && cash->micros() > 0) {
    return InvalidAt("amounts/cash_on_delivery",
                     "found with several parcels, expected one: which of them collects it is for seller and buyer to "
                     "settle");
  }
  if (parted && dispatch.shipment().cover && dispatch.shipment().cover->micros() > 0) {
    Int128 value = 0;
    for (const Item& item : request.goods) value += item.value.micros();
    for (const Parcel& parcel : request.sealed) value += parcel.value.micros();
    if (value == 0) {
      return InvalidAt("cover",
                       "found with goods of no declared value, expected their values: parcels share it by them");
    }
  }
  if (!request.sealed.empty()) return absl::OkStatus();
  return RequestGoods::Of(request).status();
}

/// Seeks plans for one order; see `FindPlans`.
class Planner {
 public:
  Planner(std::shared_ptr<const Request> request, std::shared_ptr<const Dispatch> dispatch,
          std::shared_ptr<const Shelf> shelf, const PlanOptions& options)
      : request_(std::move(request)),
        options_(options),
        units_(*request_),
        asked_(request_->parcels.value_or(SeveralParcels())),
        sets_(units_, std::move(dispatch), std::move(shelf), options.packer),
        consignments_(sets_) {}
  Planner(const Planner&) = delete;
  Planner& operator=(const Planner&) = delete;

  absl::StatusOr<Plans> Find() {
    absl::StatusOr<Found> found = Seek({.most = static_cast<std::size_t>(asked_.most), .all_by = asked_.all_by},
                                       static_cast<std::size_t>(asked_.plans));
    if (!found.ok()) return found.status();
    PlansMaker maker(request_, sets_, options_);
    for (const FoundPlan& plan : found->best.plans()) {
      if (absl::Status status = maker.AddPlan(plan); !status.ok()) return status;
    }
    const bool any = !found->best.plans().empty();
    maker.SetProved(found->proved, any && found->proved ? found->best.plans().front().due : found->at_least);
    if (request_->sealed.empty()) {
      if (absl::Status status = AddSingle(maker); !status.ok()) return status;
    }
    return std::move(maker).Take();
  }

 private:
  // What is asked of a plan.
  struct Limits {
    std::size_t most = 1;
    AllBy all_by = AllBy::kAny;
  };
  struct Found {
    BestPlans best;
    bool proved = true;
    std::int64_t at_least = kNoWay;
  };

  absl::StatusOr<Found> Seek(const Limits& limits, std::size_t plans) {
    Found found{BestPlans(request_->sealed.empty() ? plans : 1)};
    for (const std::vector<bool>& services : Choices(limits.all_by)) {
      const absl::StatusOr<SetFloors> floors = FloorsOf(services);
      if (!floors.ok()) return floors.status();
      ParcelWays ways(sets_, services, *floors);
      WayChooser chooser(ways, consignments_);
      chooser.SetSteps(options_.steps);
      absl::Status status =
          request_->sealed.empty() ? Part(limits, ways, *floors, chooser, found) : ChooseForSealed(chooser, found);
      if (!status.ok()) return status;
    }
    return found;
  }

  // Which services may be used together.
  std::vector<std::vector<bool>> Choices(AllBy all_by) const {
    const std::vector<ServiceState>& services = sets_.state().services();
    std::vector<std::vector<bool>> choices;
    if (all_by == AllBy::kAny) return {std::vector<bool>(services.size(), true)};
    for (std::size_t s = 0; s < services.size(); ++s) {
      if (services[s].out) continue;
      const bool again = all_by == AllBy::kCarrier && !choices.empty() && choices.back()[s];
      if (again) continue;
      std::vector<bool> one(services.size(), false);
      for (std::size_t t = 0; t < services.size(); ++t) {
        one[t] = all_by == AllBy::kService ? t == s : services[t].carrier == services[s].carrier;
      }
      choices.push_back(std::move(one));
    }
    return choices;
  }

  absl::StatusOr<SetFloors> FloorsOf(const std::vector<bool>& services) {
    if (!request_->sealed.empty()) return SetFloors(units_);
    ParcelSet& all = sets_.Of(units_.All());
    if (absl::Status status = sets_.MakeReady(all); !status.ok()) return status;
    return SetFloors(sets_, *all.pricer, services);
  }

  absl::Status Part(const Limits& limits, ParcelWays& ways, const SetFloors& floors, WayChooser& chooser,
                    Found& found) {
    PartSearch search(ways, chooser, floors, limits.most, options_.steps);
    if (absl::Status status = search.Find(found.best); !status.ok()) return status;
    found.proved = found.proved && !search.cut_short();
    found.at_least = std::min(found.at_least, search.at_least());
    return absl::OkStatus();
  }

  absl::Status ChooseForSealed(WayChooser& chooser, Found& found) {
    if (sealed_.empty()) {
      for (const Parcel& parcel : request_->sealed) {
        sealed_.push_back(sets_.OfSealed(parcel));
        if (absl::Status status = sets_.MakeReady(*sealed_.back()); !status.ok()) return status;
      }
    }
    std::vector<ParcelSet*> sets;
    for (const std::unique_ptr<ParcelSet>& one : sealed_) sets.push_back(one.get());
    absl::StatusOr<std::optional<FoundPlan>> plan = chooser.Choose(sets, found.best.below());
    if (!plan.ok()) return plan.status();
    if (*plan) found.best.Add(**std::move(plan));
    found.proved = found.proved && !chooser.cut_short();
    return absl::OkStatus();
  }

  absl::Status AddSingle(PlansMaker& maker) {
    const std::vector<bool> services(sets_.state().services().size(), true);
    const absl::StatusOr<SetFloors> floors = FloorsOf(services);
    if (!floors.ok()) return floors.status();
    ParcelWays ways(sets_, services, *floors);
    WayChooser chooser(ways, consignments_);
    chooser.SetSteps(options_.steps);
    absl::StatusOr<std::optional<FoundPlan>> one = chooser.Choose({&sets_.Of(units_.All())}, kNoWay);
    if (!one.ok()) return one.status();
    if (!*one) return absl::OkStatus();
    const absl::StatusOr<Amount> total = maker.TotalOf(**one);
    if (!total.ok()) return total.status();
    maker.SetSingle(*total);
    return absl::OkStatus();
  }

  std::shared_ptr<const Request> request_;
  const PlanOptions& options_;
  OrderUnits units_;
  SeveralParcels asked_;
  ParcelSets sets_;
  Consignments consignments_;
  std::vector<std::unique_ptr<ParcelSet>> sealed_;
};

}  // namespace tarewise::internal

#endif  // TAREWISE_PLANS_INTERNAL_PLANNER_H_
