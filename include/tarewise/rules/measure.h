#ifndef TAREWISE_RULES_MEASURE_H_
#define TAREWISE_RULES_MEASURE_H_

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <iterator>
#include <limits>
#include <string>
#include <string_view>

#include "tarewise/rules/facts.h"
#include "tarewise/tariff/basis.h"
#include "tarewise/tariff/measure.h"
#include "tarewise/units/length.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// Every measure by what it is of the sorted sides: so many times the longest, the middle and the shortest, or their
/// product. New measures are described here, and everything else asks.
struct MeasureForm {
  std::array<std::int64_t, 3> of = {};
  bool volume = false;
  bool exact = false;    ///< Of the sides as they are, not as the service rounds them.
  bool of_sides = true;  ///< False for weights, money and how many.
};

constexpr MeasureForm DescribeForm(Measure measure) {
  switch (measure) {
    case Measure::kLength:
      return {{1, 0, 0}};
    case Measure::kWidth:
      return {{0, 1, 0}};
    case Measure::kHeight:
      return {{0, 0, 1}};
    case Measure::kGirth:
      return {{0, 2, 2}};
    case Measure::kLengthPlusGirth:
      return {{1, 2, 2}};
    case Measure::kSumOfSides:
      return {{1, 1, 1}};
    case Measure::kLengthPlusWidth:
      return {{1, 1, 0}};
    case Measure::kLongestPlusShortest:
      return {{1, 0, 1}};
    case Measure::kVolume:
      return {{}, true};
    case Measure::kExactLength:
      return {{1, 0, 0}, false, true};
    case Measure::kExactWidth:
      return {{0, 1, 0}, false, true};
    case Measure::kExactHeight:
      return {{0, 0, 1}, false, true};
    case Measure::kExactLengthPlusGirth:
      return {{1, 2, 2}, false, true};
    case Measure::kExactVolume:
      return {{}, true, true};
    case Measure::kWeight:
    case Measure::kBillableWeight:
    case Measure::kValue:
    case Measure::kCover:
    case Measure::kCashOnDelivery:
    case Measure::kPieces:
    case Measure::kConsignmentWeight:
      break;
  }
  return {{}, false, true, false};
}

inline constexpr std::size_t kMeasureCount = std::size(kMeasureNames);
inline constexpr std::array<MeasureForm, kMeasureCount> kMeasureForms = [] {
  std::array<MeasureForm, kMeasureCount> forms;
  for (std::size_t i = 0; i < kMeasureCount; ++i) forms[i] = DescribeForm(static_cast<Measure>(i));
  return forms;
}();
constexpr const MeasureForm& FormOf(Measure measure) { return kMeasureForms[static_cast<std::size_t>(measure)]; }

/// A measure that is no volume, of sides from the longest to the shortest.
constexpr std::int64_t SumOfSides(Measure measure, std::int64_t longest, std::int64_t middle, std::int64_t shortest) {
  const MeasureForm& form = FormOf(measure);
  return form.of[0] * longest + form.of[1] * middle + form.of[2] * shortest;
}

/// As `SumOfSides` of a measure that is known when this is compiled: no factors of 0 and 1 are left of its form.
template <Measure kMeasure>
constexpr std::int64_t SumOf(std::int64_t longest, std::int64_t middle, std::int64_t shortest) {
  constexpr MeasureForm kForm = DescribeForm(kMeasure);
  static_assert(kForm.of_sides && !kForm.volume);
  return kForm.of[0] * longest + kForm.of[1] * middle + kForm.of[2] * shortest;
}

/// A measure of three sides in any order; a volume times `factor`. 0 for weights, money and how many.
inline MeasureValue OfSides(Measure measure, std::int64_t y, std::int64_t a, std::int64_t b, std::int64_t factor) {
  const std::int64_t most = std::max({y, a, b});
  const std::int64_t least = std::min({y, a, b});
  const std::int64_t middle = y + a + b - most - least;
  if (FormOf(measure).volume) return Int128(most) * middle * least * factor;
  return SumOfSides(measure, most, middle, least);
}

/// A measure of a parcel at a point. In line, as each test and each table begins with it.
[[gnu::always_inline]] inline MeasureValue ValueOf(Measure measure, const PointFacts& at) {
  switch (measure) {
    case Measure::kWeight:
      return at.parcel.weight;
    case Measure::kBillableWeight:
      return at.billable;
    case Measure::kValue:
      return at.lane.shipment.value;
    case Measure::kCover:
      return at.lane.shipment.cover;
    case Measure::kCashOnDelivery:
      return at.lane.shipment.cash_on_delivery;
    case Measure::kPieces:
      return at.lane.shipment.pieces;
    case Measure::kConsignmentWeight:
      return Int128(at.parcel.weight) + at.lane.shipment.others_weight;
    case Measure::kVolume:
      return at.sides.volume();
    case Measure::kExactVolume:
      return Int128(at.parcel.sides[0]) * at.parcel.sides[1] * at.parcel.sides[2] * kVolumeScale;
    case Measure::kLength:
      return SumOf<Measure::kLength>(at.sides.length, at.sides.width, at.sides.height);
    case Measure::kWidth:
      return SumOf<Measure::kWidth>(at.sides.length, at.sides.width, at.sides.height);
    case Measure::kHeight:
      return SumOf<Measure::kHeight>(at.sides.length, at.sides.width, at.sides.height);
    case Measure::kGirth:
      return SumOf<Measure::kGirth>(at.sides.length, at.sides.width, at.sides.height);
    case Measure::kLengthPlusGirth:
      return SumOf<Measure::kLengthPlusGirth>(at.sides.length, at.sides.width, at.sides.height);
    case Measure::kSumOfSides:
      return SumOf<Measure::kSumOfSides>(at.sides.length, at.sides.width, at.sides.height);
    case Measure::kLengthPlusWidth:
      return SumOf<Measure::kLengthPlusWidth>(at.sides.length, at.sides.width, at.sides.height);
    case Measure::kLongestPlusShortest:
      return SumOf<Measure::kLongestPlusShortest>(at.sides.length, at.sides.width, at.sides.height);
    case Measure::kExactLength:
      return SumOf<Measure::kExactLength>(at.parcel.sides[0], at.parcel.sides[1], at.parcel.sides[2]);
    case Measure::kExactWidth:
      return SumOf<Measure::kExactWidth>(at.parcel.sides[0], at.parcel.sides[1], at.parcel.sides[2]);
    case Measure::kExactHeight:
      return SumOf<Measure::kExactHeight>(at.parcel.sides[0], at.parcel.sides[1], at.parcel.sides[2]);
    case Measure::kExactLengthPlusGirth:
      return SumOf<Measure::kExactLengthPlusGirth>(at.parcel.sides[0], at.parcel.sides[1], at.parcel.sides[2]);
  }
  return 0;
}

/// What a parcel weighs at least, in ng.
struct WeightsAtLeast {
  std::int64_t billable = 0;
  std::int64_t gross = 0;

  /// Of a measure; 0 of one that is no weight.
  MeasureValue Of(Measure measure) const {
    if (measure == Measure::kBillableWeight) return billable;
    return measure == Measure::kWeight || measure == Measure::kConsignmentWeight ? gross : 0;
  }
};

/// "billable weight 3 lb (dimensional)".
inline std::string BillableWords(Weight billable, BillableFrom from, std::string_view unit) {
  return "billable weight " + MeasureShown(Measure::kBillableWeight, billable.nanograms(), unit) + " (" +
         std::string(kBillableFromNames[static_cast<int>(from)]) + ")";
}

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_RULES_MEASURE_H_
