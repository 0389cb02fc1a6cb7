#include "edits.h"

#include <algorithm>
#include <utility>

#include "json_writer.h"

namespace tarewise::inline TW_VERSIONED::load {

void Edits::Replace(std::size_t begin, std::size_t end, std::string with) {
  edits_.push_back({begin, end, std::move(with)});
}

std::string Edits::Applied(std::string_view text) const {
  std::vector<const Edit*> order;
  order.reserve(edits_.size());
  for (const Edit& edit : edits_) order.push_back(&edit);
  std::stable_sort(order.begin(), order.end(), [](const Edit* a, const Edit* b) { return a->begin < b->begin; });
  std::string out;
  std::size_t at = 0;
  for (const Edit* edit : order) {
    out += text.substr(at, edit->begin - at);
    out += edit->with;
    at = edit->end;
  }
  out += text.substr(at);
  return out;
}

std::size_t EndOfValue(std::string_view text, std::size_t at) {
  std::size_t depth = 0;
  while (at < text.size()) {
    const char c = text[at];
    if (c == '"') {
      for (++at; at < text.size() && text[at] != '"'; ++at) {
        if (text[at] == '\\') ++at;
      }
      ++at;
    } else if (c == '{' || c == '[') {
      ++depth;
      ++at;
      continue;
    } else if (c == '}' || c == ']') {
      --depth;
      ++at;
    } else if (depth > 0) {
      ++at;
      continue;
    } else {
      return std::min(text.find_first_of(",]} \t\r\n", at), text.size());
    }
    if (depth == 0) return at;
  }
  return text.size();
}

std::string JsonString(std::string_view text) { return JsonWriter(-1).Text(text).Take(); }

void RemoveMember(std::string_view text, Value member, Edits& edits) {
  constexpr std::string_view kSpace = " \t\r\n";
  std::size_t begin = member.key_offset();
  std::size_t end = EndOfValue(text, member.offset());
  const std::size_t before = text.find_last_not_of(kSpace, begin - 1);
  if (text[before] == ',') {
    begin = before;
  } else if (const std::size_t after = text.find_first_not_of(kSpace, end); text[after] == ',') {
    end = text.find_first_not_of(kSpace, after + 1);
  }
  edits.Replace(begin, end, "");
}

}  // namespace tarewise::inline TW_VERSIONED::load
