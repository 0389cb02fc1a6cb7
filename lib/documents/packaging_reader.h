#ifndef TAREWISE_LIB_DOCUMENTS_PACKAGING_READER_H_
#define TAREWISE_LIB_DOCUMENTS_PACKAGING_READER_H_

#include <optional>
#include <vector>

#include "csv.h"
#include "fields.h"
#include "tarewise/parcel/packaging.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::load {

/// Reads one packaging of a tariff or a shelf: code, title, kind, inside, outside or wall, thickness, tare, cost; a
/// shelf's may hold `on_hand` too. Nothing after an error.
std::optional<Packaging> ReadPackaging(Fields& fields, Value value, bool on_shelf);

/// Reads a shelf document. After an error, what is given must not be used.
Shelf ReadShelfDocument(Fields& fields, Value value);

/// Where the entries of a shelf stand.
struct ShelfPlaces {
  std::vector<std::size_t> own;
  std::vector<std::size_t> issued;
};
/// Reads a shelf's CSV. After an error, what is given must not be used.
Shelf ReadShelfCsv(const Csv& csv, Findings& findings, ShelfPlaces& places);

/// The column of each of `names` in the header of a CSV file, SIZE_MAX where there is none; reports unknown and doubled
/// ones, and those of `required` that are missing.
std::optional<std::vector<std::size_t>> ReadHeader(const Csv& csv, Findings& findings,
                                                   const std::vector<std::string_view>& names,
                                                   const std::vector<std::string_view>& required);

}  // namespace tarewise::inline TW_VERSIONED::load

#endif  // TAREWISE_LIB_DOCUMENTS_PACKAGING_READER_H_
