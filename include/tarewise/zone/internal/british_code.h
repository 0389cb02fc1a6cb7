#ifndef TAREWISE_ZONE_INTERNAL_BRITISH_CODE_H_
#define TAREWISE_ZONE_INTERNAL_BRITISH_CODE_H_

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>

#include "tarewise/units/internal/quantity_text.h"
#include "tarewise/version.h"
#include "tarewise/zone/internal/postal_form.h"

namespace tarewise::inline TW_VERSIONED::internal {

// British codes are compared spread out: four places for the letters, four for the number, one for the letter after it,
// then the sector and the unit: "PA  0002 0AA", "EC  0001A1BB". Spread, an area is a plain prefix, and numbers stand in
// their order. A part that is not known is left out from the end.
inline constexpr std::size_t kBritishLetters = 4;
inline constexpr std::size_t kBritishDistrict = 8;
inline constexpr std::size_t kBritishFullDistrict = 9;
inline constexpr std::size_t kBritishSector = 10;
inline constexpr std::size_t kBritishCode = 12;

constexpr bool HasBritishCodes(std::string_view country) {
  return country == "GB" || country == "GG" || country == "IM" || country == "JE";
}

/// A code of a country of British codes, or the beginning of one, spread; nothing where it is neither. Only in "PA2 0",
/// which is no "PA20", a space or a hyphen tells.
inline std::optional<std::string> SpreadBritish(const PostalCountry& country, std::string_view text) {
  std::string code;
  bool last_apart = false;  // a space or a hyphen stands before the last character
  bool apart = false;
  for (const char c : Trim(text)) {
    if (c == ' ' || c == '-') {
      apart = true;
    } else {
      code += UpperCase(c);
      last_apart = apart;
      apart = false;
    }
  }
  if (PostalFitOf(country, code) == PostalFit::kNone) return std::nullopt;
  std::size_t letters = 0;
  while (letters < code.size() && IsLetter(code[letters])) ++letters;
  std::string spread = code.substr(0, letters);
  const bool forces = spread == "BFPO";
  const bool giro = spread == "GIR";
  if (!forces && !giro && PostalFitOf(country, spread + "11AA") != PostalFit::kWhole) return std::nullopt;
  spread.resize(kBritishLetters, ' ');
  const std::string_view rest = std::string_view(code).substr(letters);
  if (rest.empty()) return spread;
  std::size_t digits = 0;
  while (digits < rest.size() && IsDigit(rest[digits])) ++digits;
  // Of "20", "20A" and "202" the last digit is the sector but in the first, unless it stands apart.
  const bool all_digits = digits == rest.size();
  std::size_t number = giro ? 0 : digits;
  if (!forces && !giro && digits > 1 && (digits == 3 || !all_digits || last_apart)) --number;
  spread += number == 0 ? std::string(4, ' ') : std::string(4 - number, '0');
  spread += rest.substr(0, number);
  if (number == rest.size()) return spread;
  const bool tail = IsLetter(rest[number]);
  if (!tail) spread += ' ';
  spread += rest.substr(number);
  return spread;
}

/// The way a spread code is written: "PA2 0AA".
inline std::string WriteBritish(std::string_view spread) {
  std::string out(spread.substr(0, spread.find(' ')).substr(0, kBritishLetters));
  std::string_view number = spread.substr(kBritishLetters < spread.size() ? kBritishLetters : spread.size(), 4);
  while (number.size() > 1 && number.front() == '0') number.remove_prefix(1);
  if (number != "    ") out += number;
  if (spread.size() > kBritishDistrict && spread[kBritishDistrict] != ' ') out += spread[kBritishDistrict];
  if (spread.size() > kBritishFullDistrict) out += " " + std::string(spread.substr(kBritishFullDistrict));
  return out;
}

/// How much of a spread code its first `characters` reach, in whole parts; more than its size where it is shorter.
inline std::size_t BritishReach(std::string_view spread, std::size_t characters) {
  const std::string written = WriteBritish(spread);
  std::size_t letters = 0;
  while (letters < written.size() && IsLetter(written[letters])) ++letters;
  if (characters <= letters) return kBritishLetters;
  std::size_t number = letters;
  while (number < written.size() && IsDigit(written[number])) ++number;
  if (characters <= number) return kBritishDistrict;
  const bool tail = number < written.size() && IsLetter(written[number]);
  const std::size_t reach = (tail ? kBritishDistrict : kBritishFullDistrict) + characters - number;
  return reach == kBritishSector + 1 ? kBritishCode : reach;
}

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_ZONE_INTERNAL_BRITISH_CODE_H_
