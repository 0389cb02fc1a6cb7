#ifndef TAREWISE_UNITS_INTERNAL_CODE_H_
#define TAREWISE_UNITS_INTERNAL_CODE_H_

#include <algorithm>
#include <cstddef>
#include <string_view>

#include "tarewise/units/internal/quantity_text.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// True for a code as documents and requests name things by: up to 64 small letters, digits and hyphens, no hyphen
/// first.
inline bool IsCode(std::string_view text) {
  constexpr std::size_t kMost = 64;
  return !text.empty() && text.size() <= kMost && text.front() != '-' &&
         std::all_of(text.begin(), text.end(), [](char c) { return (c >= 'a' && c <= 'z') || IsDigit(c) || c == '-'; });
}

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_UNITS_INTERNAL_CODE_H_
