#ifndef TAREWISE_DOCUMENTS_EXAMPLES_H_
#define TAREWISE_DOCUMENTS_EXAMPLES_H_

#include <cstddef>
#include <string>
#include <vector>

#include "tarewise/tariff/tariff.h"
#include "tarewise/version.h"
#include "tarewise/zone/gazetteer.h"

namespace tarewise::inline TW_VERSIONED {

/// One example of a tariff (a price that its document copies from the published list) whose price is not the one given.
struct DifferingExample {
  const Example* example = nullptr;
  std::size_t number = 0;          ///< From 1, in the document's order.
  std::string text;                ///< What was expected, what was got.
  std::vector<std::string> lines;  ///< The lines of the price it got, or the reasons of its refusal.
};

/// Prices every example of a tariff by the tariff alone, without terms and without the packaging's cost, in the zone
/// that the example gives or finds by its lane, and tells those that differ, in the document's order. What is told
/// points into `tariff`. Cost: that of one `Rank` of a sealed parcel for each example, and a ratebook for each service
/// and zone.
///
///     for (const DifferingExample& one : DifferingExamples(tariff, gazetteer)) Tell(one.text);
std::vector<DifferingExample> DifferingExamples(const Tariff& tariff, const Gazetteer& gazetteer);

}  // namespace tarewise::inline TW_VERSIONED

#endif  // TAREWISE_DOCUMENTS_EXAMPLES_H_
