#ifndef TAREWISE_COMPARE_COMPARISON_H_
#define TAREWISE_COMPARE_COMPARISON_H_

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "tarewise/units/date.h"
#include "tarewise/units/money.h"
#include "tarewise/units/rounding.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

/// What became of a thing that a tariff holds.
enum class ChangeKind : std::uint8_t { kAdded, kRemoved, kChanged };
inline constexpr std::string_view kChangeKindNames[] = {"added", "removed", "changed"};
constexpr std::string_view NameOf(ChangeKind kind) { return kChangeKindNames[static_cast<int>(kind)]; }

/// One fact that differs, in words; `before` is empty where it was added, `after` where it was removed.
struct Difference {
  std::string what;
  std::string before;
  std::string after;
  ChangeKind kind() const {
    if (before.empty()) return ChangeKind::kAdded;
    return after.empty() ? ChangeKind::kRemoved : ChangeKind::kChanged;
  }
  friend bool operator==(const Difference&, const Difference&) = default;
};

/// (after - before) / before in ten-thousandths of a percent, half up by magnitude as all money is: 6.45 to 6.52 is
/// 10,853 (1.0853 %), 8.00 to 7.99 is -1,250. Nothing where `before` is 0 or the result does not fit.
inline std::optional<std::int64_t> PercentChange(Amount before, Amount after) {
  if (before.micros() <= 0) return std::nullopt;
  return Narrow(DivideRounded(Int128(after.micros()) * 1'000'000 - Int128(before.micros()) * 1'000'000, before.micros(),
                              1, RoundMode::kHalfUp));
}

/// One price of a list that differs. Nothing: it is not offered on that side.
struct CellChange {
  std::string row;     ///< "2 lb"; empty where the price has no rows.
  std::string column;  ///< The zone, or "*"; empty where the price is one for all zones.
  std::optional<Amount> before;
  std::optional<Amount> after;

  ChangeKind kind() const {
    if (!before) return ChangeKind::kAdded;
    return after ? ChangeKind::kChanged : ChangeKind::kRemoved;
  }
  /// In ten-thousandths of a percent, see `PercentChange`; nothing where one side has none.
  std::optional<std::int64_t> percent() const {
    return before && after ? PercentChange(*before, *after) : std::nullopt;
  }
  Amount rise() const { return after.value_or(Amount()) - before.value_or(Amount()); }
};

/// One price (an alternative of a service's base price, or a charge's price) on both sides.
struct PriceComparison {
  ChangeKind kind = ChangeKind::kChanged;
  std::string when;                     ///< In words; "always" where it has no test.
  std::vector<Difference> differences;  ///< What is not a cell: the test, what it is measured by, steps, a percentage.
  std::vector<CellChange> cells;        ///< Those that differ, in the order of the list.
  std::size_t cells_common = 0;         ///< Cells that both sides offer.
  bool empty() const { return kind == ChangeKind::kChanged && differences.empty() && cells.empty(); }
};

/// A surcharge or an extra. One that several services share is one entry for all of them.
struct ChargeComparison {
  ChangeKind kind = ChangeKind::kChanged;
  std::string code;
  std::string title;  ///< As it is after; as it was, where it is removed.
  bool extra = false;
  std::vector<std::string> services;    ///< Codes. Empty: of no service, only in the document.
  bool every_service = false;           ///< Of every service that both sides have.
  std::vector<Difference> differences;  ///< Title, test, group, what it replaces, the code where it bears a date.
  PriceComparison price;
  bool empty() const { return kind == ChangeKind::kChanged && differences.empty() && price.empty(); }
};

struct DaysChange {
  std::string zone;
  std::string before;  ///< "2 to 4"; "not published".
  std::string after;
};

struct ServiceComparison {
  ChangeKind kind = ChangeKind::kChanged;
  std::string code;
  std::string title;
  std::vector<Difference>
      differences;  ///< Title, zones, tracked, mode, packaging, cover, pick, the order of its lines.
  std::vector<DaysChange> days;
  std::vector<Difference> measure;      ///< How parcels are measured and the billable weight is found.
  std::vector<Difference> refuse;       ///< Refuse rules.
  std::vector<PriceComparison> prices;  ///< Alternatives of the base price that differ.
  std::size_t cells_common = 0;         ///< Over all alternatives, those that do not differ too.
  bool empty() const {
    return kind == ChangeKind::kChanged && differences.empty() && days.empty() && measure.empty() && refuse.empty() &&
           prices.empty();
  }
};

/// An area that a chart puts into another zone. Empty: the chart gave or gives it none.
struct ZoneChange {
  std::string list;
  std::size_t chart = 0;  ///< Its place in the list, from 0, as it is after (as it was, for one that is removed).
  std::string origin;     ///< For charts by pairs.
  std::string area;       ///< "US:006-009"; "everywhere".
  std::string before;
  std::string after;
};

