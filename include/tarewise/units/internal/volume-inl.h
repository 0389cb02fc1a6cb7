#ifndef TAREWISE_UNITS_INTERNAL_VOLUME_INL_H_
#define TAREWISE_UNITS_INTERNAL_VOLUME_INL_H_

#include <span>
#include <string>
#include <string_view>

#include "absl/status/statusor.h"
#include "tarewise/units/internal/quantity_text.h"
#include "tarewise/units/volume.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

TW_INLINE absl::StatusOr<Volume> Volume::Parse(std::string_view text) {
  absl::StatusOr<internal::ParsedQuantity> parsed = internal::ParseQuantity(text, Units(), Most(), kExpected);
  if (!parsed.ok()) return parsed.status();
  return Volume(parsed->value);
}

TW_INLINE std::string Volume::In(std::string_view unit) const {
  const internal::UnitName* found = internal::FindUnit(Units(), unit);
  if (found == nullptr) found = internal::FindUnit(Units(), "cm3");
  return internal::ShortestDecimal(nm3_, found->size) + " " + std::string(found->name);
}

TW_INLINE std::span<const internal::UnitName> Volume::Units() {
  static const internal::UnitName units[] = {{"m3", Int128(1'000'000'000) * 1'000'000'000 * 1'000'000'000},
                                             {"ft3", Int128(304'800'000) * 304'800'000 * 304'800'000},
                                             {"l", Int128(100'000'000) * 100'000'000 * 100'000'000},
                                             {"in3", Int128(25'400'000) * 25'400'000 * 25'400'000},
                                             {"cm3", Int128(10'000'000) * 10'000'000 * 10'000'000},
                                             {"mm3", Int128(1'000'000) * 1'000'000 * 1'000'000}};
  return units;
}

}  // namespace tarewise::inline TW_VERSIONED

#endif  // TAREWISE_UNITS_INTERNAL_VOLUME_INL_H_
