#ifndef TAREWISE_ZONE_AREA_H_
#define TAREWISE_ZONE_AREA_H_

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <cstring>
#include <numeric>
#include <optional>
#include <string>
#include <string_view>
#include <type_traits>
#include <utility>
#include <vector>

#include "absl/status/statusor.h"
#include "tarewise/internal/switch.h"
#include "tarewise/version.h"
#include "tarewise/zone/place.h"

namespace tarewise::inline TW_VERSIONED {

/// An area of a tariff: a country, "US"; the codes that begin with a prefix, "US:969"; or with one of a range of
/// prefixes of equal length, both ends included, "US:006-009". Of British codes ("GB", "GG", "IM", "JE"), whose
/// districts are no plain prefixes: letters, "GB:IV"; a district, "GB:PA2", which is not PA20; a range of districts,
/// "GB:PA20-80"; a sector, "GB:PA2 0"; or a whole code.
struct Area {
  std::string country;
  std::string first;  ///< As `Place::compared` has it. Empty: the whole country.
  std::string last;   ///< Equal to `first` for one prefix.

  /// Errors: InvalidArgument where `text` is none of these, or no code of the country is in it.
  static absl::StatusOr<Area> Parse(std::string_view text);
  /// The area of one prefix, written as in `Parse`; empty: the whole country. One that no code begins with holds none.
  static Area Of(std::string country, std::string_view prefix);

  bool Has(const Place& place) const {
    if (place.country() != country) return false;
    if (first.empty()) return true;
    if (place.compared().size() < first.size()) return false;
    const std::string_view head = place.compared().substr(0, first.size());
    return first <= head && head <= last;
  }

  std::string ToString() const;
  friend bool operator==(const Area&, const Area&) = default;
};

/// Values by area, the longest prefix winning. Built once, then immutable; a look-up takes a binary search for each
/// length of prefix in use. Areas take the bytes of their two prefixes.
template <typename T>
class AreaMap {
 public:
  static_assert(!std::is_same_v<T, bool>, "a look-up points at the value");

  /// Adds an area. Call `Finish` after the last, and before the first `Find`.
  void Add(const Area& area, T value) { Add(area.country, area.first, area.last, std::move(value)); }
  /// The same of its parts; `first` and `last` are of one length.
  void Add(std::string_view country, std::string_view first, std::string_view last, T value) {
    Block& block = BlockOf(country, first.size());
    block.keys.append(first)
        .append(last.substr(0, first.size()))
        .append(first.size() - std::min(first.size(), last.size()), '\0');
    block.values.push_back(std::move(value));
  }

  /// Sorts; returns a pair of areas that overlap at one prefix length with different values, if there is one.
  std::optional<std::pair<Area, Area>> Finish() {
    std::optional<std::pair<Area, Area>> overlap;
    for (Block& block : blocks_) {
      block.Sort();
      for (std::size_t i = 1; i < block.size(); ++i) {
        if (block.first(i) > block.last(i - 1)) continue;
        if (!(block.values[i - 1] == block.values[i])) {
          if (!overlap) overlap.emplace(block.area(i - 1), block.area(i));
          continue;
        }
        // Overlaps of equal values are joined, so that a binary search by the first prefix finds the right one.
        if (block.last(i - 1) > block.last(i)) block.SetLast(i, block.last(i - 1));
      }
    }
    return overlap;
  }

  /// The same of a set, whose values are all equal: areas that overlap become one.
  void FinishJoined() {
    static_cast<void>(Finish());
    for (Block& block : blocks_) block.Join();
  }

  const T* Find(const Place& place) const {
    const auto [block, index] = Look(place);
    return block == nullptr ? nullptr : &block->values[index];
  }
  /// The area that holds a place, the one with the longest prefix.
  std::optional<Area> FindArea(const Place& place) const {
    const auto [block, index] = Look(place);
    return block == nullptr ? std::nullopt : std::optional<Area>(block->area(index));
  }

  bool empty() const { return blocks_.empty(); }
  std::size_t size() const {
    std::size_t size = 0;
    for (const Block& block : blocks_) size += block.size();
    return size;
  }
  /// By country, then from the longest prefixes to the shortest, then in the order of the codes.
  template <typename F>
  void ForEach(F f) const {
    for (const Block& block : blocks_) {
      for (std::size_t i = 0; i < block.size(); ++i) f(block.area(i), block.values[i]);
    }
  }
  /// The areas of each country and length of prefix: the country, the length, and both prefixes of each behind each
  /// other.
  template <typename F>
  void ForEachBlock(F f) const {
    for (const Block& block : blocks_) f(block.country, block.prefix, block.keys);
  }
  /// Of the same areas with the same values.
  friend bool operator==(const AreaMap& a, const AreaMap& b) { return a.blocks_ == b.blocks_; }

