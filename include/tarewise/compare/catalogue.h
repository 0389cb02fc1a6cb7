#ifndef TAREWISE_COMPARE_CATALOGUE_H_
#define TAREWISE_COMPARE_CATALOGUE_H_

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
#include "absl/status/statusor.h"
#include "tarewise/batch/convert.h"
#include "tarewise/batch/reprice.h"
#include "tarewise/units/money.h"
#include "tarewise/units/rounding.h"

namespace tarewise {

/// Unit of a column of parcels a month in whole parcels, or with fractions of them in floating point.
inline constexpr std::int64_t kMillionthsPerParcel = 1'000'000;

/// What changes about a row, as bits.
enum RowChangeBits : std::uint8_t {
  kTotalChanges = 1,      ///< The best total on at least one lane that is sent on.
  kServiceChanges = 2,    ///< Its service, likewise.
  kPackagingChanges = 4,  ///< Its packaging, likewise.
  kOfferedChanges = 8,    ///< At least one lane has a total on one side only.
};

/// The best offer of one row on one lane; nothing offered: a total of `kNoTotal`, empty names.
struct LaneOffer {
  std::int64_t total = kNoTotal;  ///< Millionths.
  std::string_view carrier;
  std::string_view service;
  std::string_view packaging;
};

/// A row that loses. Amounts are share-weighted means of one parcel, half up to the minor unit, but the month's.
struct RowLoss {
  std::uint64_t row = 0;  ///< Counted from 0 over all that was added.
  Amount before;
  Amount after;
  Amount month;          ///< Rise a month at the row's volume, from the exact means, half up to the minor unit.
  std::size_t lane = 0;  ///< Where one parcel's total rises most, the first of equals.
  LaneOffer lane_before;
  LaneOffer lane_after;
};

/// What a change does to a catalogue. Rows are counted over lanes with a share; rows on whose every such lane both
/// sides have a total are `comparable`, and the month is theirs.
struct CatalogueChange {
  Currency currency;
  std::uint64_t rows = 0;
  std::uint64_t comparable = 0;
  std::uint64_t changed = 0;  ///< Of all rows: total, service or packaging, or whether they are offered.
  std::uint64_t total_changed = 0;
  std::uint64_t service_changed = 0;
  std::uint64_t packaging_changed = 0;
  std::uint64_t dearer = 0;  ///< Of the comparable: by the exact mean.
  std::uint64_t cheaper = 0;
  std::uint64_t lost = 0;      ///< Could be sent everywhere before, and no longer.
  std::uint64_t gained = 0;    ///< Could not, and can now.
  std::uint64_t repriced = 0;  ///< Rows priced again for the side after; the others were known not to be touched.
  Amount month_before;         ///< Half up to the minor unit, of the exact sum.
  Amount month_after;
  std::int64_t month_parcels = 0;  ///< Of the comparable, in millionths.
  std::vector<RowLoss> losers;     ///< Those that lose most a month, most first, then by row.
};

/// Columns out, one value a row; each may be left out.
struct CatalogueColumns {
  std::int64_t* before = nullptr;  ///< Share-weighted mean total, half up to the minor unit, or `kNoTotal`.
  std::int64_t* after = nullptr;
  std::int64_t* month = nullptr;   ///< Rise a month in millionths, half up to the minor unit; 0 where not comparable.
  std::uint8_t* change = nullptr;  ///< `RowChangeBits`.
};

/// Prices a catalogue before and after a change of rates, block by block, and adds up what changes. The totals are
/// those of `Repricer`, and so of `Rank`. Not shared between threads; each `Add` uses as many as asked for.
class CatalogueComparer {
 public:
  /// The two sides: as a rule one setup with two ratebooks or two dates. Without shares each lane counts alike.
  /// `most_losers`: how many rows to name.
  ///
  /// Errors: InvalidArgument as `Repricer::Create`, and where the sides have different lanes, shares or currencies.
  static absl::StatusOr<CatalogueComparer> Create(RepriceSetup before, RepriceSetup after,
                                                  std::size_t most_losers = 10) {
    if (before.shares != after.shares)
      return detail::Invalid("shares: found different ones before and after, expected the same");
    if (before.lanes.size() != after.lanes.size() ||
        !std::equal(before.lanes.begin(), before.lanes.end(), after.lanes.begin(),
                    [](const Lane& a, const Lane& b) { return a.from == b.from && a.to == b.to; })) {
      return detail::Invalid("lanes: found different ones before and after, expected the same");
    }
    absl::StatusOr<Repricer> first = Repricer::Create(std::move(before));
    if (!first.ok()) return first.status();
    absl::StatusOr<Repricer> second = Repricer::Create(std::move(after));
    if (!second.ok()) return second.status();
    if (first->currency() != second->currency()) {
      return detail::Invalid("currency: found " + std::string(first->currency().code()) + " before and " +
                             std::string(second->currency().code()) + " after, expected one");
    }
    return CatalogueComparer(*std::move(first), *std::move(second), most_losers);
  }

