#ifndef TAREWISE_PACKING_INTERNAL_FILL_SEARCH_H_
#define TAREWISE_PACKING_INTERNAL_FILL_SEARCH_H_

#include <algorithm>
#include <array>
#include <bit>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <vector>

#include "tarewise/packing/internal/fill_blocks.h"
#include "tarewise/packing/internal/fill_goods.h"
#include "tarewise/packing/internal/fill_spaces.h"
#include "tarewise/packing/internal/fill_sums.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// A block in the room.
struct FillPut {
  FillBox box;
  std::uint32_t block = 0;  // its place in FillBlocks::all
};

/// A room that is being filled.
struct FillState {
  FillSpaces spaces;
  std::vector<std::int32_t> left;  // units, by kind
  std::vector<FillPut> puts;
  FillSides least = {};  // of any side of what is left, by axis
  std::int64_t volume = 0;
  std::int32_t units = 0;  // that are left
};

/// Fills one room: always the space nearest to a corner of the floor, with the block that is large, leaves lengths that
/// goods can use, touches walls and goods with much of its surface, and has few units. A beam tries several blocks for
/// a space and keeps the choices whose greedy completion holds most.
class FillSearch {
 public:
  FillSearch(const FillTask& task, const FillBlocks& blocks, const FillSums& sums)
      : task_(task), blocks_(blocks), sums_(sums) {
    for (std::size_t axis = 0; axis < 3; ++axis) near_[axis] = task.room()[axis] / 25;
    for (const FillKind& kind : task.kinds()) all_.push_back(kind.count);
  }

  const FillState& best() const { return best_; }
  std::int64_t steps() const { return steps_; }

  /// One pass over the units that are left, by kind.
  void Greedy(const std::vector<std::int32_t>& left) {
    Start(left, trial_);
    Complete(trial_);
    best_ = trial_;
  }

  /// A pass, and beams, each wider than the one before.
  void Run(std::int64_t budget) {
    Greedy(all_);
    for (std::size_t width = 2; steps_ < budget && best_.units > 0;
         width = std::min(kWidest, width + (width + 1) / 2)) {
      const std::int64_t before = steps_;
      Beam(width, budget);
      if (steps_ == before) return;
    }
  }

 private:
  static constexpr std::size_t kWidest = 1'000;
  static constexpr std::size_t kMostLooks = 2'000;  // at blocks that go into a space, of goods in great variety
  static constexpr int kFraction = 22;              // bits of a volume that count

  struct Choice {
    std::uint64_t score = 0;
    std::uint32_t block = 0;
    FillBox box;
  };

  struct Candidate {
    std::int64_t volume = 0;
    std::size_t parent = 0;
    Choice choice;
  };

  void Start(const std::vector<std::int32_t>& left, FillState& state) const {
    state.spaces.Reset({{0, 0, 0}, task_.room()});
    state.left = left;
    state.puts.clear();
    state.volume = 0;
    state.units = 0;
    for (std::int32_t count : left) state.units += count;
    FindLeast(state);
  }

  void FindLeast(FillState& state) const {
    state.least.fill(std::numeric_limits<std::int32_t>::max());
    for (std::size_t k = 0; k < state.left.size(); ++k) {
      if (state.left[k] == 0) continue;
      for (const FillSides& sides : task_.kinds()[k].turnings) {
        for (std::size_t axis = 0; axis < 3; ++axis) state.least[axis] = std::min(state.least[axis], sides[axis]);
      }
    }
  }

  bool HasShortest(const FillState& state, std::uint32_t kind) const {
    for (const FillSides& sides : task_.kinds()[kind].turnings) {
      for (std::size_t axis = 0; axis < 3; ++axis) {
        if (sides[axis] == state.least[axis]) return true;
      }
    }
    return false;
  }

  void Complete(FillState& state) {
    while (state.units > 0 && Choose(state, 1, greedy_)) Put(state, greedy_[0]);
  }

