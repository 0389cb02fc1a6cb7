// Zones compared by sweeping, against a look at every code. All invented.
#include "tarewise/compare/internal/zones.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "support/random.h"

namespace tarewise::zones_test {
namespace {

class RandomAreas : public ::testing::TestWithParam<int> {};

TEST_P(RandomAreas, SweepSaysWhatLookingUpEveryCodeSays) {
  testing::Random random(static_cast<std::uint64_t>(GetParam()) + 5);
  auto pick = [&random](int low, int high) {
    return low + static_cast<int>(random() % static_cast<unsigned>(high - low + 1));
  };
  auto code = [](int n) {
    const std::string text = std::to_string(n);
    return std::string(3 - text.size(), '0') + text;
  };
  auto make = [&] {
    // Areas of three digits that do not overlap; some left out.
    AreaMap<ZoneId> map;
    for (int at = pick(0, 20); at < 1000;) {
      const int last = std::min(999, at + pick(0, 90));
      if (pick(0, 4) > 0) map.Add(Area{"US", code(at), code(last)}, static_cast<ZoneId>(pick(0, 2)));
      at = last + 1;
    }
    EXPECT_FALSE(map.Finish().has_value());
    return map;
  };
  const AreaMap<ZoneId> before = make();
  const AreaMap<ZoneId> after = make();
  auto zone = [](const AreaMap<ZoneId>& map, const Place& place) -> std::optional<ZoneId> {
    const ZoneId* found = map.Find(place);
    return found == nullptr ? std::nullopt : std::optional<ZoneId>(*found);
  };
  const std::vector<internal::AreaSweep<ZoneId>::Segment> segments = internal::AreaSweep<ZoneId>::Run(&before, &after);
  for (int n = 0; n < 1000; ++n) {
    const Place place = *Place::MakeArea("US", code(n));
    int covering = 0;
    for (const auto& segment : segments) {
      if (!segment.area.Has(place)) continue;
      ++covering;
      EXPECT_EQ(segment.before, zone(before, place)) << code(n);
      EXPECT_EQ(segment.after, zone(after, place)) << code(n);
    }
    const bool known = zone(before, place) || zone(after, place);
    EXPECT_EQ(covering, known ? 1 : 0) << code(n);
  }
  for (std::size_t i = 1; i < segments.size(); ++i) {
    // Neighbours that say the same are one.
    const bool same = segments[i].before == segments[i - 1].before && segments[i].after == segments[i - 1].after;
    EXPECT_FALSE(same && std::stoi(segments[i].area.first) == std::stoi(segments[i - 1].area.last) + 1);
  }
}

INSTANTIATE_TEST_SUITE_P(Seeds, RandomAreas, ::testing::Range(0, 20));

TEST(Compare, BritishAreas) {
  AreaMap<ZoneId> before;
  for (const char* area : {"GB:PA20-80", "GB:EC1A", "GB:PA2 0", "GB:IV"}) before.Add(*Area::Parse(area), 1);
  ASSERT_FALSE(before.Finish());
  AreaMap<ZoneId> after;
  for (const char* area : {"GB:PA8-19", "GB:PA20-38", "GB:PA40-80", "GB:EC1B", "GB:PA2 1"}) {
    after.Add(*Area::Parse(area), 1);
  }
  after.Add(*Area::Parse("GB:PA39"), 2);
  ASSERT_FALSE(after.Finish());
  std::vector<std::string> told;
  for (const auto& segment : internal::AreaSweep<ZoneId>::Run(&before, &after)) {
    told.push_back(segment.area.ToString() + " " + std::to_string(segment.before.value_or(99)) + ">" +
                   std::to_string(segment.after.value_or(99)));
  }
  EXPECT_EQ(told,
            (std::vector<std::string>{"GB:IV 1>99", "GB:PA8-19 99>1", "GB:PA20-38 1>1", "GB:PA39 1>2", "GB:PA40-80 1>1",
                                      "GB:EC1A 1>99", "GB:EC1B 99>1", "GB:PA2 0 1>99", "GB:PA2 1 99>1"}));
}

TEST(Compare, AreasOfLetters) {
  AreaMap<ZoneId> before;
  before.Add(*Area::Parse("HK:AB1-AB9"), 1);
  ASSERT_FALSE(before.Finish());
  AreaMap<ZoneId> after;
  after.Add(*Area::Parse("HK:AB1-AB4"), 1);
  after.Add(*Area::Parse("HK:AB5"), 2);
  after.Add(*Area::Parse("HK:AB6-ABC"), 1);
  ASSERT_FALSE(after.Finish());
  std::vector<std::string> told;
  for (const auto& segment : internal::AreaSweep<ZoneId>::Run(&before, &after)) {
    if (segment.before == segment.after) continue;
    told.push_back(segment.area.ToString() + " " + std::to_string(segment.before.value_or(99)) + ">" +
                   std::to_string(segment.after.value_or(99)));
  }
  EXPECT_EQ(told, (std::vector<std::string>{"HK:AB5 1>2", "HK:ABA-ABC 99>1"}));
}

}  // namespace
}  // namespace tarewise::zones_test
