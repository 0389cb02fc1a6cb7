#ifndef TAREWISE_ECONOMICS_INTERNAL_SALE_COLUMNS_INL_H_
#define TAREWISE_ECONOMICS_INTERNAL_SALE_COLUMNS_INL_H_

#include <algorithm>
#include <array>
#include <atomic>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <mutex>
#include <optional>
#include <thread>
#include <utility>
#include <vector>

#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "tarewise/batch/internal/convert.h"
#include "tarewise/batch/internal/threads.h"
#include "tarewise/batch/reprice.h"
#include "tarewise/economics/internal/economics-inl.h"
#include "tarewise/economics/sale_columns.h"
#include "tarewise/units/rounding.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {
namespace internal {

inline constexpr std::int64_t kMostSaleMoney = 1'000'000'000'000'000;  // 1,000 million

// Answers about rows, one after another. What every buyer of a row is charged is alike, so that the places are added up
// once and each question after that takes the same time however many there are.
class SaleSeller {
 public:
  SaleSeller(const SaleTerms& terms, const std::vector<std::int64_t>& shares)
      : terms_(terms),
        shop_(*terms.shop),
        shares_(shares),
        wanted_(terms.wanted.value_or(Wanted(Amount()))),
        back_(shop_.setup_.returns.share.ten_thousandths()) {}

  // A row's totals. False where a place that goods go to has none.
  bool Read(const std::int64_t* totals) {
    places_ = {};
    cheapest_ = std::numeric_limits<std::int64_t>::max();
    bool any = false;
    for (std::size_t i = 0; i < shares_.size(); ++i) {
      const std::int64_t total = totals[i];
      if (total == kNoTotal) {
        if (shares_[i] > 0) return false;
        continue;
      }
      any = true;
      cheapest_ = std::min(cheapest_, total);
      places_.dearest = std::max(places_.dearest, total);
      places_.share += shares_[i];
      places_.totals += Int128(total) * shares_[i];
    }
    if (any) AddReturnShipping(totals);
    return any;
  }

  // `Economics`' own checks, of one row for all that hangs on no row, and of each row that passes what is checked here.
  absl::Status Check(const Sale& sale, const std::int64_t* totals, Amount charged, const SaleColumns& asked) {
    if (checked_ && cheapest_ >= 0 && places_.dearest <= kMostMicros) return absl::OkStatus();
    std::vector<PlaceTotal> places;
    for (std::size_t i = 0; i < shares_.size(); ++i) {
      if (totals[i] == kNoTotal) continue;
      // For the worst case the share does not matter; of the mean shares of 0 alone make none.
      const std::int64_t share = terms_.which != Case::kWorst ? shares_[i] : places.empty() ? 1 : 0;
      places.push_back({Amount::Micros(totals[i]), charged, share});
    }
    if (absl::Status status = Economics::Check(sale, places); !status.ok()) return status;
    if (asked.keeps != nullptr || asked.most_to_pay != nullptr || asked.least_price != nullptr) {
      if (absl::Status status = Economics::CheckWanted(wanted_); !status.ok()) return status;
    }
    if (asked.least_price != nullptr) {
      if (absl::Status status = Economics::CheckAmount("price", terms_.up_to); !status.ok()) return status;
    }
    checked_ = true;
    return absl::OkStatus();
  }

  // Then the questions, of a charge that may differ from row to row.
  class Row {
   public:
    Row(SaleSeller& seller, Amount charged)
        : seller_(seller),
          charged_(charged),
          model_(seller.shop_, seller.places_, charged, seller.wanted_, seller.terms_.which) {}

    std::int64_t Profit(const Sale& sale) {
      model_.PayFor(sale.cost);
      const std::int64_t price = sale.price.micros();
      return seller_.terms_.which == Case::kWorst ? model_.Worst(price) : model_.Expected(price);
    }
    bool Keeps(const Sale& sale) {
      model_.PayFor(sale.cost);
      return model_.Keeps(sale.price.micros());
    }
    std::optional<Amount> MostToPay(Amount price) { return model_.MostToPay(price.micros()); }
    std::optional<Amount> LeastPrice(Amount cost) {
      model_.PayFor(cost);
      const std::int64_t up_to = seller_.terms_.up_to.micros();
      if (seller_.starts_of_ != charged_) {
        model_.Starts(up_to, seller_.starts_);
        seller_.starts_of_ = charged_;
      }
      return model_.LeastPrice(seller_.starts_, up_to);
    }

