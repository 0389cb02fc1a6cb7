#ifndef TAREWISE_PACKING_INTERNAL_SHRINK_H_
#define TAREWISE_PACKING_INTERNAL_SHRINK_H_

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <span>
#include <utility>

#include "tarewise/packing/arrange.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// How much of a room an arrangement takes along an axis, what is kept free at its end with it, in nm.
inline std::int64_t ExtentOf(std::span<const PackUnit> units, const Room& room, const Arrangement& arranged,
                             std::size_t axis) {
  std::int64_t extent = 0;
  for (const Placement& one : arranged.placements) {
    const std::int64_t free = units[one.unit].padded ? std::max(room.padding, room.wall_padding) : room.wall_padding;
    extent = std::max(extent, one.at[axis] + one.sides[axis] + free);
  }
  return extent;
}

/// Puts another arrangement in the place of one that fits, as short along an axis as can be, and gives its extent.
/// `arrange` tries a room: as often as arrangements get shorter, and a last time that shows that none is.
template <typename F>
std::int64_t ShortenAsFarAsItGoes(std::span<const PackUnit> units, Room room, std::size_t axis, Arrangement& arranged,
                                  F arrange) {
  std::int64_t extent = ExtentOf(units, room, arranged, axis);
  std::int64_t fails = 0;
  while (extent - fails > 1) {
    // Just below first, since what was found is often the shortest; then by halves, since it may be far from it.
    for (const bool halves : {false, true}) {
      room.sides[axis] = halves ? fails + (extent - fails) / 2 : extent - 1;
      Arrangement shorter = arrange(room);
      if (shorter.fit == Fit::kFits) {
        extent = ExtentOf(units, room, shorter, axis);
        arranged = std::move(shorter);
      } else if (!halves) {
        return extent;
      } else {
        fails = room.sides[axis];
      }
      if (extent - fails <= 1) break;
    }
  }
  return extent;
}

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_PACKING_INTERNAL_SHRINK_H_
