#ifndef TAREWISE_DOCUMENTS_RANKING_JSON_H_
#define TAREWISE_DOCUMENTS_RANKING_JSON_H_

#include <cstddef>
#include <cstdint>
#include <limits>
#include <string>

#include "tarewise/packing/arrange.h"
#include "tarewise/ranking/ranking.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

/// What to write of a ranking, and how. What is not asked for is left out by its key; offers and refusals that are not
/// told are counted under `left_out` (FORMAT.md B8).
struct RankingJson {
  /// `kGrouped`: by service and code, with the packagings and the first of the texts.
  enum class Refusals : std::uint8_t { kWhole, kGrouped, kNone };

  int indent = 2;                                                     ///< Spaces a level; -1: one line.
  std::size_t most_offers = std::numeric_limits<std::size_t>::max();  ///< The best ones.
  bool charges = true;
  bool thresholds = true;    ///< Headroom and savers.
  bool arrangements = true;  ///< Where several units lie, and how to pack them; costly to write.
  Refusals refusals = Refusals::kWhole;
  /// Under each arrangement how much longer each side may be (`RoomToGrow`, each fit within `budget`): often
  /// milliseconds, but minutes where many units fit closely.
  bool room_to_grow = false;
  ArrangeBudget budget;
};

/// A ranking as a `tarewise-ranking-1` document, UTF-8. `indent` spaces a level; -1: one line. Linear in the ranking.
std::string ToJson(const Ranking& ranking, int indent = 2);
std::string ToJson(const Ranking& ranking, const RankingJson& how);

}  // namespace tarewise::inline TW_VERSIONED

#endif  // TAREWISE_DOCUMENTS_RANKING_JSON_H_
