#ifndef TAREWISE_RANKING_INTERNAL_BOX_CORNERS_H_
#define TAREWISE_RANKING_INTERNAL_BOX_CORNERS_H_

#include <array>
#include <cstddef>
#include <cstdint>
#include <initializer_list>
#include <set>
#include <utility>
#include <vector>

#include "tarewise/ranking/internal/side_cuts.h"
#include "tarewise/rules/measure.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

using SeenSignatures = std::set<std::vector<std::int64_t>>;

/// Tells from the corners of a box of sides what can lie between them.
class BoxCorners {
 public:
  using Sides = SideCuts::Sides;
  using Signature = SideCuts::Signature;

  explicit BoxCorners(const SideCuts& cuts) : cuts_(cuts), axes_(cuts.Axes()) {}

  const std::vector<SideCuts::Axis>& axes() const { return axes_; }

  /// True where every signature between those of a box's corners (sides sorted) has been seen, or cannot be: then the
  /// box holds nothing new.
  bool NothingElse(const Signature& low, const Signature& high, const Sides& low_sides, const Sides& high_sides,
                   const SeenSignatures& seen) const {
    std::int64_t count = 1;
    for (std::size_t i = 0; i < low.size(); ++i) {
      if (high[i] - low[i] >= kMostBetween) return false;
      count *= high[i] - low[i] + 1;
      if (count > kMostBetween) return false;
    }
    std::vector<std::int64_t> between(low.begin(), low.end());
    std::vector<Constraint> constraints;
    while (true) {
      if (!seen.contains(between)) {
        constraints.clear();
        for (std::size_t i = 0; i < between.size(); ++i) {
          if (between[i] < high[i]) AddConstraint(axes_[i], between[i], false, constraints);
          if (between[i] > low[i]) AddConstraint(axes_[i], between[i] - 1, true, constraints);
        }
        if (!Contradict(constraints, low_sides, high_sides)) return false;
      }
      std::size_t i = 0;
      while (i < between.size() && between[i] == high[i]) {
        between[i] = low[i];
        ++i;
      }
      if (i == between.size()) return true;
      ++between[i];
    }
  }

 private:
  using Axis = SideCuts::Axis;

  // How many signatures may lie between those of a box's corners and still be told apart.
  static constexpr std::int64_t kMostBetween = 64;

  // A bound that holds for one signature: form <= `bound`, or with `above` form >= `bound`.
  struct Constraint {
    MeasureForm form;
    MeasureValue bound = 0;  // of a volume in nm3
    bool above = false;
  };

  void AddConstraint(const Axis& axis, std::int64_t count, bool above, std::vector<Constraint>& out) const {
    const MeasureValue cut = axis.Cut(count);
    if (cut < 0) return;
    Constraint constraint{FormOf(axis.measure), cut, above};
    if (constraint.form.volume) constraint.bound = cut / axis.scale;
    if (above) constraint.bound += 1;
    // Sides that are not rounded are the exact ones.
    if (cuts_.exact()) constraint.form.exact = true;
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
      least += Int128(of[i]) * (exact ? side : RoundToStep(side, cuts_.rounding()));
    }
    return least > bound;
  }

  SideCuts cuts_;
  std::vector<Axis> axes_;
};

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_RANKING_INTERNAL_BOX_CORNERS_H_
