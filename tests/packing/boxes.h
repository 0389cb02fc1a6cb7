#ifndef TAREWISE_TESTS_PACKING_BOXES_H_
#define TAREWISE_TESTS_PACKING_BOXES_H_

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>

#include "packing/made.h"

namespace tarewise::testing {

/// Which goods: all different; of one to three sorts; all different, a third of them this side up; half small, half
/// large.
enum class GoodsSort { kDifferent, kRepeated, kUpright, kMixed };

inline constexpr std::size_t kFillBands = 6;

/// Goods of 20 to 300 mm a side, whole millimetres, and a carton whose sides are up to twice one another, of which they
/// are a share of the volume that is drawn from a band: 30 to 50 %, to 60, 70, 80, 90, and to 98 %. Our own recipe:
/// bands that are harder than what a seller meets.
inline MadePacking MakeOrder(GoodsSort sort, std::size_t count, std::size_t band, std::uint64_t number) {
  constexpr std::int64_t kMillimetre = 1'000'000;
  constexpr std::array<std::int64_t, kFillBands + 1> kShares = {300, 500, 600, 700, 800, 900, 980};  // of a thousand
  MadeNumbers random(((static_cast<std::uint64_t>(sort) * 64 + count) * 8 + band) * 1'000'000 + number);
  MadePacking made;
  const std::size_t sorts = sort == GoodsSort::kRepeated ? static_cast<std::size_t>(random.Between(1, 3)) : count;
  std::int64_t volume = 0;
  for (std::size_t i = 0; i < count; ++i) {
    PackUnit unit;
    if (i >= sorts) {
      unit = made.units[static_cast<std::size_t>(random.Between(0, static_cast<std::int64_t>(sorts) - 1))];
    } else {
      const bool small = sort == GoodsSort::kMixed && i % 2 == 0;
      const bool large = sort == GoodsSort::kMixed && i % 2 == 1;
      for (std::int64_t& side : unit.sides) side = random.Between(large ? 150 : 20, small ? 100 : 300) * kMillimetre;
      unit.this_side_up = sort == GoodsSort::kUpright && random.In(30);
    }
    made.units.push_back(unit);
    volume += unit.sides[0] / kMillimetre * (unit.sides[1] / kMillimetre) * (unit.sides[2] / kMillimetre);
  }
  const std::int64_t share = random.Between(kShares[band], kShares[band + 1]);
  std::array<std::int64_t, 3> shape;
  for (std::int64_t& side : shape) side = random.Between(1000, 2000);
  // The shape grows until it holds the volume by that share: sides are `shape * scale / 2^20` millimetres.
  std::int64_t low = 1;
  std::int64_t high = std::int64_t{1} << 26;
  while (low < high) {
    const std::int64_t scale = low + (high - low) / 2;
    std::int64_t bulk = 1;
    for (const std::int64_t side : shape) bulk *= side * scale >> 20;
    (bulk * share >= volume * 1000 ? high : low) = bulk * share >= volume * 1000 ? scale : scale + 1;
  }
  for (std::size_t axis = 0; axis < 3; ++axis) made.room.sides[axis] = (shape[axis] * low >> 20) * kMillimetre;
  return made;
}

}  // namespace tarewise::testing

#endif  // TAREWISE_TESTS_PACKING_BOXES_H_
