#ifndef TAREWISE_TARIFF_MEASURE_H_
#define TAREWISE_TARIFF_MEASURE_H_

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "tarewise/internal/switch.h"
#include "tarewise/parcel/kinds.h"
#include "tarewise/units/length.h"
#include "tarewise/units/money.h"
#include "tarewise/units/rounding.h"
#include "tarewise/units/volume.h"
#include "tarewise/units/weight.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

/// What a tariff can ask of a parcel. All but `kWeight`, the `kExact…` ones, the billable weight, those of money and of
/// the consignment come from the sides after the service's own rounding of them.
enum class Measure : std::uint8_t {
  kWeight,
  kLength,
  kWidth,
  kHeight,
  kGirth,
  kLengthPlusGirth,
  kSumOfSides,
  kLengthPlusWidth,
  kLongestPlusShortest,
  kVolume,
  kExactLength,
  kExactWidth,
  kExactHeight,
  kExactLengthPlusGirth,
  kExactVolume,
  kBillableWeight,
  kValue,
  kCover,
  kCashOnDelivery,
  kPieces,             ///< Of the parcel's consignment: how many.
  kConsignmentWeight,  ///< Gross, of all of them.
};

inline constexpr std::string_view kMeasureNames[] = {"weight",
                                                     "length",
                                                     "width",
                                                     "height",
                                                     "girth",
                                                     "length_plus_girth",
                                                     "sum_of_sides",
                                                     "length_plus_width",
                                                     "longest_plus_shortest",
                                                     "volume",
                                                     "exact_length",
                                                     "exact_width",
                                                     "exact_height",
                                                     "exact_length_plus_girth",
                                                     "exact_volume",
                                                     "billable_weight",
                                                     "value",
                                                     "cover",
                                                     "cash_on_delivery",
                                                     "pieces",
                                                     "consignment_weight"};

constexpr std::string_view NameOf(Measure measure) { return kMeasureNames[static_cast<int>(measure)]; }
constexpr std::optional<Measure> MeasureFromName(std::string_view name) {
  return FromName<Measure>(kMeasureNames, name);
}

/// The kind of quantity that a measure is.
enum class Quantity : std::uint8_t { kWeight, kLength, kVolume, kMoney, kCount };
constexpr Quantity QuantityOf(Measure measure) {
  switch (measure) {
    case Measure::kWeight:
    case Measure::kBillableWeight:
    case Measure::kConsignmentWeight:
      return Quantity::kWeight;
    case Measure::kVolume:
    case Measure::kExactVolume:
      return Quantity::kVolume;
    case Measure::kValue:
    case Measure::kCover:
    case Measure::kCashOnDelivery:
      return Quantity::kMoney;
    case Measure::kPieces:
      return Quantity::kCount;
    case Measure::kLength:
    case Measure::kWidth:
    case Measure::kHeight:
    case Measure::kGirth:
    case Measure::kLengthPlusGirth:
    case Measure::kSumOfSides:
    case Measure::kLengthPlusWidth:
    case Measure::kLongestPlusShortest:
    case Measure::kExactLength:
    case Measure::kExactWidth:
    case Measure::kExactHeight:
    case Measure::kExactLengthPlusGirth:
      break;
  }
  return Quantity::kLength;
}

/// What all parcels of one consignment share.
constexpr bool IsOfConsignment(Measure measure) {
  return measure == Measure::kPieces || measure == Measure::kConsignmentWeight;
}

/// A volume measure is held in millionths of a cubic nanometre, so that a tube's factor of 0.785 stays exact.
inline constexpr std::int64_t kVolumeScale = 1'000'000;

/// The kinds that are written without a unit.
constexpr bool HasUnit(Quantity quantity) { return quantity != Quantity::kMoney && quantity != Quantity::kCount; }

/// A value of a measure in the units that comparisons are made in: ng, nm, millionths of nm3, millionths of money, or
/// how many.
using MeasureValue = Int128;

/// In the words and units of the tariff: "131 in", "2 lb", "1,728 in3" without the comma, "80.00", "3".
std::string MeasureText(Measure measure, MeasureValue value, std::string_view unit);

/// As `MeasureText` with at most 4 decimals, for what was measured; with all of them where it would else read like
/// `bound`, from which it differs.
std::string MeasureShown(Measure measure, MeasureValue value, std::string_view unit,
                         std::optional<MeasureValue> bound = std::nullopt);

/// "length_plus_girth" as people say it: "length plus girth".
std::string MeasureWords(Measure measure);

/// As `MeasureWords` before what it is: "girth is", "pieces are".
std::string MeasureIs(Measure measure);

}  // namespace tarewise::inline TW_VERSIONED

#ifdef TW_HEADER_ONLY
#include "tarewise/tariff/internal/measure-inl.h"
#endif

#endif  // TAREWISE_TARIFF_MEASURE_H_
