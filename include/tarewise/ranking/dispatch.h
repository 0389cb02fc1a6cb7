#ifndef TAREWISE_RANKING_DISPATCH_H_
#define TAREWISE_RANKING_DISPATCH_H_

#include <algorithm>
#include <cstdint>
#include <map>
#include <memory>
#include <optional>
#include <set>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "absl/container/inlined_vector.h"
#include "absl/status/statusor.h"
#include "tarewise/pricing/internal/evaluate.h"
#include "tarewise/pricing/ratebook.h"
#include "tarewise/ranking/cautions.h"
#include "tarewise/ranking/request.h"

namespace tarewise {

/// Everything of a request but its goods, made ready once for any number of parcels: the editions in force on the day,
/// the zone of the lane in each list of zones, days, currency, and which services are out whatever the parcel.
/// Immutable: any number of threads may price with one.
class Dispatch {
 public:
  /// What of a request a dispatch is made of.
  struct Terms {
    Lane lane;
    Date date;
    Promise promise;
    std::vector<std::string> extras;
    std::optional<Amount> cover;
    std::optional<Currency> currency;
    std::map<std::string, ExchangeRate, std::less<>> exchange;
    std::optional<Currency> shelf_currency;
  };

  struct Carrier {
    const Edition* edition = nullptr;
    bool in_force = true;
    bool same_currency = true;
    std::optional<ExchangeRate> rate;               ///< One unit of the tariff's currency in the ranking's.
    std::int64_t cover = 0;                         ///< Asked for, in the tariff's currency.
    bool cover_too_much = false;                    ///< It is over 1,000 million there.
    std::vector<std::optional<ZoneFinding>> zones;  ///< By list of zones.
    bool currency_ok() const { return same_currency || rate.has_value(); }
  };

  struct ServiceState {
    const CompiledService* compiled = nullptr;
    std::uint32_t carrier = 0;
    ZoneId zone = kNoZone;
    std::optional<Days> days;
    bool promise_met = true;
    bool out = false;  ///< Refused whatever the parcel.
    std::uint16_t side_profile = 0;
    std::int64_t included_cover = 0;         ///< In the ranking's currency.
    LaneRules rules;                         ///< Those that can apply here.
    std::shared_ptr<const Cuts> asked_cuts;  ///< Where extras that are asked for make some.
    const Service& service() const { return *compiled->service; }
    /// Where the answer can change, the extras that nobody asked for left out.
    const Cuts& cuts() const {
      if (asked_cuts != nullptr) return *asked_cuts;
      return compiled->cuts_without_extras ? *compiled->cuts_without_extras : compiled->cuts;
    }
  };

  /// Errors: InvalidArgument where no ratebook is given, an extra is asked for twice or `cover` among them, the promise
  /// names a service that no carrier has or that several have, or the ranking's currency is not given and cannot be
  /// told.
  static absl::StatusOr<Dispatch> Create(std::shared_ptr<const Ratebook> book, Terms terms) {
    if (book == nullptr) return internal::Invalid("found no ratebook, expected one");
    Dispatch dispatch;
    dispatch.book_ = std::move(book);
    dispatch.terms_ = std::make_shared<const Terms>(std::move(terms));
    if (absl::Status status = dispatch.Prepare(); !status.ok()) return status;
    return dispatch;
  }

  const std::shared_ptr<const Ratebook>& book() const { return book_; }
  const Terms& terms() const { return *terms_; }
  Currency currency() const { return currency_; }
  const std::vector<Carrier>& carriers() const { return carriers_; }
  const std::vector<ServiceState>& services() const { return services_; }
  const Carrier& CarrierOf(const ServiceState& state) const { return carriers_[state.carrier]; }

  /// The sides of a parcel after each distinct rounding that the services use, by `ServiceState::side_profile`.
  using SideProfiles = absl::InlinedVector<SideFacts, 8>;
  void MeasureSides(const ParcelFacts& parcel, SideProfiles& out) const {
    out.clear();
    for (const auto& [rounding, factor] : side_profiles_) {
      out.push_back(SideFacts::Of(parcel.sides, rounding, parcel.irregular() ? factor : kVolumeScale));
    }
  }
  SideFacts MeasureSides(const ParcelFacts& parcel, const ServiceState& state) const {
    const auto& [rounding, factor] = side_profiles_[state.side_profile];
    return SideFacts::Of(parcel.sides, rounding, parcel.irregular() ? factor : kVolumeScale);
  }

  /// The facts of the shipment in a carrier's currency; `value` is in the ranking's. Value is 0 where the currencies
  /// differ and no rate is given.
  ShipmentFacts Shipment(const Carrier& carrier, Amount value) const {
    ShipmentFacts facts;
    facts.lane = &terms_->lane;
    facts.date = terms_->date;
    facts.extras = terms_->extras;
    facts.cover = carrier.cover;
    if (carrier.same_currency || value.micros() == 0) {
      facts.value = value.micros();
    } else if (carrier.rate) {
      facts.value = Declared(*carrier.rate, value, carrier.edition->tariff->currency);
    }
    facts.too_much = carrier.cover_too_much || facts.value > kMostMicros;
    return facts;
  }

