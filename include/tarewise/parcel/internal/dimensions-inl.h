#ifndef TAREWISE_PARCEL_INTERNAL_DIMENSIONS_INL_H_
#define TAREWISE_PARCEL_INTERNAL_DIMENSIONS_INL_H_

#include <algorithm>
#include <array>
#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

#include "absl/status/statusor.h"
#include "tarewise/parcel/dimensions.h"
#include "tarewise/parcel/internal/split_sides.h"
#include "tarewise/units/internal/quantity_text.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

TW_INLINE absl::StatusOr<std::vector<Length>> ParseSides(std::string_view text, std::size_t count, bool zero_allowed) {
  const std::string expected =
      count == 2 ? "two lengths such as \"9 x 11 in\"" : "three lengths such as \"14 x 9 x 5 in\"";
  const std::vector<std::string> parts = internal::SplitSides(text);
  if (parts.size() != count) return internal::FoundExpected(text, expected);
  std::vector<Length> sides;
  for (const std::string& part : parts) {
    absl::StatusOr<Length> side = Length::Parse(part);
    if (!side.ok()) return internal::FoundExpected(text, expected);
    if ((side->nanometres() < 1 && !zero_allowed) || side->nanometres() > Length::kMostSideNanometres) {
      return internal::FoundExpected(text, "sides of more than 0 and at most 50 m each");
    }
    sides.push_back(*side);
  }
  return sides;
}

TW_INLINE absl::StatusOr<Dimensions> Dimensions::Parse(std::string_view text) {
  absl::StatusOr<std::vector<Length>> sides = ParseSides(text, 3);
  if (!sides.ok()) return sides.status();
  return Dimensions((*sides)[0], (*sides)[1], (*sides)[2]);
}

TW_INLINE std::string SidesText(const std::array<Length, 3>& sides, UnitSystem system) {
  const std::string_view unit = system == UnitSystem::kImperial ? "in" : "cm";
  std::string out;
  for (std::size_t i = 0; i < 3; ++i) {
    std::string side = sides[i].In(unit);
    if (i < 2) {
      side.resize(side.size() - unit.size() - 1);
      side += " x ";
    }
    out += side;
  }
  return out;
}

TW_INLINE std::string Dimensions::ToString(UnitSystem system) const { return SidesText(sides_, system); }

}  // namespace tarewise::inline TW_VERSIONED

#endif  // TAREWISE_PARCEL_INTERNAL_DIMENSIONS_INL_H_
