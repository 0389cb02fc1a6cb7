#ifndef TAREWISE_PRICING_INTERNAL_EVALUATE_H_
#define TAREWISE_PRICING_INTERNAL_EVALUATE_H_

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "absl/container/inlined_vector.h"
#include "tarewise/pricing/charge.h"
#include "tarewise/pricing/internal/compiled.h"
#include "tarewise/pricing/internal/lane_rules.h"
#include "tarewise/pricing/internal/tax.h"
#include "tarewise/rules/by_date.h"
#include "tarewise/rules/facts.h"
#include "tarewise/rules/included_cover.h"
#include "tarewise/rules/price.h"
#include "tarewise/rules/test.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// Prices one sealed parcel under one service on one zone. A cheap view over facts that others keep; not copied around.
///
/// The same code answers with totals alone and with every line, so the two cannot differ.
class Evaluation {
 public:
  /// `rules`: those that can apply on this lane (`LaneRules::Of`), or all.
  Evaluation(const CompiledService& compiled, const LaneRules& rules, const ParcelFacts& parcel,
             const ShipmentFacts& shipment, ZoneId zone, const SideFacts& rounded)
      : compiled_(compiled),
        rules_(rules),
        service_(*compiled.service),
        at_{{*compiled.tariff, compiled.service->mode, zone, shipment}, parcel, rounded} {
    FindBillable();
  }

  Weight billable() const { return Weight::Nanograms(at_.billable); }
  BillableFrom from() const { return from_; }

  /// The total alone; nothing where no price covers the parcel, an extra asked for is not offered, or a charge, or all
  /// of them together, come to more than 1,000 million.
  std::optional<Priced> Total() const { return Add<false>(nullptr); }
  /// The total and every line.
  std::optional<Priced> Total(std::vector<Charge>& charges) const { return Add<true>(&charges); }

  /// True where a refuse rule of the service, or one of the seller's own, holds (stops at the first), or the extras
  /// asked for disagree.
  [[gnu::always_inline]] bool Refused() const {
    for (const LaneRules::Rule& rule : rules_.refuse) {
      if (rule.settled || Holds(service_.refuse[rule.index].when)) return true;
    }
    return (!rules_.avoid.empty() && NotWanted()) || (compiled_.extras_bound && ExtrasDisagree());
  }

  /// True where what is asked for lacks what the service or an extra requires, or has what an extra excludes. `told`
  /// is called with each: who says so (empty: the service), "requires" or "excludes", and the extra.
  template <typename Told>
  bool ExtrasDisagree(Told told) const {
    bool found = false;
    auto tell = [&](std::string_view who, std::string_view what, std::string_view code) {
      found = true;
      told(who, what, code);
    };
    for (const std::string& code : service_.required) {
      if (!AskedFor(code)) tell("", "requires", code);
    }
    auto judge = [&](std::string_view asked) {
      const CompiledService::Rule* rule = FindExtra(asked);
      if (rule == nullptr) return;
      for (const std::string& code : rule->rule->required) {
        if (!AskedFor(code)) tell(asked, "requires", code);
      }
      for (const std::string& code : rule->rule->excluded) {
        if (AskedFor(code)) tell(asked, "excludes", code);
      }
    };
    for (const std::string& code : at_.lane.shipment.extras) judge(code);
    if (CashCharged()) judge(kCashOnDelivery);
    if (AskedFor("cover")) judge("cover");
    return found;
  }
  [[gnu::noinline]] bool ExtrasDisagree() const {
    return ExtrasDisagree([](std::string_view, std::string_view, std::string_view) {});
  }

  /// True where the seller's own rules do not want it (stops at the first). Apart, so that whoever has no such rules
  /// does not pay for them.
  [[gnu::noinline]] bool NotWanted() const {
    const SellerPoint here(at_);
    return std::any_of(rules_.avoid.begin(), rules_.avoid.end(), [&](const LaneRules::Rule& rule) {
      return rule.settled || internal::Holds(compiled_.own.avoid[rule.index]->when, here.at());
    });
  }

