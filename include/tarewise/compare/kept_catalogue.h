#ifndef TAREWISE_COMPARE_KEPT_CATALOGUE_H_
#define TAREWISE_COMPARE_KEPT_CATALOGUE_H_

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <utility>
#include <vector>

#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "tarewise/batch/index.h"
#include "tarewise/batch/reprice.h"
#include "tarewise/compare/internal/tally.h"

namespace tarewise {

/// A catalogue in memory with its best offers of the day, kept so that a change of rates prices only the rows again
/// that it can touch. What it says of a change is what `CatalogueComparer` says. Holds about 24 bytes for each row
/// and lane and 40 for each row; not shared between threads.
class KeptCatalogue {
 public:
  /// Prices all of it. `goods` is a view: what it shows must stay as it is while this lives; `monthly` is read once.
  ///
  /// Errors: as `CatalogueComparer`, and InvalidArgument for 2^32 rows or more.
  static absl::StatusOr<KeptCatalogue> Create(RepriceSetup setup, const GoodsColumns& goods, const Column& monthly = {},
                                              const RepriceOptions& options = {}) {
    absl::StatusOr<Repricer> repricer = Repricer::Create(std::move(setup));
    if (!repricer.ok()) return repricer.status();
    KeptCatalogue kept(*std::move(repricer), goods);
    if (absl::Status status = kept.Fill(monthly, options); !status.ok()) return status;
    return kept;
  }

  /// Moves to other rates (the date, the shelf, the lanes and the wishes stay) and tells what changes. To try rates,
  /// move there and back. Names in the answer live until the second move after it.
  ///
  /// Errors: as `Repricer::Create`; the rates are then those of before. OutOfRange where sums pass 128 bits: this is
  /// then not to be used any more.
  absl::StatusOr<CatalogueChange> Change(std::shared_ptr<const Ratebook> book, std::size_t most_losers = 10) {
    absl::StatusOr<Repricer> next = index_->repricer().WithRates(std::move(book));
    if (!next.ok()) return next.status();
    previous_ = index_->repricer();
    // Both sets of columns hold the offers of before; the second is brought up to the new rates.
    absl::StatusOr<RepriceIndex::Touched> touched = index_->Update(*next, goods_, now_.Results());
    if (!touched.ok()) return touched.status();
    internal::CatalogueTally tally(*previous_, *next, most_losers);
    Sums gone;
    Sums come;
    const std::size_t count = touched->everything ? goods_.rows : touched->rows.size();
    for (std::size_t i = 0; i < count; ++i) {
      const std::size_t row = touched->everything ? i : touched->rows[i];
      internal::CatalogueTally::RowSums sums;
      if (absl::Status status = tally.Add(row, then_, now_, row, volumes_[row], {}, 0, &sums); !status.ok())
        return status;
      gone.Add(sums.all_before, sums.month_before, volumes_[row]);
      come.Add(sums.all_after, sums.month_after, volumes_[row]);
    }
    Sums same = all_;
    same.comparable -= gone.comparable;
    same.month -= gone.month;
    same.parcels -= gone.parcels;
    if (absl::Status status = tally.AddSame(goods_.rows - count, same.comparable, same.month, same.parcels);
        !status.ok()) {
      return status;
    }
    tally.AddRepriced(count);
    all_ = same;
    all_.comparable += come.comparable;
    all_.month += come.month;
    all_.parcels += come.parcels;
    if (touched->everything) {
      then_ = now_;
    } else {
      const std::size_t lanes = tally.lanes();
      for (const std::uint32_t row : touched->rows) {
        std::copy_n(now_.total.begin() + At(row, lanes), lanes, then_.total.begin() + At(row, lanes));
        std::copy_n(now_.service.begin() + At(row, lanes), lanes, then_.service.begin() + At(row, lanes));
        std::copy_n(now_.packaging.begin() + At(row, lanes), lanes, then_.packaging.begin() + At(row, lanes));
      }
    }
    return tally.Result();
  }

  /// The best offers, row after row, a row's lanes side by side, as in `RepriceResults`.
  std::span<const std::int64_t> totals() const { return now_.total; }
  std::span<const std::int16_t> services() const { return now_.service; }
  std::span<const std::int16_t> packagings() const { return now_.packaging; }
  /// Of the rates of now: names for the numbers above.
  const Repricer& repricer() const { return index_->repricer(); }

 private:
  // Over rows whose every lane with a share has a total.
  struct Sums {
    std::uint64_t comparable = 0;
    Int128 month = 0;
    std::int64_t parcels = 0;
    void Add(bool all, Int128 row_month, std::int64_t volume) {
      if (!all) return;
      ++comparable;
      month += row_month;
      parcels += volume;
    }
  };

  KeptCatalogue(Repricer repricer, const GoodsColumns& goods) : first_(std::move(repricer)), goods_(goods) {}

  static std::ptrdiff_t At(std::size_t row, std::size_t lanes) { return static_cast<std::ptrdiff_t>(row * lanes); }

  absl::Status Fill(const Column& monthly, const RepriceOptions& options) {
    if (absl::Status status = internal::ReadVolumes(monthly, 0, goods_.rows, 0, volumes_); !status.ok()) return status;
    then_.Resize(goods_.rows * first_->lanes().size());
    if (absl::Status status = first_->Run(goods_, then_.Results(), options); !status.ok()) return status;
    now_ = then_;
    internal::CatalogueTally tally(*first_, *first_, 0);
    for (std::size_t row = 0; row < goods_.rows; ++row) {
      internal::CatalogueTally::RowSums sums;
      if (absl::Status status = tally.Add(row, then_, now_, row, volumes_[row], {}, 0, &sums); !status.ok())
        return status;
      all_.Add(sums.all_before, sums.month_before, volumes_[row]);
    }
    absl::StatusOr<RepriceIndex> index = RepriceIndex::Create(*first_, goods_);
    if (!index.ok()) return index.status();
    index_ = *std::move(index);
    first_.reset();
    return absl::OkStatus();
  }

  std::optional<Repricer> first_;
  std::optional<Repricer> previous_;
  std::optional<RepriceIndex> index_;
  GoodsColumns goods_;
  std::vector<std::int64_t> volumes_;
  internal::OfferColumns then_;
  internal::OfferColumns now_;
  Sums all_;
};

}  // namespace tarewise

#endif  // TAREWISE_COMPARE_KEPT_CATALOGUE_H_
