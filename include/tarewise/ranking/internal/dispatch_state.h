#ifndef TAREWISE_RANKING_INTERNAL_DISPATCH_STATE_H_
#define TAREWISE_RANKING_INTERNAL_DISPATCH_STATE_H_

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <memory>
#include <optional>
#include <set>
#include <string>
#include <string_view>
#include <utility>
#include <variant>
#include <vector>

#include "absl/container/inlined_vector.h"
#include "absl/status/statusor.h"
#include "tarewise/pricing/internal/evaluate.h"
#include "tarewise/pricing/ratebook.h"
#include "tarewise/ranking/cautions.h"
#include "tarewise/ranking/dispatch.h"
#include "tarewise/ranking/handicap.h"
#include "tarewise/ranking/internal/arrival.h"
#include "tarewise/ranking/internal/request_checks.h"
#include "tarewise/ranking/internal/seller_state.h"
#include "tarewise/rules/by_date.h"
#include "tarewise/rules/included_cover.h"
#include "tarewise/units/internal/nearest_name.h"
#include "tarewise/units/internal/quantity_text.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// A carrier on the lane and the day.
struct CarrierState {
  const CompiledEdition* edition = nullptr;
  bool in_force = true;
  bool same_currency = true;
  std::optional<ExchangeRate> rate;               ///< One unit of the tariff's currency in the ranking's.
  std::int64_t cover = 0;                         ///< Asked for, in the tariff's currency.
  std::int64_t cash_on_delivery = 0;              ///< Likewise.
  WeekFacts week;                                 ///< With this carrier, in the tariff's currency.
  std::vector<std::optional<ZoneFinding>> zones;  ///< By list of zones.
  std::vector<DatedValue> dated;                  ///< By `Tariff::by_date`, on the day.
  bool overdue = false;                           ///< One of these is.
  bool currency_ok() const { return same_currency || rate.has_value(); }
};

/// A service there.
struct ServiceState {
  const CompiledService* compiled = nullptr;
  std::uint32_t carrier = 0;
  ZoneId zone = kNoZone;
  std::optional<Days> days;
  std::optional<Arrival> arrives;
  bool promise_met = true;
  bool elsewhere = false;  ///< It ends where the shipment does not accept it.
  bool out = false;        ///< Refused whatever the parcel.
  std::uint16_t side_profile = 0;
  bool strides = true;  ///< Between cuts that are no series, only prices by the step change, and the total only rises.
  std::int64_t included_cover = 0;  ///< In the ranking's currency; of one by the weight, at 1 ng.
  bool cover_steps = false;         ///< Of a cover that hangs on the goods more is included by steps.
  LaneRules rules;                  ///< Those that can apply here.
  /// Where extras that are asked for make some, or something hangs on the consignment.
  std::shared_ptr<const Cuts> asked_cuts;
  std::shared_ptr<const ConsignmentCuts> consignment;  ///< Nothing: see `of_consignment`.
  const Service& service() const { return *compiled->service; }
  /// True where something here is due once a consignment, or goes by how many pieces there are or what they weigh
  /// together. False: each parcel costs what it costs by itself, whatever goes with it.
  bool of_consignment() const { return consignment != nullptr; }
  /// Where the answer can change, the extras that nobody asked for left out.
  const Cuts& cuts() const {
    if (asked_cuts != nullptr) return *asked_cuts;
    return compiled->cuts_without_extras ? *compiled->cuts_without_extras : compiled->cuts;
  }
};

/// What a `Dispatch` holds.
class DispatchState {
 public:
  /// Errors: see `Dispatch::Create`.
  static absl::StatusOr<std::shared_ptr<const DispatchState>> Create(std::shared_ptr<const Ratebook> book,
                                                                     Shipment shipment) {
    if (book == nullptr) return Invalid("found no ratebook, expected one");
    auto state = std::make_shared<DispatchState>();
    state->book_ = std::move(book);
    state->shipment_ = std::make_shared<const Shipment>(std::move(shipment));
    state->net_ = state->shipment_->totals == Totals::kWithoutTax;
    if (absl::Status status = state->Prepare(); !status.ok()) return status;
    return std::shared_ptr<const DispatchState>(std::move(state));
  }

