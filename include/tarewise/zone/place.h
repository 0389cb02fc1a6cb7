#ifndef TAREWISE_ZONE_PLACE_H_
#define TAREWISE_ZONE_PLACE_H_

#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>
#include <utility>

#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "tarewise/internal/switch.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {
namespace internal {
enum class PostalFit : std::uint8_t;
}

/// What may have happened to a postal code on its way.
enum class PostalSlip : std::uint8_t {
  kNone,
  kZeros,    ///< A spreadsheet took it for a number: one or two leading zeros are lost.
  kLetters,  ///< O and 0, or I, L and 1, stand for each other.
  kCountry,  ///< The country's letters stand before it and do not belong there, or are missing.
};

/// A place: a country (ISO 3166-1 alpha-2) and a postal code without spaces and hyphens, in upper case; the code may be
/// empty. Only the code of a British sector, of an area, keeps its space: "PA2 0" is not PA20. A value type.
class Place {
 public:
  Place() = default;

  /// Errors: InvalidArgument where the country is none, or the code has not the form that the country's codes have.
  /// Codes of a country whose form is not known are taken as they are: at most 16 letters, digits, spaces and hyphens.
  static absl::StatusOr<Place> Make(std::string_view country, std::string_view postal_code, bool residential = false);

  /// Where an area is meant, as in a destination mix: the beginning of a code does as well, "US 100". One of digits
  /// that lacks a single one of them is an error, for it is more likely a code that lost its leading zero. Of British
  /// codes the beginning has whole letters, "GB IV", perhaps a district, "GB PA2", or a sector, "GB PA2 0".
  static absl::StatusOr<Place> MakeArea(std::string_view country, std::string_view beginning, bool residential = false);

  /// "US 05401", "DE", "GB PA2 1AA": a country and a postal code, which may be left out.
  static absl::StatusOr<Place> Parse(std::string_view text, bool residential = false);
  /// "US 054" as well, as MakeArea.
  static absl::StatusOr<Place> ParseArea(std::string_view text, bool residential = false);

  /// A place of which nothing is known but its kind, for prices whose zone is given.
  static Place Somewhere(bool residential) {
    Place place;
    place.residential_ = residential;
    return place;
  }

  /// The same place as a home, or as another address.
  Place With(bool residential) const {
    Place place = *this;
    place.residential_ = residential;
    return place;
  }

  /// InvalidArgument where `country` is no code of ISO 3166-1.
  static absl::Status CheckCountry(std::string_view country);
  /// With `found`, which holds it, told as what was found.
  static absl::Status CheckCountry(std::string_view country, std::string_view found);

  /// InvalidArgument where no code of the country, which `CheckCountry` knows, begins with `beginning`; `found` is told
  /// as what was found.
  static absl::Status CheckBeginning(std::string_view country, std::string_view beginning, std::string_view found);

  /// A code mended, and what was done to it.
  struct Mended {
    std::string postal_code;
    PostalSlip slip = PostalSlip::kNone;
    std::string told;  ///< `found "2134", read as "02134"`; empty where nothing was done.
  };
  /// For columns of sheets that are known to have lost zeros: the code that `text` most likely was. The caller tells
  /// the user `told`. Errors: those of `Make` where there is nothing to mend it by.
  static absl::StatusOr<Mended> Mend(std::string_view country, std::string_view text);

  /// Upper case, without spaces and hyphens.
  static absl::StatusOr<std::string> NormalCode(std::string_view code);

  const std::string& country() const { return country_; }
  const std::string& postal_code() const { return postal_code_; }
  bool residential() const { return residential_; }
  /// The code as areas are compared with it, character by character: a British code has its parts in fixed places.
  std::string_view compared() const { return spread_.empty() ? postal_code_ : spread_; }
  /// Whether both are in one country and their codes, which are at least so long, have the same first `characters`. Of
  /// British codes: the same parts, as far as these reach.
  bool SharesHead(const Place& other, std::size_t characters) const;

  friend bool operator==(const Place&, const Place&) = default;

 private:
  static absl::StatusOr<Place> Parsed(std::string_view text, bool residential, internal::PostalFit wanted);

  static absl::StatusOr<Place> Checked(std::string_view country, std::string_view text, bool residential,
                                       internal::PostalFit wanted);

  std::string country_;
  std::string postal_code_;
  std::string spread_;  // of British codes
  bool residential_ = false;
};

/// From where to where. Zones are not symmetric: the way back may cost another price.
struct Lane {
  Place from;
  Place to;
};

}  // namespace tarewise::inline TW_VERSIONED

#ifdef TW_HEADER_ONLY
#include "tarewise/zone/internal/place-inl.h"
#endif

#endif  // TAREWISE_ZONE_PLACE_H_
