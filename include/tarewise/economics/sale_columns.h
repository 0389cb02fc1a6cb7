#ifndef TAREWISE_ECONOMICS_SALE_COLUMNS_H_
#define TAREWISE_ECONOMICS_SALE_COLUMNS_H_

#include <atomic>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <memory>
#include <optional>
#include <string_view>
#include <vector>

#include "absl/status/statusor.h"
#include "tarewise/batch/columns.h"
#include "tarewise/economics/economics.h"
#include "tarewise/internal/switch.h"
#include "tarewise/units/money.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

/// Why a row lacks some of what selling it leaves. The numbers are those of a plain column.
enum class SaleReason : std::uint8_t {
  kNone,
  kNotPriced,
  kNoPrice,
  kBadPrice,
  kNoCost,
  kBadCost,
  kNoCharged,
  kBadCharged,
  kAtNoCost,   ///< What is wanted is not kept even of a gift.
  kAtNoPrice,  ///< No price up to the highest keeps what is wanted.
};
inline constexpr std::string_view kSaleReasonNames[] = {
    "",         "not_priced", "no_price",    "bad_price",      "no_cost",
    "bad_cost", "no_charged", "bad_charged", "not_at_no_cost", "not_at_any_price"};

/// Stands for a profit that there is not: a profit may be any amount.
inline constexpr std::int64_t kNoProfit = std::numeric_limits<std::int64_t>::min();

/// What is asked about every row.
struct SaleTerms {
  std::shared_ptr<const Economics> shop;
  std::optional<Wanted> wanted;
  Case which = Case::kAverage;
  Amount up_to;
};

/// The money columns in, and the columns out: each may be left out.
struct SaleColumns {
  struct Money {
    Column values;
    Column gone;  ///< Not 0: the cell is empty.
  };
  Money price;
  Money cost;
  Money charged;
  std::int64_t* profit = nullptr;       ///< `kNoProfit`: none.
  std::int64_t* most_to_pay = nullptr;  ///< -1: none.
  std::int64_t* least_price = nullptr;
  std::int8_t* keeps = nullptr;  ///< 1: keeps what is wanted (left out: loses nothing), 0: does not, -1: not known.
  std::uint8_t* reason = nullptr;

  SaleColumns From(std::size_t row) const;
};

/// Fills the columns of `rows` rows from their totals: what `Economics` says of each, on as many threads as asked for.
/// A place with a share and no total leaves a row without; one without a share is then passed over. False where `stop`
/// ended it. Money in is in the unit of its column, to millionths; out it is millionths.
///
/// `totals`: millionths, row by row, one for each of `shares`, as `RepriceResults::total`; `threads`: 0 for one a core.
/// Errors: InvalidArgument as `Economics`. Thread-safe where the columns out are not shared; time in proportion to rows
/// and places, and of `least_price` to the logarithm of `up_to`.
///
///     const std::vector<std::int64_t> totals{8'980'000, 12'840'000};  // two rows, one place
///     const std::vector<std::int64_t> prices{2'490, 3'900};           // cents
///     std::vector<std::int64_t> most(prices.size());
///     SaleTerms terms;
///     terms.shop = std::make_shared<const Economics>(*Economics::Create({}));
///     SaleColumns columns;
///     columns.price.values = Column::Of(prices, 10'000);
///     columns.most_to_pay = most.data();
///     std::atomic<bool> stop{false};
///     absl::StatusOr<bool> done = RunSales(terms, columns, most.size(), totals.data(), {1}, /*threads=*/0, stop);
absl::StatusOr<bool> RunSales(const SaleTerms& terms, const SaleColumns& columns, std::size_t rows,
                              const std::int64_t* totals, const std::vector<std::int64_t>& shares, unsigned threads,
                              const std::atomic<bool>& stop);

}  // namespace tarewise::inline TW_VERSIONED

#ifdef TW_HEADER_ONLY
#include "tarewise/economics/internal/sale_columns-inl.h"
#endif

#endif  // TAREWISE_ECONOMICS_SALE_COLUMNS_H_
