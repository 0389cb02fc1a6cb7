#ifndef TAREWISE_COMPARE_INTERNAL_WORDS_H_
#define TAREWISE_COMPARE_INTERNAL_WORDS_H_

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <initializer_list>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "tarewise/rules/price.h"
#include "tarewise/rules/test.h"
#include "tarewise/rules/words.h"
#include "tarewise/tariff/tariff.h"
#include "tarewise/units/internal/quantity_text.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// Words of a tariff for people. Those of its tests and prices stand with their kinds, in `rules/`.

template <typename Q>
std::string ShortestIn(Q quantity, std::initializer_list<std::string_view> units) {
  std::string best;
  for (const std::string_view unit : units) {
    std::string text = quantity.In(unit);
    if (best.empty() || text.size() < best.size()) best = std::move(text);
  }
  return best;
}
/// In the unit that gives the shortest text: "1 lb", not "453.59237 g".
inline std::string WeightWords(Weight weight) { return ShortestIn(weight, {"lb", "oz", "kg", "g"}); }
inline std::string LengthWords(Length length) { return ShortestIn(length, {"in", "cm", "mm", "m", "mi", "km"}); }
inline std::string LengthWords(std::int64_t nm) { return LengthWords(Length::Nanometres(nm)); }

inline std::string StepWords(StepRounding rounding, bool weight) {
  if (rounding.mode == StepMode::kExact) return "exact";
  constexpr std::string_view kModes[] = {"exact", "up to ", "down to ", "to the nearest "};
  return std::string(kModes[static_cast<int>(rounding.mode)]) +
         (weight ? WeightWords(Weight::Nanograms(rounding.step)) : LengthWords(rounding.step));
}

inline std::string DaysWords(const std::optional<Days>& days) {
  if (!days) return "not published";
  if (days->least == days->most) return std::to_string(days->most);
  return std::to_string(days->least) + " to " + std::to_string(days->most);
}

inline std::string CalendarWords(const std::optional<Calendar>& calendar) {
  if (!calendar) return "none";
  return "works " + WeekdayWords(calendar->working, ", ") + "; delivers " + WeekdayWords(calendar->delivering, ", ") +
         (calendar->cut_off ? "; cut-off " + calendar->cut_off->ToString() : "") +
         (calendar->holidays.empty() ? "" : "; holidays: " + std::to_string(calendar->holidays.size()));
}

/// Weight, length, volume or money of a step or a bound: "1 lb", "100.00".
inline std::string StepText(Measure measure, MeasureValue value) {
  switch (QuantityOf(measure)) {
    case Quantity::kWeight:
      return WeightWords(Weight::Nanograms(static_cast<std::int64_t>(value)));
    case Quantity::kLength:
      return LengthWords(static_cast<std::int64_t>(value));
    case Quantity::kVolume:
    case Quantity::kMoney:
    case Quantity::kCount:
      break;
  }
  return MeasureText(measure, value, "");
}

/// Strips "-2026-07-12" off a code; empty where it does not end in a date that exists.
inline std::string_view StemOfDated(std::string_view code) {
  constexpr std::size_t kDate = 10;
  if (code.size() < kDate + 2 || code[code.size() - kDate - 1] != '-') return {};
  if (!Date::Parse(code.substr(code.size() - kDate)).ok()) return {};
  return code.substr(0, code.size() - kDate - 1);
}

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_COMPARE_INTERNAL_WORDS_H_
