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

/// Options of every command that prices something: what the promise and the price hang on beside the day.
inline constexpr Option kWhenOptions[] = {
    {Option::Kind::kValue, "--time", "HH:MM",
     "hand-over on that day, as 15:30: past a carrier's cut-off it starts later", true},
    {Option::Kind::kValue, "--by", "DATE", "promised to arrive by this day", true},
};
inline constexpr Option kTermOptions[] = {
    {Option::Kind::kValue, "--cash-on-delivery", "AMOUNT", "collected from the buyer by the carrier", true},
    {Option::Kind::kValue, "--accepts", "WORDS",
     "where it may end: door, point or locker, or several as \"door,point\" (else door)", true},
    {Option::Kind::kFlag, "--without-tax", "", "rank by totals without tax: of a seller who gets it back", true},
    {Option::Kind::kValue, "--week-parcels", "N",
     "so many parcels a week with each carrier, or with one, as harbourline=25; may stand several times", true, true},
    {Option::Kind::kValue, "--week-spend", "AMOUNT", "likewise what is spent there a week", true, true},
};

/// Of the commands that price one parcel alone.
inline constexpr Option kConsignmentOptions[] = {
    {Option::Kind::kValue, "--others", "N", "so many other parcels go with it by one service", true},
    {Option::Kind::kValue, "--others-weight", "WEIGHT", "what the others weigh together", true},
    {Option::Kind::kValue, "--first", "WORD", "yes or no: what is due once for all of them is due with this one", true},
};

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
