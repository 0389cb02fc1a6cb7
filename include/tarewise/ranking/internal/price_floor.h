#ifndef TAREWISE_RANKING_INTERNAL_PRICE_FLOOR_H_
#define TAREWISE_RANKING_INTERNAL_PRICE_FLOOR_H_

#include <algorithm>
#include <cstdint>

#include "tarewise/pricing/internal/compiled.h"
#include "tarewise/pricing/internal/lane_rules.h"
#include "tarewise/ranking/internal/dispatch_state.h"
#include "tarewise/ranking/internal/pricer.h"
#include "tarewise/rules/price.h"

namespace tarewise::internal {

/// The lowest base price that could apply at `weight` or more (billable), in millionths; `kMostMicros` where none does.
inline std::int64_t BaseFloor(const ServiceState& state, std::int64_t weight) {
  const std::int64_t billable = RoundToStep(weight, state.service().measure.weight);
  std::int64_t base = kMostMicros;
  for (const LaneRules::Rule& at : state.rules.prices) {
    const std::int64_t least = LeastOf(state.service().prices[at.index].price, state.zone, billable);
    if (least != kNotOffered) base = std::min(base, least);
  }
  return base;
}

/// What the surcharges add at least that stand whatever the parcel: settled by the lane, in no group, struck by
/// nothing, without discount.
inline std::int64_t CertainSurcharges(const ServiceState& state) {
  const CompiledService& compiled = *state.compiled;
  const MoneyRounding& rounding = compiled.tariff->rounding;
  std::int64_t certain = 0;
  for (const LaneRules::Rule& at : state.rules.surcharges) {
    const CompiledService::Rule& rule = compiled.surcharges[at.index];
    if (!at.settled || rule.group >= 0 || rule.struck || !rule.discounts.empty()) continue;
    const std::int64_t amount = CertainOf(rule.rule->price, state.zone);
    if (amount > rounding.line) certain += amount - rounding.line;
  }
  return certain;
}

/// No total of a way at `weight` or more (billable) is lower, in the ranking's currency: the lowest base price that
/// could apply, less the deepest discount, with the surcharges that are certain; the others only add.
inline Amount FloorOf(const Pricer& pricer, const WayToSend& way, std::int64_t weight) {
  const CompiledService& compiled = *way.service.compiled;
  const std::int64_t base = BaseFloor(way.service, weight);
  std::int64_t deepest = 0;
  for (const Discount* discount : compiled.base_discounts) {
    deepest = std::max(deepest, discount->percent.ten_thousandths());
  }
  const MoneyRounding& rounding = compiled.tariff->rounding;
  const Amount off = Percent::TenThousandths(deepest).Of(Amount::Micros(base), 1, RoundMode::kUp);
  // Roundings of line, discount and total can each take less than a step.
  const std::int64_t lowest = std::max<std::int64_t>(
      0, base - off.micros() - 2 * rounding.line - rounding.total + CertainSurcharges(way.service));
  return pricer.WithPackaging(way, Amount::Micros(lowest)).value_or(Amount::Micros(kMostMicros));
}

}  // namespace tarewise::internal

#endif  // TAREWISE_RANKING_INTERNAL_PRICE_FLOOR_H_
