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
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

/// Where one unit lies in a room: its corner nearest the origin, and its sides along the room's axes, in nm. The third
/// axis is upright.
struct Placement {
  std::size_t unit = 0;
  std::array<std::int64_t, 3> at = {};
  std::array<std::int64_t, 3> sides = {};
};

enum class Fit : std::uint8_t { kFits, kDoesNotFit, kUnknown };

/// Of a unit that gives: what packing by volume asks about (FORMAT.md B2). `Arrange` takes it as it is when pressed.
struct PackSoft {
  std::array<std::int64_t, 3> at_rest = {};  ///< Its sides before it is pressed, nm.
  std::int64_t pressed_millionths = 0;       ///< Of its volume at rest.
  std::int64_t least_thickness = 0;          ///< nm.
};

/// One unit to pack: sides as written, in nm (the third upright where `this_side_up`).
struct PackUnit {
  std::array<std::int64_t, 3> sides = {};
  bool this_side_up = false;
  /// Which of the sides, as written, may be upright. `this_side_up` leaves the third alone of these.
  std::array<bool, 3> may_stand = {true, true, true};
  bool top_free = false;    ///< Nothing above it, at any height, so much as over an edge.
  bool padded = false;      ///< The room's `padding` is kept free on each of its sides.
  std::int64_t weight = 0;  ///< ng, not negative.
  /// The greatest weight above it, ng: of all units that are over a part of it, at any height. Nothing: no limit.
  std::optional<std::int64_t> bears = std::nullopt;
  std::optional<PackSoft> soft = std::nullopt;  ///< Where the unit gives: `sides` are then those when it is pressed.

  /// Which of the sides may be upright, by both of what says so.
  constexpr std::array<bool, 3> MayStand() const {
    return {may_stand[0] && !this_side_up, may_stand[1] && !this_side_up, may_stand[2]};
  }
};

/// The inside that goods go into, nm. A padded unit keeps the larger of the two paddings from the walls.
struct Room {
  std::array<std::int64_t, 3> sides = {};  ///< The third is upright.
  std::int64_t padding = 0;       ///< Kept free between a padded unit and any other (once, not twice) and the walls.
  std::int64_t wall_padding = 0;  ///< Kept free between every other unit and the walls.
};

/// How long to search before the answer is `kUnknown`: in steps of the search, so that it is the same on any machine.
struct ArrangeBudget {
  std::int64_t nodes = 20'000;
};

/// What a `kDoesNotFit` rests on.
enum class FitProof : std::uint8_t {
  kNone,          ///< There is no proof: it fits, or is unknown.
  kUnitTooLarge,  ///< One unit alone does not go in, whichever way it is turned.
  kVolume,        ///< The units' volumes, with what must be free about them, come to more than the room's.
  kBound,         ///< Sides that cannot stand beside one another take more than the room has (dual feasible functions).
  kSearched,      ///< Every arrangement was ruled out.
};

struct Arrangement {
  Fit fit = Fit::kUnknown;
  std::vector<Placement> placements;  ///< Of `kFits`: one a unit, in the units' order.
  FitProof proof = FitProof::kNone;
  std::size_t unit = 0;    ///< Of `kUnitTooLarge`.
  std::int64_t nodes = 0;  ///< Steps that the search took; 0 where it was not needed.
};

/// The most units, and the longest side of a unit or a room (nm), that `Arrange` takes.
inline constexpr std::size_t kMostPackUnits = 10'000;
inline constexpr std::int64_t kLongestPackSide = 50'000'000'000;

/// What is wrong with units or a room as input, in words; nothing where they can be arranged or refused. Sides of units
/// are above 0 and at most 50 m (sides of a room may be 0 or less: nothing goes in), paddings 0 to 50 m, weights and
/// loads 0 to 10^17 ng, and the units no more than that together; at most 10,000 units.
std::optional<std::string> CheckPackInput(std::span<const PackUnit> units, const Room& room);

/// Whether units go into a room together, with sides along its axes, and how.
///
///     PackUnit book;
///     book.sides = {210'000'000, 148'000'000, 30'000'000};
///     PackUnit tin;
///     tin.sides = {100'000'000, 100'000'000, 120'000'000};
///     tin.this_side_up = tin.top_free = true;
///     Room room;
///     room.sides = {220'000'000, 150'000'000, 200'000'000};
///     const Arrangement found = Arrange(std::vector{book, book, tin}, room);
///     for (const Placement& placement : found.placements) Tell(placement.unit, placement.at, placement.sides);
///
/// `kFits` comes with an arrangement that `CheckArrangement` has passed, `kDoesNotFit` with its proof, and `kUnknown`
/// is neither: the budget was spent, or there are too many units to search (above 16, only an arrangement, one by one
/// or by blocks of equal units (`FillRoom`), a unit's size and volumes are answers), or the input is wrong. The same on
/// every machine and thread. No support is asked for (fill is put under goods); what was found is settled downwards and
/// to the near corner. No units fit.
Arrangement Arrange(std::span<const PackUnit> units, const Room& room, ArrangeBudget budget = {});

/// Nothing where placements (one a unit, in any order) keep every rule, else what is wrong, in words. Shares nothing
/// with `Arrange`. Quadratic in the units.
std::optional<std::string> CheckArrangement(std::span<const PackUnit> units, const Room& room,
                                            std::span<const Placement> placements);

}  // namespace tarewise::inline TW_VERSIONED

#ifdef TW_HEADER_ONLY
#include "tarewise/packing/internal/arrange-inl.h"
#include "tarewise/packing/internal/check-inl.h"
#endif

#endif  // TAREWISE_PACKING_ARRANGE_H_
