#ifndef TAREWISE_BATCH_INTERNAL_FINGERPRINT_H_
#define TAREWISE_BATCH_INTERNAL_FINGERPRINT_H_

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "tarewise/pricing/internal/compiled.h"
#include "tarewise/rules/identity.h"
#include "tarewise/rules/price.h"
#include "tarewise/rules/test.h"
#include "tarewise/rules/walk.h"
#include "tarewise/tariff/seller.h"
#include "tarewise/tariff/series.h"
#include "tarewise/tariff/tariff.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// Everything of a service that its prices depend on, as bytes: two services with the same bytes price every parcel
/// alike. Without amounts, only where prices can change: the same bytes mean the same tests and the same bounds.
class Fingerprint {
 public:
  /// `dated`: the values by date on the day, by `Tariff::by_date`.
  static std::string OfPrices(const CompiledService& service, std::span<const DatedValue> dated) {
    Fingerprint print(true);
    print.dated_ = dated;
    print.Put(service);
    return print.bytes_.Take();
  }
  static std::string OfBounds(const CompiledService& service) {
    Fingerprint print(false);
    print.Put(service);
    return print.bytes_.Take();
  }

 private:
  explicit Fingerprint(bool amounts) : bytes_(amounts) {}

  template <typename T>
  void Put(const T& value) {
    bytes_.Put(value);
  }
  template <typename T>
  void Each(const std::vector<T>& values) {
    bytes_.Each(values, [this](const T& value) { Put(value); });
  }
  void Put(const Test& test) { PutTest(test, bytes_); }
  void Put(const Price& price) {
    PutPrice(price, bytes_);
    const std::optional<std::uint32_t> by_date = ByDateOf(price);
    if (!bytes_.amounts()) return;
    Put(by_date.has_value());
    if (by_date) Put(dated_[*by_date].micros);
  }

  void Put(const Discount* discount) {
    Put(discount->when);
    Put(discount->percent);
    if (!bytes_.amounts()) return;
    Put(discount->floor);
    Put(discount->less);
    Put(discount->adds);
  }
  void Put(const CompiledService::Rule& rule) {
    Put(rule.rule->code);
    Put(rule.rule->when);
    Put(rule.rule->price);
    Put(rule.less);
    Put(rule.rule->once);
    Put(rule.group);
    Put(rule.replaces);
    Put(rule.of);
    Put(rule.of_extras);
    Put(rule.rule->required);
    Put(rule.rule->excluded);
    Each(rule.discounts);
  }
  void Put(const MeasureRules::Dimensional& rule) {
    Put(rule.when);
    Put(rule.volume_per_weight.volume);
    Put(rule.volume_per_weight.weight);
    Put(rule.at_most);
  }
  void Put(const MeasureRules::AtLeast& rule) {
    Put(rule.when);
    Put(rule.weight);
  }
  void Put(const Tax& tax) {
    Put(tax.when);
    if (!bytes_.amounts()) return;
    Put(tax.percent);
    Put(tax.listed_with);
    Put(tax.by_line);
  }
  void Put(const RefuseRule& rule) { Put(rule.when); }
  void Put(const RefuseRule* rule) { Put(rule->when); }
  void Put(const SellerRules::Handicap* handicap) {
    Put(handicap->when);
    Put(handicap->amount);
    Put(handicap->of_value);
  }
  void Put(const OwnRules& own) {
    Put(std::string(own.currency.code()));
    Each(own.avoid);
    Each(own.handicaps);
    Put(own.ask.size());
    for (const SellerRules::Ask& ask : own.ask) {
      Put(ask.when);
      Put(ask.extras);
      Put(ask.cover);
      Put(ask.cover_value);
    }
  }
  void Put(const PriceAlternative& alternative) {
    Put(alternative.when);
    Put(alternative.price);
    Put(alternative.once);
  }

  void Put(const CompiledService& compiled) {
    const Service& service = *compiled.service;
    const Tariff& tariff = *compiled.tariff;
    Put(service.mode);
    Put(service.own_packaging);
    Put(service.issued);
    Put(service.measure.sides);
    Put(service.measure.irregular_factor);
    Put(service.measure.weight);
    Each(service.measure.dimensional);
    Each(service.measure.at_least);
    Each(service.refuse);
    Put(service.pick_lowest);
    Each(service.prices);
    Each(compiled.surcharges);
    Each(compiled.extras);
    Each(compiled.base_discounts);
    Put(compiled.own);
    Put(compiled.strike_order);
    Put(service.included_cover);
    Put(service.cover_by_weight.has_value());
    if (service.cover_by_weight) {
      Put(service.cover_by_weight->price);
      Put(service.cover_by_weight->at_most);
    }
    Put(service.required);
    Put(compiled.tax != nullptr);
    if (compiled.tax != nullptr) Put(*compiled.tax);
    if (!bytes_.amounts()) return;
    Put(std::string(tariff.currency.code()));
    Put(tariff.rounding.line);
    Put(tariff.rounding.total);
    Put(tariff.rounding.mode);
    Put(tariff.zone_names);
  }

  IdentityBytes bytes_;
  std::span<const DatedValue> dated_;
};

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_BATCH_INTERNAL_FINGERPRINT_H_
