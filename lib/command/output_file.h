#ifndef TAREWISE_LIB_COMMAND_OUTPUT_FILE_H_
#define TAREWISE_LIB_COMMAND_OUTPUT_FILE_H_

#include <sys/stat.h>

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "command/console.h"

namespace tarewise::command {

/// Where rows are written: standard output, or what `--out` names.
///
/// A file is written beside its place under a name that nobody has, and takes its own only when it is whole: what was
/// there stays until then, with its rights afterwards, and links to it stay links. An error, or a signal that ends the
/// program, leaves nothing. Pipes, devices, sockets and standard streams are written to as the rows come.
class OutputFile {
 public:
  /// `path`: what `--out` names; nothing, or "-": standard output.
  OutputFile(std::optional<std::string> path, Console& console);
  ~OutputFile();
  OutputFile(const OutputFile&) = delete;
  OutputFile& operator=(const OutputFile&) = delete;

  /// False after an error, which is said. `input`: the file that is read meanwhile, or nothing. It may be replaced, but
  /// not be written to.
  bool Open(const struct stat* input);
  /// False where no more can be written (which is said) or the reader has gone.
  bool Write(std::string_view text);
  /// Gives a file its name. False after an error, which is said.
  bool Close();

  /// True where the rows go to standard output, by whatever name.
  bool to_standard_output() const { return kind_ == Kind::kConsole; }
  /// True where the reader of the rows has gone: not an error of this program.
  bool reader_gone() const { return reader_gone_ || console_->reader_gone(); }

 private:
  enum class Kind : std::uint8_t { kConsole, kStream, kFile };

  bool Say(const std::string& what) const;
  bool SayReason(int number) const;
  bool FollowLinks();
  bool OpenDescriptor(int number);
  bool OpenStream(const struct stat& about);
  bool OpenBeside(const std::optional<struct stat>& there);
  bool IsInput(const struct stat& about, const struct stat* input) const;

  std::string path_;    // as it is given, for messages
  std::string target_;  // where the links lead
  std::string part_;
  Console* console_;
  Kind kind_ = Kind::kFile;
  int descriptor_ = -1;
  bool reader_gone_ = false;
};

}  // namespace tarewise::command

#endif  // TAREWISE_LIB_COMMAND_OUTPUT_FILE_H_