  /// Adds rows. `monthly`: parcels a month of each row, 0 or more and at most 1,000 million, its unit in millionths
  /// of a parcel (`kMillionthsPerParcel` for whole ones); left out: one each. Bad rows count, and change nothing.
  ///
  /// Errors: InvalidArgument as `Repricer::Run`, and for a volume out of range, naming the row; OutOfRange where sums
  /// pass 128 bits; Cancelled where `options.progress` said so. After an error what was added is not to be used.
  absl::Status Add(const GoodsColumns& goods, const Column& monthly = {}, const CatalogueColumns& out = {},
                   const RepriceOptions& options = {}) {
    for (std::size_t first = 0; first < goods.rows; first += block_rows_) {
      const std::size_t count = std::min(block_rows_, goods.rows - first);
      if (absl::Status status = Block(goods, monthly, out, options, first, count); !status.ok()) return status;
    }
    return absl::OkStatus();
  }

  /// What was added so far. Names live as long as this.
  CatalogueChange Result() const {
    CatalogueChange result = counts_;
    result.month_before = Rounded(month_before_, Int128(shares_sum_) * kMillionthsPerParcel);
    result.month_after = Rounded(month_after_, Int128(shares_sum_) * kMillionthsPerParcel);
    for (const Loss& loss : losers_) result.losers.push_back(loss.shown);
    return result;
  }

  const Repricer& before() const { return before_; }
  const Repricer& after() const { return after_; }

 private:
  // A row's best offers on all lanes, one side.
  struct Side {
    std::vector<std::int64_t> total;
    std::vector<std::int16_t> service;
    std::vector<std::int16_t> packaging;
    RepriceResults Results() {
      RepriceResults results;
      results.total = total.data();
      results.service = service.data();
      results.packaging = packaging.data();
      return results;
    }
  };

  struct Loss {
    Int128 rise = 0;  // a month, in millionths of millionths of money times the sum of the shares
    RowLoss shown;
  };

  CatalogueComparer(Repricer before, Repricer after, std::size_t most_losers)
      : before_(std::move(before)),
        after_(std::move(after)),
        most_losers_(most_losers),
        lanes_(before_.lanes().size()) {
    shares_ = before_.setup().shares;
    if (shares_.empty()) shares_.assign(lanes_, 1);
    // Smaller numbers of the same proportions leave more room in sums.
    std::int64_t common = 0;
    for (const std::int64_t share : shares_) common = std::gcd(common, share);
    for (std::int64_t& share : shares_) share /= common;
    shares_sum_ = std::accumulate(shares_.begin(), shares_.end(), std::int64_t{0});
    counts_.currency = before_.currency();
    constexpr std::size_t kCellsInBlock = std::size_t{1} << 19;
    block_rows_ = std::clamp<std::size_t>(kCellsInBlock / lanes_, 256, 16384);
    for (const auto& service : after_.services()) {
      service_of_.push_back(Find(before_.services(), [&](const auto& one) {
        return one.carrier == service.carrier && one.service == service.service;
      }));
    }
    for (const auto& packaging : after_.packagings()) {
      packaging_of_.push_back(Find(before_.packagings(), [&](const auto& one) {
        return one.code == packaging.code && one.issued_by == packaging.issued_by;
      }));
    }
  }

  // The number before of what has a number after, or -2.
  template <typename Names, typename Same>
  static std::int16_t Find(const Names& names, Same same) {
    const auto at = std::find_if(names.begin(), names.end(), same);
    return at == names.end() ? std::int16_t{-2} : static_cast<std::int16_t>(at - names.begin());
  }

