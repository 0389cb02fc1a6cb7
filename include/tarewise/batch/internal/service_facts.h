#ifndef TAREWISE_BATCH_INTERNAL_SERVICE_FACTS_H_
#define TAREWISE_BATCH_INTERNAL_SERVICE_FACTS_H_

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "tarewise/pricing/internal/compiled.h"
#include "tarewise/pricing/internal/cuts.h"
#include "tarewise/ranking/internal/dispatch_state.h"
#include "tarewise/rules/facts.h"
#include "tarewise/rules/price.h"
#include "tarewise/rules/test.h"
#include "tarewise/rules/walk.h"
#include "tarewise/tariff/seller.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// What of a parcel and a lane a service's tests look at, measures apart. Two parcels (or lanes) with the same outcome
/// of every condition, in the same zone and between the same cuts, get the same price: that is what makes classes of
/// them.
class ServiceFacts {
 public:
  /// Most cuts that an endless series of a declared value is followed for; goods worth more are priced one by one.
  static constexpr int kMostValueCuts = 64;

  explicit ServiceFacts(const CompiledService& compiled) : compiled_(&compiled) {
    // A discount that is of no line here tells nothing apart.
    std::vector<const Discount*> discounts = compiled.discounts;
    std::erase_if(discounts, [&](const Discount* discount) { return !IsOfALine(discount); });
    covers_value_ = std::any_of(compiled.own.ask.begin(), compiled.own.ask.end(),
                                [](const SellerRules::Ask& ask) { return ask.cover_value; });
    ValueSink values{*this};
    Walk(*compiled.tariff, *compiled.service, discounts, [&](const ServiceRule& rule) {
      EachCondition(rule.when, [this](const Condition& condition) { Gather(condition); });
      GatherCuts(rule.when, values);
      if (rule.price != nullptr) GatherCuts(*rule.price, values);
    });
    if (covers_value_) {
      AddValueCut(0);  // Nothing is covered that is worth nothing.
      AddValueCut(service().included_cover.micros());
    }
    SellerValueSink seller_values{*this};
    WalkOwn(compiled.own, [&](const ServiceRule& rule) {
      EachCondition(rule.when, [this](const Condition& condition) { Gather(condition); });
      GatherCuts(rule.when, seller_values);
    });
    for (std::vector<std::int64_t>* cuts : {&value_cuts_, &seller_value_cuts_}) {
      std::sort(cuts->begin(), cuts->end());
      cuts->erase(std::unique(cuts->begin(), cuts->end()), cuts->end());
    }
  }

  const CompiledService& compiled() const { return *compiled_; }
  /// The cover asked for goes by the value, and the cover included by the weight.
  bool cover_crosses_weight() const { return covers_value_ && service().cover_by_weight.has_value(); }
  const Service& service() const { return *compiled_->service; }
  const MeasureRules& rules() const { return compiled_->service->measure; }

  /// Outcomes as text, one character a condition. `contents` of all items together.
  std::string GoodsOutcomes(const Contents& contents, std::span<const Contents* const> items, bool rigid) const {
    std::string out;
    ParcelFacts parcel;
    parcel.rigid = rigid;
    parcel.contents = &contents;
    parcel.items = items;
    Put(out, goods_, parcel, ShipmentFacts());
    Put(out, DispatchState::ForbiddenByAir(service(), contents));
    return out;
  }

  std::string PackagingOutcomes(const ParcelFacts& parcel) const {
    std::string out;
    Put(out, packaging_, parcel, ShipmentFacts());
    return out;
  }

  std::string LaneOutcomes(const Lane& lane) const {
    ShipmentFacts shipment;
    shipment.lane = &lane;
    std::string out;
    Put(out, lane_, ParcelFacts(), shipment);
    return out;
  }

  /// Declared values (tariff's currency, inclusive, rising) where something changes, and the greatest up to which they
  /// are all of them.
  const std::vector<std::int64_t>& value_cuts() const { return value_cuts_; }
  std::int64_t value_known_to() const { return value_known_to_; }
  /// Likewise in the currency of the seller's own rules, where their tests change.
  const std::vector<std::int64_t>& seller_value_cuts() const { return seller_value_cuts_; }

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
      const MeasureValue value = FormOf(measure).exact
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
  // Each condition sees its subject alone, and looks at nothing else.
  void Put(std::string& out, const std::vector<const Condition*>& conditions, const ParcelFacts& parcel,
           const ShipmentFacts& shipment) const {
    const SideFacts sides;
    const PointFacts at{{*compiled_->tariff, service().mode, kNoZone, shipment}, parcel, sides};
    for (const Condition* condition : conditions) Put(out, Holds(*condition, at));
  }

  bool IsOfALine(const Discount* discount) const {
    auto has = [discount](const std::vector<const Discount*>& list) {
      return std::find(list.begin(), list.end(), discount) != list.end();
    };
    auto of_rule = [&has](const CompiledService::Rule& rule) { return has(rule.discounts); };
    return has(compiled_->base_discounts) ||
           std::any_of(compiled_->surcharges.begin(), compiled_->surcharges.end(), of_rule) ||
           std::any_of(compiled_->extras.begin(), compiled_->extras.end(), of_rule);
  }

  void Gather(const Condition& condition) {
    switch (SubjectOf(condition)) {
      case Subject::kGoods:
        goods_.push_back(&condition);
        break;
      case Subject::kPackaging:
        packaging_.push_back(&condition);
        break;
      case Subject::kPlace:
        lane_.push_back(&condition);
        break;
      case Subject::kParcelMeasure:  // Cuts tell them apart.
      case Subject::kMoney:
      case Subject::kZone:  // Stands in every key by itself.
      case Subject::kDay:   // One for all rows.
      case Subject::kWeek:
      case Subject::kConsignment:  // Of one; cuts tell its weight apart.
      case Subject::kService:
      case Subject::kAsked:
      case Subject::kTests:  // Their conditions come by themselves.
        break;
    }
  }

  // Of all cuts those of the declared value; of the cover too, where the seller's own rules have it go by the value.
  struct ValueSink {
    ServiceFacts& facts;
    bool Takes(Measure measure) const {
      return measure == Measure::kValue || (measure == Measure::kCover && facts.covers_value_);
    }
    void Cut(Measure measure, MeasureValue cut) const {
      if (Takes(measure)) facts.AddValueCut(cut);
    }
    void Series(Measure measure, MeasureValue start, MeasureValue step) const {
      if (Takes(measure)) facts.FollowValue(start, step);
    }
  };
  // Those of the tests of these rules, which have no prices and so no series.
  struct SellerValueSink {
    ServiceFacts& facts;
    void Cut(Measure measure, MeasureValue cut) const {
      if (measure == Measure::kValue) AddTo(facts.seller_value_cuts_, cut);
    }
    void Series(Measure, MeasureValue, MeasureValue) const {}
  };

  static void AddTo(std::vector<std::int64_t>& cuts, MeasureValue cut) {
    if (cut >= 0 && cut <= kMostMicros) cuts.push_back(static_cast<std::int64_t>(cut));
  }
  void AddValueCut(MeasureValue cut) { AddTo(value_cuts_, cut); }

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
  std::vector<std::int64_t> seller_value_cuts_;
  bool covers_value_ = false;
  std::int64_t value_known_to_ = kMostMicros;
};

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_BATCH_INTERNAL_SERVICE_FACTS_H_
