#ifndef TAREWISE_PACKING_INTERNAL_PACK_SEARCH_H_
#define TAREWISE_PACKING_INTERNAL_PACK_SEARCH_H_

#include <algorithm>
#include <array>
#include <bit>
#include <cstddef>
#include <cstdint>
#include <vector>

#include "absl/container/inlined_vector.h"
#include "tarewise/packing/arrange.h"
#include "tarewise/packing/internal/bits_in.h"
#include "tarewise/packing/internal/pack_bounds.h"
#include "tarewise/packing/internal/pack_geometry.h"
#include "tarewise/packing/internal/pack_model.h"
#include "tarewise/packing/internal/pack_propagate.h"
#include "tarewise/packing/internal/pack_state.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

// Goes through every way in which pairs of units can be kept apart, until one gives an arrangement, none is left, or
// the budget is spent.
class PackSearch {
 public:
  PackSearch(const PackModel& model, const PackGeometry& geometry, const absl::InlinedVector<DualTriple, 6>& triples)
      : model_(model), geometry_(geometry), propagation_(model, geometry, triples), count_(geometry.count) {
    unit_weight_.fill(kUnitWeight);
    // Pairs of large units first: with the weight of one failure more where they are as large as two are on average.
    std::int64_t all = 1;
    for (std::size_t i = 0; i < count_; ++i) all += Bulk(i);
    for (std::size_t j = 1; j < count_; ++j) {
      for (std::size_t i = 0; i < j; ++i) {
        const std::int64_t both = (Bulk(i) + Bulk(j)) * static_cast<std::int64_t>(count_) / 2;
        pair_weight_[PairOf(i, j)] = kUnitWeight + both * kUnitWeight / all;
      }
    }
  }

  // From the beginning, with what was learnt of where it fails, until so many nodes have been seen in all.
  Fit Run(std::int64_t budget) {
    budget_ = budget;
    PackState state;
    Begin(state);
    return Search(state);
  }
  std::int64_t Nodes() const { return nodes_; }
  std::vector<Placement>& Placements() { return placements_; }

 private:
  static constexpr std::int64_t kUnitWeight = 16;

  // What is branched on: a pair's relation, or a unit's turning.
  struct Choice {
    bool of_unit = false;
    std::size_t pair = kPairs, first = 0, second = 0;
  };

  void Begin(PackState& state) const {
    state.foot.fill(0);
    for (std::size_t i = 0; i < count_; ++i) {
      const PackGeometry::Unit& unit = geometry_.units[i];
      state.turnings[i] = static_cast<std::uint8_t>((1 << unit.turnings) - 1);
      for (std::size_t axis = 0; axis < 3; ++axis) {
        state.lo[axis][i] = unit.inset;
        state.hi[axis][i] = geometry_.room[axis] - unit.inset;
        state.least[axis][i] = state.most[axis][i] = state.section[axis][i] = 0;
      }
    }
    for (std::size_t j = 1; j < count_; ++j) {
      for (std::size_t i = 0; i < j; ++i) {
        state.may[PairOf(i, j)] = Allowed(i, j);
        state.never[PairOf(i, j)] = 0;
      }
    }
    BreakSymmetry(state);
  }

  Relations Allowed(std::size_t i, std::size_t j) const {
    Relations allowed = kGapRelations;
    const bool kept_apart = model_.Gap(i, j) > 0;
    if (model_.NeverUnder(i, j)) allowed = static_cast<Relations>((allowed & ~(1 << 4)) | (kept_apart ? 0x3C0 : 0));
    if (model_.NeverUnder(j, i)) allowed = static_cast<Relations>((allowed & ~(1 << 5)) | (kept_apart ? 0x3C00 : 0));
    return allowed;
  }