  static GoodsColumns Slice(const GoodsColumns& goods, std::size_t first, std::size_t count) {
    GoodsColumns slice = goods;
    slice.rows = count;
    for (Column* column :
         {&slice.weight, &slice.sides[0], &slice.sides[1], &slice.sides[2], &slice.quantity, &slice.value,
          &slice.contents, &slice.shape, &slice.this_side_up, &slice.rigid, &slice.bare, &slice.missing}) {
      if (column->given()) *column = From(*column, first);
    }
    return slice;
  }
  static Column From(Column column, std::size_t first) {
    column.data = static_cast<const std::byte*>(column.data) + static_cast<std::ptrdiff_t>(first) * column.stride;
    return column;
  }

  absl::Status Block(const GoodsColumns& goods, const Column& monthly, const CatalogueColumns& out,
                     const RepriceOptions& options, std::size_t first, std::size_t count) {
    volumes_.assign(count, kMillionthsPerParcel);
    if (monthly.given()) {
      if (monthly.unit < 1) return detail::Invalid("column monthly: found a unit of 0 or less, expected 1 or more");
      detail::ReadQuantities(monthly, first, count, volumes_.data());
      for (std::size_t i = 0; i < count; ++i) {
        if (volumes_[i] < 0 || volumes_[i] > kMostVolume) {
          return detail::Invalid("row " + std::to_string(counts_.rows + i) +
                                 ": found a volume that is no number from 0 to 1000 million parcels a month");
        }
      }
    }
    for (Side* side : {&old_, &new_}) {
      side->total.resize(block_rows_ * lanes_);
      side->service.resize(block_rows_ * lanes_);
      side->packaging.resize(block_rows_ * lanes_);
    }
    const GoodsColumns slice = Slice(goods, first, count);
    RepriceOptions inner = options;
    if (options.progress) {
      inner.progress = [&options, first](std::size_t done) { return options.progress(first + done / 2); };
    }
    if (absl::Status status = before_.Run(slice, old_.Results(), inner); !status.ok()) return status;
    if (options.progress) {
      inner.progress = [&options, first, count](std::size_t done) {
        return options.progress(first + (count + done) / 2);
      };
    }
    if (absl::Status status = after_.Run(slice, new_.Results(), inner); !status.ok()) return status;
    counts_.repriced += count;
    for (std::size_t i = 0; i < count; ++i) {
      if (absl::Status status = Row(i, first + i, out); !status.ok()) return status;
    }
    return absl::OkStatus();
  }

  absl::Status Row(std::size_t i, std::size_t out_row, const CatalogueColumns& out) {
    const std::size_t at = i * lanes_;
    unsigned change = 0;
    bool all_before = true;
    bool all_after = true;
    Int128 sum_before = 0;
    Int128 sum_after = 0;
    for (std::size_t lane = 0; lane < lanes_; ++lane) {
      if (shares_[lane] == 0) continue;
      const std::int64_t old_total = old_.total[at + lane];
      const std::int64_t new_total = new_.total[at + lane];
      all_before = all_before && old_total != kNoTotal;
      all_after = all_after && new_total != kNoTotal;
      sum_before += Int128(old_total) * shares_[lane];
      sum_after += Int128(new_total) * shares_[lane];
      if (old_total == kNoTotal || new_total == kNoTotal) {
        if (old_total != new_total) change |= kOfferedChanges;
        continue;
      }
      if (old_total != new_total) change |= kTotalChanges;
      if (old_.service[at + lane] != service_of_[Index(new_.service[at + lane])]) change |= kServiceChanges;
      if (old_.packaging[at + lane] != packaging_of_[Index(new_.packaging[at + lane])]) change |= kPackagingChanges;
    }
    const std::uint64_t row = counts_.rows++;
    counts_.changed += change != 0 ? 1 : 0;
    counts_.total_changed += (change & kTotalChanges) != 0 ? 1 : 0;
    counts_.service_changed += (change & kServiceChanges) != 0 ? 1 : 0;
    counts_.packaging_changed += (change & kPackagingChanges) != 0 ? 1 : 0;
    counts_.lost += all_before && !all_after ? 1 : 0;
    counts_.gained += !all_before && all_after ? 1 : 0;
    if (out.change != nullptr) out.change[out_row] = static_cast<std::uint8_t>(change);
    if (out.before != nullptr) out.before[out_row] = all_before ? Rounded(sum_before, shares_sum_).micros() : kNoTotal;
    if (out.after != nullptr) out.after[out_row] = all_after ? Rounded(sum_after, shares_sum_).micros() : kNoTotal;
    if (out.month != nullptr) out.month[out_row] = 0;
    if (!all_before || !all_after) return absl::OkStatus();
    ++counts_.comparable;
    counts_.dearer += sum_after > sum_before ? 1 : 0;
    counts_.cheaper += sum_after < sum_before ? 1 : 0;
    const std::int64_t volume = volumes_[i];
    if (volume == 0) return absl::OkStatus();
    // Half of what 128 bits hold, so that the sums below may be added before they are looked at.
    const Int128 most = absl::Int128Max() / 4;
    if (std::max(sum_before, sum_after) > most / volume) return TooLarge();
    month_before_ += sum_before * volume;
    month_after_ += sum_after * volume;
    if (month_before_ > most || month_after_ > most) return TooLarge();
    counts_.month_parcels += volume;
    const Int128 rise = (sum_after - sum_before) * volume;
    const Int128 divisor = Int128(shares_sum_) * kMillionthsPerParcel;
    if (out.month != nullptr) out.month[out_row] = Rounded(rise, divisor).micros();
    if (rise > 0) Lose(row, i, rise, sum_before, sum_after);
    return absl::OkStatus();
  }

