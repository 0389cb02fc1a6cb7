#ifndef TAREWISE_LIB_DOCUMENTS_PRINTED_GRID_READING_H_
#define TAREWISE_LIB_DOCUMENTS_PRINTED_GRID_READING_H_

#include <cstddef>
#include <cstdint>
#include <string>
#include <vector>

#include "findings.h"
#include "printed_grid_cells.h"
#include "printed_grid_notes.h"
#include "printed_grid_numbers.h"
#include "printed_grid_tables.h"
#include "tarewise/documents/printed_grid.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::load::printed {

/// A bound as it is read.
struct GridBound {
  std::int64_t micros = 0;
  std::string unit;
  std::uint32_t line = 0;
};

/// A price as it is read.
struct GridPrice {
  static constexpr std::int64_t kNone = -1;
  std::int64_t micros = kNone;
  std::uint8_t decimals = 0;
};

/// A grid with weights down and zones across, however it was printed.
struct ReadGrid {
  std::vector<GridBound> bounds;
  std::vector<std::string> columns;
  std::vector<std::uint32_t> column_lines;  ///< Where zones stand down: of each its line.
  std::vector<GridPrice> prices;            ///< Row after row.
  std::string unit;                         ///< Of most bounds.

  GridPrice& price(std::size_t row, std::size_t column) { return prices[row * columns.size() + column]; }
  const GridPrice& price(std::size_t row, std::size_t column) const { return prices[row * columns.size() + column]; }
  /// The line on which a price stands.
  std::uint32_t line(std::size_t row, std::size_t column) const {
    return column_lines.empty() ? bounds[row].line : column_lines[column];
  }
};

/// What bounds and prices of one table are read with.
struct Reading {
  const CellText& text;
  const FoundTable& table;
  const PrintedGridOptions& options;
  Findings& findings;
  Notes& notes;
  DecimalSign decimal = DecimalSign::kUnknown;

  void Error(Code code, const Record& at, std::string_view part, std::string message) const {
    findings.Error(code, text.OffsetOf(at, part), Value(), std::move(message));
  }
};

/// Whether zones stand down. False after an error: it cannot be told.
bool FindDirection(const Reading& reading, bool& zones_down);
/// What stands before decimals, of the whole grid. False after an error.
bool FindDecimalSign(Reading& reading);
/// The bounds, line by line or across, with their units. False after errors.
bool ReadBoundsDown(const Reading& reading, ReadGrid& grid);
bool ReadBoundsInHeading(const Reading& reading, ReadGrid& grid);
/// The prices of every row; drops rows that are said twice. False after errors.
bool ReadPrices(const Reading& reading, bool zones_down, ReadGrid& grid);
/// Bounds rise, units agree, and the unit of the grid is chosen. False after errors.
bool FinishBounds(const Reading& reading, ReadGrid& grid);

/// What looks mistyped.
void FindDoubts(const ReadGrid& grid, Notes& notes);

}  // namespace tarewise::inline TW_VERSIONED::load::printed

#endif  // TAREWISE_LIB_DOCUMENTS_PRINTED_GRID_READING_H_
