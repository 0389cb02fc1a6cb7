#ifndef TAREWISE_PRICING_INTERNAL_CUTS_H_
#define TAREWISE_PRICING_INTERNAL_CUTS_H_

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <optional>
#include <vector>

#include "tarewise/rules/facts.h"
#include "tarewise/rules/measure.h"
#include "tarewise/rules/price.h"
#include "tarewise/rules/test.h"
#include "tarewise/tariff/tariff.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// Evenly spaced cuts without end: `start` + k * `step`, k >= 0 (the first of them may be left out).
struct CutSeries {
  MeasureValue start = 0;
  MeasureValue step = 1;
};

/// Where a service's answer can change. A cut at v says: up to and including v one thing may be true, above v another.
/// Every dependence of a price on weight and sides is a comparison of one monotone measure with one bound, and a bound
/// on the billable weight (the greatest of three) is a bound on the weight and one on the volume. So between cuts
/// nothing changes, and thresholds are found by visiting them, never by guessing.
class Cuts {
 public:
  static constexpr std::size_t kMeasures = static_cast<std::size_t>(Measure::kExactVolume) + 1;
  static constexpr std::int64_t kNever = std::numeric_limits<std::int64_t>::max();

  /// `others_weight`: what the others of the parcel's consignment weigh, ng. A bound on the weight of them all is one
  /// on its own weight, so much lower.
  explicit Cuts(std::int64_t others_weight = 0) : others_weight_(others_weight) {}

  void AddTest(const Test& test) { GatherCuts(test, *this); }
  void AddPrice(const Price& price) { GatherCuts(price, *this); }

  // Money and how many go together are no matter of weight and sides: their cuts pass by.
  void Cut(Measure measure, MeasureValue cut) {
    if (measure == Measure::kBillableWeight) {
      if (cut >= 0) billable_.push_back(static_cast<std::int64_t>(std::min(cut, MeasureValue(kMostBillable))));
    } else if (measure == Measure::kConsignmentWeight) {
      if (cut >= others_weight_) values_[0].push_back(cut - others_weight_);
    } else if (static_cast<std::size_t>(measure) < kMeasures) {
      values_[static_cast<std::size_t>(measure)].push_back(cut);
    }
  }
  void Series(Measure measure, MeasureValue start, MeasureValue step) {
    if (measure == Measure::kBillableWeight) {
      billable_series_.push_back({start, step});
    } else if (measure == Measure::kConsignmentWeight) {
      start -= others_weight_;
      if (start < 0) start += (step - 1 - start) / step * step;
      series_[0].push_back({start, step});
    } else if (static_cast<std::size_t>(measure) < kMeasures) {
      series_[static_cast<std::size_t>(measure)].push_back({start, step});
    }
  }

  /// True where nothing of a weight or of sides is compared.
  bool empty() const {
    auto none = [](const auto& one) { return one.empty(); };
    return !has_series() && billable_.empty() && std::all_of(values_.begin(), values_.end(), none);
  }
  /// True where something is priced by steps without end.
  bool has_series() const {
    return !billable_series_.empty() ||
           std::any_of(series_.begin(), series_.end(), [](const auto& one) { return !one.empty(); });
  }

  void Finish(const MeasureRules& rules) {
    auto tidy = [](auto& values) {
      std::sort(values.begin(), values.end());
      values.erase(std::unique(values.begin(), values.end()), values.end());
    };
    tidy(billable_);
    test_weights_ = values_[0];
    test_volumes_ = values_[static_cast<std::size_t>(Measure::kVolume)];
    tidy(test_weights_);
    tidy(test_volumes_);
    for (const MeasureRules::Dimensional& rule : rules.dimensional) {
      dimensional_.push_back({rule.volume_per_weight, rules.weight, {}});
      for (const std::int64_t bound : billable_) {
        dimensional_.back().volumes.push_back(
            LargestVolume(rule.volume_per_weight, bound, rules.weight).value_or(Volume::Most() * kVolumeScale));
      }
    }
    for (std::size_t i = 0; i < billable_.size(); ++i) {
      values_[0].push_back(LargestRoundingTo(billable_[i], rules.weight));
      for (const Dimensional& rule : dimensional_) {
        values_[static_cast<std::size_t>(Measure::kVolume)].push_back(rule.volumes[i]);
      }
    }
    for (std::vector<MeasureValue>& values : values_) tidy(values);
  }

