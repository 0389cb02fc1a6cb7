#ifndef TAREWISE_RANKING_INTERNAL_RANK_INL_H_
#define TAREWISE_RANKING_INTERNAL_RANK_INL_H_

#include <memory>
#include <utility>

#include "tarewise/ranking/internal/dispatch-inl.h"
#include "tarewise/ranking/internal/rank_candidates.h"
#include "tarewise/ranking/internal/rank_changes.h"
#include "tarewise/ranking/internal/rank_offers.h"
#include "tarewise/ranking/internal/rank_thresholds.h"
#include "tarewise/ranking/rank.h"
#include "tarewise/units/internal/quantity_text.h"

namespace tarewise {

TW_INLINE absl::StatusOr<Ranking> Rank(std::shared_ptr<const Ratebook> book, std::shared_ptr<const Shelf> shelf,
                                       Request request, const RankOptions& options) {
  absl::StatusOr<Dispatch> dispatch = Dispatch::Create(std::move(book), Shipment::Of(request, shelf.get()));
  if (!dispatch.ok()) return dispatch.status();
  return Rank(std::make_shared<const Dispatch>(*std::move(dispatch)), std::move(shelf), std::move(request), options);
}

TW_INLINE absl::StatusOr<Ranking> Rank(std::shared_ptr<const Dispatch> dispatch, std::shared_ptr<const Shelf> shelf,
                                       Request request, const RankOptions& options) {
  if (dispatch == nullptr) return internal::Invalid("found no dispatch, expected one");
  return internal::Ranker::Run(std::move(dispatch), std::move(shelf), std::move(request), options);
}

}  // namespace tarewise

#endif  // TAREWISE_RANKING_INTERNAL_RANK_INL_H_
