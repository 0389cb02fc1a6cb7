#ifndef TAREWISE_LIB_DOCUMENTS_GRID_READER_H_
#define TAREWISE_LIB_DOCUMENTS_GRID_READER_H_

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "cell_errors.h"
#include "csv.h"
#include "fields.h"
#include "price_reader.h"
#include "tarewise/tariff/measure.h"
#include "tarewise/tariff/price.h"
#include "tarewise/units/internal/quantity_text.h"
#include "tarewise/version.h"
#include "text.h"

namespace tarewise::inline TW_VERSIONED::load {

/// A cell of a grid as it is written, in the document or in a CSV file: what may be read alike of both.
struct GridCell {
  std::string_view text;
  std::size_t offset = 0;
  Value value;          ///< None in a CSV file.
  bool offered = true;  ///< False: null, or an empty cell.
};

/// Calls `name` with each of the zones that a column such as "1 & 2" or "1, 2" is for.
template <typename F>
void EachZoneOf(std::string_view column, F name) {
  while (true) {
    const std::size_t end = column.find_first_of(",&");
    name(internal::Trim(column.substr(0, end)));
    if (end == std::string_view::npos) return;
    column.remove_prefix(end + 1);
  }
}

/// Reads what tables of every kind have: what their rows are bounded by, columns, and rows of bounds and prices, in the
/// document or in a CSV file beside it.
class GridReader {
 public:
  struct Axis {
    Measure measure = Measure::kBillableWeight;
    std::string unit;
  };

  GridReader(Fields& fields, const PriceScope& scope) : fields_(fields), scope_(scope) {}

  /// What rows are bounded by: "by" and "unit", each one or a list. False where one is wrong; `by` is then empty where
  /// nothing more can be read.
  bool ReadAxes(const Object& table);
  /// The grid of a table: "csv", or "columns" and "rows". `good`: whether all before was. False where anything is not.
  bool ReadGrid(const Object& table, bool good);

  /// A bound of the row or a step, by one of the measures.
  std::optional<ParsedMeasure> ReadBound(const GridCell& cell, std::size_t axis, bool zero_allowed);
  /// An amount, or `kNotOffered`.
  std::optional<std::int64_t> ReadCell(const GridCell& cell);
  /// Amounts for the columns: a list of one for each. `grid_good`: whether it is known how many columns there are.
  std::optional<std::vector<std::int64_t>> ReadForColumns(Value value, bool grid_good);
  static GridCell CellOf(Value value) { return {value.text(), value.offset(), value, !value.is(Kind::kNull)}; }
  static std::string GridText(const GridCell& cell) { return cell.value ? FoundText(cell.value) : Quoted(cell.text); }

  // About what stands in the grid, in whichever file that is.
  void Error(Code code, const GridCell& at, std::string message) {
    FindingsAt(at).Error(code, at.offset, at.value, std::move(message));
  }
  void Warning(Code code, const GridCell& at, std::string message) {
    FindingsAt(at).Warning(code, at.offset, at.value, std::move(message));
  }

  /// Where a cell of a row of `columns` stands, for findings: without its text.
  GridCell PlaceOf(std::size_t row, std::size_t column, std::size_t columns) const {
    const std::uint32_t at = places_[row * columns + column];
    return file_ == nullptr ? CellOf(fields_.tree().at(at)) : GridCell{{}, at, Value(), true};
  }
  /// Tells what was found wrong with cells of the file; true where there was any.
  bool ReportCells();
  /// In a grid turned round, bounds stand side by side.
  bool turned() const { return turned_; }

  /// Zones from near to far, as the charts declare them whose zones can be columns here.
  const std::vector<std::vector<ZoneId>>& rising() const {
    return (scope_.zones == nullptr ? scope_.names->all_zones : *scope_.zones).rising;
  }

  std::vector<Axis> by;
  PriceGrid prices;
  std::vector<MeasureValue> bounds;      ///< Row after row, one for each of `by`.
  std::vector<std::string> bound_units;  ///< Empty, or one a bound where one has a unit of its own.
  std::vector<GridCell> bound_places;    ///< By bound.
  bool takes_least = false;              ///< A last line of a CSV file may begin with the word "least".
  std::vector<GridCell> least;           ///< Its cells.

 private:
  Findings& FindingsAt(const GridCell& at) { return at.value ? fields_.findings() : *file_; }
  bool ReadUnit(Value unit, Axis& axis);
  bool MapColumns(const std::vector<GridCell>& cells);
  bool ReadColumns(Value value);
  bool CheckWidth(std::size_t columns, const GridCell& at);
  bool CheckHeight(std::size_t rows, const GridCell& at);
  bool ReadRows(Value value, bool good);
  bool MapZone(const GridCell& cell, std::string_view name, std::uint16_t column, const ZoneSet& set);
  bool ReadRow(const std::vector<GridCell>& cells);
  std::string BoundsSaid() const { return by.size() == 1 ? "bound" : "bounds"; }
  // One of a kind in a file is told with the others of its kind.
  void BadCell(const GridCell& cell, Code code, std::string_view noun, std::string expected);

  // In grid_csv.cc.
  bool ReadCsv(Value value);
  bool SaysWhichWayRound(const Csv& csv);
  bool CanBeUpright(const Csv& csv) const;
  bool CanBeTurned(const Csv& csv) const;
  bool IsBound(std::string_view text) const;
  bool IsColumn(std::string_view name) const;
  bool ReadUpright(const Csv& csv);
  bool ReadTurned(const Csv& csv);
  bool ReadHeader(const std::vector<GridCell>& header);
  bool HasWidths(const Csv& csv, std::size_t width);
  bool ReadCsvRows(const Csv& csv, std::size_t width);
  static GridCell CellOf(const Csv& csv, std::size_t line, std::size_t column) {
    const Csv::Cell cell = csv.cell(line, column);
    return {cell.text, cell.offset, Value(), !cell.text.empty()};
  }
  static void TakeLine(const Csv& csv, std::size_t line, std::vector<GridCell>& cells);

  Fields& fields_;
  const PriceScope& scope_;
  Findings* file_ = nullptr;  // of the CSV file that the grid stands in
  bool turned_ = false;
  CellErrors cell_errors_;
  std::vector<std::uint32_t> places_;  // by cell: the index of its value, or its offset in the file
};

}  // namespace tarewise::inline TW_VERSIONED::load

#endif  // TAREWISE_LIB_DOCUMENTS_GRID_READER_H_
