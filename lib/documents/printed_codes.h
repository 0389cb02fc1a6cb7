#ifndef TAREWISE_LIB_DOCUMENTS_PRINTED_CODES_H_
#define TAREWISE_LIB_DOCUMENTS_PRINTED_CODES_H_

#include <array>
#include <cstddef>
#include <string>
#include <string_view>

#include "cell_errors.h"
#include "findings.h"
#include "tarewise/version.h"
#include "tarewise/zone/area.h"

namespace tarewise::inline TW_VERSIONED::load {

/// Whether a cell is empty, or dashes of any kind alone: what a printed list has where there is nothing.
bool IsDashes(std::string_view cell);

/// Reads codes as they are printed, all of one country or each with its own: "005", "005---089", "0-1, 5".
class PrintedCodes {
 public:
  /// `country` is empty where each code has its own. `errors` must outlive this.
  PrintedCodes(std::string country, CellErrors& errors) : country_(std::move(country)), errors_(errors) {}

  /// Calls `area` for each code of a cell that is not empty; it says whether to go on. False after an error or where
  /// `area` said so.
  template <typename F>
  bool Read(std::string_view cell, std::size_t offset, F area) {
    if (IsPlain(cell)) return One(cell, offset, area);
    const std::string plain = WithPlainDashes(cell);
    std::string_view rest = plain;
    bool good = true;
    while (good) {
      const std::size_t end = rest.find_first_of(",;");
      good = One(rest.substr(0, end), offset, area);
      if (end == std::string_view::npos) break;
      rest.remove_prefix(end + 1);
    }
    return good;
  }
  /// The same of a range whose two ends stand in two cells; without the second the first alone.
  template <typename F>
  bool ReadRange(std::string_view first, std::string_view last, std::size_t offset, F area) {
    if (last.empty()) return One(WithPlainDashes(first), offset, area);
    return One(WithPlainDashes(first) + "-" + WithPlainDashes(last), offset, area);
  }

  /// Errors are not told: codes are counted alone.
  void set_silent(bool silent) { silent_ = silent; }
  /// Whether `WarnOfLostZeros` may still have something to tell.
  bool may_lack_zeros() const { return digits_ && !zero_; }
  /// A warning where a sheet has most likely taken the zeros at the head of codes.
  void WarnOfLostZeros(Findings& findings) const;

 private:
  std::string WithLostZero(const std::string& code) const;
  // No separators, no dashes but single hyphens.
  static bool IsPlain(std::string_view cell);
  static std::string WithPlainDashes(std::string_view cell);

  template <typename F>
  bool One(std::string_view code, std::size_t offset, F area) {
    const std::string whole = country_.empty() ? std::string(code) : country_ + ":" + std::string(code);
    absl::StatusOr<Area> parsed = code.empty() ? Area::Parse("") : Area::Parse(whole);
    if (!parsed.ok()) {
      Bad(code, whole, parsed.status(), offset);
      return false;
    }
    Count(*parsed, code, offset);
    return area(*parsed);
  }
  void Bad(std::string_view code, std::string_view whole, const absl::Status& status, std::size_t offset);
  void Count(const Area& area, std::string_view code, std::size_t offset);

  // Codes of so many digits: how many, and where the first is.
  struct OfLength {
    std::size_t count = 0;
    std::size_t offset = 0;
    std::string first;
    std::string head;  // Of a range its first code.
  };
  std::string country_;
  CellErrors& errors_;
  std::array<OfLength, 17> lengths_;
  bool silent_ = false;
  bool digits_ = true;
  bool zero_ = false;  // a code begins with it
};

}  // namespace tarewise::inline TW_VERSIONED::load

#endif  // TAREWISE_LIB_DOCUMENTS_PRINTED_CODES_H_
