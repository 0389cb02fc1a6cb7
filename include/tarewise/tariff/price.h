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
#include "tarewise/version.h"
#include "tarewise/zone/zone_chart.h"

namespace tarewise::inline TW_VERSIONED {

/// A cell or zone that is not offered.
inline constexpr std::int64_t kNotOffered = -1;

/// One price whatever the parcel.
struct FlatPrice {
  Amount amount;
};

/// One price whatever the parcel, that changes by date.
struct DatedPrice {
  std::uint32_t by_date = 0;  ///< Index into `Tariff::by_date`.
};

/// One price a zone: millionths, `kNotOffered` where the zone has none. As long as the tariff's list of zones.
struct ZonePrice {
  std::vector<std::int64_t> by_zone;
};

/// The prices of a grid: what every kind of grid has beside its bounds.
struct PriceGrid {
  static constexpr std::uint16_t kNoColumn = 0xFFFF;

  std::vector<std::string> columns;           ///< As written: zone names, or "*".
  std::vector<std::uint16_t> column_of_zone;  ///< As long as the tariff's list of zones.
  std::vector<std::int64_t> cells;            ///< Row after row, millionths or `kNotOffered`.

  std::int64_t cell(std::size_t row, std::size_t column) const { return cells[row * columns.size() + column]; }
  /// The column of a zone, or `kNoColumn`.
  std::uint16_t ColumnOf(ZoneId zone) const { return zone < column_of_zone.size() ? column_of_zone[zone] : kNoColumn; }
};

/// A grid whose rows have one bound: the first row whose bound is at least the measure.
struct BoundGrid : PriceGrid {
  Measure by = Measure::kBillableWeight;
  std::string unit;                    ///< Unit of the bounds; empty for money.
  std::vector<MeasureValue> bounds;    ///< Rising, inclusive.
  std::vector<std::string> row_units;  ///< Empty, or one a row where a bound has its own unit.

  std::size_t rows() const { return bounds.size(); }
  /// The row of a measure; `rows()` past the last. Logarithmic in the rows.
  std::size_t RowFor(MeasureValue measured) const {
    return static_cast<std::size_t>(std::lower_bound(bounds.begin(), bounds.end(), measured) - bounds.begin());
  }
  std::string RowText(std::size_t row) const {
    return MeasureText(by, bounds[row], row < row_units.size() && !row_units[row].empty() ? row_units[row] : unit);
  }
};

/// A grid of prices: the first row whose bound is at least the measure, and the column of the zone.
struct TablePrice : BoundGrid {
  /// Rows past the last: its cell plus `add` for each step begun.
  struct Beyond {
    MeasureValue step = 0;
    std::vector<std::int64_t> add;  ///< One a column, millionths or `kNotOffered`.
  };

  std::optional<Beyond> beyond;
};

/// A grid of rates: the cell for each step begun of the whole measure, at least one.
struct RatePrice : BoundGrid {
  MeasureValue rate = 1;            ///< The step.
  std::string rate_text;            ///< "1 kg".
  std::vector<std::int64_t> least;  ///< Empty, or one a column: what the price never falls below, or `kNotOffered`.
  bool deficit = false;             ///< The price of a heavier row's lightest where that is lower.
};

/// A grid of classes, as of size: a row has a bound for each of several measures, and the first row all of whose bounds
/// hold is taken, so that of two the larger wins.
struct ClassPrice : PriceGrid {
  static constexpr std::size_t kMostMeasures = 4;

  struct Axis {
    Measure measure = Measure::kWeight;
    std::string unit;  ///< Of its bounds; empty for money.
  };

  std::vector<Axis> by;                  ///< Two to `kMostMeasures`, different ones.
  std::vector<MeasureValue> bounds;      ///< Row after row, one for each of `by`; inclusive.
  std::vector<std::string> bound_units;  ///< Empty, or one a bound where one has a unit of its own.

  std::size_t rows() const { return by.empty() ? 0 : bounds.size() / by.size(); }
  MeasureValue bound(std::size_t row, std::size_t axis) const { return bounds[row * by.size() + axis]; }
  /// "60 cm, 2 kg".
  std::string RowText(std::size_t row) const {
    std::string text;
    for (std::size_t axis = 0; axis < by.size(); ++axis) {
      const std::size_t i = row * by.size() + axis;
      const bool own = i < bound_units.size() && !bound_units[i].empty();
      text += (axis == 0 ? "" : ", ") + MeasureText(by[axis].measure, bounds[i], own ? bound_units[i] : by[axis].unit);
    }
    return text;
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
  std::optional<std::uint32_t> by_date;  ///< In its place, one that changes by date: an index into `Tariff::by_date`.
  bool of_all = false;                   ///< "*": of all of them.
  bool of_extras = false;                ///< "extras": of every extra that is asked for.
  bool late = false;                     ///< It names extras: as a surcharge it stands behind them.
  std::vector<std::string> of;           ///< Codes.
};

using Price =
    std::variant<FlatPrice, ZonePrice, TablePrice, StepPrice, PercentPrice, ClassPrice, RatePrice, DatedPrice>;

/// One of the alternatives for a base charge.
struct PriceAlternative {
  Test when;
  Price price;
  bool once = false;  ///< Due once a consignment: of every parcel but its first it comes to 0.
};

/// A surcharge or an extra; or a reduction, which takes off what its price comes to.
struct ChargeRule {
  std::string code;
  std::string title;
  Test when;
  std::string group;
  std::vector<std::string> replaces;
  Price price;
  std::vector<std::string> required;  ///< Of an extra: others that must be asked for with it. ("requires")
  std::vector<std::string> excluded;  ///< Likewise: others that must not. ("excludes")
  bool less = false;                  ///< A reduction.
  bool once = false;                  ///< Of a surcharge: due once a consignment, with its first parcel.
};

}  // namespace tarewise::inline TW_VERSIONED

#endif  // TAREWISE_TARIFF_PRICE_H_
