#ifndef TAREWISE_RULES_PRICE_CLASSES_H_
#define TAREWISE_RULES_PRICE_CLASSES_H_

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "tarewise/rules/measure.h"
#include "tarewise/rules/price_kind.h"
#include "tarewise/rules/words.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// A grid of classes: the first row all of whose bounds hold.
template <>
struct PriceRule<ClassPrice> : OwnAmount, SameEveryDay, NothingCertain, InGrid, BilledAsMeasured {
  static constexpr Basis::Kind kBasis = Basis::Kind::kClasses;

  static void Measures(const ClassPrice& classes, auto f) {
    for (const ClassPrice::Axis& axis : classes.by) f(axis.measure);
  }

  static std::int64_t At(const ClassPrice& classes, const PointFacts& at, Basis* basis) {
    const std::uint16_t column = classes.ColumnOf(at.lane.zone);
    if (column == ClassPrice::kNoColumn) return kNotOffered;
    std::array<MeasureValue, ClassPrice::kMostMeasures> measured = {};
    for (std::size_t axis = 0; axis < classes.by.size(); ++axis) {
      measured[axis] = ValueOf(classes.by[axis].measure, at);
    }
    auto holds = [&](std::size_t row) {
      for (std::size_t axis = 0; axis < classes.by.size(); ++axis) {
        if (measured[axis] > classes.bound(row, axis)) return false;
      }
      return true;
    };
    const std::size_t rows = classes.rows();
    std::size_t row = 0;
    while (row < rows && !holds(row)) ++row;
    if (row == rows) return kNotOffered;
    if (basis != nullptr) {
      basis->measured = measured[0];
      std::copy(measured.begin() + 1, measured.end(), basis->further.begin());
      basis->column = column;
      basis->row = static_cast<std::uint32_t>(row);
    }
    return classes.cell(row, column);
  }

  template <typename Sink>
  static void Cuts(const ClassPrice& classes, Sink& sink) {
    for (std::size_t i = 0; i < classes.bounds.size(); ++i) {
      sink.Cut(classes.by[i % classes.by.size()].measure, classes.bounds[i]);
    }
  }

  // Rows that a billable weight is past cannot be its own; of other measures it says nothing.
  static std::int64_t Least(const ClassPrice& classes, ZoneId zone, const WeightsAtLeast& from) {
    const std::uint16_t column = classes.ColumnOf(zone);
    if (column == ClassPrice::kNoColumn) return kNotOffered;
    std::int64_t least = kNotOffered;
    for (std::size_t row = 0; row < classes.rows(); ++row) {
      const std::int64_t amount = classes.cell(row, column);
      if (amount == kNotOffered || (least != kNotOffered && amount >= least)) continue;
      bool past = false;
      for (std::size_t axis = 0; axis < classes.by.size(); ++axis) {
        past = past || classes.bound(row, axis) < from.Of(classes.by[axis].measure);
      }
      if (!past) least = amount;
    }
    return least;
  }

  static bool CoversAll(const ClassPrice&, const std::vector<bool>*) { return false; }

  static void Identity(const ClassPrice& classes, IdentityBytes& out) {
    out.Each(classes.by, [&out](const ClassPrice::Axis& axis) { out.Put(axis.measure); });
    out.Put(classes.bounds);
    if (!out.amounts()) return;
    CellsIdentity(classes, out);
  }

  static std::optional<std::string_view> GridUnit(const ClassPrice& classes) {
    for (const ClassPrice::Axis& axis : classes.by) {
      if (QuantityOf(axis.measure) == Quantity::kWeight) return axis.unit;
    }
    return std::nullopt;
  }
  static std::string Words(const ClassPrice& classes) {
    std::vector<std::string> measures;
    for (const ClassPrice::Axis& axis : classes.by) measures.push_back(MeasureWords(axis.measure));
    return "a table by " + JoinWords(measures, " and ") + " of " + std::to_string(classes.rows()) + " rows";
  }
  static void Why(const ClassPrice& classes, const LineFacts& line, std::vector<std::string>& out) {
    for (std::size_t axis = 0; axis < classes.by.size(); ++axis) {
      const MeasureValue measured = axis == 0 ? line.basis.measured : line.basis.further[axis - 1];
      out.push_back(MeasuredWords(classes.by[axis].measure, measured, line, classes.by[axis].unit));
    }
    WhyColumn(classes, line.basis, out);
  }
};

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_RULES_PRICE_CLASSES_H_
