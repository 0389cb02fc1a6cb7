#ifndef TAREWISE_TARIFF_BASIS_H_
#define TAREWISE_TARIFF_BASIS_H_

#include <cstdint>
#include <string_view>

#include "tarewise/tariff/tariff.h"
#include "tarewise/units/money.h"

namespace tarewise {

/// Which of the three weights the billable weight is.
enum class BillableFrom : std::uint8_t { kActual, kDimensional, kMinimum };
inline constexpr std::string_view kBillableFromNames[] = {"actual", "dimensional", "minimum"};

/// Where a charge's amount came from, for its explanation.
struct Basis {
  enum class Kind : std::uint8_t { kFlat, kZone, kTable, kStep, kPercent, kDiscount, kTax };
  Kind kind = Kind::kFlat;
  const Price* price = nullptr;  ///< Nothing for a discount and for a tax.
  const Discount* discount = nullptr;
  const Tax* tax = nullptr;
  const Test* when = nullptr;  ///< The test that made it due.
  MeasureValue measured = 0;   ///< Table and step: what was looked up.
  std::uint32_t row = 0;       ///< Table: the row.
  std::uint16_t column = 0;    ///< Table: the column.
  std::int64_t steps = 0;      ///< Step: steps begun; table: steps beyond the last row.
  Amount of;                   ///< Percent, discount and tax: the sum it is taken of.
};

}  // namespace tarewise

#endif  // TAREWISE_TARIFF_BASIS_H_
