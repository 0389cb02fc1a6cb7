#include "price_reader.h"

#include <algorithm>
#include <unordered_set>
#include <utility>

#include "tarewise/units/internal/quantity_text.h"
#include "test_reader.h"
#include "text.h"

namespace tarewise::load {
namespace {

constexpr std::size_t kMostRows = 10'000;

// A grid as it is written, in the document or in a CSV file: what may be read alike of both.
struct GridCell {
  std::string_view text;
  std::size_t offset = 0;
  Value value;          // none in a CSV file
  bool offered = true;  // false: null, or an empty cell
};

class TableReader {
 public:
  TableReader(Fields& fields, const PriceScope& scope) : fields_(fields), scope_(scope) {}

  std::optional<Price> Read(Value value) {
    Object object(fields_, value, "a table", {"by", "unit", "columns", "rows", "csv", "beyond"});
    if (!object || !TakeZoneCells(fields_, value, scope_)) return std::nullopt;
    const Value by = object.Require("by");
    std::optional<std::size_t> measure;
    if (by) measure = fields_.Word(by, kMeasureNames, "a measure");
    if (!measure) return std::nullopt;
    price_.by = static_cast<Measure>(*measure);
    bool good = true;
    if (const Value unit = object["unit"]) good = ReadUnit(unit);
    const Value csv = object["csv"];
    const Value columns = object["columns"];
    const Value rows = object["rows"];
    if (csv && (columns || rows)) {
      const Value other = columns ? columns : rows;
      fields_.ErrorAtKey(
          kConflictingKeys, other,
          "found " + Quoted(other.key()) + " beside \"csv\", expected \"csv\" alone or \"columns\" and \"rows\"");
      return std::nullopt;
    }
    if (csv) {
      good = ReadCsv(csv) && good;
    } else if (!columns && !rows) {
      fields_.Error(kMissingKey, value, "found no grid, expected \"columns\" and \"rows\", or \"csv\"");
      good = false;
    } else {
      object.Require("columns");
      object.Require("rows");
      good = columns && rows && ReadColumns(columns) && good;
      if (rows) good = ReadRows(rows, good) && good;
    }
    if (const Value beyond = object["beyond"]) good = ReadBeyond(beyond, good) && good;
    if (!good) return std::nullopt;
    WarnOfCheaper();
    return Price(std::move(price_));
  }

 private:
  Findings& GridFindings() { return grid_ == nullptr ? fields_.findings() : *grid_; }
  void GridError(Code code, const GridCell& cell, std::string message) {
    GridFindings().Error(code, cell.offset, cell.value, std::move(message));
  }

  bool ReadUnit(Value unit) {
    const std::optional<std::string_view> text = fields_.Text(unit, "a unit in quotation marks");
    if (!text) return false;
    if (!IsUnitOf(price_.by, *text)) {
      fields_.Expected(kBadUnit, unit,
                       QuantityOf(price_.by) == Quantity::kMoney
                           ? "no unit, for " + Quoted(NameOf(price_.by)) + " is money"
                           : "a unit of " + Quoted(NameOf(price_.by)) + ": " + std::string(UnitsFor(price_.by)));
      // Reading goes on as if with a sound one, so that its numbers are not reported too.
      if (QuantityOf(price_.by) != Quantity::kMoney)
        price_.unit = UnitsFor(price_.by).substr(0, UnitsFor(price_.by).find(','));
      return false;
    }
    price_.unit = *text;
    return true;
  }

