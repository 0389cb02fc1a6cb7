#ifndef TAREWISE_ECONOMICS_INTERNAL_ECONOMICS_INL_H_
#define TAREWISE_ECONOMICS_INTERNAL_ECONOMICS_INL_H_

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <iterator>
#include <limits>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <tuple>
#include <utility>
#include <variant>
#include <vector>

#include "absl/container/inlined_vector.h"
#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "tarewise/economics/economics.h"
#include "tarewise/economics/internal/fees-inl.h"
#include "tarewise/units/internal/halving.h"
#include "tarewise/units/internal/place_of_error.h"
#include "tarewise/units/internal/quantity_text.h"
#include "tarewise/units/rounding.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {
namespace internal {

/// The quotient rounded down, of a divisor over 0.
inline Int128 FloorDiv(Int128 a, Int128 b) { return a >= 0 ? a / b : -((-a + b - 1) / b); }

}  // namespace internal

template <typename F>
void Economics::Lines(const Sale& sale, const PlaceTotal& place, bool returned, F add) const {
  const std::int64_t unit = setup_.currency.minor_unit();
  add("price", sale.price.micros(), false);
  add("shipping_charged", place.charged.micros(), false);
  std::int64_t given_back = 0;
  for (const Fee& fee : setup_.fees) {
    const std::int64_t base = BaseOf(fee, sale.price.micros(), place.charged.micros());
    const std::int64_t amount = fee.On(base, unit);
    add(fee.code, -amount, true);
    if (returned) given_back += amount - fee.KeptOnReturn(base, unit);
  }
  add("shipping", -place.total.micros(), false);
  add("packaging", -setup_.packaging.micros() * place.parcels, false);
  add("labour", -setup_.labour.micros() * place.parcels, false);
  add("cost", -sale.cost.micros(), false);
  if (!returned) return;
  const Returns& returns = setup_.returns;
  add("refund", -sale.price.micros(), false);
  if (returns.shipping_refunded) add("shipping_refunded", -place.charged.micros(), false);
  add("fees_given_back", given_back, true);
  if (returns.seller_pays) {
    const Amount plus = Amount::Micros(returns.plus.micros() * place.parcels);
    add("return_shipping", -(returns.of_total.Of(place.total, unit, RoundMode::kHalfUp) + plus).micros(), false);
  }
  add("return_handling", -returns.handling.micros() * place.parcels, false);
  add("recovered", returns.recovered.Of(sale.cost, unit, RoundMode::kHalfUp).micros(), false);
}

class Economics::Model {
 public:
  Model(const Economics& shop, std::span<const PlaceTotal> places, const Wanted& wanted, Case which)
      : Model(shop, wanted, which) {
    for (const PlaceTotal& place : places) {
      Class& one = classes_.emplace_back();
      one.charged = place.charged.micros();
      // Without price, fees and cost: what the place alone takes or gives.
      std::int64_t returned = 0;
      shop_.Lines(Sale(), place, false,
                  [&one](std::string_view, std::int64_t amount, bool fee) { one.least += fee ? 0 : amount; });
      shop_.Lines(Sale(), place, true,
                  [&returned](std::string_view, std::int64_t amount, bool fee) { returned += fee ? 0 : amount; });
      one.share = place.share;
      one.kept = Int128(one.least) * place.share;
      one.returned = Int128(returned) * place.share;
      shares_ += place.share;
    }
    std::sort(classes_.begin(), classes_.end(), [](const Class& a, const Class& b) { return a.charged < b.charged; });
    std::size_t end = 0;
    for (std::size_t i = 1; i < classes_.size(); ++i) {
      if (classes_[i].charged == classes_[end].charged) {
        classes_[end].Add(classes_[i]);
      } else {
        classes_[++end] = classes_[i];
      }
    }
    classes_.resize(end + 1);
  }

