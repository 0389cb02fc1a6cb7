#ifndef TAREWISE_LIB_DOCUMENTS_PRINTED_GRID_CELLS_H_
#define TAREWISE_LIB_DOCUMENTS_PRINTED_GRID_CELLS_H_

#include <cstddef>
#include <cstdint>
#include <deque>
#include <string>
#include <string_view>
#include <vector>

#include "findings.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::load::printed {

/// What stands between the cells of a line, in the order in which equals are taken.
enum class Separator : std::uint8_t { kTab, kSemicolon, kBar, kComma, kWide, kSpace };
std::string_view NameOf(Separator separator);

/// A line with something in it; of CSV perhaps several, where a cell in quotation marks goes on.
struct Record {
  enum class Kind : std::uint8_t {
    kOther,
    kRow,       ///< Begins with a bound, prices after it.
    kNamedRow,  ///< Begins with something else, prices after it.
  };
  std::uint32_t line = 0;   ///< From 1.
  std::uint32_t begin = 0;  ///< In the text.
  std::uint32_t end = 0;
  std::uint32_t first = 0;  ///< Of its cells.
  std::uint32_t count = 0;
  Kind kind = Kind::kOther;
  std::uint8_t label = 1;  ///< How many cells the bound stands in.
  bool placed = false;     ///< Has empty cells by the places of the others.
  bool shifted = false;    ///< Its cells stand under other columns than their order says.
};

/// A text split into lines and cells by the one separator that makes the most rows of prices.
class CellText {
 public:
  /// `text` must outlive this. False after an error.
  bool Read(std::string_view text, Findings& findings);

  Separator separator() const { return separator_; }
  const std::vector<Record>& records() const { return records_; }
  std::string_view cell(const Record& record, std::size_t i) const {
    return i < record.count ? cells_[record.first + i] : std::string_view();
  }
  /// How many cells there are, without empty ones at the end.
  std::size_t Width(const Record& record) const;
  /// The cells of a label as one text.
  std::string Label(const Record& record, std::size_t cells) const;
  std::string_view LineText(const Record& record) const {
    return text_.substr(record.begin, record.end - record.begin);
  }
  /// How many columns were taken out that have nothing in them, in any line.
  std::size_t blank_columns() const { return blank_columns_; }
  std::size_t OffsetOf(const Record& record, std::string_view part) const;
  /// Of a line that begins a record.
  std::size_t LineOffset(std::uint32_t line) const;

 private:
  bool AreAllPairs() const;
  std::size_t Score(Separator separator) const;
  bool Keep(Findings& findings);
  void DropBlankColumns();

  std::string_view text_;
  Separator separator_ = Separator::kComma;
  bool pairs_ = false;
  std::size_t blank_columns_ = 0;
  std::vector<Record> records_;
  std::vector<std::string_view> cells_;
  std::deque<std::string> decoded_;
};

}  // namespace tarewise::inline TW_VERSIONED::load::printed

#endif  // TAREWISE_LIB_DOCUMENTS_PRINTED_GRID_CELLS_H_
