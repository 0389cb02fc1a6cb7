#ifndef TAREWISE_RULES_CONDITION_LANE_H_
#define TAREWISE_RULES_CONDITION_LANE_H_

#include <algorithm>
#include <cstddef>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "tarewise/rules/condition_kind.h"
#include "tarewise/rules/words.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

// What is settled before any parcel is known: the two places, the day, the service's mode, the extras asked for.

template <>
struct ConditionRule<PlaceCondition> : NoCuts, NoNames, NoTests, AnyDay {
  static bool Holds(const PlaceCondition& condition, const PointFacts& at) { return Has(condition, at.lane); }
  static std::optional<bool> OnLane(const PlaceCondition& condition, const LaneFacts& lane) {
    return Has(condition, lane);
  }
  static Subject SubjectOf(const PlaceCondition&) { return Subject::kPlace; }
  static void Identity(const PlaceCondition& condition, IdentityBytes& out) {
    out.Put(condition.origin);
    out.Each(condition.areas.areas(), [&out](const Area& area) {
      out.Put(area.country);
      out.Put(area.first);
      out.Put(area.last);
    });
    // A list is told by what is in it: another tariff's of that name has other areas.
    out.Each(condition.lists, [&out](const AreaList& list) { out.Put(list.digest()); });
  }
  // Lists go by their names; what changes in one is told once, of the list.
  static std::string Key(const PlaceCondition& condition) {
    std::vector<std::string> areas;
    for (const AreaList& list : condition.lists) areas.push_back(list.ToString());
    for (const Area& area : condition.areas.areas()) areas.push_back(area.ToString());
    return SortedKey(condition.origin ? "from" : "to", std::move(areas));
  }
  static std::string Words(const PlaceCondition& condition) {
    std::string out = condition.origin ? "from " : "to ";
    std::vector<std::string> names;
    for (const AreaList& list : condition.lists) names.push_back(list.ToString());
    const std::vector<Area>& areas = condition.areas.areas();
    constexpr std::size_t kMost = 4;
    for (std::size_t i = 0; i < areas.size() && i < kMost; ++i) names.push_back(areas[i].ToString());
    out += JoinWords(names, ", ");
    if (areas.size() > kMost) out += " and " + std::to_string(areas.size() - kMost) + " areas more";
    return out;
  }
  static void Why(const PlaceCondition& condition, const PointFacts& at, bool, std::vector<std::string>& out) {
    const Place& place = EndOf(condition, at.lane);
    std::string text = condition.origin ? "from " : "to ";
    text += place.country();
    if (!place.postal_code().empty()) text += " " + place.postal_code();
    for (const Area& area : condition.areas.areas()) {
      if (area.Has(place)) {
        out.push_back(text + ", in " + area.ToString());
        return;
      }
    }
    for (const AreaList& list : condition.lists) {
      if (!list.Has(place)) continue;
      text += ", in " + list.ToString();
      break;
    }
    out.push_back(std::move(text));
  }
  static std::string WhyNot(const PlaceCondition& condition, const PointFacts&) {
    return std::string(condition.origin ? "from" : "to") + " a place outside the areas named";
  }

 private:
  static const Place& EndOf(const PlaceCondition& condition, const LaneFacts& lane) {
    return condition.origin ? lane.shipment.lane->from : lane.shipment.lane->to;
  }
  static bool Has(const PlaceCondition& condition, const LaneFacts& lane) {
    return condition.Has(EndOf(condition, lane));
  }
};

