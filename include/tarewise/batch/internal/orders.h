#ifndef TAREWISE_BATCH_INTERNAL_ORDERS_H_
#define TAREWISE_BATCH_INTERNAL_ORDERS_H_

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <memory>
#include <numeric>
#include <span>
#include <type_traits>
#include <utility>
#include <vector>

#include "tarewise/batch/columns.h"
#include "tarewise/batch/internal/convert.h"
#include "tarewise/batch/internal/goods.h"
#include "tarewise/batch/internal/quantity_fits.h"
#include "tarewise/batch/internal/store.h"
#include "tarewise/parcel/item.h"
#include "tarewise/parcel/kinds.h"
#include "tarewise/ranking/packer.h"
#include "tarewise/rules/facts.h"
#include "tarewise/units/length.h"
#include "tarewise/units/money.h"
#include "tarewise/units/weight.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// Which order each of some rows is of; 0: none.
inline void ReadOrders(const GoodsColumns& goods, std::size_t first, std::size_t count, std::uint64_t* out) {
  ReadColumn(goods.order, first, count, out, [](auto value) {
    if constexpr (std::is_floating_point_v<decltype(value)>) {
      return std::uint64_t{0};  // Refused before.
    } else {
      return static_cast<std::uint64_t>(static_cast<std::int64_t>(value));
    }
  });
}

/// The orders of a run's rows.
class OrderRows {
 public:
  explicit OrderRows(const GoodsColumns& goods) {
    if (!goods.order.given()) return;
    std::uint64_t orders[GoodsBlock::kRows];
    std::vector<std::pair<std::uint64_t, std::size_t>> by_order;
    for (std::size_t first = 0; first < goods.rows; first += GoodsBlock::kRows) {
      const std::size_t count = std::min(GoodsBlock::kRows, goods.rows - first);
      ReadOrders(goods, first, count, orders);
      for (std::size_t i = 0; i < count; ++i) {
        if (orders[i] != 0) by_order.emplace_back(orders[i], first + i);
      }
    }
    std::sort(by_order.begin(), by_order.end());
    rows_.reserve(by_order.size());
    for (std::size_t i = 0; i < by_order.size(); ++i) {
      if (i == 0 || by_order[i].first != by_order[i - 1].first) begins_.push_back(i);
      rows_.push_back(by_order[i].second);
    }
  }

  std::size_t count() const { return begins_.size(); }
  /// Of one order, rising.
  std::span<const std::size_t> rows(std::size_t order) const {
    const std::size_t end = order + 1 < begins_.size() ? begins_[order + 1] : rows_.size();
    return std::span(rows_).subspan(begins_[order], end - begins_[order]);
  }
  /// How many rows some orders have together.
  std::size_t RowsOf(std::size_t first, std::size_t end) const {
    return (end < begins_.size() ? begins_[end] : rows_.size()) - begins_[first];
  }

 private:
  std::vector<std::size_t> rows_;
  std::vector<std::size_t> begins_;  // by order: where its rows begin
};

/// All rows of a row's order, rising; of none itself. Linear in the rows where there are orders.
inline std::vector<std::size_t> RowsWith(const GoodsColumns& goods, std::size_t row) {
  std::uint64_t wanted = 0;
  if (goods.order.given()) ReadOrders(goods, row, 1, &wanted);
  if (wanted == 0) return {row};
  std::vector<std::size_t> rows;
  std::uint64_t orders[GoodsBlock::kRows];
  for (std::size_t first = 0; first < goods.rows; first += GoodsBlock::kRows) {
    const std::size_t count = std::min(GoodsBlock::kRows, goods.rows - first);
    ReadOrders(goods, first, count, orders);
    for (std::size_t i = 0; i < count; ++i) {
      if (orders[i] == wanted) rows.push_back(first + i);
    }
  }
  return rows;
}

/// Puts the rows of orders together, one order after another; one for each thread.
class OrderReader {
 public:
  OrderReader(RepriceStore& store, const GoodsColumns& goods, const ContentsNumbers& contents)
      : store_(store), goods_(goods), contents_(contents), block_(std::make_unique<GoodsBlock>()) {}

