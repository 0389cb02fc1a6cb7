#ifndef TAREWISE_BATCH_INTERNAL_SERVICE_FACTS_H_
#define TAREWISE_BATCH_INTERNAL_SERVICE_FACTS_H_

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "tarewise/pricing/internal/compiled.h"
#include "tarewise/pricing/internal/cuts.h"
#include "tarewise/pricing/internal/facts.h"
#include "tarewise/ranking/internal/dispatch_state.h"

namespace tarewise::internal {

/// What of a parcel and a lane a service's tests look at, measures apart. Two parcels (or lanes) with the same outcome
/// of every condition, in the same zone and between the same cuts, get the same price: that is what makes classes of
/// them.
class ServiceFacts {
 public:
  /// Most cuts that an endless series of a declared value is followed for; goods worth more are priced one by one.
  static constexpr int kMostValueCuts = 64;

  explicit ServiceFacts(const CompiledService& compiled) : compiled_(&compiled) {
    const Service& service = *compiled.service;
    for (const MeasureRules::Dimensional& rule : service.measure.dimensional) Gather(rule.when);
    for (const MeasureRules::AtLeast& rule : service.measure.at_least) Gather(rule.when);
    for (const RefuseRule& rule : service.refuse) Gather(rule.when);
    for (const PriceAlternative& alternative : service.prices) {
      Gather(alternative.when);
      GatherValue(alternative.price);
    }
    Gather(compiled.base_discounts);
    for (const std::vector<CompiledService::Rule>* rules : {&compiled.surcharges, &compiled.extras}) {
      for (const CompiledService::Rule& rule : *rules) {
        Gather(rule.rule->when);
        GatherValue(rule.rule->price);
        Gather(rule.discounts);
      }
    }
    std::sort(value_cuts_.begin(), value_cuts_.end());
    value_cuts_.erase(std::unique(value_cuts_.begin(), value_cuts_.end()), value_cuts_.end());
  }

  const CompiledService& compiled() const { return *compiled_; }
  const Service& service() const { return *compiled_->service; }
  const MeasureRules& rules() const { return compiled_->service->measure; }

  /// Outcomes as text, one character a condition.
  std::string GoodsOutcomes(const Contents& contents, bool rigid) const {
    std::string out;
    for (const Condition* condition : goods_) {
      if (const auto* wanted = std::get_if<ContentsCondition>(condition)) {
        Put(out, wanted->all ? contents.HasAll(wanted->traits) : contents.HasAny(wanted->traits));
      } else {
        Put(out, std::get_if<FlagCondition>(condition)->value == rigid);
      }
    }
    Put(out, DispatchState::ForbiddenByAir(service(), contents));
    return out;
  }

  std::string PackagingOutcomes(const ParcelFacts& parcel) const {
    std::string out;
    for (const Condition* condition : packaging_) {
      if (const auto* shape = std::get_if<ShapeCondition>(condition)) {
        Put(out, In(shape->shapes, parcel.shape));
      } else if (const auto* kind = std::get_if<PackagingKindCondition>(condition)) {
        Put(out, In(kind->kinds, parcel.kind));
      } else if (const auto* code = std::get_if<PackagingCondition>(condition)) {
        Put(out, std::any_of(code->codes.begin(), code->codes.end(),
                             [&parcel](const std::string& one) { return one == parcel.packaging; }));
      } else {
        Put(out, std::get_if<FlagCondition>(condition)->value == parcel.issued_by.empty());
      }
    }
    return out;
  }

  std::string LaneOutcomes(const Lane& lane) const {
    std::string out;
    for (const Condition* condition : lane_) {
      if (const auto* place = std::get_if<PlaceCondition>(condition)) {
        Put(out, place->areas.Has(place->origin ? lane.from : lane.to));
      } else {
        Put(out, std::get_if<FlagCondition>(condition)->value == lane.to.residential());
      }
    }
    return out;
  }

  /// Declared values (tariff's currency, inclusive, rising) where something changes, and the greatest up to which they
  /// are all of them.
  const std::vector<std::int64_t>& value_cuts() const { return value_cuts_; }
  std::int64_t value_known_to() const { return value_known_to_; }

