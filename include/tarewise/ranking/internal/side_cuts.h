#ifndef TAREWISE_RANKING_INTERNAL_SIDE_CUTS_H_
#define TAREWISE_RANKING_INTERNAL_SIDE_CUTS_H_

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <vector>

#include "absl/container/inlined_vector.h"
#include "tarewise/pricing/internal/cuts.h"
#include "tarewise/rules/measure.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// Where a service's answer can change as the sides of a parcel do, list of cuts by list of cuts. A view of its cuts
/// and rules, which must outlive it.
class SideCuts {
 public:
  using Sides = std::array<std::int64_t, 3>;
  using Signature = absl::InlinedVector<std::int64_t, 24>;

  /// One list of cuts of a measure: bounds, evenly spaced ones, or evenly spaced ones of the dimensional weight.
  struct Axis {
    Measure measure = Measure::kLength;
    bool exact = false;
    Int128 scale = 1;  ///< Of a volume: millionths.
    const std::vector<MeasureValue>* values = nullptr;
    const CutSeries* series = nullptr;
    const MeasureRules::Dimensional* dimensional = nullptr;
    StepRounding weight_rounding;

    std::int64_t CountBelow(MeasureValue value) const {
      if (values != nullptr) return std::lower_bound(values->begin(), values->end(), value) - values->begin();
      if (dimensional != nullptr) {
        value = dimensional->volume_per_weight.WeightOf(value, 1, kVolumeScale, weight_rounding);
      }
      if (value <= series->start) return 0;
      return static_cast<std::int64_t>((value - series->start + series->step - 1) / series->step);
    }
    // The cut that lies above a value with `count` below it, in terms of the measure; -1: not known.
    MeasureValue Cut(std::int64_t count) const {
      if (values != nullptr) return (*values)[static_cast<std::size_t>(count)];
      const MeasureValue cut = series->start + series->step * count;
      if (dimensional == nullptr) return cut;
      if (cut > Weight::kMostNanograms * 4) return -1;
      return Cuts::LargestVolume(dimensional->volume_per_weight, static_cast<std::int64_t>(cut), weight_rounding)
          .value_or(-1);
    }
  };

  SideCuts(const Cuts& cuts, const MeasureRules& rules, std::int64_t volume_factor)
      : cuts_(cuts), rules_(rules), factor_(volume_factor) {}

  StepRounding rounding() const { return rules_.sides; }
  /// Sides are not rounded.
  bool exact() const { return rules_.sides.mode == StepMode::kExact; }

  /// In the order of a signature.
  std::vector<Axis> Axes() const {
    std::vector<Axis> axes;
    for (std::size_t m = 1; m < Cuts::kMeasures; ++m) {
      EachAxis(static_cast<Measure>(m), true, [&axes](const Axis& axis) { axes.push_back(axis); });
    }
    return axes;
  }

  /// For each list of cuts, how many of them lie below the measure; equal signatures mean an equal answer. Each of them
  /// only rises with the sides.
  Signature SignatureOf(const Sides& sides, bool series_too) const {
    Signature out;
    const std::int64_t rounded[3] = {RoundToStep(sides[0], rules_.sides), RoundToStep(sides[1], rules_.sides),
                                     RoundToStep(sides[2], rules_.sides)};
    for (std::size_t m = 1; m < Cuts::kMeasures; ++m) {
      const Measure measure = static_cast<Measure>(m);
      bool measured = false;
      MeasureValue value = 0;
      EachAxis(measure, series_too, [&](const Axis& axis) {
        if (!measured) {
          const std::int64_t* of = axis.exact ? sides.data() : rounded;
          value = Cuts::Of(measure, of[0], of[1], of[2], static_cast<std::int64_t>(axis.scale));
          measured = true;
        }
        out.push_back(axis.CountBelow(value));
      });
    }
    return out;
  }

  bool Alike(const Sides& a, const Sides& b) const { return SignatureOf(a, true) == SignatureOf(b, true); }

 private:
  template <typename F>
  void EachAxis(Measure measure, bool series_too, F each) const {
    const std::vector<MeasureValue>& values = cuts_.values(measure);
    const std::vector<CutSeries>& series = cuts_.series(measure);
    Axis axis;
    axis.measure = measure;
    axis.exact = FormOf(measure).exact;
    axis.scale = measure == Measure::kExactVolume ? kVolumeScale : factor_;
    if (!values.empty()) {
      axis.values = &values;
      each(axis);
      axis.values = nullptr;
    }
    if (!series_too) return;
    for (const CutSeries& one : series) {
      axis.series = &one;
      each(axis);
    }
    if (measure != Measure::kVolume) return;
    for (const MeasureRules::Dimensional& rule : rules_.dimensional) {
      axis.dimensional = &rule;
      axis.weight_rounding = rules_.weight;
      for (const CutSeries& one : cuts_.billable_series()) {
        axis.series = &one;
        each(axis);
      }
    }
  }

  const Cuts& cuts_;
  const MeasureRules& rules_;
  std::int64_t factor_;
};

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_RANKING_INTERNAL_SIDE_CUTS_H_
