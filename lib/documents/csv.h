#ifndef TAREWISE_LIB_DOCUMENTS_CSV_H_
#define TAREWISE_LIB_DOCUMENTS_CSV_H_

#include <cstddef>
#include <deque>
#include <string>
#include <string_view>
#include <vector>

#include "findings.h"

namespace tarewise::load {

/// A comma-separated file (RFC 4180; lines end with LF or CRLF; UTF-8, a byte order mark is passed over) whose cells
/// know their places. Cells are trimmed of spaces; empty lines are passed over.
class Csv {
 public:
  struct Cell {
    std::string_view text;
    std::size_t offset = 0;  ///< Of the cell's first byte, its quotation mark included.
  };
  struct Row {
    std::size_t first = 0;  ///< Index of the first cell.
    std::size_t size = 0;
  };

  /// Reads `text`, which must outlive this. True where nothing is wrong with the form.
  bool Parse(std::string_view text, Findings& findings);

  std::size_t rows() const { return rows_.size(); }
  std::size_t width(std::size_t row) const { return rows_[row].size; }
  const Cell& cell(std::size_t row, std::size_t column) const { return cells_[rows_[row].first + column]; }

 private:
  std::vector<Cell> cells_;
  std::vector<Row> rows_;
  std::deque<std::string> decoded_;  // cells with doubled quotation marks
};

}  // namespace tarewise::load

#endif  // TAREWISE_LIB_DOCUMENTS_CSV_H_
