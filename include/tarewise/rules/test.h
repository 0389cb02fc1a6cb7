#ifndef TAREWISE_RULES_TEST_H_
#define TAREWISE_RULES_TEST_H_

// Every question that can be asked of a test, and the kind of condition that is made of tests. Conditions of conditions
// are followed here and nowhere else. Who wants to know a thing of a test includes this; each kind answers in its file.

#include <algorithm>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <type_traits>
#include <utility>
#include <variant>
#include <vector>

#include "tarewise/rules/condition_kind.h"
#include "tarewise/rules/condition_lane.h"
#include "tarewise/rules/condition_measure.h"
#include "tarewise/rules/condition_parcel.h"
#include "tarewise/rules/condition_week.h"
#include "tarewise/rules/condition_zone.h"
#include "tarewise/rules/visit.h"
#include "tarewise/rules/words.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

bool Holds(const Test& test, const PointFacts& at);
std::optional<bool> OnLane(const Test& test, const LaneFacts& lane);
bool MayHoldOn(const Test& test, Date date);
void PutTest(const Test& test, IdentityBytes& out);
std::string TestKey(const Test& test, bool without_dates = false);
std::string TestWords(const Test& test);
void Why(const Test& test, const PointFacts& at, bool as_limit, std::vector<std::string>& out);
void WhyNot(const Test& test, const PointFacts& at, std::vector<std::string>& out);

/// Any, all or none of some tests. What it compares and names is what its tests do.
template <>
struct ConditionRule<CompoundCondition> : NoCuts, NoNames {
  using Op = CompoundCondition::Op;

  static std::span<const Test> Tests(const CompoundCondition& compound) { return compound.tests; }
  static Subject SubjectOf(const CompoundCondition&) { return Subject::kTests; }

  static bool Holds(const CompoundCondition& compound, const PointFacts& at) {
    auto holds = [&at](const Test& test) { return internal::Holds(test, at); };
    switch (compound.op) {
      case Op::kAny:
        return std::any_of(compound.tests.begin(), compound.tests.end(), holds);
      case Op::kAll:
        return std::all_of(compound.tests.begin(), compound.tests.end(), holds);
      case Op::kNot:
        return !holds(compound.tests.front());
    }
    return false;
  }

  static std::optional<bool> OnLane(const CompoundCondition& compound, const LaneFacts& lane) {
    if (compound.op == Op::kNot) {
      const std::optional<bool> inner = internal::OnLane(compound.tests.front(), lane);
      return inner ? std::optional<bool>(!*inner) : std::nullopt;
    }
    // Any: one that holds settles it; all: one that does not.
    const bool settles = compound.op == Op::kAny;
    bool all_settled = true;
    for (const Test& test : compound.tests) {
      const std::optional<bool> holds = internal::OnLane(test, lane);
      if (holds && *holds == settles) return settles;
      all_settled = all_settled && holds.has_value();
    }
    return all_settled ? std::optional<bool>(!settles) : std::nullopt;
  }

  static bool MayHoldOn(const CompoundCondition& compound, Date date) {
    auto may = [date](const Test& test) { return internal::MayHoldOn(test, date); };
    switch (compound.op) {
      case Op::kAny:
        return std::any_of(compound.tests.begin(), compound.tests.end(), may);
      case Op::kAll:
        return std::all_of(compound.tests.begin(), compound.tests.end(), may);
      case Op::kNot:
        break;
    }
    return true;
  }

  static void Identity(const CompoundCondition& compound, IdentityBytes& out) {
    out.Put(compound.op);
    out.Each(compound.tests, [&out](const Test& test) { PutTest(test, out); });
  }

  static std::string Key(const CompoundCondition& compound) {
    std::vector<std::string> tests;
    for (const Test& test : compound.tests) tests.push_back("(" + TestKey(test) + ")");
    constexpr std::string_view kNames[] = {"any", "all", "not"};
    return SortedKey(kNames[static_cast<int>(compound.op)], std::move(tests));
  }

  static std::string Words(const CompoundCondition& compound) {
    if (compound.op == Op::kNot) return "not (" + TestWords(compound.tests.front()) + ")";
    std::vector<std::string> parts;
    for (const Test& test : compound.tests) parts.push_back("(" + TestWords(test) + ")");
    return JoinWords(parts, compound.op == Op::kAny ? " or " : " and ");
  }

