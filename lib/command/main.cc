#include <clocale>
#include <csignal>
#include <string_view>
#include <vector>

#include "command/commands.h"
#include "command/console.h"

int main(int argc, char** argv) {
  // Widths of characters are the same everywhere; nothing else depends on a locale.
  if (std::setlocale(LC_CTYPE, "C.UTF-8") == nullptr) std::setlocale(LC_CTYPE, "");
  // A reader that stops early ends the answer, not the program.
  std::signal(SIGPIPE, SIG_IGN);
  // Past the most that a file may hold, writing fails and says so.
  std::signal(SIGXFSZ, SIG_IGN);
  const std::vector<std::string_view> words(argv + 1, argv + (argc > 0 ? argc : 1));
  tarewise::command::Console console = tarewise::command::Console::Standard();
  const int code = tarewise::command::Run(words, console);
  console.Flush();
  return console.failed() ? tarewise::command::kBadInput : code;
}