/// A value of a series that differs: of a column, from a date on. Nothing: there is none on that side.
struct SeriesChange {
  std::string series;
  std::string column;
  Date from;
  std::optional<Amount> before;  ///< A percentage likewise: 11.4 % is 11.40.
  std::optional<Amount> after;

  ChangeKind kind() const {
    if (!before) return ChangeKind::kAdded;
    return after ? ChangeKind::kChanged : ChangeKind::kRemoved;
  }
};

struct PackagingComparison {
  ChangeKind kind = ChangeKind::kChanged;
  std::string code;
  std::string title;
  std::vector<Difference> differences;
};

/// What differs between two versions of one carrier's tariff, and of the terms beside it. Everything stands in the
/// order of the document it is in, first what was there before.
struct TariffComparison {
  ChangeKind kind = ChangeKind::kChanged;  ///< Added, removed: the carrier has a tariff on one side only.
  std::string carrier;
  std::string carrier_name;
  std::string title_before;
  std::string title_after;
  DateRange in_force_before;
  DateRange in_force_after;
  Currency currency;                    ///< After; before, where it is removed.
  std::vector<Difference> differences;  ///< Name, currency, rounding.
  std::vector<ServiceComparison> services;
  std::vector<ChargeComparison> charges;
  std::vector<ZoneChange> zones;
  std::vector<Difference> charts;        ///< Distance bands, charts and lists added or removed.
  std::vector<SeriesChange> series;      ///< By code, date and column. Empty where days are compared.
  std::vector<Difference> series_terms;  ///< How long a row is good for, and until when.
  std::vector<PackagingComparison> packaging;
  std::vector<Difference> terms;  ///< Discounts of the seller's terms.
  bool empty() const {
    return kind == ChangeKind::kChanged && differences.empty() && services.empty() && charges.empty() &&
           zones.empty() && charts.empty() && series.empty() && series_terms.empty() && packaging.empty() &&
           terms.empty();
  }
};

/// What differs between two tariffs or two ratebooks. Carriers by code; those without a difference are left out.
struct Comparison {
  std::optional<Date> date_before;  ///< Of the editions compared; nothing: whole tariffs, whatever the date.
  std::optional<Date> date_after;
  std::vector<TariffComparison> carriers;
  bool empty() const { return carriers.empty(); }
};

/// Cells counted.
struct CellCounts {
  std::size_t common = 0;
  std::size_t dearer = 0;
  std::size_t cheaper = 0;
  std::size_t added = 0;
  std::size_t removed = 0;
  std::optional<std::int64_t>
      median_dearer;  ///< Percent change at the median of the dearer ones, in ten-thousandths of a
  std::optional<std::int64_t> median_cheaper;  ///< percent; between the middle two where their number is even, half up.
  const CellChange* most_dearer = nullptr;     ///< The greatest rise of amount, the first of equals.
  const CellChange* most_cheaper = nullptr;

  static CellCounts Of(std::vector<PriceComparison>&&) = delete;  // the counts point into the prices
  static CellCounts Of(const std::vector<PriceComparison>& prices) {
    CellCounts counts;
    std::vector<std::int64_t> up;
    std::vector<std::int64_t> down;
    for (const PriceComparison& price : prices) {
      for (const CellChange& cell : price.cells) {
        if (!cell.before) {
          ++counts.added;
        } else if (!cell.after) {
          ++counts.removed;
        } else {
          const bool dearer = *cell.after > *cell.before;
          ++(dearer ? counts.dearer : counts.cheaper);
          if (const std::optional<std::int64_t> percent = cell.percent()) (dearer ? up : down).push_back(*percent);
          const CellChange*& most = dearer ? counts.most_dearer : counts.most_cheaper;
          if (most == nullptr || (dearer ? cell.rise() > most->rise() : cell.rise() < most->rise())) most = &cell;
        }
      }
      counts.common += price.cells_common;
    }
    counts.median_dearer = Median(up);
    counts.median_cheaper = Median(down);
    return counts;
  }

 private:
  static std::optional<std::int64_t> Median(std::vector<std::int64_t>& values) {
    if (values.empty()) return std::nullopt;
    const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
    std::nth_element(values.begin(), middle, values.end());
    if (values.size() % 2 != 0) return *middle;
    return Narrow(DivideRounded(Int128(*middle) + *std::max_element(values.begin(), middle), 2, 1, RoundMode::kHalfUp));
  }
};

}  // namespace tarewise::inline TW_VERSIONED

#endif  // TAREWISE_COMPARE_COMPARISON_H_
