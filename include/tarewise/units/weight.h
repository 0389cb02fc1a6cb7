#ifndef TAREWISE_UNITS_WEIGHT_H_
#define TAREWISE_UNITS_WEIGHT_H_

#include <compare>
#include <concepts>
#include <cstdint>
#include <span>
#include <string>
#include <string_view>

#include "absl/status/statusor.h"
#include "tarewise/units/internal/quantity_text.h"

namespace tarewise {

/// The system of units that people are answered in.
enum class UnitSystem : std::uint8_t { kImperial, kMetric };

/// A weight (the trade's word; a mass), held as whole nanograms: 1 oz, 1 lb and 1 g are whole numbers of them
/// (1 lb = 0.45359237 kg exactly, International yard and pound agreement, 1959). Range: up to 9,223 t either way;
/// goods and parcels are held to `kMost`. A value type, safe in any thread.
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
  static absl::StatusOr<Weight> Parse(std::string_view text) {
    absl::StatusOr<internal::ParsedQuantity> parsed =
        internal::ParseQuantity(text, kUnits, 9'000'000'000'000'000'000, kExpected);
    if (!parsed.ok()) return parsed.status();
    return Weight(static_cast<std::int64_t>(parsed->value));
  }

  /// The system of the first unit written in `text`, for answering in the asker's units.
  static UnitSystem SystemOf(std::string_view text) {
    const std::string_view unit = internal::FirstUnit(kUnits, text);
    return unit == "lb" || unit == "oz" ? UnitSystem::kImperial : UnitSystem::kMetric;
  }

  constexpr std::int64_t nanograms() const { return ng_; }

  /// The shortest decimal in `unit` ("lb", "oz", "kg", "g", "mg") that reads back as the same weight: "10.25 oz".
  /// An unknown unit is answered in grams.
  std::string In(std::string_view unit) const {
    const internal::UnitName* found = internal::FindUnit(kUnits, unit);
    if (found == nullptr) found = internal::FindUnit(kUnits, "g");
    return internal::ShortestDecimal(ng_, found->size) + " " + std::string(found->name);
  }

  /// As the trade writes it: whole pounds as "2 lb", else ounces under 5 lb ("31.3 oz") and pounds and ounces above
  /// ("35 lb 3.2 oz"); kilograms from 1 kg, grams below.
  std::string ToString(UnitSystem system) const {
    if (system == UnitSystem::kMetric) return In(ng_ >= Kilograms(1).ng_ || ng_ <= -Kilograms(1).ng_ ? "kg" : "g");
    const std::int64_t pound = Pounds(1).ng_;
    if (ng_ != 0 && ng_ % pound == 0) return In("lb");
    if (ng_ < 5 * pound) return In("oz");
    return Weight(ng_ / pound * pound).In("lb") + " " + Weight(ng_ % pound).In("oz");
  }

  friend constexpr Weight operator+(Weight a, Weight b) { return Weight(a.ng_ + b.ng_); }
  friend constexpr Weight operator-(Weight a, Weight b) { return Weight(a.ng_ - b.ng_); }
  friend constexpr auto operator<=>(Weight, Weight) = default;

  /// The heaviest goods or parcel that is accepted: 100,000 kg.
  static constexpr std::int64_t kMostNanograms = 100'000'000'000'000'000;

  static constexpr std::string_view kExpected = "a weight such as \"10.5 oz\", \"1 lb 3 oz\" or \"2.5 kg\"";

  static inline const internal::UnitName kUnits[] = {{"lb", 453'592'370'000},
                                                     {"oz", 28'349'523'125},
                                                     {"kg", 1'000'000'000'000},
                                                     {"g", 1'000'000'000},
                                                     {"mg", 1'000'000}};

 private:
  explicit constexpr Weight(std::int64_t ng) : ng_(ng) {}
  std::int64_t ng_ = 0;
};

}  // namespace tarewise

#endif  // TAREWISE_UNITS_WEIGHT_H_
