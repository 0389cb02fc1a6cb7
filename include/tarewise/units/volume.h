#ifndef TAREWISE_UNITS_VOLUME_H_
#define TAREWISE_UNITS_VOLUME_H_

#include <compare>
#include <concepts>
#include <cstdint>
#include <span>
#include <string>
#include <string_view>

#include "absl/numeric/int128.h"
#include "absl/status/statusor.h"
#include "tarewise/internal/switch.h"
#include "tarewise/units/length.h"
#include "tarewise/units/rounding.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {
namespace internal {
struct UnitName;
}

/// A volume, held as whole cubic nanometres in 128 bits: the exact product of three sides of up to 50 m. A value type.
class Volume {
 public:
  constexpr Volume() = default;
  static Volume CubicNanometres(Int128 n) { return Volume(n); }
  static Volume CubicInches(std::int64_t n) { return Volume(Int128(16'387'064) * kPicolitre * n); }
  static Volume CubicCentimetres(std::int64_t n) { return Volume(Int128(1'000'000'000) * 1'000'000'000'000 * n); }
  template <std::floating_point T>
  static Volume CubicInches(T) = delete;
  template <std::floating_point T>
  static Volume CubicCentimetres(T) = delete;

  /// Exact; each side at most 50 m.
  static Volume Of(Length a, Length b, Length c) {
    return Volume(Int128(a.nanometres()) * b.nanometres() * c.nanometres());
  }

  /// Reads "1728 in3", "0.5 ft3", "3220 cm3", "0.25 m3", "2 l", half up to the cubic nanometre, at most 125,000 m3.
  static absl::StatusOr<Volume> Parse(std::string_view text);

  Int128 cubic_nanometres() const { return nm3_; }

  /// The shortest decimal in `unit` ("in3", "ft3", "cm3", "m3", "l", "mm3"); an unknown unit is answered in cm3.
  std::string In(std::string_view unit) const;
  std::string ToString(UnitSystem system) const { return In(system == UnitSystem::kImperial ? "in3" : "cm3"); }

  friend bool operator==(Volume, Volume) = default;
  friend auto operator<=>(Volume a, Volume b) {
    return a.nm3_ < b.nm3_ ? std::strong_ordering::less
                           : (b.nm3_ < a.nm3_ ? std::strong_ordering::greater : std::strong_ordering::equal);
  }

  static Int128 Most() {
    return Int128(Length::kMostSideNanometres) * Length::kMostSideNanometres * Length::kMostSideNanometres;
  }

  static constexpr std::string_view kExpected = "a volume such as \"1728 in3\", \"0.5 ft3\" or \"3220 cm3\"";

  static std::span<const internal::UnitName> Units();

 private:
  static constexpr std::int64_t kPicolitre = 1'000'000'000'000'000;  // nm3: 10 um cubed
  explicit Volume(Int128 nm3) : nm3_(nm3) {}
  Int128 nm3_ = 0;
};

}  // namespace tarewise::inline TW_VERSIONED

#ifdef TW_HEADER_ONLY
#include "tarewise/units/internal/volume-inl.h"
#endif

#endif  // TAREWISE_UNITS_VOLUME_H_
