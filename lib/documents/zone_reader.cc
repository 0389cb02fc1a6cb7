#include "zone_reader.h"

#include <algorithm>
#include <functional>
#include <optional>
#include <set>
#include <span>
#include <string>
#include <utility>

#include "area_lists.h"
#include "overlaps.h"
#include "text.h"
#include "zone_file.h"

namespace tarewise::inline TW_VERSIONED::load {
namespace {

constexpr std::size_t kMostZones = 10'000;
constexpr std::size_t kMostLists = 1'000;
// Half of the equator: no two points are farther apart, and a little more does no harm.
constexpr std::int64_t kFarthestNanometres = 100'000'000'000'000'000;

constexpr std::string_view kChartKinds[] = {"one", "regions", "pairs", "distance"};

class ZoneReader {
 public:
  ZoneReader(Fields& fields, Names& names, GridFiles& files) : fields_(fields), names_(names), files_(files) {}

  std::vector<ZoneList> Read(Value value) {
    std::vector<ZoneList> lists;
    if (!value.is(Kind::kObject)) {
      fields_.Expected(kWrongKind, value, "an object with lists of zone charts by name");
      names_.zones_sound = false;
      return lists;
    }
    if (value.size() == 0) {
      fields_.Error(kEmptyList, value, "found an empty object, expected at least one list of zone charts");
      names_.zones_sound = false;
    }
    if (value.size() > kMostLists) {
      fields_.Error(
          kTooMany, value,
          "found " + std::to_string(value.size()) + " lists of zone charts, expected at most 1000 in a document");
      names_.zones_sound = false;
      return lists;
    }
    for (const Value member : value) {
      ZoneList list;
      list.name = member.key();
      if (list.name.empty()) {
        fields_.ErrorAtKey(kBadCode, member, "found an empty name, expected the name of a list of zone charts");
      }
      set_ = ZoneSet();
      set_.list = list.name;
      if (!names_.zone_lists.Add(member.key())) continue;
      if (fields_.List(member, "a list of zone charts", /*empty_allowed=*/false)) {
        bool everywhere = false;
        for (const Value chart : member) {
          if (everywhere) {
            fields_.Warning(
                kUnreachableChart, chart,
                "found a chart that is never looked at, expected none after one that gives a zone everywhere");
          }
          list.charts.push_back(ReadChart(chart));
          const auto* one = std::get_if<OneZoneChart>(&list.charts.back());
          everywhere = everywhere ||
                       (chart.is(Kind::kObject) && one != nullptr && one->zone != kNoZone && one->countries.empty());
        }
      } else {
        names_.zones_sound = false;
      }
      lists.push_back(std::move(list));
      names_.zone_sets.push_back(std::move(set_));
    }
    const std::size_t zones = names_.zones.names.size();
    names_.all_zones.has.assign(zones, true);
    for (ZoneSet& set : names_.zone_sets) {
      set.has.resize(zones, false);
      for (const std::vector<ZoneId>& rising : set.rising) Add(names_.all_zones, rising);
    }
    return lists;
  }

 private:
  ZoneChart ReadChart(Value value) {
    if (!value.is(Kind::kObject)) {
      fields_.Expected(kWrongKind, value, "a zone chart");
      names_.zones_sound = false;
      return OneZoneChart();
    }
    const Value kind_value = value.Member("kind");
    if (!kind_value) {
      fields_.Error(kMissingKey, value, "found no \"kind\", expected it in a zone chart");
      names_.zones_sound = false;
      return OneZoneChart();
    }
    const std::optional<std::size_t> kind = fields_.Word(kind_value, kChartKinds, "a kind of zone chart");
    if (!kind) {
      names_.zones_sound = false;
      return OneZoneChart();
    }
    switch (*kind) {
      case 0:
        return ReadOne(value);
      case 1:
        return ReadRegions(value);
      case 2:
        return ReadPairs(value);
      default:
        return ReadDistance(value);
    }
  }

