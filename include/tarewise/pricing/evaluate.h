#ifndef TAREWISE_PRICING_EVALUATE_H_
#define TAREWISE_PRICING_EVALUATE_H_

#include <algorithm>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "absl/container/inlined_vector.h"
#include "tarewise/pricing/facts.h"
#include "tarewise/pricing/ratebook.h"

namespace tarewise {

/// Which of the three weights the billable weight is.
enum class BillableFrom : std::uint8_t { kActual, kDimensional, kMinimum };
inline constexpr std::string_view kBillableFromNames[] = {"actual", "dimensional", "minimum"};

/// Where a charge's amount came from, for its explanation.
struct Basis {
  enum class Kind : std::uint8_t { kFlat, kZone, kTable, kStep, kPercent, kDiscount };
  Kind kind = Kind::kFlat;
  const Price* price = nullptr;        ///< Nothing for a discount.
  const Discount* discount = nullptr;
  const Test* when = nullptr;          ///< The test that made it due.
  MeasureValue measured = 0;           ///< Table and step: what was looked up.
  std::uint32_t row = 0;               ///< Table: the row.
  std::uint16_t column = 0;            ///< Table: the column.
  std::int64_t steps = 0;              ///< Step: steps begun; table: steps beyond the last row.
  Amount of;                           ///< Percent and discount: the sum it is taken of.
};

/// One line of a quote.
struct Charge {
  std::string_view code;
  std::string_view title;
  Amount amount;
  Basis basis;
};

/// One reason of a refusal. `rule` is the refuse rule that it comes from, `test` what broke it; both may be nothing.
struct RefusalReason {
  Reason code = Reason::kOverLimit;
  const RefuseRule* rule = nullptr;
  std::string text;  ///< Filled by whoever explains.
};

/// What one service asks for one parcel, in the tariff's currency.
struct Quote {
  Amount total;
  Weight billable;
  BillableFrom from = BillableFrom::kActual;
  std::vector<Charge> charges;
};

/// Prices one sealed parcel under one service on one zone. A cheap view over facts that others keep; not copied around.
///
/// The same code answers with totals alone and with every line, so the two cannot differ.
class Evaluation {
 public:
  Evaluation(const CompiledService& compiled, const ParcelFacts& parcel, const ShipmentFacts& shipment, ZoneId zone,
             const SideFacts& rounded)
      : compiled_(compiled),
        service_(*compiled.service),
        parcel_(parcel),
        shipment_(shipment),
        zone_(zone),
        sides_(rounded) {
    FindBillable();
  }

  Weight billable() const { return Weight::Nanograms(billable_); }
  BillableFrom from() const { return from_; }

  /// Nothing where no price covers the parcel or an extra asked for is not offered. `charges`, if given, gets every line.
  std::optional<Amount> Total(std::vector<Charge>* charges = nullptr) const {
    Basis basis;
    const std::int64_t base = BasePrice(basis);
    if (base == kNotOffered) return std::nullopt;
    const MoneyRounding& rounding = compiled_.tariff->rounding;

    // Which surcharges are due, at their list amounts.
    absl::InlinedVector<Due, 24> due(compiled_.surcharges.size());
    absl::InlinedVector<std::int32_t, 8> dearest(compiled_.groups, -1);
    for (std::size_t i = 0; i < due.size(); ++i) {
      const CompiledService::Rule& rule = compiled_.surcharges[i];
      if (!Holds(rule.rule->when)) continue;
      if (rule.percent) {
        due[i].stands = true;
        continue;
      }
      const std::int64_t amount = PriceOf(rule.rule->price, due[i].basis);
      if (amount == kNotOffered) continue;
      due[i].amount = RoundLine(amount, rounding);
      due[i].stands = true;
      if (rule.group >= 0) {
        std::int32_t& best = dearest[static_cast<std::size_t>(rule.group)];
        if (best >= 0) {
          // Of equals the first stands.
          const bool dearer = due[i].amount > due[static_cast<std::size_t>(best)].amount;
          due[dearer ? static_cast<std::size_t>(best) : i].stands = false;
          if (dearer) best = static_cast<std::int32_t>(i);
        } else {
          best = static_cast<std::int32_t>(i);
        }
      }
    }
    for (const std::uint16_t i : compiled_.strike_order) {
      if (!due[i].stands) continue;
      for (const std::uint16_t struck : compiled_.surcharges[i].replaces) due[struck].stands = false;
    }

    // The lines, from the top.
    Lines lines{.rounding = rounding, .charges = charges};
    basis.when = basis_when_;
    lines.base_net = AddLine(lines, "base", service_.title, RoundLine(base, rounding), basis, compiled_.base_discounts);
    for (std::size_t i = 0; i < due.size(); ++i) {
      if (!due[i].stands) continue;
      const CompiledService::Rule& rule = compiled_.surcharges[i];
      if (rule.percent) {
        std::int64_t sum = lines.sum;
        if (!std::get<PercentPrice>(rule.rule->price).of_all) {
          sum = 0;
          for (const std::int16_t index : rule.of) sum += index < 0 ? lines.base_net : due[static_cast<std::size_t>(index)].net;
        }
        due[i].amount = PercentLine(rule.rule->price, sum, rounding, due[i].basis);
      }
      due[i].basis.when = &rule.rule->when;
      due[i].net = AddLine(lines, rule.rule->code, rule.rule->title, due[i].amount, due[i].basis, rule.discounts);
    }
    if (!AddExtras(lines, due)) return std::nullopt;
    if (lines.sum > kMostMicros || lines.overflow) return std::nullopt;
    return Amount::Micros(static_cast<std::int64_t>(
        DivideRounded(lines.sum, 1, rounding.total, rounding.mode)));
  }