  static void Why(const CompoundCondition& compound, const PointFacts& at, bool as_limit,
                  std::vector<std::string>& out) {
    switch (compound.op) {
      case Op::kAny:
        for (const Test& test : compound.tests) {
          if (internal::Holds(test, at)) internal::Why(test, at, as_limit, out);
        }
        break;
      case Op::kAll:
        for (const Test& test : compound.tests) internal::Why(test, at, as_limit, out);
        break;
      case Op::kNot:
        internal::WhyNot(compound.tests.front(), at, out);
        break;
    }
  }
  static std::string WhyNot(const CompoundCondition&, const PointFacts&) { return {}; }
};

/// Asks a condition's own kind.
template <typename Ask>
[[gnu::always_inline]] inline decltype(auto) AskCondition(const Condition& condition, Ask ask) {
  return Visit(
      [&ask]<typename C>(const C& one) -> decltype(auto) {
        static_assert(sizeof(ConditionAnswers<C>) != 0);
        return ask(ConditionRule<C>(), one);
      },
      condition);
}
static_assert(EveryKind<ConditionAnswers, Condition>::kAnswered);

inline bool Holds(const Condition& condition, const PointFacts& at) {
  return AskCondition(condition, [&at](auto rule, const auto& one) { return rule.Holds(one, at); });
}
inline bool Holds(const Test& test, const PointFacts& at) {
  for (const Condition& condition : test.conditions) {
    if (!Holds(condition, at)) return false;
  }
  return true;
}

/// Whether a test holds for every parcel on a lane, or for none; nothing where that depends on the parcel.
inline std::optional<bool> OnLane(const Test& test, const LaneFacts& lane) {
  bool settled = true;
  for (const Condition& condition : test.conditions) {
    const std::optional<bool> holds =
        AskCondition(condition, [&lane](auto rule, const auto& one) { return rule.OnLane(one, lane); });
    if (holds && !*holds) return false;
    settled = settled && holds.has_value();
  }
  return settled ? std::optional<bool>(true) : std::nullopt;
}

/// False where conditions on the date rule the date out, whatever else holds.
inline bool MayHoldOn(const Test& test, Date date) {
  return std::all_of(test.conditions.begin(), test.conditions.end(), [date](const Condition& condition) {
    return AskCondition(condition, [date](auto rule, const auto& one) { return rule.MayHoldOn(one, date); });
  });
}

/// Calls `f` with every condition of a test and of the tests in it, but for those that are made of tests.
template <typename F>
void EachCondition(const Test& test, F&& f) {
  for (const Condition& condition : test.conditions) {
    const std::span<const Test> tests =
        AskCondition(condition, [](auto rule, const auto& one) { return rule.Tests(one); });
    if (tests.empty()) f(condition);
    for (const Test& inner : tests) EachCondition(inner, f);
  }
}

/// What a condition looks at.
inline Subject SubjectOf(const Condition& condition) {
  return AskCondition(condition, [](auto rule, const auto& one) { return rule.SubjectOf(one); });
}

/// True where a condition of the test, at any depth, looks at this.
inline bool Mentions(const Test& test, Subject subject) {
  bool found = false;
  EachCondition(test, [&](const Condition& condition) { found = found || SubjectOf(condition) == subject; });
  return found;
}

/// Tells `sink` where the test can change: `sink.Cut(measure, value)`, up to and including the value.
template <typename Sink>
void GatherCuts(const Test& test, Sink& sink) {
  EachCondition(test, [&sink](const Condition& condition) {
    AskCondition(condition, [&sink](auto rule, const auto& one) { rule.Cuts(one, sink); });
  });
}

/// Calls `name` with what is named in the test and defined elsewhere: a `Named` and the name.
template <typename F>
void EachName(const Test& test, F name) {
  EachCondition(test, [&name](const Condition& condition) {
    AskCondition(condition, [&name](auto rule, const auto& one) { rule.Names(one, name); });
  });
}

/// Equal bytes for equal tests.
inline void PutTest(const Test& test, IdentityBytes& out) {
  out.Each(test.conditions, [&out](const Condition& condition) {
    out.Put(condition.index());
    AskCondition(condition, [&out](auto rule, const auto& one) { rule.Identity(one, out); });
  });
}

inline void TestKeyParts(const Test& test, bool without_dates, std::vector<std::string>& parts) {
  for (const Condition& condition : test.conditions) {
    if (without_dates && SubjectOf(condition) == Subject::kDay) continue;
    const auto* compound = std::get_if<CompoundCondition>(&condition);
    if (compound != nullptr && compound->op == CompoundCondition::Op::kAll) {
      for (const Test& part : compound->tests) TestKeyParts(part, without_dates, parts);
    } else {
      parts.push_back(AskCondition(condition, [](auto rule, const auto& one) { return rule.Key(one); }));
    }
  }
}

