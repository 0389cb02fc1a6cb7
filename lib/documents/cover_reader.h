#ifndef TAREWISE_LIB_DOCUMENTS_COVER_READER_H_
#define TAREWISE_LIB_DOCUMENTS_COVER_READER_H_

#include <optional>

#include "fields.h"
#include "price_reader.h"
#include "tarewise/tariff/tariff.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::load {

/// Reads what a service includes of cover: an amount, or steps or a table by the weight.
void ReadIncludedCover(Fields& fields, Value value, const PriceScope& scope, Service& service);

/// Reads "amounts" of a request or an example: the money to be collected.
std::optional<Amount> ReadCashOnDelivery(Fields& fields, Value value);

}  // namespace tarewise::inline TW_VERSIONED::load

#endif  // TAREWISE_LIB_DOCUMENTS_COVER_READER_H_