  /// True where a refuse rule of the service holds (stops at the first).
  bool Refused() const {
    for (const RefuseRule& rule : service_.refuse) {
      if (Holds(rule.when)) return true;
    }
    return false;
  }

  /// True where an extra asked for, or the cover, is not offered.
  bool ExtraMissing(std::string_view* which = nullptr) const {
    for (const std::string& code : shipment_.extras) {
      Basis basis;
      const CompiledService::Rule* rule = FindExtra(code);
      if (rule == nullptr || !Covers(*rule, basis)) {
        if (which != nullptr) *which = code;
        return true;
      }
    }
    if (CoverCharged()) {
      Basis basis;
      const CompiledService::Rule* rule = FindExtra("cover");
      if (rule == nullptr || !Covers(*rule, basis)) {
        if (which != nullptr) *which = "cover";
        return true;
      }
    }
    return false;
  }

  /// True where no base price covers the parcel.
  bool NoPrice() const {
    Basis basis;
    return BasePrice(basis) == kNotOffered;
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
    Basis basis;
  };

  struct Lines {
    const MoneyRounding& rounding;
    std::vector<Charge>* charges;
    std::int64_t sum = 0;
    std::int64_t base_net = 0;
    bool overflow = false;
  };

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

  static std::int64_t RoundLine(std::int64_t micros, const MoneyRounding& rounding) {
    if (micros % rounding.line == 0) return micros;
    return static_cast<std::int64_t>(DivideRounded(micros, 1, rounding.line, rounding.mode));
  }

  std::int64_t BasePrice(Basis& basis) const {
    std::int64_t best = kNotOffered;
    for (const PriceAlternative& alternative : service_.prices) {
      if (!Holds(alternative.when)) continue;
      Basis here;
      const std::int64_t amount = PriceOf(alternative.price, here);
      if (amount == kNotOffered) continue;
      if (!service_.pick_lowest) {
        basis = here;
        basis_when_ = &alternative.when;
        return amount;
      }
      const MoneyRounding& rounding = compiled_.tariff->rounding;
      if (best == kNotOffered || RoundLine(amount, rounding) < RoundLine(best, rounding)) {
        best = amount;
        basis = here;
        basis_when_ = &alternative.when;
      }
    }
    return best;
  }

