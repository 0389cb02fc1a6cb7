#ifndef TAREWISE_TARIFF_PRICE_H_
#define TAREWISE_TARIFF_PRICE_H_

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "tarewise/tariff/measure.h"
#include "tarewise/tariff/test.h"
#include "tarewise/units/money.h"
#include "tarewise/units/percent.h"
#include "tarewise/zone/zone_chart.h"

namespace tarewise {

/// A cell or zone that is not offered.
inline constexpr std::int64_t kNotOffered = -1;

/// One price whatever the parcel.
struct FlatPrice {
  Amount amount;
};

/// One price a zone: millionths, `kNotOffered` where the zone has none. As long as the tariff's list of zones.
struct ZonePrice {
  std::vector<std::int64_t> by_zone;
};

/// A grid of prices: the first row whose bound is at least the measure, and the column of the zone.
struct TablePrice {
  static constexpr std::uint16_t kNoColumn = 0xFFFF;

  /// Rows past the last: its cell plus `add` for each step begun.
  struct Beyond {
    MeasureValue step = 0;
    std::vector<std::int64_t> add;  ///< One a column, millionths or `kNotOffered`.
  };

  Measure by = Measure::kBillableWeight;
  std::string unit;                           ///< Unit of the bounds; empty for money.
  std::vector<std::string> columns;           ///< As written: zone names, or "*".
  std::vector<std::uint16_t> column_of_zone;  ///< As long as the tariff's list of zones.
  std::vector<MeasureValue> bounds;           ///< Rising, inclusive.
  std::vector<std::string> row_units;         ///< Empty, or one a row where a bound has its own unit.
  std::vector<std::int64_t> cells;            ///< Row after row, millionths or `kNotOffered`.
  std::optional<Beyond> beyond;

  std::size_t rows() const { return bounds.size(); }
  std::int64_t cell(std::size_t row, std::size_t column) const { return cells[row * columns.size() + column]; }
  std::string RowText(std::size_t row) const {
    return MeasureText(by, bounds[row], row < row_units.size() && !row_units[row].empty() ? row_units[row] : unit);
  }
};

/// `first` for the first step or part of one, `each` for every further step begun.
struct StepPrice {
  Measure measure = Measure::kBillableWeight;
  MeasureValue step = 1;
  std::string step_text;
  Amount first;
  Amount each;
};

/// A part of the charges that stand above, net of their discounts.
struct PercentPrice {
  Percent percent;
  bool of_all = false;          ///< "*": of all of them.
  bool of_extras = false;       ///< "extras": of every extra that is asked for.
  bool late = false;            ///< It names extras: as a surcharge it stands behind them.
  std::vector<std::string> of;  ///< Codes.
};

using Price = std::variant<FlatPrice, ZonePrice, TablePrice, StepPrice, PercentPrice>;

/// One of the alternatives for a base charge.
struct PriceAlternative {
  Test when;
  Price price;
};

/// A surcharge or an extra; or a reduction, which takes off what its price comes to.
struct ChargeRule {
  std::string code;
  std::string title;
  Test when;
  std::string group;
  std::vector<std::string> replaces;
  Price price;
  bool less = false;  ///< A reduction.
};

}  // namespace tarewise

#endif  // TAREWISE_TARIFF_PRICE_H_
