#ifndef TAREWISE_LIB_COMMAND_BEGIN_ANSWERS_H_
#define TAREWISE_LIB_COMMAND_BEGIN_ANSWERS_H_

#include <cstdint>
#include <map>
#include <nlohmann/json.hpp>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "absl/status/statusor.h"

namespace tarewise::command {

/// Members keep their order, and what was typed stays as it was typed.
using Json = nlohmann::ordered_json;

/// What was answered, by option: as it was typed, and as the document holds it.
class Answers {
 public:
  struct Answer {
    std::string text;
    Json value;
  };

  void Add(std::string_view option, std::string text, Json value) {
    answers_[std::string(option)].push_back({std::move(text), std::move(value)});
  }
  bool any() const { return !answers_.empty(); }
  bool Has(std::string_view option) const { return answers_.find(option) != answers_.end(); }
  /// The value of an answer; null where there is none.
  Json Get(std::string_view option) const {
    const auto at = answers_.find(option);
    return at == answers_.end() ? Json() : at->second.front().value;
  }
  std::string Text(std::string_view option) const {
    const auto at = answers_.find(option);
    return at == answers_.end() ? std::string() : at->second.front().text;
  }
  std::vector<Answer> All(std::string_view option) const {
    const auto at = answers_.find(option);
    return at == answers_.end() ? std::vector<Answer>() : at->second;
  }

 private:
  std::map<std::string, std::vector<Answer>, std::less<>> answers_;
};

/// One thing that is asked.
struct Question {
  std::string_view option;
  std::string_view asks;      ///< On the terminal.
  std::string_view expected;  ///< What is missing where it is; empty: it may be left out.
  /// What the document holds for a text. Errors: what was found, and what was expected.
  absl::StatusOr<Json> (*read)(const std::string& text) = nullptr;
  /// Whether it has a place beside what was answered before it; none: always.
  bool (*fits)(const Answers& answers) = nullptr;
  enum class Takes : std::uint8_t { kOne, kSeveral, kFile };
  Takes takes = Takes::kOne;  ///< One answer, several, or the path of a file, which is read.
};

/// Every question, in the order in which it is asked.
std::span<const Question> Questions();

/// An example as an answer gives it: "4.01 lb; 12 x 9 x 6 in; 3; 13.35; page 3".
absl::StatusOr<Json> ReadExample(const std::string& text);

}  // namespace tarewise::command

#endif  // TAREWISE_LIB_COMMAND_BEGIN_ANSWERS_H_