  // Millionths before rounding, or kNotOffered.
  std::int64_t PriceOf(const Price& price, Basis& basis) const {
    basis.price = &price;
    switch (price.index()) {
      case 0: {
        basis.kind = Basis::Kind::kFlat;
        return std::get_if<FlatPrice>(&price)->amount.micros();
      }
      case 1: {
        basis.kind = Basis::Kind::kZone;
        const ZonePrice& by_zone = *std::get_if<ZonePrice>(&price);
        return zone_ < by_zone.by_zone.size() ? by_zone.by_zone[zone_] : kNotOffered;
      }
      case 2: {
        basis.kind = Basis::Kind::kTable;
        return TableCell(*std::get_if<TablePrice>(&price), basis);
      }
      case 3: {
        basis.kind = Basis::Kind::kStep;
        const StepPrice& steps = *std::get_if<StepPrice>(&price);
        basis.measured = Get(steps.measure);
        MeasureValue begun = (basis.measured + steps.step - 1) / steps.step;
        if (begun < 1) begun = 1;
        const Int128 amount = Int128(steps.first.micros()) + (begun - 1) * steps.each.micros();
        if (begun > kMostMicros || amount > kMostMicros) return kNotOffered;
        basis.steps = static_cast<std::int64_t>(begun);
        return static_cast<std::int64_t>(amount);
      }
      default:
        return kNotOffered;
    }
  }

  std::int64_t TableCell(const TablePrice& table, Basis& basis) const {
    const std::uint16_t column = zone_ < table.column_of_zone.size() ? table.column_of_zone[zone_] : TablePrice::kNoColumn;
    if (column == TablePrice::kNoColumn || table.bounds.empty()) return kNotOffered;
    const MeasureValue measured = Get(table.by);
    const std::size_t row = static_cast<std::size_t>(
        std::lower_bound(table.bounds.begin(), table.bounds.end(), measured) - table.bounds.begin());
    basis.measured = measured;
    basis.column = column;
    if (row < table.bounds.size()) {
      basis.row = static_cast<std::uint32_t>(row);
      return table.cell(row, column);
    }
    if (!table.beyond || table.beyond->add[column] == kNotOffered) return kNotOffered;
    const std::int64_t last = table.cell(table.rows() - 1, column);
    if (last == kNotOffered) return kNotOffered;
    const MeasureValue steps = (measured - table.bounds.back() + table.beyond->step - 1) / table.beyond->step;
    if (steps > kMostMicros) return kNotOffered;
    const Int128 amount = Int128(last) + steps * table.beyond->add[column];
    if (amount > kMostMicros) return kNotOffered;
    basis.row = static_cast<std::uint32_t>(table.rows() - 1);
    basis.steps = static_cast<std::int64_t>(steps);
    return static_cast<std::int64_t>(amount);
  }

  static std::int64_t PercentLine(const Price& price, std::int64_t sum, const MoneyRounding& rounding, Basis& basis) {
    const PercentPrice& percent = *std::get_if<PercentPrice>(&price);
    basis.kind = Basis::Kind::kPercent;
    basis.price = &price;
    basis.of = Amount::Micros(sum);
    return percent.percent.Of(basis.of, rounding.line, rounding.mode).micros();
  }

