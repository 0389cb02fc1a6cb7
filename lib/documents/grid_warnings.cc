#include "grid_warnings.h"

#include <algorithm>
#include <cstdint>
#include <optional>
#include <set>
#include <string>
#include <utility>
#include <vector>

#include "tarewise/rules/price.h"

namespace tarewise::inline TW_VERSIONED::load {
namespace {

std::string CellText(const PriceGrid& price, std::size_t row, std::size_t column) {
  return Amount::Micros(price.cell(row, column)).ToString();
}

GridCell PlaceOf(const GridReader& grid, const PriceGrid& price, std::size_t row, std::size_t column) {
  return grid.PlaceOf(row, column, price.columns.size());
}

std::string AndMore(std::size_t more, std::string_view what) {
  if (more == 0) return "";
  return "; so in " + std::to_string(more) + " more " + std::string(what) + (more == 1 ? "" : "s");
}

// What a measure costs by a row's rate, the least included.
std::int64_t RateCost(const RatePrice& price, std::size_t row, std::size_t column, MeasureValue measured) {
  const std::int64_t cell = price.cell(row, column);
  if (cell == kNotOffered) return kNotOffered;
  const std::int64_t steps = std::max<std::int64_t>(internal::PricedSteps(measured, price.rate), 1);
  const std::int64_t least = price.least.empty() ? 0 : price.least[column];
  return std::max(internal::WithSteps(0, steps, cell), least);
}

// `comparable(row, above)`: whether the row is the heavier one of the two.
template <typename Table, typename Comparable>
void WarnOfRows(GridReader& grid, const Table& price, std::string_view which, Comparable comparable) {
  const std::size_t columns = price.columns.size();
  std::vector<std::size_t> above(columns, SIZE_MAX);  // the last row that offers the column
  for (std::size_t row = 0; row < price.rows(); ++row) {
    std::size_t first = SIZE_MAX;
    std::size_t first_above = 0;
    std::size_t count = 0;
    for (std::size_t column = 0; column < columns; ++column) {
      if (price.cell(row, column) == kNotOffered) continue;
      if (above[column] != SIZE_MAX && price.cell(row, column) < price.cell(above[column], column) &&
          comparable(row, above[column])) {
        if (first == SIZE_MAX) {
          first = column;
          first_above = above[column];
        }
        ++count;
      }
      above[column] = row;
    }
    if (first == SIZE_MAX) continue;
    grid.Warning(kHeavierIsCheaper, PlaceOf(grid, price, row, first),
                 "found " + CellText(price, row, first) + " for " + price.RowText(row) + " in column " +
                     Quoted(price.columns[first]) + ", expected at least " + CellText(price, first_above, first) +
                     " as for " + price.RowText(first_above) + " (" + std::string(which) + " row is cheaper" +
                     AndMore(count - 1, "column") + ")");
  }
}

// Where the column of a farther zone is cheaper than that of a nearer one.
template <typename Table>
void WarnOfFarther(GridReader& grid, const Table& price, std::uint16_t nearer, std::uint16_t column) {
  std::size_t first = SIZE_MAX;
  std::size_t count = 0;
  for (std::size_t row = 0; row < price.rows(); ++row) {
    const std::int64_t here = price.cell(row, column);
    const std::int64_t before = price.cell(row, nearer);
    if (here == kNotOffered || before == kNotOffered || here >= before) continue;
    if (first == SIZE_MAX) first = row;
    ++count;
  }
  if (first == SIZE_MAX) return;
  grid.Warning(kFartherIsCheaper, PlaceOf(grid, price, first, column),
               "found " + CellText(price, first, column) + " for " + price.RowText(first) + " in column " +
                   Quoted(price.columns[column]) + ", expected at least " + CellText(price, first, nearer) +
                   " as in column " + Quoted(price.columns[nearer]) + " (the farther column is cheaper" +
                   AndMore(count - 1, "row") + ")");
}

}  // namespace

bool LiesWithin(const ClassPrice& price, std::size_t row, std::size_t other) {
  for (std::size_t axis = 0; axis < price.by.size(); ++axis) {
    if (price.bound(row, axis) > price.bound(other, axis)) return false;
  }
  return true;
}

void WarnOfCheaperRows(GridReader& grid, const TablePrice& price) {
  // What a piece costs falls as more of them go together.
  if (QuantityOf(price.by) == Quantity::kCount) return;
  const bool weight = QuantityOf(price.by) == Quantity::kWeight;
  WarnOfRows(grid, price, weight ? "the heavier" : "the higher", [](std::size_t, std::size_t) { return true; });
}

void WarnOfCheaperClasses(GridReader& grid, const ClassPrice& price) {
  auto as_many = [&price](std::size_t row, std::size_t above) {
    for (std::size_t axis = 0; axis < price.by.size(); ++axis) {
      if (QuantityOf(price.by[axis].measure) == Quantity::kCount &&
          price.bound(row, axis) != price.bound(above, axis)) {
        return false;
      }
    }
    return true;
  };
  WarnOfRows(grid, price, "the larger",
             [&](std::size_t row, std::size_t above) { return LiesWithin(price, above, row) && as_many(row, above); });
}

void WarnOfCheaperRates(GridReader& grid, const RatePrice& price) {
  if (price.deficit || QuantityOf(price.by) == Quantity::kCount) return;
  for (std::size_t column = 0; column < price.columns.size(); ++column) {
    std::size_t first = SIZE_MAX;
    std::size_t count = 0;
    for (std::size_t row = 1; row < price.rows(); ++row) {
      const std::int64_t on_bound = RateCost(price, row - 1, column, price.bounds[row - 1]);
      const std::int64_t past_it = RateCost(price, row, column, price.bounds[row - 1] + 1);
      if (on_bound == kNotOffered || past_it == kNotOffered || past_it >= on_bound) continue;
      if (first == SIZE_MAX) first = row;
      ++count;
    }
    if (first == SIZE_MAX) continue;
    grid.Warning(kHeavierIsCheaper, PlaceOf(grid, price, first, column),
                 "found " + CellText(price, first, column) + " for " + price.RowText(first) + " in column " +
                     Quoted(price.columns[column]) + ", expected no less past " + price.RowText(first - 1) +
                     " than on it, or \"deficit\" (the heavier is cheaper" + AndMore(count - 1, "row") + ")");
  }
}

template <typename Table>
void WarnOfCheaperColumns(GridReader& grid, const Table& price) {
  std::set<std::pair<std::uint16_t, std::uint16_t>> told;
  for (const std::vector<ZoneId>& rising : grid.rising()) {
    std::optional<std::uint16_t> nearer;
    for (const ZoneId zone : rising) {
      const std::uint16_t column = price.ColumnOf(zone);
      if (column == Table::kNoColumn || price.columns[column] == "*") continue;
      if (nearer && told.insert({*nearer, column}).second) WarnOfFarther(grid, price, *nearer, column);
      nearer = column;
    }
  }
}

template void WarnOfCheaperColumns(GridReader&, const TablePrice&);
template void WarnOfCheaperColumns(GridReader&, const ClassPrice&);
template void WarnOfCheaperColumns(GridReader&, const RatePrice&);

}  // namespace tarewise::inline TW_VERSIONED::load
