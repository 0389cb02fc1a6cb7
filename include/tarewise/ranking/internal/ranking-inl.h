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

namespace internal {

// The parcel of an offer as it was judged: for words about tests.
class JudgedAgain {
 public:
  JudgedAgain(const Ranking& ranking, const Offer& offer)
      : dispatch_(StateOf(ranking.dispatch())),
        state_(dispatch_.services()[offer.service_index]),
        parcel_(FactsOf(ranking, offer)),
        sides_(dispatch_.MeasureSides(parcel_, state_)),
        asked_(dispatch_, parcel_, ValueOf(ranking.request())),
        shipment_(asked_.FactsFor(dispatch_.CarrierOf(state_))),
        evaluation_(*state_.compiled, state_.rules, parcel_, shipment_, state_.zone, sides_) {}

  void Why(const Test& when, std::vector<std::string>& parts) const {
    internal::Why(when, evaluation_.facts(), false, parts);
  }

 private:
  static ParcelFacts FactsOf(const Ranking& ranking, const Offer& offer) {
    ParcelFacts facts = ranking.candidates()[offer.candidate_index].facts;
    facts.weight = offer.weight.nanograms();
    for (std::size_t i = 0; i < 3; ++i) facts.sides[i] = offer.sides.sides()[i].nanometres();
    return facts;
  }
  static Amount ValueOf(const Request& request) {
    Amount value;
    if (request.parcel) value = request.parcel->value;
    for (const Item& item : request.goods) value = value + Amount::Micros(item.value.micros() * item.quantity);
    return value;
  }

  const DispatchState& dispatch_;
  const ServiceState& state_;
  const ParcelFacts parcel_;
  const SideFacts sides_;
  const AskedGoods asked_;
  const ShipmentFacts shipment_;
  const Evaluation evaluation_;
};

// The words but for those of the test.
inline void WhyThePrice(const Ranking& ranking, const Offer& offer, const Charge& charge,
                        std::vector<std::string>& parts) {
  const Basis& basis = charge.basis;
  const int decimals = offer.tariff_currency.decimals();
  if (basis.discount != nullptr) {
    const std::optional<Amount>& less = basis.discount->less;
    parts.push_back((less ? less->ToString(decimals) : basis.discount->percent.ToString()) + " off " +
                    basis.of.ToString(decimals));
    if (basis.discount->floor) parts.push_back("not below " + basis.discount->floor->ToString(decimals));
    return;
  }
  if (basis.tax != nullptr) {
    parts.push_back(basis.tax->percent.ToString() + " of " + (basis.tax->by_line ? "each line, together " : "") +
                    basis.of.ToString(decimals));
    return;
  }
  if (charge.amount < Amount()) parts.emplace_back("taken off");
  Why(*basis.price, {basis, offer.billable, offer.billable_from, offer.zone, decimals}, parts);
  if (!basis.once) return;
  const bool here = StateOf(ranking.dispatch()).shipment().consignment.first;
  parts.emplace_back(here ? "due once a consignment" : "due once a consignment, with another parcel");
}

}  // namespace internal

TW_INLINE std::string Ranking::Why(const Offer& offer, const Charge& charge) const {
  std::vector<std::string> parts;
  internal::WhyThePrice(*this, offer, charge, parts);
  if (charge.basis.when != nullptr) internal::JudgedAgain(*this, offer).Why(*charge.basis.when, parts);
  return internal::JoinWords(parts, "; ");
}

TW_INLINE std::vector<std::string> Ranking::Whys(const Offer& offer) const {
  std::vector<std::string> out;
  out.reserve(offer.charges.size());
  std::optional<internal::JudgedAgain> judged;
  std::vector<std::string> parts;
  for (const Charge& charge : offer.charges) {
    parts.clear();
    internal::WhyThePrice(*this, offer, charge, parts);
    if (charge.basis.when != nullptr) {
      if (!judged) judged.emplace(*this, offer);
      judged->Why(*charge.basis.when, parts);
    }
    out.push_back(internal::JoinWords(parts, "; "));
  }
  return out;
}

}  // namespace tarewise::inline TW_VERSIONED

#endif  // TAREWISE_RANKING_INTERNAL_RANKING_INL_H_
