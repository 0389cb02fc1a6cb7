#ifndef TAREWISE_COMPARE_INTERNAL_KEPT_STATE_H_
#define TAREWISE_COMPARE_INTERNAL_KEPT_STATE_H_

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
#include "tarewise/compare/kept_catalogue.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// What a `KeptCatalogue` holds.
class KeptState {
 public:
  static absl::StatusOr<std::unique_ptr<KeptState>> Create(RepriceSetup setup, const GoodsColumns& goods,
                                                           const Column& monthly, const RepriceOptions& options) {
    if (absl::Status status = CheckNoOrders(goods); !status.ok()) return status;
    absl::StatusOr<Repricer> repricer = Repricer::Create(std::move(setup));
    if (!repricer.ok()) return repricer.status();
    std::unique_ptr<KeptState> kept(new KeptState(*std::move(repricer), goods));
    if (absl::Status status = kept->Fill(monthly, options); !status.ok()) return status;
    return kept;
  }

  absl::StatusOr<CatalogueChange> Change(std::shared_ptr<const Ratebook> book, std::size_t most_losers) {
    absl::StatusOr<Repricer> next = index_->repricer().WithRates(std::move(book));
    if (!next.ok()) return next.status();
    previous_ = index_->repricer();
    // Both sets of columns hold the offers of before; the second is brought up to the new rates.
    absl::StatusOr<RepriceIndex::Touched> touched = index_->Update(*next, goods_, now_.Results());
    if (!touched.ok()) return touched.status();
    CatalogueTally tally(*previous_, *next, most_losers);
    Sums gone;
    Sums come;
    const std::size_t count = touched->everything ? goods_.rows : touched->rows.size();
    for (std::size_t i = 0; i < count; ++i) {
      const std::size_t row = touched->everything ? i : touched->rows[i];
      CatalogueTally::RowSums sums;
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

  std::span<const std::int64_t> totals() const { return now_.total; }
  std::span<const std::int16_t> services() const { return now_.service; }
  std::span<const std::int16_t> packagings() const { return now_.packaging; }
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

  KeptState(Repricer repricer, const GoodsColumns& goods) : first_(std::move(repricer)), goods_(goods) {}

  static std::ptrdiff_t At(std::size_t row, std::size_t lanes) { return static_cast<std::ptrdiff_t>(row * lanes); }

  absl::Status Fill(const Column& monthly, const RepriceOptions& options) {
    if (absl::Status status = ReadVolumes(monthly, 0, goods_.rows, 0, volumes_); !status.ok()) return status;
    then_.Resize(goods_.rows * first_->lanes().size());
    if (absl::Status status = first_->Run(goods_, then_.Results(), options); !status.ok()) return status;
    now_ = then_;
    CatalogueTally tally(*first_, *first_, 0);
    for (std::size_t row = 0; row < goods_.rows; ++row) {
      CatalogueTally::RowSums sums;
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
  OfferColumns then_;
  OfferColumns now_;
  Sums all_;
};

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_COMPARE_INTERNAL_KEPT_STATE_H_