  /// The goods of all rows of an order, valid until the next call. `kPriced` where they can be priced.
  RowReason Read(std::span<const std::size_t> rows) {
    reasons_.assign(rows.size(), RowReason::kPriced);
    parts_.resize(rows.size());
    written_.resize(rows.size());
    const std::size_t span = rows.back() - rows.front() + 1;
    const bool together = span == rows.size() && span <= GoodsBlock::kRows;
    if (together) block_->Read(goods_, rows.front(), span);
    bool good = true;
    for (std::size_t i = 0; i < rows.size(); ++i) {
      if (!together) block_->Read(goods_, rows[i], 1);
      const std::size_t at = together ? i : 0;
      reasons_[i] = block_->Check(at, contents_, parts_[i]);
      written_[i] = {block_->side(at, 0), block_->side(at, 1), block_->side(at, 2)};
      good = good && reasons_[i] == RowReason::kPriced;
    }
    if (good) {
      const RowReason reason = Join();
      if (reason == RowReason::kPriced) {
        std::fill(reasons_.begin() + 1, reasons_.end(), RowReason::kInOrder);
        return reason;
      }
      reasons_[0] = reason;
    }
    for (RowReason& reason : reasons_) {
      if (reason == RowReason::kPriced) reason = RowReason::kOrderNotPriced;
    }
    return RowReason::kOrderNotPriced;
  }

  /// Of the last order.
  const Goods& goods() const { return all_; }
  /// By row of it; of the first only where the order cannot be priced.
  std::span<const RowReason> reasons() const { return reasons_; }

  /// The items that `Rank` takes, as the order is packed: units that are alike side by side; or as the rows stand.
  std::vector<Item> Items(bool as_rows = false) const {
    std::vector<std::size_t> by_kind(parts_.size());
    std::iota(by_kind.begin(), by_kind.end(), std::size_t{0});
    const auto end = as_rows ? by_kind.begin() : by_kind.end();
    std::stable_sort(by_kind.begin(), end, [this](std::size_t a, std::size_t b) {
      UnitKind one = parts_[a].kind();
      UnitKind other = parts_[b].kind();
      one.count = other.count = 1;
      return one < other;
    });
    std::vector<Item> items;
    for (const std::size_t i : by_kind) {
      const Goods& part = parts_[i];
      Item& item = items.emplace_back();
      item.quantity = part.quantity;
      item.weight = Weight::Nanograms(part.weight / part.quantity);
      for (std::size_t axis = 0; axis < 3; ++axis) item.sides[axis] = Length::Nanometres(written_[i][axis]);
      item.value = Amount::Micros(part.value / part.quantity);
      item.contents = store_.ContentsOf(part.contents)->contents;
      item.shape = part.shape;
      item.this_side_up = part.up;
      item.rigid = part.rigid;
      item.bare_allowed = part.bare;
    }
    return items;
  }

 private:
  RowReason Join() {
    all_ = parts_[0];
    if (parts_.size() == 1) return RowReason::kPriced;
    units_.clear();
    numbers_.clear();
    PilePacker::Pile pile;
    std::int64_t units = 0;
    RowReason reason = RowReason::kPriced;
    all_.weight = all_.value = 0;
    for (const Goods& part : parts_) {
      all_.weight += part.weight;
      all_.value += part.value;
      units += part.quantity;
      // The first of these in the order of reasons, whichever row it comes with; sums stay far from their bounds.
      if (all_.weight > Weight::kMostNanograms) {
        reason = RowReason::kBadWeight;
        all_.weight = Weight::kMostNanograms;
      }
      all_.value = std::min(all_.value, kMostMicros + 1);
      all_.traits |= part.traits;
      all_.rigid = all_.rigid || part.rigid;
      all_.bare = all_.bare && part.bare;
      if (part.shape != parts_[0].shape) all_.shape = Shape::kIrregular;
      numbers_.push_back(part.contents);
      units_.push_back(part.kind());
      PilePacker::AddTo(pile, PackUnitOf(part.kind()), part.quantity);
    }
    if (reason == RowReason::kBadWeight) return reason;
    if (units > kMostRowUnits) return RowReason::kBadQuantity;
    if (all_.value > kMostMicros) return RowReason::kBadValue;
    all_.quantity = static_cast<std::int32_t>(units);
    all_.sides = pile.sides;
    all_.sorted = Sorted(pile.sides);
    all_.contents = store_.JoinContents(numbers_);
    JoinAlike();
    all_.order = &units_;
    return RowReason::kPriced;
  }

  // Sorted, each kind once.
  void JoinAlike() {
    std::sort(units_.begin(), units_.end());
    std::size_t kept = 0;
    for (std::size_t i = 0; i < units_.size(); ++i) {
      if (kept > 0 && units_[kept - 1].AlikeTo(units_[i])) {
        units_[kept - 1].count += units_[i].count;
      } else {
        units_[kept++] = units_[i];
      }
    }
    units_.resize(kept);
  }

  RepriceStore& store_;
  const GoodsColumns& goods_;
  const ContentsNumbers& contents_;
  std::unique_ptr<GoodsBlock> block_;
  std::vector<Goods> parts_;
  std::vector<std::array<std::int64_t, 3>> written_;  // by row: sides of one unit
  std::vector<RowReason> reasons_;
  std::vector<std::uint32_t> numbers_;
  UnitKinds units_;
  Goods all_;
};

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_BATCH_INTERNAL_ORDERS_H_
