#ifndef TAREWISE_LIB_DOCUMENTS_AREA_SHEET_H_
#define TAREWISE_LIB_DOCUMENTS_AREA_SHEET_H_

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "cell_errors.h"
#include "fields.h"
#include "grid_files.h"
#include "printed_codes.h"
#include "sheet.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::load {

/// A name of a column as a document gives it: its text or its key.
struct ColumnName {
  std::string_view name;
  Value at;
  bool at_key = false;
};

/// A column of codes, or two: the first and the last of each range. `codes` may be none. False, and an error, where it
/// is neither.
bool ReadCodeColumns(Fields& fields, Value codes, std::vector<ColumnName>& out);

/// A file in which areas stand line by line, below a header that may itself stand below lines of words.
class AreaSheet {
 public:
  /// Opens the file that `csv` names and finds its header and its columns: those of codes, the first of the file where
  /// there are none, and others. Nothing after an error.
  static std::optional<AreaSheet> Open(Fields& fields, GridFiles& files, Value csv,
                                       const std::vector<ColumnName>& codes, const std::vector<ColumnName>& others);

  Sheet& sheet() { return sheet_; }
  /// By place in `others`.
  std::size_t other(std::size_t i) const { return others_[i]; }
  /// The one column beside those of codes; nothing where there are none or several.
  std::optional<std::size_t> OnlyOther() const;
  bool IsCode(std::size_t column) const { return column == first_ || (last_ && column == *last_); }

  /// Of a line that has no code: an empty cell, or dashes.
  bool HasNoCode(std::size_t row) const { return IsDashes(First(row).text); }
  Csv::Cell First(std::size_t row) const { return sheet_.cell(row, first_); }

  /// Calls `area` for each area of a line; it says whether to go on.
  template <typename F>
  bool ReadCodes(std::size_t row, PrintedCodes& codes, F area) const {
    const Csv::Cell first = First(row);
    if (!last_) return codes.Read(first.text, first.offset, area);
    return codes.ReadRange(first.text, sheet_.cell(row, *last_).text, first.offset, area);
  }
  /// Of a line that is left out: its codes count all the same for whether a sheet has taken zeros.
  void CountDigits(std::size_t row, PrintedCodes& codes) const {
    if (!codes.may_lack_zeros() || HasNoCode(row)) return;
    codes.set_silent(true);
    ReadCodes(row, codes, [](const Area&) { return true; });
    codes.set_silent(false);
  }

 private:
  AreaSheet(const Csv& csv, Findings& findings) : sheet_(csv, findings) {}

  Sheet sheet_;
  std::size_t first_ = 0;
  std::optional<std::size_t> last_;
  std::vector<std::size_t> others_;
};

/// The country of all codes of a file, "country"; empty where there is none. Nothing after an error.
std::optional<std::string> ReadCountry(Fields& fields, Value value);

}  // namespace tarewise::inline TW_VERSIONED::load

#endif  // TAREWISE_LIB_DOCUMENTS_AREA_SHEET_H_
