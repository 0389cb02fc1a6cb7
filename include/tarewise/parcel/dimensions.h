#ifndef TAREWISE_PARCEL_DIMENSIONS_H_
#define TAREWISE_PARCEL_DIMENSIONS_H_

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "absl/status/statusor.h"
#include "tarewise/internal/switch.h"
#include "tarewise/units/length.h"
#include "tarewise/units/volume.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

/// Lengths as written, in their order: "14 x 9 x 5 in" (one unit at the end), "1 m x 30 cm x 30 cm", "9 x 11 in".
/// `count` of them are expected. Errors: InvalidArgument saying what was found and expected.
absl::StatusOr<std::vector<Length>> ParseSides(std::string_view text, std::size_t count, bool zero_allowed = false);

/// Three lengths in their order, "14.3 x 9.3 x 5.3 in": what `ParseSides` reads.
std::string SidesText(const std::array<Length, 3>& sides, UnitSystem system);

/// The three sides of goods or a parcel, sorted on construction: length >= width >= height always holds. A value type.
class Dimensions {
 public:
  constexpr Dimensions() = default;
  constexpr Dimensions(Length a, Length b, Length c) : sides_{a, b, c} {
    if (sides_[0] < sides_[1]) std::swap(sides_[0], sides_[1]);
    if (sides_[1] < sides_[2]) std::swap(sides_[1], sides_[2]);
    if (sides_[0] < sides_[1]) std::swap(sides_[0], sides_[1]);
  }

  /// Each side more than 0 and at most 50 m. Errors: InvalidArgument.
  static absl::StatusOr<Dimensions> Parse(std::string_view text);

  constexpr Length length() const { return sides_[0]; }
  constexpr Length width() const { return sides_[1]; }
  constexpr Length height() const { return sides_[2]; }
  constexpr const std::array<Length, 3>& sides() const { return sides_; }

  /// Twice (width + height): around the parcel across its longest side. Not the longest side.
  constexpr Length girth() const { return width() + width() + height() + height(); }
  constexpr Length length_plus_girth() const { return length() + girth(); }
  Volume volume() const { return Volume::Of(sides_[0], sides_[1], sides_[2]); }

  /// "14.3 x 9.3 x 5.3 in"
  std::string ToString(UnitSystem system) const;

  friend constexpr bool operator==(const Dimensions&, const Dimensions&) = default;

 private:
  std::array<Length, 3> sides_;
};

}  // namespace tarewise::inline TW_VERSIONED

#ifdef TW_HEADER_ONLY
#include "tarewise/parcel/internal/dimensions-inl.h"
#endif

#endif  // TAREWISE_PARCEL_DIMENSIONS_H_
