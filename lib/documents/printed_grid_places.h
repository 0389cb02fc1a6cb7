#ifndef TAREWISE_LIB_DOCUMENTS_PRINTED_GRID_PLACES_H_
#define TAREWISE_LIB_DOCUMENTS_PRINTED_GRID_PLACES_H_

#include <string_view>
#include <vector>

#include "printed_grid_cells.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::load::printed {

/// Between columns of spaces an empty cell cannot be seen, but where the others stand can. Gives each row that is short
/// its empty cells, where every cell of it stands under one column of the rows and the header around it, and marks
/// rows that are long enough but stand under other columns than their order says. What is not plain stays as it is,
/// a row too short. Linear in the text.
void PlaceCells(std::string_view text, std::vector<Record>& records, std::vector<std::string_view>& cells);

}  // namespace tarewise::inline TW_VERSIONED::load::printed

#endif  // TAREWISE_LIB_DOCUMENTS_PRINTED_GRID_PLACES_H_
