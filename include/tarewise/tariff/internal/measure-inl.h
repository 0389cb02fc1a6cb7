#ifndef TAREWISE_TARIFF_INTERNAL_MEASURE_INL_H_
#define TAREWISE_TARIFF_INTERNAL_MEASURE_INL_H_

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "tarewise/tariff/measure.h"
#include "tarewise/units/internal/quantity_text.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

TW_INLINE std::string MeasureText(Measure measure, MeasureValue value, std::string_view unit) {
  switch (QuantityOf(measure)) {
    case Quantity::kWeight:
      return Weight::Nanograms(static_cast<std::int64_t>(value)).In(unit.empty() ? "lb" : unit);
    case Quantity::kLength:
      return Length::Nanometres(static_cast<std::int64_t>(value)).In(unit.empty() ? "in" : unit);
    case Quantity::kVolume:
      return Volume::CubicNanometres((value + kVolumeScale / 2) / kVolumeScale).In(unit.empty() ? "in3" : unit);
    case Quantity::kMoney:
      return Amount::Micros(static_cast<std::int64_t>(value)).ToString();
    case Quantity::kCount:
      return std::to_string(static_cast<std::int64_t>(value));
  }
  return {};
}

TW_INLINE std::string MeasureShown(Measure measure, MeasureValue value, std::string_view unit,
                                   std::optional<MeasureValue> bound) {
  std::string exact = MeasureText(measure, value, unit);
  const std::size_t space = exact.find(' ');
  const std::size_t point = exact.find('.');
  if (space == std::string::npos || point == std::string::npos || space - point - 1 <= 4) return exact;
  std::string_view number(exact);
  number = number.substr(0, space);
  const std::optional<internal::Decimal> decimal = internal::TakeDecimal(number);
  if (!decimal) return exact;
  const std::string shown =
      internal::ShortDecimal(decimal->mantissa, internal::kPowersOfTen[decimal->scale]) + exact.substr(space);
  return bound && *bound != value && shown == MeasureText(measure, *bound, unit) ? exact : shown;
}

TW_INLINE std::string MeasureWords(Measure measure) {
  std::string words(NameOf(measure));
  for (char& c : words) {
    if (c == '_') c = ' ';
  }
  return words;
}

TW_INLINE std::string MeasureIs(Measure measure) {
  return MeasureWords(measure) + (QuantityOf(measure) == Quantity::kCount ? " are" : " is");
}

}  // namespace tarewise::inline TW_VERSIONED

#endif  // TAREWISE_TARIFF_INTERNAL_MEASURE_INL_H_
