#ifndef TAREWISE_PACKING_INTERNAL_ARRANGE_INL_H_
#define TAREWISE_PACKING_INTERNAL_ARRANGE_INL_H_

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <utility>
#include <vector>

#include "absl/strings/str_cat.h"
#include "tarewise/packing/arrange.h"
#include "tarewise/packing/fill.h"
#include "tarewise/packing/internal/pack_bounds.h"
#include "tarewise/packing/internal/pack_construct.h"
#include "tarewise/packing/internal/pack_geometry.h"
#include "tarewise/packing/internal/pack_model.h"
#include "tarewise/packing/internal/pack_raster.h"
#include "tarewise/packing/internal/pack_search.h"
#include "tarewise/packing/internal/pack_settle.h"
#include "tarewise/packing/internal/pack_sums.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

namespace internal {

inline constexpr std::int64_t kMostPackLoad = 100'000'000'000'000'000;

inline std::optional<std::string> CheckPackUnit(const PackUnit& unit, std::size_t index) {
  for (const std::int64_t side : unit.sides) {
    if (side <= 0 || side > kLongestPackSide) {
      return absl::StrCat("unit ", index, " has a side of ", side, " nm, expected above 0 and at most 50 m");
    }
  }
  if (unit.weight < 0 || unit.weight > kMostPackLoad) {
    return absl::StrCat("unit ", index, " weighs ", unit.weight, " ng, expected 0 to 10^17");
  }
  if (unit.bears && (*unit.bears < 0 || *unit.bears > kMostPackLoad)) {
    return absl::StrCat("unit ", index, " bears ", *unit.bears, " ng, expected 0 to 10^17");
  }
  return std::nullopt;
}

// One call: the stages in turn, each over the same model.
class Arranger {
 public:
  Arranger(std::span<const PackUnit> units, const Room& room, ArrangeBudget budget)
      : units_(units), budget_(budget), model_(MakePackModel(units, room)) {}

  Arrangement Run() {
    Arrangement answer;
    if (model_.too_large < units_.size()) {
      answer.unit = model_.too_large;
      return Refuse(std::move(answer), FitProof::kUnitTooLarge);
    }
    if (VolumesExceed(model_)) return Refuse(std::move(answer), FitProof::kVolume);
    ConstructivePass pass(model_);
    if (Construct(pass, 0, kFirstSorts)) return Found(std::move(answer), pass.Placements());
    if (units_.size() > kFewUnits) {
      if (Construct(pass, kFirstSorts, kPackSorts)) return Found(std::move(answer), pass.Placements());
      return Fill(std::move(answer));
    }
    return BoundAndSearch(pass, std::move(answer));
  }

 private:
  static constexpr std::size_t kFirstSorts = 1;
  static constexpr std::int64_t kFirstSteps = 500;   // most are decided by then
  static constexpr std::int64_t kFillSteps = 1'000;  // of many units

  static Arrangement Refuse(Arrangement answer, FitProof proof) {
    answer.fit = Fit::kDoesNotFit;
    answer.proof = proof;
    return answer;
  }

  // Volumes as they are, without gaps: for any number of units.
  static bool VolumesExceed(const PackModel& model) {
    absl::int128 sum = 0;
    for (const ReadyUnit& unit : model.units) sum += absl::int128(unit.longest) * unit.middle * unit.shortest;
    return sum > absl::int128(model.room.sides[0]) * model.room.sides[1] * model.room.sides[2];
  }

  // Some of the sorts: bounds are asked before most of them, as they take less than what finds nothing.
  bool Construct(ConstructivePass& pass, std::size_t first, std::size_t end) const {
    const std::int64_t most = std::max<std::int64_t>(budget_.nodes, 1) * 1000;
    FewVector<std::size_t> order;
    for (std::size_t key = first; key < end && pass.Tries() <= most; ++key) {
      pass.Order(static_cast<PackSort>(key), order);
      for (std::size_t rule = 0; rule < kPlaceRules; ++rule) {
        if (pass.Run(order, static_cast<PlaceRule>(rule))) return true;
        if (pass.Tries() > most) return false;
      }
    }
    return false;
  }

  // More units than are searched, by blocks of those that are alike.
  Arrangement Fill(Arrangement answer) const {
    if ((model_.any_padded && model_.room.padding > 0) || model_.any_bears) return answer;
    std::vector<FillGood> goods;
    for (const PackUnit& unit : units_) {
      FillGood& good = goods.emplace_back();
      good.sides = unit.sides;
      good.may_stand = unit.MayStand();
      good.top_free = unit.top_free;
    }
    Filling filling = FillRoom(goods, model_.room, {std::min(budget_.nodes, kFillSteps)});
    if (filling.placements.size() < units_.size()) return answer;
    std::sort(filling.placements.begin(), filling.placements.end(),
              [](const Placement& a, const Placement& b) { return a.unit < b.unit; });
    return Found(std::move(answer), std::move(filling.placements));
  }

