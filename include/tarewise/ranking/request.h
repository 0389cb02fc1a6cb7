#ifndef TAREWISE_RANKING_REQUEST_H_
#define TAREWISE_RANKING_REQUEST_H_

#include <cstddef>
#include <cstdint>
#include <functional>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "tarewise/internal/switch.h"
#include "tarewise/parcel/item.h"
#include "tarewise/parcel/kinds.h"
#include "tarewise/tariff/consignment.h"
#include "tarewise/tariff/week.h"
#include "tarewise/units/date.h"
#include "tarewise/units/length.h"
#include "tarewise/units/money.h"
#include "tarewise/units/scale_step.h"
#include "tarewise/units/time_of_day.h"
#include "tarewise/units/weight.h"
#include "tarewise/version.h"
#include "tarewise/zone/place.h"

namespace tarewise::inline TW_VERSIONED {

/// The most units (items times quantity) of one request.
inline constexpr std::int64_t kMostUnits = 10'000;
/// The most business days of a promise.
inline constexpr std::int32_t kMostWithinDays = 10'000;
/// The most extras of a request.
inline constexpr std::size_t kMostExtras = 100;

/// The promise to the buyer: at most so many business days, 0 to `kMostWithinDays`.
struct WithinDays {
  std::int32_t days = 0;
};
/// The promise to the buyer: the service they chose and paid for, or one no slower (and tracked if it was).
struct PaidFor {
  std::string carrier;  ///< Empty: the one carrier that has the service.
  std::string service;

  /// Reads "carrier/service", or the code of a service. Errors: InvalidArgument saying what was found and expected.
  static absl::StatusOr<PaidFor> Parse(std::string_view text);
  /// What `Parse` reads.
  std::string ToString() const;
};
/// The promise to the buyer: there on this date at the latest, by the carrier's calendar.
struct ByDate {
  Date date;
};
using Promise = std::variant<std::monostate, WithinDays, PaidFor, ByDate>;

enum class Objective : std::uint8_t { kCheapest, kCautious };
inline constexpr std::string_view kObjectiveNames[] = {"cheapest", "cautious"};

/// Which total counts: with the tax on a service's charges, or without it, of a seller who gets the tax back.
enum class Totals : std::uint8_t { kWithTax, kWithoutTax };
inline constexpr std::string_view kTotalsNames[] = {"with_tax", "without_tax"};

/// What the parcels of a plan have in common; see FORMAT.md B9.
enum class AllBy : std::uint8_t { kAny, kCarrier, kService };
inline constexpr std::string_view kAllByNames[] = {"any", "carrier", "service"};

/// The most parcels of one order, and of sealed parcels asked about at once.
inline constexpr std::int32_t kMostParcels = 100;
/// The most plans that are told.
inline constexpr std::int32_t kMostPlans = 100;

/// How an order may be parted; see `FindPlans`. Goods are named by their places in `Request::goods`.
struct SeveralParcels {
  std::int32_t most = 1;  ///< At most so many parcels, 1 to `kMostParcels`.
  AllBy all_by = AllBy::kAny;
  /// All units of all goods of a list travel in one parcel. One place or more, each once, and none in two lists.
  std::vector<std::vector<std::size_t>> together = {};
  /// No parcel has goods of two places of a list. Two places or more, each once.
  std::vector<std::vector<std::size_t>> apart = {};
  std::int32_t plans = 3;  ///< How many are told at most, 1 to `kMostPlans`.
};

/// What a scale and a tape may be short by.
struct Tolerance {
  Weight weight;
  Length sides;
};

/// The finest that a scale and a tape can tell; savers are whole steps. Both more than 0.
struct Steps {
  ScaleStep<Weight> weight = ScaleStep<Weight>::Of(Weight::Ounces(1), 10);  ///< 0.1 oz.
  ScaleStep<Length> sides = ScaleStep<Length>::Of(Length::Inches(1), 8);    ///< 1/8 in.
};

/// The customary packing allowance for goods over a pound in an estimate (common practice: 8 to 12 oz).
struct Allowance {
  Weight least = Weight::Ounces(8);
  Weight most = Weight::Ounces(12);
};

/// What is asked: how to send these goods, or this sealed parcel, from here to there on this day.
///
///     Request order;
///     order.goods = {item};
///     order.lane = {*Place::Parse("US 05401"), *Place::Parse("US 98101", /*residential=*/true)};
///     order.date = *Date::Parse("2026-08-03");
///     order.currency = *Currency::Parse("USD");
///     order.promise = WithinDays{5};
struct Request {
  std::vector<Item> goods;       ///< Goods to pack; empty where `parcel` is given.
  std::optional<Parcel> parcel;  ///< A sealed parcel, in the place of goods.
  Lane lane;
  Date date;                      ///< Hand-over.
  std::optional<TimeOfDay> time;  ///< Of hand-over; nothing: before every cut-off.
  Promise promise;
  std::vector<Delivery> accepts = {Delivery::kDoor};  ///< Where it may end: one or more, each once.
  std::vector<std::string> extras;
  std::optional<Amount> cover;             ///< In `currency`.
  std::optional<Amount> cash_on_delivery;  ///< To be collected, in `currency`.
  Tolerance tolerance;
  Steps steps;
  Objective objective = Objective::kCheapest;
  std::optional<Currency> currency;
  std::map<std::string, ExchangeRate, std::less<>> exchange;  ///< By currency code: one unit of it in `currency`.
  std::optional<Length> padding;                              ///< Nothing: 1 in where goods are fragile, else 0.
  Weight fill_weight;
  Allowance allowance;
  UnitSystem weight_units = UnitSystem::kImperial;  ///< Units to answer in.
  UnitSystem side_units = UnitSystem::kImperial;
  Totals totals = Totals::kWithTax;
  Week week;                              ///< Nothing stated: 0, and nothing is earned.
  Consignment consignment;                ///< That the parcel is of; left as it is: of one.
  std::optional<SeveralParcels> parcels;  ///< Nothing: one parcel. `FindPlans` alone asks; `Rank` answers for one.
  std::vector<Parcel> sealed;             ///< Several sealed parcels, in the place of goods; for `FindPlans` alone.

  /// Whether everything in it is in range; `Rank` asks, and so does every reader of requests, so that all refuse the
  /// same. Errors: InvalidArgument that begins with the first place that is wrong, such as "goods/0/weight: ", and says
  /// what was expected there. What only tariffs can tell, such as a service that no carrier has, is not looked at.
  absl::Status Check() const;
};

}  // namespace tarewise::inline TW_VERSIONED

#ifdef TW_HEADER_ONLY
#include "tarewise/ranking/internal/request-inl.h"
#endif

#endif  // TAREWISE_RANKING_REQUEST_H_