  /// What the billable weight is at a point, from which the next change is sought.
  struct Billable {
    std::int64_t weight = 0;
    bool from_weight = false;  ///< It is the actual weight.
    bool from_sides = false;   ///< It is the dimensional weight.
  };

  /// As `NextWeight`, told the billable weight there: bounds below it cannot matter while the weight grows, so far
  /// fewer cuts are visited. Without `series_too` the evenly spaced cuts are passed over.
  std::int64_t NextWeight(std::int64_t weight, StepRounding rounding, const Billable& billable,
                          bool series_too = true) const {
    std::int64_t next = kNever;
    const auto at = std::lower_bound(test_weights_.begin(), test_weights_.end(), MeasureValue(weight));
    if (at != test_weights_.end()) next = static_cast<std::int64_t>(*at);
    const auto bound = std::lower_bound(billable_.begin(), billable_.end(), billable.weight);
    if (bound != billable_.end()) next = std::min(next, LargestRoundingTo(*bound, rounding));
    if (!series_too) return next;
    for (const CutSeries& series : series_[0])
      next = static_cast<std::int64_t>(std::min<MeasureValue>(next, At(series, weight)));
    for (const CutSeries& series : billable_series_) {
      const MeasureValue cut = At(series, billable.weight);
      if (cut < kMostBillable) next = std::min(next, LargestRoundingTo(static_cast<std::int64_t>(cut), rounding));
    }
    return next;
  }
  /// As `PreviousWeight`: bounds on the billable weight matter only where it is the actual weight.
  std::int64_t PreviousWeight(std::int64_t weight, StepRounding rounding, const Billable& billable,
                              bool series_too = true) const {
    if (billable.from_weight) return PreviousWeight(weight, rounding, series_too);
    std::int64_t previous = -1;
    const auto at = std::lower_bound(test_weights_.begin(), test_weights_.end(), MeasureValue(weight));
    if (at != test_weights_.begin()) previous = static_cast<std::int64_t>(*(at - 1));
    if (!series_too) return previous < 1 ? -1 : previous;
    for (const CutSeries& series : series_[0]) {
      previous = static_cast<std::int64_t>(std::max<MeasureValue>(previous, Before(series, weight)));
    }
    return previous < 1 ? -1 : previous;
  }
  std::int64_t NextSide(std::int64_t x, std::int64_t a, std::int64_t b, StepRounding rounding,
                        std::int64_t volume_factor, const Billable& billable, bool series_too = true) const {
    return Side(x, a, b, rounding, volume_factor, true, &billable, series_too);
  }
  std::int64_t PreviousSide(std::int64_t x, std::int64_t a, std::int64_t b, StepRounding rounding,
                            std::int64_t volume_factor, const Billable& billable, bool series_too = true) const {
    return Side(x, a, b, rounding, volume_factor, false, &billable, series_too);
  }

  /// The heaviest gross weight, from `weight` on, up to which nothing changes; `kNever` where nothing ever does.
  /// Without `series_too` the evenly spaced cuts are passed over.
  std::int64_t NextWeight(std::int64_t weight, StepRounding rounding, bool series_too = true) const {
    std::int64_t next = kNever;
    const std::vector<MeasureValue>& weights = values_[0];
    const auto at = std::lower_bound(weights.begin(), weights.end(), MeasureValue(weight));
    if (at != weights.end()) next = static_cast<std::int64_t>(*at);
    if (!series_too) return next;
    for (const CutSeries& series : series_[0]) {
      const MeasureValue cut = At(series, weight);
      if (cut < next) next = static_cast<std::int64_t>(cut);
    }
    for (const CutSeries& series : billable_series_) {
      const MeasureValue cut = At(series, RoundToStep(weight, rounding));
      if (cut < kMostBillable) {
        next = std::min(next, LargestRoundingTo(static_cast<std::int64_t>(cut), rounding));
      }
    }
    return next;
  }

