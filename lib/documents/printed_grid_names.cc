// The names of a printed grid's columns.
#include <cstddef>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "printed_grid_heading.h"
#include "printed_grid_words.h"

namespace tarewise::inline TW_VERSIONED::load::printed {
namespace {

bool AllDigits(std::string_view text) {
  return !text.empty() && text.size() <= 3 && text.find_first_not_of("0123456789") == std::string_view::npos;
}

// "5-8", "5 to 8": the zones from one to the other; empty where it is none.
std::string Range(std::string_view name) {
  for (const std::string_view sign :
       {std::string_view("-"), std::string_view("\xE2\x80\x93"), std::string_view(" to ")}) {
    const std::size_t at = name.find(sign);
    if (at == std::string_view::npos) continue;
    const std::string_view low = TrimAll(name.substr(0, at));
    const std::string_view high = TrimAll(name.substr(at + sign.size()));
    if (!AllDigits(low) || !AllDigits(high)) return {};
    const int first = std::stoi(std::string(low));
    const int last = std::stoi(std::string(high));
    if (first >= last || last - first > 50) return {};
    std::string out;
    for (int zone = first; zone <= last; ++zone) out += (zone == first ? "" : " & ") + std::to_string(zone);
    return out;
  }
  return {};
}

// "1,2", "1&2", "1 and 2" as "1 & 2".
std::string Joined(std::string_view name) {
  std::string out;
  for (std::size_t at = 0; at < name.size(); ++at) {
    std::size_t size = name[at] == ',' || name[at] == '&' ? 1 : name.substr(at).starts_with(" and ") ? 4 : 0;
    if (size == 0) {
      out += name[at];
      continue;
    }
    while (out.ends_with(' ')) out.pop_back();
    out += " & ";
    at += size - 1;
    while (at + 1 < name.size() && name[at + 1] == ' ') ++at;
  }
  return out;
}

}  // namespace

NamesDone TidyNames(std::vector<std::string>& names) {
  NamesDone done;
  if (names.size() == 1 && IsPriceWord(names[0])) {
    names[0] = "*";
    done.any_zone = true;
    return done;
  }
  for (std::string& name : names) {
    std::string_view rest = TrimAll(name);
    while (true) {
      const std::size_t mark = MarkAtEnd(rest);
      if (mark == 0 || mark >= rest.size()) break;
      rest = TrimAll(rest.substr(0, rest.size() - mark));
      ++done.marks;
    }
    const std::size_t space = rest.find(' ');
    if (space != std::string_view::npos && IsZoneWord(rest.substr(0, space)) && !TrimAll(rest.substr(space)).empty()) {
      rest = TrimAll(rest.substr(space));
      ++done.words;
    }
    std::string tidy = Range(rest);
    if (!tidy.empty()) {
      ++done.ranges;
    } else {
      tidy = Joined(rest);
      done.joined += tidy != rest ? 1 : 0;
    }
    name = std::move(tidy);
  }
  return done;
}

}  // namespace tarewise::inline TW_VERSIONED::load::printed
