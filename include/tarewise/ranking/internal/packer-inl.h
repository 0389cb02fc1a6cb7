#ifndef TAREWISE_RANKING_INTERNAL_PACKER_INL_H_
#define TAREWISE_RANKING_INTERNAL_PACKER_INL_H_

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <functional>
#include <numeric>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "tarewise/packing/internal/least_box.h"
#include "tarewise/packing/internal/pillow.h"
#include "tarewise/packing/internal/shrink.h"
#include "tarewise/parcel/internal/fits.h"
#include "tarewise/ranking/internal/pack_units.h"
#include "tarewise/ranking/packer.h"
#include "tarewise/units/length.h"
#include "tarewise/units/rounding.h"
#include "tarewise/units/volume.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

namespace internal {

inline Packing Refused(std::string why, FitProof proof = FitProof::kNone) {
  Packing packing;
  packing.fit = Fit::kDoesNotFit;
  packing.proof = proof;
  packing.why = std::move(why);
  return packing;
}

inline std::string NoArrangementWhy(std::size_t units) {
  return "no arrangement of these " + std::to_string(units) + " units goes in";
}

inline std::string InInches(std::int64_t nm) { return Length::Nanometres(nm).In("in"); }

/// Of units of which one alone does not go into a packaging: the value and the limit that it broke, in words. Of
/// several that do not the largest, in whatever order they were given. Nothing where each goes in.
TW_INLINE std::string TooLargeWhy(std::span<const PackUnit> units, const PackPadding& padding,
                                  const Packaging& packaging) {
  std::pair<std::array<std::int64_t, 3>, std::string> largest;
  const PackUnit* before = nullptr;
  for (const PackUnit& unit : units) {
    const bool alike = before != nullptr && unit.sides == before->sides && unit.padded == before->padded &&
                       unit.MayStand() == before->MayStand();
    before = &unit;
    if (alike) continue;
    Packing alone = PilePacker().Pack({&unit, 1}, packaging, padding);
    if (alone.fit != Fit::kDoesNotFit) continue;
    std::pair found(unit.sides, std::move(alone.why));
    std::sort(found.first.begin(), found.first.end(), std::greater<>());
    largest = std::max(largest, found);
  }
  return largest.second;
}

/// Rounded to one in so many `parts` of a cubic inch, a number that divides one: all its decimals say nothing here.
inline std::string InCubicInches(Int128 nm3, std::int64_t parts, RoundMode mode) {
  const Int128 step = Volume::CubicInches(1).cubic_nanometres() / parts;
  return Volume::CubicNanometres(DivideRounded(nm3, 1, step, mode)).In("in3");
}

/// Of units that do not go into a carton: the value and the limit that was broken, in words. Nothing without a proof.
TW_INLINE std::string ArrangeWhy(std::span<const PackUnit> units, const PackPadding& padding, const Packaging& carton,
                                 const Arrangement& arranged) {
  switch (arranged.proof) {
    case FitProof::kUnitTooLarge: {
      std::string why = TooLargeWhy(units, padding, carton);
      if (!why.empty()) return why;
      break;
    }
    case FitProof::kVolume: {
      Int128 goods = 0;
      for (const PackUnit& unit : units) goods += Int128(unit.sides[0]) * unit.sides[1] * unit.sides[2];
      const Int128 room = Volume::Of(carton.inside[0], carton.inside[1], carton.inside[2]).cubic_nanometres();
      if (goods <= room) return "the goods with padding fill more than the carton holds";
      return "the goods fill " + InCubicInches(goods, 1, RoundMode::kUp) + ", the carton holds " +
             InCubicInches(room, 1, RoundMode::kDown);
    }
    case FitProof::kNone:
      return {};
    case FitProof::kBound:
    case FitProof::kSearched:
      break;
  }
  return NoArrangementWhy(units.size());
}

/// What the outside of a carton that may be cut down comes to where its goods, with what is kept free, need `inside`
/// (nm) of its height; nothing where it is no less than the whole.
inline std::optional<std::int64_t> CutHeight(const Packaging& carton, std::int64_t inside) {
  if (!carton.least_height) return std::nullopt;
  const std::int64_t whole = carton.outside[2].nanometres();
  const std::int64_t cut = std::max(inside + whole - carton.inside[2].nanometres(), carton.least_height->nanometres());
  return cut < whole ? std::optional(cut) : std::nullopt;
}

/// The parcel that a box of so much along, across and thick makes of a mailer, an envelope or a tube, in no order.
inline std::array<std::int64_t, 3> OutsideOf(const Packaging& packaging, const std::array<std::int64_t, 3>& box) {
  const std::int64_t walls = 2 * packaging.wall.nanometres();
  const std::int64_t first = packaging.outside[0].nanometres();
  const std::int64_t second = packaging.outside[1].nanometres();
  if (packaging.kind == PackagingKind::kEnvelope) return {first, second, box[2] + walls};
  if (packaging.kind == PackagingKind::kTube) return {second, first, first};
  return {box[0] + walls, box[1] + walls, box[2] + walls};
}

}  // namespace internal

