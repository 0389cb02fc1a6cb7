#ifndef TAREWISE_UNITS_INTERNAL_NEAREST_NAME_H_
#define TAREWISE_UNITS_INTERNAL_NEAREST_NAME_H_

#include <algorithm>
#include <cstddef>
#include <span>
#include <string_view>
#include <utility>
#include <vector>

#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// Letters left out, added or exchanged, and neighbours swapped, that lead from one text to the other.
inline std::size_t EditDistance(std::string_view a, std::string_view b) {
  std::vector<std::size_t> before_last(b.size() + 1);
  std::vector<std::size_t> last(b.size() + 1);
  std::vector<std::size_t> row(b.size() + 1);
  for (std::size_t j = 0; j <= b.size(); ++j) last[j] = j;
  for (std::size_t i = 1; i <= a.size(); ++i) {
    row[0] = i;
    for (std::size_t j = 1; j <= b.size(); ++j) {
      const std::size_t exchange = last[j - 1] + (a[i - 1] == b[j - 1] ? 0 : 1);
      row[j] = std::min({last[j] + 1, row[j - 1] + 1, exchange});
      if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1]) {
        row[j] = std::min(row[j], before_last[j - 2] + 1);
      }
    }
    std::swap(before_last, last);
    std::swap(last, row);
  }
  return last[b.size()];
}

/// The name that was likely meant; empty: none is near.
inline std::string_view NearestName(std::string_view text, std::span<const std::string_view> names) {
  constexpr std::size_t kLongest = 40;
  if (text.empty() || text.size() > kLongest) return {};
  std::string_view best;
  std::size_t best_distance = std::max<std::size_t>(1, text.size() / 3) + 1;
  for (const std::string_view name : names) {
    const std::size_t gap = name.size() > text.size() ? name.size() - text.size() : text.size() - name.size();
    if (gap >= best_distance) continue;
    const std::size_t distance = EditDistance(text, name);
    if (distance < best_distance && distance < name.size()) {
      best_distance = distance;
      best = name;
    }
  }
  return best;
}

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_UNITS_INTERNAL_NEAREST_NAME_H_
