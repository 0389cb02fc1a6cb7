#ifndef TAREWISE_RANKING_INTERNAL_PACK_GOODS_INL_H_
#define TAREWISE_RANKING_INTERNAL_PACK_GOODS_INL_H_

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <utility>
#include <vector>

#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "tarewise/packing/internal/place.h"
#include "tarewise/parcel/packaging.h"
#include "tarewise/ranking/internal/packer-inl.h"
#include "tarewise/ranking/internal/packing_steps-inl.h"
#include "tarewise/ranking/internal/request_goods.h"
#include "tarewise/ranking/pack_goods.h"
#include "tarewise/units/internal/place_of_error.h"
#include "tarewise/units/length.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {
namespace internal {

inline absl::Status CheckCut(const Packaging& packaging) {
  if (!packaging.least_height) return absl::OkStatus();
  if (packaging.kind != PackagingKind::kCarton) {
    return InvalidAt("packaging/least_height", "found one, expected it of a carton alone");
  }
  const Length most = packaging.outside[2];
  if (packaging.least_height->nanometres() >= 1 && *packaging.least_height <= most) return absl::OkStatus();
  return InvalidAt("packaging/least_height", "found " + packaging.least_height->In("in") +
                                                 ", expected more than 0 and at most the third of the outside, " +
                                                 most.In("in"));
}

// A packaging that no document was read for.
inline absl::Status CheckPackaging(const Packaging& packaging) {
  if (packaging.kind == PackagingKind::kBare) {
    return InvalidAt("packaging/kind", "found bare, which nothing bounds, expected a packaging with an inside");
  }
  const bool carton = packaging.kind == PackagingKind::kCarton;
  constexpr std::int64_t kMost = Length::kMostSideNanometres;
  for (std::size_t i = 0; i < 3; ++i) {
    const Length inside = packaging.inside[i];
    const std::int64_t least = i < 2 || carton ? 1 : 0;
    if (inside.nanometres() < least || inside.nanometres() > kMost) {
      return InvalidAt("packaging/inside",
                       "found " + inside.In("mm") + ", expected more than 0 and at most 50 m along each side");
    }
    const Length outside = packaging.outside[i];
    if ((i < 2 || carton) && (outside < inside || outside.nanometres() > kMost)) {
      return InvalidAt("packaging/outside", "found " + outside.In("mm") + ", expected no less than the inside, " +
                                                inside.In("mm") + ", and at most 50 m");
    }
  }
  if (packaging.wall.nanometres() < 0 || packaging.wall.nanometres() > kMost) {
    return InvalidAt("packaging/wall", "found " + packaging.wall.In("mm") + ", expected 0 to 50 m");
  }
  return CheckCut(packaging);
}

inline absl::StatusOr<RequestGoods> GoodsToPack(const Request& request, const Packaging& packaging) {
  if (request.parcel) return InvalidAt("parcel", "found a sealed parcel, expected goods to pack");
  absl::StatusOr<RequestGoods> goods = RequestGoods::Of(request);
  if (!goods.ok()) return goods;
  if (absl::Status status = CheckPackaging(packaging); !status.ok()) return status;
  return goods;
}

}  // namespace internal

TW_INLINE absl::StatusOr<Packing> PackGoods(const Request& request, const Packaging& packaging, ArrangeBudget budget) {
  const absl::StatusOr<internal::RequestGoods> goods = internal::GoodsToPack(request, packaging);
  if (!goods.ok()) return goods.status();
  const std::vector<PackUnit>& units = goods->units_most();
  Packing packing = GoodsPacker(budget).Pack(units, packaging, goods->padding());
  // One alone is decided without a search; what must stay upright goes into no packaging but a carton, however small.
  const std::array<bool, 3> stands = units.front().MayStand();
  const bool turns = stands[0] && stands[1] && stands[2];
  if (packing.fit == Fit::kDoesNotFit && units.size() == 1 && (turns || packaging.kind == PackagingKind::kCarton)) {
    packing.proof = FitProof::kUnitTooLarge;
  }
  if (packing.fit == Fit::kUnknown && packing.why.empty()) {
    packing.why = "whether the goods fit is not known";
  }
  return packing;
}

TW_INLINE std::array<std::int64_t, 3> RoomOf(const Packaging& packaging, const Packing& packing) {
  std::array<std::int64_t, 3> room = {};
  if (packaging.kind != PackagingKind::kCarton) {
    for (const Placement& one : packing.placements) {
      for (std::size_t i = 0; i < 3; ++i) room[i] = std::max(room[i], one.at[i] + one.sides[i]);
    }
    return room;
  }
  for (std::size_t i = 0; i < 3; ++i) room[i] = packaging.inside[i].nanometres();
  if (packing.cut_height) room[2] -= packaging.outside[2].nanometres() - *packing.cut_height;
  return room;
}

TW_INLINE absl::StatusOr<std::optional<std::string>> CheckPackedGoods(const Request& request, const Packaging& carton,
                                                                      std::span<const Placement> placements) {
  const absl::StatusOr<internal::RequestGoods> goods = internal::GoodsToPack(request, carton);
  if (!goods.ok()) return goods.status();
  if (carton.kind != PackagingKind::kCarton) {
    return internal::InvalidAt("packaging/kind", "found another kind, expected a carton");
  }
  for (std::size_t i = 0; i < placements.size(); ++i) {
    for (const std::int64_t at : placements[i].at) {
      if (internal::IsPlace(at)) continue;
      return internal::InvalidAt("placements/" + std::to_string(i) + "/at",
                                 "found " + std::to_string(at) + " nm, expected a place within 50 m");
    }
  }
  const PackPadding& padding = goods->padding();
  const Room room{{carton.inside[0].nanometres(), carton.inside[1].nanometres(), carton.inside[2].nanometres()},
                  padding.padded,
                  padding.walls};
  return CheckArrangement(goods->units_most(), room, placements);
}

TW_INLINE ToldPacking TellPacking(const Request& request, const Packaging& packaging, const Packing& packing) {
  if (packing.fit != Fit::kFits || packing.placements.empty()) return {};
  Candidate candidate;
  candidate.packaging = &packaging;
  if (packaging.kind != PackagingKind::kCarton) {
    const std::array<std::int64_t, 3> box = RoomOf(packaging, packing);
    for (std::size_t i = 0; i < 3; ++i) candidate.box[i] = Length::Nanometres(box[i]);
  }
  if (packing.cut_height) candidate.cut_to = Length::Nanometres(*packing.cut_height);
  candidate.arrangement = std::make_shared<const std::vector<Placement>>(packing.placements);
  internal::PackingTeller teller(request, candidate);
  teller.Tell();
  return {teller.TakeSteps(), teller.StepsOfUnits()};
}

}  // namespace tarewise::inline TW_VERSIONED

#endif  // TAREWISE_RANKING_INTERNAL_PACK_GOODS_INL_H_
