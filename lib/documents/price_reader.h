#ifndef TAREWISE_LIB_DOCUMENTS_PRICE_READER_H_
#define TAREWISE_LIB_DOCUMENTS_PRICE_READER_H_

#include <map>
#include <memory>
#include <optional>
#include <string>
#include <string_view>

#include "csv.h"
#include "fields.h"
#include "findings.h"
#include "names.h"
#include "tarewise/documents/load.h"
#include "tarewise/tariff/price.h"

namespace tarewise::load {

/// The CSV files beside a tariff, each read once, with what was found wrong in them.
class GridFiles {
 public:
  /// `folder` stands before a grid's name in messages.
  GridFiles(const FileReader& beside, std::string folder) : beside_(beside), folder_(std::move(folder)) {}

  struct File {
    std::string text;
    Csv csv;
    std::unique_ptr<Findings> findings;
    bool good = false;
  };
  /// The file, or none where there is none.
  File* Get(std::string_view name);

  /// Findings of all files, by name.
  std::vector<Diagnostic> Take();

 private:
  const FileReader& beside_;
  std::string folder_;
  std::map<std::string, std::unique_ptr<File>, std::less<>> files_;
};

/// Where a price stands.
struct PriceScope {
  const Names* names = nullptr;
  const ZoneSet* zones = nullptr;  ///< The zones that can be named; none: all of the document.
  GridFiles* grids = nullptr;
  bool is_base = false;
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

}  // namespace tarewise::load

#endif  // TAREWISE_LIB_DOCUMENTS_PRICE_READER_H_
