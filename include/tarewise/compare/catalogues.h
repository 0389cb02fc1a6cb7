#ifndef TAREWISE_COMPARE_CATALOGUES_H_
#define TAREWISE_COMPARE_CATALOGUES_H_

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <string>
#include <utility>
#include <vector>

#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "tarewise/batch/reprice.h"
#include "tarewise/compare/internal/tally.h"

namespace tarewise {

/// Prices a catalogue before and after a change of rates, block by block, and adds up what changes; in memory that
/// does not grow with the rows. The totals are those of `Repricer`, and so of `Rank`. Not shared between threads;
/// each `Add` uses as many as asked for. For a catalogue that stays in memory see `KeptCatalogue`.
class CatalogueComparer {
 public:
  /// The two sides: as a rule one setup with two ratebooks or two dates. Without shares each lane counts alike.
  /// `most_losers`: how many rows to name.
  ///
  /// Errors: InvalidArgument as `Repricer::Create`, and where the sides have different lanes, shares or currencies.
  static absl::StatusOr<CatalogueComparer> Create(RepriceSetup before, RepriceSetup after,
                                                  std::size_t most_losers = 10) {
    if (before.shares != after.shares) {
      return internal::Invalid("shares: found different ones before and after, expected the same");
    }
    if (before.lanes.size() != after.lanes.size() ||
        !std::equal(before.lanes.begin(), before.lanes.end(), after.lanes.begin(),
                    [](const Lane& a, const Lane& b) { return a.from == b.from && a.to == b.to; })) {
      return internal::Invalid("lanes: found different ones before and after, expected the same");
    }
    absl::StatusOr<Repricer> first = Repricer::Create(std::move(before));
    if (!first.ok()) return first.status();
    absl::StatusOr<Repricer> second = Repricer::Create(std::move(after));
    if (!second.ok()) return second.status();
    if (first->currency() != second->currency()) {
      return internal::Invalid("currency: found " + std::string(first->currency().code()) + " before and " +
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
  CatalogueChange Result() const { return tally_.Result(); }

  const Repricer& before() const { return before_; }
  const Repricer& after() const { return after_; }

 private:
  CatalogueComparer(Repricer before, Repricer after, std::size_t most_losers)
      : before_(std::move(before)), after_(std::move(after)), tally_(before_, after_, most_losers) {
    constexpr std::size_t kCellsInBlock = std::size_t{1} << 19;
    block_rows_ = std::clamp<std::size_t>(kCellsInBlock / tally_.lanes(), 256, 16384);
  }

  static GoodsColumns Slice(const GoodsColumns& goods, std::size_t first, std::size_t count) {
    GoodsColumns slice = goods;
    slice.rows = count;
    for (Column* column :
         {&slice.weight, &slice.sides[0], &slice.sides[1], &slice.sides[2], &slice.quantity, &slice.value,
          &slice.contents, &slice.shape, &slice.this_side_up, &slice.rigid, &slice.bare, &slice.missing}) {
      if (!column->given()) continue;
      column->data = static_cast<const std::byte*>(column->data) + static_cast<std::ptrdiff_t>(first) * column->stride;
    }
    return slice;
  }

  absl::Status Block(const GoodsColumns& goods, const Column& monthly, const CatalogueColumns& out,
                     const RepriceOptions& options, std::size_t first, std::size_t count) {
    const std::uint64_t first_row = tally_.rows();
    if (absl::Status status = internal::ReadVolumes(monthly, first, count, first_row, volumes_); !status.ok())
      return status;
    old_.Resize(block_rows_ * tally_.lanes());
    new_.Resize(block_rows_ * tally_.lanes());
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
    RepriceResults results = new_.Results();
    if (out.cautions != nullptr) results.cautions = out.cautions + first;
    if (absl::Status status = after_.Run(slice, results, inner); !status.ok()) return status;
    tally_.AddRepriced(count);
    for (std::size_t i = 0; i < count; ++i) {
      if (absl::Status status = tally_.Add(first_row + i, old_, new_, i, volumes_[i], out, first + i); !status.ok()) {
        return status;
      }
    }
    return absl::OkStatus();
  }

  Repricer before_;
  Repricer after_;
  internal::CatalogueTally tally_;
  std::size_t block_rows_ = 0;
  std::vector<std::int64_t> volumes_;
  internal::OfferColumns old_;
  internal::OfferColumns new_;
};

/// All of it for one catalogue in memory.
inline absl::StatusOr<CatalogueChange> CompareCatalogue(const GoodsColumns& goods, const Column& monthly,
                                                        CatalogueComparer& comparer,
                                                        const RepriceOptions& options = {}) {
  if (absl::Status status = comparer.Add(goods, monthly, {}, options); !status.ok()) return status;
  return comparer.Result();
}

}  // namespace tarewise

#endif  // TAREWISE_COMPARE_CATALOGUES_H_
