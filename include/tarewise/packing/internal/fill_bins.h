#ifndef TAREWISE_PACKING_INTERNAL_FILL_BINS_H_
#define TAREWISE_PACKING_INTERNAL_FILL_BINS_H_

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <utility>
#include <vector>

#include "tarewise/packing/internal/fill_goods.h"
#include "tarewise/packing/internal/fill_spaces.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// The same numbers on every machine, from the same start.
class FillChance {
 public:
  std::uint32_t Below(std::uint32_t bound) {
    state_ = state_ * 6364136223846793005U + 1442695040888963407U;
    return static_cast<std::uint32_t>((state_ >> 33) * bound >> 31);
  }

 private:
  std::uint64_t state_ = 0x9E3779B97F4A7C15U;
};

struct FillUnit {
  std::uint32_t kind = 0;
  FillBox box;
};

struct FillBin {
  std::vector<FillUnit> units;
  std::int64_t volume = 0;
};

/// Few rooms: one is emptied after another. What has no room waits in a pool; again and again some rooms are packed
/// anew together with the pool, and what is then left is the pool, if that is not much worse.
class FillBins {
 public:
  explicit FillBins(const FillTask& task) : task_(task) {
    least_.fill(std::numeric_limits<std::int32_t>::max());
    for (const FillKind& kind : task.kinds()) {
      for (const FillSides& sides : kind.turnings) {
        for (std::size_t axis = 0; axis < 3; ++axis) least_[axis] = std::min(least_[axis], sides[axis]);
      }
    }
  }

  const std::vector<FillBin>& best() const { return best_; }
  std::int64_t steps() const { return steps_; }

  /// The better of `given` and of what a few passes find.
  void Start(std::vector<FillBin> given) {
    best_ = std::move(given);
    std::vector<std::uint32_t> all;
    for (std::size_t k = 0; k < task_.kinds().size(); ++k) {
      all.insert(all.end(), static_cast<std::size_t>(task_.kinds()[k].count), static_cast<std::uint32_t>(k));
    }
    if (all.size() > kManyUnits) return;
    for (const Rule rule : {Rule::kFar, Rule::kTight}) {
      waiting_ = all;
      rule_ = rule;
      Sort(0);
      std::vector<FillBin> bins;
      while (!waiting_.empty()) FillOne(bins.emplace_back(), kNoLimit);
      if (bins.size() < best_.size()) best_ = std::move(bins);
    }
  }

  void Improve(std::int64_t bound, std::int64_t budget) {
    while (best_.size() > 1 && static_cast<std::int64_t>(best_.size()) > bound && steps_ < budget) {
      std::vector<FillBin> bins = best_;
      const auto smallest = std::min_element(bins.begin(), bins.end(),
                                             [](const FillBin& a, const FillBin& b) { return a.volume < b.volume; });
      std::vector<std::uint32_t> pool;
      for (const FillUnit& unit : smallest->units) pool.push_back(unit.kind);
      bins.erase(smallest);
      if (!Place(std::move(pool), bins, budget)) return;
      best_ = std::move(bins);
    }
  }

 private:
  enum class Rule : std::uint8_t { kFar, kTight };

  static constexpr std::int64_t kNoLimit = std::numeric_limits<std::int64_t>::max();
  static constexpr std::size_t kManyUnits = 1'000;
  static constexpr std::size_t kMostRooms = 4;  // packed anew at a time; at least two
  static constexpr std::int64_t kWorse = 10;    // a pool may grow by one part of so many

  // True where all of the pool found room.
  bool Place(std::vector<std::uint32_t> pool, std::vector<FillBin>& bins, std::int64_t budget) {
    std::int64_t cost = VolumeOf(pool);
    std::array<FillBin, kMostRooms> trial;
    while (!pool.empty()) {
      if (steps_ >= budget) return false;
      ++steps_;  // so that it ends whatever goes in
      ChooseRooms(bins.size());
      waiting_ = pool;
      for (std::size_t i : chosen_) {
        for (const FillUnit& unit : bins[i].units) waiting_.push_back(unit.kind);
      }
      rule_ = chance_.Below(2) == 0 ? Rule::kFar : Rule::kTight;
      Sort(256);
      const std::int64_t limit = std::min(cost + cost / kWorse, task_.RoomVolume());
      bool better = true;
      for (std::size_t i = 0; i < chosen_.size() && better; ++i) {
        better = FillOne(trial[i], i + 1 == chosen_.size() ? limit : kNoLimit);
      }
      if (!better) continue;
      for (std::size_t i = 0; i < chosen_.size(); ++i) std::swap(bins[chosen_[i]], trial[i]);
      pool = waiting_;
      cost = VolumeOf(pool);
    }
    return true;
  }