  /// An amount of the tariff's currency in the ranking's, half up to its minor unit where they differ.
  std::optional<Amount> Converted(const Carrier& carrier, Amount amount) const {
    if (carrier.same_currency) return amount;
    if (!carrier.rate) return std::nullopt;
    return carrier.rate->Into(amount, currency_);
  }

  /// The total of an offer in the ranking's currency: a tariff's, with the packaging that it issues, converted, and a
  /// packaging of the shelf. Nothing where it has no rate or is over 1,000 million.
  std::optional<Amount> WithPackaging(const Carrier& carrier, Amount total, Amount issued_cost, Amount own_cost) const {
    const std::optional<Amount> converted = Converted(carrier, total + issued_cost);
    if (!converted || converted->micros() > kMostMicros || own_cost.micros() > kMostMicros) return std::nullopt;
    const Amount sum = *converted + own_cost;
    return sum.micros() > kMostMicros ? std::nullopt : std::optional<Amount>(sum);
  }

  static bool PackagingAllowed(const Service& service, const Carrier& carrier, const ParcelFacts& parcel) {
    if (parcel.issued_by.empty()) return service.own_packaging;
    return parcel.issued_by == carrier.edition->tariff->carrier &&
           std::any_of(service.issued.begin(), service.issued.end(),
                       [&parcel](const std::string& code) { return code == parcel.packaging; });
  }

  /// Lithium cells alone, flammable liquids and aerosols never go by air, whatever a tariff says.
  static bool ForbiddenByAir(const Service& service, const Contents& contents) {
    return service.mode == Mode::kAir && NeverByAir(contents.bits());
  }

  /// The total that a service asks for a parcel in the tariff's currency, or nothing where it does not take it. About
  /// constant; no allocation unless a service has more than 24 surcharges.
  std::optional<Amount> Total(const ServiceState& state, const ParcelFacts& parcel, const ShipmentFacts& shipment,
                              const SideFacts& sides) const {
    if (state.out || !PackagingAllowed(state.service(), carriers_[state.carrier], parcel) ||
        ForbiddenByAir(state.service(), *parcel.contents)) {
      return std::nullopt;
    }
    const Evaluation evaluation(*state.compiled, state.rules, parcel, shipment, state.zone, sides);
    if (evaluation.Refused()) return std::nullopt;
    return evaluation.Total();
  }

 private:
  // A declared value or cover in a tariff's currency; what is over 1,000 million there by how much does not matter.
  static std::int64_t Declared(const ExchangeRate& rate, Amount amount, Currency currency) {
    const std::optional<Amount> back = rate.Back(amount, currency);
    return back ? std::min(back->micros(), kMostMicros + 1) : kMostMicros + 1;
  }

  absl::Status Prepare() {
    const Terms& terms = *terms_;
    if (terms.cover && (terms.cover->micros() < 0 || terms.cover->micros() > kMostMicros)) {
      return internal::Invalid("cover: found " + terms.cover->ToString() + ", expected 0 to 1000 million");
    }
    for (std::size_t i = 0; i < terms.extras.size(); ++i) {
      if (terms.extras[i] == "cover") {
        return internal::Invalid("extras: found \"cover\", expected the amount under the request's own \"cover\"");
      }
      for (std::size_t j = 0; j < i; ++j) {
        if (terms.extras[i] == terms.extras[j]) {
          return internal::Invalid("extras: found " + internal::Quoted(terms.extras[i]) + " twice, expected once");
        }
      }
    }
    std::set<std::string_view> currencies;
    if (terms.shelf_currency) currencies.insert(terms.shelf_currency->code());
    for (const std::string_view code : book_->Carriers()) {
      Carrier carrier;
      carrier.edition = book_->InForce(code, terms.date);
      if (carrier.edition == nullptr) {
        carrier.edition = book_->OutOfForce(code, terms.date);
        carrier.in_force = false;
      } else {
        currencies.insert(carrier.edition->tariff->currency.code());
      }
      carriers_.push_back(std::move(carrier));
    }
    if (terms.currency) {
      currency_ = *terms.currency;
    } else if (currencies.size() == 1) {
      currency_ = *Currency::Parse(*currencies.begin());
    } else if (currencies.empty()) {
      if (!carriers_.empty()) currency_ = carriers_.front().edition->tariff->currency;
    } else {
      std::string message =
          "currency: found none in the request and several among the tariffs in force and the shelf (";
      bool first = true;
      for (const std::string_view code : currencies) {
        message += (first ? "" : ", ") + std::string(code);
        first = false;
      }
      return internal::Invalid(message + "), expected the request to name one");
    }
    for (std::size_t i = 0; i < carriers_.size(); ++i) PrepareCarrier(i);
    return PreparePromise();
  }

