#ifndef TAREWISE_RANKING_INTERNAL_GOODS_RANGE_H_
#define TAREWISE_RANKING_INTERNAL_GOODS_RANGE_H_

#include <array>
#include <cstddef>
#include <cstdint>
#include <vector>

#include "tarewise/ranking/internal/candidates.h"
#include "tarewise/ranking/internal/pack_units.h"
#include "tarewise/ranking/internal/parcel_box.h"
#include "tarewise/ranking/internal/pieces.h"
#include "tarewise/ranking/internal/request_goods.h"
#include "tarewise/ranking/internal/weight_set.h"
#include "tarewise/ranking/packer.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// The parcels that goods make whose weights or sides range. The goods must outlive it.
class GoodsRange {
 public:
  explicit GoodsRange(const RequestGoods& goods) : goods_(goods) {}

  const RequestGoods& goods() const { return goods_; }

  static ParcelBox BoxOf(const WorkingCandidate& candidate) {
    return {candidate.facts.weight, candidate.weight_most, candidate.least, candidate.most};
  }

  /// What goods of a weight weigh in a packaging. Of an estimate with the most of the allowance.
  std::int64_t Gross(const WorkingCandidate& candidate, std::int64_t goods) const {
    if (candidate.estimated) return goods + AllowanceOf(goods, goods_.request().allowance.most);
    return goods + candidate.weight_floor;
  }

  /// Every gross weight that the goods come to in a packaging, of an estimate with this allowance.
  WeightSet WeightsOf(const WorkingCandidate& candidate, Weight allowance) const {
    if (candidate.estimated) return goods_.weights().Plus(kPound, 0, allowance.nanograms());
    if (candidate.facts.weight == candidate.weight_most) {
      return WeightSet::Between(candidate.weight_most, candidate.weight_most);
    }
    return goods_.weights().Plus(candidate.weight_floor);
  }

  /// The ranging sides of the goods at their most, in the order of `RequestGoods::ranging`.
  PieceVisitor::Values Most() const {
    PieceVisitor::Values values;
    for (const RequestGoods::RangingSide& side : goods_.ranging()) values.push_back(side.most);
    return values;
  }

  /// The sides of the parcel that goods make of ranging sides of these values; no side falls where a value rises.
  std::array<std::int64_t, 3> SidesOf(const WorkingCandidate& candidate, const PieceVisitor::Values& values) const;

  /// Visits points of all the parcels that the goods make in a packaging; see `PieceVisitor`.
  template <typename F>
  bool Visit(const WorkingCandidate& candidate, PieceVisitor pieces, const WeightSet& weights, F visit) const {
    if (!candidate.follows_goods) return pieces.Visit(BoxOf(candidate), weights, visit);
    PieceVisitor::Values least;
    for (const RequestGoods::RangingSide& side : goods_.ranging()) least.push_back(side.least);
    return pieces.Visit(
        least, Most(), [&](const PieceVisitor::Values& values) { return SidesOf(candidate, values); }, weights, visit);
  }

 private:
  const RequestGoods& goods_;
};

inline std::array<std::int64_t, 3> GoodsRange::SidesOf(const WorkingCandidate& candidate,
                                                       const PieceVisitor::Values& values) const {
  PilePacker::Pile pile;
  std::size_t next = 0;
  const bool one = goods_.units().size() == 1;
  const std::vector<RequestGoods::RangingSide>& ranging = goods_.ranging();
  for (std::size_t i = 0; i < goods_.request().goods.size(); ++i) {
    const Item& item = goods_.request().goods[i];
    PackUnit unit = PackUnitOf(item);
    for (; next < ranging.size() && ranging[next].item == i; ++next) unit.sides[ranging[next].side] = values[next];
    if (one) {
      pile.sides = unit.sides;
      pile.may_stand = unit.MayStand();
    } else {
      PilePacker::AddTo(pile, AtRest(unit), item.quantity);
    }
  }
  if (candidate.packaging != nullptr) {
    return PilePacker::Pack(pile, *candidate.packaging, one ? goods_.padding_of_one() : 0).outside;
  }
  for (std::int64_t& side : pile.sides) side += Length::Inches(1).nanometres();
  return pile.sides;
}

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_RANKING_INTERNAL_GOODS_RANGE_H_
