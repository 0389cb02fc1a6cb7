#ifndef TAREWISE_BATCH_INTERNAL_QUANTITY_FITS_H_
#define TAREWISE_BATCH_INTERNAL_QUANTITY_FITS_H_

#include <array>
#include <cstddef>
#include <cstdint>
#include <memory>
#include <mutex>
#include <unordered_map>
#include <utility>
#include <vector>

#include "tarewise/batch/internal/goods.h"
#include "tarewise/batch/internal/packs.h"
#include "tarewise/batch/internal/plan.h"
#include "tarewise/parcel/kinds.h"
#include "tarewise/ranking/packer.h"

namespace tarewise::internal {

/// One of a row's goods.
inline PackUnit PackUnitOf(const Goods& goods) {
  PackUnit unit;
  unit.sides = goods.unit;
  unit.this_side_up = goods.up;
  unit.padded = goods.fragile;
  return unit;
}

/// The cartons that take several units of one kind.
struct CartonFits {
  std::vector<std::uint64_t> masks;       ///< By table of the plan: a bit for each.
  std::vector<std::int64_t> cut_heights;  ///< By packaging: what its outside is cut down to; 0: it stays whole.
};

/// What `CartonFits` hangs on besides the plan.
struct QuantityKey {
  std::array<std::int64_t, 3> unit = {};
  std::int32_t quantity = 0;
  bool up = false;
  bool fragile = false;

  static QuantityKey Of(const Goods& goods) { return {goods.unit, goods.quantity, goods.up, goods.fragile}; }
  friend bool operator==(const QuantityKey&, const QuantityKey&) = default;

  struct Hash {
    std::size_t operator()(const QuantityKey& key) const {
      std::uint64_t hash = static_cast<std::uint64_t>(key.quantity) << 2 | (key.up ? 2u : 0u) | (key.fragile ? 1u : 0u);
      for (const std::int64_t side : key.unit) {
        hash = (hash ^ static_cast<std::uint64_t>(side)) * 0x9E3779B97F4A7C15u;
        hash ^= hash >> 29;
      }
      return static_cast<std::size_t>(hash);
    }
  };
};

/// Packs several units of one kind into every carton of a plan, each kind and quantity once, as `Rank` does it. Safe
/// from any thread.
class QuantityFits {
 public:
  explicit QuantityFits(const RepricePlan& plan) : plan_(plan) {}

  std::shared_ptr<const CartonFits> Of(const Goods& goods) {
    const QuantityKey key = QuantityKey::Of(goods);
    {
      const std::lock_guard<std::mutex> lock(mutex_);
      const auto known = known_.find(key);
      if (known != known_.end()) return known->second;
    }
    // Outside of the lock: two threads may pack the same goods, and find the same.
    auto fits = std::make_shared<const CartonFits>(Pack(goods));
    const std::lock_guard<std::mutex> lock(mutex_);
    if (known_.size() < kMostKnown) known_.try_emplace(key, fits);
    return fits;
  }

 private:
  static constexpr std::size_t kMostKnown = std::size_t{1} << 18;

  CartonFits Pack(const Goods& goods) const {
    const std::vector<PackUnit> units(static_cast<std::size_t>(goods.quantity), PackUnitOf(goods));
    CartonFits fits;
    fits.cut_heights.resize(plan_.packs().size());
    for (const FitTable& table : plan_.tables()) {
      std::uint64_t mask = 0;
      for (std::size_t i = 0; i < table.packs().size(); ++i) {
        const auto& pack = plan_.packs()[table.packs()[i]];
        if (pack.kind != PackagingKind::kCarton) continue;
        const Packing packing = GoodsPacker().Pack(units, *pack.packaging, plan_.Padding());
        if (packing.fit != Fit::kFits) continue;
        mask |= std::uint64_t{1} << i;
        fits.cut_heights[table.packs()[i]] = packing.cut_height.value_or(0);
      }
      fits.masks.push_back(mask);
    }
    return fits;
  }

  const RepricePlan& plan_;
  std::mutex mutex_;
  std::unordered_map<QuantityKey, std::shared_ptr<const CartonFits>, QuantityKey::Hash> known_;
};

}  // namespace tarewise::internal

#endif  // TAREWISE_BATCH_INTERNAL_QUANTITY_FITS_H_
