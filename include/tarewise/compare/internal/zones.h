#ifndef TAREWISE_COMPARE_INTERNAL_ZONES_H_
#define TAREWISE_COMPARE_INTERNAL_ZONES_H_

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <map>
#include <optional>
#include <set>
#include <string>
#include <string_view>
#include <tuple>
#include <utility>
#include <variant>
#include <vector>

#include "tarewise/compare/comparison.h"
#include "tarewise/compare/internal/words.h"
#include "tarewise/rules/visit.h"
#include "tarewise/tariff/tariff.h"
#include "tarewise/version.h"
#include "tarewise/zone/area.h"
#include "tarewise/zone/area_list.h"
#include "tarewise/zone/internal/british_code.h"
#include "tarewise/zone/zone_chart.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// The areas of two maps cut where either changes its value: 006-009 against 006-007 and 008-009 of the same zone is no
/// change. Areas of different prefix lengths are apart, as the longer wins.
template <typename T>
class AreaSweep {
 public:
  struct Segment {
    Area area;
    std::optional<T> before;
    std::optional<T> after;
  };

  /// Either map may be nothing. Linearithmic in the areas.
  static std::vector<Segment> Run(const AreaMap<T>* before, const AreaMap<T>* after) {
    std::map<BlockKey, Block> blocks;
    if (before != nullptr) Gather(*before, blocks, false);
    if (after != nullptr) Gather(*after, blocks, true);
    std::vector<Segment> out;
    for (auto& [key, block] : blocks) Sweep(key.first, block, out);
    return out;
  }

 private:
  using BlockKey = std::pair<std::string, std::size_t>;
  struct Range {
    std::string first;
    std::string last;
    T value;
  };
  struct Block {
    std::vector<Range> sides[2];  // by first
    bool digits = true;
    bool steps = true;  // one area goes on where another ends
  };
  // A boundary stands before its text, or right after it.
  using Boundary = std::pair<std::string, int>;

  static void Gather(const AreaMap<T>& map, std::map<BlockKey, Block>& blocks, bool after) {
    map.ForEach([&](const Area& area, const T& value) {
      Block& block = blocks[{area.country, area.first.size()}];
      block.sides[after ? 1 : 0].push_back({area.first, area.last, value});
      // Of British codes districts alone have ranges, by the number at their end.
      const bool british = HasBritishCodes(area.country);
      block.steps = !british || area.first.size() == kBritishDistrict;
      if (british) return;
      block.digits = block.digits && std::all_of(area.first.begin(), area.first.end(), IsDigit) &&
                     std::all_of(area.last.begin(), area.last.end(), IsDigit);
    });
  }

  static void Sweep(const std::string& country, const Block& block, std::vector<Segment>& out) {
    std::set<Boundary> boundaries;
    for (const std::vector<Range>& side : block.sides) {
      for (const Range& range : side) {
        boundaries.insert({range.first, 0});
        boundaries.insert({range.last, 1});
      }
    }
    const std::size_t from = out.size();
    for (auto at = boundaries.begin(); std::next(at) != boundaries.end(); ++at) {
      const Boundary& low = *at;
      const Boundary& high = *std::next(at);
      const std::optional<T> before = ValueIn(block.sides[0], low);
      const std::optional<T> after = ValueIn(block.sides[1], low);
      if (!before && !after) continue;
      std::string first = low.second == 0 ? low.first : Stepped(low.first, true, block.digits);
      std::string last = high.second == 1 ? high.first : Stepped(high.first, false, block.digits);
      if (first > last) continue;
      if (block.steps && out.size() > from && out.back().before == before && out.back().after == after &&
          Stepped(out.back().area.last, true, block.digits) == first) {
        out.back().area.last = std::move(last);
      } else {
        out.push_back({Area{country, std::move(first), std::move(last)}, before, after});
      }
    }
  }

  static std::optional<T> ValueIn(const std::vector<Range>& side, const Boundary& low) {
    auto at = std::upper_bound(side.begin(), side.end(), low.first,
                               [](const std::string& key, const Range& range) { return key < range.first; });
    if (at == side.begin()) return std::nullopt;
    --at;
    // Right after `last` is outside.
    if (low.second == 0 ? low.first <= at->last : low.first < at->last) return at->value;
    return std::nullopt;
  }

  // The code after or before, among codes of digits, or of digits and letters.
  static std::string Stepped(std::string code, bool up, bool digits) {
    const char highest = digits ? '9' : 'Z';
    for (std::size_t i = code.size(); i-- > 0;) {
      char& c = code[i];
      if (up) {
        if (c != highest) {
          c = c == '9' ? 'A' : static_cast<char>(c + 1);
          return code;
        }
        c = '0';
      } else {
        if (c != '0') {
          c = c == 'A' ? '9' : static_cast<char>(c - 1);
          return code;
        }
        c = highest;
      }
    }
    return code;
  }
};

inline constexpr std::string_view kChartNames[] = {"one zone", "regions", "pairs", "distance"};

