#ifndef TAREWISE_BATCH_COLUMNS_H_
#define TAREWISE_BATCH_COLUMNS_H_

#include <cstddef>
#include <cstdint>
#include <span>
#include <string_view>
#include <type_traits>
#include <vector>

#include "tarewise/parcel/contents.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

/// What one value of a column is held as.
enum class Element : std::uint8_t {
  kInt8,
  kUint8,
  kInt16,
  kUint16,
  kInt32,
  kUint32,
  kInt64,
  kUint64,
  kFloat32,
  kFloat64,
};

/// The element of a C++ type; `bool` is a byte.
template <typename T>
constexpr Element ElementOf() {
  static_assert(std::is_arithmetic_v<T> && sizeof(T) <= 8,
                "a column holds bool, integers of 1 to 8 bytes, float or double");
  if constexpr (std::is_same_v<T, float>) {
    return Element::kFloat32;
  } else if constexpr (std::is_same_v<T, double>) {
    return Element::kFloat64;
  } else {
    constexpr int kLog = sizeof(T) == 1 ? 0 : sizeof(T) == 2 ? 1 : sizeof(T) == 4 ? 2 : 3;
    return static_cast<Element>(2 * kLog + (std::is_signed_v<T> ? 0 : 1));
  }
}

/// A view of one column, owned by whoever made it: where it begins, how many bytes from one row to the next (0 repeats
/// one value for every row; negative walks backwards), what it holds, and for quantities how much one of it is.
///
/// An integer times `unit` is the exact quantity. A floating-point value is taken in whole millionths of the unit (the
/// nearest, ties away from 0), which are then exact: 11.4 with the unit of an ounce is the same weight as "11.4 oz".
/// Values need no alignment.
struct Column {
  const void* data = nullptr;  ///< Nothing: the column is left out.
  std::ptrdiff_t stride = 0;   ///< Bytes.
  Element element = Element::kInt64;
  std::int64_t unit = 1;  ///< Of weights in ng, of sides in nm, of money in millionths: 1 or more. Else unused.

  bool given() const { return data != nullptr; }
  /// The column without its first rows.
  Column From(std::size_t row) const {
    Column out = *this;
    if (given()) out.data = static_cast<const std::byte*>(data) + static_cast<std::ptrdiff_t>(row) * stride;
    return out;
  }

  /// A column of as many values as the span has.
  template <typename T>
  static Column Of(std::span<const T> values, std::int64_t unit = 1) {
    return {values.data(), static_cast<std::ptrdiff_t>(sizeof(T)), ElementOf<T>(), unit};
  }
  template <typename T>
  static Column Of(const std::vector<T>& values, std::int64_t unit = 1) {
    return Of(std::span<const T>(values), unit);
  }
  /// One value for every row; `value` must outlive the column.
  template <typename T>
  static Column Repeat(const T& value, std::int64_t unit = 1) {
    return {&value, 0, ElementOf<T>(), unit};
  }
  template <typename T>
  static Column Repeat(const T&&, std::int64_t = 1) = delete;
};

/// Units for `Column::unit`.
inline constexpr std::int64_t kNanogramsPerGram = 1'000'000'000;
inline constexpr std::int64_t kNanogramsPerOunce = 28'349'523'125;
inline constexpr std::int64_t kNanogramsPerPound = 453'592'370'000;
inline constexpr std::int64_t kNanogramsPerKilogram = 1'000'000'000'000;
inline constexpr std::int64_t kNanometresPerMillimetre = 1'000'000;
inline constexpr std::int64_t kNanometresPerCentimetre = 10'000'000;
inline constexpr std::int64_t kNanometresPerInch = 25'400'000;
inline constexpr std::int64_t kMicrosPerUnit = 1'000'000;

/// Goods as columns, one kind of goods a row. Weight and the three sides must be given, the rest may be left out.
struct GoodsColumns {
  std::size_t rows = 0;
  Column weight;    ///< Of one. More than 0, at most 100,000 kg.
  Column sides[3];  ///< Of one, each more than 0 and at most 50 m; the third is the upright one under `this_side_up`.
  Column quantity;  ///< Alike units sent together, packed as `Rank` packs them: 1 to 10,000. Left out: 1.
  Column value;     ///< Declared value of one, in the ranking's currency. Left out: 0.
  Column contents;  ///< Bits by `Trait`, or an index into `contents_classes` where that is given. Left out: none.
  Column shape;     ///< By `Shape`. Left out: box.
  Column this_side_up;  ///< Not 0: it is. Left out: it is not, as for the next two.
  Column rigid;
  Column bare;     ///< May be shipped with no packaging at all.
  Column missing;  ///< Not 0: some value of the row is not known, and it is not priced (`RowReason::kMissing`).
  /// Rows with the same number other than 0, next to each other or not, are one order: one parcel with the goods of all
  /// of them. Its results stand on its first row. 0 or left out: the row is a parcel by itself.
  Column order;
  std::span<const Contents> contents_classes;  ///< For words of one's own ("x-…").

  /// The goods of `count` rows from `first` on; what an order has outside of them is left behind.
  GoodsColumns Rows(std::size_t first, std::size_t count) const {
    GoodsColumns out = *this;
    out.rows = count;
    for (Column* column : {&out.weight, &out.sides[0], &out.sides[1], &out.sides[2], &out.quantity, &out.value,
                           &out.contents, &out.shape, &out.this_side_up, &out.rigid, &out.bare, &out.missing}) {
      *column = column->From(first);
    }
    return out;
  }
};

/// What became of a row. The numbers are pinned and never reused. Everything but `kPriced`, `kOfferedNowhere` and
/// `kNotEverywhere` means that no service was asked at all.
enum class RowReason : std::uint8_t {
  kPriced = 0,
  kMissing = 1,          ///< `GoodsColumns::missing` says so.
  kBadWeight = 2,        ///< Not a number, 0 or less, over 100,000 kg for one or for all.
  kBadSide = 3,          ///< Not a number, 0 or less, over 50 m, or making a parcel with such a side.
  kBadQuantity = 4,      ///< Not 1 to 10,000.
  kBadValue = 5,         ///< Not a number, below 0, over 1,000 million together. Of an order in several parcels 0 too,
                         ///< where cover is asked for.
  kBadContents = 6,      ///< A bit that is no trait, or an index past the classes.
  kBadShape = 7,         ///< Not a `Shape`.
  kFitsNothing = 8,      ///< No packaging at hand takes it; not told of orders that may go in several parcels.
  kTooHeavyPacked = 9,   ///< Over 100,000 kg with its packaging.
  kOfferedNowhere = 10,  ///< No service takes it on any lane, or no plan is found for any.
  kNotEverywhere = 11,   ///< Priced, but on at least one lane no service takes it.
  kInOrder = 12,         ///< Priced with the first row of its order, where the results stand.
  kOrderNotPriced = 13,  ///< Another row of its order, or all together, cannot be priced.
};

inline constexpr std::string_view kRowReasonNames[] = {
    "priced",          "missing",        "bad_weight", "bad_side",        "bad_quantity",
    "bad_value",       "bad_contents",   "bad_shape",  "fits_nothing",    "too_heavy_packed",
    "offered_nowhere", "not_everywhere", "in_order",   "order_not_priced"};
constexpr std::string_view NameOf(RowReason reason) { return kRowReasonNames[static_cast<int>(reason)]; }

}  // namespace tarewise::inline TW_VERSIONED

#endif  // TAREWISE_BATCH_COLUMNS_H_