  void Beam(std::size_t width, std::int64_t budget) {
    std::vector<FillState> beam(1);
    Start(all_, beam[0]);
    while (!beam.empty()) {
      candidates_.clear();
      for (std::size_t i = 0; i < beam.size(); ++i) {
        if (!Choose(beam[i], width, choices_)) continue;
        for (const Choice& choice : choices_) {
          trial_ = beam[i];
          Put(trial_, choice);
          Complete(trial_);
          candidates_.push_back({trial_.volume, i, choice});
          if (trial_.volume > best_.volume) best_ = trial_;
          if (trial_.units == 0 || steps_ >= budget) return;
        }
      }
      Follow(width, beam);
    }
  }

  // The best choices, each made in its room. Equal volumes are most likely the same filling in another order.
  void Follow(std::size_t width, std::vector<FillState>& beam) {
    std::stable_sort(candidates_.begin(), candidates_.end(),
                     [](const Candidate& a, const Candidate& b) { return a.volume > b.volume; });
    std::vector<FillState> next;
    next.reserve(width);
    std::int64_t last = -1;
    for (const Candidate& candidate : candidates_) {
      if (next.size() == width) break;
      if (candidate.volume == last) continue;
      last = candidate.volume;
      next.push_back(beam[candidate.parent]);
      Put(next.back(), candidate.choice);
    }
    beam.swap(next);
  }

  void Put(FillState& state, const Choice& choice) {
    ++steps_;
    const FillBlock& block = blocks_.all()[choice.block];
    state.left[block.kind] -= block.count;
    state.volume += block.volume;
    state.units -= block.count;
    const bool shortest_gone = state.left[block.kind] == 0 && HasShortest(state, block.kind);
    if (shortest_gone) FindLeast(state);
    FillBox taken = choice.box;
    if (task_.kinds()[block.kind].top_free) taken.high[2] = task_.room()[2];
    state.spaces.Take(taken, state.least, scratch_);
    if (shortest_gone) state.spaces.Forget(state.least);
    state.puts.push_back({choice.box, choice.block});
  }

  /// The space nearest to a corner of the floor, and the best blocks for it; false where no space takes any.
  bool Choose(FillState& state, std::size_t most, std::vector<Choice>& choices) {
    while (!state.spaces.all().empty()) {
      const std::size_t index = NearestSpace(state);
      Rate(state, state.spaces.all()[index], most, choices);
      if (!choices.empty()) return true;
      state.spaces.Drop(index);
    }
    return false;
  }

  std::size_t NearestSpace(const FillState& state) const {
    std::size_t best = 0;
    std::int32_t best_distance = std::numeric_limits<std::int32_t>::max();
    std::int64_t best_volume = 0;
    for (std::size_t i = 0; i < state.spaces.all().size(); ++i) {
      const FillBox& space = state.spaces.all()[i];
      std::int32_t distance = space.low[2];
      for (std::size_t axis = 0; axis < 2; ++axis) {
        distance += std::min(space.low[axis], task_.room()[axis] - space.high[axis]);
      }
      if (distance > best_distance) continue;
      const std::int64_t volume = space.Volume();
      if (distance == best_distance && volume <= best_volume) continue;
      best = i;
      best_distance = distance;
      best_volume = volume;
    }
    return best;
  }

  void Rate(const FillState& state, const FillBox& space, std::size_t most, std::vector<Choice>& choices) {
    choices.clear();
    FindNear(state, space);
    const FillSides sides = {space.Side(0), space.Side(1), space.Side(2)};
    const std::int64_t volume = space.Volume();
    const int shift = std::max(0, static_cast<int>(std::bit_width(static_cast<std::uint64_t>(volume))) - kFraction);
    const auto space_part = static_cast<std::uint64_t>(volume >> shift);
    const std::vector<FillBlock>& all = blocks_.all();
    const auto first =
        std::partition_point(all.begin(), all.end(), [&](const FillBlock& block) { return block.volume > volume; });
    const bool open = space.high[2] == task_.room()[2];
    std::size_t looks = 0;
    for (auto block = first; block != all.end(); ++block) {
      if (Some(block->sides[0] > sides[0], block->sides[1] > sides[1], block->sides[2] > sides[2])) continue;
      const auto part = static_cast<std::uint64_t>(block->volume >> shift);
      const std::uint64_t bar = choices.size() == most ? choices.back().score : 0;
      if (choices.size() == most && (part * space_part << kTouchBits) <= bar) break;  // all others are smaller
      if (block->count > state.left[block->kind] || (block->top_free && !open)) continue;
      if (++looks > kMostLooks && !choices.empty()) break;
      std::int64_t usable = 1;
      for (std::size_t axis = 0; axis < 3; ++axis) {
        usable *= block->sides[axis] + sums_.Best(axis, sides[axis] - block->sides[axis]);
      }
      const std::uint64_t value = part * static_cast<std::uint64_t>(usable >> shift);
      if (choices.size() == most && value << kTouchBits <= bar) continue;
      Choice choice = {0, static_cast<std::uint32_t>(block - all.begin()), Corner(space, block->sides)};
      choice.score = value * Touching(choice.box);
      if (choices.size() == most && choice.score <= bar) continue;
      if (choices.size() == most) choices.pop_back();
      choices.insert(std::upper_bound(choices.begin(), choices.end(), choice,
                                      [](const Choice& a, const Choice& b) { return a.score > b.score; }),
                     choice);
    }
  }

