#ifndef TAREWISE_TESTS_PACKING_MADE_H_
#define TAREWISE_TESTS_PACKING_MADE_H_

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <span>
#include <sstream>
#include <string>
#include <vector>

#include "tarewise/packing/arrange.h"

namespace tarewise::testing {

/// Numbers that are the same everywhere.
class MadeNumbers {
 public:
  explicit MadeNumbers(std::uint64_t seed) : state_(seed) { state_ = Next(); }
  std::int64_t Between(std::int64_t least, std::int64_t most) {
    return least + static_cast<std::int64_t>(Next() % static_cast<std::uint64_t>(most - least + 1));
  }
  bool In(std::int64_t hundred) { return Between(1, 100) <= hundred; }

 private:
  std::uint64_t Next() {
    state_ += 0x9E3779B97F4A7C15u;
    std::uint64_t z = state_;
    z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9u;
    z = (z ^ (z >> 27)) * 0x94D049BB133111EBu;
    return z ^ (z >> 31);
  }

  std::uint64_t state_;
};

struct MadePacking {
  std::vector<PackUnit> units;
  Room room;
};

inline std::string InWords(const MadePacking& made) {
  std::ostringstream out;
  const Room& room = made.room;
  out << "room " << room.sides[0] << " " << room.sides[1] << " " << room.sides[2] << " padding " << room.padding
      << " walls " << room.wall_padding << "\n";
  for (const PackUnit& unit : made.units) {
    out << "  " << unit.sides[0] << " " << unit.sides[1] << " " << unit.sides[2] << (unit.this_side_up ? " up" : "")
        << (unit.top_free ? " top_free" : "") << (unit.padded ? " padded" : "") << " stands " << unit.may_stand[0]
        << unit.may_stand[1] << unit.may_stand[2] << " weighs " << unit.weight;
    if (unit.bears) out << " bears " << *unit.bears;
    out << "\n";
  }
  return out.str();
}

/// Whether a unit has a turning for a room.
inline bool GoesInAlone(const PackUnit& unit, const Room& room) {
  return Arrange(std::span(&unit, 1), room).fit == Fit::kFits;
}

/// A room of 3 to 6 a side and 2 to 6 units that about fill it, each of which goes in alone. Of eight cases, one is
/// plain, one has upright units, one units with free tops, one loads, one padding for all, one for some, one walls too,
/// and one has it all.
inline MadePacking TinyPacking(std::uint64_t number) {
  MadeNumbers random(number);
  MadePacking made;
  const std::int64_t sort = static_cast<std::int64_t>(number % 8);
  for (std::int64_t& side : made.room.sides) side = random.Between(3, 6);
  const bool paddings = sort >= 4;
  if (paddings) made.room.padding = random.Between(1, sort == 4 ? 1 : 2);
  if (sort >= 6) made.room.wall_padding = random.Between(0, 1);
  const std::int64_t room = made.room.sides[0] * made.room.sides[1] * made.room.sides[2];
  std::int64_t volume = room * random.Between(60, 100) / 100;
  const std::int64_t count = random.Between(2, 6);
  const bool repeats = random.In(30);
  for (int tries = 0; tries < 60 && static_cast<std::int64_t>(made.units.size()) < count; ++tries) {
    PackUnit unit;
    if (repeats && !made.units.empty() && random.In(60)) {
      unit = made.units[static_cast<std::size_t>(random.Between(0, static_cast<std::int64_t>(made.units.size()) - 1))];
    } else {
      for (std::int64_t& side : unit.sides) side = random.Between(1, paddings ? 3 : 5);
      unit.this_side_up = (sort == 1 || sort == 7) && random.In(40);
      if ((sort == 1 || sort == 7) && random.In(30))
        unit.may_stand[static_cast<std::size_t>(random.Between(0, 1))] = false;
      unit.top_free = (sort == 2 || sort == 6 || sort == 7) && random.In(35);
      unit.padded = sort == 4 || (paddings && random.In(40));
      if (sort == 3 || sort == 7 || sort == 5) {
        unit.weight = random.Between(0, 5);
        if (random.In(60)) unit.bears = random.Between(0, 10);
      }
    }
    // What a unit takes with half of its padding about it.
    const std::int64_t grown = unit.padded ? made.room.padding : 0;
    const std::int64_t bulk = (unit.sides[0] + grown) * (unit.sides[1] + grown) * (unit.sides[2] + grown);
    if (bulk > volume || !GoesInAlone(unit, made.room)) continue;
    volume -= bulk;
    made.units.push_back(unit);
  }
  return made;
}

/// Seven to ten units for a room of 20 to 45 a side that they fill well: in turn plain, with upright units, with free
/// tops, and padded in part. A quarter repeats units.
inline MadePacking OraclePacking(std::uint64_t number) {
  MadeNumbers random(number + 1'000'000);
  MadePacking made;
  const std::int64_t sort = static_cast<std::int64_t>(number % 4);
  for (std::int64_t& side : made.room.sides) side = random.Between(20, 45);
  if (sort == 3) made.room.padding = random.Between(1, 3);
  if (sort == 3) made.room.wall_padding = random.Between(0, 2);
  std::int64_t volume = made.room.sides[0] * made.room.sides[1] * made.room.sides[2] * random.Between(60, 97) / 100;
  const std::int64_t count = random.Between(7, 10);
  const bool repeats = random.In(25);
  // Sides about the cube root of each unit's share: drawn about it, and the last as what is left.
  for (std::int64_t i = 0; i < count; ++i) {
    PackUnit unit;
    if (repeats && i > 0 && random.In(60)) {
      unit = made.units[static_cast<std::size_t>(random.Between(0, i - 1))];
    } else {
      const std::int64_t share = std::max<std::int64_t>(volume / (count - i), 30);
      std::int64_t root = 1;
      while ((root + 1) * (root + 1) * (root + 1) <= share) ++root;
      unit.sides = {random.Between(std::max<std::int64_t>(root / 2, 2), root * 3 / 2),
                    random.Between(root * 2 / 3, root * 4 / 3), 0};
      unit.sides[2] = std::clamp<std::int64_t>(share / (unit.sides[0] * unit.sides[1]), 2, 40);
      unit.this_side_up = sort == 1 && random.In(40);
      unit.top_free = sort == 2 && random.In(30);
      unit.padded = sort == 3 && random.In(40);
    }
    volume -= unit.sides[0] * unit.sides[1] * unit.sides[2];
    made.units.push_back(unit);
  }
  return made;
}

}  // namespace tarewise::testing

#endif  // TAREWISE_TESTS_PACKING_MADE_H_
