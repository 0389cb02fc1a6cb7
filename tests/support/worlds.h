#ifndef TAREWISE_TESTS_SUPPORT_WORLDS_H_
#define TAREWISE_TESTS_SUPPORT_WORLDS_H_

#include <cstdint>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "support/demo_goods.h"
#include "support/random.h"
#include "tarewise/documents/load.h"
#include "tarewise/tarewise.h"

namespace tarewise::testing {

/// One folder of tables, compiled, and requests to ask of it.
struct World : Compiled {
  std::string name;
  Tables tables;
  std::vector<Request> requests;
};

World MakeWorld(std::string name, Tables tables);

/// The demonstration tables, with `count` requests of random goods of the catalogue and random parcels to random
/// places.
World DemoWorld(std::uint64_t seed, int count);

/// The same tables with a seller's own rules.
World SellerWorld(std::uint64_t seed, int count);

/// The worlds that tests/oracle/random_world.py wrote for this run, with those of their requests that can be read.
std::vector<World> RandomWorlds();

/// The folders of tables whose documents have examples: the demonstration, and each published list.
std::vector<std::string> TableFolders();

/// Seed of a test: fixed, so that a failure comes again; TW_SEED in the environment adds to it for other runs.
std::uint64_t Seed(std::uint64_t of_test);

/// The ranking, where the request can be answered.
std::optional<Ranking> TryRank(const World& world, const Request& request, const RankOptions& options = {});

/// A request as the words of it a person could write: weights and sides in units drawn by `random`, all exact.
std::string RequestText(const Request& request, Random& random);

/// The total that a service asks for a candidate of a ranking at another weight and other sides (of the parcel, in any
/// order), priced anew; nothing where it refuses. Packaging's cost included, in the ranking's currency.
std::optional<Amount> PriceAt(const Ranking& ranking, std::uint32_t service, std::uint32_t candidate,
                              std::int64_t weight, std::array<std::int64_t, 3> sides);

/// What counts beside the totals of a service for a candidate: the sum of the offer's handicaps.
Amount HandicapAt(const Ranking& ranking, std::uint32_t service, std::uint32_t candidate);

/// The best way of a candidate: total and handicap together, and the total alone.
struct Best {
  Amount due;
  Amount total;
  friend bool operator==(const Best&, const Best&) = default;
};

/// The best of any service for a candidate.
std::optional<Best> BestAt(const Ranking& ranking, std::uint32_t candidate, std::int64_t weight,
                           std::array<std::int64_t, 3> sides);

/// A world and a request, for the message of a failure.
std::string Describe(const World& world, const Request& request);

}  // namespace tarewise::testing

#endif  // TAREWISE_TESTS_SUPPORT_WORLDS_H_
