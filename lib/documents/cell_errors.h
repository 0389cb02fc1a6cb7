#ifndef TAREWISE_LIB_DOCUMENTS_CELL_ERRORS_H_
#define TAREWISE_LIB_DOCUMENTS_CELL_ERRORS_H_

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

#include "findings.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::load {

/// Errors in the cells of one file, those of a kind told as one: the first place, how many there are, and what to do.
class CellErrors {
 public:
  /// Errors are of a kind where code, `noun` and `tail` are alike, which name the others: "and 501 cells more with
  /// "$"". `found` and `expected` are told of the first.
  struct Kind {
    Code code;
    std::string_view noun = "cell";
    std::string tail = {};
    std::string_view hint = {};  ///< Behind what is expected where there are several.
  };
  void Add(const Kind& kind, std::size_t offset, std::string_view found, std::string expected);
  /// The same where `found` is no text of the file: "an empty cell".
  void AddSaid(const Kind& kind, std::size_t offset, std::string found, std::string expected);
  bool empty() const { return kept_.empty(); }
  /// Tells them all, in the order in which their firsts were added.
  void Report(Findings& findings);

 private:
  struct Kept {
    Kind kind;
    std::size_t offset;
    std::string found;
    std::string expected;
    std::size_t count = 1;
  };
  std::vector<Kept> kept_;
};

}  // namespace tarewise::inline TW_VERSIONED::load

#endif  // TAREWISE_LIB_DOCUMENTS_CELL_ERRORS_H_
