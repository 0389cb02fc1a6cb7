#include "text.h"

#include <algorithm>
#include <cstdint>
#include <cstring>

namespace tarewise::inline TW_VERSIONED::load {

std::optional<std::size_t> FirstNotUtf8(std::string_view text) {
  const auto* bytes = reinterpret_cast<const unsigned char*>(text.data());
  const std::size_t size = text.size();
  std::size_t at = 0;
  while (at < size) {
    if (size - at >= 8) {
      std::uint64_t word;
      std::memcpy(&word, bytes + at, sizeof word);
      if ((word & 0x8080808080808080u) == 0) {
        at += 8;
        continue;
      }
    }
    const unsigned char lead = bytes[at];
    if (lead < 0x80) {
      ++at;
      continue;
    }
    std::size_t length = 0;
    unsigned char low = 0x80;  // the bounds of the second byte keep out overlong forms, surrogates and past U+10FFFF
    unsigned char high = 0xBF;
    if (lead >= 0xC2 && lead <= 0xDF) {
      length = 2;
    } else if (lead >= 0xE0 && lead <= 0xEF) {
      length = 3;
      if (lead == 0xE0) low = 0xA0;
      if (lead == 0xED) high = 0x9F;
    } else if (lead >= 0xF0 && lead <= 0xF4) {
      length = 4;
      if (lead == 0xF0) low = 0x90;
      if (lead == 0xF4) high = 0x8F;
    } else {
      return at;
    }
    if (size - at < length || bytes[at + 1] < low || bytes[at + 1] > high) return at;
    for (std::size_t i = 2; i < length; ++i) {
      if ((bytes[at + i] & 0xC0) != 0x80) return at;
    }
    at += length;
  }
  return std::nullopt;
}

std::string_view OtherEncoding(std::string_view text) {
  using namespace std::string_view_literals;
  const std::string_view head = text.substr(0, 4);
  if (head == "\xFF\xFE\0\0"sv || head == "\0\0\xFE\xFF"sv) return "UTF-32";
  if (head.starts_with("\xFF\xFE"sv) || head.starts_with("\xFE\xFF"sv)) return "UTF-16";
  if (head.size() < 4) return {};
  // What is read here begins with characters of ASCII, whose other bytes are zero.
  const auto zero = [&](std::size_t i) { return head[i] == '\0'; };
  if (!zero(0) && zero(1) && zero(2) && zero(3)) return "UTF-32";
  if (zero(0) && zero(1) && zero(2) && !zero(3)) return "UTF-32";
  if (!zero(0) && zero(1) && !zero(2) && zero(3)) return "UTF-16";
  if (zero(0) && !zero(1) && zero(2) && !zero(3)) return "UTF-16";
  return {};
}

std::string EncodingWords(std::string_view found) {
  return "found " + std::string(found) + ", expected UTF-8 (save the file again in that encoding)";
}

std::optional<OtherSeparator> FindOtherSeparator(std::string_view line) {
  struct Count {
    std::size_t times = 0;
    std::size_t first = 0;
  };
  Count commas, semicolons, tabs;
  bool quoted = false;
  for (std::size_t i = 0; i < line.size(); ++i) {
    if (line[i] == '"') quoted = !quoted;
    Count* const count = quoted            ? nullptr
                         : line[i] == ','  ? &commas
                         : line[i] == ';'  ? &semicolons
                         : line[i] == '\t' ? &tabs
                                           : nullptr;
    if (count != nullptr && count->times++ == 0) count->first = i;
  }
  const bool tab = tabs.times > semicolons.times;
  const Count& most = tab ? tabs : semicolons;
  if (most.times <= commas.times) return std::nullopt;
  return OtherSeparator{most.first, tab ? "found a tab between the columns, expected a comma"
                                        : "found a semicolon between the columns, expected a comma"};
}

std::string CsvField(std::string_view text) {
  if (text.find_first_of(",\"\r\n") == std::string_view::npos) return std::string(text);
  std::string out = "\"";
  for (const char c : text) {
    if (c == '"') out += '"';
    out += c;
  }
  return out += '"';
}

std::string Suggestion(std::string_view text, const std::vector<std::string_view>& names) {
  const std::string_view nearest = NearestName(text, names);
  if (!nearest.empty()) return " (did you mean " + Quoted(nearest) + "?)";
  if (names.empty()) return " (there is none)";
  constexpr std::size_t kMostNames = 24;
  std::string out = ": ";
  for (std::size_t i = 0; i < names.size() && i < kMostNames; ++i) {
    if (i > 0) out += ", ";
    out += names[i];
  }
  if (names.size() > kMostNames) out += " and " + std::to_string(names.size() - kMostNames) + " more";
  return out;
}

std::string_view BaseName(std::string_view path) {
  const std::size_t slash = path.find_last_of('/');
  return slash == std::string_view::npos ? path : path.substr(slash + 1);
}

std::string_view FolderOf(std::string_view path) {
  const std::size_t slash = path.find_last_of('/');
  return slash == std::string_view::npos ? std::string_view() : path.substr(0, slash + 1);
}

}  // namespace tarewise::inline TW_VERSIONED::load
