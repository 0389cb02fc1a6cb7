#ifndef TAREWISE_RULES_CONDITION_ZONE_H_
#define TAREWISE_RULES_CONDITION_ZONE_H_

#include <optional>
#include <string>
#include <vector>

#include "tarewise/rules/condition_kind.h"
#include "tarewise/rules/words.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// The zone that the tariff's chart gives the lane.
template <>
struct ConditionRule<ZoneCondition> : NoCuts, NoTests, AnyDay {
  static bool Holds(const ZoneCondition& condition, const PointFacts& at) { return Has(condition, at.lane); }
  static std::optional<bool> OnLane(const ZoneCondition& condition, const LaneFacts& lane) {
    return Has(condition, lane);
  }
  static Subject SubjectOf(const ZoneCondition&) { return Subject::kZone; }

  template <typename F>
  static void Names(const ZoneCondition& condition, F name) {
    for (const std::string& zone : condition.names) name(Named::kZone, zone);
  }

  static void Identity(const ZoneCondition& condition, IdentityBytes& out) {
    out.Put(condition.zones);
    out.Put(condition.names);
  }
  static std::string Key(const ZoneCondition& condition) { return SortedKey("zone", condition.names); }
  static std::string Words(const ZoneCondition& condition) {
    return (condition.names.size() == 1 ? "zone " : "zones ") + JoinWords(condition.names, ", ");
  }
  static void Why(const ZoneCondition&, const PointFacts& at, bool, std::vector<std::string>& out) {
    const std::vector<std::string>& names = at.lane.tariff.zone_names;
    if (at.lane.zone < names.size()) out.push_back("zone " + names[at.lane.zone]);
  }
  static std::string WhyNot(const ZoneCondition&, const PointFacts&) { return {}; }

 private:
  static bool Has(const ZoneCondition& condition, const LaneFacts& lane) {
    if (!condition.zones.empty()) return IsIn(condition.zones, lane.zone);
    // Terms stand beside every version of a tariff, so they name zones.
    return lane.zone < lane.tariff.zone_names.size() && IsIn(condition.names, lane.tariff.zone_names[lane.zone]);
  }
};

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_RULES_CONDITION_ZONE_H_
