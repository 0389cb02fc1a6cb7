#ifndef TAREWISE_LIB_COMMAND_CONSOLE_H_
#define TAREWISE_LIB_COMMAND_CONSOLE_H_

#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>

namespace tarewise::command {

/// What a command answers with.
enum ExitCode : int {
  kAnswered = 0,
  kNothingOffered = 1,
  kBadInput = 2,
};

/// What a piece of text means, for its colour.
enum class Tone : std::uint8_t { kPlain, kHeading, kBest, kSaving, kWarning, kFaint };

/// How text may look on standard output.
struct Style {
  bool colour = false;
  std::size_t width = 100;  ///< Columns, 80 to 120.

  /// `text` in its tone where colour is on, else as it is.
  std::string Paint(Tone tone, std::string_view text) const;
};

/// Writes all of it, waiting where a pipe takes no more for now. 0, or the number of the error.
int WriteAll(int descriptor, std::string_view text);

/// Standard output and standard error. What is written to standard output is the answer; everything said about bad
/// input goes to standard error.
class Console {
 public:
  /// Colour where standard output is a terminal and NO_COLOR is unset or empty; width from the terminal, or from
  /// COLUMNS.
  static Console Standard();

  const Style& style() const { return style_; }

  /// Keeps a piece of the answer until `Flush`.
  void Write(std::string_view text) { out_ += text; }
  /// Writes out what is kept. False where standard output takes no more.
  bool Flush();
  /// Says a line on standard error.
  void Error(std::string_view line) const;

  /// True where the reader of standard output has gone: not an error of this program.
  bool reader_gone() const { return reader_gone_; }
  /// True where writing failed for another reason.
  bool failed() const { return failed_; }

 private:
  Style style_;
  std::string out_;
  bool reader_gone_ = false;
  bool failed_ = false;
};

}  // namespace tarewise::command

#endif  // TAREWISE_LIB_COMMAND_CONSOLE_H_
