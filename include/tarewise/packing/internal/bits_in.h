#ifndef TAREWISE_PACKING_INTERNAL_BITS_IN_H_
#define TAREWISE_PACKING_INTERNAL_BITS_IN_H_

#include <cstdint>

#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

// What `std::popcount` tells, without the call that it is where no processor with an instruction for it may be assumed.
constexpr int BitsIn(std::uint64_t bits) {
  bits -= bits >> 1 & 0x5555'5555'5555'5555;
  bits = (bits & 0x3333'3333'3333'3333) + (bits >> 2 & 0x3333'3333'3333'3333);
  bits = (bits + (bits >> 4)) & 0x0F0F'0F0F'0F0F'0F0F;
  return static_cast<int>(bits * 0x0101'0101'0101'0101 >> 56);
}

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_PACKING_INTERNAL_BITS_IN_H_
