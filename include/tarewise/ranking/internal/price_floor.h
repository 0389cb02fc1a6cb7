#ifndef TAREWISE_RANKING_INTERNAL_PRICE_FLOOR_H_
#define TAREWISE_RANKING_INTERNAL_PRICE_FLOOR_H_

#include <algorithm>
#include <cstdint>
#include <optional>

#include "tarewise/pricing/internal/compiled.h"
#include "tarewise/pricing/internal/lane_rules.h"
#include "tarewise/ranking/internal/dispatch_state.h"
#include "tarewise/ranking/internal/pricer.h"
#include "tarewise/rules/price.h"
#include "tarewise/rules/test.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// The lowest base price that could apply at `weight` or more (billable) and at `gross` or more, in millionths;
/// `kMostMicros` where none does.
inline std::int64_t BaseFloor(const ServiceState& state, std::int64_t weight, std::int64_t gross) {
  const WeightsAtLeast from{RoundToStep(weight, state.service().measure.weight), gross};
  std::int64_t base = kMostMicros;
  for (const LaneRules::Rule& at : state.rules.prices) {
    const std::int64_t least = LeastOf(state.service().prices[at.index].price, state.zone, from);
    if (least != kNotOffered) base = std::min(base, at.waived ? 0 : least);
  }
  return base;
}

/// What the surcharges add at least that stand whatever the parcel: settled by the lane, in no group, struck by
/// nothing, without discount.
inline std::int64_t CertainSurcharges(const ServiceState& state) {
  const CompiledService& compiled = *state.compiled;
  const MoneyRounding& rounding = compiled.tariff->rounding;
  std::int64_t certain = 0;
  for (const LaneRules::Surcharge& at : state.rules.surcharges) {
    const CompiledService::Rule& rule = compiled.surcharges[at.index];
    if (!at.settled || at.waived || rule.group >= 0 || rule.struck || rule.less || !rule.discounts.empty()) continue;
    const std::int64_t amount = CertainOf(rule.rule->price, state.zone);
    if (amount > rounding.line) certain += amount - rounding.line;
  }
  return certain;
}

/// What reductions take off at most, of those that can apply on the lane and those that are asked for; nothing: that
/// depends on the parcel.
inline std::optional<std::int64_t> MostOffByReductions(const ServiceState& state, const ShipmentFacts& shipment) {
  const CompiledService& compiled = *state.compiled;
  struct AnyChange {
    bool found = false;
    void Cut(Measure, MeasureValue) { found = true; }
    void Series(Measure, MeasureValue, MeasureValue) { found = true; }
  };
  std::int64_t most = 0;
  bool known = true;
  auto take = [&](const CompiledService::Rule& rule) {
    if (!rule.less) return;
    AnyChange change;
    GatherCuts(rule.rule->price, change);
    known = known && !change.found && rule.percent == nullptr;
    most += (rule.by_date && shipment.dated != nullptr ? std::max<std::int64_t>(shipment.dated[*rule.by_date].micros, 0)
                                                       : CertainOf(rule.rule->price, state.zone)) +
            compiled.tariff->rounding.line;
  };
  for (const LaneRules::Surcharge& at : state.rules.surcharges) {
    if (!at.waived) take(compiled.surcharges[at.index]);
  }
  for (const CompiledService::Rule& rule : compiled.extras) {
    if (shipment.AsksFor(rule.rule->code)) take(rule);
  }
  return known ? std::optional<std::int64_t>(most) : std::nullopt;
}

/// What discounts take off a base of this amount at most, each rounded up to a step of a line.
inline std::int64_t MostOffBase(const CompiledService& compiled, std::int64_t base) {
  constexpr std::int64_t kWhole = 1'000'000;
  std::int64_t percent = 0;
  std::int64_t less = 0;
  std::int64_t deepest = 0;
  std::int64_t greatest = 0;
  std::int64_t lines = 1;
  for (const Discount* discount : compiled.base_discounts) {
    const std::int64_t parts = discount->less ? 0 : discount->percent.ten_thousandths();
    const std::int64_t amount = discount->less ? discount->less->micros() : 0;
    if (discount->adds) {
      percent = std::min(percent + parts, kWhole);
      less = std::min(less + amount, kMostMicros);
      ++lines;
    } else {
      deepest = std::max(deepest, parts);
      greatest = std::max(greatest, amount);
    }
  }
  const Percent all = Percent::TenThousandths(std::min(percent + deepest, kWhole));
  return all.Of(Amount::Micros(base), 1, RoundMode::kUp).micros() + less + greatest +
         lines * compiled.tariff->rounding.line;
}

/// No counted amount is lower where no total of the lines, rounded, is lower than `lowest`.
inline std::int64_t CountedFloor(const Pricer& pricer, const WayToSend& way, std::int64_t lowest) {
  const Tax* const tax = way.service.compiled->tax;
  if (tax == nullptr || !way.service.rules.tax) return lowest;
  // Each line's own rounding: how many there are is not known.
  if (tax->by_line) return 0;
  const MoneyRounding& rounding = way.service.compiled->tariff->rounding;
  const std::int64_t owed = TaxOn(*tax, lowest, rounding);
  if (!tax->listed_with) {
    const bool on_top = !pricer.dispatch().net() && way.service.rules.tax_settled;
    return on_top ? lowest + std::max<std::int64_t>(owed - rounding.line, 0) : lowest;
  }
  // What is left of a greater total is no less, but for the rounding of the tax.
  return pricer.dispatch().net() ? std::max<std::int64_t>(lowest - owed - 2 * rounding.line, 0) : lowest;
}

/// True where the service takes no parcel of so much or more.
inline bool TakesLess(const ServiceState& state, std::int64_t gross) {
  const WeightsAtLeast from{RoundToStep(gross, state.service().measure.weight), gross};
  return std::any_of(state.rules.refuse.begin(), state.rules.refuse.end(), [&](const LaneRules::Rule& rule) {
    return rule.settled || HoldsFrom(state.service().refuse[rule.index].when, from);
  });
}

/// No total of a way at `weight` or more (billable), and at `gross` or more, is lower, in the ranking's currency: the
/// lowest base price that could apply, less the deepest discounts, with the surcharges that are certain, less all
/// reductions that could apply; the others only add.
inline Amount FloorOf(const Pricer& pricer, const WayToSend& way, std::int64_t weight, std::int64_t gross = 0) {
  if (gross > 0 && TakesLess(way.service, gross)) return Amount::Micros(kMostMicros);
  const CompiledService& compiled = *way.service.compiled;
  const MoneyRounding& rounding = compiled.tariff->rounding;
  const std::int64_t base = BaseFloor(way.service, weight, gross);
  const std::optional<std::int64_t> off = MostOffByReductions(way.service, pricer.ShipmentOf(way));
  // Roundings of line, discount and total can each take less than a step.
  const std::int64_t lowest =
      off ? std::max<std::int64_t>(0, base - MostOffBase(compiled, base) - rounding.line - rounding.total +
                                          CertainSurcharges(way.service) - *off)
          : 0;
  return pricer.WithPackaging(way, Amount::Micros(CountedFloor(pricer, way, lowest)))
      .value_or(Amount::Micros(kMostMicros));
}

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_RANKING_INTERNAL_PRICE_FLOOR_H_
