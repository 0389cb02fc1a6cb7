#ifndef TAREWISE_DOCUMENTS_RANKING_JSON_H_
#define TAREWISE_DOCUMENTS_RANKING_JSON_H_

#include <string>

#include "tarewise/ranking/ranking.h"

namespace tarewise {

/// A ranking as a `tarewise-ranking-1` document, UTF-8. `indent` spaces a level; -1: one line. Linear in the ranking.
std::string ToJson(const Ranking& ranking, int indent = 2);

}  // namespace tarewise

#endif  // TAREWISE_DOCUMENTS_RANKING_JSON_H_