   private:
    SaleSeller& seller_;
    Amount charged_;
    Economics::Model model_;
  };

 private:
  void AddReturnShipping(const std::int64_t* totals) {
    const Returns& returns = shop_.setup_.returns;
    if (back_ == 0 || terms_.which == Case::kWorst || !returns.seller_pays) return;
    const std::int64_t unit = shop_.setup_.currency.minor_unit();
    std::int64_t last = kNoTotal;
    std::int64_t of_last = 0;
    for (std::size_t i = 0; i < shares_.size(); ++i) {
      if (shares_[i] == 0 || totals[i] == kNoTotal) continue;
      if (totals[i] != last) {
        // Places of one zone have one total, row by row; a few hundred of them are kept.
        Returned& kept = returned_[(static_cast<std::uint64_t>(totals[i]) * 0x9E3779B97F4A7C15u) >> 56];
        if (kept.total != totals[i]) {
          kept = {totals[i], returns.of_total.Of(Amount::Micros(totals[i]), unit, RoundMode::kHalfUp).micros()};
        }
        last = totals[i];
        of_last = kept.of_total;
      }
      places_.return_shipping += Int128(of_last) * shares_[i];
    }
  }

  struct Returned {
    std::int64_t total = kNoTotal;
    std::int64_t of_total = 0;
  };

  const SaleTerms& terms_;
  const Economics& shop_;
  const std::vector<std::int64_t>& shares_;
  Wanted wanted_;
  std::int64_t back_;
  bool checked_ = false;
  std::int64_t cheapest_ = 0;
  Economics::AlikePlaces places_;
  std::array<Returned, 256> returned_;
  std::optional<Amount> starts_of_;
  std::vector<std::int64_t> starts_;
};

struct SaleCell {
  Amount amount;
  SaleReason reason = SaleReason::kNone;
};

// Some rows' cells of a money column; nothing: 0 each.
class SaleCells {
 public:
  SaleCells(const SaleColumns::Money& column, SaleReason none, SaleReason bad)
      : column_(column), none_(none), bad_(bad) {}

  void Read(std::size_t first, std::size_t count) {
    if (!column_.values.given()) return;
    values_.resize(count);
    ReadQuantities(column_.values, first, count, values_.data());
    if (!column_.gone.given()) return;
    gone_.resize(count);
    ReadFlags(column_.gone, first, count, gone_.data());
  }
  bool given() const { return column_.values.given(); }
  SaleCell At(std::size_t i) const {
    if (!given()) return {};
    if (column_.gone.given() && gone_[i] != 0) return {Amount(), none_};
    if (values_[i] < 0 || values_[i] > kMostSaleMoney) return {Amount(), bad_};
    return {Amount::Micros(values_[i])};
  }

 private:
  const SaleColumns::Money& column_;
  SaleReason none_;
  SaleReason bad_;
  std::vector<std::int64_t> values_;
  std::vector<std::uint8_t> gone_;
};

// Some rows, by one thread.
class SaleWorker {
 public:
  SaleWorker(const SaleTerms& terms, const SaleColumns& columns, const std::int64_t* totals,
             const std::vector<std::int64_t>& shares)
      : terms_(terms), columns_(columns), totals_(totals), lanes_(shares.size()), seller_(terms, shares) {}

  absl::Status Run(std::size_t first, std::size_t count) {
    price_.Read(first, count);
    cost_.Read(first, count);
    charged_.Read(first, count);
    for (std::size_t i = 0; i < count; ++i) {
      if (absl::Status status = Row(first + i, i); !status.ok()) return status;
    }
    return absl::OkStatus();
  }

