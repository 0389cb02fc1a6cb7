#ifndef TAREWISE_RANKING_PACKER_H_
#define TAREWISE_RANKING_PACKER_H_

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <span>
#include <string>
#include <vector>

#include "tarewise/internal/switch.h"
#include "tarewise/packing/arrange.h"
#include "tarewise/parcel/item.h"
#include "tarewise/parcel/packaging.h"

namespace tarewise {

/// Goods in one packaging: whether they fit, and the parcel that results.
struct Packing {
  Fit fit = Fit::kUnknown;
  std::array<std::int64_t, 3> outside = {};  ///< Of the parcel, nm, in no order.
  std::vector<Placement> placements;
  std::string why;  ///< Of a refusal: the value and the limit that it broke, in words.
};

/// Answers whether goods fit a packaging: `kUnknown` where it cannot tell, never a guess. Implementations are
/// immutable. Goods whose sides range are walked with `PilePacker` alone: with another, they go into cartons and tubes,
/// which keep their own sides.
class Packer {
 public:
  virtual ~Packer() = default;
  /// `padding` (nm) is kept free on each side of the goods in a carton. At least one unit.
  virtual Packing Pack(std::span<const PackUnit> units, const Packaging& packaging, std::int64_t padding) const = 0;
};

/// Takes several units as one pile along their shortest (or upright) sides: exact for one unit, and for several an
/// answer that holds whenever it says `kFits`. Linear in the units.
class PilePacker final : public Packer {
 public:
  struct Pile {
    std::array<std::int64_t, 3> sides = {};
    bool this_side_up = false;
    std::vector<Placement> placements;
  };

  static Pile MakePile(std::span<const PackUnit> units);

  /// Puts units that are alike on a pile, without their placements; the sides of each as it lies there.
  static std::array<std::int64_t, 3> AddTo(Pile& pile, const PackUnit& unit, std::int64_t count);

  Packing Pack(std::span<const PackUnit> units, const Packaging& packaging, std::int64_t padding) const override;

  /// A pile in a packaging.
  static Packing Pack(const Pile& pile, const Packaging& packaging, std::int64_t padding);

 private:
  static constexpr int kTurnings[6][3] = {{0, 1, 2}, {0, 2, 1}, {1, 0, 2}, {1, 2, 0}, {2, 0, 1}, {2, 1, 0}};

  // True where some turning goes in; `turned[i]` is then the pile's axis along the inside's axis i.
  static bool TurnInto(const Pile& pile, const std::array<std::int64_t, 3>& inside, std::int64_t padding,
                       int (&turned)[3]);

  static std::vector<Placement> Turned(const Pile& pile, const int (&axes)[3], std::int64_t padding);

  static Packing Refuse(Packing packing, std::string why);

  static std::string CartonWhy(const Pile& pile, std::array<std::int64_t, 3> inside, std::int64_t padding);

  static std::string FlatWhy(const Pile& pile, const Packaging& packaging, const std::array<std::int64_t, 3>& inside);
};

}  // namespace tarewise

#ifdef TW_HEADER_ONLY
#include "tarewise/ranking/internal/packer-inl.h"
#endif

#endif  // TAREWISE_RANKING_PACKER_H_
