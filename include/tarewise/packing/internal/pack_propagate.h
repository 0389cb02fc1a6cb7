#ifndef TAREWISE_PACKING_INTERNAL_PACK_PROPAGATE_H_
#define TAREWISE_PACKING_INTERNAL_PACK_PROPAGATE_H_

#include <algorithm>
#include <array>
#include <bit>
#include <cstddef>
#include <cstdint>
#include <limits>

#include "absl/container/inlined_vector.h"
#include "tarewise/packing/internal/pack_bounds.h"
#include "tarewise/packing/internal/pack_geometry.h"
#include "tarewise/packing/internal/pack_model.h"
#include "tarewise/packing/internal/pack_state.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

// Draws conclusions in a state until there are none, or it is seen to lead nowhere.
class PackPropagation {
 public:
  PackPropagation(const PackModel& model, const PackGeometry& geometry,
                  const absl::InlinedVector<DualTriple, 6>& triples)
      : model_(model), geometry_(geometry), triples_(triples), count_(geometry.count) {
    for (std::size_t j = 0; j < count_; ++j) {
      previous_[j] = j;
      for (std::size_t i = 0; i < j; ++i) {
        if (model.units[i].kind == model.units[j].kind) previous_[j] = i;
      }
      std::int64_t least = kWholeVolume;
      for (std::size_t turning = 0; turning < geometry.units[j].turnings; ++turning) {
        std::int64_t share = 1;
        for (std::size_t axis = 0; axis < 3; ++axis) {
          shares_[j][turning][axis] = ShareOf(geometry.units[j].size[turning][axis], geometry.room[axis]);
          share *= shares_[j][turning][axis];
        }
        least = std::min(least, share);
      }
      volume_[j] = least;
    }
  }

  // False: nothing fits from here. `Culprit` is then the pair to blame, or kPairs. What was drawn from to the end
  // before is not looked at again: a state that is `settled` has changed in the turnings of a unit and in one pair
  // since.
  bool Run(PackState& state) {
    culprit_ = kPairs;
    const std::uint16_t all = static_cast<std::uint16_t>((1u << count_) - 1);
    moved_ = narrowed_ = state.settled ? std::uint16_t{0} : all;
    turned_ = state.settled ? state.turned : all;
    orders_changed_ = true;
    std::size_t stale = state.settled ? state.changed : kPairs;
    state.settled = false;
    bool triples_done = turned_ == 0;
    std::size_t rounds = 0;  // since anything but a window changed: windows alone may creep by the least measure
    do {
      changed_ = decided_ = false;
      if (!Turnings(state, triples_done) || !Twins(state) || !Pairs(state, stale)) return false;
      stale = kPairs;
      if (!changed_ && orders_changed_) {
        orders_changed_ = false;
        if (!Orders(state)) return false;
      }
      if (!changed_ && !(Sections(state) && Loads(state))) return false;
      orders_changed_ = orders_changed_ || decided_;
      rounds = decided_ ? 0 : rounds + 1;
    } while (changed_ && rounds < kMostRounds);
    state.settled = !changed_;
    state.turned = 0;
    state.changed = kPairs;
    return true;
  }
  std::size_t Culprit() const { return culprit_; }

 private:
  static constexpr std::size_t kMostRounds = 6;

  void Moved(std::size_t unit) {
    changed_ = true;
    moved_ = static_cast<std::uint16_t>(moved_ | 1u << unit);
    narrowed_ = static_cast<std::uint16_t>(narrowed_ | 1u << unit);
  }
  bool RaiseLo(PackState& state, std::size_t axis, std::size_t unit, std::int64_t to) {
    if (to <= state.lo[axis][unit]) return true;
    state.lo[axis][unit] = to;
    Moved(unit);
    return to + state.least[axis][unit] <= state.hi[axis][unit];
  }
  bool LowerHi(PackState& state, std::size_t axis, std::size_t unit, std::int64_t to) {
    if (to >= state.hi[axis][unit]) return true;
    state.hi[axis][unit] = to;
    Moved(unit);
    return state.lo[axis][unit] + state.least[axis][unit] <= to;
  }

