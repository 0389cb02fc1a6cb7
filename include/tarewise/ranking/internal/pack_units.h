#ifndef TAREWISE_RANKING_INTERNAL_PACK_UNITS_H_
#define TAREWISE_RANKING_INTERNAL_PACK_UNITS_H_

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <functional>
#include <tuple>

#include "tarewise/packing/arrange.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// A soft unit as it is before it is pressed, and every other as it is.
inline PackUnit AtRest(PackUnit unit) {
  if (unit.soft) unit.sides = unit.soft->at_rest;
  return unit;
}

/// Larger ones first. Units that are equal by it are alike in all that packing looks at.
inline bool ComesFirst(const PackUnit& a, const PackUnit& b) {
  const auto key = [](const PackUnit& unit) {
    std::array<std::int64_t, 3> sides = unit.sides;
    std::array<std::int64_t, 3> upright = {};
    for (std::size_t i = 0; i < 3; ++i) upright[i] = unit.MayStand()[i] ? sides[i] : 0;
    std::sort(sides.begin(), sides.end(), std::greater<>());
    std::sort(upright.begin(), upright.end(), std::greater<>());
    return std::tuple(sides, upright, unit.top_free, unit.padded, unit.bears.has_value(), unit.bears.value_or(0),
                      unit.weight);
  };
  return key(a) > key(b);
}

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_RANKING_INTERNAL_PACK_UNITS_H_