  const std::shared_ptr<const Ratebook>& book() const { return book_; }
  const Shipment& shipment() const { return *shipment_; }
  Currency currency() const { return currency_; }
  const std::vector<CarrierState>& carriers() const { return carriers_; }
  const std::vector<ServiceState>& services() const { return services_; }
  const std::vector<Dispatch::Carrier>& carrier_views() const { return carrier_views_; }
  const std::vector<Dispatch::Entry>& service_views() const { return service_views_; }
  const CarrierState& CarrierOf(const ServiceState& state) const { return carriers_[state.carrier]; }

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

  const SellerState& seller() const { return seller_; }

  /// Of an extra that no tariff has: the one that was likely meant. Empty: one has it, or none is near.
  std::string_view MeantExtra(std::string_view code) const {
    for (const auto& [asked, near] : meant_extras_) {
      if (asked == code) return near;
    }
    return {};
  }

  /// The facts of the shipment in a carrier's currency; `value` is in the ranking's. Value is 0 where the currencies
  /// differ and no rate is given. Where it hangs on the goods what is asked for, see `AskedGoods`.
  ShipmentFacts FactsFor(const CarrierState& carrier, Amount value) const {
    ShipmentFacts facts;
    facts.lane = &shipment_->lane;
    facts.date = shipment_->date;
    facts.extras = seller_.always().extras;
    facts.cover = carrier.cover;
    facts.week = carrier.week;
    facts.pieces = std::int64_t{shipment_->consignment.others} + 1;
    facts.others_weight = shipment_->consignment.others_weight.nanograms();
    facts.first = shipment_->consignment.first;
    facts.dated = carrier.dated.data();
    facts.cash_on_delivery = carrier.cash_on_delivery;
    if (carrier.same_currency || value.micros() == 0) {
      facts.value = value.micros();
    } else if (carrier.rate) {
      facts.value = DeclaredIn(*carrier.rate, value, carrier.edition->tariff->currency);
    }
    facts.too_much = TooMuch(facts);
    if (!seller_.any()) return facts;
    facts.seller_value = seller_.ValueOf(value);
    facts.seller_cash = seller_.ValueOf(shipment_->cash_on_delivery.value_or(Amount()));
    facts.asks = seller_.asks_by_goods();
    return facts;
  }

  /// A cover or cash (in the ranking's currency) in a carrier's; as given where no rate tells it.
  static std::int64_t AskedIn(const CarrierState& carrier, Amount amount) {
    if (carrier.same_currency || !carrier.rate) return amount.micros();
    return DeclaredIn(*carrier.rate, amount, carrier.edition->tariff->currency);
  }
  /// True where an amount is over 1,000 million in the tariff's currency.
  static bool TooMuch(const ShipmentFacts& facts) {
    return facts.value > kMostMicros || facts.cover > kMostMicros || facts.cash_on_delivery > kMostMicros;
  }

  /// What counts in the order beside the total of a service in a packaging, in the ranking's currency. `shipment` is of
  /// the goods; weight and sides are not looked at. `told` may be nothing: each handicap that holds is added to it.
  Amount HandicapOf(const ServiceState& state, const ParcelFacts& parcel, const ShipmentFacts& shipment, Amount value,
                    std::vector<OfferHandicap>* told = nullptr) const {
    Amount sum;
    if (state.rules.handicaps.empty()) return sum;
    const SideFacts sides;
    const PointFacts point{{*state.compiled->tariff, state.service().mode, state.zone, shipment}, parcel, sides};
    const SellerPoint here(point);
    for (const LaneRules::Rule& rule : state.rules.handicaps) {
      const SellerRules::Handicap& handicap = *state.compiled->own.handicaps[rule.index];
      if (!rule.settled && !Holds(handicap.when, here.at())) continue;
      const Amount amount = seller_.HandicapOf(handicap, value);
      sum = sum + amount;
      if (told != nullptr) told->push_back({handicap.code, handicap.title, amount});
    }
    return sum;
  }

  /// An amount of the tariff's currency in the ranking's, half up to its minor unit where they differ.
  std::optional<Amount> Converted(const CarrierState& carrier, Amount amount) const {
    if (carrier.same_currency) return amount;
    if (!carrier.rate) return std::nullopt;
    return carrier.rate->Into(amount, currency_);
  }

