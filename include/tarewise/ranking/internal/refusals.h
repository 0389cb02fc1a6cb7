#ifndef TAREWISE_RANKING_INTERNAL_REFUSALS_H_
#define TAREWISE_RANKING_INTERNAL_REFUSALS_H_

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <variant>

#include "tarewise/ranking/internal/pricer.h"
#include "tarewise/ranking/ranking.h"
#include "tarewise/rules/measure.h"
#include "tarewise/rules/price.h"
#include "tarewise/rules/test.h"
#include "tarewise/rules/words.h"
#include "tarewise/units/internal/quantity_text.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// Says why a way to send is not offered, reason after reason; see `RefusalOf`.
class RefusalWriter {
 public:
  RefusalWriter(const Pricer& pricer, const WayToSend& way, const ParcelFacts& facts, const SideFacts& sides)
      : pricer_(pricer),
        state_(way.service),
        candidate_(way.candidate),
        carrier_(pricer.CarrierOf(way)),
        tariff_(*carrier_.edition->tariff),
        terms_(pricer.dispatch().shipment()),
        facts_(facts),
        evaluation_(pricer.Evaluate(way, facts, sides)),
        no_zone_(state_.zone == kNoZone),
        allowed_(pricer.PackagingAllowed(way)),
        by_air_(Pricer::ForbiddenByAir(way)),
        too_much_(pricer.ShipmentOf(way).too_much),
        // Value, cover, cash and a week's spend cannot be told in a currency without a rate, unless there are none.
        money_known_(!too_much_ &&
                     (carrier_.currency_ok() || (pricer.value().micros() == 0 && pricer.cover().micros() == 0 &&
                                                 terms_.cash_on_delivery.value_or(Amount()).micros() == 0 &&
                                                 terms_.week.With(tariff_.carrier).spend.micros() == 0))) {}

  Refusal Write() && {
    refusal_.carrier = tariff_.carrier;
    refusal_.service = state_.service().code;
    refusal_.packaging = facts_.packaging;
    if (!carrier_.in_force) {
      Add(Reason::kNotInForce, "no tariff of " + tariff_.carrier + " is in force on " + terms_.date.ToString());
      return std::move(refusal_);
    }
    AddWhatNeedsNoParcel();
    const bool refused = AddRules() || by_air_;
    AddPrices(refused);
    return std::move(refusal_);
  }

 private:
  void Add(Reason reason, std::string text, const RefuseRule* rule = nullptr) {
    refusal_.reasons.push_back({reason, rule, std::move(text)});
  }

  void AddWhatNeedsNoParcel() {
    const std::string currency(pricer_.dispatch().currency().code());
    if (!carrier_.currency_ok()) {
      Add(Reason::kCurrencyDiffers, "the tariff is in " + std::string(tariff_.currency.code()) + ", the ranking in " +
                                        currency + ", and no rate of exchange is given");
    } else if (!candidate_.cost_known) {
      Add(Reason::kCurrencyDiffers, "the packaging's cost is in " + std::string(candidate_.cost_currency.code()) +
                                        ", the ranking in " + currency + ", and no rate of exchange is given");
    }
    if (no_zone_) {
      Add(Reason::kNoZone, "no zone from " + PlaceText(terms_.lane.from) + " to " + PlaceText(terms_.lane.to));
    }
    if (!allowed_) Add(Reason::kPackagingNotAllowed, PackagingWhy());
    if (state_.elsewhere) Add(Reason::kDeliveredElsewhere, ElsewhereWhy());
    AddNotWanted();
    if (!state_.promise_met && !no_zone_) Add(Reason::kPromiseNotMet, PromiseWhy());
    if (by_air_) Add(Reason::kContentsNotAccepted, "goes by air, which these contents never may");
  }

  // The seller's own rules.
  void AddNotWanted() {
    if (state_.rules.avoid.empty()) return;
    const SellerPoint here(evaluation_.facts());
    for (const LaneRules::Rule& at : state_.rules.avoid) {
      const RefuseRule& rule = *state_.compiled->own.avoid[at.index];
      if (!Holds(rule.when, here.at())) continue;
      const std::string measured = Why(rule.when, here.at(), true);
      Add(Reason::kNotWanted, measured.empty() ? rule.reason : rule.reason + ": " + measured, &rule);
    }
  }

  // The service's own refuse rules, as far as they can be told; true where one holds.
  bool AddRules() {
    const ServiceState& state = state_;
    const Evaluation& evaluation = evaluation_;
    bool refused = false;
    for (const Reason code : {Reason::kContentsNotAccepted, Reason::kOverLimit}) {
      for (const LaneRules::Rule& at : state.rules.refuse) {
        const RefuseRule& rule = state.service().refuse[at.index];
        if (rule.code != code || (state.zone == kNoZone && Mentions(rule.when, Subject::kZone)) ||
            (!money_known_ && (Mentions(rule.when, Subject::kMoney) || Mentions(rule.when, Subject::kWeek))) ||
            !evaluation.Holds(rule.when)) {
          continue;
        }
        const std::string measured = Why(rule.when, evaluation.facts(), true);
        Add(code, measured.empty() ? rule.reason : rule.reason + ": " + measured, &rule);
        refused = true;
      }
    }
    return refused;
  }

