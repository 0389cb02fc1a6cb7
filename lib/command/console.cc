#include "command/console.h"

#include <poll.h>
#include <sys/ioctl.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cstdio>
#include <cstdlib>
#include <cstring>

namespace tarewise::command {
namespace {

std::size_t WidthOf(bool terminal) {
  constexpr std::size_t kLeast = 80;
  constexpr std::size_t kMost = 120;
  constexpr std::size_t kUsual = 100;
  if (const char* columns = std::getenv("COLUMNS")) {
    const long number = std::strtol(columns, nullptr, 10);
    if (number > 0) return std::clamp(static_cast<std::size_t>(number), kLeast, kMost);
  }
  winsize size = {};
  if (terminal && ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) == 0 && size.ws_col > 0) {
    return std::clamp(std::size_t{size.ws_col}, kLeast, kMost);
  }
  return kUsual;
}

}  // namespace

std::string Style::Paint(Tone tone, std::string_view text) const {
  if (!colour || text.empty()) return std::string(text);
  std::string_view code;
  switch (tone) {
    case Tone::kPlain:
      return std::string(text);
    case Tone::kHeading:
      code = "\x1b[1;36m";
      break;
    case Tone::kBest:
      code = "\x1b[1m";
      break;
    case Tone::kSaving:
      code = "\x1b[32m";
      break;
    case Tone::kWarning:
      code = "\x1b[33m";
      break;
    case Tone::kFaint:
      code = "\x1b[2m";
      break;
  }
  return std::string(code) + std::string(text) + "\x1b[0m";
}

int WriteAll(int descriptor, std::string_view text) {
  while (!text.empty()) {
    const ssize_t written = write(descriptor, text.data(), text.size());
    if (written >= 0) {
      text.remove_prefix(static_cast<std::size_t>(written));
    } else if (errno == EAGAIN) {
      pollfd until = {descriptor, POLLOUT, 0};
      if (poll(&until, 1, -1) < 0 && errno != EINTR) return errno;
    } else if (errno != EINTR) {
      return errno;
    }
  }
  return 0;
}

Console Console::Standard() {
  Console console;
  const bool terminal = isatty(STDOUT_FILENO) == 1;
  const char* no_color = std::getenv("NO_COLOR");
  const char* term = std::getenv("TERM");
  const bool dumb = term != nullptr && std::string_view(term) == "dumb";
  console.style_.colour = terminal && !dumb && (no_color == nullptr || *no_color == '\0');
  console.style_.width = WidthOf(terminal);
  return console;
}

bool Console::Flush() {
  const int error = reader_gone_ || failed_ ? 0 : WriteAll(STDOUT_FILENO, out_);
  if (error == EPIPE) {
    reader_gone_ = true;
  } else if (error != 0) {
    Error(std::string("tarewise: the answer cannot be written: ") + std::strerror(error));
    failed_ = true;
  }
  out_.clear();
  return !reader_gone_ && !failed_;
}

void Console::Error(std::string_view line) const {
  std::fwrite(line.data(), 1, line.size(), stderr);
  std::fputc('\n', stderr);
}

}  // namespace tarewise::command