  /// The total of an offer in the ranking's currency: a tariff's, with the packaging that it issues, converted, and a
  /// packaging of the shelf. Nothing where it has no rate or is over 1,000 million.
  std::optional<Amount> WithPackaging(const CarrierState& carrier, Amount total, Amount issued_cost,
                                      Amount own_cost) const {
    const std::optional<Amount> converted = Converted(carrier, total + issued_cost);
    if (!converted || converted->micros() > kMostMicros || own_cost.micros() > kMostMicros) return std::nullopt;
    const Amount sum = *converted + own_cost;
    return sum.micros() > kMostMicros ? std::nullopt : std::optional<Amount>(sum);
  }

  static bool PackagingAllowed(const Service& service, const CarrierState& carrier, const ParcelFacts& parcel) {
    if (parcel.issued_by.empty()) return service.own_packaging;
    return parcel.issued_by == carrier.edition->tariff->carrier &&
           std::any_of(service.issued.begin(), service.issued.end(),
                       [&parcel](const std::string& code) { return code == parcel.packaging; });
  }

  /// Lithium cells alone, flammable liquids and aerosols never go by air, whatever a tariff says.
  static bool ForbiddenByAir(const Service& service, const Contents& contents) {
    return service.mode == Mode::kAir && NeverByAir(contents.bits());
  }

  /// Totals count without their tax.
  bool net() const { return net_; }

  /// The total that a service asks for a parcel in the tariff's currency, with its tax or without as the shipment says,
  /// or nothing where it does not take it. Linear
  /// in the rules that can apply on the lane; no allocation for a service of up to 32 surcharges in up to 8 groups, and
  /// up to 4 extras asked for, a cover among them.
  std::optional<Amount> Total(const ServiceState& state, const ParcelFacts& parcel, const ShipmentFacts& shipment,
                              const SideFacts& sides) const {
    if (state.out || !PackagingAllowed(state.service(), carriers_[state.carrier], parcel) ||
        ForbiddenByAir(state.service(), *parcel.contents)) {
      return std::nullopt;
    }
    const Evaluation evaluation(*state.compiled, state.rules, parcel, shipment, state.zone, sides);
    if (evaluation.Refused()) return std::nullopt;
    const std::optional<Priced> priced = evaluation.Total();
    return priced ? std::optional<Amount>(priced->Counted(net_)) : std::nullopt;
  }

 private:
  absl::Status Prepare() {
    if (absl::Status status = CheckAsked(); !status.ok()) return status;
    FindEditions();
    if (absl::Status status = FindCurrency(); !status.ok()) return status;
    if (!carriers_.empty()) {
      absl::Status status = seller_.Prepare(book_->seller(), *shipment_, currency_, *carriers_.front().edition->tariff);
      if (!status.ok()) return status;
    }
    for (std::size_t i = 0; i < carriers_.size(); ++i) {
      PrepareCarrier(carriers_[i]);
      PrepareServices(i);
    }
    FindUnknownExtras();
    if (absl::Status status = PreparePromise(); !status.ok()) return status;
    for (ServiceState& state : services_) state.out = state.out || state.elsewhere;
    MakeViews();
    return absl::OkStatus();
  }

  void FindUnknownExtras() {
    if (shipment_->extras.empty()) return;
    std::vector<std::string_view> names;
    for (const CarrierState& carrier : carriers_) {
      const Tariff& tariff = *carrier.edition->tariff;
      for (const Service& service : tariff.services) {
        for (const std::uint32_t extra : service.extras) names.push_back(tariff.rules[extra].code);
      }
    }
    for (const std::string& code : shipment_->extras) {
      if (std::find(names.begin(), names.end(), code) != names.end()) continue;
      if (const std::string_view near = NearestName(code, names); !near.empty()) meant_extras_.emplace_back(code, near);
    }
  }

  absl::Status CheckAsked() const { return CheckTerms(*shipment_); }

  // Carrier by carrier the edition in force, or the one that stands for it.
  void FindEditions() {
    for (const std::string_view code : book_->Carriers()) {
      CarrierState carrier;
      const Edition* edition = book_->InForce(code, shipment_->date);
      if (edition == nullptr) {
        edition = book_->OutOfForce(code, shipment_->date);
        carrier.in_force = false;
      }
      carrier.edition = &CompiledOf(*edition);
      carriers_.push_back(std::move(carrier));
    }
  }