  // One parcel to places whose buyers are all charged alike.
  Model(const Economics& shop, const AlikePlaces& places, Amount charged, const Wanted& wanted, Case which)
      : Model(shop, wanted, which) {
    const EconomicsSetup& setup = shop.setup_;
    Class& one = classes_.emplace_back();
    one.charged = charged.micros();
    const std::int64_t each = charged.micros() - setup.packaging.micros() - setup.labour.micros();
    one.least = each - places.dearest;
    one.share = places.share;
    one.kept = Int128(each) * places.share - places.totals;
    const Returns& returns = setup.returns;
    const std::int64_t back = (returns.shipping_refunded ? charged.micros() : 0) + returns.handling.micros() +
                              (returns.seller_pays ? returns.plus.micros() : 0);
    one.returned = one.kept - Int128(back) * places.share - places.return_shipping;
    shares_ = places.share;
  }

  // From here on the goods cost so much; 0 before.
  void PayFor(Amount cost) {
    paid_ = cost.micros();
    lost_on_return_ = paid_ - shop_.setup_.returns.recovered.Of(cost, unit_, RoundMode::kHalfUp).micros();
  }

  bool Keeps(std::int64_t price) {
    if (which_ == Case::kWorst) {
      for (Class& one : classes_) {
        const Int128 profit = Int128(LeastOf(one)) + price - FeesAt(one, price).all;
        if (profit * kWhole < Int128(wanted_) * kWhole + Int128(margin_) * price) return false;
      }
      return true;
    }
    // sum / (shares * 10^6) >= wanted + margin * price / 10^6
    return Sum(price) >= Int128(shares_) * (Int128(wanted_) * kWhole + Int128(margin_) * price);
  }

  // As `Profit::worst` and `Profit::expected`.
  std::int64_t Worst(std::int64_t price) {
    std::int64_t worst = std::numeric_limits<std::int64_t>::max();
    for (Class& one : classes_) worst = std::min(worst, LeastOf(one) + price - FeesAt(one, price).all);
    return worst;
  }
  std::int64_t Expected(std::int64_t price) {
    return static_cast<std::int64_t>(DivideRounded(Sum(price), Int128(shares_) * kWhole, unit_, RoundMode::kHalfUp));
  }

  std::optional<Amount> MostToPay(std::int64_t price) {
    PayFor(Amount());
    const Int128 target = Int128(wanted_) * kWhole + Int128(margin_) * price;
    const std::int64_t of_gift = which_ == Case::kWorst ? Worst(price) : Expected(price);
    const Int128 left = Int128(of_gift) * kWhole - target;
    auto keeps = [&](std::int64_t units) {
      PayFor(Amount::Micros(units * unit_));
      return Keeps(price);
    };
    // Of each unit paid the part that comes back with the goods is not lost. An estimate, which the account confirms.
    const Returns& returns = shop_.setup_.returns;
    const std::int64_t lost = which_ == Case::kWorst ? kWhole
                                                     : kWhole - returns.share.ten_thousandths() *
                                                                    returns.recovered.ten_thousandths() / kWhole;
    if (left >= 0 && lost > 0 && left / lost < kMostMicros - 4 * unit_) {
      std::int64_t units = static_cast<std::int64_t>(internal::FloorDiv(left, Int128(lost) * unit_));
      constexpr int kTries = 3;
      for (int i = 0; i < kTries && units >= 0; ++i) {
        if (!keeps(units)) {
          --units;
        } else if (keeps(units + 1)) {
          ++units;
        } else {
          return Amount::Micros(units * unit_);
        }
      }
    }
    if (!keeps(0)) return std::nullopt;
    // The profit never rises with the cost: what is recovered rises by no more than the cost does.
    return Amount::Micros(internal::GreatestThat(0, kMostMicros / unit_ + 1, keeps) * unit_);
  }

  // The prices, in minor units up to `up_to`, from which on fees go by other lines; they hang on neither goods nor
  // totals, but on what is charged.
  void Starts(std::int64_t up_to, std::vector<std::int64_t>& starts) const {
    const std::int64_t last = up_to / unit_;
    starts = {0};
    std::vector<std::int64_t> turns;
    for (const Class& one : classes_) {
      for (const Fee& fee : shop_.setup_.fees) {
        turns.clear();
        fee.Turns(turns);
        for (const std::int64_t turn : turns) {
          const std::int64_t price = turn - (fee.of == FeeOf::kPrice ? 0 : one.charged);
          if (price >= 0 && price / unit_ < last) starts.push_back(price / unit_ + 1);
        }
      }
    }
    std::sort(starts.begin(), starts.end());
    starts.erase(std::unique(starts.begin(), starts.end()), starts.end());
  }

