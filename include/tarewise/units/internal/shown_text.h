#ifndef TAREWISE_UNITS_INTERNAL_SHOWN_TEXT_H_
#define TAREWISE_UNITS_INTERNAL_SHOWN_TEXT_H_

#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>

#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// The bytes of the UTF-8 sequence at `i`, 0 where there is none (overlong forms and surrogates are none).
inline std::size_t SequenceAt(std::string_view text, std::size_t i) {
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

/// Appends the character at `i` so that a reader sees it: what is unseen as \uXXXX, a byte of no character as U+FFFD.
/// Returns how many bytes it took.
inline std::size_t AppendShown(std::string_view text, std::size_t i, std::string& out) {
  const std::size_t length = SequenceAt(text, i);
  if (length == 0) {
    out += "\xEF\xBF\xBD";
    return 1;
  }
  const std::uint32_t point = PointAt(text, i, length);
  if (IsUnseen(point)) {
    AppendEscape(point, out);
  } else {
    out += text.substr(i, length);
  }
  return length;
}

/// In quotation marks, at most some 60 bytes of it.
inline std::string Quoted(std::string_view text) {
  constexpr std::size_t kMost = 60;
  std::string out = "\"";
  std::size_t at = 0;
  while (at < text.size()) {
    const std::size_t length = SequenceAt(text, at);
    if (at + (length == 0 ? 1 : length) > kMost) break;
    at += AppendShown(text, at, out);
  }
  if (at < text.size()) out += "...";
  return out += '"';
}

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_UNITS_INTERNAL_SHOWN_TEXT_H_
