#include "table_reader.h"

#include <algorithm>
#include <utility>

#include "grid_reader.h"
#include "grid_warnings.h"

namespace tarewise::inline TW_VERSIONED::load {
namespace {

class TableReader {
 public:
  TableReader(Fields& fields, Value value, const PriceScope& scope)
      : fields_(fields),
        table_(fields, value, "a table",
               {"by", "unit", "columns", "rows", "csv", "beyond", "rate", "least", "deficit"}),
        grid_(fields, scope) {}

  std::optional<Price> Read(const PriceScope& scope) {
    if (!table_ || !TakeZoneCells(fields_, table_.value(), scope)) return std::nullopt;
    bool good = grid_.ReadAxes(table_);
    if (grid_.by.empty()) return std::nullopt;
    const bool several = grid_.by.size() > 1;
    const Value rate = table_["rate"];
    if (several) {
      for (const std::string_view key : {"beyond", "rate", "least", "deficit"}) {
        good = Conflicts(key, "in a table of several bounds, expected none") && good;
      }
    } else if (rate) {
      good = Conflicts("beyond", "beside \"rate\", expected none: a rate goes on by itself") && good;
    } else {
      for (const std::string_view key : {"least", "deficit"}) {
        good = Conflicts(key, "without \"rate\", expected it with a rate alone") && good;
      }
    }
    grid_.takes_least = rate && !several;
    good = grid_.ReadGrid(table_, good);
    if (several) return Classes(good);
    return rate ? Rates(rate, good) : Table(good);
  }

 private:
  std::optional<Price> Table(bool good) {
    good = Rises() && good;
    TablePrice price;
    price.by = grid_.by[0].measure;
    price.unit = grid_.by[0].unit;
    const bool beyond_good = ReadBeyond(good, price);
    if (!good || !beyond_good) return std::nullopt;
    TakeBounds(price);
    WarnOfCheaperRows(grid_, price);
    WarnOfCheaperColumns(grid_, price);
    return Price(std::move(price));
  }

  // False, and an error, where the table has the key.
  bool Conflicts(std::string_view key, std::string_view why) {
    const Value value = table_[key];
    if (!value) return true;
    fields_.ErrorAtKey(kConflictingKeys, value, "found " + Quoted(key) + " " + std::string(why));
    return false;
  }

  template <typename Price>
  void TakeBounds(Price& price) {
    price.bounds = std::move(grid_.bounds);
    price.row_units = std::move(grid_.bound_units);
    TakePrices(price);
  }

  bool ReadBeyond(bool grid_good, TablePrice& price) {
    const Value value = table_["beyond"];
    if (!value) return true;
    const Object object(fields_, value, "steps past the last row, such as {\"step\": 1, \"add\": [0.40]}",
                        {"step", "add"});
    const Value step = object.Require("step");
    const Value add = object.Require("add");
    if (!step || !add) return false;
    const std::optional<ParsedMeasure> read = grid_.ReadBound(GridReader::CellOf(step), 0, /*zero_allowed=*/false);
    std::optional<std::vector<std::int64_t>> amounts = grid_.ReadForColumns(add, grid_good);
    if (!read || !amounts) return false;
    price.beyond = TablePrice::Beyond{read->value, *std::move(amounts)};
    return true;
  }

  std::optional<Price> Rates(Value rate, bool good) {
    good = Rises() && good;
    RatePrice price;
    price.by = grid_.by[0].measure;
    price.unit = grid_.by[0].unit;
    good = ReadRate(rate, price) && good;
    good = ReadLeast(good, price) && good;
    if (const Value deficit = table_["deficit"]) {
      const std::optional<bool> flag = fields_.Flag(deficit);
      good = flag.has_value() && good;
      price.deficit = flag.value_or(false);
    }
    if (!good) return std::nullopt;
    TakeBounds(price);
    WarnOfCheaperRates(grid_, price);
    WarnOfCheaperColumns(grid_, price);
    return Price(std::move(price));
  }

