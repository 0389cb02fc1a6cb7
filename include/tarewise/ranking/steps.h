#ifndef TAREWISE_RANKING_STEPS_H_
#define TAREWISE_RANKING_STEPS_H_

#include <cstddef>
#include <optional>
#include <vector>

#include "tarewise/internal/switch.h"
#include "tarewise/ranking/ranking.h"
#include "tarewise/units/money.h"
#include "tarewise/units/weight.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

/// From just above the step before, up to and including `until`: one total, or not offered.
struct WeightStep {
  Weight until;
  std::optional<Amount> total;  ///< In the ranking's currency, packaging included.
};

/// The most steps that are told of one service.
inline constexpr std::size_t kMostWeightSteps = 100'000;

/// What a service (by its number in `Ranking::dispatch`) asks for a sealed parcel of these sides and any gross weight
/// up to `most`: the steps of its tariff, found at their thresholds and not by samples. `ranking` is of a sealed
/// parcel, whose own weight does not matter; of goods there are no steps. Linear in the thresholds; a tariff of more
/// than `kMostWeightSteps` of them below `most` is told as far as that.
///
///     for (const WeightStep& step : StepsByWeight(ranking, 0, Weight::Pounds(5))) Draw(step.until, step.total);
std::vector<WeightStep> StepsByWeight(const Ranking& ranking, std::size_t service, Weight most);

}  // namespace tarewise::inline TW_VERSIONED

#ifdef TW_HEADER_ONLY
#include "tarewise/ranking/internal/steps-inl.h"
#endif

#endif  // TAREWISE_RANKING_STEPS_H_
