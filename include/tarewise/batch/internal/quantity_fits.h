#ifndef TAREWISE_BATCH_INTERNAL_QUANTITY_FITS_H_
#define TAREWISE_BATCH_INTERNAL_QUANTITY_FITS_H_

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <map>
#include <memory>
#include <mutex>
#include <span>
#include <unordered_map>
#include <utility>
#include <vector>

#include "tarewise/batch/internal/goods.h"
#include "tarewise/batch/internal/packs.h"
#include "tarewise/batch/internal/plan.h"
#include "tarewise/packing/arrange.h"
#include "tarewise/parcel/kinds.h"
#include "tarewise/ranking/packer.h"
#include "tarewise/units/length.h"

namespace tarewise::internal {

inline PackUnit PackUnitOf(const UnitKind& kind) {
  PackUnit unit;
  unit.sides = kind.sides;
  unit.this_side_up = kind.up;
  unit.padded = kind.fragile;
  return unit;
}

/// Units of some kinds, sorted: what `SeveralFits` hangs on besides the plan.
using UnitKinds = std::vector<UnitKind>;
using UnitKindSpan = std::span<const UnitKind>;

/// For maps of `UnitKinds` that are asked about a span.
struct UnitKindsHash {
  using is_transparent = void;
  std::size_t operator()(UnitKindSpan kinds) const {
    std::uint64_t hash = kinds.size();
    auto mix = [&hash](std::uint64_t value) {
      hash = (hash ^ value) * 0x9E3779B97F4A7C15u;
      hash ^= hash >> 29;
    };
    for (const UnitKind& kind : kinds) {
      for (const std::int64_t side : kind.sides) mix(static_cast<std::uint64_t>(side));
      mix(static_cast<std::uint64_t>(kind.count) << 2 | (kind.up ? 2u : 0u) | (kind.fragile ? 1u : 0u));
    }
    return static_cast<std::size_t>(hash);
  }
};
struct UnitKindsEqual {
  using is_transparent = void;
  bool operator()(UnitKindSpan a, UnitKindSpan b) const { return std::equal(a.begin(), a.end(), b.begin(), b.end()); }
};

/// What several units together go into, and the parcels that they make there. Bare goods and estimates are piles, which
/// are nothing to pack.
struct SeveralFits {
  static constexpr std::uint64_t kNoCell = 0xFFFFFFFFFFFFFFFF;

  /// A packaging whose parcel's sides follow the goods'.
  struct Own {
    std::uint16_t pack = 0;
    std::uint16_t group = 0;
    std::uint64_t bit = 0;                   ///< In the group's mask.
    std::array<std::int64_t, 3> sides = {};  ///< Of the parcel, longest first.
    std::uint64_t cell = kNoCell;            ///< Of the group; `kNoCell`: it is always priced one by one.
  };

  std::uint32_t number = 0;               ///< The same for what goes into the same packagings in the same cells.
  bool bad_side = false;                  ///< Some parcel has a side past what is accepted.
  std::vector<std::uint64_t> tables;      ///< By table of the plan: a bit for each packaging.
  std::vector<std::uint64_t> groups;      ///< Likewise by group; 0 of bare goods and estimates.
  std::vector<Own> own;                   ///< Of the groups' packagings those that take them, in the plan's order.
  std::vector<std::int64_t> cut_heights;  ///< By packaging: what its outside is cut down to; 0: it stays whole. Empty
                                          ///< where the plan has no carton that may be cut down.

  const Own* Find(std::size_t pack) const {
    const auto found = std::find_if(own.begin(), own.end(), [pack](const Own& one) { return one.pack == pack; });
    return found == own.end() ? nullptr : &*found;
  }
};

/// Packs several units into every packaging of a plan, each kind and number of them once, as `Rank` does it. Safe from
/// any thread.
class QuantityFits {
 public:
  explicit QuantityFits(const RepricePlan& plan) : plan_(plan) {}

  /// Of two units or more, sorted by kind, each kind once.
  std::shared_ptr<const SeveralFits> Of(UnitKindSpan kinds) {
    {
      const std::lock_guard<std::mutex> lock(mutex_);
      const auto known = known_.find(kinds);
      if (known != known_.end()) return known->second;
    }
    // Outside of the lock: two threads may pack the same goods, and find the same.
    auto fits = std::make_shared<SeveralFits>(Pack(kinds));
    std::vector<std::uint64_t> alike = fits->tables;
    alike.insert(alike.end(), fits->groups.begin(), fits->groups.end());
    for (const SeveralFits::Own& own : fits->own) alike.push_back(own.cell);
    const std::lock_guard<std::mutex> lock(mutex_);
    if (numbers_.size() >= kMostKnown) numbers_.clear();
    const auto [at, added] = numbers_.try_emplace(std::move(alike), next_number_);
    if (added) ++next_number_;
    fits->number = at->second;
    if (known_.size() < kMostKnown) known_.try_emplace(UnitKinds(kinds.begin(), kinds.end()), fits);
    return fits;
  }

