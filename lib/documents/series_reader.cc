#include "series_reader.h"

#include <algorithm>
#include <utility>

#include "tarewise/units/internal/quantity_text.h"
#include "text.h"

namespace tarewise::load {
namespace {

constexpr std::size_t kMostSeries = 1'000;
constexpr std::size_t kMostRows = 10'000;
constexpr std::string_view kValue = "a number such as 11.4 or \"11.4 %\", of at most 6 decimals and 1000000000";

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
  if (file == nullptr || !files_.SpendOnGrids(fields_, value, *file)) return false;
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
  if (!CheckHeight(source, csv.rows() - 1, first) || !ReadHeader(header, series, source, until)) return false;
  bool good = true;
  for (std::size_t row = 1; row < csv.rows() && !source.file->full(); ++row) {
    const std::vector<Cell> cells = row_of(row);
    if (cells.size() != width) {
      Error(source, kWrongRowLength, cells[0],
            "found a row of " + std::to_string(cells.size()) + " cells, expected " + std::to_string(width) +
                " as in the header");
      good = false;
      continue;
    }
    good = ReadRow(cells, until, series, source) && good;
  }
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
      Error(source, kBadHeader, cell, "found " + Found(cell) + ", expected the name of a column");
      good = false;
    } else if (std::find(series.columns.begin(), series.columns.end(), cell.text) != series.columns.end()) {
      Error(source, kDuplicateCode, cell, "found the column " + Quoted(cell.text) + " twice, expected it once");
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
  if (!good) Error(source, kBadDate, cell, "found " + Found(cell) + ", expected a date such as \"2026-07-12\"");
  return good;
}

bool SeriesReader::RowFollows(const Source& source, const Cell& from, const Series& series, const Series::Row& row) {
  if (series.rows.empty()) return true;
  const Series::Row& before = series.rows.back();
  if (row.from > before.until.value_or(before.from)) return true;
  Error(source, kNotRising, from,
        "found " + Found(from) + ", expected a date after " + before.until.value_or(before.from).ToString() +
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
      Error(source, kDatesReversed, cells[1],
            "found " + Found(cells[1]) + ", expected a date that is not before " + row.from.ToString());
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
  Error(source, kBadSeriesValue, cell, "found " + Found(cell) + ", expected " + std::string(kValue));
  return std::nullopt;
}

std::optional<std::uint32_t> SeriesReader::ReadUse(Value value, Use use) {
  const Object object(fields_, value, "a value by date, such as {\"series\": \"fuel\", \"column\": \"road\"}",
                      {"series", "column", "at_least", "over"});
  if (!object) return std::nullopt;
  const Value name = object.Require("series");
  if (!name || !fields_.Text(name, "the code of a series")) return std::nullopt;
  ValueByDate by;
  while (by.series < tariff_.series.size() && tariff_.series[by.series].code != name.text()) ++by.series;
  if (by.series == tariff_.series.size()) {
    std::vector<std::string_view> known;
    for (const Series& series : tariff_.series) known.push_back(series.code);
    fields_.UnknownName(kUnknownSeries, name, "a series of this document", known);
    return std::nullopt;
  }
  sources_[by.series].named = true;
  const std::optional<std::uint32_t> column = FindColumn(object, by.series);
  if (!column) return std::nullopt;
  by.column = *column;
  sources_[by.series].used[by.column] = true;
  const Value at_least = object["at_least"];
  const Value over = object["over"];
  if (at_least && over) {
    const Value later = at_least.key_offset() < over.key_offset() ? over : at_least;
    fields_.ErrorAtKey(kConflictingKeys, later, "found both \"at_least\" and \"over\", expected one of the two");
    return std::nullopt;
  }
  by.over = static_cast<bool>(over);
  const bool good =
      at_least || over ? ReadSteps(over ? over : at_least, use, by.steps) : CheckColumn(by.series, by.column, use);
  if (!good) return std::nullopt;
  tariff_.by_date.push_back(std::move(by));
  return static_cast<std::uint32_t>(tariff_.by_date.size() - 1);
}

std::optional<std::uint32_t> SeriesReader::FindColumn(const Object& object, std::uint32_t series) {
  const std::vector<std::string>& columns = tariff_.series[series].columns;
  if (!sources_[series].sound) return std::nullopt;
  const Value name = object["column"];
  const std::vector<std::string_view> known(columns.begin(), columns.end());
  if (!name) {
    if (columns.size() == 1) return 0;
    fields_.Error(kMissingKey, object.value(),
                  "found no \"column\", expected one of the series " + Quoted(tariff_.series[series].code) +
                      Suggestion("", known));
    return std::nullopt;
  }
  if (!fields_.Text(name, "the name of a column")) return std::nullopt;
  const auto at = std::find(known.begin(), known.end(), name.text());
  if (at != known.end()) return static_cast<std::uint32_t>(at - known.begin());
  fields_.UnknownName(kUnknownColumn, name, "a column of the series " + Quoted(tariff_.series[series].code), known);
  return std::nullopt;
}

bool SeriesReader::ReadSteps(Value value, Use use, std::vector<ValueByDate::Step>& steps) {
  if (value.is(Kind::kObject)) {
    const Object object(fields_, value, "steps of an index: a list, or {\"csv\": \"fuel-steps.csv\"}", {"csv"});
    return object && ReadStepsCsv(object, use, steps);
  }
  if (!fields_.List(value, "a list of steps, such as [[\"3.20\", 10.5], [\"3.38\", 10.75]]", /*empty_allowed=*/false)) {
    return false;
  }
  const Source own;
  if (!CheckHeight(own, value.size(), CellOf(value))) return false;
  bool good = true;
  for (const Value row : value) {
    if (fields_.findings().full()) return false;
    if (!row.is(Kind::kArray) || row.size() != 2) {
      fields_.Expected(row.is(Kind::kArray) ? kWrongRowLength : kWrongKind, row, "a step of two: an index and a value");
      good = false;
      continue;
    }
    good = AddStep(own, CellOf(row.first()), CellOf(row.first().next()), use, steps) && good;
  }
  return good;
}

bool SeriesReader::ReadStepsCsv(const Object& object, Use use, std::vector<ValueByDate::Step>& steps) {
  const Value name = object.Require("csv");
  GridFiles::File* const file = name ? files_.Open(fields_, name, CsvOf::kTable) : nullptr;
  if (file == nullptr || !files_.SpendOnGrids(fields_, name, *file)) return false;
  Source source;
  source.file = file->findings.get();
  const Csv& csv = file->csv;
  auto cell_of = [&csv](std::size_t row, std::size_t column) {
    const Csv::Cell cell = csv.cell(row, column);
    return Cell{cell.text, cell.offset, Value()};
  };
  if (csv.rows() == 0 || csv.width(0) != 2 || PlainMicros(csv.cell(0, 0).text)) {
    Error(source, kBadHeader, csv.rows() == 0 ? Cell{} : cell_of(0, 0),
          "found no header of two cells, expected one (words for the index and the value) and rows");
    return false;
  }
  if (!CheckHeight(source, csv.rows() - 1, cell_of(0, 0))) return false;
  bool good = true;
  for (std::size_t row = 1; row < csv.rows() && !source.file->full(); ++row) {
    if (csv.width(row) != 2) {
      Error(source, kWrongRowLength, cell_of(row, 0),
            "found a row of " + std::to_string(csv.width(row)) + " cells, expected 2 as in the header");
      good = false;
      continue;
    }
    good = AddStep(source, cell_of(row, 0), cell_of(row, 1), use, steps) && good;
  }
  return good;
}

bool SeriesReader::AddStep(const Source& source, Cell index, Cell value, Use use,
                           std::vector<ValueByDate::Step>& steps) {
  bool good = true;
  std::int64_t read[2] = {};
  for (Cell* const cell : {&index, &value}) {
    const std::optional<std::int64_t> micros = ReadValue(source, *cell);
    if (micros && *micros == Series::kNoValue) {
      Error(source, kBadSeriesValue, *cell, "found " + Found(*cell) + ", expected " + std::string(kValue));
    }
    good = good && micros && *micros != Series::kNoValue;
    read[cell == &value ? 1 : 0] = micros.value_or(0);
  }
  if (!good || !CheckCell(source, value, read[1], use)) return false;
  if (!steps.empty() && read[0] <= steps.back().from) {
    Error(source, kNotRising, index,
          "found " + Found(index) + ", expected more than the index of the step before it, " +
              internal::ShortestDecimal(steps.back().from, 1'000'000));
    return false;
  }
  steps.push_back({read[0], read[1]});
  return true;
}

bool SeriesReader::CheckCell(const Source& source, const Cell& cell, std::int64_t micros, Use use) {
  if (micros == Series::kNoValue) return true;
  if (use == Use::kAmount && cell.percent) {
    Error(source, kBadMoney, cell, "found " + Found(cell) + ", expected an amount, for an amount takes it");
    return false;
  }
  if (use == Use::kPercent && micros % 100 != 0) {
    Error(source, kBadPercent, cell,
          "found " + Found(cell) + ", expected at most 4 decimals, for a percentage takes it");
    return false;
  }
  return true;
}

// Of a column that is taken as it is; once for each use.
bool SeriesReader::CheckColumn(std::uint32_t series, std::uint32_t column, Use use) {
  Source& source = sources_[series];
  std::vector<bool>& checked = use == Use::kAmount ? source.amounts_checked : source.percents_checked;
  if (checked[column]) return true;
  checked[column] = true;
  const Series& of = tariff_.series[series];
  bool good = true;
  for (std::size_t i = column; i < of.values.size(); i += of.columns.size()) {
    good = CheckCell(source, source.cells[i], of.values[i], use) && good;
  }
  return good;
}

void SeriesReader::Check() {
  if (fields_.findings().has_errors()) return;
  for (std::size_t i = 0; i < sources_.size(); ++i) {
    const Source& source = sources_[i];
    if (source.file != nullptr && source.file->has_errors()) continue;
    if (source.named) {
      WarnOf(tariff_.series[i], source);
    } else {
      fields_.findings().Warning(
          kUnusedSeries, source.at.key_offset(), source.at,
          "found the series " + Quoted(source.at.key()) + " that no price names, expected one that does");
    }
  }
}

void SeriesReader::WarnOf(const Series& series, const Source& source) {
  WarnOfGap(series, source);
  WarnOfLateStart(series, source);
  for (std::size_t column = 0; column < series.columns.size(); ++column) {
    if (source.used[column]) WarnOfJump(series, source, column);
  }
}

// The first of several, and how many more there are.
void SeriesReader::WarnOfGap(const Series& series, const Source& source) {
  if (!series.good_for) return;
  std::optional<std::size_t> first;
  std::size_t count = 0;
  for (std::size_t row = 1; row < series.rows.size(); ++row) {
    if (series.rows[row].from.days() - series.rows[row - 1].from.days() <= *series.good_for) continue;
    if (!first) first = row;
    ++count;
  }
  if (!first) return;
  Warning(source, kSeriesGap, source.from[*first],
          "found " + Found(source.from[*first]) + ", expected a row from " + series.DueSince(*first - 1)->ToString() +
              " or earlier: the one before it is good for " + std::to_string(*series.good_for) +
              (*series.good_for == 1 ? " day" : " days") +
              (count > 1 ? " (and " + std::to_string(count - 1) + " more)" : ""));
}

void SeriesReader::WarnOfLateStart(const Series& series, const Source& source) {
  const std::optional<Date> start = tariff_.in_force.from;
  if (!start || series.rows.empty() || series.rows.front().from <= *start) return;
  Warning(source, kSeriesLateStart, source.from.front(),
          "found " + Found(source.from.front()) + " as the first row, expected one from " + start->ToString() +
              " or earlier, when the document comes into force");
}

void SeriesReader::WarnOfJump(const Series& series, const Source& source, std::size_t column) {
  std::optional<std::size_t> first;
  std::size_t count = 0;
  std::int64_t last = 0;
  std::int64_t before = 0;
  for (std::size_t row = 0; row < series.rows.size(); ++row) {
    const std::int64_t value = series.value(row, column);
    if (value <= 0) continue;
    if (last > 0 && (value > 2 * last || 2 * value < last)) {
      if (!first) {
        first = row;
        before = last;
      }
      ++count;
    }
    last = value;
  }
  if (!first) return;
  const Cell& cell = source.cells[*first * series.columns.size() + column];
  Warning(source, kSeriesJump, cell,
          "found " + Found(cell) + " in the column " + Quoted(series.columns[column]) + " after " +
              internal::ShortestDecimal(before, 1'000'000) + ", expected no jump to more than twice or less than half" +
              (count > 1 ? " (and " + std::to_string(count - 1) + " more)" : ""));
}

}  // namespace tarewise::load