  // Turnings that go into a unit's window and leave the others enough by every triple of dual functions.
  bool Turnings(PackState& state, bool& triples_done) {
    for (std::uint16_t units = static_cast<std::uint16_t>(narrowed_ | turned_); units != 0;
         units = static_cast<std::uint16_t>(units & (units - 1))) {
      const std::size_t i = static_cast<std::size_t>(std::countr_zero(units));
      const PackGeometry::Unit& unit = geometry_.units[i];
      std::uint8_t kept = 0;
      for (std::uint8_t left = state.turnings[i]; left != 0; left = static_cast<std::uint8_t>(left & (left - 1))) {
        const int turning = std::countr_zero(left);
        const Sides& size = unit.size[static_cast<std::size_t>(turning)];
        bool goes_in = true;
        for (std::size_t axis = 0; axis < 3; ++axis)
          goes_in = goes_in && size[axis] <= state.hi[axis][i] - state.lo[axis][i];
        if (goes_in) kept = static_cast<std::uint8_t>(kept | 1 << turning);
      }
      if (kept == 0) return false;
      if (kept != state.turnings[i]) Turn(state, i, kept);
    }
    narrowed_ = 0;
    if (turned_ != 0) triples_done = false;
    if (!triples_done) {
      const std::uint16_t before = turned_;
      turned_ = 0;
      for (const DualTriple& triple : triples_) {
        if (!ByTriple(state, triple)) return false;
      }
      triples_done = turned_ == 0;
      turned_ = static_cast<std::uint16_t>(turned_ | before);
    }
    for (std::uint16_t left = turned_; left != 0; left = static_cast<std::uint16_t>(left & (left - 1))) {
      Extremes(state, static_cast<std::size_t>(std::countr_zero(left)));
    }
    moved_ = static_cast<std::uint16_t>(moved_ | turned_);
    turned_ = 0;
    return true;
  }
  void Turn(PackState& state, std::size_t i, std::uint8_t kept) {
    state.turnings[i] = kept;
    turned_ = static_cast<std::uint16_t>(turned_ | 1u << i);
    changed_ = decided_ = true;
  }

  void Extremes(PackState& state, std::size_t i) const {
    for (std::size_t axis = 0; axis < 3; ++axis) {
      const std::size_t one = (axis + 1) % 3;
      const std::size_t other = (axis + 2) % 3;
      std::int64_t least = std::numeric_limits<std::int64_t>::max();
      std::int64_t most = 0;
      std::int64_t section = kWholeShare * kWholeShare;
      for (std::uint8_t left = state.turnings[i]; left != 0; left = static_cast<std::uint8_t>(left & (left - 1))) {
        const std::size_t turning = static_cast<std::size_t>(std::countr_zero(left));
        const std::int64_t side = geometry_.units[i].size[turning][axis];
        least = std::min(least, side);
        most = std::max(most, side);
        section = std::min(section, shares_[i][turning][one] * shares_[i][turning][other]);
      }
      state.least[axis][i] = least;
      state.most[axis][i] = most;
      state.section[axis][i] = section;
    }
  }

  bool ByTriple(PackState& state, const DualTriple& triple) {
    std::array<std::int64_t, kFewUnits> least;
    std::int64_t sum = 0;
    for (std::size_t i = 0; i < count_; ++i) {
      least[i] = kWholeVolume;
      for (std::uint8_t left = state.turnings[i]; left != 0; left = static_cast<std::uint8_t>(left & (left - 1))) {
        least[i] = std::min(least[i], triple.taken[i][static_cast<std::size_t>(std::countr_zero(left))]);
      }
      sum += least[i];
    }
    if (sum > kWholeVolume) return false;
    for (std::size_t i = 0; i < count_; ++i) {
      for (std::uint8_t left = state.turnings[i]; left != 0; left = static_cast<std::uint8_t>(left & (left - 1))) {
        const int turning = std::countr_zero(left);
        if (sum - least[i] + triple.taken[i][static_cast<std::size_t>(turning)] <= kWholeVolume) continue;
        Turn(state, i, static_cast<std::uint8_t>(state.turnings[i] & ~(1 << turning)));
      }
    }
    return true;
  }

  // Pairs of which a unit was moved, and the one that is stale by itself. Units that are moved meanwhile are looked at
  // again by the pairs that follow, and by the others in the next round.
  bool Pairs(PackState& state, std::size_t stale) {
    std::uint16_t due = moved_;
    moved_ = 0;
    for (std::size_t j = 1; j < count_; ++j) {
      const std::size_t row = j * (j - 1) / 2;
      const std::uint16_t below = static_cast<std::uint16_t>((1u << j) - 1);
      const std::uint16_t alone = stale < kPairs && stale >= row && stale < row + j
                                      ? static_cast<std::uint16_t>(1u << (stale - row))
                                      : std::uint16_t{0};
      std::uint16_t seen = 0;
      while (true) {
        const std::uint16_t moved = static_cast<std::uint16_t>(due | moved_);
        const std::uint16_t left =
            static_cast<std::uint16_t>((((moved >> j & 1) != 0 ? below : moved & below) | alone) & ~seen);
        if (left == 0) break;
        const std::size_t i = static_cast<std::size_t>(std::countr_zero(left));
        seen = static_cast<std::uint16_t>((2u << i) - 1);
        if (Pair(state, i, j)) continue;
        culprit_ = row + i;
        return false;
      }
    }
    return true;
  }

