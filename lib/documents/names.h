#ifndef TAREWISE_LIB_DOCUMENTS_NAMES_H_
#define TAREWISE_LIB_DOCUMENTS_NAMES_H_

#include <cstdint>
#include <string>
#include <string_view>
#include <unordered_map>
#include <unordered_set>
#include <vector>

#include "tarewise/version.h"
#include "tarewise/zone/zone_chart.h"

namespace tarewise::inline TW_VERSIONED::load {

/// Names in the order in which a document gives them, for look-ups and for messages. The text must outlive this.
class NameList {
 public:
  /// False where the name is there already.
  bool Add(std::string_view name) {
    if (!set_.insert(name).second) return false;
    names_.push_back(name);
    return true;
  }
  bool Has(std::string_view name) const { return set_.count(name) != 0; }
  const std::vector<std::string_view>& names() const { return names_; }

 private:
  std::unordered_set<std::string_view> set_;
  std::vector<std::string_view> names_;
};

/// Zones by name; those of one list of charts, or of the whole document.
struct ZoneNames {
  std::unordered_map<std::string_view, ZoneId> ids;
  std::vector<std::string_view> names;  ///< By id.

  ZoneId Find(std::string_view name) const {
    const auto at = ids.find(name);
    return at == ids.end() ? kNoZone : at->second;
  }
};

/// The zones that a list of charts can give.
struct ZoneSet {
  std::vector<bool> has;                    ///< By id.
  std::string list;                         ///< The list's name; empty: the zones of all lists.
  std::vector<std::vector<ZoneId>> rising;  ///< From near to far, as charts declare them.
};

class AreaLists;

/// What a tariff document defines, gathered before anything that may name it is read.
struct Names {
  ZoneNames zones;
  bool zones_sound = true;  ///< False where the charts could not be read: unknown zones are then not reported.
  ZoneSet all_zones;
  std::vector<ZoneSet> zone_sets;  ///< By zone list.
  AreaLists* area_lists = nullptr;
  NameList zone_lists;
  NameList services;
  NameList packaging;
  NameList surcharges;    ///< Shared ones.
  NameList extras;        ///< Shared ones.
  NameList charge_codes;  ///< Of surcharges and extras, shared or in a service.
  NameList extra_codes;   ///< Of extras, shared or in a service.
};

}  // namespace tarewise::inline TW_VERSIONED::load

#endif  // TAREWISE_LIB_DOCUMENTS_NAMES_H_
