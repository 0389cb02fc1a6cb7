#include "csv.h"

#include <algorithm>
#include <optional>

#include "tarewise/units/internal/quantity_text.h"
#include "text.h"

namespace tarewise::load {

bool Csv::Parse(std::string_view text, Findings& findings) {
  if (text.size() > kMostBytes) {
    findings.Error(kTooLarge, 0, Value(),
                   "found " + std::to_string(text.size()) + " bytes, expected at most 16 MiB (16777216 bytes)");
    return false;
  }
  if (const std::string_view other = OtherEncoding(text); !other.empty()) {
    findings.Error(kNotUtf8, 0, Value(), EncodingWords(other));
    return false;
  }
  if (const std::optional<std::size_t> bad = FirstNotUtf8(text)) {
    findings.Error(kNotUtf8, *bad, Value(), "found a byte that is not UTF-8, expected UTF-8");
    return false;
  }
  constexpr std::size_t kMostCells = 4'000'000;
  bool good = true;
  std::size_t at = text.starts_with(kUtf8Mark) ? kUtf8Mark.size() : 0;
  const std::size_t header = std::min(text.find_first_not_of("\r\n", at), text.size());
  const std::size_t header_end = std::min(text.find_first_of("\r\n", header), text.size());
  if (const auto other = FindOtherSeparator(text.substr(header, header_end - header))) {
    findings.Error(kBadHeader, header + other->offset, Value(), std::string(other->words));
    return false;
  }
  while (at < text.size()) {
    if (text[at] == '\n') {
      ++at;
      continue;
    }
    if (text.substr(at, 2) == "\r\n") {
      at += 2;
      continue;
    }
    Row row{cells_.size(), 0};
    bool line_done = false;
    while (!line_done) {
      if (cells_.size() >= kMostCells) {
        findings.Error(kTooManyValues, at, Value(), "found more than 4000000 cells, expected a smaller file");
        return false;
      }
      Cell cell;
      // Spaces before a quotation mark are passed over, as those around a bare cell are.
      std::size_t begin = at;
      while (begin < text.size() && internal::IsSpace(text[begin])) ++begin;
      if (begin < text.size() && text[begin] == '"') {
        cell.offset = begin;
        std::size_t end = begin + 1;
        bool doubled = false;
        while (true) {
          end = text.find('"', end);
          if (end == std::string_view::npos) {
            findings.Error(kCsvQuote, begin, Value(),
                           "found a quoted cell without an end, expected its closing quotation mark");
            return false;
          }
          if (text.substr(end, 2) != "\"\"") break;
          doubled = true;
          end += 2;
        }
        cell.text = text.substr(begin + 1, end - begin - 1);
        if (doubled) {
          std::string plain;
          for (std::size_t i = 0; i < cell.text.size(); ++i) {
            plain += cell.text[i];
            if (cell.text[i] == '"') ++i;
          }
          cell.text = decoded_.emplace_back(std::move(plain));
        }
        at = end + 1;
        while (at < text.size() && internal::IsSpace(text[at])) ++at;
        if (at < text.size() && text[at] != ',' && text[at] != '\n' && text[at] != '\r') {
          findings.Error(kCsvQuote, at, Value(),
                         "found " + Quoted(text.substr(at, 1)) +
                             " after a closing quotation mark, expected a comma or the end of the line");
          return false;
        }
      } else {
        const std::size_t end = std::min(text.find_first_of(",\n\r", at), text.size());
        const std::string_view bare = internal::Trim(text.substr(at, end - at));
        cell.text = bare;
        cell.offset = bare.empty() ? at : static_cast<std::size_t>(bare.data() - text.data());
        if (const std::size_t quote = bare.find('"'); quote != std::string_view::npos) {
          findings.Error(kCsvQuote, cell.offset + quote, Value(),
                         "found a quotation mark inside a bare cell, expected the whole cell in quotation marks");
          good = false;
        }
        at = end;
      }
      cells_.push_back(cell);
      ++row.size;
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
    rows_.push_back(row);
  }
  return good;
}

}  // namespace tarewise::load
