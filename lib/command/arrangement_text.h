#ifndef TAREWISE_LIB_COMMAND_ARRANGEMENT_TEXT_H_
#define TAREWISE_LIB_COMMAND_ARRANGEMENT_TEXT_H_

#include <string>

#include "command/console.h"
#include "tarewise/ranking/ranking.h"

namespace tarewise::command {

/// How to pack an offer: the steps, and where several goods are arranged in a carton, its layers drawn to scale as seen
/// from above, from the bottom up, one for each stretch of height in which they are the same. At most 80 columns.
std::string ArrangementText(const Ranking& ranking, const Offer& offer, const Style& style);

}  // namespace tarewise::command

#endif  // TAREWISE_LIB_COMMAND_ARRANGEMENT_TEXT_H_