  ZoneChart ReadOne(Value value) {
    OneZoneChart chart;
    Object object(fields_, value, "a chart of kind \"one\"", {"kind", "zone", "countries"});
    if (const Value v = object.Require("zone")) chart.zone = ReadZone(v);
    if (const Value v = object["countries"]; v && fields_.List(v, "a list of countries", /*empty_allowed=*/false)) {
      for (const Value item : v) {
        const std::optional<std::string_view> country =
            fields_.Text(item, "a country of two capital letters, such as \"US\"");
        if (!country) continue;
        if (const absl::Status status = Place::CheckCountry(*country); !status.ok()) {
          fields_.FromStatus(kBadPlace, item, status);
        } else {
          chart.countries.emplace_back(*country);
        }
      }
    }
    return chart;
  }

  ZoneChart ReadRegions(Value value) {
    RegionsChart chart;
    Object object(fields_, value, "a chart of kind \"regions\"",
                  {"kind", "zones", "rising", "csv", "codes", "column", "country"});
    if (HasFile(object, "zones")) {
      chart.zones = ReadFile(object, "");
    } else if (const Value v = object.Require("zones")) {
      chart.zones = ReadAreasByZone(v);
    }
    if (const Value v = object["rising"]) ReadRising(v, ZonesOf({&chart.zones, 1}));
    return chart;
  }

  ZoneChart ReadPairs(Value value) {
    PairsChart chart;
    Object object(fields_, value, "a chart of kind \"pairs\"",
                  {"kind", "from", "rising", "csv", "origin", "codes", "column", "country"});
    if (HasFile(object, "from")) {
      ReadPairsFile(object, chart);
    } else if (const Value from = object.Require("from")) {
      if (!from.is(Kind::kObject)) {
        fields_.Expected(kWrongKind, from, "an object with the areas of origin as its keys");
        names_.zones_sound = false;
        return chart;
      }
      ReadOrigins(from, chart);
    } else {
      return chart;
    }
    if (const Value v = object["rising"]) ReadRising(v, ZonesOf(chart.destinations));
    return chart;
  }

  void ReadOrigins(Value from, PairsChart& chart) {
    if (from.size() == 0)
      fields_.Error(kEmptyList, from, "found an empty object, expected at least one area of origin");
    for (const Value member : from) {
      const auto index = static_cast<std::uint32_t>(chart.destinations.size());
      EachAreaOf(fields_, member, /*at_key=*/true, names_.area_lists,
                 [&](const Area& area, const AreaList*) { chart.origins.Add(area, index); });
      chart.destinations.push_back(ReadAreasByZone(member));
    }
    if (!chart.origins.Finish()) return;
    std::vector<PlacedArea> placed;
    std::uint32_t index = 0;
    for (const Value member : from) Place(member, /*at_key=*/true, index++, placed);
    ReportOverlaps(std::move(placed), "origin", fields_.findings());
  }

  // Whether a chart has its areas from a file. Keys that do not go together are errors.
  bool HasFile(const Object& chart, std::string_view in_place) {
    const Value csv = chart["csv"];
    for (const std::string_view key : {"origin", "codes", "column", "country"}) {
      if (const Value v = chart[key]; v && !csv) {
        fields_.ErrorAtKey(kConflictingKeys, v,
                           "found " + Quoted(key) + " without \"csv\", expected it with a file alone");
      }
    }
    if (const Value v = chart[in_place]; v && csv) {
      fields_.ErrorAtKey(kConflictingKeys, v, "found " + Quoted(in_place) + " beside \"csv\", expected one of the two");
      names_.zones_sound = false;
    }
    return static_cast<bool>(csv);
  }

  AreaMap<ZoneId> ReadFile(const Object& chart, const std::string& country) {
    const NameZone name = [this](std::string_view zone, const std::function<void(Code, std::string)>& fail) {
      return Named(zone, fail);
    };
    std::optional<AreaMap<ZoneId>> map = ReadZoneFile(fields_, files_, chart, country, name);
    if (!map) names_.zones_sound = false;
    return map ? *std::move(map) : AreaMap<ZoneId>();
  }

  void ReadPairsFile(const Object& object, PairsChart& chart) {
    std::set<std::string> countries;
    if (const Value origin = object.Require("origin")) {
      const AreaItems items = ReadAreaItems(fields_, origin, names_.area_lists, /*count_lists=*/true);
      const auto add = [&](const Area& area) {
        countries.insert(area.country);
        chart.origins.Add(area, 0);
      };
      for (const Area& area : items.areas) add(area);
      for (const AreaList& list : items.lists) list.ForEach(add);
      static_cast<void>(chart.origins.Finish());
    }
    chart.destinations.push_back(ReadFile(object, countries.size() == 1 ? *countries.begin() : ""));
  }

