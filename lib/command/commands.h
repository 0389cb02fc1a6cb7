#ifndef TAREWISE_LIB_COMMAND_COMMANDS_H_
#define TAREWISE_LIB_COMMAND_COMMANDS_H_

#include <span>
#include <string>
#include <string_view>

#include "command/arguments.h"
#include "command/console.h"

namespace tarewise::command {

/// One command of the program. To add one: a file with its `Command`, a line below, and a line in `kCommands`.
struct Command {
  std::string_view name;
  std::string_view summary;  ///< One line, for the list of commands.
  std::string_view usage;    ///< Lines that begin with "tarewise NAME".
  std::string_view about;    ///< A paragraph or several.
  std::span<const Option> options;
  /// Gives an exit code. Says errors on standard error, and then writes nothing.
  int (*run)(const Arguments& arguments, Console& console);
};

extern const Command kRankCommand;
extern const Command kCheckCommand;
extern const Command kZoneCommand;
extern const Command kStaircaseCommand;
extern const Command kRepriceCommand;
extern const Command kCompareCommand;
extern const Command kGridCommand;
extern const Command kBeginCommand;
extern const Command kRenewCommand;

/// Every command, in the order of the list.
std::span<const Command* const> Commands();

/// The list of commands, or the help of one.
std::string HelpText(const Style& style);
std::string HelpText(const Style& style, const Command& command);

/// Runs what the words (without the program's name) ask for; gives an exit code.
int Run(std::span<const std::string_view> words, Console& console);

}  // namespace tarewise::command

#endif  // TAREWISE_LIB_COMMAND_COMMANDS_H_