  /// How many cuts lie below each measure of the sides: equal for two parcels means an equal price, all else equal.
  /// `sides` longest first.
  std::string SideOutcomes(const std::array<std::int64_t, 3>& sides, bool irregular) const {
    std::string out;
    const Cuts& cuts = compiled_->cuts;
    const std::int64_t factor = irregular ? rules().irregular_factor : kVolumeScale;
    const std::int64_t rounded[3] = {RoundToStep(sides[0], rules().sides), RoundToStep(sides[1], rules().sides),
                                     RoundToStep(sides[2], rules().sides)};
    for (std::size_t m = 1; m < Cuts::kMeasures; ++m) {
      const Measure measure = static_cast<Measure>(m);
      const std::vector<MeasureValue>& values = cuts.values(measure);
      const std::vector<CutSeries>& series = cuts.series(measure);
      const bool billable = measure == Measure::kVolume && !cuts.billable_series().empty();
      if (values.empty() && series.empty() && !billable) continue;
      const MeasureValue value = measure >= Measure::kExactLength
                                     ? Cuts::Of(measure, sides[0], sides[1], sides[2],
                                                measure == Measure::kExactVolume ? kVolumeScale : factor)
                                     : Cuts::Of(measure, rounded[0], rounded[1], rounded[2], factor);
      if (!values.empty()) Put(out, std::lower_bound(values.begin(), values.end(), value) - values.begin());
      for (const CutSeries& one : series) Put(out, StepsBegun(one, value));
      if (!billable) continue;
      for (const MeasureRules::Dimensional& rule : rules().dimensional) {
        const std::int64_t weight = rule.volume_per_weight.WeightOf(value, 1, kVolumeScale, rules().weight);
        for (const CutSeries& one : cuts.billable_series()) Put(out, StepsBegun(one, weight));
      }
    }
    return out;
  }

  static std::int64_t StepsBegun(const CutSeries& series, MeasureValue value) {
    if (value <= series.start) return 0;
    return static_cast<std::int64_t>((value - series.start + series.step - 1) / series.step);
  }

 private:
  static void Put(std::string& out, bool outcome) { out += outcome ? '1' : '0'; }
  static void Put(std::string& out, std::int64_t count) {
    out.append(reinterpret_cast<const char*>(&count), sizeof(count));
  }
  template <typename T>
  static bool In(const std::vector<T>& list, T value) {
    return std::find(list.begin(), list.end(), value) != list.end();
  }

  void Gather(const std::vector<const Discount*>& discounts) {
    for (const Discount* discount : discounts) Gather(discount->when);
  }

  void Gather(const Test& test) {
    for (const Condition& condition : test.conditions) {
      if (const auto* measure = std::get_if<MeasureCondition>(&condition)) {
        if (measure->measure != Measure::kValue) continue;
        for (const Bound& bound : measure->bounds) {
          const bool inclusive = bound.op == Bound::Op::kOver || bound.op == Bound::Op::kUpTo;
          AddValueCut(inclusive ? bound.value : bound.value - 1);
        }
      } else if (const auto* compound = std::get_if<CompoundCondition>(&condition)) {
        for (const Test& inner : compound->tests) Gather(inner);
      } else if (const auto* flag = std::get_if<FlagCondition>(&condition)) {
        switch (flag->flag) {
          case FlagCondition::Flag::kRigid:
            goods_.push_back(&condition);
            break;
          case FlagCondition::Flag::kResidential:
            lane_.push_back(&condition);
            break;
          case FlagCondition::Flag::kOwnPackaging:
            packaging_.push_back(&condition);
            break;
        }
      } else if (std::holds_alternative<ContentsCondition>(condition)) {
        goods_.push_back(&condition);
      } else if (std::holds_alternative<PlaceCondition>(condition)) {
        lane_.push_back(&condition);
      } else if (std::holds_alternative<ShapeCondition>(condition) ||
                 std::holds_alternative<PackagingCondition>(condition) ||
                 std::holds_alternative<PackagingKindCondition>(condition)) {
        packaging_.push_back(&condition);
      }
      // Zones stand in every key by themselves; mode, extras, dates and cover are one for all rows.
    }
  }

  void GatherValue(const Price& price) {
    if (const auto* table = std::get_if<TablePrice>(&price)) {
      if (table->by != Measure::kValue) return;
      for (const MeasureValue bound : table->bounds) AddValueCut(bound);
      if (table->beyond && !table->bounds.empty()) FollowValue(table->bounds.back(), table->beyond->step);
    } else if (const auto* steps = std::get_if<StepPrice>(&price)) {
      if (steps->measure == Measure::kValue) FollowValue(steps->step, steps->step);
    }
  }

  void AddValueCut(MeasureValue cut) {
    if (cut >= 0 && cut <= kMostMicros) value_cuts_.push_back(static_cast<std::int64_t>(cut));
  }

  void FollowValue(MeasureValue start, MeasureValue step) {
    MeasureValue cut = start;
    for (int i = 0; i < kMostValueCuts; ++i, cut += step) AddValueCut(cut);
    cut -= step;
    if (cut < value_known_to_) value_known_to_ = static_cast<std::int64_t>(cut);
  }

  const CompiledService* compiled_;
  std::vector<const Condition*> goods_;
  std::vector<const Condition*> packaging_;
  std::vector<const Condition*> lane_;
  std::vector<std::int64_t> value_cuts_;
  std::int64_t value_known_to_ = kMostMicros;
};

}  // namespace tarewise::internal

#endif  // TAREWISE_BATCH_INTERNAL_SERVICE_FACTS_H_
