#ifndef TAREWISE_TESTS_PACKING_FILL_CHECK_H_
#define TAREWISE_TESTS_PACKING_FILL_CHECK_H_

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <span>
#include <string>
#include <vector>

#include "tarewise/packing/fill.h"

namespace tarewise::testing {

inline bool LiesAsAllowed(const FillGood& good, const std::array<std::int64_t, 3>& sides) {
  if (good.as_written) return sides == good.sides;
  for (std::size_t up = 0; up < 3; ++up) {
    const std::int64_t a = good.sides[(up + 1) % 3];
    const std::int64_t b = good.sides[(up + 2) % 3];
    if (!good.may_stand[up] || sides[2] != good.sides[up]) continue;
    if ((sides[0] == a && sides[1] == b) || (sides[0] == b && sides[1] == a)) return true;
  }
  return false;
}

/// What is wrong with a filling, by looking at each placement and each pair; nothing where all is well.
inline std::string WrongWith(const Filling& filling, std::span<const FillGood> goods, const Room& room) {
  std::vector<std::int64_t> count(goods.size(), 0);
  for (const Placement& p : filling.placements) {
    if (p.unit >= goods.size()) return "no such good";
    ++count[p.unit];
    if (!LiesAsAllowed(goods[p.unit], p.sides)) return "turned as it must not be: good " + std::to_string(p.unit);
    for (std::size_t axis = 0; axis < 3; ++axis) {
      if (p.at[axis] < room.wall_padding || p.at[axis] + p.sides[axis] > room.sides[axis] - room.wall_padding) {
        return "outside: good " + std::to_string(p.unit);
      }
    }
  }
  if (count != filling.packed) return "miscounted";
  for (std::size_t i = 0; i < goods.size(); ++i) {
    if (count[i] > std::max<std::int64_t>(0, goods[i].quantity)) return "too many of good " + std::to_string(i);
  }
  for (const Placement& p : filling.placements) {
    for (const Placement& q : filling.placements) {
      if (&p == &q) continue;
      std::array<bool, 3> overlap = {};
      for (std::size_t axis = 0; axis < 3; ++axis) {
        overlap[axis] = p.at[axis] < q.at[axis] + q.sides[axis] && q.at[axis] < p.at[axis] + p.sides[axis];
      }
      if (!overlap[0] || !overlap[1]) continue;
      if (overlap[2]) return "two at one place: " + std::to_string(p.unit) + ", " + std::to_string(q.unit);
      if (goods[p.unit].top_free && q.at[2] > p.at[2]) return "something over good " + std::to_string(p.unit);
    }
  }
  return "";
}

/// Of the room's volume, in parts of 10,000, rounded down.
inline std::int64_t Utilisation(const Filling& filling, const Room& room) {
  __extension__ using Wide = __int128;
  Wide sum = 0;
  for (const Placement& p : filling.placements) sum += Wide(p.sides[0]) * p.sides[1] * p.sides[2];
  return static_cast<std::int64_t>(sum * 10'000 / (Wide(room.sides[0]) * room.sides[1] * room.sides[2]));
}

}  // namespace tarewise::testing

#endif  // TAREWISE_TESTS_PACKING_FILL_CHECK_H_
