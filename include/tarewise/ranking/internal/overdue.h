#ifndef TAREWISE_RANKING_INTERNAL_OVERDUE_H_
#define TAREWISE_RANKING_INTERNAL_OVERDUE_H_

#include <algorithm>
#include <cstdint>
#include <optional>
#include <span>
#include <utility>
#include <vector>

#include "tarewise/pricing/charge.h"
#include "tarewise/pricing/internal/evaluate.h"
#include "tarewise/ranking/internal/dispatch_state.h"
#include "tarewise/ranking/ranking.h"
#include "tarewise/rules/price.h"
#include "tarewise/tariff/series.h"
#include "tarewise/tariff/tariff.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// The series whose overdue values these lines went by. Nothing is looked at where the carrier has none that is.
inline std::vector<OverdueSeries> OverdueOf(const CarrierState& carrier, std::span<const Charge> lines) {
  std::vector<OverdueSeries> out;
  if (!carrier.overdue) return out;
  const Tariff& tariff = *carrier.edition->tariff;
  std::vector<std::pair<std::uint32_t, Date>> found;
  for (const Charge& line : lines) {
    if (line.basis.price == nullptr) continue;
    const std::optional<std::uint32_t> by_date = ByDateOf(*line.basis.price);
    if (!by_date || !carrier.dated[*by_date].overdue_since) continue;
    found.emplace_back(tariff.by_date[*by_date].series, *carrier.dated[*by_date].overdue_since);
  }
  std::sort(found.begin(), found.end());
  found.erase(std::unique(found.begin(), found.end()), found.end());
  for (const auto& [series, since] : found) out.push_back({tariff.series[series].code, since});
  return out;
}

/// True where the lines of an offer go by such a value.
inline bool IsOverdue(const CarrierState& carrier, const Evaluation& evaluation) {
  if (!carrier.overdue) return false;
  std::vector<Charge> lines;
  return evaluation.Total(lines).has_value() && !OverdueOf(carrier, lines).empty();
}

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_RANKING_INTERNAL_OVERDUE_H_
