#ifndef TAREWISE_LIB_COMMAND_STAIRCASE_OVERDUE_H_
#define TAREWISE_LIB_COMMAND_STAIRCASE_OVERDUE_H_

#include <cstddef>
#include <memory>
#include <vector>

#include "command/tables.h"
#include "tarewise/ranking/ranking.h"
#include "tarewise/ranking/steps.h"

namespace tarewise::command {

/// The series whose overdue values any of these steps of a service (by its number in the ranking's dispatch) goes by,
/// in the order of the tariff's series. `ranking` is of the sealed parcel, and was made from `book`.
std::vector<OverdueSeries> OverdueOfSteps(const Book& book, const Ranking& ranking, std::size_t service,
                                          const std::vector<WeightStep>& steps);

}  // namespace tarewise::command

#endif  // TAREWISE_LIB_COMMAND_STAIRCASE_OVERDUE_H_
