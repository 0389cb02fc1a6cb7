#ifndef TAREWISE_TESTS_SUPPORT_LINES_TABLES_H_
#define TAREWISE_TESTS_SUPPORT_LINES_TABLES_H_

// Tables with every kind of tax, reductions, percentages behind the extras and discounts that add up.

#include <cstddef>
#include <cstdint>
#include <string>
#include <utility>
#include <vector>

#include "tarewise/documents/load.h"
#include "tarewise/tariff/tariff.h"

namespace tarewise::testing {

inline Tax SomeTax(std::string code, std::int64_t percent, bool listed_with, bool by_line, Test when = {}) {
  return {std::move(code), "Tax", Percent::TenThousandths(percent), listed_with, by_line, std::move(when)};
}

inline ChargeRule SomeRule(std::string code, Price price, bool less) {
  ChargeRule rule;
  rule.code = std::move(code);
  rule.title = "A line of the tests";
  rule.price = std::move(price);
  rule.less = less;
  return rule;
}

/// The rules that services get in turn; the last is an extra.
inline std::vector<ChargeRule> SomeReductions(Weight step) {
  PercentPrice of_base;
  of_base.percent = Percent::TenThousandths(73'300);
  of_base.of = {"base", "x-flat"};
  PercentPrice late;
  late.percent = Percent::TenThousandths(30'000);
  late.of_extras = late.late = true;
  late.of = {"base"};
  StepPrice by_weight;
  by_weight.measure = Measure::kWeight;
  by_weight.step = step.nanograms();
  by_weight.step_text = "a step";
  by_weight.first = Amount::Micros(30'000);
  by_weight.each = Amount::Micros(110'000);
  std::vector<ChargeRule> rules;
  rules.push_back(SomeRule("x-flat", FlatPrice{Amount::Micros(375'000)}, true));
  rules.push_back(SomeRule("x-part", std::move(of_base), true));
  rules.push_back(SomeRule("x-by-weight", std::move(by_weight), true));
  rules.push_back(SomeRule("x-late", std::move(late), false));
  rules.push_back(SomeRule("x-drop-off", FlatPrice{Amount::Micros(640'000)}, true));
  return rules;
}

inline Discount SomeDiscount(std::int64_t percent, std::vector<std::string> of, bool adds) {
  Discount discount;
  discount.all_services = true;
  discount.percent = Percent::TenThousandths(percent);
  discount.of = std::move(of);
  discount.adds = adds;
  return discount;
}

/// Terms that begin with the tariff: discounts that add up, an amount off, and one that 50 parcels a week earn.
inline Terms SomeTerms(const Tariff& tariff) {
  Terms terms;
  terms.carrier = tariff.carrier;
  terms.in_force = tariff.in_force;
  terms.discounts.push_back(SomeDiscount(331'000, {"base", "fuel"}, true));
  terms.discounts.push_back(SomeDiscount(50'000, {"base"}, false));
  terms.discounts.push_back(SomeDiscount(0, {"base", "signature"}, true));
  terms.discounts.back().less = Amount::Micros(255'000);
  terms.discounts.push_back(SomeDiscount(111'000, {"base"}, true));
  Bound at_least;
  at_least.op = Bound::Op::kAtLeast;
  at_least.value = 50;
  terms.discounts.back().when.conditions.emplace_back(WeekCondition::Make(WeekCondition::Of::kParcels, {at_least}));
  return terms;
}

/// Each service of the tables gets one of four taxes, or none, and one or two of the rules, in turn. `step`: of the
/// weight by which one of them goes.
inline Tables WithTaxAndReductions(Tables tables, Weight step) {
  Bound up_to;
  up_to.op = Bound::Op::kUpTo;
  up_to.value = 100'000'000;
  Test cheap;
  cheap.conditions.emplace_back(MeasureCondition::Make(Measure::kValue, {up_to}));
  std::size_t turn = 0;
  tables.terms.clear();
  for (Tariff& tariff : tables.tariffs) {
    tariff.taxes = {SomeTax("x-in", 190'000, true, false), SomeTax("x-on-top", 82'500, false, false, std::move(cheap)),
                    SomeTax("x-in-lines", 55'000, true, true), SomeTax("x-on-lines", 200'000, false, true)};
    cheap = tariff.taxes[1].when;
    const auto first = static_cast<std::uint32_t>(tariff.rules.size());
    for (ChargeRule& rule : SomeReductions(step)) tariff.rules.push_back(std::move(rule));
    for (Service& service : tariff.services) {
      const std::size_t tax = turn % 5;
      if (tax < 4) service.tax = static_cast<std::uint32_t>(tax);
      const auto rule = static_cast<std::uint32_t>(turn % 3);
      if (rule == 1) service.surcharges.push_back(first);
      service.surcharges.push_back(first + rule);
      service.surcharges.insert(service.surcharges.begin(), first + 3);
      service.extras.push_back(first + 4);
      ++turn;
    }
    if (turn % 2 == 0) tables.terms.push_back(SomeTerms(tariff));
  }
  return tables;
}

}  // namespace tarewise::testing

#endif  // TAREWISE_TESTS_SUPPORT_LINES_TABLES_H_
