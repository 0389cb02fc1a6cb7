#ifndef TAREWISE_PACKING_INTERNAL_PACK_SUMS_H_
#define TAREWISE_PACKING_INTERNAL_PACK_SUMS_H_

#include <algorithm>
#include <array>
#include <bit>
#include <cstddef>
#include <cstdint>
#include <vector>

#include "absl/container/inlined_vector.h"
#include "tarewise/packing/internal/pack_geometry.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

// The lengths up to a limit that sides of units can come to side by side, as bits.
class ReachableSums {
 public:
  static constexpr std::int64_t kLongest = 16'384;  // above, nobody asks

  explicit ReachableSums(std::int64_t limit) : limit_(limit), words_(static_cast<std::size_t>(limit / 64 + 1)) {
    bits_.assign(words_, 0);
    bits_[0] = 1;
  }

  // One more unit, with any of its sides or left out.
  void Add(const PackGeometry::Unit& unit, std::size_t axis) {
    before_ = bits_;
    std::int64_t last = -1;
    for (std::size_t turning = 0; turning < unit.turnings; ++turning) {
      const std::int64_t side = unit.size[turning][axis];
      if (side == last || side > limit_) continue;
      last = side;
      const std::size_t words = static_cast<std::size_t>(side / 64);
      const int bits = static_cast<int>(side % 64);
      for (std::size_t i = words_; i-- > words;) {
        std::uint64_t moved = before_[i - words] << bits;
        if (bits != 0 && i > words) moved |= before_[i - words - 1] >> (64 - bits);
        bits_[i] |= moved;
      }
    }
  }

  // The greatest at or below `most`, 0 at least.
  std::int64_t Greatest(std::int64_t most) const {
    std::size_t word = static_cast<std::size_t>(most / 64);
    std::uint64_t bits = bits_[word] & (~std::uint64_t{0} >> (63 - most % 64));
    while (bits == 0) bits = bits_[--word];
    return static_cast<std::int64_t>(word) * 64 + 63 - std::countl_zero(bits);
  }

 private:
  std::int64_t limit_;
  std::size_t words_;
  absl::InlinedVector<std::uint64_t, 32> bits_;
  absl::InlinedVector<std::uint64_t, 32> before_;
};

// Of units that are alike the least sides that one of them has: they stay alike, as they stand for one another wherever
// the search takes one order of them for all. What goes in with longer sides goes in with these.
inline void KeepAlike(PackGeometry& geometry, std::size_t axis) {
  for (std::size_t i = 0; i < geometry.count; ++i) {
    PackGeometry::Unit& first = geometry.units[geometry.units[i].kind];
    for (std::size_t turning = 0; turning < first.turnings; ++turning) {
      first.size[turning][axis] = std::min(first.size[turning][axis], geometry.units[i].size[turning][axis]);
    }
  }
  for (std::size_t i = 0; i < geometry.count; ++i) {
    const PackGeometry::Unit& first = geometry.units[geometry.units[i].kind];
    for (std::size_t turning = 0; turning < first.turnings; ++turning) {
      geometry.units[i].size[turning][axis] = first.size[turning][axis];
    }
  }
}

// Makes the room as long as units can fill it, and each turning as long as what the others cannot use beside it; drops
// turnings that no longer go in. Whatever goes in before goes in after: what lies in a line with a unit comes to
// a reachable sum. False where a unit has no turning left.
inline bool TightenGeometry(PackGeometry& geometry) {
  for (std::size_t axis = 0; axis < 3; ++axis) {
    if (geometry.room[axis] > ReachableSums::kLongest) continue;
    ReachableSums all(geometry.room[axis]);
    for (std::size_t i = 0; i < geometry.count; ++i) all.Add(geometry.units[i], axis);
    geometry.room[axis] = all.Greatest(geometry.room[axis]);
    const std::int64_t room = geometry.room[axis];
    for (std::size_t i = 0; i < geometry.count; ++i) {
      PackGeometry::Unit& unit = geometry.units[i];
      ReachableSums others(room);
      for (std::size_t j = 0; j < geometry.count; ++j) {
        if (j != i) others.Add(geometry.units[j], axis);
      }
      std::uint8_t kept = 0;
      for (std::size_t turning = 0; turning < unit.turnings; ++turning) {
        if (unit.size[turning][axis] > room) continue;
        unit.size[kept] = unit.size[turning];
        unit.was[kept] = unit.was[turning];
        unit.size[kept][axis] = room - others.Greatest(room - unit.size[kept][axis]);
        ++kept;
      }
      unit.turnings = kept;
      if (kept == 0) return false;
    }
    KeepAlike(geometry, axis);
  }
  return true;
}

// Lengths that any number of sides come to, and of these the raster: for each, the greatest that is at most the room
// less it. If units go in, they go in with every start on the raster: pushed to the far walls, each starts where the
// room less a sum begins; and moved back to the greatest sum below, none comes over another, as a sum and a side are a
// sum.
inline std::vector<std::int64_t> RasterOf(const PackGeometry& geometry, std::size_t axis) {
  constexpr std::int64_t kLongest = 16'384;
  std::vector<std::int64_t> raster;
  const std::int64_t room = geometry.room[axis];
  if (room > kLongest) return raster;
  std::vector<bool> is_sum(static_cast<std::size_t>(room) + 1);
  std::vector<std::int64_t> sums;
  for (std::int64_t length = 0; length <= room; ++length) {
    bool found = length == 0;
    for (std::size_t i = 0; i < geometry.count && !found; ++i) {
      for (std::size_t turning = 0; turning < geometry.units[i].turnings && !found; ++turning) {
        const std::int64_t side = geometry.units[i].size[turning][axis];
        found = side <= length && is_sum[static_cast<std::size_t>(length - side)];
      }
    }
    if (!found) continue;
    is_sum[static_cast<std::size_t>(length)] = true;
    sums.push_back(length);
  }
  for (const std::int64_t sum : sums) {
    raster.push_back(*(std::upper_bound(sums.begin(), sums.end(), room - sum) - 1));
  }
  std::sort(raster.begin(), raster.end());
  raster.erase(std::unique(raster.begin(), raster.end()), raster.end());
  return raster;
}

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_PACKING_INTERNAL_PACK_SUMS_H_
