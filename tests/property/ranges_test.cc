// Goods that range, against each of them packed and priced by itself.

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <iostream>
#include <map>
#include <memory>
#include <optional>
#include <set>
#include <string>
#include <tuple>
#include <vector>

#include "property/edges.h"
#include "support/fewer.h"
#include "support/worlds.h"
#include "tarewise/ranking/internal/weight_set.h"

namespace tarewise::ranges_test {
namespace {

using testing::Between;
using testing::Chance;
using testing::Describe;
using testing::Edges;
using testing::kFewer;
using testing::Random;
using testing::Seed;
using testing::Share;
using testing::TryRank;
using testing::World;

using Sides = std::array<std::int64_t, 3>;

// One thing of the goods that ranges: the weight of an item (side 3) or one of its sides.
struct Ranging {
  std::size_t item = 0;
  std::size_t side = 3;
  std::int64_t low = 0;
  std::int64_t high = 0;
  bool weight() const { return side == 3; }
};

std::int64_t SizeOf(const Request& request, const Ranging& of) {
  if (request.parcel) {
    return of.weight() ? request.parcel->weight.nanograms() : request.parcel->sides.sides()[of.side].nanometres();
  }
  const Item& item = request.goods[of.item];
  return of.weight() ? item.weight.nanograms() : item.sides[of.side].nanometres();
}

// The request with what ranges at one point.
Request At(Request request, const Ranging& of, std::int64_t x) {
  if (request.parcel) {
    Parcel& parcel = *request.parcel;
    if (of.weight()) {
      parcel.weight = Weight::Nanograms(x);
    } else {
      std::array<Length, 3> sides = parcel.sides.sides();
      sides[of.side] = Length::Nanometres(x);
      parcel.sides = Dimensions(sides[0], sides[1], sides[2]);
    }
  } else if (of.weight()) {
    request.goods[of.item].weight = Weight::Nanograms(x);
  } else {
    request.goods[of.item].sides[of.side] = Length::Nanometres(x);
  }
  return request;
}

Request Ranged(const Request& request, const Ranging& of) {
  Request out = At(request, of, of.low);
  if (out.parcel) {
    if (of.weight()) {
      out.parcel->weight_most = Weight::Nanograms(of.high);
    } else {
      // Sides are kept longest first; the one that ranges stands where its least does.
      const std::array<Length, 3>& sides = out.parcel->sides.sides();
      const auto at = std::find(sides.begin(), sides.end(), Length::Nanometres(of.low));
      out.parcel->side_ranges.push_back({static_cast<std::size_t>(at - sides.begin()), Length::Nanometres(of.high)});
    }
  } else if (of.weight()) {
    out.goods[of.item].weight_most = Weight::Nanograms(of.high);
  } else {
    out.goods[of.item].side_ranges.push_back({of.side, Length::Nanometres(of.high)});
  }
  return out;
}

// More than one unit, or one that gives.
bool IsBoxed(const Request& request) {
  return !request.parcel &&
         (request.goods.size() > 1 || request.goods.front().quantity > 1 || request.goods.front().soft.has_value());
}

// Where the sides of several units range, what has no shape of its own makes a parcel of them at their most, all over
// the range: left out, for it is not what each of them is by itself.
World WithoutBoxes(const World& world) {
  World out = world;
  if (world.shelf == nullptr) return out;
  auto shelf = std::make_shared<Shelf>(*world.shelf);
  std::erase_if(shelf->own, [](const Shelf::Own& own) {
    return own.packaging.kind == PackagingKind::kMailer || own.packaging.kind == PackagingKind::kEnvelope;
  });
  shelf->issued.clear();
  out.shelf = std::move(shelf);
  return out;
}

// What the boxes are is tried elsewhere (ranking/yielding_test.cc and tests/oracle).
Sides BoxOf(const Request& request, const Packaging& packaging) {
  const absl::StatusOr<Packing> packing = PackGoods(request, packaging);
  EXPECT_TRUE(packing.ok() && packing->fit == Fit::kFits);
  return packing.ok() ? packing->outside : Sides{};
}

// The parcel that goods make, packed here anew; the packaging holds them.
Edges::Parcel Packed(const Request& request, const Packaging* packaging) {
  if (request.parcel) {
    const std::array<Length, 3>& sides = request.parcel->sides.sides();
    return {request.parcel->weight.nanograms(), {sides[0].nanometres(), sides[1].nanometres(), sides[2].nanometres()}};
  }
  std::int64_t weight = 0;
  Sides pile = {};
  const bool one = request.goods.size() == 1 && request.goods.front().quantity == 1;
  for (const Item& item : request.goods) {
    weight += item.weight.nanograms() * item.quantity;
    Sides sides;
    for (std::size_t i = 0; i < 3; ++i) sides[i] = item.sides[i].nanometres();
    if (one) {
      pile = sides;
      break;
    }
    std::size_t up = 3;
    for (std::size_t i = 0; i < 3; ++i) {
      const bool may = item.this_side_up ? i == 2 : item.may_stand[i];
      if (may && (up == 3 || sides[i] < sides[up])) up = i;
    }
    std::swap(sides[up], sides[2]);
    if (sides[0] < sides[1]) std::swap(sides[0], sides[1]);
    pile = {std::max(pile[0], sides[0]), std::max(pile[1], sides[1]), pile[2] + sides[2] * item.quantity};
  }
  if (packaging == nullptr) {
    constexpr std::int64_t kInch = 25'400'000;
    const bool heavy = weight > Weight::Pounds(1).nanograms();
    return {weight + (heavy ? request.allowance.most.nanograms() : 0),
            {pile[0] + kInch, pile[1] + kInch, pile[2] + kInch}};
  }
  if (packaging->kind == PackagingKind::kBare) return {weight, pile};
  weight += packaging->tare.nanograms() + request.fill_weight.nanograms();
  if (IsBoxed(request) && (packaging->kind == PackagingKind::kMailer || packaging->kind == PackagingKind::kEnvelope)) {
    return {weight, BoxOf(request, *packaging)};
  }
  const std::int64_t walls = 2 * packaging->wall.nanometres();
  const std::array<Length, 3>& outside = packaging->outside;
  switch (packaging->kind) {
    case PackagingKind::kMailer:
      return {weight, {pile[0] + walls, pile[1] + walls, pile[2] + walls}};
    case PackagingKind::kEnvelope: {
      std::int64_t thinnest = INT64_MAX;
      std::array<std::size_t, 3> turn = {0, 1, 2};
      do {
        if (pile[turn[0]] <= packaging->inside[0].nanometres() && pile[turn[1]] <= packaging->inside[1].nanometres() &&
            pile[turn[2]] <= packaging->inside[2].nanometres()) {
          thinnest = std::min(thinnest, pile[turn[2]]);
        }
      } while (std::next_permutation(turn.begin(), turn.end()));
      EXPECT_NE(thinnest, INT64_MAX);
      return {weight, {outside[0].nanometres(), outside[1].nanometres(), thinnest + walls}};
    }
    case PackagingKind::kTube:
      return {weight, {outside[1].nanometres(), outside[0].nanometres(), outside[0].nanometres()}};
    default:
      return {weight, {outside[0].nanometres(), outside[1].nanometres(), outside[2].nanometres()}};
  }
}

using Way = std::tuple<std::string, std::string, std::string, std::string>;
Way WayOf(const Offer& offer) {
  return {std::string(offer.carrier), std::string(offer.service), std::string(offer.packaging),
          std::string(offer.issued_by)};
}
std::string Text(const Way& way) { return std::get<0>(way) + "/" + std::get<1>(way) + "/" + std::get<2>(way); }

struct Totals {
  std::map<Way, Amount> most;  // with the most of an estimate's allowance
  std::map<Way, Amount> least;
  std::map<Way, std::int64_t> weights;
  std::string first;
};

Totals PricedAt(const World& world, const Request& request) {
  Totals out;
  RankOptions options;
  options.thresholds = false;
  const std::optional<Ranking> ranking = TryRank(world, request, options);
  if (!ranking) return out;
  for (const Offer& offer : ranking->offers()) {
    out.most[WayOf(offer)] = offer.total;
    out.weights[WayOf(offer)] = offer.weight.nanograms();
  }
  if (!ranking->offers().empty()) out.first = Text(WayOf(ranking->offers().front()));
  if (ranking->estimate()) {
    Request lighter = request;
    lighter.allowance.most = lighter.allowance.least;
    const std::optional<Ranking> least = TryRank(world, lighter, options);
    if (least) {
      for (const Offer& offer : least->offers()) out.least[WayOf(offer)] = offer.total;
    }
  } else {
    out.least = out.most;
  }
  return out;
}

const std::vector<World>& Worlds() {
  static const std::vector<World> worlds = [] {
    std::vector<World> all = testing::RandomWorlds();
    // Over a range a carton is cut to the goods at their most, and not to each of them.
    for (World& world : all) {
      if (world.shelf == nullptr) continue;
      auto shelf = std::make_shared<Shelf>(*world.shelf);
      for (Shelf::Own& own : shelf->own) own.packaging.least_height.reset();
      world.shelf = std::move(shelf);
    }
    all.push_back(testing::DemoWorld(Seed(41), 300));
    all.push_back(testing::SellerWorld(Seed(44), 150));
    // Each shelf left out once, for estimates.
    World estimates = testing::DemoWorld(Seed(42), 200);
    estimates.name += ", estimated";
    estimates.shelf = nullptr;
    all.push_back(estimates);
    return all;
  }();
  return worlds;
}

std::optional<Ranging> AnyRange(const Request& request, Random& random) {
  Ranging of;
  if (!request.parcel) of.item = static_cast<std::size_t>(Between(random, 0, std::int64_t(request.goods.size()) - 1));
  if (Chance(random, 0.6)) of.side = static_cast<std::size_t>(Between(random, 0, 2));
  // A soft good has no range of sides.
  if (!request.parcel && request.goods[of.item].soft) of.side = 3;
  const std::int64_t now = SizeOf(request, of);
  const std::int64_t more =
      Chance(random, 0.4) ? 1 + testing::AnySize(random, of.weight() ? 42 : 28) : Between(random, 1, now * 2);
  if (Chance(random, 0.5)) {
    of.low = now;
    of.high = now + more;
  } else {
    of.low = std::max<std::int64_t>(1, now - std::min(more, now / 10 * 9));
    of.high = now;
  }
  if (of.high <= of.low) return std::nullopt;
  if (request.parcel && !of.weight()) {
    // Where two sides are of one length, which of them ranges is for the request to say: leave that out.
    for (std::size_t i = 0; i < 3; ++i) {
      if (i != of.side && request.parcel->sides.sides()[i].nanometres() == of.low) return std::nullopt;
    }
  }
  return of;
}

// Where something can change as the goods grow, for any packaging that holds them and any service.
std::vector<std::int64_t> PlacesOf(const Ranking& ranking, const Request& request, const Ranging& of, Random& random) {
  std::set<std::int64_t> places = {of.low, of.high};
  for (std::uint32_t s = 0; s < ranking.dispatch().services().size(); ++s) {
    if (ranking.dispatch().services()[s].out) continue;
    const Edges edges(ranking, s);
    for (const Candidate& candidate : ranking.candidates()) {
      auto parcel_of = [&](std::int64_t x) { return Packed(At(request, of, x), candidate.packaging); };
      for (const std::int64_t x : edges.AlongGoods(parcel_of, candidate.facts.irregular(), of.low, of.high, random)) {
        places.insert(x);
      }
    }
  }
  for (int i = 0; i < 3; ++i) places.insert(Between(random, of.low, of.high));
  return {places.begin(), places.end()};
}

TEST(GoodsThatRange, ArePricedAsEachOfThemIs) {
  Random random(Seed(43));
  std::size_t compared = 0;
  std::size_t wide = 0;
  std::size_t refused = 0;
  std::size_t changes = 0;
  std::size_t estimates = 0;
  std::size_t piles = 0;
  for (const World& whole : Worlds()) {
    const World without = WithoutBoxes(whole);
    for (const Request& plain : whole.requests) {
      if (!Chance(random, &whole == &Worlds().front() ? 1.0 : 0.5)) continue;
      const std::optional<Ranging> of = AnyRange(plain, random);
      if (!of) continue;
      const World& world = IsBoxed(plain) && !of->weight() ? without : whole;
      Request request = plain;
      request.objective = Objective::kCheapest;
      request.tolerance = {};
      const Request ranged = Ranged(request, *of);
      if (!TryRank(world, At(request, *of, of->high))) continue;  // bad in itself
      const std::optional<Ranking> ranking = TryRank(world, ranged);
      if (!ranking) {
        ADD_FAILURE() << "one range alone is never too wide: " << Describe(world, ranged);
        continue;
      }
      const std::vector<std::int64_t> places = PlacesOf(*ranking, request, *of, random);
      if (places.size() > 1'500 / kFewer) continue;
      std::vector<Totals> at;
      at.reserve(places.size());
      for (const std::int64_t x : places) at.push_back(PricedAt(world, At(request, *of, x)));
      const bool pile = !request.parcel && (request.goods.size() > 1 || request.goods.front().quantity > 1);
      estimates += ranking->estimate() ? 1 : 0;
      piles += pile && !of->weight() ? 1 : 0;
      std::map<Way, const Offer*> offers;
      for (const Offer& offer : ranking->offers()) offers[WayOf(offer)] = &offer;
      std::set<Way> ways;
      for (const Totals& totals : at) {
        for (const auto& [way, total] : totals.most) ways.insert(way);
      }
      for (const Way& way : ways) {
        ++compared;
        std::optional<TotalRange> expected;
        std::optional<TotalRange> with_least;
        std::int64_t heaviest = 0;
        bool everywhere = true;
        bool least_everywhere = true;
        for (const Totals& totals : at) {
          const auto total = totals.most.find(way);
          if (total == totals.most.end()) {
            everywhere = false;
            break;
          }
          const std::int64_t weight = totals.weights.at(way);
          if (!expected || total->second > expected->highest ||
              (total->second == expected->highest && weight > heaviest)) {
            heaviest = weight;
          }
          if (!expected) expected = TotalRange{total->second, total->second};
          expected->lowest = std::min(expected->lowest, total->second);
          expected->highest = std::max(expected->highest, total->second);
          const auto least = totals.least.find(way);
          least_everywhere = least_everywhere && least != totals.least.end();
          if (!least_everywhere) continue;
          if (!with_least) with_least = TotalRange{least->second, least->second};
          with_least->lowest = std::min(with_least->lowest, least->second);
          with_least->highest = std::max(with_least->highest, least->second);
        }
        const auto offer = offers.find(way);
        if (!everywhere) {
          ++refused;
          EXPECT_EQ(offer, offers.end()) << Text(way) << ", but some goods of the range are refused";
          continue;
        }
        EXPECT_NE(offer, offers.end()) << Text(way) << " is refused, but takes all goods of the range";
        if (offer == offers.end()) continue;
        EXPECT_EQ(offer->second->total, expected->highest) << Text(way);
        EXPECT_EQ(offer->second->weight.nanograms(), heaviest) << Text(way) << ": the heaviest of the dearest";
        if (least_everywhere) {
          expected->lowest = std::min(expected->lowest, with_least->lowest);
          expected->highest = std::max(expected->highest, with_least->highest);
        }
        const TotalRange told = offer->second->range.value_or(TotalRange{offer->second->total, offer->second->total});
        EXPECT_EQ(told.lowest, expected->lowest) << Text(way);
        EXPECT_EQ(told.highest, expected->highest) << Text(way);
        if (told.lowest != told.highest) ++wide;
      }
      for (const auto& [way, offer] : offers) EXPECT_TRUE(ways.contains(way)) << Text(way) << " is offered nowhere";
      // Where the winner changes.
      changes += ranking->changes().size();
      if (pile && !of->weight()) {
        EXPECT_TRUE(ranking->changes().empty());
      } else {
        std::string told = at.front().first;
        std::size_t next = 0;
        for (std::size_t i = 0; i < places.size(); ++i) {
          std::int64_t size = places[i];
          if (of->weight()) {
            const Edges::Parcel parcel = Packed(At(request, *of, size), nullptr);
            size = parcel.first;
            if (!ranking->estimate() && !request.parcel) {
              size = 0;
              for (const Item& item : At(request, *of, places[i]).goods)
                size += item.weight.nanograms() * item.quantity;
            }
          }
          for (; next < ranking->changes().size(); ++next) {
            const WinnerChange& change = ranking->changes()[next];
            const std::int64_t above =
                of->weight() ? change.above_weight.nanograms() : change.above_length.nanometres();
            if (size <= above) break;
            told = change.service.empty() ? ""
                                          : std::string(change.carrier) + "/" + std::string(change.service) + "/" +
                                                std::string(change.packaging);
          }
          EXPECT_EQ(told, at[i].first) << "where the goods are at " << places[i];
        }
        EXPECT_EQ(next, ranking->changes().size()) << "changes past the end of the range";
      }
      if (::testing::Test::HasFailure()) {
        ADD_FAILURE() << Describe(world, ranged);
        return;
      }
    }
  }
  std::cout << compared << " ways over ranges of goods (" << estimates << " estimates, " << piles
            << " piles by a side): " << wide << " with two ends, " << refused << " refused, " << changes
            << " changes\n";
  EXPECT_GT(compared, Share(4'000));
  EXPECT_GT(wide, Share(500));
  EXPECT_GT(refused, Share(200));
  EXPECT_GT(changes, Share(50));
  EXPECT_GT(estimates, Share(40));
  EXPECT_GT(piles, Share(20));
}

// Several things that range at once: goods drawn from the ranges cost nothing outside of what is told.
TEST(GoodsThatRange, TogetherHoldEveryOneOfThem) {
  Random random(Seed(44));
  std::size_t offers = 0;
  std::size_t met = 0;
  std::size_t too_wide = 0;
  std::size_t answered = 0;
  for (const World& whole : Worlds()) {
    const World without = WithoutBoxes(whole);
    for (const Request& plain : whole.requests) {
      if (!Chance(random, 0.3)) continue;
      const World& world = IsBoxed(plain) ? without : whole;
      Request request = plain;
      request.objective = Objective::kCheapest;
      request.tolerance = {};
      std::vector<Ranging> all;
      Request ranged = request;
      for (int n = 0; n < 3; ++n) {
        const std::optional<Ranging> of = AnyRange(request, random);
        if (!of || (request.parcel && !of->weight())) continue;
        const bool again = std::any_of(all.begin(), all.end(), [&](const Ranging& other) {
          return other.item == of->item && other.side == of->side;
        });
        if (again) continue;
        all.push_back(*of);
        ranged = Ranged(ranged, *of);
      }
      if (all.size() < 2) continue;
      Request greatest = request;
      for (const Ranging& of : all) greatest = At(greatest, of, of.high);
      if (!TryRank(world, greatest)) continue;
      const std::optional<Ranking> ranking = TryRank(world, ranged);
      if (!ranking) {
        ++too_wide;
        continue;
      }
      ++answered;
      std::map<Way, TotalRange> seen;
      for (int n = 0; n < 60; ++n) {
        Request point = request;
        for (const Ranging& of : all) {
          point = At(point, of,
                     Chance(random, 0.3) ? of.low : (Chance(random, 0.4) ? of.high : Between(random, of.low, of.high)));
        }
        const Totals totals = PricedAt(world, point);
        for (const Offer& offer : ranking->offers()) {
          const auto total = totals.most.find(WayOf(offer));
          ASSERT_NE(total, totals.most.end())
              << Text(WayOf(offer)) << " is refused within the range: " << Describe(world, ranged) << " at "
              << Describe(world, point);
          const TotalRange told = offer.range.value_or(TotalRange{offer.total, offer.total});
          ASSERT_LE(told.lowest, total->second) << Text(WayOf(offer)) << ": " << Describe(world, ranged);
          ASSERT_GE(told.highest, total->second) << Text(WayOf(offer)) << ": " << Describe(world, ranged);
          ASSERT_GE(offer.total, total->second) << Text(WayOf(offer)) << ": " << Describe(world, ranged);
          TotalRange& range = seen.try_emplace(WayOf(offer), TotalRange{total->second, total->second}).first->second;
          range.lowest = std::min(range.lowest, total->second);
          range.highest = std::max(range.highest, total->second);
        }
      }
      for (const Offer& offer : ranking->offers()) {
        ++offers;
        const TotalRange& range = seen.at(WayOf(offer));
        met +=
            range.highest == offer.total && (ranking->estimate() || !offer.range || range.lowest == offer.range->lowest)
                ? 1
                : 0;
      }
    }
  }
  std::cout << offers << " offers over several ranges, both ends met by goods drawn at random in " << met << "; "
            << too_wide << " of " << answered + too_wide << " requests too wide\n";
  EXPECT_GT(offers, Share(400));
  EXPECT_GT(met * 100, offers * 90);
  EXPECT_LT(too_wide * 20, answered);
}

// Every sum of a few numbers of things that range, by trying all.
TEST(WeightSets, HoldEverySumAndNoOther) {
  Random random(Seed(45));
  for (int n = 0; n < 3'000; ++n) {
    const std::int64_t least = Between(random, 1, 50);
    internal::WeightSet set = internal::WeightSet::Between(least, least);
    std::set<std::int64_t> sums = {least};
    const std::int64_t things = Between(random, 1, 3);
    for (std::int64_t i = 0; i < things; ++i) {
      const std::int64_t step = Between(random, 1, 12);
      const std::int64_t count = Between(random, 0, Chance(random, 0.5) ? 40 : 4);
      ASSERT_TRUE(set.Add(step, count));
      std::set<std::int64_t> more;
      for (const std::int64_t sum : sums) {
        for (std::int64_t k = 0; k <= count; ++k) more.insert(sum + k * step);
      }
      sums = std::move(more);
    }
    ASSERT_EQ(set.least(), *sums.begin());
    ASSERT_EQ(set.most(), *sums.rbegin());
    const std::int64_t bound = Between(random, 0, set.most());
    const internal::WeightSet split = set.Plus(bound, 1, 100);
    for (std::int64_t x = 0; x <= set.most() + 1; ++x) {
      const auto above = sums.lower_bound(x);
      ASSERT_EQ(set.AtOrAbove(x), above == sums.end() ? INT64_MAX : *above) << x;
      const auto below = sums.upper_bound(x);
      ASSERT_EQ(set.AtOrBelow(x), below == sums.begin() ? -1 : *std::prev(below)) << x;
      const std::int64_t moved = x + (x > bound ? 100 : 1);
      if (sums.contains(x)) {
        ASSERT_EQ(split.AtOrAbove(moved), moved);
      }
    }
  }
  internal::WeightSet large = internal::WeightSet::Between(1, 1);
  ASSERT_TRUE(large.Add(2, 1'000'000'000'000));
  ASSERT_TRUE(large.Add(3, 1'000'000'000'000));
  EXPECT_EQ(large.AtOrAbove(2), 3);
  EXPECT_EQ(large.AtOrAbove(3'000'000'000'001), 3'000'000'000'001);
  EXPECT_EQ(large.AtOrBelow(5'000'000'000'000), 4'999'999'999'999);
}

}  // namespace
}  // namespace tarewise::ranges_test
