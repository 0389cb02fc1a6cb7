#ifndef TAREWISE_COMPARE_INTERNAL_WORDS_H_
#define TAREWISE_COMPARE_INTERNAL_WORDS_H_

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "tarewise/tariff/tariff.h"
#include "tarewise/units/internal/quantity_text.h"

namespace tarewise::internal {

/// Words and keys of a tariff's rules: words for people, keys to tell whether two rules say the same whatever the
/// units and the order they are written in.

inline std::string JoinWords(const std::vector<std::string>& words, std::string_view between) {
  std::string out;
  for (const std::string& word : words) {
    if (!out.empty()) out += between;
    out += word;
  }
  return out;
}

template <typename Q>
std::string ShortestIn(Q quantity, std::initializer_list<std::string_view> units) {
  std::string best;
  for (const std::string_view unit : units) {
    std::string text = quantity.In(unit);
    if (best.empty() || text.size() < best.size()) best = std::move(text);
  }
  return best;
}
/// In the unit that gives the shortest text: "1 lb", not "453.59237 g".
inline std::string WeightWords(Weight weight) { return ShortestIn(weight, {"lb", "oz", "kg", "g"}); }
inline std::string LengthWords(Length length) { return ShortestIn(length, {"in", "cm", "mm", "m", "mi", "km"}); }
inline std::string LengthWords(std::int64_t nm) { return LengthWords(Length::Nanometres(nm)); }

inline std::string StepWords(StepRounding rounding, bool weight) {
  if (rounding.mode == StepMode::kExact) return "exact";
  constexpr std::string_view kModes[] = {"exact", "up to ", "down to ", "to the nearest "};
  return std::string(kModes[static_cast<int>(rounding.mode)]) +
         (weight ? WeightWords(Weight::Nanograms(rounding.step)) : LengthWords(rounding.step));
}

inline std::string RangeWords(const DateRange& dates) {
  std::string out;
  if (dates.from) out += "from " + dates.from->ToString();
  if (dates.until) out += (out.empty() ? "until " : " until ") + dates.until->ToString();
  return out.empty() ? "any date" : out;
}

inline std::string DaysWords(const std::optional<Days>& days) {
  if (!days) return "not published";
  if (days->least == days->most) return std::to_string(days->most);
  return std::to_string(days->least) + " to " + std::to_string(days->most);
}

template <typename E>
std::string NamesJoined(const std::vector<E>& values, std::string_view between) {
  std::string out;
  for (const E value : values) {
    if (!out.empty()) out += between;
    out += NameOf(value);
  }
  return out;
}

std::string TestWords(const Test& test);
std::string TestKey(const Test& test, bool without_dates = false);

struct ConditionWords {
  std::string operator()(const MeasureCondition& condition) const {
    std::string out = MeasureWords(condition.measure);
    for (std::size_t i = 0; i < condition.bounds.size(); ++i) {
      const Bound& bound = condition.bounds[i];
      out += i == 0 ? " " : " and ";
      out += std::string(kBoundWords[static_cast<int>(bound.op)]) + " " +
             MeasureText(condition.measure, bound.value, bound.unit);
    }
    return out;
  }
  std::string operator()(const ZoneCondition& condition) const {
    return (condition.names.size() == 1 ? "zone " : "zones ") + JoinWords(condition.names, ", ");
  }
  std::string operator()(const ShapeCondition& condition) const {
    return "shape " + NamesJoined(condition.shapes, " or ");
  }
  std::string operator()(const PackagingCondition& condition) const {
    return "packaging " + JoinWords(condition.codes, " or ");
  }
  std::string operator()(const PackagingKindCondition& condition) const {
    return "packaging of kind " + NamesJoined(condition.kinds, " or ");
  }
  std::string operator()(const ModeCondition& condition) const {
    return "mode " + NamesJoined(condition.modes, " or ");
  }
  std::string operator()(const ContentsCondition& condition) const {
    return (condition.every_item ? "every item " : "contents ") +
           JoinWords(condition.traits.Words(), condition.all ? " and " : " or ");
  }
  std::string operator()(const ExtrasCondition& condition) const {
    return "asked for " + JoinWords(condition.codes, condition.all ? " and " : " or ");
  }
  std::string operator()(const FlagCondition& condition) const {
    switch (condition.flag) {
      case FlagCondition::Flag::kRigid:
        return condition.value ? "rigid" : "not rigid";
      case FlagCondition::Flag::kResidential:
        return condition.value ? "to a residence" : "not to a residence";
      case FlagCondition::Flag::kOwnPackaging:
        return condition.value ? "in the sender's own packaging" : "in the carrier's packaging";
    }
    return {};
  }
  std::string operator()(const PlaceCondition& condition) const {
    std::string out = condition.origin ? "from " : "to ";
    const std::vector<Area>& areas = condition.areas.areas();
    constexpr std::size_t kMost = 4;
    for (std::size_t i = 0; i < areas.size() && i < kMost; ++i) out += (i == 0 ? "" : ", ") + areas[i].ToString();
    if (areas.size() > kMost) out += " and " + std::to_string(areas.size() - kMost) + " areas more";
    return out;
  }
  std::string operator()(const DateCondition& condition) const { return RangeWords(condition.dates); }
  std::string operator()(const CompoundCondition& condition) const {
    if (condition.op == CompoundCondition::Op::kNot) return "not (" + TestWords(condition.tests.front()) + ")";
    std::vector<std::string> parts;
    for (const Test& test : condition.tests) parts.push_back("(" + TestWords(test) + ")");
    return JoinWords(parts, condition.op == CompoundCondition::Op::kAny ? " or " : " and ");
  }
};

/// "weight over 60 lb; zone 7"; "always" without conditions.
inline std::string TestWords(const Test& test) {
  if (test.always()) return "always";
  std::vector<std::string> parts;
  for (const Condition& condition : test.conditions) parts.push_back(std::visit(ConditionWords(), condition));
  return JoinWords(parts, "; ");
}

inline std::string SortedKey(std::string_view name, std::vector<std::string> parts) {
  std::sort(parts.begin(), parts.end());
  std::string out(name);
  for (const std::string& part : parts) out += "|" + part;
  return out;
}

inline std::string Int128Key(Int128 value) { return ShortestDecimal(value, 1); }

struct ConditionKey {
  std::string operator()(const MeasureCondition& condition) const {
    return std::string(NameOf(condition.measure)) + "|" + Int128Key(condition.low) + "|" + Int128Key(condition.high);
  }
  std::string operator()(const ZoneCondition& condition) const { return SortedKey("zone", condition.names); }
  std::string operator()(const ShapeCondition& condition) const { return Names("shape", condition.shapes); }
  std::string operator()(const PackagingCondition& condition) const { return SortedKey("packaging", condition.codes); }
  std::string operator()(const PackagingKindCondition& condition) const { return Names("kind", condition.kinds); }
  std::string operator()(const ModeCondition& condition) const { return Names("mode", condition.modes); }
  std::string operator()(const ContentsCondition& condition) const {
    return SortedKey(std::string(condition.every_item ? "each" : "contents") + (condition.all ? "-all" : "-any"),
                     condition.traits.Words());
  }
  std::string operator()(const ExtrasCondition& condition) const {
    return SortedKey(condition.all ? "extras-all" : "extras-any", condition.codes);
  }
  std::string operator()(const FlagCondition& condition) const {
    return "flag|" + std::to_string(static_cast<int>(condition.flag)) + (condition.value ? "+" : "-");
  }
  std::string operator()(const PlaceCondition& condition) const {
    std::vector<std::string> areas;
    for (const Area& area : condition.areas.areas()) areas.push_back(area.ToString());
    return SortedKey(condition.origin ? "from" : "to", std::move(areas));
  }
  std::string operator()(const DateCondition& condition) const { return "date|" + RangeWords(condition.dates); }
  std::string operator()(const CompoundCondition& condition) const {
    std::vector<std::string> tests;
    for (const Test& test : condition.tests) tests.push_back("(" + TestKey(test) + ")");
    constexpr std::string_view kNames[] = {"any", "all", "not"};
    return SortedKey(kNames[static_cast<int>(condition.op)], std::move(tests));
  }

