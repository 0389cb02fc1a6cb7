#ifndef TAREWISE_RULES_PRICE_TABLE_H_
#define TAREWISE_RULES_PRICE_TABLE_H_

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "tarewise/rules/measure.h"
#include "tarewise/rules/price_kind.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// A grid, with steps beyond its last row.
template <>
struct PriceRule<TablePrice> : OwnAmount, SameEveryDay, NothingCertain, InGrid, BilledAsMeasured {
  static constexpr Basis::Kind kBasis = Basis::Kind::kTable;

  static std::int64_t At(const TablePrice& table, const PointFacts& at, Basis* basis) {
    const std::uint16_t column = table.ColumnOf(at.lane.zone);
    if (column == TablePrice::kNoColumn || table.bounds.empty()) return kNotOffered;
    const MeasureValue measured = ValueOf(table.by, at);
    std::size_t row = table.RowFor(measured);
    std::int64_t amount = kNotOffered;
    std::int64_t steps = 0;
    if (row < table.bounds.size()) {
      amount = table.cell(row, column);
    } else {
      if (!table.beyond || table.beyond->add[column] == kNotOffered) return kNotOffered;
      row = table.rows() - 1;
      amount = table.cell(row, column);
      if (amount == kNotOffered) return kNotOffered;
      steps = PricedSteps(measured - table.bounds.back(), table.beyond->step);
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

  template <typename Sink>
  static void Cuts(const TablePrice& table, Sink& sink) {
    for (const MeasureValue bound : table.bounds) sink.Cut(table.by, bound);
    if (table.beyond && !table.bounds.empty() && BeyondAdds(table)) {
      sink.Series(table.by, table.bounds.back(), table.beyond->step);
    }
  }

  // Rows that a billable weight is past cannot be its own; of other measures it says nothing.
  static std::int64_t Least(const TablePrice& table, ZoneId zone, const WeightsAtLeast& from) {
    const std::uint16_t column = table.ColumnOf(zone);
    if (column == TablePrice::kNoColumn || table.rows() == 0) return kNotOffered;
    std::size_t row = table.RowFor(from.Of(table.by));
    if (row == table.rows()) {
      if (!table.beyond) return kNotOffered;
      --row;
    }
    std::int64_t least = kNotOffered;
    for (; row < table.rows(); ++row) {
      const std::int64_t amount = table.cell(row, column);
      if (amount != kNotOffered && (least == kNotOffered || amount < least)) least = amount;
    }
    return least;
  }

  static bool CoversAll(const TablePrice& table, const std::vector<bool>* zones) {
    if (zones == nullptr || !table.beyond) return false;
    if (std::count(table.cells.begin(), table.cells.end(), kNotOffered) != 0) return false;
    if (std::count(table.beyond->add.begin(), table.beyond->add.end(), kNotOffered) != 0) return false;
    for (std::size_t i = 0; i < zones->size(); ++i) {
      if ((*zones)[i] && table.column_of_zone[i] == TablePrice::kNoColumn) return false;
    }
    return true;
  }

  static void Identity(const TablePrice& table, IdentityBytes& out) {
    out.Put(table.by);
    out.Put(table.bounds);
    out.Put(table.beyond.has_value());
    if (table.beyond) {
      out.Put(table.beyond->step);
      out.PutCells(table.beyond->add);
      out.Put(BeyondAdds(table));
    }
    if (!out.amounts()) return;
    CellsIdentity(table, out);
  }

  static std::optional<std::string_view> GridUnit(const TablePrice& table) {
    if (QuantityOf(table.by) != Quantity::kWeight) return std::nullopt;
    return table.unit;
  }
  static std::string Words(const TablePrice& table) {
    return "a table by " + MeasureWords(table.by) + " of " + std::to_string(table.rows()) + " rows";
  }
  static void Why(const TablePrice& table, const LineFacts& line, std::vector<std::string>& out) {
    out.push_back(MeasuredWords(table.by, line, table.unit));
    if (line.basis.steps > 0) out.push_back(StepsSaid(line.basis.steps) + " beyond the last row");
    WhyColumn(table, line.basis, out);
  }

 private:
  // Steps that add nothing are no cuts; without this a search for the next change would never end.
  static bool BeyondAdds(const TablePrice& table) {
    return std::any_of(table.beyond->add.begin(), table.beyond->add.end(),
                       [](std::int64_t micros) { return micros > 0; });
  }
};

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_RULES_PRICE_TABLE_H_
