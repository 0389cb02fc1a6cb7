#ifndef TAREWISE_LIB_DOCUMENTS_PRICE_READER_H_
#define TAREWISE_LIB_DOCUMENTS_PRICE_READER_H_

#include <optional>
#include <string_view>

#include "fields.h"
#include "grid_files.h"
#include "names.h"
#include "series_reader.h"
#include "tarewise/tariff/price.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::load {

/// Where a price stands.
struct PriceScope {
  const Names* names = nullptr;
  const ZoneSet* zones = nullptr;  ///< The zones that can be named; none: all of the document.
  GridFiles* grids = nullptr;
  SeriesReader* series = nullptr;  ///< Nothing: values by date do not stand here.
  bool is_base = false;
  /// Of what is due once a consignment, or decides whether that is: nothing that its parcels may differ in.
  bool once = false;
  std::size_t* zone_cells = nullptr;  ///< How many prices and columns by zone the document has so far.
};

/// Takes room for as many values as the document has zones. Every price by zone and every table needs them: without a
/// limit a small document of many prices and many zones would fill the memory. False, and an error, where there is none
/// left.
bool TakeZoneCells(Fields& fields, Value at, const PriceScope& scope);

/// The keys of a price, for objects that hold one.
inline constexpr std::string_view kPriceKeys[] = {"amount", "by_zone", "table", "per", "percent"};

/// Reads the price that `object` holds under one of the keys above (and "of"). Nothing after an error.
std::optional<Price> ReadPrice(Fields& fields, const Object& object, const PriceScope& scope);

}  // namespace tarewise::inline TW_VERSIONED::load

#endif  // TAREWISE_LIB_DOCUMENTS_PRICE_READER_H_
