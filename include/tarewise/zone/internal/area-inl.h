#ifndef TAREWISE_ZONE_INTERNAL_AREA_INL_H_
#define TAREWISE_ZONE_INTERNAL_AREA_INL_H_

#include <cstddef>
#include <string>
#include <string_view>
#include <utility>

#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "tarewise/units/internal/quantity_text.h"
#include "tarewise/zone/area.h"
#include "tarewise/zone/internal/postal_form.h"

namespace tarewise {

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

TW_INLINE std::string Area::ToString() const {
  if (first.empty()) return country;
  return country + ":" + first + (first == last ? "" : "-" + last);
}

}  // namespace tarewise

#endif  // TAREWISE_ZONE_INTERNAL_AREA_INL_H_
