#ifndef TAREWISE_RULES_CONDITION_MEASURE_H_
#define TAREWISE_RULES_CONDITION_MEASURE_H_

#include <cstddef>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "tarewise/rules/condition_kind.h"
#include "tarewise/rules/measure.h"
#include "tarewise/rules/words.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// A measure within bounds.
template <>
struct ConditionRule<MeasureCondition> : NoNames, NoTests, AnyDay {
  static bool Holds(const MeasureCondition& condition, const PointFacts& at) {
    return Within(condition, ValueOf(condition.measure, at));
  }

  // The value is that of the goods; the cash is asked for, one for all of them, and so is the cover unless some goods
  // ask for more. How many go together is told with the lane, where it is known.
  static std::optional<bool> OnLane(const MeasureCondition& condition, const LaneFacts& lane) {
    if (condition.measure == Measure::kCashOnDelivery) return Within(condition, lane.shipment.cash_on_delivery);
    if (condition.measure == Measure::kPieces && lane.shipment.pieces > 0)
      return Within(condition, lane.shipment.pieces);
    if (condition.measure != Measure::kCover || lane.shipment.asks) return std::nullopt;
    return Within(condition, lane.shipment.cover);
  }

  template <typename Sink>
  static void Cuts(const MeasureCondition& condition, Sink& sink) {
    for (const Bound& bound : condition.bounds) {
      const bool inclusive = bound.op == Bound::Op::kOver || bound.op == Bound::Op::kUpTo;
      sink.Cut(condition.measure, inclusive ? bound.value : bound.value - 1);
    }
  }

  static Subject SubjectOf(const MeasureCondition& condition) {
    if (IsOfConsignment(condition.measure)) return Subject::kConsignment;
    return QuantityOf(condition.measure) == Quantity::kMoney ? Subject::kMoney : Subject::kParcelMeasure;
  }

  static void Identity(const MeasureCondition& condition, IdentityBytes& out) {
    out.Put(condition.measure);
    out.Put(condition.low);
    out.Put(condition.high);
    // Cuts come from the bounds as they stand.
    out.Each(condition.bounds, [&out](const Bound& bound) {
      out.Put(bound.op);
      out.Put(bound.value);
    });
  }

  static std::string Key(const MeasureCondition& condition) {
    return std::string(NameOf(condition.measure)) + "|" + Int128Key(condition.low) + "|" + Int128Key(condition.high);
  }

  static std::string Words(const MeasureCondition& condition) {
    std::string out = MeasureWords(condition.measure);
    for (std::size_t i = 0; i < condition.bounds.size(); ++i) {
      out += i == 0 ? " " : " and ";
      out += BoundText(condition, condition.bounds[i]);
    }
    return out;
  }

  static void Why(const MeasureCondition& condition, const PointFacts& at, bool as_limit,
                  std::vector<std::string>& out) {
    const MeasureValue value = ValueOf(condition.measure, at);
    for (const Bound& bound : condition.bounds) {
      std::string text =
          MeasureIs(condition.measure) + " " + MeasureShown(condition.measure, value, bound.unit, bound.value);
      const std::string limit = MeasureText(condition.measure, bound.value, bound.unit);
      if (as_limit) {
        switch (bound.op) {
          case Bound::Op::kOver:
            text += ", the limit is " + limit;
            break;
          case Bound::Op::kAtLeast:
            text += ", it must be under " + limit;
            break;
          case Bound::Op::kUnder:
            text += ", the least is " + limit;
            break;
          case Bound::Op::kUpTo:
            text += ", it must be over " + limit;
            break;
        }
      } else {
        text += ", " + BoundText(condition, bound);
      }
      out.push_back(std::move(text));
    }
  }

  static std::string WhyNot(const MeasureCondition& condition, const PointFacts& at) {
    const MeasureValue value = ValueOf(condition.measure, at);
    if (Within(condition, value)) return {};
    const std::string unit = condition.bounds.empty() ? "" : condition.bounds.front().unit;
    std::string text = MeasureIs(condition.measure) + " " + MeasureShown(condition.measure, value, unit) + ", not";
    for (const Bound& bound : condition.bounds) text += " " + BoundText(condition, bound);
    return text;
  }

 private:
  static bool Within(const MeasureCondition& condition, MeasureValue value) {
    return condition.low <= value && value <= condition.high;
  }
  static std::string BoundText(const MeasureCondition& condition, const Bound& bound) {
    return std::string(kBoundWords[static_cast<int>(bound.op)]) + " " +
           MeasureText(condition.measure, bound.value, bound.unit);
  }
};

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_RULES_CONDITION_MEASURE_H_
