#ifndef TAREWISE_PRICING_CUTS_H_
#define TAREWISE_PRICING_CUTS_H_

#include <algorithm>
#include <array>
#include <cstdint>
#include <limits>
#include <optional>
#include <vector>

#include "tarewise/pricing/facts.h"
#include "tarewise/tariff/tariff.h"

namespace tarewise {

/// Evenly spaced cuts without end: `start` + k * `step`, k >= 0 (the first of them may be left out).
struct CutSeries {
  MeasureValue start = 0;
  MeasureValue step = 1;
};

/// Where a service's answer can change. A cut at v says: up to and including v one thing may be true, above v another.
/// Every dependence of a price on weight and sides is a comparison of one monotone measure with one bound, and a bound on
/// the billable weight (the greatest of three) is a bound on the weight and one on the volume. So between cuts nothing
/// changes, and thresholds are found by visiting them, never by guessing.
class Cuts {
 public:
  static constexpr std::size_t kMeasures = static_cast<std::size_t>(Measure::kExactVolume) + 1;
  static constexpr std::int64_t kNever = std::numeric_limits<std::int64_t>::max();

  void AddTest(const Test& test, const MeasureRules& rules) {
    for (const Condition& condition : test.conditions) {
      if (const auto* measure = std::get_if<MeasureCondition>(&condition)) {
        for (const Bound& bound : measure->bounds) {
          const bool inclusive = bound.op == Bound::Op::kOver || bound.op == Bound::Op::kUpTo;
          Add(measure->measure, inclusive ? bound.value : bound.value - 1, rules);
        }
      } else if (const auto* compound = std::get_if<CompoundCondition>(&condition)) {
        for (const Test& inner : compound->tests) AddTest(inner, rules);
      }
    }
  }

  void AddPrice(const Price& price, const MeasureRules& rules) {
    if (const auto* table = std::get_if<TablePrice>(&price)) {
      for (const MeasureValue bound : table->bounds) Add(table->by, bound, rules);
      if (table->beyond && !table->bounds.empty()) {
        const std::vector<std::int64_t>& add = table->beyond->add;
        // Steps that add nothing are no cuts; without this a search for the next change would never end.
        if (std::any_of(add.begin(), add.end(), [](std::int64_t micros) { return micros > 0; })) {
          AddSeries(table->by, {table->bounds.back(), table->beyond->step});
        }
      }
    } else if (const auto* steps = std::get_if<StepPrice>(&price)) {
      if (steps->each.micros() > 0) AddSeries(steps->measure, {steps->step, steps->step});
    }
  }

  void Finish() {
    for (std::vector<MeasureValue>& values : values_) {
      std::sort(values.begin(), values.end());
      values.erase(std::unique(values.begin(), values.end()), values.end());
    }
  }

  /// The heaviest gross weight, from `weight` on, up to which nothing changes; `kNever` where nothing ever does.
  std::int64_t NextWeight(std::int64_t weight, StepRounding rounding) const {
    std::int64_t next = kNever;
    const std::vector<MeasureValue>& weights = values_[0];
    const auto at = std::lower_bound(weights.begin(), weights.end(), MeasureValue(weight));
    if (at != weights.end()) next = static_cast<std::int64_t>(*at);
    for (const CutSeries& series : series_[0]) {
      const MeasureValue cut = At(series, weight);
      if (cut < next) next = static_cast<std::int64_t>(cut);
    }
    for (const CutSeries& series : billable_series_) {
      const MeasureValue cut = At(series, RoundToStep(weight, rounding));
      if (cut < Weight::kMostNanograms * 4) {
        next = std::min(next, LargestRoundingTo(static_cast<std::int64_t>(cut), rounding));
      }
    }
    return next;
  }

