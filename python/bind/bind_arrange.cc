#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "convert.h"
#include "goods.h"
#include "tables.h"
#include "tarewise/ranking/pack_goods.h"

namespace tarewise::python {
namespace {

constexpr const char* kFitNames[] = {"fits", "does_not_fit", "unknown"};
constexpr const char* kProofNames[] = {"", "unit_too_large", "volume", "bound", "searched"};

py::object Class(const char* name) { return Face("_values", name); }

// What is to be packed, as Python gives it.
struct Task {
  Request request;
  Packaging packaging;
  std::vector<py::object> items;
  py::object in = py::none();  // The Packaging, or the sides of a plain room.
};

Task ToTask(const py::object& goods, const py::object& packaging, const py::object& padding) {
  Task out;
  if (py::isinstance<ParcelValue>(goods)) RaiseType("goods: found a Parcel, expected an Item or several: it is packed");
  ToGoods(goods, out.request);
  if (py::isinstance<ItemValue>(goods)) {
    out.items.push_back(goods);
  } else {
    for (const py::handle item : py::reinterpret_borrow<py::sequence>(goods)) {
      out.items.push_back(py::reinterpret_borrow<py::object>(item));
    }
  }
  if (py::isinstance(packaging, Class("Packaging"))) {
    out.packaging = ToPackaging(packaging);
    out.in = packaging;
  } else {
    const SidesValue sides = ToSides(packaging, "packaging");
    out.packaging.inside = out.packaging.outside = sides.sides;
    out.in = py::cast(sides);
  }
  if (!padding.is_none()) out.request.padding = ToLength(padding, "padding").length;
  return out;
}

LengthValue In(const Request& request, std::int64_t nm) { return {Length::Nanometres(nm), request.side_units}; }
py::object SidesIn(const Request& request, const std::array<std::int64_t, 3>& sides) {
  if (std::count(sides.begin(), sides.end(), 0) > 0) return py::none();
  SidesValue out{{}, request.side_units};
  for (std::size_t i = 0; i < 3; ++i) out.sides[i] = Length::Nanometres(sides[i]);
  return py::cast(out);
}

py::tuple UnitsOf(const Request& request, const Packing& packing, const std::vector<std::size_t>& steps) {
  const py::object unit_class = Class("ArrangedUnit");
  py::tuple out(packing.placements.size());
  for (std::size_t i = 0; i < out.size(); ++i) {
    const Placement& one = packing.placements[i];
    const GoodsUnit of = GoodsUnitOf(request, one.unit);
    py::tuple at(3);
    for (std::size_t k = 0; k < 3; ++k) at[k] = In(request, one.at[k]);
    out[i] = unit_class(of.item, of.unit, at, SidesIn(request, one.sides), i < steps.size() ? steps[i] : 0);
  }
  return out;
}

py::object ArrangeGoods(const py::object& goods, const py::object& packaging, const py::object& padding,
                        const py::object& nodes) {
  const Task task = ToTask(goods, packaging, padding);
  const ArrangeBudget budget{ToWhole(nodes, "nodes", 1, kMostNodes)};
  const absl::StatusOr<Packing> packed = [&] {
    const py::gil_scoped_release release;
    return PackGoods(task.request, task.packaging, budget);
  }();
  if (!packed.ok()) RaiseRequest(packed.status());
  const ToldPacking told = TellPacking(task.request, task.packaging, *packed);
  py::tuple items(task.items.size());
  for (std::size_t i = 0; i < items.size(); ++i) items[i] = task.items[i];
  py::tuple steps(told.steps.size());
  for (std::size_t i = 0; i < steps.size(); ++i) steps[i] = ToStr(told.steps[i]);
  const bool fits = packed->fit == Fit::kFits;
  py::object proof = py::none();
  if (packed->proof != FitProof::kNone) proof = ToStr(kProofNames[static_cast<int>(packed->proof)]);
  py::object cut_to = py::none();
  if (packed->cut_height) cut_to = py::cast(In(task.request, *packed->cut_height));
  py::object kept = py::none();
  if (!padding.is_none()) kept = py::cast(ToLength(padding, "padding"));
  return Class("Arrangement")(kFitNames[static_cast<int>(packed->fit)], proof, packed->why,
                              UnitsOf(task.request, *packed, told.of_units),
                              fits ? SidesIn(task.request, packed->outside) : py::object(py::none()), cut_to,
                              fits ? SidesIn(task.request, RoomOf(task.packaging, *packed)) : py::object(py::none()),
                              steps, items, task.in, kept);
}

std::vector<Placement> ToPlacements(const py::object& units, const Request& request) {
  const py::object unit_class = Class("ArrangedUnit");
  const py::object arrangement_class = Class("Arrangement");
  py::object listed = units;
  if (py::isinstance(units, arrangement_class)) listed = units.attr("units");
  if (!PyTuple_Check(listed.ptr()) && !PyList_Check(listed.ptr())) {
    RaiseType("units: found " + Repr(py::type::of(units).attr("__name__")) +
              ", expected ArrangedUnits, or an Arrangement");
  }
  std::vector<std::int64_t> first;
  std::int64_t all = 0;
  for (const Item& item : request.goods) {
    first.push_back(all);
    all += item.quantity;
  }
  std::vector<Placement> out;
  for (const py::handle unit : py::reinterpret_borrow<py::sequence>(listed)) {
    if (!py::isinstance(unit, unit_class)) {
      RaiseType("units: found " + Repr(py::type::of(unit).attr("__name__")) + ", expected ArrangedUnits");
    }
    const std::string field = "units/" + std::to_string(out.size());
    const auto item = static_cast<std::size_t>(
        ToWhole(unit.attr("item"), field + "/item", 0, static_cast<std::int64_t>(request.goods.size()) - 1));
    const std::int64_t which = ToWhole(unit.attr("unit"), field + "/unit", 0, request.goods[item].quantity - 1);
    Placement placement;
    placement.unit = static_cast<std::size_t>(first[item] + which);
    const py::object at = unit.attr("at");
    if (!PyTuple_Check(at.ptr()) && !PyList_Check(at.ptr())) {
      RaiseType(field + "/at: found " + Repr(at) + ", expected three lengths");
    }
    const py::sequence corner = py::reinterpret_borrow<py::sequence>(at);
    if (corner.size() != 3) {
      RaiseQuantity("found " + std::to_string(corner.size()) + " lengths, expected three", field + "/at");
    }
    const SidesValue sides = ToSides(unit.attr("sides"), field + "/sides");
    for (std::size_t k = 0; k < 3; ++k) {
      placement.at[k] = ToLength(py::object(corner[k]), field + "/at").length.nanometres();
      placement.sides[k] = sides.sides[k].nanometres();
    }
    out.push_back(placement);
  }
  return out;
}

std::optional<std::string> CheckGoods(const py::object& goods, const py::object& packaging, const py::object& units,
                                      const py::object& padding) {
  const Task task = ToTask(goods, packaging, padding);
  const std::vector<Placement> placements = ToPlacements(units, task.request);
  absl::StatusOr<std::optional<std::string>> wrong = [&] {
    const py::gil_scoped_release release;
    return CheckPackedGoods(task.request, task.packaging, placements);
  }();
  if (!wrong.ok()) RaiseRequest(wrong.status());
  return *std::move(wrong);
}

}  // namespace

void BindArrange(py::module_& module) {
  module.def("arrange", &ArrangeGoods, py::arg("goods"), py::arg("packaging"), py::kw_only(),
             py::arg("padding") = py::none(), py::arg("nodes") = kFewNodes,
             "Whether goods go into a packaging together, and how, or why not; no lane, no tariff, no price.");
  module.def("check_arrangement", &CheckGoods, py::arg("goods"), py::arg("packaging"), py::arg("units"), py::kw_only(),
             py::arg("padding") = py::none(),
             "None where an arrangement in a carton, made by whomever, keeps every rule, else what is wrong.");
}

}  // namespace tarewise::python
