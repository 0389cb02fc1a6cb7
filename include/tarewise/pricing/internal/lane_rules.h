#ifndef TAREWISE_PRICING_INTERNAL_LANE_RULES_H_
#define TAREWISE_PRICING_INTERNAL_LANE_RULES_H_

#include <cstddef>
#include <cstdint>
#include <optional>
#include <vector>

#include "tarewise/pricing/internal/compiled.h"
#include "tarewise/rules/by_date.h"
#include "tarewise/rules/facts.h"
#include "tarewise/rules/test.h"
#include "tarewise/rules/walk.h"
#include "tarewise/units/percent.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// The rules of a service that can apply on a lane and day, by index. The rest cannot, whatever the parcel: a year of
/// weekly fuel percentages is one rule on any day. What changes by date is settled here too.
struct LaneRules {
  struct Rule {
    std::uint16_t index = 0;
    bool settled = false;  ///< Holds for every parcel here.
    bool waived = false;   ///< Of a price: due once a consignment, and not with this parcel.
  };
  struct Surcharge {
    std::uint16_t index = 0;
    bool settled = false;
    bool waived = false;
    Percent percent;  ///< Of one that is a part of other lines, on the day.
  };
  std::vector<Surcharge> surcharges;
  std::vector<Rule> valueless;  ///< Surcharges without a value on the day: where one is due, nothing is offered.
  std::vector<Rule> prices;
  std::vector<Rule> refuse;
  std::vector<Rule> avoid;  ///< Of the seller's own rules, as the next.
  std::vector<Rule> handicaps;
  bool rare = false;         ///< A tax can be due, or there are `valueless` ones: few lists have either.
  bool tax = false;          ///< The service's tax can be due.
  bool tax_settled = false;  ///< It is, for every parcel here.

  static LaneRules Of(const CompiledService& compiled, const LaneFacts& lane) {
    LaneRules rules;
    const Service& service = *compiled.service;
    rules.AddSurcharges(compiled, &lane);
    Add(rules.prices, service.prices.size(), &lane, [&](std::size_t i) { return &service.prices[i].when; });
    for (Rule& price : rules.prices) price.waived = service.prices[price.index].once && !lane.shipment.first;
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
    rules.rare = rules.tax || !rules.valueless.empty();
    return rules;
  }

  /// Every rule, none of them settled.
  static LaneRules All(const CompiledService& compiled) {
    LaneRules rules;
    auto none = [](std::size_t) -> const Test* { return nullptr; };
    rules.AddSurcharges(compiled, nullptr);
    Add(rules.prices, compiled.service->prices.size(), nullptr, none);
    Add(rules.refuse, compiled.service->refuse.size(), nullptr, none);
    Add(rules.avoid, compiled.own.avoid.size(), nullptr, none);
    Add(rules.handicaps, compiled.own.handicaps.size(), nullptr, none);
    rules.rare = rules.tax = compiled.tax != nullptr;
    return rules;
  }

 private:
  void AddSurcharges(const CompiledService& compiled, const LaneFacts* lane) {
    for (std::size_t i = 0; i < compiled.surcharges.size(); ++i) {
      const CompiledService::Rule& rule = compiled.surcharges[i];
      const std::optional<bool> holds = lane != nullptr ? OnLane(rule.rule->when, *lane) : std::nullopt;
      if (!holds.value_or(true)) continue;
      const auto index = static_cast<std::uint16_t>(i);
      Percent percent = rule.percent != nullptr ? rule.percent->percent : Percent();
      if (rule.by_date && lane != nullptr) {
        const DatedValue value = ValueOn(*lane, *rule.by_date);
        if (!value.known()) {
          valueless.push_back({index, holds.has_value()});
          continue;
        }
        if (rule.percent != nullptr) percent = PercentOf(value.micros);
      }
      const bool waived = lane != nullptr && rule.rule->once && !lane->shipment.first;
      surcharges.push_back({index, holds.has_value(), waived, percent});
    }
  }

  template <typename WhenOf>
  static void Add(std::vector<Rule>& list, std::size_t count, const LaneFacts* lane, WhenOf when_of) {
    for (std::size_t i = 0; i < count; ++i) {
      const std::optional<bool> holds = lane != nullptr ? OnLane(*when_of(i), *lane) : std::nullopt;
      if (holds.value_or(true)) list.push_back({static_cast<std::uint16_t>(i), holds.has_value()});
    }
  }
};

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_PRICING_INTERNAL_LANE_RULES_H_