  /// True where an extra asked for, the cash on delivery or the cover is not offered.
  bool ExtraMissing(std::string_view* which = nullptr) const {
    auto missing = [&](std::string_view code) {
      const CompiledService::Rule* rule = FindExtra(code);
      if (rule != nullptr && Covers(*rule)) return false;
      if (which != nullptr) *which = code;
      return true;
    };
    for (const std::string& code : at_.lane.shipment.extras) {
      if (missing(code)) return true;
    }
    return (CashCharged() && missing(kCashOnDelivery)) || (CoverCharged() && missing("cover"));
  }

  /// The rule of a charge that is due and has no value on the day; nothing: there is none.
  [[gnu::noinline]] const CompiledService::Rule* WithoutValue() const {
    for (const LaneRules::Rule& rule : rules_.valueless) {
      const CompiledService::Rule& surcharge = compiled_.surcharges[rule.index];
      if (rule.settled || Holds(surcharge.rule->when)) return &surcharge;
    }
    auto lacking = [this](std::string_view code) -> const CompiledService::Rule* {
      const CompiledService::Rule* rule = FindExtra(code);
      return rule != nullptr && !HasValue(*rule) && Holds(rule->rule->when) ? rule : nullptr;
    };
    const CompiledService::Rule* found = nullptr;
    for (const std::string& code : at_.lane.shipment.extras) {
      if (found == nullptr) found = lacking(code);
    }
    if (found == nullptr && CashCharged()) found = lacking(kCashOnDelivery);
    if (found == nullptr && CoverCharged()) found = lacking("cover");
    return found;
  }

  /// The value by date of the first base price that would be looked at, where that is what the day has none of.
  std::optional<std::uint32_t> BaseWithoutValue() const {
    for (const auto& [index, settled, waived] : rules_.prices) {
      const PriceAlternative& alternative = service_.prices[index];
      const std::optional<std::uint32_t> by_date = ByDateOf(alternative.price);
      if (by_date && !ValueOn(at_.lane, *by_date).known() && Holds(alternative.when)) return by_date;
    }
    return std::nullopt;
  }

  /// True where no base price covers the parcel.
  bool NoPrice() const { return BasePrice(nullptr) == kNotOffered; }

  /// True where a charge, or all of them together, come to more than 1,000 million. `which`: the code of that charge;
  /// empty: all together. Extras that are not offered are left out.
  bool TooDear(std::string_view* which) const {
    std::optional<std::string_view> too_dear;
    Add<false>(nullptr, &too_dear);
    if (too_dear) *which = *too_dear;
    return too_dear.has_value();
  }

  bool Holds(const Test& test) const { return internal::Holds(test, at_); }

  /// What tests and prices see.
  const PointFacts& facts() const { return at_; }

 private:
  struct Due {
    bool stands = false;
    std::int64_t amount = 0;
    std::int64_t net = 0;
  };
  using DueList = absl::InlinedVector<Due, 32>;

  // Of extras, by index: net of discounts.
  using ExtraNets = absl::InlinedVector<std::pair<std::int16_t, std::int64_t>, 4>;

  struct Lines {
    const MoneyRounding& rounding;
    std::vector<Charge>* charges;
    std::int64_t sum = 0;
    std::int64_t base_net = 0;
    bool missing = false;  // An extra that is not offered, or has no value on the day.
    std::optional<std::string_view> too_dear = {};
    const Tax* line_tax = nullptr;  // One that is reckoned line by line.
    std::int64_t tax = 0;           // And what it comes to so far.
  };

  // Amounts past the bound take their place among others: dearer than all within it, and equal to one another.
  static constexpr std::int64_t kTooDear = kMostMicros + 1;

