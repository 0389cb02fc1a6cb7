#ifndef TAREWISE_RANKING_PIECES_H_
#define TAREWISE_RANKING_PIECES_H_

#include <algorithm>
#include <array>
#include <cstdint>
#include <set>
#include <vector>

#include "absl/container/inlined_vector.h"
#include "tarewise/pricing/cuts.h"
#include "tarewise/pricing/ratebook.h"

namespace tarewise {

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

/// Visits at least one point of every piece of a box in which a service's answer is one, so that extremes over the
/// visited points are extremes over the box. Weights and one ranging side are walked cut by cut. Several ranging sides
/// are divided until no box holds more than one cut: exact too, but bounded by `kMostBoxes`, past which `Visit` returns
/// false.
class PieceVisitor {
 public:
  static constexpr int kMostBoxes = 20000;

  PieceVisitor(const CompiledService& compiled, std::int64_t volume_factor)
      : cuts_(compiled.cuts), rules_(compiled.service->measure), factor_(volume_factor) {}

  /// `visit(weight, sides)` with the sides sorted. True where every piece was visited.
  template <typename F>
  bool Visit(const ParcelBox& box, F visit) {
    absl::InlinedVector<std::size_t, 3> ranging;
    for (std::size_t i = 0; i < 3; ++i) {
      if (box.least[i] != box.most[i]) ranging.push_back(i);
    }
    if (ranging.empty()) {
      Weights(box, box.least, visit);
      return true;
    }
    if (ranging.size() == 1) {
      const std::size_t i = ranging[0];
      std::array<std::int64_t, 3> sides = box.least;
      while (true) {
        const std::int64_t next = std::min(
            cuts_.NextSide(sides[i], sides[(i + 1) % 3], sides[(i + 2) % 3], rules_.sides, factor_), box.most[i]);
        sides[i] = next;
        Weights(box, sides, visit);
        if (next == box.most[i]) return true;
        sides[i] = next + 1;
      }
    }
    boxes_ = 0;
    seen_.clear();
    return Cells(box, ranging, 0, box.least, box.most, visit);
  }

  /// True where a box is surely one piece (a quick test; false says nothing).
  bool OnePiece(const ParcelBox& box) const {
    return cuts_.NextWeight(box.weight, rules_.weight) >= box.weight_most &&
           (box.least == box.most || Signature(box.least) == Signature(box.most));
  }

 private:
  using Indices = absl::InlinedVector<std::int64_t, 24>;

  template <typename F>
  void Weights(const ParcelBox& box, const std::array<std::int64_t, 3>& sides, F& visit) const {
    const std::array<std::int64_t, 3> sorted = Sorted(sides);
    std::int64_t weight = box.weight;
    while (true) {
      const std::int64_t end = std::min(cuts_.NextWeight(weight, rules_.weight), box.weight_most);
      visit(end, sorted);
      if (end == box.weight_most) return;
      weight = end + 1;
    }
  }

  // Cuts the box at the steps that sides are rounded to: within a cell every rounded measure is one.
  template <typename F>
  bool Cells(const ParcelBox& box, const absl::InlinedVector<std::size_t, 3>& ranging, std::size_t at,
             std::array<std::int64_t, 3> least, std::array<std::int64_t, 3> most, F& visit) {
    if (at == ranging.size() || rules_.sides.mode == StepMode::kExact) return Divide(box, least, most, visit);
    const std::size_t i = ranging[at];
    const std::int64_t end = most[i];
    while (true) {
      most[i] = std::min(end, LargestRoundingTo(RoundToStep(least[i], rules_.sides), rules_.sides));
      if (!Cells(box, ranging, at + 1, least, most, visit)) return false;
      if (most[i] >= end) return true;
      least[i] = most[i] + 1;
    }
  }

