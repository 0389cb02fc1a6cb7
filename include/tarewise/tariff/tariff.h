#ifndef TAREWISE_TARIFF_TARIFF_H_
#define TAREWISE_TARIFF_TARIFF_H_

#include <cstdint>
#include <numeric>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "tarewise/parcel/item.h"
#include "tarewise/parcel/packaging.h"
#include "tarewise/tariff/calendar.h"
#include "tarewise/tariff/consignment.h"
#include "tarewise/tariff/price.h"
#include "tarewise/tariff/reason.h"
#include "tarewise/tariff/series.h"
#include "tarewise/tariff/test.h"
#include "tarewise/tariff/week.h"
#include "tarewise/units/date.h"
#include "tarewise/units/money.h"
#include "tarewise/units/rounding.h"
#include "tarewise/units/volume.h"
#include "tarewise/units/weight.h"
#include "tarewise/version.h"
#include "tarewise/zone/area_list.h"
#include "tarewise/zone/zone_chart.h"

namespace tarewise::inline TW_VERSIONED {

/// A volume for a weight, "166 in3/lb", or a weight for a volume, "280 kg/m3", which is the same ratio: exactly
/// `volume` nm3 for `weight` ng, in lowest terms, so that products with a parcel's volume stay small.
struct VolumePerWeight {
  Int128 volume = 1;
  std::int64_t weight = 1;
  std::string text;  ///< As written.

  static VolumePerWeight Make(Volume volume, Weight weight, std::string text) {
    const Int128 a = internal::GreatestCommonDivisor(volume.cubic_nanometres(), weight.nanograms());
    return {volume.cubic_nanometres() / a, static_cast<std::int64_t>(Int128(weight.nanograms()) / a), std::move(text)};
  }

  /// The weight for a volume (nm3, times `num` / `den`), brought to `rounding`'s step: exactly, then rounded. A
  /// dimensional weight without a step is raised to the nanogram, which no inclusive bound can tell from the exact one.
  std::int64_t WeightOf(Int128 nm3, std::int64_t num, std::int64_t den, StepRounding rounding) const {
    constexpr std::int64_t kCap = Weight::kMostNanograms * 8;
    // In lowest terms the products stay inside 128 bits for any parcel, where division is quick.
    if (num == den) {
      num = den = 1;
    } else {
      const std::int64_t common = std::gcd(num, den);
      num /= common;
      den /= common;
      if (nm3 % den == 0) {
        nm3 /= den;
        den = 1;
      }
    }
    const Int128 divisor = this->volume * den;
    if (rounding.mode == StepMode::kNearest && rounding.step % 2 != 0) {
      // floor(q / n + 1/2) = floor((floor(2 q) + n) / (2 n)) for an odd n.
      const Int128 twice = internal::MulDiv(nm3 * num, 2 * weight, divisor, Int128(kCap) * 2).floor;
      return static_cast<std::int64_t>((twice + rounding.step) / (Int128(rounding.step) * 2) * rounding.step);
    }
    const internal::MulDivResult quotient = internal::MulDiv(nm3 * num, weight, divisor, kCap);
    std::int64_t ng = static_cast<std::int64_t>(quotient.floor);
    // ceil(ceil(q) / n) = ceil(q / n) and floor(floor(q) / n) = floor(q / n) for whole n.
    if (!quotient.exact && (rounding.mode == StepMode::kUp || rounding.mode == StepMode::kExact)) ng += 1;
    return RoundToStep(ng, rounding);
  }
};

/// How a service measures a parcel and finds its billable weight.
struct MeasureRules {
  struct Dimensional {
    Test when;
    VolumePerWeight volume_per_weight;
    std::optional<Weight> at_most;
  };
  struct AtLeast {
    Test when;
    Weight weight;
  };

