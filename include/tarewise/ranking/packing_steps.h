#ifndef TAREWISE_RANKING_PACKING_STEPS_H_
#define TAREWISE_RANKING_PACKING_STEPS_H_

#include <array>
#include <cstddef>
#include <string>
#include <vector>

#include "tarewise/internal/switch.h"
#include "tarewise/ranking/ranking.h"
#include "tarewise/units/length.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

/// One of the goods of a request: its item, and which of that item's units it is, both from 0.
struct GoodsUnit {
  std::size_t item = 0;
  std::size_t unit = 0;
};

/// Which of the goods a `Placement::unit` of a candidate's arrangement is. Linear in the items.
GoodsUnit GoodsUnitOf(const Request& request, std::size_t unit);

/// What the goods of a candidate lie in: the inside of its packaging as written, the third side upright, lower where it
/// is cut down; of several units in a mailer, an envelope or a tube the box that just holds them. Zeros without a
/// packaging.
std::array<Length, 3> InsideOf(const Candidate& candidate);

/// How to pack a candidate of the ranking in steps to follow, in plain English and the request's units: to what height
/// a carton is cut down, then from the bottom up what to put where and how it is turned, equal goods that form a stack,
/// a row or a block together, then what to fill. Left is the beginning of the carton's first side, front that of its
/// second. Nothing where there is neither an arrangement nor anything to cut. Lengths are rounded to the hundredth of
/// an inch or the tenth of a millimetre, but for the height that a carton is cut to. About n log n for n units, n
/// squared where no two are equal.
///
///     const Offer& best = ranking.offers().front();
///     for (const std::string& step : PackingSteps(ranking, ranking.candidates()[best.candidate_index])) Tell(step);
std::vector<std::string> PackingSteps(const Ranking& ranking, const Candidate& candidate);

/// Which of these steps, counted from 1, puts each unit of the candidate's arrangement in, in the order of its
/// placements. Nothing where there is none.
std::vector<std::size_t> StepsOfUnits(const Ranking& ranking, const Candidate& candidate);

/// `PackingSteps` and `StepsOfUnits` together, for whoever shows both: either alone works out both.
struct ToldPacking {
  std::vector<std::string> steps;
  std::vector<std::size_t> of_units;
};
ToldPacking TellPacking(const Ranking& ranking, const Candidate& candidate);

}  // namespace tarewise::inline TW_VERSIONED

#ifdef TW_HEADER_ONLY
#include "tarewise/ranking/internal/packing_steps-inl.h"
#endif

#endif  // TAREWISE_RANKING_PACKING_STEPS_H_
