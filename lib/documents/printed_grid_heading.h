#ifndef TAREWISE_LIB_DOCUMENTS_PRINTED_GRID_HEADING_H_
#define TAREWISE_LIB_DOCUMENTS_PRINTED_GRID_HEADING_H_

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "printed_grid_cells.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::load::printed {

/// The lines over a grid, and what they say.
struct Heading {
  std::vector<std::uint32_t> records;  ///< From top to bottom.
  std::vector<std::string> names;      ///< Of the columns, two rows joined.
  std::string corner;                  ///< What stands over the bounds.
  std::string across;                  ///< What stands over all columns.
  bool bounds_across = false;          ///< The names are plainly bounds: "1 lb", "up to 2 kg".
  bool of_words = false;               ///< No cells were seen: the names are words of the lines.
  /// The line "Weight (lb)" over "Zone" in the corner, which is taken as said of the figures across.
  std::optional<std::uint32_t> title;
};

/// Reads the lines over rows of `columns` prices that begin with a label of `label` cells: the fewest of the nearest
/// lines that name each column, and those above them that belong to it. `lines`: from top to bottom. Nothing where
/// they name other columns than these.
std::optional<Heading> ReadHeading(const CellText& text, const std::vector<std::uint32_t>& lines, std::size_t label,
                                   std::size_t columns);

/// The heading of a grid turned round, whose line says the bounds; nothing where a line is none.
std::optional<Heading> ReadBoundsAcross(const CellText& text, std::uint32_t record);

/// Whether a name of a column says weights, and nothing else: "up to (lb)".
bool SaysWeights(std::string_view name);

/// What was done to the names of columns.
struct NamesDone {
  std::size_t words = 0;   ///< "Zone 4" is "4".
  std::size_t joined = 0;  ///< "1,2" is "1 & 2".
  std::size_t marks = 0;   ///< Footnotes.
  std::size_t ranges = 0;  ///< "5-8" is "5 & 6 & 7 & 8".
  bool any_zone = false;   ///< The one column "Price" is "*".
};
/// Names as a document writes zones.
NamesDone TidyNames(std::vector<std::string>& names);

}  // namespace tarewise::inline TW_VERSIONED::load::printed

#endif  // TAREWISE_LIB_DOCUMENTS_PRINTED_GRID_HEADING_H_
