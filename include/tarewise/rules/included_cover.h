#ifndef TAREWISE_RULES_INCLUDED_COVER_H_
#define TAREWISE_RULES_INCLUDED_COVER_H_

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <variant>

#include "tarewise/rules/facts.h"
#include "tarewise/rules/price.h"
#include "tarewise/tariff/tariff.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// The cover that a service gives a parcel for nothing, in millionths of the tariff's currency.
inline std::int64_t IncludedCover(const Service& service, const PointFacts& at) {
  if (!service.cover_by_weight) return service.included_cover.micros();
  const CoverByWeight& cover = *service.cover_by_weight;
  const std::int64_t most = cover.at_most ? cover.at_most->micros() : kMostMicros;
  // Without a row for the weight nothing is included.
  return std::clamp<std::int64_t>(PriceAt(cover.price, at, nullptr), 0, most);
}

/// What is included at 1 ng, by which equal totals are put in order before any parcel is known.
inline std::int64_t IncludedCoverOfLightest(const Service& service, const LaneFacts& lane) {
  ParcelFacts parcel;
  parcel.weight = 1;
  const SideFacts sides;
  PointFacts at{lane, parcel, sides};
  at.billable = 1;
  return IncludedCover(service, at);
}

/// Where a cover asked for stops being included or begins to be. What is included only rises by steps, so of a cover
/// that is known one step is a cut; of one that is not, all of them are.
template <typename Sink>
class IncludedCoverCuts {
 public:
  /// `asked`: in millionths of the tariff's currency; nothing: it may be any.
  static void Gather(const CoverByWeight& cover, std::optional<std::int64_t> asked, Sink& sink) {
    if (!asked) {
      GatherCuts(cover.price, sink);
    } else if (*asked > 0) {
      // Past what is included at most it is charged at every weight.
      if (cover.at_most && *asked > cover.at_most->micros()) return;
      IncludedCoverCuts(*asked, sink).Known(cover.price);
    }
  }

 private:
  IncludedCoverCuts(std::int64_t asked, Sink& sink) : asked_(asked), sink_(sink) {}

  void Known(const Price& price) {
    if (const auto* steps = std::get_if<StepPrice>(&price)) {
      Steps(steps->measure, steps->step, steps->step, steps->first.micros(), steps->each.micros());
    } else if (const auto* table = std::get_if<TablePrice>(&price)) {
      for (const MeasureValue bound : table->bounds) sink_.Cut(table->by, bound);
      if (!table->beyond || table->rows() == 0 || table->cell(table->rows() - 1, 0) == kNotOffered) return;
      Steps(table->by, table->bounds.back(), table->beyond->step, table->cell(table->rows() - 1, 0),
            table->beyond->add[0]);
    }
  }

  // `first` up to `start`, and `each` more for every step begun past it: the last step in which less is included than
  // asked for.
  void Steps(Measure measure, MeasureValue start, MeasureValue step, std::int64_t first, std::int64_t each) {
    if (first >= asked_ || each <= 0) return;
    sink_.Cut(measure, start + step * ((asked_ - first + each - 1) / each - 1));
  }

  std::int64_t asked_;
  Sink& sink_;
};

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_RULES_INCLUDED_COVER_H_
