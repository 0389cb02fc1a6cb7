#ifndef TAREWISE_COMPARE_INTERNAL_PRICES_H_
#define TAREWISE_COMPARE_INTERNAL_PRICES_H_

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <map>
#include <optional>
#include <set>
#include <string>
#include <string_view>
#include <utility>
#include <variant>
#include <vector>

#include "tarewise/compare/comparison.h"
#include "tarewise/compare/internal/words.h"
#include "tarewise/rules/by_date.h"
#include "tarewise/tariff/series.h"
#include "tarewise/tariff/tariff.h"
#include "tarewise/units/internal/quantity_text.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// A zone on both sides, by name; nothing where a side has none of that name.
struct ZonePair {
  std::string name;
  std::optional<ZoneId> before;
  std::optional<ZoneId> after;
};

/// The zones that services can give on either side, in the order of the tariff before, then after.
inline std::vector<ZonePair> PairZones(const Tariff& before, const std::set<ZoneId>& reach_before, const Tariff& after,
                                       const std::set<ZoneId>& reach_after) {
  auto id_of = [](const Tariff& tariff, std::string_view name) -> std::optional<ZoneId> {
    for (std::size_t i = 0; i < tariff.zone_names.size(); ++i) {
      if (tariff.zone_names[i] == name) return static_cast<ZoneId>(i);
    }
    return std::nullopt;
  };
  std::vector<ZonePair> pairs;
  for (const ZoneId zone : reach_before) {
    if (zone >= before.zone_names.size()) continue;
    const std::string& name = before.zone_names[zone];
    pairs.push_back({name, zone, id_of(after, name)});
  }
  for (const ZoneId zone : reach_after) {
    if (zone >= after.zone_names.size()) continue;
    const std::string& name = after.zone_names[zone];
    bool known = false;
    for (const ZonePair& pair : pairs) known = known || pair.name == name;
    if (!known) pairs.push_back({name, id_of(before, name), zone});
  }
  return pairs;
}

/// What prices of one side take their values by date from.
struct DatedSide {
  const Tariff& tariff;
  std::optional<Date> date;  ///< Nothing: whatever the date.
};

/// Compares two prices cell by cell: rows by their bounds whatever the units, columns by zone.
class PriceComparer {
 public:
  PriceComparer(const std::vector<ZonePair>& zones, const DatedSide& before, const DatedSide& after,
                PriceComparison& out)
      : zones_(zones), before_(before), after_(after), out_(out) {}

  /// Either side may be nothing.
  void Run(const Price* before, const Price* after) {
    if (before == nullptr || after == nullptr || !Alike(*before, *after)) {
      if (before != nullptr && after != nullptr) {
        out_.differences.push_back({"price", PriceWords(*before), PriceWords(*after)});
      }
      if (before != nullptr) One(before, nullptr);
      if (after != nullptr) One(nullptr, after);
      return;
    }
    One(before, after);
  }

 private:
  static bool Alike(const Price& a, const Price& b) {
    if (a.index() != b.index()) return false;
    return Visit([&b]<typename P>(const P& one) { return Alike(one, *std::get_if<P>(&b)); }, a);
  }
  static bool Alike(const FlatPrice&, const FlatPrice&) { return true; }
  static bool Alike(const ZonePrice&, const ZonePrice&) { return true; }
  static bool Alike(const StepPrice&, const StepPrice&) { return true; }
  static bool Alike(const PercentPrice&, const PercentPrice&) { return true; }
  static bool Alike(const DatedPrice&, const DatedPrice&) { return true; }
  static bool Alike(const TablePrice& a, const TablePrice& b) { return QuantityOf(a.by) == QuantityOf(b.by); }
  static bool Alike(const RatePrice& a, const RatePrice& b) { return QuantityOf(a.by) == QuantityOf(b.by); }
  static bool Alike(const ClassPrice& a, const ClassPrice& b) {
    return std::equal(a.by.begin(), a.by.end(), b.by.begin(), b.by.end(),
                      [](const ClassPrice::Axis& x, const ClassPrice::Axis& y) {
                        return QuantityOf(x.measure) == QuantityOf(y.measure);
                      });
  }

