// Generators of published sets of packing problems, in integers only.
#ifndef TAREWISE_TESTS_PACKING_PUBLISHED_H_
#define TAREWISE_TESTS_PACKING_PUBLISHED_H_

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <functional>
#include <string>
#include <utility>
#include <vector>

#include "tarewise/packing/fill.h"

namespace tarewise::testing {

struct FillProblem {
  std::string name;
  Room room;
  std::vector<FillGood> goods;
};

inline constexpr std::int64_t kMillimetre = 1'000'000;

/// One container: Bischoff and Ratcliff, "Issues in the development of approaches to container loading", Omega 23(4)
/// 1995; sizes in cm there, steps of 1 mm here. `problem` counts from 1.
inline FillProblem BischoffRatcliff(int types, int problem) {
  constexpr std::int64_t kModulus = 2'147'483'647;
  std::int64_t state = 2'502'505 + 100 * (problem - 1);
  // floor(r * range) of the next r = state / kModulus.
  const auto draw = [&](std::int64_t range) {
    state = state * 16'807 % kModulus;
    return state * range / kModulus;
  };
  for (int i = 0; i < 10; ++i) draw(1);
  FillProblem made;
  made.name = std::to_string(types) + " types, " + std::to_string(problem);
  made.room.sides = {587 * kMillimetre, 233 * kMillimetre, 220 * kMillimetre};
  std::vector<std::int64_t> volumes;
  std::int64_t sum = 0;
  for (int i = 0; i < types; ++i) {
    std::array<std::int64_t, 3> sides = {};
    constexpr std::array<std::array<std::int64_t, 2>, 3> kRanges = {{{30, 120}, {25, 100}, {20, 80}}};
    for (std::size_t j = 0; j < 3; ++j) sides[j] = kRanges[j][0] + draw(kRanges[j][1] - kRanges[j][0] + 1);
    const std::int64_t least = *std::min_element(sides.begin(), sides.end());
    std::sort(sides.begin(), sides.end(), std::greater<>());
    FillGood good;
    for (std::size_t j = 0; j < 3; ++j) {
      good.sides[j] = sides[j] * kMillimetre;
      good.may_stand[j] = sides[j] < 2 * least;
    }
    volumes.push_back(sides[0] * sides[1] * sides[2]);
    sum += volumes.back();
    made.goods.push_back(good);
  }
  while (true) {
    const auto k = static_cast<std::size_t>(draw(types));
    if (sum + volumes[k] > std::int64_t{587} * 233 * 220) return made;
    sum += volumes[k];
    ++made.goods[k].quantity;
  }
}

/// Many bins: Martello, Pisinger and Vigo, "The three-dimensional bin packing problem", Operations Research 48(2) 2000.
/// Class 1 to 8, size 50, 100, 150 or 200, replicate 1 to 10. Nothing is turned.
inline FillProblem MartelloPisingerVigo(int kind, int size, int replicate) {
  std::uint64_t state = (static_cast<std::uint64_t>(replicate + size) << 16) + 0x330E;
  const auto draw = [&](std::int64_t low, std::int64_t high) {
    state = (state * 0x5DEECE66DU + 0xB) & ((std::uint64_t{1} << 48) - 1);
    return low + static_cast<std::int64_t>(state >> 17) % (high - low + 1);
  };
  const std::int64_t side = kind == 6 ? 10 : kind == 7 ? 40 : 100;
  FillProblem made;
  made.name = "class " + std::to_string(kind) + ", " + std::to_string(size) + ", " + std::to_string(replicate);
  made.room.sides = {side * kMillimetre, side * kMillimetre, side * kMillimetre};
  for (int i = 0; i < size; ++i) {
    std::array<std::pair<std::int64_t, std::int64_t>, 3> ranges;
    if (kind > 5) {
      ranges.fill({1, kind == 6 ? 10 : kind == 7 ? 35 : 100});
    } else {
      std::int64_t type = draw(1, 10);
      if (type > 5) type = kind;
      ranges.fill(type == 4 ? std::pair(side / 2, side) : std::pair(std::int64_t{1}, side / 2));
      for (std::size_t j = 0; type <= 3 && j < 3; ++j) {
        if (static_cast<std::int64_t>(j) + 1 != type) ranges[j] = {2 * side / 3, side};
      }
    }
    FillGood good;
    good.as_written = true;
    for (std::size_t j = 0; j < 3; ++j) good.sides[j] = draw(ranges[j].first, ranges[j].second) * kMillimetre;
    made.goods.push_back(good);
  }
  return made;
}

}  // namespace tarewise::testing

#endif  // TAREWISE_TESTS_PACKING_PUBLISHED_H_
