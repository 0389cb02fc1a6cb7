#ifndef TAREWISE_DOCUMENTS_COMPARISON_JSON_H_
#define TAREWISE_DOCUMENTS_COMPARISON_JSON_H_

#include <span>
#include <string>

#include "tarewise/compare/comparison.h"
#include "tarewise/compare/summary.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

/// A comparison as a `tarewise-comparison-1` document, UTF-8. `indent` spaces a level; -1: one line. Linear in the
/// differences. In the library `tarewise::tarewise`, not in the headers alone.
///
/// - `format`, `date_before` and `date_after` (where editions on dates are compared), `summary`: the lines of
/// `Summary`.
/// - `carriers`, one each that differs: `change` (added, removed, changed), `carrier`, `name`, `currency`, `before` and
///   `after` (`title`, `in_force`), `differences`, `services`, `charges`, and where there are any `zones`, `charts`,
///   `packaging`, `terms`.
/// - A difference: `what`, `before`, `after` in words; null where it was added or removed.
/// - A service: `change`, `code`, `title`, `differences`, `days`, `measure`, `refuse`, `cells` (counts, medians in
///   percent) and `prices`; a charge: `change`, `code`, `title`, `kind` (surcharge, extra), `services`, `differences`,
///   `price`.
/// - A price: `change`, `when`, `differences`, `cells`: `row`, `column`, `before`, `after` (money; null where it is not
///   offered) and `percent`, signed, to four decimals.
/// - A zone: `list`, `chart` (from 0), `origin`, `area`, `before`, `after`.
///
/// Money and percentages are strings; what is empty is left out but for the lists of services and charges.
std::string ToJson(const Comparison& comparison, int indent = 2);

/// The same with what the change does to a catalogue, under `catalogue`.
std::string ToJson(const Comparison& comparison, const CatalogueChange& change, std::span<const Lane> lanes,
                   const RowName& name = {}, int indent = 2);

}  // namespace tarewise::inline TW_VERSIONED

#endif  // TAREWISE_DOCUMENTS_COMPARISON_JSON_H_