  template <typename P>
  static const P* As(const Price* price) {
    return price == nullptr ? nullptr : std::get_if<P>(price);
  }

  void One(const Price* a, const Price* b) {
    Visit([&]<typename P>(const P&) { Cells(As<P>(a), As<P>(b)); }, a != nullptr ? *a : *b);
  }

  // One for each kind of price. Either side may be nothing.
  void Cells(const FlatPrice* a, const FlatPrice* b) {
    Cell("", "", a != nullptr ? a->amount.micros() : kNotOffered, b != nullptr ? b->amount.micros() : kNotOffered);
  }

  void Cell(std::string_view row, std::string_view column, std::int64_t before, std::int64_t after) {
    if (before != kNotOffered && after != kNotOffered) ++out_.cells_common;
    if (before == after) return;
    CellChange& cell = out_.cells.emplace_back();
    cell.row = row;
    cell.column = column;
    if (before != kNotOffered) cell.before = Amount::Micros(before);
    if (after != kNotOffered) cell.after = Amount::Micros(after);
  }

  void Cells(const ZonePrice* a, const ZonePrice* b) {
    auto amount = [](const ZonePrice* price, std::optional<ZoneId> zone) {
      return price != nullptr && zone && *zone < price->by_zone.size() ? price->by_zone[*zone] : kNotOffered;
    };
    for (const ZonePair& zone : zones_) Cell("", zone.name, amount(a, zone.before), amount(b, zone.after));
  }

  // A column of a table on both sides.
  struct ColumnPair {
    std::string name;
    std::optional<std::size_t> before;
    std::optional<std::size_t> after;
  };

  static bool HasStar(const PriceGrid* table) {
    if (table == nullptr) return false;
    for (const std::string& column : table->columns) {
      if (column == "*") return true;
    }
    return false;
  }

  // Whether a column, not "*", is for several zones.
  static bool HasShared(const PriceGrid& table) {
    std::vector<bool> taken(table.columns.size(), false);
    for (const std::uint16_t column : table.column_of_zone) {
      if (column == PriceGrid::kNoColumn || table.columns[column] == "*") continue;
      if (taken[column]) return true;
      taken[column] = true;
    }
    return false;
  }

  std::vector<ColumnPair> Columns(const PriceGrid* a, const PriceGrid* b) const {
    std::vector<ColumnPair> pairs;
    // "*" against zones by name, and "1 & 2" against "1": zone by zone. Else column by column.
    if (a != nullptr && b != nullptr &&
        (HasStar(a) != HasStar(b) || (a->columns != b->columns && (HasShared(*a) || HasShared(*b))))) {
      auto column = [](const PriceGrid& table, std::optional<ZoneId> zone) -> std::optional<std::size_t> {
        const std::uint16_t at = zone ? table.ColumnOf(*zone) : PriceGrid::kNoColumn;
        return at == PriceGrid::kNoColumn ? std::nullopt : std::optional<std::size_t>(at);
      };
      for (const ZonePair& zone : zones_) pairs.push_back({zone.name, column(*a, zone.before), column(*b, zone.after)});
      return pairs;
    }
    auto index = [](const PriceGrid* table, const std::string& name) -> std::optional<std::size_t> {
      for (std::size_t i = 0; table != nullptr && i < table->columns.size(); ++i) {
        if (table->columns[i] == name) return i;
      }
      return std::nullopt;
    };
    for (std::size_t i = 0; a != nullptr && i < a->columns.size(); ++i) {
      pairs.push_back({a->columns[i], i, index(b, a->columns[i])});
    }
    for (std::size_t i = 0; b != nullptr && i < b->columns.size(); ++i) {
      if (!index(a, b->columns[i])) pairs.push_back({b->columns[i], std::nullopt, i});
    }
    return pairs;
  }

