#include "grid_reader.h"

#include <algorithm>
#include <unordered_set>
#include <utility>

#include "tarewise/units/internal/quantity_text.h"

namespace tarewise::inline TW_VERSIONED::load {
namespace {

constexpr std::size_t kMostRows = 10'000;
// Rows of several bounds are gone through one by one, whenever a parcel is priced.
constexpr std::size_t kMostClasses = 1'000;

// "a weight" of ", expected a weight".
std::string AfterExpected(const std::string& expected) {
  constexpr std::string_view kHead = ", expected ";
  return expected.starts_with(kHead) ? expected.substr(kHead.size()) : expected;
}

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
    const bool bare = !HasUnit(QuantityOf(of.measure));
    if (!(bare && one.is(Kind::kNull))) good = ReadUnit(one, of) && good;
  }
  return good;
}

bool GridReader::ReadUnit(Value unit, Axis& axis) {
  const std::optional<std::string_view> text = fields_.Text(unit, "a unit in quotation marks");
  if (!text) return false;
  if (!IsUnitOf(axis.measure, *text)) {
    const Quantity quantity = QuantityOf(axis.measure);
    const bool bare = !HasUnit(quantity);
    fields_.Expected(kBadUnit, unit,
                     bare ? "no unit, for " + Quoted(NameOf(axis.measure)) +
                                (quantity == Quantity::kMoney ? " is money" : " is a whole number")
                          : "a unit of " + Quoted(NameOf(axis.measure)) + ": " + std::string(UnitsFor(axis.measure)));
    // Reading goes on as if with a sound one, so that its numbers are not reported too.
    if (!bare) axis.unit = UnitsFor(axis.measure).substr(0, UnitsFor(axis.measure).find(','));
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
    if (const ZoneId zone = names.zones.Find(cell.text); zone != kNoZone) {
      good = MapZone(cell, cell.text, column, set) && good;
      continue;
    }
    EachZoneOf(cell.text, [&](std::string_view zone) { good = MapZone(cell, zone, column, set) && good; });
  }
  if (any_zone) {
    for (std::uint16_t& column : prices.column_of_zone) {
      if (column == PriceGrid::kNoColumn) column = *any_zone;
    }
  }
  return good;
}

bool GridReader::MapZone(const GridCell& cell, std::string_view name, std::uint16_t column, const ZoneSet& set) {
  const Names& names = *scope_.names;
  const ZoneId zone = names.zones.Find(name);
  if (zone != kNoZone && set.has[zone]) {
    std::uint16_t& of_zone = prices.column_of_zone[zone];
    if (of_zone != PriceGrid::kNoColumn) {
      Error(kDuplicateCode, cell,
            "found the zone " + Quoted(name) + " in the columns " + Quoted(prices.columns[of_zone]) + " and " +
                Quoted(cell.text) + ", expected it in one");
      return false;
    }
    of_zone = column;
    return true;
  }
  if (!names.zones_sound) return false;
  std::vector<std::string_view> known;
  for (std::size_t i = 0; i < set.has.size(); ++i) {
    if (set.has[i]) known.push_back(names.zones.names[i]);
  }
  const std::string what =
      set.list.empty() ? "a zone that a chart gives" : "a zone that a chart of " + Quoted(set.list) + " gives";
  Error(kUnknownZone, cell,
        "found the column " + Quoted(cell.text) + ", expected \"*\" or " + what + Suggestion(name, known));
  return false;
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
  const std::string bounds_said = BoundsSaid();
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
    places_.push_back(cells[i].value ? cells[i].value.index() : static_cast<std::uint32_t>(cells[i].offset));
  }
  return good;
}

std::optional<ParsedMeasure> GridReader::ReadBound(const GridCell& cell, std::size_t axis, bool zero_allowed) {
  const Measure measure = by[axis].measure;
  const Quantity quantity = QuantityOf(measure);
  const bool text = cell.value && cell.value.is(Kind::kString) && quantity != Quantity::kCount;
  if (cell.value && !text && !cell.value.is(Kind::kNumber)) {
    Error(CodeFor(measure), cell, "found " + FoundText(cell.value) + ", expected " + std::string(ExpectedFor(measure)));
    return std::nullopt;
  }
  absl::StatusOr<ParsedMeasure> read = ParseMeasure(measure, cell.text, by[axis].unit);
  if (!read.ok()) {
    std::string expected = ExpectedOf(cell.text, read.status());
    if (HasUnit(quantity) && by[axis].unit.empty()) expected += ", or a number and a \"unit\" of the table";
    BadCell(cell, CodeFor(measure), "bound", AfterExpected(expected));
    return std::nullopt;
  }
  if (!zero_allowed && read->value < 1) {
    BadCell(cell, CodeFor(measure), "bound", "more than 0");
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
    const std::string expected = AfterExpected(ExpectedOf(cell.text, amount.status()));
    BadCell(cell, kBadMoney, "cell", expected + (cell.value ? "" : ", or an empty cell"));
    return std::nullopt;
  }
  if (amount->micros() > kMostMoneyMicros) {
    BadCell(cell, kBadMoney, "cell", "an amount of money of at most 1000000000");
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

}  // namespace tarewise::inline TW_VERSIONED::load
