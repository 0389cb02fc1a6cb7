// Any bytes as a printed grid. What is read must be a grid: a header, as many cells a row as it has columns, prices
// that are decimals; and what is refused must say why.
#include <cstdint>
#include <string>
#include <string_view>

#include "invariants.h"
#include "tarewise/documents/printed_grid.h"

namespace {

// The cells of a line of the result. Marks inside quotation marks are a name's own.
std::size_t Cells(std::string_view line) {
  std::size_t cells = 1;
  bool quoted = false;
  for (const char c : line) {
    if (c == '"') quoted = !quoted;
    if (c == ',' && !quoted) ++cells;
  }
  return cells;
}

void RequireGrid(const tarewise::PrintedGrid& grid) {
  std::string_view csv = grid.csv;
  fuzz::Require(csv.starts_with("bound,") && csv.ends_with('\n'), "a header and whole lines");
  csv.remove_prefix(std::min(csv.find('\n') + 1, csv.size()));
  std::size_t rows = 0;
  while (!csv.empty()) {
    const std::string_view line = csv.substr(0, csv.find('\n'));
    fuzz::Require(Cells(line) == grid.columns.size() + 1, "a cell a column");
    for (const char c : line.substr(std::min(line.find(','), line.size()))) {
      fuzz::Require((c >= '0' && c <= '9') || c == '.' || c == ',', "prices are decimals");
    }
    csv.remove_prefix(line.size() + 1);
    ++rows;
  }
  fuzz::Require(rows == grid.rows && rows > 0, "as many rows as are told");
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  if (size == 0) return 0;
  tarewise::PrintedGridOptions options;
  options.table = data[0] & 3;
  options.decimal = static_cast<tarewise::PrintedGridOptions::Decimal>((data[0] >> 2) % 3);
  if ((data[0] & 64) != 0) options.unit = "kg";
  const std::string text(reinterpret_cast<const char*>(data) + 1, size - 1);
  const tarewise::Loaded<tarewise::PrintedGrid> read = tarewise::ReadPrintedGrid({"grid.txt", text}, options);
  fuzz::Require(read.ok() != tarewise::HasErrors(read.diagnostics), "a grid, or an error that says why");
  if (read.ok()) {
    bool names_in_one_line = true;
    for (const std::string& name : read.value->columns) {
      names_in_one_line =
          names_in_one_line && name.find('\n') == std::string::npos && name.find('\r') == std::string::npos;
    }
    if (names_in_one_line) RequireGrid(*read.value);
    for (const tarewise::GridNote& note : read.value->notes) {
      fuzz::Require(!note.message.empty() && note.line >= 0 && note.line <= note.last_line, "a note with its lines");
      fuzz::Require(note.doubt == (note.code >= 650), "a doubt has its number");
    }
  }
  return 0;
}