  // Rows by their bounds.
  void Rows(const BoundGrid* a, const BoundGrid* b, const std::vector<ColumnPair>& columns) {
    if (a != nullptr && b != nullptr && a->by != b->by) {
      out_.differences.push_back({"measured by", MeasureWords(a->by), MeasureWords(b->by)});
    }
    const std::size_t rows_a = a == nullptr ? 0 : a->rows();
    const std::size_t rows_b = b == nullptr ? 0 : b->rows();
    std::size_t i = 0;
    std::size_t j = 0;
    while (i < rows_a || j < rows_b) {
      const bool from_a = i < rows_a && (j >= rows_b || a->bounds[i] <= b->bounds[j]);
      const bool from_b = j < rows_b && (i >= rows_a || b->bounds[j] <= a->bounds[i]);
      const std::string text = from_b ? b->RowText(j) : a->RowText(i);
      for (const ColumnPair& column : columns) {
        Cell(text, column.name, from_a && column.before ? a->cell(i, *column.before) : kNotOffered,
             from_b && column.after ? b->cell(j, *column.after) : kNotOffered);
      }
      i += from_a ? 1 : 0;
      j += from_b ? 1 : 0;
    }
  }

  void Cells(const TablePrice* a, const TablePrice* b) {
    const std::vector<ColumnPair> columns = Columns(a, b);
    Rows(a, b, columns);
    Beyond(a, b, columns);
  }

  void Cells(const RatePrice* a, const RatePrice* b) {
    const std::vector<ColumnPair> columns = Columns(a, b);
    Rows(a, b, columns);
    if (a != nullptr && b != nullptr) {
      if (a->rate != b->rate) out_.differences.push_back({"for each", a->rate_text, b->rate_text});
      auto deficit = [](const RatePrice& rates) { return rates.deficit ? "taken where it is lower" : "not taken"; };
      if (a->deficit != b->deficit) {
        out_.differences.push_back({"a heavier row's price", deficit(*a), deficit(*b)});
      }
    }
    auto least = [](const RatePrice* rates, std::optional<std::size_t> column) {
      return rates == nullptr || rates->least.empty() || !column ? kNotOffered : rates->least[*column];
    };
    for (const ColumnPair& column : columns)
      Cell("least", column.name, least(a, column.before), least(b, column.after));
  }

  // Rows by all of their bounds, in the order before, then those added. Of two rows that both hold the first counts, so
  // their order does too.
  void Cells(const ClassPrice* a, const ClassPrice* b) {
    auto measures = [](const ClassPrice& classes) {
      std::vector<std::string> words;
      for (const ClassPrice::Axis& axis : classes.by) words.push_back(MeasureWords(axis.measure));
      return JoinWords(words, " and ");
    };
    if (a != nullptr && b != nullptr && measures(*a) != measures(*b)) {
      out_.differences.push_back({"measured by", measures(*a), measures(*b)});
    }
    auto bounds = [](const ClassPrice& classes, std::size_t row) {
      const auto first = classes.bounds.begin() + static_cast<std::ptrdiff_t>(row * classes.by.size());
      return std::vector<MeasureValue>(first, first + static_cast<std::ptrdiff_t>(classes.by.size()));
    };
    std::map<std::vector<MeasureValue>, std::size_t> after;
    for (std::size_t j = 0; b != nullptr && j < b->rows(); ++j) after.emplace(bounds(*b, j), j);
    const std::vector<ColumnPair> columns = Columns(a, b);
    auto row = [&](const std::string& text, std::optional<std::size_t> i, std::optional<std::size_t> j) {
      for (const ColumnPair& column : columns) {
        Cell(text, column.name, i && column.before ? a->cell(*i, *column.before) : kNotOffered,
             j && column.after ? b->cell(*j, *column.after) : kNotOffered);
      }
    };
    std::optional<std::size_t> last;
    bool order = false;
    for (std::size_t i = 0; a != nullptr && i < a->rows(); ++i) {
      std::optional<std::size_t> j;
      if (const auto at = after.find(bounds(*a, i)); at != after.end()) {
        j = at->second;
        after.erase(at);
        order = order || (last && *j < *last);
        last = j;
      }
      row(j ? b->RowText(*j) : a->RowText(i), i, j);
    }
    for (std::size_t j = 0; b != nullptr && j < b->rows(); ++j) {
      const auto at = after.find(bounds(*b, j));
      if (at != after.end() && at->second == j) row(b->RowText(j), std::nullopt, j);
    }
    if (order) out_.differences.push_back({"order of the rows", "as listed before", "another"});
  }