  // Of mirror images, and of orders of equal units, one is enough.
  void BreakSymmetry(PackState& state) const {
    std::size_t single = count_;
    for (std::size_t i = 0; i < count_; ++i) {
      bool alone = true;
      for (std::size_t j = 0; j < count_; ++j)
        alone = alone && (i == j || model_.units[i].kind != model_.units[j].kind);
      if (alone && (single == count_ || Bulk(i) > Bulk(single))) single = i;
    }
    const std::size_t axes = model_.any_top_free || model_.any_bears ? 2 : 3;
    for (std::size_t axis = 0; axis < axes && single < count_; ++axis) {
      // Its middle is in the lower half: it ends at the room's length less its start, so half of both with its side.
      std::int64_t most = 0;
      for (std::size_t t = 0; t < geometry_.units[single].turnings; ++t) {
        most = std::max(most, geometry_.units[single].size[t][axis]);
      }
      state.hi[axis][single] = std::min(state.hi[axis][single], (geometry_.room[axis] + most) / 2);
    }
    for (std::size_t j = 1; j < count_; ++j) {
      for (std::size_t i = 0; i < j; ++i) {
        if (model_.units[i].kind != model_.units[j].kind) continue;
        state.may[PairOf(i, j)] = static_cast<Relations>(state.may[PairOf(i, j)] & ~2);
        state.never[PairOf(i, j)] = 2;  // the later of two that are alike is not before the earlier along axis 0
      }
    }
  }
  // A share of the room in 2^-30.
  std::int64_t Bulk(std::size_t i) const {
    std::int64_t bulk = 1;
    for (std::size_t axis = 0; axis < 3; ++axis) {
      bulk *= ShareOf(geometry_.units[i].size[0][axis], geometry_.room[axis]) >> 9;
    }
    return bulk;
  }

  Fit Search(PackState& state) {
    if (++nodes_ > budget_) return Fit::kUnknown;
    for (;;) {
      if (!propagation_.Run(state)) {
        if (propagation_.Culprit() < kPairs) pair_weight_[propagation_.Culprit()] += kUnitWeight;
        return Fit::kDoesNotFit;
      }
      const Choice choice = Choose(state);
      if (choice.of_unit) {
        const Fit fit = BranchTurning(state, choice.first);
        if (fit != Fit::kDoesNotFit) return fit;
      } else if (choice.pair < kPairs) {
        const Fit fit = BranchRelation(state, choice);
        if (fit != Fit::kDoesNotFit) return fit;
      } else {
        return Leaf(state);
      }
    }
  }

  // The fewest values for the weight of failures so far; relations before turnings.
  Choice Choose(const PackState& state) const {
    Choice best;
    std::int64_t values = 0;
    std::int64_t weight = 1;
    for (std::size_t j = 1; j < count_; ++j) {
      for (std::size_t i = 0; i < j; ++i) {
        const std::size_t pair = PairOf(i, j);
        const std::int64_t left = BitsIn(state.may[pair]);
        if (left < 2 || (best.pair < kPairs && left * weight >= values * pair_weight_[pair])) continue;
        best = {false, pair, i, j};
        values = left;
        weight = pair_weight_[pair];
      }
    }
    for (std::size_t i = 0; i < count_; ++i) {
      const std::int64_t left = std::int64_t{10} * BitsIn(state.turnings[i]);
      if (left < 20 || ((best.of_unit || best.pair < kPairs) && left * weight >= values * unit_weight_[i])) continue;
      best = {true, kPairs, i, i};
      values = left;
      weight = unit_weight_[i];
    }
    return best;
  }

  // Tries the relation with the least slack, which is soonest seen to lead nowhere, then goes on without it.
  Fit BranchRelation(PackState& state, const Choice& choice) {
    std::size_t chosen = 0;
    std::int64_t least = INT64_MAX;
    const std::int64_t gap = geometry_.Rest(choice.first, choice.second);
    const std::int64_t slack = geometry_.FootSlack(choice.first, choice.second);
    for (Relations left = state.may[choice.pair]; left != 0; left = static_cast<Relations>(left & (left - 1))) {
      const std::size_t relation = static_cast<std::size_t>(std::countr_zero(left));
      const PackOrder order = OrdersOf(relation, choice.first, choice.second, gap, slack).order[0];
      const std::int64_t room = state.hi[order.axis][order.second] - state.least[order.axis][order.second] -
                                state.lo[order.axis][order.first] - state.least[order.axis][order.first] - order.gap;
      if (room >= least) continue;
      least = room;
      chosen = relation;
    }
    PackState child = state;
    child.may[choice.pair] = static_cast<Relations>(1 << chosen);
    child.changed = state.changed = choice.pair;
    const Fit fit = Search(child);
    if (fit != Fit::kDoesNotFit) return fit;
    pair_weight_[choice.pair] += kUnitWeight;
    state.may[choice.pair] = static_cast<Relations>(state.may[choice.pair] & ~(1 << chosen));
    if (chosen < 6) state.never[choice.pair] = static_cast<std::uint8_t>(state.never[choice.pair] | 1 << chosen);
    return Fit::kDoesNotFit;
  }

