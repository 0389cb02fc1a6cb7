#ifndef TAREWISE_BATCH_SETUP_H_
#define TAREWISE_BATCH_SETUP_H_

#include <cstdint>
#include <memory>
#include <optional>
#include <string_view>
#include <vector>

#include "tarewise/parcel/packaging.h"
#include "tarewise/pricing/ratebook.h"
#include "tarewise/ranking/dispatch.h"
#include "tarewise/ranking/request.h"
#include "tarewise/units/length.h"
#include "tarewise/units/weight.h"
#include "tarewise/version.h"
#include "tarewise/zone/place.h"

namespace tarewise::inline TW_VERSIONED {

/// What all rows of a catalogue have in common.
struct RepriceSetup {
  std::shared_ptr<const Ratebook> book;
  std::shared_ptr<const Shelf> shelf;  ///< Nothing: goods are estimated before they are packed, as `Rank` does.
  Shipment shipment;                   ///< All but its lane, which is not looked at, and the shelf's currency, which is
                                       ///< taken from `shelf`. Its consignment is of one, as each row is.
  std::vector<Lane> lanes;             ///< One or more.
  std::vector<std::int64_t> shares;  ///< A destination mix: how often each lane is sent on, in any whole unit (parts of
                                     ///< a million, counts): 0 or more, their sum 1 to 10^12. Empty: no mix.
  std::optional<Length> padding;     ///< As in `Request`.
  Weight fill_weight;
  Allowance allowance;  ///< Estimates are priced at its most.
  /// Rows with an `order` may go in so many parcels, 1 to `kMostParcels`: each order is then priced as `FindPlans`
  /// does, which takes far longer than a row.
  std::int32_t most_parcels = 1;
};

struct ServiceName {
  std::string_view carrier;
  std::string_view service;
  std::string_view title;
};

struct PackagingName {
  std::string_view code;
  std::string_view issued_by;  ///< Empty: the seller's own.
  std::string_view title;
};

}  // namespace tarewise::inline TW_VERSIONED

#endif  // TAREWISE_BATCH_SETUP_H_
