#ifndef TAREWISE_PACKING_INTERNAL_CHECK_INL_H_
#define TAREWISE_PACKING_INTERNAL_CHECK_INL_H_

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "absl/strings/str_cat.h"
#include "tarewise/packing/arrange.h"
#include "tarewise/packing/internal/place.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

namespace internal {

// Whether some turning that the unit allows gives these sides along the room's axes.
inline bool MayLie(const PackUnit& unit, const std::array<std::int64_t, 3>& sides) {
  for (std::size_t up = 0; up < 3; ++up) {
    if (!unit.may_stand[up] || (unit.this_side_up && up != 2) || unit.sides[up] != sides[2]) continue;
    const std::int64_t one = unit.sides[(up + 1) % 3];
    const std::int64_t other = unit.sides[(up + 2) % 3];
    if ((one == sides[0] && other == sides[1]) || (one == sides[1] && other == sides[0])) return true;
  }
  return false;
}

inline std::optional<std::string> CheckAlone(const PackUnit& unit, const Room& room, const Placement& placement) {
  if (!MayLie(unit, placement.sides)) {
    return absl::StrCat("unit ", placement.unit, " is turned as it may not be");
  }
  const std::int64_t wall = unit.padded ? std::max(room.padding, room.wall_padding) : room.wall_padding;
  for (std::size_t axis = 0; axis < 3; ++axis) {
    // Before anything is added to it.
    if (!IsPlace(placement.at[axis])) {
      return absl::StrCat("unit ", placement.unit, " is at ", placement.at[axis], " nm along axis ", axis,
                          ", expected a place in the room");
    }
    const std::int64_t end = placement.at[axis] + placement.sides[axis];
    if (placement.at[axis] < wall || end > room.sides[axis] - wall) {
      return absl::StrCat("unit ", placement.unit, " is at ", placement.at[axis], " to ", end, " nm along axis ", axis,
                          ", expected ", wall, " to ", room.sides[axis] - wall, " nm");
    }
  }
  return std::nullopt;
}

// Free length between two units along an axis; negative where they overlap.
inline std::int64_t Between(const Placement& one, const Placement& other, std::size_t axis) {
  return std::max(other.at[axis] - one.at[axis] - one.sides[axis], one.at[axis] - other.at[axis] - other.sides[axis]);
}

inline bool IsOver(const Placement& upper, const Placement& lower) {
  return Between(upper, lower, 0) < 0 && Between(upper, lower, 1) < 0 && upper.at[2] >= lower.at[2] + lower.sides[2];
}

}  // namespace internal

TW_INLINE std::optional<std::string> CheckArrangement(std::span<const PackUnit> units, const Room& room,
                                                      std::span<const Placement> placements) {
  if (placements.size() != units.size()) {
    return absl::StrCat(placements.size(), " placements, expected ", units.size());
  }
  std::vector<bool> seen(units.size());
  std::vector<std::int64_t> load(units.size());
  for (const Placement& one : placements) {
    if (one.unit >= units.size() || seen[one.unit]) {
      return absl::StrCat("unit ", one.unit, " is placed twice, or is none of the units");
    }
    seen[one.unit] = true;
    if (std::optional<std::string> wrong = internal::CheckAlone(units[one.unit], room, one)) return wrong;
  }
  for (std::size_t i = 0; i < placements.size(); ++i) {
    for (std::size_t j = 0; j < i; ++j) {
      const Placement& one = placements[i];
      const Placement& other = placements[j];
      const std::int64_t gap = units[one.unit].padded || units[other.unit].padded ? room.padding : 0;
      const std::int64_t apart = std::max(
          {internal::Between(one, other, 0), internal::Between(one, other, 1), internal::Between(one, other, 2)});
      if (apart < gap) {
        return absl::StrCat("units ", other.unit, " and ", one.unit, " are ", apart, " nm apart, expected at least ",
                            gap);
      }
      if (internal::IsOver(one, other)) load[other.unit] += units[one.unit].weight;
      if (internal::IsOver(other, one)) load[one.unit] += units[other.unit].weight;
      if ((internal::IsOver(one, other) && units[other.unit].top_free) ||
          (internal::IsOver(other, one) && units[one.unit].top_free)) {
        return absl::StrCat("of units ", other.unit, " and ", one.unit,
                            " one is above the other, which takes nothing on top");
      }
    }
  }
  for (std::size_t i = 0; i < units.size(); ++i) {
    if (units[i].bears && load[i] > *units[i].bears) {
      return absl::StrCat("unit ", i, " bears ", load[i], " ng, expected at most ", *units[i].bears);
    }
  }
  return std::nullopt;
}

}  // namespace tarewise::inline TW_VERSIONED

#endif  // TAREWISE_PACKING_INTERNAL_CHECK_INL_H_