  // The one asked for, or the only one there is.
  absl::Status FindCurrency() {
    if (shipment_->currency) {
      currency_ = *shipment_->currency;
      return absl::OkStatus();
    }
    std::set<std::string_view> currencies;
    if (shipment_->shelf_currency) currencies.insert(shipment_->shelf_currency->code());
    for (const CarrierState& carrier : carriers_) {
      if (carrier.in_force) currencies.insert(carrier.edition->tariff->currency.code());
    }
    if (currencies.size() > 1) {
      std::string message = "found none in the request and several among the tariffs in force and the shelf (";
      bool first = true;
      for (const std::string_view code : currencies) {
        message += (first ? "" : ", ") + std::string(code);
        first = false;
      }
      return InvalidAt("currency", message + "), expected the request to name one");
    }
    if (!currencies.empty()) {
      currency_ = *Currency::Parse(*currencies.begin());
    } else if (!carriers_.empty()) {
      currency_ = carriers_.front().edition->tariff->currency;
    }
    return absl::OkStatus();
  }

  // Its rate, what is asked for in its currency, and the zones of the lane.
  void PrepareCarrier(CarrierState& carrier) const {
    const Tariff& tariff = *carrier.edition->tariff;
    carrier.same_currency = tariff.currency == currency_;
    if (!carrier.same_currency) {
      const auto rate = shipment_->exchange.find(tariff.currency.code());
      if (rate != shipment_->exchange.end()) carrier.rate = rate->second;
    }
    if (seller_.always().cover) carrier.cover = AskedIn(carrier, *seller_.always().cover);
    if (shipment_->cash_on_delivery) carrier.cash_on_delivery = AskedIn(carrier, *shipment_->cash_on_delivery);
    const Week::Figures& week = shipment_->week.With(tariff.carrier);
    carrier.week = {week.parcels, AskedIn(carrier, week.spend)};
    carrier.dated = SettleOn(tariff, shipment_->date);
    carrier.overdue = std::any_of(carrier.dated.begin(), carrier.dated.end(),
                                  [](const DatedValue& value) { return value.overdue_since.has_value(); });
    for (const ZoneList& list : tariff.zone_lists) {
      carrier.zones.push_back(list.Find(shipment_->lane, book_->gazetteer()));
    }
  }

  void PrepareServices(std::size_t index) {
    const CarrierState& carrier = carriers_[index];
    const Tariff& tariff = *carrier.edition->tariff;
    const ShipmentFacts facts = FactsFor(carrier, Amount());
    for (const CompiledService& compiled : carrier.edition->services) {
      ServiceState state;
      state.compiled = &compiled;
      state.carrier = static_cast<std::uint32_t>(index);
      const Service& service = *compiled.service;
      if (const std::optional<ZoneFinding>& zone = carrier.zones[service.zone_list]) state.zone = zone->zone;
      state.days = DaysOf(carrier, service);
      if (const Calendar* calendar = CalendarOf(tariff, service); calendar != nullptr && state.days) {
        state.arrives = ArrivalOf(*calendar, shipment_->date, shipment_->time, *state.days);
      }
      state.elsewhere =
          std::find(shipment_->accepts.begin(), shipment_->accepts.end(), service.delivers) == shipment_->accepts.end();
      state.out = !carrier.in_force || !carrier.currency_ok() || state.zone == kNoZone;
      state.strides = !(net_ ? compiled.net_steps_may_fall : compiled.steps_may_fall);
      const LaneFacts lane{tariff, service.mode, state.zone, facts};
      state.rules = LaneRules::Of(compiled, lane);
      const bool not_wanted = std::any_of(state.rules.avoid.begin(), state.rules.avoid.end(),
                                          [](const LaneRules::Rule& rule) { return rule.settled; });
      const bool valueless = std::any_of(state.rules.valueless.begin(), state.rules.valueless.end(),
                                         [](const LaneRules::Rule& rule) { return rule.settled; });
      state.out = state.out || not_wanted || valueless;
      const std::optional<std::int64_t> cover = CoverKnown(carrier);
      state.asked_cuts = AskedCuts(compiled, cover, lane);
      state.consignment = ConsignmentOf(compiled, lane);
      state.cover_steps = service.cover_by_weight && !cover;
      const Amount included = Amount::Micros(IncludedCoverOfLightest(service, lane));
      state.included_cover = carrier.currency_ok() ? Converted(carrier, included).value_or(Amount()).micros() : 0;
      state.side_profile = SideProfileOf(service.measure);
      services_.push_back(std::move(state));
    }
  }

