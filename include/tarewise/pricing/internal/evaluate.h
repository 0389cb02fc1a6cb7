#ifndef TAREWISE_PRICING_INTERNAL_EVALUATE_H_
#define TAREWISE_PRICING_INTERNAL_EVALUATE_H_

#include <algorithm>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "absl/container/inlined_vector.h"
#include "tarewise/pricing/charge.h"
#include "tarewise/pricing/internal/compiled.h"
#include "tarewise/pricing/internal/facts.h"
#include "tarewise/pricing/internal/lane_rules.h"

namespace tarewise::internal {

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
        parcel_(parcel),
        shipment_(shipment),
        zone_(zone),
        sides_(rounded) {
    FindBillable();
  }

  Weight billable() const { return Weight::Nanograms(billable_); }
  BillableFrom from() const { return from_; }

  /// The total alone; nothing where no price covers the parcel, an extra asked for is not offered, or a charge, or all
  /// of them together, come to more than 1,000 million.
  std::optional<Amount> Total() const { return Add<false>(nullptr); }
  /// The total and every line.
  std::optional<Amount> Total(std::vector<Charge>& charges) const { return Add<true>(&charges); }

  /// True where a refuse rule of the service holds (stops at the first).
  bool Refused() const {
    for (const LaneRules::Rule& rule : rules_.refuse) {
      if (rule.settled || Holds(service_.refuse[rule.index].when)) return true;
    }
    return false;
  }

