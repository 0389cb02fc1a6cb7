#ifndef TAREWISE_PACKING_INTERNAL_PACK_BOUNDS_H_
#define TAREWISE_PACKING_INTERNAL_PACK_BOUNDS_H_

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <vector>

#include "absl/container/inlined_vector.h"
#include "absl/numeric/int128.h"
#include "tarewise/packing/internal/pack_geometry.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

inline bool VolumeExceeds(const PackGeometry& geometry) {
  absl::int128 sum = 0;
  for (std::size_t i = 0; i < geometry.count; ++i) {
    const PackGeometry::Unit& unit = geometry.units[i];
    absl::int128 least = std::numeric_limits<absl::int128>::max();
    for (std::size_t turning = 0; turning < unit.turnings; ++turning) {
      const Sides& size = unit.size[turning];
      least = std::min(least, absl::int128(size[0]) * size[1] * size[2]);
    }
    sum += least;
  }
  return sum > absl::int128(geometry.room[0]) * geometry.room[1] * geometry.room[2];
}

// Shares of a room's side in 2^-19, rounded down: a sum of 16 products of three goes into 64 bits, and what
// exceeds the whole does so truly.
inline constexpr std::int64_t kWholeShare = std::int64_t{1} << 19;
inline constexpr std::int64_t kWholeVolume = kWholeShare * kWholeShare * kWholeShare;

// Of lengths in nm at most: doubled and with what is kept free they stay far below 2^44.
inline std::int64_t ShareOf(std::int64_t part, std::int64_t whole) { return part * kWholeShare / whole; }

// Dual feasible functions: whatever stands side by side within 1 has values that come to 1 at most.
struct DualFunction {
  enum class Kind : std::uint8_t { kIdentity, kSteps, kLarge, kHalves };
  Kind kind = Kind::kIdentity;
  std::int64_t by = 1;  // kSteps: k; else the least length, in the geometry's measure

  std::int64_t Of(std::int64_t side, std::int64_t room) const {
    switch (kind) {
      case Kind::kIdentity:
        return ShareOf(side, room);
      case Kind::kSteps: {
        const std::int64_t scaled = side * (by + 1);
        if (scaled % room == 0) return ShareOf(side, room);
        return scaled / room * kWholeShare / by;
      }
      case Kind::kLarge:
        return side > room - by ? kWholeShare : side < by ? 0 : ShareOf(side, room);
      case Kind::kHalves: {
        const std::int64_t most = room / by;
        if (2 * side > room) return (most - (room - side) / by) * kWholeShare / most;
        return side >= by ? kWholeShare / most : 0;
      }
    }
    return 0;
  }
};

// A dual feasible function for each axis, and what each turning takes of the room by them.
struct DualTriple {
  std::array<std::array<std::int64_t, 6>, kFewUnits> taken = {};
  std::int64_t sum = 0;
};

// Looks for dual feasible functions that show that units take more than the room, and keeps the closest.
class DualBounds {
 public:
  static constexpr std::size_t kKept = 6;

  explicit DualBounds(const PackGeometry& geometry) : geometry_(geometry) {}

  // True where some triple proves that the units do not go in.
  bool Exceeds() {
    for (std::size_t axis = 0; axis < 3; ++axis) Gather(axis);
    constexpr std::array<std::array<int, 3>, 10> kStarts = {
        {{0, 0, 0}, {1, 1, 1}, {2, 2, 2}, {3, 3, 3}, {1, 0, 0}, {0, 1, 0}, {0, 0, 1}, {1, 1, 0}, {1, 0, 1}, {0, 1, 1}}};
    for (const std::array<int, 3>& start : kStarts) {
      std::array<std::size_t, 3> chosen;
      for (std::size_t axis = 0; axis < 3; ++axis) {
        chosen[axis] = std::min<std::size_t>(static_cast<std::size_t>(start[axis]), functions_[axis] - 1);
      }
      if (Climb(chosen)) return true;
    }
    return false;
  }

  const absl::InlinedVector<DualTriple, kKept>& Kept() const { return kept_; }

 private:
  // By unit and turning, in a row.
  static constexpr std::size_t kMostValues = kFewUnits * 6;
  using Values = absl::InlinedVector<std::int64_t, kFewUnits * 6>;

  void Gather(std::size_t axis) {
    std::vector<std::int64_t>& values = values_[axis];
    values.clear();
    functions_[axis] = 0;
    const std::int64_t room = geometry_.room[axis];
    lengths_.clear();
    if (axis == 0) ends_.clear();
    sides_.clear();
    for (std::size_t i = 0; i < geometry_.count; ++i) {
      for (std::size_t turning = 0; turning < geometry_.units[i].turnings; ++turning) {
        const std::int64_t side = geometry_.units[i].size[turning][axis];
        sides_.push_back(side);
        if (2 * side <= room) lengths_.push_back(side);
        if (side < room && 2 * (room - side) < room) lengths_.push_back(room - side + 1);
      }
      if (axis == 0) ends_.push_back(sides_.size());
    }
    std::sort(lengths_.begin(), lengths_.end());
    lengths_.erase(std::unique(lengths_.begin(), lengths_.end()), lengths_.end());
    values.reserve((6 + 2 * lengths_.size()) * sides_.size());
    AddFunction(axis, {DualFunction::Kind::kIdentity, 1});
    for (std::int64_t k = 1; k <= 5; ++k) AddFunction(axis, {DualFunction::Kind::kSteps, k});
    for (const std::int64_t length : lengths_) {
      if (2 * length > room) continue;
      AddFunction(axis, {DualFunction::Kind::kLarge, length});
      AddFunction(axis, {DualFunction::Kind::kHalves, length});
    }
  }

