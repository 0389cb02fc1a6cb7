#ifndef TAREWISE_BATCH_REPRICE_H_
#define TAREWISE_BATCH_REPRICE_H_

#include <cstddef>
#include <cstdint>
#include <functional>
#include <memory>
#include <optional>
#include <span>
#include <string_view>
#include <vector>

#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "tarewise/batch/columns.h"
#include "tarewise/parcel/packaging.h"
#include "tarewise/pricing/ratebook.h"
#include "tarewise/ranking/dispatch.h"
#include "tarewise/ranking/request.h"
#include "tarewise/units/length.h"
#include "tarewise/units/money.h"
#include "tarewise/units/weight.h"
#include "tarewise/zone/place.h"

namespace tarewise {

/// What became of a row. The numbers are pinned and never reused. Everything but the first and the last two means that the
/// row was not priced at all.
enum class RowReason : std::uint8_t {
  kPriced = 0,
  kMissing = 1,        ///< `GoodsColumns::missing` says so.
  kBadWeight = 2,      ///< Not a number, 0 or less, over 100,000 kg for one or for all.
  kBadSide = 3,        ///< Not a number, 0 or less, over 50 m; or a pile of several that makes a parcel with such a side.
  kBadQuantity = 4,    ///< Not 1 to 10,000.
  kBadValue = 5,       ///< Not a number, below 0, over 1,000 million together.
  kBadContents = 6,    ///< A bit that is no trait, or an index past the classes.
  kBadShape = 7,       ///< Not a `Shape`.
  kFitsNothing = 8,    ///< No packaging at hand takes it.
  kTooHeavyPacked = 9, ///< Over 100,000 kg with its packaging.
  kNotOffered = 10,    ///< No service takes it on any lane.
  kNotEverywhere = 11, ///< Priced, but on at least one lane no service takes it.
};

inline constexpr std::string_view kRowReasonNames[] = {
    "priced",      "missing",   "bad_weight",   "bad_side",         "bad_quantity", "bad_value",
    "bad_contents", "bad_shape", "fits_nothing", "too_heavy_packed", "not_offered",  "not_everywhere"};
constexpr std::string_view NameOf(RowReason reason) { return kRowReasonNames[static_cast<int>(reason)]; }

/// What all rows have in common. Create a `Repricer` from it.
struct RepriceSetup {
  std::shared_ptr<const Ratebook> book;
  std::shared_ptr<const Shelf> shelf;  ///< Nothing: goods are estimated before they are packed, as `Rank` does.
  Dispatch::Terms terms;               ///< Date, promise, extras, cover, currency, exchange. Its lane is not looked at, and
                                       ///< its shelf's currency is taken from `shelf`.
  std::vector<Lane> lanes;             ///< One or more.
  std::vector<std::int64_t> shares;    ///< How often each lane is sent on, in any whole unit (parts of 1,000,000, counts): 0 or
                                       ///< more, the sum 1 to 10^12. Empty: no mix; expected totals and quantiles cannot be
                                       ///< asked for then.
  std::optional<Length> padding;       ///< As in `Request`.
  Weight fill_weight;
  Allowance allowance;                 ///< Estimates are priced at its most.
};

/// Columns out: each may be left out (nothing). Arrays of rows x lanes are row after row, a row's lanes side by side. All
/// totals are in millionths of the ranking's currency, packaging included; `kNoTotal` where there is none.
struct RepriceResults {
  std::int64_t* total = nullptr;         ///< Rows x lanes: the best offer's total.
  std::int16_t* service = nullptr;       ///< Rows x lanes: its service, an index into `Repricer::services()`, or -1.
  std::int16_t* packaging = nullptr;     ///< Rows x lanes: its packaging, an index into `Repricer::packagings()`, or -1.
  std::int64_t* second_total = nullptr;  ///< Rows x lanes: the best offer's total of another service, whatever its packaging.
  std::int64_t* worst = nullptr;         ///< Rows: the dearest of the lanes' totals (those that have one).
  std::int32_t* worst_lane = nullptr;    ///< Rows: its lane, the first of equals: the farthest place. -1: none.
  std::int64_t* expected = nullptr;      ///< Rows: mean of the lanes' totals weighted by shares, half up to the currency's
                                         ///< minor unit. None where a lane with a share has no total.
  std::int64_t* quantile = nullptr;      ///< Rows x `levels`: the least total that at least that part of the shares does not
                                         ///< pass. None where `expected` has none.
  std::span<const std::int64_t> levels;  ///< Of the quantiles, in millionths of the whole: 0 to 1,000,000.
  std::uint8_t* reason = nullptr;        ///< Rows: a `RowReason`.
};

inline constexpr std::int64_t kNoTotal = -1;

struct RepriceOptions {
  unsigned threads = 1;  ///< 0: as many as the machine has. The results never depend on it.
  /// Called after each block of rows, by one thread at a time, with how many rows are done; false stops the run.
  std::function<bool(std::size_t rows_done)> progress;
};

namespace detail {
class RepricePlan;
}

/// Prices catalogues: every row for every lane, with the very totals, services and packagings that `Rank` puts first. What
/// rows share is worked out once, on first need, and kept: from then on a row is a test of which packagings fit and a
/// look-up. Immutable to its callers and safe from any thread; copies share what has been worked out.
class Repricer {
 public:
  struct ServiceName {
    std::string_view carrier;
    std::string_view service;
    std::string_view title;
  };
  struct PackagingName {
    std::string_view code;
    std::string_view issued_by;  ///< Empty: the seller's own.
    std::string_view title;
  };

  /// Errors: InvalidArgument as `Dispatch::Create` and for lanes, shares, padding, fill or allowance out of range, and for
  /// more than 32,000 services or packagings.
  static absl::StatusOr<Repricer> Create(RepriceSetup setup);

  /// Fills the columns asked for. A bad row gets its reason and never stops the rest. Never throws.
  ///
  /// Errors: InvalidArgument where weight or a side is not given, a unit is 0 or less, a column of counts or flags holds
  /// floating point, a level is out of range, or a result of a mix is asked for without shares; Cancelled where `progress`
  /// said so: rows that were not done are then untouched. Nothing is allocated that grows with the rows.
  absl::Status Run(const GoodsColumns& goods, const RepriceResults& results, const RepriceOptions& options = {}) const;

  /// The request that `Rank` takes for one row and lane, for every offer, line and reason of it; InvalidArgument where the
  /// row is bad. Rank it with `dispatch(lane)` and the shelf.
  absl::StatusOr<Request> RequestFor(const GoodsColumns& goods, std::size_t row, std::size_t lane) const;

  std::span<const ServiceName> services() const;
  std::span<const PackagingName> packagings() const;  ///< The shelf's own in its order, then issued; or "estimate".
  const std::vector<Lane>& lanes() const;
  Currency currency() const;
  const RepriceSetup& setup() const;
  const std::shared_ptr<const Dispatch>& dispatch(std::size_t lane) const;

 private:
  std::shared_ptr<detail::RepricePlan> plan_;
};

}  // namespace tarewise

#endif  // TAREWISE_BATCH_REPRICE_H_
