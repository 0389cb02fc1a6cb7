#ifndef TAREWISE_UNITS_INTERNAL_QUANTITY_TEXT_H_
#define TAREWISE_UNITS_INTERNAL_QUANTITY_TEXT_H_

#include <cstddef>
#include <cstdint>
#include <limits>
#include <optional>
#include <span>
#include <string>
#include <string_view>

#include "absl/numeric/int128.h"
#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "tarewise/units/rounding.h"
#include "tarewise/units/shown_text.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

// Debian's Abseil has a string_view of its own that std::string_view does not convert into.
inline absl::string_view Av(std::string_view text) { return absl::string_view(text.data(), text.size()); }

// In quotation marks, at most some 60 bytes of it.
inline std::string Quoted(std::string_view text) {
  constexpr std::size_t kMost = 60;
  std::string out = "\"";
  std::size_t at = 0;
  while (at < text.size()) {
    const std::size_t length = CharacterAt(text, at);
    if (at + (length == 0 ? 1 : length) > kMost) break;
    at += AppendShown(text, at, out);
  }
  if (at < text.size()) out += "...";
  return out += '"';
}

inline absl::Status Invalid(std::string_view message) { return absl::InvalidArgumentError(Av(message)); }

inline absl::Status FoundExpected(std::string_view found, std::string_view expected) {
  std::string message = "found ";
  message += Quoted(found);
  message += ", expected ";
  message += expected;
  return Invalid(message);
}