// What is answered hangs on the units, not on the order in which they were given.
TW_INLINE Packing GoodsPacker::Pack(std::span<const PackUnit> units, const Packaging& packaging,
                                    const PackPadding& padding) const {
  if (packaging.kind == PackagingKind::kBare || std::is_sorted(units.begin(), units.end(), internal::ComesFirst)) {
    return PackSorted(units, packaging, padding);
  }
  std::vector<std::size_t> order(units.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::stable_sort(order.begin(), order.end(),
                   [&](std::size_t a, std::size_t b) { return internal::ComesFirst(units[a], units[b]); });
  std::vector<PackUnit> sorted;
  sorted.reserve(units.size());
  for (const std::size_t i : order) sorted.push_back(units[i]);
  Packing packing = PackSorted(sorted, packaging, padding);
  for (Placement& one : packing.placements) one.unit = order[one.unit];
  std::sort(packing.placements.begin(), packing.placements.end(),
            [](const Placement& a, const Placement& b) { return a.unit < b.unit; });
  return packing;
}

TW_INLINE Packing GoodsPacker::PackSorted(std::span<const PackUnit> units, const Packaging& packaging,
                                          const PackPadding& padding) const {
  const bool one = units.size() == 1;
  switch (packaging.kind) {
    case PackagingKind::kCarton:
      return one ? PilePacker().Pack(units, packaging, padding) : PackCarton(units, packaging, padding);
    case PackagingKind::kBare:
      return PilePacker().Pack(units, packaging, padding);
    case PackagingKind::kMailer:
      if (std::all_of(units.begin(), units.end(), [](const PackUnit& unit) { return unit.soft.has_value(); })) {
        return PackPillow(units, packaging);
      }
      break;
    case PackagingKind::kEnvelope:
    case PackagingKind::kTube:
      break;
  }
  return one ? PilePacker().Pack(units, packaging, padding) : PackYielding(units, packaging);
}

TW_INLINE Packing GoodsPacker::PackYielding(std::span<const PackUnit> units, const Packaging& packaging) const {
  if (std::string why = internal::TooLargeWhy(units, {}, packaging); !why.empty()) {
    return internal::Refused(std::move(why), FitProof::kUnitTooLarge);
  }
  if (std::any_of(units.begin(), units.end(), [](const PackUnit& unit) { return unit.top_free || unit.bears; })) {
    return internal::Refused("goods that may not lie under one another, in a packaging that cannot be kept upright");
  }
  const std::int64_t first = packaging.inside[0].nanometres();
  const std::int64_t second = packaging.inside[1].nanometres();
  const internal::YieldingSpace space =
      packaging.kind == PackagingKind::kMailer ? internal::YieldingSpace::Mailer(first, second)
      : packaging.kind == PackagingKind::kEnvelope
          ? internal::YieldingSpace::Envelope(first, second, packaging.inside[2].nanometres())
          : internal::YieldingSpace::Tube(first, second);
  internal::LeastBox box = internal::LeastBoxFinder(units, space, budget_.nodes / 20).Find();
  if (box.fit == Fit::kDoesNotFit) {
    return internal::Refused(internal::NoArrangementWhy(units.size()), box.proof);
  }
  Packing packing;
  packing.fit = box.fit;
  if (box.fit != Fit::kFits) return packing;
  packing.room = box.sides;
  packing.outside = internal::OutsideOf(packaging, box.sides);
  packing.placements = std::move(box.placements);
  return packing;
}

TW_INLINE Packing GoodsPacker::PackPillow(std::span<const PackUnit> units, const Packaging& mailer) {
  const std::int64_t width = mailer.inside[0].nanometres();
  const std::int64_t length = mailer.inside[1].nanometres();
  Int128 volume = 0;
  std::int64_t thickest = 0;
  for (const PackUnit& unit : units) {
    std::array<std::int64_t, 3> rest = unit.soft->at_rest;
    std::sort(rest.begin(), rest.end(), std::greater<>());
    const std::int64_t least = unit.soft->least_thickness;
    const bool lies = (rest[0] + least <= length && rest[1] + least <= width) ||
                      (rest[1] + least <= length && rest[0] + least <= width);
    if (!lies) {
      return internal::Refused("one of the soft goods is " + internal::InInches(rest[0]) + " by " +
                               internal::InInches(rest[1]) + " and at least " + internal::InInches(least) +
                               " thick, the mailer is " + internal::InInches(length) + " by " +
                               internal::InInches(width) + " flat");
    }
    volume += (Int128(rest[0]) * rest[1] * rest[2] * unit.soft->pressed_millionths + 999'999) / 1'000'000;
    thickest = std::max(thickest, least);
  }
  const internal::Pillow pillow(width, length);
  const std::optional<std::int64_t> thickness = pillow.ThicknessFor(volume, thickest);
  if (!thickness) {
    const std::int64_t most = pillow.MostThickness();
    if (thickest > most) {
      return internal::Refused("the least thickness is " + internal::InInches(thickest) +
                               ", the mailer gets no thicker than " + internal::InInches(most));
    }
    const auto hundredths = [](Int128 nm3) { return internal::InCubicInches(nm3, 100, RoundMode::kHalfUp); };
    return internal::Refused("the soft goods are pressed to " + hundredths(volume) + ", the mailer holds " +
                             hundredths(pillow.VolumeAt(most)));
  }
  Packing packing;
  packing.fit = Fit::kFits;
  packing.outside = internal::OutsideOf(mailer, pillow.SidesAt(*thickness));
  return packing;
}

TW_INLINE Packing GoodsPacker::PackCarton(std::span<const PackUnit> units, const Packaging& carton,
                                          const PackPadding& padding) const {
  Packing packing;
  for (std::size_t i = 0; i < 3; ++i) packing.outside[i] = carton.outside[i].nanometres();
  const Room room{{carton.inside[0].nanometres(), carton.inside[1].nanometres(), carton.inside[2].nanometres()},
                  padding.padded,
                  padding.walls};
  Arrangement arranged = Arrange(units, room, budget_);
  packing.fit = arranged.fit;
  packing.proof = arranged.proof;
  packing.room = room.sides;
  if (arranged.fit != Fit::kFits) {
    packing.why = internal::ArrangeWhy(units, padding, carton, arranged);
    return packing;
  }
  if (carton.least_height) {
    const std::int64_t needed = internal::ShortenAsFarAsItGoes(
        units, room, 2, arranged, [&](const Room& lower) { return Arrange(units, lower, budget_); });
    packing.cut_height = internal::CutHeight(carton, needed);
  }
  packing.placements = std::move(arranged.placements);
  return packing;
}

TW_INLINE PilePacker::Pile PilePacker::MakePile(std::span<const PackUnit> units) {
  Pile pile;
  if (units.size() == 1) {
    pile.sides = units[0].sides;
    pile.may_stand = units[0].MayStand();
    pile.placements.push_back({0, {}, pile.sides});
    return pile;
  }
  for (std::size_t i = 0; i < units.size(); ++i) {
    const std::int64_t height = pile.sides[2];
    pile.placements.push_back({i, {0, 0, height}, AddTo(pile, units[i], 1)});
  }
  return pile;
}

TW_INLINE PilePacker::Pile PilePacker::MakePileAtRest(std::span<const PackUnit> units) {
  if (std::none_of(units.begin(), units.end(), [](const PackUnit& unit) { return unit.soft.has_value(); })) {
    return MakePile(units);
  }
  std::vector<PackUnit> at_rest(units.begin(), units.end());
  for (PackUnit& unit : at_rest) unit = internal::AtRest(unit);
  return MakePile(at_rest);
}

TW_INLINE std::array<std::int64_t, 3> PilePacker::AddTo(Pile& pile, const PackUnit& unit, std::int64_t count) {
  std::array<std::int64_t, 3> sides = unit.sides;
  const std::array<bool, 3> stands = unit.MayStand();
  // The shortest that may be upright goes to the end.
  std::size_t up = 3;
  for (std::size_t i = 0; i < 3; ++i) {
    if (!stands[i]) {
      pile.may_stand = {false, false, true};
    } else if (up == 3 || sides[i] < sides[up]) {
      up = i;
    }
  }
  std::swap(sides[up % 3], sides[2]);
  if (sides[0] < sides[1]) std::swap(sides[0], sides[1]);
  pile.piles = pile.piles && !unit.top_free && !unit.bears;
  pile.sides[0] = std::max(pile.sides[0], sides[0]);
  pile.sides[1] = std::max(pile.sides[1], sides[1]);
  pile.sides[2] += sides[2] * count;
  return sides;
}

TW_INLINE Packing PilePacker::Pack(std::span<const PackUnit> units, const Packaging& packaging,
                                   const PackPadding& padding) const {
  const Pile pile = packaging.kind == PackagingKind::kBare ? MakePileAtRest(units) : MakePile(units);
  const bool padded = std::any_of(units.begin(), units.end(), [](const PackUnit& unit) { return unit.padded; });
  Packing packing = Pack(pile, packaging, padding.Around(padded));
  if (packing.fit == Fit::kDoesNotFit && units.size() > 1) packing.why += " (piled; another arrangement may fit)";
  return packing;
}

TW_INLINE Packing PilePacker::Pack(const Pile& pile, const Packaging& packaging, std::int64_t padding) {
  Packing packing;
  if (!pile.piles) return internal::Refused("goods that may not lie under one another, on one pile");
  const std::array<std::int64_t, 3> inside = {packaging.inside[0].nanometres(), packaging.inside[1].nanometres(),
                                              packaging.inside[2].nanometres()};
  switch (packaging.kind) {
    case PackagingKind::kCarton:
      return PackCarton(pile, packaging, padding);
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
  if (!pile.turns()) return internal::Refused("goods that must stay upright, in a packaging that cannot be kept so");
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
  if (best < 0) return internal::Refused(FlatWhy(pile, packaging, inside));
  packing.fit = Fit::kFits;
  std::array<std::int64_t, 3> box;
  for (std::size_t i = 0; i < 3; ++i) box[i] = pile.sides[static_cast<std::size_t>(kTurnings[best][i])];
  // Of a mailer side by side with the goods' own: where those range, each is followed by itself.
  packing.outside = internal::OutsideOf(packaging, packaging.kind == PackagingKind::kMailer ? pile.sides : box);
  packing.placements = Turned(pile, kTurnings[best], 0);
  return packing;
}

TW_INLINE Packing PilePacker::PackCarton(const Pile& pile, const Packaging& carton, std::int64_t padding) {
  Packing packing;
  int turned[3];
  if (!TurnInto(pile, carton, padding, turned)) {
    return internal::Refused(CartonWhy(
        pile, {carton.inside[0].nanometres(), carton.inside[1].nanometres(), carton.inside[2].nanometres()}, padding));
  }
  packing.fit = Fit::kFits;
  for (std::size_t i = 0; i < 3; ++i) packing.outside[i] = carton.outside[i].nanometres();
  packing.cut_height = internal::CutHeight(carton, pile.sides[static_cast<std::size_t>(turned[2])] + 2 * padding);
  packing.placements = Turned(pile, turned, padding);
  return packing;
}

TW_INLINE bool PilePacker::TurnInto(const Pile& pile, const Packaging& carton, std::int64_t padding, int (&turned)[3]) {
  bool found = false;
  for (const int(&axes)[3] : kTurnings) {
    const std::size_t up = static_cast<std::size_t>(axes[2]);
    if (!pile.may_stand[up]) continue;
    if (found && pile.sides[up] >= pile.sides[static_cast<std::size_t>(turned[2])]) continue;
    bool goes = true;
    for (std::size_t i = 0; i < 3; ++i) {
      goes = goes && pile.sides[static_cast<std::size_t>(axes[i])] + 2 * padding <= carton.inside[i].nanometres();
    }
    if (!goes) continue;
    found = true;
    std::copy(axes, axes + 3, turned);
    if (!carton.least_height) break;
  }
  return found;
}

TW_INLINE std::vector<Placement> PilePacker::Turned(const Pile& pile, const int (&axes)[3], std::int64_t padding) {
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

TW_INLINE std::string PilePacker::CartonWhy(const Pile& pile, std::array<std::int64_t, 3> inside,
                                            std::int64_t padding) {
  std::array<std::int64_t, 3> sides = pile.sides;
  const std::string pad = padding > 0 ? " with padding" : "";
  if (!pile.turns()) {
    if (std::string why = UprightWhy(pile, inside, padding); !why.empty()) return why;
  }
  if (std::count(pile.may_stand.begin(), pile.may_stand.end(), true) == 1) {
    const auto upright = std::find(pile.may_stand.begin(), pile.may_stand.end(), true) - pile.may_stand.begin();
    std::swap(sides[static_cast<std::size_t>(upright)], sides[2]);
    std::sort(sides.begin(), sides.begin() + 2, std::greater<>());
    std::sort(inside.begin(), inside.begin() + 2, std::greater<>());
  } else {
    std::sort(sides.begin(), sides.end(), std::greater<>());
    std::sort(inside.begin(), inside.end(), std::greater<>());
  }
  constexpr std::string_view kNames[] = {"longest", "second", "shortest"};
  for (std::size_t i = 0; i < 3; ++i) {
    if (sides[i] + 2 * padding > inside[i]) {
      return "the " + std::string(kNames[i]) + " side is " + internal::InInches(sides[i] + 2 * padding) + pad +
             ", the carton has " + internal::InInches(inside[i]);
    }
  }
  return "no turning that is allowed goes in";
}

// Nothing where one of the sides that may be upright is short enough.
TW_INLINE std::string PilePacker::UprightWhy(const Pile& pile, const std::array<std::int64_t, 3>& inside,
                                             std::int64_t padding) {
  std::int64_t least = 0;
  for (std::size_t i = 0; i < 3; ++i) {
    if (pile.may_stand[i] && (least == 0 || pile.sides[i] < least)) least = pile.sides[i];
  }
  if (least + 2 * padding <= inside[2]) return {};
  return "the upright side is " + internal::InInches(least + 2 * padding) + (padding > 0 ? " with padding" : "") +
         ", the carton's is " + internal::InInches(inside[2]);
}

TW_INLINE std::string PilePacker::FlatWhy(const Pile& pile, const Packaging& packaging,
                                          const std::array<std::int64_t, 3>& inside) {
  std::array<std::int64_t, 3> sides = pile.sides;
  std::sort(sides.begin(), sides.end(), std::greater<>());
  if (packaging.kind == PackagingKind::kMailer) {
    if (sides[1] + sides[2] > std::min(inside[0], inside[1])) {
      return "width plus thickness is " + internal::InInches(sides[1] + sides[2]) + ", the mailer's flat width is " +
             internal::InInches(std::min(inside[0], inside[1]));
    }
    return "length plus thickness is " + internal::InInches(sides[0] + sides[2]) + ", the mailer's usable length is " +
           internal::InInches(std::max(inside[0], inside[1]));
  }
  if (packaging.kind == PackagingKind::kEnvelope) {
    if (sides[2] > inside[2])
      return "thickness is " + internal::InInches(sides[2]) + ", the envelope takes " + internal::InInches(inside[2]);
    return "the goods are " + internal::InInches(sides[0]) + " by " + internal::InInches(sides[1]) +
           ", the envelope is " + internal::InInches(std::max(inside[0], inside[1])) + " by " +
           internal::InInches(std::min(inside[0], inside[1]));
  }
  if (sides[0] > inside[1])
    return "length is " + internal::InInches(sides[0]) + ", the tube's is " + internal::InInches(inside[1]);
  return "the goods are " + internal::InInches(sides[1]) + " by " + internal::InInches(sides[2]) +
         " across, too wide for a diameter of " + internal::InInches(inside[0]);
}

}  // namespace tarewise::inline TW_VERSIONED

#endif  // TAREWISE_RANKING_INTERNAL_PACKER_INL_H_
