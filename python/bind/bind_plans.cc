#include <memory>
#include <string>
#include <utility>
#include <vector>

#include "convert.h"
#include "ranking.h"
#include "sequence.h"
#include "tables.h"
#include "tarewise/documents/plans_json.h"
#include "tarewise/plans/plans.h"

namespace tarewise::python {
namespace {

/// Plans with what they were made of.
struct PlansValue {
  std::shared_ptr<const Plans> plans;
  py::object book;
  py::object shelf;
  StepsValue steps;
  bool thresholds = false;

  const Plans& get() const { return *plans; }
  int decimals() const { return plans->currency().decimals(); }
};

// Views into plans, which they keep.
struct PlanValue {
  py::object owner;
  const PlansValue* plans = nullptr;
  std::size_t index = 0;
  const Plan& get() const { return plans->get().plans()[index]; }
};
struct PlannedParcelValue {
  PlanValue plan;
  std::size_t index = 0;
  const PlannedParcel& get() const { return plan.get().parcels[index]; }
};

PlansValue MakePlans(const py::object& book, RequestValue request, const py::object& shelf, bool thresholds) {
  const std::shared_ptr<const Ratebook> ratebook = ToRatebook(book).book;
  const std::shared_ptr<const Shelf> at_hand = ToShelf(shelf);
  PlanOptions options;
  options.thresholds = thresholds;
  absl::StatusOr<Plans> plans = [&] {
    const py::gil_scoped_release release;
    return FindPlans(ratebook, at_hand, std::move(request.request), options);
  }();
  if (!plans.ok()) RaiseRequest(plans.status());
  return {std::make_shared<const Plans>(*std::move(plans)), book, shelf, std::move(request.steps), thresholds};
}

py::object PlanAt(const py::object& owner, std::size_t index) {
  return py::cast(PlanValue{owner, &owner.cast<const PlansValue&>(), index});
}
std::size_t PlanCount(const py::object& owner) { return owner.cast<const PlansValue&>().get().plans().size(); }
py::object ParcelAt(const py::object& plan, std::size_t index) {
  return py::cast(PlannedParcelValue{plan.cast<const PlanValue&>(), index});
}
std::size_t ParcelCount(const py::object& plan) { return plan.cast<const PlanValue&>().get().parcels.size(); }

py::tuple GoodsOf(const std::vector<PlannedGoods>& goods) {
  const py::object goods_class = Class("PlannedGoods");
  py::tuple out(goods.size());
  for (std::size_t i = 0; i < out.size(); ++i) out[i] = goods_class(goods[i].item, goods[i].units);
  return out;
}

// The shelf with the packaging alone that was chosen, so that the same ranking is made of it again.
py::object ShelfOf(const PlansValue& plans, const PlannedParcel& parcel) {
  const Packaging* packaging = parcel.ranking.candidates()[parcel.offer().candidate_index].packaging;
  if (packaging == nullptr || parcel.sealed || plans.shelf.is_none()) return plans.shelf;
  auto one = std::make_shared<Shelf>();
  one->currency = ToShelf(plans.shelf)->currency;
  if (packaging->issued_by.empty()) {
    one->own.push_back({*packaging, std::nullopt});
  } else {
    one->issued.push_back({packaging->issued_by, packaging->code, std::nullopt});
  }
  return py::cast(ShelfValue{std::move(one)});
}

py::object RankingOf(const PlansValue& plans, const Ranking& ranking, py::object shelf) {
  return py::cast(RankingValue{std::make_shared<const Ranking>(ranking), plans.book, std::move(shelf), plans.steps,
                               plans.thresholds});
}
py::object RankingOf(const PlannedParcelValue& self) {
  const PlansValue& plans = *self.plan.plans;
  return RankingOf(plans, self.get().ranking, ShelfOf(plans, self.get()));
}

py::tuple ObstaclesOf(const PlansValue& self) {
  const py::object obstacle_class = Class("PlanObstacle");
  py::tuple out(self.get().obstacles().size());
  for (std::size_t i = 0; i < out.size(); ++i) {
    const PlanObstacle& obstacle = self.get().obstacles()[i];
    py::object need = py::none();
    if (obstacle.need) need = py::int_(*obstacle.need);
    py::object sealed = py::none();
    if (obstacle.sealed) sealed = py::int_(*obstacle.sealed);
    py::object ranking = py::none();
    if (obstacle.alone) ranking = RankingOf(self, *obstacle.alone, self.shelf);
    out[i] = obstacle_class(kObstacleNames[static_cast<std::size_t>(obstacle.code)], ToStr(obstacle.text),
                            GoodsOf(obstacle.goods), need, ranking, sealed);
  }
  return out;
}

py::tuple OnceOf(const PlanValue& self) {
  const py::object once_class = Class("OnceCharge");
  const Plan& plan = self.get();
  py::tuple out(plan.once.size());
  for (std::size_t i = 0; i < out.size(); ++i) {
    const OnceCharge& one = plan.once[i];
    const int decimals = plan.parcels[one.parcel].offer().tariff_currency.decimals();
    out[i] = once_class(one.parcel, ToStr(one.carrier), ToStr(one.service), ToStr(one.code), ToStr(one.title),
                        ToMoney(one.amount, decimals));
  }
  return out;
}

std::string MoneyText(const PlansValue& plans, Amount amount) {
  return amount.ToString(plans.decimals()) + " " + std::string(plans.get().currency().code());
}
std::string Count(std::size_t n, const char* one, const char* many) {
  return std::to_string(n) + " " + (n == 1 ? one : many);
}

void BindPlannedParcel(py::module_& module) {
  py::class_<PlannedParcelValue> parcel(module, "PlannedParcel",
                                        "One parcel of a plan: what is in it, and how it goes.");
  parcel.def_property_readonly("goods", [](const PlannedParcelValue& self) { return GoodsOf(self.get().goods); });
  parcel.def_property_readonly("sealed", [](const PlannedParcelValue& self) { return self.get().sealed; });
  parcel.def_property_readonly("ranking", [](const PlannedParcelValue& self) { return RankingOf(self); });
  parcel.def_property_readonly(
      "offer", [](const PlannedParcelValue& self) { return OfferAt(RankingOf(self), self.get().offer_index); });
  parcel.def("__repr__", [](const PlannedParcelValue& self) {
    const Offer& offer = self.get().offer();
    std::string held;
    for (const PlannedGoods& some : self.get().goods) {
      held += (held.empty() ? "" : ", ") + std::to_string(some.units) + " of item " + std::to_string(some.item);
    }
    if (self.get().sealed) held = "sealed parcel " + std::to_string(*self.get().sealed);
    return "<PlannedParcel of " + held + " by " + std::string(offer.carrier) + "/" + std::string(offer.service) +
           " in " + std::string(Shown(offer.packaging)) + ": " + MoneyText(*self.plan.plans, offer.total) + ">";
  });
  BindView(parcel, "restore_planned_parcel",
           [](const PlannedParcelValue& self) { return py::make_tuple(self.plan.owner, self.plan.index, self.index); });
}

void BindPlan(py::module_& module) {
  py::class_<PlanValue> plan(module, "Plan", "A set of parcels that together hold every unit of an order once.");
  plan.def_property_readonly("parcels", [](const py::object& self) { return PartsOf(self, &ParcelCount, &ParcelAt); });
  plan.def_property_readonly("total",
                             [](const PlanValue& self) { return ToMoney(self.get().total, self.plans->decimals()); });
  plan.def_property_readonly(
      "handicap", [](const PlanValue& self) { return ToMoney(self.get().handicap, self.plans->decimals()); });
  plan.def_property_readonly("at_risk", [](const PlanValue& self) { return self.get().at_risk; });
  plan.def_property_readonly("total_at_risk", [](const PlanValue& self) -> py::object {
    const std::optional<Amount>& total = self.get().total_at_risk;
    return total ? ToMoney(*total, self.plans->decimals()) : py::none();
  });
  plan.def_property_readonly("days", [](const PlanValue& self) { return ToDays(self.get().days); });
  plan.def_property_readonly("arrives", [](const PlanValue& self) { return ToArrival(self.get().arrives); });
  plan.def_property_readonly("once", &OnceOf);
  BindSequence(plan, &ParcelCount, &ParcelAt, "there is no such parcel");
  plan.def("__repr__", [](const PlanValue& self) {
    return "<Plan of " + Count(self.get().parcels.size(), "parcel", "parcels") + ": " +
           MoneyText(*self.plans, self.get().total) + ">";
  });
  BindView(plan, "restore_plan", [](const PlanValue& self) { return py::make_tuple(self.owner, self.index); });
}

}  // namespace

void BindPlans(py::module_& module) {
  BindPlannedParcel(module);
  BindPlan(module);
  py::class_<PlansValue> plans(module, "Plans", "How to part an order into parcels, cheapest first.");
  plans.def_property_readonly("plans", [](const py::object& self) { return PartsOf(self, &PlanCount, &PlanAt); });
  plans.def_property_readonly("best", [](const py::object& self) -> py::object {
    return self.cast<const PlansValue&>().get().plans().empty() ? py::none() : PlanAt(self, 0);
  });
  auto money = [&plans](const char* name, auto read) {
    plans.def_property_readonly(name, [read](const PlansValue& self) -> py::object {
      const std::optional<Amount>& amount = read(self.get());
      return amount ? ToMoney(*amount, self.decimals()) : py::none();
    });
  };
  money("single", [](const Plans& of) -> const std::optional<Amount>& { return of.single(); });
  money("at_least", [](const Plans& of) -> const std::optional<Amount>& { return of.at_least(); });
  plans.def_property_readonly("proved", [](const PlansValue& self) { return self.get().proved(); });
  plans.def_property_readonly("obstacles", &ObstaclesOf);
  plans.def_property_readonly("cautions", [](const PlansValue& self) {
    py::tuple out(self.get().cautions().size());
    for (std::size_t i = 0; i < out.size(); ++i) out[i] = ToCaution(self.get().cautions()[i]);
    return out;
  });
  plans.def_property_readonly("estimate", [](const PlansValue& self) { return self.get().estimate(); });
  plans.def_property_readonly("currency", [](const PlansValue& self) { return ToStr(self.get().currency().code()); });
  plans.def_property_readonly("request", [](const PlansValue& self) {
    return RequestValue{self.get().request(), self.steps};
  });
  plans.def_property_readonly("ratebook", [](const PlansValue& self) { return self.book; });
  plans.def_property_readonly("shelf", [](const PlansValue& self) { return self.shelf; });
  BindSequence(plans, &PlanCount, &PlanAt, "there is no such plan");
  BindAnswer(plans);
  // Found again from what they were made of: the same input gives the same plans.
  plans.def("__reduce__", [](const PlansValue& self) {
    const RequestValue request{self.get().request(), self.steps};
    return py::make_tuple(Class("restore_plans"), py::make_tuple(1, self.book, request, self.shelf, self.thresholds));
  });
  plans.def("__repr__", [](const PlansValue& self) {
    const std::vector<Plan>& found = self.get().plans();
    std::string out = "<Plans: " + Count(found.size(), "plan", "plans");
    if (!found.empty()) {
      out += "; the first of " + Count(found.front().parcels.size(), "parcel", "parcels") + ", " +
             MoneyText(self, found.front().total);
    }
    return out + (self.get().estimate() ? "; an estimate>" : ">");
  });
  module.def("plan_request", &MakePlans, py::arg("ratebook"), py::arg("request"), py::kw_only(),
             py::arg("shelf") = py::none(), py::arg("thresholds") = false);
}

}  // namespace tarewise::python
