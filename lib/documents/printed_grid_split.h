#ifndef TAREWISE_LIB_DOCUMENTS_PRINTED_GRID_SPLIT_H_
#define TAREWISE_LIB_DOCUMENTS_PRINTED_GRID_SPLIT_H_

#include <cstddef>
#include <cstdint>
#include <deque>
#include <string>
#include <string_view>
#include <vector>

#include "printed_grid_cells.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::load::printed {

/// Takes the lines of a text one by one and splits them into cells.
class Splitter {
 public:
  /// `decoded`: where cells with doubled quotation marks are put; nothing: they are left as they are.
  Splitter(std::string_view text, Separator separator, std::deque<std::string>* decoded);

  /// The place of the next line, and its cells, at most `most`. False at the end.
  bool Next(Record& record, std::vector<std::string_view>& cells, std::size_t most);

 private:
  void Separated(Record& record, std::vector<std::string_view>& cells, std::size_t most);
  std::string_view TakeQuoted();
  void TakeLineEnd();

  std::string_view text_;
  Separator separator_;
  std::deque<std::string>* decoded_;
  std::size_t at_ = 0;
  std::uint32_t line_ = 1;
};

/// The words of a line, parted by spaces.
void SplitWords(std::string_view line, std::vector<std::string_view>& words, std::size_t most);
/// A line whose columns are parted by single spaces: a label and prices where it is a row, else its words.
void SplitRow(std::string_view line, std::vector<std::string_view>& cells, std::size_t most);

}  // namespace tarewise::inline TW_VERSIONED::load::printed

#endif  // TAREWISE_LIB_DOCUMENTS_PRINTED_GRID_SPLIT_H_
