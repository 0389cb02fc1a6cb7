#ifndef TAREWISE_LIB_DOCUMENTS_GRID_WARNINGS_H_
#define TAREWISE_LIB_DOCUMENTS_GRID_WARNINGS_H_

#include <cstddef>

#include "grid_reader.h"
#include "tarewise/tariff/price.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::load {

// What is most likely a slip of the hand in a grid: one warning a row and one a column, on its first cell, so that a
// list in another order does not give hundreds. `grid` tells where each cell stands.

/// A row that is cheaper than the one before it.
void WarnOfCheaperRows(GridReader& grid, const TablePrice& price);
/// A rate that makes what is just past a bound cheaper than what is on it, where no deficit makes up for it.
void WarnOfCheaperRates(GridReader& grid, const RatePrice& price);
/// A class that holds the one before it and is cheaper.
void WarnOfCheaperClasses(GridReader& grid, const ClassPrice& price);
/// The column of a zone that is cheaper than that of a nearer one, of zones that a chart declares as rising.
template <typename Table>
void WarnOfCheaperColumns(GridReader& grid, const Table& price);
extern template void WarnOfCheaperColumns(GridReader&, const TablePrice&);
extern template void WarnOfCheaperColumns(GridReader&, const ClassPrice&);
extern template void WarnOfCheaperColumns(GridReader&, const RatePrice&);

/// True where every bound of a row is at most that of another.
bool LiesWithin(const ClassPrice& price, std::size_t row, std::size_t other);

}  // namespace tarewise::inline TW_VERSIONED::load

#endif  // TAREWISE_LIB_DOCUMENTS_GRID_WARNINGS_H_
