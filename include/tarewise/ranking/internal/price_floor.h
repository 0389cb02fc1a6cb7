#ifndef TAREWISE_RANKING_INTERNAL_PRICE_FLOOR_H_
#define TAREWISE_RANKING_INTERNAL_PRICE_FLOOR_H_

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <variant>

#include "tarewise/pricing/internal/compiled.h"
#include "tarewise/pricing/internal/lane_rules.h"
#include "tarewise/ranking/internal/dispatch_state.h"
#include "tarewise/ranking/internal/pricer.h"

namespace tarewise::internal {

/// The lowest base price that could apply at `weight` or more (billable), in millionths; `kMostMicros` where none does.
inline std::int64_t BaseFloor(const ServiceState& state, std::int64_t weight) {
  const std::int64_t billable = RoundToStep(weight, state.service().measure.weight);
  std::int64_t base = kMostMicros;
  for (const LaneRules::Rule& at : state.rules.prices) {
    const tarewise::Price& price = state.service().prices[at.index].price;
    if (const auto* flat = std::get_if<FlatPrice>(&price)) {
      base = std::min(base, flat->amount.micros());
    } else if (const auto* by_zone = std::get_if<ZonePrice>(&price)) {
      const std::int64_t amount = by_zone->by_zone[state.zone];
      if (amount != kNotOffered) base = std::min(base, amount);
    } else if (const auto* table = std::get_if<TablePrice>(&price)) {
      const std::uint16_t column = table->column_of_zone[state.zone];
      if (column == TablePrice::kNoColumn || table->rows() == 0) continue;
      std::size_t row = 0;
      if (table->by == Measure::kBillableWeight) {
        row = static_cast<std::size_t>(
            std::lower_bound(table->bounds.begin(), table->bounds.end(), MeasureValue(billable)) -
            table->bounds.begin());
        row = std::min(row, table->rows() - 1);
      }
      for (; row < table->rows(); ++row) {
        const std::int64_t amount = table->cell(row, column);
        if (amount != kNotOffered) base = std::min(base, amount);
      }
    } else if (const auto* steps = std::get_if<StepPrice>(&price)) {
      base = std::min(base, steps->first.micros());
    }
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
    std::int64_t amount = 0;
    if (const auto* flat = std::get_if<FlatPrice>(&rule.rule->price)) amount = flat->amount.micros();
    if (const auto* by_zone = std::get_if<ZonePrice>(&rule.rule->price)) amount = by_zone->by_zone[state.zone];
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
