#ifndef TAREWISE_PARCEL_INTERNAL_SPLIT_SIDES_H_
#define TAREWISE_PARCEL_INTERNAL_SPLIT_SIDES_H_

#include <algorithm>
#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

#include "tarewise/units/internal/quantity_text.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

// The parts of "14 x 9 x 5 in" with the unit at the end given to each; where another part has a unit of its own, each
// must: a side without, among others with, is left to nobody's guess.
inline std::vector<std::string> SplitSides(std::string_view text) {
  std::vector<std::string> parts(1);
  for (std::size_t i = 0; i < text.size(); ++i) {
    if (text.substr(i, 2) == "\xC3\x97") {
      parts.emplace_back();
      ++i;
    } else if (text[i] == 'x' || text[i] == 'X') {
      parts.emplace_back();
    } else {
      parts.back() += text[i];
    }
  }
  const std::string_view last = parts.back();
  std::size_t unit_at = last.size();
  while (unit_at > 0 && (IsLetter(last[unit_at - 1]) || IsSpace(last[unit_at - 1]))) --unit_at;
  const std::string unit(last.substr(unit_at));
  const bool one_unit = std::none_of(parts.begin(), parts.end() - 1, [](const std::string& part) {
    return std::any_of(part.begin(), part.end(), IsLetter);
  });
  if (one_unit) {
    for (std::size_t i = 0; i + 1 < parts.size(); ++i) parts[i] += unit;
  }
  return parts;
}

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_PARCEL_INTERNAL_SPLIT_SIDES_H_