template <>
struct ConditionRule<DateCondition> : NoCuts, NoNames, NoTests {
  static bool Holds(const DateCondition& condition, const PointFacts& at) {
    return condition.Has(at.lane.shipment.date);
  }
  static std::optional<bool> OnLane(const DateCondition& condition, const LaneFacts& lane) {
    return condition.Has(lane.shipment.date);
  }
  static bool MayHoldOn(const DateCondition& condition, Date date) { return condition.Has(date); }
  static Subject SubjectOf(const DateCondition&) { return Subject::kDay; }
  static void Identity(const DateCondition& condition, IdentityBytes& out) {
    out.Put(condition.dates);
    out.Put(condition.days.bits());
  }
  static std::string Key(const DateCondition& condition) { return "date|" + Words(condition); }
  static std::string Words(const DateCondition& condition) {
    if (condition.days.empty()) return RangeWords(condition.dates);
    const std::string on = "on " + WeekdayWords(condition.days, " or ");
    return condition.dates == DateRange() ? on : RangeWords(condition.dates) + " " + on;
  }
  static void Why(const DateCondition& condition, const PointFacts& at, bool, std::vector<std::string>& out) {
    std::string text = "handed over on " + at.lane.shipment.date.ToString();
    if (!condition.days.empty()) text += " (" + std::string(NameOf(WeekdayOf(at.lane.shipment.date))) + ")";
    if (condition.dates.from) text += ", from " + condition.dates.from->ToString();
    if (condition.dates.until) text += " until " + condition.dates.until->ToString();
    out.push_back(std::move(text));
  }
  static std::string WhyNot(const DateCondition&, const PointFacts&) { return {}; }
};

template <>
struct ConditionRule<ModeCondition> : NoCuts, NoNames, NoTests, AnyDay {
  static bool Holds(const ModeCondition& condition, const PointFacts& at) {
    return IsIn(condition.modes, at.lane.mode);
  }
  static std::optional<bool> OnLane(const ModeCondition& condition, const LaneFacts& lane) {
    return IsIn(condition.modes, lane.mode);
  }
  static Subject SubjectOf(const ModeCondition&) { return Subject::kService; }
  static void Identity(const ModeCondition& condition, IdentityBytes& out) { out.Put(condition.modes); }
  static std::string Key(const ModeCondition& condition) { return SortedKey("mode", NamesOf(condition.modes)); }
  static std::string Words(const ModeCondition& condition) {
    return "mode " + JoinWords(NamesOf(condition.modes), " or ");
  }
  static void Why(const ModeCondition& condition, const PointFacts&, bool, std::vector<std::string>& out) {
    for (const Mode mode : condition.modes) out.push_back("mode " + std::string(NameOf(mode)));
  }
  static std::string WhyNot(const ModeCondition&, const PointFacts&) { return {}; }
};

template <>
struct ConditionRule<ExtrasCondition> : NoCuts, NoTests, AnyDay {
  static bool Holds(const ExtrasCondition& condition, const PointFacts& at) { return Asked(condition, at.lane); }
  static std::optional<bool> OnLane(const ExtrasCondition& condition, const LaneFacts& lane) {
    const bool asked = Asked(condition, lane);
    return asked || !lane.shipment.asks ? std::optional<bool>(asked) : std::nullopt;
  }
  static Subject SubjectOf(const ExtrasCondition&) { return Subject::kAsked; }
  template <typename F>
  static void Names(const ExtrasCondition& condition, F name) {
    for (const std::string& code : condition.codes) name(Named::kExtra, code);
  }
  static void Identity(const ExtrasCondition& condition, IdentityBytes& out) {
    out.Put(condition.all);
    out.Put(condition.codes);
  }
  static std::string Key(const ExtrasCondition& condition) {
    return SortedKey(condition.all ? "extras-all" : "extras-any", condition.codes);
  }
  static std::string Words(const ExtrasCondition& condition) {
    return "asked for " + JoinWords(condition.codes, condition.all ? " and " : " or ");
  }
  static void Why(const ExtrasCondition& condition, const PointFacts&, bool, std::vector<std::string>& out) {
    out.push_back("asked for: " + JoinWords(condition.codes, ", "));
  }
  static std::string WhyNot(const ExtrasCondition&, const PointFacts&) { return {}; }

 private:
  static bool Asked(const ExtrasCondition& condition, const LaneFacts& lane) {
    auto asked = [&lane](const std::string& code) { return lane.shipment.AsksFor(code); };
    return condition.all ? std::all_of(condition.codes.begin(), condition.codes.end(), asked)
                         : std::any_of(condition.codes.begin(), condition.codes.end(), asked);
  }
};

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_RULES_CONDITION_LANE_H_
