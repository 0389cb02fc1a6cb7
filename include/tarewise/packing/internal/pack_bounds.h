#ifndef TAREWISE_PACKING_INTERNAL_PACK_BOUNDS_H_
#define TAREWISE_PACKING_INTERNAL_PACK_BOUNDS_H_

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <limits>

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

inline std::int64_t ShareOf(std::int64_t part, std::int64_t whole) {
  return static_cast<std::int64_t>(absl::int128(part) * kWholeShare / whole);
}

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
        const absl::int128 scaled = absl::int128(side) * (by + 1);
        if (scaled % room == 0) return ShareOf(side, room);
        return static_cast<std::int64_t>(scaled / room) * kWholeShare / by;
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
        chosen[axis] = std::min<std::size_t>(static_cast<std::size_t>(start[axis]), functions_[axis].size() - 1);
      }
      if (Climb(chosen)) return true;
    }
    return false;
  }

  const absl::InlinedVector<DualTriple, kKept>& Kept() const { return kept_; }

 private:
  using Values = std::array<std::array<std::int64_t, 6>, kFewUnits>;

  void Gather(std::size_t axis) {
    functions_[axis].clear();
    const std::int64_t room = geometry_.room[axis];
    AddFunction(axis, {DualFunction::Kind::kIdentity, 1});
    for (std::int64_t k = 1; k <= 5; ++k) AddFunction(axis, {DualFunction::Kind::kSteps, k});
    absl::InlinedVector<std::int64_t, 48> lengths;
    for (std::size_t i = 0; i < geometry_.count; ++i) {
      for (std::size_t turning = 0; turning < geometry_.units[i].turnings; ++turning) {
        const std::int64_t side = geometry_.units[i].size[turning][axis];
        if (2 * side <= room) lengths.push_back(side);
        if (side < room && 2 * (room - side) < room) lengths.push_back(room - side + 1);
      }
    }
    std::sort(lengths.begin(), lengths.end());
    lengths.erase(std::unique(lengths.begin(), lengths.end()), lengths.end());
    for (const std::int64_t length : lengths) {
      if (2 * length > room) continue;
      AddFunction(axis, {DualFunction::Kind::kLarge, length});
      AddFunction(axis, {DualFunction::Kind::kHalves, length});
    }
  }

  void AddFunction(std::size_t axis, DualFunction function) {
    Values values = {};
    for (std::size_t i = 0; i < geometry_.count; ++i) {
      const PackGeometry::Unit& unit = geometry_.units[i];
      for (std::size_t turning = 0; turning < unit.turnings; ++turning) {
        values[i][turning] = function.Of(unit.size[turning][axis], geometry_.room[axis]);
      }
    }
    functions_[axis].push_back(values);
  }

  // What the units take by the functions, no turning taking more than it must.
  std::int64_t SumOf(const Values& a, const Values& b, const Values& c) const {
    std::int64_t sum = 0;
    for (std::size_t i = 0; i < geometry_.count; ++i) {
      std::int64_t least = kWholeVolume;
      for (std::size_t turning = 0; turning < geometry_.units[i].turnings; ++turning) {
        least = std::min(least, a[i][turning] * b[i][turning] * c[i][turning]);
      }
      sum += least;
    }
    return sum;
  }

  bool Climb(std::array<std::size_t, 3> chosen) {
    std::int64_t best = SumOf(functions_[0][chosen[0]], functions_[1][chosen[1]], functions_[2][chosen[2]]);
    for (bool better = true; better;) {
      if (best > kWholeVolume) return true;
      better = false;
      for (std::size_t axis = 0; axis < 3; ++axis) {
        std::array<std::size_t, 3> tried = chosen;
        for (tried[axis] = 0; tried[axis] < functions_[axis].size(); ++tried[axis]) {
          const std::int64_t sum = SumOf(functions_[0][tried[0]], functions_[1][tried[1]], functions_[2][tried[2]]);
          if (sum <= best) continue;
          best = sum;
          chosen = tried;
          better = true;
        }
      }
    }
    Keep(chosen, best);
    return false;
  }

  void Keep(const std::array<std::size_t, 3>& chosen, std::int64_t sum) {
    DualTriple triple;
    triple.sum = sum;
    for (std::size_t i = 0; i < geometry_.count; ++i) {
      for (std::size_t turning = 0; turning < geometry_.units[i].turnings; ++turning) {
        triple.taken[i][turning] = functions_[0][chosen[0]][i][turning] * functions_[1][chosen[1]][i][turning] *
                                   functions_[2][chosen[2]][i][turning];
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
  std::array<absl::InlinedVector<Values, 1>, 3> functions_;
  absl::InlinedVector<DualTriple, kKept> kept_;
};

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_PACKING_INTERNAL_PACK_BOUNDS_H_
