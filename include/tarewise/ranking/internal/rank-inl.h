#ifndef TAREWISE_RANKING_INTERNAL_RANK_INL_H_
#define TAREWISE_RANKING_INTERNAL_RANK_INL_H_

#include <memory>
#include <utility>
#include <vector>

#include "absl/status/statusor.h"
#include "tarewise/ranking/internal/candidates.h"
#include "tarewise/ranking/internal/changes.h"
#include "tarewise/ranking/internal/dispatch-inl.h"
#include "tarewise/ranking/internal/goods_fit.h"
#include "tarewise/ranking/internal/offers.h"
#include "tarewise/ranking/internal/pricer.h"
#include "tarewise/ranking/internal/ranking_maker.h"
#include "tarewise/ranking/internal/request_goods.h"
#include "tarewise/ranking/internal/thresholds.h"
#include "tarewise/ranking/rank.h"
#include "tarewise/units/internal/quantity_text.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

TW_INLINE absl::StatusOr<Ranking> Rank(std::shared_ptr<const Ratebook> book, std::shared_ptr<const Shelf> shelf,
                                       Request request, const RankOptions& options) {
  absl::StatusOr<Dispatch> dispatch = Dispatch::Create(std::move(book), Shipment::Of(request, shelf.get()));
  if (!dispatch.ok()) return dispatch.status();
  return Rank(std::make_shared<const Dispatch>(*std::move(dispatch)), std::move(shelf), std::move(request), options);
}

TW_INLINE absl::StatusOr<Ranking> Rank(std::shared_ptr<const Dispatch> dispatch, std::shared_ptr<const Shelf> shelf,
                                       Request request, const RankOptions& options) {
  if (dispatch == nullptr) return internal::Invalid("found no dispatch, expected one");
  const internal::RankingSources sources{std::make_shared<const Request>(std::move(request)), std::move(dispatch),
                                         std::move(shelf)};
  const absl::StatusOr<internal::RequestGoods> goods = internal::RequestGoods::Of(*sources.request);
  if (!goods.ok()) return goods.status();
  const internal::GoodsFit fit(*goods, options.packer);
  absl::StatusOr<internal::Candidates> candidates =
      internal::FindCandidates(*goods, fit, sources.shelf.get(), internal::StateOf(*sources.dispatch));
  if (!candidates.ok()) return candidates.status();
  const internal::Pricer pricer(internal::StateOf(*sources.dispatch), goods->facts(), goods->value());
  absl::StatusOr<internal::Offers> offers = internal::FindOffers(*goods, *candidates, pricer);
  if (!offers.ok()) return offers.status();
  if (options.thresholds) {
    offers->offers = internal::WithThresholds(std::move(offers->offers), *goods, fit, *candidates, pricer);
  }
  std::vector<WinnerChange> changes = internal::FindChanges(*goods, fit, *candidates, pricer);
  return internal::RankingMaker::Make(sources, *goods, *std::move(candidates), *std::move(offers), std::move(changes));
}

}  // namespace tarewise::inline TW_VERSIONED

#endif  // TAREWISE_RANKING_INTERNAL_RANK_INL_H_
