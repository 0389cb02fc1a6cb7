#ifndef TAREWISE_LIB_DOCUMENTS_JSON_WRITER_H_
#define TAREWISE_LIB_DOCUMENTS_JSON_WRITER_H_

#include <array>
#include <cstddef>
#include <cstdint>
#include <cstring>
#include <string>
#include <string_view>
#include <utility>

#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

// Writes a JSON document from its beginning to its end into one text. No tree of it is ever there: trees of values take
// memory to be taken apart, and so cannot be let go of where there is none.
class JsonWriter {
 public:
  // `indent` spaces a level; -1: one line.
  explicit JsonWriter(int indent) : indent_(indent) {}

  void Reserve(std::size_t bytes) { out_.reserve(bytes); }

  JsonWriter& BeginObject() { return Begin('{'); }
  JsonWriter& EndObject() { return End('}'); }
  JsonWriter& BeginArray() { return Begin('['); }
  JsonWriter& EndArray() { return End(']'); }

  // Of one of ours, which has nothing to escape.
  JsonWriter& Key(std::string_view key) {
    NextLine();
    out_ += '"';
    out_ += key;
    out_ += indent_ < 0 ? "\":" : "\": ";
    after_key_ = true;
    return *this;
  }

  JsonWriter& Text(std::string_view text) {
    NextLine();
    Quote(text);
    return *this;
  }
  JsonWriter& Flag(bool flag) { return Raw(flag ? "true" : "false"); }
  JsonWriter& Number(std::int64_t number) { return Raw(std::to_string(number)); }
  JsonWriter& Null() { return Raw("null"); }

  JsonWriter& Text(std::string_view key, std::string_view text) { return Key(key).Text(text); }
  JsonWriter& Flag(std::string_view key, bool flag) { return Key(key).Flag(flag); }

  std::string Take() { return std::move(out_); }

 private:
  JsonWriter& Begin(char bracket) {
    NextLine();
    out_ += bracket;
    ++level_;
    empty_ = true;
    return *this;
  }
  JsonWriter& End(char bracket) {
    --level_;
    if (!empty_) BreakLine();
    out_ += bracket;
    empty_ = false;
    return *this;
  }
  JsonWriter& Raw(std::string_view word) {
    NextLine();
    out_ += word;
    return *this;
  }

  // To where a key, or a value without one, begins.
  void NextLine() {
    if (std::exchange(after_key_, false) || level_ == 0) return;
    if (!std::exchange(empty_, false)) out_ += ',';
    BreakLine();
  }
  void BreakLine() {
    if (indent_ < 0) return;
    out_ += '\n';
    out_.append(static_cast<std::size_t>(indent_) * level_, ' ');
  }

  // Runs of plain characters go over as they are: nearly all text is one run.
  void Quote(std::string_view text) {
    out_ += '"';
    std::size_t run = 0;
    for (std::size_t i = PlainRun(text); i < text.size();) {
      const auto byte = static_cast<unsigned char>(text[i]);
      if (kPlain[byte]) {
        ++i;
        continue;
      }
      if (byte >= 0x80) {
        const auto [length, whole] = SequenceAt(text, i);
        if (!whole) {
          out_.append(text, run, i - run);
          out_ += "\xEF\xBF\xBD";
          run = i + length;
        }
        i += length;
        continue;
      }
      out_.append(text, run, i - run);
      Escape(text[i]);
      run = ++i;
    }
    out_.append(text, run, text.size() - run);
    out_ += '"';
  }

  // How much of the beginning is plain, by eights.
  static std::size_t PlainRun(std::string_view text) {
    constexpr std::uint64_t kEach = 0x0101010101010101u;
    constexpr std::uint64_t kHigh = 0x80 * kEach;
    const auto has_zero = [](std::uint64_t word) { return (word - kEach) & ~word; };
    std::size_t i = 0;
    for (; i + 8 <= text.size(); i += 8) {
      std::uint64_t word;
      std::memcpy(&word, text.data() + i, sizeof word);
      // A byte below 0x20, a quotation mark, a backslash, or one past ASCII.
      const std::uint64_t odd =
          ((word - 0x20 * kEach) & ~word) | has_zero(word ^ ('"' * kEach)) | has_zero(word ^ ('\\' * kEach)) | word;
      if ((odd & kHigh) != 0) break;
    }
    return i;
  }

  void Escape(char c) {
    constexpr std::string_view kSpecial = "\"\\\b\f\n\r\t";
    constexpr std::string_view kLetters = "\"\\bfnrt";
    if (const std::size_t at = kSpecial.find(c); at != std::string_view::npos) {
      out_ += '\\';
      out_ += kLetters[at];
    } else {
      constexpr std::string_view kDigits = "0123456789abcdef";
      out_ += "\\u00";
      out_ += kDigits[static_cast<unsigned char>(c) >> 4];
      out_ += kDigits[static_cast<unsigned char>(c) & 15];
    }
  }

  // ASCII that stands for itself in a string.
  static constexpr std::array<bool, 256> kPlain = [] {
    std::array<bool, 256> plain{};
    for (std::size_t c = 0x20; c < 0x80; ++c) plain[c] = c != '"' && c != '\\';
    return plain;
  }();

  struct Sequence {
    std::size_t length;
    bool whole;
  };
  // The UTF-8 sequence at `i`, or as many bytes as could have begun one, at least 1.
  static Sequence SequenceAt(std::string_view text, std::size_t i) {
    const auto first = static_cast<unsigned char>(text[i]);
    const std::size_t length = first >= 0xC2 && first <= 0xDF   ? 2
                               : (first & 0xF0) == 0xE0         ? 3
                               : first >= 0xF0 && first <= 0xF4 ? 4
                                                                : 0;
    if (length == 0) return {1, false};
    for (std::size_t k = 1; k < length; ++k) {
      if (i + k >= text.size()) return {k, false};
      const auto byte = static_cast<unsigned char>(text[i + k]);
      // Overlong forms, surrogates and numbers past the last are no sequences.
      const unsigned low = k > 1 ? 0x80 : first == 0xE0 ? 0xA0 : first == 0xF0 ? 0x90 : 0x80;
      const unsigned high = k > 1 ? 0xBF : first == 0xED ? 0x9F : first == 0xF4 ? 0x8F : 0xBF;
      if (byte < low || byte > high) return {k, false};
    }
    return {length, true};
  }

  int indent_;
  std::string out_;
  std::size_t level_ = 0;
  bool empty_ = true;       // Nothing yet in the innermost object or array.
  bool after_key_ = false;  // A key waits for its value.
};

}  // namespace tarewise::inline TW_VERSIONED

#endif  // TAREWISE_LIB_DOCUMENTS_JSON_WRITER_H_
