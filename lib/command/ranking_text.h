#ifndef TAREWISE_LIB_COMMAND_RANKING_TEXT_H_
#define TAREWISE_LIB_COMMAND_RANKING_TEXT_H_

#include <string>

#include "command/console.h"
#include "tarewise/ranking/ranking.h"

namespace tarewise::command {

/// How much of a ranking to tell.
struct RankingView {
  bool all = false;          ///< Every offer and every refusal, not the best of each service and a summary.
  bool lines = false;        ///< The charge lines of every offer told, not of the best one alone.
  bool arrangement = false;  ///< How to pack the best one, step by step and layer by layer.
};

/// A ranking for someone at the packing table: what to do first, then why.
std::string RankingText(const Ranking& ranking, const RankingView& view, const Style& style);

/// Of one offer: "Harbourline Parcel in Carton 14 x 9 x 5"; and what its total is made of, under a heading.
std::string WayText(const Ranking& ranking, const Offer& offer, const Style& style);
std::string LinesText(const Ranking& ranking, const Offer& offer, const Style& style);

}  // namespace tarewise::command

#endif  // TAREWISE_LIB_COMMAND_RANKING_TEXT_H_