  // Adds a line and its discount; the line net of it.
  std::int64_t AddLine(Lines& lines, std::string_view code, std::string_view title, std::int64_t amount,
                       const Basis& basis, const std::vector<const Discount*>& discounts) const {
    if (amount > kMostMicros || amount < -kMostMicros) {
      lines.overflow = true;
      return 0;
    }
    std::int64_t net = amount;
    if (lines.charges != nullptr) lines.charges->push_back({code, title, Amount::Micros(amount), basis});
    for (const Discount* discount : discounts) {
      if (!Holds(discount->when)) continue;
      std::int64_t off =
          discount->percent.Of(Amount::Micros(amount), lines.rounding.line, lines.rounding.mode).micros();
      if (discount->floor) off = std::max<std::int64_t>(0, std::min(off, amount - discount->floor->micros()));
      if (off > 0) {
        net -= off;
        if (lines.charges != nullptr) {
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
    lines.sum += net;
    if (lines.sum > kMostMicros * 4 || lines.sum < -kMostMicros * 4) lines.overflow = true;
    return net;
  }

  const CompiledService::Rule* FindExtra(std::string_view code) const {
    for (const CompiledService::Rule& rule : compiled_.extras) {
      if (rule.rule->code == code) return &rule;
    }
    return nullptr;
  }

  bool CoverCharged() const { return shipment_.cover > 0 && shipment_.cover > service_.included_cover.micros(); }

  bool Covers(const CompiledService::Rule& rule, Basis& basis) const {
    return Holds(rule.rule->when) && (rule.percent || PriceOf(rule.rule->price, basis) != kNotOffered);
  }

  template <typename DueVector>
  bool AddExtras(Lines& lines, const DueVector& due) const {
    if (shipment_.extras.empty() && !CoverCharged()) return true;
    absl::InlinedVector<std::pair<std::string_view, std::int64_t>, 4> nets;
    auto add = [&](std::string_view code) {
      const CompiledService::Rule* rule = FindExtra(code);
      Basis basis;
      if (rule == nullptr || !Covers(*rule, basis)) return false;
      std::int64_t amount = 0;
      if (rule->percent) {
        const PercentPrice& percent = std::get<PercentPrice>(rule->rule->price);
        std::int64_t sum = lines.sum;
        if (!percent.of_all) {
          sum = 0;
          for (const std::int16_t index : rule->of) {
            sum += index < 0 ? lines.base_net : due[static_cast<std::size_t>(index)].net;
          }
          for (const auto& [extra, net] : nets) {
            if (std::find(percent.of.begin(), percent.of.end(), extra) != percent.of.end()) sum += net;
          }
        }
        amount = PercentLine(rule->rule->price, sum, lines.rounding, basis);
      } else {
        amount = RoundLine(PriceOf(rule->rule->price, basis), lines.rounding);
      }
      basis.when = &rule->rule->when;
      nets.emplace_back(code, AddLine(lines, rule->rule->code, rule->rule->title, amount, basis, rule->discounts));
      return true;
    };
    for (const std::string& code : shipment_.extras) {
      if (!add(code)) return false;
    }
    return !CoverCharged() || add("cover");
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
      case 1: {
        const ZoneCondition& zone = *std::get_if<ZoneCondition>(&condition);
        if (!zone.zones.empty()) return In(zone.zones, zone_);
        // Terms stand beside every version of a tariff, so they name zones.
        const std::vector<std::string>& names = compiled_.tariff->zone_names;
        return zone_ < names.size() && In(zone.names, names[zone_]);
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
      case 5:
        return In(std::get_if<ModeCondition>(&condition)->modes, service_.mode);
      case 6:
        return HasContents(*std::get_if<ContentsCondition>(&condition));
      case 7: {
        const ExtrasCondition& wanted = *std::get_if<ExtrasCondition>(&condition);
        auto asked = [this](const std::string& code) {
          return (code == "cover" && shipment_.cover > 0) ||
                 std::find(shipment_.extras.begin(), shipment_.extras.end(), code) != shipment_.extras.end();
        };
        return wanted.all ? std::all_of(wanted.codes.begin(), wanted.codes.end(), asked)
                          : std::any_of(wanted.codes.begin(), wanted.codes.end(), asked);
      }
      case 8: {
        const FlagCondition& flag = *std::get_if<FlagCondition>(&condition);
        switch (flag.flag) {
          case FlagCondition::Flag::kRigid:
            return parcel_.rigid == flag.value;
          case FlagCondition::Flag::kResidential:
            return shipment_.lane->to.residential() == flag.value;
          case FlagCondition::Flag::kOwnPackaging:
            return parcel_.issued_by.empty() == flag.value;
        }
        return false;
      }
      case 9: {
        const PlaceCondition& place = *std::get_if<PlaceCondition>(&condition);
        return place.areas.Has(place.origin ? shipment_.lane->from : shipment_.lane->to);
      }
      case 10:
        return std::get_if<DateCondition>(&condition)->dates.Has(shipment_.date);
      default:
        break;
    }
    const CompoundCondition& compound = *std::get_if<CompoundCondition>(&condition);
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
  const Service& service_;
  const ParcelFacts& parcel_;
  const ShipmentFacts& shipment_;
  ZoneId zone_;
  const SideFacts& sides_;
  std::int64_t billable_ = 0;
  BillableFrom from_ = BillableFrom::kActual;
  mutable const Test* basis_when_ = nullptr;
};

}  // namespace tarewise

#endif  // TAREWISE_PRICING_EVALUATE_H_
