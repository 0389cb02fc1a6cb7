#ifndef TAREWISE_RULES_PRICE_KIND_H_
#define TAREWISE_RULES_PRICE_KIND_H_

#include <algorithm>
#include <concepts>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "tarewise/rules/condition_kind.h"
#include "tarewise/rules/facts.h"
#include "tarewise/rules/identity.h"
#include "tarewise/rules/measure.h"
#include "tarewise/tariff/basis.h"
#include "tarewise/tariff/price.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// As far as an amount is followed before it is rounded.
inline constexpr std::int64_t kFarTooDear = 4 * kMostMicros;

/// A line of an offer, for whoever explains its price.
struct LineFacts {
  const Basis& basis;
  Weight billable;
  BillableFrom billable_from;
  std::string_view zone;
  int decimals;  ///< Of the currency.
};

/// Every question about one kind of price, answered side by side. A kind has a specialization; `PriceAnswers` says what
/// it must answer. Answers that several kinds share are bases below: to name one is to answer.
template <typename P>
struct PriceRule;

/// Its amount does not hang on a measure.
struct NoPriceCuts {
  template <typename P, typename F>
  static void Measures(const P&, F) {}
  template <typename P, typename Sink>
  static void Cuts(const P&, Sink&) {}
  template <typename P>
  static std::optional<std::string_view> GridUnit(const P&) {
    return std::nullopt;
  }
};
/// It has an amount of its own, not a part of other lines.
struct OwnAmount {
  template <typename P>
  static const PercentPrice* PartOfLines(const P&) {
    return nullptr;
  }
};
/// It is the same every day.
struct SameEveryDay {
  template <typename P>
  static std::optional<std::uint32_t> ByDate(const P&) {
    return std::nullopt;
  }
};
/// It is no grid.
struct NoGrid {
  template <typename P>
  static std::string Row(const P&, const Basis&) {
    return {};
  }
};
struct NoColumn {
  template <typename P>
  static std::string Column(const P&, const Basis&, std::string_view) {
    return {};
  }
};
/// It is a grid: a charge comes from one of its rows, and from one of its columns.
struct InGrid {
  static void Measures(const BoundGrid& price, auto f) { f(price.by); }
  template <typename P>
  static std::string Row(const P& price, const Basis& basis) {
    return price.RowText(basis.row);
  }
  template <typename P>
  static std::string Column(const P& price, const Basis& basis, std::string_view) {
    return price.columns[basis.column];
  }
  /// The zone of the column, where it is one.
  static void WhyColumn(const PriceGrid& price, const Basis& basis, std::vector<std::string>& out) {
    const std::string& column = price.columns[basis.column];
    if (column != "*") out.push_back("zone " + column);
  }
  /// The prices and the zones that they are for.
  static void CellsIdentity(const PriceGrid& price, IdentityBytes& out) {
    out.Put(price.column_of_zone);
    out.Put(price.columns.size());
    out.PutCells(price.cells);
  }
};
/// It is billed as what was measured.
struct BilledAsMeasured {
  template <typename P>
  static std::string BilledAs(const P&, const Basis&) {
    return {};
  }
};
/// What it costs hangs on the parcel: nothing of it is certain on the lane alone.
struct NothingCertain {
  template <typename P>
  static std::int64_t Certain(const P&, ZoneId) {
    return 0;
  }
};

