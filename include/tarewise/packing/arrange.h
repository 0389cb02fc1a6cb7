#ifndef TAREWISE_PACKING_ARRANGE_H_
#define TAREWISE_PACKING_ARRANGE_H_

#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "tarewise/internal/switch.h"

namespace tarewise {
struct Placement {
  std::size_t unit = 0;
  std::array<std::int64_t, 3> at = {};
  std::array<std::int64_t, 3> sides = {};
};
enum class Fit : std::uint8_t { kFits, kDoesNotFit, kUnknown };
struct PackUnit {
  std::array<std::int64_t, 3> sides = {};
  bool this_side_up = false;
  std::array<bool, 3> may_stand = {true, true, true};
  bool top_free = false;
  bool padded = false;
  std::int64_t weight = 0;
  std::optional<std::int64_t> bears;
};
struct Room {
  std::array<std::int64_t, 3> sides = {};
  std::int64_t padding = 0;
  std::int64_t wall_padding = 0;
};
struct ArrangeBudget {
  std::int64_t nodes = 20'000;
};
enum class FitProof : std::uint8_t { kNone, kUnitTooLarge, kVolume, kBound, kSearched };
struct Arrangement {
  Fit fit = Fit::kUnknown;
  std::vector<Placement> placements;
  FitProof proof = FitProof::kNone;
  std::size_t unit = 0;
  std::int64_t nodes = 0;
};
Arrangement Arrange(std::span<const PackUnit> units, const Room& room, ArrangeBudget budget = {});
std::optional<std::string> CheckArrangement(std::span<const PackUnit> units, const Room& room,
                                            std::span<const Placement> placements);
}  // namespace tarewise
#endif