 private:
  absl::Status Row(std::size_t row, std::size_t i) {
    std::int64_t profit = kNoProfit;
    std::optional<Amount> most;
    std::optional<Amount> least;
    std::int8_t keeps = -1;
    SaleReason reason = SaleReason::kNone;
    const SaleCell price = price_.At(i);
    const SaleCell cost = cost_.At(i);
    const SaleCell charged = charged_.At(i);
    const std::int64_t* totals = totals_ + row * lanes_;
    if (!seller_.Read(totals)) {
      reason = SaleReason::kNotPriced;
    } else {
      for (const SaleCell& cell : {price, cost, charged}) {
        if (reason == SaleReason::kNone) reason = cell.reason;
      }
      const bool has_charged = charged.reason == SaleReason::kNone;
      const bool has_price = price_.given() && price.reason == SaleReason::kNone && has_charged;
      const bool has_cost = cost_.given() && cost.reason == SaleReason::kNone && has_charged;
      const Sale sale{cost.amount, price.amount};
      if (has_price || has_cost) {
        if (absl::Status status = seller_.Check(sale, totals, charged.amount, columns_); !status.ok()) return status;
        SaleSeller::Row asked(seller_, charged.amount);
        if (has_price && has_cost && columns_.profit != nullptr) profit = asked.Profit(sale);
        if (has_price && has_cost && columns_.keeps != nullptr) keeps = asked.Keeps(sale) ? 1 : 0;
        if (has_price && columns_.most_to_pay != nullptr) {
          most = asked.MostToPay(price.amount);
          if (!most && reason == SaleReason::kNone) reason = SaleReason::kAtNoCost;
        }
        if (has_cost && columns_.least_price != nullptr) {
          least = asked.LeastPrice(cost.amount);
          if (!least && reason == SaleReason::kNone) reason = SaleReason::kAtNoPrice;
        }
      }
    }
    if (columns_.profit != nullptr) columns_.profit[row] = profit;
    if (columns_.keeps != nullptr) columns_.keeps[row] = keeps;
    if (columns_.most_to_pay != nullptr) columns_.most_to_pay[row] = most ? most->micros() : kNoTotal;
    if (columns_.least_price != nullptr) columns_.least_price[row] = least ? least->micros() : kNoTotal;
    if (columns_.reason != nullptr) columns_.reason[row] = static_cast<std::uint8_t>(reason);
    return absl::OkStatus();
  }

  const SaleTerms& terms_;
  const SaleColumns& columns_;
  const std::int64_t* totals_;
  std::size_t lanes_;
  SaleSeller seller_;
  SaleCells price_{columns_.price, SaleReason::kNoPrice, SaleReason::kBadPrice};
  SaleCells cost_{columns_.cost, SaleReason::kNoCost, SaleReason::kBadCost};
  SaleCells charged_{columns_.charged, SaleReason::kNoCharged, SaleReason::kBadCharged};
};

}  // namespace internal

TW_INLINE SaleColumns SaleColumns::From(std::size_t row) const {
  SaleColumns out = *this;
  for (Money* money : {&out.price, &out.cost, &out.charged}) {
    money->values = money->values.From(row);
    money->gone = money->gone.From(row);
  }
  const auto skip = [row](auto*& column) {
    if (column != nullptr) column += row;
  };
  skip(out.profit);
  skip(out.most_to_pay);
  skip(out.least_price);
  skip(out.keeps);
  skip(out.reason);
  return out;
}

TW_INLINE absl::StatusOr<bool> RunSales(const SaleTerms& terms, const SaleColumns& columns, std::size_t rows,
                                        const std::int64_t* totals, const std::vector<std::int64_t>& shares,
                                        unsigned threads, const std::atomic<bool>& stop) {
  constexpr std::size_t kChunk = 512;
  const std::size_t chunks = (rows + kChunk - 1) / kChunk;
  std::size_t wanted = threads == 0 ? std::max(1u, std::thread::hardware_concurrency()) : threads;
  wanted = std::max<std::size_t>(1, std::min({wanted, chunks, std::size_t{256}}));
  std::atomic<std::size_t> next{0};
  std::atomic<bool> ended{false};
  std::mutex mutex;
  absl::Status failed;
  internal::OnThreads(
      wanted,
      [&] {
        internal::SaleWorker worker(terms, columns, totals, shares);
        while (!ended.load() && !stop.load()) {
          const std::size_t chunk = next.fetch_add(1);
          if (chunk >= chunks) return;
          const std::size_t first = chunk * kChunk;
          absl::Status status = worker.Run(first, std::min(kChunk, rows - first));
          if (status.ok()) continue;
          const std::lock_guard<std::mutex> lock(mutex);
          failed = std::move(status);
          ended.store(true);
        }
      },
      [&] { ended.store(true); });
  if (!failed.ok()) return failed;
  return next.load() >= chunks && !ended.load();
}

}  // namespace tarewise::inline TW_VERSIONED

#endif  // TAREWISE_ECONOMICS_INTERNAL_SALE_COLUMNS_INL_H_
