#ifndef TAREWISE_RANKING_INTERNAL_CARTON_HEIGHT_H_
#define TAREWISE_RANKING_INTERNAL_CARTON_HEIGHT_H_

#include <algorithm>
#include <cstdint>
#include <span>
#include <utility>
#include <vector>

#include "tarewise/packing/arrange.h"

namespace tarewise::internal {

/// How much of a room's height an arrangement takes, what is kept free at the top with it, in nm.
inline std::int64_t HeightOf(std::span<const PackUnit> units, const Room& room, const Arrangement& arranged) {
  std::int64_t height = 0;
  for (const Placement& one : arranged.placements) {
    const std::int64_t free = units[one.unit].padded ? std::max(room.padding, room.wall_padding) : room.wall_padding;
    height = std::max(height, one.at[2] + one.sides[2] + free);
  }
  return height;
}

/// Puts another arrangement in the place of one that fits, as low as can be, and gives its height. Each try costs one
/// `Arrange`: as many of them as arrangements get lower, and a last one that shows that none is.
inline std::int64_t LowerAsFarAsItGoes(std::span<const PackUnit> units, Room room, ArrangeBudget budget,
                                       Arrangement& arranged) {
  std::int64_t height = HeightOf(units, room, arranged);
  std::int64_t fails = 0;
  while (height - fails > 1) {
    // Just below first, since what was found is often the lowest; then by halves, since it may be far from it.
    for (const bool halves : {false, true}) {
      room.sides[2] = halves ? fails + (height - fails) / 2 : height - 1;
      Arrangement lower = Arrange(units, room, budget);
      if (lower.fit == Fit::kFits) {
        height = HeightOf(units, room, lower);
        arranged = std::move(lower);
      } else if (!halves) {
        return height;
      } else {
        fails = room.sides[2];
      }
      if (height - fails <= 1) break;
    }
  }
  return height;
}

}  // namespace tarewise::internal

#endif  // TAREWISE_RANKING_INTERNAL_CARTON_HEIGHT_H_
