#ifndef TAREWISE_LIB_DOCUMENTS_OVERLAPS_H_
#define TAREWISE_LIB_DOCUMENTS_OVERLAPS_H_

#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "findings.h"
#include "tarewise/version.h"
#include "tarewise/zone/area.h"

namespace tarewise::inline TW_VERSIONED::load {

/// An area with what it stands for and its place.
struct PlacedArea {
  Area area;
  std::uint32_t meaning = 0;
  std::size_t offset = 0;
  Value at;          ///< None in a CSV file.
  std::string list;  ///< "@far", where it is of such a list.
};

/// Reports areas of one prefix length that overlap and have not one meaning; of two lists, or a list and an area, once,
/// and all of a file as one. `what` they stand for: "zone".
void ReportOverlaps(std::vector<PlacedArea> placed, std::string_view what, Findings& findings);

}  // namespace tarewise::inline TW_VERSIONED::load

#endif  // TAREWISE_LIB_DOCUMENTS_OVERLAPS_H_
