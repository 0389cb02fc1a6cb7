#ifndef TAREWISE_RANKING_INTERNAL_PIECES_H_
#define TAREWISE_RANKING_INTERNAL_PIECES_H_

#include <algorithm>
#include <array>
#include <cstdint>
#include <initializer_list>
#include <set>
#include <utility>
#include <vector>

#include "absl/container/inlined_vector.h"
#include "tarewise/pricing/internal/cuts.h"
#include "tarewise/pricing/ratebook.h"
#include "tarewise/ranking/internal/weight_set.h"

namespace tarewise::internal {

/// A box of weights and sides: from `weight` to `weight_most`, and each side from `least` to `most`, by itself.
struct ParcelBox {
  std::int64_t weight = 0;
  std::int64_t weight_most = 0;
  std::array<std::int64_t, 3> least = {};
  std::array<std::int64_t, 3> most = {};

  bool IsPoint() const { return weight == weight_most && least == most; }
};

inline std::array<std::int64_t, 3> Sorted(std::array<std::int64_t, 3> sides) {
  if (sides[0] < sides[1]) std::swap(sides[0], sides[1]);
  if (sides[1] < sides[2]) std::swap(sides[1], sides[2]);
  if (sides[0] < sides[1]) std::swap(sides[0], sides[1]);
  return sides;
}

/// Visits points of a range so that extremes over them are extremes over all of it: at least one of every piece in
/// which a service's answer is one, or, where prices by the step only rise in between, both ends of a longer stretch.
/// Weights and one ranging side are walked cut by cut. Several ranging sides are divided until what lies between the
/// corners of each box is known: exact too, but bounded by `kMostBoxes`, past which a visit returns false.
class PieceVisitor {
 public:
  static constexpr int kMostBoxes = 20000;

  /// `strides`: between cuts that are no series, totals only rise (see `CompiledService::group_steps`).
  PieceVisitor(const Cuts& cuts, const MeasureRules& rules, std::int64_t volume_factor, bool strides)
      : cuts_(cuts), rules_(rules), factor_(volume_factor), strides_(strides) {}

  using Sides = std::array<std::int64_t, 3>;
  using Values = absl::InlinedVector<std::int64_t, 4>;

  /// Every parcel of a box. `visit(weight, sides)`, the sides sorted, says whether to go on. True where every piece was
  /// visited, or `visit` has seen enough.
  template <typename F>
  bool Visit(const ParcelBox& box, const WeightSet& weights, F visit) {
    absl::InlinedVector<std::size_t, 3> ranging;
    for (std::size_t i = 0; i < 3; ++i) {
      if (box.least[i] != box.most[i]) ranging.push_back(i);
    }
    enough_ = false;
    if (ranging.empty()) {
      Weights(weights, box.least, visit);
      return true;
    }
    if (ranging.size() == 1) {
      const std::size_t i = ranging[0];
      Sides sides = box.least;
      while (true) {
        const std::int64_t from = sides[i];
        const std::int64_t end =
            std::min(cuts_.NextSide(from, sides[(i + 1) % 3], sides[(i + 2) % 3], rules_.sides, factor_, !strides_),
                     box.most[i]);
        if (strides_ && end != from) Weights(weights, sides, visit);
        sides[i] = end;
        Weights(weights, sides, visit);
        if (end == box.most[i] || enough_) return true;
        sides[i] = end + 1;
      }
    }
    Start();
    auto as_they_are = [](const Values& at) { return Sides{at[0], at[1], at[2]}; };
    return Cells(ranging, 0, box.least, box.most, [&](const Sides& least, const Sides& most) {
      return Divide(Values(least.begin(), least.end()), Values(most.begin(), most.end()), true, as_they_are, weights,
                    visit);
    });
  }
  template <typename F>
  bool Visit(const ParcelBox& box, F visit) {
    return Visit(box, WeightSet::Between(box.weight, box.weight_most), visit);
  }

