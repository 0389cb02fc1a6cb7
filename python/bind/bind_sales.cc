#include <optional>
#include <string_view>
#include <utility>

#include "convert.h"
#include "economics.h"
#include "tarewise/economics/sale_columns.h"

namespace tarewise::python {

void BindSales(py::module_& module) {
  py::class_<SaleTerms> terms(module, "SaleTerms", "What is asked about the sale of every row.");
  terms.def(py::init([](const py::object& economics, const py::object& wanted, const py::object& of,
                        const py::object& up_to) {
              SaleTerms out;
              out.shop = ToEconomics(economics, "economics");
              if (!wanted.is_none()) out.wanted = ToWanted(wanted);
              out.which = ToCase(of);
              out.up_to = ToAmount(up_to, "up_to");
              // What is wrong is told now, and not of every row.
              const PlaceTotal nowhere;
              const absl::StatusOr<std::optional<Amount>> tried =
                  out.shop->MostToPay(out.up_to, {&nowhere, 1}, out.wanted.value_or(Wanted(Amount())), out.which);
              if (!tried.ok()) RaiseRequest(tried.status());
              return out;
            }),
            py::kw_only(), py::arg("economics"), py::arg("wanted"), py::arg("of"), py::arg("up_to"));
  terms.attr("__module__") = "tarewise._core";
  py::list reasons;
  for (const std::string_view name : kSaleReasonNames) reasons.append(ToStr(name));
  module.attr("SALE_REASONS") = py::tuple(reasons);
  module.attr("NO_PROFIT") = kNoProfit;
}

}  // namespace tarewise::python
