#ifndef TAREWISE_LIB_COMMAND_REQUEST_ARGUMENTS_H_
#define TAREWISE_LIB_COMMAND_REQUEST_ARGUMENTS_H_

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "command/arguments.h"
#include "tarewise/ranking/request.h"

namespace tarewise::command {

/// A request put together from plain arguments, or what is wrong with them.
struct ArgumentsRequest {
  std::optional<Request> request;
  std::vector<std::string> errors;
};

/// Makes the request document that the arguments say and reads it as any other, so that both pass the same checks.
ArgumentsRequest ReadRequestArguments(const Arguments& arguments);

/// A message that begins with a place in a request ("goods/0/weight: found ..."), with the option in its place.
std::string WithOptionName(std::string_view message);

}  // namespace tarewise::command

#endif  // TAREWISE_LIB_COMMAND_REQUEST_ARGUMENTS_H_
