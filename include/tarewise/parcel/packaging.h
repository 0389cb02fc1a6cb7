#ifndef TAREWISE_PARCEL_PACKAGING_H_
#define TAREWISE_PARCEL_PACKAGING_H_

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "tarewise/parcel/dimensions.h"
#include "tarewise/parcel/kinds.h"
#include "tarewise/units/money.h"
#include "tarewise/units/weight.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

/// One kind of packaging, the seller's own or a carrier's.
///
/// `inside` and `outside` by kind, in the order written: carton: three sides, the third upright; mailer and envelope:
/// flat width, usable length (the third inside is the envelope's greatest thickness, 0 for a mailer); tube: diameter,
/// length, 0; bare: zeros. `wall` is one thickness (0 where a document gives the outside); `outside` is always filled
/// (inside + 2 walls where a document gives the wall).
struct Packaging {
  std::string code;
  std::string title;
  PackagingKind kind = PackagingKind::kCarton;
  std::array<Length, 3> inside = {};
  std::array<Length, 3> outside = {};
  Length wall;
  Weight tare;
  Amount cost;            ///< Of one, in the shelf's (own) or the tariff's (issued) currency.
  std::string issued_by;  ///< The carrier's code; empty for the seller's own.
  /// Of a carton of the seller's own that may be cut down: the lowest that its outside may become, more than 0 and at
  /// most its third outside length. Its tare and cost stay.
  std::optional<Length> least_height;
};

/// The packaging at hand. Immutable once it is given to a ranking.
///
///     Packaging carton;
///     carton.code = "reused-14";
///     carton.inside = carton.outside = {Length::Inches(14), Length::Inches(9), Length::Inches(5)};
///     carton.tare = Weight::Ounces(7);
///     Shelf packing_table;
///     packing_table.own.push_back({carton, /*on_hand=*/3});
struct Shelf {
  struct Own {
    Packaging packaging;
    std::optional<std::int64_t> on_hand;  ///< Nothing: plenty. 0: out of stock.
  };
  /// A carrier's packaging at hand, by name: the tariffs hold its sides, tare and cost.
  struct Issued {
    std::string carrier;
    std::string code;
    std::optional<std::int64_t> on_hand;
  };

  std::optional<Currency> currency;  ///< Of the costs; nothing where every cost is 0.
  std::vector<Own> own;
  std::vector<Issued> issued;
};

}  // namespace tarewise::inline TW_VERSIONED

#endif  // TAREWISE_PARCEL_PACKAGING_H_
