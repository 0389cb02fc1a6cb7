#ifndef TAREWISE_RULES_PRICE_STEP_H_
#define TAREWISE_RULES_PRICE_STEP_H_

#include <algorithm>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "tarewise/rules/measure.h"
#include "tarewise/rules/price_kind.h"
#include "tarewise/units/internal/quantity_text.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// So much for each step begun.
template <>
struct PriceRule<StepPrice> : OwnAmount, SameEveryDay, NothingCertain, NoGrid, NoColumn, BilledAsMeasured {
  static constexpr Basis::Kind kBasis = Basis::Kind::kStep;

  static void Measures(const StepPrice& price, auto f) { f(price.measure); }

  static std::int64_t At(const StepPrice& price, const PointFacts& at, Basis* basis) {
    const MeasureValue measured = ValueOf(price.measure, at);
    const std::int64_t begun = std::max<std::int64_t>(PricedSteps(measured, price.step), 1);
    if (basis != nullptr) {
      basis->measured = measured;
      basis->steps = begun;
    }
    return WithSteps(price.first.micros(), begun - 1, price.each.micros());
  }

  // Steps that add nothing are no cuts; without this a search for the next change would never end.
  template <typename Sink>
  static void Cuts(const StepPrice& price, Sink& sink) {
    if (price.each.micros() > 0) sink.Series(price.measure, price.step, price.step);
  }

  static std::int64_t Least(const StepPrice& price, ZoneId, const WeightsAtLeast& from) {
    const std::int64_t begun = std::max<std::int64_t>(PricedSteps(from.Of(price.measure), price.step), 1);
    return WithSteps(price.first.micros(), begun - 1, price.each.micros());
  }
  static bool CoversAll(const StepPrice&, const std::vector<bool>*) { return true; }
  static void Identity(const StepPrice& price, IdentityBytes& out) {
    out.Put(price.measure);
    out.Put(price.step);
    out.Put(price.first);
    out.Put(price.each);
    out.Put(price.each.micros() > 0);
  }

  // The steps have a unit, a grid there is not.
  static std::optional<std::string_view> GridUnit(const StepPrice&) { return std::nullopt; }
  static std::string Words(const StepPrice& price) {
    return "an amount for each " + price.step_text + " of " + MeasureWords(price.measure);
  }
  static void Why(const StepPrice& price, const LineFacts& line, std::vector<std::string>& out) {
    std::string_view unit = price.step_text;
    while (!unit.empty() && !IsLetter(unit.front())) unit.remove_prefix(1);
    out.push_back(MeasuredWords(price.measure, line, unit));
    out.push_back(StepsSaid(line.basis.steps) + " of " + price.step_text + " begun");
  }
};

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_RULES_PRICE_STEP_H_
