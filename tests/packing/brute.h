#ifndef TAREWISE_TESTS_PACKING_BRUTE_H_
#define TAREWISE_TESTS_PACKING_BRUTE_H_

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "tarewise/packing/arrange.h"

namespace tarewise::testing {

/// Every turning of every unit at every whole position, one unit after another: slow and obvious. For rooms of a few
/// nm.
class PackByHand {
 public:
  PackByHand(std::span<const PackUnit> units, const Room& room, std::int64_t most_tries)
      : units_(units.begin(), units.end()), room_(room), left_(most_tries) {
    std::stable_sort(units_.begin(), units_.end(),
                     [](const PackUnit& a, const PackUnit& b) { return Bulk(a) > Bulk(b); });
  }

  /// Nothing where it took too long.
  std::optional<bool> Fits() {
    const bool found = Place(0);
    if (left_ <= 0 && !found) return std::nullopt;
    return found;
  }

 private:
  struct Lying {
    std::array<std::int64_t, 3> at, sides;
  };

  static std::int64_t Bulk(const PackUnit& unit) { return unit.sides[0] * unit.sides[1] * unit.sides[2]; }

  // Units that are written alike, of which the later may keep to positions after the earlier.
  static bool Alike(const PackUnit& a, const PackUnit& b) {
    return a.sides == b.sides && a.this_side_up == b.this_side_up && a.may_stand == b.may_stand &&
           a.top_free == b.top_free && a.padded == b.padded && a.weight == b.weight && a.bears == b.bears;
  }

  bool Place(std::size_t index) {
    if (index == units_.size()) return true;
    const PackUnit& unit = units_[index];
    static constexpr int kTurnings[6][3] = {{0, 1, 2}, {1, 0, 2}, {0, 2, 1}, {2, 0, 1}, {1, 2, 0}, {2, 1, 0}};
    const std::int64_t wall = unit.padded ? std::max(room_.padding, room_.wall_padding) : room_.wall_padding;
    std::vector<std::array<std::int64_t, 3>> tried;
    for (const auto& turning : kTurnings) {
      if ((unit.this_side_up && turning[2] != 2) || !unit.may_stand[static_cast<std::size_t>(turning[2])]) continue;
      Lying lying;
      for (std::size_t axis = 0; axis < 3; ++axis)
        lying.sides[axis] = unit.sides[static_cast<std::size_t>(turning[axis])];
      if (std::find(tried.begin(), tried.end(), lying.sides) != tried.end()) continue;
      tried.push_back(lying.sides);
      for (lying.at[2] = wall; lying.at[2] + lying.sides[2] <= room_.sides[2] - wall; ++lying.at[2]) {
        for (lying.at[1] = wall; lying.at[1] + lying.sides[1] <= room_.sides[1] - wall; ++lying.at[1]) {
          for (lying.at[0] = wall; lying.at[0] + lying.sides[0] <= room_.sides[0] - wall; ++lying.at[0]) {
            if (--left_ <= 0) return false;
            if (index > 0 && Alike(unit, units_[index - 1]) && lying.at < lying_.back().at) continue;
            if (!Keeps(lying)) continue;
            lying_.push_back(lying);
            if (LoadsHold() && Place(index + 1)) return true;
            lying_.pop_back();
          }
        }
      }
    }
    return false;
  }

  bool Keeps(const Lying& one) const {
    const PackUnit& unit = units_[lying_.size()];
    for (std::size_t i = 0; i < lying_.size(); ++i) {
      const Lying& other = lying_[i];
      const std::int64_t gap = unit.padded || units_[i].padded ? room_.padding : 0;
      bool apart = false;
      for (std::size_t axis = 0; axis < 3; ++axis) {
        apart = apart || one.at[axis] >= other.at[axis] + other.sides[axis] + gap ||
                other.at[axis] >= one.at[axis] + one.sides[axis] + gap;
      }
      if (!apart) return false;
      if (Over(one, other) && (one.at[2] > other.at[2] ? units_[i].top_free : unit.top_free)) return false;
    }
    return true;
  }

  static bool Over(const Lying& a, const Lying& b) {
    return a.at[0] < b.at[0] + b.sides[0] && b.at[0] < a.at[0] + a.sides[0] && a.at[1] < b.at[1] + b.sides[1] &&
           b.at[1] < a.at[1] + a.sides[1];
  }

  bool LoadsHold() const {
    for (std::size_t under = 0; under < lying_.size(); ++under) {
      if (!units_[under].bears) continue;
      std::int64_t load = 0;
      for (std::size_t over = 0; over < lying_.size(); ++over) {
        if (over != under && Over(lying_[over], lying_[under]) && lying_[over].at[2] > lying_[under].at[2]) {
          load += units_[over].weight;
        }
      }
      if (load > *units_[under].bears) return false;
    }
    return true;
  }

  std::vector<PackUnit> units_;
  Room room_;
  std::int64_t left_;
  std::vector<Lying> lying_;
};

}  // namespace tarewise::testing

#endif  // TAREWISE_TESTS_PACKING_BRUTE_H_
