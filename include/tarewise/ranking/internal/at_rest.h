#ifndef TAREWISE_RANKING_INTERNAL_AT_REST_H_
#define TAREWISE_RANKING_INTERNAL_AT_REST_H_

#include "tarewise/packing/arrange.h"

namespace tarewise::internal {

/// A soft unit as it is before it is pressed, and every other as it is.
inline PackUnit AtRest(PackUnit unit) {
  if (unit.soft) unit.sides = unit.soft->at_rest;
  return unit;
}

}  // namespace tarewise::internal

#endif  // TAREWISE_RANKING_INTERNAL_AT_REST_H_
