#ifndef TAREWISE_COMPARE_SUMMARY_H_
#define TAREWISE_COMPARE_SUMMARY_H_

#include <cstdint>
#include <functional>
#include <span>
#include <string>

#include "tarewise/compare/catalogues.h"
#include "tarewise/compare/comparison.h"
#include "tarewise/internal/switch.h"
#include "tarewise/version.h"
#include "tarewise/zone/place.h"

namespace tarewise::inline TW_VERSIONED {

/// A comparison in a few lines for a person, each ended by a newline, as "Harbourline Ground: 560 of 630 cells
/// dearer, 3.1 % at the median, most +0.42 (60 lb, zone 7); fuel 16.75 % -> 17.25 %". A line a service that changed,
/// then charges by the services that share them, zones, packaging and terms. "no difference" where there is none.
/// Medians are of the percent changes of the cells dearer (or cheaper), to a tenth of a percent.
std::string Summary(const Comparison& comparison);

/// Names a row for people (an article number); nothing: "row 17", counted from 1.
using RowName = std::function<std::string(std::uint64_t row)>;

/// What a change does to a catalogue, in a few lines for a person, each ended by a newline. `lanes`: those that were
/// compared.
std::string Summary(const CatalogueChange& change, std::span<const Lane> lanes, const RowName& name = {});

}  // namespace tarewise::inline TW_VERSIONED

#ifdef TW_HEADER_ONLY
#include "tarewise/compare/internal/summary-inl.h"
#endif

#endif  // TAREWISE_COMPARE_SUMMARY_H_
