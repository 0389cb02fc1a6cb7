#ifndef TAREWISE_RANKING_PACKER_H_
#define TAREWISE_RANKING_PACKER_H_

#include <algorithm>
#include <array>
#include <cstdint>
#include <span>
#include <string>
#include <vector>

#include "tarewise/parcel/internal/fits.h"
#include "tarewise/parcel/item.h"
#include "tarewise/parcel/packaging.h"

namespace tarewise {

/// Where one unit lies in a packaging: its corner nearest the origin, and its sides along the packaging's axes, in nm.
struct Placement {
  std::size_t unit = 0;
  std::array<std::int64_t, 3> at = {};
  std::array<std::int64_t, 3> sides = {};
};

enum class Fit : std::uint8_t { kFits, kDoesNotFit, kUnknown };

/// Goods in one packaging: whether they fit, and the parcel that results.
struct Packing {
  Fit fit = Fit::kUnknown;
  std::array<std::int64_t, 3> outside = {};  ///< Of the parcel, nm, in no order.
  std::vector<Placement> placements;
  std::string why;  ///< Of a refusal: the value and the limit that it broke, in words.
};

/// One unit to pack: sides as written (the third upright where `this_side_up`), in nm.
struct PackUnit {
  std::array<std::int64_t, 3> sides = {};
  bool this_side_up = false;
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

  static Pile MakePile(std::span<const PackUnit> units) {
    Pile pile;
    if (units.size() == 1) {
      pile.sides = units[0].sides;
      pile.this_side_up = units[0].this_side_up;
      pile.placements.push_back({0, {}, pile.sides});
      return pile;
    }
    for (std::size_t i = 0; i < units.size(); ++i) {
      const std::int64_t height = pile.sides[2];
      pile.placements.push_back({i, {0, 0, height}, AddTo(pile, units[i], 1)});
    }
    return pile;
  }

  /// Puts units that are alike on a pile, without their placements; the sides of each as it lies there.
  static std::array<std::int64_t, 3> AddTo(Pile& pile, const PackUnit& unit, std::int64_t count) {
    std::array<std::int64_t, 3> sides = unit.sides;
    if (unit.this_side_up) {
      pile.this_side_up = true;
      if (sides[0] < sides[1]) std::swap(sides[0], sides[1]);
    } else {
      std::sort(sides.begin(), sides.end(), std::greater<>());
    }
    pile.sides[0] = std::max(pile.sides[0], sides[0]);
    pile.sides[1] = std::max(pile.sides[1], sides[1]);
    pile.sides[2] += sides[2] * count;
    return sides;
  }

  Packing Pack(std::span<const PackUnit> units, const Packaging& packaging, std::int64_t padding) const override {
    Pile pile = MakePile(units);
    Packing packing = Pack(pile, packaging, padding);
    if (packing.fit == Fit::kDoesNotFit && units.size() > 1) packing.why += " (piled; another arrangement may fit)";
    return packing;
  }

  /// A pile in a packaging.
  static Packing Pack(const Pile& pile, const Packaging& packaging, std::int64_t padding) {
    Packing packing;
    const std::array<std::int64_t, 3> inside = {packaging.inside[0].nanometres(), packaging.inside[1].nanometres(),
                                                packaging.inside[2].nanometres()};
    const std::int64_t walls = 2 * packaging.wall.nanometres();
    switch (packaging.kind) {
      case PackagingKind::kCarton: {
        int turned[3];
        if (!TurnInto(pile, inside, padding, turned)) return Refuse(packing, CartonWhy(pile, inside, padding));
        packing.fit = Fit::kFits;
        for (std::size_t i = 0; i < 3; ++i) packing.outside[i] = packaging.outside[i].nanometres();
        packing.placements = Turned(pile, turned, padding);
        return packing;
      }
      case PackagingKind::kBare:
        packing.fit = Fit::kFits;
        packing.outside = pile.sides;
        packing.placements = pile.placements;
        return packing;
      case PackagingKind::kMailer:
      case PackagingKind::kEnvelope:
      case PackagingKind::kTube:
        break;
    }
    if (pile.this_side_up)
      return Refuse(packing, "goods that must stay upright, in a packaging that cannot be kept so");
    // Every turning: axis `t` is the thickness, `l` along the length, `w` along the width; the thinnest that goes in.
    std::string why;
    int best = -1;
    for (int turning = 0; turning < 6; ++turning) {
      const int* axes = kTurnings[turning];
      const std::int64_t l = pile.sides[static_cast<std::size_t>(axes[0])];
      const std::int64_t w = pile.sides[static_cast<std::size_t>(axes[1])];
      const std::int64_t t = pile.sides[static_cast<std::size_t>(axes[2])];
      bool goes = false;
      if (packaging.kind == PackagingKind::kMailer) {
        goes = internal::MailerTakes(inside, l, w, t);
      } else if (packaging.kind == PackagingKind::kEnvelope) {
        goes = internal::EnvelopeTakes(inside, l, w, t);
      } else {
        goes = internal::TubeTakes(inside, l, w, t);
      }
      if (goes && (best < 0 || t < pile.sides[static_cast<std::size_t>(kTurnings[best][2])])) best = turning;
    }
    if (best < 0) return Refuse(packing, FlatWhy(pile, packaging, inside));
    packing.fit = Fit::kFits;
    const std::int64_t thickness = pile.sides[static_cast<std::size_t>(kTurnings[best][2])];
    if (packaging.kind == PackagingKind::kMailer) {
      for (std::size_t i = 0; i < 3; ++i) packing.outside[i] = pile.sides[i] + walls;
    } else if (packaging.kind == PackagingKind::kEnvelope) {
      packing.outside = {packaging.outside[0].nanometres(), packaging.outside[1].nanometres(), thickness + walls};
    } else {
      packing.outside = {packaging.outside[1].nanometres(), packaging.outside[0].nanometres(),
                         packaging.outside[0].nanometres()};
    }
    packing.placements = Turned(pile, kTurnings[best], 0);
    return packing;
  }

