#ifndef TAREWISE_LIB_COMMAND_BEGIN_DOCUMENT_H_
#define TAREWISE_LIB_COMMAND_BEGIN_DOCUMENT_H_

#include <string>
#include <string_view>

#include "command/begin_answers.h"

namespace tarewise::command {

/// The price list that the answers make, without its examples; keys in the order of the format's page.
Json DraftOf(const Answers& answers);

/// The option whose answer stands at a place of the draft, as "/services/0/days"; empty: none's.
std::string_view OptionAt(std::string_view pointer);

/// A document as a person would lay it out: what goes into a line stands in one.
std::string LaidOut(const Json& document);
/// In one line.
std::string InOneLine(const Json& value);

}  // namespace tarewise::command

#endif  // TAREWISE_LIB_COMMAND_BEGIN_DOCUMENT_H_
