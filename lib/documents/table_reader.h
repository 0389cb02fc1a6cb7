#ifndef TAREWISE_LIB_DOCUMENTS_TABLE_READER_H_
#define TAREWISE_LIB_DOCUMENTS_TABLE_READER_H_

#include <optional>

#include "fields.h"
#include "price_reader.h"
#include "tarewise/tariff/price.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::load {

/// Reads what stands under "table": a grid of amounts, of rates, or of classes with several bounds a row. Nothing after
/// an error.
std::optional<Price> ReadTable(Fields& fields, Value value, const PriceScope& scope);

}  // namespace tarewise::inline TW_VERSIONED::load

#endif  // TAREWISE_LIB_DOCUMENTS_TABLE_READER_H_
