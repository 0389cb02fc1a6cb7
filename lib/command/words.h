#ifndef TAREWISE_LIB_COMMAND_WORDS_H_
#define TAREWISE_LIB_COMMAND_WORDS_H_

#include <string_view>

namespace tarewise::command {

constexpr bool IsDigit(char c) { return c >= '0' && c <= '9'; }
constexpr bool IsLetter(char c) { return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z'); }

/// Without the blanks and tabs at its ends.
constexpr std::string_view Trim(std::string_view text) {
  const std::size_t first = text.find_first_not_of(" \t");
  if (first == std::string_view::npos) return text.substr(text.size());
  return text.substr(first, text.find_last_not_of(" \t") - first + 1);
}

}  // namespace tarewise::command

#endif  // TAREWISE_LIB_COMMAND_WORDS_H_
