#ifndef TAREWISE_RULES_BY_DATE_H_
#define TAREWISE_RULES_BY_DATE_H_

#include <cstddef>
#include <cstdint>
#include <string>
#include <vector>

#include "tarewise/rules/facts.h"
#include "tarewise/tariff/basis.h"
#include "tarewise/tariff/series.h"
#include "tarewise/tariff/tariff.h"
#include "tarewise/units/date.h"
#include "tarewise/units/percent.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

// Values that change by date, as prices take them.

/// Every value that prices of a tariff name, on one day, by `Tariff::by_date`.
inline std::vector<DatedValue> SettleOn(const Tariff& tariff, Date date) {
  std::vector<DatedValue> out;
  out.reserve(tariff.by_date.size());
  for (const ValueByDate& by : tariff.by_date) out.push_back(DatedValue::On(tariff.series[by.series], by, date));
  return out;
}

/// One of them; on a lane they are settled beforehand.
inline DatedValue ValueOn(const LaneFacts& lane, std::uint32_t by_date) {
  if (lane.shipment.dated != nullptr) return lane.shipment.dated[by_date];
  const ValueByDate& by = lane.tariff.by_date[by_date];
  return DatedValue::On(lane.tariff.series[by.series], by, lane.shipment.date);
}

/// A value as a percentage; of more than four decimals the compiling of a ratebook makes an error.
inline Percent PercentOf(std::int64_t micros) { return Percent::TenThousandths(micros / 100); }

inline void PutBasis(const DatedValue& value, Basis& basis) {
  basis.measured = value.micros;
  basis.since = value.from;
}

inline std::string SinceSaid(Date since) { return "as of " + since.ToString(); }

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_RULES_BY_DATE_H_
