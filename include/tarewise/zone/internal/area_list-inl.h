#ifndef TAREWISE_ZONE_INTERNAL_AREA_LIST_INL_H_
#define TAREWISE_ZONE_INTERNAL_AREA_LIST_INL_H_

#include <cstddef>
#include <memory>
#include <string>
#include <utility>
#include <vector>

#include "tarewise/version.h"
#include "tarewise/zone/area.h"
#include "tarewise/zone/area_list.h"
#include "tarewise/zone/internal/sha256.h"

namespace tarewise::inline TW_VERSIONED {

TW_INLINE AreaList::AreaList(std::string name, const std::vector<Area>& areas) {
  Builder builder(std::move(name));
  for (const Area& area : areas) builder.Add(area);
  *this = std::move(builder).Finish();
}

TW_INLINE AreaList AreaList::Builder::Finish() && {
  body_.areas.FinishJoined();
  internal::Sha256 hash;
  body_.areas.ForEachBlock([&hash](const std::string& country, std::size_t prefix, const std::string& keys) {
    // The sizes keep one block's end and the next one's beginning apart.
    hash.Add(country + ":" + std::to_string(prefix) + ":" + std::to_string(keys.size()) + ":");
    hash.Add(keys);
  });
  body_.digest = hash.Take();
  return AreaList(std::make_shared<const Body>(std::move(body_)));
}

}  // namespace tarewise::inline TW_VERSIONED

#endif  // TAREWISE_ZONE_INTERNAL_AREA_LIST_INL_H_