  static absl::Status TooLarge() {
    return absl::OutOfRangeError("the month's sum is too large: fewer parcels, or shares in smaller numbers");
  }

  static std::size_t Index(std::int16_t number) { return static_cast<std::size_t>(number); }

  Amount Rounded(Int128 num, Int128 den) const {
    const Int128 rounded = DivideRounded(num, den, counts_.currency.minor_unit(), RoundMode::kHalfUp);
    return Amount::Micros(Narrow(rounded).value_or(std::numeric_limits<std::int64_t>::max()));
  }

  void Lose(std::uint64_t row, std::size_t i, Int128 rise, Int128 sum_before, Int128 sum_after) {
    // Rows come in their order, so among equals the earlier stays.
    if (most_losers_ == 0 || (losers_.size() == most_losers_ && rise <= losers_.back().rise)) return;
    Loss loss;
    loss.rise = rise;
    loss.shown.row = row;
    loss.shown.before = Rounded(sum_before, shares_sum_);
    loss.shown.after = Rounded(sum_after, shares_sum_);
    loss.shown.month = Rounded(rise, Int128(shares_sum_) * kMillionthsPerParcel);
    const std::size_t at = i * lanes_;
    std::optional<std::int64_t> most;
    for (std::size_t lane = 0; lane < lanes_; ++lane) {
      if (shares_[lane] == 0) continue;
      const std::int64_t lane_rise = new_.total[at + lane] - old_.total[at + lane];
      if (most && lane_rise <= *most) continue;
      most = lane_rise;
      loss.shown.lane = lane;
    }
    loss.shown.lane_before = OfferOf(before_, old_, at + loss.shown.lane);
    loss.shown.lane_after = OfferOf(after_, new_, at + loss.shown.lane);
    const auto place = std::upper_bound(losers_.begin(), losers_.end(), rise,
                                        [](Int128 value, const Loss& other) { return value > other.rise; });
    losers_.insert(place, std::move(loss));
    if (losers_.size() > most_losers_) losers_.pop_back();
  }

  static LaneOffer OfferOf(const Repricer& repricer, const Side& side, std::size_t at) {
    const auto& service = repricer.services()[Index(side.service[at])];
    return {side.total[at], service.carrier, service.service, repricer.packagings()[Index(side.packaging[at])].code};
  }

  static constexpr std::int64_t kMostVolume = 1'000'000'000 * kMillionthsPerParcel;

  Repricer before_;
  Repricer after_;
  std::size_t most_losers_;
  std::size_t lanes_;
  std::size_t block_rows_ = 0;
  std::vector<std::int64_t> shares_;
  std::int64_t shares_sum_ = 0;
  std::vector<std::int16_t> service_of_;
  std::vector<std::int16_t> packaging_of_;
  std::vector<std::int64_t> volumes_;
  Side old_;
  Side new_;
  CatalogueChange counts_;
  Int128 month_before_ = 0;
  Int128 month_after_ = 0;
  std::vector<Loss> losers_;
};

/// All of it for one catalogue in memory.
inline absl::StatusOr<CatalogueChange> CompareCatalogue(const GoodsColumns& goods, const Column& monthly,
                                                        CatalogueComparer& comparer,
                                                        const RepriceOptions& options = {}) {
  if (absl::Status status = comparer.Add(goods, monthly, {}, options); !status.ok()) return status;
  return comparer.Result();
}

}  // namespace tarewise

#endif  // TAREWISE_COMPARE_CATALOGUE_H_
