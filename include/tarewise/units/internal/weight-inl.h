#ifndef TAREWISE_UNITS_INTERNAL_WEIGHT_INL_H_
#define TAREWISE_UNITS_INTERNAL_WEIGHT_INL_H_

#include <cstdint>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "absl/status/statusor.h"
#include "tarewise/units/internal/quantity_text.h"
#include "tarewise/units/weight.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

TW_INLINE std::span<const internal::UnitName> Weight::Units() {
  static constexpr internal::UnitName kUnits[] = {{"lb", 453'592'370'000},
                                                  {"oz", 28'349'523'125},
                                                  {"kg", 1'000'000'000'000},
                                                  {"g", 1'000'000'000},
                                                  {"mg", 1'000'000}};
  return kUnits;
}

TW_INLINE absl::StatusOr<Weight> Weight::Parse(std::string_view text) {
  absl::StatusOr<internal::ParsedQuantity> parsed =
      internal::ParseQuantity(text, Units(), 9'000'000'000'000'000'000, kExpected);
  if (!parsed.ok()) return parsed.status();
  return Weight(static_cast<std::int64_t>(parsed->value));
}

TW_INLINE UnitSystem Weight::SystemOf(std::string_view text) {
  const std::string_view unit = internal::FirstUnit(Units(), text);
  return unit == "lb" || unit == "oz" ? UnitSystem::kImperial : UnitSystem::kMetric;
}

TW_INLINE std::string Weight::In(std::string_view unit) const {
  const internal::UnitName* found = internal::FindUnit(Units(), unit);
  if (found == nullptr) found = internal::FindUnit(Units(), "g");
  return internal::ShortestDecimal(ng_, found->size) + " " + std::string(found->name);
}

TW_INLINE std::string Weight::ToString(UnitSystem system) const {
  if (system == UnitSystem::kMetric) return In(ng_ >= Kilograms(1).ng_ || ng_ <= -Kilograms(1).ng_ ? "kg" : "g");
  const std::int64_t pound = Pounds(1).ng_;
  if (ng_ != 0 && ng_ % pound == 0) return In("lb");
  if (ng_ < 5 * pound) return In("oz");
  return Weight(ng_ / pound * pound).In("lb") + " " + Weight(ng_ % pound).In("oz");
}

TW_INLINE bool Weight::IsUnit(std::string_view unit) { return internal::FindUnit(Units(), unit) != nullptr; }

TW_INLINE std::vector<std::string_view> Weight::UnitNames() {
  std::vector<std::string_view> names;
  for (const internal::UnitName& unit : Units()) names.push_back(unit.name);
  return names;
}

}  // namespace tarewise::inline TW_VERSIONED

#endif  // TAREWISE_UNITS_INTERNAL_WEIGHT_INL_H_
