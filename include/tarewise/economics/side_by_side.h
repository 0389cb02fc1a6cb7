#ifndef TAREWISE_ECONOMICS_SIDE_BY_SIDE_H_
#define TAREWISE_ECONOMICS_SIDE_BY_SIDE_H_

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <utility>
#include <variant>
#include <vector>

#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "tarewise/economics/economics.h"
#include "tarewise/internal/switch.h"
#include "tarewise/ranking/rank.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

/// What the buyer is charged for shipping. `kFree`: nothing, it is in the price. `kFlat`: `flat` to every place.
/// `kCalculated`: by place, the seller's own total there with `markup` on it, half up to the minor unit, and `added`;
/// at least 0.
struct Charging {
  enum class Kind : std::uint8_t { kFree, kFlat, kCalculated };
  Kind kind = Kind::kFree;
  Amount flat;
  Percent markup;
  Amount added;

  Amount Of(Amount total, Currency currency) const {
    switch (kind) {
      case Kind::kFree:
        return Amount();
      case Kind::kFlat:
        return flat;
      case Kind::kCalculated:
        break;
    }
    const std::int64_t unit = currency.minor_unit();
    const Int128 exact = Int128(total.micros()) * (1'000'000 + markup.ten_thousandths());
    return Amount::Micros(static_cast<std::int64_t>(DivideRounded(exact, 1'000'000, unit, RoundMode::kHalfUp))) + added;
  }
};

/// One way to offer shipping on a listing: who pays how much, and what the buyer is promised.
struct ShippingOption {
  std::string name;
  Charging charging;
  Promise promise;  ///< None, `WithinDays`, `ByDate`, or `PaidFor` the service that the buyer picks.
};

/// The cheapest offer that keeps the promise to one place.
struct PlaceChoice {
  bool offered = false;  ///< False: no service keeps the promise there; the rest is then empty.
  std::string carrier;
  std::string service;
  std::string packaging;
  std::optional<Days> days;
  Amount total;
  Amount charged;
};

/// How much of the mix goes by one service.
struct ServiceUse {
  std::string carrier;
  std::string service;
  std::size_t places = 0;
  std::int64_t share = 0;
  Amount lowest;  ///< Of its totals.
  Amount highest;
};

/// What one way to offer shipping comes to.
struct OptionOutcome {
  std::string name;
  std::string promise;               ///< In words: "within 3 business days", "no slower than swift", "none".
  std::vector<PlaceChoice> places;   ///< By lane.
  std::vector<ServiceUse> services;  ///< The cheapest services that keep it, most of the mix first, then by code.
  std::size_t unserved = 0;          ///< Lanes with a share where nothing keeps the promise.
  std::int64_t unserved_share = 0;
  std::optional<Profit> profit;       ///< This and the rest: nothing where some are unserved.
  std::optional<Amount> most_to_pay;  ///< For the good, to keep what is wanted at the price.
  std::optional<Amount> least_price;  ///< To keep what is wanted at the cost; see `Economics::LeastPrice`.
};

/// What is compared.
struct SideBySideSetup {
  std::shared_ptr<const Ratebook> book;
  std::shared_ptr<const Shelf> shelf;  ///< Nothing: estimates, as in `Rank`.
  Request request;          ///< The goods or the parcel, date, extras, cover. Its lane and promise are not looked
                            ///< at; its currency, where it has one, must be that of the economics.
  std::vector<Lane> lanes;  ///< One or more.
  std::vector<std::int64_t> shares;  ///< How often each lane is sent on; empty: all alike.
  Sale sale;
  Wanted wanted;
  Case which = Case::kAverage;
  std::vector<std::int64_t> levels;  ///< Of the quantiles of the profit.
};

/// Free shipping, the buyer pays, a flat charge: each with the promise it makes, the cheapest service that keeps it
/// to each place, and what it leaves. The options are told in the order given. A ranking for each lane and option.
///
/// Errors: InvalidArgument as `Rank` and `Economics`, for no options, shares of another number than lanes, and
/// charges out of range, naming the option.
absl::StatusOr<std::vector<OptionOutcome>> SideBySide(const Economics& shop, const SideBySideSetup& setup,
                                                      const std::vector<ShippingOption>& options);

}  // namespace tarewise::inline TW_VERSIONED

#ifdef TW_HEADER_ONLY
#include "tarewise/economics/internal/side_by_side-inl.h"
#endif

#endif  // TAREWISE_ECONOMICS_SIDE_BY_SIDE_H_
