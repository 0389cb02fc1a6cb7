#ifndef TAREWISE_ZONE_PLACE_H_
#define TAREWISE_ZONE_PLACE_H_

#include <string>
#include <string_view>
#include <utility>

#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "tarewise/units/internal/quantity_text.h"
#include "tarewise/zone/internal/postal_form.h"

namespace tarewise {

/// A place: a country (ISO 3166-1 alpha-2) and a postal code without spaces and hyphens, in upper case; the code may be
/// empty. A value type.
class Place {
 public:
  Place() = default;

  /// Errors: InvalidArgument where the country is none, or the code has not the form that the country's codes have.
  /// Codes of a country whose form is not known are taken as they are: at most 16 letters, digits, spaces and hyphens.
  static absl::StatusOr<Place> Make(std::string_view country, std::string_view postal_code, bool residential = false) {
    return Checked(country, postal_code, residential, internal::PostalFit::kWhole);
  }

  /// Where an area is meant, as in a destination mix: the beginning of a code does as well, "US 100". One of digits
  /// that lacks a single one of them is an error, for it is more likely a code that lost its leading zero.
  static absl::StatusOr<Place> MakeArea(std::string_view country, std::string_view beginning,
                                        bool residential = false) {
    return Checked(country, beginning, residential, internal::PostalFit::kBeginning);
  }

  /// "US 05401", "DE", "GB PA2 1AA": a country and a postal code, which may be left out.
  static absl::StatusOr<Place> Parse(std::string_view text, bool residential = false) {
    return Parsed(text, residential, internal::PostalFit::kWhole);
  }
  /// "US 054" as well, as MakeArea.
  static absl::StatusOr<Place> ParseArea(std::string_view text, bool residential = false) {
    return Parsed(text, residential, internal::PostalFit::kBeginning);
  }

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
  static absl::Status CheckCountry(std::string_view country) { return CheckCountry(country, country); }
  /// With `found`, which holds it, told as what was found.
  static absl::Status CheckCountry(std::string_view country, std::string_view found) {
    if (!internal::LooksLikeCountry(country)) {
      return internal::FoundExpected(found, "a country of two capital letters, such as \"US\"");
    }
    if (internal::FindPostalCountry(country) != nullptr) return absl::OkStatus();
    // Two codes that are used for countries of another one.
    const std::string_view meant = country == "UK" ? "GB" : country == "EL" ? "GR" : "";
    return internal::FoundExpected(
        found, "an ISO 3166-1 code such as \"US\"" + (meant.empty() ? "" : "; was it \"" + std::string(meant) + "\"?"));
  }

  /// InvalidArgument where no code of the country, which `CheckCountry` knows, begins with `beginning`; `found` is told
  /// as what was found.
  static absl::Status CheckBeginning(std::string_view country, std::string_view beginning, std::string_view found) {
    const internal::PostalCountry* const known = internal::FindPostalCountry(country);
    if (known == nullptr || internal::PostalFitOf(*known, beginning) != internal::PostalFit::kNone)
      return absl::OkStatus();
    const internal::PostalGuess guess = internal::GuessPostalCode(*known, beginning, internal::PostalFit::kBeginning);
    return internal::FoundExpected(found, "the beginning of a code of " + std::string(country) + ": " +
                                              std::string(internal::PostalWords(*known)) +
                                              internal::PostalQuestion(guess));
  }

  /// A code mended, and what was done to it.
  struct Mended {
    std::string postal_code;
    PostalSlip slip = PostalSlip::kNone;
    std::string told;  ///< `found "2134", read as "02134"`; empty where nothing was done.
  };
  /// For columns of sheets that are known to have lost zeros: the code that `text` most likely was. The caller tells
  /// the user `told`. Errors: those of `Make` where there is nothing to mend it by.
  static absl::StatusOr<Mended> Mend(std::string_view country, std::string_view text) {
    absl::StatusOr<Place> made = Make(country, text);
    if (made.ok()) return Mended{made->postal_code_, PostalSlip::kNone, ""};
    const internal::PostalCountry* const known = internal::FindPostalCountry(country);
    if (known == nullptr) return made.status();
    const internal::PostalGuess guess = internal::GuessPostalCode(*known, text, internal::PostalFit::kWhole);
    if (guess.slip == PostalSlip::kNone) return made.status();
    absl::StatusOr<std::string> code = NormalCode(guess.code);
    if (!code.ok()) return made.status();
    return Mended{*std::move(code), guess.slip, "found " + internal::Quoted(text) + ", read as \"" + guess.code + "\""};
  }

  /// Upper case, without spaces and hyphens.
  static absl::StatusOr<std::string> NormalCode(std::string_view code) {
    std::string out;
    for (const char c : code) {
      if (c == ' ' || c == '-') continue;
      if (!internal::IsDigit(c) && !internal::IsLetter(c)) {
        return internal::FoundExpected(code, "a postal code of letters and digits");
      }
      out += internal::UpperCase(c);
    }
    if (out.size() > 16) return internal::FoundExpected(code, "a postal code of at most 16 letters and digits");
    return out;
  }

  const std::string& country() const { return country_; }
  const std::string& postal_code() const { return postal_code_; }
  bool residential() const { return residential_; }

  friend bool operator==(const Place&, const Place&) = default;

 private:
  static absl::StatusOr<Place> Parsed(std::string_view text, bool residential, internal::PostalFit wanted) {
    const std::string_view all = internal::Trim(text);
    const std::string_view country = all.substr(0, all.find(' '));
    if (!internal::LooksLikeCountry(country)) {
      return internal::FoundExpected(text, "a country of two capital letters and a postal code, such as \"US 05401\"");
    }
    return Checked(country, internal::Trim(all.substr(country.size())), residential, wanted);
  }

  static absl::StatusOr<Place> Checked(std::string_view country, std::string_view text, bool residential,
                                       internal::PostalFit wanted) {
    using internal::PostalFit;
    if (absl::Status status = CheckCountry(country); !status.ok()) return status;
    absl::StatusOr<std::string> code = NormalCode(text);
    if (!code.ok()) return code.status();
    if (!code->empty() || !internal::Trim(text).empty()) {
      const internal::PostalCountry& known = *internal::FindPostalCountry(country);
      if (code->empty()) return internal::FoundExpected(text, "a postal code of letters and digits");
      const PostalFit fit = internal::PostalFitOf(known, *code);
      const bool zero_lost = fit == PostalFit::kBeginning && code->front() != '0' &&
                             internal::PostalFitOf(known, "0" + *code) == PostalFit::kWhole;
      if (fit < wanted || zero_lost) {
        std::string expected(internal::PostalWords(known));
        if (wanted == PostalFit::kBeginning) {
          expected += zero_lost ? ", or a shorter beginning of such a code" : ", or the beginning of such a code";
        }
        return internal::FoundExpected(
            text, expected + internal::PostalQuestion(internal::GuessPostalCode(known, text, wanted)));
      }
    }
    Place place;
    place.country_ = country;
    place.postal_code_ = *std::move(code);
    place.residential_ = residential;
    return place;
  }

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
