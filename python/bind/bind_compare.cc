#include <memory>
#include <string>
#include <utility>

#include "convert.h"
#include "tables.h"
#include "tarewise/compare/summary.h"
#include "tarewise/compare/tariffs.h"
#include "tarewise/documents/comparison_json.h"

namespace tarewise::python {
namespace {

/// A comparison with what it was made of.
struct ComparisonValue {
  std::shared_ptr<const Comparison> comparison;
  py::object before;
  py::object after;

  const Comparison& get() const { return *comparison; }
};

ComparisonValue MakeComparison(const py::object& before, const py::object& date_before, const py::object& after,
                               const py::object& date_after) {
  const std::shared_ptr<const Ratebook> first = ToRatebook(before).book;
  const std::shared_ptr<const Ratebook> second = ToRatebook(after).book;
  const Date first_date = ToDate(date_before, "date_before");
  const Date second_date = ToDate(date_after, "date_after");
  std::shared_ptr<const Comparison> comparison;
  {
    const py::gil_scoped_release release;
    comparison = std::make_shared<const Comparison>(Compare(*first, first_date, *second, second_date));
  }
  return {std::move(comparison), before, after};
}

py::tuple CellsOf(const ComparisonValue& self) {
  const py::object cell_class = Face("_values", "CellChange");
  py::list out;
  auto money = [](const std::optional<Amount>& amount, int decimals) {
    return amount ? ToMoney(*amount, decimals) : py::object(py::none());
  };
  for (const TariffComparison& tariff : self.get().carriers) {
    const int decimals = tariff.currency.decimals();
    auto add = [&](const py::object& service, const py::object& charge, const PriceComparison& price) {
      for (const CellChange& cell : price.cells) {
        out.append(cell_class(tariff.carrier, service, charge, cell.row, cell.column, money(cell.before, decimals),
                              money(cell.after, decimals)));
      }
    };
    for (const ServiceComparison& service : tariff.services) {
      for (const PriceComparison& price : service.prices) add(py::str(service.code), py::none(), price);
    }
    for (const ChargeComparison& charge : tariff.charges) add(py::none(), py::str(charge.code), charge.price);
  }
  return py::tuple(out);
}

}  // namespace

void BindCompare(py::module_& module) {
  py::class_<ComparisonValue> comparison(module, "Comparison", "What differs between two ratebooks on two dates.");
  comparison.attr("__module__") = "tarewise";
  comparison.def_property_readonly("summary", [](const ComparisonValue& self) { return Summary(self.get()); });
  comparison.def_property_readonly("date_before",
                                   [](const ComparisonValue& self) { return ToPyDate(self.get().date_before); });
  comparison.def_property_readonly("date_after",
                                   [](const ComparisonValue& self) { return ToPyDate(self.get().date_after); });
  comparison.def_property_readonly("carriers", [](const ComparisonValue& self) {
    py::tuple out(self.get().carriers.size());
    for (std::size_t i = 0; i < out.size(); ++i) out[i] = self.get().carriers[i].carrier;
    return out;
  });
  comparison.def_property_readonly("cells", &CellsOf);
  comparison.def(
      "to_json", [](const ComparisonValue& self, int indent) { return ToJson(self.get(), indent); }, py::kw_only(),
      py::arg("indent") = 2);
  comparison.def("__bool__", [](const ComparisonValue& self) { return !self.get().empty(); });
  comparison.def("__eq__", [](const ComparisonValue& self, const py::object& other) -> py::object {
    if (!py::isinstance<ComparisonValue>(other)) return py::reinterpret_borrow<py::object>(Py_NotImplemented);
    return py::bool_(ToJson(self.get(), -1) == ToJson(other.cast<const ComparisonValue&>().get(), -1));
  });
  comparison.def("__hash__", [](const ComparisonValue& self) { return py::hash(py::str(ToJson(self.get(), -1))); });
  BindCopies(comparison);
  comparison.def("__reduce__", [](const ComparisonValue& self) {
    return py::make_tuple(
        Face("_values", "restore_comparison"),
        py::make_tuple(1, self.before, ToPyDate(self.get().date_before), self.after, ToPyDate(self.get().date_after)));
  });
  comparison.def("__str__", [](const ComparisonValue& self) { return Summary(self.get()); });
  comparison.def("__repr__", [](const ComparisonValue& self) {
    const std::size_t n = self.get().carriers.size();
    return "<Comparison of " + self.get().date_before.value_or(Date()).ToString() + " and " +
           self.get().date_after.value_or(Date()).ToString() + ": " + std::to_string(n) +
           (n == 1 ? " carrier differs>" : " carriers differ>");
  });
  module.def("compare", &MakeComparison, py::arg("before"), py::arg("date_before"), py::arg("after"),
             py::arg("date_after"));
}

}  // namespace tarewise::python
