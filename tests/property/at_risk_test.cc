// What is at risk within a tolerance, against pricing again at every place where a rule can see a difference.

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cstdint>
#include <iostream>
#include <optional>
#include <string>
#include <vector>

#include "property/asked.h"
#include "support/fewer.h"
#include "support/worlds.h"

namespace tarewise::at_risk_test {
namespace {

using namespace asked;  // NOLINT(google-build-using-namespace)
using testing::Between;
using testing::kFewer;
using testing::PriceAt;
using testing::Share;

// Few tolerances put an offer at risk of a refusal: of fewer requests, each is asked with several.
constexpr int kTolerances = kFewer > 1 ? 2 : 1;
constexpr double kShare = kFewer > 1 ? 0.2 : 0.3;

TEST(AtRisk, IsTheHighestTotalWithinTheTolerance) {
  std::size_t offers = 0;
  std::size_t at_risk = 0;
  std::size_t refused = 0;
  std::size_t met = 0;
  auto tolerant = [](Request& request, Random& random) {
    if (Chance(random, 0.8)) request.tolerance.weight = Weight::Nanograms(testing::AnySize(random, 40));
    if (Chance(random, 0.8)) request.tolerance.sides = Length::Nanometres(testing::AnySize(random, 27));
    request.objective = Chance(random, 0.5) ? Objective::kCautious : Objective::kCheapest;
    return true;
  };
  auto check = [&](const World&, const Ranking& ranking, Random& random) {
    const Request& request = ranking.request();
    EdgesOf edges(ranking);
    for (const Offer& offer : ranking.offers()) {
      ++offers;
      const bool irregular = ranking.candidates()[offer.candidate_index].facts.irregular();
      const Edges& of = edges[offer.service_index];
      const std::int64_t weight = offer.weight.nanograms();
      const std::int64_t weight_most = std::min(weight + request.tolerance.weight.nanograms(), Weight::kMostNanograms);
      const Sides least = SidesOf(offer);
      Sides most = least;
      for (std::int64_t& side : most)
        side = std::min(side + request.tolerance.sides.nanometres(), Length::kMostSideNanometres);
      const std::vector<std::int64_t> weights = of.Along(true, {}, irregular, weight, weight_most, random);
      std::optional<Amount> highest = offer.total;
      // Each corner, and from each corner and some places inside every place that matters along each side.
      std::vector<Sides> starts;
      for (int corner = 0; corner < 8; ++corner) {
        Sides at;
        for (std::size_t i = 0; i < 3; ++i) at[i] = ((corner >> i) & 1) != 0 ? most[i] : least[i];
        starts.push_back(at);
      }
      for (int n = 0; n < 2; ++n) {
        Sides at;
        for (std::size_t i = 0; i < 3; ++i) at[i] = Between(random, least[i], most[i]);
        starts.push_back(at);
      }
      for (const Sides& start : starts) {
        for (std::size_t i = 0; i < 3; ++i) {
          for (const std::int64_t place :
               of.Along(false, {start[(i + 1) % 3], start[(i + 2) % 3]}, irregular, least[i], most[i], random)) {
            Sides at = start;
            at[i] = place;
            for (const std::int64_t w : weights) {
              const std::optional<Amount> total = PriceAt(ranking, offer.service_index, offer.candidate_index, w, at);
              if (!total || !highest) {
                highest = std::nullopt;
              } else {
                highest = std::max(*highest, *total);
              }
            }
          }
        }
      }
      const std::string told = !offer.at_risk ? "nothing at risk" : "at risk of " + Text(offer.total_at_risk);
      if (!highest) {
        ++refused;
        ASSERT_TRUE(offer.at_risk && !offer.total_at_risk) << Named(offer) << ": " << told << ", but may be refused";
        ++met;
      } else if (*highest > offer.total) {
        ++at_risk;
        ASSERT_TRUE(offer.at_risk) << Named(offer) << ": may rise to " << highest->ToString();
        if (offer.total_at_risk) {
          ASSERT_GE(*offer.total_at_risk, *highest) << Named(offer);
        }
        met += offer.total_at_risk == highest ? 1 : 0;
      } else {
        met += offer.at_risk ? 0 : 1;
      }
    }
    // Cautious: by the total at risk and the handicap, those that may be refused last.
    if (request.objective != Objective::kCautious) return;
    auto due = [](const Offer& offer) {
      if (!offer.at_risk) return (offer.total + offer.handicap).micros();
      return offer.total_at_risk ? (*offer.total_at_risk + offer.handicap).micros() : INT64_MAX;
    };
    for (std::size_t i = 1; i < ranking.offers().size(); ++i) {
      ASSERT_LE(due(ranking.offers()[i - 1]), due(ranking.offers()[i]));
    }
  };
  const std::size_t too_wide = ForSome(28, kShare, kTolerances, tolerant, check);
  std::cout << offers << " offers with a tolerance: " << at_risk << " may rise, " << refused
            << " may be refused; told as found in " << met << "; " << too_wide << " requests too wide\n";
  EXPECT_GT(at_risk, Share(300));
  EXPECT_GT(refused, Share(50));
  EXPECT_GT(met * 1000, offers * 999);
  EXPECT_LT(too_wide * 200, offers);
}

}  // namespace
}  // namespace tarewise::at_risk_test
