#ifndef TAREWISE_RANKING_INTERNAL_GOODS_FIT_H_
#define TAREWISE_RANKING_INTERNAL_GOODS_FIT_H_

#include <cstddef>
#include <cstdint>
#include <vector>

#include "tarewise/parcel/packaging.h"
#include "tarewise/ranking/internal/request_goods.h"
#include "tarewise/ranking/packer.h"

namespace tarewise::internal {

/// Asks a packer about the goods of one request, which must outlive it.
class GoodsFit {
 public:
  /// `own` may be nothing: then goods are piled.
  GoodsFit(const RequestGoods& goods, const Packer* own) : goods_(goods), own_(own) {}

  /// Only piles are walked through a range of sides.
  bool piles() const { return own_ == nullptr; }

  /// With every side at its most, or at its least.
  Packing AtMost(const Packaging& packaging) const { return Pack(goods_.units_most(), packaging); }
  Packing AtLeast(const Packaging& packaging) const { return Pack(goods_.units(), packaging); }

  /// How far a side of the only unit may grow, everything else at its most, in a packaging that does not hold all of
  /// the range; less than the range's least where it holds none of it.
  std::int64_t FitsUntil(const Packaging& packaging, const RequestGoods::RangingSide& range) const {
    std::vector<PackUnit> units = goods_.units_most();
    std::int64_t& size = units[0].sides[range.side];
    std::int64_t fits = range.least - 1;
    std::int64_t fails = range.most + 1;
    while (fails - fits > 1) {
      size = fits + (fails - fits) / 2;
      (Pack(units, packaging).fit == Fit::kFits ? fits : fails) = size;
    }
    return fits;
  }

  /// How much a carton can lose along one of its sides so that the goods still go in (by halving: fitting is monotone).
  std::int64_t SpareRoom(const Packaging& carton, std::size_t axis) const {
    Packaging cut = carton;
    const std::int64_t inside = cut.inside[axis].nanometres();
    std::int64_t fits = 0;
    std::int64_t fails = inside;
    while (fails - fits > 1) {
      const std::int64_t middle = fits + (fails - fits) / 2;
      cut.inside[axis] = Length::Nanometres(inside - middle);
      (AtMost(cut).fit == Fit::kFits ? fits : fails) = middle;
    }
    return fits;
  }

 private:
  Packing Pack(const std::vector<PackUnit>& units, const Packaging& packaging) const {
    return own_ != nullptr ? own_->Pack(units, packaging, goods_.padding())
                           : PilePacker().Pack(units, packaging, goods_.padding());
  }

  const RequestGoods& goods_;
  const Packer* own_;
};

}  // namespace tarewise::internal

#endif  // TAREWISE_RANKING_INTERNAL_GOODS_FIT_H_
