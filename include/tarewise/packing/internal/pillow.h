#ifndef TAREWISE_PACKING_INTERNAL_PILLOW_H_
#define TAREWISE_PACKING_INTERNAL_PILLOW_H_

#include <algorithm>
#include <array>
#include <cstdint>
#include <optional>

#include "tarewise/units/internal/halving.h"
#include "tarewise/units/rounding.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// A closed bag of film that does not stretch, filled with what gives and pressed to a thickness: across its width the
/// section is a flat part between two half rounds, and along its length alike (FORMAT.md B2). All in nm, with 355/113
/// for pi: quantities of a quarter of pi are in 452nds.
class Pillow {
 public:
  /// Flat width and usable length, more than 0 and at most 50 m.
  Pillow(std::int64_t width, std::int64_t length) : width_(width), length_(length) {}

  /// What it holds at a thickness up to `MostThickness()`, nm3.
  Int128 VolumeAt(std::int64_t thickness) const {
    return Int128(kWhole * width_ - kQuarterPi * thickness) * (kWhole * length_ - kQuarterPi * thickness) * thickness /
           (kWhole * kWhole);
  }

  /// Beyond it a bag that gets thicker holds less: it grows shorter faster.
  std::int64_t MostThickness() const {
    const std::int64_t turning = kWhole * (width_ + length_) / (3 * kQuarterPi);
    return GreatestThat(0, turning + 1, [this](std::int64_t thickness) {
      const Int128 flat = Int128(kWhole * kWhole) * width_ * length_;
      const Int128 taken = Int128(2 * kQuarterPi * kWhole) * (width_ + length_) * thickness;
      const Int128 curved = Int128(3 * kQuarterPi * kQuarterPi) * thickness * thickness;
      return flat - taken + curved >= 0;
    });
  }

  /// The least thickness, no less than `least`, at which it holds so much (more than 0). Nothing: it never does.
  std::optional<std::int64_t> ThicknessFor(Int128 volume, std::int64_t least) const {
    const std::int64_t most = MostThickness();
    if (least > most || VolumeAt(most) < volume) return std::nullopt;
    const std::int64_t too_thin =
        GreatestThat(0, most + 1, [&](std::int64_t thickness) { return VolumeAt(thickness) < volume; });
    return std::max(least, too_thin + 1);
  }

  /// Its sides at a thickness: length, width, thickness, rounded up.
  std::array<std::int64_t, 3> SidesAt(std::int64_t thickness) const {
    const std::int64_t shorter = thickness * (kQuarterPi - kHalfWhole) / kHalfWhole;
    return {length_ - shorter, width_ - shorter, thickness};
  }

 private:
  static constexpr std::int64_t kQuarterPi = 355;
  static constexpr std::int64_t kWhole = 452;
  static constexpr std::int64_t kHalfWhole = 226;  // Half of pi is 355 of these.

  std::int64_t width_;
  std::int64_t length_;
};

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_PACKING_INTERNAL_PILLOW_H_
