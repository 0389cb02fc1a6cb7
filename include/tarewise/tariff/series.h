#ifndef TAREWISE_TARIFF_SERIES_H_
#define TAREWISE_TARIFF_SERIES_H_

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "tarewise/units/date.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

/// Values that change by date, such as a fuel surcharge week by week: rows that hold from a date on, and a column for
/// each thing that has values of its own.
struct Series {
  /// A cell without a value.
  static constexpr std::int64_t kNoValue = -1;
  static constexpr std::int32_t kMostGoodFor = 3660;

  struct Row {
    Date from;
    std::optional<Date> until;  ///< Inclusive. Nothing: until the day before the next row's, the last without an end.
  };

  std::string code;
  std::vector<std::string> columns;
  std::vector<Row> rows;                 ///< By date, rising.
  std::vector<std::int64_t> values;      ///< Row after row, one a column: millionths, or `kNoValue`.
  std::optional<std::int32_t> good_for;  ///< Days, 1 to 3,660: how long a row may be taken as it is.

  std::int64_t value(std::size_t row, std::size_t column) const { return values[row * columns.size() + column]; }

  /// The row that holds on a date; `rows.size()` where none does. Logarithmic in the rows.
  std::size_t RowOn(Date date) const {
    const auto after =
        std::upper_bound(rows.begin(), rows.end(), date, [](Date day, const Row& row) { return day < row.from; });
    if (after == rows.begin()) return rows.size();
    const auto row = after - 1;
    return row->until && *row->until < date ? rows.size() : static_cast<std::size_t>(row - rows.begin());
  }

  /// The first day on which a row is no longer good; nothing: it is good without an end.
  std::optional<Date> DueSince(std::size_t row) const {
    if (!good_for) return std::nullopt;
    return Date::Days(rows[row].from.days() + *good_for);
  }
};

/// How a price takes its value from a series: the value of a column, or the one that a table has for it.
struct ValueByDate {
  struct Step {
    std::int64_t from = 0;   ///< Of the index, millionths.
    std::int64_t value = 0;  ///< Millionths.
  };

  std::uint32_t series = 0;  ///< Index into `Tariff::series`.
  std::uint32_t column = 0;
  bool over = false;        ///< The steps are for an index of more than `from`; else for one of at least that.
  std::vector<Step> steps;  ///< Rising. Empty: the value is the column's own.

  /// Millionths, or `Series::kNoValue`; `index` is the column's.
  std::int64_t Of(std::int64_t index) const {
    if (steps.empty() || index == Series::kNoValue) return index;
    auto reached = [&](const Step& step) { return over ? step.from < index : step.from <= index; };
    const auto after = std::partition_point(steps.begin(), steps.end(), reached);
    return after == steps.begin() ? Series::kNoValue : (after - 1)->value;
  }
};

/// What a value that changes by date is on one day.
struct DatedValue {
  std::int64_t micros = Series::kNoValue;  ///< Millionths, or `Series::kNoValue`.
  Date from;                               ///< The first day of its row. Of no value: nothing that counts.
  std::optional<Date> overdue_since;       ///< It is older than it is good for: the first day that lacks a row.

  bool known() const { return micros != Series::kNoValue; }

  static DatedValue On(const Series& series, const ValueByDate& by, Date date) {
    DatedValue out;
    const std::size_t row = series.RowOn(date);
    if (row == series.rows.size()) return out;
    out.micros = by.Of(series.value(row, by.column));
    out.from = series.rows[row].from;
    const std::optional<Date> due = series.DueSince(row);
    if (out.known() && due && *due <= date) out.overdue_since = due;
    return out;
  }
};

}  // namespace tarewise::inline TW_VERSIONED

#endif  // TAREWISE_TARIFF_SERIES_H_
