#ifndef TAREWISE_RULES_PRICE_RATE_H_
#define TAREWISE_RULES_PRICE_RATE_H_

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

/// A grid of rates: so much for each step begun of the whole measure, with a least, and a heavier row's price where
/// that is lower.
template <>
struct PriceRule<RatePrice> : OwnAmount, SameEveryDay, NothingCertain, InGrid {
  static constexpr Basis::Kind kBasis = Basis::Kind::kRate;

  static std::int64_t At(const RatePrice& rates, const PointFacts& at, Basis* basis) {
    const std::uint16_t column = rates.ColumnOf(at.lane.zone);
    if (column == RatePrice::kNoColumn) return kNotOffered;
    const MeasureValue measured = ValueOf(rates.by, at);
    const std::size_t own = rates.RowFor(measured);
    if (own == rates.rows() || rates.cell(own, column) == kNotOffered) return kNotOffered;
    std::size_t row = own;
    std::int64_t steps = StepsOf(rates, measured);
    std::int64_t amount = WithSteps(0, steps, rates.cell(own, column));
    // Of equals the own row, then the lightest.
    for (std::size_t heavier = own + 1; rates.deficit && heavier < rates.rows(); ++heavier) {
      const std::int64_t cell = rates.cell(heavier, column);
      if (cell == kNotOffered) continue;
      const std::int64_t there = StepsOf(rates, rates.bounds[heavier - 1]);
      const std::int64_t price = WithSteps(0, there, cell);
      if (price >= amount) continue;
      amount = price;
      steps = there;
      row = heavier;
    }
    const std::int64_t least = LeastIn(rates, column);
    if (basis != nullptr) {
      basis->measured = measured;
      basis->column = column;
      basis->least = amount < least;
      basis->deficit = row != own && !basis->least;
      basis->row = static_cast<std::uint32_t>(basis->least ? own : row);
      basis->steps = steps;
    }
    return std::max(amount, least);
  }

  // Within a row the price only rises: its own by steps, the heavier rows' are fixed, and so is the least. At a bound
  // it may fall. Steps of rates that are all 0 are no cuts; without this a search for the next change would never end.
  template <typename Sink>
  static void Cuts(const RatePrice& rates, Sink& sink) {
    for (const MeasureValue bound : rates.bounds) sink.Cut(rates.by, bound);
    if (Rises(rates)) sink.Series(rates.by, rates.rate, rates.rate);
  }

  // A row's price is that of its lightest measure at least, and so it is where a lighter one takes it; rows that a
  // billable weight is past cannot be taken. Of other measures a billable weight says nothing.
  static std::int64_t Least(const RatePrice& rates, ZoneId zone, const WeightsAtLeast& weights) {
    const std::uint16_t column = rates.ColumnOf(zone);
    if (column == RatePrice::kNoColumn || rates.rows() == 0) return kNotOffered;
    const MeasureValue from = weights.Of(rates.by);
    std::int64_t least = kNotOffered;
    for (std::size_t row = rates.RowFor(from); row < rates.rows(); ++row) {
      const std::int64_t cell = rates.cell(row, column);
      if (cell == kNotOffered) continue;
      const MeasureValue lightest = row == 0 ? from : std::max(from, rates.bounds[row - 1]);
      const std::int64_t amount = WithSteps(0, StepsOf(rates, lightest), cell);
      if (least == kNotOffered || amount < least) least = amount;
    }
    return least == kNotOffered ? kNotOffered : std::max(least, LeastIn(rates, column));
  }

  static bool CoversAll(const RatePrice&, const std::vector<bool>*) { return false; }

  static void Identity(const RatePrice& rates, IdentityBytes& out) {
    out.Put(rates.by);
    out.Put(rates.bounds);
    out.Put(rates.rate);
    out.Put(Rises(rates));
    if (!out.amounts()) return;
    out.Put(rates.deficit);
    out.PutCells(rates.least);
    CellsIdentity(rates, out);
  }

  static std::optional<std::string_view> GridUnit(const RatePrice& rates) {
    if (QuantityOf(rates.by) != Quantity::kWeight) return std::nullopt;
    return rates.unit;
  }
  static std::string Words(const RatePrice& rates) {
    return "a table of rates for each " + rates.rate_text + " of " + MeasureWords(rates.by) + " of " +
           std::to_string(rates.rows()) + " rows";
  }
  static std::string BilledAs(const RatePrice& rates, const Basis& basis) {
    return basis.deficit ? rates.RowText(basis.row - 1) : std::string();
  }
  static void Why(const RatePrice& rates, const LineFacts& line, std::vector<std::string>& out) {
    out.push_back(MeasuredWords(rates.by, line, rates.unit));
    if (const std::string as = BilledAs(rates, line.basis); !as.empty()) out.push_back("billed as " + as);
    out.push_back(line.basis.least ? "the least price"
                                   : StepsSaid(line.basis.steps) + " of " + rates.rate_text + " begun");
    WhyColumn(rates, line.basis, out);
  }

 private:
  static std::int64_t StepsOf(const RatePrice& rates, MeasureValue measured) {
    return std::max<std::int64_t>(PricedSteps(measured, rates.rate), 1);
  }
  // 0 where there is none.
  static std::int64_t LeastIn(const RatePrice& rates, std::uint16_t column) {
    return rates.least.empty() ? 0 : std::max<std::int64_t>(rates.least[column], 0);
  }
  static bool Rises(const RatePrice& rates) {
    return std::any_of(rates.cells.begin(), rates.cells.end(), [](std::int64_t micros) { return micros > 0; });
  }
};

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_RULES_PRICE_RATE_H_