  /// The heaviest gross weight below `weight` at which something may be otherwise; -1 where nothing below differs.
  std::int64_t PreviousWeight(std::int64_t weight, StepRounding rounding, bool series_too = true) const {
    std::int64_t previous = -1;
    const std::vector<MeasureValue>& weights = values_[0];
    const auto at = std::lower_bound(weights.begin(), weights.end(), MeasureValue(weight));
    if (at != weights.begin()) previous = static_cast<std::int64_t>(*(at - 1));
    if (!series_too) return previous < 1 ? -1 : previous;
    for (const CutSeries& series : series_[0]) {
      const MeasureValue cut = Before(series, weight);
      if (cut >= 0) previous = std::max(previous, static_cast<std::int64_t>(cut));
    }
    for (const CutSeries& series : billable_series_) {
      // The cut of the step in which `weight` rounds, then the one before it, until one lies below.
      MeasureValue cut = Before(series, RoundToStep(weight, rounding));
      if (cut >= 0) previous = std::max(previous, LargestRoundingTo(static_cast<std::int64_t>(cut), rounding));
    }
    return previous < 1 ? -1 : previous;
  }

  /// The longest that side `x` (one of three, the others `a` >= `b` as they are) may be, from `x` on, up to which
  /// nothing changes. `volume_factor` in millionths for the rounded sides' volume.
  std::int64_t NextSide(std::int64_t x, std::int64_t a, std::int64_t b, StepRounding rounding,
                        std::int64_t volume_factor, bool series_too = true) const {
    return Side(x, a, b, rounding, volume_factor, true, nullptr, series_too);
  }
  /// The longest below `x` at which something may be otherwise; -1 where nothing below differs.
  std::int64_t PreviousSide(std::int64_t x, std::int64_t a, std::int64_t b, StepRounding rounding,
                            std::int64_t volume_factor) const {
    return Side(x, a, b, rounding, volume_factor, false);
  }

  const std::vector<MeasureValue>& values(Measure measure) const { return values_[static_cast<std::size_t>(measure)]; }
  const std::vector<CutSeries>& series(Measure measure) const { return series_[static_cast<std::size_t>(measure)]; }
  const std::vector<CutSeries>& billable_series() const { return billable_series_; }

  /// A measure of rounded sides y, a, b in any order.
  static MeasureValue Of(Measure measure, std::int64_t y, std::int64_t a, std::int64_t b, std::int64_t factor) {
    return OfSides(measure, y, a, b, factor);
  }

