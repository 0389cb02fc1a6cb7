#ifndef TAREWISE_LIB_DOCUMENTS_EDITS_H_
#define TAREWISE_LIB_DOCUMENTS_EDITS_H_

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

#include "json_tree.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::load {

/// Changes to a text of which all else stays as it is written.
class Edits {
 public:
  /// Puts `with` in the place of the bytes from `begin` to `end`.
  void Replace(std::size_t begin, std::size_t end, std::string with);
  bool empty() const { return edits_.empty(); }
  /// `text` with all changes, which must not overlap.
  std::string Applied(std::string_view text) const;

 private:
  struct Edit {
    std::size_t begin = 0;
    std::size_t end = 0;
    std::string with;
  };
  std::vector<Edit> edits_;
};

/// Where the JSON value that begins at `at`, of a text that is sound, ends.
std::size_t EndOfValue(std::string_view text, std::size_t at);

/// A text as a JSON string.
std::string JsonString(std::string_view text);

/// Takes a member out of its object, with the comma that then has nothing to part.
void RemoveMember(std::string_view text, Value member, Edits& edits);

}  // namespace tarewise::inline TW_VERSIONED::load

#endif  // TAREWISE_LIB_DOCUMENTS_EDITS_H_
