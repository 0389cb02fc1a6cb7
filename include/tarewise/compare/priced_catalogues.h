#ifndef TAREWISE_COMPARE_PRICED_CATALOGUES_H_
#define TAREWISE_COMPARE_PRICED_CATALOGUES_H_

#include <cstddef>
#include <cstdint>
#include <memory>
#include <vector>

#include "absl/status/status.h"
#include "tarewise/batch/columns.h"
#include "tarewise/batch/reprice.h"
#include "tarewise/compare/catalogue_change.h"
#include "tarewise/internal/switch.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {
namespace internal {
class CatalogueTally;
}

/// Adds up what changes between two prices of one catalogue, for whoever has priced the rows already;
/// `CatalogueComparer` prices them too. Not shared between threads.
///
///     RepriceSetup next_season = setup;
///     next_season.shipment.date = *Date::Parse("2026-12-01");
///     const Repricer before = *Repricer::Create(setup);
///     const Repricer after = *Repricer::Create(next_season);
///     PricedRows then;  // filled by before.Run(goods, then.Results())
///     PricedRows now;
///     PricedCatalogues changes(before, after, /*most_losers=*/10);
///     if (!changes.Add(then, now, {}).ok()) return;
///     Tell(changes.Result().month_after.ToString());
class PricedCatalogues {
 public:
  /// Both with the same lanes, shares and currency. `most_losers`: how many rows to name.
  PricedCatalogues(const Repricer& before, const Repricer& after, std::size_t most_losers);
  PricedCatalogues(PricedCatalogues&&) noexcept;
  PricedCatalogues& operator=(PricedCatalogues&&) noexcept;
  ~PricedCatalogues();

  /// Adds rows, as many as `volumes`: parcels a month of each in millionths, 0 to 1,000 million parcels
  /// (`kMillionthsPerParcel` for one).
  ///
  /// Errors: InvalidArgument where the rows do not have a cell a lane; OutOfRange where sums pass 128 bits. After an
  /// error what was added is not to be used.
  absl::Status Add(const PricedRows& before, const PricedRows& after, const std::vector<std::int64_t>& volumes,
                   const CatalogueColumns& out = {});

  /// How many rows were added.
  std::uint64_t rows() const;
  /// What was added so far. Names live as long as this.
  CatalogueChange Result() const;

 private:
  std::unique_ptr<internal::CatalogueTally> tally_;
};

/// The numbers of a column in millionths of its unit, of `count` rows from `first`; below 0 where one is no number, is
/// below 0, or is past any amount of money.
void ReadMillionths(const Column& column, std::size_t first, std::size_t count, std::int64_t* out);

}  // namespace tarewise::inline TW_VERSIONED

#ifdef TW_HEADER_ONLY
#include "tarewise/compare/internal/priced_catalogues-inl.h"
#endif

#endif  // TAREWISE_COMPARE_PRICED_CATALOGUES_H_