  std::optional<Amount> LeastPrice(const std::vector<std::int64_t>& starts, std::int64_t up_to) {
    const std::int64_t last = up_to / unit_;
    for (std::size_t i = 0; i < starts.size(); ++i) {
      const std::int64_t end = i + 1 < starts.size() ? starts[i + 1] - 1 : last;
      if (const std::optional<std::int64_t> found = InPiece(starts[i], end)) return Amount::Micros(*found * unit_);
    }
    return std::nullopt;
  }

 private:
  struct Fees {
    std::int64_t all = 0;
    std::int64_t kept = 0;  // Where the goods come back; of nothing asked for the worst case, which is of a sale kept.
  };
  // Places that are charged the same, at no price, no fees and no cost.
  struct Class {
    std::int64_t charged = 0;
    std::int64_t least = 0;
    std::int64_t share = 0;
    Int128 kept = 0;
    Int128 returned = 0;
    std::int64_t priced = -1;
    Fees fees;

    void Add(const Class& other) {
      least = std::min(least, other.least);
      share += other.share;
      kept += other.kept;
      returned += other.returned;
    }
  };

  Model(const Economics& shop, const Wanted& wanted, Case which)
      : shop_(shop), which_(which), unit_(shop.setup_.currency.minor_unit()) {
    if (const Amount* amount = std::get_if<Amount>(&wanted)) {
      wanted_ = amount->micros();
    } else {
      margin_ = std::get<Percent>(wanted).ten_thousandths();
    }
    back_ = which == Case::kWorst ? 0 : shop.setup_.returns.share.ten_thousandths();
  }

  std::int64_t LeastOf(const Class& one) const { return one.least - paid_; }
  Int128 KeptOf(const Class& one) const { return one.kept - Int128(paid_) * one.share; }
  Int128 ReturnedOf(const Class& one) const { return one.returned - Int128(lost_on_return_) * one.share; }

  // Asked again and again of one price, as costs are tried.
  const Fees& FeesAt(Class& one, std::int64_t price) const {
    if (one.priced == price) return one.fees;
    one.priced = price;
    one.fees = Fees();
    for (const Fee& fee : shop_.setup_.fees) {
      const std::int64_t base = BaseOf(fee, price, one.charged);
      one.fees.all += fee.On(base, unit_);
      if (back_ > 0) one.fees.kept += fee.KeptOnReturn(base, unit_);
    }
    return one.fees;
  }

  // The mean times all shares and a million.
  Int128 Sum(std::int64_t price) {
    Int128 sum = 0;
    for (Class& one : classes_) {
      const Fees& fees = FeesAt(one, price);
      sum += (KeptOf(one) + Int128(price - fees.all) * one.share) * (kWhole - back_);
      if (back_ > 0) sum += (ReturnedOf(one) - Int128(fees.kept) * one.share) * back_;
    }
    return sum;
  }

  // What is left over the wanted with fees before rounding, in millionths of millionths (raised by no more than a
  // few for the divisions): a line for each class, or one for the mean.
  using LinesAt = absl::InlinedVector<Int128, 4>;
  LinesAt Exact(std::int64_t price) const {
    LinesAt out;
    const Int128 target = Int128(wanted_) * kWhole + Int128(margin_) * price;
    Int128 mean = 0;
    for (const Class& one : classes_) {
      Int128 fees = 0;
      Int128 fees_kept = 0;
      for (const Fee& fee : shop_.setup_.fees) {
        const std::int64_t base = BaseOf(fee, price, one.charged);
        fees += fee.Exact(base);
        if (back_ > 0) fees_kept += fee.ExactKeptOnReturn(base);
      }
      if (which_ == Case::kWorst) {
        out.push_back((Int128(LeastOf(one)) + price) * kWhole - fees - target);
        continue;
      }
      // Per parcel of the class first, so that nothing passes 128 bits.
      const Int128 both = (Int128(price) * kWhole - fees) * (kWhole - back_) - fees_kept * back_;
      mean +=
          (internal::FloorDiv(both, kWhole) + 1) * one.share + KeptOf(one) * (kWhole - back_) + ReturnedOf(one) * back_;
    }
    if (which_ == Case::kAverage) out.push_back(internal::FloorDiv(mean, shares_) + 1 - target);
    return out;
  }

