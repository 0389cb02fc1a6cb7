#ifndef TAREWISE_LIB_DOCUMENTS_PERCENTAGES_H_
#define TAREWISE_LIB_DOCUMENTS_PERCENTAGES_H_

#include <vector>

#include "fields.h"
#include "json_tree.h"
#include "tarewise/tariff/tariff.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::load {

/// Looks at what percentages name, once every service is read: a charge that stands above the percentage in no service
/// that uses it is an error; one that stands below it in some is a warning. `rule_values`: by rule of the tariff, where
/// it stands in the document. Does nothing after an error.
void CheckPercentages(Fields& fields, const Tariff& tariff, const std::vector<Value>& rule_values);

}  // namespace tarewise::inline TW_VERSIONED::load

#endif  // TAREWISE_LIB_DOCUMENTS_PERCENTAGES_H_
