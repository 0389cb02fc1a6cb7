#ifndef TAREWISE_BATCH_REPRICE_H_
#define TAREWISE_BATCH_REPRICE_H_

#include <cstddef>
#include <cstdint>
#include <functional>
#include <memory>
#include <span>
#include <vector>

#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "tarewise/batch/columns.h"
#include "tarewise/batch/setup.h"
#include "tarewise/internal/switch.h"
#include "tarewise/ranking/dispatch.h"
#include "tarewise/ranking/request.h"
#include "tarewise/units/money.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {
namespace internal {
struct RepriceShared;
}

/// Stands for a total that there is not.
inline constexpr std::int64_t kNoTotal = -1;

/// Columns out: each may be left out (nothing). Arrays of rows x lanes are row after row, a row's lanes side by side.
/// All totals are in millionths of the ranking's currency, packaging included; `kNoTotal` where there is none.
struct RepriceResults {
  std::int64_t* total = nullptr;      ///< Rows x lanes: the best offer's total; of an order in several parcels of all.
  std::int16_t* service = nullptr;    ///< Rows x lanes: its service, an index into `Repricer::services()`, or -1; of
                                      ///< an order in several parcels the first parcel's, as its packaging is.
  std::int16_t* packaging = nullptr;  ///< Rows x lanes: its packaging, an index into `Repricer::packagings()`, or -1.
  std::int16_t* parcels = nullptr;    ///< Rows x lanes: in how many parcels; 0 where there is no total.
  std::int64_t* second_total = nullptr;  ///< Rows x lanes: the total of the best offer of another service, whatever its
                                         ///< packaging: the least, where there are no handicaps. None of an order that
                                         ///< may go in several parcels.
  std::int64_t* worst = nullptr;         ///< Rows: the dearest of the lanes' totals (of those that have one).
  std::int32_t* worst_lane = nullptr;    ///< Rows: its lane, the first of equals: the farthest place. -1: none.
  std::int64_t* expected = nullptr;      ///< Rows: mean of the lanes' totals weighted by shares, half up to
                                         ///< `Repricer::mean_step()`. None where a lane with a share has no total.
  std::int64_t* quantile = nullptr;  ///< Rows x `levels`: the least total that at least that part of the shares does
                                     ///< not pass. None where `expected` has none.
  std::span<const std::int64_t> levels;  ///< Of the quantiles, in millionths of the whole: 0 to 1,000,000.
  std::uint8_t* reason = nullptr;        ///< Rows: a `RowReason`.
  std::uint32_t* cautions = nullptr;     ///< Rows: `CautionSet::bits` of the goods and of the best offers on the lanes,
                                         ///< what closes a list left out. 0 where the row cannot be read.

  /// The same columns without their first rows, where there are so many lanes.
  RepriceResults From(std::size_t row, std::size_t lanes) const {
    RepriceResults out = *this;
    const auto skip = [](auto*& column, std::size_t values) {
      if (column != nullptr) column += values;
    };
    skip(out.total, row * lanes);
    skip(out.service, row * lanes);
    skip(out.packaging, row * lanes);
    skip(out.parcels, row * lanes);
    skip(out.second_total, row * lanes);
    skip(out.worst, row);
    skip(out.worst_lane, row);
    skip(out.expected, row);
    skip(out.quantile, row * levels.size());
    skip(out.reason, row);
    skip(out.cautions, row);
    return out;
  }
};

struct RepriceOptions {
  unsigned threads = 1;  ///< 0: as many as the machine has, at most 256. The results never depend on it.
  /// Prices every packaging and service for each row, as a check: much slower, the same answers.
  bool one_by_one = false;
  /// Called now and then, by one thread at a time, with how many rows are done; false stops the run.
  std::function<bool(std::size_t rows_done)> progress = {};
};