  /// In the corner of the space that is nearest to a corner of the floor.
  FillBox Corner(const FillBox& space, const FillSides& sides) const {
    FillBox box;
    for (std::size_t axis = 0; axis < 3; ++axis) {
      const bool low = axis == 2 || space.low[axis] <= task_.room()[axis] - space.high[axis];
      box.low[axis] = low ? space.low[axis] : space.high[axis] - sides[axis];
      box.high[axis] = box.low[axis] + sides[axis];
    }
    return box;
  }

  // What a block in the space may touch.
  void FindNear(const FillState& state, const FillBox& space) {
    close_.clear();
    FillBox wide = space;
    for (std::size_t axis = 0; axis < 3; ++axis) {
      wide.low[axis] -= near_[axis] + 1;
      wide.high[axis] += near_[axis] + 1;
    }
    for (const FillPut& put : state.puts) {
      if (put.box.Meets(wide)) close_.push_back(put.box);
    }
  }

  /// The share of a box's surface that is at walls or other boxes, or nearly, to the fourth power, in 2^kTouchBits.
  std::uint64_t Touching(const FillBox& box) const {
    const FillSides sides = {box.Side(0), box.Side(1), box.Side(2)};
    std::array<std::int64_t, 3> faces = {};
    std::int64_t touched = 0;
    for (std::size_t axis = 0; axis < 3; ++axis) {
      faces[axis] = std::int64_t{sides[(axis + 1) % 3]} * sides[(axis + 2) % 3];
      if (box.low[axis] <= near_[axis]) touched += faces[axis];
      if (task_.room()[axis] - box.high[axis] <= near_[axis]) touched += faces[axis];
    }
    for (const FillBox& other : close_) {
      FillSides shared;
      for (std::size_t axis = 0; axis < 3; ++axis) {
        shared[axis] = std::min(box.high[axis], other.high[axis]) - std::max(box.low[axis], other.low[axis]);
      }
      for (std::size_t axis = 0; axis < 3; ++axis) {
        const std::int32_t a = shared[(axis + 1) % 3];
        const std::int32_t b = shared[(axis + 2) % 3];
        if (shared[axis] <= 0 && shared[axis] >= -near_[axis] && a > 0 && b > 0) touched += std::int64_t{a} * b;
      }
    }
    const std::int64_t all = 2 * (faces[0] + faces[1] + faces[2]);
    const auto share = static_cast<std::uint64_t>(std::min(touched, all) * 256 / all);
    return std::max<std::uint64_t>(1, share * share * share * share >> (32 - kTouchBits));
  }

  static constexpr int kTouchBits = 16;

  const FillTask& task_;
  const FillBlocks& blocks_;
  const FillSums& sums_;
  FillSides near_ = {};
  std::vector<std::int32_t> all_;  // units, by kind
  FillState trial_;
  FillState best_;
  std::vector<Choice> greedy_;
  std::vector<Choice> choices_;
  std::vector<Candidate> candidates_;
  std::vector<FillBox> close_;
  FillScratch scratch_;
  std::int64_t steps_ = 0;
};

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_PACKING_INTERNAL_FILL_SEARCH_H_
