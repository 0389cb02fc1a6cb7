#include "series_reader.h"

#include <algorithm>
#include <utility>

#include "tarewise/units/internal/quantity_text.h"
#include "text.h"

namespace tarewise::inline TW_VERSIONED::load {
namespace {

constexpr std::size_t kMostSeries = 1'000;
constexpr std::size_t kMostRows = 10'000;

// "7 days", "1 day".
std::optional<std::int32_t> DaysOf(std::string_view text) {
  std::int32_t days = 0;
  std::size_t at = 0;
  while (at < text.size() && at < 5 && internal::IsDigit(text[at])) days = days * 10 + (text[at++] - '0');
  if (at == 0 || text[0] == '0' || days > Series::kMostGoodFor) return std::nullopt;
  return text.substr(at) == (days == 1 ? " day" : " days") ? std::optional<std::int32_t>(days) : std::nullopt;
}

}  // namespace

SeriesReader::Cell SeriesReader::CellOf(Value value) {
  const bool text = value.is(Kind::kString) || value.is(Kind::kNumber);
  return {text ? value.text() : std::string_view(), value.offset(), value};
}

std::string SeriesReader::Found(const Cell& cell) const {
  return cell.value ? FoundText(cell.value) : cell.text.empty() ? "an empty cell" : Quoted(cell.text);
}

void SeriesReader::Error(const Source& source, Code code, const Cell& at, std::string message) {
  Findings& findings = source.file != nullptr ? *source.file : fields_.findings();
  findings.Error(code, at.offset, at.value, std::move(message));
}

void SeriesReader::CellError(const Source& source, const CellErrors::Kind& kind, const Cell& at, std::string found,
                             std::string expected) {
  if (source.file == nullptr) return Error(source, kind.code, at, "found " + found + ", expected " + expected);
  cell_errors_.AddSaid(kind, at.offset, std::move(found), std::move(expected));
}

void SeriesReader::ReportCells(const Source& source) {
  if (!cell_errors_.empty()) cell_errors_.Report(*source.file);
}

void SeriesReader::Warning(const Source& source, Code code, const Cell& at, std::string message) {
  Findings& findings = source.file != nullptr ? *source.file : fields_.findings();
  findings.Warning(code, at.offset, at.value, std::move(message));
}

void SeriesReader::Read(Value value) {
  if (!value.is(Kind::kObject)) {
    return fields_.Expected(kWrongKind, value, "an object with a series under each code");
  }
  if (value.size() > kMostSeries) {
    return fields_.Error(kTooMany, value,
                         "found " + std::to_string(value.size()) + " series, expected at most 1000 in a document");
  }
  for (const Value member : value) ReadOne(member);
}

void SeriesReader::ReadOne(Value value) {
  Series series;
  Source source;
  source.at = value;
  series.code = value.key();
  const std::string_view code = series.code;
  auto fits = [](char c) { return (c >= 'a' && c <= 'z') || internal::IsDigit(c) || c == '-'; };
  if (code.empty() || code.size() > 64 || code[0] == '-' || !std::all_of(code.begin(), code.end(), fits)) {
    fields_.ErrorAtKey(
        kBadCode, value,
        "found " + Quoted(code) + ", expected a code: small letters, digits and hyphens, such as \"fuel\"");
    source.sound = false;
  }
  const Object object(fields_, value, "a series, such as {\"csv\": \"fuel.csv\", \"good_for\": \"7 days\"}",
                      {"csv", "columns", "rows", "good_for"});
  if (object) {
    const Value csv = object["csv"];
    const Value columns = object["columns"];
    const Value rows = object["rows"];
    if (csv && (columns || rows)) {
      const Value other = columns ? columns : rows;
      fields_.ErrorAtKey(
          kConflictingKeys, other,
          "found " + Quoted(other.key()) + " beside \"csv\", expected \"csv\" alone or \"columns\" and \"rows\"");
      source.sound = false;
    } else if (csv) {
      source.sound = ReadCsv(csv, series, source) && source.sound;
    } else {
      source.sound = ReadInPlace(object, series, source) && source.sound;
    }
    if (const Value v = object["good_for"]) {
      if (v.is(Kind::kString)) series.good_for = DaysOf(v.text());
      if (!series.good_for) fields_.Expected(kBadDays, v, "whole days, 1 to 3660, such as \"7 days\"");
    }
  } else {
    source.sound = false;
  }
  source.used.assign(series.columns.size(), false);
  source.amounts_checked = source.percents_checked = source.used;
  by_code_.emplace(value.key(), static_cast<std::uint32_t>(sources_.size()));
  tariff_.series.push_back(std::move(series));
  sources_.push_back(std::move(source));
}

bool SeriesReader::CheckHeight(const Source& source, std::size_t rows, const Cell& at) {
  if (rows == 0) {
    Error(source, kEmptyList, at, "found a series without rows, expected at least one");
  } else if (rows > kMostRows) {
    Error(source, kTooMany, at, "found " + std::to_string(rows) + " rows, expected at most 10000 in a series");
  } else {
    return true;
  }
  return false;
}

bool SeriesReader::ReadCsv(Value value, Series& series, Source& source) {
  GridFiles::File* const file = files_.Open(fields_, value, CsvOf::kTable);
  if (file == nullptr || !files_.SpendOnSeries(fields_, value, *file)) return false;
  source.file = file->findings.get();
  const Csv& csv = file->csv;
  auto row_of = [&csv](std::size_t row) {
    std::vector<Cell> cells;
    for (std::size_t column = 0; column < csv.width(row); ++column) {
      const Csv::Cell cell = csv.cell(row, column);
      cells.push_back({cell.text, cell.offset, Value()});
    }
    return cells;
  };
  if (csv.rows() == 0) {
    Error(source, kBadHeader, {}, "found an empty file, expected a header (from, then the columns) and rows");
    return false;
  }
  std::vector<Cell> header = row_of(0);
  if (header[0].text != "from") {
    Error(source, kBadHeader, header[0], "found " + Found(header[0]) + ", expected a header that begins with \"from\"");
    return false;
  }
  const std::size_t width = header.size();
  const Cell first = header[0];
  header.erase(header.begin());
  bool until = false;
  const bool good_header = CheckHeight(source, csv.rows() - 1, first) && ReadHeader(header, series, source, until);
  bool good = good_header;
  for (std::size_t row = 1; good_header && row < csv.rows(); ++row) {
    const std::vector<Cell> cells = row_of(row);
    if (cells.size() != width) {
      CellError(source, {kWrongRowLength, "row", " of another length than the header"}, cells[0],
                "a row of " + std::to_string(cells.size()) + (cells.size() == 1 ? " cell" : " cells"),
                std::to_string(width) + " as in the header");
      good = false;
      continue;
    }
    good = ReadRow(cells, until, series, source) && good;
  }
  ReportCells(source);
  return good;
}

bool SeriesReader::ReadInPlace(const Object& object, Series& series, Source& source) {
  const Value columns = object["columns"];
  const Value rows = object["rows"];
  if (!columns && !rows) {
    fields_.Error(kMissingKey, object.value(), "found no values, expected \"csv\", or \"columns\" and \"rows\"");
    return false;
  }
  object.Require("columns");
  object.Require("rows");
  if (!columns || !rows || !fields_.List(columns, "a list of columns", /*empty_allowed=*/false)) return false;
  std::vector<Cell> header;
  for (const Value item : columns) {
    if (!fields_.Text(item, "the name of a column in quotation marks")) return false;
    header.push_back(CellOf(item));
  }
  bool until = false;
  if (!ReadHeader(header, series, source, until)) return false;
  if (!fields_.List(rows, "a list of rows") || !CheckHeight(source, rows.size(), CellOf(rows))) return false;
  bool good = true;
  for (const Value row : rows) {
    if (fields_.findings().full()) return false;
    if (!row.is(Kind::kArray) || row.size() != header.size() + 1) {
      fields_.Expected(row.is(Kind::kArray) ? kWrongRowLength : kWrongKind, row,
                       "a row of " + std::to_string(header.size() + 1) + ": its date, then a value for each column");
      good = false;
      continue;
    }
    std::vector<Cell> cells;
    for (const Value item : row) cells.push_back(CellOf(item));
    good = ReadRow(cells, until, series, source) && good;
  }
  return good;
}

// What stands behind "from": perhaps "until", then the columns.
bool SeriesReader::ReadHeader(const std::vector<Cell>& header, Series& series, Source& source, bool& until) {
  until = !header.empty() && header[0].text == "until";
  bool good = true;
  for (std::size_t i = until ? 1 : 0; i < header.size(); ++i) {
    const Cell& cell = header[i];
    if (cell.text.empty() || cell.text == "from" || cell.text == "until") {
      CellError(source, {kBadHeader, "cell", " that name no column"}, cell, Found(cell), "the name of a column");
      good = false;
    } else if (!source.columns.emplace(cell.text, static_cast<std::uint32_t>(series.columns.size())).second) {
      CellError(source, {kDuplicateCode, "column", " that stand twice"}, cell,
                "the column " + Quoted(cell.text) + " twice", "it once");
      good = false;
    }
    series.columns.emplace_back(cell.text);
  }
  if (series.columns.empty()) {
    const Cell at = header.empty() ? Cell{} : header[0];
    Error(source, kBadHeader, at, "found no column of values, expected at least one");
    return false;
  }
  return good;
}

bool SeriesReader::ReadDate(const Source& source, const Cell& cell, Date& date) {
  const absl::StatusOr<Date> read = Date::Parse(cell.text);
  const bool good = read.ok() && (!cell.value || cell.value.is(Kind::kString));
  if (good) date = *read;
  if (!good) {
    CellError(source, {kBadDate, "date", " that cannot be read"}, cell, Found(cell), "a date such as \"2026-07-12\"");
  }
  return good;
}

bool SeriesReader::RowFollows(const Source& source, const Cell& from, const Series& series, const Series::Row& row) {
  if (series.rows.empty()) return true;
  const Series::Row& before = series.rows.back();
  if (row.from > before.until.value_or(before.from)) return true;
  CellError(source, {kNotRising, "date", " that do not rise"}, from, Found(from),
            "a date after " + before.until.value_or(before.from).ToString() +
                (before.until ? ", until which the row before it holds" : ", that of the row before it"));
  return false;
}

bool SeriesReader::ReadRow(const std::vector<Cell>& cells, bool until, Series& series, Source& source) {
  Series::Row row;
  if (!ReadDate(source, cells[0], row.from)) return false;
  bool good = RowFollows(source, cells[0], series, row);
  const bool open = !until || cells[1].text.empty();
  if (until && open && cells[1].value && !cells[1].value.is(Kind::kNull) && !cells[1].value.is(Kind::kString)) {
    Error(source, kBadDate, cells[1], "found " + Found(cells[1]) + ", expected a date, or null");
    return false;
  }
  if (!open) {
    Date last;
    if (!ReadDate(source, cells[1], last)) return false;
    if (last < row.from) {
      CellError(source, {kDatesReversed, "date", " before those of their rows"}, cells[1], Found(cells[1]),
                "a date that is not before " + row.from.ToString());
      return false;
    }
    row.until = last;
  }
  for (std::size_t i = until ? 2 : 1; i < cells.size(); ++i) {
    Cell cell = cells[i];
    const std::optional<std::int64_t> value = ReadValue(source, cell);
    good = good && value.has_value();
    series.values.push_back(value.value_or(Series::kNoValue));
    source.cells.push_back(cell);
  }
  series.rows.push_back(row);
  source.from.push_back(cells[0]);
  return good;
}

// Millionths, or `kNoValue` of an empty cell.
std::optional<std::int64_t> SeriesReader::ReadValue(const Source& source, Cell& cell) {
  if (cell.value ? cell.value.is(Kind::kNull) : cell.text.empty()) return Series::kNoValue;
  std::string_view text = cell.text;
  cell.percent = text.ends_with('%');
  if (cell.percent) text = internal::Trim(text.substr(0, text.size() - 1));
  if (const std::optional<std::int64_t> micros = PlainMicros(text)) return micros;
  const absl::StatusOr<Amount> amount = Amount::Parse(text);
  if (amount.ok() && amount->micros() <= kMostMoneyMicros) return amount->micros();
  CellError(source, {kBadSeriesValue, "cell", " that cannot be read"}, cell, Found(cell), std::string(kValue));
  return std::nullopt;
}

}  // namespace tarewise::inline TW_VERSIONED::load