  bool CanHold(const PackState& state, const PackOrder& order) const {
    const std::int64_t end = state.lo[order.axis][order.first] + state.least[order.axis][order.first] + order.gap;
    return std::max(end, state.lo[order.axis][order.second]) + state.least[order.axis][order.second] <=
               state.hi[order.axis][order.second] &&
           end <= state.hi[order.axis][order.second] - state.least[order.axis][order.second];
  }
  bool Holds(const PackState& state, const PackOrder& order) const {
    return state.hi[order.axis][order.first] + order.gap <= state.lo[order.axis][order.second];
  }
  bool Enforce(PackState& state, const PackOrder& order) {
    const std::size_t axis = order.axis;
    return RaiseLo(state, axis, order.second,
                   state.lo[axis][order.first] + state.least[axis][order.first] + order.gap) &&
           LowerHi(state, axis, order.first,
                   state.hi[axis][order.second] - state.least[axis][order.second] - order.gap);
  }

  // Of the six plain relations, those that can hold, and those that do already.
  struct PlainRelations {
    unsigned can = 0, hold = 0;
  };
  static PlainRelations PlainOf(const PackState& state, std::size_t i, std::size_t j, std::int64_t gap) {
    PlainRelations plain;
    for (std::size_t axis = 0; axis < 3; ++axis) {
      const std::int64_t lo_i = state.lo[axis][i];
      const std::int64_t lo_j = state.lo[axis][j];
      const std::int64_t hi_i = state.hi[axis][i];
      const std::int64_t hi_j = state.hi[axis][j];
      const std::int64_t both = state.least[axis][i] + state.least[axis][j] + gap;
      plain.can |= (unsigned{lo_i + both <= hi_j} | unsigned{lo_j + both <= hi_i} << 1) << 2 * axis;
      plain.hold |= (unsigned{hi_i + gap <= lo_j} | unsigned{hi_j + gap <= lo_i} << 1) << 2 * axis;
    }
    return plain;
  }
  PlainRelations AllOf(const PackState& state, std::size_t i, std::size_t j, std::int64_t gap, Relations may) const {
    PlainRelations all = PlainOf(state, i, j, gap);
    const std::int64_t slack = geometry_.FootSlack(i, j);
    for (Relations left = static_cast<Relations>(may & ~kGapRelations); left != 0;
         left = static_cast<Relations>(left & (left - 1))) {
      const std::size_t relation = static_cast<std::size_t>(std::countr_zero(left));
      const PackOrders orders = OrdersOf(relation, i, j, gap, slack);
      const bool can = CanHold(state, orders.order[0]) && CanHold(state, orders.order[1]);
      const bool hold = can && Holds(state, orders.order[0]) && Holds(state, orders.order[1]);
      all.can |= unsigned{can} << relation;
      all.hold |= unsigned{hold} << relation;
    }
    return all;
  }

  bool Pair(PackState& state, std::size_t i, std::size_t j) {
    const std::size_t pair = PairOf(i, j);
    const std::int64_t gap = geometry_.Rest(i, j);
    Relations may = state.may[pair];
    if ((may & (may - 1)) != 0) {
      const PlainRelations all = (may & ~kGapRelations) == 0 ? PlainOf(state, i, j, gap) : AllOf(state, i, j, gap, may);
      Relations kept = static_cast<Relations>(may & all.can);
      if (kept == 0) return false;
      const Relations hold = static_cast<Relations>(kept & all.hold);
      if (hold != 0) kept = static_cast<Relations>(hold & -hold);
      if (kept != may) {
        state.may[pair] = may = kept;
        changed_ = decided_ = true;
      }
    }
    if ((may & (may - 1)) == 0) {
      const PackOrders orders =
          OrdersOf(static_cast<std::size_t>(std::countr_zero(may)), i, j, gap, geometry_.FootSlack(i, j));
      for (std::size_t o = 0; o < orders.count; ++o) {
        if (!Enforce(state, orders.order[o])) return false;
      }
    }
    return (state.never[pair] == 0 || Never(state, pair, i, j, gap)) &&
           (state.foot[pair] == 0 || Foot(state, state.foot[pair], i, j, geometry_.FootSlack(i, j)));
  }

