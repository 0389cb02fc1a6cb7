#ifndef TAREWISE_LIB_DOCUMENTS_FINDINGS_H_
#define TAREWISE_LIB_DOCUMENTS_FINDINGS_H_

#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "codes.h"
#include "json_tree.h"
#include "tarewise/documents/diagnostic.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::load {

/// A place in a text: line and column, both from 1, the column in bytes.
struct Position {
  std::int32_t line = 0;
  std::int32_t column = 0;
};

/// Gathers what is found wrong with one file. Lines and columns are worked out only when they are asked for.
class Findings {
 public:
  /// `text`, and the trees of the values that findings are about, must outlive this.
  Findings(std::string file, std::string_view text) : file_(std::move(file)), text_(text) {}

  /// `at`: the value whose JSON pointer is told; none in a CSV file.
  void Error(Code code, std::size_t offset, Value at, std::string message) {
    Add(Diagnostic::Severity::kError, code, offset, at, std::move(message));
  }
  void Warning(Code code, std::size_t offset, Value at, std::string message) {
    Add(Diagnostic::Severity::kWarning, code, offset, at, std::move(message));
  }
  bool has_errors() const { return errors_ != 0; }
  /// Enough errors are kept: further ones are only counted, so that no words need be made for them.
  bool full() const { return errors_ >= kMostKept; }

  Position At(std::size_t offset) const;
  const std::string& file() const { return file_; }
  std::string_view text() const { return text_; }

  /// All in the order of the text, at most `kMostDiagnostics` (errors before warnings where they do not all go in), and
  /// a line that says how many more there are.
  std::vector<Diagnostic> Take();

 private:
  static constexpr std::size_t kMostKept = 2000;
  struct Finding {
    Diagnostic::Severity severity;
    Code code;
    std::size_t offset;
    Value at;
    std::string message;
  };
  void Add(Diagnostic::Severity severity, Code code, std::size_t offset, Value at, std::string message);

  std::string file_;
  std::string_view text_;
  std::vector<Finding> kept_;
  std::size_t errors_ = 0;
  std::size_t warnings_ = 0;
  mutable std::vector<std::size_t> line_starts_;
};

/// Whether a text is neither too long nor in another encoding than UTF-8, by its first bytes; an error where it is.
bool HasFormOfText(std::string_view text, Findings& findings);
/// The same, and whether it is UTF-8 to its end. Linear in the text.
bool IsPlainText(std::string_view text, Findings& findings);

/// A finding about a whole file.
inline Diagnostic FileError(std::string file, Code code, std::string message) {
  Diagnostic diagnostic;
  diagnostic.file = std::move(file);
  diagnostic.code = code;
  diagnostic.message = std::move(message);
  return diagnostic;
}

}  // namespace tarewise::inline TW_VERSIONED::load

#endif  // TAREWISE_LIB_DOCUMENTS_FINDINGS_H_
