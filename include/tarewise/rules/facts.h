#ifndef TAREWISE_RULES_FACTS_H_
#define TAREWISE_RULES_FACTS_H_

#include <algorithm>
#include <array>
#include <cstdint>
#include <span>
#include <string>
#include <string_view>

#include "tarewise/parcel/kinds.h"
#include "tarewise/parcel/parcel_facts.h"
#include "tarewise/tariff/measure.h"
#include "tarewise/tariff/series.h"
#include "tarewise/tariff/tariff.h"
#include "tarewise/units/date.h"
#include "tarewise/units/money.h"
#include "tarewise/units/rounding.h"
#include "tarewise/version.h"
#include "tarewise/zone/place.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// The sides of a parcel after one rounding, in nm, longest first, and their volume in nm3 with the factor that a
/// service applies to it.
struct SideFacts {
  std::int64_t length = 0;
  std::int64_t width = 0;
  std::int64_t height = 0;
  Int128 nm3 = 0;
  std::int64_t factor = kVolumeScale;  ///< Millionths.

  static SideFacts Of(const std::array<std::int64_t, 3>& sides, StepRounding rounding, std::int64_t factor) {
    SideFacts facts;
    facts.length = RoundToStep(sides[0], rounding);
    facts.width = RoundToStep(sides[1], rounding);
    facts.height = RoundToStep(sides[2], rounding);
    facts.nm3 = Int128(facts.length) * facts.width * facts.height;
    facts.factor = factor;
    return facts;
  }
  /// Millionths of nm3.
  Int128 volume() const { return nm3 * factor; }
};

/// The extra that collects money, as `cover` is the one that covers.
inline constexpr std::string_view kCashOnDelivery = "cash-on-delivery";

/// What the seller says to send with one carrier, and to spend there, in a week.
struct WeekFacts {
  std::int64_t parcels = 0;
  std::int64_t spend = 0;  ///< Millionths of the tariff's currency.
};

/// What a price depends on beside the parcel, in the tariff's currency.
struct ShipmentFacts {
  const Lane* lane = nullptr;
  Date date;
  std::span<const std::string> extras;
  std::int64_t value = 0;             ///< Millionths.
  std::int64_t cover = 0;             ///< Asked for; 0: none.
  std::int64_t cash_on_delivery = 0;  ///< To be collected; 0: nothing.
  bool too_much = false;              ///< One of these is over 1,000 million in this currency: nothing has a price.
  std::int64_t seller_value = 0;      ///< The value in the currency of the seller's own rules.
  std::int64_t seller_cash = 0;       ///< What is to be collected, likewise.
  WeekFacts week;
  std::int64_t pieces = 1;         ///< Of the consignment. 0: not known yet, before any parcel is.
  std::int64_t others_weight = 0;  ///< Of the others of it, ng.
  bool first = true;               ///< What is due once a consignment is due here.
  /// By `Tariff::by_date`, settled on the day; nothing: whoever needs one looks it up.
  const DatedValue* dated = nullptr;
  bool asks = false;  ///< For some goods these rules ask for more extras, and for more cover.

  /// True where an extra is asked for, `cover` and the one that collects money by their amounts.
  bool AsksFor(std::string_view extra) const {
    if (extra == "cover") return cover > 0;
    if (extra == kCashOnDelivery) return cash_on_delivery > 0;
    return std::find(extras.begin(), extras.end(), extra) != extras.end();
  }

  /// As the tests of the seller's own rules see it: in their currency.
  ShipmentFacts ForSeller() const {
    ShipmentFacts out = *this;
    out.value = seller_value;
    out.cash_on_delivery = seller_cash;
    return out;
  }
};

/// What a service on a lane, a day and the extras asked for say, before any parcel is known.
struct LaneFacts {
  const Tariff& tariff;
  Mode mode;
  ZoneId zone;
  const ShipmentFacts& shipment;
};

/// A sealed parcel under a service on a lane: all that a test or a price can look at.
struct PointFacts {
  LaneFacts lane;
  const ParcelFacts& parcel;
  const SideFacts& sides;     ///< After the service's rounding.
  std::int64_t billable = 0;  ///< Billable weight, ng.
};

/// The same point as the seller's own rules see it. What `at` views must outlive it.
class SellerPoint {
 public:
  explicit SellerPoint(const PointFacts& at)
      : shipment_(at.lane.shipment.ForSeller()),
        at_{{at.lane.tariff, at.lane.mode, at.lane.zone, shipment_}, at.parcel, at.sides, at.billable} {}
  SellerPoint(const SellerPoint&) = delete;
  SellerPoint& operator=(const SellerPoint&) = delete;

  const PointFacts& at() const { return at_; }

 private:
  const ShipmentFacts shipment_;
  const PointFacts at_;
};

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_RULES_FACTS_H_
