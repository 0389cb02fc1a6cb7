#ifndef TAREWISE_ZONE_GAZETTEER_H_
#define TAREWISE_ZONE_GAZETTEER_H_

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <utility>

#include "tarewise/units/length.h"
#include "tarewise/version.h"
#include "tarewise/zone/area.h"
#include "tarewise/zone/place.h"

namespace tarewise::inline TW_VERSIONED {

/// A point on the earth in degrees.
struct GeoPoint {
  double latitude = 0;
  double longitude = 0;
  friend bool operator==(const GeoPoint&, const GeoPoint&) = default;
};

/// Radius of the sphere that distances are measured on: the mean radius of the earth, 6371.0088 km.
inline constexpr double kEarthRadiusMetres = 6371008.8;

/// Great-circle distance in metres on that sphere, by the haversine formula. The one place of the library with floating
/// point.
inline double GreatCircleMetres(const GeoPoint& a, const GeoPoint& b) {
  constexpr double kRadians = 3.14159265358979323846 / 180.0;
  const double sin_lat = std::sin((b.latitude - a.latitude) * kRadians / 2);
  const double sin_lon = std::sin((b.longitude - a.longitude) * kRadians / 2);
  const double h =
      sin_lat * sin_lat + std::cos(a.latitude * kRadians) * std::cos(b.latitude * kRadians) * sin_lon * sin_lon;
  return 2 * kEarthRadiusMetres * std::asin(std::min(1.0, std::sqrt(h)));
}

/// Points of postal areas; the longest prefix of a postal code wins, of British codes the most exact.
class Gazetteer {
 public:
  /// Adds a point. `prefix` is as in `Area::Of`; empty: the whole country's. Call `Finish` after the last.
  void Add(std::string country, std::string_view prefix, GeoPoint point) {
    map_.Add(Area::Of(std::move(country), prefix), point);
  }
  /// Returns a pair of areas that give one prefix two points, if there is one.
  std::optional<std::pair<Area, Area>> Finish() { return map_.Finish(); }

  std::optional<GeoPoint> Find(const Place& place) const {
    const GeoPoint* point = map_.Find(place);
    return point == nullptr ? std::nullopt : std::optional<GeoPoint>(*point);
  }
  std::size_t size() const { return map_.size(); }

 private:
  AreaMap<GeoPoint> map_;
};

}  // namespace tarewise::inline TW_VERSIONED

#endif  // TAREWISE_ZONE_GAZETTEER_H_
