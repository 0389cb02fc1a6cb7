// Rounding and 128-bit arithmetic against integers of any size (Boost.Multiprecision).

#include "tarewise/units/rounding.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <optional>
#include <vector>

#include "support/exact.h"
#include "tarewise/pricing/internal/cuts.h"
#include "tarewise/tariff/tariff.h"
#include "tarewise/units/percent.h"

namespace tarewise {
namespace {

using testing::AnySize;
using testing::Between;
using testing::Big;
using testing::BigInt;
using testing::Chance;
using testing::OneOf;
using testing::Random;
using testing::Rational;

Int128 RandomInt128(Random& random, int most_bits) {
  const int bits = static_cast<int>(Between(random, 0, most_bits));
  absl::uint128 value = absl::MakeUint128(random(), random());
  return bits == 0 ? Int128(0) : Int128(value >> (128 - bits));
}

// ---- to a step ----

constexpr StepMode kModes[] = {StepMode::kExact, StepMode::kUp, StepMode::kDown, StepMode::kNearest};

BigInt RoundedExactly(const Rational& value, StepRounding rounding) {
  const Rational steps = value / rounding.step;
  switch (rounding.mode) {
    case StepMode::kExact:
      return testing::CeilingOf(value);
    case StepMode::kUp:
      return testing::CeilingOf(steps) * rounding.step;
    case StepMode::kDown:
      return testing::FloorOf(steps) * rounding.step;
    case StepMode::kNearest:
      return testing::HalfUp(steps) * rounding.step;
  }
  return 0;
}

TEST(RoundToStep, IsTheExactRounding) {
  Random random(1);
  for (int i = 0; i < 200'000; ++i) {
    const StepRounding rounding{OneOf(random, kModes), 1 + AnySize(random, 56)};
    std::int64_t value = AnySize(random, 57);
    // Half of them on a step, half a step, or beside one.
    if (Chance(random, 0.5)) {
      const Int128 near =
          Int128(AnySize(random, 10)) * (rounding.step / (Chance(random, 0.5) ? 1 : 2)) + Between(random, -1, 1);
      if (near < 0 || near > (std::int64_t{1} << 57)) continue;
      value = static_cast<std::int64_t>(near);
    }
    ASSERT_EQ(BigInt(RoundToStep(value, rounding)), RoundedExactly(Rational(value), rounding))
        << value << " to " << rounding.step << ", mode " << static_cast<int>(rounding.mode);
  }
}

TEST(RoundToStep, LargestRoundingToIsTheLargest) {
  Random random(2);
  for (int i = 0; i < 200'000; ++i) {
    const StepRounding rounding{OneOf(random, kModes), 1 + AnySize(random, 55)};
    const std::int64_t bound = AnySize(random, 57);
    const std::int64_t largest = LargestRoundingTo(bound, rounding);
    if (largest >= 0) {
      ASSERT_LE(RoundToStep(largest, rounding), bound) << bound << " by " << rounding.step;
    }
    ASSERT_GT(RoundToStep(largest + 1, rounding), bound) << bound << " by " << rounding.step;
  }
}

// Published: Domestic Mail Manual P013, archive of 10 Aug 2003. "Round off" is half up: 3.376 -> 3.38, 3.374 -> 3.37;
// "round up" raises on any digit to the right: 3.3701 -> 3.38, 3.379 -> 3.38.
TEST(DivideRounded, PublishedMoney) {
  auto cents = [](const char* amount, RoundMode mode) {
    return Amount::Micros(
               static_cast<std::int64_t>(DivideRounded(Amount::Parse(amount).value().micros(), 1, 10'000, mode)))
        .ToString();
  };
  EXPECT_EQ(cents("3.376", RoundMode::kHalfUp), "3.38");
  EXPECT_EQ(cents("3.374", RoundMode::kHalfUp), "3.37");
  EXPECT_EQ(cents("3.3701", RoundMode::kUp), "3.38");
  EXPECT_EQ(cents("3.379", RoundMode::kUp), "3.38");
  // DHL Paket (Germany), price page: 22.50 EUR net with 19 % tax is printed as 26.78 (26.775 half up).
  EXPECT_EQ(cents("26.775", RoundMode::kHalfUp), "26.78");
  const Amount net = Amount::Parse("22.50").value();
  const Amount tax = Percent::Parse("19 %").value().Of(net, 1'000, RoundMode::kHalfUp);
  EXPECT_EQ(cents((net + tax).ToString().c_str(), RoundMode::kHalfUp), "26.78");
}

// Published: any fraction of a pound goes up. 1.2 -> 2 lb (DMM 123.1.2, May 2007); 5.2 -> 6 (Postal Bulletin 22218, Nov
// 2007); 0.08 -> 1 (DMM 223.1.1a, Jan 2024); 4.225 -> 5 (DMM 173.1.3, Jan 2006).
TEST(RoundToStep, PublishedPounds) {
  const StepRounding up{StepMode::kUp, Weight::Pounds(1).nanograms()};
  auto pounds = [&up](const char* weight) {
    return Weight::Nanograms(RoundToStep(Weight::Parse(weight).value().nanograms(), up));
  };
  EXPECT_EQ(pounds("1.2 lb"), Weight::Pounds(2));
  EXPECT_EQ(pounds("5.2 lb"), Weight::Pounds(6));
  EXPECT_EQ(pounds("0.08 lb"), Weight::Pounds(1));
  EXPECT_EQ(pounds("4.225 lb"), Weight::Pounds(5));
  EXPECT_EQ(pounds("5 lb"), Weight::Pounds(5));
}

// ---- money ----

BigInt MoneyRoundedExactly(const Rational& value, const BigInt& step, RoundMode mode) {
  const bool negative = value < 0;
  const Rational steps = (negative ? Rational(-value) : value) / Rational(step);
  const BigInt below = testing::FloorOf(steps);
  const Rational rest = steps - Rational(below);
  BigInt out = below;
  switch (mode) {
    case RoundMode::kUp:
      if (rest > 0) out += 1;
      break;
    case RoundMode::kDown:
      break;
    case RoundMode::kHalfUp:
      if (rest * 2 >= 1) out += 1;
      break;
    case RoundMode::kHalfEven:
      if (rest * 2 > 1 || (rest * 2 == 1 && below % 2 == 1)) out += 1;
      break;
  }
  out *= step;
  return negative ? BigInt(-out) : out;
}

constexpr RoundMode kMoneyModes[] = {RoundMode::kHalfUp, RoundMode::kHalfEven, RoundMode::kUp, RoundMode::kDown};

TEST(DivideRounded, IsTheExactRounding) {
  Random random(3);
  for (int i = 0; i < 200'000; ++i) {
    const Int128 den = 1 + RandomInt128(random, 60);
    const Int128 step = 1 + RandomInt128(random, 50);
    Int128 num = RandomInt128(random, 125);
    if (Chance(random, 0.4)) num = den * step / 2 * RandomInt128(random, 12) + Between(random, -1, 1);
    if (Chance(random, 0.5)) num = -num;
    const RoundMode mode = OneOf(random, kMoneyModes);
    ASSERT_EQ(Big(DivideRounded(num, den, step, mode)),
              MoneyRoundedExactly(Rational(Big(num), Big(den)), Big(step), mode))
        << num << " / " << den << " to " << step << ", mode " << static_cast<int>(mode);
  }
}

TEST(DivideRounded, TheMagnitudeIsRoundedAndTheSignPutBack) {
  for (const auto& [mode, expected] :
       {std::pair{RoundMode::kHalfUp, -130'000}, std::pair{RoundMode::kHalfEven, -120'000},
        std::pair{RoundMode::kUp, -130'000}, std::pair{RoundMode::kDown, -120'000}}) {
    EXPECT_EQ(DivideRounded(-125'000, 1, 10'000, mode), expected);
  }
}

TEST(PercentOf, IsTheExactPartRoundedOnce) {
  Random random(4);
  for (int i = 0; i < 100'000; ++i) {
    const Amount amount = Amount::Micros(AnySize(random, 50) * (Chance(random, 0.5) ? 1 : -1));
    const Percent percent = Percent::TenThousandths(AnySize(random, 24));
    const std::int64_t step = OneOf(random, std::vector<std::int64_t>{1, 1'000, 10'000, 50'000, 1'000'000});
    const RoundMode mode = OneOf(random, kMoneyModes);
    const Rational exact = Rational(BigInt(amount.micros()) * percent.ten_thousandths(), 1'000'000);
    const BigInt expected = MoneyRoundedExactly(exact, step, mode);
    if (expected > INT64_MAX || expected < INT64_MIN) continue;
    ASSERT_EQ(BigInt(percent.Of(amount, step, mode).micros()), expected)
        << percent.ToString() << " of " << amount.ToString() << " to " << step;
  }
}

TEST(Narrow, OnlyWhatFits) {
  EXPECT_EQ(Narrow(Int128(INT64_MAX)), INT64_MAX);
  EXPECT_EQ(Narrow(Int128(INT64_MIN)), INT64_MIN);
  EXPECT_EQ(Narrow(Int128(INT64_MAX) + 1), std::nullopt);
  EXPECT_EQ(Narrow(Int128(INT64_MIN) - 1), std::nullopt);
}

// ---- products of more than 128 bits ----

TEST(MulDiv, IsTheExactQuotient) {
  Random random(5);
  int wide = 0;
  for (int i = 0; i < 300'000; ++i) {
    const Int128 a = RandomInt128(random, 127);
    const std::int64_t b = AnySize(random, 63);
    Int128 c = 1 + RandomInt128(random, 126);
    // Often an exact quotient, or one off it.
    if (Chance(random, 0.2) && a > 1) c = a;
    if (Chance(random, 0.1) && a > 1) c = a - 1;
    const Int128 cap = Chance(random, 0.5) ? Int128(Weight::kMostNanograms) * 8 : 1 + RandomInt128(random, 100);
    const internal::MulDivResult got = internal::MulDiv(a, b, c, cap);
    const BigInt product = Big(a) * b;
    if (product > Big(absl::Int128Max())) ++wide;
    const BigInt quotient = product / Big(c);
    if (quotient > Big(cap)) {
      ASSERT_EQ(got.floor, cap) << a << " * " << b << " / " << c;
      continue;
    }
    ASSERT_EQ(Big(got.floor), quotient) << a << " * " << b << " / " << c;
    ASSERT_EQ(got.exact, quotient * Big(c) == product) << a << " * " << b << " / " << c;
  }
  EXPECT_GT(wide, 50'000) << "the slow path is what this test is for";
}

// ---- dimensional weight ----

// Volume and weight of ratios as lists print them, and any others.
VolumePerWeight RandomRatio(Random& random) {
  switch (Between(random, 0, 3)) {
    case 0:
      return VolumePerWeight::Make(Volume::CubicInches(OneOf(random, std::vector<std::int64_t>{139, 166, 194, 250})),
                                   Weight::Pounds(1), "");
    case 1:
      return VolumePerWeight::Make(Volume::CubicCentimetres(OneOf(random, std::vector<std::int64_t>{4000, 5000, 6000})),
                                   Weight::Kilograms(1), "");
    case 2:
      return VolumePerWeight::Make(Volume::Parse("0.004 m3").value(), Weight::Kilograms(1), "");
    default:
      return VolumePerWeight::Make(Volume::CubicNanometres(1 + RandomInt128(random, 96)),
                                   Weight::Nanograms(1 + AnySize(random, 50)), "");
  }
}

StepRounding RandomWeightRounding(Random& random) {
  static const std::int64_t steps[] = {1,
                                       2,
                                       3,
                                       Weight::Ounces(1).nanograms(),
                                       Weight::Pounds(1).nanograms(),
                                       Weight::Grams(500).nanograms(),
                                       Weight::Kilograms(1).nanograms(),
                                       Weight::Ounces(1).nanograms() / 25 * 3 + 2};
  return {OneOf(random, kModes), OneOf(random, steps)};
}

TEST(VolumePerWeight, IsInLowestTermsAndTheSameRatio) {
  Random random(6);
  for (int i = 0; i < 20'000; ++i) {
    const Volume volume = Volume::CubicNanometres(1 + RandomInt128(random, 106));
    const Weight weight = Weight::Nanograms(1 + AnySize(random, 56));
    const VolumePerWeight ratio = VolumePerWeight::Make(volume, weight, "");
    ASSERT_EQ(Rational(Big(ratio.volume), ratio.weight), Rational(Big(volume.cubic_nanometres()), weight.nanograms()));
    ASSERT_EQ(boost::multiprecision::gcd(Big(ratio.volume), BigInt(ratio.weight)), 1);
  }
}

TEST(VolumePerWeight, WeightOfIsExactThenRounded) {
  Random random(7);
  for (int i = 0; i < 200'000; ++i) {
    const VolumePerWeight ratio = RandomRatio(random);
    const StepRounding rounding = RandomWeightRounding(random);
    const std::int64_t num = Chance(random, 0.5) ? kVolumeScale : 1 + AnySize(random, 20) % kVolumeScale;
    Int128 nm3 = RandomInt128(random, 106);
    if (Chance(random, 0.5)) {
      // At a step, half a step, and one beside it.
      const Rational weight(BigInt(rounding.step) * Between(random, 1, 200), 2);
      const BigInt at =
          testing::FloorOf(Rational(weight * Rational(Big(ratio.volume), ratio.weight) * Rational(kVolumeScale, num)));
      if (at > Big(Volume::Most())) continue;
      nm3 = Int128(absl::MakeUint128(static_cast<std::uint64_t>(BigInt(at >> 64)),
                                     static_cast<std::uint64_t>(BigInt(at & BigInt(UINT64_MAX))))) +
            Between(random, -1, 1);
      if (nm3 < 0) continue;
    }
    const Rational exact = Rational(Big(nm3) * num, kVolumeScale) * Rational(BigInt(ratio.weight), Big(ratio.volume));
    const BigInt expected = RoundedExactly(exact, rounding);
    if (expected > BigInt(Weight::kMostNanograms)) continue;
    ASSERT_EQ(BigInt(ratio.WeightOf(nm3, num, kVolumeScale, rounding)), expected)
        << nm3 << " nm3 * " << num << " at " << ratio.volume << "/" << ratio.weight << " to " << rounding.step
        << ", mode " << static_cast<int>(rounding.mode);
  }
}

// The largest parcel that is accepted, 50 m on each side, as a box and as a tube, at every rounding. Weights past what
// a parcel may weigh are held at a cap that no parcel reaches.
TEST(VolumePerWeight, WeightOfTheLargestParcel) {
  const VolumePerWeight ratios[] = {VolumePerWeight::Make(Volume::CubicInches(166), Weight::Pounds(1), ""),
                                    VolumePerWeight::Make(Volume::Parse("1 m3").value(), Weight::Kilograms(1), ""),
                                    VolumePerWeight::Make(Volume::Parse("70000 in3").value(), Weight::Pounds(1), "")};
  for (const VolumePerWeight& ratio : ratios) {
    for (const StepMode mode : kModes) {
      for (const std::int64_t step : {Weight::Ounces(1).nanograms(), Weight::Pounds(1).nanograms(), std::int64_t{1}}) {
        for (const std::int64_t factor : {kVolumeScale, std::int64_t{785'000}}) {
          const StepRounding rounding{mode, step};
          const Rational exact =
              Rational(Big(Volume::Most()) * factor, kVolumeScale) * Rational(BigInt(ratio.weight), Big(ratio.volume));
          const BigInt expected = RoundedExactly(exact, rounding);
          const std::int64_t got = ratio.WeightOf(Volume::Most(), factor, kVolumeScale, rounding);
          if (expected <= Weight::kMostNanograms) {
            EXPECT_EQ(BigInt(got), expected)
                << "mode " << static_cast<int>(mode) << ", step " << step << ", factor " << factor;
          } else {
            EXPECT_GT(got, Weight::kMostNanograms) << "mode " << static_cast<int>(mode) << ", step " << step;
          }
        }
      }
    }
  }
}

// Quick Service Guide 120, July 2007, with DMM 123.1.4 (May 2007): 12 x 12 x 14 in at 194 is 2,016 -> 10.39 -> 11 lb;
// derived: 14 x 14 x 12 not rectangular is 2,352 x 0.785 = 1,846.32 -> 10 lb.
TEST(VolumePerWeight, PublishedDivisors) {
  const StepRounding up{StepMode::kUp, Weight::Pounds(1).nanograms()};
  const VolumePerWeight ratio = VolumePerWeight::Make(Volume::CubicInches(194), Weight::Pounds(1), "194 in3/lb");
  auto pounds = [&](std::int64_t in3, std::int64_t factor) {
    return Weight::Nanograms(ratio.WeightOf(Volume::CubicInches(in3).cubic_nanometres(), factor, kVolumeScale, up));
  };
  EXPECT_EQ(pounds(12 * 12 * 14, kVolumeScale), Weight::Pounds(11));
  EXPECT_EQ(pounds(14 * 14 * 12, 785'000), Weight::Pounds(10));
  // A forwarder's sheet, from memory: 30 x 45 x 65 cm / 6,000 = 14.625 kg -> 15 kg.
  const VolumePerWeight metric = VolumePerWeight::Make(Volume::CubicCentimetres(6000), Weight::Kilograms(1), "");
  const StepRounding kilogram{StepMode::kUp, Weight::Kilograms(1).nanograms()};
  EXPECT_EQ(metric.WeightOf(Volume::CubicCentimetres(30 * 45 * 65).cubic_nanometres(), 1, 1, kilogram),
            Weight::Kilograms(15).nanograms());
  EXPECT_EQ(metric.WeightOf(Volume::CubicCentimetres(30 * 45 * 65).cubic_nanometres(), 1, 1, {}),
            Weight::Grams(14'625).nanograms());
}

// Densities as lists print them, and any other: the largest volume of a weight, and one more. Volumes are in millionths
// of nm3, as a factor of shapes makes them.
TEST(VolumePerWeight, TheLargestVolumeIsTheLastOfItsWeight) {
  Random random(8);
  std::vector<VolumePerWeight> ratios;
  const Weight pound = Weight::Pounds(1);
  for (const std::int64_t kg : {167, 250, 280, 333}) {
    ratios.push_back(VolumePerWeight::Make(Volume::Parse("1 m3").value(), Weight::Kilograms(kg), ""));
  }
  ratios.push_back(VolumePerWeight::Make(Volume::Parse("1 ft3").value(), Weight::Parse("10.4 lb").value(), ""));
  ratios.push_back(VolumePerWeight::Make(Volume::CubicInches(1), Weight::Parse("0.0061 lb").value(), ""));
  ratios.push_back(VolumePerWeight::Make(Volume::CubicInches(166), pound, ""));
  int inside = 0;
  for (int i = 0; i < 50'000; ++i) {
    const VolumePerWeight ratio = Chance(random, 0.5) ? OneOf(random, ratios) : RandomRatio(random);
    const StepRounding rounding = RandomWeightRounding(random);
    const std::int64_t bound = 1 + AnySize(random, 56);
    const std::optional<MeasureValue> largest = internal::Cuts::LargestVolume(ratio, bound, rounding);
    if (!largest || *largest < 0 || *largest >= Volume::Most()) continue;  // times a million below, past 128 bits
    ++inside;
    const auto weight_of = [&](Int128 millionths) { return ratio.WeightOf(millionths, 1, kVolumeScale, rounding); };
    ASSERT_LE(weight_of(*largest), bound) << ratio.volume << "/" << ratio.weight << " to " << rounding.step;
    ASSERT_GT(weight_of(*largest + 1), bound) << ratio.volume << "/" << ratio.weight << " to " << rounding.step;
  }
  EXPECT_GT(inside, 10'000);
}

// 280 kg/m3 and the ratios of other lists: printed densities are exact, which no volume for one kilogram is.
TEST(VolumePerWeight, DensitiesAreExact) {
  const auto kilograms = [](std::int64_t per_m3, const char* volume) {
    const VolumePerWeight ratio = VolumePerWeight::Make(Volume::Parse("1 m3").value(), Weight::Kilograms(per_m3), "");
    const StepRounding up{StepMode::kUp, Weight::Kilograms(1).nanograms()};
    return ratio.WeightOf(Volume::Parse(volume).value().cubic_nanometres(), 1, 1, up) /
           Weight::Kilograms(1).nanograms();
  };
  EXPECT_EQ(kilograms(280, "0.25 m3"), 70);
  EXPECT_EQ(kilograms(280, "0.250000001 m3"), 71);
  EXPECT_EQ(kilograms(167, "2 m3"), 334);
  EXPECT_EQ(kilograms(250, "0.5 m3"), 125);
  EXPECT_EQ(kilograms(333, "3 m3"), 999);
}

// ---- one side within a bound ----

constexpr Measure kSideMeasures[] = {
    Measure::kLength,          Measure::kWidth,      Measure::kHeight,          Measure::kGirth,
    Measure::kLengthPlusGirth, Measure::kSumOfSides, Measure::kLengthPlusWidth, Measure::kLongestPlusShortest,
    Measure::kVolume};

TEST(Cuts, LargestWithinIsBruteForce) {
  constexpr std::int64_t kFar = 400;  // past every bound below
  Random random(8);
  for (int i = 0; i < 100'000; ++i) {
    const Measure measure = OneOf(random, kSideMeasures);
    const std::int64_t a = Between(random, 0, 12);
    const std::int64_t b = Between(random, 0, 12);
    const std::int64_t factor = measure == Measure::kVolume ? Between(random, 1, 3) : 1;
    const std::int64_t bound = Between(random, -1, measure == Measure::kVolume ? 300 : 60);
    std::int64_t largest = -1;
    for (std::int64_t y = 0; y <= kFar; ++y) {
      if (internal::Cuts::Of(measure, y, a, b, factor) <= bound) largest = y;
    }
    if (largest == kFar) largest = internal::Cuts::kNever;
    if (bound < 0) largest = -1;
    ASSERT_EQ(internal::Cuts::LargestWithin(measure, bound, a, b, factor), largest)
        << NameOf(measure) << " of y, " << a << ", " << b << " within " << bound;
  }
}

// A measure by name of three sides, from its definition and not from the library.
BigInt MeasureOf(Measure measure, std::array<std::int64_t, 3> sides) {
  std::sort(sides.begin(), sides.end(), std::greater<>());
  const BigInt l = sides[0], w = sides[1], h = sides[2];
  switch (measure) {
    case Measure::kLength:
      return l;
    case Measure::kWidth:
      return w;
    case Measure::kHeight:
      return h;
    case Measure::kGirth:
      return 2 * (w + h);
    case Measure::kLengthPlusGirth:
      return l + 2 * (w + h);
    case Measure::kSumOfSides:
      return l + w + h;
    case Measure::kLengthPlusWidth:
      return l + w;
    case Measure::kLongestPlusShortest:
      return l + h;
    default:
      return l * w * h;
  }
}

TEST(Cuts, MeasuresOfRealSidesAreTheirDefinitions) {
  Random random(9);
  for (int i = 0; i < 100'000; ++i) {
    const std::array<std::int64_t, 3> sides = {Between(random, 1, Length::kMostSideNanometres), AnySize(random, 35) + 1,
                                               AnySize(random, 35) + 1};
    const Measure measure = OneOf(random, kSideMeasures);
    ASSERT_EQ(Big(internal::Cuts::Of(measure, sides[0], sides[1], sides[2], 1)), MeasureOf(measure, sides))
        << NameOf(measure);
    // The largest side within the measure's own value is at least that side, and one more is over it.
    const MeasureValue value = internal::Cuts::Of(measure, sides[0], sides[1], sides[2], 1);
    const std::int64_t largest = internal::Cuts::LargestWithin(measure, value, sides[1], sides[2], 1);
    ASSERT_GE(largest, sides[0]) << NameOf(measure);
    if (largest != internal::Cuts::kNever) {
      ASSERT_GT(internal::Cuts::Of(measure, largest + 1, sides[1], sides[2], 1), value) << NameOf(measure);
      ASSERT_LE(internal::Cuts::Of(measure, largest, sides[1], sides[2], 1), value) << NameOf(measure);
    }
  }
}

}  // namespace
}  // namespace tarewise
