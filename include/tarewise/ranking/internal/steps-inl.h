#ifndef TAREWISE_RANKING_INTERNAL_STEPS_INL_H_
#define TAREWISE_RANKING_INTERNAL_STEPS_INL_H_

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <vector>

#include "tarewise/ranking/internal/dispatch-inl.h"
#include "tarewise/ranking/internal/ranking-inl.h"
#include "tarewise/ranking/steps.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

TW_INLINE std::vector<WeightStep> StepsByWeight(const Ranking& ranking, std::size_t service, Weight most) {
  std::vector<WeightStep> steps;
  if (ranking.candidates().empty() || !ranking.request().parcel) return steps;
  const internal::DispatchState& dispatch = internal::StateOf(ranking.dispatch());
  const internal::ServiceState& state = dispatch.services()[service];
  const internal::CarrierState& carrier = dispatch.CarrierOf(state);
  const Candidate& candidate = ranking.candidates().front();
  const internal::AskedGoods asked(dispatch, candidate.facts, ranking.request().parcel->value);
  const internal::ShipmentFacts shipment = asked.FactsFor(carrier);
  auto total_at = [&](std::int64_t weight) -> std::optional<Amount> {
    ParcelFacts facts = candidate.facts;
    facts.weight = weight;
    const std::optional<Amount> total = dispatch.Total(state, facts, shipment, dispatch.MeasureSides(facts, state));
    if (!total || !candidate.cost_known) return std::nullopt;
    return dispatch.WithPackaging(carrier, *total, candidate.issued_cost, candidate.own_cost);
  };
  std::int64_t weight = 1;
  for (std::size_t i = 0; i < kMostWeightSteps && weight <= most.nanograms(); ++i) {
    const std::int64_t end =
        std::min(state.cuts().NextWeight(weight, state.service().measure.weight), most.nanograms());
    const std::optional<Amount> total = total_at(weight);
    if (!steps.empty() && steps.back().total == total) {
      steps.back().until = Weight::Nanograms(end);
    } else {
      steps.push_back({Weight::Nanograms(end), total});
    }
    weight = end + 1;
  }
  return steps;
}

}  // namespace tarewise::inline TW_VERSIONED

#endif  // TAREWISE_RANKING_INTERNAL_STEPS_INL_H_