  void AddFunction(std::size_t axis, DualFunction function) {
    for (const std::int64_t side : sides_) values_[axis].push_back(function.Of(side, geometry_.room[axis]));
    ++functions_[axis];
  }
  const std::int64_t* ValuesOf(std::size_t axis, std::size_t function) const {
    return values_[axis].data() + function * sides_.size();
  }

  // What the units take by the functions, no turning taking more than it must: of two axes the products, and of one.
  std::int64_t SumOf(const Values& products, const std::int64_t* values) const {
    std::int64_t sum = 0;
    std::size_t at = 0;
    for (const std::size_t end : ends_) {
      std::int64_t least = kWholeVolume;
      for (; at < end; ++at) least = std::min(least, products[at] * values[at]);
      sum += least;
    }
    return sum;
  }
  Values ProductsOf(std::size_t axis, const std::array<std::size_t, 3>& chosen) const {
    Values products(sides_.size());
    const std::int64_t* one = ValuesOf((axis + 1) % 3, chosen[(axis + 1) % 3]);
    const std::int64_t* other = ValuesOf((axis + 2) % 3, chosen[(axis + 2) % 3]);
    for (std::size_t at = 0; at < products.size(); ++at) products[at] = one[at] * other[at];
    return products;
  }

  // Of an axis the function that makes units take most beside those of the two others, the first of equals.
  struct Greatest {
    std::size_t axis = 0, one = 0, other = 0, function = 0;
    std::int64_t sum = 0;
  };
  const Greatest& GreatestOf(std::size_t axis, const std::array<std::size_t, 3>& chosen) {
    const std::size_t one = chosen[(axis + 1) % 3];
    const std::size_t other = chosen[(axis + 2) % 3];
    for (const Greatest& seen : seen_) {
      if (seen.axis == axis && seen.one == one && seen.other == other) return seen;
    }
    Greatest greatest = {axis, one, other, 0, 0};
    const Values products = ProductsOf(axis, chosen);
    for (std::size_t function = 0; function < functions_[axis]; ++function) {
      const std::int64_t sum = SumOf(products, ValuesOf(axis, function));
      if (sum <= greatest.sum) continue;
      greatest.sum = sum;
      greatest.function = function;
    }
    seen_.push_back(greatest);
    return seen_.back();
  }

  bool Climb(std::array<std::size_t, 3> chosen) {
    std::int64_t best = SumOf(ProductsOf(0, chosen), ValuesOf(0, chosen[0]));
    for (bool better = true; better;) {
      if (best > kWholeVolume) return true;
      better = false;
      for (std::size_t axis = 0; axis < 3; ++axis) {
        const Greatest& greatest = GreatestOf(axis, chosen);
        if (greatest.sum <= best) continue;
        best = greatest.sum;
        chosen[axis] = greatest.function;
        better = true;
      }
    }
    Keep(chosen, best);
    return false;
  }

  void Keep(const std::array<std::size_t, 3>& chosen, std::int64_t sum) {
    DualTriple triple;
    triple.sum = sum;
    const Values products = ProductsOf(0, chosen);
    const std::int64_t* values = ValuesOf(0, chosen[0]);
    std::size_t at = 0;
    for (std::size_t i = 0; i < geometry_.count; ++i) {
      for (std::size_t turning = 0; turning < geometry_.units[i].turnings; ++turning, ++at) {
        triple.taken[i][turning] = products[at] * values[at];
      }
    }
    for (const DualTriple& kept : kept_) {
      if (kept.taken == triple.taken) return;
    }
    if (kept_.size() < kKept) {
      kept_.push_back(triple);
      return;
    }
    DualTriple& worst = *std::min_element(kept_.begin(), kept_.end(),
                                          [](const DualTriple& a, const DualTriple& b) { return a.sum < b.sum; });
    if (worst.sum < sum) worst = triple;
  }

  const PackGeometry& geometry_;
  absl::InlinedVector<std::int64_t, kMostValues> sides_, lengths_;  // of the axis that was gathered last
  FewVector<std::size_t> ends_;                                     // of each unit's turnings, in a row of values
  std::array<std::vector<std::int64_t>, 3> values_;                 // a row a function
  std::array<std::size_t, 3> functions_ = {};
  std::vector<Greatest> seen_;
  absl::InlinedVector<DualTriple, kKept> kept_;
};

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_PACKING_INTERNAL_PACK_BOUNDS_H_
