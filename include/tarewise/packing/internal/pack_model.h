#ifndef TAREWISE_PACKING_INTERNAL_PACK_MODEL_H_
#define TAREWISE_PACKING_INTERNAL_PACK_MODEL_H_

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <span>
#include <utility>

#include "absl/container/inlined_vector.h"
#include "absl/numeric/int128.h"
#include "tarewise/packing/arrange.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

using Sides = std::array<std::int64_t, 3>;

inline constexpr std::size_t kFewUnits = 16;  // the most that are searched, and that need no memory of their own

template <typename T>
using FewVector = absl::InlinedVector<T, kFewUnits>;

// A unit made ready: the turnings that go into the room alone, each once, along the room's axes.
struct ReadyUnit {
  std::array<Sides, 6> turned = {};
  std::uint8_t turnings = 0;
  bool padded = false;
  bool top_free = false;
  std::int64_t wall = 0;
  std::int64_t weight = 0;
  std::int64_t bears = std::numeric_limits<std::int64_t>::max();
  std::size_t kind = 0;  // the first unit that is like it in all that the search looks at
  std::int64_t longest = 0, shortest = 0, middle = 0;
};

// Units and room as the stages see them.
struct PackModel {
  FewVector<ReadyUnit> units;
  Room room;
  bool any_padded = false, any_plain = false, any_top_free = false, any_bears = false;
  std::size_t too_large = 0;  // the first unit with no turning, or the number of units

  std::int64_t Gap(std::size_t i, std::size_t j) const { return units[i].padded || units[j].padded ? room.padding : 0; }
  // Where only `weight` can be too much for unit i, by itself.
  bool NeverUnder(std::size_t i, std::size_t above) const {
    return units[i].top_free || units[above].weight > units[i].bears;
  }
};

inline ReadyUnit MakeReady(const PackUnit& unit, const Room& room) {
  ReadyUnit ready;
  ready.padded = unit.padded && room.padding > 0;
  ready.top_free = unit.top_free;
  ready.wall = unit.padded ? std::max(room.padding, room.wall_padding) : room.wall_padding;
  ready.weight = unit.weight;
  if (unit.bears) ready.bears = *unit.bears;
  // By the upright side, shortest first, so that the turnings of units that are alike are in one order however written.
  std::array<std::size_t, 3> by_upright = {0, 1, 2};
  for (const auto& [one, other] : {std::pair(0u, 1u), std::pair(1u, 2u), std::pair(0u, 1u)}) {
    if (unit.sides[by_upright[other]] < unit.sides[by_upright[one]]) std::swap(by_upright[one], by_upright[other]);
  }
  ready.shortest = unit.sides[by_upright[0]];
  ready.middle = unit.sides[by_upright[1]];
  ready.longest = unit.sides[by_upright[2]];
  Sides most;
  for (std::size_t axis = 0; axis < 3; ++axis) most[axis] = room.sides[axis] - 2 * ready.wall;
  const std::array<bool, 3> may_stand = unit.MayStand();
  std::int64_t last = 0;
  for (const std::size_t up : by_upright) {
    if (!may_stand[up] || unit.sides[up] == last) continue;
    last = unit.sides[up];
    if (last > most[2]) continue;
    const std::int64_t one = std::min(unit.sides[(up + 1) % 3], unit.sides[(up + 2) % 3]);
    const std::int64_t other = std::max(unit.sides[(up + 1) % 3], unit.sides[(up + 2) % 3]);
    if (one <= most[0] && other <= most[1]) ready.turned[ready.turnings++] = {one, other, last};
    if (one != other && other <= most[0] && one <= most[1]) ready.turned[ready.turnings++] = {other, one, last};
  }
  return ready;
}

inline bool AreAlike(const ReadyUnit& a, const ReadyUnit& b, bool by_weight) {
  return a.longest == b.longest && a.middle == b.middle && a.shortest == b.shortest && a.turnings == b.turnings &&
         a.padded == b.padded && a.wall == b.wall && a.top_free == b.top_free && a.bears == b.bears &&
         (!by_weight || a.weight == b.weight) && a.turned == b.turned;
}

inline PackModel MakePackModel(std::span<const PackUnit> units, const Room& room) {
  PackModel model;
  model.room = room;
  model.too_large = units.size();
  model.units.reserve(units.size());
  for (std::size_t i = 0; i < units.size(); ++i) {
    model.units.push_back(MakeReady(units[i], room));
    const ReadyUnit& unit = model.units.back();
    (unit.padded ? model.any_padded : model.any_plain) = true;
    model.any_top_free = model.any_top_free || unit.top_free;
    model.any_bears = model.any_bears || units[i].bears.has_value();
    if (unit.turnings == 0 && model.too_large == units.size()) model.too_large = i;
  }
  for (std::size_t i = 0; i < units.size(); ++i) {
    model.units[i].kind = i;
    if (units.size() > kFewUnits) continue;  // these are grouped by those who need it
    for (std::size_t j = 0; j < i; ++j) {
      if (!AreAlike(model.units[i], model.units[j], model.any_bears)) continue;
      model.units[i].kind = j;
      break;
    }
  }
  return model;
}

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_PACKING_INTERNAL_PACK_MODEL_H_
