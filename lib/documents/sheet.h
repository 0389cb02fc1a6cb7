#ifndef TAREWISE_LIB_DOCUMENTS_SHEET_H_
#define TAREWISE_LIB_DOCUMENTS_SHEET_H_

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "csv.h"
#include "findings.h"
#include "tarewise/units/internal/quantity_text.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::load {

/// A name of a column as names are compared: in small letters (of ASCII), each run of spaces or line ends as one.
std::string FoldedName(std::string_view name);

/// A CSV file whose columns have names. The header may stand below lines of words; lines whose cells are all empty are
/// no rows.
class Sheet {
 public:
  /// `csv` is parsed with `CsvOf::kSheet`; it and `findings` (of its file) must outlive this.
  Sheet(const Csv& csv, Findings& findings) : csv_(csv), findings_(findings) {}

  /// Takes the first line that holds every one of `names` as the header; without names the first line. False where
  /// there is none: an empty file and another separator are then reported in the file and `missing` is empty; else it
  /// is a name that the line lacks that has most of them. Linear in the cells.
  bool FindHeader(const std::vector<std::string_view>& names);
  const std::string& missing() const { return missing_; }

  /// Of the header, or of the line that comes nearest to it. Cells without text have no names.
  std::vector<std::string_view> Names() const;
  std::size_t width() const { return csv_.width(header_); }
  Csv::Cell header(std::size_t column) const { return csv_.cell(header_, column); }
  /// The columns of names that the header has; nothing where one is there twice, which is reported once. Linear in the
  /// header.
  std::optional<std::vector<std::size_t>> Columns(const std::vector<std::string_view>& names);

  /// A cell without the spaces around its text, in quotation marks too.
  Csv::Cell cell(std::size_t row, std::size_t column) const {
    Csv::Cell out = csv_.cell(row, column);
    out.text = internal::Trim(out.text);
    return out;
  }

  /// Calls `row(index)` for each row below the header; `cell(index, column)` are its cells. A row of another
  /// width than the header's is reported and left out. False where there was one, or where `row` said false, which ends
  /// it.
  template <typename F>
  bool ForEachRow(F row) {
    bool good = true;
    WrongWidths wrong;
    for (std::size_t i = header_ + 1; i < csv_.rows(); ++i) {
      if (IsBlank(i)) continue;
      if (csv_.width(i) != width()) {
        wrong.Add(i);
        good = false;
      } else if (!row(i)) {
        good = false;
        break;
      }
    }
    if (wrong.count > 0) Report(wrong);
    return good;
  }

  const Csv& csv() const { return csv_; }
  Findings& findings() { return findings_; }

 private:
  struct WrongWidths {
    std::size_t first = 0;
    std::size_t count = 0;
    void Add(std::size_t row) {
      if (count++ == 0) first = row;
    }
  };
  bool IsBlank(std::size_t row) const;
  void Report(const WrongWidths& wrong);
  bool FindOtherSeparators(const std::vector<std::string>& names);

  const Csv& csv_;
  Findings& findings_;
  std::size_t header_ = 0;
  std::string missing_;
};

}  // namespace tarewise::inline TW_VERSIONED::load

#endif  // TAREWISE_LIB_DOCUMENTS_SHEET_H_
