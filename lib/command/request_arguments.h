#ifndef TAREWISE_LIB_COMMAND_REQUEST_ARGUMENTS_H_
#define TAREWISE_LIB_COMMAND_REQUEST_ARGUMENTS_H_

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "absl/status/status.h"
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

/// An error at a place in a request, such as "goods/0/weight", with the option's name in front in the place of that.
std::string WithOptionName(std::string_view place, std::string_view message);
/// The same of an error that carries its place, and else its message.
std::string WithOptionName(const absl::Status& status);

}  // namespace tarewise::command

#endif  // TAREWISE_LIB_COMMAND_REQUEST_ARGUMENTS_H_
