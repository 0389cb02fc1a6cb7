#ifndef TAREWISE_PYTHON_BIND_REPRICER_H_
#define TAREWISE_PYTHON_BIND_REPRICER_H_

#include <memory>

#include "convert.h"
#include "tarewise/batch/reprice.h"

namespace tarewise::python {

/// Of a `_core.Repricer`.
std::shared_ptr<const Repricer> ToRepricer(const py::handle& value);

}  // namespace tarewise::python

#endif  // TAREWISE_PYTHON_BIND_REPRICER_H_
