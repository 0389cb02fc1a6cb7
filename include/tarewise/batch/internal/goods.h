#ifndef TAREWISE_BATCH_INTERNAL_GOODS_H_
#define TAREWISE_BATCH_INTERNAL_GOODS_H_

#include <algorithm>
#include <array>
#include <compare>
#include <cstddef>
#include <cstdint>
#include <functional>
#include <iterator>
#include <memory>
#include <span>
#include <string_view>
#include <utility>
#include <vector>

#include "tarewise/batch/columns.h"
#include "tarewise/batch/internal/convert.h"
#include "tarewise/parcel/contents.h"
#include "tarewise/parcel/kinds.h"
#include "tarewise/pricing/internal/compiled.h"
#include "tarewise/units/length.h"
#include "tarewise/units/weight.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

inline constexpr std::int32_t kMostRowUnits = 10'000;
inline constexpr std::uint32_t kTraitCount = static_cast<std::uint32_t>(std::size(kTraitNames));
/// Contents are numbered: below this by the bits of the vocabulary, from here on by a plan's list.
inline constexpr std::uint32_t kFirstOwnContents = 1u << kTraitCount;

/// Alike units, as packing sees them.
struct UnitKind {
  std::array<std::int64_t, 3> sides = {};  ///< Of one, nm; as written where `up`, else longest first.
  bool up = false;
  bool fragile = false;
  std::int32_t count = 1;

  bool AlikeTo(const UnitKind& other) const {
    return sides == other.sides && up == other.up && fragile == other.fragile;
  }
  friend auto operator<=>(const UnitKind&, const UnitKind&) = default;
};

/// The goods of one row, checked.
struct Goods {
  std::int64_t weight = 0;                  ///< Of all units, ng.
  std::array<std::int64_t, 3> sides = {};   ///< Of the pile, nm; the third is upright where `up`.
  std::array<std::int64_t, 3> sorted = {};  ///< The same, longest first.
  std::int64_t value = 0;                   ///< Of all units, millionths of the ranking's currency.
  std::uint32_t contents = 0;               ///< A number of contents, see `kFirstOwnContents`.
  std::uint32_t traits = 0;                 ///< Their bits, without words of one's own.
  Shape shape = Shape::kBox;
  bool up = false;
  bool rigid = false;
  bool bare = false;
  bool fragile = false;
  std::int32_t quantity = 1;
  std::array<std::int64_t, 3> unit =
      {};  ///< Sides of one (unless `order`), nm; as written where `up`, else longest first.

  const std::vector<UnitKind>* order = nullptr;  ///< Of several kinds of units: all of them, sorted, each kind once.

  bool several() const { return quantity > 1; }
  /// Of units that are alike.
  UnitKind kind() const { return {unit, up, fragile, quantity}; }
};

/// Numbers of contents for a run's columns.
struct ContentsNumbers {
  std::span<const Contents> classes;       ///< Empty: the column holds bits.
  std::span<const std::uint32_t> numbers;  ///< By class.
};

/// A block of rows, converted. Reused from block to block; about 30 KiB.
class GoodsBlock {
 public:
  static constexpr std::size_t kRows = 512;

  void Read(const GoodsColumns& goods, std::size_t first, std::size_t count) {
    ReadQuantities(goods.weight, first, count, weight_);
    for (std::size_t i = 0; i < 3; ++i) ReadQuantities(goods.sides[i], first, count, sides_[i]);
    Wholes(goods.quantity, first, count, quantity_, 1);
    if (goods.value.given()) {
      ReadQuantities(goods.value, first, count, value_);
    } else {
      std::fill_n(value_, count, 0);
    }
    Wholes(goods.contents, first, count, contents_, 0);
    has_contents_ = goods.contents.given();
    Wholes(goods.shape, first, count, shape_, 0);
    Flags(goods.this_side_up, first, count, up_);
    Flags(goods.rigid, first, count, rigid_);
    Flags(goods.bare, first, count, bare_);
    Flags(goods.missing, first, count, missing_);
    Flags(goods.order, first, count, in_order_);
  }

