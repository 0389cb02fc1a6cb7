#include "printed_grid_numbers.h"

#include <cstddef>
#include <string>

#include "tarewise/units/internal/quantity_text.h"

namespace tarewise::inline TW_VERSIONED::load::printed {
namespace {

using internal::IsDigit;

constexpr int kMostDecimals = 6;
constexpr int kMostWhole = 9;

// What stands at a place of a number: a figure, '.', ',' or, for every other sign, ' '; and its size.
struct Sign {
  char what = ' ';
  std::size_t size = 1;
};
Sign SignAt(std::string_view number, std::size_t at) {
  const char c = number[at];
  if (IsDigit(c) || c == '.' || c == ',') return {c, 1};
  const auto byte = static_cast<unsigned char>(c);
  return {' ', byte < 0x80 ? 1u : byte < 0xE0 ? 2u : 3u};
}

struct Counts {
  std::size_t dots = 0;
  std::size_t commas = 0;
  std::size_t spaces = 0;
  char last = 0;           // of '.' and ','
  std::size_t whole = 0;   // figures before the first '.' or ','
  std::size_t behind = 0;  // figures behind the last
};

Counts Count(std::string_view number) {
  Counts out;
  for (std::size_t at = 0; at < number.size();) {
    const Sign sign = SignAt(number, at);
    at += sign.size;
    if (IsDigit(sign.what)) {
      (out.last == 0 ? out.whole : out.behind) += 1;
    } else if (sign.what == ' ') {
      ++out.spaces;
    } else {
      (sign.what == '.' ? out.dots : out.commas) += 1;
      out.last = sign.what;
      out.behind = 0;
    }
  }
  return out;
}

}  // namespace

Shape ShapeOf(std::string_view number) {
  const Counts counts = Count(number);
  if (counts.last == 0) return Shape::kPlain;
  const Shape as_decimal = counts.last == '.' ? Shape::kPoint : Shape::kComma;
  const Shape as_group = counts.last == '.' ? Shape::kComma : Shape::kPoint;
  if (counts.dots > 0 && counts.commas > 0) {
    return (counts.last == '.' ? counts.dots : counts.commas) == 1 ? as_decimal : Shape::kBad;
  }
  if (counts.dots + counts.commas > 1) return counts.spaces == 0 ? as_group : Shape::kBad;
  if (counts.behind != 3 || counts.whole < 1 || counts.whole > 3 || number.front() == '0' || counts.spaces > 0) {
    return as_decimal;
  }
  return Shape::kEither;
}

std::optional<Figure> ReadFigure(std::string_view number, DecimalSign decimal) {
  const char point = decimal == DecimalSign::kComma ? ',' : '.';
  Figure out;
  std::int64_t whole = 0;
  int figures = 0;
  int group = 0;  // figures since the last sign between thousands
  bool behind = false;
  for (std::size_t at = 0; at < number.size();) {
    const Sign sign = SignAt(number, at);
    at += sign.size;
    if (IsDigit(sign.what)) {
      if (behind) {
        if (++out.decimals > kMostDecimals) return std::nullopt;
        out.micros = out.micros * 10 + (sign.what - '0');
        continue;
      }
      if (++figures > kMostWhole) return std::nullopt;
      ++group;
      whole = whole * 10 + (sign.what - '0');
      continue;
    }
    if (behind || (out.grouped && group != 3)) return std::nullopt;
    if (sign.what == point) {
      behind = true;
      out.comma = point == ',';
      continue;
    }
    if (!out.grouped && (group < 1 || group > 3)) return std::nullopt;
    out.grouped = true;
    group = 0;
  }
  if ((out.grouped && group != 3) || (behind && out.decimals == 0) || (!behind && figures == 0)) return std::nullopt;
  out.micros = whole * 1'000'000 + out.micros * internal::kPowersOfTen[kMostDecimals - out.decimals];
  return out;
}

std::optional<std::int64_t> ReadMicros(const Quantity& quantity, DecimalSign decimal) {
  std::int64_t micros = 0;
  if (!quantity.number.empty()) {
    const std::optional<Figure> figure = ReadFigure(quantity.number, decimal);
    if (!figure || (quantity.numerator != 0 && figure->decimals != 0)) return std::nullopt;
    micros = figure->micros;
  }
  const std::int64_t part = quantity.numerator * std::int64_t{1'000'000};
  if (part % quantity.denominator != 0) return std::nullopt;
  return micros + part / quantity.denominator;
}

std::string DecimalText(std::int64_t micros, int decimals) {
  std::string out = std::to_string(micros / 1'000'000);
  std::string part = std::to_string(micros % 1'000'000 + 1'000'000).substr(1);
  while (part.size() > static_cast<std::size_t>(decimals) && part.back() == '0') part.pop_back();
  return part.empty() ? out : out + "." + part;
}

std::int64_t SizeOf(std::string_view unit) {
  struct Unit {
    std::string_view name;
    std::int64_t size;
  };
  static constexpr Unit kUnits[] = {{"lb", 453'592'370'000}, {"oz", 28'349'523'125}, {"kg", 1'000'000'000'000},
                                    {"g", 1'000'000'000},    {"mg", 1'000'000},      {"in", 25'400'000},
                                    {"ft", 304'800'000},     {"mm", 1'000'000},      {"cm", 10'000'000},
                                    {"m", 1'000'000'000}};
  for (const Unit& one : kUnits) {
    if (one.name == unit) return one.size;
  }
  return 1;
}

UnitKind KindOfUnit(std::string_view unit) {
  if (unit == "lb" || unit == "oz" || unit == "kg" || unit == "g" || unit == "mg") return UnitKind::kWeight;
  return SizeOf(unit) == 1 ? UnitKind::kNone : UnitKind::kLength;
}

}  // namespace tarewise::inline TW_VERSIONED::load::printed
