#ifndef TAREWISE_RANKING_PACK_GOODS_H_
#define TAREWISE_RANKING_PACK_GOODS_H_

#include <array>
#include <cstdint>
#include <optional>
#include <span>
#include <string>

#include "absl/status/statusor.h"
#include "tarewise/internal/switch.h"
#include "tarewise/packing/arrange.h"
#include "tarewise/parcel/packaging.h"
#include "tarewise/ranking/packer.h"
#include "tarewise/ranking/packing_steps.h"
#include "tarewise/ranking/rank.h"
#include "tarewise/ranking/request.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

/// Whether the goods of a request go into a packaging, how they lie in it, or why they do not: what a ranking asks of
/// every packaging at hand, with no lane, no tariff and no price. Of the request its goods, its padding and its units
/// of length count. Sides that range are taken at their most. The placements' units are the goods one by one, in the
/// order of the items (`GoodsUnitOf`); of one unit alone there is a placement too.
///
///     Item book;
///     book.sides = {Length::Inches(9), Length::Inches(6), Length::Inches(1)};
///     book.weight = Weight::Ounces(20);
///     book.quantity = 3;
///     Request order;
///     order.goods.push_back(book);
///     if (const absl::StatusOr<Packing> packed = PackGoods(order, shelf->own.front().packaging); packed.ok()) {
///       for (const std::string& step : TellPacking(order, shelf->own.front().packaging, *packed).steps) Tell(step);
///     }
///
/// Errors: InvalidArgument that begins with the place that is wrong, such as "goods/0/weight: " or "packaging/inside:
/// ": goods as for `Rank`, a sealed parcel, a packaging of kind `kBare` (nothing bounds bare goods), sides of its
/// inside that are 0 or less or over 50 m, an outside that is less than the inside, a wall below 0, a least height that
/// is not a carton's or is more than its outside's. Of few units at once; of many as `Arrange` within its budget.
absl::StatusOr<Packing> PackGoods(const Request& request, const Packaging& packaging, ArrangeBudget budget = {});

/// What the placements of a packing lie in, nm: of a carton its inside, as low as it is cut; of a mailer, an envelope
/// and a tube the box that just holds them (zeros where there are none).
std::array<std::int64_t, 3> RoomOf(const Packaging& packaging, const Packing& packing);

/// Nothing where placements of the request's goods in a carton, made by whomever, keep every rule; else what is wrong,
/// in words. Placements are one a unit, in any order. A carton that may be cut down is looked at whole. Errors: as for
/// `PackGoods`, another kind than a carton, and a place beyond 50 m of the first corner. Quadratic in the units.
absl::StatusOr<std::optional<std::string>> CheckPackedGoods(const Request& request, const Packaging& carton,
                                                            std::span<const Placement> placements);

/// How to pack what `PackGoods` found, as `TellPacking` of a ranking tells it. Nothing where the goods do not fit.
ToldPacking TellPacking(const Request& request, const Packaging& packaging, const Packing& packing);

}  // namespace tarewise::inline TW_VERSIONED

#ifdef TW_HEADER_ONLY
#include "tarewise/ranking/internal/pack_goods-inl.h"
#endif

#endif  // TAREWISE_RANKING_PACK_GOODS_H_
