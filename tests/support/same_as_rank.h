#ifndef TAREWISE_TESTS_SUPPORT_SAME_AS_RANK_H_
#define TAREWISE_TESTS_SUPPORT_SAME_AS_RANK_H_

// Repricing against ranking, row by row.

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <map>
#include <string>
#include <utility>

#include "gtest/gtest.h"
#include "support/reprice_support.h"
#include "tarewise/batch/reprice.h"
#include "tarewise/ranking/rank.h"

namespace tarewise::reprice_test {

// How many ties for the first place were seen, so that a test can tell that it saw some.
struct Seen {
  std::size_t rows = 0;
  std::size_t offered = 0;
  std::size_t ties = 0;
  std::size_t packaging_ties = 0;
  std::size_t errors = 0;
  std::map<RowReason, std::size_t> reasons;
};

// Compares one row and lane with `Rank`. False where they differ (told once).
inline bool SameAsRank(const Repricer& repricer, const GoodsColumns& goods, const Columns& got, std::size_t row,
                       std::size_t lane, Seen& seen) {
  const std::size_t at = row * got.lanes + lane;
  const RowReason reason = static_cast<RowReason>(got.reason[row]);
  auto differs = [&](const std::string& what) {
    ADD_FAILURE() << "row " << row << ", lane " << lane << ": " << what << "; got total " << got.total[at]
                  << ", service " << got.service[at] << ", packaging " << got.packaging[at] << ", second "
                  << got.second[at] << ", " << NameOf(reason);
    return false;
  };
  absl::StatusOr<Request> request = repricer.RequestFor(goods, row, lane);
  if (!request.ok()) return differs(request.status().ToString());
  RankOptions options;
  options.thresholds = false;
  const absl::StatusOr<Ranking> ranking =
      Rank(repricer.dispatch(lane), repricer.setup().shelf, *std::move(request), options);
  ++seen.rows;
  ++seen.reasons[reason];
  if (!ranking.ok()) {
    ++seen.errors;
    if (reason != RowReason::kBadSide && reason != RowReason::kTooHeavyPacked) {
      return differs("Rank says " + ranking.status().ToString());
    }
    return got.total[at] == kNoTotal || differs("a total where Rank has an error");
  }
  if (ranking->candidates().empty() != (reason == RowReason::kFitsNothing)) return differs("fits or not");
  if (ranking->offers().empty()) {
    if (got.total[at] != kNoTotal || got.service[at] != -1 || got.packaging[at] != -1 || got.second[at] != kNoTotal) {
      return differs("Rank offers nothing");
    }
    if (reason == RowReason::kPriced) return differs("Rank offers nothing on this lane");
    return true;
  }
  ++seen.offered;
  if (reason != RowReason::kPriced && reason != RowReason::kNotEverywhere) return differs("Rank offers something");
  const Offer& best = ranking->offers().front();
  if (got.total[at] != best.total.micros()) return differs("Rank says " + best.total.ToString());
  if (got.service[at] != static_cast<std::int16_t>(best.service_index)) {
    return differs("Rank says service " + std::string(best.service));
  }
  const PackagingName& packaging = repricer.packagings()[static_cast<std::size_t>(got.packaging[at])];
  if (packaging.code != best.packaging || packaging.issued_by != best.issued_by) {
    return differs("Rank says packaging " + std::string(best.packaging) + ", got " + std::string(packaging.code));
  }
  std::int64_t second = kNoTotal;
  for (const Offer& offer : ranking->offers()) {
    if (offer.service_index == best.service_index) continue;
    second = offer.total.micros();
    break;
  }
  if (got.second[at] != second) return differs("Rank says second best " + std::to_string(second));
  if (ranking->offers().size() > 1 && ranking->offers()[1].total == best.total) {
    ++seen.ties;
    if (ranking->offers()[1].service_index == best.service_index) ++seen.packaging_ties;
  }
  return true;
}

// Runs all rows, and asks `Rank` about each on `lanes_a_row` of its lanes.
inline void ExpectSameAsRank(const Repricer& repricer, const GoodsColumns& goods, std::size_t lanes_a_row,
                             Random& random, Seen& seen) {
  Columns got;
  const RepriceResults results = got.Make(goods.rows, repricer.lanes().size());
  ASSERT_TRUE(repricer.Run(goods, results).ok());
  int failures = 0;
  for (std::size_t row = 0; row < goods.rows && failures < 5; ++row) {
    const std::size_t first = random() % got.lanes;
    for (std::size_t i = 0; i < std::min(lanes_a_row, got.lanes); ++i) {
      failures += SameAsRank(repricer, goods, got, row, (first + i) % got.lanes, seen) ? 0 : 1;
    }
    std::size_t offered = 0;
    std::int64_t worst = kNoTotal;
    std::int32_t worst_lane = -1;
    for (std::size_t lane = 0; lane < got.lanes; ++lane) {
      const std::int64_t total = got.total[row * got.lanes + lane];
      offered += total == kNoTotal ? 0 : 1;
      if (total <= worst) continue;
      worst = total;
      worst_lane = static_cast<std::int32_t>(lane);
    }
    EXPECT_EQ(got.worst[row], worst);
    EXPECT_EQ(got.worst_lane[row], worst_lane);
    const RowReason reason = static_cast<RowReason>(got.reason[row]);
    EXPECT_EQ(reason == RowReason::kPriced, offered == got.lanes);
    EXPECT_EQ(reason == RowReason::kNotEverywhere, offered > 0 && offered < got.lanes);
  }
}

}  // namespace tarewise::reprice_test

#endif  // TAREWISE_TESTS_SUPPORT_SAME_AS_RANK_H_
