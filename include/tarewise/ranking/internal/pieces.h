#ifndef TAREWISE_RANKING_INTERNAL_PIECES_H_
#define TAREWISE_RANKING_INTERNAL_PIECES_H_

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <utility>
#include <vector>

#include "absl/container/inlined_vector.h"
#include "tarewise/pricing/internal/cuts.h"
#include "tarewise/pricing/ratebook.h"
#include "tarewise/ranking/internal/box_corners.h"
#include "tarewise/ranking/internal/parcel_box.h"
#include "tarewise/ranking/internal/side_cuts.h"
#include "tarewise/ranking/internal/weight_set.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// Visits points of a range so that extremes over them are extremes over all of it: at least one of every piece in
/// which a service's answer is one, or, where prices by the step only rise in between, both ends of a longer stretch.
/// Weights and one ranging side are walked cut by cut. Several ranging sides are divided until what lies between the
/// corners of each box is known: exact too, but bounded by `kMostBoxes`, past which a visit returns false.
class PieceVisitor {
 public:
  static constexpr int kMostBoxes = 20000;

  /// `strides`: between cuts that are no series, totals only rise (see `CompiledService::steps_may_fall`).
  PieceVisitor(const Cuts& cuts, const MeasureRules& rules, std::int64_t volume_factor, bool strides)
      : cuts_(cuts), rules_(rules), factor_(volume_factor), strides_(strides), side_cuts_(cuts, rules, volume_factor) {}

  using Sides = SideCuts::Sides;
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
    const Signature now = side_cuts_.SignatureOf(sides_of(at), series_too);
    std::int64_t alike = at[i];
    std::int64_t other = most + 1;
    // Far first, as pieces are long more often than short; then by halving.
    for (std::int64_t step = 1 << 20; other == most + 1 && alike < most; step *= 4) {
      at[i] = step > most - alike ? most : alike + step;
      (side_cuts_.SignatureOf(sides_of(at), series_too) == now ? alike : other) = at[i];
    }
    while (other - alike > 1) {
      at[i] = alike + (other - alike) / 2;
      (side_cuts_.SignatureOf(sides_of(at), series_too) == now ? alike : other) = at[i];
    }
    return alike;
  }

  /// True where a box is surely one piece (a quick test; false says nothing).
  bool OnePiece(const ParcelBox& box) const {
    return cuts_.NextWeight(box.weight, rules_.weight) >= box.weight_most &&
           (box.least == box.most || side_cuts_.Alike(box.least, box.most));
  }

 private:
  using Signature = SideCuts::Signature;

  void Start() {
    boxes_ = 0;
    seen_.clear();
    corners_.emplace(side_cuts_);
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
    const Signature low = side_cuts_.SignatureOf(low_sides, true);
    const Signature high = side_cuts_.SignatureOf(high_sides, true);
    See(low, low_sides, weights, visit);
    if (low == high) return true;
    See(high, high_sides, weights, visit);
    if (corners_->NothingElse(low, high, Sorted(low_sides), Sorted(high_sides), seen_)) return true;
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
  void See(const Signature& signature, const Sides& sides, const WeightSet& weights, F& visit) {
    if (seen_.insert(std::vector<std::int64_t>(signature.begin(), signature.end())).second) {
      Weights(weights, sides, visit);
    }
  }

  // A cut of one side alone between the corners of a box: which value it divides, and where.
  void AtASide(const Signature& low, const Signature& high, const Values& least, const Values& most, std::size_t& which,
               std::int64_t& at) const {
    const std::vector<SideCuts::Axis>& axes = corners_->axes();
    for (std::size_t i = 0; i < axes.size(); ++i) {
      if (low[i] == high[i] || !(axes[i].exact || side_cuts_.exact())) continue;
      std::size_t rank = 3;
      for (std::size_t r = 0; r < 3; ++r) {
        if (axes[i].measure == kSideMeasures[r] || axes[i].measure == kExactSideMeasures[r]) rank = r;
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
        const MeasureValue cut = axes[i].Cut(low[i]);
        if (longer != rank || shorter != 2 - rank || cut < least[v] || cut >= most[v]) continue;
        which = v;
        at = static_cast<std::int64_t>(cut);
        return;
      }
    }
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
  SideCuts side_cuts_;
  std::optional<BoxCorners> corners_;  // Of a visit of several ranging sides.
  SeenSignatures seen_;
};

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_RANKING_INTERNAL_PIECES_H_
