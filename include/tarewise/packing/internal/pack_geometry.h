#ifndef TAREWISE_PACKING_INTERNAL_PACK_GEOMETRY_H_
#define TAREWISE_PACKING_INTERNAL_PACK_GEOMETRY_H_

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <numeric>

#include "tarewise/packing/internal/pack_model.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

// What bounds and search look at: units grown by half of what they keep free, in a room that is larger by as much, so
// that most gaps vanish into the sides. All lengths are multiples of one measure and stand in it. Where some units are
// padded and others are not, a rest of the gap stays between the two sorts (`rest`), which bounds leave out: they then
// answer for a looser room, and what they refuse does not fit.
struct PackGeometry {
  struct Unit {
    std::array<Sides, 6> size = {};
    std::array<std::uint8_t, 6> was = {0, 1, 2, 3, 4, 5};  // which turning of the model
    std::uint8_t turnings = 0;
    std::int64_t inset = 0;  // from the walls of the looser room
    std::int64_t half = 0;   // what it was grown by on each side
    std::size_t kind = 0;    // the first unit that is like it
  };
  std::size_t count = 0;
  std::array<Unit, kFewUnits> units;
  Sides room = {};
  std::int64_t rest = 0;  // of the gap, between a padded unit and one that is not
  std::array<bool, kFewUnits> padded = {};

  std::int64_t Rest(std::size_t i, std::size_t j) const { return padded[i] == padded[j] ? 0 : rest; }
  // Grown units whose footprints are apart may overlap by so much.
  std::int64_t FootSlack(std::size_t i, std::size_t j) const { return units[i].half + units[j].half; }
  // Whether sides that are grown further keep every rule: not where lengths beside them
  // are left out, or footprints are looked at apart from gaps.
  bool MayGrow(const PackModel& model) const {
    if (rest != 0) return false;
    for (std::size_t i = 0; i < count; ++i) {
      if (units[i].inset != 0) return false;
    }
    if (!model.any_top_free && !model.any_bears) return true;
    return model.room.padding == 0 || !model.any_padded;
  }
};

// At most kFewUnits units, each with a turning.
inline PackGeometry MakePackGeometry(const PackModel& model) {
  PackGeometry geometry;
  geometry.count = model.units.size();
  std::size_t padded = 0;
  for (const ReadyUnit& unit : model.units) padded += unit.padded ? 1 : 0;
  // Everything twice, so that halves are whole. A single padded unit takes its gaps whole.
  const std::int64_t half = padded == 1 ? 2 * model.room.padding : model.room.padding;
  geometry.rest = padded == geometry.count || padded < 2 ? 0 : model.room.padding;
  std::int64_t origin = INT64_MAX;
  for (std::size_t i = 0; i < geometry.count; ++i) {
    const ReadyUnit& ready = model.units[i];
    PackGeometry::Unit& unit = geometry.units[i];
    geometry.padded[i] = ready.padded;
    unit.half = ready.padded ? half : 0;
    unit.inset = 2 * ready.wall - unit.half;
    unit.turnings = ready.turnings;
    unit.kind = ready.kind;
    origin = std::min(origin, unit.inset);
  }
  std::int64_t measure = geometry.rest;
  for (std::size_t i = 0; i < geometry.count; ++i) {
    PackGeometry::Unit& unit = geometry.units[i];
    unit.inset -= origin;
    measure = std::gcd(std::gcd(measure, unit.inset), unit.half);
    for (std::size_t turning = 0; turning < unit.turnings; ++turning) {
      for (std::size_t axis = 0; axis < 3; ++axis) {
        unit.size[turning][axis] = 2 * (model.units[i].turned[turning][axis] + unit.half);
        measure = std::gcd(measure, unit.size[turning][axis]);
      }
    }
  }
  for (std::size_t i = 0; i < geometry.count; ++i) {
    PackGeometry::Unit& unit = geometry.units[i];
    unit.inset /= measure;
    unit.half /= measure;
    for (std::size_t turning = 0; turning < unit.turnings; ++turning) {
      for (std::int64_t& side : unit.size[turning]) side /= measure;
    }
  }
  geometry.rest /= measure;
  for (std::size_t axis = 0; axis < 3; ++axis) {
    geometry.room[axis] = (2 * model.room.sides[axis] - 2 * origin) / measure;
  }
  return geometry;
}

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_PACKING_INTERNAL_PACK_GEOMETRY_H_
