#ifndef TAREWISE_RULES_ONCE_H_
#define TAREWISE_RULES_ONCE_H_

#include "tarewise/rules/price.h"
#include "tarewise/rules/test.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

// What is due once a consignment asks nothing that parcels of one consignment may differ in.

/// True where a test is the same for all parcels of one consignment.
inline bool SameInConsignment(const Test& test) {
  bool same = true;
  EachCondition(test, [&same](const Condition& condition) {
    switch (SubjectOf(condition)) {
      case Subject::kZone:
      case Subject::kPlace:
      case Subject::kDay:
      case Subject::kWeek:
      case Subject::kConsignment:
      case Subject::kService:
      case Subject::kTests:
        break;
      case Subject::kParcelMeasure:
      case Subject::kMoney:
      case Subject::kGoods:
      case Subject::kPackaging:
      case Subject::kAsked:
        same = false;
        break;
    }
  });
  return same;
}

/// The same of an amount.
inline bool SameInConsignment(const Price& price) {
  bool same = PartOfLines(price) == nullptr;
  EachMeasure(price, [&same](Measure measure) { same = same && IsOfConsignment(measure); });
  return same;
}

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_RULES_ONCE_H_