/// The zones that a list of charts can give.
inline std::set<ZoneId> ZonesOf(const ZoneList& list) {
  std::set<ZoneId> zones;
  for (const ZoneChart& chart : list.charts) {
    if (const auto* one = std::get_if<OneZoneChart>(&chart)) {
      zones.insert(one->zone);
    } else if (const auto* regions = std::get_if<RegionsChart>(&chart)) {
      regions->zones.ForEach([&zones](const Area&, ZoneId zone) { zones.insert(zone); });
    } else if (const auto* pairs = std::get_if<PairsChart>(&chart)) {
      for (const AreaMap<ZoneId>& to : pairs->destinations) {
        to.ForEach([&zones](const Area&, ZoneId zone) { zones.insert(zone); });
      }
    } else {
      const DistanceChart& distance = std::get<DistanceChart>(chart);
      for (const DistanceChart::Band& band : distance.bands) zones.insert(band.zone);
      if (distance.same) zones.insert(distance.same->zone);
    }
  }
  return zones;
}

/// Compares the lists of charts of two tariffs: lists by name, charts of one kind in their order.
class ZoneComparer {
 public:
  ZoneComparer(const Tariff& before, const Tariff& after, TariffComparison& out)
      : before_(before), after_(after), out_(out) {}

  void Run() {
    for (const ZoneList& list : before_.zone_lists) {
      const ZoneList* other = Named(after_, list.name);
      if (other == nullptr) {
        out_.charts.push_back({"zones " + list.name, Kinds(list), ""});
      } else {
        CompareLists(list, *other);
      }
    }
    for (const ZoneList& list : after_.zone_lists) {
      if (Named(before_, list.name) == nullptr) out_.charts.push_back({"zones " + list.name, "", Kinds(list)});
    }
    CompareAreaLists();
  }

 private:
  static const ZoneList* Named(const Tariff& tariff, std::string_view name) {
    for (const ZoneList& list : tariff.zone_lists) {
      if (list.name == name) return &list;
    }
    return nullptr;
  }

  // Named lists of areas, each once, whatever names them.
  void CompareAreaLists() {
    const auto named = [](const Tariff& tariff, const std::string& name) {
      const auto at = std::find_if(tariff.area_lists.begin(), tariff.area_lists.end(),
                                   [&name](const AreaList& list) { return list.name() == name; });
      return at == tariff.area_lists.end() ? nullptr : &*at;
    };
    for (const AreaList& list : before_.area_lists) CompareAreaList(&list, named(after_, list.name()));
    for (const AreaList& list : after_.area_lists) {
      if (named(before_, list.name()) == nullptr) CompareAreaList(nullptr, &list);
    }
  }

  void CompareAreaList(const AreaList* a, const AreaList* b) {
    if (a != nullptr && b != nullptr && *a == *b) return;
    const std::string what = "areas " + (a != nullptr ? a : b)->ToString();
    const auto counted = [](const AreaList* list) {
      if (list == nullptr) return std::string();
      return std::to_string(list->size()) + (list->size() == 1 ? " area" : " areas");
    };
    std::string after = counted(b);
    if (a != nullptr && b != nullptr) {
      const auto map = [](const AreaList& list) {
        AreaMap<char> areas;
        list.ForEach([&areas](const Area& area) { areas.Add(area, 1); });
        static_cast<void>(areas.Finish());
        return areas;
      };
      const AreaMap<char> before_map = map(*a);
      const AreaMap<char> after_map = map(*b);
      std::vector<std::string> added;
      std::vector<std::string> removed;
      for (const AreaSweep<char>::Segment& segment : AreaSweep<char>::Run(&before_map, &after_map)) {
        if (segment.before && segment.after) continue;
        (segment.after ? added : removed).push_back(segment.area.ToString());
      }
      if (added.empty() && removed.empty()) return;
      after += SomeOf(", with ", std::move(added)) + SomeOf(", without ", std::move(removed));
    }
    out_.charts.push_back({what, counted(a), after});
  }

  static std::string SomeOf(std::string_view head, std::vector<std::string> areas) {
    constexpr std::size_t kMost = 4;
    if (areas.empty()) return {};
    const std::size_t more = areas.size() > kMost ? areas.size() - kMost : 0;
    areas.resize(areas.size() - more);
    std::string out = std::string(head) + JoinWords(areas, ", ");
    if (more > 0) out += " and " + std::to_string(more) + (more == 1 ? " area more" : " areas more");
    return out;
  }

  static std::string Kinds(const ZoneList& list) {
    std::vector<std::string> kinds;
    for (const ZoneChart& chart : list.charts) kinds.emplace_back(kChartNames[chart.index()]);
    return JoinWords(kinds, ", ");
  }

  void CompareLists(const ZoneList& a, const ZoneList& b) {
    list_ = a.name;
    if (Kinds(a) != Kinds(b)) out_.charts.push_back({"zones " + list_, Kinds(a), Kinds(b)});
    std::vector<bool> taken(b.charts.size(), false);
    for (std::size_t i = 0; i < a.charts.size(); ++i) {
      const ZoneChart* other = nullptr;
      chart_ = i;
      for (std::size_t j = 0; j < b.charts.size() && other == nullptr; ++j) {
        if (taken[j] || b.charts[j].index() != a.charts[i].index()) continue;
        taken[j] = true;
        other = &b.charts[j];
        chart_ = j;
      }
      CompareCharts(&a.charts[i], other);
    }
    for (std::size_t j = 0; j < b.charts.size(); ++j) {
      if (taken[j]) continue;
      chart_ = j;
      CompareCharts(nullptr, &b.charts[j]);
    }
  }