  std::int64_t VolumeOf(const std::vector<std::uint32_t>& kinds) const {
    std::int64_t sum = 0;
    for (std::uint32_t kind : kinds) sum += task_.kinds()[kind].volume;
    return sum;
  }

  void ChooseRooms(std::size_t rooms) {
    const std::size_t count = std::min<std::size_t>(rooms, 2 + chance_.Below(kMostRooms - 1));
    chosen_.clear();
    while (chosen_.size() < count) {
      const std::size_t i = chance_.Below(static_cast<std::uint32_t>(rooms));
      if (std::find(chosen_.begin(), chosen_.end(), i) == chosen_.end()) chosen_.push_back(i);
    }
  }

  // The largest first, where each counts as up to `noise` / 256 larger than it is. What keeps its top free goes last.
  void Sort(std::uint32_t noise) {
    keyed_.clear();
    for (std::uint32_t kind : waiting_) {
      const std::int64_t volume = task_.kinds()[kind].volume;
      const std::int64_t more = noise == 0 ? 0 : (volume / 256 + 1) * chance_.Below(noise);
      keyed_.emplace_back(task_.kinds()[kind].top_free ? 0 : -volume - more, kind);
    }
    std::sort(keyed_.begin(), keyed_.end());
    for (std::size_t i = 0; i < keyed_.size(); ++i) waiting_[i] = keyed_[i].second;
  }

  // What goes in leaves `waiting_`. False, and not whole, as soon as more than `limit` stays out.
  bool FillOne(FillBin& bin, std::int64_t limit) {
    bin.units.clear();
    bin.volume = 0;
    spaces_.Reset({{0, 0, 0}, task_.room()});
    std::size_t kept = 0;
    std::int64_t out = 0;
    std::uint32_t failed = std::numeric_limits<std::uint32_t>::max();
    for (std::uint32_t kind : waiting_) {
      FillBox box;
      if (kind == failed || !Find(kind, box)) {
        failed = kind;
        waiting_[kept++] = kind;
        out += task_.kinds()[kind].volume;
        if (out > limit) return false;
        continue;
      }
      ++steps_;
      bin.units.push_back({kind, box});
      bin.volume += task_.kinds()[kind].volume;
      if (task_.kinds()[kind].top_free) box.high[2] = task_.room()[2];
      spaces_.Take(box, least_, scratch_);
    }
    waiting_.resize(kept);
    return true;
  }

  bool Find(std::uint32_t kind, FillBox& box) const {
    std::int64_t best = std::numeric_limits<std::int64_t>::min();
    const bool top_free = task_.kinds()[kind].top_free;
    for (const FillSides& sides : task_.kinds()[kind].turnings) {
      for (const FillBox& space : spaces_.all()) {
        if (Some(space.Side(0) < sides[0], space.Side(1) < sides[1], space.Side(2) < sides[2])) continue;
        if (top_free && space.high[2] != task_.room()[2]) continue;
        const std::int64_t rating = Rate(space, sides);
        if (rating <= best) continue;
        best = rating;
        box.low = space.low;
        for (std::size_t axis = 0; axis < 3; ++axis) box.high[axis] = space.low[axis] + sides[axis];
      }
    }
    return best > std::numeric_limits<std::int64_t>::min();
  }

  std::int64_t Rate(const FillBox& space, const FillSides& sides) const {
    std::int64_t rating = 0;
    if (rule_ == Rule::kFar) {  // from the far corner of the room
      for (std::size_t axis = 0; axis < 3; ++axis) {
        const std::int64_t far = task_.room()[axis] - space.low[axis] - sides[axis];
        rating += far * far;
      }
      return rating;
    }
    std::int64_t least = std::numeric_limits<std::int64_t>::max();
    for (std::size_t axis = 0; axis < 3; ++axis) {
      const std::int64_t rest = space.Side(axis) - sides[axis];
      least = std::min(least, rest);
      rating -= rest;
    }
    return rating - 64 * least;
  }

  const FillTask& task_;
  FillSides least_ = {};
  std::vector<FillBin> best_;
  std::vector<std::uint32_t> waiting_;  // kinds of units
  std::vector<std::pair<std::int64_t, std::uint32_t>> keyed_;
  std::vector<std::size_t> chosen_;
  FillSpaces spaces_;
  FillScratch scratch_;
  FillChance chance_;
  Rule rule_ = Rule::kFar;
  std::int64_t steps_ = 0;
};

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_PACKING_INTERNAL_FILL_BINS_H_