  // The least n from `start` to `end` whose price n * unit keeps it. All fees are lines here but for their
  // roundings, each of half a minor unit at most.
  std::optional<std::int64_t> InPiece(std::int64_t start, std::int64_t end) {
    const Int128 slack = Int128(shop_.setup_.fees.size()) * (unit_ / 2 + 1) * kWhole + 16;
    const LinesAt at_start = Exact(start * unit_);
    const LinesAt at_end = Exact(end * unit_);
    std::int64_t from = start;
    std::int64_t to = end;
    std::int64_t sure = start;  // From here on the rising lines keep it whatever the roundings.
    for (std::size_t i = 0; i < at_start.size(); ++i) {
      const Int128 rise = at_end[i] - at_start[i];
      if (at_start[i] + slack < 0 && at_end[i] + slack < 0) return std::nullopt;
      const Int128 steps = end - start;
      if (at_start[i] + slack < 0) {
        from = std::max(from, start + static_cast<std::int64_t>((-slack - at_start[i]) * steps / rise));
      }
      if (at_end[i] + slack < 0) {
        to = std::min(to, end - static_cast<std::int64_t>((-slack - at_end[i]) * steps / -rise));
      }
      if (rise > 0 && at_start[i] - slack < 0) {
        const Int128 need = ((slack - at_start[i]) * steps + rise - 1) / rise;
        sure = std::max(sure, need > steps ? end : start + static_cast<std::int64_t>(need) + 1);
      }
    }
    // Roundings come back after a million minor units; lines that do not rise bring nothing new after that.
    constexpr std::int64_t kPeriod = 1'000'000;
    if (sure < end && to > std::max(sure, from) + kPeriod) to = std::max(sure, from) + kPeriod;
    for (std::int64_t n = from; n <= to; ++n) {
      if (Keeps(n * unit_)) return n;
    }
    return std::nullopt;
  }

  const Economics& shop_;
  const Case which_;
  const std::int64_t unit_;
  std::int64_t wanted_ = 0;
  std::int64_t margin_ = 0;
  std::int64_t back_ = 0;  // The share that comes back.
  std::int64_t shares_ = 0;
  std::int64_t paid_ = 0;
  std::int64_t lost_on_return_ = 0;
  absl::InlinedVector<Class, 1> classes_;
};

TW_INLINE absl::StatusOr<Economics> Economics::Create(EconomicsSetup setup) {
  constexpr std::string_view kReserved[] = {
      "price",  "shipping_charged",  "shipping",        "packaging",       "labour",          "cost",
      "refund", "shipping_refunded", "fees_given_back", "return_shipping", "return_handling", "recovered"};
  for (std::size_t i = 0; i < setup.fees.size(); ++i) {
    if (absl::Status status = setup.fees[i].Check(); !status.ok()) return status;
    if (std::find(std::begin(kReserved), std::end(kReserved), setup.fees[i].code) != std::end(kReserved)) {
      return internal::InvalidAt("fees", "found the code " + internal::Quoted(setup.fees[i].code) +
                                             ", which another line of the account has, expected one of its own");
    }
    for (std::size_t j = 0; j < i; ++j) {
      if (setup.fees[j].code == setup.fees[i].code) {
        return internal::InvalidAt("fees",
                                   "found " + internal::Quoted(setup.fees[i].code) + " twice, expected each code once");
      }
    }
  }
  const Returns& returns = setup.returns;
  for (const auto& [name, amount] : {std::pair<std::string_view, Amount>{"packaging", setup.packaging},
                                     {"labour", setup.labour},
                                     {"returns/plus", returns.plus},
                                     {"returns/handling", returns.handling}}) {
    if (absl::Status status = CheckAmount(name, amount); !status.ok()) return status;
  }
  for (const auto& [name, percent, most] :
       {std::tuple<std::string_view, Percent, std::int64_t>{"returns/share", returns.share, kWhole},
        {"returns/recovered", returns.recovered, kWhole},
        {"returns/of_total", returns.of_total, 10 * kWhole}}) {
    if (percent.ten_thousandths() > most) {
      return internal::InvalidAt(
          name, "found " + percent.ToString() + ", expected at most " + Percent::TenThousandths(most).ToString());
    }
  }
  return Economics(std::move(setup));
}