  void Beyond(const TablePrice* a, const TablePrice* b, const std::vector<ColumnPair>& columns) {
    const TablePrice::Beyond* old_beyond = a != nullptr && a->beyond ? &*a->beyond : nullptr;
    const TablePrice::Beyond* new_beyond = b != nullptr && b->beyond ? &*b->beyond : nullptr;
    if (old_beyond == nullptr && new_beyond == nullptr) return;
    const std::string old_step = old_beyond == nullptr ? "" : StepText(a->by, old_beyond->step);
    const std::string new_step = new_beyond == nullptr ? "" : StepText(b->by, new_beyond->step);
    if (a != nullptr && b != nullptr && old_step != new_step) {
      out_.differences.push_back({"past the last row, for each", old_step, new_step});
    }
    const std::string row = "each " + (new_step.empty() ? old_step : new_step) + " beyond";
    for (const ColumnPair& column : columns) {
      Cell(row, column.name, old_beyond != nullptr && column.before ? old_beyond->add[*column.before] : kNotOffered,
           new_beyond != nullptr && column.after ? new_beyond->add[*column.after] : kNotOffered);
    }
  }

  void Cells(const StepPrice* a, const StepPrice* b) {
    if (a != nullptr && b != nullptr) {
      if (a->measure != b->measure) {
        out_.differences.push_back({"measured by", MeasureWords(a->measure), MeasureWords(b->measure)});
      }
      if (a->step != b->step) out_.differences.push_back({"for each", a->step_text, b->step_text});
    }
    const std::string step = (b != nullptr ? b : a)->step_text;
    Cell("first " + step, "", a != nullptr ? a->first.micros() : kNotOffered,
         b != nullptr ? b->first.micros() : kNotOffered);
    Cell("each further " + step, "", a != nullptr ? a->each.micros() : kNotOffered,
         b != nullptr ? b->each.micros() : kNotOffered);
  }

  // By days the amounts, else where they come from.
  void Cells(const DatedPrice* a, const DatedPrice* b) {
    if (before_.date && after_.date) {
      Cell("", "", a != nullptr ? ValueOf(before_, a->by_date).micros : kNotOffered,
           b != nullptr ? ValueOf(after_, b->by_date).micros : kNotOffered);
      return;
    }
    const std::string from_a = a == nullptr ? "" : SeriesSaid(before_, a->by_date);
    const std::string from_b = b == nullptr ? "" : SeriesSaid(after_, b->by_date);
    if (from_a != from_b) out_.differences.push_back({"amount", from_a, from_b});
    if (a != nullptr && b != nullptr) StepsDiffer(&a->by_date, &b->by_date);
  }

