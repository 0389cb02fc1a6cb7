#ifndef TAREWISE_PYTHON_BIND_REQUEST_H_
#define TAREWISE_PYTHON_BIND_REQUEST_H_

#include "convert.h"
#include "goods.h"
#include "terms.h"

namespace tarewise::python {

/// The arguments that a request is made of, as Python gives them.
struct RequestArguments {
  py::object goods;
  py::object lane;
  py::object date;
  py::object promise;
  py::object extras;
  py::object cover;
  TermArguments terms;
  py::object tolerance;
  py::object steps;
  py::object objective;
  py::object currency;
  py::object exchange;
  py::object padding;
  py::object fill_weight;
  py::object allowance;
  py::object parcels = py::none();
  py::object sealed = py::none();

  RequestValue Read() const;
};

}  // namespace tarewise::python

#endif  // TAREWISE_PYTHON_BIND_REQUEST_H_
