#ifndef TAREWISE_RANKING_INTERNAL_GOODS_FIT_H_
#define TAREWISE_RANKING_INTERNAL_GOODS_FIT_H_

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <vector>

#include "tarewise/parcel/packaging.h"
#include "tarewise/ranking/internal/request_goods.h"
#include "tarewise/ranking/packer.h"
#include "tarewise/units/internal/halving.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// Asks a packer about the goods of one request, which must outlive it.
class GoodsFit {
 public:
  /// `own` may be nothing: then it is `GoodsPacker`.
  GoodsFit(const RequestGoods& goods, const Packer* own) : goods_(goods), own_(own) {}

  /// Only what `GoodsPacker` makes of goods is walked through a range of sides.
  bool walks() const { return own_ == nullptr; }

  /// With every side at its most, or at its least.
  Packing AtMost(const Packaging& packaging) const { return Pack(goods_.units_most(), packaging); }
  Packing AtLeast(const Packaging& packaging) const { return Pack(goods_.units(), packaging); }

  /// How far a side of the only unit may grow, everything else at its most, in a packaging that does not hold all of
  /// the range; less than the range's least where it holds none of it.
  std::int64_t FitsUntil(const Packaging& packaging, const RequestGoods::RangingSide& range) const {
    std::vector<PackUnit> units = goods_.units_most();
    std::int64_t& size = units[0].sides[range.side];
    return GreatestThat(range.least - 1, range.most + 1, [&](std::int64_t length) {
      size = length;
      return Pack(units, packaging).fit == Fit::kFits;
    });
  }

  /// True where there is one unit: then whether it fits is told at once.
  bool of_one() const { return goods_.units().size() == 1; }

  /// A carton that is to lose some of one of its sides; of one that is cut down the height of its outside is given.
  struct Shortened {
    const Packaging& carton;
    std::size_t axis = 0;
    std::optional<Length> cut_to;
  };

  /// Whether the goods still go in where a carton loses `off` along the side.
  bool FitsWithout(const Shortened& of, Length off) const {
    Packaging carton = of.carton;
    carton.least_height.reset();
    if (of.cut_to) carton.inside[2] = carton.inside[2] - (carton.outside[2] - *of.cut_to);
    carton.inside[of.axis] = carton.inside[of.axis] - off;
    return AtMost(carton).fit == Fit::kFits;
  }

  /// How much the carton can lose so that they do (by halving: fitting is monotone).
  std::int64_t SpareRoom(const Shortened& of) const {
    return GreatestThat(0, of.carton.inside[of.axis].nanometres(),
                        [&](std::int64_t off) { return FitsWithout(of, Length::Nanometres(off)); });
  }

  /// It can lose no more than this, and perhaps less: each unit must go in.
  std::int64_t SpareRoomAtMost(const Shortened& of) const {
    std::int64_t needed = 0;
    for (const PackUnit& unit : goods_.units_most()) {
      needed = std::max(needed, *std::min_element(unit.sides.begin(), unit.sides.end()));
    }
    return of.carton.inside[of.axis].nanometres() - needed;
  }

 private:
  Packing Pack(const std::vector<PackUnit>& units, const Packaging& packaging) const {
    return own_ != nullptr ? own_->Pack(units, packaging, goods_.padding())
                           : GoodsPacker().Pack(units, packaging, goods_.padding());
  }

  const RequestGoods& goods_;
  const Packer* own_;
};

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_RANKING_INTERNAL_GOODS_FIT_H_
