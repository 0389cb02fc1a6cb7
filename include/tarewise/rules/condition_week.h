#ifndef TAREWISE_RULES_CONDITION_WEEK_H_
#define TAREWISE_RULES_CONDITION_WEEK_H_

#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "tarewise/rules/condition_kind.h"
#include "tarewise/rules/words.h"
#include "tarewise/tariff/measure.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// What the seller sends with the carrier in a week, which the request states: one figure for every parcel.
template <>
struct ConditionRule<WeekCondition> : NoCuts, NoNames, NoTests, AnyDay {
  static bool Holds(const WeekCondition& condition, const PointFacts& at) { return Within(condition, at.lane); }
  static std::optional<bool> OnLane(const WeekCondition& condition, const LaneFacts& lane) {
    return Within(condition, lane);
  }
  static Subject SubjectOf(const WeekCondition&) { return Subject::kWeek; }
  static void Identity(const WeekCondition& condition, IdentityBytes& out) {
    out.Put(condition.of);
    out.Put(condition.low);
    out.Put(condition.high);
  }
  static std::string Key(const WeekCondition& condition) {
    return std::string(OfParcels(condition) ? "week-parcels" : "week-spend") + "|" + Int128Key(condition.low) + "|" +
           Int128Key(condition.high);
  }
  static std::string Words(const WeekCondition& condition) {
    std::vector<std::string> bounds;
    for (const Bound& bound : condition.bounds) bounds.push_back(BoundText(condition, bound));
    return std::string(OfParcels(condition) ? "parcels a week " : "spent in a week ") + JoinWords(bounds, " and ");
  }
  static void Why(const WeekCondition& condition, const PointFacts& at, bool, std::vector<std::string>& out) {
    std::string text = Told(condition, at.lane);
    for (const Bound& bound : condition.bounds) text += ", " + BoundText(condition, bound);
    out.push_back(std::move(text));
  }
  static std::string WhyNot(const WeekCondition& condition, const PointFacts& at) {
    if (Within(condition, at.lane)) return {};
    std::string text = Told(condition, at.lane) + ", not";
    for (const Bound& bound : condition.bounds) text += " " + BoundText(condition, bound);
    return text;
  }

 private:
  static bool OfParcels(const WeekCondition& condition) { return condition.of == WeekCondition::Of::kParcels; }
  static MeasureValue ValueIn(const WeekCondition& condition, const LaneFacts& lane) {
    return OfParcels(condition) ? lane.shipment.week.parcels : lane.shipment.week.spend;
  }
  static bool Within(const WeekCondition& condition, const LaneFacts& lane) {
    const MeasureValue value = ValueIn(condition, lane);
    return condition.low <= value && value <= condition.high;
  }
  static std::string Shown(const WeekCondition& condition, MeasureValue value) {
    return OfParcels(condition) ? Int128Key(value) : MeasureText(Measure::kValue, value, "");
  }
  static std::string Told(const WeekCondition& condition, const LaneFacts& lane) {
    const std::string value = Shown(condition, ValueIn(condition, lane));
    return OfParcels(condition) ? value + " parcels a week" : value + " spent in a week";
  }
  static std::string BoundText(const WeekCondition& condition, const Bound& bound) {
    return std::string(kBoundWords[static_cast<int>(bound.op)]) + " " + Shown(condition, bound.value);
  }
};

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_RULES_CONDITION_WEEK_H_