  // The column for each zone of the document, from the columns' names.
  bool MapColumns(const std::vector<GridCell>& cells) {
    bool good = true;
    const Names& names = *scope_.names;
    const ZoneSet& set = scope_.zones == nullptr ? names.all_zones : *scope_.zones;
    price_.column_of_zone.assign(names.zones.names.size(), TablePrice::kNoColumn);
    std::unordered_set<std::string_view> seen;
    std::optional<std::uint16_t> any_zone;
    for (const GridCell& cell : cells) {
      const auto column = static_cast<std::uint16_t>(price_.columns.size());
      price_.columns.emplace_back(cell.text);
      if (!seen.insert(cell.text).second) {
        GridError(kDuplicateCode, cell, "found the column " + Quoted(cell.text) + " twice, expected it once");
        good = false;
        continue;
      }
      if (cell.text == "*") {
        any_zone = column;
        continue;
      }
      const ZoneId zone = names.zones.Find(cell.text);
      if (zone != kNoZone && set.has[zone]) {
        price_.column_of_zone[zone] = column;
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
      GridError(kUnknownZone, cell,
                "found the column " + Quoted(cell.text) + ", expected \"*\" or " + what + Suggestion(cell.text, known));
    }
    if (any_zone) {
      for (std::uint16_t& column : price_.column_of_zone) {
        if (column == TablePrice::kNoColumn) column = *any_zone;
      }
    }
    return good;
  }

  bool ReadColumns(Value value) {
    if (!fields_.List(value, "a list of columns", /*empty_allowed=*/false)) return false;
    std::vector<GridCell> cells;
    for (const Value item : value) {
      const std::optional<std::string_view> text = fields_.Text(item, "a zone in quotation marks, or \"*\"");
      if (!text) return false;
      cells.push_back({*text, item.offset(), item, true});
    }
    if (!CheckWidth(cells.size(), cells.back())) return false;
    return MapColumns(cells);
  }

  bool CheckWidth(std::size_t columns, const GridCell& at) {
    if (columns < TablePrice::kNoColumn) return true;
    GridError(kTooMany, at, "found " + std::to_string(columns) + " columns, expected at most 65534");
    return false;
  }

  bool ReadRows(Value value, bool good) {
    if (!fields_.List(value, "a list of rows", /*empty_allowed=*/false)) return false;
    if (!CheckHeight(value.size(), {"", value.offset(), value, true})) return false;
    const std::size_t width =
        value.first().is(Kind::kArray) && price_.columns.empty() ? value.first().size() : price_.columns.size() + 1;
    std::vector<GridCell> cells;
    for (const Value row : value) {
      if (fields_.findings().full()) return false;
      if (!row.is(Kind::kArray)) {
        fields_.Expected(kWrongKind, row, "a row: a list of its bound and a price for each column");
        good = false;
        continue;
      }
      cells.clear();
      for (const Value item : row) cells.push_back({item.text(), item.offset(), item, !item.is(Kind::kNull)});
      if (cells.size() != width) {
        fields_.Error(kWrongRowLength, row,
                      "found a row of " + std::to_string(cells.size()) + " values, expected " + std::to_string(width) +
                          ": its bound and a price for each of " + std::to_string(width - 1) +
                          (width == 2 ? " column" : " columns"));
        good = false;
        continue;
      }
      good = ReadRow(cells) && good;
    }
    return good;
  }

  bool CheckHeight(std::size_t rows, const GridCell& at) {
    if (rows <= kMostRows) return true;
    GridError(kTooMany, at, "found " + std::to_string(rows) + " rows, expected at most 10000 in a table");
    return false;
  }

  bool ReadCsv(Value value) {
    const std::optional<std::string_view> name = fields_.Text(value, "the name of a CSV file beside the document");
    if (!name) return false;
    if (name->empty() || name->front() == '.' || name->find_first_of("/\\") != std::string_view::npos ||
        name->find('\0') != std::string_view::npos) {
      fields_.Expected(kBadFileName, value, "the name of a file beside the document, without a folder");
      return false;
    }
    GridFiles::File* file = scope_.grids == nullptr ? nullptr : scope_.grids->Get(*name);
    if (file == nullptr) {
      fields_.Expected(kNoFile, value, "a file that can be read, beside the document");
      return false;
    }
    if (!file->good) return false;
    grid_ = file->findings.get();
    const Csv& csv = file->csv;
    if (csv.rows() == 0) {
      grid_->Error(kBadHeader, 0, Value(), "found an empty file, expected a header (bound, then zones) and rows");
      return false;
    }
    const auto cell_at = [&csv](std::size_t row, std::size_t column) {
      const Csv::Cell& cell = csv.cell(row, column);
      return GridCell{cell.text, cell.offset, Value(), !cell.text.empty()};
    };
    const std::size_t width = csv.width(0);
    if (width < 2) {
      GridError(kBadHeader, cell_at(0, 0), "found a header of one cell, expected the bound and at least one zone");
      return false;
    }
    // Published lists head their first column in many ways ("lb", "weight not over"); a number there is a lost header.
    const GridCell corner = cell_at(0, 0);
    if (!corner.text.empty() && (internal::IsDigit(corner.text.front()) || corner.text.front() == '.')) {
      GridError(kBadHeader, corner,
                "found " + Quoted(corner.text) + ", expected a header: a word for the bound, then the zones");
      return false;
    }
    if (IsUnitOf(price_.by, corner.text) && corner.text != price_.unit) {
      GridError(kBadUnit, corner,
                "found " + Quoted(corner.text) + ", expected the unit of the table, " +
                    (price_.unit.empty() ? "which has none" : Quoted(price_.unit)));
      return false;
    }
    if (!CheckHeight(csv.rows() - 1, cell_at(0, 0))) return false;
    std::vector<GridCell> cells;
    for (std::size_t column = 1; column < width; ++column) cells.push_back(cell_at(0, column));
    if (!CheckWidth(cells.size(), cells.back())) return false;
    bool good = MapColumns(cells);
    if (csv.rows() == 1) {
      GridError(kEmptyList, cell_at(0, 0), "found a header alone, expected rows of prices after it");
      return false;
    }
    for (std::size_t row = 1; row < csv.rows(); ++row) {
      if (grid_->full()) return false;
      if (csv.width(row) != width) {
        GridError(kWrongRowLength, cell_at(row, 0),
                  "found a row of " + std::to_string(csv.width(row)) + " cells, expected " + std::to_string(width) +
                      " as in the header");
        good = false;
        continue;
      }
      cells.clear();
      for (std::size_t column = 0; column < width; ++column) cells.push_back(cell_at(row, column));
      good = ReadRow(cells) && good;
    }
    return good;
  }

  // The bound and the prices of one row; both kinds of grid.
  bool ReadRow(const std::vector<GridCell>& cells) {
    bool good = true;
    const GridCell& bound = cells.front();
    if (const std::optional<ParsedMeasure> read = ReadBound(bound, /*zero_allowed=*/true)) {
      if (last_bound_ && read->value <= *last_bound_) {
        GridError(
            kNotRising, bound,
            "found the bound " + GridText(bound) + ", expected more than that of the row before, " + last_bound_text_);
        good = false;
      }
      last_bound_ = read->value;
      last_bound_text_ = GridText(bound);
      if (read->unit != price_.unit && price_.row_units.empty()) price_.row_units.resize(price_.bounds.size());
      if (!price_.row_units.empty() || read->unit != price_.unit) price_.row_units.push_back(read->unit);
      price_.bounds.push_back(read->value);
    } else {
      good = false;
    }
    for (std::size_t i = 1; i < cells.size(); ++i) {
      const std::optional<std::int64_t> micros = ReadCell(cells[i]);
      good = good && micros.has_value();
      price_.cells.push_back(micros.value_or(kNotOffered));
      places_.push_back(cells[i]);
    }
    return good;
  }

  std::string GridText(const GridCell& cell) const { return cell.value ? FoundText(cell.value) : Quoted(cell.text); }

  std::optional<ParsedMeasure> ReadBound(const GridCell& cell, bool zero_allowed) {
    const bool money = QuantityOf(price_.by) == Quantity::kMoney;
    if (cell.value && !cell.value.is(Kind::kString) && !cell.value.is(Kind::kNumber)) {
      GridError(CodeFor(price_.by), cell,
                "found " + FoundText(cell.value) + ", expected " + std::string(ExpectedFor(price_.by)));
      return std::nullopt;
    }
    absl::StatusOr<ParsedMeasure> read = ParseMeasure(price_.by, cell.text, price_.unit);
    if (!read.ok()) {
      std::string expected = ExpectedOf(cell.text, read.status());
      if (!money && price_.unit.empty()) expected += ", or a number and a \"unit\" of the table";
      GridError(CodeFor(price_.by), cell, "found " + GridText(cell) + expected);
      return std::nullopt;
    }
    if (!zero_allowed && read->value < 1) {
      GridError(CodeFor(price_.by), cell, "found " + GridText(cell) + ", expected more than 0");
      return std::nullopt;
    }
    return *std::move(read);
  }

  std::optional<std::int64_t> ReadCell(const GridCell& cell) {
    if (!cell.offered) return kNotOffered;
    if (const std::optional<std::int64_t> micros = PlainMicros(cell.text)) return micros;
    if (cell.value && !cell.value.is(Kind::kString) && !cell.value.is(Kind::kNumber)) {
      GridError(kBadMoney, cell,
                "found " + FoundText(cell.value) + ", expected an amount of money such as \"6.45\", or null");
      return std::nullopt;
    }
    const absl::StatusOr<Amount> amount = Amount::Parse(cell.text);
    if (!amount.ok()) {
      GridError(kBadMoney, cell,
                "found " + GridText(cell) + ExpectedOf(cell.text, amount.status()) +
                    (cell.value ? "" : ", or an empty cell"));
      return std::nullopt;
    }
    if (amount->micros() > kMostMoneyMicros) {
      GridError(kBadMoney, cell, "found " + GridText(cell) + ", expected an amount of money of at most 1000000000");
      return std::nullopt;
    }
    return amount->micros();
  }

  bool ReadBeyond(Value value, bool grid_good) {
    Object object(fields_, value, "steps past the last row, such as {\"step\": 1, \"add\": [0.40]}", {"step", "add"});
    const Value step = object.Require("step");
    const Value add = object.Require("add");
    if (!step || !add) return false;
    Findings* grid = std::exchange(grid_, nullptr);  // what follows stands in the document
    bool good = true;
    TablePrice::Beyond beyond;
    const std::optional<ParsedMeasure> read =
        ReadBound({step.text(), step.offset(), step, true}, /*zero_allowed=*/false);
    if (read) beyond.step = read->value;
    good = read.has_value();
    if (!fields_.List(add, "a list of amounts, one for each column", /*empty_allowed=*/false)) {
      good = false;
    } else {
      if (grid_good && add.size() != price_.columns.size()) {
        fields_.Error(kWrongRowLength, add,
                      "found " + std::to_string(add.size()) + (add.size() == 1 ? " amount" : " amounts") +
                          ", expected " + std::to_string(price_.columns.size()) + ", one for each column");
        good = false;
      }
      for (const Value item : add) {
        const std::optional<std::int64_t> micros = ReadCell({item.text(), item.offset(), item, !item.is(Kind::kNull)});
        good = good && micros.has_value();
        beyond.add.push_back(micros.value_or(kNotOffered));
      }
    }
    grid_ = grid;
    price_.beyond = std::move(beyond);
    return good;
  }

  std::string CellText(std::size_t row, std::size_t column) const {
    return Amount::Micros(price_.cell(row, column)).ToString();
  }

  void Warn(Code code, std::size_t row, std::size_t column, std::string message) {
    const GridCell& cell = places_[row * price_.columns.size() + column];
    GridFindings().Warning(code, cell.offset, cell.value, std::move(message));
  }

  static std::string AndMore(std::size_t more, std::string_view what) {
    if (more == 0) return "";
    return "; so in " + std::to_string(more) + " more " + std::string(what) + (more == 1 ? "" : "s");
  }

  // One warning a row and one a column, on its first cell, so that a list in another order does not give hundreds.
  void WarnOfCheaper() {
    const std::size_t columns = price_.columns.size();
    const bool weight = QuantityOf(price_.by) == Quantity::kWeight;
    std::vector<std::size_t> above(columns, SIZE_MAX);  // the last row that offers the column
    for (std::size_t row = 0; row < price_.rows(); ++row) {
      std::size_t first = SIZE_MAX;
      std::size_t first_above = 0;
      std::size_t count = 0;
      for (std::size_t column = 0; column < columns; ++column) {
        if (price_.cell(row, column) == kNotOffered) continue;
        if (above[column] != SIZE_MAX && price_.cell(row, column) < price_.cell(above[column], column)) {
          if (first == SIZE_MAX) {
            first = column;
            first_above = above[column];
          }
          ++count;
        }
        above[column] = row;
      }
      if (first == SIZE_MAX) continue;
      Warn(kHeavierIsCheaper, row, first,
           "found " + CellText(row, first) + " for " + price_.RowText(row) + " in column " +
               Quoted(price_.columns[first]) + ", expected at least " + CellText(first_above, first) + " as for " +
               price_.RowText(first_above) + " (" + (weight ? "the heavier" : "the higher") + " row is cheaper" +
               AndMore(count - 1, "column") + ")");
    }
    std::size_t nearer = SIZE_MAX;
    for (std::size_t column = 0; column < columns; ++column) {
      if (price_.columns[column] == "*") continue;
      if (nearer != SIZE_MAX) {
        std::size_t first = SIZE_MAX;
        std::size_t count = 0;
        for (std::size_t row = 0; row < price_.rows(); ++row) {
          const std::int64_t here = price_.cell(row, column);
          if (here == kNotOffered || price_.cell(row, nearer) == kNotOffered || here >= price_.cell(row, nearer))
            continue;
          if (first == SIZE_MAX) first = row;
          ++count;
        }
        if (first != SIZE_MAX) {
          Warn(kFartherIsCheaper, first, column,
               "found " + CellText(first, column) + " for " + price_.RowText(first) + " in column " +
                   Quoted(price_.columns[column]) + ", expected at least " + CellText(first, nearer) +
                   " as in column " + Quoted(price_.columns[nearer]) + " (the farther column is cheaper" +
                   AndMore(count - 1, "row") + ")");
        }
      }
      nearer = column;
    }
  }

  Fields& fields_;
  const PriceScope& scope_;
  TablePrice price_;
  Findings* grid_ = nullptr;  // of the CSV file, while one is read
  std::vector<GridCell> places_;
  std::optional<MeasureValue> last_bound_;
  std::string last_bound_text_;
};

std::optional<Price> ReadByZone(Fields& fields, Value value, const PriceScope& scope) {
  if (!value.is(Kind::kObject)) {
    fields.Expected(kWrongKind, value, "an object with a price for each zone");
    return std::nullopt;
  }
  if (value.size() == 0) {
    fields.Error(kEmptyList, value, "found an empty object, expected a price for at least one zone");
    return std::nullopt;
  }
  if (!TakeZoneCells(fields, value, scope)) return std::nullopt;
  ZonePrice price;
  price.by_zone.assign(scope.names->zones.names.size(), kNotOffered);
  std::vector<bool> named(price.by_zone.size(), false);
  std::int64_t others = kNotOffered;
  bool good = true;
  for (const Value member : value) {
    std::optional<std::int64_t> micros = kNotOffered;
    if (!member.is(Kind::kNull)) {
      const std::optional<Amount> amount = fields.ReadMoney(member);
      micros = amount ? std::optional<std::int64_t>(amount->micros()) : std::nullopt;
    }
    good = good && micros.has_value();
    if (member.key() == "*") {
      others = micros.value_or(kNotOffered);
      continue;
    }
    const ZoneId zone = ReadZoneName(fields, member, /*at_key=*/true, *scope.names, scope.zones);
    if (zone == kNoZone) {
      good = false;
      continue;
    }
    named[zone] = true;
    price.by_zone[zone] = micros.value_or(kNotOffered);
  }
  for (std::size_t i = 0; i < named.size(); ++i) {
    if (!named[i]) price.by_zone[i] = others;
  }
  if (!good) return std::nullopt;
  return Price(std::move(price));
}

std::optional<Price> ReadPer(Fields& fields, Value value) {
  Object object(fields, value, "a price by steps, such as {\"measure\": \"billable_weight\", \"step\": \"1 lb\", ...}",
                {"measure", "step", "first", "each"});
  if (!object) return std::nullopt;
  StepPrice price;
  bool good = true;
  std::optional<std::size_t> measure;
  if (const Value v = object.Require("measure")) measure = fields.Word(v, kMeasureNames, "a measure");
  const Value step = object.Require("step");
  if (measure && step) {
    price.measure = static_cast<Measure>(*measure);
    const bool money = QuantityOf(price.measure) == Quantity::kMoney;
    if (!step.is(Kind::kString) && !(money && step.is(Kind::kNumber))) {
      fields.Expected(CodeFor(price.measure), step, ExpectedFor(price.measure));
      good = false;
    } else if (const absl::StatusOr<ParsedMeasure> read = ParseMeasure(price.measure, step.text(), ""); !read.ok()) {
      fields.FromStatus(CodeFor(price.measure), step, read.status());
      good = false;
    } else if (read->value < 1) {
      fields.Expected(CodeFor(price.measure), step, "a step of more than 0");
      good = false;
    } else {
      price.step = read->value;
      price.step_text = step.text();
    }
  } else {
    good = false;
  }
  for (const std::string_view key : {"first", "each"}) {
    const Value v = object.Require(key);
    const std::optional<Amount> amount = v ? fields.ReadMoney(v) : std::nullopt;
    good = good && amount.has_value();
    (key == "first" ? price.first : price.each) = amount.value_or(Amount());
  }
  if (!good) return std::nullopt;
  return Price(std::move(price));
}

std::optional<Price> ReadPercentage(Fields& fields, const Object& object, Value value, const PriceScope& scope) {
  if (scope.is_base) {
    fields.ErrorAtKey(kBasePercentage, value,
                      "found a percentage as a base price, expected an amount, a table or another price");
    return std::nullopt;
  }
  PercentPrice price;
  const std::optional<Percent> percent = fields.ReadPercent(value);
  bool good = percent.has_value();
  price.percent = percent.value_or(Percent());
  const Value of = object.Require("of");
  if (!of || !fields.List(of, "[\"*\"] or a list of the codes of charges", /*empty_allowed=*/false))
    return std::nullopt;
  Value star;
  for (const Value item : of) {
    if (item.is(Kind::kString) && item.text() == "*") {
      price.of_all = true;
      star = item;
      continue;
    }
    if (item.is(Kind::kString) && item.text() == "extras") {
      price.of_extras = true;
      price.late = true;
      continue;
    }
    std::string code = fields.ReadCode(item);
    if (!item.is(Kind::kString)) {
      good = false;
    } else if (code != "base" && !scope.names->charge_codes.Has(code)) {
      std::vector<std::string_view> known = {"base"};
      const std::vector<std::string_view>& codes = scope.names->charge_codes.names();
      known.insert(known.end(), codes.begin(), codes.end());
      fields.UnknownName(kUnknownChargeCode, item, "the code of a charge of this document", known);
      good = false;
    }
    price.late = price.late || scope.names->extra_codes.Has(code);
    price.of.push_back(std::move(code));
  }
  if (price.of_all && !price.of.empty()) {
    fields.Error(kConflictingKeys, star, "found \"*\" beside other codes, expected \"*\" alone or with \"extras\"");
    good = false;
  }
  if (!good) return std::nullopt;
  return Price(std::move(price));
}

}  // namespace

GridFiles::File* GridFiles::Get(std::string_view name) {
  const auto at = files_.find(name);
  if (at != files_.end()) return at->second.get();
  std::optional<std::string> text = beside_ ? beside_(name) : std::nullopt;
  std::unique_ptr<File> file;
  if (text) {
    file = std::make_unique<File>();
    file->text = *std::move(text);
    file->findings = std::make_unique<Findings>(folder_ + std::string(name), file->text);
    file->good = file->csv.Parse(file->text, *file->findings);
  }
  return files_.emplace(std::string(name), std::move(file)).first->second.get();
}

std::vector<Diagnostic> GridFiles::Take() {
  std::vector<Diagnostic> out;
  for (auto& [name, file] : files_) {
    if (file == nullptr) continue;
    std::vector<Diagnostic> findings = file->findings->Take();
    out.insert(out.end(), std::make_move_iterator(findings.begin()), std::make_move_iterator(findings.end()));
  }
  return out;
}

bool TakeZoneCells(Fields& fields, Value at, const PriceScope& scope) {
  constexpr std::size_t kMostZoneCells = 10'000'000;
  const std::size_t before = *scope.zone_cells;
  *scope.zone_cells = before + scope.names->zones.names.size();
  if (*scope.zone_cells <= kMostZoneCells) return true;
  if (before <= kMostZoneCells) {
    fields.Error(
        kTooMany, at,
        "found tables, prices by zone and days for more than 10000000 zones together, expected fewer zones or prices");
  }
  return false;
}

std::optional<Price> ReadPrice(Fields& fields, const Object& object, const PriceScope& scope) {
  Value price;
  for (const std::string_view key : kPriceKeys) {
    const Value value = object[key];
    if (!value) continue;
    if (price) {
      const Value later = price.key_offset() < value.key_offset() ? value : price;
      const Value first = price.key_offset() < value.key_offset() ? price : value;
      fields.ErrorAtKey(kConflictingKeys, later,
                        "found both " + Quoted(first.key()) + " and " + Quoted(later.key()) + ", expected one price");
      return std::nullopt;
    }
    price = value;
  }
  if (!price) {
    fields.Error(kMissingKey, object.value(),
                 "found no price, expected one of \"amount\", \"by_zone\", \"table\", \"per\", \"percent\"");
    return std::nullopt;
  }
  const Value of = object["of"];
  if (of && price.key() != "percent") {
    fields.ErrorAtKey(kConflictingKeys, of, "found \"of\" without \"percent\", expected it with a percentage alone");
    return std::nullopt;
  }
  if (price.key() == "amount") {
    const std::optional<Amount> amount = fields.ReadMoney(price);
    if (!amount) return std::nullopt;
    return Price(FlatPrice{*amount});
  }
  if (price.key() == "by_zone") return ReadByZone(fields, price, scope);
  if (price.key() == "table") return TableReader(fields, scope).Read(price);
  if (price.key() == "per") return ReadPer(fields, price);
  return ReadPercentage(fields, object, price, scope);
}

}  // namespace tarewise::load
