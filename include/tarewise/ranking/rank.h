#ifndef TAREWISE_RANKING_RANK_H_
#define TAREWISE_RANKING_RANK_H_

#include <memory>

#include "absl/status/statusor.h"
#include "tarewise/internal/switch.h"
#include "tarewise/parcel/packaging.h"
#include "tarewise/pricing/ratebook.h"
#include "tarewise/ranking/dispatch.h"
#include "tarewise/ranking/packer.h"
#include "tarewise/ranking/ranking.h"
#include "tarewise/ranking/request.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

/// How much of an answer to work out.
struct RankOptions {
  bool thresholds = true;          ///< Headroom and savers.
  const Packer* packer = nullptr;  ///< Nothing: `GoodsPacker`. Used during the call alone.
};

/// Ranks every way to send what the request asks about, best first (cheapest, or by the total at risk), with every
/// refusal and its reasons. `shelf` may be nothing: then goods are estimated before they are packed. Safe from any
/// thread.
///
///     Request request;
///     request.goods.push_back(item);
///     request.lane = {*Place::Parse("US 05401"), *Place::Parse("US 98101")};
///     request.date = *Date::Parse("2026-08-03");
///     absl::StatusOr<Ranking> ranking = Rank(book, shelf, std::move(request));
///     if (ranking.ok() && !ranking->offers().empty()) Tell(ranking->offers().front().total);
///
/// Errors: InvalidArgument as `Request::Check`, for a packaging, a
/// promise or a currency that cannot be told (see `Dispatch::Create`), for a packed parcel greater than any may be, for
/// ranges or a tolerance too wide to be priced exactly, and for sides that range with a packer of one's own. "Nothing
/// can be offered" is an answer, not an error. Cost: about the number of packagings that fit times the services; see
/// bench/.
absl::StatusOr<Ranking> Rank(std::shared_ptr<const Ratebook> book, std::shared_ptr<const Shelf> shelf, Request request,
                             const RankOptions& options = {});

/// The same with a dispatch made before: its lane, date, promise, extras, cover, currency and rates stand in place of
/// the request's. InvalidArgument where it is nothing.
absl::StatusOr<Ranking> Rank(std::shared_ptr<const Dispatch> dispatch, std::shared_ptr<const Shelf> shelf,
                             Request request, const RankOptions& options = {});

}  // namespace tarewise::inline TW_VERSIONED

#ifdef TW_HEADER_ONLY
#include "tarewise/ranking/internal/rank-inl.h"
#endif

#endif  // TAREWISE_RANKING_RANK_H_