  // A step with its unit, as of a price by steps: the table's unit is that of the bounds.
  bool ReadRate(Value value, RatePrice& price) {
    const std::optional<MeasureValue> read = ReadStep(fields_, price.by, value);
    price.rate = read.value_or(1);
    price.rate_text = value.text();
    return read.has_value();
  }

  // One amount, or one for each column, or the last line of the file.
  bool ReadLeast(bool grid_good, RatePrice& price) {
    const Value value = table_["least"];
    const std::size_t columns = grid_.prices.columns.size();
    if (!value) {
      bool good = true;
      for (const GridCell& cell : grid_.least) {
        const std::optional<std::int64_t> micros = grid_.ReadCell(cell);
        good = good && micros.has_value();
        price.least.push_back(micros.value_or(kNotOffered));
      }
      if (!good) grid_.ReportCells();
      return good;
    }
    if (!grid_.least.empty()) {
      fields_.ErrorAtKey(kConflictingKeys, value,
                         "found \"least\" beside a line of that word in the file, expected one of the two");
      return false;
    }
    if (value.is(Kind::kArray)) {
      std::optional<std::vector<std::int64_t>> amounts = grid_.ReadForColumns(value, grid_good);
      if (!amounts) return false;
      price.least = *std::move(amounts);
      return true;
    }
    const std::optional<Amount> amount = fields_.ReadMoney(value);
    if (amount) price.least.assign(columns, amount->micros());
    return amount.has_value();
  }

  std::optional<Price> Classes(bool good) {
    if (!good) return std::nullopt;
    ClassPrice price;
    for (const GridReader::Axis& axis : grid_.by) price.by.push_back({axis.measure, axis.unit});
    price.bounds = std::move(grid_.bounds);
    price.bound_units = std::move(grid_.bound_units);
    TakePrices(price);
    if (!EveryRowCanBeTaken(price)) return std::nullopt;
    WarnOfCheaperClasses(grid_, price);
    WarnOfCheaperColumns(grid_, price);
    return Price(std::move(price));
  }

  // A row that lies within an earlier one never is the first whose bounds hold.
  bool EveryRowCanBeTaken(const ClassPrice& price) {
    bool good = true;
    for (std::size_t row = 1; row < price.rows(); ++row) {
      for (std::size_t earlier = 0; earlier < row; ++earlier) {
        if (!LiesWithin(price, row, earlier)) continue;
        grid_.Error(kUnreachablePrice, grid_.bound_places[row * price.by.size()],
                    "found a row for " + price.RowText(row) + " that can never apply, expected none that lies within " +
                        price.RowText(earlier) + " above it");
        good = false;
        break;
      }
    }
    return good;
  }

  bool Rises() {
    bool good = true;
    for (std::size_t i = 1; i < grid_.bounds.size(); ++i) {
      if (grid_.bounds[i] > grid_.bounds[i - 1]) continue;
      grid_.Error(kNotRising, grid_.bound_places[i],
                  "found the bound " + GridReader::GridText(grid_.bound_places[i]) +
                      (grid_.turned() ? ", expected more than that of the column before, "
                                      : ", expected more than that of the row before, ") +
                      GridReader::GridText(grid_.bound_places[i - 1]));
      good = false;
    }
    return good;
  }

  void TakePrices(PriceGrid& price) {
    price.columns = std::move(grid_.prices.columns);
    price.column_of_zone = std::move(grid_.prices.column_of_zone);
    price.cells = std::move(grid_.prices.cells);
  }

  Fields& fields_;
  const Object table_;
  GridReader grid_;
};

}  // namespace

std::optional<Price> ReadTable(Fields& fields, Value value, const PriceScope& scope) {
  return TableReader(fields, value, scope).Read(scope);
}

}  // namespace tarewise::inline TW_VERSIONED::load