constexpr bool IsDigit(char c) { return c >= '0' && c <= '9'; }
constexpr bool IsSpace(char c) { return c == ' ' || c == '\t'; }
constexpr bool IsLetter(char c) { return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z'); }

inline std::string_view Trim(std::string_view text) {
  while (!text.empty() && IsSpace(text.front())) text.remove_prefix(1);
  while (!text.empty() && IsSpace(text.back())) text.remove_suffix(1);
  return text;
}

// A plain decimal: digits, at most one point with digits on at least one side. mantissa / 10^scale.
struct Decimal {
  Int128 mantissa = 0;
  int scale = 0;
};

inline constexpr int kMostWholeDigits = 12;
inline constexpr int kMostDecimals = 18;
inline constexpr int kMostShownDecimals = 13;  // a mile is 1.6 * 10^12 nm

inline constexpr std::int64_t kPowersOfTen[] = {1,
                                                10,
                                                100,
                                                1000,
                                                10000,
                                                100000,
                                                1000000,
                                                10000000,
                                                100000000,
                                                1000000000,
                                                10000000000,
                                                100000000000,
                                                1000000000000,
                                                10000000000000,
                                                100000000000000,
                                                1000000000000000,
                                                10000000000000000,
                                                100000000000000000,
                                                1000000000000000000};

// Takes the decimal at the head of `text`, which is moved past it.
inline std::optional<Decimal> TakeDecimal(std::string_view& text) {
  Decimal decimal;
  std::size_t at = 0;
  int whole = 0;
  bool any = false;
  std::int64_t mantissa = 0;
  while (at < text.size() && IsDigit(text[at])) {
    if (mantissa != 0 || text[at] != '0') ++whole;
    if (whole > kMostWholeDigits) return std::nullopt;
    mantissa = mantissa * 10 + (text[at] - '0');
    any = true;
    ++at;
  }
  decimal.mantissa = mantissa;
  if (at < text.size() && text[at] == '.') {
    ++at;
    int zeros = 0;
    bool digits = false;
    while (at < text.size() && IsDigit(text[at])) {
      digits = true;
      if (text[at] == '0') {
        ++zeros;
      } else {
        if (decimal.scale + zeros + 1 > kMostDecimals) return std::nullopt;
        for (; zeros > 0; --zeros, ++decimal.scale) decimal.mantissa *= 10;
        decimal.mantissa = decimal.mantissa * 10 + (text[at] - '0');
        ++decimal.scale;
      }
      ++at;
    }
    if (!digits) return std::nullopt;
    any = true;
  }
  if (!any) return std::nullopt;
  text.remove_prefix(at);
  return decimal;
}

// One unit of a kind of quantity, in whole base units (ng, nm, nm3).
struct UnitName {
  std::string_view name;
  Int128 size;
};

struct Fraction {
  Int128 num = 0;
  Int128 den = 1;
};

// "12", "12.375", "12-3/8", "3/8": the number at the head of `text`.
inline std::optional<Fraction> TakeNumber(std::string_view& text) {
  std::string_view rest = text;
  std::optional<Decimal> first = TakeDecimal(rest);
  if (!first) return std::nullopt;
  Fraction value{first->mantissa, kPowersOfTen[first->scale]};
  auto take_den = [&rest]() -> std::optional<std::int64_t> {
    std::optional<Decimal> den = TakeDecimal(rest);
    if (!den || den->scale != 0 || den->mantissa < 1 || den->mantissa > 1000) return std::nullopt;
    return static_cast<std::int64_t>(den->mantissa);
  };
  if (!rest.empty() && rest.front() == '/') {
    rest.remove_prefix(1);
    std::optional<std::int64_t> den = take_den();
    if (!den || first->scale != 0) return std::nullopt;
    value = {first->mantissa, *den};
  } else if (rest.size() > 1 && rest.front() == '-' && IsDigit(rest[1])) {
    rest.remove_prefix(1);
    std::optional<Decimal> num = TakeDecimal(rest);
    if (!num || num->scale != 0 || first->scale != 0 || num->mantissa > 1000 || rest.empty() || rest.front() != '/') {
      return std::nullopt;
    }
    rest.remove_prefix(1);
    std::optional<std::int64_t> den = take_den();
    if (!den) return std::nullopt;
    value = {first->mantissa * *den + num->mantissa, *den};
  }
  text = rest;
  return value;
}

inline const UnitName* FindUnit(std::span<const UnitName> units, std::string_view name) {
  for (const UnitName& unit : units) {
    if (unit.name == name) return &unit;
  }
  return nullptr;
}

// The unit at the head of `text`: letters, and the 3 of a volume ("in3"); nothing where there is none.
inline const UnitName* TakeUnit(std::string_view& text, std::span<const UnitName> units) {
  std::size_t at = 0;
  while (at < text.size() && IsLetter(text[at])) ++at;
  const UnitName* unit = nullptr;
  if (at < text.size() && text[at] == '3') unit = FindUnit(units, text.substr(0, at + 1));
  if (unit == nullptr) unit = FindUnit(units, text.substr(0, at));
  if (unit != nullptr) text.remove_prefix(unit->name.size());
  return unit;
}

// The name of the first unit written in a text of quantities; the "x" between sides belongs to none.
inline std::string_view FirstUnit(std::span<const UnitName> units, std::string_view text) {
  auto of_unit = [](char c) { return IsLetter(c) && c != 'x' && c != 'X'; };
  for (std::size_t from = 0; from < text.size(); ++from) {
    std::size_t end = from;
    while (end < text.size() && of_unit(text[end])) ++end;
    const UnitName* unit = FindUnit(units, text.substr(from, end - from));
    if (unit != nullptr) return unit->name;
    from = end;
  }
  return {};
}

struct ParsedQuantity {
  Int128 value;           // base units
  std::string_view unit;  // the first unit written
};

// "1 lb 3 oz": the exact sum of the parts, rounded once to a whole base unit, at most `most`.
inline absl::StatusOr<ParsedQuantity> ParseQuantity(std::string_view text, std::span<const UnitName> units, Int128 most,
                                                    std::string_view expected) {
  std::string_view rest = Trim(text);
  Int128 whole = 0;  // base units, and num / den of one beside them
  Int128 num = 0;
  Int128 den = 1;
  Int128 last_size = 0;
  std::string_view first_unit;
  if (rest.empty()) return FoundExpected(text, expected);
  while (!rest.empty()) {
    std::optional<Fraction> number = TakeNumber(rest);
    if (!number) return FoundExpected(text, expected);
    rest = Trim(rest);
    const UnitName* unit = TakeUnit(rest, units);
    if (unit == nullptr) return FoundExpected(text, expected);
    if (last_size != 0 && unit->size >= last_size) {
      return FoundExpected(text, std::string(expected) + " (the units of a sum fall in size)");
    }
    last_size = unit->size;
    if (first_unit.empty()) first_unit = unit->name;
    if (number->num / number->den > most / unit->size) {
      return FoundExpected(text, std::string(expected) + ", not so large");
    }
    // Cancelled first: every volume unit has 15 factors of ten or more, so that nothing here passes 128 bits.
    const Int128 common = GreatestCommonDivisor(unit->size, number->den);
    const Int128 part_den = number->den / common;
    const Int128 part = number->num * (unit->size / common);
    whole += part / part_den;
    const Int128 left = part % part_den;
    if (left != 0) {
      if (den > Int128(kPowersOfTen[18]) / part_den * kPowersOfTen[6]) {
        return FoundExpected(text, std::string(expected) + ", with fewer decimals");
      }
      num = num * part_den + left * den;
      den *= part_den;
      const Int128 divisor = GreatestCommonDivisor(num, den);
      num /= divisor;
      den /= divisor;
    }
    rest = Trim(rest);
  }
  const Int128 value = whole + RoundHalfUp(num, den);
  if (value > most) return FoundExpected(text, std::string(expected) + ", not so large");
  return ParsedQuantity{value, first_unit};
}

inline void AppendNumber(std::string& out, std::uint64_t number) {
  char digits[20];
  std::size_t at = sizeof digits;
  do {
    digits[--at] = static_cast<char>('0' + number % 10);
    number /= 10;
  } while (number != 0);
  out.append(digits + at, sizeof digits - at);
}

// `fraction` of 10^decimals, with the point before it and no zeros at its end; nothing of 0.
inline void AppendFraction(std::string& out, std::uint64_t fraction, int decimals) {
  if (fraction == 0) return;
  for (; fraction % 10 == 0; fraction /= 10) --decimals;
  char digits[kMostDecimals + 1];
  digits[0] = '.';
  for (int i = decimals; i > 0; --i, fraction /= 10) digits[i] = static_cast<char>('0' + fraction % 10);
  out.append(digits, static_cast<std::size_t>(decimals) + 1);
}

// What `ShortestDecimal` says where 64 bits hold all that it takes, which they nearly always do: answers are mostly
// made of numbers. False where they do not; `out` is then as it was.
inline bool AppendShortDecimal(std::string& out, std::uint64_t value, std::uint64_t size) {
  const std::uint64_t whole = value / size;
  const std::uint64_t rest = value - whole * size;
  if (rest == 0) {
    AppendNumber(out, whole);
    return true;
  }
  for (int decimals = 1; decimals <= kMostShownDecimals; ++decimals) {
    const auto power = static_cast<std::uint64_t>(kPowersOfTen[decimals]);
    if (size == power) {
      AppendNumber(out, whole);
      AppendFraction(out, rest, decimals);
      return true;
    }
    if (size < power) break;
  }
  auto half_up = [](std::uint64_t num, std::uint64_t den) {
    const std::uint64_t quotient = num / den;
    const std::uint64_t left = num - quotient * den;
    return left >= den - left ? quotient + 1 : quotient;
  };
  constexpr auto kMost = static_cast<std::uint64_t>(std::numeric_limits<std::int64_t>::max());
  for (int decimals = 0; decimals <= kMostShownDecimals; ++decimals) {
    const auto power = static_cast<std::uint64_t>(kPowersOfTen[decimals]);
    if (size > kMost / power) return false;
    const std::uint64_t scaled = half_up(rest * power, size);
    if (half_up(scaled * size, power) != rest) continue;
    AppendNumber(out, scaled < power ? whole : whole + 1);
    AppendFraction(out, scaled < power ? scaled : 0, decimals);
    return true;
  }
  return false;
}

// The shortest decimal of `value` base units in units of `size` that reads back as the same value.
inline std::string ShortestDecimal(Int128 value, Int128 size) {
  std::string out;
  if (value < 0) {
    out += '-';
    value = -value;
  }
  constexpr Int128 kSmall = std::numeric_limits<std::int64_t>::max();
  if (value <= kSmall && size <= kSmall &&
      AppendShortDecimal(out, static_cast<std::uint64_t>(value), static_cast<std::uint64_t>(size))) {
    return out;
  }
  const Int128 whole = value / size;
  Int128 rest = value - whole * size;
  int most_decimals = kMostShownDecimals;  // as many as leave the products inside 128 bits
  while (size > absl::Int128Max() / kPowersOfTen[most_decimals]) --most_decimals;
  for (int decimals = 0; decimals <= most_decimals; ++decimals) {
    const Int128 power = kPowersOfTen[decimals];
    const Int128 scaled = RoundHalfUp(rest * power, size);
    if (RoundHalfUp(scaled * size, power) == rest || decimals == most_decimals) {
      Int128 shown_whole = whole;
      Int128 fraction = scaled;
      if (fraction >= power) {
        shown_whole += 1;
        fraction -= power;
      }
      char digits[48];
      int n = 0;
      do {
        digits[n++] = static_cast<char>('0' + static_cast<int>(shown_whole % 10));
        shown_whole /= 10;
      } while (shown_whole != 0);
      while (n > 0) out += digits[--n];
      if (decimals > 0 && fraction != 0) {
        out += '.';
        std::string tail(static_cast<std::size_t>(decimals), '0');
        for (int i = decimals - 1; i >= 0; --i) {
          tail[static_cast<std::size_t>(i)] = static_cast<char>('0' + static_cast<int>(fraction % 10));
          fraction /= 10;
        }
        while (tail.back() == '0') tail.pop_back();
        out += tail;
      }
      return out;
    }
  }
  return out;
}

// For people: at most 4 decimals, half up; what has no more than that is exact.
inline std::string ShortDecimal(Int128 value, Int128 size) {
  std::string exact = ShortestDecimal(value, size);
  constexpr std::size_t kDecimals = 4;
  const std::size_t point = exact.find('.');
  if (point == std::string::npos || exact.size() - point - 1 <= kDecimals) return exact;
  const Int128 power = kPowersOfTen[kDecimals];
  const Int128 whole = value / size;
  const Int128 rounded = whole * power + RoundHalfUp((value - whole * size) * power, size);
  return ShortestDecimal(rounded, power);
}

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_UNITS_INTERNAL_QUANTITY_TEXT_H_
