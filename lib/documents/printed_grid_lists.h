#ifndef TAREWISE_LIB_DOCUMENTS_PRINTED_GRID_LISTS_H_
#define TAREWISE_LIB_DOCUMENTS_PRINTED_GRID_LISTS_H_

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <string_view>

#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::load::printed {

/// Which words cannot be of a list, by their first byte and their length. Most words of a text are of none, and a text
/// of 1 MiB asks some millions of times.
class WordFilter {
 public:
  constexpr void Add(std::string_view word) { lengths_[Bucket(word)] |= Length(word); }
  constexpr bool MayHave(std::string_view word) const {
    return !word.empty() && (lengths_[Bucket(word)] & Length(word)) != 0;
  }

 private:
  static constexpr std::size_t Bucket(std::string_view word) { return static_cast<unsigned char>(word.front()) & 31; }
  static constexpr std::uint32_t Length(std::string_view word) {
    return std::uint32_t{1} << std::min<std::size_t>(word.size(), 31);
  }

  std::array<std::uint32_t, 32> lengths_ = {};  // a bit a length
};

/// Words that are known.
template <std::size_t kSize>
class WordList {
 public:
  constexpr explicit WordList(const std::array<std::string_view, kSize>& words) : words_(words) {
    for (const std::string_view word : words) filter_.Add(word);
  }

  constexpr bool Has(std::string_view word) const {
    return filter_.MayHave(word) && std::find(words_.begin(), words_.end(), word) != words_.end();
  }

 private:
  std::array<std::string_view, kSize> words_;
  WordFilter filter_;
};

template <typename... Words>
constexpr WordList<sizeof...(Words)> MakeWordList(Words... words) {
  return WordList<sizeof...(Words)>(std::array<std::string_view, sizeof...(Words)>{std::string_view(words)...});
}

}  // namespace tarewise::inline TW_VERSIONED::load::printed

#endif  // TAREWISE_LIB_DOCUMENTS_PRINTED_GRID_LISTS_H_
