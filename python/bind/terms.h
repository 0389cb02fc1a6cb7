#ifndef TAREWISE_PYTHON_BIND_TERMS_H_
#define TAREWISE_PYTHON_BIND_TERMS_H_

#include "convert.h"
#include "tarewise/ranking/dispatch.h"
#include "tarewise/ranking/request.h"

namespace tarewise::python {

/// The arguments beside extras and cover that say on what terms it is sent; of a request and of a repricer.
struct TermArguments {
  py::object accepts;
  py::object amounts;
  py::object time;
  py::object totals;
  py::object week;
  py::object consignment = py::none();  ///< Of a request alone: what is repriced goes by itself.

  void Read(Request& request) const;
  void Read(Shipment& shipment) const;
};

/// As Python has them.
py::tuple AcceptsOf(const Request& request);
py::dict AmountsOf(const Request& request);
py::object TimeOf(const Request& request);
py::dict WeekOf(const Request& request);
py::dict ConsignmentOf(const Request& request);

/// What of these is not as though it were left out, for comparing and pickling; empty: nothing.
py::tuple TermsState(const Request& request);
void RestoreTerms(const py::tuple& state, Request& request);

}  // namespace tarewise::python

#endif  // TAREWISE_PYTHON_BIND_TERMS_H_
