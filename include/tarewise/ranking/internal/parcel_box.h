#ifndef TAREWISE_RANKING_INTERNAL_PARCEL_BOX_H_
#define TAREWISE_RANKING_INTERNAL_PARCEL_BOX_H_

#include <array>
#include <cstdint>
#include <utility>

#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// A box of weights and sides: from `weight` to `weight_most`, and each side from `least` to `most`, by itself.
struct ParcelBox {
  std::int64_t weight = 0;
  std::int64_t weight_most = 0;
  std::array<std::int64_t, 3> least = {};
  std::array<std::int64_t, 3> most = {};

  bool IsPoint() const { return weight == weight_most && least == most; }
};

inline std::array<std::int64_t, 3> Sorted(std::array<std::int64_t, 3> sides) {
  if (sides[0] < sides[1]) std::swap(sides[0], sides[1]);
  if (sides[1] < sides[2]) std::swap(sides[1], sides[2]);
  if (sides[0] < sides[1]) std::swap(sides[0], sides[1]);
  return sides;
}

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_RANKING_INTERNAL_PARCEL_BOX_H_
