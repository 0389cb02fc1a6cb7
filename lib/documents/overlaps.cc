#include "overlaps.h"

#include <algorithm>
#include <map>
#include <optional>
#include <utility>

#include "text.h"

namespace tarewise::inline TW_VERSIONED::load {
namespace {

struct Overlap {
  const PlacedArea* first = nullptr;
  const PlacedArea* second = nullptr;
  std::size_t count = 0;
};

std::string Named(const PlacedArea& placed) {
  return Quoted(placed.area.ToString()) + (placed.list.empty() ? "" : " of " + Quoted(placed.list));
}

void Report(const Overlap& overlap, std::string_view what, Findings& findings) {
  std::string more;
  if (overlap.count > 1) {
    more = " (and " + std::to_string(overlap.count - 1) + (overlap.count > 2 ? " areas more" : " area more") + ")";
  }
  findings.Error(kOverlappingAreas, overlap.second->offset, overlap.second->at,
                 "found the area " + Named(*overlap.second) + ", which overlaps " + Named(*overlap.first) +
                     " of another " + std::string(what) + " on line " +
                     std::to_string(findings.At(overlap.first->offset).line) + more +
                     ", expected areas that do not overlap");
}

}  // namespace

void ReportOverlaps(std::vector<PlacedArea> placed, std::string_view what, Findings& findings) {
  std::sort(placed.begin(), placed.end(), [](const PlacedArea& a, const PlacedArea& b) {
    if (a.area.country != b.area.country) return a.area.country < b.area.country;
    if (a.area.first.size() != b.area.first.size()) return a.area.first.size() < b.area.first.size();
    if (a.area.first != b.area.first) return a.area.first < b.area.first;
    return a.offset < b.offset;
  });
  std::map<std::pair<std::size_t, std::size_t>, Overlap> of_lists;  // by the places of the two
  std::optional<Overlap> of_file;                                   // the first in it, with how many there are
  const PlacedArea* widest = nullptr;  // of those of this length so far, the one that reaches farthest
  for (const PlacedArea& here : placed) {
    const bool new_block = widest == nullptr || widest->area.country != here.area.country ||
                           widest->area.first.size() != here.area.first.size();
    if (!new_block && here.area.first <= widest->area.last && here.meaning != widest->meaning) {
      Overlap overlap{widest, &here, 1};
      if (here.offset < widest->offset) std::swap(overlap.first, overlap.second);
      if (!here.at) {
        const std::size_t count = of_file ? of_file->count + 1 : 1;
        if (!of_file || overlap.second->offset < of_file->second->offset) of_file = overlap;
        of_file->count = count;
      } else if (here.list.empty() && widest->list.empty()) {
        Report(overlap, what, findings);
      } else {
        const std::pair key(overlap.first->offset, overlap.second->offset);
        ++of_lists.try_emplace(key, Overlap{overlap.first, overlap.second, 0}).first->second.count;
      }
    }
    if (new_block || widest->area.last < here.area.last) widest = &here;
  }
  if (of_file) Report(*of_file, what, findings);
  for (const auto& [places, overlap] : of_lists) Report(overlap, what, findings);
}

}  // namespace tarewise::inline TW_VERSIONED::load
