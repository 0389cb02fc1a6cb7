#ifndef TAREWISE_RULES_WORDS_H_
#define TAREWISE_RULES_WORDS_H_

#include <algorithm>
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "tarewise/parcel/kinds.h"
#include "tarewise/units/date.h"
#include "tarewise/units/internal/quantity_text.h"
#include "tarewise/units/weekday.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

inline std::string JoinWords(const std::vector<std::string>& words, std::string_view between) {
  std::string out;
  for (const std::string& word : words) {
    if (!out.empty()) out += between;
    out += word;
  }
  return out;
}

template <typename E>
std::vector<std::string> NamesOf(const std::vector<E>& values) {
  std::vector<std::string> names;
  names.reserve(values.size());
  for (const E value : values) names.emplace_back(NameOf(value));
  return names;
}

inline std::string RangeWords(const DateRange& dates) {
  std::string out;
  if (dates.from) out += "from " + dates.from->ToString();
  if (dates.until) out += (out.empty() ? "until " : " until ") + dates.until->ToString();
  return out.empty() ? "any date" : out;
}

inline std::string WeekdayWords(Weekdays days, std::string_view between) {
  std::vector<std::string> names;
  for (std::uint8_t day = 0; day < 7; ++day) {
    if (days.Has(static_cast<Weekday>(day))) names.emplace_back(NameOf(static_cast<Weekday>(day)));
  }
  return JoinWords(names, between);
}

/// A key that does not tell in which order the parts stand.
inline std::string SortedKey(std::string_view name, std::vector<std::string> parts) {
  std::sort(parts.begin(), parts.end());
  std::string out(name);
  for (const std::string& part : parts) out += "|" + part;
  return out;
}

inline std::string Int128Key(Int128 value) { return ShortestDecimal(value, 1); }

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_RULES_WORDS_H_
