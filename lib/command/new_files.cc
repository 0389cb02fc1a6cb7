#include "command/new_files.h"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstdio>
#include <cstring>

#include "command/writing.h"
#include "documents/files.h"
#include "documents/text.h"

namespace tarewise::command {
namespace {

bool IsThere(const std::string& path) {
  struct stat about = {};
  return lstat(path.c_str(), &about) == 0;
}

// Gives a file a name that none has. Some file systems have no second name for a file.
bool TakeName(const std::string& part, const std::string& path) {
  if (link(part.c_str(), path.c_str()) == 0) {
    unlink(part.c_str());
    return true;
  }
  if (errno != EPERM && errno != ENOTSUP && errno != ENOSYS) return false;
  if (IsThere(path)) {
    errno = EEXIST;
    return false;
  }
  return std::rename(part.c_str(), path.c_str()) == 0;
}

}  // namespace

std::string NewFiles::PathOf(const std::string& name) const { return load::WithSlash(folder_) + name; }

bool NewFiles::Say(const Console& console, const std::string& what) const {
  console.Error("tarewise " + command_ + ": " + what);
  return false;
}

bool NewFiles::AllNew(const Console& console) const {
  struct stat about = {};
  if (folder_.empty()) return Say(console, "--out: found \"\", expected a folder");
  if (stat(folder_.c_str(), &about) != 0) {
    if (errno == ENOENT && !IsThere(folder_)) return true;
    return Say(console, "--out: " + load::Quoted(folder_) + " cannot be used: " + std::strerror(errno));
  }
  if (!S_ISDIR(about.st_mode)) {
    return Say(console, "--out: found " + load::Quoted(folder_) + ", which is no folder, expected a folder");
  }
  bool good = true;
  for (std::size_t i = 0; i < files_.size(); ++i) {
    const std::string path = PathOf(files_[i].name);
    if (!IsThere(path)) continue;
    good = Say(console,
               "found " + path + " already there, and no file is overwritten, expected a new name: " + advices_[i]);
  }
  return good;
}

bool NewFiles::Write(const Console& console) {
  if (!AllNew(console)) return false;
  const SignalsWait wait;
  if (mkdir(folder_.c_str(), 0777) == 0) {
    made_folder_ = true;
  } else if (errno != EEXIST) {
    return Say(console, "--out: " + load::Quoted(folder_) + " cannot be made: " + std::strerror(errno));
  }
  if (WriteParts(console) && TakeNames(console)) return true;
  Remove();
  return false;
}

bool NewFiles::WriteParts(const Console& console) {
  for (const SourceText& file : files_) {
    std::string part = PathOf(".tarewise-XXXXXX");
    const int descriptor = mkostemp(part.data(), O_CLOEXEC);
    int error = descriptor < 0 ? errno : 0;
    if (descriptor >= 0) {
      parts_.push_back(part);
      error = WriteAll(descriptor, file.text);
      if (error == 0 && fchmod(descriptor, RightsOfNewFiles()) != 0) error = errno;
      if (error == 0 && fsync(descriptor) != 0 && errno != EINVAL && errno != ENOTSUP) error = errno;
      if (close(descriptor) != 0 && error == 0) error = errno;
    }
    if (error != 0) {
      return Say(console, PathOf(file.name) + " cannot be written, and nothing was: " + std::strerror(error));
    }
  }
  return true;
}

bool NewFiles::TakeNames(const Console& console) {
  for (std::size_t i = 0; i < files_.size(); ++i) {
    const std::string path = PathOf(files_[i].name);
    if (!TakeName(parts_[i], path)) {
      return Say(console, path + " cannot be written, and nothing was: " + std::strerror(errno));
    }
    parts_[i].clear();
    made_.push_back(path);
  }
  return true;
}

void NewFiles::Remove() const {
  for (const std::string& part : parts_) {
    if (!part.empty()) unlink(part.c_str());
  }
  for (const std::string& path : made_) unlink(path.c_str());
  if (made_folder_) rmdir(folder_.c_str());
}

bool SameFile(const std::string& a, const std::string& b) {
  struct stat about_a = {};
  struct stat about_b = {};
  return stat(a.c_str(), &about_a) == 0 && stat(b.c_str(), &about_b) == 0 && about_a.st_dev == about_b.st_dev &&
         about_a.st_ino == about_b.st_ino;
}

}  // namespace tarewise::command
