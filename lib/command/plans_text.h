#ifndef TAREWISE_LIB_COMMAND_PLANS_TEXT_H_
#define TAREWISE_LIB_COMMAND_PLANS_TEXT_H_

#include <string>

#include "command/console.h"
#include "tarewise/plans/plans.h"

namespace tarewise::command {

/// Plans for someone at the packing table: how many parcels, what goes into each, how it is sent and what it costs.
/// `arrangement`: and how each is packed, step by step.
std::string PlansText(const Plans& plans, bool arrangement, const Style& style);

}  // namespace tarewise::command

#endif  // TAREWISE_LIB_COMMAND_PLANS_TEXT_H_
