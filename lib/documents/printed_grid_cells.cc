#include "printed_grid_cells.h"

#include <algorithm>
#include <iterator>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "printed_grid_numbers.h"
#include "printed_grid_places.h"
#include "printed_grid_split.h"
#include "printed_grid_words.h"
#include "tarewise/units/internal/quantity_text.h"
#include "text.h"

namespace tarewise::inline TW_VERSIONED::load::printed {
namespace {

constexpr std::size_t kMostCells = 2'000'000;
constexpr std::size_t kMostLines = 1'000'000;

// "----", "---|---": drawn, and no cells.
bool IsRule(std::string_view line) { return line.find_first_not_of("-=_+:| \t") == std::string_view::npos; }

bool IsBlank(std::string_view line) { return TrimAll(line).empty(); }

struct Kind {
  Record::Kind kind = Record::Kind::kOther;
  std::uint8_t label = 1;
};

// "7,80", which a comma parts where it stands before decimals.
bool IsNumber(std::string_view line) {
  const BoundText bound = ReadBoundText(line);
  const std::string_view number =
      bound.kind == BoundText::Kind::kBound && !bound.has_lower ? bound.upper.number : ReadPrice(line).number;
  return ReadFigure(number, DecimalSign::kComma).has_value() || ReadFigure(number, DecimalSign::kPoint).has_value();
}

Kind KindOf(const std::vector<std::string_view>& cells, std::string_view line, bool commas) {
  if (cells.size() < 2 || (commas && cells.size() == 2 && IsNumber(TrimAll(line)))) return {};
  Kind out;
  bool bound = false;
  std::string joined;
  for (std::size_t i = 0; i < 3 && i + 1 < cells.size() && !bound; ++i) {
    if (cells[i].size() > 120) break;
    if (!joined.empty() && !cells[i].empty()) joined += ' ';
    joined += cells[i];
    if (cells[i].empty() || joined.size() > 120) continue;
    bound = ReadBoundText(i == 0 ? cells[0] : std::string_view(joined)).kind != BoundText::Kind::kNone;
    if (bound) out.label = static_cast<std::uint8_t>(i + 1);
  }
  std::size_t amounts = 0;
  std::size_t others = 0;
  for (std::size_t i = out.label; i < cells.size(); ++i) {
    const PriceText::Kind kind = ReadPrice(cells[i]).kind;
    amounts += kind == PriceText::Kind::kAmount ? 1 : 0;
    others += kind == PriceText::Kind::kNone ? 1 : 0;
  }
  if (bound && amounts > 0 && others * 2 <= amounts) {
    out.kind = Record::Kind::kRow;
  } else if (!bound && amounts > 0 && others == 0) {
    out.kind = Record::Kind::kNamedRow;
  }
  return out;
}

}  // namespace

std::string_view NameOf(Separator separator) {
  constexpr std::string_view kNames[] = {"tabs", "semicolons", "bars", "commas", "columns of spaces", "single spaces"};
  return kNames[static_cast<std::size_t>(separator)];
}

bool CellText::Read(std::string_view text, Findings& findings) {
  text_ = text;
  if (!HasFormOfText(text, findings)) return false;
  if (text.empty()) {
    findings.Error(kNoGrid, 0, Value(), "found an empty file, expected a price grid");
    return false;
  }
  if (const std::optional<std::size_t> bad = FirstNotUtf8(text)) {
    findings.Error(kNotUtf8, *bad, Value(),
                   "found a byte that is not UTF-8, expected UTF-8 (save the file again as UTF-8)");
    return false;
  }
  if (const std::size_t zero = text.find('\0'); zero != std::string_view::npos) {
    findings.Error(kNotUtf8, zero, Value(), "found a zero byte, expected text");
    return false;
  }
  pairs_ = AreAllPairs();
  std::size_t best = 0;
  constexpr std::pair<Separator, std::string_view> kAll[] = {{Separator::kTab, "\t"},  {Separator::kSemicolon, ";"},
                                                             {Separator::kBar, "|"},   {Separator::kComma, ","},
                                                             {Separator::kWide, "  "}, {Separator::kSpace, " "}};
  for (const auto& [separator, sign] : kAll) {
    if (text.find(sign) == std::string_view::npos) continue;
    const std::size_t score = Score(separator);
    if (score <= best) continue;
    best = score;
    separator_ = separator;
  }
  return Keep(findings);
}

// Whether every line is two cells parted by a comma, the first of them no number: a header, and one column.
bool CellText::AreAllPairs() const {
  Splitter splitter(text_, Separator::kComma, nullptr);
  std::vector<std::string_view> cells;
  Record record;
  bool first = true;
  while (splitter.Next(record, cells, 3)) {
    const std::string_view line = text_.substr(record.begin, record.end - record.begin);
    if (IsBlank(line)) continue;
    if (cells.size() != 2 || (first && IsNumber(TrimAll(line)))) return false;
    first = false;
  }
  return true;
}

// How many rows of prices the text has by a separator; rows that begin with a bound count for far more.
std::size_t CellText::Score(Separator separator) const {
  Splitter splitter(text_, separator, nullptr);
  std::vector<std::string_view> cells;
  std::size_t rows = 0;
  std::size_t named = 0;
  Record record;
  const bool commas = separator == Separator::kComma && !pairs_;
  while (splitter.Next(record, cells, kMostCells)) {
    const Kind kind = KindOf(cells, text_.substr(record.begin, record.end - record.begin), commas);
    rows += kind.kind == Record::Kind::kRow ? 1 : 0;
    named += kind.kind == Record::Kind::kNamedRow && cells.size() > 2 ? 1 : 0;
  }
  return rows > 0 ? rows * 1000 + 1000 : std::min<std::size_t>(named, 1000);
}

bool CellText::Keep(Findings& findings) {
  Splitter splitter(text_, separator_, &decoded_);
  std::vector<std::string_view> cells;
  Record record;
  std::size_t by_label[4] = {};
  while (splitter.Next(record, cells, kMostCells + 1)) {
    const std::string_view line = text_.substr(record.begin, record.end - record.begin);
    if (IsBlank(line) || IsRule(line)) continue;
    if (cells_.size() + cells.size() > kMostCells || records_.size() >= kMostLines) {
      const bool lines = records_.size() >= kMostLines;
      findings.Error(kTooManyValues, record.begin, Value(),
                     lines ? "found more than 1000000 lines, expected a smaller text"
                           : "found more than 2000000 cells, expected a smaller text");
      return false;
    }
    const Kind kind = KindOf(cells, line, separator_ == Separator::kComma && !pairs_);
    record.kind = kind.kind;
    record.label = kind.label;
    record.first = static_cast<std::uint32_t>(cells_.size());
    record.count = static_cast<std::uint32_t>(cells.size());
    cells_.insert(cells_.end(), cells.begin(), cells.end());
    records_.push_back(record);
    if (record.kind == Record::Kind::kRow) ++by_label[record.label];
  }
  // A header whose corner is empty, or a unit, reads like a row with a cell before its bound.
  const auto most = std::max_element(std::begin(by_label), std::end(by_label));
  const auto label = static_cast<std::uint8_t>(most - std::begin(by_label));
  for (Record& row : records_) {
    if (row.kind != Record::Kind::kRow || row.label <= label) continue;
    row.kind = Record::Kind::kNamedRow;
    row.label = std::max<std::uint8_t>(label, 1);
  }
  if (separator_ <= Separator::kComma) DropBlankColumns();
  if (separator_ == Separator::kWide) PlaceCells(text_, records_, cells_);
  return true;
}

// A sheet has such columns between others. The first one is a matter of the label.
void CellText::DropBlankColumns() {
  std::vector<bool> filled;
  for (const Record& record : records_) {
    if (filled.size() < record.count) filled.resize(record.count);
    for (std::size_t i = 0; i < record.count; ++i) filled[i] = filled[i] || !cell(record, i).empty();
  }
  while (!filled.empty() && !filled.back()) filled.pop_back();
  if (!filled.empty()) filled.front() = true;
  blank_columns_ = static_cast<std::size_t>(std::count(filled.begin(), filled.end(), false));
  if (blank_columns_ == 0) return;
  for (Record& record : records_) {
    std::uint32_t kept = 0;
    std::uint8_t label = record.label;
    for (std::uint32_t i = 0; i < record.count; ++i) {
      if (i < filled.size() && !filled[i]) {
        if (i < record.label) --label;
        continue;
      }
      cells_[record.first + kept++] = cells_[record.first + i];
    }
    record.count = kept;
    record.label = std::max<std::uint8_t>(label, 1);
  }
}

std::size_t CellText::Width(const Record& record) const {
  std::size_t width = record.count;
  while (width > 0 && cell(record, width - 1).empty()) --width;
  return width;
}

std::string CellText::Label(const Record& record, std::size_t cells) const {
  std::string out;
  for (std::size_t i = 0; i < cells; ++i) {
    const std::string_view part = cell(record, i);
    if (part.empty()) continue;
    if (!out.empty()) out += ' ';
    out += part;
  }
  return out;
}

std::size_t CellText::OffsetOf(const Record& record, std::string_view part) const {
  const bool inside = !part.empty() && part.data() >= text_.data() && part.data() < text_.data() + text_.size();
  return inside ? static_cast<std::size_t>(part.data() - text_.data()) : record.begin;
}

std::size_t CellText::LineOffset(std::uint32_t line) const {
  const auto at = std::lower_bound(records_.begin(), records_.end(), line,
                                   [](const Record& record, std::uint32_t number) { return record.line < number; });
  return at == records_.end() ? 0 : at->begin;
}

}  // namespace tarewise::inline TW_VERSIONED::load::printed