  void CompareCharts(const ZoneChart* a, const ZoneChart* b) {
    Visit([&]<typename C>(const C&) { CompareKind(As<C>(a), As<C>(b)); }, a != nullptr ? *a : *b);
  }
  template <typename C>
  static const C* As(const ZoneChart* chart) {
    return chart == nullptr ? nullptr : std::get_if<C>(chart);
  }

  // One for each kind of chart. Either side may be nothing.
  void CompareKind(const OneZoneChart* a, const OneZoneChart* b) { CompareOne(a, b); }
  void CompareKind(const RegionsChart* a, const RegionsChart* b) {
    CompareAreas(a == nullptr ? nullptr : &a->zones, b == nullptr ? nullptr : &b->zones, "");
  }
  void CompareKind(const PairsChart* a, const PairsChart* b) { ComparePairs(a, b); }
  void CompareKind(const DistanceChart* a, const DistanceChart* b) { CompareDistance(a, b); }

  std::string Before(std::optional<ZoneId> zone) const { return Name(before_, zone); }
  std::string After(std::optional<ZoneId> zone) const { return Name(after_, zone); }
  static std::string Name(const Tariff& tariff, std::optional<ZoneId> zone) {
    return zone && *zone < tariff.zone_names.size() ? tariff.zone_names[*zone] : std::string();
  }

  void Add(std::string origin, std::string area, std::string before, std::string after) {
    if (before == after) return;
    ZoneChange change;
    change.list = list_;
    change.chart = chart_;
    change.origin = std::move(origin);
    change.area = std::move(area);
    change.before = std::move(before);
    change.after = std::move(after);
    out_.zones.push_back(std::move(change));
  }

  void CompareOne(const OneZoneChart* a, const OneZoneChart* b) {
    std::map<std::string, std::pair<std::string, std::string>> countries;
    auto add = [&countries](const OneZoneChart& chart, const std::string& zone, bool after) {
      auto set = [&](const std::string& area) { (after ? countries[area].second : countries[area].first) = zone; };
      if (chart.countries.empty()) set("everywhere");
      for (const std::string& country : chart.countries) set(country);
    };
    if (a != nullptr) add(*a, Before(a->zone), false);
    if (b != nullptr) add(*b, After(b->zone), true);
    for (auto& [area, zones] : countries) Add("", area, zones.first, zones.second);
  }

  void CompareAreas(const AreaMap<ZoneId>* a, const AreaMap<ZoneId>* b, const std::string& origin) {
    for (const AreaSweep<ZoneId>::Segment& segment : AreaSweep<ZoneId>::Run(a, b)) {
      Add(origin, segment.area.ToString(), Before(segment.before), After(segment.after));
    }
  }

  void ComparePairs(const PairsChart* a, const PairsChart* b) {
    const auto segments =
        AreaSweep<std::uint32_t>::Run(a == nullptr ? nullptr : &a->origins, b == nullptr ? nullptr : &b->origins);
    for (const AreaSweep<std::uint32_t>::Segment& segment : segments) {
      CompareAreas(segment.before ? &a->destinations[*segment.before] : nullptr,
                   segment.after ? &b->destinations[*segment.after] : nullptr, segment.area.ToString());
    }
  }

  void CompareDistance(const DistanceChart* a, const DistanceChart* b) {
    const std::string where = "zones " + list_ + ", chart " + std::to_string(chart_ + 1) + " by distance: ";
    auto bands = [](const DistanceChart* chart, const Tariff& tariff) {
      std::vector<std::pair<std::string, std::string>> out;
      if (chart == nullptr) return out;
      for (const DistanceChart::Band& band : chart->bands) {
        out.emplace_back("zone " + Name(tariff, band.zone),
                         band.up_to ? "up to " + LengthWords(*band.up_to) : "any distance");
      }
      if (chart->same) {
        out.emplace_back("same first characters",
                         std::to_string(chart->same->prefix) + " of them, zone " + Name(tariff, chart->same->zone));
      }
      return out;
    };
    const auto old_bands = bands(a, before_);
    const auto new_bands = bands(b, after_);
    auto find = [](const auto& in, const std::string& key) {
      for (const auto& [name, words] : in) {
        if (name == key) return words;
      }
      return std::string();
    };
    for (const auto& [name, words] : old_bands) {
      const std::string other = find(new_bands, name);
      if (other != words) out_.charts.push_back({where + name, words, other});
    }
    for (const auto& [name, words] : new_bands) {
      if (find(old_bands, name).empty()) out_.charts.push_back({where + name, "", words});
    }
  }

  const Tariff& before_;
  const Tariff& after_;
  TariffComparison& out_;
  std::string list_;
  std::size_t chart_ = 0;
};

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_COMPARE_INTERNAL_ZONES_H_
