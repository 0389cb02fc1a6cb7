#ifndef TAREWISE_ZONE_INTERNAL_PLACE_INL_H_
#define TAREWISE_ZONE_INTERNAL_PLACE_INL_H_

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <utility>

#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "tarewise/units/internal/quantity_text.h"
#include "tarewise/version.h"
#include "tarewise/zone/internal/british_code.h"
#include "tarewise/zone/internal/postal_form.h"
#include "tarewise/zone/place.h"

namespace tarewise::inline TW_VERSIONED {

TW_INLINE absl::StatusOr<Place> Place::Make(std::string_view country, std::string_view postal_code, bool residential) {
  return Checked(country, postal_code, residential, internal::PostalFit::kWhole);
}

TW_INLINE absl::StatusOr<Place> Place::MakeArea(std::string_view country, std::string_view beginning,
                                                bool residential) {
  return Checked(country, beginning, residential, internal::PostalFit::kBeginning);
}

TW_INLINE absl::StatusOr<Place> Place::Parse(std::string_view text, bool residential) {
  return Parsed(text, residential, internal::PostalFit::kWhole);
}

TW_INLINE absl::StatusOr<Place> Place::ParseArea(std::string_view text, bool residential) {
  return Parsed(text, residential, internal::PostalFit::kBeginning);
}

TW_INLINE absl::Status Place::CheckCountry(std::string_view country) { return CheckCountry(country, country); }

TW_INLINE absl::Status Place::CheckCountry(std::string_view country, std::string_view found) {
  if (!internal::LooksLikeCountry(country)) {
    return internal::FoundExpected(found, "a country of two capital letters, such as \"US\"");
  }
  if (internal::FindPostalCountry(country) != nullptr) return absl::OkStatus();
  // Two codes that are used for countries of another one.
  const std::string_view meant = country == "UK" ? "GB" : country == "EL" ? "GR" : "";
  return internal::FoundExpected(
      found, "an ISO 3166-1 code such as \"US\"" + (meant.empty() ? "" : "; was it \"" + std::string(meant) + "\"?"));
}

TW_INLINE absl::Status Place::CheckBeginning(std::string_view country, std::string_view beginning,
                                             std::string_view found) {
  const internal::PostalCountry* const known = internal::FindPostalCountry(country);
  if (known == nullptr || internal::PostalFitOf(*known, beginning) != internal::PostalFit::kNone)
    return absl::OkStatus();
  const internal::PostalGuess guess = internal::GuessPostalCode(*known, beginning, internal::PostalFit::kBeginning);
  return internal::FoundExpected(found, "the beginning of a code of " + std::string(country) + ": " +
                                            std::string(internal::PostalWords(*known)) +
                                            internal::PostalQuestion(guess));
}

TW_INLINE absl::StatusOr<Place::Mended> Place::Mend(std::string_view country, std::string_view text) {
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

TW_INLINE absl::StatusOr<std::string> Place::NormalCode(std::string_view code) {
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

TW_INLINE absl::StatusOr<Place> Place::Parsed(std::string_view text, bool residential, internal::PostalFit wanted) {
  const std::string_view all = internal::Trim(text);
  const std::string_view country = all.substr(0, all.find(' '));
  if (!internal::LooksLikeCountry(country)) {
    return internal::FoundExpected(text, "a country of two capital letters and a postal code, such as \"US 05401\"");
  }
  return Checked(country, internal::Trim(all.substr(country.size())), residential, wanted);
}

TW_INLINE absl::StatusOr<Place> Place::Checked(std::string_view country, std::string_view text, bool residential,
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
  if (internal::HasBritishCodes(country) && !code->empty()) {
    std::optional<std::string> spread = internal::SpreadBritish(*internal::FindPostalCountry(country), text);
    if (!spread)
      return internal::FoundExpected(text, "the letters, a district or a sector of codes of " + std::string(country) +
                                               ", such as \"EC\", \"EC1\" or \"EC1A 1\"");
    if (spread->size() == internal::kBritishSector) *code = internal::WriteBritish(*spread);
    place.spread_ = *std::move(spread);
  }
  place.country_ = country;
  place.postal_code_ = *std::move(code);
  place.residential_ = residential;
  return place;
}

TW_INLINE bool Place::SharesHead(const Place& other, std::size_t characters) const {
  if (country_ != other.country_) return false;
  const std::size_t size = spread_.empty() ? characters : internal::BritishReach(spread_, characters);
  return compared().size() >= size && other.compared().size() >= size &&
         compared().substr(0, size) == other.compared().substr(0, size);
}

}  // namespace tarewise::inline TW_VERSIONED

#endif  // TAREWISE_ZONE_INTERNAL_PLACE_INL_H_
