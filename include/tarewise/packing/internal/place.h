#ifndef TAREWISE_PACKING_INTERNAL_PLACE_H_
#define TAREWISE_PACKING_INTERNAL_PLACE_H_

#include <cstdint>

#include "tarewise/packing/arrange.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// Whether a unit may be looked for there at all, nm along an axis: a place given from outside may be any number, and
/// sides are added to it.
constexpr bool IsPlace(std::int64_t at) { return at >= -kLongestPackSide && at <= kLongestPackSide; }

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_PACKING_INTERNAL_PLACE_H_
