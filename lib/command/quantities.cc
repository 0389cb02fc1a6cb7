#include "command/quantities.h"

#include <algorithm>
#include <cstdint>

#include "tarewise/units/rounding.h"

namespace tarewise::command {
namespace {

// The most decimals that any part of a text has.
std::size_t Decimals(const std::string& text) {
  std::size_t most = 0;
  for (std::size_t point = text.find('.'); point != std::string::npos; point = text.find('.', point + 1)) {
    const std::size_t end = std::min(text.find_first_not_of("0123456789", point + 1), text.size());
    most = std::max(most, end - point - 1);
  }
  return most;
}

// `size` base units times the quotient of `value` by it, cut to a whole number of `parts`, half up to the base unit.
std::int64_t CutTo(std::int64_t value, std::int64_t size, std::int64_t parts) {
  const Int128 whole = Int128(value) * parts / size;
  return static_cast<std::int64_t>(DivideRounded(whole * size, parts, 1, RoundMode::kHalfUp));
}

constexpr std::size_t kShortDecimals = 3;

// Empty where no unit is short.
std::string InShortUnit(Weight weight, UnitSystem system) {
  std::string text = weight.ToString(system);
  for (const char* unit : {"lb", "oz", "kg", "g"}) {
    if (Decimals(text) <= kShortDecimals) return text;
    text = weight.In(unit);
  }
  return Decimals(text) <= kShortDecimals ? text : "";
}

}  // namespace

std::string ExactText(Weight weight, UnitSystem system) {
  const std::string text = InShortUnit(weight, system);
  return text.empty() ? weight.ToString(system) : text;
}

std::string ShortText(Weight weight, UnitSystem system) {
  std::string text = InShortUnit(weight, system);
  if (!text.empty()) return text;
  const bool imperial = system == UnitSystem::kImperial;
  const std::int64_t unit = (imperial ? Weight::Ounces(1) : Weight::Grams(1)).nanograms();
  const std::int64_t half_a_hundredth = unit / 200;
  return Weight::Nanograms(CutTo(weight.nanograms() + half_a_hundredth, unit, 100)).In(imperial ? "oz" : "g");
}

std::string ShortText(const Dimensions& sides, UnitSystem system) {
  const std::int64_t step =
      system == UnitSystem::kImperial ? Length::Inches(1).nanometres() / 100 : Length::Millimetres(1).nanometres();
  auto rounded = [step](Length side) {
    const std::int64_t nm =
        static_cast<std::int64_t>(DivideRounded(side.nanometres(), step, 1, RoundMode::kHalfUp)) * step;
    return nm > 0 ? Length::Nanometres(nm) : side;  // A thin card has a thickness.
  };
  return Dimensions(rounded(sides.length()), rounded(sides.width()), rounded(sides.height())).ToString(system);
}

std::string RoomText(Weight weight, UnitSystem system) {
  const bool imperial = system == UnitSystem::kImperial;
  const std::int64_t cut = imperial ? CutTo(weight.nanograms(), Weight::Ounces(1).nanograms(), 10)
                                    : CutTo(weight.nanograms(), Weight::Grams(1).nanograms(), 1);
  if (cut == 0 && weight.nanograms() > 0) return imperial ? "less than 0.1 oz" : "less than 1 g";
  return Weight::Nanograms(cut).ToString(system);
}

std::string RoomText(Length length, UnitSystem system) {
  const bool imperial = system == UnitSystem::kImperial;
  const std::int64_t step = (imperial ? Length::Inches(1).nanometres() / 100 : Length::Millimetres(1).nanometres());
  const std::int64_t cut = length.nanometres() / step * step;
  if (cut == 0 && length.nanometres() > 0) return imperial ? "less than 0.01 in" : "less than 1 mm";
  return Length::Nanometres(cut).ToString(system);
}

}  // namespace tarewise::command
