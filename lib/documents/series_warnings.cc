// What is doubtful in series: gaps, jumps, a late start, percentages as parts of one.
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>

#include "series_reader.h"
#include "tarewise/units/internal/quantity_text.h"
#include "text.h"

namespace tarewise::inline TW_VERSIONED::load {

void SeriesReader::Check() {
  if (fields_.findings().has_errors()) return;
  for (std::size_t i = 0; i < sources_.size(); ++i) {
    const Source& source = sources_[i];
    if (source.file != nullptr && source.file->has_errors()) continue;
    if (source.named) {
      WarnOf(tariff_.series[i], source);
    } else {
      fields_.findings().Warning(
          kUnusedSeries, source.at.key_offset(), source.at,
          "found the series " + Quoted(source.at.key()) + " that no price names, expected one that does");
    }
  }
}

void SeriesReader::WarnOf(const Series& series, const Source& source) {
  WarnOfGap(series, source);
  WarnOfLateStart(series, source);
  for (std::size_t column = 0; column < series.columns.size(); ++column) {
    if (source.used[column]) WarnOfJump(series, source, column);
    if (source.percents_checked[column]) WarnOfSmallPercents(series, source, column);
  }
}

// The first of several, and how many more there are.
void SeriesReader::WarnOfGap(const Series& series, const Source& source) {
  if (!series.good_for) return;
  std::optional<std::size_t> first;
  std::size_t count = 0;
  for (std::size_t row = 1; row < series.rows.size(); ++row) {
    if (series.rows[row].from.days() - series.rows[row - 1].from.days() <= *series.good_for) continue;
    if (!first) first = row;
    ++count;
  }
  if (!first) return;
  Warning(source, kSeriesGap, source.from[*first],
          "found " + Found(source.from[*first]) + ", expected a row from " + series.DueSince(*first - 1)->ToString() +
              " or earlier: the one before it is good for " + std::to_string(*series.good_for) +
              (*series.good_for == 1 ? " day" : " days") +
              (count > 1 ? " (and " + std::to_string(count - 1) + " more)" : ""));
}

void SeriesReader::WarnOfLateStart(const Series& series, const Source& source) {
  const std::optional<Date> start = tariff_.in_force.from;
  if (!start || series.rows.empty() || series.rows.front().from <= *start) return;
  Warning(source, kSeriesLateStart, source.from.front(),
          "found " + Found(source.from.front()) + " as the first row, expected one from " + start->ToString() +
              " or earlier, when the document comes into force");
}

void SeriesReader::WarnOfJump(const Series& series, const Source& source, std::size_t column) {
  std::optional<std::size_t> first;
  std::size_t count = 0;
  std::int64_t last = 0;
  std::int64_t before = 0;
  for (std::size_t row = 0; row < series.rows.size(); ++row) {
    const std::int64_t value = series.value(row, column);
    if (value <= 0) continue;
    if (last > 0 && (value > 2 * last || 2 * value < last)) {
      if (!first) {
        first = row;
        before = last;
      }
      ++count;
    }
    last = value;
  }
  if (!first) return;
  const Cell& cell = source.cells[*first * series.columns.size() + column];
  Warning(source, kSeriesJump, cell,
          "found " + Found(cell) + " in the column " + Quoted(series.columns[column]) + " after " +
              internal::ShortestDecimal(before, 1'000'000) + ", expected no jump to more than twice or less than half" +
              (count > 1 ? " (and " + std::to_string(count - 1) + " more)" : ""));
}

// A sheet shows a cell of 0.115 as 11.5 % and saves it as it is.
void SeriesReader::WarnOfSmallPercents(const Series& series, const Source& source, std::size_t column) {
  std::optional<std::size_t> first;
  for (std::size_t row = 0; row < series.rows.size(); ++row) {
    const std::int64_t value = series.value(row, column);
    if (value <= 0) continue;
    if (value >= 1'000'000 || source.cells[row * series.columns.size() + column].percent) return;
    if (!first) first = row;
  }
  if (!first) return;
  const Cell& cell = source.cells[*first * series.columns.size() + column];
  const std::int64_t value = series.value(*first, column);
  Warning(source, kSmallPercents, cell,
          "found " + Found(cell) + " in the column " + Quoted(series.columns[column]) +
              " whose percentages are all below 1, expected percentages: this is " +
              internal::ShortestDecimal(value, 1'000'000) + " %, perhaps " + internal::ShortestDecimal(value, 10'000) +
              " % is meant");
}

}  // namespace tarewise::inline TW_VERSIONED::load
