#ifndef TAREWISE_LIB_DOCUMENTS_TAX_READER_H_
#define TAREWISE_LIB_DOCUMENTS_TAX_READER_H_

#include <optional>

#include "fields.h"
#include "json_tree.h"
#include "names.h"
#include "tarewise/tariff/tariff.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::load {

/// Reads the tax of a document, or of a service with these zones. Nothing where it is no object.
std::optional<Tax> ReadTax(Fields& fields, Value value, const Names& names, const ZoneSet* zones);

}  // namespace tarewise::inline TW_VERSIONED::load

#endif  // TAREWISE_LIB_DOCUMENTS_TAX_READER_H_
