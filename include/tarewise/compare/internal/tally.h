#ifndef TAREWISE_COMPARE_INTERNAL_TALLY_H_
#define TAREWISE_COMPARE_INTERNAL_TALLY_H_

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <numeric>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "absl/status/status.h"
#include "tarewise/batch/internal/convert.h"
#include "tarewise/batch/reprice.h"
#include "tarewise/compare/catalogue_change.h"
#include "tarewise/units/internal/quantity_text.h"
#include "tarewise/units/money.h"
#include "tarewise/units/rounding.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// Rows are compared one by one, and may come in pieces, which an order would not survive.
inline absl::Status CheckNoOrders(const GoodsColumns& goods) {
  if (!goods.order.given()) return absl::OkStatus();
  return Invalid("column order: found one, expected none: price lists are compared row by row");
}

using OfferColumns = PricedRows;

/// Reads parcels a month in millionths. Errors: InvalidArgument for a unit of 0 or less and a volume out of range,
/// naming the row (counted from `first_name`).
inline absl::Status ReadVolumes(const Column& monthly, std::size_t first, std::size_t count, std::uint64_t first_name,
                                std::vector<std::int64_t>& out) {
  constexpr std::int64_t kMostVolume = 1'000'000'000 * kMillionthsPerParcel;
  out.assign(count, kMillionthsPerParcel);
  if (!monthly.given()) return absl::OkStatus();
  if (monthly.unit < 1) return Invalid("column monthly: found a unit of 0 or less, expected 1 or more");
  ReadQuantities(monthly, first, count, out.data());
  for (std::size_t i = 0; i < count; ++i) {
    if (out[i] >= 0 && out[i] <= kMostVolume) continue;
    return Invalid("row " + std::to_string(first_name + i) +
                   ": found a volume that is no number from 0 to 1000 million parcels a month");
  }
  return absl::OkStatus();
}

/// Adds up what changes, row by row.
class CatalogueTally {
 public:
  /// What one row adds to sums over a catalogue.
  struct RowSums {
    bool all_before = false;
    bool all_after = false;
    Int128 month_before = 0;  ///< Times the sum of the shares, in millionths of millionths; 0 unless `all_before`.
    Int128 month_after = 0;
  };

  CatalogueTally(const Repricer& before, const Repricer& after, std::size_t most_losers)
      : before_(before),
        after_(after),
        most_losers_(most_losers),
        lanes_(before.lanes().size()),
        step_(std::min(before.mean_step(), after.mean_step())) {
    shares_ = before.setup().shares;
    if (shares_.empty()) shares_.assign(lanes_, 1);
    // Smaller numbers of the same proportions leave more room in sums.
    std::int64_t common = 0;
    for (const std::int64_t share : shares_) common = std::gcd(common, share);
    for (std::int64_t& share : shares_) share /= common;
    shares_sum_ = std::accumulate(shares_.begin(), shares_.end(), std::int64_t{0});
    counts_.currency = before.currency();
    for (const auto& service : after.services()) {
      service_of_.push_back(Find(before.services(), [&](const auto& one) {
        return one.carrier == service.carrier && one.service == service.service;
      }));
    }
    for (const auto& packaging : after.packagings()) {
      packaging_of_.push_back(Find(before.packagings(), [&](const auto& one) {
        return one.code == packaging.code && one.issued_by == packaging.issued_by;
      }));
    }
  }

  std::uint64_t rows() const { return counts_.rows; }
  std::size_t lanes() const { return lanes_; }

  /// Adds the row `number`, whose offers stand at `at` x lanes on both sides. OutOfRange where sums pass 128 bits.
  absl::Status Add(std::uint64_t number, const OfferColumns& then, const OfferColumns& now, std::size_t at_row,
                   std::int64_t volume, const CatalogueColumns& out, std::size_t out_row, RowSums* sums = nullptr) {
    const std::size_t at = at_row * lanes_;
    unsigned change = 0;
    bool all_before = true;
    bool all_after = true;
    Int128 sum_before = 0;
    Int128 sum_after = 0;
    for (std::size_t lane = 0; lane < lanes_; ++lane) {
      if (shares_[lane] == 0) continue;
      const std::int64_t old_total = then.total[at + lane];
      const std::int64_t new_total = now.total[at + lane];
      all_before = all_before && old_total != kNoTotal;
      all_after = all_after && new_total != kNoTotal;
      sum_before += Int128(old_total) * shares_[lane];
      sum_after += Int128(new_total) * shares_[lane];
      if (old_total == kNoTotal || new_total == kNoTotal) {
        if (old_total != new_total) change |= kOfferedChanges;
        continue;
      }
      if (old_total != new_total) change |= kTotalChanges;
      if (then.service[at + lane] != service_of_[Index(now.service[at + lane])]) change |= kServiceChanges;
      if (then.packaging[at + lane] != packaging_of_[Index(now.packaging[at + lane])]) change |= kPackagingChanges;
    }
    ++counts_.rows;
    counts_.changed += change != 0 ? 1 : 0;
    counts_.total_changed += (change & kTotalChanges) != 0 ? 1 : 0;
    counts_.service_changed += (change & kServiceChanges) != 0 ? 1 : 0;
    counts_.packaging_changed += (change & kPackagingChanges) != 0 ? 1 : 0;
    counts_.offered_changed += (change & kOfferedChanges) != 0 ? 1 : 0;
    counts_.lost += all_before && !all_after ? 1 : 0;
    counts_.gained += !all_before && all_after ? 1 : 0;
    if (out.change != nullptr) out.change[out_row] = static_cast<std::uint8_t>(change);
    if (out.before != nullptr) out.before[out_row] = all_before ? Rounded(sum_before, shares_sum_).micros() : kNoTotal;
    if (out.after != nullptr) out.after[out_row] = all_after ? Rounded(sum_after, shares_sum_).micros() : kNoTotal;
    if (out.month != nullptr) out.month[out_row] = 0;
    // A quarter of what 128 bits hold, so that sums may be added before they are looked at.
    if (volume > 0 && ((all_before && sum_before > Most() / volume) || (all_after && sum_after > Most() / volume))) {
      return TooLarge();
    }
    if (sums != nullptr) {
      sums->all_before = all_before;
      sums->all_after = all_after;
      sums->month_before = all_before ? sum_before * volume : Int128(0);
      sums->month_after = all_after ? sum_after * volume : Int128(0);
    }
    if (!all_before || !all_after) return absl::OkStatus();
    ++counts_.comparable;
    counts_.dearer += sum_after > sum_before ? 1 : 0;
    counts_.cheaper += sum_after < sum_before ? 1 : 0;
    if (volume == 0) return absl::OkStatus();
    month_before_ += sum_before * volume;
    month_after_ += sum_after * volume;
    if (month_before_ > Most() || month_after_ > Most()) return TooLarge();
    counts_.month_parcels += volume;
    const Int128 rise = (sum_after - sum_before) * volume;
    if (out.month != nullptr) out.month[out_row] = Rounded(rise, MonthDivisor()).micros();
    if (rise > 0) Lose(number, then, now, at, rise, sum_before, sum_after);
    return absl::OkStatus();
  }

