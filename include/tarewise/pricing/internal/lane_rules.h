#ifndef TAREWISE_PRICING_INTERNAL_LANE_RULES_H_
#define TAREWISE_PRICING_INTERNAL_LANE_RULES_H_

#include <cstddef>
#include <cstdint>
#include <optional>
#include <vector>

#include "tarewise/pricing/internal/compiled.h"
#include "tarewise/rules/facts.h"
#include "tarewise/rules/test.h"
#include "tarewise/rules/walk.h"

namespace tarewise::internal {

/// The rules of a service that can apply on a lane and day, by index. The rest cannot, whatever the parcel: a year of
/// weekly fuel percentages is one rule on any day.
struct LaneRules {
  struct Rule {
    std::uint16_t index = 0;
    bool settled = false;  ///< Holds for every parcel here.
  };
  std::vector<Rule> surcharges;
  std::vector<Rule> prices;
  std::vector<Rule> refuse;
  std::vector<Rule> avoid;  ///< Of the seller's own rules, as the next.
  std::vector<Rule> handicaps;
  bool tax = false;          ///< The service's tax can be due.
  bool tax_settled = false;  ///< It is, for every parcel here.

  static LaneRules Of(const CompiledService& compiled, const LaneFacts& lane) {
    LaneRules rules;
    const Service& service = *compiled.service;
    Add(rules.surcharges, compiled.surcharges.size(), &lane,
        [&](std::size_t i) { return &compiled.surcharges[i].rule->when; });
    Add(rules.prices, service.prices.size(), &lane, [&](std::size_t i) { return &service.prices[i].when; });
    Add(rules.refuse, service.refuse.size(), &lane, [&](std::size_t i) { return &service.refuse[i].when; });
    const OwnRules& own = compiled.own;
    const ShipmentFacts for_seller = lane.shipment.ForSeller();
    const LaneFacts own_lane{lane.tariff, lane.mode, lane.zone, for_seller};
    Add(rules.avoid, own.avoid.size(), &own_lane, [&](std::size_t i) { return &own.avoid[i]->when; });
    Add(rules.handicaps, own.handicaps.size(), &own_lane, [&](std::size_t i) { return &own.handicaps[i]->when; });
    if (compiled.tax != nullptr) {
      const std::optional<bool> due = OnLane(compiled.tax->when, lane);
      rules.tax = due.value_or(true);
      rules.tax_settled = due.has_value();
    }
    return rules;
  }

  /// Every rule, none of them settled.
  static LaneRules All(const CompiledService& compiled) {
    LaneRules rules;
    auto none = [](std::size_t) -> const Test* { return nullptr; };
    Add(rules.surcharges, compiled.surcharges.size(), nullptr, none);
    Add(rules.prices, compiled.service->prices.size(), nullptr, none);
    Add(rules.refuse, compiled.service->refuse.size(), nullptr, none);
    Add(rules.avoid, compiled.own.avoid.size(), nullptr, none);
    Add(rules.handicaps, compiled.own.handicaps.size(), nullptr, none);
    rules.tax = compiled.tax != nullptr;
    return rules;
  }

 private:
  template <typename WhenOf>
  static void Add(std::vector<Rule>& list, std::size_t count, const LaneFacts* lane, WhenOf when_of) {
    for (std::size_t i = 0; i < count; ++i) {
      const std::optional<bool> holds = lane != nullptr ? OnLane(*when_of(i), *lane) : std::nullopt;
      if (holds.value_or(true)) list.push_back({static_cast<std::uint16_t>(i), holds.has_value()});
    }
  }
};

}  // namespace tarewise::internal

#endif  // TAREWISE_PRICING_INTERNAL_LANE_RULES_H_
