#ifndef TAREWISE_RANKING_INTERNAL_SELLER_STATE_H_
#define TAREWISE_RANKING_INTERNAL_SELLER_STATE_H_

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "absl/status/status.h"
#include "tarewise/ranking/dispatch.h"
#include "tarewise/rules/facts.h"
#include "tarewise/rules/test.h"
#include "tarewise/tariff/seller.h"
#include "tarewise/units/internal/place_of_error.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// A declared value or cover in a tariff's currency; what is over 1,000 million there by how much does not matter.
inline std::int64_t DeclaredIn(const ExchangeRate& rate, Amount amount, Currency currency) {
  const std::optional<Amount> back = rate.Back(amount, currency);
  return back ? std::min(back->micros(), kMostMicros + 1) : kMostMicros + 1;
}

/// Extras and cover (in the ranking's currency) that are asked for.
struct AskedFor {
  std::vector<std::string> extras;
  std::optional<Amount> cover;
};

/// The seller's own rules on a lane and a day, as far as they are no service's: what they ask for, and what their money
/// comes to in the ranking's currency.
class SellerState {
 public:
  /// `any`: some tariff, for their tests look at none. Errors: InvalidArgument where their currency has no rate.
  absl::Status Prepare(const SellerRules* rules, const Shipment& shipment, Currency currency, const Tariff& any) {
    always_ = {shipment.extras, shipment.cover};
    if (rules == nullptr) return absl::OkStatus();
    rules_ = rules;
    currency_ = currency;
    any_ = &any;
    if (rules->currency != currency) {
      const auto rate = shipment.exchange.find(rules->currency.code());
      if (rate == shipment.exchange.end()) {
        const std::string code(rules->currency.code());
        return InvalidAt("exchange/" + code, "found none, expected a rate: the seller's own rules are in " + code +
                                                 ", the ranking is in " + std::string(currency.code()));
      }
      rate_ = rate->second;
    }
    for (const SellerRules::Handicap& one : rules->handicaps) amounts_.push_back(WorthInRanking(one.amount));
    PrepareAsk(shipment);
    return absl::OkStatus();
  }

  /// False where the seller has no rules.
  bool any() const { return rules_ != nullptr; }
  /// A declared value, or what is to be collected, as the tests see it.
  std::int64_t ValueOf(Amount value) const {
    return rate_ ? DeclaredIn(*rate_, value, rules_->currency) : value.micros();
  }

  /// True where it hangs on the goods what is asked for.
  bool asks_by_goods() const { return by_goods_; }
  /// What is asked for whatever the goods; where it hangs on them, by the request alone.
  const AskedFor& always() const { return always_; }
  /// True where an extra, or "cover", is asked for of some goods.
  bool MayAsk(std::string_view extra) const {
    auto names = [extra](const std::vector<std::string>& codes) {
      return std::find(codes.begin(), codes.end(), extra) != codes.end();
    };
    if (extra == "cover" ? always_.cover.has_value() : names(always_.extras)) return true;
    return std::any_of(ask_.begin(), ask_.end(), [&](const Ask& one) {
      return extra == "cover" ? one.rule->cover.has_value() || one.rule->cover_value : names(one.rule->extras);
    });
  }

  /// What is asked for these goods; `shipment` is of the lane, and of their value.
  AskedFor For(const ParcelFacts& goods, const ShipmentFacts& shipment, Amount value) const {
    AskedFor out = always_;
    const ShipmentFacts for_seller = shipment.ForSeller();
    const SideFacts sides;
    const PointFacts at{{*any_, Mode::kAny, kNoZone, for_seller}, goods, sides};
    for (const Ask& one : ask_) {
      if (one.settled || Holds(one.rule->when, at)) Take(*one.rule, value, out);
    }
    return out;
  }

  /// What a handicap comes to in the ranking's currency.
  Amount HandicapOf(const SellerRules::Handicap& handicap, Amount value) const {
    if (!handicap.of_value) return amounts_[static_cast<std::size_t>(&handicap - rules_->handicaps.data())];
    return AtMost(handicap.of_value->Of(value, currency_.minor_unit(), RoundMode::kHalfUp));
  }

 private:
  // One that may hold on this lane and day.
  struct Ask {
    const SellerRules::Ask* rule;
    bool settled;  // Whatever the goods.
  };

  static Amount AtMost(Amount amount) { return std::min(amount, Amount::Micros(kMostMicros)); }

  // Half up to the minor unit of each currency that it goes through.
  Amount WorthInRanking(Amount amount) const {
    const Amount rounded = Amount::Micros(static_cast<std::int64_t>(
        DivideRounded(Int128(amount.micros()), 1, rules_->currency.minor_unit(), RoundMode::kHalfUp)));
    return AtMost(rate_ ? rate_->Into(rounded, currency_).value_or(Amount::Micros(kMostMicros)) : rounded);
  }

  void PrepareAsk(const Shipment& shipment) {
    ShipmentFacts facts;
    facts.lane = &shipment.lane;
    facts.date = shipment.date;
    for (const SellerRules::Ask& rule : rules_->ask) {
      const std::optional<bool> holds = OnLane(rule.when, LaneFacts{*any_, Mode::kAny, kNoZone, facts});
      if (!holds.value_or(true)) continue;
      ask_.push_back({&rule, holds.has_value()});
      by_goods_ = by_goods_ || !holds || rule.cover_value;
    }
    if (by_goods_) return;
    for (const Ask& one : ask_) Take(*one.rule, Amount(), always_);
  }

  void Take(const SellerRules::Ask& rule, Amount value, AskedFor& out) const {
    for (const std::string& code : rule.extras) {
      if (std::find(out.extras.begin(), out.extras.end(), code) == out.extras.end()) out.extras.push_back(code);
    }
    auto cover_to = [&out](Amount cover) { out.cover = std::max(out.cover.value_or(Amount()), cover); };
    if (rule.cover_value) cover_to(value);
    if (!rule.cover) return;
    constexpr std::int64_t kPastAll = std::numeric_limits<std::int64_t>::max() / 2;
    cover_to(rate_ ? rate_->Into(*rule.cover, currency_).value_or(Amount::Micros(kPastAll)) : *rule.cover);
  }

  const SellerRules* rules_ = nullptr;
  const Tariff* any_ = nullptr;
  Currency currency_;                 // of the ranking
  std::optional<ExchangeRate> rate_;  // of the rules' currency, where it is another
  AskedFor always_;
  std::vector<Ask> ask_;
  bool by_goods_ = false;
  std::vector<Amount> amounts_;  // by handicap
};

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_RANKING_INTERNAL_SELLER_STATE_H_
