#ifndef TAREWISE_RANKING_GROWTH_H_
#define TAREWISE_RANKING_GROWTH_H_

#include <array>
#include <cstddef>
#include <vector>

#include "tarewise/internal/switch.h"
#include "tarewise/packing/arrange.h"
#include "tarewise/ranking/rank.h"
#include "tarewise/ranking/ranking.h"
#include "tarewise/units/length.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

/// How much longer one side of an item may be, of all its units at once and all else as it is, until a packaging holds
/// the goods no more.
struct Growth {
  std::size_t item = 0;              ///< Into the goods of the request.
  std::array<Length, 3> sides = {};  ///< In the order in which the item's sides are written; 0: not by a nanometre.
};

/// Of every item of a ranking's goods in the packaging of one of its candidates, with the packer of the library. Exact
/// where every fit is decided within `budget`; where one is unknown, it counts as not fitting, and the growth told is
/// less than what there is. Of a sealed parcel, an estimate and bare goods, which nothing bounds, there is none. Some
/// forty fits a side.
///
///     const Candidate& best = ranking.candidates()[ranking.offers().front().candidate_index];
///     for (const Growth& growth : RoomToGrow(ranking, best)) Tell(growth.item, growth.sides);
std::vector<Growth> RoomToGrow(const Ranking& ranking, const Candidate& candidate, ArrangeBudget budget = {});

}  // namespace tarewise::inline TW_VERSIONED

#ifdef TW_HEADER_ONLY
#include "tarewise/ranking/internal/growth-inl.h"
#endif

#endif  // TAREWISE_RANKING_GROWTH_H_
