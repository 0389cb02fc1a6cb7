#ifndef TAREWISE_RULES_CONDITION_KIND_H_
#define TAREWISE_RULES_CONDITION_KIND_H_

#include <concepts>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "tarewise/rules/facts.h"
#include "tarewise/rules/identity.h"
#include "tarewise/tariff/test.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// What a condition looks at. Whoever sorts rows into classes of equal price goes by it.
enum class Subject : std::uint8_t {
  kParcelMeasure,  ///< Weight and sides: told apart by cuts.
  kMoney,          ///< The declared value, the cover or the cash: told apart by cuts.
  kZone,
  kGoods,      ///< Contents, and whether they bend.
  kPackaging,  ///< Shape, kind, code, issuer.
  kPlace,      ///< The two ends of the lane.
  kDay,
  kWeek,         ///< What the seller sends in a week.
  kConsignment,  ///< How many go together, which is one for all rows, and their weight, told apart by cuts.
  kService,      ///< The mode.
  kAsked,        ///< Extras.
  kTests,        ///< What its own tests look at.
};

/// Names that other documents define.
enum class Named : std::uint8_t { kZone, kPackaging, kExtra };

/// Every question about one kind of condition, answered side by side. A kind has a specialization; `ConditionAnswers`
/// says what it must answer, and there are no answers by default. Answers that several kinds share are bases below: to
/// name one is to answer.
template <typename C>
struct ConditionRule;

/// It compares no measure, so nothing changes at a weight, a side or a value.
struct NoCuts {
  template <typename C, typename Sink>
  static void Cuts(const C&, Sink&) {}
};
/// It uses no name that another document defines.
struct NoNames {
  template <typename C, typename F>
  static void Names(const C&, F) {}
};
/// It is not made of tests.
struct NoTests {
  template <typename C>
  static std::span<const Test> Tests(const C&) {
    return {};
  }
};
/// No day rules it out.
struct AnyDay {
  template <typename C>
  static bool MayHoldOn(const C&, Date) {
    return true;
  }
};
/// It is not settled before the parcel is known.
struct NeedsParcel {
  template <typename C>
  static std::optional<bool> OnLane(const C&, const LaneFacts&) {
    return std::nullopt;
  }
};

// Stand for whatever takes cuts and names.
struct AnyCutSink {
  void Cut(Measure, MeasureValue) {}
  void Series(Measure, MeasureValue, MeasureValue) {}
};
struct AnyNameSink {
  void operator()(Named, const std::string&) const {}
};

/// Refuses to compile where a kind of condition leaves a question open.
template <typename C>
struct ConditionAnswers {
  using R = ConditionRule<C>;
  static_assert(
      requires(const C& c, const PointFacts& at) {
        { R::Holds(c, at) } -> std::same_as<bool>;
      },
      "Holds is open: does this kind of condition hold of a parcel on a lane?");
  static_assert(
      requires(const C& c, const LaneFacts& lane) {
        { R::OnLane(c, lane) } -> std::same_as<std::optional<bool>>;
      },
      "OnLane is open: do the lane, the day and the extras settle this kind of condition, or is it nullopt?");
  static_assert(
      requires(const C& c, AnyCutSink& sink) { R::Cuts(c, sink); },
      "Cuts is open: at which measures can this kind of condition change? (Or NoCuts.)");
  static_assert(
      requires(const C& c) {
        { R::SubjectOf(c) } -> std::same_as<Subject>;
      },
      "SubjectOf is open: what does this kind of condition look at, which rows does it tell apart?");
  static_assert(
      requires(const C& c) {
        { R::Tests(c) } -> std::same_as<std::span<const Test>>;
      },
      "Tests is open: which tests is this kind of condition made of? (Or NoTests.)");
  static_assert(
      requires(const C& c) { R::Names(c, AnyNameSink()); },
      "Names is open: which names of other documents does this kind of condition use? (Or NoNames.)");
  static_assert(
      requires(const C& c, Date date) {
        { R::MayHoldOn(c, date) } -> std::same_as<bool>;
      },
      "MayHoldOn is open: can a day rule this kind of condition out? (Or AnyDay.)");
  static_assert(
      requires(const C& c, IdentityBytes& out) { R::Identity(c, out); },
      "Identity is open: which bytes tell two conditions of this kind apart?");
  static_assert(
      requires(const C& c) {
        { R::Key(c) } -> std::same_as<std::string>;
      },
      "Key is open: when do two conditions of this kind say the same?");
  static_assert(
      requires(const C& c) {
        { R::Words(c) } -> std::same_as<std::string>;
      },
      "Words is open: how is this kind of condition told in words?");
  static_assert(
      requires(const C& c, const PointFacts& at, std::vector<std::string>& out) { R::Why(c, at, false, out); },
      "Why is open: what about a parcel makes this kind of condition hold?");
  static_assert(
      requires(const C& c, const PointFacts& at) {
        { R::WhyNot(c, at) } -> std::same_as<std::string>;
      },
      "WhyNot is open: what about a parcel makes this kind of condition fail?");
};

template <typename T>
bool IsIn(const std::vector<T>& list, const T& value) {
  for (const T& one : list) {
    if (one == value) return true;
  }
  return false;
}

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_RULES_CONDITION_KIND_H_
