#ifndef TAREWISE_PACKING_INTERNAL_PACK_SETTLE_H_
#define TAREWISE_PACKING_INTERNAL_PACK_SETTLE_H_

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <utility>
#include <vector>

#include "tarewise/packing/internal/pack_model.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

// Moves each unit towards the origin along an axis until another, or the wall, stops it. Units keep their order.
// Whether any moved.
inline bool SettleAlong(const PackModel& model, std::size_t axis, std::vector<Placement>& placements) {
  FewVector<std::size_t> order;
  order.reserve(placements.size());
  for (std::size_t i = 0; i < placements.size(); ++i) order.push_back(i);
  const auto before = [&](std::size_t a, std::size_t b) {
    return placements[a].at[axis] != placements[b].at[axis] ? placements[a].at[axis] < placements[b].at[axis] : a < b;
  };
  if (order.size() > kFewUnits) {
    std::sort(order.begin(), order.end(), before);
  } else {
    for (std::size_t i = 1; i < order.size(); ++i) {
      for (std::size_t j = i; j > 0 && before(order[j], order[j - 1]); --j) std::swap(order[j], order[j - 1]);
    }
  }
  bool moved = false;
  for (std::size_t at = 0; at < order.size(); ++at) {
    Placement& mover = placements[order[at]];
    std::int64_t least = model.units[mover.unit].wall;
    for (std::size_t earlier = 0; earlier < at; ++earlier) {
      const Placement& other = placements[order[earlier]];
      const std::int64_t gap = model.Gap(mover.unit, other.unit);
      bool stops = true;
      for (std::size_t across = 0; across < 3 && stops; ++across) {
        stops = across == axis || (mover.at[across] < other.at[across] + other.sides[across] + gap &&
                                   other.at[across] < mover.at[across] + mover.sides[across] + gap);
      }
      if (stops) least = std::max(least, other.at[axis] + other.sides[axis] + gap);
    }
    moved = moved || least < mover.at[axis];
    mover.at[axis] = std::min(mover.at[axis], least);
  }
  return moved;
}

// Settles downwards, then towards the near corner where no top or load is looked at (a footprint that moves
// may come over another), and downwards again.
inline void Settle(const PackModel& model, std::vector<Placement>& placements) {
  SettleAlong(model, 2, placements);
  if (model.any_top_free || model.any_bears) return;
  bool moved = SettleAlong(model, 0, placements);
  moved = SettleAlong(model, 1, placements) || moved;
  if (moved) SettleAlong(model, 2, placements);
}

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_PACKING_INTERNAL_PACK_SETTLE_H_
