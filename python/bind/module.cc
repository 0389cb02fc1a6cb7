#include <pybind11/pybind11.h>

#include "convert.h"
#include "tarewise/version.h"

PYBIND11_MODULE(_core, module) {
  // Signatures and words are the package's (tarewise/_docs.py), as Python has them.
  pybind11::options options;
  options.disable_function_signatures();
  module.doc() = "The compiled half of tarewise; use the package.";
  module.attr("__version__") = TAREWISE_VERSION_STRING;
  tarewise::python::BindUnits(module);
  tarewise::python::BindPlaces(module);
  tarewise::python::BindGoods(module);
  tarewise::python::BindRequest(module);
  tarewise::python::BindTables(module);
  tarewise::python::BindGrids(module);
  tarewise::python::BindArrange(module);
  tarewise::python::BindRanking(module);
  tarewise::python::BindPlans(module);
  tarewise::python::BindBatch(module);
  tarewise::python::BindCompare(module);
  tarewise::python::BindEconomics(module);
  tarewise::python::BindSales(module);
  tarewise::python::BindChanges(module);
}
