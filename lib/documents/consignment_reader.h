#ifndef TAREWISE_LIB_DOCUMENTS_CONSIGNMENT_READER_H_
#define TAREWISE_LIB_DOCUMENTS_CONSIGNMENT_READER_H_

#include "fields.h"
#include "json_tree.h"
#include "tarewise/tariff/consignment.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::load {

/// Reads the consignment of a request or of an example: one that is in range, or after an error one that must not be
/// used.
Consignment ReadConsignment(Fields& fields, Value value);

}  // namespace tarewise::inline TW_VERSIONED::load

#endif  // TAREWISE_LIB_DOCUMENTS_CONSIGNMENT_READER_H_
