#ifndef TAREWISE_BATCH_INTERNAL_HANDICAPPED_H_
#define TAREWISE_BATCH_INTERNAL_HANDICAPPED_H_

#include <cstddef>
#include <cstdint>

#include "tarewise/batch/internal/staircase.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// The best offer on a lane, and the best of another service, by total and handicap together. A staircase cannot hold
/// them: a handicap may be a part of the declared value, and who wins then hangs on it from row to row.
class BestTwo {
 public:
  struct One {
    std::int64_t due = kNoOffer;  ///< Total and handicap.
    std::int64_t total = kNoOffer;
    Way way = kNoWay;
  };

  const One& best() const { return best_; }
  const One& second() const { return second_; }

  void TakeIn(const TieOrder& order, std::size_t lane, const One& one) {
    if (Before(order, lane, one, best_)) {
      if (ServiceOf(best_.way) != ServiceOf(one.way)) second_ = best_;
      best_ = one;
    } else if (ServiceOf(best_.way) != ServiceOf(one.way) && Before(order, lane, one, second_)) {
      second_ = one;
    }
  }

 private:
  static bool Before(const TieOrder& order, std::size_t lane, const One& a, const One& b) {
    if (b.way == kNoWay || a.due != b.due) return a.due < b.due;
    return order.Key(lane, a.way) < order.Key(lane, b.way);
  }

  One best_;
  One second_;
};

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_BATCH_INTERNAL_HANDICAPPED_H_
