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
#include "tarewise/internal/switch.h"
#include "tarewise/units/money.h"
#include "tarewise/units/percent.h"
#include "tarewise/units/rounding.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {
namespace internal {
class SaleSeller;
}  // namespace internal

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
  /// In how many parcels it goes there, 1 to 100, of which `total` is all: what the setup says of one parcel counts for
  /// each. Of a plan: its total, and how many parcels it has.
  std::int32_t parcels = 1;
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
  static absl::StatusOr<Economics> Create(EconomicsSetup setup);

  const EconomicsSetup& setup() const { return setup_; }

  /// What a sale leaves. A quantile of level q (millionths, 0 to 1,000,000) is the least profit that at least that
  /// part of the sales, kept and returned ones by their shares, do not pass: 50,000: one sale in twenty leaves no
  /// more. Of 0: the least of all that happen.
  ///
  /// Errors, here and below: InvalidArgument for a cost, a price, a total or a charge below 0 or over 1,000 million,
  /// for no places, for no parcels or more than 100, a share below 0, shares that add up to 0 or over 10^12, and levels
  /// out of range.
  absl::StatusOr<Profit> ProfitOf(const Sale& sale, std::span<const PlaceTotal> places,
                                  std::span<const std::int64_t> levels = {}) const;

  /// The account of one sale, line by line; the lines add up to its profit.
  absl::StatusOr<std::vector<SaleLine>> Account(const Sale& sale, const PlaceTotal& place, bool returned = false) const;

  /// True where a sale keeps what is wanted: in the worst case the profit itself, on average the exact mean, before
  /// it is rounded for show (a mean of 4.996 does not keep 5.00). A percentage is of the price.
  absl::StatusOr<bool> Keeps(const Sale& sale, std::span<const PlaceTotal> places, const Wanted& wanted,
                             Case which) const;

  /// The most one may pay for a good that sells at `price` and keep what is wanted, in whole minor units: at one unit
  /// more it is not kept. Nothing where it is not kept even of a gift; 1,000 million where the cost does not matter
  /// (all come back and recover it). A binary search on the exact account.
  absl::StatusOr<std::optional<Amount>> MostToPay(Amount price, std::span<const PlaceTotal> places,
                                                  const Wanted& wanted, Case which) const;

  /// The least listing price, in whole minor units up to `up_to`, that keeps what is wanted of a good that cost
  /// `cost`: no lower price does. Nothing where none up to there does.
  ///
  /// A higher price need not keep it: fees jump at the ends of tiers, and two fees may round up at once. So the price
  /// is searched piece by piece between the ends of tiers and caps, each from the lowest price that could keep it if
  /// all roundings fell the seller's way, minor unit by minor unit. A few hundred steps; up to some million where
  /// fees take nearly the whole of each unit more. `Keeps` tells whether a rounder price above keeps it too.
  absl::StatusOr<std::optional<Amount>> LeastPrice(Amount cost, std::span<const PlaceTotal> places,
                                                   const Wanted& wanted, Case which,
                                                   Amount up_to = Amount::Micros(1'000'000'000'000)) const;

 private:
  static constexpr std::int64_t kWhole = 1'000'000;
  static constexpr std::int64_t kMostShares = 1'000'000'000'000;

  explicit Economics(EconomicsSetup setup) : setup_(std::move(setup)) {}

  static absl::Status CheckAmount(std::string_view name, Amount amount);

  static absl::Status CheckWanted(const Wanted& wanted);

  static absl::Status Check(const Sale& sale, std::span<const PlaceTotal> places, bool shares = true);

  // The one account of a sale; everything else is made of it. `add(code, amount, depends on the price through a fee)`.
  template <typename F>
  void Lines(const Sale& sale, const PlaceTotal& place, bool returned, F add) const;

  std::int64_t Sum(const Sale& sale, const PlaceTotal& place, bool returned) const;

  static std::int64_t BaseOf(const Fee& fee, std::int64_t price, std::int64_t charged);

  // Questions about prices and costs: what hangs on neither is summed up once, places by what they are charged.
  class Model;
  // Places of one parcel each whose buyers are all charged alike, summed up.
  struct AlikePlaces {
    Int128 totals = 0;           // Each times its share, and so
    Int128 return_shipping = 0;  // what is paid of a total where goods come back.
    std::int64_t dearest = 0;
    std::int64_t share = 0;
  };
  friend class internal::SaleSeller;

  EconomicsSetup setup_;
};

}  // namespace tarewise::inline TW_VERSIONED

#ifdef TW_HEADER_ONLY
#include "tarewise/economics/internal/economics-inl.h"
#endif

#endif  // TAREWISE_ECONOMICS_ECONOMICS_H_
