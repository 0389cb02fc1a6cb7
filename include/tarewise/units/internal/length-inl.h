#ifndef TAREWISE_UNITS_INTERNAL_LENGTH_INL_H_
#define TAREWISE_UNITS_INTERNAL_LENGTH_INL_H_

#include <cstdint>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "absl/status/statusor.h"
#include "tarewise/units/internal/quantity_text.h"
#include "tarewise/units/length.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

TW_INLINE std::span<const internal::UnitName> Length::Units() {
  static constexpr internal::UnitName kUnits[] = {
      {"mi", 1'609'344'000'000}, {"km", 1'000'000'000'000}, {"m", 1'000'000'000}, {"yd", 914'400'000},
      {"ft", 304'800'000},       {"in", 25'400'000},        {"cm", 10'000'000},   {"mm", 1'000'000}};
  return kUnits;
}

TW_INLINE absl::StatusOr<Length> Length::Parse(std::string_view text) {
  absl::StatusOr<internal::ParsedQuantity> parsed =
      internal::ParseQuantity(text, Units(), 9'000'000'000'000'000'000, kExpected);
  if (!parsed.ok()) return parsed.status();
  return Length(static_cast<std::int64_t>(parsed->value));
}

TW_INLINE UnitSystem Length::SystemOf(std::string_view text) {
  const std::string_view unit = internal::FirstUnit(Units(), text);
  return unit == "in" || unit == "ft" || unit == "yd" || unit == "mi" ? UnitSystem::kImperial : UnitSystem::kMetric;
}

TW_INLINE std::string Length::In(std::string_view unit) const {
  const internal::UnitName* found = internal::FindUnit(Units(), unit);
  if (found == nullptr) found = internal::FindUnit(Units(), "mm");
  return internal::ShortestDecimal(nm_, found->size) + " " + std::string(found->name);
}

TW_INLINE std::string Length::ToString(UnitSystem system) const {
  return In(system == UnitSystem::kImperial ? "in" : "cm");
}

TW_INLINE bool Length::IsUnit(std::string_view unit) { return internal::FindUnit(Units(), unit) != nullptr; }

TW_INLINE std::vector<std::string_view> Length::UnitNames() {
  std::vector<std::string_view> names;
  for (const internal::UnitName& unit : Units()) names.push_back(unit.name);
  return names;
}

}  // namespace tarewise::inline TW_VERSIONED

#endif  // TAREWISE_UNITS_INTERNAL_LENGTH_INL_H_
