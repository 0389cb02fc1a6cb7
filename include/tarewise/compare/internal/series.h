#ifndef TAREWISE_COMPARE_INTERNAL_SERIES_H_
#define TAREWISE_COMPARE_INTERNAL_SERIES_H_

#include <cstddef>
#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "tarewise/compare/comparison.h"
#include "tarewise/tariff/series.h"
#include "tarewise/tariff/tariff.h"
#include "tarewise/units/date.h"
#include "tarewise/units/money.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// Compares the series of two tariffs, value by value: by code, the first day of a row, and column.
class SeriesComparer {
 public:
  SeriesComparer(const Tariff& before, const Tariff& after, TariffComparison& out) : a_(before), b_(after), out_(out) {}

  void Run() {
    for (const Series& series : a_.series) One(&series, ByCode(b_, series.code));
    for (const Series& series : b_.series) {
      if (ByCode(a_, series.code) == nullptr) One(nullptr, &series);
    }
  }

 private:
  static const Series* ByCode(const Tariff& tariff, std::string_view code) {
    for (const Series& series : tariff.series) {
      if (series.code == code) return &series;
    }
    return nullptr;
  }

  void One(const Series* a, const Series* b) {
    const std::vector<std::string> columns = Columns(a, b);
    // Rows of both sides by their dates.
    std::map<Date, std::pair<std::optional<std::size_t>, std::optional<std::size_t>>> rows;
    for (std::size_t i = 0; a != nullptr && i < a->rows.size(); ++i) rows[a->rows[i].from].first = i;
    for (std::size_t i = 0; b != nullptr && i < b->rows.size(); ++i) rows[b->rows[i].from].second = i;
    const std::string& code = (b != nullptr ? b : a)->code;
    for (const auto& [from, at] : rows) {
      for (const std::string& column : columns) {
        SeriesChange change{code, column, from, ValueOf(a, at.first, column), ValueOf(b, at.second, column)};
        if (change.before != change.after) out_.series.push_back(std::move(change));
      }
      if (at.first && at.second) {
        Differ(code + " from " + from.ToString() + ", until", UntilSaid(a->rows[*at.first]),
               UntilSaid(b->rows[*at.second]));
      }
    }
    if (a != nullptr && b != nullptr) Differ(code + " good for", GoodSaid(*a), GoodSaid(*b));
  }

  static std::vector<std::string> Columns(const Series* a, const Series* b) {
    std::vector<std::string> out;
    if (a != nullptr) out = a->columns;
    for (std::size_t i = 0; b != nullptr && i < b->columns.size(); ++i) {
      if (a == nullptr || !ColumnOf(*a, b->columns[i])) out.push_back(b->columns[i]);
    }
    return out;
  }
  static std::optional<std::size_t> ColumnOf(const Series& series, std::string_view name) {
    for (std::size_t i = 0; i < series.columns.size(); ++i) {
      if (series.columns[i] == name) return i;
    }
    return std::nullopt;
  }
  static std::optional<Amount> ValueOf(const Series* series, std::optional<std::size_t> row, std::string_view column) {
    if (series == nullptr || !row) return std::nullopt;
    const std::optional<std::size_t> at = ColumnOf(*series, column);
    const std::int64_t value = at ? series->value(*row, *at) : Series::kNoValue;
    return value == Series::kNoValue ? std::nullopt : std::optional<Amount>(Amount::Micros(value));
  }

  static std::string UntilSaid(const Series::Row& row) { return row.until ? row.until->ToString() : "the next"; }
  static std::string GoodSaid(const Series& series) {
    if (!series.good_for) return "without an end";
    return std::to_string(*series.good_for) + (*series.good_for == 1 ? " day" : " days");
  }
  void Differ(std::string what, std::string before, std::string after) {
    if (before != after) out_.series_terms.push_back({std::move(what), std::move(before), std::move(after)});
  }

  const Tariff& a_;
  const Tariff& b_;
  TariffComparison& out_;
};

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_COMPARE_INTERNAL_SERIES_H_
