// Ranges, and where the winner changes in them, against pricing again at every place where a rule can see a difference.

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <iostream>
#include <map>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "property/asked.h"
#include "support/fewer.h"
#include "support/worlds.h"
#include "tarewise/ranking/internal/dispatch_state.h"
#include "tarewise/ranking/internal/pieces.h"

namespace tarewise::extremes_test {
namespace {

using namespace asked;  // NOLINT(google-build-using-namespace)
using testing::Between;
using testing::PriceAt;
using testing::Share;

// Makes the weight, one side or both of a request a range.
bool WithRanges(Request& request, Random& random) {
  if (!request.parcel && request.goods.size() != 1) return false;
  const bool weight = Chance(random, 0.6);
  const bool side = !weight || Chance(random, 0.4);
  const Weight most = Weight::Nanograms(testing::AnySize(random, 41) + 1);
  SideRange range{static_cast<std::size_t>(Between(random, 0, 2)), {}};
  const Length more = Length::Nanometres(testing::AnySize(random, 28) + 1);
  if (request.parcel) {
    if (weight) request.parcel->weight_most = request.parcel->weight + most;
    if (side) {
      range.most = request.parcel->sides.sides()[range.index] + more;
      request.parcel->side_ranges = {range};
    }
  } else {
    Item& item = request.goods.front();
    if (weight) item.weight_most = item.weight + most;
    if (side && item.quantity == 1) {
      range.most = item.sides[range.index] + more;
      item.side_ranges = {range};
    }
  }
  return true;
}

// Every total that a service asks over a candidate's range, at each place where one can differ: weights and one side
// change independently of each other.
struct Extremes {
  std::optional<Amount> lowest;
  std::optional<Amount> highest;
  bool refused = false;
  std::size_t places = 0;
};

Extremes BruteForce(const Ranking& ranking, const Edges& edges, std::uint32_t service, std::uint32_t index,
                    Random& random) {
  const Candidate& candidate = ranking.candidates()[index];
  const bool irregular = candidate.facts.irregular();
  std::vector<std::int64_t> weights =
      edges.Along(true, {}, irregular, candidate.facts.weight, candidate.weight_most, random);
  weights.push_back(Between(random, candidate.facts.weight, candidate.weight_most));
  std::vector<Sides> sides = {candidate.least};
  for (std::size_t i = 0; i < 3; ++i) {
    if (candidate.least[i] == candidate.most[i]) continue;
    std::vector<std::int64_t> places = edges.Along(false, {candidate.least[(i + 1) % 3], candidate.least[(i + 2) % 3]},
                                                   irregular, candidate.least[i], candidate.most[i], random);
    for (int n = 0; n < 3; ++n) places.push_back(Between(random, candidate.least[i], candidate.most[i]));
    for (const std::int64_t place : places) {
      sides.push_back(candidate.least);
      sides.back()[i] = place;
    }
  }
  Extremes out;
  for (const std::int64_t weight : weights) {
    for (const Sides& at : sides) {
      const std::optional<Amount> total = PriceAt(ranking, service, index, weight, at);
      ++out.places;
      if (!total) {
        out.refused = true;
        continue;
      }
      out.lowest = out.lowest ? std::min(*out.lowest, *total) : *total;
      out.highest = out.highest ? std::max(*out.highest, *total) : *total;
    }
  }
  return out;
}

TEST(Ranges, ExtremesAreThoseOfEveryPlace) {
  std::size_t compared = 0;
  std::size_t wide = 0;
  std::size_t refused = 0;
  ForSome(24, 1.0, WithRanges, [&](const World&, const Ranking& ranking, Random& random) {
    if (ranking.estimate()) return;  // the allowance is a range of its own: see below
    EdgesOf edges(ranking);
    std::map<std::pair<std::uint32_t, std::uint32_t>, const Offer*> offers;
    for (const Offer& offer : ranking.offers()) offers[{offer.candidate_index, offer.service_index}] = &offer;
    for (std::uint32_t c = 0; c < ranking.candidates().size(); ++c) {
      const Candidate& candidate = ranking.candidates()[c];
      int ranging = 0;
      for (std::size_t i = 0; i < 3; ++i) ranging += candidate.least[i] != candidate.most[i] ? 1 : 0;
      if (ranging > 1) continue;
      for (std::uint32_t s = 0; s < ranking.dispatch().services().size(); ++s) {
        if (ranking.dispatch().services()[s].out) continue;
        const Extremes extremes = BruteForce(ranking, edges[s], s, c, random);
        const auto at = offers.find({c, s});
        const Offer* offer = at == offers.end() ? nullptr : at->second;
        ++compared;
        if (extremes.refused) {
          ++refused;
          ASSERT_EQ(offer, nullptr) << Named(*offer) << ", but somewhere in the range it is refused";
          continue;
        }
        if (offer == nullptr) {
          // Of a carton whole and cut down the one with the lower total is offered.
          const bool is_cut = candidate.cut_to.has_value();
          const auto other = offers.find({is_cut ? c - 1 : c + 1, s});
          if (other != offers.end() && (is_cut || other->second->cut_to)) {
            ASSERT_LE(other->second->total, *extremes.highest) << Named(*other->second);
            continue;
          }
        }
        ASSERT_NE(offer, nullptr) << ranking.dispatch().services()[s].service->code << " in "
                                  << candidate.facts.packaging
                                  << " is refused, but takes every place of the range, from "
                                  << extremes.lowest->ToString() << " to " << extremes.highest->ToString();
        if (offer->range) {
          ASSERT_EQ(offer->range->lowest, *extremes.lowest) << Named(*offer);
          ASSERT_EQ(offer->range->highest, *extremes.highest) << Named(*offer);
          if (offer->range->lowest != offer->range->highest) ++wide;
        } else {
          ASSERT_EQ(*extremes.lowest, *extremes.highest) << Named(*offer) << " has no range";
          ASSERT_EQ(offer->total, *extremes.lowest);
        }
        ASSERT_EQ(offer->total, *extremes.highest) << Named(*offer) << ": ranked by the highest";
      }
    }
  });
  EXPECT_GT(compared, Share(3'000));
  EXPECT_GT(wide, Share(240));
  EXPECT_GT(refused, Share(500));
}

// Several sides that range together: no place inside is outside of what is told, and what is told is told of a place
// inside.
TEST(Ranges, OfSeveralSidesHoldEveryPlace) {
  std::size_t places = 0;
  std::size_t met_low = 0;
  std::size_t met_high = 0;
  std::size_t offers = 0;
  auto several = [](Request& request, Random& random) {
    if (!request.parcel) return false;
    for (std::size_t i = 0; i < 3; ++i) {
      if (Chance(random, 0.25)) continue;
      request.parcel->side_ranges.push_back(
          {i, request.parcel->sides.sides()[i] + Length::Nanometres(testing::AnySize(random, 27) + 1)});
    }
    if (Chance(random, 0.5))
      request.parcel->weight_most = request.parcel->weight + Weight::Nanograms(testing::AnySize(random, 40) + 1);
    return request.parcel->side_ranges.size() > 1;
  };
  const std::size_t too_wide = ForSome(25, 0.5, several, [&](const World&, const Ranking& ranking, Random& random) {
    const Candidate& candidate = ranking.candidates().front();
    EdgesOf edges(ranking);
    for (const Offer& offer : ranking.offers()) {
      ++offers;
      const Edges& of = edges[offer.service_index];
      const std::vector<std::int64_t> weights =
          of.Along(true, {}, candidate.facts.irregular(), candidate.facts.weight, candidate.weight_most, random);
      Amount lowest = offer.total;
      Amount highest = offer.total;
      for (int n = 0; n < 40; ++n) {
        Sides at;
        for (std::size_t i = 0; i < 3; ++i) {
          at[i] = Chance(random, 0.3) ? candidate.least[i]
                                      : (Chance(random, 0.4) ? candidate.most[i]
                                                             : Between(random, candidate.least[i], candidate.most[i]));
        }
        // Of one of them, every place that matters to the others as they are.
        const std::size_t i = static_cast<std::size_t>(Between(random, 0, 2));
        for (const std::int64_t place : of.Along(false, {at[(i + 1) % 3], at[(i + 2) % 3]}, candidate.facts.irregular(),
                                                 candidate.least[i], candidate.most[i], random)) {
          at[i] = place;
          const std::int64_t weight = testing::OneOf(random, weights);
          const std::optional<Amount> total = PriceAt(ranking, offer.service_index, 0, weight, at);
          ++places;
          ASSERT_TRUE(total.has_value()) << Named(offer) << " is refused within the range";
          lowest = std::min(lowest, *total);
          highest = std::max(highest, *total);
          const TotalRange told = offer.range.value_or(TotalRange{offer.total, offer.total});
          ASSERT_LE(told.lowest, *total) << Named(offer);
          ASSERT_GE(told.highest, *total) << Named(offer);
        }
      }
      const TotalRange told = offer.range.value_or(TotalRange{offer.total, offer.total});
      met_low += told.lowest == lowest ? 1 : 0;
      met_high += told.highest == highest ? 1 : 0;
    }
  });
  std::cout << offers << " offers over several ranging sides, " << places << " places; lowest met in " << met_low
            << ", highest in " << met_high << "; " << too_wide << " requests too wide\n";
  EXPECT_GT(offers, Share(200));
  // Random places miss a corner now and then; what the library tells is told of a place it has priced (see below).
  EXPECT_GT(met_low * 100, offers * 97);
  EXPECT_GT(met_high * 100, offers * 97);
}

// What is visited is inside the box.
TEST(Ranges, OnlyPlacesInsideAreVisited) {
  std::size_t visited = 0;
  ForSome(26, 0.2, AsItIs, [&](const World&, const Ranking& ranking, Random& random) {
    for (const internal::ServiceState& state : internal::StateOf(ranking.dispatch()).services()) {
      internal::ParcelBox box;
      box.weight = 1 + testing::AnySize(random, 45);
      box.weight_most = box.weight + testing::AnySize(random, 40);
      for (std::size_t i = 0; i < 3; ++i) {
        box.least[i] = 1 + testing::AnySize(random, 30);
        box.most[i] = box.least[i] + (Chance(random, 0.5) ? testing::AnySize(random, 26) : 0);
      }
      Sides low = box.least, high = box.most;
      std::sort(low.begin(), low.end(), std::greater<>());
      std::sort(high.begin(), high.end(), std::greater<>());
      internal::PieceVisitor visitor(state.cuts(), state.service().measure, kVolumeScale, Chance(random, 0.5));
      visitor.Visit(box, [&](std::int64_t weight, const Sides& sides) {
        ++visited;
        EXPECT_LE(box.weight, weight);
        EXPECT_LE(weight, box.weight_most);
        for (std::size_t i = 0; i < 3; ++i) {
          EXPECT_LE(low[i], sides[i]);
          EXPECT_LE(sides[i], high[i]);
        }
        return true;
      });
    }
  });
  EXPECT_GT(visited, Share(5'000));
}

// Where the winner changes along a range of weights.
TEST(Ranges, TheWinnerChangesWhereItIsSaidTo) {
  std::size_t changes = 0;
  std::size_t places = 0;
  auto by_weight = [](Request& request, Random& random) {
    if (!request.parcel && (request.goods.size() != 1 || request.goods.front().quantity != 1)) return false;
    const Weight more = Weight::Nanograms(testing::AnySize(random, 44) + 1);
    if (request.parcel) {
      request.parcel->weight_most = request.parcel->weight + more;
    } else {
      request.goods.front().weight_most = request.goods.front().weight + more;
    }
    return true;
  };
  ForSome(27, 1.0, by_weight, [&](const World&, const Ranking& ranking, Random& random) {
    if (ranking.estimate()) return;
    const Request& request = ranking.request();
    const std::int64_t base =
        request.parcel ? request.parcel->weight.nanograms() : request.goods.front().weight.nanograms();
    const std::int64_t span =
        (request.parcel ? *request.parcel->weight_most : *request.goods.front().weight_most).nanograms() - base;
    EdgesOf edges(ranking);
    struct Winner {
      std::optional<Amount> total;
      std::string way;
      bool operator==(const Winner&) const = default;
    };
    auto winner_at = [&](std::int64_t t) {
      Winner winner;
      std::tuple<std::int64_t, std::int64_t, bool, std::int64_t, std::string, std::string, std::string, std::string>
          best;
      for (std::uint32_t c = 0; c < ranking.candidates().size(); ++c) {
        const Candidate& candidate = ranking.candidates()[c];
        for (std::uint32_t s = 0; s < ranking.dispatch().services().size(); ++s) {
          const Dispatch::Entry& entry = ranking.dispatch().services()[s];
          const std::optional<Amount> total = PriceAt(ranking, s, c, candidate.facts.weight + t, candidate.least);
          if (!total) continue;
          const std::string& carrier = entry.edition->tariff->carrier;
          const decltype(best) key = {(*total + testing::HandicapAt(ranking, s, c)).micros(),
                                      entry.days ? entry.days->most : INT64_MAX,
                                      !entry.service->tracked,
                                      -entry.included_cover.micros(),
                                      entry.service->code,
                                      std::string(candidate.facts.packaging),
                                      carrier,
                                      std::string(candidate.facts.issued_by)};
          if (winner.total && !(key < best)) continue;
          best = key;
          winner = {total, carrier + "/" + entry.service->code + "/" + std::string(candidate.facts.packaging)};
        }
      }
      return winner;
    };
    auto told_at = [&](std::int64_t t) -> const WinnerChange* {
      const WinnerChange* told = nullptr;
      for (const WinnerChange& change : ranking.changes()) {
        if (change.of == Aspect::kWeight && base + t > change.above_weight.nanograms()) told = &change;
      }
      return told;
    };
    for (const WinnerChange& change : ranking.changes()) {
      ++changes;
      ASSERT_EQ(change.of, Aspect::kWeight);
      const std::int64_t t = change.above_weight.nanograms() - base;
      ASSERT_GE(t, 0);
      ASSERT_LT(t, span);
      ASSERT_NE(winner_at(t).way, winner_at(t + 1).way) << "nothing changes above " << change.above_weight.In("oz");
      const Winner after = winner_at(t + 1);
      const std::string way = change.service.empty() ? ""
                                                     : std::string(change.carrier) + "/" + std::string(change.service) +
                                                           "/" + std::string(change.packaging);
      ASSERT_EQ(way, after.way);
      if (after.total) {
        ASSERT_EQ(change.total, *after.total);
      }
    }
    std::set<std::int64_t> all = {0, span};
    for (std::uint32_t s = 0; s < ranking.dispatch().services().size(); ++s) {
      if (ranking.dispatch().services()[s].out) continue;
      for (const Candidate& candidate : ranking.candidates()) {
        for (const std::int64_t weight :
             edges[s].Along(true, {}, false, candidate.facts.weight, candidate.facts.weight + span, random)) {
          all.insert(weight - candidate.facts.weight);
        }
      }
    }
    std::vector<std::int64_t> some(all.begin(), all.end());
    std::shuffle(some.begin(), some.end(), random);
    if (some.size() > 60) some.resize(60);
    const std::string first = winner_at(0).way;
    for (const std::int64_t t : some) {
      ++places;
      const WinnerChange* told = told_at(t);
      std::string way = first;
      if (told != nullptr) {
        way = told->service.empty()
                  ? ""
                  : std::string(told->carrier) + "/" + std::string(told->service) + "/" + std::string(told->packaging);
      }
      ASSERT_EQ(winner_at(t).way, way) << "at " << Weight::Nanograms(base + t).In("oz");
    }
  });
  EXPECT_GT(changes, Share(80));
  EXPECT_GT(places, Share(5'000));
}

}  // namespace
}  // namespace tarewise::extremes_test
