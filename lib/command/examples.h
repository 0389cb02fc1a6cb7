#ifndef TAREWISE_LIB_COMMAND_EXAMPLES_H_
#define TAREWISE_LIB_COMMAND_EXAMPLES_H_

#include <cstddef>
#include <string>
#include <vector>

#include "tarewise/tariff/tariff.h"
#include "tarewise/zone/gazetteer.h"

namespace tarewise::command {

/// One example of a tariff whose price is not the one that its document gives.
struct DifferingExample {
  const Example* example = nullptr;
  std::size_t number = 0;          ///< From 1, in the document's order.
  std::string text;                ///< What was expected, what was got.
  std::vector<std::string> lines;  ///< The lines of the price it got, or the reasons of its refusal.
};

/// Prices every example of a tariff by the tariff alone, without terms and without the packaging's cost, in the zone
/// that the example gives or finds by its lane.
std::vector<DifferingExample> DifferingExamples(const Tariff& tariff, const Gazetteer& gazetteer);

}  // namespace tarewise::command

#endif  // TAREWISE_LIB_COMMAND_EXAMPLES_H_
