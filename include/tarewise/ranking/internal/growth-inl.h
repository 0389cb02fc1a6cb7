#ifndef TAREWISE_RANKING_INTERNAL_GROWTH_INL_H_
#define TAREWISE_RANKING_INTERNAL_GROWTH_INL_H_

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <vector>

#include "absl/status/statusor.h"
#include "tarewise/parcel/item.h"
#include "tarewise/parcel/packaging.h"
#include "tarewise/ranking/growth.h"
#include "tarewise/ranking/internal/pack_units.h"
#include "tarewise/ranking/internal/packer-inl.h"
#include "tarewise/ranking/internal/ranking-inl.h"
#include "tarewise/ranking/internal/request_goods.h"
#include "tarewise/ranking/packer.h"
#include "tarewise/units/internal/halving.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

TW_INLINE std::vector<Growth> RoomToGrow(const Ranking& ranking, const Candidate& candidate, ArrangeBudget budget) {
  std::vector<Growth> out;
  if (candidate.packaging == nullptr || candidate.packaging->kind == PackagingKind::kBare) return out;
  const absl::StatusOr<internal::RequestGoods> goods = internal::RequestGoods::Of(ranking.request());
  if (!goods.ok() || goods->sealed()) return out;
  Packaging whole = *candidate.packaging;
  whole.least_height.reset();
  const GoodsPacker packer(budget);
  std::vector<PackUnit> units = goods->units_most();
  std::size_t first = 0;
  for (std::size_t i = 0; i < ranking.request().goods.size(); ++i) {
    const std::size_t end = first + static_cast<std::size_t>(ranking.request().goods[i].quantity);
    Growth& growth = out.emplace_back();
    growth.item = i;
    for (std::size_t side = 0; side < 3; ++side) {
      const PackUnit as_it_is = units[first];
      const std::int64_t now = as_it_is.soft ? as_it_is.soft->at_rest[side] : as_it_is.sides[side];
      auto set = [&](std::int64_t length) {
        PackUnit grown = internal::AtRest(as_it_is);
        grown.sides[side] = length;
        if (grown.soft) internal::Press(*ranking.request().goods[i].soft, grown);
        std::fill(units.begin() + static_cast<std::ptrdiff_t>(first), units.begin() + static_cast<std::ptrdiff_t>(end),
                  grown);
      };
      const std::int64_t fits = internal::GreatestThat(now, Length::kMostSideNanometres + 1, [&](std::int64_t length) {
        set(length);
        return packer.Pack(units, whole, goods->padding()).fit == Fit::kFits;
      });
      set(now);
      growth.sides[side] = Length::Nanometres(fits - now);
    }
    first = end;
  }
  return out;
}

}  // namespace tarewise::inline TW_VERSIONED

#endif  // TAREWISE_RANKING_INTERNAL_GROWTH_INL_H_
