#include <cstddef>
#include <string>
#include <utility>

#include "convert.h"
#include "tarewise/documents/printed_grid.h"

namespace tarewise::python {
namespace {

// (csv, unit, columns, notes); what is refused raises.
py::tuple ReadGrid(std::string name, const std::string& text, std::size_t table, const std::string& decimal,
                   std::string unit) {
  using Decimal = PrintedGridOptions::Decimal;
  PrintedGridOptions options;
  options.table = table;
  options.unit = std::move(unit);
  if (decimal == "point") {
    options.decimal = Decimal::kPoint;
  } else if (decimal == "comma") {
    options.decimal = Decimal::kComma;
  } else if (!decimal.empty()) {
    RaiseQuantity("found " + Quote(decimal) + ", expected point or comma", "decimal");
  }
  Loaded<PrintedGrid> read;
  {
    const py::gil_scoped_release release;
    read = ReadPrintedGrid({std::move(name), text}, options);
  }
  if (!read.ok()) RaiseDocument("TariffError", read.diagnostics);
  const PrintedGrid& grid = *read.value;
  py::tuple columns(grid.columns.size());
  for (std::size_t i = 0; i < grid.columns.size(); ++i) columns[i] = ToStr(grid.columns[i]);
  const py::object note_class = Face("_values", "GridNote");
  py::tuple notes(grid.notes.size());
  for (std::size_t i = 0; i < grid.notes.size(); ++i) {
    const GridNote& note = grid.notes[i];
    notes[i] = note_class(note.doubt, note.code, note.line, note.last_line, note.message);
  }
  return py::make_tuple(grid.csv, grid.unit, columns, notes);
}

}  // namespace

void BindGrids(py::module_& module) {
  module.def("read_printed_grid", &ReadGrid, py::arg("name"), py::arg("text"), py::arg("table"), py::arg("decimal"),
             py::arg("unit"));
}

}  // namespace tarewise::python
