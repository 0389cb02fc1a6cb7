#ifndef TAREWISE_LIB_COMMAND_ARGUMENTS_H_
#define TAREWISE_LIB_COMMAND_ARGUMENTS_H_

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <iterator>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace tarewise::command {

/// One option of a command, as its help and its reader know it.
struct Option {
  enum class Kind : std::uint8_t { kHeading, kFlag, kValue };
  Kind kind = Kind::kFlag;
  std::string_view name;   ///< With its dashes; of a heading, the heading.
  std::string_view value;  ///< What stands for its value in the help: "FOLDER".
  std::string_view help;
  bool of_request = false;  ///< A part of the request, and so never beside a request document.
  bool many = false;        ///< May stand several times.
};

/// Options of several commands and a command's own as one list.
template <std::size_t... kSizes>
constexpr std::array<Option, (kSizes + ...)> Joined(const Option (&... parts)[kSizes]) {
  std::array<Option, (kSizes + ...)> out;
  Option* at = out.data();
  ((at = std::copy(std::begin(parts), std::end(parts), at)), ...);
  return out;
}

/// The arguments of one run, in their order.
class Arguments {
 public:
  struct Given {
    std::string_view name;
    std::string value;
  };

  /// Reads `words` by `options`: `--name value`, `--name=value`, flags, and the rest; after `--` all is the rest.
  static Arguments Read(std::span<const Option> options, std::span<const std::string_view> words);

  /// What is wrong with them, one line each; empty where nothing is.
  const std::vector<std::string>& errors() const { return errors_; }

  bool Has(std::string_view name) const;
  std::optional<std::string> Get(std::string_view name) const;
  std::vector<std::string> All(std::string_view name) const;
  /// Adds one as if it had been given; `name` must outlive this.
  void Add(std::string_view name, std::string value) { given_.push_back({name, std::move(value)}); }
  const std::vector<Given>& given() const { return given_; }
  const std::vector<std::string>& rest() const { return rest_; }

 private:
  std::vector<Given> given_;
  std::vector<std::string> rest_;
  std::vector<std::string> errors_;
};

}  // namespace tarewise::command

#endif  // TAREWISE_LIB_COMMAND_ARGUMENTS_H_