/// Refuses to compile where a kind of price leaves a question open.
template <typename P>
struct PriceAnswers {
  using R = PriceRule<P>;
  static_assert(
      requires {
        { R::kBasis } -> std::convertible_to<Basis::Kind>;
      },
      "kBasis is open: as what does a charge of this kind of price say where it came from?");
  static_assert(
      requires(const P& p, const PointFacts& at, Basis* basis) {
        { R::At(p, at, basis) } -> std::same_as<std::int64_t>;
      },
      "At is open: what is the amount of this kind of price at a point, and kNotOffered where?");
  static_assert(
      requires(const P& p, AnyCutSink& sink) { R::Cuts(p, sink); },
      "Cuts is open: at which measures can this kind of price change? (Or NoPriceCuts.)");
  static_assert(
      requires(const P& p, void (*f)(Measure)) { R::Measures(p, f); },
      "Measures is open: by which measures is this kind of price looked up? (Or NoPriceCuts.)");
  static_assert(
      requires(const P& p, IdentityBytes& out) { R::Identity(p, out); },
      "Identity is open: which bytes tell two prices of this kind apart?");
  static_assert(
      requires(const P& p, ZoneId zone, const WeightsAtLeast& from) {
        { R::Least(p, zone, from) } -> std::same_as<std::int64_t>;
      },
      "Least is open: what does this kind of price cost at least from these weights on?");
  static_assert(
      requires(const P& p, ZoneId zone) {
        { R::Certain(p, zone) } -> std::same_as<std::int64_t>;
      },
      "Certain is open: what does this kind of price cost whatever the parcel? (Or NothingCertain.)");
  static_assert(
      requires(const P& p) {
        { R::PartOfLines(p) } -> std::same_as<const PercentPrice*>;
      },
      "PartOfLines is open: is this kind of price a part of other lines? (Or OwnAmount.)");
  static_assert(
      requires(const P& p) {
        { R::ByDate(p) } -> std::same_as<std::optional<std::uint32_t>>;
      },
      "ByDate is open: by which value that changes by date does this kind of price go? (Or SameEveryDay.)");
  static_assert(
      requires(const P& p, const std::vector<bool>* zones) {
        { R::CoversAll(p, zones) } -> std::same_as<bool>;
      },
      "CoversAll is open: has this kind of price an amount for every parcel?");
  static_assert(
      requires(const P& p) {
        { R::GridUnit(p) } -> std::same_as<std::optional<std::string_view>>;
      },
      "GridUnit is open: in which unit of weight is this kind of price written?");
  static_assert(
      requires(const P& p) {
        { R::Words(p) } -> std::same_as<std::string>;
      },
      "Words is open: how is this kind of price told in words?");
  static_assert(
      requires(const P& p, const Basis& basis) {
        { R::Row(p, basis) } -> std::same_as<std::string>;
      },
      "Row is open: which row did a charge of this kind of price come from? (Or NoGrid.)");
  static_assert(
      requires(const P& p, const Basis& basis, std::string_view zone) {
        { R::Column(p, basis, zone) } -> std::same_as<std::string>;
      },
      "Column is open: which column did a charge of this kind of price come from? (Or NoColumn.)");
  static_assert(
      requires(const P& p, const Basis& basis) {
        { R::BilledAs(p, basis) } -> std::same_as<std::string>;
      },
      "BilledAs is open: as what heavier measure was a charge of this kind of price billed? (Or BilledAsMeasured.)");
  static_assert(
      requires(const P& p, const LineFacts& line, std::vector<std::string>& out) { R::Why(p, line, out); },
      "Why is open: how is a charge of this kind of price explained?");
};

/// Steps begun, at most as many as kFarTooDear: far past the bound, were each of them a millionth.
inline std::int64_t PricedSteps(MeasureValue measured, MeasureValue step) {
  const MeasureValue whole = measured / step;
  if (whole >= kFarTooDear) return kFarTooDear;
  return static_cast<std::int64_t>(whole) + (whole * step == measured ? 0 : 1);
}

inline std::int64_t WithSteps(std::int64_t first, std::int64_t steps, std::int64_t each) {
  const Int128 amount = Int128(first) + Int128(steps) * each;
  return amount > kFarTooDear ? kFarTooDear : static_cast<std::int64_t>(amount);
}

/// What a charge was looked up by.
inline std::string MeasuredWords(Measure measure, MeasureValue measured, const LineFacts& line, std::string_view unit) {
  if (measure == Measure::kBillableWeight) return BillableWords(line.billable, line.billable_from, unit);
  return MeasureWords(measure) + " " + MeasureShown(measure, measured, unit);
}
inline std::string MeasuredWords(Measure measure, const LineFacts& line, std::string_view unit) {
  return MeasuredWords(measure, line.basis.measured, line, unit);
}
inline std::string StepsSaid(std::int64_t steps) { return std::to_string(steps) + (steps == 1 ? " step" : " steps"); }

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_RULES_PRICE_KIND_H_
