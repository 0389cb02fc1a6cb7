#ifndef TAREWISE_PARCEL_DIMENSIONS_H_
#define TAREWISE_PARCEL_DIMENSIONS_H_

#include <algorithm>
#include <array>
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "absl/status/statusor.h"
#include "tarewise/units/internal/quantity_text.h"
#include "tarewise/units/length.h"
#include "tarewise/units/volume.h"

namespace tarewise {

namespace internal {

// The parts of "14 x 9 x 5 in" with the unit at the end given to each; where another part has a unit of its own, each
// must: a side without, among others with, is left to nobody's guess.
inline std::vector<std::string> SplitSides(std::string_view text) {
  std::vector<std::string> parts(1);
  for (std::size_t i = 0; i < text.size(); ++i) {
    if (text.substr(i, 2) == "\xC3\x97") {
      parts.emplace_back();
      ++i;
    } else if (text[i] == 'x' || text[i] == 'X') {
      parts.emplace_back();
    } else {
      parts.back() += text[i];
    }
  }
  const std::string_view last = parts.back();
  std::size_t unit_at = last.size();
  while (unit_at > 0 && (IsLetter(last[unit_at - 1]) || IsSpace(last[unit_at - 1]))) --unit_at;
  const std::string unit(last.substr(unit_at));
  const bool one_unit = std::none_of(parts.begin(), parts.end() - 1, [](const std::string& part) {
    return std::any_of(part.begin(), part.end(), IsLetter);
  });
  if (one_unit) {
    for (std::size_t i = 0; i + 1 < parts.size(); ++i) parts[i] += unit;
  }
  return parts;
}

}  // namespace internal

/// Lengths as written, in their order: "14 x 9 x 5 in" (one unit at the end), "1 m x 30 cm x 30 cm", "9 x 11 in".
/// `count` of them are expected. Errors: InvalidArgument saying what was found and expected.
inline absl::StatusOr<std::vector<Length>> ParseSides(std::string_view text, std::size_t count,
                                                      bool zero_allowed = false) {
  const std::string expected =
      count == 2 ? "two lengths such as \"9 x 11 in\"" : "three lengths such as \"14 x 9 x 5 in\"";
  const std::vector<std::string> parts = internal::SplitSides(text);
  if (parts.size() != count) return internal::FoundExpected(text, expected);
  std::vector<Length> sides;
  for (const std::string& part : parts) {
    absl::StatusOr<Length> side = Length::Parse(part);
    if (!side.ok()) return internal::FoundExpected(text, expected);
    if ((side->nanometres() < 1 && !zero_allowed) || side->nanometres() > Length::kMostSideNanometres) {
      return internal::FoundExpected(text, "sides of more than 0 and at most 50 m each");
    }
    sides.push_back(*side);
  }
  return sides;
}

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
  static absl::StatusOr<Dimensions> Parse(std::string_view text) {
    absl::StatusOr<std::vector<Length>> sides = ParseSides(text, 3);
    if (!sides.ok()) return sides.status();
    return Dimensions((*sides)[0], (*sides)[1], (*sides)[2]);
  }

  constexpr Length length() const { return sides_[0]; }
  constexpr Length width() const { return sides_[1]; }
  constexpr Length height() const { return sides_[2]; }
  constexpr const std::array<Length, 3>& sides() const { return sides_; }

  /// Twice (width + height): around the parcel across its longest side. Not the longest side.
  constexpr Length girth() const { return width() + width() + height() + height(); }
  constexpr Length length_plus_girth() const { return length() + girth(); }
  Volume volume() const { return Volume::Of(sides_[0], sides_[1], sides_[2]); }

  /// "14.3 x 9.3 x 5.3 in"
  std::string ToString(UnitSystem system) const {
    const std::string_view unit = system == UnitSystem::kImperial ? "in" : "cm";
    std::string out;
    for (std::size_t i = 0; i < 3; ++i) {
      std::string side = sides_[i].In(unit);
      if (i < 2) {
        side.resize(side.size() - unit.size() - 1);
        side += " x ";
      }
      out += side;
    }
    return out;
  }

  friend constexpr bool operator==(const Dimensions&, const Dimensions&) = default;

 private:
  std::array<Length, 3> sides_;
};

}  // namespace tarewise

#endif  // TAREWISE_PARCEL_DIMENSIONS_H_