  // One body for both answers, so that they cannot differ; without lines nothing about them is kept.
  template <bool kExplain>
  std::optional<Priced> Add(std::vector<Charge>* charges, std::optional<std::string_view>* too_dear = nullptr) const {
    if (at_.lane.shipment.too_much) return std::nullopt;
    Basis base_basis;
    const std::int64_t base = BasePrice(kExplain ? &base_basis : nullptr);
    if (base == kNotOffered) return std::nullopt;
    const MoneyRounding& rounding = compiled_.tariff->rounding;

    // Which surcharges are due, at their list amounts.
    DueList due(compiled_.surcharges.size());
    absl::InlinedVector<Basis, kExplain ? 16 : 1> bases(kExplain ? due.size() : 0);
    absl::InlinedVector<std::int32_t, 8> dearest(compiled_.groups, -1);
    for (const auto& [i, settled, waived, percent] : rules_.surcharges) {
      const CompiledService::Rule& rule = compiled_.surcharges[i];
      if (!settled && !Holds(rule.rule->when)) continue;
      if (rule.percent != nullptr) {
        due[i].stands = true;
        continue;
      }
      const std::int64_t amount = PriceOf(rule.rule->price, kExplain ? &bases[i] : nullptr);
      if (amount == kNotOffered) continue;
      if (!waived) due[i].amount = AmountOf(rule, amount, rounding);
      due[i].stands = true;
      if (rule.group < 0) continue;
      std::int32_t& best = dearest[static_cast<std::size_t>(rule.group)];
      if (best < 0) {
        best = static_cast<std::int32_t>(i);
        continue;
      }
      // Of equals the first stands.
      const bool dearer = due[i].amount > due[static_cast<std::size_t>(best)].amount;
      due[dearer ? static_cast<std::size_t>(best) : i].stands = false;
      if (dearer) best = static_cast<std::int32_t>(i);
    }
    for (const std::uint16_t i : compiled_.strike_order) {
      if (!due[i].stands) continue;
      for (const std::uint16_t struck : compiled_.surcharges[i].replaces) due[struck].stands = false;
    }

    // The lines, from the top.
    Lines lines{.rounding = rounding, .charges = charges};
    const Tax* tax = nullptr;
    if (rules_.rare) {
      if (!rules_.valueless.empty() && WithoutValue() != nullptr) return std::nullopt;
      if (rules_.tax && (rules_.tax_settled || Holds(compiled_.tax->when))) tax = compiled_.tax;
      if (tax != nullptr && tax->by_line) lines.line_tax = tax;
    }
    lines.base_net = AddLine<kExplain>(lines, "base", service_.title, RoundLine(base, rounding), base_basis,
                                       compiled_.base_discounts);
    for (const auto& [i, settled, waived, percent] : rules_.surcharges) {
      if (!due[i].stands) continue;
      const CompiledService::Rule& rule = compiled_.surcharges[i];
      Basis basis;
      if constexpr (kExplain) basis = bases[i];
      if (rule.percent != nullptr) {
        if (rule.late) continue;
        due[i].amount = PercentLine(rule, percent, SumOf(rule, lines, due, {}), rounding, kExplain ? &basis : nullptr);
      }
      if constexpr (kExplain) {
        basis.when = &rule.rule->when;
        basis.once = rule.rule->once;
      }
      due[i].net = AddCharge<kExplain>(lines, rule, due[i].amount, basis);
    }
    if (ExtrasCharged() || compiled_.has_late) AddExtras<kExplain>(lines, due);
    if (tax != nullptr && !tax->listed_with) AddTax<kExplain>(lines, *tax);
    const std::int64_t total = RoundTo(lines.sum, rounding.total, rounding.mode);
    if (total > kMostMicros && !lines.too_dear) lines.too_dear = std::string_view();
    if (too_dear != nullptr) *too_dear = lines.too_dear;
    if (lines.missing || lines.too_dear) return std::nullopt;
    if (tax == nullptr) return Priced{Amount::Micros(total), Amount(), nullptr};
    if (tax->listed_with && !tax->by_line) lines.tax = TaxOn(*tax, total, rounding);
    return Priced{Amount::Micros(total), Amount::Micros(std::max<std::int64_t>(lines.tax, 0)), tax};
  }

