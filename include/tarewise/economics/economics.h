#ifndef TAREWISE_ECONOMICS_ECONOMICS_H_
#define TAREWISE_ECONOMICS_ECONOMICS_H_

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <map>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <tuple>
#include <utility>
#include <variant>
#include <vector>

#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "tarewise/economics/fees.h"
#include "tarewise/units/money.h"
#include "tarewise/units/percent.h"
#include "tarewise/units/rounding.h"

namespace tarewise {

/// Parcels that come back.
struct Returns {
  Percent share;            ///< Of sales: at most 100 %.
  bool seller_pays = true;  ///< The seller pays for the parcel back; false: the buyer does.
  Percent of_total =
      Percent::TenThousandths(1'000'000);  ///< The parcel back costs this part of the total out, half up,
  Amount plus;                             ///< and this.
  bool shipping_refunded = true;           ///< What the buyer was charged for shipping is paid back with the price.
  Percent recovered = Percent::TenThousandths(1'000'000);  ///< What the goods are worth then, of their cost, half up;
                                                           ///< at most 100 %.
  Amount handling;                                         ///< Work and materials for each parcel that comes back.
};

/// What every sale of a shop has in common. All amounts are in one currency, without taxes on sales.
struct EconomicsSetup {
  Currency currency;
  std::vector<Fee> fees;  ///< Selling fees, payment fees, advertising: each a line of its own.
  Amount packaging;       ///< Of one parcel, beyond what the shipping totals hold already.
  Amount labour;          ///< Of one parcel.
  Returns returns;
};

/// One good: what was paid for it, and the price it is listed at.
struct Sale {
  Amount cost;
  Amount price;
};

/// A place that parcels go to: the total of sending this good there (packaging included, as rankings and `Repricer`
/// give it), what the buyer there is charged for shipping, and how often it is sent there, in any whole unit (0: it
/// counts for the worst case only). The total is taken as given; where it depends on the declared value, it must
/// follow the price.
struct PlaceTotal {
  Amount total;
  Amount charged;
  std::int64_t share = 1;
};

/// What is to be kept of a sale: an amount, or a part of the price.
using Wanted = std::variant<Amount, Percent>;

/// For which sale: one that is kept by a buyer in the place that leaves least, or the exact mean over places and
/// returns.
enum class Case : std::uint8_t { kWorst, kAverage };

/// One line of a sale's account; what the seller gains is over 0, what it costs is below.
struct SaleLine {
  std::string_view code;  ///< `price`, `shipping_charged`, the code of a fee, `shipping`, `packaging`, `labour`,
                          ///< `cost`; of a return also `refund`, `shipping_refunded`, `fees_given_back`,
                          ///< `return_shipping`, `return_handling`, `recovered`.
  Amount amount;
};

/// What a sale leaves.
struct Profit {
  Amount worst;                   ///< Kept by the buyer, in the place that leaves least.
  std::size_t worst_place = 0;    ///< The first of equals.
  Amount expected;                ///< Mean over places and returns, half up by magnitude to the minor unit.
  Amount worst_returned;          ///< Back from the place that then leaves least; as `worst` where none come back.
  std::vector<Amount> quantiles;  ///< By the levels asked for.
};

/// What selling and sending leaves of a price, exactly: whole millionths of money, no floating point. Immutable; safe
/// from any thread.
///
/// A sale that is kept, to a place with the total t, where the buyer is charged s for shipping:
///
///     profit = price + s - each fee - t - packaging - labour - cost
///
/// and one that comes back:
///
///     profit = (s, unless it is refunded) - what is kept of each fee - t - packaging - labour
///              - (t * of_total + plus for the parcel back, where the seller pays) - handling - cost + cost * recovered
///
/// Each fee, the parcel back and what is recovered are rounded half up to the minor unit; nothing else is. With the
/// share r of returns and places of the shares w, the mean is the sum of w * ((1 - r) * kept + r * returned) over the
/// sum of w.
///
/// With invented fees:
///
///     EconomicsSetup setup;
///     setup.currency = *Currency::Parse("USD");
///     setup.fees = {Fee::Flat("selling", *Percent::Parse("11.4"), Amount(), FeeOf::kPriceAndShipping),
///                   Fee::Flat("payment", *Percent::Parse("2.2"), *Amount::Parse("0.25"), FeeOf::kPriceAndShipping)};
///     setup.labour = *Amount::Parse("1.20");
///     Economics shop = *Economics::Create(setup);
///     std::vector<PlaceTotal> places = {{*Amount::Parse("5.10"), Amount(), 3}, {*Amount::Parse("9.40"), Amount(), 1}};
///     Profit profit = *shop.ProfitOf({*Amount::Parse("4.00"), *Amount::Parse("24.90")}, places);
///     // selling 2.84, payment 0.80: worst 6.66 to the dear place, expected (3 * 10.96 + 6.66) / 4 = 9.885, shown
///     // as 9.89
///     std::optional<Amount> most =
///         *shop.MostToPay(*Amount::Parse("24.90"), places, *Amount::Parse("5.00"), Case::kWorst);
///     // 5.66
class Economics {
 public:
  /// Errors: InvalidArgument for a fee out of order (see `Fee::Check`), two fees of one code or one with the code of
  /// another line, an amount below 0 or over 1,000
  /// million, a percentage over 100 % (but `of_total`: 1,000 %).
  static absl::StatusOr<Economics> Create(EconomicsSetup setup) {
    constexpr std::string_view kReserved[] = {
        "price",  "shipping_charged",  "shipping",        "packaging",       "labour",          "cost",
        "refund", "shipping_refunded", "fees_given_back", "return_shipping", "return_handling", "recovered"};
    for (std::size_t i = 0; i < setup.fees.size(); ++i) {
      if (absl::Status status = setup.fees[i].Check(); !status.ok()) return status;
      if (std::find(std::begin(kReserved), std::end(kReserved), setup.fees[i].code) != std::end(kReserved)) {
        return internal::Invalid("fees: found the code " + internal::Quoted(setup.fees[i].code) +
                                 ", which another line of the account has, expected one of its own");
      }
      for (std::size_t j = 0; j < i; ++j) {
        if (setup.fees[j].code == setup.fees[i].code) {
          return internal::Invalid("fees: found " + internal::Quoted(setup.fees[i].code) +
                                   " twice, expected each code once");
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
        return internal::Invalid(std::string(name) + ": found " + percent.ToString() + ", expected at most " +
                                 Percent::TenThousandths(most).ToString());
      }
    }
    return Economics(std::move(setup));
  }

  const EconomicsSetup& setup() const { return setup_; }

  /// What a sale leaves. A quantile of level q (millionths, 0 to 1,000,000) is the least profit that at least that
  /// part of the sales, kept and returned ones by their shares, do not pass: 50,000: one sale in twenty leaves no
  /// more. Of 0: the least of all that happen.
  ///
  /// Errors, here and below: InvalidArgument for a cost, a price, a total or a charge below 0 or over 1,000 million,
  /// for no places, a share below 0, shares that add up to 0 or over 10^12, and levels out of range.
  absl::StatusOr<Profit> ProfitOf(const Sale& sale, std::span<const PlaceTotal> places,
                                  std::span<const std::int64_t> levels = {}) const {
    if (absl::Status status = Check(sale, places); !status.ok()) return status;
    for (const std::int64_t level : levels) {
      if (level < 0 || level > kWhole) {
        return internal::Invalid("level: found " + std::to_string(level) + ", expected 0 to 1000000 millionths");
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

  /// The account of one sale, line by line; the lines add up to its profit.
  absl::StatusOr<std::vector<SaleLine>> Account(const Sale& sale, const PlaceTotal& place,
                                                bool returned = false) const {
    if (absl::Status status = Check(sale, {&place, 1}, false); !status.ok()) return status;
    std::vector<SaleLine> lines;
    Lines(sale, place, returned, [&lines](std::string_view code, std::int64_t amount, bool) {
      if (amount != 0 || code == "price") lines.push_back({code, Amount::Micros(amount)});
    });
    return lines;
  }

  /// True where a sale keeps what is wanted: in the worst case the profit itself, on average the exact mean, before
  /// it is rounded for show (a mean of 4.996 does not keep 5.00). A percentage is of the price.
  absl::StatusOr<bool> Keeps(const Sale& sale, std::span<const PlaceTotal> places, const Wanted& wanted,
                             Case which) const {
    if (absl::Status status = Check(sale, places); !status.ok()) return status;
    if (absl::Status status = CheckWanted(wanted); !status.ok()) return status;
    return Model(*this, places, sale.cost, wanted, which).Keeps(sale.price.micros());
  }

  /// The most one may pay for a good that sells at `price` and keep what is wanted, in whole minor units: at one unit
  /// more it is not kept. Nothing where it is not kept even of a gift; 1,000 million where the cost does not matter
  /// (all come back and recover it). A binary search on the exact account.
  absl::StatusOr<std::optional<Amount>> MostToPay(Amount price, std::span<const PlaceTotal> places,
                                                  const Wanted& wanted, Case which) const {
    if (absl::Status status = Check({Amount(), price}, places); !status.ok()) return status;
    if (absl::Status status = CheckWanted(wanted); !status.ok()) return status;
    const std::int64_t unit = setup_.currency.minor_unit();
    auto keeps = [&](std::int64_t units) {
      return Model(*this, places, Amount::Micros(units * unit), wanted, which).Keeps(price.micros());
    };
    if (!keeps(0)) return std::nullopt;
    // The profit never rises with the cost: what is recovered rises by no more than the cost does.
    std::int64_t low = 0;
    std::int64_t high = kMostMicros / unit + 1;
    while (high - low > 1) {
      const std::int64_t middle = low + (high - low) / 2;
      (keeps(middle) ? low : high) = middle;
    }
    return Amount::Micros(low * unit);
  }

  /// The least listing price, in whole minor units up to `up_to`, that keeps what is wanted of a good that cost
  /// `cost`: no lower price does. Nothing where none up to there does.
  ///
  /// A higher price need not keep it: fees jump at the ends of tiers, and two fees may round up at once. So the price
  /// is searched piece by piece between the ends of tiers and caps, each from the lowest price that could keep it if
  /// all roundings fell the seller's way, minor unit by minor unit. A few hundred steps; up to some million where
  /// fees take nearly the whole of each unit more. `Keeps` tells whether a rounder price above keeps it too.
  absl::StatusOr<std::optional<Amount>> LeastPrice(Amount cost, std::span<const PlaceTotal> places,
                                                   const Wanted& wanted, Case which,
                                                   Amount up_to = Amount::Micros(1'000'000'000'000)) const {
    if (absl::Status status = Check({cost, up_to}, places); !status.ok()) return status;
    if (absl::Status status = CheckWanted(wanted); !status.ok()) return status;
    return Model(*this, places, cost, wanted, which).LeastPrice(up_to.micros());
  }

 private:
  static constexpr std::int64_t kWhole = 1'000'000;
  static constexpr std::int64_t kMostShares = 1'000'000'000'000;

  explicit Economics(EconomicsSetup setup) : setup_(std::move(setup)) {}

  static absl::Status CheckAmount(std::string_view name, Amount amount) {
    if (amount.micros() >= 0 && amount.micros() <= kMostMicros) return absl::OkStatus();
    return internal::Invalid(std::string(name) + ": found " + amount.ToString() +
                             ", expected 0 or more, at most 1000 million");
  }

  static absl::Status CheckWanted(const Wanted& wanted) {
    if (const Amount* amount = std::get_if<Amount>(&wanted)) {
      if (amount->micros() >= -kMostMicros && amount->micros() <= kMostMicros) return absl::OkStatus();
      return internal::Invalid("wanted: found " + amount->ToString() + ", expected at most 1000 million either way");
    }
    const Percent margin = std::get<Percent>(wanted);
    if (margin.ten_thousandths() <= kWhole) return absl::OkStatus();
    return internal::Invalid("wanted: found a margin of " + margin.ToString() +
                             ", expected at most 100 % of the price");
  }

  static absl::Status Check(const Sale& sale, std::span<const PlaceTotal> places, bool shares = true) {
    if (absl::Status status = CheckAmount("cost", sale.cost); !status.ok()) return status;
    if (absl::Status status = CheckAmount("price", sale.price); !status.ok()) return status;
    if (places.empty()) return internal::Invalid("places: found none, expected one or more");
    Int128 sum = 0;
    for (std::size_t i = 0; i < places.size(); ++i) {
      const std::string where = "places/" + std::to_string(i);
      if (places[i].total.micros() < 0) {
        return internal::Invalid(where + "/total: found none, expected the total of a way to send there");
      }
      if (absl::Status status = CheckAmount(where + "/total", places[i].total); !status.ok()) return status;
      if (absl::Status status = CheckAmount(where + "/charged", places[i].charged); !status.ok()) return status;
      if (places[i].share < 0) {
        return internal::Invalid(where + "/share: found " + std::to_string(places[i].share) + ", expected 0 or more");
      }
      sum += places[i].share;
    }
    if (shares && (sum < 1 || sum > kMostShares)) {
      return internal::Invalid("places: found shares that add up to " + internal::ShortestDecimal(sum, 1) +
                               ", expected 1 to 1000000000000");
    }
    return absl::OkStatus();
  }

  // The one account of a sale; everything else is made of it. `add(code, amount, depends on the price through a fee)`.
  template <typename F>
  void Lines(const Sale& sale, const PlaceTotal& place, bool returned, F add) const {
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
    add("packaging", -setup_.packaging.micros(), false);
    add("labour", -setup_.labour.micros(), false);
    add("cost", -sale.cost.micros(), false);
    if (!returned) return;
    const Returns& returns = setup_.returns;
    add("refund", -sale.price.micros(), false);
    if (returns.shipping_refunded) add("shipping_refunded", -place.charged.micros(), false);
    add("fees_given_back", given_back, true);
    if (returns.seller_pays) {
      add("return_shipping", -(returns.of_total.Of(place.total, unit, RoundMode::kHalfUp) + returns.plus).micros(),
          false);
    }
    add("return_handling", -returns.handling.micros(), false);
    add("recovered", returns.recovered.Of(sale.cost, unit, RoundMode::kHalfUp).micros(), false);
  }

  std::int64_t Sum(const Sale& sale, const PlaceTotal& place, bool returned) const {
    std::int64_t sum = 0;
    Lines(sale, place, returned, [&sum](std::string_view, std::int64_t amount, bool) { sum += amount; });
    return sum;
  }

  static std::int64_t BaseOf(const Fee& fee, std::int64_t price, std::int64_t charged) {
    return fee.of == FeeOf::kPrice ? price : price + charged;
  }

  // One question about prices: what does not depend on the price is summed up once, places by what they are charged.
  class Model {
   public:
    Model(const Economics& shop, std::span<const PlaceTotal> places, Amount cost, const Wanted& wanted, Case which)
        : shop_(shop), which_(which), unit_(shop.setup_.currency.minor_unit()) {
      if (const Amount* amount = std::get_if<Amount>(&wanted)) {
        wanted_ = amount->micros();
      } else {
        margin_ = std::get<Percent>(wanted).ten_thousandths();
      }
      const Sale sale{cost, Amount()};
      for (const PlaceTotal& place : places) {
        Class& one = classes_[place.charged.micros()];
        // Without price and fees: what the place alone takes or gives.
        std::int64_t kept = 0;
        std::int64_t returned = 0;
        shop_.Lines(sale, place, false,
                    [&kept](std::string_view, std::int64_t amount, bool fee) { kept += fee ? 0 : amount; });
        shop_.Lines(sale, place, true,
                    [&returned](std::string_view, std::int64_t amount, bool fee) { returned += fee ? 0 : amount; });
        if (one.empty || kept < one.least) one.least = kept;
        one.empty = false;
        one.kept += Int128(kept) * place.share;
        one.returned += Int128(returned) * place.share;
        one.share += place.share;
        shares_ += place.share;
      }
    }

    bool Keeps(std::int64_t price) const {
      if (which_ == Case::kWorst) {
        for (const auto& [charged, one] : classes_) {
          const Int128 profit = Int128(one.least) + price - FeesOn(price, charged);
          if (profit * kWhole < Int128(wanted_) * kWhole + Int128(margin_) * price) return false;
        }
        return true;
      }
      const std::int64_t back = shop_.setup_.returns.share.ten_thousandths();
      Int128 sum = 0;
      for (const auto& [charged, one] : classes_) {
        sum += (one.kept + Int128(price - FeesOn(price, charged)) * one.share) * (kWhole - back);
        if (back > 0) sum += (one.returned - Int128(FeesKept(price, charged)) * one.share) * back;
      }
      // sum / (shares * 10^6) >= wanted + margin * price / 10^6
      return sum >= Int128(shares_) * (Int128(wanted_) * kWhole + Int128(margin_) * price);
    }

    std::optional<Amount> LeastPrice(std::int64_t up_to) const {
      const std::int64_t last = up_to / unit_;
      std::vector<std::int64_t> starts = {0};
      for (const auto& [charged, one] : classes_) {
        for (const Fee& fee : shop_.setup_.fees) {
          std::vector<std::int64_t> turns;
          fee.Turns(turns);
          for (const std::int64_t turn : turns) {
            const std::int64_t price = turn - (fee.of == FeeOf::kPrice ? 0 : charged);
            if (price >= 0 && price / unit_ < last) starts.push_back(price / unit_ + 1);
          }
        }
      }
      std::sort(starts.begin(), starts.end());
      starts.erase(std::unique(starts.begin(), starts.end()), starts.end());
      for (std::size_t i = 0; i < starts.size(); ++i) {
        const std::int64_t end = i + 1 < starts.size() ? starts[i + 1] - 1 : last;
        if (const std::optional<std::int64_t> found = InPiece(starts[i], end)) return Amount::Micros(*found * unit_);
      }
      return std::nullopt;
    }

   private:
    struct Class {
      bool empty = true;
      std::int64_t least = 0;
      std::int64_t share = 0;
      Int128 kept = 0;
      Int128 returned = 0;
    };

    std::int64_t FeesOn(std::int64_t price, std::int64_t charged) const {
      std::int64_t sum = 0;
      for (const Fee& fee : shop_.setup_.fees) sum += fee.On(BaseOf(fee, price, charged), unit_);
      return sum;
    }
    std::int64_t FeesKept(std::int64_t price, std::int64_t charged) const {
      std::int64_t sum = 0;
      for (const Fee& fee : shop_.setup_.fees) sum += fee.KeptOnReturn(BaseOf(fee, price, charged), unit_);
      return sum;
    }

    static Int128 FloorDiv(Int128 a, Int128 b) { return a >= 0 ? a / b : -((-a + b - 1) / b); }

    // What is left over the wanted with fees before rounding, in millionths of millionths (raised by no more than a
    // few for the divisions): a line for each class, or one for the mean.
    void Exact(std::int64_t price, std::vector<Int128>& out) const {
      out.clear();
      const Int128 target = Int128(wanted_) * kWhole + Int128(margin_) * price;
      const std::int64_t back = shop_.setup_.returns.share.ten_thousandths();
      Int128 mean = 0;
      for (const auto& [charged, one] : classes_) {
        Int128 fees = 0;
        Int128 fees_kept = 0;
        for (const Fee& fee : shop_.setup_.fees) {
          const std::int64_t base = BaseOf(fee, price, charged);
          fees += fee.Exact(base);
          if (back > 0) fees_kept += fee.ExactKeptOnReturn(base);
        }
        if (which_ == Case::kWorst) {
          out.push_back((Int128(one.least) + price) * kWhole - fees - target);
          continue;
        }
        // Per parcel of the class first, so that nothing passes 128 bits.
        const Int128 both = (Int128(price) * kWhole - fees) * (kWhole - back) - fees_kept * back;
        mean += (FloorDiv(both, kWhole) + 1) * one.share + one.kept * (kWhole - back) + one.returned * back;
      }
      if (which_ == Case::kAverage) out.push_back(FloorDiv(mean, shares_) + 1 - target);
    }

    // The least n from `start` to `end` whose price n * unit keeps it. All fees are lines here but for their
    // roundings, each of half a minor unit at most.
    std::optional<std::int64_t> InPiece(std::int64_t start, std::int64_t end) const {
      const Int128 slack = Int128(shop_.setup_.fees.size()) * (unit_ / 2 + 1) * kWhole + 16;
      std::vector<Int128> at_start;
      std::vector<Int128> at_end;
      Exact(start * unit_, at_start);
      Exact(end * unit_, at_end);
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
    std::int64_t shares_ = 0;
    std::map<std::int64_t, Class> classes_;
  };

  EconomicsSetup setup_;
};

}  // namespace tarewise

#endif  // TAREWISE_ECONOMICS_ECONOMICS_H_
