#include <cstdint>
#include <memory>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "handles.h"
#include "tarewise/units/placed_error.h"

namespace tarewise::capi {

Place PlaceOf(const char* country, const char* postal_code, std::int32_t residential, const char* field, bool area) {
  const std::string name(field);
  if (residential != 0 && residential != 1) {
    Fail(TW_E_INPUT, "found " + std::to_string(residential) + ", expected 0 or 1", name + "_residential");
  }
  const std::string country_field = name + "_country";
  const std::string code_field = name + "_postal_code";
  const std::string_view known = TextOf(country, country_field.c_str(), true);
  const std::string_view code = TextOf(postal_code, code_field.c_str());
  FailUnlessOk(Place::CheckCountry(known), country_field);
  return Take(area ? Place::MakeArea(known, code, residential == 1) : Place::Make(known, code, residential == 1),
              code_field);
}

Date DateOf(std::int32_t days, const char* field) {
  // What a structure begins with: a day that was forgotten, and not the first of 1970.
  if (days == 0) Fail(TW_E_INPUT, "found 0, expected a day, counted from 1970-01-01 (tw_parse_date reads one)", field);
  if (days < Date::kFirst.days() || days > Date::kLast.days()) {
    Fail(TW_E_INPUT, "found " + std::to_string(days) + " days since 1970, expected a date of years 1 to 9999", field);
  }
  return Date::Days(days);
}

void DescribePackaging(const Packaging& described, tw_packaging& out) {
  out.in_force = 1;
  out.kind = static_cast<std::int32_t>(described.kind);
  out.title = described.title.c_str();
  out.tare_ng = described.tare.nanograms();
  out.cost_micros = described.cost.micros();
  for (std::size_t i = 0; i < 3; ++i) {
    out.inside_nm[i] = described.inside[i].nanometres();
    out.outside_nm[i] = described.outside[i].nanometres();
  }
  out.wall_nm = described.wall.nanometres();
  if (described.least_height) out.least_height_nm = described.least_height->nanometres();
}

namespace {

constexpr std::size_t kMostCarrierWeeks = 1000;

void CheckCount(std::size_t count, std::size_t most, const void* array, const char* field) {
  if (count > most) {
    Fail(TW_E_COUNT, "found " + std::to_string(count) + ", expected at most " + std::to_string(most), field);
  }
  if (count != 0 && array == nullptr) Fail(TW_E_NULL, "found NULL, expected an array", field);
}

Amount MoneyOf(std::int64_t micros, const std::string& field) {
  if (micros < 0 || micros > kMostMicros) {
    Fail(TW_E_INPUT, "found " + Amount::Micros(micros).ToString() + ", expected 0 to 1000 million", field);
  }
  return Amount::Micros(micros);
}

Promise PromiseOf(const tw_shipment& shipment) {
  switch (shipment.promise) {
    case TW_PROMISE_NONE:
      return std::monostate();
    case TW_PROMISE_WITHIN:
      if (shipment.within_days < 0 || shipment.within_days > kMostWithinDays) {
        Fail(TW_E_INPUT, "found " + std::to_string(shipment.within_days) + ", expected 0 to 10000 business days",
             "/within_days");
      }
      return WithinDays{shipment.within_days};
    case TW_PROMISE_BY:
      return ByDate{DateOf(shipment.by_date, "/by_date")};
    case TW_PROMISE_PAID_FOR:
      return Take(PaidFor::Parse(TextOf(shipment.paid_for, "/paid_for", true)), "/paid_for");
    default:
      Fail(TW_E_INPUT, "found " + std::to_string(shipment.promise) + ", expected a TW_PROMISE_", "/promise");
  }
}

// What a promise goes by, where another is made or none.
void WarnOfIdle(const tw_shipment& shipment, tw_error* error) {
  const auto warn = [&](const std::string& found, const char* needs, const char* field) {
    Warn(error, "found " + found + " without " + needs + ", which it is for: nothing is promised by it", field);
  };
  if (shipment.within_days != 0 && shipment.promise != TW_PROMISE_WITHIN) {
    warn(std::to_string(shipment.within_days), "TW_PROMISE_WITHIN", "/within_days");
  }
  if (shipment.by_date != 0 && shipment.promise != TW_PROMISE_BY) {
    warn(std::to_string(shipment.by_date), "TW_PROMISE_BY", "/by_date");
  }
  if (shipment.paid_for != nullptr && *shipment.paid_for != '\0' && shipment.promise != TW_PROMISE_PAID_FOR) {
    warn("\"" + std::string(TextOf(shipment.paid_for, "/paid_for")) + "\"", "TW_PROMISE_PAID_FOR", "/paid_for");
  }
}

std::vector<Delivery> AcceptsOf(std::uint32_t bits) {
  if (bits > (TW_DELIVERS_DOOR | TW_DELIVERS_POINT | TW_DELIVERS_LOCKER)) {
    Fail(TW_E_INPUT, "found " + std::to_string(bits) + ", expected TW_DELIVERS_ added together", "/accepts");
  }
  std::vector<Delivery> out;
  for (const Delivery one : {Delivery::kDoor, Delivery::kPoint, Delivery::kLocker}) {
    if ((bits >> static_cast<unsigned>(one)) & 1u) out.push_back(one);
  }
  if (out.empty()) out.push_back(Delivery::kDoor);
  return out;
}

Week::Figures FiguresOf(std::int64_t parcels, std::int64_t spend_micros, const std::string& of,
                        const std::string& spend) {
  if (parcels < 0 || parcels > kMostWeekParcels) {
    Fail(TW_E_INPUT, "found " + std::to_string(parcels) + ", expected 0 to 1000 million parcels", of);
  }
  return {parcels, MoneyOf(spend_micros, spend)};
}

Week WeekOf(const tw_shipment& shipment) {
  Week week;
  week.each = FiguresOf(shipment.week_parcels, shipment.week_spend_micros, "/week_parcels", "/week_spend_micros");
  CheckCount(shipment.carrier_week_count, kMostCarrierWeeks, shipment.carrier_weeks, "/carrier_weeks");
  if (shipment.carrier_week_count != 0)
    CheckSize<tw_carrier_week>(shipment.carrier_weeks->struct_size, "carrier_weeks/0");
  for (std::size_t i = 0; i < shipment.carrier_week_count; ++i) {
    const tw_carrier_week own = ReadElement(shipment.carrier_weeks, i, "carrier_weeks");
    CheckReserved(own.reserved, "/carrier_weeks/" + std::to_string(i) + "/reserved");
    const std::string field = "/carrier_weeks/" + std::to_string(i);
    const std::string carrier_field = field + "/carrier";
    std::string carrier(TextOf(own.carrier, carrier_field.c_str(), true));
    const Week::Figures figures = FiguresOf(own.parcels, own.spend_micros, field + "/parcels", field + "/spend_micros");
    if (!week.carriers.emplace(carrier, figures).second) {
      Fail(TW_E_INPUT, "found " + carrier + " twice, expected once", carrier_field);
    }
  }
  return week;
}

Consignment ConsignmentOf(const tw_shipment& shipment) {
  if (shipment.others < 0 || shipment.others > kMostOthers) {
    Fail(TW_E_INPUT, "found " + std::to_string(shipment.others) + ", expected 0 to 999 other parcels", "/others");
  }
  const Weight weight = Weight::Nanograms(shipment.others_weight_ng);
  const bool none = shipment.others == 0;
  if (none ? weight != Weight() : weight.nanograms() < 1 || weight.nanograms() > Weight::kMostNanograms) {
    Fail(TW_E_INPUT,
         "found " + weight.In("kg") +
             (none ? " without others, expected none" : ", expected a weight of more than 0 and at most 100000 kg"),
         "/others_weight_ng");
  }
  if (shipment.not_first < 0 || shipment.not_first > (none ? 0 : 1)) {
    Fail(TW_E_INPUT,
         "found " + std::to_string(shipment.not_first) +
             (none ? ", expected 0: without others it is the first" : ", expected 0 or 1"),
         "/not_first");
  }
  return {shipment.others, weight, shipment.not_first == 0};
}

}  // namespace

Shipment TermsOf(const tw_shipment& shipment, const Shelf* shelf, tw_error* error) {
  Shipment terms;
  WarnOfIdle(shipment, error);
  terms.date = DateOf(shipment.date, "/date");
  terms.promise = PromiseOf(shipment);
  CheckCount(shipment.extra_count, kMostExtras, shipment.extras, "/extras");
  for (std::size_t i = 0; i < shipment.extra_count; ++i) {
    terms.extras.emplace_back(TextOf(shipment.extras[i], "/extras", true));
  }
  if (const Amount cover = MoneyOf(shipment.cover_micros, "/cover_micros"); cover > Amount()) terms.cover = cover;
  if (const Amount money = MoneyOf(shipment.cash_on_delivery_micros, "/cash_on_delivery_micros"); money > Amount()) {
    terms.cash_on_delivery = money;
  }
  if (shipment.totals < TW_TOTALS_WITH_TAX || shipment.totals > TW_TOTALS_WITHOUT_TAX) {
    Fail(TW_E_INPUT, "found " + std::to_string(shipment.totals) + ", expected a TW_TOTALS_", "/totals");
  }
  terms.totals = static_cast<Totals>(shipment.totals);
  terms.accepts = AcceptsOf(shipment.accepts);
  if (shipment.time_minutes < 0 || shipment.time_minutes >= 24 * 60) {
    Fail(TW_E_INPUT, "found " + std::to_string(shipment.time_minutes) + ", expected 0 to 1439 minutes past midnight",
         "/time_minutes");
  }
  // Midnight is before every cut-off, as a time that is not told.
  if (shipment.time_minutes > 0) terms.time = TimeOfDay::Minutes(shipment.time_minutes);
  terms.week = WeekOf(shipment);
  terms.consignment = ConsignmentOf(shipment);
  if (shipment.currency != nullptr) {
    terms.currency = Take(Currency::Parse(TextOf(shipment.currency, "/currency")), "/currency");
  }
  CheckCount(shipment.exchange_count, 200, shipment.exchange_currencies, "/exchange_currencies");
  CheckCount(shipment.exchange_count, 200, shipment.exchange_micros, "/exchange_micros");
  for (std::size_t i = 0; i < shipment.exchange_count; ++i) {
    const Currency currency = Take(
        Currency::Parse(TextOf(shipment.exchange_currencies[i], "/exchange_currencies", true)), "/exchange_currencies");
    const std::int64_t micros = shipment.exchange_micros[i];
    if (micros < 1) Fail(TW_E_INPUT, "found a rate of 0 or less, expected more", "/exchange_micros");
    const ExchangeRate rate = Take(ExchangeRate::Parse(Amount::Micros(micros).ToString(0)), "/exchange_micros");
    if (!terms.exchange.emplace(currency.code(), rate).second) {
      Fail(TW_E_INPUT, "found " + std::string(currency.code()) + " twice, expected once", "/exchange_currencies");
    }
  }
  if (shelf != nullptr) terms.shelf_currency = shelf->currency;
  return terms;
}

void FailUnlessShippable(const absl::Status& status) {
  const PlacedError error = PlacedErrorOf(status);
  if (error.place && error.place->starts_with("promise")) {
    FailUnlessOk(absl::Status(status.code(), error.message), "/paid_for");
  }
  FailUnlessOk(status);
}

tw_dispatch* MakeDispatch(std::shared_ptr<const Dispatch> dispatch, std::shared_ptr<const Shelf> shelf) {
  auto out = std::make_unique<tw_dispatch>();
  out->currency = dispatch->currency().code();
  for (const Dispatch::Carrier& carrier : dispatch->carriers()) {
    out->tariff_currencies.emplace_back(carrier.edition->tariff->currency.code());
  }
  if (shelf != nullptr) {
    for (const Shelf::Own& own : shelf->own) {
      out->packaging.push_back({&own.packaging, own.packaging.code, "", own.on_hand.value_or(-1)});
    }
    for (const Shelf::Issued& issued : shelf->issued) {
      const Packaging* packaging = nullptr;
      for (const Dispatch::Carrier& carrier : dispatch->carriers()) {
        if (carrier.edition->tariff->carrier != issued.carrier) continue;
        packaging = Ratebook::FindPackaging(*carrier.edition->tariff, issued.code);
      }
      out->packaging.push_back({packaging, issued.code, issued.carrier, issued.on_hand.value_or(-1)});
    }
  }
  out->dispatch = std::move(dispatch);
  out->shelf = std::move(shelf);
  return out.release();
}

tw_service ServiceOf(const Dispatch& dispatch, std::size_t index) {
  const Dispatch::Entry& state = dispatch.services()[index];
  const Tariff& tariff = *state.edition->tariff;
  tw_service service{};
  service.mode = static_cast<std::int32_t>(state.service->mode);
  service.tracked = state.service->tracked ? 1 : 0;
  service.days_least = state.days ? state.days->least : -1;
  service.days_most = state.days ? state.days->most : -1;
  service.offered = state.out ? 0 : 1;
  service.carrier = tariff.carrier.c_str();
  service.service = state.service->code.c_str();
  service.title = state.service->title.c_str();
  WriteArrival(state.service->delivers, state.arrives, service);
  service.zone = state.zone == kNoZone ? "" : tariff.zone_names[state.zone].c_str();
  return service;
}

}  // namespace tarewise::capi

