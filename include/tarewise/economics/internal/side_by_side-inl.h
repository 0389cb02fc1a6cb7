#ifndef TAREWISE_ECONOMICS_INTERNAL_SIDE_BY_SIDE_INL_H_
#define TAREWISE_ECONOMICS_INTERNAL_SIDE_BY_SIDE_INL_H_

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <string>
#include <utility>
#include <variant>
#include <vector>

#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "tarewise/economics/internal/economics-inl.h"
#include "tarewise/economics/side_by_side.h"
#include "tarewise/units/internal/quantity_text.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

TW_INLINE absl::StatusOr<std::vector<OptionOutcome>> SideBySide(const Economics& shop, const SideBySideSetup& setup,
                                                                const std::vector<ShippingOption>& options) {
  const Currency currency = shop.setup().currency;
  if (options.empty()) return internal::InvalidAt("options", "found none, expected one or more");
  if (setup.lanes.empty()) return internal::InvalidAt("lanes", "found none, expected one or more");
  if (!setup.shares.empty() && setup.shares.size() != setup.lanes.size()) {
    return internal::InvalidAt("shares", "found " + std::to_string(setup.shares.size()) +
                                             ", expected one for each of the " + std::to_string(setup.lanes.size()) +
                                             " lanes");
  }
  if (setup.request.currency && *setup.request.currency != currency) {
    return internal::InvalidAt("currency", "found " + std::string(setup.request.currency->code()) +
                                               " in the request, expected " + std::string(currency.code()) +
                                               ", that of the economics");
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
    } else if (const auto* by = std::get_if<ByDate>(&option.promise)) {
      outcome.promise = "by " + by->date.ToString();
    } else if (const auto* paid = std::get_if<PaidFor>(&option.promise)) {
      outcome.promise = "no slower than " + paid->ToString();
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

}  // namespace tarewise::inline TW_VERSIONED

#endif  // TAREWISE_ECONOMICS_INTERNAL_SIDE_BY_SIDE_INL_H_
