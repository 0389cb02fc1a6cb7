#ifndef TAREWISE_ZONE_PLACE_H_
#define TAREWISE_ZONE_PLACE_H_

#include <string>
#include <string_view>

#include "absl/status/statusor.h"
#include "tarewise/detail/quantity_text.h"

namespace tarewise {

/// A place: a country (ISO 3166 alpha-2 form) and a postal code without spaces and hyphens, in upper case; the code may
/// be empty. A value type.
class Place {
 public:
  Place() = default;

  /// Errors: InvalidArgument where the country is not two capital letters, or the code has other than letters, digits,
  /// spaces and hyphens or more than 16 of them.
  static absl::StatusOr<Place> Make(std::string_view country, std::string_view postal_code, bool residential = false) {
    if (country.size() != 2 || country[0] < 'A' || country[0] > 'Z' || country[1] < 'A' || country[1] > 'Z') {
      return detail::FoundExpected(country, "a country of two capital letters, such as \"US\"");
    }
    Place place;
    place.country_ = country;
    absl::StatusOr<std::string> code = NormalCode(postal_code);
    if (!code.ok()) return code.status();
    place.postal_code_ = *std::move(code);
    place.residential_ = residential;
    return place;
  }

  /// Upper case, without spaces and hyphens.
  static absl::StatusOr<std::string> NormalCode(std::string_view code) {
    std::string out;
    for (const char c : code) {
      if (c == ' ' || c == '-') continue;
      if (!detail::IsDigit(c) && !detail::IsLetter(c)) {
        return detail::FoundExpected(code, "a postal code of letters and digits");
      }
      out += (c >= 'a' && c <= 'z') ? static_cast<char>(c - 'a' + 'A') : c;
    }
    if (out.size() > 16) return detail::FoundExpected(code, "a postal code of at most 16 letters and digits");
    return out;
  }

  const std::string& country() const { return country_; }
  const std::string& postal_code() const { return postal_code_; }
  bool residential() const { return residential_; }

  friend bool operator==(const Place&, const Place&) = default;

 private:
  std::string country_;
  std::string postal_code_;
  bool residential_ = false;
};

/// From where to where. Zones are not symmetric: the way back may cost another price.
struct Lane {
  Place from;
  Place to;
};

}  // namespace tarewise

#endif  // TAREWISE_ZONE_PLACE_H_
