#ifndef TAREWISE_COMPARE_INTERNAL_TARIFFS_INL_H_
#define TAREWISE_COMPARE_INTERNAL_TARIFFS_INL_H_

#include <set>
#include <string_view>
#include <utility>

#include "tarewise/compare/internal/tariff_comparer.h"
#include "tarewise/compare/tariffs.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

TW_INLINE Comparison Compare(const Tariff& before, const Tariff& after) {
  Comparison out;
  TariffComparison tariff = internal::TariffComparer::Run({&before, nullptr, {}}, {&after, nullptr, {}});
  if (!tariff.empty()) out.carriers.push_back(std::move(tariff));
  return out;
}

TW_INLINE Comparison Compare(const Ratebook& before, Date date_before, const Ratebook& after, Date date_after) {
  Comparison out;
  out.date_before = date_before;
  out.date_after = date_after;
  std::set<std::string_view> carriers;
  for (const std::string_view code : before.Carriers()) carriers.insert(code);
  for (const std::string_view code : after.Carriers()) carriers.insert(code);
  for (const std::string_view code : carriers) {
    const Edition* a = before.InForce(code, date_before);
    const Edition* b = after.InForce(code, date_after);
    if (a == nullptr && b == nullptr) continue;
    internal::ComparedSide side_a{nullptr, nullptr, date_before};
    internal::ComparedSide side_b{nullptr, nullptr, date_after};
    if (a != nullptr) side_a = {a->tariff, a->terms, date_before};
    if (b != nullptr) side_b = {b->tariff, b->terms, date_after};
    TariffComparison tariff = internal::TariffComparer::Run(side_a, side_b);
    if (!tariff.empty()) out.carriers.push_back(std::move(tariff));
  }
  return out;
}

}  // namespace tarewise::inline TW_VERSIONED

#endif  // TAREWISE_COMPARE_INTERNAL_TARIFFS_INL_H_
