#ifndef TAREWISE_DOCUMENTS_DIAGNOSTIC_H_
#define TAREWISE_DOCUMENTS_DIAGNOSTIC_H_

#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

/// One finding in a document: where, what was found, what was expected.
struct Diagnostic {
  enum class Severity : std::uint8_t { kError, kWarning };
  /// Families, pinned: 1xx syntax, 2xx form and quantities, 3xx meaning across the document, 4xx across documents, 5xx
  /// files, 6xx printed grids.
  std::int32_t code = 0;
  Severity severity = Severity::kError;
  std::string file;
  std::int32_t line = 0;    ///< From 1; 0: the whole file.
  std::int32_t column = 0;  ///< From 1, in bytes.
  std::string pointer;      ///< JSON pointer; for CSV empty.
  std::string message;      ///< "found ..., expected ..." and, where it helps, the reason.

  /// `file:line:column: error 204: message (at /pointer)`, one line.
  std::string ToString() const {
    // Piece by piece: a literal before a temporary makes g++ 12 warn in the user's own build (-Wrestrict).
    std::string out = file;
    if (line > 0) out.append(":").append(std::to_string(line)).append(":").append(std::to_string(column));
    out.append(severity == Severity::kError ? ": error " : ": warning ");
    out.append(std::to_string(code)).append(": ").append(message);
    if (!pointer.empty()) out.append(" (at ").append(pointer).append(")");
    return out;
  }
};

/// The most findings that one document reports.
inline constexpr std::size_t kMostDiagnostics = 50;

inline bool HasErrors(const std::vector<Diagnostic>& diagnostics) {
  for (const Diagnostic& diagnostic : diagnostics) {
    if (diagnostic.severity == Diagnostic::Severity::kError) return true;
  }
  return false;
}

}  // namespace tarewise::inline TW_VERSIONED

#endif  // TAREWISE_DOCUMENTS_DIAGNOSTIC_H_