  static DatedValue ValueOf(const DatedSide& side, std::uint32_t by_date) {
    const ValueByDate& by = side.tariff.by_date[by_date];
    return DatedValue::On(side.tariff.series[by.series], by, *side.date);
  }
  static std::string SeriesSaid(const DatedSide& side, std::uint32_t by_date) {
    const ValueByDate& by = side.tariff.by_date[by_date];
    const Series& series = side.tariff.series[by.series];
    return "by date (series " + series.code + ", " + series.columns[by.column] +
           (by.steps.empty() ? ""
            : by.over        ? ", by steps over"
                             : ", by steps from") +
           ")";
  }
  std::string PercentSaid(const DatedSide& side, const PercentPrice* price) const {
    if (price == nullptr) return "";
    if (!price->by_date) return price->percent.ToString();
    if (!before_.date || !after_.date) return SeriesSaid(side, *price->by_date);
    const DatedValue value = ValueOf(side, *price->by_date);
    return value.known() ? PercentOf(value.micros).ToString() : "no value";
  }
  // Of an index, step by step.
  void StepsDiffer(const std::uint32_t* a, const std::uint32_t* b) {
    std::map<std::int64_t, std::pair<std::string, std::string>> steps;
    for (const ValueByDate::Step& step : before_.tariff.by_date[*a].steps) {
      steps[step.from].first = ShortestDecimal(step.value, 1'000'000);
    }
    for (const ValueByDate::Step& step : after_.tariff.by_date[*b].steps) {
      steps[step.from].second = ShortestDecimal(step.value, 1'000'000);
    }
    for (const auto& [from, values] : steps) {
      if (values.first == values.second) continue;
      out_.differences.push_back({"step " + ShortestDecimal(from, 1'000'000), values.first, values.second});
    }
  }

  void Cells(const PercentPrice* a, const PercentPrice* b) {
    const std::string percent_a = PercentSaid(before_, a);
    const std::string percent_b = PercentSaid(after_, b);
    if (percent_a != percent_b) out_.differences.push_back({"percent", percent_a, percent_b});
    if (a != nullptr && b != nullptr && a->by_date && b->by_date && !before_.date) {
      StepsDiffer(&*a->by_date, &*b->by_date);
    }
    if (a == nullptr || b == nullptr) return;
    const std::vector<std::string> of_a = Named(*a);
    const std::vector<std::string> of_b = Named(*b);
    if (a->of_all || b->of_all) {
      if (of_a != of_b) out_.differences.push_back({"percentage of", JoinWords(of_a, ", "), JoinWords(of_b, ", ")});
      return;
    }
    for (const std::string& code : of_a) {
      if (std::find(of_b.begin(), of_b.end(), code) == of_b.end()) {
        out_.differences.push_back({"percentage of", code, ""});
      }
    }
    for (const std::string& code : of_b) {
      if (std::find(of_a.begin(), of_a.end(), code) == of_a.end()) {
        out_.differences.push_back({"percentage of", "", code});
      }
    }
  }

  // What a percentage is of, in words.
  static std::vector<std::string> Named(const PercentPrice& price) {
    if (price.of_all) return {price.of_extras ? "all charges above, extras too" : "all charges above"};
    std::vector<std::string> out = price.of;
    if (price.of_extras) out.emplace_back("all extras");
    return out;
  }

  const std::vector<ZonePair>& zones_;
  const DatedSide& before_;
  const DatedSide& after_;
  PriceComparison& out_;
};

/// Which entry after goes with which before. First those of equal keys, each key of the list in turn, in order; then by
/// `alike`; the rest are alone.
struct Matching {
  std::vector<std::pair<std::optional<std::size_t>, std::optional<std::size_t>>>
      pairs;  ///< Before's order, then added.

  template <typename A, typename B, typename KeyA, typename KeyB>
  void ByKey(const std::vector<A>& before, const std::vector<B>& after, KeyA key_a, KeyB key_b) {
    for (std::size_t i = 0; i < before.size(); ++i) {
      if (match_of_[i]) continue;
      for (std::size_t j = 0; j < after.size(); ++j) {
        if (taken_[j] || !(key_a(before[i]) == key_b(after[j]))) continue;
        match_of_[i] = j;
        taken_[j] = true;
        break;
      }
    }
  }

  Matching(std::size_t before, std::size_t after) : match_of_(before), taken_(after, false) {}

  void Finish() {
    for (std::size_t i = 0; i < match_of_.size(); ++i) pairs.emplace_back(i, match_of_[i]);
    for (std::size_t j = 0; j < taken_.size(); ++j) {
      if (!taken_[j]) pairs.emplace_back(std::nullopt, j);
    }
  }

 private:
  std::vector<std::optional<std::size_t>> match_of_;
  std::vector<bool> taken_;
};

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_COMPARE_INTERNAL_PRICES_H_
