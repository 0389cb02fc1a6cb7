#ifndef TAREWISE_LIB_DOCUMENTS_PRINTED_GRID_NUMBERS_H_
#define TAREWISE_LIB_DOCUMENTS_PRINTED_GRID_NUMBERS_H_

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "absl/numeric/int128.h"
#include "printed_grid_words.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::load::printed {

/// What stands before the decimals.
enum class DecimalSign : std::uint8_t { kUnknown, kPoint, kComma };

/// What one number shows of it.
enum class Shape : std::uint8_t {
  kPlain,   ///< Figures alone, or with spaces between thousands.
  kPoint,   ///< Can be read with a point before decimals only.
  kComma,   ///< With a comma only.
  kEither,  ///< "1,234", "1.234".
  kBad,
};
Shape ShapeOf(std::string_view number);

/// A number in millionths.
struct Figure {
  std::int64_t micros = 0;
  std::uint8_t decimals = 0;  ///< As printed.
  bool grouped = false;       ///< Thousands were set apart.
  bool comma = false;         ///< A comma stood before decimals.
};
/// Nothing where it has no such form, more than six decimals or more than nine figures before them.
std::optional<Figure> ReadFigure(std::string_view number, DecimalSign decimal);

/// A quantity in millionths of its unit, the fraction included.
std::optional<std::int64_t> ReadMicros(const Quantity& quantity, DecimalSign decimal);

/// A decimal of so many places at least, without more zeros at its end.
std::string DecimalText(std::int64_t micros, int decimals);

/// How large a unit is in base units (ng, nm); 1 for money and for none.
std::int64_t SizeOf(std::string_view unit);
/// A weight, a length or neither.
enum class UnitKind : std::uint8_t { kNone, kWeight, kLength };
UnitKind KindOfUnit(std::string_view unit);

/// So many millionths of a unit, to be compared with those of others.
inline absl::int128 InBase(std::int64_t micros, std::string_view unit) { return absl::int128(micros) * SizeOf(unit); }

}  // namespace tarewise::inline TW_VERSIONED::load::printed

#endif  // TAREWISE_LIB_DOCUMENTS_PRINTED_GRID_NUMBERS_H_
