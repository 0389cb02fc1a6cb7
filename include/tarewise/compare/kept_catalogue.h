#ifndef TAREWISE_COMPARE_KEPT_CATALOGUE_H_
#define TAREWISE_COMPARE_KEPT_CATALOGUE_H_

#include <cstddef>
#include <cstdint>
#include <memory>
#include <span>

#include "absl/status/statusor.h"
#include "tarewise/batch/reprice.h"
#include "tarewise/compare/catalogue_change.h"
#include "tarewise/internal/switch.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {
namespace internal {
class KeptState;
}

/// A catalogue in memory with its best offers of the day, kept so that a change of rates prices only the rows again
/// that it can touch. What it says of a change is what `CatalogueComparer` says. Holds about 24 bytes for each row
/// and lane and 40 for each row; not shared between threads.
///
///     KeptCatalogue kept = *KeptCatalogue::Create(setup, goods);
///     absl::StatusOr<CatalogueChange> change = kept.Change(book);  // new rates
///     if (change.ok()) Tell(Summary(*change, setup.lanes));
class KeptCatalogue {
 public:
  KeptCatalogue(KeptCatalogue&&) noexcept;
  KeptCatalogue& operator=(KeptCatalogue&&) noexcept;
  ~KeptCatalogue();

  /// Prices all of it. `goods` is a view: what it shows must stay as it is while this lives; `monthly` is read once.
  ///
  /// Errors: as `CatalogueComparer`, and InvalidArgument for 2^32 rows or more.
  static absl::StatusOr<KeptCatalogue> Create(RepriceSetup setup, const GoodsColumns& goods, const Column& monthly = {},
                                              const RepriceOptions& options = {});

  /// Moves to other rates (the date, the shelf, the lanes and the wishes stay) and tells what changes. To try rates,
  /// move there and back. Names in the answer live until the second move after it.
  ///
  /// Errors: as `Repricer::Create`; the rates are then those of before. OutOfRange where sums pass 128 bits: this is
  /// then not to be used any more.
  absl::StatusOr<CatalogueChange> Change(std::shared_ptr<const Ratebook> book, std::size_t most_losers = 10);

  /// The best offers, row after row, a row's lanes side by side, as in `RepriceResults`.
  std::span<const std::int64_t> totals() const;
  std::span<const std::int16_t> services() const;
  std::span<const std::int16_t> packagings() const;
  /// Of the rates of now: names for the numbers above.
  const Repricer& repricer() const;

 private:
  explicit KeptCatalogue(std::unique_ptr<internal::KeptState> state);

  std::unique_ptr<internal::KeptState> state_;
};

}  // namespace tarewise::inline TW_VERSIONED

#ifdef TW_HEADER_ONLY
#include "tarewise/compare/internal/kept_catalogue-inl.h"
#endif

#endif  // TAREWISE_COMPARE_KEPT_CATALOGUE_H_