  void FindBillable() {
    const MeasureRules& rules = service_.measure;
    at_.billable = RoundToStep(at_.parcel.weight, rules.weight);
    for (const MeasureRules::Dimensional& rule : rules.dimensional) {
      if (!Holds(rule.when)) continue;
      std::int64_t weight =
          rule.volume_per_weight.WeightOf(at_.sides.nm3, at_.sides.factor, kVolumeScale, rules.weight);
      if (rule.at_most) weight = std::min(weight, rule.at_most->nanograms());
      if (weight > at_.billable) {
        at_.billable = weight;
        from_ = BillableFrom::kDimensional;
      }
      break;
    }
    for (const MeasureRules::AtLeast& rule : rules.at_least) {
      if (rule.weight.nanograms() > at_.billable && Holds(rule.when)) {
        at_.billable = rule.weight.nanograms();
        from_ = BillableFrom::kMinimum;
      }
    }
  }

  static std::int64_t RoundTo(std::int64_t micros, std::int64_t step, RoundMode mode) {
    if (micros % step == 0) return micros;
    return static_cast<std::int64_t>(DivideRounded(micros, 1, step, mode));
  }
  static std::int64_t RoundLine(std::int64_t micros, const MoneyRounding& rounding) {
    return std::min(RoundTo(micros, rounding.line, rounding.mode), kTooDear);
  }

  // Of a reduction as much as it comes to: it is no line of more than the bound, and cut short by the lines above.
  static std::int64_t AmountOf(const CompiledService::Rule& rule, std::int64_t micros, const MoneyRounding& rounding) {
    return rule.less ? RoundTo(micros, rounding.line, rounding.mode) : RoundLine(micros, rounding);
  }

  std::int64_t BasePrice(Basis* basis) const {
    const MoneyRounding& rounding = compiled_.tariff->rounding;
    std::int64_t best = kNotOffered;
    for (const auto& [index, settled, waived] : rules_.prices) {
      const PriceAlternative& alternative = service_.prices[index];
      if (!settled && !Holds(alternative.when)) continue;
      Basis here;
      std::int64_t amount = PriceOf(alternative.price, basis != nullptr ? &here : nullptr);
      if (amount == kNotOffered) continue;
      if (waived) amount = 0;
      if (best == kNotOffered || RoundLine(amount, rounding) < RoundLine(best, rounding)) {
        best = amount;
        here.when = &alternative.when;
        here.once = alternative.once;
        if (basis != nullptr) *basis = here;
      }
      if (!service_.pick_lowest) return best;
    }
    return best;
  }

  std::int64_t PriceOf(const Price& price, Basis* basis) const { return PriceAt(price, at_, basis); }

  // What a percentage is taken of: the lines above it that it names.
  static std::int64_t SumOf(const CompiledService::Rule& rule, const Lines& lines, const DueList& due,
                            std::span<const ExtraNets::value_type> extras) {
    if (rule.percent->of_all) return lines.sum;
    std::int64_t sum = 0;
    for (const std::int16_t index : rule.of) {
      sum = Plus(sum, index < 0 ? lines.base_net : due[static_cast<std::size_t>(index)].net);
    }
    for (const auto& [extra, net] : extras) {
      if (rule.percent->of_extras || IsIn(rule.of_extras, extra)) sum = Plus(sum, net);
    }
    return sum;
  }

