#ifndef TAREWISE_BATCH_INTERNAL_FINGERPRINT_H_
#define TAREWISE_BATCH_INTERNAL_FINGERPRINT_H_

#include <cstdint>
#include <string>
#include <type_traits>
#include <variant>
#include <vector>

#include "tarewise/pricing/internal/compiled.h"
#include "tarewise/tariff/tariff.h"

namespace tarewise::internal {

/// Everything of a service that its prices depend on, as bytes: two services with the same bytes price every parcel
/// alike. Without amounts, only where prices can change: the same bytes mean the same tests and the same bounds.
class Fingerprint {
 public:
  static std::string OfPrices(const CompiledService& service) {
    Fingerprint print(true);
    print.Put(service);
    return std::move(print.out_);
  }
  static std::string OfBounds(const CompiledService& service) {
    Fingerprint print(false);
    print.Put(service);
    return std::move(print.out_);
  }

 private:
  explicit Fingerprint(bool amounts) : amounts_(amounts) {}

  template <typename T>
  void Raw(const T& value) {
    static_assert(std::is_integral_v<T> || std::is_enum_v<T> || std::is_same_v<T, Int128>);
    out_.append(reinterpret_cast<const char*>(&value), sizeof(value));
  }
  void Put(bool value) { Raw(value); }
  void Put(std::int64_t value) { Raw(value); }
  void Put(const Int128& value) { Raw(value); }
  void Put(const std::string& text) {
    Raw(text.size());
    out_ += text;
  }
  template <typename E>
  requires std::is_enum_v<E>
  void Put(E value) { Raw(value); }
  void Put(std::uint16_t value) { Raw(value); }
  void Put(std::int16_t value) { Raw(value); }
  void Put(Amount amount) {
    if (amounts_) Raw(amount.micros());
  }
  void Put(Percent percent) {
    if (amounts_) Raw(percent.ten_thousandths());
  }
  void Put(Weight weight) { Raw(weight.nanograms()); }
  void Put(const StepRounding& rounding) {
    Raw(rounding.mode);
    Raw(rounding.step);
  }
  template <typename T>
  void Put(const std::optional<T>& value) {
    Raw(value.has_value());
    if (value) Put(*value);
  }
  template <typename T>
  void Put(const std::vector<T>& values) {
    Raw(values.size());
    for (const T& value : values) Put(value);
  }
  void Put(const Date& date) { Raw(date.days()); }
  void Put(const DateRange& range) {
    Put(range.from);
    Put(range.until);
  }

  void Put(const Test& test) { Put(test.conditions); }
  void Put(const Condition& condition) {
    Raw(condition.index());
    std::visit([this](const auto& one) { PutCondition(one); }, condition);
  }
  void PutCondition(const MeasureCondition& condition) {
    Raw(condition.measure);
    Raw(condition.low);
    Raw(condition.high);
    // Cuts come from the bounds as they stand.
    Raw(condition.bounds.size());
    for (const Bound& bound : condition.bounds) {
      Raw(bound.op);
      Raw(bound.value);
    }
  }
  void PutCondition(const ZoneCondition& condition) {
    Put(condition.zones);
    Put(condition.names);
  }
  void PutCondition(const ShapeCondition& condition) { Put(condition.shapes); }
  void PutCondition(const PackagingCondition& condition) { Put(condition.codes); }
  void PutCondition(const PackagingKindCondition& condition) { Put(condition.kinds); }
  void PutCondition(const ModeCondition& condition) { Put(condition.modes); }
  void PutCondition(const ContentsCondition& condition) {
    Put(condition.every_item);
    Put(condition.all);
    Raw(condition.traits.bits());
    Put(condition.traits.own());
  }
  void PutCondition(const ExtrasCondition& condition) {
    Put(condition.all);
    Put(condition.codes);
  }
  void PutCondition(const FlagCondition& condition) {
    Raw(condition.flag);
    Put(condition.value);
  }
  void PutCondition(const PlaceCondition& condition) {
    Put(condition.origin);
    Raw(condition.areas.areas().size());
    for (const Area& area : condition.areas.areas()) {
      Put(area.country);
      Put(area.first);
      Put(area.last);
    }
  }
  void PutCondition(const DateCondition& condition) { Put(condition.dates); }
  void PutCondition(const CompoundCondition& condition) {
    Raw(condition.op);
    Put(condition.tests);
  }

  void Put(const Price& price) {
    Raw(price.index());
    std::visit([this](const auto& one) { PutPrice(one); }, price);
  }
  void PutPrice(const FlatPrice& price) { Put(price.amount); }
  void PutPrice(const ZonePrice& price) { Cells(price.by_zone); }
  void PutPrice(const TablePrice& price) {
    Raw(price.by);
    Put(price.bounds);
    Raw(price.beyond.has_value());
    if (price.beyond) {
      Raw(price.beyond->step);
      Cells(price.beyond->add);
      // Steps that add nothing are no bounds.
      Put(std::any_of(price.beyond->add.begin(), price.beyond->add.end(),
                      [](std::int64_t micros) { return micros > 0; }));
    }
    if (!amounts_) return;
    Put(price.column_of_zone);
    Raw(price.columns.size());
    Cells(price.cells);
  }
  void PutPrice(const StepPrice& price) {
    Raw(price.measure);
    Raw(price.step);
    Put(price.first);
    Put(price.each);
    Put(price.each.micros() > 0);
  }
  void PutPrice(const PercentPrice& price) {
    Put(price.percent);
    Put(price.of_all);
    Put(price.of);
  }
  void Cells(const std::vector<std::int64_t>& cells) {
    if (!amounts_) return;
    Raw(cells.size());
    out_.append(reinterpret_cast<const char*>(cells.data()), cells.size() * sizeof(std::int64_t));
  }

  void Put(const Discount* discount) {
    Put(discount->when);
    Put(discount->percent);
    if (amounts_) Put(discount->floor);
  }
  void Put(const CompiledService::Rule& rule) {
    Put(rule.rule->code);
    Put(rule.rule->when);
    Put(rule.rule->price);
    Put(rule.group);
    Put(rule.replaces);
    Put(rule.of);
    Put(rule.discounts);
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
  void Put(const RefuseRule& rule) { Put(rule.when); }
  void Put(const PriceAlternative& alternative) {
    Put(alternative.when);
    Put(alternative.price);
  }

  void Put(const CompiledService& compiled) {
    const Service& service = *compiled.service;
    const Tariff& tariff = *compiled.tariff;
    Raw(service.mode);
    Put(service.own_packaging);
    Put(service.issued);
    Put(service.measure.sides);
    Raw(service.measure.irregular_factor);
    Put(service.measure.weight);
    Put(service.measure.dimensional);
    Put(service.measure.at_least);
    Put(service.refuse);
    Put(service.pick_lowest);
    Put(service.prices);
    Put(compiled.surcharges);
    Put(compiled.extras);
    Put(compiled.base_discounts);
    Put(compiled.strike_order);
    Put(service.included_cover);
    if (!amounts_) return;
    Put(std::string(tariff.currency.code()));
    Raw(tariff.rounding.line);
    Raw(tariff.rounding.total);
    Raw(tariff.rounding.mode);
    Put(tariff.zone_names);
  }

  bool amounts_;
  std::string out_;
};

}  // namespace tarewise::internal

#endif  // TAREWISE_BATCH_INTERNAL_FINGERPRINT_H_