  /// The largest y >= 0 with Of(measure, y, a, b) <= v; kNever where every y will do, -1 where none.
  static std::int64_t LargestWithin(Measure measure, MeasureValue v, std::int64_t one, std::int64_t other,
                                    std::int64_t factor) {
    const std::int64_t a = std::max(one, other);
    const std::int64_t b = std::min(one, other);
    if (v < 0 || Of(measure, 0, a, b, factor) > v) return -1;
    MeasureValue y = -1;
    switch (measure) {
      case Measure::kLength:
      case Measure::kExactLength:
        y = v;
        break;
      case Measure::kWidth:
      case Measure::kExactWidth:
        if (a <= v) return kNever;
        y = v;
        break;
      case Measure::kHeight:
      case Measure::kExactHeight:
        if (b <= v) return kNever;
        y = v;
        break;
      case Measure::kGirth:
        if (2 * (Int128(a) + b) <= v) return kNever;
        y = v / 2 - b;
        break;
      case Measure::kLengthPlusGirth:
      case Measure::kExactLengthPlusGirth:
        y = v >= 3 * Int128(a) + 2 * Int128(b) ? v - 2 * Int128(a) - 2 * Int128(b) : (v - 2 * Int128(b) - a) / 2;
        break;
      case Measure::kSumOfSides:
        y = v - a - b;
        break;
      case Measure::kLengthPlusWidth:
        y = v - a;
        break;
      case Measure::kLongestPlusShortest:
        y = v >= Int128(a) + b ? v - b : v - a;
        break;
      case Measure::kVolume:
      case Measure::kExactVolume: {
        const Int128 face = Int128(a) * b * factor;
        if (face == 0) return kNever;
        y = v / face;
        break;
      }
      default:
        return kNever;
    }
    return y > Length::kMostSideNanometres * 4 ? kNever : static_cast<std::int64_t>(y);
  }

  /// The largest volume (in millionths of nm3) whose dimensional weight is at most `bound`.
  static std::optional<MeasureValue> LargestVolume(const VolumePerWeight& ratio, std::int64_t bound,
                                                   StepRounding rounding) {
    // Weights that round to at most `bound` are those up to `most` (all but down and nearest: including it).
    const std::int64_t most = LargestRoundingTo(bound, rounding);
    if (most < 0) return std::nullopt;
    // volume * 10^6 <= most * ratio.volume * 10^6 / ratio.weight, floor; for down and nearest weights strictly below
    // most + 1.
    const bool open = rounding.mode == StepMode::kDown || rounding.mode == StepMode::kNearest;
    Int128 limit = most + (open ? 1 : 0);
    if (rounding.mode == StepMode::kNearest && rounding.step % 2 != 0) {
      limit = bound / rounding.step * rounding.step * 2 + rounding.step;  // twice the half-way weight
    } else {
      limit *= 2;
    }
    // limit / 2 * volume * 10^6 / weight without overflow: whole part of volume / weight first.
    const Int128 scaled = ratio.volume * kVolumeScale;
    if (ratio.volume > absl::Int128Max() / kVolumeScale) return std::nullopt;
    const Int128 divisor = Int128(ratio.weight) * 2;
    const Int128 whole = scaled / divisor;
    const Int128 rest = scaled - whole * divisor;
    if (whole != 0 && limit > Volume::Most() * kVolumeScale / whole) return std::nullopt;
    const Int128 product = rest * limit;  // rest < 2^65, limit < 2^60
    Int128 value = whole * limit + product / divisor;
    if (open && product % divisor == 0) value -= 1;
    return value;
  }

 private:
  static constexpr std::int64_t kMostBillable = Weight::kMostNanograms * 4;

  // The first cut of the series at or above `value`.
  static MeasureValue At(const CutSeries& series, MeasureValue value) {
    if (value <= series.start) return series.start;
    const MeasureValue k = (value - series.start + series.step - 1) / series.step;
    return series.start + k * series.step;
  }
  // The last cut of the series below `value`, or -1.
  static MeasureValue Before(const CutSeries& series, MeasureValue value) {
    if (value <= series.start) return -1;
    return series.start + (value - series.start - 1) / series.step * series.step;
  }

