#ifndef TAREWISE_RULES_PRICE_H_
#define TAREWISE_RULES_PRICE_H_

// Every question that can be asked of a price; each kind answers in its file.

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "tarewise/rules/price_classes.h"
#include "tarewise/rules/price_dated.h"
#include "tarewise/rules/price_flat.h"
#include "tarewise/rules/price_kind.h"
#include "tarewise/rules/price_percent.h"
#include "tarewise/rules/price_rate.h"
#include "tarewise/rules/price_step.h"
#include "tarewise/rules/price_table.h"
#include "tarewise/rules/visit.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// Asks a price's own kind.
template <typename Ask>
[[gnu::always_inline]] inline decltype(auto) AskPrice(const Price& price, Ask ask) {
  return Visit(
      [&ask]<typename P>(const P& one) -> decltype(auto) {
        static_assert(sizeof(PriceAnswers<P>) != 0);
        return ask(PriceRule<P>(), one);
      },
      price);
}
static_assert(EveryKind<PriceAnswers, Price>::kAnswered);

/// Millionths before rounding, no more than kFarTooDear where steps are counted, or kNotOffered; also for a part of
/// other lines. `basis` may be nothing.
inline std::int64_t PriceAt(const Price& price, const PointFacts& at, Basis* basis) {
  return AskPrice(price, [&](auto rule, const auto& one) {
    if (basis != nullptr) {
      basis->price = &price;
      basis->kind = rule.kBasis;
    }
    return rule.At(one, at, basis);
  });
}

/// Tells `sink` where the price can change: `sink.Cut(measure, value)`, up to and including the value, and
/// `sink.Series(measure, start, step)`, without end.
template <typename Sink>
void GatherCuts(const Price& price, Sink& sink) {
  AskPrice(price, [&sink](auto rule, const auto& one) { rule.Cuts(one, sink); });
}

/// Calls `f` with each measure that the price is looked up by.
template <typename F>
void EachMeasure(const Price& price, F f) {
  AskPrice(price, [&f](auto rule, const auto& one) { rule.Measures(one, f); });
}

/// Equal bytes for equal prices.
inline void PutPrice(const Price& price, IdentityBytes& out) {
  out.Put(price.index());
  AskPrice(price, [&out](auto rule, const auto& one) { rule.Identity(one, out); });
}

/// No parcel of these weights or more pays less in the zone; kNotOffered: there is nothing to pay.
inline std::int64_t LeastOf(const Price& price, ZoneId zone, const WeightsAtLeast& from) {
  return AskPrice(price, [&](auto rule, const auto& one) { return rule.Least(one, zone, from); });
}

/// What every parcel pays in the zone; 0 where that depends on the parcel.
inline std::int64_t CertainOf(const Price& price, ZoneId zone) {
  return AskPrice(price, [=](auto rule, const auto& one) { return rule.Certain(one, zone); });
}

/// The percentage of other lines that a price is; nothing where it has an amount of its own.
inline const PercentPrice* PartOfLines(const Price& price) {
  return AskPrice(price, [](auto rule, const auto& one) { return rule.PartOfLines(one); });
}

/// The value that changes by date which a price goes by, an index into `Tariff::by_date`; nothing: none.
inline std::optional<std::uint32_t> ByDateOf(const Price& price) {
  return AskPrice(price, [](auto rule, const auto& one) { return rule.ByDate(one); });
}

/// True where the price has an amount for every parcel in these zones (by id; nothing: not known which).
inline bool CoversAll(const Price& price, const std::vector<bool>* zones) {
  return AskPrice(price, [zones](auto rule, const auto& one) { return rule.CoversAll(one, zones); });
}

/// The unit of a grid by weight; nothing for other prices.
inline std::optional<std::string_view> GridUnit(const Price& price) {
  return AskPrice(price, [](auto rule, const auto& one) { return rule.GridUnit(one); });
}

/// What kind of price it is, without its amounts.
inline std::string PriceWords(const Price& price) {
  return AskPrice(price, [](auto rule, const auto& one) { return rule.Words(one); });
}

/// The row and the column that a charge came from; empty where the price has none.
inline std::string RowOf(const Price& price, const Basis& basis) {
  return AskPrice(price, [&basis](auto rule, const auto& one) { return rule.Row(one, basis); });
}
inline std::string ColumnOf(const Price& price, const Basis& basis, std::string_view zone) {
  return AskPrice(price, [&basis, zone](auto rule, const auto& one) { return rule.Column(one, basis, zone); });
}

/// What a charge is billed as where that is not what was measured: "45 kg"; else empty.
inline std::string BilledAs(const Price& price, const Basis& basis) {
  return AskPrice(price, [&basis](auto rule, const auto& one) { return rule.BilledAs(one, basis); });
}

/// Where a charge's amount came from.
inline void Why(const Price& price, const LineFacts& line, std::vector<std::string>& out) {
  AskPrice(price, [&](auto rule, const auto& one) { rule.Why(one, line, out); });
}

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_RULES_PRICE_H_