TW_INLINE absl::StatusOr<Profit> Economics::ProfitOf(const Sale& sale, std::span<const PlaceTotal> places,
                                                     std::span<const std::int64_t> levels) const {
  if (absl::Status status = Check(sale, places); !status.ok()) return status;
  for (const std::int64_t level : levels) {
    if (level < 0 || level > kWhole) {
      return internal::InvalidAt("level", "found " + std::to_string(level) + ", expected 0 to 1000000 millionths");
    }
  }
  const std::int64_t back = setup_.returns.share.ten_thousandths();
  Profit profit;
  std::optional<std::int64_t> worst;
  std::optional<std::int64_t> worst_returned;
  std::vector<std::pair<std::int64_t, Int128>> outcomes;
  Int128 sum = 0;
  Int128 weights = 0;
  for (std::size_t i = 0; i < places.size(); ++i) {
    const std::int64_t kept = Sum(sale, places[i], false);
    const std::int64_t returned = Sum(sale, places[i], true);
    if (!worst || kept < *worst) {
      worst = kept;
      profit.worst_place = i;
    }
    worst_returned = std::min(worst_returned.value_or(returned), returned);
    sum += (Int128(kWhole - back) * kept + Int128(back) * returned) * places[i].share;
    weights += Int128(kWhole) * places[i].share;
    if (levels.empty()) continue;
    if (back < kWhole && places[i].share > 0) outcomes.emplace_back(kept, Int128(kWhole - back) * places[i].share);
    if (back > 0 && places[i].share > 0) outcomes.emplace_back(returned, Int128(back) * places[i].share);
  }
  profit.worst = Amount::Micros(*worst);
  profit.worst_returned = Amount::Micros(back > 0 ? *worst_returned : *worst);
  profit.expected = Amount::Micros(
      static_cast<std::int64_t>(DivideRounded(sum, weights, setup_.currency.minor_unit(), RoundMode::kHalfUp)));
  std::sort(outcomes.begin(), outcomes.end());
  for (const std::int64_t level : levels) {
    Int128 below = 0;
    std::size_t at = 0;
    while (at + 1 < outcomes.size()) {
      below += outcomes[at].second;
      if (below > 0 && below * kWhole >= weights * level) break;
      ++at;
    }
    profit.quantiles.push_back(Amount::Micros(outcomes[at].first));
  }
  return profit;
}

TW_INLINE absl::StatusOr<std::vector<SaleLine>> Economics::Account(const Sale& sale, const PlaceTotal& place,
                                                                   bool returned) const {
  if (absl::Status status = Check(sale, {&place, 1}, false); !status.ok()) return status;
  std::vector<SaleLine> lines;
  Lines(sale, place, returned, [&lines](std::string_view code, std::int64_t amount, bool) {
    if (amount != 0 || code == "price") lines.push_back({code, Amount::Micros(amount)});
  });
  return lines;
}

TW_INLINE absl::StatusOr<bool> Economics::Keeps(const Sale& sale, std::span<const PlaceTotal> places,
                                                const Wanted& wanted, Case which) const {
  if (absl::Status status = Check(sale, places); !status.ok()) return status;
  if (absl::Status status = CheckWanted(wanted); !status.ok()) return status;
  Model model(*this, places, wanted, which);
  model.PayFor(sale.cost);
  return model.Keeps(sale.price.micros());
}

