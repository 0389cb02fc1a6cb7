#ifndef TAREWISE_LIB_DOCUMENTS_DOCUMENTS_H_
#define TAREWISE_LIB_DOCUMENTS_DOCUMENTS_H_

#include "fields.h"
#include "price_reader.h"
#include "tarewise/documents/load.h"
#include "tarewise/ranking/request.h"
#include "tarewise/tariff/seller.h"
#include "tarewise/tariff/tariff.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::load {

// Each reads the root of a document whose syntax is sound. What is wrong goes to the findings of `fields` (and of
// `grids`); after an error, what is given must not be used.
Tariff ReadTariffDocument(Fields& fields, Value value, GridFiles& grids);
Terms ReadTermsDocument(Fields& fields, Value value);
SellerRules ReadSellerDocument(Fields& fields, Value value);
Request ReadRequestDocument(Fields& fields, Value value);

/// Reads a parcel object: a sealed one of a request, with ranges, or one of an example, without. `names` (of a tariff):
/// the packaging must be one of its own.
std::optional<Parcel> ReadParcel(Fields& fields, Value value, bool ranges, const Names* names);

}  // namespace tarewise::inline TW_VERSIONED::load

#endif  // TAREWISE_LIB_DOCUMENTS_DOCUMENTS_H_
