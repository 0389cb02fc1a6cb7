#ifndef TAREWISE_ZONE_INTERNAL_AREA_INL_H_
#define TAREWISE_ZONE_INTERNAL_AREA_INL_H_

#include <algorithm>
#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <utility>

#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "tarewise/units/internal/quantity_text.h"
#include "tarewise/version.h"
#include "tarewise/zone/area.h"
#include "tarewise/zone/internal/british_code.h"
#include "tarewise/zone/internal/postal_form.h"

namespace tarewise::inline TW_VERSIONED {
namespace internal {

/// `text` is all of the area, `codes` what follows its colon.
inline absl::StatusOr<Area> ParseBritishArea(std::string_view text, std::string_view codes) {
  constexpr std::string_view kExpected =
      "letters, a district, a range of districts, a sector or a whole code, such as \"GB:IV\", \"GB:PA2\", "
      "\"GB:PA20-80\", \"GB:PA2 0\" or \"GB:PA2 0AA\"";
  constexpr std::string_view kRangeExpected = "a range of districts of the same letters, such as \"GB:PA20-80\"";
  const std::string_view country = text.substr(0, 2);
  const PostalCountry& known = *FindPostalCountry(country);
  const std::size_t dash = codes.find('-');
  const std::string_view head = Trim(codes.substr(0, dash));
  const auto of_code = [](char c) { return c == ' ' || IsDigit(c) || IsLetter(c); };
  if (head.empty() || !std::all_of(head.begin(), head.end(), of_code)) return FoundExpected(text, kExpected);
  if (absl::Status status = Place::CheckBeginning(country, head, text); !status.ok()) return status;
  const std::optional<std::string> first = SpreadBritish(known, head);
  if (dash == std::string_view::npos) {
    if (!first || first->size() == kBritishSector + 1) return FoundExpected(text, kExpected);
    return Area{std::string(country), *first, *first};
  }
  // The letters of the end may be left out: "PA20-80".
  const std::string_view tail = Trim(codes.substr(dash + 1));
  if (!first || first->size() != kBritishDistrict || tail.empty() || !std::all_of(tail.begin(), tail.end(), of_code)) {
    return FoundExpected(text, kRangeExpected);
  }
  const std::string letters =
      IsDigit(tail.front()) ? first->substr(0, first->find(' ')).substr(0, kBritishLetters) : "";
  const std::optional<std::string> last = SpreadBritish(known, letters + std::string(tail));
  if (!last || last->size() != kBritishDistrict || last->compare(0, kBritishLetters, *first, 0, kBritishLetters) != 0) {
    return FoundExpected(text, kRangeExpected);
  }
  if (*last < *first) return FoundExpected(text, "a range whose districts rise (this one is empty)");
  return Area{std::string(country), *first, *last};
}

}  // namespace internal

TW_INLINE absl::StatusOr<Area> Area::Parse(std::string_view text) {
  constexpr std::string_view kExpected = "an area such as \"US\", \"US:969\" or \"US:006-009\"";
  Area area;
  const std::size_t colon = text.find(':');
  const std::string_view country = text.substr(0, colon);
  if (!internal::LooksLikeCountry(country)) return internal::FoundExpected(text, kExpected);
  if (absl::Status status = Place::CheckCountry(country, text); !status.ok()) return status;
  area.country = country;
  if (colon == std::string_view::npos) return area;
  std::string_view codes = text.substr(colon + 1);
  if (internal::HasBritishCodes(country)) return internal::ParseBritishArea(text, codes);
  const std::size_t dash = codes.find('-');
  absl::StatusOr<std::string> first = Place::NormalCode(codes.substr(0, dash));
  absl::StatusOr<std::string> last = dash == std::string_view::npos ? first : Place::NormalCode(codes.substr(dash + 1));
  const bool two_dashes = dash != std::string_view::npos && codes.find('-', dash + 1) != std::string_view::npos;
  if (!first.ok() || !last.ok() || first->empty() || two_dashes) return internal::FoundExpected(text, kExpected);
  if (first->size() != last->size()) {
    return internal::FoundExpected(text, "an area whose two prefixes are of one length");
  }
  if (*last < *first) return internal::FoundExpected(text, "an area whose prefixes rise (this one is empty)");
  for (const std::string* end : {&*first, &*last}) {
    if (absl::Status status = Place::CheckBeginning(country, *end, text); !status.ok()) return status;
  }
  area.first = *std::move(first);
  area.last = *std::move(last);
  return area;
}

TW_INLINE Area Area::Of(std::string country, std::string_view prefix) {
  std::string code(prefix);
  if (internal::HasBritishCodes(country) && !code.empty()) {
    code = internal::SpreadBritish(*internal::FindPostalCountry(country), prefix).value_or(code);
  }
  return Area{std::move(country), code, code};
}

TW_INLINE std::string Area::ToString() const {
  if (first.empty()) return country;
  if (internal::HasBritishCodes(country)) {
    std::string written = internal::WriteBritish(first);
    if (first == last) return country + ":" + written;
    std::size_t letters = 0;
    while (letters < written.size() && internal::IsLetter(written[letters])) ++letters;
    return country + ":" + written + "-" + internal::WriteBritish(last).substr(letters);
  }
  return country + ":" + first + (first == last ? "" : "-" + last);
}

}  // namespace tarewise::inline TW_VERSIONED

#endif  // TAREWISE_ZONE_INTERNAL_AREA_INL_H_