  Fit BranchTurning(PackState& state, std::size_t unit) {
    const std::uint8_t chosen = static_cast<std::uint8_t>(state.turnings[unit] & -state.turnings[unit]);
    PackState child = state;
    child.turnings[unit] = chosen;
    child.turned = state.turned = static_cast<std::uint16_t>(1u << unit);
    const Fit fit = Search(child);
    if (fit != Fit::kDoesNotFit) return fit;
    unit_weight_[unit] += kUnitWeight;
    state.turnings[unit] = static_cast<std::uint8_t>(state.turnings[unit] & ~chosen);
    return Fit::kDoesNotFit;
  }

  // Every pair is kept apart: each unit goes as near to the origin as the orders allow, in true lengths.
  Fit Leaf(const PackState& state) {
    placements_.clear();
    for (std::size_t i = 0; i < count_; ++i) {
      const ReadyUnit& unit = model_.units[i];
      const std::size_t turning = geometry_.units[i].was[static_cast<std::size_t>(std::countr_zero(state.turnings[i]))];
      placements_.push_back({i, {unit.wall, unit.wall, unit.wall}, unit.turned[turning]});
    }
    for (std::size_t round = 0; Push(state); ++round) {
      if (round > count_) return Fit::kDoesNotFit;  // the orders go round in a circle
    }
    for (const Placement& placement : placements_) {  // conclusions were not drawn to the end
      for (std::size_t axis = 0; axis < 3; ++axis) {
        const std::int64_t end = placement.at[axis] + placement.sides[axis];
        if (end > model_.room.sides[axis] - model_.units[placement.unit].wall) return Fit::kDoesNotFit;
      }
    }
    return model_.any_bears ? LeafLoads(state) : Fit::kFits;
  }
  bool Push(const PackState& state) {
    bool moved = false;
    const auto apart = [&](const PackOrder& order) {
      const Placement& first = placements_[order.first];
      std::int64_t& at = placements_[order.second].at[order.axis];
      const std::int64_t least = first.at[order.axis] + first.sides[order.axis] + order.gap;
      moved = moved || at < least;
      at = std::max(at, least);
    };
    for (std::size_t j = 1; j < count_; ++j) {
      for (std::size_t i = 0; i < j; ++i) {
        const std::size_t pair = PairOf(i, j);
        const PackOrders orders =
            OrdersOf(static_cast<std::size_t>(std::countr_zero(state.may[pair])), i, j, model_.Gap(i, j), 0);
        for (std::size_t o = 0; o < orders.count; ++o) apart(orders.order[o]);
        if (state.foot[pair] >= 1 && state.foot[pair] <= 4) apart(OrdersOf(state.foot[pair] - 1u, i, j, 0, 0).order[0]);
      }
    }
    return moved;
  }

  // A unit under too much: one of those above it is kept off its footprint, this way or that, or stays above it for
  // good.
  Fit LeafLoads(const PackState& state) {
    std::size_t pair = kPairs;
    for (std::size_t under = 0; under < count_ && pair == kPairs; ++under) {
      std::int64_t load = 0;
      std::size_t open = kPairs;
      for (std::size_t over = 0; over < count_; ++over) {
        if (over == under || !LiesOver(placements_[over], placements_[under])) continue;
        load += model_.units[over].weight;
        if (state.foot[PairOf(over, under)] == 0) open = PairOf(over, under);
      }
      if (load <= model_.units[under].bears) continue;
      if (open == kPairs) return Fit::kDoesNotFit;
      pair = open;
    }
    if (pair == kPairs) return Fit::kFits;
    for (std::uint8_t foot = 1; foot <= 5; ++foot) {
      PackState child = state;
      child.foot[pair] = foot;
      child.changed = pair;
      const Fit fit = Search(child);
      if (fit != Fit::kDoesNotFit) return fit;
    }
    return Fit::kDoesNotFit;
  }
  static bool LiesOver(const Placement& over, const Placement& under) {
    for (std::size_t axis = 0; axis < 2; ++axis) {
      if (over.at[axis] + over.sides[axis] <= under.at[axis] || under.at[axis] + under.sides[axis] <= over.at[axis])
        return false;
    }
    return over.at[2] >= under.at[2] + under.sides[2];
  }

  const PackModel& model_;
  const PackGeometry& geometry_;
  PackPropagation propagation_;
  std::int64_t budget_ = 0;
  std::size_t count_;
  std::int64_t nodes_ = 0;
  std::array<std::int64_t, kPairs> pair_weight_;
  std::array<std::int64_t, kFewUnits> unit_weight_;
  std::vector<Placement> placements_;
};

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_PACKING_INTERNAL_PACK_SEARCH_H_
