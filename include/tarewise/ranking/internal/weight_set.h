#ifndef TAREWISE_RANKING_INTERNAL_WEIGHT_SET_H_
#define TAREWISE_RANKING_INTERNAL_WEIGHT_SET_H_

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <numeric>
#include <set>
#include <utility>
#include <vector>

#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// The weights that goods can come to, in ng: three alike of 100 to 110 g each come to every third nanogram only.
class WeightSet {
 public:
  /// From `least` to `most` by steps of `step`; `most` is one of them.
  struct Span {
    std::int64_t least = 0;
    std::int64_t most = 0;
    std::int64_t step = 1;
  };
  static constexpr std::size_t kMostSpans = 4096;

  static WeightSet Between(std::int64_t least, std::int64_t most) {
    WeightSet set;
    set.spans_.push_back({least, most, 1});
    return set;
  }

  /// Adds something that weighs 0 to `count` times `step`, whatever the rest weighs. False where that makes more than
  /// `kMostSpans` spans; the set is then of no use.
  bool Add(std::int64_t step, std::int64_t count) {
    if (count == 0) return true;
    std::vector<Span> sums;
    for (const Span& span : spans_) {
      AddTo(span, step, count, sums);
      if (sums.size() > kMostSpans) return false;
    }
    spans_ = std::move(sums);
    return true;
  }

  /// The set with `under` added to what weighs up to `bound`, and `over` to the rest.
  WeightSet Plus(std::int64_t bound, std::int64_t under, std::int64_t over) const {
    WeightSet out;
    for (const Span& span : spans_) {
      const std::int64_t light = Below(span, bound);
      if (light >= span.least) out.spans_.push_back({span.least + under, light + under, span.step});
      const std::int64_t heavy = Above(span, bound + 1);
      if (heavy <= span.most) out.spans_.push_back({heavy + over, span.most + over, span.step});
    }
    return out;
  }
  WeightSet Plus(std::int64_t more) const { return Plus(std::numeric_limits<std::int64_t>::max() - 1, more, more); }

  std::int64_t least() const { return AtOrAbove(0); }
  std::int64_t most() const { return AtOrBelow(std::numeric_limits<std::int64_t>::max()); }

  /// The heaviest of up to `weight`; -1: none.
  std::int64_t AtOrBelow(std::int64_t weight) const {
    std::int64_t best = -1;
    for (const Span& span : spans_) {
      if (weight >= span.least) best = std::max(best, Below(span, weight));
    }
    return best;
  }
  /// The lightest of `weight` or more; the greatest number: none.
  std::int64_t AtOrAbove(std::int64_t weight) const {
    std::int64_t best = std::numeric_limits<std::int64_t>::max();
    for (const Span& span : spans_) {
      if (weight <= span.most) best = std::min(best, Above(span, weight));
    }
    return best;
  }

 private:
  // The last of a span that is no more than `weight`; less than its least where there is none.
  static std::int64_t Below(const Span& span, std::int64_t weight) {
    if (weight < span.least) return span.least - 1;
    const std::int64_t last = std::min(weight, span.most);
    return last - (last - span.least) % span.step;
  }
  static std::int64_t Above(const Span& span, std::int64_t weight) {
    if (weight > span.most) return span.most + 1;
    if (weight <= span.least) return span.least;
    return span.least + (weight - span.least + span.step - 1) / span.step * span.step;
  }

  // Every sum of one of the span and 0 to `count` times `step`.
  static void AddTo(const Span& span, std::int64_t step, std::int64_t count, std::vector<Span>& sums) {
    const std::int64_t more = step * count;
    const std::int64_t own = (span.most - span.least) / span.step;
    if (own == 0) {
      sums.push_back({span.least, span.least + more, step});
      return;
    }
    // The finer of the two fills the gaps of the other.
    if (step % span.step == 0 && own + 1 >= step / span.step) {
      sums.push_back({span.least, span.most + more, span.step});
      return;
    }
    if (span.step % step == 0 && count + 1 >= span.step / step) {
      sums.push_back({span.least, span.most + more, step});
      return;
    }
    const std::int64_t common = std::gcd(span.step, step);
    const std::int64_t a = span.step / common;
    const std::int64_t b = step / common;
    constexpr std::int64_t kMostEnds = 1024;
    if (own >= b && count >= 2 * a && a * b <= kMostEnds) {
      // As of two kinds of coins: from (b - 1) * a on, counted from either end, every multiple of `common` is a sum.
      const std::int64_t every = a * (b - 1);
      std::set<std::int64_t> ends;
      for (std::int64_t i = 0; i < b; ++i) {
        for (std::int64_t sum = i * a; sum < every; sum += b) ends.insert(sum * common);
      }
      const std::int64_t most = span.most + more;
      for (const std::int64_t end : ends) {
        sums.push_back({span.least + end, span.least + end, 1});
        sums.push_back({most - end, most - end, 1});
      }
      sums.push_back({span.least + every * common, most - every * common, common});
      return;
    }
    // One by one, the fewer of the two.
    const std::int64_t fewer = std::min<std::int64_t>(std::min(own, count), kMostSpans + 1);
    for (std::int64_t i = 0; i <= fewer; ++i) {
      if (own <= count) {
        sums.push_back({span.least + i * span.step, span.least + i * span.step + more, step});
      } else {
        sums.push_back({span.least + i * step, span.most + i * step, span.step});
      }
    }
  }

  std::vector<Span> spans_;
};

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_RANKING_INTERNAL_WEIGHT_SET_H_