  // By the zone, or by that of another list; of a lane without a zone nothing is published.
  static std::optional<Days> DaysOf(const CarrierState& carrier, const Service& service) {
    if (!carrier.zones[service.zone_list]) return std::nullopt;
    const std::optional<ZoneFinding>& zone = carrier.zones[service.days_list()];
    if (!zone || zone->zone >= service.days.size()) return std::nullopt;
    return service.days[zone->zone];
  }

  // The cover asked for in a carrier's currency; nothing where it hangs on the goods.
  std::optional<std::int64_t> CoverKnown(const CarrierState& carrier) const {
    if (seller_.asks_by_goods() && seller_.MayAsk("cover")) return std::nullopt;
    return carrier.cover;
  }

  // Whether an extra may be asked for, of whatever goods.
  bool MayBeAsked(const ChargeRule& rule) const {
    return rule.code == kCashOnDelivery ? shipment_->cash_on_delivery.has_value() : seller_.MayAsk(rule.code);
  }

  // Nothing where no extra that makes cuts of its own is asked for, of whatever goods, and no cover that may be
  // included or not; nor does anything hang on the consignment. Where something does, few of its rules apply to any one
  // of them, and what does moves with the weight of the others.
  std::shared_ptr<const Cuts> AskedCuts(const CompiledService& compiled, std::optional<std::int64_t> cover,
                                        const LaneFacts& lane) const {
    auto asked = [this](const ChargeRule& rule) { return MayBeAsked(rule); };
    if (compiled.consignment.any()) return std::make_shared<const Cuts>(compiled.CutsWith(asked, cover, &lane));
    if (!compiled.cuts_without_extras) return nullptr;
    const bool any = (cover != 0 && compiled.service->cover_by_weight) ||
                     std::any_of(compiled.extras.begin(), compiled.extras.end(),
                                 [&asked](const CompiledService::Rule& rule) { return asked(*rule.rule); });
    return any ? std::make_shared<const Cuts>(compiled.CutsWith(asked, cover)) : nullptr;
  }

  // Of whatever consignment; nothing where none changes anything on this lane.
  std::shared_ptr<const ConsignmentCuts> ConsignmentOf(const CompiledService& compiled, const LaneFacts& lane) const {
    if (!compiled.consignment.any()) return nullptr;
    ShipmentFacts shipment = lane.shipment;
    shipment.pieces = 0;
    const LaneFacts any{lane.tariff, lane.mode, lane.zone, shipment};
    auto asked = [this](const ChargeRule& rule) { return MayBeAsked(rule); };
    ConsignmentCuts cuts = compiled.ConsignmentWith(asked, &any);
    return cuts.any() ? std::make_shared<const ConsignmentCuts>(std::move(cuts)) : nullptr;
  }

  std::uint16_t SideProfileOf(const MeasureRules& rules) {
    const std::pair<StepRounding, std::int64_t> profile{rules.sides, rules.irregular_factor};
    const auto at = std::find(side_profiles_.begin(), side_profiles_.end(), profile);
    const auto index = static_cast<std::uint16_t>(at - side_profiles_.begin());
    if (at == side_profiles_.end()) side_profiles_.push_back(profile);
    return index;
  }

