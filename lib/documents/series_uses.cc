// How prices take their values from series: columns, and steps of an index.
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "series_reader.h"
#include "tarewise/units/internal/quantity_text.h"
#include "text.h"

namespace tarewise::inline TW_VERSIONED::load {

std::optional<std::uint32_t> SeriesReader::ReadUse(Value value, Use use) {
  const Object object(fields_, value, "a value by date, such as {\"series\": \"fuel\", \"column\": \"road\"}",
                      {"series", "column", "at_least", "over"});
  if (!object) return std::nullopt;
  const Value name = object.Require("series");
  if (!name || !fields_.Text(name, "the code of a series")) return std::nullopt;
  ValueByDate by;
  const auto found = by_code_.find(name.text());
  if (found == by_code_.end()) {
    std::vector<std::string_view> known;
    for (const Series& series : tariff_.series) known.push_back(series.code);
    fields_.UnknownName(kUnknownSeries, name, "a series of this document", known);
    return std::nullopt;
  }
  by.series = found->second;
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
  auto known = [&columns] { return std::vector<std::string_view>(columns.begin(), columns.end()); };
  if (!name) {
    if (columns.size() == 1) return 0;
    fields_.Error(kMissingKey, object.value(),
                  "found no \"column\", expected one of the series " + Quoted(tariff_.series[series].code) +
                      Suggestion("", known()));
    return std::nullopt;
  }
  if (!fields_.Text(name, "the name of a column")) return std::nullopt;
  const auto at = sources_[series].columns.find(name.text());
  if (at != sources_[series].columns.end()) return at->second;
  fields_.UnknownName(kUnknownColumn, name, "a column of the series " + Quoted(tariff_.series[series].code), known());
  return std::nullopt;
}

bool SeriesReader::ReadSteps(Value value, Use use, std::vector<ValueByDate::Step>& steps) {
  if (value.is(Kind::kObject)) {
    const Object object(fields_, value, "steps of an index: a list, or {\"csv\": \"fuel-steps.csv\"}", {"csv"});
    return object && ReadStepsCsv(object, use, steps);
  }
  if (!fields_.List(value, "a list of steps, such as [[\"3.10\", 8], [\"3.40\", 8.5]]", /*empty_allowed=*/false)) {
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
  if (file == nullptr || !files_.SpendOnSeries(fields_, name, *file)) return false;
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
  for (std::size_t row = 1; row < csv.rows(); ++row) {
    if (csv.width(row) != 2) {
      CellError(source, {kWrongRowLength, "row", " of another length than the header"}, cell_of(row, 0),
                "a row of " + std::to_string(csv.width(row)) + (csv.width(row) == 1 ? " cell" : " cells"),
                "2 as in the header");
      good = false;
      continue;
    }
    good = AddStep(source, cell_of(row, 0), cell_of(row, 1), use, steps) && good;
  }
  ReportCells(source);
  return good;
}

bool SeriesReader::AddStep(const Source& source, Cell index, Cell value, Use use,
                           std::vector<ValueByDate::Step>& steps) {
  bool good = true;
  std::int64_t read[2] = {};
  for (Cell* const cell : {&index, &value}) {
    const std::optional<std::int64_t> micros = ReadValue(source, *cell);
    if (micros && *micros == Series::kNoValue) {
      CellError(source, {kBadSeriesValue, "cell", " that cannot be read"}, *cell, Found(*cell), std::string(kValue));
    }
    good = good && micros && *micros != Series::kNoValue;
    read[cell == &value ? 1 : 0] = micros.value_or(0);
  }
  if (!good || !CheckCell(source, value, read[1], use)) return false;
  if (!steps.empty() && read[0] <= steps.back().from) {
    CellError(source, {kNotRising, "step", " that do not rise"}, index, Found(index),
              "more than the index of the step before it, " + internal::ShortestDecimal(steps.back().from, 1'000'000));
    return false;
  }
  steps.push_back({read[0], read[1]});
  return true;
}

bool SeriesReader::CheckCell(const Source& source, const Cell& cell, std::int64_t micros, Use use) {
  if (micros == Series::kNoValue) return true;
  if (use == Use::kAmount && cell.percent) {
    CellError(source, {kBadMoney, "cell", " with \"%\""}, cell, Found(cell), "an amount, for an amount takes it");
    return false;
  }
  if (use == Use::kPercent && micros % 100 != 0) {
    CellError(source, {kBadPercent, "cell", " of more decimals"}, cell, Found(cell),
              "at most 4 decimals, for a percentage takes it");
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
  ReportCells(source);
  return good;
}

}  // namespace tarewise::inline TW_VERSIONED::load
