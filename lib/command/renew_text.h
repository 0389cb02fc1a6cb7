#ifndef TAREWISE_LIB_COMMAND_RENEW_TEXT_H_
#define TAREWISE_LIB_COMMAND_RENEW_TEXT_H_

#include <string>

#include "command/console.h"
#include "tarewise/documents/renew.h"
#include "tarewise/tariff/tariff.h"

namespace tarewise::command {

/// What a new price list has of the old one, price by price. `path`: of the old one. `computes`: there is an increase.
std::string RenewedText(const Style& style, const Tariff& before, const Renewed& made, const std::string& path,
                        bool computes);

/// What printed grids lack or have anew, and the cells in which they differ from what the increase gives: old,
/// computed, printed. `computed`: nothing where there is no increase; then they stand beside the old ones. `all`: every
/// cell.
std::string LaidText(const Style& style, const Tariff& before, const Tariff* computed, const Renewed& made, bool all);

}  // namespace tarewise::command

#endif  // TAREWISE_LIB_COMMAND_RENEW_TEXT_H_
