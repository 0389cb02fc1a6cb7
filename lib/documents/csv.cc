#include "csv.h"

#include <algorithm>
#include <optional>
#include <utility>

#include "tarewise/units/internal/quantity_text.h"
#include "text.h"

namespace tarewise::inline TW_VERSIONED::load {

namespace {

constexpr std::size_t kMostCells = 4'000'000;
constexpr std::uint32_t kMostSize = (1u << 30) - 1;  // no text is so long

// What ends a bare cell.
constexpr bool EndsCell(char c) { return c == ',' || c == '\n' || c == '\r'; }

}  // namespace

bool Csv::Parse(std::string_view text, Findings& findings, CsvOf of) {
  text_ = text;
  if (!IsPlainText(text, findings)) return false;
  std::size_t at = text.starts_with(kUtf8Mark) ? kUtf8Mark.size() : 0;
  if (!HasCommas(findings, of)) return false;
  // Room at once for all that there can be, so that memory is not taken twice while it grows.
  const auto lines = static_cast<std::size_t>(std::count(text.begin(), text.end(), '\n')) + 1;
  const auto commas = static_cast<std::size_t>(std::count(text.begin(), text.end(), ','));
  rows_.reserve(std::min(lines, kMostCells));
  cells_.reserve(std::min(lines + commas, kMostCells));
  bool good = true;
  while (at < text.size()) {
    if (text[at] == '\n') {
      ++at;
      continue;
    }
    if (text.substr(at, 2) == "\r\n") {
      at += 2;
      continue;
    }
    rows_.push_back(static_cast<std::uint32_t>(cells_.size()));
    bool line_done = false;
    while (!line_done) {
      if (cells_.size() >= kMostCells) {
        findings.Error(kTooManyValues, at, Value(), "found more than 4000000 cells, expected a smaller file");
        return false;
      }
      if (!ReadCell(at, findings, good)) return false;
      if (at >= text.size()) {
        line_done = true;
      } else if (text[at] == ',') {
        ++at;
      } else if (text[at] == '\n') {
        ++at;
        line_done = true;
      } else if (text.substr(at, 2) == "\r\n") {
        at += 2;
        line_done = true;
      } else {
        findings.Error(kCsvLineEnd, at, Value(),
                       "found a carriage return alone, expected lines that end with LF or CRLF");
        return false;
      }
    }
  }
  return good;
}

bool Csv::HasCommas(Findings& findings, CsvOf of) const {
  if (of == CsvOf::kSheet) return true;
  const std::size_t mark = text_.starts_with(kUtf8Mark) ? kUtf8Mark.size() : 0;
  const std::size_t begin = std::min(text_.find_first_not_of("\r\n", mark), text_.size());
  const std::size_t end = std::min(text_.find_first_of("\r\n", begin), text_.size());
  const std::optional<OtherSeparator> other = FindOtherSeparator(text_.substr(begin, end - begin));
  if (!other) return true;
  std::string words(other->words);
  if (of == CsvOf::kGrid) words += kRunGrid;
  findings.Error(kBadHeader, begin + other->offset, Value(), std::move(words));
  return false;
}

// The cell at `at`, which is then past it. False where nothing more can be read.
bool Csv::ReadCell(std::size_t& at, Findings& findings, bool& good) {
  // Spaces before a quotation mark are passed over, as those around a bare cell are.
  std::size_t begin = at;
  while (begin < text_.size() && internal::IsSpace(text_[begin])) ++begin;
  if (begin < text_.size() && text_[begin] == '"') return ReadQuoted(begin, at, findings);
  std::size_t end = begin;
  bool quote = false;
  while (end < text_.size() && !EndsCell(text_[end])) quote = text_[end++] == '"' || quote;
  std::size_t last = end;
  while (last > begin && internal::IsSpace(text_[last - 1])) --last;
  const std::size_t offset = begin == last ? at : begin;
  if (quote) {
    findings.Error(kCsvQuote, text_.find('"', begin), Value(),
                   "found a quotation mark inside a bare cell, expected the whole cell in quotation marks");
    good = false;
  }
  cells_.push_back({static_cast<std::uint32_t>(offset), static_cast<std::uint32_t>(last - begin) & kMostSize, 0, 0});
  at = end;
  return true;
}

bool Csv::ReadQuoted(std::size_t begin, std::size_t& at, Findings& findings) {
  std::size_t end = begin + 1;
  bool doubled = false;
  while (true) {
    end = text_.find('"', end);
    if (end == std::string_view::npos) {
      findings.Error(kCsvQuote, begin, Value(),
                     "found a quoted cell without an end, expected its closing quotation mark");
      return false;
    }
    if (text_.substr(end, 2) != "\"\"") break;
    doubled = true;
    end += 2;
  }
  const std::string_view inside = text_.substr(begin + 1, end - begin - 1);
  std::size_t size = inside.size();
  if (doubled) {
    decoded_.push_back({static_cast<std::uint32_t>(cells_.size()), static_cast<std::uint32_t>(plain_.size())});
    for (std::size_t i = 0; i < inside.size(); ++i) {
      plain_ += inside[i];
      if (inside[i] == '"') ++i;
    }
    size = plain_.size() - decoded_.back().begin;
  }
  cells_.push_back(
      {static_cast<std::uint32_t>(begin), static_cast<std::uint32_t>(size) & kMostSize, 1, doubled ? 1u : 0u});
  at = end + 1;
  while (at < text_.size() && internal::IsSpace(text_[at])) ++at;
  if (at < text_.size() && !EndsCell(text_[at])) {
    findings.Error(kCsvQuote, at, Value(),
                   "found " + Quoted(text_.substr(at, 1)) +
                       " after a closing quotation mark, expected a comma or the end of the line");
    return false;
  }
  return true;
}

Csv::Cell Csv::CellAt(std::size_t index) const {
  const Span& span = cells_[index];
  if (span.doubled == 0) return {text_.substr(span.offset + span.quoted, span.size), span.offset};
  const auto at = std::lower_bound(decoded_.begin(), decoded_.end(), index,
                                   [](const Decoded& decoded, std::size_t cell) { return decoded.cell < cell; });
  return {std::string_view(plain_).substr(at->begin, span.size), span.offset};
}

std::size_t Csv::LineOffset(std::size_t row) const {
  const std::size_t newline = text_.rfind('\n', cells_[rows_[row]].offset);
  if (newline != std::string_view::npos) return newline + 1;
  return text_.starts_with(kUtf8Mark) ? kUtf8Mark.size() : 0;
}

std::string_view Csv::Line(std::size_t row) const {
  const std::size_t begin = LineOffset(row);
  return text_.substr(begin, text_.find_first_of("\r\n", begin) - begin);
}

}  // namespace tarewise::inline TW_VERSIONED::load
