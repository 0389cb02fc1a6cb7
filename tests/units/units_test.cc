// Quantities against exact fractions (Boost.Multiprecision) and a general units library (Boost.Units).

#include <gtest/gtest.h>

#include <boost/units/base_units/imperial/foot.hpp>
#include <boost/units/base_units/imperial/inch.hpp>
#include <boost/units/base_units/imperial/mile.hpp>
#include <boost/units/base_units/imperial/ounce.hpp>
#include <boost/units/base_units/imperial/pound.hpp>
#include <boost/units/base_units/imperial/yard.hpp>
#include <boost/units/base_units/metric/liter.hpp>
#include <boost/units/systems/si.hpp>
#include <string>
#include <utility>
#include <vector>

#include "support/error_of.h"
#include "support/exact.h"
#include "tarewise/parcel/dimensions.h"
#include "tarewise/units/length.h"
#include "tarewise/units/volume.h"
#include "tarewise/units/weight.h"

namespace tarewise {
namespace {

using testing::Between;
using testing::Big;
using testing::BigInt;
using testing::Chance;
using testing::ErrorOf;
using testing::HalfUp;
using testing::OneOf;
using testing::Random;
using testing::Rational;
using testing::TenTo;

// A unit and how many base units (ng, nm, nm3) it is, from the definitions alone: International yard and pound
// agreement, 1959 (1 yd = 0.9144 m, 1 lb = 0.45359237 kg), 12 in a foot, 3 ft a yard, 1,760 yd a mile, 16 oz a pound.
struct Unit {
  std::string name;
  Rational size;
};

Rational Kilogram() { return Rational(TenTo(12)); }
Rational Metre() { return Rational(TenTo(9)); }
Rational Pound() { return Kilogram() * Rational(45359237, 100000000); }
Rational Yard() { return Metre() * Rational(9144, 10000); }
Rational Cubed(const Rational& length) { return length * length * length; }

std::vector<Unit> WeightUnits() {
  return {{"lb", Pound()},
          {"oz", Pound() / 16},
          {"kg", Kilogram()},
          {"g", Kilogram() / 1000},
          {"mg", Kilogram() / 1000000}};
}
std::vector<Unit> LengthUnits() {
  return {{"mi", Yard() * 1760}, {"km", Metre() * 1000}, {"m", Metre()},        {"yd", Yard()},
          {"ft", Yard() / 3},    {"in", Yard() / 36},    {"cm", Metre() / 100}, {"mm", Metre() / 1000}};
}
std::vector<Unit> VolumeUnits() {
  return {{"m3", Cubed(Metre())},      {"ft3", Cubed(Yard() / 3)},    {"l", Cubed(Metre() / 10)},
          {"in3", Cubed(Yard() / 36)}, {"cm3", Cubed(Metre() / 100)}, {"mm3", Cubed(Metre() / 1000)}};
}

template <typename Q>
BigInt BaseUnits(const Q& quantity) {
  if constexpr (std::is_same_v<Q, Weight>) {
    return BigInt(quantity.nanograms());
  } else if constexpr (std::is_same_v<Q, Length>) {
    return BigInt(quantity.nanometres());
  } else {
    return Big(quantity.cubic_nanometres());
  }
}

// A number as a person might type it, with its exact value.
struct Written {
  std::string text;
  Rational value;
};

Written RandomDecimal(Random& random, std::int64_t most_whole, int most_decimals) {
  const std::int64_t whole = Between(random, 0, most_whole);
  Written out{std::to_string(whole), Rational(whole)};
  const int decimals = static_cast<int>(Between(random, 0, most_decimals));
  if (decimals == 0) return out;
  out.text += '.';
  BigInt fraction = 0;
  for (int i = 0; i < decimals; ++i) {
    const int digit = static_cast<int>(Between(random, 0, 9));
    out.text += static_cast<char>('0' + digit);
    fraction = fraction * 10 + digit;
  }
  out.value += Rational(fraction, TenTo(decimals));
  return out;
}

Written RandomFraction(Random& random, std::int64_t most_whole) {
  const std::int64_t den = Between(random, 1, 64);
  const std::int64_t num = Between(random, 0, den * 2);
  Written out{std::to_string(num) + "/" + std::to_string(den), Rational(num, den)};
  if (Chance(random, 0.7)) {
    const std::int64_t whole = Between(random, 0, most_whole);
    out.text = std::to_string(whole) + "-" + out.text;
    out.value += whole;
  }
  return out;
}

// "1.25 lb", "12-3/8in", "1 lb 3.5 oz": one to three parts that fall in size, the last of them broken.
Written RandomQuantity(Random& random, const std::vector<Unit>& units, std::int64_t most_whole) {
  std::vector<std::size_t> parts;
  std::size_t at = static_cast<std::size_t>(Between(random, 0, static_cast<std::int64_t>(units.size()) - 1));
  parts.push_back(at);
  while (Chance(random, 0.4)) {
    std::vector<std::size_t> smaller;
    for (std::size_t i = 0; i < units.size(); ++i) {
      if (units[i].size < units[at].size) smaller.push_back(i);
    }
    if (smaller.empty()) break;
    at = OneOf(random, smaller);
    parts.push_back(at);
  }
  Written out;
  for (std::size_t i = 0; i < parts.size(); ++i) {
    Written number;
    if (i + 1 < parts.size()) {
      number = RandomDecimal(random, most_whole, 0);
    } else {
      number = Chance(random, 0.3) ? RandomFraction(random, most_whole) : RandomDecimal(random, most_whole, 12);
    }
    if (i > 0) out.text += Chance(random, 0.8) ? " " : "  ";
    out.text += number.text + (Chance(random, 0.7) ? " " : "") + units[parts[i]].name;
    out.value += number.value * units[parts[i]].size;
  }
  if (Chance(random, 0.1)) out.text = " " + out.text + "\t";
  return out;
}

template <typename Q>
void ParsesLikeFractions(const std::vector<Unit>& units, std::int64_t most_whole, std::uint64_t seed) {
  Random random(seed);
  for (int i = 0; i < 20'000; ++i) {
    const Written written = RandomQuantity(random, units, most_whole);
    const absl::StatusOr<Q> parsed = Q::Parse(written.text);
    ASSERT_TRUE(parsed.ok()) << '"' << written.text << "\": " << parsed.status();
    ASSERT_EQ(BaseUnits(*parsed), HalfUp(written.value)) << '"' << written.text << '"';
  }
}

TEST(ParseQuantity, WeightsAreTheExactSumRoundedOnce) { ParsesLikeFractions<Weight>(WeightUnits(), 200, 1); }
TEST(ParseQuantity, LengthsAreTheExactSumRoundedOnce) { ParsesLikeFractions<Length>(LengthUnits(), 400, 2); }
TEST(ParseQuantity, VolumesAreTheExactSumRoundedOnce) { ParsesLikeFractions<Volume>(VolumeUnits(), 5'000, 3); }

TEST(ParseQuantity, AnyPartOfASumMayBeBroken) {
  // Lengths and weights are the exact sum of their parts, whichever of them has decimals.
  EXPECT_EQ(Weight::Parse("1.5 lb 3 oz").value(), Weight::Ounces(27));
  EXPECT_EQ(Weight::Parse("1-1/2 lb 3 oz").value_or(Weight()), Weight::Ounces(27));
  EXPECT_EQ(Weight::Parse("1.12345 lb 3 oz").value_or(Weight()), Weight::Nanograms(594'636'917'452));
}

TEST(ParseQuantity, HalfABaseUnitGoesUp) {
  // 0.1 oz is 2,834,952,312.5 ng, and 1/3 of one and a hundredth less stay below.
  EXPECT_EQ(Weight::Parse("0.1 oz").value().nanograms(), 2'834'952'313);
  EXPECT_EQ(Weight::Parse("0.3333333333 lb").value().nanograms(), 151'197'456'652);
  EXPECT_EQ(Length::Parse("0.0000005 mm").value().nanometres(), 1);
  EXPECT_EQ(Length::Parse("0.00000049 mm").value().nanometres(), 0);
  EXPECT_EQ(Length::Parse("1/64 in").value().nanometres(), 396'875);
  EXPECT_EQ(Weight::Parse("15.999 oz").value().nanograms(), 453'564'020'477);
}

TEST(ParseQuantity, LeadingPointAndSpaces) {
  EXPECT_EQ(Weight::Parse(".5 lb").value(), Weight::Ounces(8));
  EXPECT_EQ(Weight::Parse("007lb").value(), Weight::Pounds(7));
  EXPECT_EQ(Length::Parse("\t1ft2in ").value(), Length::Inches(14));
  EXPECT_EQ(Weight::Parse("5 lb 0 oz").value(), Weight::Pounds(5));
}

// The yard and the pound of Boost.Units, whose factors are doubles, so within a few of their last places.
template <typename From, typename To>
double Factor() {
  return boost::units::conversion_factor(typename From::unit_type(), To());
}

TEST(UnitSizes, AgreeWithBoostUnits) {
  namespace bu = boost::units;
  using Kilograms = bu::si::mass;
  using Metres = bu::si::length;
  auto near = [](std::int64_t base_units, double expected) {
    EXPECT_NEAR(static_cast<double>(base_units) / expected, 1.0, 1e-15);
  };
  near(Weight::Pounds(1).nanograms(), 1e12 * Factor<bu::imperial::pound_base_unit, Kilograms>());
  near(Weight::Ounces(1).nanograms(), 1e12 * Factor<bu::imperial::ounce_base_unit, Kilograms>());
  near(Length::Inches(1).nanometres(), 1e9 * Factor<bu::imperial::inch_base_unit, Metres>());
  near(Length::Feet(1).nanometres(), 1e9 * Factor<bu::imperial::foot_base_unit, Metres>());
  near(Length::Parse("1 yd").value().nanometres(), 1e9 * Factor<bu::imperial::yard_base_unit, Metres>());
  near(Length::Miles(1).nanometres(), 1e9 * Factor<bu::imperial::mile_base_unit, Metres>());
  const double litre = Factor<bu::metric::liter_base_unit, bu::si::volume>();
  EXPECT_NEAR(static_cast<double>(Volume::Parse("1 l").value().cubic_nanometres()) / (1e27 * litre), 1.0, 1e-15);
}

// International yard and pound agreement, 1959, as in the facts of units.
TEST(UnitSizes, AgreementOf1959) {
  EXPECT_EQ(Length::Parse("1 yd").value(), Length::Parse("0.9144 m").value());
  EXPECT_EQ(Weight::Parse("1 lb").value(), Weight::Parse("0.45359237 kg").value());
  EXPECT_EQ(Length::Parse("1 in").value(), Length::Parse("25.4 mm").value());
  EXPECT_EQ(Length::Parse("1 mi").value(), Length::Parse("1609.344 m").value());
  EXPECT_EQ(Weight::Parse("1 oz").value(), Weight::Parse("28.349523125 g").value());
  EXPECT_EQ(Volume::Parse("1 ft3").value(), Volume::Parse("28316.846592 cm3").value());
  EXPECT_EQ(Volume::Parse("1728 in3").value(), Volume::Parse("1 ft3").value());
  EXPECT_EQ(Volume::Of(Length::Feet(1), Length::Inches(12), Length::Millimetres(304) + Length::Nanometres(800'000)),
            Volume::Parse("1 ft3").value());
  EXPECT_EQ(Volume::CubicInches(1), Volume::Of(Length::Inches(1), Length::Inches(1), Length::Inches(1)));
  EXPECT_EQ(Volume::CubicCentimetres(1000), Volume::Parse("1 l").value());
  EXPECT_EQ(Volume::Parse("1 m3").value(), Volume::Parse("1000000000 mm3").value());
  // Derived: 165 in is 419.1 cm, which lists print as 419.
  EXPECT_EQ(Length::Inches(165), Length::Parse("419.1 cm").value());
}

TEST(UnitSizes, FactoriesAreTheUnits) {
  EXPECT_EQ(BigInt(Weight::Pounds(7).nanograms()), HalfUp(Pound() * 7));
  EXPECT_EQ(BigInt(Weight::Ounces(7).nanograms()), HalfUp(Pound() / 16 * 7));
  EXPECT_EQ(BigInt(Length::Miles(7).nanometres()), HalfUp(Yard() * 1760 * 7));
  EXPECT_EQ(BigInt(Length::Feet(7).nanometres()), HalfUp(Yard() / 3 * 7));
  EXPECT_EQ(Big(Volume::CubicInches(7).cubic_nanometres()), HalfUp(Cubed(Yard() / 36) * 7));
}

// ---- printing ----

// The value of "12.375" exactly, and how many decimals it has.
std::pair<Rational, int> ReadDecimal(std::string text) {
  const bool negative = text.front() == '-';
  if (negative) text.erase(0, 1);
  const std::size_t point = text.find('.');
  const int decimals = point == std::string::npos ? 0 : static_cast<int>(text.size() - point - 1);
  if (point != std::string::npos) text.erase(point, 1);
  const Rational value(BigInt("1" + text) - TenTo(static_cast<int>(text.size())), TenTo(decimals));
  return {negative ? Rational(-value) : value, decimals};
}

template <typename Q, typename Make>
void PrintsTheShortest(const std::vector<Unit>& units, Make make, std::uint64_t seed, int most_decimals) {
  Random random(seed);
  for (int i = 0; i < 20'000; ++i) {
    const Q quantity = make(random);
    const Unit& unit = OneOf(random, units);
    const std::string text = quantity.In(unit.name);
    ASSERT_GT(text.size(), unit.name.size() + 1);
    ASSERT_EQ(text.substr(text.size() - unit.name.size() - 1), " " + unit.name);
    const auto [value, decimals] = ReadDecimal(text.substr(0, text.size() - unit.name.size() - 1));
    const BigInt exact = BaseUnits(quantity);
    ASSERT_LE(decimals, most_decimals) << text;
    ASSERT_EQ(HalfUp(value * unit.size), exact) << text;
    const absl::StatusOr<Q> back = Q::Parse(text);
    ASSERT_TRUE(back.ok()) << back.status();
    ASSERT_EQ(BaseUnits(*back), exact) << text;
    if (decimals == 0) continue;
    // With one decimal less neither neighbour reads back.
    const BigInt below = testing::FloorOf(Rational(Rational(exact) / unit.size * TenTo(decimals - 1)));
    for (const BigInt& shorter : {below, BigInt(below + 1)}) {
      ASSERT_NE(HalfUp(Rational(shorter, TenTo(decimals - 1)) * unit.size), exact) << text << " is not the shortest";
    }
  }
}

// Half of the values as people write them, half any nanogram or nanometre.
Weight RandomWeight(Random& random) {
  switch (Between(random, 0, 2)) {
    case 0:
      return Weight::Parse(std::to_string(Between(random, 1, 9'999)) + "/100 oz").value_or(Weight::Grams(7));
    case 1:
      return Weight::Milligrams(Between(random, 1, 99'999'999));
    default:
      return Weight::Nanograms(testing::AnySize(random, 56));
  }
}
Length RandomLength(Random& random) {
  switch (Between(random, 0, 2)) {
    case 0:
      return Length::Nanometres(Between(random, 1, 64 * 200) * 396'875);
    case 1:
      return Length::Nanometres(Between(random, 1, 99'999) * 100'000);
    default:
      return Length::Nanometres(testing::AnySize(random, 53));
  }
}

TEST(PrintQuantity, WeightsAreTheShortestThatReadBack) {
  PrintsTheShortest<Weight>(WeightUnits(), RandomWeight, 4, 12);
}
TEST(PrintQuantity, LengthsAreTheShortestThatReadBack) {
  PrintsTheShortest<Length>(LengthUnits(), RandomLength, 5, 13);
}
TEST(PrintQuantity, VolumesOfPartsOfAnInchReadBack) {
  Random random(6);
  for (int i = 0; i < 5'000; ++i) {
    const Volume volume = Volume::Of(Length::Nanometres(Between(random, 1, 64) * 3'175'000),
                                     Length::Nanometres(Between(random, 1, 64) * 3'175'000), Length::Inches(1));
    for (const char* unit : {"in3", "cm3", "mm3"}) {
      ASSERT_EQ(Volume::Parse(volume.In(unit)).value(), volume) << volume.In(unit);
    }
  }
}

TEST(PrintQuantity, AsTheTradeWritesIt) {
  EXPECT_EQ(Weight::Pounds(2).ToString(UnitSystem::kImperial), "2 lb");
  EXPECT_EQ(Weight::Parse("31.3 oz").value().ToString(UnitSystem::kImperial), "31.3 oz");
  EXPECT_EQ(Weight::Parse("35 lb 3.2 oz").value().ToString(UnitSystem::kImperial), "35 lb 3.2 oz");
  EXPECT_EQ(Weight::Parse("563.2 oz").value().ToString(UnitSystem::kImperial), "35 lb 3.2 oz");
  EXPECT_EQ(Weight::Grams(999).ToString(UnitSystem::kMetric), "999 g");
  EXPECT_EQ(Weight::Grams(2500).ToString(UnitSystem::kMetric), "2.5 kg");
  EXPECT_EQ(Length::Parse("12-3/8 in").value().ToString(UnitSystem::kImperial), "12.375 in");
  EXPECT_EQ(Length::Millimetres(305).ToString(UnitSystem::kMetric), "30.5 cm");
  EXPECT_EQ(Dimensions::Parse("9.3 x 5.3 x 14.3 in").value().ToString(UnitSystem::kImperial), "14.3 x 9.3 x 5.3 in");
  EXPECT_EQ(Volume::CubicInches(1728).ToString(UnitSystem::kImperial), "1728 in3");
  EXPECT_EQ(Volume::CubicInches(1728).In("ft3"), "1 ft3");
  EXPECT_EQ(Weight().ToString(UnitSystem::kMetric), "0 g");
}

// What is printed for people reads back to what it was, whatever the unit that was chosen.
TEST(PrintQuantity, ForPeopleReadsBack) {
  Random random(7);
  for (int i = 0; i < 10'000; ++i) {
    for (const UnitSystem system : {UnitSystem::kImperial, UnitSystem::kMetric}) {
      const Weight weight = RandomWeight(random);
      ASSERT_EQ(Weight::Parse(weight.ToString(system)).value(), weight) << weight.ToString(system);
      const Length length = RandomLength(random);
      ASSERT_EQ(Length::Parse(length.ToString(system)).value(), length) << length.ToString(system);
    }
  }
}

// ---- errors ----

constexpr const char* kWeightExpected = R"(expected a weight such as "10.5 oz", "1 lb 3 oz" or "2.5 kg")";
constexpr const char* kLengthExpected =
    R"(expected a length such as "12.375 in", "12-3/8 in", "1 ft 2 in" or "30.5 cm")";
constexpr const char* kVolumeExpected = R"(expected a volume such as "1728 in3", "0.5 ft3" or "3220 cm3")";

TEST(QuantityErrors, SayWhatWasFoundAndWhatWasExpected) {
  for (const char* text :
       {"",       " ",          "lb",         "5",      "5 stone", "5 LB",    "-5 lb",    "+5 lb",    "1e30 lb",
        "1e3 lb", "nan lb",     "inf lb",     "5. lb",  "5,5 lb",  "5 lb lb", "5 in",     "1/0 lb",   "1//2 lb",
        "1-2 lb", "1.5-1/2 lb", "1-1/2.5 lb", "5 lb 3", "five lb", "5 lb;",   "1 1/2 lb", "1/1001 lb"}) {
    EXPECT_EQ(ErrorOf(Weight::Parse(text).status()), std::string("found \"") + text + "\", " + kWeightExpected);
    EXPECT_EQ(Weight::Parse(text).status().code(), absl::StatusCode::kInvalidArgument);
  }
  for (const char* text : {"", "12", "12 lb", "-1 in", "12'", "12\"", "1e2 mm", "NaN mm", "3/-8 in"}) {
    EXPECT_EQ(ErrorOf(Length::Parse(text).status()), std::string("found \"") + text + "\", " + kLengthExpected);
  }
  for (const char* text : {"", "5 in", "5 cc", "5 in 3", "-1 in3", "1 in^3"}) {
    EXPECT_EQ(ErrorOf(Volume::Parse(text).status()), std::string("found \"") + text + "\", " + kVolumeExpected);
  }
}

TEST(QuantityErrors, TheUnitsOfASumFall) {
  for (const char* text : {"3 oz 1 lb", "1 lb 1 lb", "1 oz 1 kg"}) {
    EXPECT_EQ(ErrorOf(Weight::Parse(text).status()),
              std::string("found \"") + text + "\", " + kWeightExpected + " (the units of a sum fall in size)");
  }
  EXPECT_FALSE(Length::Parse("2 in 1 ft").ok());
  EXPECT_FALSE(Length::Parse("1 ft 1 ft").ok());
}

TEST(QuantityErrors, TooLargeIsSaidAndNeverWraps) {
  EXPECT_EQ(ErrorOf(Weight::Parse("9000001000 g").status()),
            std::string("found \"9000001000 g\", ") + kWeightExpected + ", not so large");
  EXPECT_EQ(Weight::Parse("9000000000 g").value().nanograms(), 9'000'000'000'000'000'000);
  EXPECT_FALSE(Weight::Parse("999999999999 lb").ok());
  EXPECT_FALSE(Weight::Parse("999999999999999999999999999999 mg").ok());
  EXPECT_FALSE(Weight::Parse("8999999 kg 999999999999 mg").ok());
  EXPECT_FALSE(Length::Parse("9000000001 m").ok());
  EXPECT_TRUE(Length::Parse("9000000000 m").ok());
  EXPECT_FALSE(Length::Parse("999999999999 mi").ok());
  EXPECT_TRUE(Volume::Parse("125000 m3").ok());
  EXPECT_FALSE(Volume::Parse("125000.000000001 m3").ok());
  EXPECT_FALSE(Volume::Parse("999999999999 ft3").ok());
}

// Whatever the text, there is an answer or an error, and an answer is within the range.
TEST(QuantityErrors, AnyTextHasAnAnswer) {
  Random random(8);
  const std::string letters = "0123456789.-/ lbozkgmincftyd3x";
  int parsed = 0;
  for (int i = 0; i < 200'000; ++i) {
    std::string text;
    for (std::int64_t n = Between(random, 0, 14); n > 0; --n) text += OneOf(random, letters);
    for (const char* unit : {"", " lb", " in3"}) {
      const std::string whole = text + unit;
      if (const auto weight = Weight::Parse(whole); weight.ok()) {
        ++parsed;
        ASSERT_GE(weight->nanograms(), 0) << whole;
        ASSERT_LE(weight->nanograms(), 9'000'000'000'000'000'000) << whole;
      }
      if (const auto length = Length::Parse(whole); length.ok()) {
        ASSERT_GE(length->nanometres(), 0) << whole;
      }
      if (const auto volume = Volume::Parse(whole); volume.ok()) {
        ASSERT_GE(volume->cubic_nanometres(), 0) << whole;
        ASSERT_LE(volume->cubic_nanometres(), Volume::Most()) << whole;
      }
    }
  }
  EXPECT_GT(parsed, 1'000);
}

TEST(QuantityErrors, ALongTextIsCutAndControlCharactersAreShown) {
  const std::string text(100, 'q');
  EXPECT_EQ(ErrorOf(Weight::Parse(text).status()), "found \"" + std::string(60, 'q') + "...\", " + kWeightExpected);
  EXPECT_EQ(ErrorOf(Weight::Parse("5\nlb").status()), std::string("found \"5\\u000alb\", ") + kWeightExpected);
}

// ---- sides ----

TEST(Sides, AreWrittenInAnyOrderWithOneUnitOrOneEach) {
  const Dimensions expected(Length::Inches(14), Length::Inches(9), Length::Inches(5));
  for (const char* text :
       {"14 x 9 x 5 in", "14x9x5in", "5 X 14 X 9 in", "9 × 5 × 14 in", "14×9×5 in", "14 in x 9 in x 5 in",
        "1 ft 2 in x 9 in x 5 in", "35.56 cm x 9 in x 127 mm", "355.6 x 228.6 x 127 mm"}) {
    ASSERT_TRUE(Dimensions::Parse(text).ok()) << text << Dimensions::Parse(text).status();
    EXPECT_EQ(*Dimensions::Parse(text), expected) << text;
  }
}

TEST(Sides, ErrorsSayWhatIsMissing) {
  for (const char* text : {"", "14 in", "14 x 9 in", "14 x 9 x 5", "14 x 9 x 5 x 1 in", "14 x 9 x in", "x x x in",
                           "14 x 9 x -5 in", "14 * 9 * 5 in", "14 x 9 x 5 lb", "1 ft x 9 x 5 in", "14 x 9 in x 5 in"}) {
    EXPECT_EQ(ErrorOf(Dimensions::Parse(text).status()),
              std::string("found \"") + text + "\", expected three lengths such as \"14 x 9 x 5 in\"");
  }
  for (const char* text : {"0 x 9 x 5 in", "50.000001 x 1 x 1 m", "1 x 1 x 0.0000001 mm"}) {
    EXPECT_EQ(ErrorOf(Dimensions::Parse(text).status()),
              std::string("found \"") + text + "\", expected sides of more than 0 and at most 50 m each");
  }
  EXPECT_TRUE(Dimensions::Parse("50 x 50 x 50 m").ok());
  EXPECT_EQ(ErrorOf(ParseSides("9 in", 2).status()), "found \"9 in\", expected two lengths such as \"9 x 11 in\"");
}

}  // namespace
}  // namespace tarewise