  Arrangement BoundAndSearch(ConstructivePass& pass, Arrangement answer) const {
    PackGeometry geometry = MakePackGeometry(model_);
    // The room is cut to whole measures, so that without gaps this says more than volumes did.
    if (VolumeExceeds(geometry))
      return Refuse(std::move(answer), model_.any_padded ? FitProof::kVolume : FitProof::kBound);
    PackGeometry grown = geometry;
    for (int round = 0; round < 2; ++round) {
      if (!TightenGeometry(grown) || VolumeExceeds(grown)) return Refuse(std::move(answer), FitProof::kBound);
    }
    if (geometry.MayGrow(model_)) geometry = grown;
    DualBounds bounds(grown);
    if (bounds.Exceeds()) return Refuse(std::move(answer), FitProof::kBound);
    DualBounds own(geometry);
    if (!geometry.MayGrow(model_) && own.Exceeds()) return Refuse(std::move(answer), FitProof::kBound);
    if (Construct(pass, kFirstSorts, kPackSorts)) return Found(std::move(answer), pass.Placements());
    PackSearch search(model_, geometry, geometry.MayGrow(model_) ? bounds.Kept() : own.Kept());
    return Search(geometry, search, std::move(answer));
  }

  // By pairs; where units are alike, by places after some steps, as there are few places then; and by pairs again.
  Arrangement Search(const PackGeometry& geometry, PackSearch& search, Arrangement answer) const {
    std::vector<Placement> placements;
    const std::int64_t first =
        SortsOfUnits() * 2 <= geometry.count ? std::min<std::int64_t>(budget_.nodes, kFirstSteps) : 0;
    Fit fit = first > 0 ? search.Run(first) : Fit::kUnknown;
    if (first > 0 && fit == Fit::kUnknown) {
      RasterSearch raster(model_, geometry, (budget_.nodes - first) / 4 * 3);
      if (raster.Begin()) fit = raster.Run();
      answer.nodes += raster.Nodes();
      if (fit == Fit::kFits) return Found(std::move(answer), raster.Placements());
    }
    if (fit == Fit::kUnknown) fit = search.Run(budget_.nodes - answer.nodes);
    answer.nodes += search.Nodes();
    if (fit == Fit::kFits) return Found(std::move(answer), std::move(search.Placements()));
    if (fit == Fit::kDoesNotFit) return Refuse(std::move(answer), FitProof::kSearched);
    return answer;
  }

  std::size_t SortsOfUnits() const {
    std::size_t sorts = 0;
    for (std::size_t i = 0; i < model_.units.size(); ++i) sorts += model_.units[i].kind == i ? 1 : 0;
    return sorts;
  }

  // Settled, and checked: what would not pass is never told.
  Arrangement Found(Arrangement answer, std::vector<Placement> placements) const {
    std::vector<Placement> settled = placements;
    Settle(model_, settled);
    for (std::vector<Placement>* kept : {&settled, &placements}) {
      if (CheckArrangement(units_, model_.room, *kept)) continue;
      answer.fit = Fit::kFits;
      answer.placements = std::move(*kept);
      return answer;
    }
    return answer;
  }

  std::span<const PackUnit> units_;
  ArrangeBudget budget_;
  PackModel model_;
};

}  // namespace internal

TW_INLINE std::optional<std::string> CheckPackInput(std::span<const PackUnit> units, const Room& room) {
  if (units.size() > kMostPackUnits) return absl::StrCat(units.size(), " units, expected at most ", kMostPackUnits);
  std::int64_t weight = 0;
  for (std::size_t i = 0; i < units.size(); ++i) {
    if (std::optional<std::string> wrong = internal::CheckPackUnit(units[i], i)) return wrong;
    if (units[i].weight > internal::kMostPackLoad - weight) return "units of more than 10^17 ng together";
    weight += units[i].weight;
  }
  for (const std::int64_t side : room.sides) {
    if (side < -kLongestPackSide || side > kLongestPackSide) {
      return absl::StrCat("the room has a side of ", side, " nm, expected at most 50 m");
    }
  }
  for (const std::int64_t padding : {room.padding, room.wall_padding}) {
    if (padding < 0 || padding > kLongestPackSide) {
      return absl::StrCat("a padding of ", padding, " nm, expected 0 to 50 m");
    }
  }
  return std::nullopt;
}

TW_INLINE Arrangement Arrange(std::span<const PackUnit> units, const Room& room, ArrangeBudget budget) {
  Arrangement answer;
  if (CheckPackInput(units, room)) return answer;
  if (units.empty()) {
    answer.fit = Fit::kFits;
    return answer;
  }
  return internal::Arranger(units, room, budget).Run();
}

}  // namespace tarewise::inline TW_VERSIONED

#endif  // TAREWISE_PACKING_INTERNAL_ARRANGE_INL_H_