  std::int64_t PercentLine(const CompiledService::Rule& rule, Percent percent, std::int64_t sum,
                           const MoneyRounding& rounding, Basis* basis) const {
    sum = std::max<std::int64_t>(sum, 0);  // Below it with reductions alone.
    if (basis != nullptr) {
      basis->kind = PriceRule<PercentPrice>::kBasis;
      basis->price = &rule.rule->price;
      basis->of = Amount::Micros(sum);
      if (rule.by_date) PutBasis(ValueOn(at_.lane, *rule.by_date), *basis);
    }
    return PriceRule<PercentPrice>::LineOf(percent, sum, rounding);
  }

  // Past the bound by far is as good as past it by more.
  static std::int64_t Plus(std::int64_t sum, std::int64_t net) {
    return std::clamp(sum + net, -kFarTooDear, kFarTooDear);
  }

  // Adds the line of a surcharge or an extra; what it comes to, net of discounts.
  template <bool kExplain>
  std::int64_t AddCharge(Lines& lines, const CompiledService::Rule& rule, std::int64_t amount,
                         const Basis& basis) const {
    if (rule.less) return AddReduction<kExplain>(lines, rule, amount, basis);
    return AddLine<kExplain>(lines, rule.rule->code, rule.rule->title, amount, basis, rule.discounts);
  }

  // Takes a reduction off, but no more than makes the sum of the lines 0.
  template <bool kExplain>
  [[gnu::noinline]] std::int64_t AddReduction(Lines& lines, const CompiledService::Rule& rule, std::int64_t amount,
                                              const Basis& basis) const {
    const std::int64_t off = std::min(amount, lines.sum);
    if (off <= 0) return 0;
    if constexpr (kExplain) {
      lines.charges->push_back({rule.rule->code, rule.rule->title, Amount::Micros(-off), basis});
    }
    lines.sum -= off;
    if (lines.line_tax != nullptr) lines.tax -= TaxOn(*lines.line_tax, off, lines.rounding);
    return -off;
  }

  // Adds the line of a tax that comes on top.
  template <bool kExplain>
  [[gnu::noinline]] void AddTax(Lines& lines, const Tax& tax) const {
    lines.tax = std::max<std::int64_t>(tax.by_line ? lines.tax : TaxOn(tax, lines.sum, lines.rounding), 0);
    if (lines.tax > kMostMicros) {
      if (!lines.too_dear) lines.too_dear = tax.code;
      return;
    }
    if constexpr (kExplain) {
      Basis why;
      why.kind = Basis::Kind::kTax;
      why.tax = &tax;
      why.when = &tax.when;
      why.of = Amount::Micros(lines.sum);
      lines.charges->push_back({tax.code, tax.title, Amount::Micros(lines.tax), why});
    }
    lines.sum = Plus(lines.sum, lines.tax);
  }

  // Adds a line and its discounts; the line net of them.
  template <bool kExplain>
  std::int64_t AddLine(Lines& lines, std::string_view code, std::string_view title, std::int64_t amount,
                       const Basis& basis, const std::vector<const Discount*>& discounts) const {
    if (amount > kMostMicros || amount < -kMostMicros) {
      if (!lines.too_dear) lines.too_dear = code;
      return 0;
    }
    std::int64_t net = amount;
    if (lines.line_tax != nullptr) lines.tax += TaxOn(*lines.line_tax, amount, lines.rounding);
    if constexpr (kExplain) lines.charges->push_back({code, title, Amount::Micros(amount), basis});
    bool taken = false;
    for (const Discount* discount : discounts) {
      if ((taken && !discount->adds) || !Holds(discount->when)) continue;
      taken = taken || !discount->adds;
      std::int64_t off =
          discount->less
              ? RoundLine(discount->less->micros(), lines.rounding)
              : discount->percent.Of(Amount::Micros(amount), lines.rounding.line, lines.rounding.mode).micros();
      off = std::min(off, net - (discount->floor ? discount->floor->micros() : 0));
      if (off > 0) {
        net -= off;
        if (lines.line_tax != nullptr) lines.tax -= TaxOn(*lines.line_tax, off, lines.rounding);
        if constexpr (kExplain) {
          Basis why;
          why.kind = Basis::Kind::kDiscount;
          why.discount = discount;
          why.when = &discount->when;
          why.of = Amount::Micros(amount);
          lines.charges->push_back({"discount", "Agreed discount", Amount::Micros(-off), why});
        }
      }
      if (!compiled_.discounts_add) break;
    }
    lines.sum = Plus(lines.sum, net);
    return net;
  }

