#ifndef TAREWISE_ZONE_INTERNAL_POSTAL_FORM_H_
#define TAREWISE_ZONE_INTERNAL_POSTAL_FORM_H_

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <iterator>
#include <string>
#include <string_view>
#include <utility>

#include "tarewise/units/internal/quantity_text.h"
#include "tarewise/version.h"
#include "tarewise/zone/internal/postal_forms.h"
#include "tarewise/zone/place.h"

namespace tarewise::inline TW_VERSIONED::internal {

constexpr char UpperCase(char c) { return c >= 'a' && c <= 'z' ? static_cast<char>(c - 'a' + 'A') : c; }

constexpr bool LooksLikeCountry(std::string_view text) {
  return text.size() == 2 && text[0] >= 'A' && text[0] <= 'Z' && text[1] >= 'A' && text[1] <= 'Z';
}

/// What a code is to the form of its country.
enum class PostalFit : std::uint8_t {
  kNone,
  kBeginning,  ///< The beginning of one. Of a ZIP+4 the first five digits are whole, and six of them nothing.
  kWhole,
};

/// Follows a code through its country's form, character by character.
class PostalSteps {
 public:
  constexpr explicit PostalSteps(const PostalCountry& country) : state_(country.start) {}

  /// False where no code has `c` next; the steps then stand where they stood.
  constexpr bool Take(char c) {
    if (state_ == kNoPostalForm) return true;
    const bool whole = kPostalWhole[state_];
    for (std::size_t i = kPostalFirstEdge[state_]; i < kPostalFirstEdge[state_ + 1]; ++i) {
      if (kPostalEdges[i].first <= c && c <= kPostalEdges[i].last) {
        state_ = kPostalEdges[i].next;
        past_whole_ = past_whole_ || whole;
        return true;
      }
    }
    return false;
  }
  constexpr PostalFit Fit() const {
    if (state_ == kNoPostalForm || kPostalWhole[state_]) return PostalFit::kWhole;
    return past_whole_ ? PostalFit::kNone : PostalFit::kBeginning;
  }

 private:
  std::uint16_t state_;
  bool past_whole_ = false;
};

/// For each pair of capital letters one more than the place of its country; 0 where there is none.
inline constexpr auto kPostalPlaces = [] {
  constexpr std::size_t kLetters = 26;
  constexpr std::size_t kPairs = kLetters * kLetters;
  std::array<std::uint16_t, kPairs> places = {};
  for (std::size_t i = 0; i < std::size(kPostalCountries); ++i) {
    const char* const code = kPostalCountries[i].code;
    const auto first = static_cast<std::size_t>(code[0] - 'A');
    places[first * kLetters + static_cast<std::size_t>(code[1] - 'A')] = static_cast<std::uint16_t>(i + 1);
  }
  return places;
}();

/// The country of an ISO 3166-1 code; null where there is none.
constexpr const PostalCountry* FindPostalCountry(std::string_view code) {
  if (!LooksLikeCountry(code)) return nullptr;
  const std::uint16_t place = kPostalPlaces[static_cast<std::size_t>((code[0] - 'A') * 26 + code[1] - 'A')];
  return place == 0 ? nullptr : &kPostalCountries[place - 1];
}

/// Of a code in any case, with spaces and hyphens where they may be.
constexpr PostalFit PostalFitOf(const PostalCountry& country, std::string_view code) {
  PostalSteps steps(country);
  for (const char c : code) {
    if (c != ' ' && c != '-' && !steps.Take(UpperCase(c))) return PostalFit::kNone;
  }
  return steps.Fit();
}

struct PostalGuess {
  PostalSlip slip = PostalSlip::kNone;
  std::string code;  ///< As it was written, but for the slip.
};

/// The code that `text`, which is none of the country, most likely was.
inline PostalGuess GuessPostalCode(const PostalCountry& country, std::string_view text, PostalFit wanted) {
  text = Trim(text);
  const auto fits = [&country, wanted](std::string_view code) { return PostalFitOf(country, code) >= wanted; };
  const auto plain = [](char c) { return IsDigit(c) || c == ' ' || c == '-'; };
  if (std::all_of(text.begin(), text.end(), plain)) {
    std::string code(text);
    for (int zeros = 1; zeros <= 2; ++zeros) {
      code.insert(code.begin(), '0');
      if (PostalFitOf(country, code) == PostalFit::kWhole) return {PostalSlip::kZeros, std::move(code)};
    }
  }
  PostalSteps steps(country);
  std::string read;
  for (const char written : text) {
    const char c = UpperCase(written);
    const char twin = c == 'O' ? '0' : c == '0' ? 'O' : c == 'I' || c == 'L' ? '1' : c == '1' ? 'I' : c;
    read += c == ' ' || c == '-' || steps.Take(c) ? c : steps.Take(twin) ? twin : '?';
  }
  if (fits(read)) return {PostalSlip::kLetters, std::move(read)};
  const std::string_view letters(country.code);
  std::string longer(letters);
  longer += text;
  if (fits(longer)) return {PostalSlip::kCountry, std::move(longer)};
  // "CH-8001", "D-10115": the letters of plates and of envelopes.
  std::string_view rest = text;
  while (!rest.empty() && rest.size() + 2 > text.size() && IsLetter(rest.front())) rest.remove_prefix(1);
  while (!rest.empty() && (rest.front() == ' ' || rest.front() == '-')) rest.remove_prefix(1);
  if (!rest.empty() && rest.size() < text.size() && fits(rest)) return {PostalSlip::kCountry, std::string(rest)};
  return {};
}

/// "five digits": what a code of the country looks like.
constexpr std::string_view PostalWords(const PostalCountry& country) { return kPostalWords[country.words]; }

/// "; was it "02134"?", or nothing.
inline std::string PostalQuestion(const PostalGuess& guess) {
  return guess.slip == PostalSlip::kNone ? std::string() : "; was it \"" + guess.code + "\"?";
}

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_ZONE_INTERNAL_POSTAL_FORM_H_
