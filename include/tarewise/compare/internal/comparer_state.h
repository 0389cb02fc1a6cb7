#ifndef TAREWISE_COMPARE_INTERNAL_COMPARER_STATE_H_
#define TAREWISE_COMPARE_INTERNAL_COMPARER_STATE_H_

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <memory>
#include <string>
#include <utility>
#include <vector>

#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "tarewise/batch/reprice.h"
#include "tarewise/compare/catalogues.h"
#include "tarewise/compare/internal/tally.h"
#include "tarewise/units/internal/place_of_error.h"
#include "tarewise/units/internal/quantity_text.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// What a `CatalogueComparer` holds.
class ComparerState {
 public:
  static absl::StatusOr<std::unique_ptr<ComparerState>> Create(RepriceSetup before, RepriceSetup after,
                                                               std::size_t most_losers) {
    if (before.shares != after.shares) {
      return InvalidAt("shares", "found different ones before and after, expected the same");
    }
    if (before.lanes.size() != after.lanes.size() ||
        !std::equal(before.lanes.begin(), before.lanes.end(), after.lanes.begin(),
                    [](const Lane& a, const Lane& b) { return a.from == b.from && a.to == b.to; })) {
      return InvalidAt("lanes", "found different ones before and after, expected the same");
    }
    absl::StatusOr<Repricer> first = Repricer::Create(std::move(before));
    if (!first.ok()) return first.status();
    absl::StatusOr<Repricer> second = Repricer::Create(std::move(after));
    if (!second.ok()) return second.status();
    if (first->currency() != second->currency()) {
      return InvalidAt("currency", "found " + std::string(first->currency().code()) + " before and " +
                                       std::string(second->currency().code()) + " after, expected one");
    }
    return std::unique_ptr<ComparerState>(new ComparerState(*std::move(first), *std::move(second), most_losers));
  }

  absl::Status Add(const GoodsColumns& goods, const Column& monthly, const CatalogueColumns& out,
                   const RepriceOptions& options) {
    if (absl::Status status = CheckNoOrders(goods); !status.ok()) return status;
    for (std::size_t first = 0; first < goods.rows; first += block_rows_) {
      const std::size_t count = std::min(block_rows_, goods.rows - first);
      if (absl::Status status = Block(goods, monthly, out, options, first, count); !status.ok()) return status;
    }
    return absl::OkStatus();
  }

  CatalogueChange Result() const { return tally_.Result(); }

  const Repricer& before() const { return before_; }
  const Repricer& after() const { return after_; }

 private:
  ComparerState(Repricer before, Repricer after, std::size_t most_losers)
      : before_(std::move(before)), after_(std::move(after)), tally_(before_, after_, most_losers) {
    constexpr std::size_t kCellsInBlock = std::size_t{1} << 19;
    block_rows_ = std::clamp<std::size_t>(kCellsInBlock / tally_.lanes(), 256, 16384);
  }

  absl::Status Block(const GoodsColumns& goods, const Column& monthly, const CatalogueColumns& out,
                     const RepriceOptions& options, std::size_t first, std::size_t count) {
    const std::uint64_t first_row = tally_.rows();
    if (absl::Status status = ReadVolumes(monthly, first, count, first_row, volumes_); !status.ok()) return status;
    old_.Resize(block_rows_ * tally_.lanes());
    new_.Resize(block_rows_ * tally_.lanes());
    const GoodsColumns slice = goods.Rows(first, count);
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
  CatalogueTally tally_;
  std::size_t block_rows_ = 0;
  std::vector<std::int64_t> volumes_;
  OfferColumns old_;
  OfferColumns new_;
};

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_COMPARE_INTERNAL_COMPARER_STATE_H_