 private:
  static std::string In(std::int64_t nm) { return Length::Nanometres(nm).In("in"); }

  static constexpr int kTurnings[6][3] = {{0, 1, 2}, {0, 2, 1}, {1, 0, 2}, {1, 2, 0}, {2, 0, 1}, {2, 1, 0}};

  // True where some turning goes in; `turned[i]` is then the pile's axis along the inside's axis i.
  static bool TurnInto(const Pile& pile, const std::array<std::int64_t, 3>& inside, std::int64_t padding,
                       int (&turned)[3]) {
    for (const int(&axes)[3] : kTurnings) {
      if (pile.this_side_up && axes[2] != 2) continue;
      bool goes = true;
      for (std::size_t i = 0; i < 3; ++i) {
        goes = goes && pile.sides[static_cast<std::size_t>(axes[i])] + 2 * padding <= inside[i];
      }
      if (goes) {
        std::copy(axes, axes + 3, turned);
        return true;
      }
    }
    return false;
  }

  static std::vector<Placement> Turned(const Pile& pile, const int (&axes)[3], std::int64_t padding) {
    std::vector<Placement> placements = pile.placements;
    for (Placement& placement : placements) {
      const Placement before = placement;
      for (std::size_t i = 0; i < 3; ++i) {
        placement.at[i] = before.at[static_cast<std::size_t>(axes[i])] + padding;
        placement.sides[i] = before.sides[static_cast<std::size_t>(axes[i])];
      }
    }
    return placements;
  }

  static Packing Refuse(Packing packing, std::string why) {
    packing.fit = Fit::kDoesNotFit;
    packing.why = std::move(why);
    return packing;
  }

  static std::string CartonWhy(const Pile& pile, std::array<std::int64_t, 3> inside, std::int64_t padding) {
    std::array<std::int64_t, 3> sides = pile.sides;
    const std::string pad = padding > 0 ? " with padding" : "";
    if (pile.this_side_up && sides[2] + 2 * padding > inside[2]) {
      return "the upright side is " + In(sides[2] + 2 * padding) + pad + ", the carton's is " + In(inside[2]);
    }
    if (!pile.this_side_up) {
      std::sort(sides.begin(), sides.end(), std::greater<>());
      std::sort(inside.begin(), inside.end(), std::greater<>());
    } else {
      std::sort(sides.begin(), sides.begin() + 2, std::greater<>());
      std::sort(inside.begin(), inside.begin() + 2, std::greater<>());
    }
    constexpr std::string_view kNames[] = {"longest", "second", "shortest"};
    for (std::size_t i = 0; i < 3; ++i) {
      if (sides[i] + 2 * padding > inside[i]) {
        return "the " + std::string(kNames[i]) + " side is " + In(sides[i] + 2 * padding) + pad + ", the carton has " +
               In(inside[i]);
      }
    }
    return "no turning goes in";
  }

  static std::string FlatWhy(const Pile& pile, const Packaging& packaging, const std::array<std::int64_t, 3>& inside) {
    std::array<std::int64_t, 3> sides = pile.sides;
    std::sort(sides.begin(), sides.end(), std::greater<>());
    if (packaging.kind == PackagingKind::kMailer) {
      if (sides[1] + sides[2] > std::min(inside[0], inside[1])) {
        return "width plus thickness is " + In(sides[1] + sides[2]) + ", the mailer's flat width is " +
               In(std::min(inside[0], inside[1]));
      }
      return "length plus thickness is " + In(sides[0] + sides[2]) + ", the mailer's usable length is " +
             In(std::max(inside[0], inside[1]));
    }
    if (packaging.kind == PackagingKind::kEnvelope) {
      if (sides[2] > inside[2]) return "thickness is " + In(sides[2]) + ", the envelope takes " + In(inside[2]);
      return "the goods are " + In(sides[0]) + " by " + In(sides[1]) + ", the envelope is " +
             In(std::max(inside[0], inside[1])) + " by " + In(std::min(inside[0], inside[1]));
    }
    if (sides[0] > inside[1]) return "length is " + In(sides[0]) + ", the tube's is " + In(inside[1]);
    return "the goods are " + In(sides[1]) + " by " + In(sides[2]) + " across, too wide for a diameter of " +
           In(inside[0]);
  }
};

}  // namespace tarewise

#endif  // TAREWISE_RANKING_PACKER_H_