  absl::Status PreparePromise() {
    if (const auto* within = std::get_if<WithinDays>(&shipment_->promise)) {
      for (ServiceState& state : services_) Judge(state, state.days && state.days->most <= within->days);
      return absl::OkStatus();
    }
    if (const auto* by = std::get_if<ByDate>(&shipment_->promise)) {
      for (ServiceState& state : services_) Judge(state, state.arrives && state.arrives->latest <= by->date);
      return absl::OkStatus();
    }
    const auto* paid = std::get_if<PaidFor>(&shipment_->promise);
    if (paid == nullptr) return absl::OkStatus();
    const ServiceState* found = nullptr;
    for (const ServiceState& state : services_) {
      const std::string& carrier = carriers_[state.carrier].edition->tariff->carrier;
      if (state.service().code != paid->service || (!paid->carrier.empty() && carrier != paid->carrier)) continue;
      if (found != nullptr) {
        return InvalidAt(
            "promise", "found service " + Quoted(paid->service) + " of several carriers, expected \"carrier/service\"");
      }
      found = &state;
    }
    if (found == nullptr) {
      return InvalidAt("promise", "found service " + Quoted(paid->ToString()) + ", expected one of a tariff in hand");
    }
    // With nothing in force the service paid for has no days to hold others to.
    const bool known = carriers_[found->carrier].in_force && found->days.has_value();
    const std::int32_t most = known ? found->days->most : 0;
    const bool tracked = found->service().tracked;
    const CompiledService* paid_service = found->compiled;
    for (ServiceState& state : services_) {
      if (state.compiled == paid_service) state.elsewhere = false;
      Judge(state, state.compiled == paid_service ||
                       (known && state.days && state.days->most <= most && (state.service().tracked || !tracked)));
    }
    return absl::OkStatus();
  }

  // What the front room shows.
  void MakeViews() {
    for (const CarrierState& carrier : carriers_) {
      carrier_views_.push_back({carrier.edition, carrier.in_force, carrier.same_currency, carrier.rate});
    }
    for (const ServiceState& state : services_) {
      service_views_.push_back({&state.service(), carriers_[state.carrier].edition, state.carrier, state.zone,
                                state.days, state.arrives, state.promise_met, state.elsewhere, state.out,
                                Amount::Micros(state.included_cover)});
    }
  }

  static void Judge(ServiceState& state, bool met) {
    state.promise_met = met;
    if (!met) state.out = true;
  }

  std::shared_ptr<const Ratebook> book_;
  std::shared_ptr<const Shipment> shipment_;
  bool net_ = false;
  Currency currency_;
  SellerState seller_;
  std::vector<CarrierState> carriers_;
  std::vector<ServiceState> services_;
  std::vector<std::pair<StepRounding, std::int64_t>> side_profiles_;
  std::vector<std::pair<std::string_view, std::string_view>> meant_extras_;  ///< Of the shipment, of a tariff.
  std::vector<Dispatch::Carrier> carrier_views_;
  std::vector<Dispatch::Entry> service_views_;
};

/// Goods on a dispatch: what is asked for them, which the seller's own rules may have hang on what they are. What is
/// given points into it.
class AskedGoods {
 public:
  /// Of `goods` contents and whether they are rigid are looked at; `value` is in the ranking's currency.
  AskedGoods(const DispatchState& dispatch, const ParcelFacts& goods, Amount value)
      : dispatch_(dispatch), value_(value) {
    if (!dispatch.seller().asks_by_goods() || dispatch.carriers().empty()) return;
    own_ = dispatch.seller().For(goods, dispatch.FactsFor(dispatch.carriers().front(), value), value);
  }
  AskedGoods(const AskedGoods&) = delete;
  AskedGoods& operator=(const AskedGoods&) = delete;

  const AskedFor& asked() const { return own_ ? *own_ : dispatch_.seller().always(); }

  /// As a carrier's tariff sees them.
  ShipmentFacts FactsFor(const CarrierState& carrier) const {
    ShipmentFacts facts = dispatch_.FactsFor(carrier, value_);
    if (!own_) return facts;
    facts.extras = own_->extras;
    facts.cover = own_->cover ? DispatchState::AskedIn(carrier, *own_->cover) : 0;
    facts.too_much = DispatchState::TooMuch(facts);
    facts.asks = false;
    return facts;
  }

 private:
  const DispatchState& dispatch_;
  Amount value_;
  std::optional<AskedFor> own_;  // Where they hang on the goods.
};

/// The machinery behind a dispatch.
inline const DispatchState& StateOf(const Dispatch& dispatch) { return dispatch.state(); }

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_RANKING_INTERNAL_DISPATCH_STATE_H_
