#ifndef TAREWISE_RANKING_INTERNAL_PACKER_INL_H_
#define TAREWISE_RANKING_INTERNAL_PACKER_INL_H_

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <functional>
#include <span>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "tarewise/parcel/internal/fits.h"
#include "tarewise/ranking/packer.h"

namespace tarewise {

namespace internal {

inline std::string InInches(std::int64_t nm) { return Length::Nanometres(nm).In("in"); }

}  // namespace internal

TW_INLINE PilePacker::Pile PilePacker::MakePile(std::span<const PackUnit> units) {
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

TW_INLINE std::array<std::int64_t, 3> PilePacker::AddTo(Pile& pile, const PackUnit& unit, std::int64_t count) {
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

TW_INLINE Packing PilePacker::Pack(std::span<const PackUnit> units, const Packaging& packaging,
                                   std::int64_t padding) const {
  Pile pile = MakePile(units);
  Packing packing = Pack(pile, packaging, padding);
  if (packing.fit == Fit::kDoesNotFit && units.size() > 1) packing.why += " (piled; another arrangement may fit)";
  return packing;
}

TW_INLINE Packing PilePacker::Pack(const Pile& pile, const Packaging& packaging, std::int64_t padding) {
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
  if (pile.this_side_up) return Refuse(packing, "goods that must stay upright, in a packaging that cannot be kept so");
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

TW_INLINE bool PilePacker::TurnInto(const Pile& pile, const std::array<std::int64_t, 3>& inside, std::int64_t padding,
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

TW_INLINE Packing PilePacker::Refuse(Packing packing, std::string why) {
  packing.fit = Fit::kDoesNotFit;
  packing.why = std::move(why);
  return packing;
}

TW_INLINE std::string PilePacker::CartonWhy(const Pile& pile, std::array<std::int64_t, 3> inside,
                                            std::int64_t padding) {
  std::array<std::int64_t, 3> sides = pile.sides;
  const std::string pad = padding > 0 ? " with padding" : "";
  if (pile.this_side_up && sides[2] + 2 * padding > inside[2]) {
    return "the upright side is " + internal::InInches(sides[2] + 2 * padding) + pad + ", the carton's is " +
           internal::InInches(inside[2]);
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
      return "the " + std::string(kNames[i]) + " side is " + internal::InInches(sides[i] + 2 * padding) + pad +
             ", the carton has " + internal::InInches(inside[i]);
    }
  }
  return "no turning goes in";
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

}  // namespace tarewise

#endif  // TAREWISE_RANKING_INTERNAL_PACKER_INL_H_
