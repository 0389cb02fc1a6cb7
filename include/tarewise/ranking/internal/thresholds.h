#ifndef TAREWISE_RANKING_INTERNAL_THRESHOLDS_H_
#define TAREWISE_RANKING_INTERNAL_THRESHOLDS_H_

#include <algorithm>
#include <cstddef>
#include <optional>
#include <vector>

#include "tarewise/ranking/internal/candidates.h"
#include "tarewise/ranking/internal/goods_fit.h"
#include "tarewise/ranking/internal/headroom.h"
#include "tarewise/ranking/internal/pricer.h"
#include "tarewise/ranking/internal/savers.h"
#include "tarewise/ranking/ranking.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// The same offers with their headroom and their savers, both sought at the cuts of the ratebook.
inline std::vector<Offer> WithThresholds(std::vector<Offer> offers, const RequestGoods& goods, const GoodsFit& fit,
                                         const Candidates& candidates, const Pricer& pricer) {
  const std::vector<ServiceState>& services = pricer.dispatch().services();
  for (Offer& offer : offers) {
    const WayToSend way{services[offer.service_index], candidates.all[offer.candidate_index]};
    offer.headroom = HeadroomOf(pricer, way, offer);
  }
  const SaverFinder finder(goods, fit, pricer);
  std::vector<std::vector<const Offer*>> by_candidate(candidates.all.size());
  for (const Offer& offer : offers) by_candidate[offer.candidate_index].push_back(&offer);
  std::vector<std::vector<Saver>> savers(candidates.all.size());
  auto best_of = [&by_candidate](std::size_t c, std::optional<Amount> best) {
    for (const Offer* offer : by_candidate[c]) {
      const Amount due = offer->total + offer->handicap;
      best = best ? std::min(*best, due) : due;
    }
    return best;
  };
  for (std::size_t c = 0; c < savers.size(); ++c) {
    std::optional<Amount> best = best_of(c, std::nullopt);
    if (candidates.IsCutDownNext(c)) best = best_of(c + 1, best);
    if (candidates.all[c].cut_to) best = best_of(c - 1, best);
    if (!by_candidate[c].empty()) savers[c] = finder.Find(candidates.all[c], by_candidate[c], *best);
  }
  for (Offer& offer : offers) {
    offer.savers = savers[offer.candidate_index];
    for (Saver& saver : offer.savers) saver.saves = offer.total - saver.total;
  }
  return offers;
}

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_RANKING_INTERNAL_THRESHOLDS_H_