  void PrepareCarrier(std::size_t index) {
    Carrier& carrier = carriers_[index];
    const Tariff& tariff = *carrier.edition->tariff;
    carrier.same_currency = tariff.currency == currency_;
    if (!carrier.same_currency) {
      const auto rate = terms_->exchange.find(tariff.currency.code());
      if (rate != terms_->exchange.end()) carrier.rate = rate->second;
    }
    if (terms_->cover) {
      carrier.cover = terms_->cover->micros();
      if (!carrier.same_currency && carrier.rate) {
        carrier.cover = Declared(*carrier.rate, *terms_->cover, tariff.currency);
        carrier.cover_too_much = carrier.cover > kMostMicros;
      }
    }
    const ShipmentFacts shipment = Shipment(carrier, Amount());
    for (const ZoneList& list : tariff.zone_lists) carrier.zones.push_back(list.Find(terms_->lane, book_->gazetteer()));
    for (const CompiledService& compiled : carrier.edition->services) {
      ServiceState state;
      state.compiled = &compiled;
      state.carrier = static_cast<std::uint32_t>(index);
      const Service& service = *compiled.service;
      if (const std::optional<ZoneFinding>& zone = carrier.zones[service.zone_list]) state.zone = zone->zone;
      if (state.zone < service.days.size()) state.days = service.days[state.zone];
      state.out = !carrier.in_force || !carrier.currency_ok() || state.zone == kNoZone;
      state.rules = LaneRules::Of(compiled, LaneFacts{tariff, service.mode, state.zone, shipment});
      auto asked = [this](const ChargeRule& rule) {
        return rule.code == "cover"
                   ? terms_->cover.has_value()
                   : std::find(terms_->extras.begin(), terms_->extras.end(), rule.code) != terms_->extras.end();
      };
      if (compiled.cuts_without_extras &&
          std::any_of(compiled.extras.begin(), compiled.extras.end(),
                      [&asked](const CompiledService::Rule& rule) { return asked(*rule.rule); })) {
        state.asked_cuts = std::make_shared<const Cuts>(compiled.CutsWith(asked));
      }
      state.included_cover =
          carrier.currency_ok() ? Converted(carrier, service.included_cover).value_or(Amount()).micros() : 0;
      const std::pair<StepRounding, std::int64_t> profile{service.measure.sides, service.measure.irregular_factor};
      const auto at = std::find(side_profiles_.begin(), side_profiles_.end(), profile);
      state.side_profile = static_cast<std::uint16_t>(at - side_profiles_.begin());
      if (at == side_profiles_.end()) side_profiles_.push_back(profile);
      services_.push_back(std::move(state));
    }
  }

  absl::Status PreparePromise() {
    if (const auto* within = std::get_if<WithinDays>(&terms_->promise)) {
      for (ServiceState& state : services_) Judge(state, state.days && state.days->most <= within->days);
      return absl::OkStatus();
    }
    const auto* paid = std::get_if<PaidFor>(&terms_->promise);
    if (paid == nullptr) return absl::OkStatus();
    const ServiceState* found = nullptr;
    for (const ServiceState& state : services_) {
      const std::string& carrier = carriers_[state.carrier].edition->tariff->carrier;
      if (state.service().code != paid->service || (!paid->carrier.empty() && carrier != paid->carrier)) continue;
      if (found != nullptr) {
        return internal::Invalid("promise: found service " + internal::Quoted(paid->service) +
                                 " of several carriers, expected \"carrier/service\"");
      }
      found = &state;
    }
    if (found == nullptr) {
      const std::string name = (paid->carrier.empty() ? "" : paid->carrier + "/") + paid->service;
      return internal::Invalid("promise: found service " + internal::Quoted(name) +
                               ", expected one of a tariff in hand");
    }
    // With nothing in force the service paid for has no days to hold others to.
    const bool known = carriers_[found->carrier].in_force && found->days.has_value();
    const std::int32_t most = known ? found->days->most : 0;
    const bool tracked = found->service().tracked;
    const CompiledService* paid_service = found->compiled;
    for (ServiceState& state : services_) {
      Judge(state, state.compiled == paid_service ||
                       (known && state.days && state.days->most <= most && (state.service().tracked || !tracked)));
    }
    return absl::OkStatus();
  }

  static void Judge(ServiceState& state, bool met) {
    state.promise_met = met;
    if (!met) state.out = true;
  }

  std::shared_ptr<const Ratebook> book_;
  std::shared_ptr<const Terms> terms_;
  Currency currency_;
  std::vector<Carrier> carriers_;
  std::vector<ServiceState> services_;
  std::vector<std::pair<StepRounding, std::int64_t>> side_profiles_;
};

}  // namespace tarewise

#endif  // TAREWISE_RANKING_DISPATCH_H_