 private:
  template <typename E>
  static std::string Names(std::string_view name, const std::vector<E>& values) {
    std::vector<std::string> names;
    names.reserve(values.size());
    for (const E value : values) names.emplace_back(NameOf(value));
    return SortedKey(name, std::move(names));
  }
};

inline void KeyParts(const Test& test, bool without_dates, std::vector<std::string>& parts) {
  for (const Condition& condition : test.conditions) {
    if (without_dates && std::holds_alternative<DateCondition>(condition)) continue;
    const auto* compound = std::get_if<CompoundCondition>(&condition);
    if (compound != nullptr && compound->op == CompoundCondition::Op::kAll) {
      for (const Test& part : compound->tests) KeyParts(part, without_dates, parts);
    } else {
      parts.push_back(std::visit(ConditionKey(), condition));
    }
  }
}

/// Equal for tests that say the same; the units, the order of conditions and of lists, and tests joined by "all" do not
/// matter. `without_dates` leaves out conditions on the date that must hold.
inline std::string TestKey(const Test& test, bool without_dates) {
  std::vector<std::string> parts;
  KeyParts(test, without_dates, parts);
  return SortedKey("", std::move(parts));
}

/// False where conditions on the date rule the date out, whatever else holds.
inline bool MayHoldOn(const Test& test, Date date) {
  for (const Condition& condition : test.conditions) {
    if (const auto* dates = std::get_if<DateCondition>(&condition)) {
      if (!dates->dates.Has(date)) return false;
    } else if (const auto* compound = std::get_if<CompoundCondition>(&condition)) {
      auto may = [date](const Test& part) { return MayHoldOn(part, date); };
      const std::vector<Test>& tests = compound->tests;
      if (compound->op == CompoundCondition::Op::kAll && !std::all_of(tests.begin(), tests.end(), may)) return false;
      if (compound->op == CompoundCondition::Op::kAny && !std::any_of(tests.begin(), tests.end(), may)) return false;
    }
  }
  return true;
}

/// Weight, length, volume or money of a step or a bound: "1 lb", "100.00".
inline std::string StepText(Measure measure, MeasureValue value) {
  switch (QuantityOf(measure)) {
    case Quantity::kWeight:
      return WeightWords(Weight::Nanograms(static_cast<std::int64_t>(value)));
    case Quantity::kLength:
      return LengthWords(static_cast<std::int64_t>(value));
    case Quantity::kVolume:
    case Quantity::kMoney:
      break;
  }
  return MeasureText(measure, value, "");
}

/// What kind of price it is, without its amounts.
inline std::string PriceWords(const Price& price) {
  if (std::holds_alternative<FlatPrice>(price)) return "one amount";
  if (std::holds_alternative<ZonePrice>(price)) return "an amount by zone";
  if (const auto* table = std::get_if<TablePrice>(&price)) {
    return "a table by " + MeasureWords(table->by) + " of " + std::to_string(table->rows()) + " rows";
  }
  if (const auto* steps = std::get_if<StepPrice>(&price)) {
    return "an amount for each " + steps->step_text + " of " + MeasureWords(steps->measure);
  }
  return "a percentage";
}

/// Strips "-2026-07-12" off a code; empty where it does not end in a date that exists.
inline std::string_view StemOfDated(std::string_view code) {
  constexpr std::size_t kDate = 10;
  if (code.size() < kDate + 2 || code[code.size() - kDate - 1] != '-') return {};
  if (!Date::Parse(code.substr(code.size() - kDate)).ok()) return {};
  return code.substr(0, code.size() - kDate - 1);
}

}  // namespace tarewise::internal

#endif  // TAREWISE_COMPARE_INTERNAL_WORDS_H_
