#include "terms.h"

#include <algorithm>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace tarewise::python {
namespace {

// Words one by one, or one text with spaces or commas between.
template <typename F>
void EachWord(py::handle value, F&& read) {
  if (!PyUnicode_Check(value.ptr())) {
    for (const py::handle word : py::reinterpret_borrow<py::iterable>(value)) read(ToText(word, "accepts", "a word"));
    return;
  }
  std::string_view text = ToText(value, "accepts", "");
  while (!text.empty()) {
    const std::size_t end = std::min(text.find_first_of(" ,"), text.size());
    if (end > 0) read(text.substr(0, end));
    text.remove_prefix(std::min(end + 1, text.size()));
  }
}

// The members of a mapping.
template <typename F>
void EachMember(py::handle value, const std::string& field, const char* expected, F&& read) {
  if (!py::hasattr(value, "items")) {
    RaiseType(field + ": found " + Repr(value) + ", expected a mapping such as " + expected);
  }
  const py::object items = py::reinterpret_borrow<py::object>(value).attr("items")();
  for (const py::handle item : items) {
    const py::tuple pair = py::reinterpret_borrow<py::tuple>(item);
    read(ToText(pair[0], field, "text"), py::object(pair[1]));
  }
}

Week::Figures ToFigures(py::handle value, const std::string& field, Week* with_carriers) {
  Week::Figures out;
  EachMember(value, field, "{\"parcels\": 60, \"spend\": \"420.00\"}",
             [&](std::string_view key, const py::object& member) {
               if (key == "parcels") {
                 out.parcels = ToWhole(member, field + "/parcels", 0, kMostWeekParcels);
               } else if (key == "spend") {
                 out.spend = ToAmount(member, field + "/spend");
               } else if (key == "carriers" && with_carriers != nullptr) {
                 EachMember(member, field + "/carriers", "{\"harbourline\": {\"parcels\": 25}}",
                            [&](std::string_view carrier, const py::object& own) {
                              const std::string at = field + "/carriers/" + std::string(carrier);
                              with_carriers->carriers.emplace(std::string(carrier), ToFigures(own, at, nullptr));
                            });
               } else {
                 RaiseQuantity("found " + Quote(key) + ", expected " +
                                   (with_carriers != nullptr ? "parcels, spend or carriers" : "parcels or spend"),
                               field);
               }
             });
  return out;
}

Week ToWeek(py::handle value) {
  Week out;
  if (!value.is_none()) out.each = ToFigures(value, "week", &out);
  return out;
}

Consignment ToConsignment(py::handle value) {
  Consignment out;
  if (value.is_none()) return out;
  const std::string field = "consignment";
  bool counted = false;
  bool weighed = false;
  bool ordered = false;
  EachMember(value, field, "{\"others\": 2, \"others_weight\": \"7.5 kg\", \"first\": True}",
             [&](std::string_view key, const py::object& member) {
               if (key == "others") {
                 out.others = static_cast<std::int32_t>(ToWhole(member, field + "/others", 0, kMostOthers));
                 counted = true;
               } else if (key == "others_weight") {
                 out.others_weight = ToWeight(member, field + "/others_weight").weight;
                 weighed = true;
               } else if (key == "first") {
                 if (!PyBool_Check(member.ptr())) {
                   RaiseType(field + "/first: found " + Repr(member) + ", expected True or False");
                 }
                 out.first = member.cast<bool>();
                 ordered = true;
               } else {
                 RaiseQuantity("found " + Quote(key) + ", expected others, others_weight or first", field);
               }
             });
  if (!counted) RaiseQuantity("found no others, expected how many there are", field);
  if (out.others > 0 && !weighed) RaiseQuantity("found no others_weight, expected what the others weigh", field);
  if (out.others > 0 && !ordered) RaiseQuantity("found no first, expected whether this one is the first", field);
  return out;
}

std::optional<Amount> ToCashOnDelivery(py::handle value) {
  std::optional<Amount> out;
  if (value.is_none()) return out;
  EachMember(value, "amounts", "{\"cash_on_delivery\": \"64.00\"}",
             [&](std::string_view key, const py::object& amount) {
               if (key != "cash_on_delivery") {
                 RaiseQuantity("found " + Quote(key) + ", expected cash_on_delivery", "amounts");
               }
               const Amount money = ToAmount(amount, "amounts/cash_on_delivery");
               if (money > Amount()) out = money;
             });
  return out;
}

Totals ToTotals(py::handle value) {
  const std::string_view word = ToText(value, "totals", "\"with_tax\" or \"without_tax\"");
  const std::optional<Totals> found = FromName<Totals>(kTotalsNames, word);
  if (!found) RaiseQuantity("found " + Quote(word) + ", expected with_tax or without_tax", "totals");
  return *found;
}

std::vector<Delivery> ToAccepts(py::handle value) {
  if (!PyUnicode_Check(value.ptr()) && !py::isinstance<py::iterable>(value)) {
    RaiseType("accepts: found " + Repr(value) + ", expected words of door, point and locker");
  }
  std::vector<Delivery> out;
  EachWord(value, [&out](std::string_view word) {
    const std::optional<Delivery> found = DeliveryFromName(word);
    if (!found) RaiseQuantity("found " + Quote(word) + ", expected door, point or locker", "accepts");
    out.push_back(*found);
  });
  if (out.empty()) RaiseQuantity("found none, expected door, point or locker", "accepts");
  std::sort(out.begin(), out.end());
  return out;
}

std::optional<TimeOfDay> ToTime(py::handle value) {
  if (value.is_none()) return std::nullopt;
  if (PyUnicode_Check(value.ptr())) return Take(TimeOfDay::Parse(ToText(value, "time", "")), "time");
  if (!py::isinstance(value, py::module_::import("datetime").attr("time"))) {
    RaiseType("time: found " + Repr(value) + ", expected a datetime.time or text such as \"15:30\"");
  }
  if (value.attr("second").cast<int>() != 0 || value.attr("microsecond").cast<int>() != 0) {
    RaiseQuantity("found " + Repr(value) + ", expected whole minutes", "time");
  }
  return TimeOfDay::Minutes(value.attr("hour").cast<int>() * 60 + value.attr("minute").cast<int>());
}

template <typename Terms>
void ReadInto(const TermArguments& from, Terms& terms) {
  terms.accepts = ToAccepts(from.accepts);
  terms.cash_on_delivery = ToCashOnDelivery(from.amounts);
  terms.time = ToTime(from.time);
  terms.totals = ToTotals(from.totals);
  terms.week = ToWeek(from.week);
}

py::dict FiguresOf(const Week::Figures& figures) {
  py::dict out;
  out["parcels"] = figures.parcels;
  out["spend"] = ToMoney(figures.spend, 2);
  return out;
}

}  // namespace

