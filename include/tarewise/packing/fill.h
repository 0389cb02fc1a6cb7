#ifndef TAREWISE_PACKING_FILL_H_
#define TAREWISE_PACKING_FILL_H_

#include <array>
#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

#include "tarewise/internal/switch.h"
#include "tarewise/packing/arrange.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

/// Units that are alike, to fill rooms with. What has room to be kept free around it or bears no more than so much is
/// not for here: `Arrange` takes it.
struct FillGood {
  std::array<std::int64_t, 3> sides = {};              ///< As written, nm, above 0 and up to 50 m.
  std::array<bool, 3> may_stand = {true, true, true};  ///< Which of the sides, as written, may be upright.
  bool as_written = false;                             ///< Not turned at all; `may_stand` is not asked then.
  bool top_free = false;                               ///< Nothing above it, at any height, so much as over an edge.
  std::int64_t quantity = 1;
};

/// How much work is done, never how long: the answers are the same on every machine.
struct FillBudget {
  /// A step puts a block of goods (or one unit) in and carves it out of what is free. One pass over all goods is
  /// always made, whatever it takes.
  std::int64_t steps = 1'000;
};

/// What lies in one room. `Placement::unit` is the index of the good.
struct Filling {
  std::vector<Placement> placements;
  std::vector<std::int64_t> packed;  ///< By good: how many units lie in the room.
  std::int64_t steps = 0;            ///< What was done of the budget.
};

/// What lies in equal rooms.
struct Binning {
  std::vector<Filling> rooms;
  std::vector<std::int64_t> left;  ///< By good: units that no room takes even alone, and those beyond 10,000.
  std::int64_t bound = 0;          ///< Fewer rooms than so many cannot hold what `rooms` hold.
  std::int64_t steps = 0;
};

/// As much volume of the goods as is found to go into the room.
///
///     FillGood tin{.sides = {100'000'000, 100'000'000, 120'000'000}, .quantity = 40};
///     tin.may_stand = {false, false, true};
///     Room carton{.sides = {590'000'000, 390'000'000, 390'000'000}};
///     Filling filling = FillRoom(std::vector{tin}, carton);
///
/// Nothing is proved: what is left out may go in all the same. `CheckArrangement` passes what is found. Goods stand on
/// the floor or at the height of some other's top, not always above it: fill is put under them. Of all goods together
/// the first 10,000 units are taken. They lie at whole multiples of the greatest common divisor of all their sides;
/// where the room is longer than 2^20 of these, sides are rounded up to 2^-20 of its longest side. `Room::padding` is
/// of padded units, which are not for here; `wall_padding` is kept. Sides of goods or quantities of 0 or less take no
/// part. A step is linear in the free spaces (some dozens) and in the kinds of block (some 1,500, or the turnings of
/// all goods).
Filling FillRoom(std::span<const FillGood> goods, const Room& room, FillBudget budget = {});

/// All goods in as few equal rooms as are found; stops where a bound says that fewer cannot hold them. The rules of
/// `FillRoom`; here a step puts one unit in.
Binning FillRooms(std::span<const FillGood> goods, const Room& room, FillBudget budget = {});

}  // namespace tarewise::inline TW_VERSIONED

#ifdef TW_HEADER_ONLY
#include "tarewise/packing/internal/fill-inl.h"
#endif

#endif  // TAREWISE_PACKING_FILL_H_
