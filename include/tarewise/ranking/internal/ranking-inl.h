#ifndef TAREWISE_RANKING_INTERNAL_RANKING_INL_H_
#define TAREWISE_RANKING_INTERNAL_RANKING_INL_H_

#include <string>
#include <string_view>
#include <utility>
#include <variant>
#include <vector>

#include "tarewise/ranking/internal/dispatch-inl.h"
#include "tarewise/ranking/internal/explain.h"
#include "tarewise/ranking/ranking.h"
#include "tarewise/units/internal/quantity_text.h"

namespace tarewise {

TW_INLINE Ranking::Ranking() = default;
TW_INLINE Ranking::Ranking(const Ranking&) = default;
TW_INLINE Ranking::Ranking(Ranking&&) noexcept = default;
TW_INLINE Ranking& Ranking::operator=(const Ranking&) = default;
TW_INLINE Ranking& Ranking::operator=(Ranking&&) noexcept = default;
TW_INLINE Ranking::~Ranking() = default;

TW_INLINE std::string Ranking::Row(const Charge& charge) {
  if (charge.basis.kind != Basis::Kind::kTable) return {};
  return std::get<TablePrice>(*charge.basis.price).RowText(charge.basis.row);
}

TW_INLINE std::string Ranking::Column(const Offer& offer, const Charge& charge) const {
  switch (charge.basis.kind) {
    case Basis::Kind::kTable:
      return std::get<TablePrice>(*charge.basis.price).columns[charge.basis.column];
    case Basis::Kind::kZone:
      return std::string(offer.zone);
    default:
      return {};
  }
}

TW_INLINE std::string Ranking::Why(const Offer& offer, const Charge& charge) const {
  const internal::DispatchState& dispatch = internal::StateOf(*dispatch_);
  const internal::ServiceState& state = dispatch.services()[offer.service_index];
  const internal::CarrierState& carrier = dispatch.CarrierOf(state);
  const Tariff& tariff = *carrier.edition->tariff;
  const int decimals = tariff.currency.decimals();
  Candidate candidate = candidates()[offer.candidate_index];
  candidate.facts.weight = offer.weight.nanograms();
  for (std::size_t i = 0; i < 3; ++i) candidate.facts.sides[i] = offer.sides.sides()[i].nanometres();
  Amount value;
  if (request_->parcel) {
    value = request_->parcel->value;
  } else {
    for (const Item& item : request_->goods) value = value + Amount::Micros(item.value.micros() * item.quantity);
  }
  const internal::SideFacts sides = dispatch.MeasureSides(candidate.facts, state);
  const internal::ShipmentFacts shipment = dispatch.FactsFor(carrier, value);
  const internal::Evaluation evaluation(*state.compiled, state.rules, candidate.facts, shipment, state.zone, sides);
  std::vector<std::string> parts;
  const Basis& basis = charge.basis;
  auto measured = [&](Measure measure, std::string_view unit) {
    parts.push_back(measure == Measure::kBillableWeight
                        ? internal::DescribeBillable(offer.billable, offer.billable_from, unit)
                        : MeasureWords(measure) + " " + MeasureShown(measure, basis.measured, unit));
  };
  switch (basis.kind) {
    case Basis::Kind::kFlat:
      parts.emplace_back("one price");
      break;
    case Basis::Kind::kZone:
      parts.push_back("zone " + std::string(offer.zone));
      break;
    case Basis::Kind::kTable: {
      const TablePrice& table = std::get<TablePrice>(*basis.price);
      measured(table.by, table.unit);
      if (basis.steps > 0) {
        parts.push_back(std::to_string(basis.steps) + (basis.steps == 1 ? " step" : " steps") + " beyond the last row");
      }
      if (table.columns[basis.column] != "*") parts.push_back("zone " + table.columns[basis.column]);
      break;
    }
    case Basis::Kind::kStep: {
      const StepPrice& steps = std::get<StepPrice>(*basis.price);
      std::string_view unit = steps.step_text;
      while (!unit.empty() && !internal::IsLetter(unit.front())) unit.remove_prefix(1);
      measured(steps.measure, unit);
      parts.push_back(std::to_string(basis.steps) + (basis.steps == 1 ? " step" : " steps") + " of " + steps.step_text +
                      " begun");
      break;
    }
    case Basis::Kind::kPercent:
      parts.push_back(std::get<PercentPrice>(*basis.price).percent.ToString() + " of " + basis.of.ToString(decimals));
      break;
    case Basis::Kind::kDiscount:
      parts.push_back(basis.discount->percent.ToString() + " off " + basis.of.ToString(decimals));
      if (basis.discount->floor) parts.push_back("not below " + basis.discount->floor->ToString(decimals));
      break;
  }
  if (basis.when != nullptr) internal::DescribeTest(*basis.when, evaluation, tariff, false, parts);
  return internal::Joined(parts, "; ");
}

}  // namespace tarewise

#endif  // TAREWISE_RANKING_INTERNAL_RANKING_INL_H_