  /// Every parcel that goods make whose sides range from `least` to `most`. `sides_of(values)` gives the parcel's
  /// sides, none of which may fall where a value rises.
  template <typename SidesOf, typename F>
  bool Visit(const Values& least, const Values& most, SidesOf sides_of, const WeightSet& weights, F visit) {
    enough_ = false;
    if (least.size() != 1) {
      Start();
      return Divide(least, most, false, sides_of, weights, visit);
    }
    Values at = least;
    while (true) {
      const std::int64_t end = LastAlike(at, 0, most[0], sides_of, !strides_);
      if (strides_ && end != at[0]) Weights(weights, sides_of(at), visit);
      at[0] = end;
      Weights(weights, sides_of(at), visit);
      if (end == most[0] || enough_) return true;
      at[0] = end + 1;
    }
  }

  /// How far the `i`-th value may rise, up to `most`, while nothing changes at all.
  template <typename SidesOf>
  std::int64_t LastAlike(Values at, std::size_t i, std::int64_t most, SidesOf sides_of, bool series_too = true) const {
    const Indices now = Signature(sides_of(at), series_too);
    std::int64_t alike = at[i];
    std::int64_t other = most + 1;
    // Far first, as pieces are long more often than short; then by halving.
    for (std::int64_t step = 1 << 20; other == most + 1 && alike < most; step *= 4) {
      at[i] = step > most - alike ? most : alike + step;
      (Signature(sides_of(at), series_too) == now ? alike : other) = at[i];
    }
    while (other - alike > 1) {
      at[i] = alike + (other - alike) / 2;
      (Signature(sides_of(at), series_too) == now ? alike : other) = at[i];
    }
    return alike;
  }

  /// True where a box is surely one piece (a quick test; false says nothing).
  bool OnePiece(const ParcelBox& box) const {
    return cuts_.NextWeight(box.weight, rules_.weight) >= box.weight_most &&
           (box.least == box.most || Signature(box.least, true) == Signature(box.most, true));
  }

 private:
  using Indices = absl::InlinedVector<std::int64_t, 24>;

  // How many boxes' corners may be told apart by what can lie between them.
  static constexpr std::int64_t kMostWays = 64;

  void Start() {
    boxes_ = 0;
    seen_.clear();
    axes_.clear();
    for (std::size_t m = 1; m < Cuts::kMeasures; ++m) {
      const Measure measure = static_cast<Measure>(m);
      EachAxis(measure, true, [&](Axis axis) { axes_.push_back(axis); });
    }
  }

  template <typename F>
  void Weights(const WeightSet& weights, const Sides& sides, F& visit) {
    const Sides sorted = Sorted(sides);
    std::int64_t at = weights.least();
    const std::int64_t most = weights.most();
    while (!enough_) {
      const std::int64_t end = std::min(cuts_.NextWeight(at, rules_.weight, !strides_), most);
      const std::int64_t last = weights.AtOrBelow(end);
      if (strides_ && at != last) enough_ = !visit(at, sorted);
      if (!enough_) enough_ = !visit(last, sorted);
      if (end == most) return;
      at = weights.AtOrAbove(end + 1);
    }
  }

  // Cuts the box at the steps that sides are rounded to: within a cell every rounded measure is one.
  template <typename F>
  bool Cells(const absl::InlinedVector<std::size_t, 3>& ranging, std::size_t at, Sides least, Sides most, F each) {
    if (at == ranging.size() || rules_.sides.mode == StepMode::kExact) return each(least, most);
    const std::size_t i = ranging[at];
    const std::int64_t end = most[i];
    while (true) {
      most[i] = std::min(end, LargestRoundingTo(RoundToStep(least[i], rules_.sides), rules_.sides));
      if (!Cells(ranging, at + 1, least, most, each)) return false;
      if (most[i] >= end || enough_) return true;
      least[i] = most[i] + 1;
    }
  }