/// Prices catalogues: every row for every lane, with the very totals, services and packagings that `Rank` puts first.
/// What rows share is worked out once, on first need, and kept: from then on a row is a test of which packagings fit
/// and a look-up. Safe from any thread; copies share what has been worked out. Where the ratebook's seller has
/// handicaps, who wins may hang on the declared value, and rows are priced one by one: see bench/README.md.
///
///     std::vector<std::int64_t> ounces = {12, 31}, length = {10, 14}, width = {8, 9}, height = {2, 5};
///     GoodsColumns columns;
///     columns.rows = ounces.size();
///     columns.weight = Column::Of(ounces, kNanogramsPerOunce);
///     columns.sides[0] = Column::Of(length, kNanometresPerInch);
///     columns.sides[1] = Column::Of(width, kNanometresPerInch);
///     columns.sides[2] = Column::Of(height, kNanometresPerInch);
///     Repricer repricer = *Repricer::Create(setup);
///     std::vector<std::int64_t> totals(columns.rows * setup.lanes.size());  // millionths, `kNoTotal` where none
///     RepriceResults results;
///     results.total = totals.data();
///     absl::Status done = repricer.Run(columns, results);
class Repricer {
 public:
  /// Errors: InvalidArgument as `Dispatch::Create` and for lanes, shares, padding, fill or allowance out of range, and
  /// for more than 32,000 services or packagings.
  static absl::StatusOr<Repricer> Create(RepriceSetup setup);

  /// The same shelf, lanes and terms with other rates. What has been worked out here and still holds is taken over, so
  /// that a change of one service costs little. Errors: as `Create`.
  absl::StatusOr<Repricer> WithRates(std::shared_ptr<const Ratebook> book) const;

  /// Fills the columns asked for. A bad row gets its reason and never stops the rest. Where a thread cannot be started,
  /// fewer do the work. Throws std::bad_alloc where memory runs out, and whatever `progress` throws; rows that were not
  /// done are then untouched.
  ///
  /// Errors: InvalidArgument where weight or a side is not given, a unit is 0 or less, a column of counts, codes or
  /// flags holds floating point, a level is out of range, or a result of a mix is asked for without shares; Cancelled
  /// where `progress` said so: rows that were not done are then untouched. Nothing is allocated that grows with the
  /// rows, but 32 bytes a row of an order.
  absl::Status Run(const GoodsColumns& goods, const RepriceResults& results, const RepriceOptions& options = {}) const;

  /// The request that `Rank` takes for one row and lane, for every offer, line and reason of it; for a row of an order,
  /// that of the whole order, its items as they are packed (linear in all rows). Rank it with `dispatch(lane)` and the
  /// shelf. Errors: InvalidArgument as `Run`, and where the row itself, or one of its order, is bad.
  absl::StatusOr<Request> RequestFor(const GoodsColumns& goods, std::size_t row, std::size_t lane) const;

  std::span<const ServiceName> services() const;
  /// The shelf's own in its order, then those issued; "estimate" alone without a shelf.
  std::span<const PackagingName> packagings() const;
  const std::vector<Lane>& lanes() const { return setup().lanes; }
  Currency currency() const;
  /// What means are rounded to, in millionths: the currency's minor unit, or the step of ten below it that the totals
  /// keep (0.001 where a tariff rounds its totals to that).
  std::int64_t mean_step() const;
  const RepriceSetup& setup() const;
  const std::shared_ptr<const Dispatch>& dispatch(std::size_t lane) const;
  /// How many of the lanes are different to any service: rows cost by these.
  std::size_t lane_classes() const;
  /// Bytes of what has been worked out so far: bounded, about 512 MiB at most.
  std::size_t bytes() const;

  /// For the library itself.
  internal::RepriceShared& shared() const { return *shared_; }

 private:
  std::shared_ptr<internal::RepriceShared> shared_;
};

}  // namespace tarewise::inline TW_VERSIONED

#ifdef TW_HEADER_ONLY
#include "tarewise/batch/internal/reprice-inl.h"
#endif

#endif  // TAREWISE_BATCH_REPRICE_H_
