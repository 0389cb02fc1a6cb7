#ifndef TAREWISE_LIB_COMMAND_RENEW_TEXT_H_
#define TAREWISE_LIB_COMMAND_RENEW_TEXT_H_

#include <string>

#include "command/console.h"
#include "tarewise/documents/renew.h"
#include "tarewise/tariff/tariff.h"

namespace tarewise::command {

/// What a new price list has of the old one, price by price. `path`: of the old one.
std::string RenewedText(const Style& style, const Tariff& before, const Renewed& made, const std::string& path);

/// The cells in which printed grids differ from what the increase gives: old, computed, printed. `all`: every one.
std::string LaidText(const Style& style, const Tariff& before, const Tariff& computed, const Tariff& laid, bool all);

}  // namespace tarewise::command

#endif  // TAREWISE_LIB_COMMAND_RENEW_TEXT_H_