  template <typename SidesOf, typename F>
  bool Divide(const Values& least, const Values& most, bool plain, const SidesOf& sides_of, const WeightSet& weights,
              F& visit) {
    if (enough_) return true;
    if (++boxes_ > kMostBoxes) return false;
    const Sides low_sides = sides_of(least);
    const Sides high_sides = sides_of(most);
    const Indices low = Signature(low_sides, true);
    const Indices high = Signature(high_sides, true);
    See(low, low_sides, weights, visit);
    if (low == high) return true;
    See(high, high_sides, weights, visit);
    if (NothingElse(low, high, Sorted(low_sides), Sorted(high_sides))) return true;
    // At a cut of one side, where that is what divides the box; else in the middle of what ranges most.
    std::size_t widest = 0;
    for (std::size_t i = 1; i < least.size(); ++i) {
      if (most[i] - least[i] > most[widest] - least[widest]) widest = i;
    }
    if (least[widest] == most[widest]) return true;
    std::int64_t at = least[widest] + (most[widest] - least[widest]) / 2;
    if (plain) AtASide(low, high, least, most, widest, at);
    Values lower = most;
    lower[widest] = at;
    Values upper = least;
    upper[widest] = at + 1;
    return Divide(least, lower, plain, sides_of, weights, visit) &&
           Divide(upper, most, plain, sides_of, weights, visit);
  }

  template <typename F>
  void See(const Indices& signature, const Sides& sides, const WeightSet& weights, F& visit) {
    if (seen_.insert(std::vector<std::int64_t>(signature.begin(), signature.end())).second) {
      Weights(weights, sides, visit);
    }
  }

  // A cut of one side alone between the corners of a box: which value it divides, and where.
  void AtASide(const Indices& low, const Indices& high, const Values& least, const Values& most, std::size_t& which,
               std::int64_t& at) const {
    for (std::size_t i = 0; i < axes_.size(); ++i) {
      if (low[i] == high[i] || !(axes_[i].exact || Exactly())) continue;
      std::size_t rank = 3;
      for (std::size_t r = 0; r < 3; ++r) {
        if (axes_[i].measure == kSideMeasures[r] || axes_[i].measure == kExactSideMeasures[r]) rank = r;
      }
      if (rank == 3) continue;
      for (std::size_t v = 0; v < 3; ++v) {
        // The value is of that rank wherever in the box.
        std::size_t longer = 0;
        std::size_t shorter = 0;
        for (std::size_t o = 0; o < 3; ++o) {
          if (o == v) continue;
          if (least[o] >= most[v]) {
            ++longer;
          } else if (most[o] <= least[v]) {
            ++shorter;
          }
        }
        const MeasureValue cut = axes_[i].Cut(low[i]);
        if (longer != rank || shorter != 2 - rank || cut < least[v] || cut >= most[v]) continue;
        which = v;
        at = static_cast<std::int64_t>(cut);
        return;
      }
    }
  }

  // ---- what can lie between the corners of a box ----

  // One list of cuts of a measure: bounds, evenly spaced ones, or evenly spaced ones of the dimensional weight.
  struct Axis {
    Measure measure = Measure::kLength;
    bool exact = false;
    Int128 scale = 1;  // of a volume: millionths
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

  bool Exactly() const { return rules_.sides.mode == StepMode::kExact; }

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

