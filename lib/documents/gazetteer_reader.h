#ifndef TAREWISE_LIB_DOCUMENTS_GAZETTEER_READER_H_
#define TAREWISE_LIB_DOCUMENTS_GAZETTEER_READER_H_

#include <string>
#include <vector>

#include "csv.h"
#include "tarewise/version.h"
#include "tarewise/zone/gazetteer.h"

namespace tarewise::inline TW_VERSIONED::load {

struct GazetteerPoint {
  std::string country;
  std::string prefix;
  GeoPoint point;
  std::size_t offset = 0;
};

/// Reads the points of a gazetteer's CSV. After an error, what is given must not be used.
std::vector<GazetteerPoint> ReadGazetteerCsv(const Csv& csv, Findings& findings);

}  // namespace tarewise::inline TW_VERSIONED::load

#endif  // TAREWISE_LIB_DOCUMENTS_GAZETTEER_READER_H_
