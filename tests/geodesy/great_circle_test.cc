// Distances against GeographicLib (C. F. F. Karney, Algorithms for geodesics, J. Geodesy 87, 2013): on a sphere of the
// same radius, to a thousandth of a millimetre, and how far the real earth's ellipsoid is from it.

#include <gtest/gtest.h>

#include <GeographicLib/Geodesic.hpp>
#include <algorithm>
#include <cmath>
#include <fstream>
#include <iostream>
#include <sstream>
#include <string>
#include <vector>

#include "support/exact.h"
#include "tarewise/units/length.h"
#include "tarewise/zone/gazetteer.h"
#include "tarewise/zone/zone_chart.h"

namespace tarewise {
namespace {

using GeographicLib::Geodesic;
using testing::Random;

const Geodesic& Sphere() {
  static const Geodesic sphere(kEarthRadiusMetres, 0);
  return sphere;
}

double Metres(const Geodesic& earth, const GeoPoint& a, const GeoPoint& b) {
  double metres = 0;
  earth.Inverse(a.latitude, a.longitude, b.latitude, b.longitude, metres);
  return metres;
}

// The points of the demonstration's gazetteer: country, prefix, latitude, longitude.
std::vector<GeoPoint> GazetteerPoints() {
  std::ifstream file(TW_TEST_ROOT "/tables/demo/gazetteer-us.csv");
  std::vector<GeoPoint> points;
  std::string line;
  std::getline(file, line);
  EXPECT_EQ(line.rfind("country,prefix,latitude,longitude", 0), 0U) << line;
  while (std::getline(file, line)) {
    std::istringstream fields(line);
    std::string country, prefix, latitude, longitude;
    std::getline(fields, country, ',');
    std::getline(fields, prefix, ',');
    std::getline(fields, latitude, ',');
    std::getline(fields, longitude, ',');
    points.push_back({std::stod(latitude), std::stod(longitude)});
  }
  return points;
}

// Act of 24 August 1912, ch. 389, sec. 8, 37 Stat. 557-558: bands at 50, 150, 300, 600, 1,000, 1,400 and 1,800 miles,
// an eighth zone beyond; the upper edge belongs to the band.
int ZoneOf1912(double metres) {
  int zone = 1;
  for (const int miles : {50, 150, 300, 600, 1000, 1400, 1800}) {
    if (metres <= miles * 1609.344) break;
    ++zone;
  }
  return zone;
}

TEST(GreatCircle, RandomPointsAgreeWithTheSphere) {
  Random random(1);
  std::uniform_real_distribution<double> longitude(-180, 180);
  std::uniform_real_distribution<double> sine(-1, 1);
  std::uniform_real_distribution<double> exponent(-9, 2);
  double greatest = 0;
  int compared = 0;
  for (int i = 0; i < 200'000; ++i) {
    const GeoPoint a{std::asin(sine(random)) * 180 / 3.14159265358979323846, longitude(random)};
    GeoPoint b{std::asin(sine(random)) * 180 / 3.14159265358979323846, longitude(random)};
    if (i % 2 == 0) {  // near each other, from a hundredth of a millimetre up
      const double away = std::pow(10, exponent(random));
      b = {std::clamp(a.latitude + away * sine(random), -90.0, 90.0), a.longitude + away * sine(random)};
    }
    const double expected = Metres(Sphere(), a, b);
    const double got = GreatCircleMetres(a, b);
    ASSERT_EQ(got, GreatCircleMetres(b, a)) << "the way back is as long";
    // Within some 20 km of the point on the other side of the earth the haversine formula loses digits; no postal zone
    // is there.
    if (expected > 20'000'000) {
      ASSERT_NEAR(got, expected, 0.5);
      continue;
    }
    ++compared;
    greatest = std::max(greatest, std::abs(got - expected));
    ASSERT_NEAR(got, expected, 1e-6) << a.latitude << " " << a.longitude << " to " << b.latitude << " " << b.longitude;
  }
  EXPECT_GT(compared, 190'000);
  RecordProperty("greatest_difference_to_the_sphere_nm", static_cast<int>(greatest * 1e9));
  std::cout << "random points: at most " << greatest * 1e9 << " nm from GeographicLib on the sphere\n";
}

TEST(GreatCircle, EveryPairOfTheGazetteer) {
  const std::vector<GeoPoint> points = GazetteerPoints();
  ASSERT_EQ(points.size(), 896U);
  double greatest_on_sphere = 0;
  double greatest_on_earth = 0;
  double greatest_part = 0;
  int pairs = 0;
  int zones_changed = 0;
  for (std::size_t i = 0; i < points.size(); ++i) {
    for (std::size_t j = 0; j < i; ++j) {
      const double got = GreatCircleMetres(points[i], points[j]);
      const double on_sphere = Metres(Sphere(), points[i], points[j]);
      ASSERT_NEAR(got, on_sphere, 1e-6);
      const double on_earth = Metres(Geodesic::WGS84(), points[i], points[j]);
      ++pairs;
      greatest_on_sphere = std::max(greatest_on_sphere, std::abs(got - on_sphere));
      greatest_on_earth = std::max(greatest_on_earth, std::abs(got - on_earth));
      greatest_part = std::max(greatest_part, std::abs(got - on_earth) / on_earth);
      if (ZoneOf1912(got) != ZoneOf1912(on_earth)) ++zones_changed;
    }
  }
  RecordProperty("pairs", pairs);
  RecordProperty("greatest_difference_to_the_ellipsoid_m", static_cast<int>(greatest_on_earth));
  RecordProperty("pairs_in_another_zone_on_the_ellipsoid", zones_changed);
  std::cout << pairs << " pairs of postal areas: at most " << greatest_on_sphere * 1e9
            << " nm from the sphere; the ellipsoid (WGS84) is up to " << greatest_on_earth << " m ("
            << greatest_part * 100 << " %) away, and would put " << zones_changed << " pairs ("
            << 100.0 * zones_changed / pairs << " %) into another zone of 1912\n";
  // A sphere is within 0.56 % of the ellipsoid (from memory); a slip of units or of a radius would be far outside.
  EXPECT_LT(greatest_part, 0.0057);
  EXPECT_LT(zones_changed, pairs / 100);
}

// Points from memory, distance derived: (36.12 N, 86.67 W) to (33.94 N, 118.40 W) on 6371.0088 km is 2886.448430 km =
// 1793.555902 mi, so zone 7, 6.4 miles inside the 1,800-mile edge.
TEST(GreatCircle, NashvilleToLosAngeles) {
  const double metres = GreatCircleMetres({36.12, -86.67}, {33.94, -118.40});
  EXPECT_NEAR(metres, 2886448.430, 0.0005);
  EXPECT_NEAR(metres / 1609.344, 1793.555902, 0.0000005);
  EXPECT_NEAR(1800 - metres / 1609.344, 6.4, 0.05);
  EXPECT_EQ(ZoneOf1912(metres), 7);
}

TEST(GreatCircle, QuarterAndHalfOfTheSphere) {
  const double quarter = kEarthRadiusMetres * 3.14159265358979323846 / 2;
  EXPECT_NEAR(GreatCircleMetres({0, 0}, {90, 0}), quarter, 1e-6);
  EXPECT_NEAR(GreatCircleMetres({0, -90}, {0, 90}), 2 * quarter, 1e-6);
  EXPECT_NEAR(GreatCircleMetres({90, 17}, {-90, 55}), 2 * quarter, 1e-6);
  EXPECT_EQ(GreatCircleMetres({12.5, 33}, {12.5, 33}), 0);
  // Across the date line the short way.
  EXPECT_NEAR(GreatCircleMetres({0, 179.5}, {0, -179.5}), quarter / 90, 1e-6);
}

}  // namespace
}  // namespace tarewise
