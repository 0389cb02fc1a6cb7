#ifndef TAREWISE_RANKING_INTERNAL_RANKING_MAKER_H_
#define TAREWISE_RANKING_INTERNAL_RANKING_MAKER_H_

#include <iterator>
#include <memory>
#include <utility>
#include <vector>

#include "tarewise/ranking/internal/candidates.h"
#include "tarewise/ranking/internal/offers.h"
#include "tarewise/ranking/internal/request_goods.h"
#include "tarewise/ranking/ranking.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// What the views of a ranking point into, and what was asked.
struct RankingSources {
  std::shared_ptr<const Request> request;
  std::shared_ptr<const Dispatch> dispatch;
  std::shared_ptr<const Shelf> shelf;
};

/// The one that fills a `Ranking`.
class RankingMaker {
 public:
  static Ranking Make(RankingSources sources, const RequestGoods& goods, Candidates candidates, Offers offers,
                      std::vector<WinnerChange> changes) {
    Ranking ranking;
    ranking.request_ = std::move(sources.request);
    ranking.dispatch_ = std::move(sources.dispatch);
    ranking.shelf_ = std::move(sources.shelf);
    ranking.contents_ = goods.contents();
    ranking.estimate_ = candidates.estimate();
    ranking.cautions_ = FindCautions(goods, offers.offers);
    // The public part of each.
    ranking.candidates_ =
        std::make_shared<const std::vector<tarewise::Candidate>>(candidates.all.begin(), candidates.all.end());
    ranking.offers_ = std::move(offers.offers);
    ranking.refusals_ = std::move(candidates.refusals);
    ranking.refusals_.insert(ranking.refusals_.end(), std::make_move_iterator(offers.refusals.begin()),
                             std::make_move_iterator(offers.refusals.end()));
    ranking.changes_ = std::move(changes);
    return ranking;
  }
};

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_RANKING_INTERNAL_RANKING_MAKER_H_
