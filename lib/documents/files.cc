#include "files.h"

#include <dirent.h>
#include <fcntl.h>
#include <poll.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <memory>
#include <optional>
#include <system_error>
#include <utility>

#include "codes.h"
#include "findings.h"
#include "text.h"

namespace tarewise::inline TW_VERSIONED::load {
namespace {

class Descriptor {
 public:
  explicit Descriptor(int number) : number_(number) {}
  ~Descriptor() {
    if (number_ >= 0) close(number_);
  }
  Descriptor(const Descriptor&) = delete;
  Descriptor& operator=(const Descriptor&) = delete;
  int number() const { return number_; }
  void Release() { number_ = -1; }

 private:
  int number_;
};

struct CloseFolder {
  void operator()(DIR* folder) const { closedir(folder); }
};

Diagnostic NotOpened(const std::string& path, int error) {
  return FileError(path, error == ENOENT || error == ENOTDIR ? kNoFile : kUnreadable, WhyNotOpened(path, error));
}

std::string WhyNoFolder(const std::string& path, int error) {
  struct stat about = {};
  if (error == ENOTDIR && stat(path.c_str(), &about) == 0) {
    const std::string_view other = OtherThanFile(about.st_mode);
    return "found " + std::string(other.empty() ? "a file" : other) + ", expected a folder of tables";
  }
  if (error == ENOENT || error == ENOTDIR) return "found no such folder, expected a folder of tables";
  if (error == ELOOP) return "found a link in a circle, expected a folder of tables";
  return "found a folder that cannot be read (" + std::generic_category().message(error) + "), expected one that can";
}

}  // namespace

ssize_t ReadSome(int descriptor, char* to, std::size_t most) {
  while (true) {
    const ssize_t got = read(descriptor, to, most);
    if (got >= 0) return got;
    if (errno == EAGAIN) {
      pollfd until = {descriptor, POLLIN, 0};
      if (poll(&until, 1, -1) >= 0) continue;
    }
    if (errno != EINTR) return got;
  }
}

std::string_view OtherThanFile(mode_t mode) {
  if (S_ISREG(mode)) return {};
  if (S_ISDIR(mode)) return "a folder";
  if (S_ISFIFO(mode)) return "a pipe";
  if (S_ISSOCK(mode)) return "a socket";
  return "a device";
}

std::string WhyNotOpened(const std::string& path, int error) {
  struct stat about = {};
  const bool there = lstat(path.c_str(), &about) == 0;
  if (error == ENOENT && there && S_ISLNK(about.st_mode)) {
    return "found a link to a file that is not there, expected one that is there";
  }
  if (error == ENOENT || error == ENOTDIR) return "found no such file, expected one that is there";
  if (error == ELOOP) return "found a link in a circle, expected a file";
  if (error == ENXIO && stat(path.c_str(), &about) == 0 && !S_ISREG(about.st_mode)) {
    return "found " + std::string(OtherThanFile(about.st_mode)) + ", expected a file";
  }
  return "found a file that cannot be read (" + std::generic_category().message(error) + "), expected one that can";
}

bool Changed(const struct stat& before, const struct stat& after) {
  return before.st_size != after.st_size || before.st_mtim.tv_sec != after.st_mtim.tv_sec ||
         before.st_mtim.tv_nsec != after.st_mtim.tv_nsec;
}

Loaded<SourceText> ReadFileText(const std::string& path, bool pipes) {
  Loaded<SourceText> out;
  const auto bad = [&](Code code, std::string message) {
    out.diagnostics.push_back(FileError(path, code, std::move(message)));
    return std::move(out);
  };
  const Descriptor file(open(path.c_str(), O_RDONLY | O_NONBLOCK | O_CLOEXEC | O_NOCTTY));
  struct stat before = {};
  if (file.number() < 0 || fstat(file.number(), &before) != 0) {
    out.diagnostics.push_back(NotOpened(path, errno));
    return out;
  }
  const bool pipe = S_ISFIFO(before.st_mode);
  if (const std::string_view other = OtherThanFile(before.st_mode); !other.empty() && !(pipe && pipes)) {
    return bad(kUnreadable, "found " + std::string(other) + ", expected a file");
  }
  SourceText source;
  source.name = path;
  // A size is a hint only.
  if (before.st_size > 0 && static_cast<std::uintmax_t>(before.st_size) <= kMostBytes) {
    source.text.reserve(static_cast<std::size_t>(before.st_size));
  }
  char block[1 << 16];
  while (true) {
    const ssize_t got = ReadSome(file.number(), block, sizeof block);
    if (got < 0) return bad(kUnreadable, WhyNotOpened(path, errno));
    if (got == 0) break;
    source.text.append(block, static_cast<std::size_t>(got));
    if (source.text.size() > kMostBytes) return bad(kTooLarge, "found more than 16 MiB, expected at most 16 MiB");
  }
  if (pipe && source.text.empty()) {
    return bad(kUnreadable, "found a pipe with nothing in it, expected a file, or a pipe that is written to");
  }
  struct stat after = {};
  if (!pipe && fstat(file.number(), &after) == 0 && Changed(before, after)) {
    return bad(kUnreadable, std::string(kChangedWords));
  }
  out.value = std::move(source);
  return out;
}

Loaded<std::vector<std::string>> DocumentsIn(const std::string& path) {
  Loaded<std::vector<std::string>> out;
  const auto bad = [&](int error) {
    const bool none = error == ENOENT || (error == ENOTDIR && access(path.c_str(), F_OK) != 0);
    out.diagnostics.push_back(FileError(path, none ? kNoFile : kUnreadable, WhyNoFolder(path, error)));
    return std::move(out);
  };
  Descriptor descriptor(open(path.c_str(), O_RDONLY | O_DIRECTORY | O_NONBLOCK | O_CLOEXEC));
  if (descriptor.number() < 0) return bad(errno);
  const std::unique_ptr<DIR, CloseFolder> folder(fdopendir(descriptor.number()));
  if (folder == nullptr) return bad(errno);
  descriptor.Release();
  std::vector<std::string> names;
  while (true) {
    errno = 0;
    const dirent* entry = readdir(folder.get());
    if (entry == nullptr && errno != 0) return bad(errno);
    if (entry == nullptr) break;
    const std::string_view name = entry->d_name;
    const bool csv = name.ends_with(".csv") && (name.starts_with("gazetteer") || name.starts_with("shelf"));
    if (!name.starts_with('.') && (csv || name.ends_with(".json"))) names.emplace_back(name);
  }
  std::sort(names.begin(), names.end());
  out.value = std::move(names);
  return out;
}

std::string WithSlash(std::string folder) {
  if (!folder.ends_with('/')) folder += '/';
  return folder;
}

FileReader FilesIn(std::string folder, std::vector<Diagnostic>& unread) {
  return [folder = std::move(folder), &unread](std::string_view name) -> std::optional<std::string> {
    Loaded<SourceText> source = ReadFileText(folder + std::string(name), /*pipes=*/false);
    if (source.value) return std::move(source.value->text);
    for (Diagnostic& diagnostic : source.diagnostics) {
      if (diagnostic.code != kNoFile) unread.push_back(std::move(diagnostic));
    }
    return std::nullopt;
  };
}

}  // namespace tarewise::inline TW_VERSIONED::load