  // A relation is known not to hold: `second` starts before `first` ends, or is not as far from it as it should be.
  bool Deny(PackState& state, const PackOrder& order) {
    const std::size_t axis = order.axis;
    return RaiseLo(state, axis, order.first,
                   state.lo[axis][order.second] - order.gap + 1 - state.most[axis][order.first]) &&
           LowerHi(state, axis, order.second,
                   state.hi[axis][order.first] + order.gap - 1 + state.most[axis][order.second]);
  }
  bool Never(PackState& state, std::size_t pair, std::size_t i, std::size_t j, std::int64_t gap) {
    for (std::uint8_t left = state.never[pair]; left != 0; left = static_cast<std::uint8_t>(left & (left - 1))) {
      const std::size_t relation = static_cast<std::size_t>(std::countr_zero(left));
      if (!Deny(state, OrdersOf(relation, i, j, gap, 0).order[0])) return false;
    }
    return true;
  }
  bool Foot(PackState& state, std::uint8_t foot, std::size_t i, std::size_t j, std::int64_t slack) {
    for (std::size_t way = 0; way < 4; ++way) {
      const PackOrder order = OrdersOf(way, i, j, -slack, 0).order[0];
      if (foot == 5 && !Deny(state, order)) return false;
      if (foot == way + 1 && !(CanHold(state, order) && Enforce(state, order))) return false;
    }
    return true;
  }

  // Units that surely share a plane across an axis take no more than the room's section.
  bool Sections(const PackState& state) const {
    for (std::size_t axis = 0; axis < 3; ++axis) {
      for (std::size_t at = 0; at < count_; ++at) {
        const std::int64_t plane = state.hi[axis][at] - state.least[axis][at];
        if (plane >= state.lo[axis][at] + state.least[axis][at]) continue;
        std::int64_t sum = 0;
        for (std::size_t i = 0; i < count_; ++i) {
          if (state.hi[axis][i] - state.least[axis][i] <= plane && plane < state.lo[axis][i] + state.least[axis][i]) {
            sum += state.section[axis][i];
          }
        }
        if (sum > kWholeShare * kWholeShare) return false;
      }
    }
    return true;
  }

  // What is surely above a unit is not too heavy for it.
  bool Loads(const PackState& state) const {
    if (!model_.any_bears) return true;
    for (std::size_t under = 0; under < count_; ++under) {
      std::int64_t load = 0;
      for (std::size_t over = 0; over < count_; ++over) {
        if (over == under || !SurelyUnder(state, under, over)) continue;
        load += model_.units[over].weight;
        if (load > model_.units[under].bears) return false;
      }
    }
    return true;
  }
  bool SurelyUnder(const PackState& state, std::size_t under, std::size_t over) const {
    const std::size_t pair = PairOf(under, over);
    if (state.may[pair] != (under < over ? 1 << 4 : 1 << 5)) return false;
    if (state.foot[pair] == 5) return true;
    const std::int64_t slack = geometry_.FootSlack(under, over);
    for (std::size_t axis = 0; axis < 2; ++axis) {
      if (!SurelyOverlap(state, axis, under, over, slack)) return false;
    }
    return true;
  }
  static bool SurelyOverlap(const PackState& state, std::size_t axis, std::size_t a, std::size_t b,
                            std::int64_t slack) {
    return state.hi[axis][a] - state.least[axis][a] < state.lo[axis][b] + state.least[axis][b] - slack &&
           state.hi[axis][b] - state.least[axis][b] < state.lo[axis][a] + state.least[axis][a] - slack;
  }

  // Units that are alike start in their order along axis 0.
  bool Twins(PackState& state) {
    for (std::size_t j = 1; j < count_; ++j) {
      const std::size_t i = previous_[j];
      if (i == j) continue;
      if (!RaiseLo(state, 0, j, state.lo[0][i]) ||
          !LowerHi(state, 0, i, state.hi[0][j] - state.least[0][j] + state.most[0][i])) {
        return false;
      }
    }
    return true;
  }

  // Orders along an axis, those that follow included, and pairs that are apart along it for sure.
  bool Orders(PackState& state) {
    using Sets = std::array<std::array<std::uint16_t, kFewUnits>, 3>;
    Sets after = {};  // what is before a unit
    Sets apart = {};
    std::array<bool, 3> any = {};
    for (std::size_t j = 1; j < count_; ++j) {
      for (std::size_t i = 0; i < j; ++i) {
        const Relations may = state.may[PairOf(i, j)];
        const std::size_t axis = static_cast<std::size_t>(std::countr_zero(may)) / 2;
        if (axis > 2 || (may & ~(3 << 2 * axis)) != 0) continue;
        any[axis] = true;
        apart[axis][i] = static_cast<std::uint16_t>(apart[axis][i] | 1 << j);
        apart[axis][j] = static_cast<std::uint16_t>(apart[axis][j] | 1 << i);
        if ((may & (may - 1)) != 0) continue;
        const bool forward = (may >> 2 * axis & 1) != 0;
        const std::size_t later = forward ? j : i;
        after[axis][later] = static_cast<std::uint16_t>(after[axis][later] | 1 << (forward ? i : j));
      }
    }
    for (std::size_t axis = 0; axis < 3; ++axis) {
      if (any[axis] && (!Volumes(state, axis, after[axis]) || !Stacks(state, axis, apart[axis]))) return false;
    }
    return true;
  }

