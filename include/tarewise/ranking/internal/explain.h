#ifndef TAREWISE_RANKING_INTERNAL_EXPLAIN_H_
#define TAREWISE_RANKING_INTERNAL_EXPLAIN_H_

#include <string>
#include <string_view>
#include <vector>

#include "tarewise/pricing/internal/evaluate.h"

namespace tarewise::internal {

inline std::string Joined(const std::vector<std::string>& words, std::string_view between) {
  std::string out;
  for (const std::string& word : words) {
    if (!out.empty()) out += between;
    out += word;
  }
  return out;
}

// What about the parcel makes each condition of a test hold: "length is 52 in, over 48 in".
inline void DescribeTest(const Test& test, const Evaluation& evaluation, const Tariff& tariff, bool as_limit,
                         std::vector<std::string>& out, bool holds = true);

inline void DescribeCondition(const Condition& condition, const Evaluation& evaluation, const Tariff& tariff,
                              bool as_limit, std::vector<std::string>& out) {
  struct Visitor {
    const Evaluation& evaluation;
    const Tariff& tariff;
    bool as_limit;
    std::vector<std::string>& out;

    void operator()(const MeasureCondition& condition) const {
      const MeasureValue value = evaluation.Get(condition.measure);
      for (const Bound& bound : condition.bounds) {
        std::string text =
            MeasureWords(condition.measure) + " is " + MeasureShown(condition.measure, value, bound.unit, bound.value);
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
          text += ", " + std::string(kBoundWords[static_cast<int>(bound.op)]) + " " + limit;
        }
        out.push_back(std::move(text));
      }
    }
    void operator()(const ZoneCondition&) const {
      if (evaluation.zone() < tariff.zone_names.size()) out.push_back("zone " + tariff.zone_names[evaluation.zone()]);
    }
    void operator()(const ShapeCondition&) const {
      out.push_back("shape is " + std::string(NameOf(evaluation.parcel().shape)));
    }
    void operator()(const PackagingCondition&) const {
      out.push_back("packaging is " + std::string(evaluation.parcel().packaging));
    }
    void operator()(const PackagingKindCondition&) const {
      out.push_back("packaging is of kind " + std::string(NameOf(evaluation.parcel().kind)));
    }
    void operator()(const ModeCondition& condition) const {
      for (const Mode mode : condition.modes) out.push_back("mode " + std::string(NameOf(mode)));
    }
    void operator()(const ContentsCondition& condition) const {
      std::vector<std::string> present;
      for (const std::string& word : condition.traits.Words()) {
        Contents one;
        if (one.Add(word).ok() && evaluation.parcel().contents->HasAll(one)) present.push_back(word);
      }
      out.push_back((condition.every_item ? "every item: " : "contents: ") + Joined(present, ", "));
    }
    void operator()(const ExtrasCondition& condition) const {
      out.push_back("asked for: " + Joined(condition.codes, ", "));
    }
    void operator()(const FlagCondition& condition) const {
      switch (condition.flag) {
        case FlagCondition::Flag::kRigid:
          out.emplace_back(condition.value ? "rigid" : "not rigid");
          break;
        case FlagCondition::Flag::kResidential:
          out.emplace_back(condition.value ? "to a residence" : "not to a residence");
          break;
        case FlagCondition::Flag::kOwnPackaging:
          out.emplace_back(condition.value ? "in the sender's own packaging" : "in the carrier's packaging");
          break;
      }
    }
    void operator()(const PlaceCondition& condition) const {
      const Place& place = condition.origin ? evaluation.shipment().lane->from : evaluation.shipment().lane->to;
      std::string text = condition.origin ? "from " : "to ";
      text += place.country();
      if (!place.postal_code().empty()) text += " " + place.postal_code();
      for (const Area& area : condition.areas.areas()) {
        if (area.Has(place)) {
          text += ", in " + area.ToString();
          break;
        }
      }
      out.push_back(std::move(text));
    }
    void operator()(const DateCondition& condition) const {
      std::string text = "handed over on " + evaluation.shipment().date.ToString();
      if (condition.dates.from) text += ", from " + condition.dates.from->ToString();
      if (condition.dates.until) text += " until " + condition.dates.until->ToString();
      out.push_back(std::move(text));
    }
    void operator()(const CompoundCondition& condition) const {
      switch (condition.op) {
        case CompoundCondition::Op::kAny:
          for (const Test& test : condition.tests) {
            if (evaluation.Holds(test)) DescribeTest(test, evaluation, tariff, as_limit, out);
          }
          break;
        case CompoundCondition::Op::kAll:
          for (const Test& test : condition.tests) DescribeTest(test, evaluation, tariff, as_limit, out);
          break;
        case CompoundCondition::Op::kNot:
          DescribeTest(condition.tests.front(), evaluation, tariff, as_limit, out, false);
          break;
      }
    }
  };
  std::visit(Visitor{evaluation, tariff, as_limit, out}, condition);
}

