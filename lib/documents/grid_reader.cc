#include "grid_reader.h"

#include <algorithm>
#include <unordered_set>
#include <utility>

#include "tarewise/units/internal/quantity_text.h"

namespace tarewise::load {
namespace {

constexpr std::size_t kMostRows = 10'000;
// Rows of several bounds are gone through one by one, whenever a parcel is priced.
constexpr std::size_t kMostClasses = 1'000;

std::string BoundsSaid(std::size_t bounds) { return bounds == 1 ? "bound" : "bounds"; }

}  // namespace

bool GridReader::ReadAxes(const Object& table) {
  const Value measures = table.Require("by");
  if (!measures) return false;
  const bool several = measures.is(Kind::kArray);
  if (several && (measures.size() < 2 || measures.size() > ClassPrice::kMostMeasures)) {
    fields_.Error(kTooMany, measures,
                  "found a list of " + std::to_string(measures.size()) +
                      (measures.size() == 1 ? " measure" : " measures") + ", expected two to four, or one alone");
    return false;
  }
  std::vector<Value> written;
  if (several) {
    for (const Value one : measures) written.push_back(one);
  } else {
    written.push_back(measures);
  }
  bool good = true;
  for (const Value one : written) {
    const std::optional<std::size_t> word = fields_.Word(one, kMeasureNames, "a measure");
    const auto measure = static_cast<Measure>(word.value_or(0));
    auto same = [measure](const Axis& axis) { return axis.measure == measure; };
    if (word && std::any_of(by.begin(), by.end(), same)) {
      fields_.Error(kDuplicateCode, one, "found the measure " + FoundText(one) + " twice, expected it once");
    } else if (word) {
      by.push_back({measure, {}});
      continue;
    }
    good = false;
  }
  if (!good) {
    by.clear();
    return false;
  }
  const Value unit = table["unit"];
  if (!unit) return true;
  if (!several) return ReadUnit(unit, by[0]);
  if (!unit.is(Kind::kArray) || unit.size() != by.size()) {
    fields_.Expected(kBadUnit, unit, "a list of " + std::to_string(by.size()) + " units, one for each measure");
    by.clear();
    return false;
  }
  std::size_t axis = 0;
  for (const Value one : unit) {
    Axis& of = by[axis++];
    const bool money = QuantityOf(of.measure) == Quantity::kMoney;
    if (!(money && one.is(Kind::kNull))) good = ReadUnit(one, of) && good;
  }
  return good;
}

bool GridReader::ReadUnit(Value unit, Axis& axis) {
  const std::optional<std::string_view> text = fields_.Text(unit, "a unit in quotation marks");
  if (!text) return false;
  if (!IsUnitOf(axis.measure, *text)) {
    const bool money = QuantityOf(axis.measure) == Quantity::kMoney;
    fields_.Expected(kBadUnit, unit,
                     money ? "no unit, for " + Quoted(NameOf(axis.measure)) + " is money"
                           : "a unit of " + Quoted(NameOf(axis.measure)) + ": " + std::string(UnitsFor(axis.measure)));
    // Reading goes on as if with a sound one, so that its numbers are not reported too.
    if (!money) axis.unit = UnitsFor(axis.measure).substr(0, UnitsFor(axis.measure).find(','));
    return false;
  }
  axis.unit = *text;
  return true;
}

bool GridReader::ReadGrid(const Object& table, bool good) {
  const Value csv = table["csv"];
  const Value columns = table["columns"];
  const Value rows = table["rows"];
  if (csv && (columns || rows)) {
    const Value other = columns ? columns : rows;
    fields_.ErrorAtKey(
        kConflictingKeys, other,
        "found " + Quoted(other.key()) + " beside \"csv\", expected \"csv\" alone or \"columns\" and \"rows\"");
    return false;
  }
  if (csv) return ReadCsv(csv) && good;
  if (!columns && !rows) {
    fields_.Error(kMissingKey, table.value(), "found no grid, expected \"columns\" and \"rows\", or \"csv\"");
    return false;
  }
  table.Require("columns");
  table.Require("rows");
  good = columns && rows && ReadColumns(columns) && good;
  if (rows) good = ReadRows(rows, good) && good;
  return good;
}

// The column for each zone of the document, from the columns' names.
bool GridReader::MapColumns(const std::vector<GridCell>& cells) {
  bool good = true;
  const Names& names = *scope_.names;
  const ZoneSet& set = scope_.zones == nullptr ? names.all_zones : *scope_.zones;
  prices.column_of_zone.assign(names.zones.names.size(), PriceGrid::kNoColumn);
  std::unordered_set<std::string_view> seen;
  std::optional<std::uint16_t> any_zone;
  for (const GridCell& cell : cells) {
    const auto column = static_cast<std::uint16_t>(prices.columns.size());
    prices.columns.emplace_back(cell.text);
    if (!seen.insert(cell.text).second) {
      Error(kDuplicateCode, cell, "found the column " + Quoted(cell.text) + " twice, expected it once");
      good = false;
      continue;
    }
    if (cell.text == "*") {
      any_zone = column;
      continue;
    }
    const ZoneId zone = names.zones.Find(cell.text);
    if (zone != kNoZone && set.has[zone]) {
      prices.column_of_zone[zone] = column;
      continue;
    }
    good = false;
    if (!names.zones_sound) continue;
    std::vector<std::string_view> known;
    for (std::size_t i = 0; i < set.has.size(); ++i) {
      if (set.has[i]) known.push_back(names.zones.names[i]);
    }
    const std::string what =
        set.list.empty() ? "a zone that a chart gives" : "a zone that a chart of " + Quoted(set.list) + " gives";
    Error(kUnknownZone, cell,
          "found the column " + Quoted(cell.text) + ", expected \"*\" or " + what + Suggestion(cell.text, known));
  }
  if (any_zone) {
    for (std::uint16_t& column : prices.column_of_zone) {
      if (column == PriceGrid::kNoColumn) column = *any_zone;
    }
  }
  return good;
}

bool GridReader::ReadColumns(Value value) {
  if (!fields_.List(value, "a list of columns", /*empty_allowed=*/false)) return false;
  std::vector<GridCell> cells;
  for (const Value item : value) {
    const std::optional<std::string_view> text = fields_.Text(item, "a zone in quotation marks, or \"*\"");
    if (!text) return false;
    cells.push_back({*text, item.offset(), item, true});
  }
  return CheckWidth(cells.size(), cells.back()) && MapColumns(cells);
}

bool GridReader::CheckWidth(std::size_t columns, const GridCell& at) {
  if (columns < PriceGrid::kNoColumn) return true;
  Error(kTooMany, at, "found " + std::to_string(columns) + " columns, expected at most 65534");
  return false;
}

bool GridReader::CheckHeight(std::size_t rows, const GridCell& at) {
  const std::size_t most = by.size() == 1 ? kMostRows : kMostClasses;
  if (rows <= most) return true;
  Error(kTooMany, at,
        "found " + std::to_string(rows) + " rows, expected at most " + std::to_string(most) + " in a table" +
            (by.size() == 1 ? "" : " of several bounds"));
  return false;
}

bool GridReader::ReadRows(Value value, bool good) {
  if (!fields_.List(value, "a list of rows", /*empty_allowed=*/false)) return false;
  if (!CheckHeight(value.size(), {"", value.offset(), value, true})) return false;
  const std::size_t own = by.size();
  // Without sound columns the first row says how wide it is.
  const std::size_t width =
      value.first().is(Kind::kArray) && prices.columns.empty() ? value.first().size() : prices.columns.size() + own;
  const std::string bounds_said = BoundsSaid(own);
  std::vector<GridCell> cells;
  for (const Value row : value) {
    if (fields_.findings().full()) return false;
    if (!row.is(Kind::kArray)) {
      fields_.Expected(kWrongKind, row, "a row: a list of its " + bounds_said + " and a price for each column");
      good = false;
      continue;
    }
    cells.clear();
    for (const Value item : row) cells.push_back(CellOf(item));
    if (cells.size() != width || width < own) {
      const std::size_t columns = width < own ? 0 : width - own;
      fields_.Error(kWrongRowLength, row,
                    "found a row of " + std::to_string(cells.size()) + " values, expected " +
                        std::to_string(columns + own) + ": its " + bounds_said + " and a price for each of " +
                        std::to_string(columns) + (columns == 1 ? " column" : " columns"));
      good = false;
      continue;
    }
    good = ReadRow(cells) && good;
  }
  return good;
}

bool GridReader::ReadCsv(Value value) {
  GridFiles::File* const file = scope_.grids->Open(fields_, value, CsvOf::kGrid);
  if (file == nullptr) return false;
  file_ = file->findings.get();
  const Csv& csv = file->csv;
  if (csv.rows() == 0) {
    file_->Error(kBadHeader, 0, Value(),
                 "found an empty file, expected a header (" + BoundsSaid(by.size()) + ", then zones) and rows");
    return false;
  }
  const std::size_t width = csv.width(0);
  std::vector<GridCell> header;
  for (std::size_t column = 0; column < width; ++column) {
    const Csv::Cell& cell = csv.cell(0, column);
    header.push_back({cell.text, cell.offset, Value(), !cell.text.empty()});
  }
  if (!ReadHeader(header)) return false;
  if (!CheckHeight(csv.rows() - 1, header[0])) return false;
  header.erase(header.begin(), header.begin() + static_cast<std::ptrdiff_t>(by.size()));
  if (!CheckWidth(header.size(), header.back())) return false;
  const bool good = MapColumns(header);
  const bool least_alone = takes_least && csv.rows() == 2 && csv.cell(1, 0).text == "least";
  if (csv.rows() == 1 || least_alone) {
    Error(kEmptyList, {csv.cell(0, 0).text, csv.cell(0, 0).offset, Value(), true},
          "found a header alone, expected rows of prices after it");
    return false;
  }
  return ReadCsvRows(csv, width) && good;
}

// Whether a header begins as it should. Published lists head a single column of bounds in many ways ("lb", "weight not
// over"); a number there is a lost header. Several must say which of them are bounds.
bool GridReader::ReadHeader(const std::vector<GridCell>& header) {
  if (header.size() < by.size() + 1) {
    Error(kBadHeader, header[0],
          by.size() == 1
              ? std::string("found a header of one cell, expected the bound and at least one zone")
              : "found a header of " + std::to_string(header.size()) + (header.size() == 1 ? " cell" : " cells") +
                    ", expected " + std::to_string(by.size()) + " bounds and at least one zone");
    return false;
  }
  if (by.size() > 1) {
    for (std::size_t axis = 0; axis < by.size(); ++axis) {
      if (header[axis].text == "bound") continue;
      Error(kBadHeader, header[axis],
            "found " + Quoted(header[axis].text) + ", expected a header that begins with \"bound\" " +
                std::to_string(by.size()) + " times, once for each measure");
      return false;
    }
    return true;
  }
  const GridCell& corner = header[0];
  if (!corner.text.empty() && (internal::IsDigit(corner.text.front()) || corner.text.front() == '.')) {
    Error(kBadHeader, corner,
          "found " + Quoted(corner.text) + ", expected a header: a word for the bound, then the zones");
    return false;
  }
  if (IsUnitOf(by[0].measure, corner.text) && corner.text != by[0].unit) {
    Error(kBadUnit, corner,
          "found " + Quoted(corner.text) + ", expected the unit of the table, " +
              (by[0].unit.empty() ? "which has none" : Quoted(by[0].unit)));
    return false;
  }
  return true;
}

bool GridReader::ReadCsvRows(const Csv& csv, std::size_t width) {
  bool good = true;
  std::vector<GridCell> cells;
  for (std::size_t row = 1; row < csv.rows(); ++row) {
    if (file_->full()) return false;
    cells.clear();
    for (std::size_t column = 0; column < csv.width(row); ++column) {
      const Csv::Cell& cell = csv.cell(row, column);
      cells.push_back({cell.text, cell.offset, Value(), !cell.text.empty()});
    }
    if (csv.width(row) != width) {
      Error(kWrongRowLength, cells[0],
            "found a row of " + std::to_string(csv.width(row)) + " cells, expected " + std::to_string(width) +
                " as in the header");
      good = false;
      continue;
    }
    if (takes_least && row + 1 == csv.rows() && cells[0].text == "least") {
      least.assign(cells.begin() + 1, cells.end());
      continue;
    }
    good = ReadRow(cells) && good;
  }
  return good;
}

bool GridReader::ReadRow(const std::vector<GridCell>& cells) {
  bool good = true;
  for (std::size_t axis = 0; axis < by.size(); ++axis) {
    const std::optional<ParsedMeasure> read = ReadBound(cells[axis], axis, /*zero_allowed=*/true);
    if (!read) {
      good = false;
      continue;
    }
    const bool own_unit = read->unit != by[axis].unit;
    if (own_unit && bound_units.empty()) bound_units.resize(bounds.size());
    if (!bound_units.empty() || own_unit) bound_units.push_back(read->unit);
    bounds.push_back(read->value);
    bound_places.push_back(cells[axis]);
  }
  for (std::size_t i = by.size(); i < cells.size(); ++i) {
    const std::optional<std::int64_t> micros = ReadCell(cells[i]);
    good = good && micros.has_value();
    prices.cells.push_back(micros.value_or(kNotOffered));
    places.push_back(cells[i]);
  }
  return good;
}

std::optional<ParsedMeasure> GridReader::ReadBound(const GridCell& cell, std::size_t axis, bool zero_allowed) {
  const Measure measure = by[axis].measure;
  const bool money = QuantityOf(measure) == Quantity::kMoney;
  if (cell.value && !cell.value.is(Kind::kString) && !cell.value.is(Kind::kNumber)) {
    Error(CodeFor(measure), cell, "found " + FoundText(cell.value) + ", expected " + std::string(ExpectedFor(measure)));
    return std::nullopt;
  }
  absl::StatusOr<ParsedMeasure> read = ParseMeasure(measure, cell.text, by[axis].unit);
  if (!read.ok()) {
    std::string expected = ExpectedOf(cell.text, read.status());
    if (!money && by[axis].unit.empty()) expected += ", or a number and a \"unit\" of the table";
    Error(CodeFor(measure), cell, "found " + GridText(cell) + expected);
    return std::nullopt;
  }
  if (!zero_allowed && read->value < 1) {
    Error(CodeFor(measure), cell, "found " + GridText(cell) + ", expected more than 0");
    return std::nullopt;
  }
  return *std::move(read);
}

std::optional<std::int64_t> GridReader::ReadCell(const GridCell& cell) {
  if (!cell.offered) return kNotOffered;
  if (const std::optional<std::int64_t> micros = PlainMicros(cell.text)) return micros;
  if (cell.value && !cell.value.is(Kind::kString) && !cell.value.is(Kind::kNumber)) {
    Error(kBadMoney, cell,
          "found " + FoundText(cell.value) + ", expected an amount of money such as \"6.45\", or null");
    return std::nullopt;
  }
  const absl::StatusOr<Amount> amount = Amount::Parse(cell.text);
  if (!amount.ok()) {
    Error(
        kBadMoney, cell,
        "found " + GridText(cell) + ExpectedOf(cell.text, amount.status()) + (cell.value ? "" : ", or an empty cell"));
    return std::nullopt;
  }
  if (amount->micros() > kMostMoneyMicros) {
    Error(kBadMoney, cell, "found " + GridText(cell) + ", expected an amount of money of at most 1000000000");
    return std::nullopt;
  }
  return amount->micros();
}

std::optional<std::vector<std::int64_t>> GridReader::ReadForColumns(Value value, bool grid_good) {
  if (!fields_.List(value, "a list of amounts, one for each column", /*empty_allowed=*/false)) return std::nullopt;
  bool good = true;
  if (grid_good && value.size() != prices.columns.size()) {
    fields_.Error(kWrongRowLength, value,
                  "found " + std::to_string(value.size()) + (value.size() == 1 ? " amount" : " amounts") +
                      ", expected " + std::to_string(prices.columns.size()) + ", one for each column");
    good = false;
  }
  std::vector<std::int64_t> amounts;
  for (const Value item : value) {
    const std::optional<std::int64_t> micros = ReadCell(CellOf(item));
    good = good && micros.has_value();
    amounts.push_back(micros.value_or(kNotOffered));
  }
  if (!good) return std::nullopt;
  return amounts;
}

}  // namespace tarewise::load
