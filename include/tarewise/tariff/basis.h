#ifndef TAREWISE_TARIFF_BASIS_H_
#define TAREWISE_TARIFF_BASIS_H_

#include <array>
#include <cstdint>
#include <string_view>

#include "tarewise/tariff/price.h"
#include "tarewise/tariff/tariff.h"
#include "tarewise/units/date.h"
#include "tarewise/units/money.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

/// Which of the three weights the billable weight is.
enum class BillableFrom : std::uint8_t { kActual, kDimensional, kMinimum };
inline constexpr std::string_view kBillableFromNames[] = {"actual", "dimensional", "minimum"};

/// Where a charge's amount came from, for its explanation.
struct Basis {
  enum class Kind : std::uint8_t { kFlat, kZone, kTable, kStep, kPercent, kDiscount, kClasses, kRate, kTax, kDated };
  Kind kind = Kind::kFlat;
  const Price* price = nullptr;  ///< Nothing for a discount and for a tax.
  const Discount* discount = nullptr;
  const Tax* tax = nullptr;
  const Test* when = nullptr;  ///< The test that made it due.
  /// Table, rate, step and classes: what was looked up, of classes by the first measure. A value by date: it itself, in
  /// millionths.
  MeasureValue measured = 0;
  std::uint32_t row = 0;     ///< Table, rate and classes: the row.
  std::uint16_t column = 0;  ///< Table, rate and classes: the column.
  std::int64_t steps = 0;    ///< Step and rate: steps begun; table: steps beyond the last row.
  bool deficit = false;      ///< Rate: billed as the bound of the row before, which is heavier than what was measured.
  bool least = false;        ///< Rate: it is the column's least.
  bool once = false;         ///< Due once a consignment.
  Date since;                ///< A value by date: the first day of the row that it comes from.
  Amount of;                 ///< Percent, discount and tax: the sum it is taken of.
  std::array<MeasureValue, ClassPrice::kMostMeasures - 1> further = {};  ///< Classes: by the other measures.
};

}  // namespace tarewise::inline TW_VERSIONED

#endif  // TAREWISE_TARIFF_BASIS_H_
