#ifndef TAREWISE_DOCUMENTS_PRINTED_GRID_H_
#define TAREWISE_DOCUMENTS_PRINTED_GRID_H_

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <string>
#include <vector>

#include "tarewise/documents/load.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

/// What was done to a printed grid, or what in it looks mistyped.
struct GridNote {
  bool doubt = false;          ///< False: something that was done, and is told.
  std::int32_t code = 0;       ///< Of a doubt: its pinned number, 650 to 699; else 0.
  std::int32_t line = 0;       ///< From 1, the first that it is about; 0: the whole text.
  std::int32_t last_line = 0;  ///< The last one.
  std::string message;         ///< "removed \"$\" from 502 cells, lines 4 to 73"
};

/// A printed grid as the strict loader takes it.
struct PrintedGrid {
  std::string csv;                   ///< The file that a table's `csv` names: header "bound", a column a zone.
  std::string unit;                  ///< To be written as the table's `unit`; empty where the text says none.
  std::vector<std::string> columns;  ///< As the header names them: "1 & 2", "3".
  std::size_t rows = 0;
  std::vector<GridNote> notes;  ///< What was done, in the order of the text, then the doubts.

  bool doubtful() const {
    return std::any_of(notes.begin(), notes.end(), [](const GridNote& note) { return note.doubt; });
  }
};

struct PrintedGridOptions {
  enum class Decimal : std::uint8_t { kAsPrinted, kPoint, kComma };
  std::size_t table = 0;                  ///< Which table of the text, from 1; 0: the only one.
  Decimal decimal = Decimal::kAsPrinted;  ///< What stands before decimals; `kAsPrinted`: what the whole grid shows.
  std::string unit;                       ///< Of the bounds that have none: "lb", "kg", ...; empty: as printed.
};

/// Reads a price grid as carriers print it: CSV, tabs, semicolons, bars, columns of spaces, text pasted from a PDF.
///
///     const Loaded<PrintedGrid> grid = ReadPrintedGrid({"ground.txt", "zone 2 3\n1 lb $5.10 $5.60\n2 6.20 7.15"});
///     for (const Diagnostic& finding : grid.diagnostics) Tell(finding.ToString());
///     if (grid.ok()) Tell(grid.value->csv);
///
/// The header is found, and what stands above and below is passed over. Currency signs, thousands separators and
/// footnote marks go; decimal commas, fractions, "Not over", "lbs." and "Zone 4" are read; dashes and N/A become empty
/// cells; zones down are turned round; two header rows become one. Each of these is told in `notes`.
///
/// Nothing is guessed: where the text can be read in two ways, or a row has a cell too few or too many, there is no
/// grid, and a diagnostic (600 to 649) says where, what was found and what was expected. What can be read but looks
/// mistyped is a doubt among the notes.
///
/// UTF-8 of at most 16 MiB; at most 10,000 rows and 2,000,000 cells. Linear in the text; memory of a few times its
/// size.
Loaded<PrintedGrid> ReadPrintedGrid(const SourceText& source, const PrintedGridOptions& options = {});

}  // namespace tarewise::inline TW_VERSIONED

#endif  // TAREWISE_DOCUMENTS_PRINTED_GRID_H_