// A test that does not hold, and should not: each measure of it with the bounds it is outside of; the rest in words.
inline std::string DescribeFailed(const Condition& condition, const Evaluation& evaluation) {
  if (const auto* measure = std::get_if<MeasureCondition>(&condition)) {
    const MeasureValue value = evaluation.Get(measure->measure);
    if (value >= measure->low && value <= measure->high) return {};
    const std::string unit = measure->bounds.empty() ? "" : measure->bounds.front().unit;
    std::string text = MeasureWords(measure->measure) + " is " + MeasureShown(measure->measure, value, unit) + ", not";
    for (const Bound& bound : measure->bounds) {
      text += " " + std::string(kBoundWords[static_cast<int>(bound.op)]) + " " +
              MeasureText(measure->measure, bound.value, bound.unit);
    }
    return text;
  }
  if (std::holds_alternative<ContentsCondition>(condition)) {
    const auto& contents = std::get<ContentsCondition>(condition);
    return std::string(contents.every_item ? "not every item is " : "contents are not ") +
           Joined(contents.traits.Words(), contents.all ? " and " : " or ");
  }
  if (std::holds_alternative<ShapeCondition>(condition)) {
    return "shape is " + std::string(NameOf(evaluation.parcel().shape));
  }
  if (std::holds_alternative<PackagingKindCondition>(condition)) {
    return "packaging is of kind " + std::string(NameOf(evaluation.parcel().kind));
  }
  if (std::holds_alternative<PackagingCondition>(condition)) {
    return "packaging is " + (evaluation.parcel().packaging.empty() ? std::string("the seller's own")
                                                                    : std::string(evaluation.parcel().packaging));
  }
  if (std::holds_alternative<FlagCondition>(condition)) {
    const auto& flag = std::get<FlagCondition>(condition);
    const bool now = !flag.value;
    switch (flag.flag) {
      case FlagCondition::Flag::kRigid:
        return now ? "rigid" : "not rigid";
      case FlagCondition::Flag::kResidential:
        return now ? "to a residence" : "not to a residence";
      case FlagCondition::Flag::kOwnPackaging:
        return now ? "in the sender's own packaging" : "in the carrier's packaging";
    }
  }
  if (std::holds_alternative<PlaceCondition>(condition)) {
    const auto& place = std::get<PlaceCondition>(condition);
    return std::string(place.origin ? "from" : "to") + " a place outside the areas named";
  }
  return {};
}

inline void DescribeTest(const Test& test, const Evaluation& evaluation, const Tariff& tariff, bool as_limit,
                         std::vector<std::string>& out, bool holds) {
  for (const Condition& condition : test.conditions) {
    if (holds) {
      DescribeCondition(condition, evaluation, tariff, as_limit, out);
    } else if (std::string failed = DescribeFailed(condition, evaluation); !failed.empty()) {
      out.push_back(std::move(failed));
    }
  }
}

inline std::string DescribeTest(const Test& test, const Evaluation& evaluation, const Tariff& tariff, bool as_limit) {
  std::vector<std::string> parts;
  DescribeTest(test, evaluation, tariff, as_limit, parts);
  return Joined(parts, "; ");
}

inline std::string DescribeBillable(Weight billable, BillableFrom from, std::string_view unit) {
  return "billable weight " + MeasureShown(Measure::kBillableWeight, billable.nanograms(), unit) + " (" +
         std::string(kBillableFromNames[static_cast<int>(from)]) + ")";
}

}  // namespace tarewise::internal

#endif  // TAREWISE_RANKING_INTERNAL_EXPLAIN_H_
