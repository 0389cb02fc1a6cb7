#ifndef TAREWISE_PYTHON_BIND_TABLES_H_
#define TAREWISE_PYTHON_BIND_TABLES_H_

#include <memory>
#include <string>
#include <vector>

#include "convert.h"
#include "tarewise/documents/load.h"
#include "tarewise/parcel/packaging.h"
#include "tarewise/pricing/ratebook.h"

namespace tarewise::python {

/// A ratebook with the documents that it was read from: it is pickled as those.
struct RatebookValue {
  std::shared_ptr<const Ratebook> book;
  std::shared_ptr<const std::vector<SourceText>> sources;
  std::string version;  ///< SHA-256 of the documents, in hexadecimal.
};

struct ShelfValue {
  std::shared_ptr<const Shelf> shelf;
};

/// The shelf of an argument; None is no shelf.
std::shared_ptr<const Shelf> ToShelf(const py::object& value);
/// A `Packaging` of Python, by the one reader of shelves; its cost and how many are on hand do not count.
Packaging ToPackaging(const py::object& value);
const RatebookValue& ToRatebook(const py::object& value);

}  // namespace tarewise::python

#endif  // TAREWISE_PYTHON_BIND_TABLES_H_
