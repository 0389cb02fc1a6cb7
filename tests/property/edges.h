#ifndef TAREWISE_TESTS_PROPERTY_EDGES_H_
#define TAREWISE_TESTS_PROPERTY_EDGES_H_

#include <algorithm>
#include <array>
#include <cstdint>
#include <functional>
#include <set>
#include <utility>
#include <vector>

#include "support/exact.h"
#include "support/worlds.h"

namespace tarewise::testing {

/// Every place along a weight or a side where a rule of a service can see a difference, found without the library's
/// cuts: each measure only rises with the weight and with each side, so the first place at which it reaches or passes a
/// bound is found by halving.
class Edges {
 public:
  /// Of one service of a ranking, with the discounts of the terms beside it.
  Edges(const Ranking& ranking, std::uint32_t service) {
    const Dispatch::Entry& entry = ranking.dispatch().services()[service];
    const Edition& edition = *entry.edition;
    service_ = entry.service;
    const Tariff& tariff = *edition.tariff;
    others_weight_ = ranking.dispatch().shipment().consignment.others_weight.nanograms();
    for (const MeasureRules::Dimensional& rule : service_->measure.dimensional) Add(rule.when);
    for (const MeasureRules::AtLeast& rule : service_->measure.at_least) Add(rule.when);
    for (const RefuseRule& rule : service_->refuse) Add(rule.when);
    for (const PriceAlternative& alternative : service_->prices) {
      Add(alternative.when);
      Add(alternative.price);
    }
    if (service_->cover_by_weight) Add(service_->cover_by_weight->price);
    for (const auto* rules : {&service_->surcharges, &service_->extras}) {
      for (const std::uint32_t index : *rules) {
        Add(tariff.rules[index].when);
        Add(tariff.rules[index].price);
      }
    }
    if (service_->tax) Add(tariff.taxes[*service_->tax].when);
    if (edition.terms != nullptr) {
      for (const Discount& discount : edition.terms->discounts) Add(discount.when);
    }
    if (const SellerRules* seller = ranking.dispatch().book()->seller()) {
      for (const SellerRules::Avoid& avoid : seller->avoid) Add(avoid.rule.when);
    }
  }

  /// Places x in [low, high] such that every piece of constant answer holds one of them: both ends, and the places on
  /// both sides of each bound. `weight`: x is the gross weight; else x is a side, `other` being the two others.
  std::vector<std::int64_t> Along(bool weight, std::array<std::int64_t, 2> other, bool irregular, std::int64_t low,
                                  std::int64_t high, Random& random) const {
    return Places(ValuesAlong(weight, other, irregular), low, high, random);
  }

  /// The same along anything that makes a parcel: its weight and its sides, in any order, none of which falls while x
  /// rises.
  using Parcel = std::pair<std::int64_t, std::array<std::int64_t, 3>>;
  std::vector<std::int64_t> AlongGoods(const std::function<Parcel(std::int64_t)>& parcel_of, bool irregular,
                                       std::int64_t low, std::int64_t high, Random& random) const {
    return Places(ValuesOf(parcel_of, irregular), low, high, random);
  }

  const Service& service() const { return *service_; }

 private:
  static constexpr std::int64_t kMostSteps = 64;

  struct Series {
    Measure measure;
    Int128 start;
    Int128 step;
  };

  void Add(const Test& test) {
    for (const Condition& condition : test.conditions) {
      if (const auto* measure = std::get_if<MeasureCondition>(&condition)) {
        for (const Bound& bound : measure->bounds) bounds_.insert({measure->measure, bound.value});
      } else if (const auto* compound = std::get_if<CompoundCondition>(&condition)) {
        for (const Test& inner : compound->tests) Add(inner);
      }
    }
  }

  void Add(const Price& price) {
    if (const auto* table = std::get_if<TablePrice>(&price)) {
      for (const MeasureValue bound : table->bounds) bounds_.insert({table->by, bound});
      if (table->beyond) series_.push_back({table->by, table->bounds.back(), table->beyond->step});
    } else if (const auto* steps = std::get_if<StepPrice>(&price)) {
      series_.push_back({steps->measure, 0, steps->step});
    } else if (const auto* classes = std::get_if<ClassPrice>(&price)) {
      for (std::size_t i = 0; i < classes->bounds.size(); ++i) {
        bounds_.insert({classes->by[i % classes->by.size()].measure, classes->bounds[i]});
      }
    } else if (const auto* rates = std::get_if<RatePrice>(&price)) {
      for (const MeasureValue bound : rates->bounds) bounds_.insert({rates->by, bound});
      series_.push_back({rates->by, 0, rates->rate});
    }
  }