void TermArguments::Read(Request& request) const {
  ReadInto(*this, request);
  request.consignment = ToConsignment(consignment);
}
void TermArguments::Read(Shipment& shipment) const { ReadInto(*this, shipment); }

py::tuple AcceptsOf(const Request& request) {
  py::tuple out(request.accepts.size());
  for (std::size_t i = 0; i < out.size(); ++i) out[i] = ToStr(NameOf(request.accepts[i]));
  return out;
}

py::object TimeOf(const Request& request) {
  if (!request.time) return py::none();
  return py::module_::import("datetime").attr("time")(request.time->minutes() / 60, request.time->minutes() % 60);
}

py::dict AmountsOf(const Request& request) {
  py::dict out;
  if (request.cash_on_delivery) out["cash_on_delivery"] = ToMoney(*request.cash_on_delivery, 2);
  return out;
}

py::dict WeekOf(const Request& request) {
  py::dict out = FiguresOf(request.week.each);
  py::dict carriers;
  for (const auto& [carrier, figures] : request.week.carriers) carriers[py::str(carrier)] = FiguresOf(figures);
  out["carriers"] = carriers;
  return out;
}

py::dict ConsignmentOf(const Request& request) {
  py::dict out;
  out["others"] = request.consignment.others;
  out["others_weight"] = WeightValue{request.consignment.others_weight, request.weight_units};
  out["first"] = request.consignment.first;
  return out;
}

py::tuple TermsState(const Request& request) {
  const Request plain;
  const bool same = request.accepts == plain.accepts && !request.cash_on_delivery && !request.time &&
                    request.totals == plain.totals && request.week.carriers.empty() && request.week.each.parcels == 0 &&
                    request.week.each.spend == Amount() && request.consignment.others == 0;
  if (same) return py::tuple();
  auto figures = [](const Week::Figures& one) { return py::make_tuple(one.parcels, one.spend.micros()); };
  int accepts = 0;
  for (const Delivery one : request.accepts) accepts |= 1 << static_cast<int>(one);
  py::list carriers;
  for (const auto& [carrier, own] : request.week.carriers) carriers.append(py::make_tuple(carrier, figures(own)));
  const py::tuple terms = py::make_tuple(accepts, request.cash_on_delivery.value_or(Amount()).micros(),
                                         request.time ? request.time->minutes() : -1, static_cast<int>(request.totals),
                                         figures(request.week.each), py::tuple(carriers));
  if (request.consignment.others == 0) return terms;
  const Consignment& of = request.consignment;
  return py::tuple(terms + py::make_tuple(py::make_tuple(of.others, of.others_weight.nanograms(), of.first)));
}

void RestoreTerms(const py::tuple& state, Request& request) {
  auto figures = [](const py::handle& parts) {
    const py::tuple two = py::reinterpret_borrow<py::tuple>(parts);
    return Week::Figures{two[0].cast<std::int64_t>(), Amount::Micros(two[1].cast<std::int64_t>())};
  };
  request.accepts.clear();
  for (const Delivery one : {Delivery::kDoor, Delivery::kPoint, Delivery::kLocker}) {
    if ((state[0].cast<int>() >> static_cast<int>(one)) & 1) request.accepts.push_back(one);
  }
  if (const std::int64_t micros = state[1].cast<std::int64_t>(); micros > 0) {
    request.cash_on_delivery = Amount::Micros(micros);
  }
  if (const int minutes = state[2].cast<int>(); minutes >= 0) request.time = TimeOfDay::Minutes(minutes);
  request.totals = static_cast<Totals>(state[3].cast<int>());
  request.week.each = figures(state[4]);
  for (const py::handle pair : state[5].cast<py::tuple>()) {
    const py::tuple one = py::reinterpret_borrow<py::tuple>(pair);
    request.week.carriers.emplace(one[0].cast<std::string>(), figures(one[1]));
  }
  if (state.size() < 7) return;
  const py::tuple consignment = state[6].cast<py::tuple>();
  request.consignment = {consignment[0].cast<std::int32_t>(), Weight::Nanograms(consignment[1].cast<std::int64_t>()),
                         consignment[2].cast<bool>()};
}

}  // namespace tarewise::python
