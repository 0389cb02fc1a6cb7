#ifndef TAREWISE_PRICING_FACTS_H_
#define TAREWISE_PRICING_FACTS_H_

#include <algorithm>
#include <array>
#include <cstdint>
#include <span>
#include <string>
#include <string_view>

#include "tarewise/parcel/contents.h"
#include "tarewise/parcel/dimensions.h"
#include "tarewise/parcel/kinds.h"
#include "tarewise/tariff/measure.h"
#include "tarewise/units/date.h"
#include "tarewise/units/money.h"
#include "tarewise/units/rounding.h"
#include "tarewise/zone/place.h"

namespace tarewise {

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

/// A sealed parcel as pricing sees it. Views only: whoever holds the parcel keeps the strings alive.
struct ParcelFacts {
  std::int64_t weight = 0;                 ///< Gross, ng.
  std::array<std::int64_t, 3> sides = {};  ///< Outside, nm, longest first.
  Shape shape = Shape::kBox;
  PackagingKind kind = PackagingKind::kCarton;
  std::string_view packaging;  ///< Code; empty: the seller's own, not named.
  std::string_view issued_by;  ///< Carrier; empty: the seller's own.
  bool rigid = false;
  const Contents* contents = nullptr;      ///< Of all items.
  std::span<const Contents* const> items;  ///< Of each.
  bool irregular() const { return shape == Shape::kTube || shape == Shape::kIrregular; }
};

/// What a price depends on beside the parcel, in the tariff's currency.
struct ShipmentFacts {
  const Lane* lane = nullptr;
  Date date;
  std::span<const std::string> extras;
  std::int64_t value = 0;  ///< Millionths.
  std::int64_t cover = 0;  ///< Asked for; 0: none.
  bool too_much = false;   ///< Value or cover are over 1,000 million in this currency: nothing has a price.
};

}  // namespace tarewise

#endif  // TAREWISE_PRICING_FACTS_H_
