#ifndef TAREWISE_TESTS_PROPERTY_ASKED_H_
#define TAREWISE_TESTS_PROPERTY_ASKED_H_

// Requests of random worlds and of the demonstration, asked and changed, for the tests of thresholds.

#include <algorithm>
#include <array>
#include <cstdint>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "gtest/gtest.h"
#include "property/edges.h"
#include "support/worlds.h"

namespace tarewise::asked {

using testing::Chance;
using testing::Describe;
using testing::Edges;
using testing::Random;
using testing::Seed;
using testing::TryRank;
using testing::World;

using Sides = std::array<std::int64_t, 3>;

inline const std::vector<World>& Worlds() {
  static const std::vector<World> worlds = [] {
    std::vector<World> all = testing::RandomWorlds();
    all.push_back(testing::SellerWorld(Seed(24), 300));
    all.push_back(testing::DemoWorld(Seed(21), 600));
    return all;
  }();
  return worlds;
}

/// Calls `check` for about `one_in` of the requests; `change` may make another request of it first, `times` times of
/// each. How many of them are answered only as they were before: their ranges or their tolerance are too wide.
template <typename Change, typename Check>
std::size_t ForSome(std::uint64_t seed, double one_in, int times, Change change, Check check) {
  Random random(Seed(seed));
  std::size_t too_wide = 0;
  for (const World& world : Worlds()) {
    const bool demo = &world == &Worlds().back();
    for (const Request& request : world.requests) {
      if (!demo && !Chance(random, one_in)) continue;
      for (int time = 0; time < times; ++time) {
        Request asked = request;
        if (!change(asked, random)) continue;
        const std::optional<Ranking> ranking = TryRank(world, asked);
        if (!ranking) {
          too_wide += TryRank(world, request) ? 1 : 0;
          continue;
        }
        check(world, *ranking, random);
        if (::testing::Test::HasFailure()) {
          ADD_FAILURE() << Describe(world, asked);
          return too_wide;
        }
      }
    }
  }
  return too_wide;
}

template <typename Change, typename Check>
std::size_t ForSome(std::uint64_t seed, double one_in, Change change, Check check) {
  return ForSome(seed, one_in, 1, change, check);
}

inline bool AsItIs(Request&, Random&) { return true; }

/// The edges of each service of a ranking, made once.
class EdgesOf {
 public:
  explicit EdgesOf(const Ranking& ranking) : ranking_(ranking) {}
  const Edges& operator[](std::uint32_t service) {
    std::unique_ptr<Edges>& edges = edges_[service];
    if (edges == nullptr) edges = std::make_unique<Edges>(ranking_, service);
    return *edges;
  }

 private:
  const Ranking& ranking_;
  std::map<std::uint32_t, std::unique_ptr<Edges>> edges_;
};

inline Sides SidesOf(const Offer& offer) {
  return {offer.sides.length().nanometres(), offer.sides.width().nanometres(), offer.sides.height().nanometres()};
}

inline std::string Named(const Offer& offer) {
  return std::string(offer.carrier) + "/" + std::string(offer.service) + " in " + std::string(offer.packaging) +
         " at " + offer.total.ToString();
}

inline std::string Text(const std::optional<Amount>& total) { return total ? total->ToString() : "refused"; }

}  // namespace tarewise::asked

#endif  // TAREWISE_TESTS_PROPERTY_ASKED_H_
