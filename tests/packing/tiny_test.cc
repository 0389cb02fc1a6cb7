// Tiny rooms, whole nanometres, against every position that there is: what fits must be found and what does not must be
// refused, with every flag and padding.
#include <gtest/gtest.h>

#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <iostream>
#include <optional>
#include <string>
#include <vector>

#include "absl/container/inlined_vector.h"
#include "packing/brute.h"
#include "packing/made.h"
#include "support/fewer.h"
#include "tarewise/packing/arrange.h"
#include "tarewise/packing/internal/pack_bounds.h"
#include "tarewise/packing/internal/pack_geometry.h"
#include "tarewise/packing/internal/pack_model.h"
#include "tarewise/packing/internal/pack_raster.h"
#include "tarewise/packing/internal/pack_search.h"

namespace tarewise::testing {
namespace packing_tiny {

// TW_PACKING_CASES asks for more than the ordinary run (200,000 in the whole one).
std::size_t Cases() {
  const char* asked = std::getenv("TW_PACKING_CASES");
  return asked != nullptr ? std::stoul(asked) : 2'400 / kFewer;
}

std::int64_t Tries() { return std::getenv("TW_PACKING_CASES") != nullptr ? 20'000'000 : 1'000'000; }

// The search by itself, with no bound and no arrangement before it.
Fit Searched(const MadePacking& made) {
  if (made.units.empty()) return Fit::kFits;
  const internal::PackModel model = internal::MakePackModel(made.units, made.room);
  const internal::PackGeometry geometry = internal::MakePackGeometry(model);
  const absl::InlinedVector<internal::DualTriple, 6> none;
  internal::PackSearch search(model, geometry, none);
  const Fit fit = search.Run(20'000);
  if (fit != Fit::kFits) return fit;
  const std::optional<std::string> wrong = CheckArrangement(made.units, made.room, search.Placements());
  EXPECT_FALSE(wrong) << *wrong << InWords(made);
  return fit;
}

// The search for places by itself, where it applies.
Fit Rastered(const MadePacking& made) {
  if (made.units.empty()) return Fit::kFits;
  const internal::PackModel model = internal::MakePackModel(made.units, made.room);
  const internal::PackGeometry geometry = internal::MakePackGeometry(model);
  internal::RasterSearch search(model, geometry, 20'000);
  if (!search.Begin()) return Fit::kUnknown;
  return search.Run();
}

struct Tally {
  std::size_t fits = 0, refused = 0, searched = 0, bounded = 0, unknown = 0, skipped = 0, by_places = 0;
};

// `number` and what is wrong, or nothing.
void Try(std::size_t number, Tally& tally) {
  const MadePacking made = TinyPacking(number);
  const Arrangement answer = Arrange(made.units, made.room);
  const Fit searched = Searched(made);
  if (answer.fit == Fit::kFits) {  // an arrangement that keeps every rule is its own proof
    const std::optional<std::string> wrong = CheckArrangement(made.units, made.room, answer.placements);
    ASSERT_FALSE(wrong) << "case " << number << ": " << *wrong << "\n" << InWords(made);
    ASSERT_NE(searched, Fit::kDoesNotFit) << "case " << number << " by search alone\n" << InWords(made);
    ASSERT_NE(Rastered(made), Fit::kDoesNotFit) << "case " << number << " by places alone\n" << InWords(made);
    ++tally.fits;
    return;
  }
  const std::optional<bool> truth = PackByHand(made.units, made.room, Tries()).Fits();
  if (!truth || answer.fit == Fit::kUnknown) {
    ++(truth ? tally.unknown : tally.skipped);
    return;
  }
  ASSERT_FALSE(*truth) << "case " << number << " fits, proof " << static_cast<int>(answer.proof) << "\n"
                       << InWords(made);
  ++tally.refused;
  tally.by_places += Rastered(made) == Fit::kDoesNotFit ? 1 : 0;
  tally.searched += answer.proof == FitProof::kSearched ? 1 : 0;
  tally.bounded += answer.proof == FitProof::kBound ? 1 : 0;
}

TEST(PackingTiny, EveryPosition) {
  Tally tally;
  const std::size_t cases = Cases();
  for (std::size_t number = 0; number < cases && !HasFatalFailure(); ++number) Try(number, tally);
  std::cout << "fits " << tally.fits << ", refused " << tally.refused << " (by search " << tally.searched
            << ", by bounds " << tally.bounded << ", by places too " << tally.by_places << "), unknown "
            << tally.unknown << ", too long by hand " << tally.skipped << "\n";
  EXPECT_LE(tally.unknown, cases / 1000);
  EXPECT_LE(tally.skipped, cases / 30);
  EXPECT_GE(tally.fits, cases / 4);
  // Of few cases the share scatters.
  EXPECT_GE(tally.searched, kFewer > 1 ? 1 : cases / 40);
  EXPECT_GE(tally.bounded, cases / 40);
}

}  // namespace packing_tiny
}  // namespace tarewise::testing
