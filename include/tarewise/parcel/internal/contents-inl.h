#ifndef TAREWISE_PARCEL_INTERNAL_CONTENTS_INL_H_
#define TAREWISE_PARCEL_INTERNAL_CONTENTS_INL_H_

#include <algorithm>
#include <cstddef>
#include <iterator>
#include <string>
#include <string_view>

#include "absl/status/status.h"
#include "tarewise/parcel/contents.h"
#include "tarewise/units/internal/quantity_text.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

TW_INLINE absl::Status Contents::Add(std::string_view word) {
  for (std::size_t i = 0; i < std::size(kTraitNames); ++i) {
    if (kTraitNames[i] == word) {
      bits_ |= 1u << i;
      return absl::OkStatus();
    }
  }
  if (word.size() > 2 && word.substr(0, 2) == "x-" && word.find_first_of(" \t\r\n,;") == std::string_view::npos) {
    const auto at = std::lower_bound(own_.begin(), own_.end(), word);
    if (at == own_.end() || *at != word) own_.insert(at, std::string(word));
    return absl::OkStatus();
  }
  std::string expected = "a contents trait (";
  for (const std::string_view name : kTraitNames) expected += std::string(name) + ", ";
  return internal::FoundExpected(word, expected + "or one's own that begins with x-)");
}

}  // namespace tarewise::inline TW_VERSIONED

#endif  // TAREWISE_PARCEL_INTERNAL_CONTENTS_INL_H_