  // What is before a unit fills no less of the room than its volume; and so on the other side.
  bool Volumes(PackState& state, std::size_t axis, std::array<std::uint16_t, kFewUnits>& before) {
    for (std::size_t through = 0; through < count_; ++through) {
      if (before[through] == 0) continue;
      for (std::size_t i = 0; i < count_; ++i) {
        if ((before[i] >> through & 1) != 0) before[i] = static_cast<std::uint16_t>(before[i] | before[through]);
      }
    }
    std::array<std::int64_t, kFewUnits> later = {};
    const std::int64_t room = geometry_.room[axis];
    for (std::size_t i = 0; i < count_; ++i) {
      std::int64_t sum = 0;
      for (std::uint16_t left = before[i]; left != 0; left = static_cast<std::uint16_t>(left & (left - 1))) {
        const std::size_t other = static_cast<std::size_t>(std::countr_zero(left));
        sum += volume_[other];
        later[other] += volume_[i];
      }
      if ((before[i] & (before[i] - 1)) != 0 && !RaiseLo(state, axis, i, LengthOf(sum, room))) return false;
    }
    for (std::size_t i = 0; i < count_; ++i) {
      if (later[i] != 0 && !LowerHi(state, axis, i, room - LengthOf(later[i], room))) return false;
    }
    return true;
  }
  // The least length of the room that holds a volume (shares are rounded down, and so is this).
  static std::int64_t LengthOf(std::int64_t volume, std::int64_t room) {
    return static_cast<std::int64_t>(absl::int128(volume) * room / kWholeVolume);
  }

  // Units of which each two are apart along one axis come to no more than its length.
  bool Stacks(const PackState& state, std::size_t axis, const std::array<std::uint16_t, kFewUnits>& apart) const {
    for (std::size_t i = 0; i < count_; ++i) {
      const std::uint16_t others = static_cast<std::uint16_t>(apart[i] & ((1 << i) - 1));
      if (others == 0) continue;
      if (!StackFits(state, axis, apart, others, geometry_.room[axis] - state.least[axis][i])) return false;
    }
    return true;
  }
  bool StackFits(const PackState& state, std::size_t axis, const std::array<std::uint16_t, kFewUnits>& apart,
                 std::uint16_t others, std::int64_t room) const {
    if (room < 0) return false;
    std::int64_t sum = 0;
    for (std::uint16_t left = others; left != 0; left = static_cast<std::uint16_t>(left & (left - 1))) {
      sum += state.least[axis][static_cast<std::size_t>(std::countr_zero(left))];
    }
    if (sum <= room) return true;
    for (std::uint16_t left = others; left != 0; left = static_cast<std::uint16_t>(left & (left - 1))) {
      const std::size_t i = static_cast<std::size_t>(std::countr_zero(left));
      const std::uint16_t below = static_cast<std::uint16_t>(others & apart[i] & ((1 << i) - 1));
      if (!StackFits(state, axis, apart, below, room - state.least[axis][i])) return false;
    }
    return true;
  }

  const PackModel& model_;
  const PackGeometry& geometry_;
  const absl::InlinedVector<DualTriple, 6>& triples_;
  std::size_t count_;
  std::array<std::size_t, kFewUnits> previous_;  // the last one before it that is like it, or itself
  std::array<std::array<Sides, 6>, kFewUnits> shares_;
  std::array<std::int64_t, kFewUnits> volume_;
  std::size_t culprit_ = kPairs;
  bool changed_ = false;
  bool decided_ = false;         // a turning or a relation is out
  bool orders_changed_ = false;  // since `Orders` was asked
  std::uint16_t moved_ = 0;      // units of which a window or a side changed since their pairs were looked at
  std::uint16_t narrowed_ = 0;   // units of which a window changed since their turnings were looked at
  std::uint16_t turned_ = 0;     // units of which a turning is out since their extremes were gathered
};

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_PACKING_INTERNAL_PACK_PROPAGATE_H_
