#ifndef TAREWISE_LIB_DOCUMENTS_CSV_H_
#define TAREWISE_LIB_DOCUMENTS_CSV_H_

#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "findings.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::load {

/// What a file is read as, for what may stand in its first line and what helps where that is not so.
enum class CsvOf : std::uint8_t {
  kTable,  ///< The header, with commas.
  kGrid,   ///< The same; `tarewise grid` makes one of a printed list.
  kSheet,  ///< Perhaps words above the header: separators are looked at by `Sheet`.
};

/// A comma-separated file (RFC 4180; lines end with LF or CRLF; UTF-8, a byte order mark is passed over) whose cells
/// know their places. Cells are trimmed of spaces; empty lines are passed over. Takes eight bytes a cell and four a
/// line beside the text.
class Csv {
 public:
  struct Cell {
    std::string_view text;
    std::size_t offset = 0;  ///< Of the cell's first byte, its quotation mark included.
  };

  /// Reads `text`, which must outlive this. True where nothing is wrong with the form.
  bool Parse(std::string_view text, Findings& findings, CsvOf of = CsvOf::kTable);
  /// Of a text that is parsed: whether its first line has commas, if it should have.
  bool HasCommas(Findings& findings, CsvOf of) const;

  std::size_t cells() const { return cells_.size(); }
  std::size_t rows() const { return rows_.size(); }
  std::size_t width(std::size_t row) const {
    return (row + 1 < rows_.size() ? rows_[row + 1] : cells_.size()) - rows_[row];
  }
  Cell cell(std::size_t row, std::size_t column) const { return CellAt(rows_[row] + column); }
  /// Where a line begins in the text, and all of it without its end.
  std::size_t LineOffset(std::size_t row) const;
  std::string_view Line(std::size_t row) const;

 private:
  // A cell within the text, whose size is bounded.
  struct Span {
    std::uint32_t offset;
    std::uint32_t size : 30;
    std::uint32_t quoted : 1;
    std::uint32_t doubled : 1;  // quotation marks in it: its text is among the decoded ones
  };
  struct Decoded {
    std::uint32_t cell;
    std::uint32_t begin;  // in `plain_`
  };
  Cell CellAt(std::size_t index) const;
  bool ReadCell(std::size_t& at, Findings& findings, bool& good);
  bool ReadQuoted(std::size_t begin, std::size_t& at, Findings& findings);

  std::string_view text_;
  std::vector<Span> cells_;
  std::vector<std::uint32_t> rows_;  // the first cell of each
  std::vector<Decoded> decoded_;
  std::string plain_;
};

}  // namespace tarewise::inline TW_VERSIONED::load

#endif  // TAREWISE_LIB_DOCUMENTS_CSV_H_
