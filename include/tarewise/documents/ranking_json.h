#ifndef TAREWISE_DOCUMENTS_RANKING_JSON_H_
#define TAREWISE_DOCUMENTS_RANKING_JSON_H_

#include <string>

#include "tarewise/packing/arrange.h"
#include "tarewise/ranking/ranking.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

/// What to write of a ranking, and how.
struct RankingJson {
  int indent = 2;  ///< Spaces a level; -1: one line.
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
