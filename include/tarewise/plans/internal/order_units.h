#ifndef TAREWISE_PLANS_INTERNAL_ORDER_UNITS_H_
#define TAREWISE_PLANS_INTERNAL_ORDER_UNITS_H_

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <utility>
#include <vector>

#include "absl/container/inlined_vector.h"
#include "tarewise/parcel/item.h"
#include "tarewise/plans/plans.h"
#include "tarewise/ranking/request.h"
#include "tarewise/units/rounding.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// How many units of each kind: a set of goods, equal ones counted and not named.
using UnitCounts = absl::InlinedVector<std::uint16_t, 14>;

struct UnitCountsHash {
  std::size_t operator()(const UnitCounts& counts) const {
    std::uint64_t hash = 0x9E3779B97F4A7C15u;
    for (const std::uint16_t count : counts) {
      hash = (hash ^ count) * 0xC2B2AE3D27D4EB4Fu;
      hash ^= hash >> 29;
    }
    return static_cast<std::size_t>(hash);
  }
};

/// The order of a plan's parcels: the one with most units of the first kind, of equals of the second, and so on.
inline bool StandsBefore(const UnitCounts& a, const UnitCounts& b) {
  return std::lexicographical_compare(b.begin(), b.end(), a.begin(), a.end());
}

/// True where two items are alike in all but title and quantity.
inline bool Alike(const Item& a, const Item& b) {
  const auto ranges_alike = [&] {
    return std::equal(a.side_ranges.begin(), a.side_ranges.end(), b.side_ranges.begin(), b.side_ranges.end(),
                      [](const SideRange& x, const SideRange& y) { return x.index == y.index && x.most == y.most; });
  };
  const auto soft_alike = [&] {
    if (!a.soft || !b.soft) return a.soft.has_value() == b.soft.has_value();
    return a.soft->presses_to == b.soft->presses_to && a.soft->least_thickness == b.soft->least_thickness;
  };
  return a.weight == b.weight && a.sides == b.sides && a.contents == b.contents && a.value == b.value &&
         a.shape == b.shape && a.this_side_up == b.this_side_up && a.rigid == b.rigid &&
         a.bare_allowed == b.bare_allowed && a.weight_most == b.weight_most && a.may_stand == b.may_stand &&
         a.top_free == b.top_free && a.bears == b.bears && ranges_alike() && soft_alike();
}

/// The units of an order by kind: what need not be told apart is counted, and what must travel together is one unit.
/// Views the request, which must outlive it.
class OrderUnits {
 public:
  struct Kind {
    /// Of one unit that must travel together: all that it is. Else the items that are alike, with their quantities.
    std::vector<PlannedGoods> goods;
    bool bundle = false;
    std::uint16_t count = 0;
  };

  explicit OrderUnits(const Request& request) : request_(request) {
    const std::vector<Item>& items = request.goods;
    const SeveralParcels parcels = request.parcels.value_or(SeveralParcels());
    std::vector<bool> named(items.size(), false);
    std::vector<const std::vector<std::size_t>*> bundle_of(items.size(), nullptr);
    for (const std::vector<std::size_t>& list : parcels.together) {
      for (const std::size_t item : list) bundle_of[item] = &list;
    }
    for (const std::vector<std::size_t>& list : parcels.apart) {
      for (const std::size_t item : list) named[item] = true;
    }
    std::vector<std::size_t> kind_of(items.size(), 0);
    std::vector<bool> placed(items.size(), false);
    for (std::size_t i = 0; i < items.size(); ++i) {
      if (placed[i]) continue;
      Kind kind;
      kind.bundle = bundle_of[i] != nullptr;
      std::int64_t count = 0;
      for (std::size_t j = i; j < items.size(); ++j) {
        const bool same = kind.bundle ? bundle_of[j] == bundle_of[i]
                                      : j == i || (bundle_of[j] == nullptr && !named[i] && !named[j] && !placed[j] &&
                                                   Alike(items[i], items[j]));
        if (!same) continue;
        placed[j] = true;
        kind_of[j] = kinds_.size();
        kind.goods.push_back({j, items[j].quantity});
        count += items[j].quantity;
      }
      kind.count = kind.bundle ? std::uint16_t{1} : static_cast<std::uint16_t>(count);
      kinds_.push_back(std::move(kind));
    }
    apart_.assign(kinds_.size(), std::vector<bool>(kinds_.size(), false));
    for (const std::vector<std::size_t>& list : parcels.apart) {
      for (const std::size_t a : list) {
        for (const std::size_t b : list) {
          if (a != b) apart_[kind_of[a]][kind_of[b]] = any_apart_ = true;
        }
      }
    }
  }

