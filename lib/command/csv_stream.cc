#include "command/csv_stream.h"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cstring>

#include "command/words.h"
#include "documents/files.h"
#include "documents/text.h"

namespace tarewise::command {

CsvStream::~CsvStream() {
  if (descriptor_ > STDERR_FILENO) close(descriptor_);
}

bool CsvStream::Open(const std::string& path) {
  if (path == "-") {
    descriptor_ = STDIN_FILENO;
    TakeKind();
    return true;
  }
  descriptor_ = open(path.c_str(), O_RDONLY | O_NONBLOCK | O_CLOEXEC | O_NOCTTY);
  if (descriptor_ < 0) {
    error_ = path + ": " + load::WhyNotOpened(path, errno);
    return false;
  }
  const std::string_view other = TakeKind();
  if (other.empty() || pipe_) return true;
  error_ = path + ": found " + std::string(other) + ", expected a file";
  return false;
}

// What is read, if it is no file.
std::string_view CsvStream::TakeKind() {
  struct stat about = {};
  if (fstat(descriptor_, &about) != 0) return {};
  pipe_ = S_ISFIFO(about.st_mode);
  if (S_ISREG(about.st_mode)) {
    file_ = about;
    if (about.st_size > 0) size_ = static_cast<std::uint64_t>(about.st_size);
  }
  return load::OtherThanFile(about.st_mode);
}

// Reads on behind what is kept; what was taken is dropped first.
bool CsvStream::Fill() {
  constexpr std::size_t kChunk = std::size_t{256} << 10;
  buffer_.erase(0, at_);
  at_ = 0;
  const std::size_t have = buffer_.size();
  buffer_.resize(have + kChunk);
  const ssize_t count = load::ReadSome(descriptor_, buffer_.data() + have, kChunk);
  buffer_.resize(have + static_cast<std::size_t>(std::max<ssize_t>(count, 0)));
  ended_ = count == 0;
  struct stat now = {};
  if (count < 0) {
    error_ = std::string("cannot be read on: ") + std::strerror(errno);
  } else if (ended_ && file_ && fstat(descriptor_, &now) == 0 && load::Changed(*file_, now)) {
    error_ = load::kChangedWords;
  } else if (ended_ && pipe_ && descriptor_ != STDIN_FILENO && consumed_ == 0 && buffer_.empty()) {
    error_ = "found a pipe with nothing in it, expected a file, or a pipe that is written to";
  }
  return error_.empty();
}

std::string CsvStream::HeaderFault() const {
  const std::string line = std::to_string(line_) + ":";
  if (const std::string_view other = load::OtherEncoding(raw_); !other.empty()) {
    return line + "1: " + load::EncodingWords(other);
  }
  if (flaw_.empty()) return "";
  const std::string separator = SeparatorFault();
  return separator.empty() ? line + " " + flaw_ : separator;
}

std::string CsvStream::SeparatorFault() const {
  const std::optional<load::OtherSeparator> other = load::FindOtherSeparator(raw_);
  if (!other) return "";
  return std::to_string(line_) + ":" + std::to_string(other->offset + 1) + ": " + std::string(other->words);
}

bool CsvStream::Next() {
  while (error_.empty()) {
    // The end of the record: a line end outside of quotation marks. They open only where a field begins, so that an
    // inch mark inside a title is text.
    enum class At { kStart, kPlain, kQuoted, kClosed } state = At::kStart;
    std::size_t end = at_;
    bool found = false;
    bool too_long = false;
    std::uint64_t lines = 0;
    while (!found) {
      for (; end < buffer_.size(); ++end) {
        const char c = buffer_[end];
        if (c == '\n') {
          ++lines;
          if (state != At::kQuoted) {
            found = true;
            break;
          }
        } else if (state == At::kQuoted) {
          if (c == '"') state = At::kClosed;
        } else if (c == ',') {
          state = At::kStart;
        } else if (c == '"' && (state == At::kStart || state == At::kClosed)) {
          state = At::kQuoted;
        } else if (c != ' ' && c != '\t') {
          state = At::kPlain;
        }
      }
      if (found || ended_) break;
      const std::size_t length = end - at_;
      if (length > kMostRecord) {
        too_long = true;
        break;
      }
      if (!Fill()) return false;
      end = at_ + length;
    }
    if (too_long) {
      error_ = "line " + std::to_string(next_line_) + ": found a record of more than 1 MiB" +
               (state == At::kQuoted ? ", perhaps a quotation mark that is not closed" : "") +
               "; expected shorter ones";
      return false;
    }
    if (end == at_ && !found) return false;
    raw_ = std::string_view(buffer_).substr(at_, end - at_);
    line_ = next_line_;
    next_line_ += lines;
    const std::size_t taken = end + (found ? 1 : 0) - at_;
    at_ += taken;
    consumed_ += taken;
    if (first_ && raw_.starts_with(load::kUtf8Mark)) raw_.remove_prefix(load::kUtf8Mark.size());
    first_ = false;
    if (raw_.ends_with('\r')) raw_.remove_suffix(1);
    if (raw_.find_first_not_of(" \t\r") == std::string_view::npos) continue;
    flaw_.clear();
    if (!Split() && flaw_.empty()) flaw_ = "a quotation mark is not closed";
    return true;
  }
  return false;
}

bool CsvStream::Split() {
  fields_.clear();
  // Room for all first: the views point into it.
  std::size_t used = 0;
  std::string_view rest = raw_;
  while (true) {
    std::size_t start = rest.find_first_not_of(" \t");
    if (start != std::string_view::npos && rest[start] == '"') {
      rest.remove_prefix(start + 1);
      std::size_t from = 0;
      bool doubled = false;
      std::size_t close = rest.find('"');
      while (close != std::string_view::npos && close + 1 < rest.size() && rest[close + 1] == '"') {
        doubled = true;
        close = rest.find('"', close + 2);
      }
      if (close == std::string_view::npos) return false;
      std::string_view text = rest.substr(0, close);
      if (doubled) {
        if (used == unquoted_.size()) unquoted_.emplace_back();
        std::string& out = unquoted_[used];
        out.clear();
        while (from < text.size()) {
          out += text[from];
          from += text[from] == '"' ? 2 : 1;
        }
        ++used;
        // Filled in below: strings may move while more are added.
        fields_.emplace_back(nullptr, 0);
      } else {
        fields_.push_back(Trim(text));
      }
      rest.remove_prefix(close + 1);
      const std::size_t comma = rest.find_first_not_of(" \t");
      if (comma == std::string_view::npos) break;
      if (rest[comma] != ',') {
        flaw_ = "text stands after a closing quotation mark";
        return false;
      }
      rest.remove_prefix(comma + 1);
    } else {
      const std::size_t comma = rest.find(',');
      fields_.push_back(Trim(rest.substr(0, comma)));
      if (comma == std::string_view::npos) break;
      rest.remove_prefix(comma + 1);
    }
  }
  used = 0;
  for (std::string_view& field : fields_) {
    if (field.data() == nullptr) field = Trim(unquoted_[used++]);
  }
  return true;
}

}  // namespace tarewise::command
