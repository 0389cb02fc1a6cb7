// Headroom and savers, against pricing again at every place where a rule can see a difference.

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

namespace tarewise::thresholds_test {
namespace {

using namespace asked;  // NOLINT(google-build-using-namespace)
using testing::Best;
using testing::BestAt;
using testing::Between;
using testing::PriceAt;
using testing::Share;

// ---- headroom ----

TEST(Headroom, IsTheMostThatCanBeAdded) {
  std::size_t limits = 0;
  std::size_t open = 0;
  ForSome(22, 0.7, AsItIs, [&](const World&, const Ranking& ranking, Random& random) {
    if (ranking.request().parcel && ranking.request().parcel->weight_most) return;
    EdgesOf edges(ranking);
    for (const Offer& offer : ranking.offers()) {
      if (offer.range || Chance(random, 0.5)) continue;
      const Sides sides = SidesOf(offer);
      const bool irregular = ranking.candidates()[offer.candidate_index].facts.irregular();
      for (int aspect = 0; aspect < 4; ++aspect) {
        const std::size_t side = static_cast<std::size_t>(aspect - 1);
        const std::int64_t from = aspect == 0 ? offer.weight.nanograms() : sides[side];
        const std::int64_t most = aspect == 0 ? Weight::kMostNanograms : Length::kMostSideNanometres;
        std::optional<std::int64_t> room;
        if (aspect == 0 && offer.headroom.weight) room = offer.headroom.weight->nanograms();
        if (aspect > 0 && offer.headroom.sides[side]) room = offer.headroom.sides[side]->nanometres();
        auto price = [&](std::int64_t place) {
          Sides at = sides;
          if (aspect > 0) at[side] = place;
          return PriceAt(ranking, offer.service_index, offer.candidate_index,
                         aspect == 0 ? place : offer.weight.nanograms(), at);
        };
        const std::int64_t end = room ? from + *room : most;
        ASSERT_LE(from, end);
        ASSERT_LE(end, most);
        std::array<std::int64_t, 2> other = {0, 0};
        if (aspect > 0) other = {sides[(side + 1) % 3], sides[(side + 2) % 3]};
        std::vector<std::int64_t> places =
            edges[offer.service_index].Along(aspect == 0, other, irregular, from, end, random);
        for (int i = 0; i < 3; ++i) places.push_back(Between(random, from, end));
        for (const std::int64_t place : places) {
          ASSERT_EQ(price(place), std::optional<Amount>(offer.total))
              << Named(offer) << ": " << kAspectNames[aspect] << " " << place << " is within " << from << " to " << end;
        }
        if (room) {
          ++limits;
          ASSERT_LT(end, most);
          ASSERT_NE(price(end + 1), std::optional<Amount>(offer.total))
              << Named(offer) << ": one more than " << *room << " of " << kAspectNames[aspect] << " changes nothing";
        } else {
          ++open;
        }
      }
    }
  });
  EXPECT_GT(limits, Share(2'000));
  EXPECT_GT(open, Share(500));
}

// ---- savers ----

// Whether goods go into a carton of these insides: one unit by trying the six turnings.
bool GoesIn(const std::vector<PackUnit>& units, const Sides& inside, const PackPadding& padding) {
  if (units.size() > 1) return Arrange(units, {inside, padding.padded, padding.walls}).fit == Fit::kFits;
  const PackUnit& unit = units.front();
  const std::int64_t around = unit.padded ? padding.padded : padding.walls;
  std::array<std::size_t, 3> turn = {0, 1, 2};
  do {
    if (!unit.may_stand[turn[2]] || (unit.this_side_up && turn[2] != 2)) continue;
    bool goes = true;
    for (std::size_t i = 0; i < 3; ++i) goes = goes && unit.sides[turn[i]] + 2 * around <= inside[i];
    if (goes) return true;
  } while (std::next_permutation(turn.begin(), turn.end()));
  return false;
}

// The most that can come off the parcel's side of this rank: the goods must still go into the carton, or of a sealed
// parcel some of the side must be left.
std::int64_t MostOff(const Ranking& ranking, const Candidate& candidate, std::size_t rank) {
  const Request& request = ranking.request();
  Sides outside = candidate.most;
  if (request.parcel) {
    std::sort(outside.begin(), outside.end(), std::greater<>());
    return outside[rank] - 1;
  }
  std::array<std::size_t, 3> by_size = {0, 1, 2};
  std::stable_sort(by_size.begin(), by_size.end(),
                   [&](std::size_t a, std::size_t b) { return outside[a] > outside[b]; });
  std::vector<PackUnit> units;
  for (const Item& item : request.goods) {
    for (std::int32_t n = 0; n < item.quantity; ++n) {
      PackUnit unit;
      for (std::size_t i = 0; i < 3; ++i) unit.sides[i] = item.sides[i].nanometres();
      unit.this_side_up = item.this_side_up;
      unit.may_stand = item.may_stand;
      unit.top_free = item.top_free;
      unit.padded = item.contents.Has(Trait::kFragile);
      unit.weight = item.weight_most.value_or(item.weight).nanograms();
      if (item.bears) unit.bears = item.bears->nanograms();
      if (item.soft) {
        std::int64_t& side = *std::min_element(unit.sides.begin(), unit.sides.end());
        const std::int64_t pressed = (side * item.soft->presses_to.ten_thousandths() + 999'999) / 1'000'000;
        side = std::max(pressed, item.soft->least_thickness.nanometres());
      }
      units.push_back(unit);
    }
  }
  const PackPadding padding = {request.padding.value_or(Length::Inches(1)).nanometres(),
                               request.padding.value_or(Length()).nanometres()};
  Sides inside;
  for (std::size_t i = 0; i < 3; ++i) inside[i] = candidate.packaging->inside[i].nanometres();
  EXPECT_TRUE(GoesIn(units, inside, padding));
  std::int64_t fits = 0;
  std::int64_t fails = inside[by_size[rank]] + 1;
  while (fails - fits > 1) {
    Sides cut = inside;
    cut[by_size[rank]] -= fits + (fails - fits) / 2;
    (GoesIn(units, cut, padding) ? fits : fails) = fits + (fails - fits) / 2;
  }
  return fits;
}

TEST(Savers, TakeTheLeastThatLowersTheBestTotal) {
  std::size_t savers = 0;
  std::size_t none = 0;
  std::size_t side_savers = 0;
  ForSome(23, 0.7, AsItIs, [&](const World&, const Ranking& ranking, Random& random) {
    const Request& request = ranking.request();
    EdgesOf edges(ranking);
    std::map<std::uint32_t, std::vector<const Offer*>> of_candidate;
    for (const Offer& offer : ranking.offers()) of_candidate[offer.candidate_index].push_back(&offer);
    for (const auto& [index, offers] : of_candidate) {
      const Candidate& candidate = ranking.candidates()[index];
      // Whole and cut down they share the best, which tests/oracle/thresholds.py looks at.
      if (candidate.packaging != nullptr && candidate.packaging->least_height) continue;
      // Of total and handicap together.
      Amount best = offers.front()->total + offers.front()->handicap;
      for (const Offer* offer : offers) best = std::min(best, offer->total + offer->handicap);
      const Sides sides = SidesOf(*offers.front());
      const std::int64_t weight = offers.front()->weight.nanograms();
      const std::optional<Best> now = BestAt(ranking, index, weight, sides);
      ASSERT_TRUE(now && now->due == best);
      for (int aspect = 0; aspect < 4; ++aspect) {
        const std::size_t rank = static_cast<std::size_t>(aspect - 1);
        const Saver* saver = nullptr;
        for (const Saver& one : offers.front()->savers) {
          if (static_cast<int>(one.of) == aspect) saver = &one;
        }
        // Every offer in this packaging carries it.
        for (const Offer* offer : offers) {
          const auto same = std::find_if(offer->savers.begin(), offer->savers.end(),
                                         [&](const Saver& one) { return static_cast<int>(one.of) == aspect; });
          ASSERT_EQ(same == offer->savers.end(), saver == nullptr);
          if (saver == nullptr) continue;
          ASSERT_EQ(same->total, saver->total);
          ASSERT_EQ(same->saves, offer->total - saver->total);
        }
        const bool adjustable = candidate.facts.issued_by.empty() && !ranking.estimate() &&
                                (request.parcel || candidate.facts.kind == PackagingKind::kCarton);
        ASSERT_EQ(candidate.sides_adjustable, adjustable);
        if (aspect > 0 && !adjustable) {
          ASSERT_EQ(saver, nullptr) << "only cartons of one's own and parcels sealed in one's own are made smaller";
          continue;
        }
        std::int64_t goods = 0;  // what must not all be taken out
        for (const Item& item : request.goods) goods += item.weight.nanograms() * item.quantity;
        if (request.parcel) goods = weight;
        const std::int64_t most_off = aspect == 0 ? goods - 1 : MostOff(ranking, candidate, rank);
        auto off = [&](std::int64_t steps) {
          return aspect == 0 ? request.steps.weight.Times(steps).nanograms()
                             : request.steps.sides.Times(steps).nanometres();
        };
        auto best_after = [&, index = index](std::int64_t steps) {
          Sides at = sides;
          if (aspect > 0) at[rank] -= off(steps);
          return BestAt(ranking, index, aspect == 0 ? weight - off(steps) : weight, at);
        };
        std::int64_t most_steps = 0;  // the most whole steps that may be taken
        for (std::int64_t low = 0, high = most_off / off(1) + 2; low <= high;) {
          const std::int64_t middle = low + (high - low) / 2;
          if (off(middle) <= most_off) {
            most_steps = middle;
            low = middle + 1;
          } else {
            high = middle - 1;
          }
        }
        // The steps to look at: those that first pass an edge of any service, the first few, and some others.
        std::set<std::int64_t> steps;
        const std::int64_t from = aspect == 0 ? weight : sides[rank];
        if (most_steps > 0) {
          std::array<std::int64_t, 2> other = {0, 0};
          if (aspect > 0) other = {sides[(rank + 1) % 3], sides[(rank + 2) % 3]};
          for (std::uint32_t s = 0; s < ranking.dispatch().services().size(); ++s) {
            if (ranking.dispatch().services()[s].out) continue;
            for (const std::int64_t edge : edges[s].Along(aspect == 0, other, candidate.facts.irregular(),
                                                          from - off(most_steps), from, random)) {
              std::int64_t n = 0;  // the fewest that come to from - edge
              for (std::int64_t low = 0, high = most_steps; low <= high;) {
                const std::int64_t middle = low + (high - low) / 2;
                if (off(middle) >= from - edge) {
                  n = middle;
                  high = middle - 1;
                } else {
                  low = middle + 1;
                }
              }
              steps.insert({std::max<std::int64_t>(1, n), std::max<std::int64_t>(1, n - 1)});
            }
          }
          for (int i = 1; i <= 4; ++i) steps.insert(std::min<std::int64_t>(i, most_steps));
          for (int i = 0; i < 4; ++i) steps.insert(Between(random, 1, most_steps));
        }
        std::int64_t taken = most_steps + 1;
        if (saver != nullptr) {
          ++(aspect == 0 ? savers : side_savers);
          const std::int64_t amount = aspect == 0 ? saver->weight.nanograms() : saver->length.nanometres();
          taken = 0;
          for (std::int64_t low = 1, high = most_steps; low <= high;) {
            const std::int64_t middle = low + (high - low) / 2;
            if (off(middle) >= amount) {
              taken = middle;
              high = middle - 1;
            } else {
              low = middle + 1;
            }
          }
          ASSERT_GT(taken, 0) << amount;
          ASSERT_EQ(off(taken), amount) << "whole steps";
          const std::optional<Best> after = best_after(taken);
          ASSERT_TRUE(after.has_value());
          ASSERT_LT(after->due, best);
          ASSERT_EQ(after->total, saver->total);
          if (taken > 1) steps.insert(taken - 1);
        } else {
          ++none;
        }
        for (const std::int64_t n : steps) {
          if (n >= taken) break;
          const std::optional<Best> after = best_after(n);
          ASSERT_TRUE(!after || after->due >= best)
              << Named(*offers.front()) << ": " << n << " steps off the " << kAspectNames[aspect] << " already give "
              << after->due.ToString() << ", less than " << best.ToString() << "; the saver takes " << taken;
        }
      }
    }
  });
  EXPECT_GT(savers, Share(500));
  EXPECT_GT(side_savers, Share(300));
  EXPECT_GT(none, Share(500));
}

}  // namespace
}  // namespace tarewise::thresholds_test
