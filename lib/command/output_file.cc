#include "command/output_file.h"

#include <fcntl.h>
#include <sys/socket.h>
#include <sys/un.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <charconv>
#include <csignal>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <system_error>
#include <utility>

#include "command/writing.h"
#include "documents/text.h"

namespace tarewise::command {
namespace {

// What a signal that ends the program must take away: a handler can reach nothing but what stands here.
std::array<char, 4096> part_to_remove;
volatile std::sig_atomic_t part_is_there = 0;

extern "C" void RemovePartAndEnd(int number) {
  if (part_is_there != 0) unlink(part_to_remove.data());
  // The caller sees that it was the signal.
  std::signal(number, SIG_DFL);
  std::raise(number);
}

void RemoveOnSignals(const std::string& part) {
  part.copy(part_to_remove.data(), part.size());
  part_to_remove[part.size()] = '\0';
  part_is_there = 1;
  for (const int number : kEndingSignals) {
    struct sigaction now = {};
    // One that is to be ignored, as under nohup, stays so.
    if (sigaction(number, nullptr, &now) != 0 || now.sa_handler != SIG_DFL) continue;
    now.sa_handler = RemovePartAndEnd;
    now.sa_flags = SA_RESTART;
    sigaction(number, &now, nullptr);
  }
}

// The owner as far as may be, then the rights.
bool TakeOver(int descriptor, const struct stat& there) {
  mode_t mode = there.st_mode & 07777;
  struct stat now = {};
  if (fstat(descriptor, &now) != 0) return false;
  if ((now.st_uid != there.st_uid || now.st_gid != there.st_gid) &&
      fchown(descriptor, there.st_uid, there.st_gid) != 0 &&
      fchown(descriptor, static_cast<uid_t>(-1), there.st_gid) != 0) {
    // What its group could do must not pass to another group.
    mode &= ~static_cast<mode_t>(06070);
  }
  return fchmod(descriptor, mode) == 0;
}

// The number in "/dev/fd/3" and its like.
std::optional<int> StandardStream(std::string_view path) {
  if (path == "/dev/stdin") return STDIN_FILENO;
  if (path == "/dev/stdout") return STDOUT_FILENO;
  if (path == "/dev/stderr") return STDERR_FILENO;
  for (const std::string& folder :
       {std::string("/dev/fd/"), std::string("/proc/self/fd/"), "/proc/" + std::to_string(getpid()) + "/fd/"}) {
    if (!path.starts_with(folder)) continue;
    const std::string_view digits = path.substr(folder.size());
    int number = 0;
    const auto [end, error] = std::from_chars(digits.data(), digits.data() + digits.size(), number);
    if (error == std::errc() && end == digits.data() + digits.size() && number >= 0) return number;
  }
  return std::nullopt;
}

}  // namespace

OutputFile::OutputFile(std::optional<std::string> path, Console& console)
    : path_(std::move(path).value_or("-")), console_(&console) {}

OutputFile::~OutputFile() {
  if (descriptor_ >= 0) close(descriptor_);
  if (part_.empty()) return;
  unlink(part_.c_str());
  part_is_there = 0;
}

bool OutputFile::Say(const std::string& what) const {
  console_->Error((path_ == "-" ? "standard output" : path_) + ": " + what);
  return false;
}

bool OutputFile::SayReason(int number) const { return Say(std::string("cannot be written: ") + std::strerror(number)); }

bool OutputFile::Open(const struct stat* input) {
  if (path_.empty()) {
    console_->Error("--out: found \"\", expected a file's name, or - for standard output");
    return false;
  }
  struct stat about = {};
  if (path_ == "-") {
    kind_ = Kind::kConsole;
    return fstat(STDOUT_FILENO, &about) != 0 || !IsInput(about, input);
  }
  if (!FollowLinks()) return false;
  if (const std::optional<int> number = StandardStream(target_)) {
    if (fstat(*number, &about) != 0) return SayReason(errno);
    return !IsInput(about, input) && OpenDescriptor(*number);
  }
  if (stat(target_.c_str(), &about) != 0) {
    if (errno != ENOENT) return SayReason(errno);
    if (target_.ends_with('/')) return Say("found a folder's name, expected a file's");
    return OpenBeside(std::nullopt);
  }
  if (S_ISDIR(about.st_mode)) return Say("found a folder, expected a file");
  return S_ISREG(about.st_mode) ? OpenBeside(about) : OpenStream(about);
}

// The place that links lead to, one that is not there yet too. A standard stream stays a name: its link leads to
// nothing that could be opened.
bool OutputFile::FollowLinks() {
  constexpr int kMostLinks = 40;
  target_ = path_;
  for (int links = 0; !StandardStream(target_); ++links) {
    struct stat about = {};
    if (lstat(target_.c_str(), &about) != 0 || !S_ISLNK(about.st_mode)) return true;
    if (links == kMostLinks) return SayReason(ELOOP);
    std::array<char, 4096> buffer;
    const ssize_t size = readlink(target_.c_str(), buffer.data(), buffer.size());
    if (size < 0) return SayReason(errno);
    if (static_cast<std::size_t>(size) == buffer.size()) return SayReason(ENAMETOOLONG);
    const std::string to(buffer.data(), static_cast<std::size_t>(size));
    target_ = to.starts_with('/') ? to : std::string(load::FolderOf(target_)) + to;
  }
  return true;
}

bool OutputFile::OpenDescriptor(int number) {
  if (number == STDOUT_FILENO) {
    kind_ = Kind::kConsole;
    return true;
  }
  kind_ = Kind::kStream;
  descriptor_ = fcntl(number, F_DUPFD_CLOEXEC, 3);
  return descriptor_ >= 0 || SayReason(errno);
}

bool OutputFile::OpenStream(const struct stat& about) {
  kind_ = Kind::kStream;
  if (!S_ISSOCK(about.st_mode)) {
    descriptor_ = open(target_.c_str(), O_WRONLY | O_CLOEXEC | O_NOCTTY);
    return descriptor_ >= 0 || SayReason(errno);
  }
  sockaddr_un address = {};
  address.sun_family = AF_UNIX;
  if (target_.size() >= sizeof address.sun_path) return SayReason(ENAMETOOLONG);
  target_.copy(address.sun_path, target_.size());
  descriptor_ = socket(AF_UNIX, SOCK_STREAM | SOCK_CLOEXEC, 0);
  if (descriptor_ < 0) return SayReason(errno);
  return connect(descriptor_, reinterpret_cast<const sockaddr*>(&address), sizeof address) == 0 || SayReason(errno);
}

bool OutputFile::OpenBeside(const std::optional<struct stat>& there) {
  if (there) {
    // That nobody may write to it is somebody's word, whatever the user of this program may do all the same.
    if ((there->st_mode & 0222) == 0) {
      std::array<char, 8> mode;
      std::snprintf(mode.data(), mode.size(), "%04o", static_cast<unsigned>(there->st_mode & 07777));
      return Say(std::string("found a file that may not be written (mode ") + mode.data() + "), expected one that may");
    }
    if (faccessat(AT_FDCWD, target_.c_str(), W_OK, AT_EACCESS) != 0) return SayReason(errno);
  }
  std::string part = std::string(load::FolderOf(target_)) + ".tarewise-XXXXXX";
  if (part.size() >= part_to_remove.size()) return SayReason(ENAMETOOLONG);
  const SignalsWait wait;
  descriptor_ = mkostemp(part.data(), O_CLOEXEC);
  if (descriptor_ < 0) return SayReason(errno);
  part_ = std::move(part);
  RemoveOnSignals(part_);
  const bool done = there ? TakeOver(descriptor_, *there) : fchmod(descriptor_, RightsOfNewFiles()) == 0;
  return done || SayReason(errno);
}

bool OutputFile::IsInput(const struct stat& about, const struct stat* input) const {
  if (input == nullptr || !S_ISREG(about.st_mode)) return false;
  if (about.st_dev != input->st_dev || about.st_ino != input->st_ino) return false;
  Say("found the catalogue that is read, expected another file than the catalogue");
  return true;
}

bool OutputFile::Write(std::string_view text) {
  if (kind_ == Kind::kConsole) {
    console_->Write(text);
    return console_->Flush();
  }
  const int error = WriteAll(descriptor_, text);
  if (error == 0) return true;
  if (kind_ == Kind::kStream && error == EPIPE) {
    reader_gone_ = true;
    return false;
  }
  return SayReason(error);
}

bool OutputFile::Close() {
  if (kind_ == Kind::kConsole) return true;
  // On the disk before it takes the place of what is there. Some file systems have no such thing.
  if (kind_ == Kind::kFile && fsync(descriptor_) != 0 && errno != EINVAL && errno != ENOTSUP) return SayReason(errno);
  if (close(std::exchange(descriptor_, -1)) != 0) return SayReason(errno);
  if (kind_ == Kind::kStream) return true;
  struct stat about = {};
  if (lstat(target_.c_str(), &about) == 0 && !S_ISREG(about.st_mode)) {
    return Say("found that it is no file any more, expected a file");
  }
  if (std::rename(part_.c_str(), target_.c_str()) != 0) return SayReason(errno);
  part_is_there = 0;
  part_.clear();
  return true;
}

}  // namespace tarewise::command