using namespace tarewise::capi;  // NOLINT(google-build-using-namespace): definitions of the C interface only.

tw_status tw_dispatch_create(tw_dispatch** out, const tw_ratebook* book, const tw_shelf* shelf,
                             const tw_shipment* shipment, tw_error* error) {
  return Guard(error, [&] {
    CheckPointer(out, "out");
    CheckHandle(book, "tw_ratebook");
    if (shelf != nullptr) CheckHandle(shelf, "tw_shelf");
    const tw_shipment asked = ReadStruct(shipment, "shipment");
    tarewise::Shipment terms = TermsOf(asked, shelf == nullptr ? nullptr : shelf->shelf.get(), error);
    terms.lane.from = PlaceOf(asked.from_country, asked.from_postal_code, asked.from_residential, "/from");
    terms.lane.to = PlaceOf(asked.to_country, asked.to_postal_code, asked.to_residential, "/to");
    absl::StatusOr<tarewise::Dispatch> made = tarewise::Dispatch::Create(book->book, std::move(terms));
    FailUnlessShippable(made.status());
    *out = MakeDispatch(std::make_shared<const tarewise::Dispatch>(*std::move(made)),
                        shelf == nullptr ? nullptr : shelf->shelf);
  });
}

tw_dispatch* tw_dispatch_retain(tw_dispatch* dispatch) { return Retain(dispatch); }
void tw_dispatch_release(tw_dispatch* dispatch) { Release(dispatch); }

