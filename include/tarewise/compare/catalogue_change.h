#ifndef TAREWISE_COMPARE_CATALOGUE_CHANGE_H_
#define TAREWISE_COMPARE_CATALOGUE_CHANGE_H_

#include <cstddef>
#include <cstdint>
#include <string_view>
#include <vector>

#include "tarewise/batch/reprice.h"
#include "tarewise/units/money.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

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

/// The best offers of some rows on all lanes, row by row, as `Repricer::Run` fills them.
struct PricedRows {
  std::vector<std::int64_t> total;
  std::vector<std::int16_t> service;
  std::vector<std::int16_t> packaging;

  void Resize(std::size_t cells) {
    total.resize(cells);
    service.resize(cells);
    packaging.resize(cells);
  }
  RepriceResults Results() {
    RepriceResults results;
    results.total = total.data();
    results.service = service.data();
    results.packaging = packaging.data();
    return results;
  }
};

/// A row that loses. Amounts are share-weighted means of one parcel, half up to the finer `Repricer::mean_step()` of
/// the two sides, but the month's.
struct RowLoss {
  std::uint64_t row = 0;  ///< Counted from 0 over all that was added.
  Amount before;
  Amount after;
  Amount month;          ///< Rise a month at the row's volume, from the exact means, half up to that step.
  std::size_t lane = 0;  ///< Where one parcel's total rises most, the first of equals.
  LaneOffer lane_before;
  LaneOffer lane_after;
};

/// What a change does to a catalogue. Rows are counted over lanes with a share; rows on whose every such lane both
/// sides have a total are `comparable`, and the month is theirs. A row that cannot be priced is offered on no lane.
struct CatalogueChange {
  Currency currency;
  std::uint64_t rows = 0;
  std::uint64_t comparable = 0;
  std::uint64_t changed = 0;  ///< Of all rows: total, service or packaging, or whether they are offered.
  std::uint64_t total_changed = 0;
  std::uint64_t service_changed = 0;
  std::uint64_t packaging_changed = 0;
  std::uint64_t offered_changed = 0;  ///< Offered on some lane on one side only.
  std::uint64_t dearer = 0;           ///< Of the comparable: by the exact mean.
  std::uint64_t cheaper = 0;
  std::uint64_t lost = 0;      ///< Could be sent everywhere before, and no longer.
  std::uint64_t gained = 0;    ///< Could not, and can now.
  std::uint64_t repriced = 0;  ///< Rows priced again for the side after; the others were known not to be touched.
  Amount month_before;         ///< Of the exact sum, half up to that step.
  Amount month_after;
  std::int64_t month_parcels = 0;  ///< Of the comparable, in millionths.
  std::vector<RowLoss> losers;     ///< Those that lose most a month, most first, then by row.
};

/// Columns out, one value a row; each may be left out.
struct CatalogueColumns {
  std::int64_t* before = nullptr;  ///< Share-weighted mean total, half up to that step, or `kNoTotal`.
  std::int64_t* after = nullptr;
  std::int64_t* month = nullptr;      ///< Rise a month in millionths, half up to that step; 0 where not comparable.
  std::uint8_t* change = nullptr;     ///< `RowChangeBits`.
  std::uint32_t* cautions = nullptr;  ///< As in `RepriceResults`, of the side after.
};

}  // namespace tarewise::inline TW_VERSIONED

#endif  // TAREWISE_COMPARE_CATALOGUE_CHANGE_H_