  /// The heaviest gross weight below `weight` at which something may be otherwise; -1 where nothing below differs.
  std::int64_t PreviousWeight(std::int64_t weight, StepRounding rounding) const {
    std::int64_t previous = -1;
    const std::vector<MeasureValue>& weights = values_[0];
    const auto at = std::lower_bound(weights.begin(), weights.end(), MeasureValue(weight));
    if (at != weights.begin()) previous = static_cast<std::int64_t>(*(at - 1));
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

  /// The longest that side `x` (one of three, the others `a` >= `b` as they are) may be, from `x` on, up to which nothing
  /// changes. `volume_factor` in millionths for the rounded sides' volume.
  std::int64_t NextSide(std::int64_t x, std::int64_t a, std::int64_t b, StepRounding rounding,
                        std::int64_t volume_factor) const {
    return Side(x, a, b, rounding, volume_factor, true);
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
    const std::int64_t most = std::max({y, a, b});
    const std::int64_t least = std::min({y, a, b});
    const std::int64_t middle = y + a + b - most - least;
    switch (measure) {
      case Measure::kLength:
      case Measure::kExactLength:
        return most;
      case Measure::kWidth:
      case Measure::kExactWidth:
        return middle;
      case Measure::kHeight:
      case Measure::kExactHeight:
        return least;
      case Measure::kGirth:
        return 2 * (middle + least);
      case Measure::kLengthPlusGirth:
      case Measure::kExactLengthPlusGirth:
        return most + 2 * (middle + least);
      case Measure::kSumOfSides:
        return most + middle + least;
      case Measure::kLengthPlusWidth:
        return most + middle;
      case Measure::kLongestPlusShortest:
        return most + least;
      case Measure::kVolume:
      case Measure::kExactVolume:
        return Int128(most) * middle * least * factor;
      default:
        return 0;
    }
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

 private:
  static bool IsExact(Measure measure) { return measure >= Measure::kExactLength && measure <= Measure::kExactVolume; }

  void Add(Measure measure, MeasureValue cut, const MeasureRules& rules) {
    if (measure == Measure::kBillableWeight) {
      if (cut < 0) return;
      const std::int64_t bound = static_cast<std::int64_t>(std::min(cut, MeasureValue(Weight::kMostNanograms) * 4));
      values_[0].push_back(LargestRoundingTo(bound, rules.weight));
      for (const MeasureRules::Dimensional& rule : rules.dimensional) AddVolume(rule, bound, rules);
    } else if (static_cast<std::size_t>(measure) < kMeasures) {
      values_[static_cast<std::size_t>(measure)].push_back(cut);
    }
  }

  // The largest volume whose dimensional weight is at most `bound`.
  void AddVolume(const MeasureRules::Dimensional& rule, std::int64_t bound, const MeasureRules& rules) {
    const std::optional<MeasureValue> volume = LargestVolume(rule.volume_per_weight, bound, rules.weight);
    if (volume) values_[static_cast<std::size_t>(Measure::kVolume)].push_back(*volume);
  }

  static std::optional<MeasureValue> LargestVolume(const VolumePerWeight& ratio, std::int64_t bound,
                                                   StepRounding rounding) {
    // Weights that round to at most `bound` are those up to `most` (all but down and nearest: including it).
    const std::int64_t most = LargestRoundingTo(bound, rounding);
    if (most < 0) return std::nullopt;
    // volume * 10^6 <= most * ratio.volume * 10^6 / ratio.weight, floor; for down and nearest weights strictly below most + 1.
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

  void AddSeries(Measure measure, CutSeries series) {
    if (measure == Measure::kBillableWeight) {
      billable_series_.push_back(series);
    } else if (static_cast<std::size_t>(measure) < kMeasures) {
      series_[static_cast<std::size_t>(measure)].push_back(series);
    }
  }

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

  std::int64_t Side(std::int64_t x, std::int64_t a, std::int64_t b, StepRounding rounding, std::int64_t factor,
                    bool next) const {
    std::int64_t best = next ? kNever : -1;
    const std::int64_t rx = RoundToStep(x, rounding);
    const std::int64_t ra = RoundToStep(a, rounding);
    const std::int64_t rb = RoundToStep(b, rounding);
    for (std::size_t m = 1; m < kMeasures; ++m) {
      if (values_[m].empty() && series_[m].empty() && !(m == static_cast<std::size_t>(Measure::kVolume) && HasBillableVolume())) {
        continue;
      }
      const Measure measure = static_cast<Measure>(m);
      const bool exact = IsExact(measure);
      const std::int64_t f = measure == Measure::kExactVolume ? kVolumeScale : factor;
      const MeasureValue now = exact ? Of(measure, x, a, b, f) : Of(measure, rx, ra, rb, f);
      auto consider = [&](MeasureValue cut) {
        const std::int64_t y =
            exact ? LargestWithin(measure, cut, a, b, f) : LargestWithin(measure, cut, ra, rb, f);
        if (y == kNever) return;
        const std::int64_t raw = exact || y < 0 ? y : LargestRoundingTo(y, rounding);
        best = next ? std::min(best, std::max(raw, x)) : (raw < x ? std::max(best, raw) : best);
      };
      const auto at = std::lower_bound(values_[m].begin(), values_[m].end(), now);
      if (next) {
        if (at != values_[m].end()) consider(*at);
      } else if (at != values_[m].begin()) {
        consider(*(at - 1));
      }
      for (const CutSeries& series : series_[m]) {
        const MeasureValue cut = next ? At(series, now) : Before(series, now);
        if (cut >= 0) consider(cut);
      }
      if (measure == Measure::kVolume) {
        for (const DimensionalSeries& series : dimensional_series_) {
          for (const CutSeries& billable : billable_series_) ConsiderBillable(series, billable, now, next, consider);
        }
      }
    }
    return best < 1 && !next ? -1 : best;
  }

  struct DimensionalSeries {
    VolumePerWeight ratio;
    StepRounding rounding;
  };

  bool HasBillableVolume() const { return !dimensional_series_.empty() && !billable_series_.empty(); }

  template <typename F>
  static void ConsiderBillable(const DimensionalSeries& rule, const CutSeries& billable, MeasureValue volume, bool next,
                               F& consider) {
    // The billable weight of this volume, then the cut of the series around it.
    const std::int64_t weight = rule.ratio.WeightOf(volume, 1, kVolumeScale, rule.rounding);
    MeasureValue cut = next ? At(billable, weight) : Before(billable, weight);
    for (int tries = 0; tries < 3 && cut >= 0 && cut < Int128(Weight::kMostNanograms) * 4; ++tries) {
      const std::optional<MeasureValue> limit =
          LargestVolume(rule.ratio, static_cast<std::int64_t>(cut), rule.rounding);
      if (!limit) return;
      // Rounding to the nanogram may put the first guess one step off; take the neighbour then.
      if (next ? *limit >= volume : *limit < volume) {
        consider(*limit);
        return;
      }
      cut = next ? cut + billable.step : Before(billable, cut);
    }
  }

 public:
  void AddDimensional(const MeasureRules& rules) {
    for (const MeasureRules::Dimensional& rule : rules.dimensional) {
      dimensional_series_.push_back({rule.volume_per_weight, rules.weight});
    }
  }

 private:
  std::array<std::vector<MeasureValue>, kMeasures> values_;
  std::array<std::vector<CutSeries>, kMeasures> series_;
  std::vector<CutSeries> billable_series_;
  std::vector<DimensionalSeries> dimensional_series_;
};

}  // namespace tarewise

#endif  // TAREWISE_PRICING_CUTS_H_
