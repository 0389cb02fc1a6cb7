#ifndef TAREWISE_CAPI_SQLITE_NAMES_H_
#define TAREWISE_CAPI_SQLITE_NAMES_H_

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

namespace tarewise::sqlite {

/// All that can be said of a shipment, by a row or for the whole connection. Each name is an input column of the
/// tables too, in this order.
enum class Name : std::uint8_t {
  kWeight,
  kSides,
  kQuantity,
  kValue,
  kContents,
  kShape,
  kRigid,
  kThisSideUp,
  kTopFree,
  kBare,
  kSealed,
  kPackedIn,
  kOrigin,
  kDestination,
  kResidential,
  kOriginResidential,
  kDate,
  kTime,
  kCurrency,
  kPromise,
  kAccepts,
  kExtras,
  kCover,
  kCashOnDelivery,
  kTotals,
  kExchange,
  kWeekParcels,
  kWeekSpend,
  kPadding,
  kFillWeight,
  kToleranceWeight,
  kToleranceSides,
  kObjective,
  kWeightUnit,
  kSideUnit,
};
inline constexpr std::size_t kNameCount = static_cast<std::size_t>(Name::kSideUnit) + 1;

struct NameFacts {
  std::string_view word;
  bool of_lane;         ///< Settled once for a lane and a day, not for each row.
  bool none;            ///< NULL says that there is none. Of the others NULL is unknown, and so is the answer.
  const char* example;  ///< As it is written in SQL.
};
const NameFacts& FactsOf(Name name);
std::optional<Name> FindName(std::string_view word);
/// What to say where a name is none: the nearest, or all of them.
std::string ExpectedNames(std::string_view found);

}  // namespace tarewise::sqlite

#endif  // TAREWISE_CAPI_SQLITE_NAMES_H_
