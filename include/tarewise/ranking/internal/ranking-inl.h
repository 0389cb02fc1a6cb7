#ifndef TAREWISE_RANKING_INTERNAL_RANKING_INL_H_
#define TAREWISE_RANKING_INTERNAL_RANKING_INL_H_

#include <string>
#include <string_view>
#include <utility>
#include <variant>
#include <vector>

#include "tarewise/ranking/internal/basis_words.h"
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
  std::vector<std::string> parts = internal::BasisWords(offer, charge.basis);
  if (charge.basis.when == nullptr) return internal::Joined(parts, "; ");
  // The test again, at the offer's own parcel.
  const internal::DispatchState& dispatch = internal::StateOf(*dispatch_);
  const internal::ServiceState& state = dispatch.services()[offer.service_index];
  const internal::CarrierState& carrier = dispatch.CarrierOf(state);
  ParcelFacts facts = candidates()[offer.candidate_index].facts;
  facts.weight = offer.weight.nanograms();
  for (std::size_t i = 0; i < 3; ++i) facts.sides[i] = offer.sides.sides()[i].nanometres();
  Amount value;
  if (request_->parcel) value = request_->parcel->value;
  for (const Item& item : request_->goods) value = value + Amount::Micros(item.value.micros() * item.quantity);
  const internal::SideFacts sides = dispatch.MeasureSides(facts, state);
  const internal::ShipmentFacts shipment = dispatch.FactsFor(carrier, value);
  const internal::Evaluation evaluation(*state.compiled, state.rules, facts, shipment, state.zone, sides);
  internal::DescribeTest(*charge.basis.when, evaluation, *carrier.edition->tariff, false, parts);
  return internal::Joined(parts, "; ");
}

}  // namespace tarewise

#endif  // TAREWISE_RANKING_INTERNAL_RANKING_INL_H_
