#ifndef TAREWISE_LIB_DOCUMENTS_PRINTED_GRID_TABLES_H_
#define TAREWISE_LIB_DOCUMENTS_PRINTED_GRID_TABLES_H_

#include <cstddef>
#include <cstdint>
#include <string>
#include <utility>
#include <vector>

#include "printed_grid_cells.h"
#include "printed_grid_heading.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::load::printed {

/// One grid of a text: its heading, its rows, and what stands between them.
struct FoundTable {
  Heading heading;
  bool headed = false;
  bool zones_down = false;  ///< Its line of bounds was found; else the heading is still to be asked.
  std::size_t label = 1;    ///< Cells that a row's label takes.
  std::size_t columns = 0;
  std::vector<std::uint32_t> rows;      ///< Records.
  std::vector<std::uint32_t> repeats;   ///< The heading again, page by page.
  std::vector<std::uint32_t> passed;    ///< What else stands between rows.
  std::vector<std::uint32_t> left_out;  ///< Prices behind other words: "each additional pound".
  /// From which row on (an index) another unit holds, which a line of its own or a heading said again.
  std::vector<std::pair<std::size_t, std::string>> units;

  std::uint32_t first() const { return headed ? heading.records.front() : rows.front(); }
};

struct FoundTables {
  std::vector<FoundTable> tables;
  std::vector<FoundTable> headless;  ///< Two rows or more that no heading names.
};
FoundTables FindTables(const CellText& text);

}  // namespace tarewise::inline TW_VERSIONED::load::printed

#endif  // TAREWISE_LIB_DOCUMENTS_PRINTED_GRID_TABLES_H_
