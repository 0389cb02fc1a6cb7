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
#include "tarewise/plans/internal/order_bound.h"
#include "tarewise/plans/internal/order_units.h"
#include "tarewise/plans/internal/parcel_sets.h"
#include "tarewise/plans/internal/parcel_ways.h"
#include "tarewise/plans/internal/part_moves.h"
#include "tarewise/plans/internal/part_search.h"
#include "tarewise/plans/internal/plans_maker.h"
#include "tarewise/plans/internal/set_floors.h"
#include "tarewise/plans/internal/way_chooser.h"
#include "tarewise/plans/plans.h"
#include "tarewise/ranking/internal/request_checks.h"
#include "tarewise/ranking/internal/request_goods.h"
#include "tarewise/units/internal/quantity_text.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// Errors: InvalidArgument for what a request for plans cannot be; see `FindPlans`.
inline absl::Status CheckPlanned(const Request& request, const Dispatch& dispatch) {
  if (absl::Status status = CheckSent(request); !status.ok()) return status;
  if (request.parcel)
    return InvalidAt("parcel", "found one sealed parcel, expected goods, or several under \"sealed\"");
  if (request.consignment.others != 0) {
    return InvalidAt("consignment", "found with an order that is to be planned, expected none: plans make their own");
  }
  const bool parted = request.sealed.size() > 1 || (request.parcels && request.parcels->most > 1);
  const std::optional<Amount>& cash = dispatch.shipment().cash_on_delivery;
  if (parted && cash && cash->micros() > 0) {
    return InvalidAt("amounts/cash_on_delivery",
                     "found with several parcels, expected one: which of them collects it is for seller and buyer to "
                     "settle");
  }
  if (parted && dispatch.shipment().cover && dispatch.shipment().cover->micros() > 0) {
    Int128 value = 0;
    for (const Item& item : request.goods) value += Int128(item.value.micros()) * item.quantity;
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
    const Limits limits{.most = static_cast<std::size_t>(asked_.most), .all_by = asked_.all_by};
    absl::StatusOr<Found> found = Seek(limits, static_cast<std::size_t>(asked_.plans));
    if (!found.ok()) return found.status();
    PlansMaker maker(request_, sets_, consignments_, options_);
    for (const FoundPlan& plan : found->best.plans()) {
      if (absl::Status status = maker.AddPlan(plan); !status.ok()) return status;
    }
    const bool any = !found->best.plans().empty();
    const std::int64_t best = any ? found->best.plans().front().due : kNoPlan;
    const bool proved = found->proved || (any && found->at_least >= best);
    maker.SetProved(proved, proved ? best : std::min(found->at_least, best));
    if (request_->sealed.empty()) {
      if (absl::Status status = AddSingle(maker, *found); !status.ok()) return status;
    }
    if (!any) {
      if (absl::Status status = AddObstacles(maker, limits, proved); !status.ok()) return status;
    }
    return std::move(maker).Take();
  }

 private:
  // What is asked of a plan.
  struct Limits {
    std::size_t most = 1;
    AllBy all_by = AllBy::kAny;
    bool plenty = false;  // Of every packaging on hand.
  };
  struct Found {
    BestPlans best;
    bool proved = true;
    std::int64_t at_least = kNoPlan;
  };

  absl::StatusOr<Found> Seek(const Limits& limits, std::size_t plans) {
    Found found{BestPlans(request_->sealed.empty() ? plans : 1)};
    for (const std::vector<bool>& services : Choices(limits.all_by)) {
      const absl::StatusOr<SetFloors> floors = FloorsOf(services);
      if (!floors.ok()) return floors.status();
      ParcelWays ways(sets_, services, *floors);
      WayChooser chooser(ways, consignments_);
      chooser.SetSteps(options_.steps);
      if (limits.plenty) chooser.TakePlenty();
      absl::Status status = !request_->sealed.empty() ? ChooseForSealed(chooser, found)
                            : EveryWay()              ? Part(limits, ways, *floors, chooser, found)
                                                      : Move(limits, services, ways, chooser, found);
      if (!status.ok()) return status;
    }
    return found;
  }

  // True where each way to part the goods can be looked at.
  bool EveryWay() const { return SetNumbers::PairsOf(units_) <= options_.pairs; }

  // Those that take some of the goods.
  std::vector<bool> AnyService() const {
    std::vector<bool> services(sets_.state().services().size());
    for (std::size_t s = 0; s < services.size(); ++s) services[s] = sets_.Takes(s);
    return services;
  }

  // Which services may be used together.
  std::vector<std::vector<bool>> Choices(AllBy all_by) const {
    const std::vector<ServiceState>& services = sets_.state().services();
    const std::vector<bool> any = AnyService();
    if (all_by == AllBy::kAny) return {any};
    std::vector<std::vector<bool>> choices;
    for (std::size_t s = 0; s < services.size(); ++s) {
      const bool again = all_by == AllBy::kCarrier && !choices.empty() && choices.back()[s];
      if (!any[s] || again) continue;
      std::vector<bool> one(services.size(), false);
      for (std::size_t t = 0; t < services.size(); ++t) {
        one[t] = any[t] && (all_by == AllBy::kService ? t == s : services[t].carrier == services[s].carrier);
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

  absl::Status Move(const Limits& limits, const std::vector<bool>& services, ParcelWays& ways, WayChooser& chooser,
                    Found& found) {
    ParcelSet& all = sets_.Of(units_.All());
    sets_.BeQuick();
    PartMoves moves(ways, chooser, limits.most, options_.sets);
    if (absl::Status status = moves.Find(found.best); !status.ok()) return status;
    found.proved = false;
    found.at_least = std::min(found.at_least, OrderBound(sets_, all, services).Of(limits.most));
    return absl::OkStatus();
  }

  absl::Status MakeSealedReady() {
    if (!sealed_.empty()) return absl::OkStatus();
    for (const Parcel& parcel : request_->sealed) {
      sealed_.push_back(sets_.OfSealed(parcel));
      if (absl::Status status = sets_.MakeReady(*sealed_.back()); !status.ok()) return status;
    }
    return absl::OkStatus();
  }

  absl::Status ChooseForSealed(WayChooser& chooser, Found& found) {
    if (absl::Status status = MakeSealedReady(); !status.ok()) return status;
    std::vector<ParcelSet*> sets;
    for (const std::unique_ptr<ParcelSet>& one : sealed_) sets.push_back(one.get());
    absl::StatusOr<std::optional<FoundPlan>> plan = chooser.Choose(sets, found.best.below());
    if (!plan.ok()) return plan.status();
    if (*plan) found.best.Add(**std::move(plan));
    found.proved = found.proved && !chooser.cut_short();
    return absl::OkStatus();
  }

  absl::Status AddSingle(PlansMaker& maker, const Found& found) {
    for (std::size_t i = 0; i < found.best.plans().size() && asked_.all_by == AllBy::kAny; ++i) {
      if (found.best.plans()[i].sets.size() > 1) continue;
      maker.SetSingle(i);
      return absl::OkStatus();
    }
    absl::StatusOr<std::optional<FoundPlan>> one = BestOf(units_.All());
    if (!one.ok() || !*one) return one.status();
    const absl::StatusOr<Amount> total = maker.TotalOf(**one);
    if (!total.ok()) return total.status();
    maker.SetSingle(*total);
    return absl::OkStatus();
  }

  // The best way for one parcel with these goods, by whatever service.
  absl::StatusOr<std::optional<FoundPlan>> BestOf(const UnitCounts& counts) {
    const std::vector<bool> services = AnyService();
    const absl::StatusOr<SetFloors> floors = FloorsOf(services);
    if (!floors.ok()) return floors.status();
    ParcelWays ways(sets_, services, *floors);
    WayChooser chooser(ways, consignments_);
    chooser.SetSteps(options_.steps);
    return chooser.Choose({&sets_.Of(counts)}, kNoPlan);
  }

  // ---- what stands in the way ----

  absl::Status AddObstacles(PlansMaker& maker, const Limits& limits, bool proved) {
    bool any = false;
    if (request_->sealed.empty()) {
      for (std::size_t k = 0; k < units_.size(); ++k) {
        absl::StatusOr<std::optional<FoundPlan>> alone = BestOf(units_.One(k));
        if (!alone.ok()) return alone.status();
        if (*alone) continue;
        any = true;
        if (absl::Status status = AddNothingTakes(maker, k); !status.ok()) return status;
      }
    } else {
      if (absl::Status status = MakeSealedReady(); !status.ok()) return status;
      for (std::size_t i = 0; i < sealed_.size(); ++i) {
        const absl::StatusOr<bool> taken = AddIfNothingTakes(maker, i);
        if (!taken.ok()) return taken.status();
        any = any || !*taken;
      }
    }
    if (any) return absl::OkStatus();
    if (!proved) {
      maker.AddObstacle({.code = Obstacle::kNotFound,
                         .text = "the search ended before a plan was found; none is known to be impossible"});
      return absl::OkStatus();
    }
    // What alone, were it not asked for, would leave a plan; where nothing alone does, all of it.
    for (const bool together : {false, true}) {
      const absl::StatusOr<bool> found = AddLimits(maker, limits, together);
      if (!found.ok()) return found.status();
      if (*found) return absl::OkStatus();
    }
    maker.AddObstacle({.code = Obstacle::kNotFound, .text = "no plan was found, in however many parcels"});
    return absl::OkStatus();
  }

  absl::StatusOr<bool> AddLimits(PlansMaker& maker, const Limits& limits, bool together) {
    Limits loose = limits;
    if (together) loose = {.most = MostUnits(), .all_by = AllBy::kAny, .plenty = true};
    bool any = false;
    auto look = [&](const Limits& with) -> absl::StatusOr<std::optional<std::size_t>> {
      absl::StatusOr<Found> found = Seek(with, 1);
      if (!found.ok()) return found.status();
      if (found->best.plans().empty()) return std::optional<std::size_t>();
      return std::optional<std::size_t>(found->best.plans().front().sets.size());
    };
    auto numbered = [](const NumberedAtHand& at_hand) { return at_hand.on_hand.has_value(); };
    if (std::any_of(sets_.at_hand().begin(), sets_.at_hand().end(), numbered)) {
      Limits plenty = loose;
      plenty.plenty = true;
      const absl::StatusOr<std::optional<std::size_t>> found = look(plenty);
      if (!found.ok()) return found.status();
      if (*found) {
        any = true;
        maker.AddObstacle(
            {.code = Obstacle::kNotOnHand, .text = "there are not enough of the packagings that the goods go into"});
      }
    }
    if (request_->sealed.empty()) {
      std::optional<std::int32_t> need;
      Limits more = loose;
      for (more.most = limits.most + 1; !need && more.most <= MostUnits(); ++more.most) {
        const absl::StatusOr<std::optional<std::size_t>> found = look(more);
        if (!found.ok()) return found.status();
        if (*found && **found > limits.most) need = static_cast<std::int32_t>(**found);
      }
      if (need) {
        any = true;
        maker.AddObstacle(
            {.code = Obstacle::kMoreParcels,
             .text = "at most " + std::to_string(limits.most) + " may go, and " + std::to_string(*need) + " are needed",
             .need = need});
      }
    }
    if (limits.all_by != AllBy::kAny) {
      Limits by_any = loose;
      by_any.all_by = AllBy::kAny;
      const absl::StatusOr<std::optional<std::size_t>> found = look(by_any);
      if (!found.ok()) return found.status();
      if (*found) {
        any = true;
        maker.AddObstacle({.code = Obstacle::kNotByOne,
                           .text = std::string("no one ") + std::string(kAllByNames[static_cast<int>(limits.all_by)]) +
                                   " takes all parcels"});
      }
    }
    return any;
  }

  std::size_t MostUnits() const {
    std::size_t units = 0;
    for (const OrderUnits::Kind& kind : units_.kinds()) units += kind.count;
    return std::min(units, static_cast<std::size_t>(kMostParcels));
  }

  absl::Status AddNothingTakes(PlansMaker& maker, std::size_t kind) {
    ParcelSet& set = sets_.Of(units_.One(kind));
    const std::vector<PlannedGoods> goods = units_.GoodsOf(set.counts);
    absl::StatusOr<Ranking> alone = Rank(set.dispatch, sets_.shelf(), sets_.RequestFor(set, goods),
                                         {.thresholds = false, .packer = options_.packer});
    if (!alone.ok()) return alone.status();
    std::string text = "nothing takes ";
    for (std::size_t i = 0; i < goods.size(); ++i) {
      const std::string& title = request_->goods[goods[i].item].title;
      text += (i == 0 ? "" : " with ") + ("goods/" + std::to_string(goods[i].item));
      if (!title.empty()) text += " (" + title + ")";
    }
    maker.AddObstacle({.code = Obstacle::kNothingTakes,
                       .text = text + (goods.size() > 1 ? ", which must travel together" : ""),
                       .goods = goods,
                       .alone = *std::move(alone)});
    return absl::OkStatus();
  }

  absl::StatusOr<bool> AddIfNothingTakes(PlansMaker& maker, std::size_t sealed) {
    absl::StatusOr<Ranking> alone = Rank(sealed_[sealed]->dispatch, sets_.shelf(), *sealed_[sealed]->request,
                                         {.thresholds = false, .packer = options_.packer});
    if (!alone.ok()) return alone.status();
    if (!alone->offers().empty()) return true;
    maker.AddObstacle({.code = Obstacle::kNothingTakes,
                       .text = "nothing takes sealed/" + std::to_string(sealed),
                       .alone = *std::move(alone),
                       .sealed = sealed});
    return false;
  }

  std::shared_ptr<const Request> request_;
  const PlanOptions& options_;
  OrderUnits units_;
  SeveralParcels asked_;
  ParcelSets sets_;
  Consignments consignments_;
  std::vector<std::unique_ptr<ParcelSet>> sealed_;
};

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_PLANS_INTERNAL_PLANNER_H_
