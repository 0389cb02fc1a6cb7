#ifndef TAREWISE_COMPARE_CATALOGUES_H_
#define TAREWISE_COMPARE_CATALOGUES_H_

#include <cstddef>
#include <memory>

#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "tarewise/batch/reprice.h"
#include "tarewise/compare/catalogue_change.h"
#include "tarewise/internal/switch.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {
namespace internal {
class ComparerState;
}

/// Prices a catalogue before and after a change of rates, block by block, and adds up what changes; in memory that
/// does not grow with the rows. The totals are those of `Repricer`, and so of `Rank`. Not shared between threads;
/// each `Add` uses as many as asked for. For a catalogue that stays in memory see `KeptCatalogue`.
///
///     RepriceSetup next_season = setup;
///     next_season.shipment.date = *Date::Parse("2026-12-01");
///     CatalogueComparer comparer = *CatalogueComparer::Create(setup, next_season);
///     if (absl::Status status = comparer.Add(goods); !status.ok()) return;
///     for (const RowLoss& loss : comparer.Result().losers) Tell(loss.month.ToString());
class CatalogueComparer {
 public:
  CatalogueComparer(CatalogueComparer&&) noexcept;
  CatalogueComparer& operator=(CatalogueComparer&&) noexcept;
  ~CatalogueComparer();

  /// The two sides: as a rule one setup with two ratebooks or two dates. Without shares each lane counts alike.
  /// `most_losers`: how many rows to name.
  ///
  /// Errors: InvalidArgument as `Repricer::Create`, and where the sides have different lanes, shares or currencies.
  static absl::StatusOr<CatalogueComparer> Create(RepriceSetup before, RepriceSetup after,
                                                  std::size_t most_losers = 10);

  /// Adds rows. `monthly`: parcels a month of each row, 0 or more and at most 1,000 million, its unit in millionths
  /// of a parcel (`kMillionthsPerParcel` for whole ones); left out: one each. Bad rows count, and change nothing.
  ///
  /// Errors: InvalidArgument as `Repricer::Run`, for a column of orders, and for a volume out of range, naming the row;
  /// OutOfRange where sums pass 128 bits; Cancelled where `options.progress` said so. After an error what was added is
  /// not to be used.
  absl::Status Add(const GoodsColumns& goods, const Column& monthly = {}, const CatalogueColumns& out = {},
                   const RepriceOptions& options = {});

  /// What was added so far. Names live as long as this.
  CatalogueChange Result() const;

  const Repricer& before() const;
  const Repricer& after() const;

 private:
  explicit CatalogueComparer(std::unique_ptr<internal::ComparerState> state);

  std::unique_ptr<internal::ComparerState> state_;
};

/// All of it for one catalogue in memory.
absl::StatusOr<CatalogueChange> CompareCatalogue(const GoodsColumns& goods, const Column& monthly,
                                                 CatalogueComparer& comparer, const RepriceOptions& options = {});

}  // namespace tarewise::inline TW_VERSIONED

#ifdef TW_HEADER_ONLY
#include "tarewise/compare/internal/catalogues-inl.h"
#endif

#endif  // TAREWISE_COMPARE_CATALOGUES_H_
