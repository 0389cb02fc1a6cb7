#ifndef TAREWISE_LIB_DOCUMENTS_ZONE_FILE_H_
#define TAREWISE_LIB_DOCUMENTS_ZONE_FILE_H_

#include <cstddef>
#include <functional>
#include <optional>
#include <string>
#include <string_view>

#include "codes.h"
#include "fields.h"
#include "grid_files.h"
#include "tarewise/version.h"
#include "tarewise/zone/area.h"
#include "tarewise/zone/zone_chart.h"

namespace tarewise::inline TW_VERSIONED::load {

/// The id of a zone by its name, which `fail` is told of where it is none.
using NameZone = std::function<ZoneId(std::string_view, const std::function<void(Code, std::string)>& fail)>;

/// Reads the zones of a chart from the file that it names ("csv", "codes", "column", "country"). `country` is that of
/// the codes where the chart says none; empty: each code has its own. Nothing after an error.
std::optional<AreaMap<ZoneId>> ReadZoneFile(Fields& fields, GridFiles& files, const Object& chart,
                                            const std::string& country, const NameZone& name_zone);

}  // namespace tarewise::inline TW_VERSIONED::load

#endif  // TAREWISE_LIB_DOCUMENTS_ZONE_FILE_H_
