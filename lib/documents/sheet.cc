#include "sheet.h"

#include <algorithm>
#include <unordered_map>
#include <unordered_set>
#include <utility>

#include "tarewise/units/internal/quantity_text.h"
#include "text.h"

namespace tarewise::inline TW_VERSIONED::load {
namespace {

constexpr std::string_view kNoBreakSpace = "\xC2\xA0";

// Counts how many of some names a line holds, each once.
class NameCounter {
 public:
  explicit NameCounter(const std::vector<std::string>& names) {
    for (const std::string& name : names) last_line_.emplace(name, 0);
  }
  std::size_t size() const { return last_line_.size(); }

  void BeginLine() {
    ++line_;
    count_ = 0;
  }
  void Take(std::string_view cell) {
    const auto at = last_line_.find(FoldedName(cell));
    if (at == last_line_.end() || at->second == line_) return;
    at->second = line_;
    ++count_;
  }
  std::size_t count() const { return count_; }

 private:
  std::unordered_map<std::string, std::size_t> last_line_;
  std::size_t line_ = 0;
  std::size_t count_ = 0;
};

}  // namespace

std::string FoldedName(std::string_view name) {
  std::string out;
  bool space = false;
  while (!name.empty()) {
    const char c = name.front();
    const bool wide = name.starts_with(kNoBreakSpace);
    if (wide || internal::IsSpace(c) || c == '\n' || c == '\r') {
      space = !out.empty();
      name.remove_prefix(wide ? kNoBreakSpace.size() : 1);
      continue;
    }
    if (space) out += ' ';
    space = false;
    out += c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
    name.remove_prefix(1);
  }
  return out;
}

bool Sheet::FindHeader(const std::vector<std::string_view>& names) {
  if (csv_.rows() == 0) {
    findings_.Error(kBadHeader, 0, Value(), "found an empty file, expected a header and lines below it");
    return false;
  }
  std::vector<std::string> wanted;
  wanted.reserve(names.size());
  for (const std::string_view name : names) wanted.push_back(FoldedName(name));
  NameCounter counter(wanted);
  std::size_t most = 0;
  header_ = 0;
  for (std::size_t row = 0; row < csv_.rows() && counter.size() > 0; ++row) {
    counter.BeginLine();
    for (std::size_t column = 0; column < csv_.width(row); ++column) counter.Take(csv_.cell(row, column).text);
    if (counter.count() > most) {
      most = counter.count();
      header_ = row;
    }
    if (counter.count() == counter.size()) return true;
  }
  if (FindOtherSeparators(wanted)) return false;
  if (wanted.empty()) return true;
  // Where no line has any, the widest of the first ones is most likely the header.
  constexpr std::size_t kFirst = 50;
  for (std::size_t row = 0; most == 0 && row < std::min(csv_.rows(), kFirst); ++row) {
    if (csv_.width(row) > csv_.width(header_)) header_ = row;
  }
  std::unordered_set<std::string> there;
  for (const std::string_view name : Names()) there.insert(FoldedName(name));
  for (std::size_t i = 0; i < wanted.size() && missing_.empty(); ++i) {
    if (there.count(wanted[i]) == 0) missing_ = names[i];
  }
  return false;
}

// A line that would be the header, were its separators commas. Without names it is the first.
bool Sheet::FindOtherSeparators(const std::vector<std::string>& names) {
  NameCounter counter(names);
  const std::size_t rows = names.empty() ? 1 : csv_.rows();
  for (std::size_t row = 0; row < rows; ++row) {
    const std::string_view line = csv_.Line(row);
    const std::optional<OtherSeparator> other = FindOtherSeparator(line);
    if (!other) continue;
    counter.BeginLine();
    std::string_view rest = line;
    while (true) {
      const std::size_t end = rest.find(line[other->offset]);
      std::string_view cell = internal::Trim(rest.substr(0, end));
      if (cell.size() > 1 && cell.front() == '"' && cell.back() == '"') cell = cell.substr(1, cell.size() - 2);
      counter.Take(cell);
      if (end == std::string_view::npos) break;
      rest.remove_prefix(end + 1);
    }
    if (counter.count() < counter.size()) continue;
    findings_.Error(kBadHeader, csv_.LineOffset(row) + other->offset, Value(),
                    std::string(other->words) + ": save the file again with commas");
    return true;
  }
  return false;
}

std::vector<std::string_view> Sheet::Names() const {
  std::vector<std::string_view> names;
  for (std::size_t column = 0; column < width(); ++column) {
    if (!header(column).text.empty()) names.push_back(header(column).text);
  }
  return names;
}

std::optional<std::vector<std::size_t>> Sheet::Columns(const std::vector<std::string_view>& names) {
  constexpr std::size_t kNone = std::string_view::npos;
  std::unordered_map<std::string, std::size_t> columns;
  for (const std::string_view name : names) columns.emplace(FoldedName(name), kNone);
  for (std::size_t column = 0; column < width() && !columns.empty(); ++column) {
    const auto at = columns.find(FoldedName(header(column).text));
    if (at == columns.end()) continue;
    if (at->second != kNone) {
      findings_.Error(kDuplicateCode, header(column).offset, Value(),
                      "found the column " + Quoted(header(column).text) + " twice, expected it once");
      return std::nullopt;
    }
    at->second = column;
  }
  std::vector<std::size_t> out;
  out.reserve(names.size());
  for (const std::string_view name : names) out.push_back(columns.at(FoldedName(name)));
  return out;
}

bool Sheet::IsBlank(std::size_t row) const {
  for (std::size_t column = 0; column < csv_.width(row); ++column) {
    if (!csv_.cell(row, column).text.empty()) return false;
  }
  return true;
}

void Sheet::Report(const WrongWidths& wrong) {
  const std::size_t cells = csv_.width(wrong.first);
  std::string found = "found a row of " + std::to_string(cells) + (cells == 1 ? " cell" : " cells");
  if (wrong.count > 1) {
    found += " and " + std::to_string(wrong.count - 1) + " more of another length than the header";
  }
  findings_.Error(kWrongRowLength, csv_.cell(wrong.first, 0).offset, Value(),
                  found + ", expected " + std::to_string(width()) + " as in the header");
}

}  // namespace tarewise::inline TW_VERSIONED::load
