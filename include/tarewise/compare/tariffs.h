#ifndef TAREWISE_COMPARE_TARIFFS_H_
#define TAREWISE_COMPARE_TARIFFS_H_

#include "tarewise/compare/comparison.h"
#include "tarewise/internal/switch.h"
#include "tarewise/pricing/ratebook.h"
#include "tarewise/tariff/tariff.h"
#include "tarewise/units/date.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

/// What differs between two versions of a carrier's tariff, matched by codes: cells, rules, zones, packaging, days.
/// Titles of the documents, their sources, examples and dates in force are told but are no difference. Two tariffs of
/// different carriers are compared too; the carrier is then a difference. Deterministic; about linear in the
/// documents.
Comparison Compare(const Tariff& before, const Tariff& after);

/// What differs between two ratebooks on two dates (they may be one ratebook): carrier by carrier the tariff and the
/// terms in force. A charge whose test rules the date out is not there on that side; charges whose codes end in a
/// date, as fuel by the week does (`fuel-2026-07-20`), are matched by what stands before it. Points of the gazetteer
/// are not compared.
///
///     Comparison news = Compare(*book, *Date::Parse("2026-08-03"), *book, *Date::Parse("2026-12-01"));
///     Tell(Summary(news));  // tarewise/compare/summary.h
Comparison Compare(const Ratebook& before, Date date_before, const Ratebook& after, Date date_after);

}  // namespace tarewise::inline TW_VERSIONED

#ifdef TW_HEADER_ONLY
#include "tarewise/compare/internal/tariffs-inl.h"
#endif

#endif  // TAREWISE_COMPARE_TARIFFS_H_
