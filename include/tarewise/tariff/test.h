#ifndef TAREWISE_TARIFF_TEST_H_
#define TAREWISE_TARIFF_TEST_H_

#include <algorithm>
#include <cstdint>
#include <limits>
#include <string>
#include <string_view>
#include <utility>
#include <variant>
#include <vector>

#include "tarewise/parcel/contents.h"
#include "tarewise/parcel/kinds.h"
#include "tarewise/tariff/measure.h"
#include "tarewise/units/date.h"
#include "tarewise/units/weekday.h"
#include "tarewise/version.h"
#include "tarewise/zone/area.h"
#include "tarewise/zone/area_list.h"
#include "tarewise/zone/place.h"
#include "tarewise/zone/zone_chart.h"

namespace tarewise::inline TW_VERSIONED {

/// One bound on a measure: over >, at least >=, under <, up to <=.
struct Bound {
  enum class Op : std::uint8_t { kOver, kAtLeast, kUnder, kUpTo };
  Op op = Op::kOver;
  MeasureValue value = 0;
  std::string unit;  ///< As written: "lb", "in"; empty for money.
};

inline constexpr std::string_view kBoundNames[] = {"over", "at_least", "under", "up_to"};
inline constexpr std::string_view kBoundWords[] = {"over", "at least", "under", "up to"};

/// A measure within one or two bounds. `low` and `high` are both inclusive and always filled by `Make`.
struct MeasureCondition {
  Measure measure = Measure::kWeight;
  std::vector<Bound> bounds;
  MeasureValue low = 0;
  MeasureValue high = 0;

  static MeasureValue Unbounded() { return absl::Int128Max(); }
  static MeasureCondition Make(Measure measure, std::vector<Bound> bounds) {
    MeasureCondition condition;
    condition.measure = measure;
    condition.low = -Unbounded();
    condition.high = Unbounded();
    for (const Bound& bound : bounds) {
      switch (bound.op) {
        case Bound::Op::kOver:
          condition.low = std::max(condition.low, bound.value + 1);
          break;
        case Bound::Op::kAtLeast:
          condition.low = std::max(condition.low, bound.value);
          break;
        case Bound::Op::kUnder:
          condition.high = std::min(condition.high, bound.value - 1);
          break;
        case Bound::Op::kUpTo:
          condition.high = std::min(condition.high, bound.value);
          break;
      }
    }
    condition.bounds = std::move(bounds);
    return condition;
  }
};

struct Test;

struct ZoneCondition {
  std::vector<ZoneId> zones;       ///< Of the tariff; empty in terms, which are not of one version of a tariff.
  std::vector<std::string> names;  ///< As written.
};
struct ShapeCondition {
  std::vector<Shape> shapes;
};
struct PackagingCondition {
  std::vector<std::string> codes;
};
struct PackagingKindCondition {
  std::vector<PackagingKind> kinds;
};
struct ModeCondition {
  std::vector<Mode> modes;
};
/// `contents` (of any item: the union) or `every_item` (of each item alone).
struct ContentsCondition {
  bool every_item = false;
  bool all = false;  ///< has_all (and has); otherwise has_any.
  Contents traits;
};
struct ExtrasCondition {
  bool all = false;
  std::vector<std::string> codes;
};
struct FlagCondition {
  enum class Flag : std::uint8_t { kRigid, kResidential, kOwnPackaging };
  Flag flag = Flag::kRigid;
  bool value = true;
};
struct PlaceCondition {
  bool origin = false;  ///< Otherwise the destination.
  AreaSet areas;
  std::vector<AreaList> lists;  ///< Beside these.

  bool Has(const Place& place) const {
    return areas.Has(place) ||
           std::any_of(lists.begin(), lists.end(), [&place](const AreaList& list) { return list.Has(place); });
  }
};
struct DateCondition {
  DateRange dates;
  Weekdays days;  ///< Of the date; empty: any.

  bool Has(Date date) const { return dates.Has(date) && (days.empty() || days.Has(WeekdayOf(date))); }
};
/// What the seller sends with the carrier, or spends there, in a week. As for a measure, `Make` fills the two ends.
struct WeekCondition {
  enum class Of : std::uint8_t { kParcels, kSpend };
  Of of = Of::kParcels;
  std::vector<Bound> bounds;  ///< Whole parcels; millionths of the tariff's currency.
  MeasureValue low = 0;
  MeasureValue high = 0;

  static WeekCondition Make(Of of, std::vector<Bound> bounds) {
    MeasureCondition within = MeasureCondition::Make(Measure::kValue, std::move(bounds));
    return {of, std::move(within.bounds), within.low, within.high};
  }
};
struct CompoundCondition {
  enum class Op : std::uint8_t { kAny, kAll, kNot };
  Op op = Op::kAny;
  std::vector<Test> tests;  ///< One for `kNot`.
};

using Condition = std::variant<MeasureCondition, ZoneCondition, ShapeCondition, PackagingCondition,
                               PackagingKindCondition, ModeCondition, ContentsCondition, ExtrasCondition, FlagCondition,
                               PlaceCondition, DateCondition, WeekCondition, CompoundCondition>;

/// A test of a tariff: all its conditions must hold; none: it always holds.
struct Test {
  std::vector<Condition> conditions;
  bool always() const { return conditions.empty(); }
};

}  // namespace tarewise::inline TW_VERSIONED

#endif  // TAREWISE_TARIFF_TEST_H_
