#ifndef TAREWISE_PRICING_INTERNAL_CHECK_SERIES_H_
#define TAREWISE_PRICING_INTERNAL_CHECK_SERIES_H_

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>

#include "absl/status/status.h"
#include "tarewise/rules/price.h"
#include "tarewise/tariff/series.h"
#include "tarewise/tariff/tariff.h"
#include "tarewise/units/internal/place_of_error.h"
#include "tarewise/units/internal/quantity_text.h"
#include "tarewise/units/money.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

// What a program that makes a tariff by itself may have got wrong of its series, and documents may not.

inline absl::Status CheckOneSeries(const std::string& carrier, const Series& series) {
  auto wrong = [&](const std::string& what) {
    return Invalid(carrier + ": the series " + Quoted(series.code) + ": " + what);
  };
  if (series.values.size() != series.rows.size() * series.columns.size()) {
    return wrong("found " + std::to_string(series.values.size()) + " values, expected one for each row and column");
  }
  if (series.good_for && (*series.good_for < 1 || *series.good_for > Series::kMostGoodFor)) {
    return wrong("found " + std::to_string(*series.good_for) + " days, expected it to be good for 1 to 3660");
  }
  for (std::size_t row = 1; row < series.rows.size(); ++row) {
    const Series::Row& before = series.rows[row - 1];
    if (series.rows[row].from <= before.until.value_or(before.from)) {
      return wrong("found a row from " + series.rows[row].from.ToString() + ", expected it after the one before");
    }
  }
  for (const std::int64_t value : series.values) {
    if (value < Series::kNoValue || value > kMostMicros) {
      return wrong("found a value outside 0 to 1000 million, expected one within");
    }
  }
  return absl::OkStatus();
}

inline absl::Status CheckValueByDate(const Tariff& tariff, const ValueByDate& by) {
  if (by.series >= tariff.series.size() || by.column >= tariff.series[by.series].columns.size()) {
    return Invalid(tariff.carrier + ": found a price by date of no series or no column, expected one of the tariff");
  }
  for (std::size_t i = 0; i < by.steps.size(); ++i) {
    const ValueByDate::Step& step = by.steps[i];
    if (step.value < 0 || step.value > kMostMicros || (i > 0 && step.from <= by.steps[i - 1].from)) {
      return Invalid(tariff.carrier +
                     ": found steps of an index that do not rise, or a value outside 0 to 1000 million");
    }
  }
  return absl::OkStatus();
}

// A percentage has at most four decimals.
inline bool IsOfPercents(const Tariff& tariff, const ValueByDate& by) {
  auto fine = [](std::int64_t micros) { return micros == Series::kNoValue || micros % 100 == 0; };
  bool all = true;
  for (const ValueByDate::Step& step : by.steps) all = all && fine(step.value);
  const Series& series = tariff.series[by.series];
  for (std::size_t row = 0; by.steps.empty() && row < series.rows.size(); ++row) {
    all = all && fine(series.value(row, by.column));
  }
  return all;
}

inline absl::Status CheckPriceByDate(const Tariff& tariff, const Price& price) {
  const std::optional<std::uint32_t> by_date = ByDateOf(price);
  if (!by_date) return absl::OkStatus();
  if (*by_date >= tariff.by_date.size()) {
    return Invalid(tariff.carrier + ": found a price by date that the tariff does not have");
  }
  if (PartOfLines(price) != nullptr && !IsOfPercents(tariff, tariff.by_date[*by_date])) {
    return Invalid(tariff.carrier + ": found a percentage by date of more than 4 decimals, expected at most 4");
  }
  return absl::OkStatus();
}

inline absl::Status CheckSeries(const Tariff& tariff) {
  for (const Series& series : tariff.series) {
    if (absl::Status status = CheckOneSeries(tariff.carrier, series); !status.ok()) return status;
  }
  for (const ValueByDate& by : tariff.by_date) {
    if (absl::Status status = CheckValueByDate(tariff, by); !status.ok()) return status;
  }
  for (const ChargeRule& rule : tariff.rules) {
    if (absl::Status status = CheckPriceByDate(tariff, rule.price); !status.ok()) return status;
  }
  for (const Service& service : tariff.services) {
    for (const PriceAlternative& alternative : service.prices) {
      if (absl::Status status = CheckPriceByDate(tariff, alternative.price); !status.ok()) return status;
    }
    if (!service.cover_by_weight) continue;
    if (absl::Status status = CheckPriceByDate(tariff, service.cover_by_weight->price); !status.ok()) return status;
  }
  return absl::OkStatus();
}

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_PRICING_INTERNAL_CHECK_SERIES_H_