  using Value = std::function<Int128(std::int64_t)>;

  std::vector<std::int64_t> Places(const std::vector<std::pair<Measure, Value>>& values, std::int64_t low,
                                   std::int64_t high, Random& random) const {
    std::set<std::int64_t> places = {low, high};
    auto find = [&](const std::function<Int128(std::int64_t)>& value, Int128 bound) {
      // The first place where the value is over the bound.
      if (value(high) <= bound || value(low) > bound) return;
      std::int64_t under = low;
      std::int64_t over = high;
      while (over - under > 1) {
        const std::int64_t middle = under + (over - under) / 2;
        (value(middle) > bound ? over : under) = middle;
      }
      places.insert(under);
      places.insert(over);
    };
    for (const auto& [measure, value] : values) {
      for (const auto& [of, bound] : bounds_) {
        if (of != measure) continue;
        find(value, bound);
        find(value, bound - 1);
      }
      for (const auto& [of, start, step] : series_) {
        if (of != measure) continue;
        const Int128 from = value(low);
        const Int128 to = value(high);
        // A bound at start + k * step; where there are very many, some of them.
        const Int128 first = from > start ? (from - start) / step : Int128(0);
        const Int128 last = to > start ? (to - start) / step : Int128(0);
        const std::int64_t count = static_cast<std::int64_t>(std::min<Int128>(last - first + 1, 1'000'000'000));
        for (std::int64_t n = 0; n < std::min<std::int64_t>(count, kMostSteps); ++n) {
          const std::int64_t k = count <= kMostSteps ? n : Between(random, 0, count - 1);
          find(value, start + (first + k) * step);
        }
      }
    }
    return {places.begin(), places.end()};
  }

  std::vector<std::pair<Measure, Value>> ValuesOf(const std::function<Parcel(std::int64_t)>& parcel_of,
                                                  bool irregular) const {
    const MeasureRules& rules = service_->measure;
    const std::int64_t factor = irregular ? rules.irregular_factor : kVolumeScale;
    std::vector<std::pair<Measure, Value>> values;
    auto sides_of = [parcel_of, &rules](std::int64_t x, bool exact) {
      std::array<std::int64_t, 3> sides = parcel_of(x).second;
      std::sort(sides.begin(), sides.end(), std::greater<>());
      for (std::int64_t& side : sides) side = exact ? side : RoundToStep(side, rules.sides);
      return sides;
    };
    for (int m = static_cast<int>(Measure::kLength); m <= static_cast<int>(Measure::kExactVolume); ++m) {
      const Measure measure = static_cast<Measure>(m);
      values.emplace_back(measure, [=](std::int64_t x) {
        const auto [l, w, h] = sides_of(x, measure >= Measure::kExactLength);
        switch (measure) {
          case Measure::kLength:
          case Measure::kExactLength:
            return Int128(l);
          case Measure::kWidth:
          case Measure::kExactWidth:
            return Int128(w);
          case Measure::kHeight:
          case Measure::kExactHeight:
            return Int128(h);
          case Measure::kGirth:
            return 2 * (Int128(w) + h);
          case Measure::kLengthPlusGirth:
          case Measure::kExactLengthPlusGirth:
            return l + 2 * (Int128(w) + h);
          case Measure::kSumOfSides:
            return Int128(l) + w + h;
          case Measure::kLengthPlusWidth:
            return Int128(l) + w;
          case Measure::kLongestPlusShortest:
            return Int128(l) + h;
          default:
            return Int128(l) * w * h * (measure == Measure::kExactVolume ? kVolumeScale : factor);
        }
      });
    }
    values.emplace_back(Measure::kWeight, [=](std::int64_t x) { return Int128(parcel_of(x).first); });
    values.emplace_back(Measure::kConsignmentWeight,
                        [=, others = others_weight_](std::int64_t x) { return Int128(parcel_of(x).first) + others; });
    values.emplace_back(Measure::kBillableWeight,
                        [=, &rules](std::int64_t x) { return Int128(RoundToStep(parcel_of(x).first, rules.weight)); });
    for (const MeasureRules::Dimensional& rule : rules.dimensional) {
      values.emplace_back(Measure::kBillableWeight, [=, &rule, &rules](std::int64_t x) {
        const auto [l, w, h] = sides_of(x, false);
        return Int128(rule.volume_per_weight.WeightOf(Int128(l) * w * h, factor, kVolumeScale, rules.weight));
      });
    }
    return values;
  }

  // What the rules see, as functions of the place; the billable weight is the greatest of several, each a function of
  // its own.
  std::vector<std::pair<Measure, Value>> ValuesAlong(bool weight, std::array<std::int64_t, 2> other,
                                                     bool irregular) const {
    const MeasureRules& rules = service_->measure;
    std::vector<std::pair<Measure, Value>> values;
    if (weight) {
      values.emplace_back(Measure::kWeight, [](std::int64_t x) { return Int128(x); });
      values.emplace_back(Measure::kConsignmentWeight,
                          [others = others_weight_](std::int64_t x) { return Int128(x) + others; });
      values.emplace_back(Measure::kBillableWeight,
                          [&rules](std::int64_t x) { return Int128(RoundToStep(x, rules.weight)); });
      return values;
    }
    const std::int64_t factor = irregular ? rules.irregular_factor : kVolumeScale;
    using Sides = std::array<std::int64_t, 3>;
    auto exact = [other](std::int64_t x) {
      Sides sides = {x, other[0], other[1]};
      std::sort(sides.begin(), sides.end(), std::greater<>());
      return sides;
    };
    auto rounded = [exact, &rules](std::int64_t x) {
      Sides sides = exact(x);
      for (std::int64_t& side : sides) side = RoundToStep(side, rules.sides);
      return sides;
    };
    auto add = [&](Measure measure, Measure of_exact, Int128 (*read)(const Sides&)) {
      values.emplace_back(measure, [rounded, read](std::int64_t x) { return read(rounded(x)); });
      if (of_exact != measure) values.emplace_back(of_exact, [exact, read](std::int64_t x) { return read(exact(x)); });
    };
    add(Measure::kLength, Measure::kExactLength, [](const Sides& s) { return Int128(s[0]); });
    add(Measure::kWidth, Measure::kExactWidth, [](const Sides& s) { return Int128(s[1]); });
    add(Measure::kHeight, Measure::kExactHeight, [](const Sides& s) { return Int128(s[2]); });
    add(Measure::kGirth, Measure::kGirth, [](const Sides& s) { return 2 * (Int128(s[1]) + s[2]); });
    add(Measure::kLengthPlusGirth, Measure::kExactLengthPlusGirth,
        [](const Sides& s) { return s[0] + 2 * (Int128(s[1]) + s[2]); });
    add(Measure::kSumOfSides, Measure::kSumOfSides, [](const Sides& s) { return Int128(s[0]) + s[1] + s[2]; });
    add(Measure::kLengthPlusWidth, Measure::kLengthPlusWidth, [](const Sides& s) { return Int128(s[0]) + s[1]; });
    add(Measure::kLongestPlusShortest, Measure::kLongestPlusShortest,
        [](const Sides& s) { return Int128(s[0]) + s[2]; });
    auto volume = [](const Sides& s) { return Int128(s[0]) * s[1] * s[2]; };
    values.emplace_back(Measure::kVolume, [=](std::int64_t x) { return volume(rounded(x)) * factor; });
    values.emplace_back(Measure::kExactVolume, [=](std::int64_t x) { return volume(exact(x)) * kVolumeScale; });
    for (const MeasureRules::Dimensional& rule : rules.dimensional) {
      values.emplace_back(Measure::kBillableWeight, [=, &rule, &rules](std::int64_t x) {
        return Int128(rule.volume_per_weight.WeightOf(volume(rounded(x)), factor, kVolumeScale, rules.weight));
      });
    }
    return values;
  }

  const Service* service_ = nullptr;
  std::int64_t others_weight_ = 0;  // of the rest of the consignment, ng
  std::set<std::pair<Measure, MeasureValue>> bounds_;
  std::vector<Series> series_;
};

}  // namespace tarewise::testing

#endif  // TAREWISE_TESTS_PROPERTY_EDGES_H_
