#ifndef TAREWISE_LIB_DOCUMENTS_AREA_LISTS_H_
#define TAREWISE_LIB_DOCUMENTS_AREA_LISTS_H_

#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "fields.h"
#include "grid_files.h"
#include "overlaps.h"
#include "tarewise/version.h"
#include "tarewise/zone/area.h"
#include "tarewise/zone/area_list.h"

namespace tarewise::inline TW_VERSIONED::load {

/// Whether a text in the place of an area names a list: "@far".
inline bool NamesList(std::string_view text) { return text.starts_with('@'); }

/// The lists of areas that a tariff names.
class AreaLists {
 public:
  /// Reads "areas".
  void Read(Fields& fields, Value value, GridFiles& files);
  /// The list that "@far" names, the text or (`at_key`) the key of `value`; nothing, and an error, where there is none.
  const AreaList* Find(Fields& fields, Value value, bool at_key);
  void WarnOfUnused(Fields& fields) const;
  /// In the order of the document.
  std::vector<AreaList> All() const;

 private:
  struct Entry {
    AreaList list;
    Value at;
    bool used = false;
  };
  AreaList ReadInPlace(Fields& fields, std::string name, Value value);
  AreaList ReadFile(Fields& fields, std::string name, Value value, GridFiles& files);

  std::map<std::string, std::size_t, std::less<>> by_name_;
  std::vector<Entry> entries_;
};

/// Areas and lists of areas as they stand in one list of a document.
struct AreaItems {
  std::vector<Area> areas;
  std::vector<AreaList> lists;
};
/// Reads such a list. `lists` is none in documents that name none. Counts its areas, with `count_lists` those of lists
/// too.
AreaItems ReadAreaItems(Fields& fields, Value value, AreaLists* lists, bool count_lists);

/// The list that a value or its key names; an error where the document has no lists.
const AreaList* FindAreaList(Fields& fields, Value value, bool at_key, AreaLists* lists);

/// Calls `add(area, list)` for the area, or for each of the list, that a value or its key names, and counts them;
/// `list` is null for an area. False after an error, and where there are too many.
template <typename F>
bool EachAreaOf(Fields& fields, Value value, bool at_key, AreaLists* lists, F add) {
  if (NamesList(at_key ? value.key() : value.text())) {
    const AreaList* const list = FindAreaList(fields, value, at_key, lists);
    if (list == nullptr || !fields.CountAreas(value, list->size())) return false;
    list->ForEach([&](const Area& area) { add(area, list); });
    return true;
  }
  if (!fields.CountAreas(value)) return false;
  const std::optional<Area> area = at_key ? fields.ReadAreaKey(value) : fields.ReadArea(value);
  if (area) add(*area, static_cast<const AreaList*>(nullptr));
  return area.has_value();
}

}  // namespace tarewise::inline TW_VERSIONED::load

#endif  // TAREWISE_LIB_DOCUMENTS_AREA_LISTS_H_
