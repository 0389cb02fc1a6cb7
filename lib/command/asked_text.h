#ifndef TAREWISE_LIB_COMMAND_ASKED_TEXT_H_
#define TAREWISE_LIB_COMMAND_ASKED_TEXT_H_

#include <cstddef>
#include <string>
#include <string_view>

#include "command/console.h"
#include "tarewise/ranking/request.h"
#include "tarewise/units/money.h"

namespace tarewise::command {

/// "1 way", "2 ways".
std::string Plural(std::size_t n, std::string_view one, std::string_view many);

/// What was asked, in one sentence that stands above an answer.
std::string AskedText(const Request& request, Currency currency, const Style& style);

}  // namespace tarewise::command

#endif  // TAREWISE_LIB_COMMAND_ASKED_TEXT_H_