  /// Checks row `i` of the block; `kPriced` where it can be priced. The first thing wrong, in the order of `RowReason`.
  RowReason Check(std::size_t i, const ContentsNumbers& contents, Goods& out) const {
    if (missing_[i] != 0) return RowReason::kMissing;
    const std::int64_t weight = weight_[i];
    if (weight < 1 || weight > Weight::kMostNanograms) return RowReason::kBadWeight;
    std::array<std::int64_t, 3> sides = {sides_[0][i], sides_[1][i], sides_[2][i]};
    for (const std::int64_t side : sides) {
      if (side < 1 || side > Length::kMostSideNanometres) return RowReason::kBadSide;
    }
    const std::int32_t quantity = quantity_[i];
    if (quantity < 1 || quantity > kMostRowUnits) return RowReason::kBadQuantity;
    if (weight > Weight::kMostNanograms / quantity) return RowReason::kBadWeight;
    const std::int64_t value = value_[i];
    if (value < 0 || value > kMostMicros / quantity) return RowReason::kBadValue;
    const std::uint32_t number = static_cast<std::uint32_t>(contents_[i]);
    if (contents.classes.empty() || !has_contents_) {
      if (number >= kFirstOwnContents) return RowReason::kBadContents;
      out.contents = number;
      out.traits = number;
    } else {
      if (number >= contents.classes.size()) return RowReason::kBadContents;
      out.contents = contents.numbers[number];
      out.traits = contents.classes[number].bits();
    }
    out.fragile = ((out.traits >> static_cast<unsigned>(Trait::kFragile)) & 1u) != 0;
    const std::int32_t shape = shape_[i];
    if (shape < 0 || shape > static_cast<std::int32_t>(Shape::kIrregular)) return RowReason::kBadShape;
    out.shape = static_cast<Shape>(shape);
    out.weight = weight * quantity;
    out.value = value * quantity;
    out.up = up_[i] != 0;
    out.rigid = rigid_[i] != 0;
    out.bare = bare_[i] != 0;
    out.quantity = quantity;
    out.unit = sides;
    if (!out.up) std::sort(out.unit.begin(), out.unit.end(), std::greater<>());
    Pile(sides, quantity, out);
    return RowReason::kPriced;
  }

  /// True where row `i` is of an order.
  bool in_order(std::size_t i) const { return in_order_[i] != 0; }
  std::int32_t quantity(std::size_t i) const { return quantity_[i]; }
  std::int64_t side(std::size_t i, std::size_t axis) const { return sides_[axis][i]; }

 private:
  // The pile that `PilePacker::MakePile` makes of alike units.
  static void Pile(std::array<std::int64_t, 3> sides, std::int32_t quantity, Goods& out) {
    std::array<std::int64_t, 3> sorted = sides;
    if (sorted[0] < sorted[1]) std::swap(sorted[0], sorted[1]);
    if (quantity > 1 && out.up) sides = {sorted[0], sorted[1], sides[2] * quantity};
    if (sorted[1] < sorted[2]) std::swap(sorted[1], sorted[2]);
    if (sorted[0] < sorted[1]) std::swap(sorted[0], sorted[1]);
    if (quantity > 1) {
      if (!out.up) sides = {sorted[0], sorted[1], sorted[2] * quantity};
      sorted = sides;
      if (sorted[0] < sorted[1]) std::swap(sorted[0], sorted[1]);
      if (sorted[1] < sorted[2]) std::swap(sorted[1], sorted[2]);
      if (sorted[0] < sorted[1]) std::swap(sorted[0], sorted[1]);
    }
    out.sides = sides;
    out.sorted = sorted;
  }

  static void Wholes(const Column& column, std::size_t first, std::size_t count, std::int32_t* out,
                     std::int32_t otherwise) {
    if (column.given()) {
      ReadWholes(column, first, count, out);
    } else {
      std::fill_n(out, count, otherwise);
    }
  }
  static void Flags(const Column& column, std::size_t first, std::size_t count, std::uint8_t* out) {
    if (column.given()) {
      ReadFlags(column, first, count, out);
    } else {
      std::fill_n(out, count, std::uint8_t{0});
    }
  }

  std::int64_t weight_[kRows];
  std::int64_t sides_[3][kRows];
  std::int64_t value_[kRows];
  std::int32_t quantity_[kRows];
  std::int32_t contents_[kRows];
  std::int32_t shape_[kRows];
  std::uint8_t up_[kRows];
  std::uint8_t rigid_[kRows];
  std::uint8_t bare_[kRows];
  std::uint8_t missing_[kRows];
  std::uint8_t in_order_[kRows];
  bool has_contents_ = false;
};

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_BATCH_INTERNAL_GOODS_H_