  /// True where an extra asked for, or the cover, is not offered.
  bool ExtraMissing(std::string_view* which = nullptr) const {
    for (const std::string& code : shipment_.extras) {
      const CompiledService::Rule* rule = FindExtra(code);
      if (rule == nullptr || !Covers(*rule)) {
        if (which != nullptr) *which = code;
        return true;
      }
    }
    if (CoverCharged()) {
      const CompiledService::Rule* rule = FindExtra("cover");
      if (rule == nullptr || !Covers(*rule)) {
        if (which != nullptr) *which = "cover";
        return true;
      }
    }
    return false;
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

  bool Holds(const Test& test) const {
    for (const Condition& condition : test.conditions) {
      if (!Holds(condition)) return false;
    }
    return true;
  }

  MeasureValue Get(Measure measure) const {
    switch (measure) {
      case Measure::kWeight:
        return parcel_.weight;
      case Measure::kLength:
        return sides_.length;
      case Measure::kWidth:
        return sides_.width;
      case Measure::kHeight:
        return sides_.height;
      case Measure::kGirth:
        return 2 * (sides_.width + sides_.height);
      case Measure::kLengthPlusGirth:
        return sides_.length + 2 * (sides_.width + sides_.height);
      case Measure::kSumOfSides:
        return sides_.length + sides_.width + sides_.height;
      case Measure::kLengthPlusWidth:
        return sides_.length + sides_.width;
      case Measure::kLongestPlusShortest:
        return sides_.length + sides_.height;
      case Measure::kVolume:
        return sides_.volume();
      case Measure::kExactLength:
        return parcel_.sides[0];
      case Measure::kExactWidth:
        return parcel_.sides[1];
      case Measure::kExactHeight:
        return parcel_.sides[2];
      case Measure::kExactLengthPlusGirth:
        return parcel_.sides[0] + 2 * (parcel_.sides[1] + parcel_.sides[2]);
      case Measure::kExactVolume:
        return Int128(parcel_.sides[0]) * parcel_.sides[1] * parcel_.sides[2] * kVolumeScale;
      case Measure::kBillableWeight:
        return billable_;
      case Measure::kValue:
        return shipment_.value;
      case Measure::kCover:
        return shipment_.cover;
    }
    return 0;
  }

  ZoneId zone() const { return zone_; }
  const ParcelFacts& parcel() const { return parcel_; }
  const ShipmentFacts& shipment() const { return shipment_; }

 private:
  struct Due {
    bool stands = false;
    std::int64_t amount = 0;
    std::int64_t net = 0;
  };
  using DueList = absl::InlinedVector<Due, 32>;

  struct Lines {
    const MoneyRounding& rounding;
    std::vector<Charge>* charges;
    std::int64_t sum = 0;
    std::int64_t base_net = 0;
    bool missing = false;  // An extra that is not offered.
    std::optional<std::string_view> too_dear = {};
  };

  // Amounts past the bound take their place among others: dearer than all within it, and equal to one another.
  static constexpr std::int64_t kTooDear = kMostMicros + 1;
  // As far as an amount is followed before it is rounded.
  static constexpr std::int64_t kFarTooDear = 4 * kMostMicros;

  // One body for both answers, so that they cannot differ; without lines nothing about them is kept.
  template <bool kExplain>
  std::optional<Amount> Add(std::vector<Charge>* charges, std::optional<std::string_view>* too_dear = nullptr) const {
    if (shipment_.too_much) return std::nullopt;
    Basis base_basis;
    const std::int64_t base = BasePrice(kExplain ? &base_basis : nullptr);
    if (base == kNotOffered) return std::nullopt;
    const MoneyRounding& rounding = compiled_.tariff->rounding;

    // Which surcharges are due, at their list amounts.
    DueList due(compiled_.surcharges.size());
    absl::InlinedVector<Basis, kExplain ? 16 : 1> bases(kExplain ? due.size() : 0);
    absl::InlinedVector<std::int32_t, 8> dearest(compiled_.groups, -1);
    for (const auto& [i, settled] : rules_.surcharges) {
      const CompiledService::Rule& rule = compiled_.surcharges[i];
      if (!settled && !Holds(rule.rule->when)) continue;
      if (rule.percent) {
        due[i].stands = true;
        continue;
      }
      const std::int64_t amount = PriceOf(rule.rule->price, kExplain ? &bases[i] : nullptr);
      if (amount == kNotOffered) continue;
      due[i].amount = RoundLine(amount, rounding);
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
    lines.base_net = AddLine<kExplain>(lines, "base", service_.title, RoundLine(base, rounding), base_basis,
                                       compiled_.base_discounts);
    for (const auto& [i, settled] : rules_.surcharges) {
      if (!due[i].stands) continue;
      const CompiledService::Rule& rule = compiled_.surcharges[i];
      Basis basis;
      if constexpr (kExplain) basis = bases[i];
      if (rule.percent) {
        std::int64_t sum = lines.sum;
        if (!std::get_if<PercentPrice>(&rule.rule->price)->of_all) {
          sum = 0;
          for (const std::int16_t index : rule.of) {
            sum = Plus(sum, index < 0 ? lines.base_net : due[static_cast<std::size_t>(index)].net);
          }
        }
        due[i].amount = PercentLine(rule.rule->price, sum, rounding, kExplain ? &basis : nullptr);
      }
      if constexpr (kExplain) basis.when = &rule.rule->when;
      due[i].net = AddLine<kExplain>(lines, rule.rule->code, rule.rule->title, due[i].amount, basis, rule.discounts);
    }
    AddExtras<kExplain>(lines, due);
    const std::int64_t total = RoundTo(lines.sum, rounding.total, rounding.mode);
    if (total > kMostMicros && !lines.too_dear) lines.too_dear = std::string_view();
    if (too_dear != nullptr) *too_dear = lines.too_dear;
    if (lines.missing || lines.too_dear) return std::nullopt;
    return Amount::Micros(total);
  }

  void FindBillable() {
    const MeasureRules& rules = service_.measure;
    billable_ = RoundToStep(parcel_.weight, rules.weight);
    for (const MeasureRules::Dimensional& rule : rules.dimensional) {
      if (!Holds(rule.when)) continue;
      std::int64_t weight = rule.volume_per_weight.WeightOf(sides_.nm3, sides_.factor, kVolumeScale, rules.weight);
      if (rule.at_most) weight = std::min(weight, rule.at_most->nanograms());
      if (weight > billable_) {
        billable_ = weight;
        from_ = BillableFrom::kDimensional;
      }
      break;
    }
    for (const MeasureRules::AtLeast& rule : rules.at_least) {
      if (rule.weight.nanograms() > billable_ && Holds(rule.when)) {
        billable_ = rule.weight.nanograms();
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

  std::int64_t BasePrice(Basis* basis) const {
    const MoneyRounding& rounding = compiled_.tariff->rounding;
    std::int64_t best = kNotOffered;
    for (const auto& [index, settled] : rules_.prices) {
      const PriceAlternative& alternative = service_.prices[index];
      if (!settled && !Holds(alternative.when)) continue;
      Basis here;
      const std::int64_t amount = PriceOf(alternative.price, basis != nullptr ? &here : nullptr);
      if (amount == kNotOffered) continue;
      if (best == kNotOffered || RoundLine(amount, rounding) < RoundLine(best, rounding)) {
        best = amount;
        here.when = &alternative.when;
        if (basis != nullptr) *basis = here;
      }
      if (!service_.pick_lowest) return best;
    }
    return best;
  }

  // Millionths before rounding, no more than kFarTooDear where steps are counted, or kNotOffered. `basis` may be
  // nothing.
  std::int64_t PriceOf(const Price& price, Basis* basis) const {
    if (basis != nullptr) {
      basis->price = &price;
      basis->kind = static_cast<Basis::Kind>(price.index());
    }
    switch (price.index()) {
      case 0:
        return std::get_if<FlatPrice>(&price)->amount.micros();
      case 1: {
        const ZonePrice& by_zone = *std::get_if<ZonePrice>(&price);
        return zone_ < by_zone.by_zone.size() ? by_zone.by_zone[zone_] : kNotOffered;
      }
      case 2:
        return TableCell(*std::get_if<TablePrice>(&price), basis);
      case 3:
        return Steps(*std::get_if<StepPrice>(&price), basis);
      default:
        return kNotOffered;
    }
  }

  std::int64_t Steps(const StepPrice& steps, Basis* basis) const {
    const MeasureValue measured = Get(steps.measure);
    const std::int64_t begun = std::max<std::int64_t>(Begun(measured, steps.step), 1);
    if (basis != nullptr) {
      basis->measured = measured;
      basis->steps = begun;
    }
    return WithSteps(steps.first.micros(), begun - 1, steps.each.micros());
  }

  // Steps begun, at most as many as kFarTooDear: far past the bound, were each of them a millionth.
  static std::int64_t Begun(MeasureValue measured, MeasureValue step) {
    const MeasureValue whole = measured / step;
    if (whole >= kFarTooDear) return kFarTooDear;
    return static_cast<std::int64_t>(whole) + (whole * step == measured ? 0 : 1);
  }

  static std::int64_t WithSteps(std::int64_t first, std::int64_t steps, std::int64_t each) {
    const Int128 amount = Int128(first) + Int128(steps) * each;
    return amount > kFarTooDear ? kFarTooDear : static_cast<std::int64_t>(amount);
  }

  std::int64_t TableCell(const TablePrice& table, Basis* basis) const {
    const std::uint16_t column =
        zone_ < table.column_of_zone.size() ? table.column_of_zone[zone_] : TablePrice::kNoColumn;
    if (column == TablePrice::kNoColumn || table.bounds.empty()) return kNotOffered;
    const MeasureValue measured = Get(table.by);
    std::size_t row = static_cast<std::size_t>(std::lower_bound(table.bounds.begin(), table.bounds.end(), measured) -
                                               table.bounds.begin());
    std::int64_t amount = kNotOffered;
    std::int64_t steps = 0;
    if (row < table.bounds.size()) {
      amount = table.cell(row, column);
    } else {
      if (!table.beyond || table.beyond->add[column] == kNotOffered) return kNotOffered;
      row = table.rows() - 1;
      amount = table.cell(row, column);
      if (amount == kNotOffered) return kNotOffered;
      steps = Begun(measured - table.bounds.back(), table.beyond->step);
      amount = WithSteps(amount, steps, table.beyond->add[column]);
    }
    if (basis != nullptr) {
      basis->measured = measured;
      basis->column = column;
      basis->row = static_cast<std::uint32_t>(row);
      basis->steps = steps;
    }
    return amount;
  }

  static std::int64_t PercentLine(const Price& price, std::int64_t sum, const MoneyRounding& rounding, Basis* basis) {
    const PercentPrice& percent = *std::get_if<PercentPrice>(&price);
    if (basis != nullptr) {
      basis->kind = Basis::Kind::kPercent;
      basis->price = &price;
      basis->of = Amount::Micros(sum);
    }
    return percent.percent.Of(Amount::Micros(sum), rounding.line, rounding.mode).micros();
  }

  // Past the bound by far is as good as past it by more.
  static std::int64_t Plus(std::int64_t sum, std::int64_t net) {
    return std::clamp(sum + net, -kFarTooDear, kFarTooDear);
  }

  // Adds a line and its discount; the line net of it.
  template <bool kExplain>
  std::int64_t AddLine(Lines& lines, std::string_view code, std::string_view title, std::int64_t amount,
                       const Basis& basis, const std::vector<const Discount*>& discounts) const {
    if (amount > kMostMicros || amount < -kMostMicros) {
      if (!lines.too_dear) lines.too_dear = code;
      return 0;
    }
    std::int64_t net = amount;
    if constexpr (kExplain) lines.charges->push_back({code, title, Amount::Micros(amount), basis});
    for (const Discount* discount : discounts) {
      if (!Holds(discount->when)) continue;
      std::int64_t off =
          discount->percent.Of(Amount::Micros(amount), lines.rounding.line, lines.rounding.mode).micros();
      if (discount->floor) off = std::max<std::int64_t>(0, std::min(off, amount - discount->floor->micros()));
      if (off > 0) {
        net -= off;
        if constexpr (kExplain) {
          Basis why;
          why.kind = Basis::Kind::kDiscount;
          why.discount = discount;
          why.when = &discount->when;
          why.of = Amount::Micros(amount);
          lines.charges->push_back({"discount", "Agreed discount", Amount::Micros(-off), why});
        }
      }
      break;
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

  bool CoverCharged() const { return shipment_.cover > 0 && shipment_.cover > service_.included_cover.micros(); }

  bool Covers(const CompiledService::Rule& rule) const {
    return Holds(rule.rule->when) && (rule.percent || PriceOf(rule.rule->price, nullptr) != kNotOffered);
  }

  template <bool kExplain>
  void AddExtras(Lines& lines, const DueList& due) const {
    if (shipment_.extras.empty() && !CoverCharged()) return;
    absl::InlinedVector<std::pair<std::string_view, std::int64_t>, 4> nets;
    auto add = [&](std::string_view code) {
      const CompiledService::Rule* rule = FindExtra(code);
      if (rule == nullptr || !Covers(*rule)) {
        lines.missing = true;
        return;
      }
      Basis basis;
      std::int64_t amount = 0;
      if (rule->percent) {
        const PercentPrice& percent = *std::get_if<PercentPrice>(&rule->rule->price);
        std::int64_t sum = lines.sum;
        if (!percent.of_all) {
          sum = 0;
          for (const std::int16_t index : rule->of) {
            sum = Plus(sum, index < 0 ? lines.base_net : due[static_cast<std::size_t>(index)].net);
          }
          for (const auto& [extra, net] : nets) {
            if (std::find(percent.of.begin(), percent.of.end(), extra) != percent.of.end()) sum = Plus(sum, net);
          }
        }
        amount = PercentLine(rule->rule->price, sum, lines.rounding, kExplain ? &basis : nullptr);
      } else {
        amount = RoundLine(PriceOf(rule->rule->price, kExplain ? &basis : nullptr), lines.rounding);
      }
      if constexpr (kExplain) basis.when = &rule->rule->when;
      nets.emplace_back(code,
                        AddLine<kExplain>(lines, rule->rule->code, rule->rule->title, amount, basis, rule->discounts));
    };
    for (const std::string& code : shipment_.extras) add(code);
    if (CoverCharged()) add("cover");
  }

  template <typename T>
  static bool In(const std::vector<T>& list, const T& value) {
    return std::find(list.begin(), list.end(), value) != list.end();
  }

  bool Holds(const Condition& condition) const {
    switch (condition.index()) {
      case 0: {
        const MeasureCondition& measure = *std::get_if<MeasureCondition>(&condition);
        const MeasureValue value = Get(measure.measure);
        return measure.low <= value && value <= measure.high;
      }
      case 2:
        return In(std::get_if<ShapeCondition>(&condition)->shapes, parcel_.shape);
      case 3: {
        const std::vector<std::string>& codes = std::get_if<PackagingCondition>(&condition)->codes;
        return std::any_of(codes.begin(), codes.end(),
                           [this](const std::string& code) { return code == parcel_.packaging; });
      }
      case 4:
        return In(std::get_if<PackagingKindCondition>(&condition)->kinds, parcel_.kind);
      case 6:
        return HasContents(*std::get_if<ContentsCondition>(&condition));
      case 8: {
        const FlagCondition& flag = *std::get_if<FlagCondition>(&condition);
        if (flag.flag == FlagCondition::Flag::kRigid) return parcel_.rigid == flag.value;
        if (flag.flag == FlagCondition::Flag::kOwnPackaging) return parcel_.issued_by.empty() == flag.value;
        return shipment_.lane->to.residential() == flag.value;
      }
      case 11:
        return Holds(*std::get_if<CompoundCondition>(&condition));
      default:
        break;
    }
    // The rest is settled by the lane, the day and the extras.
    return LaneFacts{*compiled_.tariff, service_.mode, zone_, shipment_}.Holds(condition).value_or(false);
  }

  bool Holds(const CompoundCondition& compound) const {
    auto holds = [this](const Test& test) { return Holds(test); };
    switch (compound.op) {
      case CompoundCondition::Op::kAny:
        return std::any_of(compound.tests.begin(), compound.tests.end(), holds);
      case CompoundCondition::Op::kAll:
        return std::all_of(compound.tests.begin(), compound.tests.end(), holds);
      case CompoundCondition::Op::kNot:
        return !Holds(compound.tests.front());
    }
    return false;
  }

  bool HasContents(const ContentsCondition& wanted) const {
    auto has = [&wanted](const Contents& contents) {
      return wanted.all ? contents.HasAll(wanted.traits) : contents.HasAny(wanted.traits);
    };
    if (!wanted.every_item) return has(*parcel_.contents);
    return std::all_of(parcel_.items.begin(), parcel_.items.end(), [&has](const Contents* item) { return has(*item); });
  }

  const CompiledService& compiled_;
  const LaneRules& rules_;
  const Service& service_;
  const ParcelFacts& parcel_;
  const ShipmentFacts& shipment_;
  ZoneId zone_;
  const SideFacts& sides_;
  std::int64_t billable_ = 0;
  BillableFrom from_ = BillableFrom::kActual;
};

}  // namespace tarewise::internal

#endif  // TAREWISE_PRICING_INTERNAL_EVALUATE_H_