  template <typename F>
  bool Divide(const ParcelBox& box, const std::array<std::int64_t, 3>& least, const std::array<std::int64_t, 3>& most,
              F& visit) {
    if (++boxes_ > kMostBoxes) return false;
    const Indices low = Signature(least);
    const Indices high = Signature(most);
    See(box, low, least, visit);
    std::int64_t differing = 0;
    std::int64_t measures = 0;
    for (std::size_t i = 0; i < low.size(); ++i) {
      differing += high[i] - low[i];
      measures += high[i] != low[i] ? 1 : 0;
    }
    if (differing == 0) return true;
    See(box, high, most, visit);
    // One cut inside: both its sides have been seen. Two cuts of two measures: done once all four ways are known.
    if (differing == 1 || (differing == 2 && measures == 2 && AllFourSeen(low, high))) return true;
    std::size_t widest = 0;
    for (std::size_t i = 1; i < 3; ++i) {
      if (most[i] - least[i] > most[widest] - least[widest]) widest = i;
    }
    if (least[widest] == most[widest]) return true;
    const std::int64_t middle = least[widest] + (most[widest] - least[widest]) / 2;
    std::array<std::int64_t, 3> lower = most;
    lower[widest] = middle;
    std::array<std::int64_t, 3> upper = least;
    upper[widest] = middle + 1;
    return Divide(box, least, lower, visit) && Divide(box, upper, most, visit);
  }

  template <typename F>
  void See(const ParcelBox& box, const Indices& signature, const std::array<std::int64_t, 3>& sides, F& visit) {
    if (seen_.insert(std::vector<std::int64_t>(signature.begin(), signature.end())).second) Weights(box, sides, visit);
  }

  bool AllFourSeen(const Indices& low, const Indices& high) const {
    std::vector<std::int64_t> one(low.begin(), low.end());
    for (std::size_t i = 0; i < low.size(); ++i) {
      if (low[i] == high[i]) continue;
      one[i] = high[i];
      if (!seen_.contains(one)) return false;
      one[i] = low[i];
    }
    return true;
  }

  // For each measure with cuts, how many of them lie below its value; equal signatures mean an equal answer.
  Indices Signature(const std::array<std::int64_t, 3>& sides) const {
    Indices out;
    const std::int64_t rounded[3] = {RoundToStep(sides[0], rules_.sides), RoundToStep(sides[1], rules_.sides),
                                     RoundToStep(sides[2], rules_.sides)};
    for (std::size_t m = 1; m < Cuts::kMeasures; ++m) {
      const Measure measure = static_cast<Measure>(m);
      const std::vector<MeasureValue>& values = cuts_.values(measure);
      const std::vector<CutSeries>& series = cuts_.series(measure);
      const bool billable = measure == Measure::kVolume && !cuts_.billable_series().empty();
      if (values.empty() && series.empty() && !billable) continue;
      const bool exact = measure >= Measure::kExactLength;
      const MeasureValue value = exact ? Cuts::Of(measure, sides[0], sides[1], sides[2],
                                                  measure == Measure::kExactVolume ? kVolumeScale : factor_)
                                       : Cuts::Of(measure, rounded[0], rounded[1], rounded[2], factor_);
      if (!values.empty()) {
        out.push_back(std::lower_bound(values.begin(), values.end(), value) - values.begin());
      }
      for (const CutSeries& one : series) out.push_back(StepsBegun(one, value));
      if (billable) {
        for (const MeasureRules::Dimensional& rule : rules_.dimensional) {
          const std::int64_t weight = rule.volume_per_weight.WeightOf(value, 1, kVolumeScale, rules_.weight);
          for (const CutSeries& one : cuts_.billable_series()) out.push_back(StepsBegun(one, weight));
        }
      }
    }
    return out;
  }

  static std::int64_t StepsBegun(const CutSeries& series, MeasureValue value) {
    if (value <= series.start) return 0;
    return static_cast<std::int64_t>((value - series.start + series.step - 1) / series.step);
  }

  const Cuts& cuts_;
  const MeasureRules& rules_;
  std::int64_t factor_;
  int boxes_ = 0;
  std::set<std::vector<std::int64_t>> seen_;
};

}  // namespace tarewise

#endif  // TAREWISE_RANKING_PIECES_H_
