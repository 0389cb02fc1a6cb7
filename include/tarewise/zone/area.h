#ifndef TAREWISE_ZONE_AREA_H_
#define TAREWISE_ZONE_AREA_H_

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "absl/status/statusor.h"
#include "tarewise/internal/switch.h"
#include "tarewise/zone/place.h"

namespace tarewise {

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
/// length of prefix in use.
template <typename T>
class AreaMap {
 public:
  /// Adds an area. Call `Finish` after the last, and before the first `Find`.
  void Add(Area area, T value) { entries_.push_back({std::move(area), std::move(value)}); }

  /// Sorts; returns a pair of areas that overlap at one prefix length with different values, if there is one.
  std::optional<std::pair<Area, Area>> Finish() {
    std::stable_sort(entries_.begin(), entries_.end(), [](const Entry& a, const Entry& b) {
      if (a.area.country != b.area.country) return a.area.country < b.area.country;
      if (a.area.first.size() != b.area.first.size()) return a.area.first.size() > b.area.first.size();
      return a.area.first < b.area.first;
    });
    blocks_.clear();
    for (std::size_t i = 0; i < entries_.size(); ++i) {
      const Area& area = entries_[i].area;
      if (i == 0 || entries_[i - 1].area.country != area.country ||
          entries_[i - 1].area.first.size() != area.first.size()) {
        blocks_.push_back({area.country, area.first.size(), i, i + 1});
      } else {
        blocks_.back().end = i + 1;
        const Entry& before = entries_[i - 1];
        if (area.first <= before.area.last && !(before.value == entries_[i].value)) {
          return std::make_pair(before.area, area);
        }
        // Overlaps of equal values are joined, so that a binary search by the first prefix finds the right one.
        if (before.area.last > entries_[i].area.last) entries_[i].area.last = before.area.last;
      }
    }
    return std::nullopt;
  }

  const T* Find(const Place& place) const {
    for (const Block& block : blocks_) {
      if (block.country != place.country() || place.compared().size() < block.prefix) continue;
      const std::string_view head = place.compared().substr(0, block.prefix);
      auto begin = entries_.begin() + static_cast<std::ptrdiff_t>(block.begin);
      auto end = entries_.begin() + static_cast<std::ptrdiff_t>(block.end);
      auto at = std::upper_bound(begin, end, head,
                                 [](std::string_view key, const Entry& entry) { return key < entry.area.first; });
      if (at == begin) continue;
      --at;
      if (head <= at->area.last) return &at->value;
    }
    return nullptr;
  }

  bool empty() const { return entries_.empty(); }
  std::size_t size() const { return entries_.size(); }
  template <typename F>
  void ForEach(F f) const {
    for (const Entry& entry : entries_) f(entry.area, entry.value);
  }

 private:
  struct Entry {
    Area area;
    T value;
  };
  struct Block {
    std::string country;
    std::size_t prefix;
    std::size_t begin;
    std::size_t end;
  };
  std::vector<Entry> entries_;
  std::vector<Block> blocks_;  // of one country the longest prefix first
};

/// A set of areas, for tests of origin and destination.
class AreaSet {
 public:
  AreaSet() = default;
  explicit AreaSet(std::vector<Area> areas) : areas_(std::move(areas)) {
    for (const Area& area : areas_) map_.Add(area, true);
    static_cast<void>(map_.Finish());
  }
  bool Has(const Place& place) const { return map_.Find(place) != nullptr; }
  const std::vector<Area>& areas() const { return areas_; }

 private:
  std::vector<Area> areas_;
  AreaMap<bool> map_;
};

}  // namespace tarewise

#ifdef TW_HEADER_ONLY
#include "tarewise/zone/internal/area-inl.h"
#endif

#endif  // TAREWISE_ZONE_AREA_H_
