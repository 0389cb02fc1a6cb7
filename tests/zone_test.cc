// Places, areas and charts: the longest prefix, against looking at every area.

#include <gtest/gtest.h>

#include <optional>
#include <string>
#include <vector>

#include "exact.h"
#include "tarewise/zone/area.h"
#include "tarewise/zone/gazetteer.h"
#include "tarewise/zone/place.h"
#include "tarewise/zone/zone_chart.h"

namespace tarewise {
namespace {

using testing::Between;
using testing::Chance;
using testing::OneOf;
using testing::Random;

std::string ErrorOf(const absl::Status& status) {
  return std::string(status.message().data(), status.message().size());
}

Place At(const std::string& country, const std::string& code) { return Place::Make(country, code).value(); }

TEST(Place, CodesAreComparedWithoutBlanksAndHyphensInUpperCase) {
  EXPECT_EQ(At("NL", "3511 ab"), At("NL", "3511AB"));
  EXPECT_EQ(At("CA", "k1a-0b1").postal_code(), "K1A0B1");
  EXPECT_EQ(At("US", "05401-1234").postal_code(), "054011234");
  EXPECT_EQ(At("US", "").postal_code(), "");
  // A postal code is not a number.
  EXPECT_FALSE(At("US", "04101") == At("US", "4101"));
  EXPECT_EQ(ErrorOf(Place::Make("us", "05401").status()),
            "found \"us\", expected a country of two capital letters, such as \"US\"");
  EXPECT_FALSE(Place::Make("USA", "05401").ok());
  EXPECT_EQ(ErrorOf(Place::Make("US", "05401!").status()),
            "found \"05401!\", expected a postal code of letters and digits");
  EXPECT_FALSE(Place::Make("US", "12345678901234567").ok());
}

TEST(Area, IsACountryAPrefixOrARange) {
  const Area country = Area::Parse("DE").value();
  EXPECT_TRUE(country.Has(At("DE", "10115")));
  EXPECT_TRUE(country.Has(At("DE", "")));
  EXPECT_FALSE(country.Has(At("FR", "10115")));
  const Area range = Area::Parse("US:006-009").value();
  for (const char* code : {"00601", "00901", "00999", "009"}) EXPECT_TRUE(range.Has(At("US", code))) << code;
  for (const char* code : {"00501", "01001", "00", "", "6"}) EXPECT_FALSE(range.Has(At("US", code))) << code;
  EXPECT_EQ(range.ToString(), "US:006-009");
  EXPECT_EQ(Area::Parse("CA:k1a").value().ToString(), "CA:K1A");
  for (const char* text : {"", "us", "USA", "US:", "US:-", "US:1-2-3", "US:1!"}) {
    EXPECT_EQ(ErrorOf(Area::Parse(text).status()),
              std::string("found \"") + text + R"(", expected an area such as "US", "US:969" or "US:006-009")");
  }
  for (const char* text : {"US:1-22", "US:1-"}) {
    EXPECT_EQ(ErrorOf(Area::Parse(text).status()),
              std::string("found \"") + text + "\", expected an area whose two prefixes are of one length");
  }
  EXPECT_EQ(ErrorOf(Area::Parse("US:9-1").status()),
            "found \"US:9-1\", expected an area whose prefixes rise (this one is empty)");
}

TEST(AreaMap, TheLongestPrefixWins) {
  AreaMap<int> map;
  map.Add(Area::Parse("US").value(), 1);
  map.Add(Area::Parse("US:9").value(), 2);
  map.Add(Area::Parse("US:96-97").value(), 3);
  map.Add(Area::Parse("US:969").value(), 4);
  ASSERT_FALSE(map.Finish().has_value());
  EXPECT_EQ(*map.Find(At("US", "05401")), 1);
  EXPECT_EQ(*map.Find(At("US", "98101")), 2);
  EXPECT_EQ(*map.Find(At("US", "96701")), 3);
  EXPECT_EQ(*map.Find(At("US", "96910")), 4);
  EXPECT_EQ(*map.Find(At("US", "9")), 2);
  EXPECT_EQ(map.Find(At("CA", "96910")), nullptr);
}

// Random areas of three letters of alphabet, so that everything overlaps everything; the answer of the map against the
// definition: of all the areas that hold the place, the one with the longest prefix.
TEST(AreaMap, IsTheLongestOfAllThatHoldThePlace) {
  Random random(1);
  int conflicts = 0;
  int found = 0;
  auto code = [&random](std::int64_t size) {
    std::string out;
    for (std::int64_t i = 0; i < size; ++i) out += static_cast<char>('0' + Between(random, 0, 3));
    return out;
  };
  for (int world = 0; world < 3'000; ++world) {
    std::vector<std::pair<Area, int>> areas;
    AreaMap<int> map;
    for (std::int64_t n = Between(random, 1, 12); n > 0; --n) {
      Area area;
      area.country = Chance(random, 0.8) ? "US" : "CA";
      const std::int64_t size = Between(random, 0, 3);
      area.first = code(size);
      area.last = Chance(random, 0.5) ? area.first : code(size);
      if (area.last < area.first) std::swap(area.first, area.last);
      const int value = static_cast<int>(Between(random, 1, 4));
      areas.emplace_back(area, value);
      map.Add(area, value);
    }
    bool expect_conflict = false;
    for (std::size_t i = 0; i < areas.size(); ++i) {
      for (std::size_t j = 0; j < i; ++j) {
        const auto& [a, value_a] = areas[i];
        const auto& [b, value_b] = areas[j];
        expect_conflict =
            expect_conflict || (value_a != value_b && a.country == b.country && a.first.size() == b.first.size() &&
                                a.first <= b.last && b.first <= a.last);
      }
    }
    ASSERT_EQ(map.Finish().has_value(), expect_conflict) << "world " << world;
    if (expect_conflict) {
      ++conflicts;
      continue;
    }
    for (int i = 0; i < 30; ++i) {
      const Place place = At(Chance(random, 0.8) ? "US" : "CA", code(Between(random, 0, 5)));
      const int* best = nullptr;
      std::size_t longest = 0;
      for (const auto& [area, value] : areas) {
        if (area.Has(place) && (best == nullptr || area.first.size() > longest)) {
          best = &value;
          longest = area.first.size();
        }
      }
      const int* got = map.Find(place);
      ASSERT_EQ(got == nullptr, best == nullptr) << place.postal_code();
      if (best != nullptr) {
        ++found;
        ASSERT_EQ(*got, *best) << place.country() << " " << place.postal_code();
      }
    }
  }
  EXPECT_GT(conflicts, 300);
  EXPECT_GT(found, 5'000);
}

// ---- charts ----

constexpr ZoneId kLocal = 0, kNear = 1, kFar = 2, kList = 3;

ZoneList Distances() {
  DistanceChart chart;
  chart.bands = {{kNear, Length::Miles(50)}, {kFar, Length::Miles(150)}};
  chart.same = DistanceChart::Same{3, kLocal};
  return {"main", {chart}};
}

std::optional<ZoneId> ZoneOf(const ZoneList& list, const Place& from, const Place& to, const Gazetteer& gazetteer) {
  const std::optional<ZoneFinding> finding = list.Find({from, to}, gazetteer);
  return finding ? std::optional<ZoneId>(finding->zone) : std::nullopt;
}

TEST(ZoneChart, DistanceEdgesAreInclusiveAndALastBandMayClose) {
  Gazetteer gazetteer;
  // A degree of a great circle is 2 pi / 360 of the sphere: 111.195080 km.
  const double degree = kEarthRadiusMetres * 3.14159265358979323846 / 180;
  const double edge = 50 * 1609.344 / degree;
  gazetteer.Add("US", "100", {0, 0});
  gazetteer.Add("US", "101", {0, edge - 1e-9});
  gazetteer.Add("US", "102", {0, edge + 1e-9});
  gazetteer.Add("US", "103", {0, 3 * edge + 1e-9});
  ASSERT_FALSE(gazetteer.Finish().has_value());
  const ZoneList list = Distances();
  const Place from = At("US", "10001");
  EXPECT_EQ(ZoneOf(list, from, At("US", "10101"), gazetteer), kNear);
  EXPECT_EQ(ZoneOf(list, from, At("US", "10201"), gazetteer), kFar);
  EXPECT_EQ(ZoneOf(list, from, At("US", "10301"), gazetteer), std::nullopt);
  EXPECT_EQ(ZoneOf(list, from, At("US", "99901"), gazetteer), std::nullopt);
  EXPECT_EQ(ZoneOf(list, At("US", "99901"), from, gazetteer), std::nullopt);
}

TEST(ZoneChart, SameLooksAtTheCodesFirstAndNeedsNoPoint) {
  const ZoneList list = Distances();
  const Gazetteer nothing;
  EXPECT_EQ(ZoneOf(list, At("US", "05401"), At("US", "05499"), nothing), kLocal);
  EXPECT_EQ(ZoneOf(list, At("US", "05401"), At("CA", "05499"), nothing), std::nullopt);
  EXPECT_EQ(ZoneOf(list, At("US", "05"), At("US", "05"), nothing), std::nullopt);
  EXPECT_EQ(ZoneOf(list, At("US", "05401"), At("US", "05104"), nothing), std::nullopt);
}

TEST(ZoneChart, AnExplicitListWinsOverADistance) {
  Gazetteer gazetteer;
  gazetteer.Add("US", "1", {0, 0});
  gazetteer.Add("US", "2", {0, 0.1});
  ASSERT_FALSE(gazetteer.Finish().has_value());
  RegionsChart regions;
  regions.zones.Add(Area::Parse("US:29").value(), kList);
  ASSERT_FALSE(regions.zones.Finish().has_value());
  ZoneList list = Distances();
  list.charts.insert(list.charts.begin(), regions);
  EXPECT_EQ(ZoneOf(list, At("US", "10001"), At("US", "29001"), gazetteer), kList);
  EXPECT_EQ(ZoneOf(list, At("US", "10001"), At("US", "20001"), gazetteer), kNear);
  EXPECT_EQ(list.Find({At("US", "10001"), At("US", "20001")}, gazetteer)->chart, 1U);
  EXPECT_TRUE(list.Find({At("US", "10001"), At("US", "20001")}, gazetteer)->distance_metres.has_value());
}

TEST(ZoneChart, PairsAreNotSymmetric) {
  PairsChart pairs;
  pairs.origins.Add(Area::Parse("US:050-059").value(), 0);
  pairs.origins.Add(Area::Parse("US:05").value(), 1);
  ASSERT_FALSE(pairs.origins.Finish().has_value());
  pairs.destinations.resize(2);
  pairs.destinations[0].Add(Area::Parse("US:060-078").value(), kNear);
  pairs.destinations[1].Add(Area::Parse("US").value(), kFar);
  for (AreaMap<ZoneId>& destinations : pairs.destinations) ASSERT_FALSE(destinations.Finish().has_value());
  const ZoneList list{"main", {pairs}};
  const Gazetteer nothing;
  EXPECT_EQ(ZoneOf(list, At("US", "05401"), At("US", "06001"), nothing), kNear);
  EXPECT_EQ(ZoneOf(list, At("US", "06001"), At("US", "05401"), nothing), std::nullopt);
  // The longest origin area is the one that is asked: its list does not hold 98101, and no shorter one is tried.
  EXPECT_EQ(ZoneOf(list, At("US", "05401"), At("US", "98101"), nothing), std::nullopt);
}

}  // namespace
}  // namespace tarewise
