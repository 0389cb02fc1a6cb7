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
#include "tarewise/ranking/rank.h"

namespace tarewise {

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
  Promise promise;  ///< None, `WithinDays`, or `PaidFor` the service that the buyer picks.
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
inline absl::StatusOr<std::vector<OptionOutcome>> SideBySide(const Economics& shop, const SideBySideSetup& setup,
                                                             const std::vector<ShippingOption>& options) {
  const Currency currency = shop.setup().currency;
  if (options.empty()) return internal::Invalid("options: found none, expected one or more");
  if (setup.lanes.empty()) return internal::Invalid("lanes: found none, expected one or more");
  if (!setup.shares.empty() && setup.shares.size() != setup.lanes.size()) {
    return internal::Invalid("shares: found " + std::to_string(setup.shares.size()) +
                             ", expected one for each of the " + std::to_string(setup.lanes.size()) + " lanes");
  }
  if (setup.request.currency && *setup.request.currency != currency) {
    return internal::Invalid("currency: found " + std::string(setup.request.currency->code()) +
                             " in the request, expected " + std::string(currency.code()) + ", that of the economics");
  }
  std::vector<OptionOutcome> outcomes;
  for (const ShippingOption& option : options) {
    auto bad = [&option](const absl::Status& status) {
      return absl::Status(status.code(), internal::Av("option " + internal::Quoted(option.name) + ": " +
                                                      std::string(status.message())));
    };
    if (option.charging.flat.micros() < 0 || option.charging.flat.micros() > kMostMicros ||
        option.charging.added.micros() < 0 || option.charging.added.micros() > kMostMicros ||
        option.charging.markup.ten_thousandths() > 10'000'000) {
      return bad(
          internal::Invalid("found a charge out of range, expected 0 to 1000 million and a markup of at most 1000 %"));
    }
    OptionOutcome outcome;
    outcome.name = option.name;
    if (const auto* within = std::get_if<WithinDays>(&option.promise)) {
      outcome.promise =
          "within " + std::to_string(within->days) + (within->days == 1 ? " business day" : " business days");
    } else if (const auto* paid = std::get_if<PaidFor>(&option.promise)) {
      outcome.promise = "no slower than " + (paid->carrier.empty() ? "" : paid->carrier + "/") + paid->service;
    } else {
      outcome.promise = "none";
    }
    std::vector<PlaceTotal> places;
    for (std::size_t lane = 0; lane < setup.lanes.size(); ++lane) {
      const std::int64_t share = setup.shares.empty() ? 1 : setup.shares[lane];
      Request request = setup.request;
      request.lane = setup.lanes[lane];
      request.promise = option.promise;
      request.currency = currency;
      RankOptions rank_options;
      rank_options.thresholds = false;
      const absl::StatusOr<Ranking> ranking = Rank(setup.book, setup.shelf, std::move(request), rank_options);
      if (!ranking.ok()) return bad(ranking.status());
      PlaceChoice choice;
      if (!ranking->offers().empty()) {
        const Offer& offer = ranking->offers().front();
        choice.offered = true;
        choice.carrier = offer.carrier;
        choice.service = offer.service;
        choice.packaging = offer.packaging;
        choice.days = offer.days;
        choice.total = offer.total;
        choice.charged = option.charging.Of(offer.total, currency);
        places.push_back({choice.total, choice.charged, share});
        auto use = std::find_if(outcome.services.begin(), outcome.services.end(), [&choice](const ServiceUse& one) {
          return one.carrier == choice.carrier && one.service == choice.service;
        });
        if (use == outcome.services.end()) {
          use = outcome.services.insert(use, {choice.carrier, choice.service, 0, 0, choice.total, choice.total});
        }
        ++use->places;
        use->share += share;
        use->lowest = std::min(use->lowest, choice.total);
        use->highest = std::max(use->highest, choice.total);
      } else if (share > 0) {
        ++outcome.unserved;
        outcome.unserved_share += share;
      }
      outcome.places.push_back(std::move(choice));
    }
    std::sort(outcome.services.begin(), outcome.services.end(), [](const ServiceUse& a, const ServiceUse& b) {
      if (a.share != b.share) return a.share > b.share;
      return std::pair(a.carrier, a.service) < std::pair(b.carrier, b.service);
    });
    if (outcome.unserved == 0 && !places.empty()) {
      absl::StatusOr<Profit> profit = shop.ProfitOf(setup.sale, places, setup.levels);
      if (!profit.ok()) return bad(profit.status());
      outcome.profit = *std::move(profit);
      const auto most = shop.MostToPay(setup.sale.price, places, setup.wanted, setup.which);
      if (!most.ok()) return bad(most.status());
      outcome.most_to_pay = *most;
      const auto least = shop.LeastPrice(setup.sale.cost, places, setup.wanted, setup.which);
      if (!least.ok()) return bad(least.status());
      outcome.least_price = *least;
    }
    outcomes.push_back(std::move(outcome));
  }
  return outcomes;
}

}  // namespace tarewise

#endif  // TAREWISE_ECONOMICS_SIDE_BY_SIDE_H_
