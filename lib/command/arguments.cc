#include "command/arguments.h"

#include <algorithm>

#include "documents/text.h"

namespace tarewise::command {
namespace {

const Option* Find(std::span<const Option> options, std::string_view name) {
  for (const Option& option : options) {
    if (option.kind != Option::Kind::kHeading && option.name == name) return &option;
  }
  return nullptr;
}

std::string Unknown(std::span<const Option> options, std::string_view name) {
  std::vector<std::string_view> names;
  for (const Option& option : options) {
    if (option.kind != Option::Kind::kHeading) names.push_back(option.name);
  }
  std::string message = "found the option " + load::Quoted(name);
  const std::string_view nearest = load::NearestName(name, names);
  if (!nearest.empty()) return message + ", which there is not; the nearest is " + std::string(nearest);
  return message + ", which there is not; --help lists them";
}

}  // namespace

Arguments Arguments::Read(std::span<const Option> options, std::span<const std::string_view> words) {
  Arguments out;
  bool only_rest = false;
  for (std::size_t i = 0; i < words.size(); ++i) {
    const std::string_view word = words[i];
    if (only_rest || word == "-" || word.empty() || word.front() != '-') {
      out.rest_.emplace_back(word);
      continue;
    }
    if (word == "--") {
      only_rest = true;
      continue;
    }
    const std::size_t equals = word.find('=');
    const std::string_view name = word == "-h" ? "--help" : word.substr(0, equals);
    const Option* option = Find(options, name);
    if (option == nullptr) {
      out.errors_.push_back(Unknown(options, name));
      // Its value, if the next word is one, would only be a second error.
      if (equals == std::string_view::npos && i + 1 < words.size() && !words[i + 1].starts_with('-')) ++i;
      continue;
    }
    if (!option->many && out.Has(option->name)) {
      out.errors_.push_back(std::string(name) + ": found it twice, expected it once");
    }
    if (option->kind == Option::Kind::kFlag) {
      if (equals != std::string_view::npos) {
        out.errors_.push_back(std::string(name) + ": found the value " + load::Quoted(word.substr(equals + 1)) +
                              ", expected none");
      }
      out.given_.push_back({option->name, {}});
      continue;
    }
    std::string_view value;
    if (equals != std::string_view::npos) {
      value = word.substr(equals + 1);
    } else if (i + 1 < words.size() && !words[i + 1].starts_with("--")) {
      value = words[++i];
    } else {
      out.errors_.push_back(std::string(name) + ": found " +
                            (i + 1 < words.size() ? "the option " + load::Quoted(words[i + 1]) : "nothing") +
                            " after it, expected its value, " + std::string(option->value));
      continue;
    }
    out.given_.push_back({option->name, std::string(value)});
  }
  return out;
}

bool Arguments::Has(std::string_view name) const {
  return std::any_of(given_.begin(), given_.end(), [name](const Given& given) { return given.name == name; });
}

std::optional<std::string> Arguments::Get(std::string_view name) const {
  for (const Given& given : given_) {
    if (given.name == name) return given.value;
  }
  return std::nullopt;
}

std::vector<std::string> Arguments::All(std::string_view name) const {
  std::vector<std::string> values;
  for (const Given& given : given_) {
    if (given.name == name) values.push_back(given.value);
  }
  return values;
}

}  // namespace tarewise::command
