#ifndef TAREWISE_LIB_DOCUMENTS_PRINTED_GRID_NOTES_H_
#define TAREWISE_LIB_DOCUMENTS_PRINTED_GRID_NOTES_H_

#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "codes.h"
#include "tarewise/documents/printed_grid.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::load::printed {

/// "line 4", "lines 4 to 73".
std::string LinesText(std::uint32_t first, std::uint32_t last);

/// Gathers what was done, alike things as one, and what is doubtful.
class Notes {
 public:
  /// `what` (as "removed \"$\" from") was done to one more cell, row, ... of a line.
  void Did(std::string_view what, std::string_view noun, std::uint32_t line, std::size_t times = 1);
  /// Something was done once; `message` with its lines.
  void Told(std::uint32_t first, std::uint32_t last, std::string message);
  /// At most as many as a document has findings; the rest is counted.
  void Doubt(Code code, std::uint32_t line, std::string message);

  std::vector<GridNote> Take();

 private:
  struct Tally {
    std::string what;
    std::string noun;
    std::size_t count = 0;
    std::uint32_t first = 0;
    std::uint32_t last = 0;
  };
  std::vector<Tally> tallies_;
  std::vector<GridNote> told_;
  std::vector<GridNote> doubts_;
  std::size_t more_doubts_ = 0;
};

}  // namespace tarewise::inline TW_VERSIONED::load::printed

#endif  // TAREWISE_LIB_DOCUMENTS_PRINTED_GRID_NOTES_H_