  const Request& request() const { return request_; }
  const std::vector<Kind>& kinds() const { return kinds_; }
  std::size_t size() const { return kinds_.size(); }

  UnitCounts All() const {
    UnitCounts all;
    for (const Kind& kind : kinds_) all.push_back(kind.count);
    return all;
  }
  UnitCounts One(std::size_t kind) const {
    UnitCounts one(kinds_.size(), 0);
    one[kind] = 1;
    return one;
  }

  /// True where nothing of it must be apart.
  bool MayTravel(const UnitCounts& counts) const {
    if (!any_apart_) return true;
    for (std::size_t a = 0; a < counts.size(); ++a) {
      for (std::size_t b = 0; b < a; ++b) {
        if (counts[a] != 0 && counts[b] != 0 && apart_[a][b]) return false;
      }
    }
    return true;
  }

  /// What the units are, by item; of each kind those are handed out that come after `before`.
  std::vector<PlannedGoods> GoodsOf(const UnitCounts& counts, const UnitCounts* before = nullptr) const {
    std::vector<PlannedGoods> out;
    for (std::size_t k = 0; k < counts.size(); ++k) {
      if (counts[k] == 0) continue;
      if (kinds_[k].bundle) {
        out.insert(out.end(), kinds_[k].goods.begin(), kinds_[k].goods.end());
        continue;
      }
      std::int32_t skip = before == nullptr ? 0 : (*before)[k];
      std::int32_t left = counts[k];
      for (const PlannedGoods& member : kinds_[k].goods) {
        const std::int32_t there = std::max(member.units - skip, 0);
        skip = std::max(skip - member.units, 0);
        const std::int32_t taken = std::min(there, left);
        if (taken > 0) out.push_back({member.item, taken});
        left -= taken;
      }
    }
    std::sort(out.begin(), out.end(), [](const PlannedGoods& a, const PlannedGoods& b) { return a.item < b.item; });
    return out;
  }

  /// The request for these goods alone.
  Request RequestFor(const std::vector<PlannedGoods>& goods, const Request& terms) const {
    Request request = terms;
    request.goods.reserve(goods.size());
    for (const PlannedGoods& some : goods) {
      request.goods.push_back(request_.goods[some.item]);
      request.goods.back().quantity = some.units;
    }
    return request;
  }

 private:
  const Request& request_;
  std::vector<Kind> kinds_;
  std::vector<std::vector<bool>> apart_;
  bool any_apart_ = false;
};

/// Every set of goods that an order has, by number: the counts of the kinds as digits, each kind with a radix of its
/// own.
class SetNumbers {
 public:
  /// How many pairs there are of a set and a part of it; at most `kMany`.
  static constexpr std::int64_t kMany = std::int64_t{1} << 40;
  static std::int64_t PairsOf(const OrderUnits& units) {
    std::int64_t pairs = 1;
    for (const OrderUnits::Kind& kind : units.kinds()) {
      const std::int64_t count = kind.count;
      pairs = std::min(pairs * std::min((count + 1) * (count + 2) / 2, std::int64_t{1} << 20), kMany);
    }
    return pairs;
  }

  explicit SetNumbers(const OrderUnits& units) {
    std::size_t place = 1;
    for (const OrderUnits::Kind& kind : units.kinds()) {
      places_.push_back(place);
      place *= std::size_t{kind.count} + 1;
    }
    count_ = place;
  }

  std::size_t count() const { return count_; }
  UnitCounts CountsOf(std::size_t number) const {
    UnitCounts counts(places_.size(), 0);
    for (std::size_t k = places_.size(); k-- > 0;) {
      counts[k] = static_cast<std::uint16_t>(number / places_[k]);
      number %= places_[k];
    }
    return counts;
  }

  /// Calls `visit` with the number of each part of a set that has a unit of its first kind; the set is not empty.
  template <typename Visit>
  void VisitParts(const UnitCounts& of, Visit visit) const {
    std::size_t first = 0;
    while (of[first] == 0) ++first;
    absl::InlinedVector<std::uint16_t, 14> digits(of.size(), 0);
    std::size_t number = places_[first];
    digits[first] = 1;
    while (true) {
      visit(number);
      std::size_t k = first;
      while (k < of.size()) {
        if (digits[k] < of[k]) {
          ++digits[k];
          number += places_[k];
          break;
        }
        const std::uint16_t low = k == first ? 1 : 0;
        number -= static_cast<std::size_t>(digits[k] - low) * places_[k];
        digits[k] = low;
        ++k;
      }
      if (k == of.size()) return;
    }
  }

 private:
  std::vector<std::size_t> places_;
  std::size_t count_ = 1;
};

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_PLANS_INTERNAL_ORDER_UNITS_H_
