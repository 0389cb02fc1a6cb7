#ifndef TAREWISE_UNITS_LENGTH_H_
#define TAREWISE_UNITS_LENGTH_H_

#include <compare>
#include <concepts>
#include <cstdint>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "absl/status/statusor.h"
#include "tarewise/internal/switch.h"
#include "tarewise/units/weight.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {
namespace internal {
struct UnitName;
}

/// A length, held as whole nanometres (1 in = 25.4 mm exactly, so 1/64 in is a whole number of them). Range: up to
/// 9.2 million km either way; a side of goods or parcels is held to `kMostSideNanometres`. A value type.
class Length {
 public:
  constexpr Length() = default;
  static constexpr Length Nanometres(std::int64_t n) { return Length(n); }
  static constexpr Length Millimetres(std::int64_t n) { return Length(n * 1'000'000); }
  static constexpr Length Centimetres(std::int64_t n) { return Length(n * 10'000'000); }
  static constexpr Length Metres(std::int64_t n) { return Length(n * 1'000'000'000); }
  static constexpr Length Inches(std::int64_t n) { return Length(n * 25'400'000); }
  static constexpr Length Feet(std::int64_t n) { return Length(n * 304'800'000); }
  static constexpr Length Miles(std::int64_t n) { return Length(n * 1'609'344'000'000); }
  template <std::floating_point T>
  static Length Nanometres(T) = delete;
  template <std::floating_point T>
  static Length Millimetres(T) = delete;
  template <std::floating_point T>
  static Length Centimetres(T) = delete;
  template <std::floating_point T>
  static Length Metres(T) = delete;
  template <std::floating_point T>
  static Length Inches(T) = delete;
  template <std::floating_point T>
  static Length Feet(T) = delete;
  template <std::floating_point T>
  static Length Miles(T) = delete;

  /// Reads "12.375 in", "12-3/8 in", "1 ft 2 in", "30.5 cm", "150 mi" (units mi km yd m ft in cm mm), half up to the
  /// nanometre. Errors: InvalidArgument saying what was found and expected.
  static absl::StatusOr<Length> Parse(std::string_view text);

  /// The system of the first unit written in `text`: "30 cm x 10 x 6 in" is metric.
  static UnitSystem SystemOf(std::string_view text);

  constexpr std::int64_t nanometres() const { return nm_; }

  /// The shortest decimal in `unit` that reads back as the same length; an unknown unit is answered in mm.
  std::string In(std::string_view unit) const;

  /// Inches or centimetres.
  std::string ToString(UnitSystem system) const;

  friend constexpr Length operator+(Length a, Length b) { return Length(a.nm_ + b.nm_); }
  friend constexpr Length operator-(Length a, Length b) { return Length(a.nm_ - b.nm_); }
  friend constexpr auto operator<=>(Length, Length) = default;

  /// The longest side of goods or a parcel: 50 m, so that a volume times a factor in millionths fits 128 bits.
  static constexpr std::int64_t kMostSideNanometres = 50'000'000'000;

  static constexpr std::string_view kExpected =
      "a length such as \"12.375 in\", \"12-3/8 in\", \"1 ft 2 in\" or \"30.5 cm\"";

  /// Whether `unit` is one that `Parse` and `In` know.
  static bool IsUnit(std::string_view unit);
  /// Their names, greatest first: what an error says was expected.
  static std::vector<std::string_view> UnitNames();

  /// For the library itself.
  static std::span<const internal::UnitName> Units();

 private:
  explicit constexpr Length(std::int64_t nm) : nm_(nm) {}
  std::int64_t nm_ = 0;
};

}  // namespace tarewise::inline TW_VERSIONED

#ifdef TW_HEADER_ONLY
#include "tarewise/units/internal/length-inl.h"
#endif

#endif  // TAREWISE_UNITS_LENGTH_H_
