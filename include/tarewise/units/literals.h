#ifndef TAREWISE_UNITS_LITERALS_H_
#define TAREWISE_UNITS_LITERALS_H_

#include <cstdint>

#include "tarewise/units/length.h"
#include "tarewise/units/weight.h"
#include "tarewise/version.h"

/// Whole numbers with a unit: 12_oz, 3_lb, 450_g, 13_in, 30_cm. A broken number (1.5_lb) does not compile: parse it.
namespace tarewise::inline TW_VERSIONED::literals {

constexpr Weight operator""_oz(unsigned long long n) { return Weight::Ounces(static_cast<std::int64_t>(n)); }
constexpr Weight operator""_lb(unsigned long long n) { return Weight::Pounds(static_cast<std::int64_t>(n)); }
constexpr Weight operator""_g(unsigned long long n) { return Weight::Grams(static_cast<std::int64_t>(n)); }
constexpr Weight operator""_kg(unsigned long long n) { return Weight::Kilograms(static_cast<std::int64_t>(n)); }
constexpr Length operator""_in(unsigned long long n) { return Length::Inches(static_cast<std::int64_t>(n)); }
constexpr Length operator""_ft(unsigned long long n) { return Length::Feet(static_cast<std::int64_t>(n)); }
constexpr Length operator""_mm(unsigned long long n) { return Length::Millimetres(static_cast<std::int64_t>(n)); }
constexpr Length operator""_cm(unsigned long long n) { return Length::Centimetres(static_cast<std::int64_t>(n)); }

}  // namespace tarewise::inline TW_VERSIONED::literals

#endif  // TAREWISE_UNITS_LITERALS_H_
