#ifndef TAREWISE_COMPARE_COMPARISON_JSON_H_
#define TAREWISE_COMPARE_COMPARISON_JSON_H_

#include <span>
#include <string>

#include "tarewise/compare/catalogue_summary.h"
#include "tarewise/compare/comparison.h"

namespace tarewise {

/// A comparison as a `tarewise-comparison-1` document, UTF-8, with the summary in words. `indent` spaces a level; -1:
/// one line. Linear in the differences. In the library `tarewise::tarewise`, not in the headers alone.
std::string ToJson(const Comparison& comparison, int indent = 2);

/// The same with what the change does to a catalogue, under `catalogue`.
std::string ToJson(const Comparison& comparison, const CatalogueChange& change, std::span<const Lane> lanes,
                   const RowName& name = {}, int indent = 2);

}  // namespace tarewise

#endif  // TAREWISE_COMPARE_COMPARISON_JSON_H_
