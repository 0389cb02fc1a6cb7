#include <map>
#include <string>
#include <utility>
#include <variant>
#include <vector>

#include "convert.h"
#include "goods.h"
#include "request.h"
#include "tarewise/documents/load.h"

namespace tarewise::python {
namespace {

// Python has the promise or None; the variant's empty state is that None.
struct PromiseValue {
  Promise promise;
};

py::tuple PromiseState(const Promise& promise) {
  if (const auto* within = std::get_if<WithinDays>(&promise)) return py::make_tuple(1, "within", within->days);
  if (const auto* by = std::get_if<ByDate>(&promise)) return py::make_tuple(2, "by", by->date.days());
  if (const auto* paid = std::get_if<PaidFor>(&promise)) return py::make_tuple(1, "paid_for", paid->ToString());
  return py::make_tuple(1, "none", py::none());
}
Promise PromiseOf(const py::tuple& parts) {
  const std::string kind = parts[1].cast<std::string>();
  if (kind == "within") return WithinDays{parts[2].cast<std::int32_t>()};
  if (kind == "by") return ByDate{Date::Days(parts[2].cast<std::int32_t>())};
  if (kind == "paid_for") return Take(PaidFor::Parse(parts[2].cast<std::string>()), "paid_for");
  return {};
}

template <typename Q>
ScaleStep<Q> ReadStep(const std::string& text, std::string_view field) {
  return Take(ScaleStep<Q>::Parse(text), field);
}

StepsValue MakeSteps(std::string weight, std::string sides) {
  StepsValue out;
  out.steps.weight = ReadStep<Weight>(weight, "weight");
  out.steps.sides = ReadStep<Length>(sides, "sides");
  out.weight = std::move(weight);
  out.sides = std::move(sides);
  return out;
}

// Steps that are equal give equal multiples.
py::tuple StepsKey(const StepsValue& value) {
  constexpr std::int64_t kMany = 1'000'000;
  return py::make_tuple(1, value.steps.weight.Times(kMany).nanograms(), value.steps.sides.Times(kMany).nanometres());
}

std::string StepText(const py::object& value, std::string_view field) {
  if (PyUnicode_Check(value.ptr())) return std::string(ToText(value, field, ""));
  return py::str(value);
}

// How an order may be parted, and sealed parcels; empty where neither is asked.
py::tuple SeveralState(const Request& r) {
  if (!r.parcels && r.sealed.empty()) return py::tuple();
  auto lists = [](const std::vector<std::vector<std::size_t>>& from) {
    py::tuple out(from.size());
    for (std::size_t i = 0; i < out.size(); ++i) out[i] = py::tuple(py::cast(from[i]));
    return out;
  };
  py::tuple parcels;
  if (r.parcels) {
    parcels = py::make_tuple(r.parcels->most, static_cast<int>(r.parcels->all_by), lists(r.parcels->together),
                             lists(r.parcels->apart), r.parcels->plans);
  }
  py::tuple sealed(r.sealed.size());
  for (std::size_t i = 0; i < sealed.size(); ++i) sealed[i] = ParcelValue{r.sealed[i], r.weight_units, r.side_units};
  return py::make_tuple(parcels, sealed);
}
void RestoreSeveral(const py::tuple& state, Request& r) {
  if (const py::tuple parts = state[0].cast<py::tuple>(); parts.size() != 0) {
    SeveralParcels parcels;
    parcels.most = parts[0].cast<std::int32_t>();
    parcels.all_by = static_cast<AllBy>(parts[1].cast<int>());
    for (const py::handle list : parts[2].cast<py::tuple>()) {
      parcels.together.push_back(list.cast<std::vector<std::size_t>>());
    }
    for (const py::handle list : parts[3].cast<py::tuple>()) {
      parcels.apart.push_back(list.cast<std::vector<std::size_t>>());
    }
    parcels.plans = parts[4].cast<std::int32_t>();
    r.parcels = std::move(parcels);
  }
  for (const py::handle parcel : state[1].cast<py::tuple>())
    r.sealed.push_back(parcel.cast<const ParcelValue&>().parcel);
}

py::tuple RequestKey(const RequestValue& value, bool with_units) {
  const Request& r = value.request;
  py::tuple goods(r.goods.size());
  for (std::size_t i = 0; i < r.goods.size(); ++i) goods[i] = ItemValue{r.goods[i], r.weight_units, r.side_units};
  py::object parcel = py::none();
  if (r.parcel) parcel = py::cast(ParcelValue{*r.parcel, r.weight_units, r.side_units});
  py::tuple extras(r.extras.size());
  for (std::size_t i = 0; i < r.extras.size(); ++i) extras[i] = r.extras[i];
  py::tuple exchange(r.exchange.size());
  std::size_t at = 0;
  for (const auto& [code, rate] : r.exchange) exchange[at++] = py::make_tuple(code, rate.micros());
  py::object cover = py::none();
  if (r.cover) cover = py::int_(r.cover->micros());
  py::object padding = py::none();
  if (r.padding) padding = py::int_(r.padding->nanometres());
  py::object currency = py::none();
  if (r.currency) currency = ToStr(r.currency->code());
  const py::tuple several = SeveralState(r);
  const bool later = TermsState(r).size() != 0 || std::holds_alternative<ByDate>(r.promise) || several.size() != 0;
  py::tuple key = py::make_tuple(later ? 2 : 1, goods, parcel, r.lane, r.date.days(), PromiseState(r.promise), extras,
                                 cover, r.tolerance.weight.nanograms(), r.tolerance.sides.nanometres(),
                                 static_cast<int>(r.objective), currency, exchange, padding, r.fill_weight.nanograms(),
                                 r.allowance.least.nanograms(), r.allowance.most.nanograms());
  // The units count: answers are given in them.
  const py::tuple units = py::make_tuple(static_cast<int>(r.weight_units), static_cast<int>(r.side_units));
  // Behind what an earlier tarewise has, which then says that it cannot read it: see `BindValue`.
  py::tuple terms;
  if (const py::tuple state = TermsState(r); state.size() != 0 || several.size() != 0) terms = py::make_tuple(state);
  if (several.size() != 0) terms = py::tuple(terms + py::make_tuple(several));
  if (with_units) return py::tuple(key + units + py::make_tuple(value.steps.weight, value.steps.sides) + terms);
  return py::tuple(key + units + StepsKey(value.steps) + terms);
}

RequestValue RequestOf(const py::tuple& parts) {
  RequestValue out;
  Request& r = out.request;
  for (const py::handle item : parts[1].cast<py::tuple>()) r.goods.push_back(item.cast<const ItemValue&>().item);
  if (!parts[2].is_none()) r.parcel = parts[2].cast<const ParcelValue&>().parcel;
  r.lane = parts[3].cast<Lane>();
  r.date = Date::Days(parts[4].cast<std::int32_t>());
  r.promise = PromiseOf(parts[5].cast<py::tuple>());
  r.extras = parts[6].cast<std::vector<std::string>>();
  if (!parts[7].is_none()) r.cover = Amount::Micros(parts[7].cast<std::int64_t>());
  r.tolerance = {Weight::Nanograms(parts[8].cast<std::int64_t>()), Length::Nanometres(parts[9].cast<std::int64_t>())};
  r.objective = static_cast<Objective>(parts[10].cast<int>());
  if (!parts[11].is_none()) r.currency = ToCurrency(parts[11], "currency");
  for (const py::handle pair : parts[12].cast<py::tuple>()) {
    const py::tuple one = py::reinterpret_borrow<py::tuple>(pair);
    r.exchange.emplace(one[0].cast<std::string>(),
                       Take(ExchangeRate::Parse(Amount::Micros(one[1].cast<std::int64_t>()).ToString(0)), "exchange"));
  }
  if (!parts[13].is_none()) r.padding = Length::Nanometres(parts[13].cast<std::int64_t>());
  r.fill_weight = Weight::Nanograms(parts[14].cast<std::int64_t>());
  r.allowance = {Weight::Nanograms(parts[15].cast<std::int64_t>()), Weight::Nanograms(parts[16].cast<std::int64_t>())};
  r.weight_units = static_cast<UnitSystem>(parts[17].cast<int>());
  r.side_units = static_cast<UnitSystem>(parts[18].cast<int>());
  out.steps = MakeSteps(parts[19].cast<std::string>(), parts[20].cast<std::string>());
  r.steps = out.steps.steps;
  if (parts.size() > 21 && parts[21].cast<py::tuple>().size() != 0) RestoreTerms(parts[21].cast<py::tuple>(), r);
  if (parts.size() > 22) RestoreSeveral(parts[22].cast<py::tuple>(), r);
  return out;
}

}  // namespace

StepsValue StepsFor(UnitSystem weight_units, UnitSystem side_units) {
  static const StepsValue kByUnits[2][2] = {{MakeSteps("0.1 oz", "0.125 in"), MakeSteps("0.1 oz", "1 mm")},
                                            {MakeSteps("1 g", "0.125 in"), MakeSteps("1 g", "1 mm")}};
  return kByUnits[static_cast<int>(weight_units)][static_cast<int>(side_units)];
}

void ToExchange(py::handle value, std::map<std::string, ExchangeRate, std::less<>>& out) {
  if (value.is_none()) return;
  const py::object items = py::reinterpret_borrow<py::object>(value).attr("items")();
  for (const py::handle item : items) {
    const py::tuple pair = py::reinterpret_borrow<py::tuple>(item);
    const Currency currency = ToCurrency(pair[0], "exchange");
    const std::string field = "exchange/" + std::string(currency.code());
    out.emplace(std::string(currency.code()), Take(ExchangeRate::Parse(ToAmount(pair[1], field).ToString(0)), field));
  }
}

Promise ToPromise(py::handle value) {
  if (value.is_none()) return {};
  if (py::isinstance<PromiseValue>(value)) return value.cast<const PromiseValue&>().promise;
  RaiseType("promise: found " + Repr(value) +
            ", expected Promise.within(days), Promise.by(date) or Promise.paid_for(\"carrier/service\")");
}

std::vector<std::string> ToCodes(py::handle value, std::string_view field) {
  std::vector<std::string> out;
  if (PyUnicode_Check(value.ptr())) {
    RaiseType(std::string(field) + ": found one text, expected several such as (\"signature\",)");
  }
  for (const py::handle code : py::reinterpret_borrow<py::iterable>(value)) {
    out.emplace_back(ToText(code, field, "the code of an extra"));
  }
  return out;
}

void ToGoods(py::handle goods, Request& out) {
  auto take_units = [&out](const auto& value) {
    out.weight_units = value.weight_units;
    out.side_units = value.side_units;
  };
  auto take_item = [&](py::handle value) {
    if (!py::isinstance<ItemValue>(value)) {
      RaiseType("goods: found " + Repr(py::type::of(value).attr("__name__")) +
                ", expected an Item, several, or a Parcel");
    }
    const ItemValue& item = value.cast<const ItemValue&>();
    if (out.goods.empty()) take_units(item);
    out.goods.push_back(item.item);
  };
  if (py::isinstance<ParcelValue>(goods)) {
    const ParcelValue& parcel = goods.cast<const ParcelValue&>();
    take_units(parcel);
    out.parcel = parcel.parcel;
  } else if (PyTuple_Check(goods.ptr()) || PyList_Check(goods.ptr())) {
    for (const py::handle item : py::reinterpret_borrow<py::sequence>(goods)) take_item(item);
  } else {
    take_item(goods);
  }
}

namespace {

// Lists of goods, by their places.
std::vector<std::vector<std::size_t>> ToLists(py::handle value, const std::string& field) {
  if (PyUnicode_Check(value.ptr()) || !py::isinstance<py::iterable>(value)) {
    RaiseType(field + ": found " + Repr(value) + ", expected lists of goods such as [[0, 2]]");
  }
  std::vector<std::vector<std::size_t>> out;
  for (const py::handle list : py::reinterpret_borrow<py::iterable>(value)) {
    const std::string at = field + "/" + std::to_string(out.size());
    if (PyUnicode_Check(list.ptr()) || !py::isinstance<py::iterable>(list)) {
      RaiseType(at + ": found " + Repr(list) + ", expected a list of goods such as [0, 2]");
    }
    std::vector<std::size_t>& places = out.emplace_back();
    for (const py::handle place : py::reinterpret_borrow<py::iterable>(list)) {
      places.push_back(static_cast<std::size_t>(ToWhole(place, at, 0, kMostUnits - 1)));
    }
  }
  return out;
}

// How an order may be parted: a mapping with the keys of a request document, or how many parcels at most.
SeveralParcels ToParcels(py::handle value, bool sealed) {
  SeveralParcels out;
  bool has_most = false;
  if (!py::hasattr(value, "items")) {
    if (sealed) RaiseQuantity("found " + Repr(value) + " beside sealed parcels, expected all_by alone", "parcels");
    out.most = static_cast<std::int32_t>(ToWhole(value, "parcels", 1, kMostParcels));
    return out;
  }
  for (const py::handle item : py::reinterpret_borrow<py::object>(value).attr("items")()) {
    const py::tuple pair = py::reinterpret_borrow<py::tuple>(item);
    const std::string key(ToText(pair[0], "parcels", "text"));
    const std::string field = "parcels/" + key;
    const bool known = key == "most" || key == "all_by" || key == "together" || key == "apart" || key == "plans";
    if (!known || (sealed && key != "all_by")) {
      RaiseQuantity("found " + Quote(key) +
                        (sealed ? " beside sealed parcels, expected all_by alone"
                                : ", expected most, all_by, together, apart or plans"),
                    "parcels");
    }
    if (key == "most") {
      out.most = static_cast<std::int32_t>(ToWhole(pair[1], field, 1, kMostParcels));
      has_most = true;
    } else if (key == "all_by") {
      const std::string_view word = ToText(pair[1], field, "\"any\", \"carrier\" or \"service\"");
      const std::optional<AllBy> named = FromName<AllBy>(kAllByNames, word);
      if (!named) RaiseQuantity("found " + Quote(word) + ", expected any, carrier or service", field);
      out.all_by = *named;
    } else if (key == "together") {
      out.together = ToLists(pair[1], field);
    } else if (key == "apart") {
      out.apart = ToLists(pair[1], field);
    } else {
      out.plans = static_cast<std::int32_t>(ToWhole(pair[1], field, 1, kMostPlans));
    }
  }
  if (!sealed && !has_most) RaiseQuantity("found no most, expected how many parcels at most", "parcels");
  return out;
}

void ToSealed(py::handle value, Request& out) {
  if (PyUnicode_Check(value.ptr()) || !py::isinstance<py::iterable>(value)) {
    RaiseType("sealed: found " + Repr(value) + ", expected several Parcels");
  }
  for (const py::handle one : py::reinterpret_borrow<py::iterable>(value)) {
    if (!py::isinstance<ParcelValue>(one)) {
      RaiseType("sealed: found " + Repr(py::type::of(one).attr("__name__")) + ", expected a Parcel");
    }
    const ParcelValue& parcel = one.cast<const ParcelValue&>();
    if (out.sealed.empty()) {
      out.weight_units = parcel.weight_units;
      out.side_units = parcel.side_units;
    }
    out.sealed.push_back(parcel.parcel);
  }
  if (out.sealed.empty()) RaiseQuantity("found none, expected a Parcel or more", "sealed");
}

}  // namespace

RequestValue RequestArguments::Read() const {
  RequestValue out;
  Request& r = out.request;
  if (!sealed.is_none()) ToSealed(sealed, r);
  if (!goods.is_none() || sealed.is_none()) ToGoods(goods, r);
  if (!parcels.is_none()) r.parcels = ToParcels(parcels, !sealed.is_none());
  r.lane = ToLane(lane, "lane");
  r.date = ToDate(date, "date");
  r.promise = ToPromise(promise);
  r.extras = ToCodes(extras, "extras");
  if (!cover.is_none()) r.cover = ToAmount(cover, "cover");
  terms.Read(r);
  if (!tolerance.is_none()) {
    if (!py::isinstance<ToleranceValue>(tolerance)) {
      RaiseType("tolerance: found " + Repr(tolerance) + ", expected a Tolerance");
    }
    const ToleranceValue& value = tolerance.cast<const ToleranceValue&>();
    r.tolerance = {value.weight.weight, value.sides.length};
  }
  if (steps.is_none()) {
    out.steps = StepsFor(r.weight_units, r.side_units);
  } else if (py::isinstance<StepsValue>(steps)) {
    out.steps = steps.cast<const StepsValue&>();
  } else {
    RaiseType("steps: found " + Repr(steps) + ", expected Steps");
  }
  r.steps = out.steps.steps;
  const std::string_view word = ToText(objective, "objective", "\"cheapest\" or \"cautious\"");
  const std::optional<Objective> named = FromName<Objective>(kObjectiveNames, word);
  if (!named) RaiseQuantity("found " + Quote(word) + ", expected cheapest or cautious", "objective");
  r.objective = *named;
  if (!currency.is_none()) r.currency = ToCurrency(currency, "currency");
  ToExchange(exchange, r.exchange);
  if (!padding.is_none()) r.padding = ToLength(padding, "padding").length;
  if (!fill_weight.is_none()) r.fill_weight = ToWeight(fill_weight, "fill_weight").weight;
  if (!allowance.is_none()) {
    if (!py::isinstance<AllowanceValue>(allowance)) {
      RaiseType("allowance: found " + Repr(allowance) + ", expected an Allowance");
    }
    const AllowanceValue& value = allowance.cast<const AllowanceValue&>();
    r.allowance = {value.least.weight, value.most.weight};
  }
  if (const absl::Status status = r.Check(); !status.ok()) RaiseRequest(status);
  return out;
}

void BindRequest(py::module_& module) {
  py::class_<PromiseValue> promise(module, "Promise", "What the buyer was promised.");
  promise.def_static(
      "within",
      [](const py::object& days) {
        return PromiseValue{WithinDays{static_cast<std::int32_t>(ToWhole(days, "within", 0, kMostWithinDays))}};
      },
      py::arg("days"), py::pos_only());
  promise.def_static(
      "by", [](const py::object& date) { return PromiseValue{ByDate{ToDate(date, "by")}}; }, py::arg("date"),
      py::pos_only());
  promise.def_static(
      "paid_for",
      [](const py::object& service) {
        return PromiseValue{
            Take(PaidFor::Parse(ToText(service, "paid_for", "text such as \"carrier/service\"")), "paid_for")};
      },
      py::arg("service"), py::pos_only());
  promise.def_property_readonly("days", [](const PromiseValue& self) -> std::optional<std::int32_t> {
    if (const auto* within = std::get_if<WithinDays>(&self.promise)) return within->days;
    return std::nullopt;
  });
  promise.def_property_readonly("date", [](const PromiseValue& self) -> py::object {
    const auto* by = std::get_if<ByDate>(&self.promise);
    return by == nullptr ? py::none() : ToPyDate(by->date);
  });
  promise.def_property_readonly("service", [](const PromiseValue& self) -> std::optional<std::string> {
    if (const auto* paid = std::get_if<PaidFor>(&self.promise)) return paid->ToString();
    return std::nullopt;
  });
  promise.def("__repr__", [](const PromiseValue& self) {
    const py::tuple state = PromiseState(self.promise);
    if (const auto* by = std::get_if<ByDate>(&self.promise)) return "Promise.by(" + Quote(by->date.ToString()) + ")";
    return "Promise." + state[1].cast<std::string>() + "(" + Repr(state[2]) + ")";
  });
  BindValue(
      promise, [](const PromiseValue& self) { return PromiseState(self.promise); },
      [](const py::tuple& parts) { return PromiseValue{PromiseOf(parts)}; });

  py::class_<ToleranceValue> tolerance(module, "Tolerance", "What the scale and the tape may be short by.");
  tolerance.def(py::init([](const py::object& weight, const py::object& sides) {
                  ToleranceValue out;
                  if (!weight.is_none()) out.weight = ToWeight(weight, "weight");
                  if (!sides.is_none()) out.sides = ToLength(sides, "sides");
                  return out;
                }),
                py::kw_only(), py::arg("weight") = py::none(), py::arg("sides") = py::none());
  tolerance.def_readonly("weight", &ToleranceValue::weight);
  tolerance.def_readonly("sides", &ToleranceValue::sides);
  tolerance.def("__repr__", [](const ToleranceValue& self) {
    return "Tolerance(weight=" + Quote(self.weight.weight.ToString(self.weight.units)) +
           ", sides=" + Quote(self.sides.length.ToString(self.sides.units)) + ")";
  });
  BindValue(
      tolerance,
      [](const ToleranceValue& self) {
        return py::make_tuple(self.weight.weight.nanograms(), self.sides.length.nanometres());
      },
      [](const ToleranceValue& self) { return py::make_tuple(1, self.weight, self.sides); },
      [](const py::tuple& parts) {
        return ToleranceValue{parts[1].cast<WeightValue>(), parts[2].cast<LengthValue>()};
      });

  py::class_<StepsValue> steps(module, "Steps", "The finest that a scale and a tape show.");
  steps.def(py::init([](const py::object& weight, const py::object& sides) {
              return MakeSteps(StepText(weight, "weight"), StepText(sides, "sides"));
            }),
            py::kw_only(), py::arg("weight"), py::arg("sides"));
  steps.def_property_readonly("weight", [](const StepsValue& self) { return self.weight; });
  steps.def_property_readonly("sides", [](const StepsValue& self) { return self.sides; });
  steps.def("__repr__", [](const StepsValue& self) {
    return "Steps(weight=" + Quote(self.weight) + ", sides=" + Quote(self.sides) + ")";
  });
  BindValue(
      steps, &StepsKey, [](const StepsValue& self) { return py::make_tuple(1, self.weight, self.sides); },
      [](const py::tuple& parts) { return MakeSteps(parts[1].cast<std::string>(), parts[2].cast<std::string>()); });

  py::class_<AllowanceValue> allowance(module, "Allowance", "What packing adds to the weight of an estimate.");
  allowance.def(py::init([](const py::object& least, const py::object& most) {
                  AllowanceValue out{ToWeight(least, "least"), ToWeight(most, "most")};
                  if (out.most.weight < out.least.weight) {
                    RaiseQuantity("found " + Repr(most) + ", expected no less than " + Repr(least), "most");
                  }
                  return out;
                }),
                py::arg("least"), py::arg("most"));
  allowance.def_readonly("least", &AllowanceValue::least);
  allowance.def_readonly("most", &AllowanceValue::most);
  allowance.def("__repr__", [](const AllowanceValue& self) {
    return "Allowance(" + Quote(self.least.weight.ToString(self.least.units)) + ", " +
           Quote(self.most.weight.ToString(self.most.units)) + ")";
  });
  BindValue(
      allowance,
      [](const AllowanceValue& self) {
        return py::make_tuple(self.least.weight.nanograms(), self.most.weight.nanograms());
      },
      [](const AllowanceValue& self) { return py::make_tuple(1, self.least, self.most); },
      [](const py::tuple& parts) {
        return AllowanceValue{parts[1].cast<WeightValue>(), parts[2].cast<WeightValue>()};
      });

  py::class_<RequestValue> request(module, "Request",
                                   "What is asked: how to send this, from here to there, on this day.");
  request.def(py::init([](py::object goods, py::object lane, py::object date, py::object promise_, py::object extras,
                          py::object cover, py::object accepts, py::object amounts, py::object time, py::object totals,
                          py::object week, py::object consignment, py::object tolerance_, py::object steps_,
                          py::object objective, py::object currency, py::object exchange, py::object padding,
                          py::object fill_weight, py::object allowance_, py::object parcels, py::object sealed) {
                return RequestArguments{goods,
                                        lane,
                                        date,
                                        promise_,
                                        extras,
                                        cover,
                                        TermArguments{accepts, amounts, time, totals, week, consignment},
                                        tolerance_,
                                        steps_,
                                        objective,
                                        currency,
                                        exchange,
                                        padding,
                                        fill_weight,
                                        allowance_,
                                        parcels,
                                        sealed}
                    .Read();
              }),
              py::arg("goods") = py::none(), py::kw_only(), py::arg("lane"), py::arg("date"),
              py::arg("promise") = py::none(), py::arg("extras") = py::tuple(), py::arg("cover") = py::none(),
              py::arg("accepts") = "door", py::arg("amounts") = py::none(), py::arg("time") = py::none(),
              py::arg("totals") = "with_tax", py::arg("week") = py::none(), py::arg("consignment") = py::none(),
              py::arg("tolerance") = py::none(), py::arg("steps") = py::none(), py::arg("objective") = "cheapest",
              py::arg("currency") = py::none(), py::arg("exchange") = py::none(), py::arg("padding") = py::none(),
              py::arg("fill_weight") = py::none(), py::arg("allowance") = py::none(), py::arg("parcels") = py::none(),
              py::arg("sealed") = py::none());
  request.def_static(
      "from_json",
      [](const py::object& text, const std::string& name) {
        std::string document;
        if (PyBytes_Check(text.ptr())) {
          document = text.cast<std::string>();
        } else {
          document = ToText(text, "", "a tarewise-request-1 document as text or bytes");
        }
        Loaded<Request> loaded = ReadRequest({name, document});
        if (!loaded.ok()) RaiseDocument("RequestError", loaded.diagnostics);
        RequestValue out{*std::move(loaded.value), {}};
        out.steps = StepsFor(out.request.weight_units, out.request.side_units);
        // The texts of its steps, for pickling.
        const py::dict read = py::module_::import("json").attr("loads")(text);
        if (read.contains("steps")) {
          const py::dict own = read["steps"];
          out.steps = MakeSteps(own.contains("weight") ? own["weight"].cast<std::string>() : out.steps.weight,
                                own.contains("sides") ? own["sides"].cast<std::string>() : out.steps.sides);
        }
        return out;
      },
      py::arg("text"), py::pos_only(), py::arg("name") = "request");
  request.def_property_readonly("goods", [](const RequestValue& self) {
    const Request& r = self.request;
    py::tuple out(r.goods.size());
    for (std::size_t i = 0; i < r.goods.size(); ++i) out[i] = ItemValue{r.goods[i], r.weight_units, r.side_units};
    return out;
  });
  request.def_property_readonly("parcel", [](const RequestValue& self) -> std::optional<ParcelValue> {
    const Request& r = self.request;
    if (!r.parcel) return std::nullopt;
    return ParcelValue{*r.parcel, r.weight_units, r.side_units};
  });
  request.def_property_readonly("parcels", [](const RequestValue& self) -> py::object {
    const Request& r = self.request;
    if (!r.parcels) return py::none();
    py::dict out;
    if (r.sealed.empty()) out["most"] = r.parcels->most;
    out["all_by"] = ToStr(kAllByNames[static_cast<std::size_t>(r.parcels->all_by)]);
    if (!r.sealed.empty()) return out;
    out["together"] = r.parcels->together;
    out["apart"] = r.parcels->apart;
    out["plans"] = r.parcels->plans;
    return out;
  });
  request.def_property_readonly("sealed", [](const RequestValue& self) {
    const Request& r = self.request;
    py::tuple out(r.sealed.size());
    for (std::size_t i = 0; i < out.size(); ++i) out[i] = ParcelValue{r.sealed[i], r.weight_units, r.side_units};
    return out;
  });
  request.def_property_readonly("lane", [](const RequestValue& self) { return self.request.lane; });
  request.def_property_readonly("date", [](const RequestValue& self) { return ToPyDate(self.request.date); });
  request.def_property_readonly("promise", [](const RequestValue& self) -> std::optional<PromiseValue> {
    if (std::holds_alternative<std::monostate>(self.request.promise)) return std::nullopt;
    return PromiseValue{self.request.promise};
  });
  request.def_property_readonly("extras",
                                [](const RequestValue& self) { return py::tuple(py::cast(self.request.extras)); });
  request.def_property_readonly("cover", [](const RequestValue& self) -> py::object {
    return self.request.cover ? ToMoney(*self.request.cover, 2) : py::none();
  });
  request.def_property_readonly("accepts", [](const RequestValue& self) { return AcceptsOf(self.request); });
  request.def_property_readonly("amounts", [](const RequestValue& self) { return AmountsOf(self.request); });
  request.def_property_readonly("time", [](const RequestValue& self) { return TimeOf(self.request); });
  request.def_property_readonly(
      "totals", [](const RequestValue& self) { return ToStr(kTotalsNames[static_cast<int>(self.request.totals)]); });
  request.def_property_readonly("week", [](const RequestValue& self) { return WeekOf(self.request); });
  request.def_property_readonly("consignment", [](const RequestValue& self) { return ConsignmentOf(self.request); });
  request.def_property_readonly("tolerance", [](const RequestValue& self) {
    const Request& r = self.request;
    return ToleranceValue{{r.tolerance.weight, r.weight_units}, {r.tolerance.sides, r.side_units}};
  });
  request.def_property_readonly("steps", [](const RequestValue& self) { return self.steps; });
  request.def_property_readonly("objective", [](const RequestValue& self) {
    return ToStr(kObjectiveNames[static_cast<int>(self.request.objective)]);
  });
  request.def_property_readonly("currency", [](const RequestValue& self) -> std::optional<std::string> {
    if (!self.request.currency) return std::nullopt;
    return std::string(self.request.currency->code());
  });
  request.def_property_readonly("exchange", [](const RequestValue& self) {
    py::dict out;
    for (const auto& [code, rate] : self.request.exchange) {
      out[py::str(code)] = ToMoney(Amount::Micros(rate.micros()), 0);
    }
    return out;
  });
  request.def_property_readonly("padding", [](const RequestValue& self) -> std::optional<LengthValue> {
    if (!self.request.padding) return std::nullopt;
    return LengthValue{*self.request.padding, self.request.side_units};
  });
  request.def_property_readonly("fill_weight", [](const RequestValue& self) {
    return WeightValue{self.request.fill_weight, self.request.weight_units};
  });
  request.def_property_readonly("allowance", [](const RequestValue& self) {
    const Request& r = self.request;
    return AllowanceValue{{r.allowance.least, r.weight_units}, {r.allowance.most, r.weight_units}};
  });
  request.def("__repr__", [](const py::object& self) {
    const RequestValue& value = self.cast<const RequestValue&>();
    std::string out = "Request(";
    if (value.request.parcel) {
      out += Repr(self.attr("parcel"));
    } else if (!value.request.sealed.empty()) {
      out += "sealed=" + Repr(self.attr("sealed"));
    } else {
      const py::tuple goods = self.attr("goods");
      out += goods.size() == 1 ? Repr(goods[0]) : Repr(goods);
    }
    if (value.request.parcels) out += ", parcels=" + Repr(self.attr("parcels"));
    return out + ", lane=" + Repr(self.attr("lane")) + ", date=" + Quote(value.request.date.ToString()) + ")";
  });
  BindValue(
      request, [](const RequestValue& self) { return RequestKey(self, false); },
      [](const RequestValue& self) { return RequestKey(self, true); }, &RequestOf);
}

}  // namespace tarewise::python