 private:
  static constexpr std::size_t kMostKnown = std::size_t{1} << 18;

  SeveralFits Pack(UnitKindSpan kinds) const {
    std::vector<PackUnit> units;
    for (const UnitKind& kind : kinds) {
      units.insert(units.end(), static_cast<std::size_t>(kind.count), PackUnitOf(kind));
    }
    SeveralFits fits;
    if (plan_.cuts_down()) fits.cut_heights.resize(plan_.packs().size());
    for (const FitTable& table : plan_.tables()) {
      std::uint64_t mask =
          AloneIn(kinds, [&](const Goods& one, std::int64_t around) { return table.Fitting(one, around); });
      for (std::size_t i = 0; i < table.packs().size(); ++i) {
        const std::uint64_t bit = std::uint64_t{1} << i;
        if ((mask & bit) == 0) continue;
        const Packing packing = PackInto(units, table.packs()[i], fits);
        if (packing.fit != Fit::kFits) {
          mask &= ~bit;
        } else if (plan_.cuts_down()) {
          fits.cut_heights[table.packs()[i]] = packing.cut_height.value_or(0);
        }
      }
      fits.tables.push_back(mask);
    }
    for (std::size_t g = 0; g < plan_.groups().size(); ++g) fits.groups.push_back(PackGroupOf(kinds, units, g, fits));
    return fits;
  }

  // Of a group: the mask of its packagings that take the units.
  std::uint64_t PackGroupOf(UnitKindSpan kinds, const std::vector<PackUnit>& units, std::size_t g,
                            SeveralFits& fits) const {
    const PackGroup& group = plan_.groups()[g];
    if (!group.bounded) return 0;
    const std::uint64_t alone = AloneIn(kinds, [&](const Goods& one, std::int64_t) { return group.fit.Fitting(one); });
    std::uint64_t mask = 0;
    for (std::size_t i = 0; i < group.packs.size(); ++i) {
      SeveralFits::Own own;
      own.bit = std::uint64_t{1} << i;
      if ((alone & own.bit) == 0) continue;
      own.pack = group.packs[i];
      own.group = static_cast<std::uint16_t>(g);
      const Packing packing = PackInto(units, own.pack, fits);
      if (packing.fit != Fit::kFits) continue;
      mask |= own.bit;
      own.sides = Sorted(packing.outside);
      own.cell = group.cells[0].OfAny(own.sides).value_or(SeveralFits::kNoCell);
      fits.own.push_back(own);
    }
    return mask;
  }

  Packing PackInto(const std::vector<PackUnit>& units, std::size_t pack, SeveralFits& fits) const {
    Packing packing = GoodsPacker().Pack(units, *plan_.packs()[pack].packaging, plan_.Padding());
    if (packing.fit != Fit::kFits) return packing;
    for (const std::int64_t side : packing.outside) {
      fits.bad_side = fits.bad_side || side < 1 || side > Length::kMostSideNanometres;
    }
    return packing;
  }

  // What takes one of each kind. Nothing else takes them all.
  template <typename Fitting>
  std::uint64_t AloneIn(UnitKindSpan kinds, Fitting fitting) const {
    std::uint64_t mask = ~std::uint64_t{0};
    for (const UnitKind& kind : kinds) {
      Goods one;
      one.unit = one.sides = kind.sides;
      one.sorted = Sorted(kind.sides);
      one.up = kind.up;
      one.fragile = kind.fragile;
      mask &= fitting(one, plan_.PaddingOf(one));
    }
    return mask;
  }

  const RepricePlan& plan_;
  std::mutex mutex_;
  std::unordered_map<UnitKinds, std::shared_ptr<const SeveralFits>, UnitKindsHash, UnitKindsEqual> known_;
  std::map<std::vector<std::uint64_t>, std::uint32_t> numbers_;
  std::uint32_t next_number_ = 0;
};

}  // namespace tarewise::internal

#endif  // TAREWISE_BATCH_INTERNAL_QUANTITY_FITS_H_
