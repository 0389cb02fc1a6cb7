#ifndef TAREWISE_UNITS_WEIGHT_H_
#define TAREWISE_UNITS_WEIGHT_H_

#include <compare>
#include <concepts>
#include <cstdint>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "absl/status/statusor.h"
#include "tarewise/internal/switch.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {
namespace internal {
struct UnitName;
}

/// The system of units that people are answered in.
enum class UnitSystem : std::uint8_t { kImperial, kMetric };

/// A weight (the trade's word; a mass), held as whole nanograms: 1 oz, 1 lb and 1 g are whole numbers of them
/// (1 lb = 0.45359237 kg exactly, International yard and pound agreement, 1959). Range: up to 9,223 t either way;
/// goods and parcels are held to `kMostNanograms`. A value type, safe in any thread.
///
///     Weight parcel = *Weight::Parse("1 lb 3 oz") + Weight::Grams(40);
///     std::string text = parcel.In("oz");  // "20.410958477665... oz", exactly; `ToString` writes it as the trade does
class Weight {
 public:
  constexpr Weight() = default;
  /// From whole units; floating point is refused at compile time, as is a bare number without a unit.
  static constexpr Weight Nanograms(std::int64_t n) { return Weight(n); }
  static constexpr Weight Milligrams(std::int64_t n) { return Weight(n * 1'000'000); }
  static constexpr Weight Grams(std::int64_t n) { return Weight(n * 1'000'000'000); }
  static constexpr Weight Kilograms(std::int64_t n) { return Weight(n * 1'000'000'000'000); }
  static constexpr Weight Ounces(std::int64_t n) { return Weight(n * 28'349'523'125); }
  static constexpr Weight Pounds(std::int64_t n) { return Weight(n * 453'592'370'000); }
  template <std::floating_point T>
  static Weight Nanograms(T) = delete;
  template <std::floating_point T>
  static Weight Milligrams(T) = delete;
  template <std::floating_point T>
  static Weight Grams(T) = delete;
  template <std::floating_point T>
  static Weight Kilograms(T) = delete;
  template <std::floating_point T>
  static Weight Ounces(T) = delete;
  template <std::floating_point T>
  static Weight Pounds(T) = delete;

  /// Reads "10.25 oz", "1 lb 3 oz", "2.5 kg", "750 g" (units lb oz kg g mg), rounding the exact value half up to the
  /// nanogram. Errors: InvalidArgument saying what was found and expected (no number, no unit, a sign, too large).
  static absl::StatusOr<Weight> Parse(std::string_view text);

  /// The system of the first unit written in `text`, for answering in the asker's units.
  static UnitSystem SystemOf(std::string_view text);

  constexpr std::int64_t nanograms() const { return ng_; }

  /// The shortest decimal in `unit` ("lb", "oz", "kg", "g", "mg") that reads back as the same weight: "10.25 oz".
  /// An unknown unit is answered in grams.
  std::string In(std::string_view unit) const;

  /// As the trade writes it: whole pounds as "2 lb", else ounces under 5 lb ("31.3 oz") and pounds and ounces above
  /// ("35 lb 3.2 oz"); kilograms from 1 kg, grams below.
  std::string ToString(UnitSystem system) const;

  friend constexpr Weight operator+(Weight a, Weight b) { return Weight(a.ng_ + b.ng_); }
  friend constexpr Weight operator-(Weight a, Weight b) { return Weight(a.ng_ - b.ng_); }
  friend constexpr auto operator<=>(Weight, Weight) = default;

  /// The heaviest goods or parcel that is accepted: 100,000 kg.
  static constexpr std::int64_t kMostNanograms = 100'000'000'000'000'000;

  static constexpr std::string_view kExpected = "a weight such as \"10.5 oz\", \"1 lb 3 oz\" or \"2.5 kg\"";

  /// Whether `unit` is one that `Parse` and `In` know.
  static bool IsUnit(std::string_view unit);
  /// Their names, greatest first: what an error says was expected.
  static std::vector<std::string_view> UnitNames();

  /// For the library itself.
  static std::span<const internal::UnitName> Units();

 private:
  explicit constexpr Weight(std::int64_t ng) : ng_(ng) {}
  std::int64_t ng_ = 0;
};

}  // namespace tarewise::inline TW_VERSIONED

#ifdef TW_HEADER_ONLY
#include "tarewise/units/internal/weight-inl.h"
#endif

#endif  // TAREWISE_UNITS_WEIGHT_H_