const char* tw_dispatch_currency(const tw_dispatch* dispatch) {
  return dispatch == nullptr || dispatch->tag != tw_dispatch::kTag ? "" : dispatch->currency.c_str();
}
int32_t tw_dispatch_currency_decimals(const tw_dispatch* dispatch) {
  return dispatch == nullptr || dispatch->tag != tw_dispatch::kTag ? 0 : dispatch->dispatch->currency().decimals();
}

const char* tw_delivers_name(uint32_t delivers) {
  for (std::size_t i = 0; i < std::size(tarewise::kDeliveryNames); ++i) {
    if (delivers == 1u << i) return tarewise::kDeliveryNames[i].data();
  }
  return "";
}

size_t tw_dispatch_service_count(const tw_dispatch* dispatch) {
  return dispatch == nullptr || dispatch->tag != tw_dispatch::kTag ? 0 : dispatch->dispatch->services().size();
}
tw_status tw_dispatch_service(tw_service* out, const tw_dispatch* dispatch, size_t index, tw_error* error) {
  return Guard(error, [&] {
    CheckOut(out, "out");
    CheckHandle(dispatch, "tw_dispatch");
    CheckIndex(index, dispatch->dispatch->services().size(), "index");
    WriteStruct(out, ServiceOf(*dispatch->dispatch, index));
  });
}

size_t tw_dispatch_packaging_count(const tw_dispatch* dispatch) {
  return dispatch == nullptr || dispatch->tag != tw_dispatch::kTag ? 0 : dispatch->packaging.size();
}
tw_status tw_dispatch_packaging(tw_packaging* out, const tw_dispatch* dispatch, size_t index, tw_error* error) {
  return Guard(error, [&] {
    CheckOut(out, "out");
    CheckHandle(dispatch, "tw_dispatch");
    CheckIndex(index, dispatch->packaging.size(), "index");
    const tw_dispatch::Packaging& from = dispatch->packaging[index];
    tw_packaging packaging{};
    packaging.code = from.code.c_str();
    packaging.title = "";
    packaging.issued_by = from.issued_by.c_str();
    packaging.on_hand = from.on_hand;
    if (from.packaging != nullptr) DescribePackaging(*from.packaging, packaging);
    WriteStruct(out, packaging);
  });
}