  StepRounding sides;
  std::int64_t irregular_factor = 1'000'000;  ///< Millionths; applied to the volume of tubes and irregular parcels.
  StepRounding weight;
  std::vector<Dimensional> dimensional;  ///< The first whose test holds.
  std::vector<AtLeast> at_least;         ///< The largest of those whose test holds.
};

struct RefuseRule {
  Test when;
  std::string reason;
  Reason code = Reason::kOverLimit;
};

/// Tax on the charges of a service.
struct Tax {
  std::string code;
  std::string title;
  Percent percent;          ///< Of prices without it.
  bool listed_with = true;  ///< It is in the prices of the list; else it comes on top of them.
  bool by_line = false;     ///< Reckoned and rounded line by line; else once, of all of them.
  Test when;
};

/// Cover that costs nothing, by the weight of the parcel.
struct CoverByWeight {
  Price price;                    ///< Steps or a table by the weight or the billable weight; it has one column, "*".
  std::optional<Amount> at_most;  ///< However heavy.
};

struct Service {
  std::string code;
  std::string title;
  std::uint32_t zone_list = 0;            ///< Index into `Tariff::zone_lists`.
  std::vector<std::optional<Days>> days;  ///< By zone; empty: not published.
  /// The list whose zones the days go by, an index into `Tariff::zone_lists`; nothing: `zone_list`.
  std::optional<std::uint32_t> days_by;
  bool own_calendar = false;         ///< `calendar` stands, be it none, in the place of the tariff's.
  std::optional<Calendar> calendar;  ///< See `CalendarOf`.
  Delivery delivers = Delivery::kDoor;
  /// Extras, `cover` perhaps among them, without which it is not given. ("requires" of a document.)
  std::vector<std::string> required;
  bool tracked = false;
  Mode mode = Mode::kAny;
  bool own_packaging = true;
  std::vector<std::string> issued;  ///< Codes of the carrier's packaging that this service takes.
  MeasureRules measure;
  std::vector<RefuseRule> refuse;
  bool pick_lowest = false;
  std::vector<PriceAlternative> prices;
  std::vector<std::uint32_t> surcharges;         ///< Indices into `Tariff::rules`, in the order of the lines.
  std::vector<std::uint32_t> extras;             ///< Likewise.
  Amount included_cover;                         ///< 0 where it goes by the weight.
  std::optional<CoverByWeight> cover_by_weight;  ///< In its place.
  std::optional<std::uint32_t> tax;  ///< Index into `Tariff::taxes`; nothing: none is in its prices, and none is added.

  std::uint32_t days_list() const { return days_by.value_or(zone_list); }
};

/// A price copied from the published list, to check the document against.
struct Example {
  std::string service;
  Parcel parcel;
  std::optional<ZoneId> zone;
  std::optional<Lane> lane;
  bool residential = false;
  std::optional<Date> date;
  std::vector<std::string> extras;
  std::optional<Amount> cover;
  std::optional<Amount> cash_on_delivery;  ///< To be collected.
  Week::Figures week;                      ///< With the carrier.
  Consignment consignment;                 ///< That the parcel is of.
  std::optional<Amount> total;             ///< With its tax.
  std::optional<Amount> net;               ///< Without it.
  std::optional<Reason> refused;
  std::optional<Weight> billable_weight;
  std::optional<TimeOfDay> time;
  std::optional<Arrival> arrives;
  std::string why;
  UnitSystem weight_units = UnitSystem::kImperial;  ///< Units to tell it in: those that its parcel is written in.
  UnitSystem side_units = UnitSystem::kImperial;
  std::string pointer;  ///< JSON pointer of the example in its document.
  std::int32_t line = 0;
};

/// One version of one carrier's tariff. Immutable once it is in a `Ratebook`.
struct Tariff {
  std::string carrier;
  std::string carrier_name;
  std::string title;
  std::string source;
  Currency currency;
  DateRange in_force;
  MoneyRounding rounding;
  std::vector<Tax> taxes;               ///< Of the document and of services.
  std::optional<std::uint32_t> tax;     ///< The document's own, which stands for services that say nothing of it.
  std::optional<Calendar> calendar;     ///< Of the services that have none of their own.
  std::vector<std::string> zone_names;  ///< `ZoneId` indexes it.
  std::vector<ZoneList> zone_lists;
  std::vector<AreaList> area_lists;  ///< Those that it names.
  std::vector<Packaging> packaging;
  std::vector<ChargeRule> rules;  ///< Shared and inline surcharges and extras.
  std::vector<Series> series;
  std::vector<ValueByDate> by_date;  ///< What prices name of them.
  std::vector<Service> services;
  std::vector<Example> examples;
  std::string file;  ///< Where it was read from, for messages; may be empty.
};

/// The calendar that a service of a tariff goes by; nothing: no dates are told.
inline const Calendar* CalendarOf(const Tariff& tariff, const Service& service) {
  const std::optional<Calendar>& calendar = service.own_calendar ? service.calendar : tariff.calendar;
  return calendar ? &*calendar : nullptr;
}

/// What this seller has agreed with a carrier.
struct Discount {
  bool all_services = false;
  std::vector<std::string> services;
  Test when;
  Percent percent;
  bool of_all = false;
  std::vector<std::string> of;
  std::optional<Amount> floor;
  std::optional<Amount> less;  ///< An amount off each line, in the place of the percentage.
  bool adds = false;           ///< It applies whatever other discount of the line does.
};

struct Terms {
  std::string carrier;
  DateRange in_force;
  std::vector<Discount> discounts;
  std::string file;
};

}  // namespace tarewise::inline TW_VERSIONED

#endif  // TAREWISE_TARIFF_TARIFF_H_