 private:
  // The areas of a country with prefixes of one length: the two ends of each, one behind the other.
  struct Block {
    std::string country;
    std::size_t prefix = 0;
    std::string keys;
    std::vector<T> values;

    std::size_t size() const { return values.size(); }
    std::string_view first(std::size_t i) const { return {keys.data() + 2 * i * prefix, prefix}; }
    std::string_view last(std::size_t i) const { return {keys.data() + (2 * i + 1) * prefix, prefix}; }
    void SetLast(std::size_t i, std::string_view last) {
      const std::string copy(last);
      keys.replace((2 * i + 1) * prefix, prefix, copy);
    }
    Area area(std::size_t i) const { return {country, std::string(first(i)), std::string(last(i))}; }
    friend bool operator==(const Block&, const Block&) = default;

    void Sort() {
      bool sorted = true;
      for (std::size_t i = 1; i < size() && sorted; ++i) sorted = first(i - 1) <= first(i);
      if (sorted) return;
      std::vector<std::uint32_t> order(size());
      std::iota(order.begin(), order.end(), 0u);
      std::stable_sort(order.begin(), order.end(),
                       [this](std::uint32_t a, std::uint32_t b) { return first(a) < first(b); });
      std::string in_order;
      in_order.reserve(keys.size());
      std::vector<T> of_them;
      of_them.reserve(size());
      for (const std::uint32_t i : order) {
        in_order.append(keys, std::size_t{2} * i * prefix, std::size_t{2} * prefix);
        of_them.push_back(std::move(values[i]));
      }
      keys = std::move(in_order);
      values = std::move(of_them);
    }
    void Join() {
      std::size_t kept = 0;
      for (std::size_t i = 0; i < size(); ++i) {
        if (kept > 0 && first(i) <= last(kept - 1)) {
          SetLast(kept - 1, last(i));
          continue;
        }
        if (kept < i) {
          std::memmove(keys.data() + 2 * kept * prefix, keys.data() + 2 * i * prefix, 2 * prefix);
          values[kept] = std::move(values[i]);
        }
        ++kept;
      }
      keys.resize(2 * kept * prefix);
      values.resize(kept);
    }
  };

  static bool Before(const Block& block, std::string_view country, std::size_t prefix) {
    return block.country != country ? block.country < country : block.prefix > prefix;
  }
  Block& BlockOf(std::string_view country, std::size_t prefix) {
    if (last_ < blocks_.size() && blocks_[last_].prefix == prefix && blocks_[last_].country == country) {
      return blocks_[last_];
    }
    auto at =
        std::lower_bound(blocks_.begin(), blocks_.end(), prefix,
                         [country](const Block& block, std::size_t wanted) { return Before(block, country, wanted); });
    if (at == blocks_.end() || at->prefix != prefix || at->country != country) {
      at = blocks_.insert(at, Block{std::string(country), prefix, {}, {}});
    }
    last_ = static_cast<std::size_t>(at - blocks_.begin());
    return *at;
  }

  std::pair<const Block*, std::size_t> Look(const Place& place) const {
    const std::string_view code = place.compared();
    auto at = std::lower_bound(blocks_.begin(), blocks_.end(), place.country(),
                               [](const Block& block, const std::string& country) { return block.country < country; });
    for (; at != blocks_.end() && at->country == place.country(); ++at) {
      const Block& block = *at;
      if (code.size() < block.prefix) continue;
      const std::string_view head = code.substr(0, block.prefix);
      std::size_t low = 0;
      std::size_t high = block.size();
      while (low < high) {
        const std::size_t middle = low + (high - low) / 2;
        head < block.first(middle) ? high = middle : low = middle + 1;
      }
      if (low > 0 && head <= block.last(low - 1)) return {&block, low - 1};
    }
    return {nullptr, 0};
  }

  std::vector<Block> blocks_;  // by country, the longest prefix first
  std::size_t last_ = 0;       // the block that was added to
};

/// A set of areas, for tests of origin and destination.
class AreaSet {
 public:
  AreaSet() = default;
  explicit AreaSet(std::vector<Area> areas) : areas_(std::move(areas)) {
    for (const Area& area : areas_) map_.Add(area, Held());
    static_cast<void>(map_.Finish());
  }
  bool Has(const Place& place) const { return map_.Find(place) != nullptr; }
  const std::vector<Area>& areas() const { return areas_; }

 private:
  struct Held {
    friend bool operator==(const Held&, const Held&) = default;
  };
  std::vector<Area> areas_;
  AreaMap<Held> map_;
};

}  // namespace tarewise::inline TW_VERSIONED

#ifdef TW_HEADER_ONLY
#include "tarewise/zone/internal/area-inl.h"
#endif

#endif  // TAREWISE_ZONE_AREA_H_
