#ifndef TAREWISE_PYTHON_BIND_ECONOMICS_H_
#define TAREWISE_PYTHON_BIND_ECONOMICS_H_

#include <memory>

#include "convert.h"
#include "tarewise/economics/economics.h"

namespace tarewise::python {

std::shared_ptr<const Economics> ToEconomics(const py::object& value, std::string_view field);
/// An amount, perhaps below 0, or text with a percent sign: of the price.
Wanted ToWanted(const py::object& value);
/// "worst" or "average".
Case ToCase(const py::object& value);

}  // namespace tarewise::python

#endif  // TAREWISE_PYTHON_BIND_ECONOMICS_H_
