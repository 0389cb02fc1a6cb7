#ifndef TAREWISE_LIB_DOCUMENTS_REDUCTION_READER_H_
#define TAREWISE_LIB_DOCUMENTS_REDUCTION_READER_H_

#include <optional>

#include "fields.h"
#include "price_reader.h"
#include "tarewise/tariff/price.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::load {

/// Reads what a surcharge or an extra takes off: the amount, or the price in an object, under its "less". Nothing after
/// an error, also where a price or a group stands beside it.
std::optional<Price> ReadReduction(Fields& fields, const Object& rule, const PriceScope& scope);

}  // namespace tarewise::inline TW_VERSIONED::load

#endif  // TAREWISE_LIB_DOCUMENTS_REDUCTION_READER_H_
