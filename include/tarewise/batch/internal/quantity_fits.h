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
#include "tarewise/ranking/internal/pack_units.h"
#include "tarewise/ranking/internal/parcel_box.h"
#include "tarewise/ranking/packer.h"
#include "tarewise/units/length.h"
#include "tarewise/units/rounding.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

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
  explicit QuantityFits(const RepricePlan& plan) : plan_(plan) {
    for (std::size_t t = 0; t < plan.tables().size(); ++t) {
      const std::vector<std::uint16_t>& packs = plan.tables()[t].packs();
      for (std::size_t i = 0; i < packs.size(); ++i) AddTry(packs[i], false, t, i);
    }
    for (std::size_t g = 0; g < plan.groups().size(); ++g) {
      const PackGroup& group = plan.groups()[g];
      for (std::size_t i = 0; group.bounded && i < group.packs.size(); ++i) AddTry(group.packs[i], true, g, i);
    }
    std::stable_sort(tries_.begin(), tries_.end(),
                     [](const Try& a, const Try& b) { return a.most_volume > b.most_volume; });
    for (std::size_t i = 0; i < tries_.size(); ++i) {
      for (std::size_t k = 0; k < i; ++k) {
        if (Holds(plan.packs()[tries_[k].pack], plan.packs()[tries_[i].pack])) tries_[i].within.push_back(k);
      }
    }
  }

  /// Of two units or more, sorted by kind, each kind once.
  std::shared_ptr<const SeveralFits> Of(UnitKindSpan kinds) {
    {
      const std::lock_guard<std::mutex> lock(mutex_);
      const auto known = known_.find(kinds);
      if (known != known_.end()) return known->second;
    }
    // Outside of the lock: two threads may pack the same goods, and find the same.
    auto fits = std::make_shared<SeveralFits>(FitsOf(kinds));
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

  // A packaging that is not a pile's.
  struct Try {
    std::uint16_t pack = 0;
    bool of_group = false;
    std::uint16_t where = 0;  // the number of the group or table
    std::uint64_t bit = 0;
    Int128 most_volume = 0;           // nm3: more never goes in
    std::vector<std::size_t> within;  // what holds all that this holds: where that is ruled out, this is
  };

  SeveralFits FitsOf(UnitKindSpan kinds) const {
    std::vector<PackUnit> units;
    for (const UnitKind& kind : kinds) {
      units.insert(units.end(), static_cast<std::size_t>(kind.count), PackUnitOf(kind));
    }
    // As the packer sorts them, so that it need not for each packaging anew.
    std::sort(units.begin(), units.end(), ComesFirst);
    SeveralFits fits;
    if (plan_.cuts_down()) fits.cut_heights.resize(plan_.packs().size());
    Int128 volume = 0;
    for (const PackUnit& unit : units) volume += Int128(unit.sides[0]) * unit.sides[1] * unit.sides[2];
    // What may take them, by table and by group, becomes what does.
    AloneIn(kinds, fits);
    std::vector<std::uint8_t> ruled_out(tries_.size(), 0);
    for (std::size_t i = 0; i < tries_.size(); ++i) {
      const Try& one = tries_[i];
      std::uint64_t& mask = one.of_group ? fits.groups[one.where] : fits.tables[one.where];
      if ((mask & one.bit) == 0) continue;
      mask &= ~one.bit;
      ruled_out[i] = volume > one.most_volume || std::any_of(one.within.begin(), one.within.end(),
                                                             [&](std::size_t k) { return ruled_out[k] != 0; });
      if (ruled_out[i] != 0) continue;
      const Packing packing = GoodsPacker().Pack(units, *plan_.packs()[one.pack].packaging, plan_.Padding());
      ruled_out[i] = packing.fit == Fit::kDoesNotFit;
      if (packing.fit != Fit::kFits) continue;
      mask |= one.bit;
      Take(one, packing, fits);
    }
    std::sort(fits.own.begin(), fits.own.end(), [](const SeveralFits::Own& a, const SeveralFits::Own& b) {
      return std::pair(a.group, a.bit) < std::pair(b.group, b.bit);
    });
    return fits;
  }

  void Take(const Try& one, const Packing& packing, SeveralFits& fits) const {
    for (const std::int64_t side : packing.outside) {
      fits.bad_side = fits.bad_side || side < 1 || side > Length::kMostSideNanometres;
    }
    if (plan_.cuts_down()) fits.cut_heights[one.pack] = packing.cut_height.value_or(0);
    if (!one.of_group) return;
    SeveralFits::Own own;
    own.pack = one.pack;
    own.group = one.where;
    own.bit = one.bit;
    own.sides = Sorted(packing.outside);
    own.cell = plan_.groups()[one.where].cells[0].OfAny(own.sides).value_or(SeveralFits::kNoCell);
    fits.own.push_back(own);
  }

  // ---- what is tried ----

  void AddTry(std::uint16_t pack, bool of_group, std::size_t where, std::size_t bit) {
    Try one;
    one.pack = pack;
    one.of_group = of_group;
    one.where = static_cast<std::uint16_t>(where);
    one.bit = std::uint64_t{1} << bit;
    one.most_volume = MostVolume(plan_.packs()[pack]);
    tries_.push_back(std::move(one));
  }

  // The largest box that any goods in it can fill.
  static Int128 MostVolume(const Pack& pack) {
    const std::int64_t first = pack.inside[0];
    const std::int64_t second = pack.inside[1];
    if (pack.kind == PackagingKind::kTube) return Int128(first) * first / 2 * second;
    if (pack.kind != PackagingKind::kMailer) return Int128(first) * second * pack.inside[2];
    // t (W - t) (L - t), which rises up to one thickness and then falls.
    const auto at = [&](std::int64_t t) { return Int128(first - t) * (second - t) * t; };
    std::int64_t low = 0;
    std::int64_t high = std::max<std::int64_t>(std::min(first, second) / 2, 0);
    while (low < high) {
      const std::int64_t middle = low + (high - low) / 2;
      if (at(middle) < at(middle + 1)) {
        low = middle + 1;
      } else {
        high = middle;
      }
    }
    return at(low);
  }

  // Whatever goes into the one goes into the other.
  static bool Holds(const Pack& other, const Pack& one) {
    const std::array<std::int64_t, 3>& a = one.inside;
    const std::array<std::int64_t, 3>& b = other.inside;
    if (one.kind != other.kind) return false;
    if (one.kind == PackagingKind::kTube) return a[0] <= b[0] && a[1] <= b[1];
    const bool lies = (a[0] <= b[0] && a[1] <= b[1]) || (a[1] <= b[0] && a[0] <= b[1]);
    return lies && (one.kind == PackagingKind::kMailer || a[2] <= b[2]);
  }

  // What takes one of each kind. Nothing else takes them all.
  void AloneIn(UnitKindSpan kinds, SeveralFits& fits) const {
    fits.tables.assign(plan_.tables().size(), ~std::uint64_t{0});
    fits.groups.assign(plan_.groups().size(), ~std::uint64_t{0});
    for (const UnitKind& kind : kinds) {
      Goods one;
      one.unit = one.sides = kind.sides;
      one.sorted = Sorted(kind.sides);
      one.up = kind.up;
      one.fragile = kind.fragile;
      const std::int64_t padding = plan_.PaddingOf(one);
      for (std::size_t t = 0; t < fits.tables.size(); ++t) fits.tables[t] &= plan_.tables()[t].Fitting(one, padding);
      for (std::size_t g = 0; g < fits.groups.size(); ++g) {
        fits.groups[g] &= plan_.groups()[g].bounded ? plan_.groups()[g].fit.Fitting(one) : 0;
      }
    }
  }

  const RepricePlan& plan_;
  std::vector<Try> tries_;  // the largest first
  std::mutex mutex_;
  std::unordered_map<UnitKinds, std::shared_ptr<const SeveralFits>, UnitKindsHash, UnitKindsEqual> known_;
  std::map<std::vector<std::uint64_t>, std::uint32_t> numbers_;
  std::uint32_t next_number_ = 0;
};

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_BATCH_INTERNAL_QUANTITY_FITS_H_