/// Equal for tests that say the same; the units, the order of conditions and of lists, and tests joined by "all" do not
/// matter. `without_dates` leaves out conditions on the date that must hold.
inline std::string TestKey(const Test& test, bool without_dates) {
  std::vector<std::string> parts;
  TestKeyParts(test, without_dates, parts);
  return SortedKey("", std::move(parts));
}

/// "weight over 60 lb; zone 7"; "always" without conditions.
inline std::string TestWords(const Test& test) {
  if (test.always()) return "always";
  std::vector<std::string> parts;
  for (const Condition& condition : test.conditions) {
    parts.push_back(AskCondition(condition, [](auto rule, const auto& one) { return rule.Words(one); }));
  }
  return JoinWords(parts, "; ");
}

/// What about the parcel makes each condition of a test hold: "length is 52 in, over 48 in". `as_limit`: as one who is
/// refused wants to hear it.
inline void Why(const Test& test, const PointFacts& at, bool as_limit, std::vector<std::string>& out) {
  for (const Condition& condition : test.conditions) {
    AskCondition(condition, [&](auto rule, const auto& one) { rule.Why(one, at, as_limit, out); });
  }
}
inline std::string Why(const Test& test, const PointFacts& at, bool as_limit) {
  std::vector<std::string> parts;
  Why(test, at, as_limit, parts);
  return JoinWords(parts, "; ");
}

/// Of a test that does not hold, and should not: each measure with the bounds it is outside of; the rest in words.
inline void WhyNot(const Test& test, const PointFacts& at, std::vector<std::string>& out) {
  for (const Condition& condition : test.conditions) {
    std::string failed = AskCondition(condition, [&at](auto rule, const auto& one) { return rule.WhyNot(one, at); });
    if (!failed.empty()) out.push_back(std::move(failed));
  }
}

/// True where a test holds for every parcel of these weights or more, whatever else it is, as far as one bound tells.
inline bool HoldsFrom(const Test& test, const WeightsAtLeast& from) {
  if (test.conditions.size() != 1) return false;
  const auto* bounds = std::get_if<MeasureCondition>(&test.conditions.front());
  return bounds != nullptr && QuantityOf(bounds->measure) == Quantity::kWeight &&
         bounds->high == MeasureCondition::Unbounded() && from.Of(bounds->measure) >= bounds->low;
}

/// True where a test looks at nothing of a parcel but its packaging, and where `sides` says so its sides.
inline bool LooksAtPackagingAlone(const Test& test, bool sides) {
  struct AnyWeight {
    bool found = false;
    void Cut(Measure measure, MeasureValue) { found = found || QuantityOf(measure) == Quantity::kWeight; }
    void Series(Measure measure, MeasureValue, MeasureValue) { Cut(measure, 0); }
  };
  AnyWeight weight;
  GatherCuts(test, weight);
  bool alone = !weight.found;
  EachCondition(test, [&](const Condition& condition) {
    const Subject subject = SubjectOf(condition);
    alone = alone && subject != Subject::kMoney && subject != Subject::kGoods && subject != Subject::kConsignment &&
            subject != Subject::kAsked && (sides || subject != Subject::kParcelMeasure);
  });
  return alone;
}

/// Whether a test holds for every set of some goods, told from each of them alone (`goods`, one or more); nothing where
/// that does not tell it, as of what looks at more than goods and lane. Linear in the goods.
inline std::optional<bool> HoldsForAnyOf(const Test& test, std::span<const PointFacts> goods) {
  bool told = true;
  EachCondition(test, [&](const Condition& condition) {
    const Subject subject = SubjectOf(condition);
    if (subject == Subject::kTests) return;
    told = told && subject != Subject::kMoney && subject != Subject::kParcelMeasure && subject != Subject::kPackaging &&
           subject != Subject::kConsignment && subject != Subject::kAsked;
    // Two traits of two goods may come together.
    const auto* contents = std::get_if<ContentsCondition>(&condition);
    if (contents != nullptr && contents->all && !contents->every_item && contents->traits.size() > 1) told = false;
    if (!told) return;
    const bool first = Holds(condition, goods.front());
    told = std::all_of(goods.begin(), goods.end(), [&](const PointFacts& at) { return Holds(condition, at) == first; });
  });
  return told ? std::optional<bool>(Holds(test, goods.front())) : std::nullopt;
}

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_RULES_TEST_H_