  ZoneChart ReadDistance(Value value) {
    DistanceChart chart;
    Object object(fields_, value, "a chart of kind \"distance\"", {"kind", "bands", "same"});
    if (const Value bands = object.Require("bands");
        bands && fields_.List(bands, "a list of bands", /*empty_allowed=*/false)) {
      Value last;
      for (const Value item : bands) {
        Object band(fields_, item, "a band, such as {\"zone\": \"1\", \"up_to\": \"50 mi\"}", {"zone", "up_to"});
        if (!band) continue;
        DistanceChart::Band out;
        if (const Value v = band.Require("zone")) out.zone = ReadZone(v);
        const Value up_to = band["up_to"];
        if (up_to) {
          out.up_to = fields_.ReadLength(up_to, Zero::kRefused, kFarthestNanometres);
          if (out.up_to && last && !chart.bands.empty() && chart.bands.back().up_to &&
              *out.up_to <= *chart.bands.back().up_to) {
            fields_.Error(kNotRising, up_to,
                          "found " + FoundText(up_to) + ", expected more than the band before, " + FoundText(last));
          }
          last = up_to;
          if (!out.up_to) continue;
        } else if (item.next()) {
          fields_.Error(kMissingKey, item, "found no \"up_to\", expected it in every band but the last");
          continue;
        }
        chart.bands.push_back(out);
      }
    }
    std::vector<ZoneId> rising;
    for (const DistanceChart::Band& band : chart.bands) {
      if (std::find(rising.begin(), rising.end(), band.zone) == rising.end()) rising.push_back(band.zone);
    }
    AddRising(std::move(rising));
    if (const Value v = object["same"]) {
      Object same(fields_, v, "a rule of the same prefix, such as {\"prefix\": 5, \"zone\": \"L\"}",
                  {"prefix", "zone"});
      if (same) {
        DistanceChart::Same out;
        if (const Value prefix = same.Require("prefix")) {
          out.prefix = static_cast<std::uint32_t>(fields_.Whole(prefix, 1, 16).value_or(1));
        }
        if (const Value zone = same.Require("zone")) out.zone = ReadZone(zone);
        chart.same = out;
      }
    }
    return chart;
  }

  static std::vector<bool> ZonesOf(std::span<const AreaMap<ZoneId>> maps) {
    std::vector<bool> zones;
    for (const AreaMap<ZoneId>& map : maps) {
      map.ForEach([&zones](const Area&, ZoneId zone) {
        if (zone == kNoZone) return;
        if (zones.size() <= zone) zones.resize(zone + std::size_t{1}, false);
        zones[zone] = true;
      });
    }
    return zones;
  }

  // Zones from near to far: what a warning of a cheaper farther column goes by.
  void ReadRising(Value value, const std::vector<bool>& given) {
    if (!fields_.List(value, "a list of zones from near to far", /*empty_allowed=*/false)) return;
    std::vector<ZoneId> rising;
    std::vector<bool> seen(given.size(), false);
    for (const Value item : value) {
      const std::optional<std::string_view> name = fields_.Text(item, "a zone in quotation marks");
      if (!name) continue;
      const ZoneId zone = names_.zones.Find(*name);
      if (zone == kNoZone || zone >= given.size() || !given[zone]) {
        if (!names_.zones_sound) continue;
        std::vector<std::string_view> known;
        for (std::size_t i = 0; i < given.size(); ++i) {
          if (given[i]) known.push_back(names_.zones.names[i]);
        }
        fields_.UnknownName(kUnknownZone, item, "a zone that this chart gives", known);
      } else if (seen[zone]) {
        fields_.Error(kDuplicateCode, item, "found the zone " + Quoted(*name) + " twice, expected it once");
      } else {
        seen[zone] = true;
        rising.push_back(zone);
      }
    }
    AddRising(std::move(rising));
  }

  // A few orders are enough for a warning, and keep what a table costs to that of its zones.
  void AddRising(std::vector<ZoneId> rising) { Add(set_, std::move(rising)); }
  static void Add(ZoneSet& set, std::vector<ZoneId> rising) {
    constexpr std::size_t kMostOrders = 16;
    if (rising.size() < 2 || set.rising.size() >= kMostOrders) return;
    if (std::find(set.rising.begin(), set.rising.end(), rising) != set.rising.end()) return;
    set.rising.push_back(std::move(rising));
  }

