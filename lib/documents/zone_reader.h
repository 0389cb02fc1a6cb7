#ifndef TAREWISE_LIB_DOCUMENTS_ZONE_READER_H_
#define TAREWISE_LIB_DOCUMENTS_ZONE_READER_H_

#include <vector>

#include "fields.h"
#include "grid_files.h"
#include "names.h"
#include "tarewise/version.h"
#include "tarewise/zone/zone_chart.h"

namespace tarewise::inline TW_VERSIONED::load {

/// Reads the "zones" of a tariff: lists of charts by name, with the files that they name. Fills the zones, zone lists
/// and zone sets of `names`. After an error, what is given must not be used.
std::vector<ZoneList> ReadZoneLists(Fields& fields, Value value, Names& names, GridFiles& files);

}  // namespace tarewise::inline TW_VERSIONED::load

#endif  // TAREWISE_LIB_DOCUMENTS_ZONE_READER_H_
