#ifndef TAREWISE_RANKING_INTERNAL_RANKING_INL_H_
#define TAREWISE_RANKING_INTERNAL_RANKING_INL_H_

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "tarewise/pricing/internal/evaluate.h"
#include "tarewise/ranking/internal/dispatch-inl.h"
#include "tarewise/ranking/ranking.h"
#include "tarewise/rules/price.h"
#include "tarewise/rules/test.h"
#include "tarewise/units/internal/quantity_text.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

TW_INLINE Ranking::Ranking() = default;
TW_INLINE Ranking::Ranking(const Ranking&) = default;
TW_INLINE Ranking::Ranking(Ranking&&) noexcept = default;
TW_INLINE Ranking& Ranking::operator=(const Ranking&) = default;
TW_INLINE Ranking& Ranking::operator=(Ranking&&) noexcept = default;
TW_INLINE Ranking::~Ranking() = default;

TW_INLINE std::string Ranking::Row(const Charge& charge) {
  const Basis& basis = charge.basis;
  return basis.price == nullptr ? std::string() : internal::RowOf(*basis.price, basis);
}

TW_INLINE std::string Ranking::BilledAs(const Charge& charge) {
  const Basis& basis = charge.basis;
  return basis.price == nullptr ? std::string() : internal::BilledAs(*basis.price, basis);
}

TW_INLINE std::string Ranking::Column(const Offer& offer, const Charge& charge) const {
  const Basis& basis = charge.basis;
  return basis.price == nullptr ? std::string() : internal::ColumnOf(*basis.price, basis, offer.zone);
}

TW_INLINE std::string Ranking::Why(const Offer& offer, const Charge& charge) const {
  const Basis& basis = charge.basis;
  const int decimals = offer.tariff_currency.decimals();
  std::vector<std::string> parts;
  if (basis.discount != nullptr) {
    const std::optional<Amount>& less = basis.discount->less;
    parts.push_back((less ? less->ToString(decimals) : basis.discount->percent.ToString()) + " off " +
                    basis.of.ToString(decimals));
    if (basis.discount->floor) parts.push_back("not below " + basis.discount->floor->ToString(decimals));
  } else if (basis.tax != nullptr) {
    parts.push_back(basis.tax->percent.ToString() + " of " + (basis.tax->by_line ? "each line, together " : "") +
                    basis.of.ToString(decimals));
  } else {
    if (charge.amount < Amount()) parts.emplace_back("taken off");
    internal::Why(*basis.price, {basis, offer.billable, offer.billable_from, offer.zone, decimals}, parts);
    if (basis.once) {
      const bool here = internal::StateOf(*dispatch_).shipment().consignment.first;
      parts.emplace_back(here ? "due once a consignment" : "due once a consignment, with another parcel");
    }
  }
  if (basis.when == nullptr) return internal::JoinWords(parts, "; ");
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
  const internal::AskedGoods asked(dispatch, facts, value);
  const internal::ShipmentFacts shipment = asked.FactsFor(carrier);
  const internal::Evaluation evaluation(*state.compiled, state.rules, facts, shipment, state.zone, sides);
  internal::Why(*basis.when, evaluation.facts(), false, parts);
  return internal::JoinWords(parts, "; ");
}

}  // namespace tarewise::inline TW_VERSIONED

#endif  // TAREWISE_RANKING_INTERNAL_RANKING_INL_H_