  // For each list of cuts, how many of them lie below the measure; equal signatures mean an equal answer. Each of them
  // only rises with the sides.
  Indices Signature(const Sides& sides, bool series_too) const {
    Indices out;
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

  // A bound that holds for one way through the cuts: form <= `bound`, or with `above` form >= `bound`.
  struct Constraint {
    MeasureForm form;
    MeasureValue bound = 0;  // of a volume in nm3
    bool above = false;
  };

  // True where every signature between those of a box's corners has been seen, or cannot be: then the box holds nothing
  // new.
  bool NothingElse(const Indices& low, const Indices& high, const Sides& low_sides, const Sides& high_sides) const {
    std::int64_t ways = 1;
    for (std::size_t i = 0; i < low.size(); ++i) {
      if (high[i] - low[i] >= kMostWays) return false;
      ways *= high[i] - low[i] + 1;
      if (ways > kMostWays) return false;
    }
    std::vector<std::int64_t> way(low.begin(), low.end());
    std::vector<Constraint> constraints;
    while (true) {
      if (!seen_.contains(way)) {
        constraints.clear();
        for (std::size_t i = 0; i < way.size(); ++i) {
          if (way[i] < high[i]) AddConstraint(axes_[i], way[i], false, constraints);
          if (way[i] > low[i]) AddConstraint(axes_[i], way[i] - 1, true, constraints);
        }
        if (!Contradict(constraints, low_sides, high_sides)) return false;
      }
      std::size_t i = 0;
      while (i < way.size() && way[i] == high[i]) {
        way[i] = low[i];
        ++i;
      }
      if (i == way.size()) return true;
      ++way[i];
    }
  }

  void AddConstraint(const Axis& axis, std::int64_t count, bool above, std::vector<Constraint>& out) const {
    const MeasureValue cut = axis.Cut(count);
    if (cut < 0) return;
    Constraint constraint{FormOf(axis.measure), cut, above};
    if (constraint.form.volume) constraint.bound = cut / axis.scale;
    if (above) constraint.bound += 1;
    // Sides that are not rounded are the exact ones.
    if (Exactly()) constraint.form.exact = true;
    out.push_back(constraint);
  }

  // True where no sides between the corners meet all the constraints: two or three of them add up to a form that lies
  // out of reach.
  bool Contradict(const std::vector<Constraint>& all, const Sides& low, const Sides& high) const {
    for (const Constraint& a : all) {
      for (const Constraint& b : all) {
        if (&a == &b || a.form.exact != b.form.exact || a.form.volume != b.form.volume) continue;
        if (a.form.volume) {
          if (a.above && !b.above && a.bound > b.bound) return true;
          continue;
        }
        if (!a.above || b.above) continue;
        for (const auto& [times_a, times_b] : {std::pair{1, 1}, std::pair{1, 2}, std::pair{2, 1}}) {
          if (OutOfReach({{&b, times_b}, {&a, times_a}}, low, high)) return true;
        }
        for (const Constraint& c : all) {
          if (&c == &a || &c == &b || c.form.volume || c.form.exact != a.form.exact) continue;
          if (OutOfReach({{&b, 1}, {&a, 1}, {&c, 1}}, low, high)) return true;
        }
      }
    }
    return false;
  }

  struct Term {
    const Constraint* constraint;
    std::int64_t times;
  };
  // Upper bounds count as they are, lower ones turned round: the sum of the forms is at most the sum of the bounds.
  bool OutOfReach(std::initializer_list<Term> terms, const Sides& low, const Sides& high) const {
    std::array<std::int64_t, 3> of = {};
    MeasureValue bound = 0;
    bool exact = false;
    for (const Term& term : terms) {
      const std::int64_t times = term.constraint->above ? -term.times : term.times;
      for (std::size_t i = 0; i < 3; ++i) of[i] += times * term.constraint->form.of[i];
      bound += term.constraint->bound * times;
      exact = term.constraint->form.exact;
    }
    MeasureValue least = 0;
    for (std::size_t i = 0; i < 3; ++i) {
      const std::int64_t side = of[i] > 0 ? low[i] : high[i];
      least += Int128(of[i]) * (exact ? side : RoundToStep(side, rules_.sides));
    }
    return least > bound;
  }

  static constexpr std::array<Measure, 3> kSideMeasures = {Measure::kLength, Measure::kWidth, Measure::kHeight};
  static constexpr std::array<Measure, 3> kExactSideMeasures = {Measure::kExactLength, Measure::kExactWidth,
                                                                Measure::kExactHeight};

  const Cuts& cuts_;
  const MeasureRules& rules_;
  std::int64_t factor_;
  bool strides_;
  bool enough_ = false;
  int boxes_ = 0;
  std::vector<Axis> axes_;
  std::set<std::vector<std::int64_t>> seen_;
};

}  // namespace tarewise::internal

#endif  // TAREWISE_RANKING_INTERNAL_PIECES_H_
