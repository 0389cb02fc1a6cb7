#ifndef TAREWISE_RANKING_INTERNAL_BASIS_WORDS_H_
#define TAREWISE_RANKING_INTERNAL_BASIS_WORDS_H_

#include <cstdint>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "tarewise/ranking/internal/explain.h"
#include "tarewise/ranking/ranking.h"
#include "tarewise/units/internal/quantity_text.h"

namespace tarewise::internal {

inline std::string CountedSteps(std::int64_t steps) {
  return std::to_string(steps) + (steps == 1 ? " step" : " steps");
}

// What a price looked up: "billable weight 5 lb (actual)".
inline std::string MeasuredWords(const Offer& offer, Measure measure, MeasureValue measured, std::string_view unit) {
  if (measure == Measure::kBillableWeight) return DescribeBillable(offer.billable, offer.billable_from, unit);
  return MeasureWords(measure) + " " + MeasureShown(measure, measured, unit);
}

/// Where the amount of a charge came from, in words; the test that made it due left out.
inline std::vector<std::string> BasisWords(const Offer& offer, const Basis& basis) {
  const int decimals = offer.tariff_currency.decimals();
  switch (basis.kind) {
    case Basis::Kind::kFlat:
      return {"one price"};
    case Basis::Kind::kZone:
      return {"zone " + std::string(offer.zone)};
    case Basis::Kind::kTable: {
      const TablePrice& table = std::get<TablePrice>(*basis.price);
      std::vector<std::string> parts = {MeasuredWords(offer, table.by, basis.measured, table.unit)};
      if (basis.steps > 0) parts.push_back(CountedSteps(basis.steps) + " beyond the last row");
      if (table.columns[basis.column] != "*") parts.push_back("zone " + table.columns[basis.column]);
      return parts;
    }
    case Basis::Kind::kStep: {
      const StepPrice& steps = std::get<StepPrice>(*basis.price);
      std::string_view unit = steps.step_text;
      while (!unit.empty() && !IsLetter(unit.front())) unit.remove_prefix(1);
      return {MeasuredWords(offer, steps.measure, basis.measured, unit),
              CountedSteps(basis.steps) + " of " + steps.step_text + " begun"};
    }
    case Basis::Kind::kPercent:
      return {std::get<PercentPrice>(*basis.price).percent.ToString() + " of " + basis.of.ToString(decimals)};
    case Basis::Kind::kDiscount: {
      std::vector<std::string> parts = {basis.discount->percent.ToString() + " off " + basis.of.ToString(decimals)};
      if (basis.discount->floor) parts.push_back("not below " + basis.discount->floor->ToString(decimals));
      return parts;
    }
  }
  return {};
}

}  // namespace tarewise::internal

#endif  // TAREWISE_RANKING_INTERNAL_BASIS_WORDS_H_