TW_INLINE absl::StatusOr<std::optional<Amount>> Economics::MostToPay(Amount price, std::span<const PlaceTotal> places,
                                                                     const Wanted& wanted, Case which) const {
  if (absl::Status status = Check({Amount(), price}, places); !status.ok()) return status;
  if (absl::Status status = CheckWanted(wanted); !status.ok()) return status;
  return Model(*this, places, wanted, which).MostToPay(price.micros());
}

TW_INLINE absl::StatusOr<std::optional<Amount>> Economics::LeastPrice(Amount cost, std::span<const PlaceTotal> places,
                                                                      const Wanted& wanted, Case which,
                                                                      Amount up_to) const {
  if (absl::Status status = Check({cost, up_to}, places); !status.ok()) return status;
  if (absl::Status status = CheckWanted(wanted); !status.ok()) return status;
  Model model(*this, places, wanted, which);
  model.PayFor(cost);
  std::vector<std::int64_t> starts;
  model.Starts(up_to.micros(), starts);
  return model.LeastPrice(starts, up_to.micros());
}

TW_INLINE absl::Status Economics::CheckAmount(std::string_view name, Amount amount) {
  if (amount.micros() >= 0 && amount.micros() <= kMostMicros) return absl::OkStatus();
  return internal::InvalidAt(name, "found " + amount.ToString() + ", expected 0 or more, at most 1000 million");
}

TW_INLINE absl::Status Economics::CheckWanted(const Wanted& wanted) {
  if (const Amount* amount = std::get_if<Amount>(&wanted)) {
    if (amount->micros() >= -kMostMicros && amount->micros() <= kMostMicros) return absl::OkStatus();
    return internal::InvalidAt("wanted", "found " + amount->ToString() + ", expected at most 1000 million either way");
  }
  const Percent margin = std::get<Percent>(wanted);
  if (margin.ten_thousandths() <= kWhole) return absl::OkStatus();
  return internal::InvalidAt("wanted",
                             "found a margin of " + margin.ToString() + ", expected at most 100 % of the price");
}

TW_INLINE absl::Status Economics::Check(const Sale& sale, std::span<const PlaceTotal> places, bool shares) {
  if (absl::Status status = CheckAmount("cost", sale.cost); !status.ok()) return status;
  if (absl::Status status = CheckAmount("price", sale.price); !status.ok()) return status;
  if (places.empty()) return internal::InvalidAt("places", "found none, expected one or more");
  Int128 sum = 0;
  for (std::size_t i = 0; i < places.size(); ++i) {
    const std::string where = "places/" + std::to_string(i);
    if (places[i].total.micros() < 0) {
      return internal::InvalidAt(where + "/total", "found none, expected the total of a way to send there");
    }
    if (absl::Status status = CheckAmount(where + "/total", places[i].total); !status.ok()) return status;
    if (absl::Status status = CheckAmount(where + "/charged", places[i].charged); !status.ok()) return status;
    if (places[i].share < 0) {
      return internal::InvalidAt(where + "/share", "found " + std::to_string(places[i].share) + ", expected 0 or more");
    }
    if (places[i].parcels < 1 || places[i].parcels > 100) {
      return internal::InvalidAt(where + "/parcels",
                                 "found " + std::to_string(places[i].parcels) + ", expected 1 to 100");
    }
    sum += places[i].share;
  }
  if (shares && (sum < 1 || sum > kMostShares)) {
    return internal::InvalidAt(
        "places", "found shares that add up to " + internal::ShortestDecimal(sum, 1) + ", expected 1 to 1000000000000");
  }
  return absl::OkStatus();
}

TW_INLINE std::int64_t Economics::Sum(const Sale& sale, const PlaceTotal& place, bool returned) const {
  std::int64_t sum = 0;
  Lines(sale, place, returned, [&sum](std::string_view, std::int64_t amount, bool) { sum += amount; });
  return sum;
}

TW_INLINE std::int64_t Economics::BaseOf(const Fee& fee, std::int64_t price, std::int64_t charged) {
  return fee.of == FeeOf::kPrice ? price : price + charged;
}

}  // namespace tarewise::inline TW_VERSIONED

#endif  // TAREWISE_ECONOMICS_INTERNAL_ECONOMICS_INL_H_
