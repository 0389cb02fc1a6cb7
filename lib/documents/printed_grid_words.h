#ifndef TAREWISE_LIB_DOCUMENTS_PRINTED_GRID_WORDS_H_
#define TAREWISE_LIB_DOCUMENTS_PRINTED_GRID_WORDS_H_

#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>

#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::load::printed {

/// Without spaces at its ends: those of ASCII, and the narrow and hard ones that sheets and PDFs hold.
std::string_view TrimAll(std::string_view text);
/// With each space as " ".
std::string PlainSpaces(std::string_view text);
/// A hard or narrow space at the head of a text; its size in bytes, else 0.
std::size_t HardSpaceAtHead(std::string_view text);
std::string Lower(std::string_view text);

/// Small letters, without dots, colons and brackets at its ends; empty where it is longer than any word that is known.
std::string BareWord(std::string_view word);

/// "lb" for "lbs." or "Pounds"; empty where a word is no unit.
std::string_view UnitOf(std::string_view word);
/// "Zone", "Zones", "Group".
bool IsZoneWord(std::string_view word);
/// "Weight", "Gewicht".
bool IsWeightWord(std::string_view word);
/// "Price", "Rate".
bool IsPriceWord(std::string_view word);
/// What stands around a bound without changing it: "not over", "up to", "in".
bool IsSmallWord(std::string_view word);
/// The unit that a heading says: "Weight not over (pounds)"; empty where it says none.
std::string_view UnitInHeading(std::string_view heading);
bool HasZoneWord(std::string_view heading);
bool HasWeightWord(std::string_view heading);

/// A sign or a code of a currency at the head of a text ("$", "USD", "Rs."), or at its end; its size in bytes, else 0.
std::size_t CurrencyAtHead(std::string_view text);
std::size_t CurrencyAtEnd(std::string_view text);
/// A footnote mark at the end of a text ("*", a raised figure, "(1)"); its size in bytes, else 0.
std::size_t MarkAtEnd(std::string_view text);

/// A cell of prices, taken apart.
struct PriceText {
  enum class Kind : std::uint8_t { kNone, kBlank, kDash, kAmount };
  Kind kind = Kind::kNone;
  std::string_view number;    ///< Of an amount: figures and what parts them.
  std::string_view currency;  ///< As it is printed; empty where there is none.
  std::string_view mark;      ///< The first footnote mark.
  bool hundredths = false;    ///< In cents.
};
PriceText ReadPrice(std::string_view cell);
/// "N/A", a dash or dots.
bool IsDash(std::string_view text);

/// One figure of a bound, as it is printed.
struct Quantity {
  std::string_view number;  ///< Empty where there is a fraction alone.
  int numerator = 0;
  int denominator = 1;
  std::string_view unit;  ///< As `UnitOf` names it, or empty.
};

/// "over 1 lb to 2 lb", "1/2", "up to 500 g".
struct BoundText {
  enum class Kind : std::uint8_t { kNone, kBound, kOpen, kExclusive };
  Kind kind = Kind::kNone;
  Quantity upper;
  Quantity ounces;  ///< "8 oz" of "1 lb 8 oz".
  Quantity lower;
  std::string_view mark;    ///< The first footnote mark.
  std::string_view before;  ///< What stands before its figures and says no unit: "Not over".
  std::string_view behind;  ///< And behind them: "max."
  bool has_ounces = false;
  bool has_lower = false;
  bool money = false;     ///< A currency sign stands before it.
  bool worded = false;    ///< Plainly a bound: with a unit, a fraction or a word such as "up to".
  bool titled = false;    ///< Other words stand before "up to".
  bool hopeless = false;  ///< No bound, whatever words may follow.
};
BoundText ReadBoundText(std::string_view label);
/// False where a text has no figure, no fraction, and so no bound.
bool MayHaveFigure(std::string_view text);

/// Takes a fraction at the head of a text: "1/2" or one sign. The bytes that it takes, else 0.
std::size_t FractionAtHead(std::string_view text, int& numerator, int& denominator);

}  // namespace tarewise::inline TW_VERSIONED::load::printed

#endif  // TAREWISE_LIB_DOCUMENTS_PRINTED_GRID_WORDS_H_
