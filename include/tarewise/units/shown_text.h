#ifndef TAREWISE_UNITS_SHOWN_TEXT_H_
#define TAREWISE_UNITS_SHOWN_TEXT_H_

#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>

#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {
namespace internal {

/// The number of the character that a sequence stands for.
inline std::uint32_t PointAt(std::string_view text, std::size_t i, std::size_t length) {
  const auto first = static_cast<unsigned char>(text[i]);
  if (length == 1) return first;
  std::uint32_t point = first & (0x7Fu >> length);
  for (std::size_t k = 1; k < length; ++k) point = point << 6 | (static_cast<unsigned char>(text[i + k]) & 0x3Fu);
  return point;
}

/// Controls, and what takes no room or turns the direction of writing: a reader of a message does not see them.
inline bool IsUnseen(std::uint32_t point) {
  return point < 0x20 || (point >= 0x7F && point < 0xA0) || point == 0xAD || (point >= 0x200B && point <= 0x200F) ||
         (point >= 0x2028 && point <= 0x202E) || (point >= 0x2060 && point <= 0x2069) || point == 0xFEFF;
}

inline void AppendEscape(std::uint32_t point, std::string& out) {
  constexpr std::string_view kDigits = "0123456789abcdef";
  out += "\\u";
  for (int shift = 12; shift >= 0; shift -= 4) out += kDigits[point >> shift & 15u];
}

}  // namespace internal

/// How many bytes the character at `i` of a text in UTF-8 has, which is before its end; 0: there is none (bytes of
/// another encoding, overlong forms, surrogates).
///
///     const std::string_view line = "5 kg";
///     std::size_t at = 0;
///     while (at < line.size() && CharacterAt(line, at) != 0) at += CharacterAt(line, at);
///     const bool utf8 = at == line.size();
inline std::size_t CharacterAt(std::string_view text, std::size_t i) {
  const auto byte = [text](std::size_t at) { return static_cast<unsigned char>(text[at]); };
  const unsigned char first = byte(i);
  if (first < 0x80) return 1;
  const std::size_t length = first >= 0xC2 && first <= 0xDF   ? 2
                             : (first & 0xF0) == 0xE0         ? 3
                             : first >= 0xF0 && first <= 0xF4 ? 4
                                                              : 0;
  if (length == 0 || i + length > text.size()) return 0;
  for (std::size_t k = 1; k < length; ++k) {
    if ((byte(i + k) & 0xC0) != 0x80) return 0;
  }
  const unsigned char second = byte(i + 1);
  if (first == 0xE0 && second < 0xA0) return 0;
  if (first == 0xED && second > 0x9F) return 0;
  if (first == 0xF0 && second < 0x90) return 0;
  if (first == 0xF4 && second > 0x8F) return 0;
  return length;
}

/// Appends the character at `i` so that a reader sees it: what is unseen (controls, what takes no room, what turns the
/// direction of writing) as \uXXXX, a byte of no character as U+FFFD. Returns how many bytes of `text` it was.
///
///     const std::string_view line = "5\tlb";
///     std::string shown;
///     for (std::size_t at = 0; at < line.size();) at += AppendShown(line, at, shown);
inline std::size_t AppendShown(std::string_view text, std::size_t i, std::string& out) {
  const std::size_t length = CharacterAt(text, i);
  if (length == 0) {
    out += "\xEF\xBF\xBD";
    return 1;
  }
  const std::uint32_t point = internal::PointAt(text, i, length);
  if (internal::IsUnseen(point)) {
    internal::AppendEscape(point, out);
  } else {
    out += text.substr(i, length);
  }
  return length;
}

}  // namespace tarewise::inline TW_VERSIONED

#endif  // TAREWISE_UNITS_SHOWN_TEXT_H_
