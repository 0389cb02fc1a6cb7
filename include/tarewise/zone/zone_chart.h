#ifndef TAREWISE_ZONE_ZONE_CHART_H_
#define TAREWISE_ZONE_ZONE_CHART_H_

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <utility>
#include <variant>
#include <vector>

#include "tarewise/version.h"
#include "tarewise/zone/area.h"
#include "tarewise/zone/gazetteer.h"
#include "tarewise/zone/place.h"

namespace tarewise::inline TW_VERSIONED {

/// A zone of a tariff: an index into `Tariff::zone_names`.
using ZoneId = std::uint16_t;
inline constexpr ZoneId kNoZone = 0xFFFF;

/// One zone for all the countries named, or everywhere.
struct OneZoneChart {
  ZoneId zone = kNoZone;
  std::vector<std::string> countries;
};

/// By destination alone.
struct RegionsChart {
  AreaMap<ZoneId> zones;
};

/// By origin, then destination: an explicit list, which wins over a distance.
struct PairsChart {
  AreaMap<std::uint32_t> origins;  ///< Index into `destinations`.
  std::vector<AreaMap<ZoneId>> destinations;
};

/// By great-circle distance between gazetteer points.
struct DistanceChart {
  struct Band {
    ZoneId zone = kNoZone;
    std::optional<Length> up_to;  ///< Inclusive; nothing: the last band, open.
  };
  struct Same {
    std::uint32_t prefix = 0;
    ZoneId zone = kNoZone;
  };
  std::vector<Band> bands;
  std::optional<Same> same;
};

using ZoneChart = std::variant<OneZoneChart, RegionsChart, PairsChart, DistanceChart>;

/// How a zone was found, for people: the chart's place in the list (from 0), its kind, and the distance where one was
/// used.
struct ZoneFinding {
  ZoneId zone = kNoZone;
  std::size_t chart = 0;
  std::optional<double> distance_metres;
};

/// Charts tried in order; the first that answers wins.
struct ZoneList {
  std::string name;
  std::vector<ZoneChart> charts;

  /// The zone of a lane, or nothing where no chart answers. Constant in the number of lanes, logarithmic in areas.
  std::optional<ZoneFinding> Find(const Lane& lane, const Gazetteer& gazetteer) const {
    for (std::size_t i = 0; i < charts.size(); ++i) {
      ZoneFinding finding;
      finding.chart = i;
      if (const auto* one = std::get_if<OneZoneChart>(&charts[i])) {
        if (one->countries.empty() ||
            std::find(one->countries.begin(), one->countries.end(), lane.to.country()) != one->countries.end()) {
          finding.zone = one->zone;
        }
      } else if (const auto* regions = std::get_if<RegionsChart>(&charts[i])) {
        if (const ZoneId* zone = regions->zones.Find(lane.to)) finding.zone = *zone;
      } else if (const auto* pairs = std::get_if<PairsChart>(&charts[i])) {
        if (const std::uint32_t* origin = pairs->origins.Find(lane.from)) {
          if (const ZoneId* zone = pairs->destinations[*origin].Find(lane.to)) finding.zone = *zone;
        }
      } else {
        FindByDistance(std::get<DistanceChart>(charts[i]), lane, gazetteer, finding);
      }
      if (finding.zone != kNoZone) return finding;
    }
    return std::nullopt;
  }

 private:
  static void FindByDistance(const DistanceChart& chart, const Lane& lane, const Gazetteer& gazetteer,
                             ZoneFinding& finding) {
    if (chart.same && lane.from.SharesHead(lane.to, chart.same->prefix)) {
      finding.zone = chart.same->zone;
      return;
    }
    const std::optional<GeoPoint> from = gazetteer.Find(lane.from);
    const std::optional<GeoPoint> to = gazetteer.Find(lane.to);
    if (!from || !to) return;
    const double metres = GreatCircleMetres(*from, *to);
    for (const DistanceChart::Band& band : chart.bands) {
      if (!band.up_to || metres <= static_cast<double>(band.up_to->nanometres()) * 1e-9) {
        finding.zone = band.zone;
        finding.distance_metres = metres;
        return;
      }
    }
  }
};

}  // namespace tarewise::inline TW_VERSIONED

#endif  // TAREWISE_ZONE_ZONE_CHART_H_
