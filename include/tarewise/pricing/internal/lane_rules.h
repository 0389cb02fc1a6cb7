#ifndef TAREWISE_PRICING_INTERNAL_LANE_RULES_H_
#define TAREWISE_PRICING_INTERNAL_LANE_RULES_H_

#include <algorithm>
#include <cstdint>
#include <optional>
#include <vector>

#include "tarewise/pricing/internal/compiled.h"
#include "tarewise/pricing/internal/facts.h"

namespace tarewise::internal {

/// What a lane, a day and the extras asked for settle about tests, before any parcel is known.
struct LaneFacts {
  const Tariff& tariff;
  Mode mode;
  ZoneId zone;
  const ShipmentFacts& shipment;

  /// Whether a condition holds, or nothing where that depends on the parcel.
  std::optional<bool> Holds(const Condition& condition) const {
    if (const auto* zones = std::get_if<ZoneCondition>(&condition)) {
      if (!zones->zones.empty()) return std::find(zones->zones.begin(), zones->zones.end(), zone) != zones->zones.end();
      // Terms stand beside every version of a tariff, so they name zones.
      return zone < tariff.zone_names.size() &&
             std::find(zones->names.begin(), zones->names.end(), tariff.zone_names[zone]) != zones->names.end();
    }
    if (const auto* modes = std::get_if<ModeCondition>(&condition)) {
      return std::find(modes->modes.begin(), modes->modes.end(), mode) != modes->modes.end();
    }
    if (const auto* wanted = std::get_if<ExtrasCondition>(&condition)) {
      auto asked = [this](const std::string& code) {
        return (code == "cover" && shipment.cover > 0) ||
               std::find(shipment.extras.begin(), shipment.extras.end(), code) != shipment.extras.end();
      };
      return wanted->all ? std::all_of(wanted->codes.begin(), wanted->codes.end(), asked)
                         : std::any_of(wanted->codes.begin(), wanted->codes.end(), asked);
    }
    if (const auto* flag = std::get_if<FlagCondition>(&condition)) {
      if (flag->flag != FlagCondition::Flag::kResidential) return std::nullopt;
      return shipment.lane->to.residential() == flag->value;
    }
    if (const auto* place = std::get_if<PlaceCondition>(&condition)) {
      return place->areas.Has(place->origin ? shipment.lane->from : shipment.lane->to);
    }
    if (const auto* date = std::get_if<DateCondition>(&condition)) return date->dates.Has(shipment.date);
    if (const auto* measure = std::get_if<MeasureCondition>(&condition)) {
      if (measure->measure != Measure::kCover) return std::nullopt;
      return measure->low <= shipment.cover && MeasureValue(shipment.cover) <= measure->high;
    }
    if (const auto* compound = std::get_if<CompoundCondition>(&condition)) return Holds(*compound);
    return std::nullopt;
  }

  std::optional<bool> Holds(const Test& test) const {
    bool settled = true;
    for (const Condition& condition : test.conditions) {
      const std::optional<bool> holds = Holds(condition);
      if (holds && !*holds) return false;
      settled = settled && holds.has_value();
    }
    return settled ? std::optional<bool>(true) : std::nullopt;
  }

 private:
  std::optional<bool> Holds(const CompoundCondition& compound) const {
    if (compound.op == CompoundCondition::Op::kNot) {
      const std::optional<bool> inner = Holds(compound.tests.front());
      return inner ? std::optional<bool>(!*inner) : std::nullopt;
    }
    // Any: one that holds settles it; all: one that does not.
    const bool settles = compound.op == CompoundCondition::Op::kAny;
    bool all_settled = true;
    for (const Test& test : compound.tests) {
      const std::optional<bool> holds = Holds(test);
      if (holds && *holds == settles) return settles;
      all_settled = all_settled && holds.has_value();
    }
    return all_settled ? std::optional<bool>(!settles) : std::nullopt;
  }
};

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

  static LaneRules Of(const CompiledService& compiled, const LaneFacts& lane) {
    LaneRules rules;
    const Service& service = *compiled.service;
    Add(rules.surcharges, compiled.surcharges.size(), &lane,
        [&](std::size_t i) { return &compiled.surcharges[i].rule->when; });
    Add(rules.prices, service.prices.size(), &lane, [&](std::size_t i) { return &service.prices[i].when; });
    Add(rules.refuse, service.refuse.size(), &lane, [&](std::size_t i) { return &service.refuse[i].when; });
    return rules;
  }

  /// Every rule, none of them settled.
  static LaneRules All(const CompiledService& compiled) {
    LaneRules rules;
    auto none = [](std::size_t) -> const Test* { return nullptr; };
    Add(rules.surcharges, compiled.surcharges.size(), nullptr, none);
    Add(rules.prices, compiled.service->prices.size(), nullptr, none);
    Add(rules.refuse, compiled.service->refuse.size(), nullptr, none);
    return rules;
  }

 private:
  template <typename WhenOf>
  static void Add(std::vector<Rule>& list, std::size_t count, const LaneFacts* lane, WhenOf when_of) {
    for (std::size_t i = 0; i < count; ++i) {
      const std::optional<bool> holds = lane != nullptr ? lane->Holds(*when_of(i)) : std::nullopt;
      if (holds.value_or(true)) list.push_back({static_cast<std::uint16_t>(i), holds.has_value()});
    }
  }
};

}  // namespace tarewise::internal

#endif  // TAREWISE_PRICING_INTERNAL_LANE_RULES_H_