  // `billable`, if given, narrows the bounds on the billable weight to those that can matter from here.
  std::int64_t Side(std::int64_t x, std::int64_t a, std::int64_t b, StepRounding rounding, std::int64_t factor,
                    bool next, const Billable* billable = nullptr, bool series_too = true) const {
    std::int64_t best = next ? kNever : -1;
    const std::int64_t rx = RoundToStep(x, rounding);
    const std::int64_t ra = RoundToStep(a, rounding);
    const std::int64_t rb = RoundToStep(b, rounding);
    auto consider = [&](Measure measure, std::int64_t f, MeasureValue cut) {
      const bool exact = FormOf(measure).exact;
      const std::int64_t y = exact ? LargestWithin(measure, cut, a, b, f) : LargestWithin(measure, cut, ra, rb, f);
      if (y == kNever) return;
      const std::int64_t raw = exact || y < 0 ? y : LargestRoundingTo(y, rounding);
      best = next ? std::min(best, std::max(raw, x)) : (raw < x ? std::max(best, raw) : best);
    };
    for (std::size_t m = 1; m < kMeasures; ++m) {
      const Measure measure = static_cast<Measure>(m);
      const bool narrowed = billable != nullptr && measure == Measure::kVolume;
      const std::vector<MeasureValue>& values = narrowed ? test_volumes_ : values_[m];
      if (values.empty() && (!series_too || series_[m].empty())) continue;
      const std::int64_t f = measure == Measure::kExactVolume ? kVolumeScale : factor;
      const MeasureValue now = FormOf(measure).exact ? Of(measure, x, a, b, f) : Of(measure, rx, ra, rb, f);
      const auto at = std::lower_bound(values.begin(), values.end(), now);
      if (next) {
        if (at != values.end()) consider(measure, f, *at);
      } else if (at != values.begin()) {
        consider(measure, f, *(at - 1));
      }
      if (!series_too) continue;
      for (const CutSeries& series : series_[m]) {
        const MeasureValue cut = next ? At(series, now) : Before(series, now);
        if (cut >= 0) consider(measure, f, cut);
      }
    }
    if (dimensional_.empty()) return best < 1 && !next ? -1 : best;
    const MeasureValue volume = Of(Measure::kVolume, rx, ra, rb, factor);
    auto consider_volume = [&](MeasureValue cut) {
      if (next ? cut >= volume : cut < volume) consider(Measure::kVolume, factor, cut);
    };
    if (billable != nullptr && (next || billable->from_sides)) {
      const auto bound = std::lower_bound(billable_.begin(), billable_.end(), billable->weight);
      const std::ptrdiff_t i = bound - billable_.begin() - (next ? 0 : 1);
      if (i >= 0 && i < static_cast<std::ptrdiff_t>(billable_.size())) {
        for (const Dimensional& rule : dimensional_) consider_volume(rule.volumes[static_cast<std::size_t>(i)]);
      }
    }
    if (!series_too) return best < 1 && !next ? -1 : best;
    for (const CutSeries& series : billable_series_) {
      for (const Dimensional& rule : dimensional_) {
        const std::int64_t dimensional = rule.ratio.WeightOf(volume, 1, kVolumeScale, rule.rounding);
        const std::int64_t from = next && billable != nullptr ? std::max(dimensional, billable->weight) : dimensional;
        const MeasureValue cut = next ? At(series, from) : Before(series, from);
        if (cut < 0 || cut >= kMostBillable) continue;
        if (const std::optional<MeasureValue> limit =
                LargestVolume(rule.ratio, static_cast<std::int64_t>(cut), rule.rounding)) {
          consider_volume(*limit);
        }
      }
    }
    return best < 1 && !next ? -1 : best;
  }

  struct Dimensional {
    VolumePerWeight ratio;
    StepRounding rounding;
    std::vector<MeasureValue> volumes;  // for each of `billable_`: the largest volume that weighs no more
  };

  std::int64_t others_weight_;
  std::array<std::vector<MeasureValue>, kMeasures> values_;
  std::array<std::vector<CutSeries>, kMeasures> series_;
  std::vector<CutSeries> billable_series_;
  std::vector<Dimensional> dimensional_;
  std::vector<std::int64_t> billable_;      // bounds on the billable weight
  std::vector<MeasureValue> test_weights_;  // values_ of the weight and the volume without those of `billable_`
  std::vector<MeasureValue> test_volumes_;
};

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_PRICING_INTERNAL_CUTS_H_
