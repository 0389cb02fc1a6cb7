#ifndef TAREWISE_PACKING_INTERNAL_PACK_STATE_H_
#define TAREWISE_PACKING_INTERNAL_PACK_STATE_H_

#include <array>
#include <cstddef>
#include <cstdint>

#include "tarewise/packing/internal/pack_geometry.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

// How two units i < j are kept apart. Bits 2a and 2a + 1: i before j, j before i along axis a. Where one may not be
// under the other and a gap is kept, units may also be above one another by the gap with footprints that are apart, but
// by less: bits 6 to 9, i below j and i before j, j before i along axis 0, then axis 1; bits 10 to 13, j below i.
using Relations = std::uint16_t;
inline constexpr std::size_t kRelations = 14;
inline constexpr Relations kGapRelations = 0x3F;

inline constexpr std::size_t kPairs = kFewUnits * (kFewUnits - 1) / 2;

constexpr std::size_t PairOf(std::size_t i, std::size_t j) { return i < j ? j * (j - 1) / 2 + i : i * (i - 1) / 2 + j; }

// What is known in a node of the search.
struct PackState {
  std::array<std::array<std::int64_t, kFewUnits>, 3> lo;  // the least start of a unit
  std::array<std::array<std::int64_t, kFewUnits>, 3> hi;  // its greatest end
  std::array<std::array<std::int64_t, kFewUnits>, 3> least;
  std::array<std::array<std::int64_t, kFewUnits>, 3> most;     // sides, of the turnings left
  std::array<std::array<std::int64_t, kFewUnits>, 3> section;  // the least across an axis, as a share of the room's
  std::array<std::uint8_t, kFewUnits> turnings;                // those left, as bits
  // Relations that may be the one that is enforced, and, apart from that, relations known not to hold: units can be
  // apart along two axes, so that choosing one relation makes no other false.
  std::array<Relations, kPairs> may;
  std::array<std::uint8_t, kPairs> never;
  // Footprints of a pair where loads count: 0 open, 1 to 4 kept apart (i before j, j before i along axis 0, then 1), 5
  // they overlap.
  std::array<std::uint8_t, kPairs> foot;
  // True: conclusions were drawn to the end, but for units whose turnings, and for a pair that, changed since.
  bool settled = false;
  std::uint16_t turned = 0;
  std::size_t changed = kPairs;
};

// One enforced order along an axis: `first` ends at least `gap` before `second` starts.
struct PackOrder {
  std::size_t axis = 0, first = 0, second = 0;
  std::int64_t gap = 0;
};

// The orders that a relation of i < j stands for: one, or two. `slack` is how far grown footprints may overlap.
struct PackOrders {
  std::array<PackOrder, 2> order;
  std::size_t count = 0;
};

constexpr PackOrders OrdersOf(std::size_t relation, std::size_t i, std::size_t j, std::int64_t gap,
                              std::int64_t slack) {
  PackOrders orders;
  if (relation < 6) {
    const bool forward = relation % 2 == 0;
    orders.order[0] = {relation / 2, forward ? i : j, forward ? j : i, gap};
    orders.count = 1;
    return orders;
  }
  const bool below = relation < 10;
  const std::size_t foot = (relation - 6) % 4;
  const bool forward = foot % 2 == 0;
  orders.order[0] = {2, below ? i : j, below ? j : i, gap};
  orders.order[1] = {foot / 2, forward ? i : j, forward ? j : i, -slack};
  orders.count = 2;
  return orders;
}

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_PACKING_INTERNAL_PACK_STATE_H_