  // {"I": ["US:969", "US:006-009"], ...}
  AreaMap<ZoneId> ReadAreasByZone(Value value) {
    AreaMap<ZoneId> map;
    if (!value.is(Kind::kObject)) {
      fields_.Expected(kWrongKind, value, "an object with lists of areas by zone");
      names_.zones_sound = false;
      return map;
    }
    if (value.size() == 0) fields_.Error(kEmptyList, value, "found an empty object, expected at least one zone");
    for (const Value member : value) {
      const ZoneId zone = ZoneOf(member, member.key(), /*at_key=*/true);
      if (!fields_.List(member, "a list of areas", /*empty_allowed=*/false)) continue;
      for (const Value item : member) {
        EachAreaOf(fields_, item, /*at_key=*/false, names_.area_lists,
                   [&](const Area& area, const AreaList*) { map.Add(area, zone); });
        if (fields_.areas_full()) return map;
      }
    }
    if (map.Finish()) ReportOverlapsOf(value);
    return map;
  }

  // Only where something overlaps the places are needed.
  void ReportOverlapsOf(Value zones) {
    std::vector<PlacedArea> placed;
    for (const Value member : zones) {
      if (!member.is(Kind::kArray)) continue;
      const ZoneId zone = names_.zones.Find(member.key());
      for (const Value item : member) Place(item, /*at_key=*/false, zone, placed);
    }
    ReportOverlaps(std::move(placed), "zone", fields_.findings());
  }

  void Place(Value value, bool at_key, std::uint32_t meaning, std::vector<PlacedArea>& placed) {
    const std::string_view text = at_key ? value.key() : value.text();
    const std::size_t offset = at_key ? value.key_offset() : value.offset();
    if (NamesList(text)) {
      const AreaList* const list = FindAreaList(fields_, value, at_key, names_.area_lists);
      if (list == nullptr) return;
      list->ForEach([&](const Area& area) { placed.push_back({area, meaning, offset, value, list->ToString()}); });
    } else if (value.is(Kind::kString) || at_key) {
      absl::StatusOr<Area> area = Area::Parse(text);
      if (area.ok()) placed.push_back({*std::move(area), meaning, offset, value, {}});
    }
  }

  ZoneId ReadZone(Value value) {
    const std::optional<std::string_view> name = fields_.Text(value, "a zone in quotation marks");
    if (!name) {
      names_.zones_sound = false;
      return kNoZone;
    }
    return ZoneOf(value, *name, /*at_key=*/false);
  }

  ZoneId ZoneOf(Value value, std::string_view name, bool at_key) {
    return Named(name, [&](Code code, const std::string& expected) {
      const std::string message = "found " + Quoted(name) + ", expected " + expected;
      at_key ? fields_.ErrorAtKey(code, value, message) : fields_.Error(code, value, message);
    });
  }

  template <typename Fail>
  ZoneId Named(std::string_view name, const Fail& fail) {
    if (name.empty() || name == "*" || name.size() > 64) {
      fail(kBadCode, "the name of a zone (not empty, not \"*\", at most 64 bytes)");
      return kNoZone;
    }
    ZoneNames& zones = names_.zones;
    ZoneId zone = zones.Find(name);
    if (zone == kNoZone) {
      if (zones.names.size() >= kMostZones) {
        if (names_.zones_sound) fail(kTooMany, "at most 10000 zones in a document");
        names_.zones_sound = false;
        return kNoZone;
      }
      zone = static_cast<ZoneId>(zones.names.size());
      zones.names.push_back(name);
      zones.ids.emplace(name, zone);
    }
    if (set_.has.size() <= zone) set_.has.resize(zone + std::size_t{1}, false);
    set_.has[zone] = true;
    return zone;
  }

  Fields& fields_;
  Names& names_;
  GridFiles& files_;
  ZoneSet set_;
};

}  // namespace

std::vector<ZoneList> ReadZoneLists(Fields& fields, Value value, Names& names, GridFiles& files) {
  return ZoneReader(fields, names, files).Read(value);
}

}  // namespace tarewise::inline TW_VERSIONED::load