  /// Adds rows of which nothing changes, summed up already.
  absl::Status AddSame(std::uint64_t rows, std::uint64_t comparable, Int128 month, std::int64_t parcels) {
    counts_.rows += rows;
    counts_.comparable += comparable;
    counts_.month_parcels += parcels;
    month_before_ += month;
    month_after_ += month;
    return month_before_ > Most() || month_after_ > Most() ? TooLarge() : absl::OkStatus();
  }

  void AddRepriced(std::uint64_t rows) { counts_.repriced += rows; }

  CatalogueChange Result() const {
    CatalogueChange result = counts_;
    result.month_before = Rounded(month_before_, MonthDivisor());
    result.month_after = Rounded(month_after_, MonthDivisor());
    for (const Loss& loss : losers_) result.losers.push_back(loss.shown);
    return result;
  }

 private:
  struct Loss {
    Int128 rise = 0;  // as `RowSums::month_after`
    RowLoss shown;
  };

  static Int128 Most() { return absl::Int128Max() / 4; }
  static absl::Status TooLarge() {
    return absl::OutOfRangeError("the month's sum is too large: fewer parcels, or shares in smaller numbers");
  }
  Int128 MonthDivisor() const { return Int128(shares_sum_) * kMillionthsPerParcel; }

  // The number before of what has a number after, or -2.
  template <typename Names, typename Same>
  static std::int16_t Find(const Names& names, Same same) {
    const auto at = std::find_if(names.begin(), names.end(), same);
    return at == names.end() ? std::int16_t{-2} : static_cast<std::int16_t>(at - names.begin());
  }
  static std::size_t Index(std::int16_t number) { return static_cast<std::size_t>(number); }

  Amount Rounded(Int128 num, Int128 den) const {
    const Int128 rounded = DivideRounded(num, den, step_, RoundMode::kHalfUp);
    return Amount::Micros(Narrow(rounded).value_or(std::numeric_limits<std::int64_t>::max()));
  }

  void Lose(std::uint64_t number, const OfferColumns& then, const OfferColumns& now, std::size_t at, Int128 rise,
            Int128 sum_before, Int128 sum_after) {
    // Rows come in their order, so among equals the earlier stays.
    if (most_losers_ == 0 || (losers_.size() == most_losers_ && rise <= losers_.back().rise)) return;
    Loss loss;
    loss.rise = rise;
    loss.shown.row = number;
    loss.shown.before = Rounded(sum_before, shares_sum_);
    loss.shown.after = Rounded(sum_after, shares_sum_);
    loss.shown.month = Rounded(rise, MonthDivisor());
    std::optional<std::int64_t> most;
    for (std::size_t lane = 0; lane < lanes_; ++lane) {
      if (shares_[lane] == 0) continue;
      const std::int64_t lane_rise = now.total[at + lane] - then.total[at + lane];
      if (most && lane_rise <= *most) continue;
      most = lane_rise;
      loss.shown.lane = lane;
    }
    loss.shown.lane_before = OfferOf(before_, then, at + loss.shown.lane);
    loss.shown.lane_after = OfferOf(after_, now, at + loss.shown.lane);
    const auto place = std::upper_bound(losers_.begin(), losers_.end(), rise,
                                        [](Int128 value, const Loss& other) { return value > other.rise; });
    losers_.insert(place, loss);
    if (losers_.size() > most_losers_) losers_.pop_back();
  }

  static LaneOffer OfferOf(const Repricer& repricer, const OfferColumns& side, std::size_t at) {
    const auto& service = repricer.services()[Index(side.service[at])];
    return {side.total[at], service.carrier, service.service, repricer.packagings()[Index(side.packaging[at])].code};
  }

  Repricer before_;  // copies share their plan: the names live on
  Repricer after_;
  std::size_t most_losers_;
  std::size_t lanes_;
  std::int64_t step_;
  std::vector<std::int64_t> shares_;
  std::int64_t shares_sum_ = 0;
  std::vector<std::int16_t> service_of_;
  std::vector<std::int16_t> packaging_of_;
  CatalogueChange counts_;
  Int128 month_before_ = 0;
  Int128 month_after_ = 0;
  std::vector<Loss> losers_;
};

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_COMPARE_INTERNAL_TALLY_H_
