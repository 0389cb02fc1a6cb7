#ifndef TAREWISE_ECONOMICS_INTERNAL_SALE_COLUMNS_INL_H_
#define TAREWISE_ECONOMICS_INTERNAL_SALE_COLUMNS_INL_H_

#include <algorithm>
#include <atomic>
#include <cstddef>
#include <cstdint>
#include <mutex>
#include <optional>
#include <span>
#include <thread>
#include <utility>
#include <variant>
#include <vector>

#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "tarewise/batch/internal/convert.h"
#include "tarewise/batch/internal/threads.h"
#include "tarewise/batch/reprice.h"
#include "tarewise/economics/internal/economics-inl.h"
#include "tarewise/economics/sale_columns.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {
namespace internal {

inline constexpr std::int64_t kMostSaleMoney = 1'000'000'000'000'000;  // 1,000 million
inline constexpr std::int64_t kSaleWhole = 1'000'000;

// The places of one row, those of the same total as one: no answer hangs on how many there are, but on their shares.
// For the worst case the dearest alone, as every buyer of a row is charged alike.
class SalePlaces {
 public:
  SalePlaces(const std::vector<std::int64_t>& shares, Case which) : shares_(shares), which_(which) {}

  // False where a place that goods go to has no total.
  bool Read(const std::int64_t* totals, Amount charged) {
    places_.clear();
    for (std::size_t i = 0; i < shares_.size(); ++i) {
      if (totals[i] == kNoTotal) {
        if (shares_[i] > 0) return false;
        continue;
      }
      Add(totals[i], charged, shares_[i]);
    }
    if (places_.empty()) return false;
    // Shares of 0 alone are no mean; of the dearest the share does not matter.
    if (which_ == Case::kWorst) places_.front().share = 1;
    return true;
  }
  std::span<const PlaceTotal> get() const { return places_; }

 private:
  void Add(std::int64_t total, Amount charged, std::int64_t share) {
    if (which_ == Case::kWorst && !places_.empty()) {
      places_.front().total = std::max(places_.front().total, Amount::Micros(total));
      return;
    }
    // Few zones, few totals; beyond that looking would take longer than counting each.
    constexpr std::size_t kLooked = 32;
    const std::size_t end = std::min(places_.size(), kLooked);
    for (std::size_t i = 0; i < end; ++i) {
      if (places_[i].total.micros() == total) {
        places_[i].share += share;
        return;
      }
    }
    places_.push_back({Amount::Micros(total), charged, share});
  }

  const std::vector<std::int64_t>& shares_;
  Case which_;
  std::vector<PlaceTotal> places_;
};

class SaleSeller {
 public:
  explicit SaleSeller(const SaleTerms& terms)
      : terms_(terms),
        shop_(*terms.shop),
        wanted_(terms.wanted.value_or(Wanted(Amount()))),
        unit_(shop_.setup().currency.minor_unit()) {}

  absl::StatusOr<std::int64_t> Profit(const Sale& sale, std::span<const PlaceTotal> places) const {
    const auto profit = shop_.ProfitOf(sale, places);
    if (!profit.ok()) return profit.status();
    return (terms_.which == Case::kWorst ? profit->worst : profit->expected).micros();
  }

  absl::StatusOr<bool> Keeps(const Sale& sale, std::span<const PlaceTotal> places) const {
    return shop_.Keeps(sale, places, wanted_, terms_.which);
  }

  // `Economics::MostToPay` without its search: an estimate, which the account itself has to confirm.
  absl::StatusOr<std::optional<Amount>> MostToPay(Amount price, std::span<const PlaceTotal> places) const {
    const absl::StatusOr<std::int64_t> of_gift = Profit({Amount(), price}, places);
    if (!of_gift.ok()) return of_gift.status();
    const Amount* amount = std::get_if<Amount>(&wanted_);
    const Int128 target = amount != nullptr ? Int128(amount->micros()) * kSaleWhole
                                            : Int128(std::get<Percent>(wanted_).ten_thousandths()) * price.micros();
    const Int128 left = Int128(*of_gift) * kSaleWhole - target;
    // Of each unit paid the part that comes back with the goods is not lost.
    const Returns& returns = shop_.setup().returns;
    const std::int64_t lost =
        terms_.which == Case::kWorst
            ? kSaleWhole
            : kSaleWhole - returns.share.ten_thousandths() * returns.recovered.ten_thousandths() / kSaleWhole;
    if (left >= 0 && lost > 0 && left / lost < kMostSaleMoney - 4 * unit_) {
      std::int64_t units = static_cast<std::int64_t>(FloorDiv(left, Int128(lost) * unit_));
      constexpr int kTries = 3;
      for (int i = 0; i < kTries && units >= 0; ++i) {
        const absl::StatusOr<bool> keeps = Keeps({Amount::Micros(units * unit_), price}, places);
        if (!keeps.ok()) return keeps.status();
        if (!*keeps) {
          --units;
          continue;
        }
        const absl::StatusOr<bool> more = Keeps({Amount::Micros((units + 1) * unit_), price}, places);
        if (!more.ok()) return more.status();
        if (!*more) return Amount::Micros(units * unit_);
        ++units;
      }
    }
    return shop_.MostToPay(price, places, wanted_, terms_.which);
  }

  absl::StatusOr<std::optional<Amount>> LeastPrice(Amount cost, std::span<const PlaceTotal> places) const {
    return shop_.LeastPrice(cost, places, wanted_, terms_.which, terms_.up_to);
  }

 private:
  const SaleTerms& terms_;
  const Economics& shop_;
  Wanted wanted_;
  std::int64_t unit_;
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
      : terms_(terms),
        columns_(columns),
        totals_(totals),
        lanes_(shares.size()),
        seller_(terms),
        places_(shares, terms.which) {}

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
    if (!places_.Read(totals_ + row * lanes_, charged.amount)) {
      reason = SaleReason::kNotPriced;
    } else {
      for (const SaleCell& cell : {price, cost, charged}) {
        if (reason == SaleReason::kNone) reason = cell.reason;
      }
      const bool has_charged = charged.reason == SaleReason::kNone;
      const bool has_price = price_.given() && price.reason == SaleReason::kNone && has_charged;
      const bool has_cost = cost_.given() && cost.reason == SaleReason::kNone && has_charged;
      const std::span<const PlaceTotal> places = places_.get();
      if (has_price && has_cost && columns_.profit != nullptr) {
        const absl::StatusOr<std::int64_t> answer = seller_.Profit({cost.amount, price.amount}, places);
        if (!answer.ok()) return answer.status();
        profit = *answer;
      }
      if (has_price && has_cost && columns_.keeps != nullptr) {
        const absl::StatusOr<bool> answer = seller_.Keeps({cost.amount, price.amount}, places);
        if (!answer.ok()) return answer.status();
        keeps = *answer ? 1 : 0;
      }
      if (has_price && columns_.most_to_pay != nullptr) {
        absl::StatusOr<std::optional<Amount>> answer = seller_.MostToPay(price.amount, places);
        if (!answer.ok()) return answer.status();
        most = *answer;
        if (!most && reason == SaleReason::kNone) reason = SaleReason::kAtNoCost;
      }
      if (has_cost && columns_.least_price != nullptr) {
        absl::StatusOr<std::optional<Amount>> answer = seller_.LeastPrice(cost.amount, places);
        if (!answer.ok()) return answer.status();
        least = *answer;
        if (!least && reason == SaleReason::kNone) reason = SaleReason::kAtNoPrice;
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
  SalePlaces places_;
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
