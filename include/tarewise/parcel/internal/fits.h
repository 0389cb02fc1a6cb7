#ifndef TAREWISE_PARCEL_INTERNAL_FITS_H_
#define TAREWISE_PARCEL_INTERNAL_FITS_H_

#include <array>
#include <cstdint>

#include "tarewise/units/rounding.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

// Whether goods that lie with one side along a packaging, one across it and one as their thickness go into it. What is
// inside it is as `Packaging::inside` has it: of what lies flat width and length, of a tube diameter and length.

constexpr bool MailerTakes(const std::array<std::int64_t, 3>& inside, std::int64_t along, std::int64_t across,
                           std::int64_t thick) {
  return across + thick <= inside[0] && along + thick <= inside[1];
}

constexpr bool EnvelopeTakes(const std::array<std::int64_t, 3>& inside, std::int64_t along, std::int64_t across,
                             std::int64_t thick) {
  return thick <= inside[2] && along <= inside[1] && across <= inside[0];
}

constexpr bool TubeTakes(const std::array<std::int64_t, 3>& inside, std::int64_t along, std::int64_t across,
                         std::int64_t thick) {
  if (along > inside[1] || across > inside[0] || thick > inside[0]) return false;
  constexpr std::int64_t kSquareFits = 2'000'000'000;
  if (inside[0] <= kSquareFits) return across * across + thick * thick <= inside[0] * inside[0];
  return Int128(across) * across + Int128(thick) * thick <= Int128(inside[0]) * inside[0];
}

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_PARCEL_INTERNAL_FITS_H_
