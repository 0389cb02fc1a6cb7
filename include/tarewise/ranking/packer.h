#ifndef TAREWISE_RANKING_PACKER_H_
#define TAREWISE_RANKING_PACKER_H_

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "tarewise/internal/switch.h"
#include "tarewise/packing/arrange.h"
#include "tarewise/parcel/item.h"
#include "tarewise/parcel/packaging.h"
#include "tarewise/units/length.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

/// Goods in one packaging: whether they fit, and the parcel that results.
struct Packing {
  Fit fit = Fit::kUnknown;
  std::array<std::int64_t, 3> outside = {};  ///< Of the parcel, nm, in no order; of a carton its own, whole.
  /// Of a carton that may be cut down and is higher than the goods need: what its outside comes to when it is, nm.
  /// Nothing: it is not cut.
  std::optional<std::int64_t> cut_height;
  /// In `room`; of a carton with `cut_height` they lie as low as that. None of soft goods that fill a mailer as a
  /// pillow.
  std::vector<Placement> placements;
  /// What the placements lie in, nm: the inside of a carton; of a mailer, an envelope or a tube the box that just holds
  /// several units, its length, width and thickness. Zeros where there is none.
  std::array<std::int64_t, 3> room = {};
  FitProof proof = FitProof::kNone;  ///< Of several units that were searched and do not fit.
  std::string why;                   ///< Of a refusal: the value and the limit that it broke, in words.
};

/// What is kept free in a carton, nm (FORMAT.md B2).
struct PackPadding {
  std::int64_t padded = 0;  ///< Around each unit that is `padded`, between two of them once.
  std::int64_t walls = 0;   ///< Between every other unit and the carton.

  /// What a request asks for. Nothing: 1 in around padded units, and none around the others.
  static constexpr PackPadding Of(const std::optional<Length>& asked) {
    return {asked.value_or(Length::Inches(1)).nanometres(), asked.value_or(Length()).nanometres()};
  }
  /// On each side of a unit that is alone.
  constexpr std::int64_t Around(bool is_padded) const { return is_padded ? padded : walls; }
};

/// Answers whether goods fit a packaging: `kUnknown` where it cannot tell, never a guess. Implementations are
/// immutable. Goods whose sides range are walked with `GoodsPacker` alone: with another, they go into cartons and
/// tubes, which keep their own sides.
class Packer {
 public:
  virtual ~Packer() = default;
  /// At least one unit.
  virtual Packing Pack(std::span<const PackUnit> units, const Packaging& packaging,
                       const PackPadding& padding) const = 0;
};

/// What `Rank` takes where no other is given: arranges several units in a carton (`Arrange`, with its budget) and in a
/// mailer, an envelope or a tube (the least box that goes in, with a twentieth of the budget), fills
/// a mailer with soft goods as a pillow, and takes bare goods as a pile (`PilePacker`). One unit, and two, are always
/// decided. The order in which units are given changes nothing.
///
///     PackUnit unit;
///     unit.sides = {210'000'000, 148'000'000, 30'000'000};
///     const Packing packing = GoodsPacker().Pack(std::vector{unit, unit}, shelf->own.front().packaging, {});
///     if (packing.fit == Fit::kFits) Tell(packing.placements);
class GoodsPacker final : public Packer {
 public:
  explicit GoodsPacker(ArrangeBudget budget = {}) : budget_(budget) {}

  Packing Pack(std::span<const PackUnit> units, const Packaging& packaging, const PackPadding& padding) const override;

 private:
  Packing PackSorted(std::span<const PackUnit> units, const Packaging& packaging, const PackPadding& padding) const;
  Packing PackCarton(std::span<const PackUnit> units, const Packaging& carton, const PackPadding& padding) const;
  Packing PackYielding(std::span<const PackUnit> units, const Packaging& packaging) const;
  static Packing PackPillow(std::span<const PackUnit> units, const Packaging& mailer);

  ArrangeBudget budget_;
};

/// Takes several units as one pile along their shortest sides (of those that may be upright): exact for one unit, and
/// for several an answer that holds whenever it says `kFits`. Linear in the units.
class PilePacker final : public Packer {
 public:
  struct Pile {
    std::array<std::int64_t, 3> sides = {};
    std::array<bool, 3> may_stand = {true, true, true};  ///< Of the pile's sides. Of several units the third or all.
    bool piles = true;  ///< False: of several units one is `top_free` or has a `bears`. It is no pile then, but a size.
    std::vector<Placement> placements;

    /// No turning of it is ruled out.
    bool turns() const { return may_stand[0] && may_stand[1] && may_stand[2]; }
  };

  static Pile MakePile(std::span<const PackUnit> units);
  /// Of soft units as they are before they are pressed.
  static Pile MakePileAtRest(std::span<const PackUnit> units);

  /// Puts units that are alike on a pile, without their placements; the sides of each as it lies there.
  static std::array<std::int64_t, 3> AddTo(Pile& pile, const PackUnit& unit, std::int64_t count);

  Packing Pack(std::span<const PackUnit> units, const Packaging& packaging, const PackPadding& padding) const override;

  /// A pile in a packaging, with `padding` nm free on each side of it in a carton.
  static Packing Pack(const Pile& pile, const Packaging& packaging, std::int64_t padding);

 private:
  static constexpr int kTurnings[6][3] = {{0, 1, 2}, {0, 2, 1}, {1, 0, 2}, {1, 2, 0}, {2, 0, 1}, {2, 1, 0}};

  // True where some turning goes in; `turned[i]` is then the pile's axis along the inside's axis i, of the lowest one
  // where the carton may be cut down.
  static bool TurnInto(const Pile& pile, const Packaging& carton, std::int64_t padding, int (&turned)[3]);

  static Packing PackCarton(const Pile& pile, const Packaging& carton, std::int64_t padding);

  static std::vector<Placement> Turned(const Pile& pile, const int (&axes)[3], std::int64_t padding);

  static std::string CartonWhy(const Pile& pile, std::array<std::int64_t, 3> inside, std::int64_t padding);

  static std::string UprightWhy(const Pile& pile, const std::array<std::int64_t, 3>& inside, std::int64_t padding);

  static std::string FlatWhy(const Pile& pile, const Packaging& packaging, const std::array<std::int64_t, 3>& inside);
};

}  // namespace tarewise::inline TW_VERSIONED

#ifdef TW_HEADER_ONLY
#include "tarewise/ranking/internal/packer-inl.h"
#endif

#endif  // TAREWISE_RANKING_PACKER_H_