  const CompiledService::Rule* FindExtra(std::string_view code) const {
    for (const CompiledService::Rule& rule : compiled_.extras) {
      if (rule.rule->code == code) return &rule;
    }
    return nullptr;
  }

  bool CashCharged() const { return at_.lane.shipment.cash_on_delivery > 0; }
  bool AskedFor(std::string_view code) const { return at_.lane.shipment.AsksFor(code); }

  bool CoverCharged() const {
    return at_.lane.shipment.cover > 0 && at_.lane.shipment.cover > IncludedCover(service_, at_);
  }

  bool Covers(const CompiledService::Rule& rule) const {
    return Holds(rule.rule->when) &&
           (rule.percent != nullptr || !HasValue(rule) || PriceOf(rule.rule->price, nullptr) != kNotOffered);
  }

  bool HasValue(const CompiledService::Rule& rule) const {
    return !rule.by_date || ValueOn(at_.lane, *rule.by_date).known();
  }
  Percent PercentOn(const CompiledService::Rule& rule) const {
    return rule.by_date ? PercentOf(ValueOn(at_.lane, *rule.by_date).micros) : rule.percent->percent;
  }

  bool ExtrasCharged() const { return !at_.lane.shipment.extras.empty() || CashCharged() || CoverCharged(); }

  // Extras, and behind them the surcharges that name them.
  template <bool kExplain>
  [[gnu::noinline]] void AddExtras(Lines& lines, DueList& due) const {
    ExtraNets nets;
    auto add = [&](std::string_view code) {
      const CompiledService::Rule* rule = FindExtra(code);
      if (rule == nullptr || !Covers(*rule) || !HasValue(*rule)) {
        lines.missing = true;
        return;
      }
      Basis basis;
      std::int64_t amount = 0;
      if (rule->percent != nullptr) {
        amount = PercentLine(*rule, PercentOn(*rule), SumOf(*rule, lines, due, nets), lines.rounding,
                             kExplain ? &basis : nullptr);
      } else {
        amount = AmountOf(*rule, PriceOf(rule->rule->price, kExplain ? &basis : nullptr), lines.rounding);
      }
      if constexpr (kExplain) basis.when = &rule->rule->when;
      nets.emplace_back(static_cast<std::int16_t>(rule - compiled_.extras.data()),
                        AddCharge<kExplain>(lines, *rule, amount, basis));
    };
    for (const std::string& code : at_.lane.shipment.extras) add(code);
    if (CashCharged()) add(kCashOnDelivery);
    if (CoverCharged()) add("cover");
    if (compiled_.has_late) AddLate<kExplain>(lines, due, nets);
  }

  template <bool kExplain>
  void AddLate(Lines& lines, DueList& due, std::span<const ExtraNets::value_type> extras) const {
    for (const auto& [i, settled, waived, percent] : rules_.surcharges) {
      const CompiledService::Rule& rule = compiled_.surcharges[i];
      if (!rule.late || !due[i].stands) continue;
      Basis basis;
      due[i].amount =
          PercentLine(rule, percent, SumOf(rule, lines, due, extras), lines.rounding, kExplain ? &basis : nullptr);
      if constexpr (kExplain) basis.when = &rule.rule->when;
      due[i].net = AddCharge<kExplain>(lines, rule, due[i].amount, basis);
    }
  }

  const CompiledService& compiled_;
  const LaneRules& rules_;
  const Service& service_;
  PointFacts at_;
  BillableFrom from_ = BillableFrom::kActual;
};

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_PRICING_INTERNAL_EVALUATE_H_