  void AddPrices(bool refused) {
    const Evaluation& evaluation = evaluation_;
    if (too_much_ && !no_zone_ && !refused) {
      const bool cash = evaluation.facts().lane.shipment.cash_on_delivery > kMostMicros;
      Add(Reason::kNoPrice, "the " + std::string(cash ? "cash on delivery" : "declared value or the cover") +
                                " is more than 1000 million in " + std::string(tariff_.currency.code()) +
                                ", which no price covers");
    }
    if (no_zone_ || !money_known_) return;
    std::string_view too_dear;
    if (!refused && evaluation.NoPrice()) {
      const std::optional<std::uint32_t> by_date = evaluation.BaseWithoutValue();
      Add(Reason::kNoPrice,
          by_date ? "the price " + ValuelessWhy(*by_date)
                  : "no price covers " +
                        BillableWords(evaluation.billable(), evaluation.from(), WeightUnit(state_.service())) +
                        " in zone " + tariff_.zone_names[state_.zone]);
    } else if (const CompiledService::Rule* rule = refused ? nullptr : evaluation.WithoutValue()) {
      Add(Reason::kNoPrice, "the charge " + Quoted(rule->rule->code) + " " + ValuelessWhy(*rule->by_date));
    } else if (!refused && evaluation.TooDear(&too_dear)) {
      Add(Reason::kNoPrice,
          (too_dear.empty() ? "the charges come" : "the charge \"" + std::string(too_dear) + "\" comes") +
              " to more than 1000 million");
    }
    std::string_view missing;
    if (evaluation.ExtraMissing(&missing)) {
      const std::string_view meant = pricer_.dispatch().MeantExtra(missing);
      Add(Reason::kExtraNotOffered, Quoted(missing) + " is not offered for this parcel" +
                                        (meant.empty() ? "" : " (did you mean " + Quoted(meant) + "?)"));
    }
    evaluation.ExtrasDisagree([this](std::string_view who, std::string_view what, std::string_view code) {
      Add(Reason::kExtrasDisagree, (who.empty() ? "this service" : Quoted(who)) + " " + std::string(what) + " " +
                                       Quoted(code) + (what == "requires" ? ", which is not asked for" : ""));
    });
    // With nothing said it is the packaging, or the exchange, that takes the total past the bound.
    if (refusal_.reasons.empty()) {
      Add(Reason::kNoPrice,
          "the total comes to more than 1000 million in " + std::string(pricer_.dispatch().currency().code()));
    }
  }

  // "has no value on 2026-08-10 (series "fuel", column "road")"
  std::string ValuelessWhy(std::uint32_t by_date) const {
    const ValueByDate& by = tariff_.by_date[by_date];
    const Series& series = tariff_.series[by.series];
    return "has no value on " + terms_.date.ToString() + " (series " + Quoted(series.code) + ", column " +
           Quoted(series.columns[by.column]) + ")";
  }

  // The unit that a service's grids are written in.
  static std::string_view WeightUnit(const Service& service) {
    for (const PriceAlternative& alternative : service.prices) {
      if (const std::optional<std::string_view> unit = GridUnit(alternative.price)) return *unit;
    }
    return {};
  }

  static std::string PlaceText(const Place& place) {
    return place.country() + (place.postal_code().empty() ? "" : " " + place.postal_code());
  }

  std::string PackagingWhy() const {
    if (facts_.issued_by.empty()) return "this service takes only the carrier's own packaging";
    return "packaging issued by " + std::string(facts_.issued_by) + " is only for the services that list it";
  }

  std::string ElsewhereWhy() const {
    constexpr std::string_view kEnds[] = {"at the door", "at a point where it is called for", "in a locker"};
    return "ends " + std::string(kEnds[static_cast<int>(state_.service().delivers)]) +
           ", accepted: " + JoinWords(NamesOf(terms_.accepts), ", ");
  }

  std::string ByDateWhy(const ByDate& by) const {
    const std::string promise = ", the promise is " + by.date.ToString();
    if (state_.arrives) return "arrives on " + state_.arrives->latest.ToString() + " at the latest" + promise;
    if (!state_.days) return "publishes no days for this zone" + promise;
    return (CalendarOf(tariff_, state_.service()) == nullptr ? "tells no calendar to reckon a date by"
                                                             : "no date can be reckoned") +
           promise;
  }

  std::string PromiseWhy() const {
    if (const auto* by = std::get_if<ByDate>(&terms_.promise)) return ByDateWhy(*by);
    const std::string days = state_.days ? "takes up to " + std::to_string(state_.days->most) + " business days"
                                         : std::string("publishes no days for this zone");
    if (const auto* within = std::get_if<WithinDays>(&terms_.promise)) {
      return days + ", the promise is " + std::to_string(within->days);
    }
    const auto& paid = std::get<PaidFor>(terms_.promise);
    return days + (state_.service().tracked ? "" : ", untracked") + "; the buyer paid for " + paid.service;
  }

  const Pricer& pricer_;
  const ServiceState& state_;
  const WorkingCandidate& candidate_;
  const CarrierState& carrier_;
  const Tariff& tariff_;
  const Shipment& terms_;
  const ParcelFacts& facts_;
  const Evaluation evaluation_;
  const bool no_zone_;
  const bool allowed_;
  const bool by_air_;
  const bool too_much_;
  const bool money_known_;
  Refusal refusal_;
};

/// Why a way to send is not offered, at the weight and sides of `facts`: every reason that can be told.
inline Refusal RefusalOf(const Pricer& pricer, const WayToSend& way, const ParcelFacts& facts, const SideFacts& sides) {
  return RefusalWriter(pricer, way, facts, sides).Write();
}

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_RANKING_INTERNAL_REFUSALS_H_
