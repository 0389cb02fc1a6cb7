#ifndef TAREWISE_PACKING_INTERNAL_PACK_RASTER_H_
#define TAREWISE_PACKING_INTERNAL_PACK_RASTER_H_

#include <algorithm>
#include <array>
#include <bit>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <vector>

#include "tarewise/packing/arrange.h"
#include "tarewise/packing/internal/bits_in.h"
#include "tarewise/packing/internal/pack_geometry.h"
#include "tarewise/packing/internal/pack_model.h"
#include "tarewise/packing/internal/pack_sums.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

// Searches for places on the raster, of which there are few where many units are alike: as many that exclude one
// another nowhere as there are units. Places that cover one point exclude one another, so that what so many points
// cover holds so many units at most, and only what they leave uncovered needs to be tried.
class RasterSearch {
 public:
  static constexpr std::size_t kMostPlaces = 6144;
  static constexpr std::size_t kMostCells = 8192;

  RasterSearch(const PackModel& model, const PackGeometry& geometry, std::int64_t budget)
      : model_(model), geometry_(geometry), budget_(budget) {}

  // False where there are too many places to begin with, or rules that places do not tell.
  bool Begin() {
    if (geometry_.rest != 0 || !geometry_.MayGrow(model_) || model_.any_bears) return false;
    for (std::size_t axis = 0; axis < 3; ++axis) {
      raster_[axis] = RasterOf(geometry_, axis);
      if (raster_[axis].empty()) return false;
    }
    for (std::size_t i = 0; i < geometry_.count; ++i) {
      const std::size_t kind = model_.units[i].kind;
      ++asked_[kind];
      if (kind == i && !AddPlaces(i)) return false;
    }
    std::sort(places_.begin(), places_.end(), [](const Place& a, const Place& b) {
      const std::int64_t left = a.hi[0] + a.hi[1] + a.hi[2];
      const std::int64_t right = b.hi[0] + b.hi[1] + b.hi[2];
      if (left != right) return left < right;
      if (a.lo != b.lo) return a.lo < b.lo;
      if (a.hi != b.hi) return a.hi < b.hi;
      return a.kind < b.kind;
    });
    words_ = (places_.size() + 63) / 64;
    Compare();
    MakeCells();
    Mirror();
    return true;
  }

  Fit Run() {
    std::vector<std::uint64_t> open(words_, 0);
    for (std::size_t place = 0; place < places_.size(); ++place) open[place / 64] |= std::uint64_t{1} << place % 64;
    for (std::size_t axis = 0; axis < 3; ++axis) CloseLow(axis, open);
    return Search(open, geometry_.count);
  }
  std::int64_t Nodes() const { return nodes_; }

  std::size_t PlaceCount() const { return places_.size(); }
  // Of a `kFits`, in true lengths: each unit as near to the origin as those before it allow.
  std::vector<Placement> Placements() const {
    std::vector<Placement> placements;
    std::array<bool, kFewUnits> placed = {};
    for (const std::size_t index : chosen_) {
      const Place& place = places_[index];
      std::size_t unit = place.kind;
      while (placed[unit] || model_.units[unit].kind != place.kind) ++unit;
      placed[unit] = true;
      const std::int64_t wall = model_.units[unit].wall;
      const Sides& sides = model_.units[unit].turned[geometry_.units[place.kind].was[place.turning]];
      placements.push_back({unit, {wall, wall, wall}, sides});
    }
    for (std::size_t axis = 0; axis < 3; ++axis) Push(axis, placements);
    std::sort(placements.begin(), placements.end(),
              [](const Placement& a, const Placement& b) { return a.unit < b.unit; });
    return placements;
  }

 private:
  struct Place {
    std::size_t kind = 0, turning = 0;
    Sides lo = {}, hi = {};
  };
  using Bits = std::vector<std::uint64_t>;

  bool AddPlaces(std::size_t kind) {
    const PackGeometry::Unit& unit = geometry_.units[kind];
    for (std::size_t turning = 0; turning < unit.turnings; ++turning) {
      const Sides& size = unit.size[turning];
      Place place;
      place.kind = kind;
      place.turning = turning;
      for (const std::int64_t x : raster_[0]) {
        if (x + size[0] > geometry_.room[0]) break;
        for (const std::int64_t y : raster_[1]) {
          if (y + size[1] > geometry_.room[1]) break;
          for (const std::int64_t z : raster_[2]) {
            if (z + size[2] > geometry_.room[2]) break;
            if (places_.size() == kMostPlaces) return false;
            place.lo = {x, y, z};
            for (std::size_t axis = 0; axis < 3; ++axis) place.hi[axis] = place.lo[axis] + size[axis];
            places_.push_back(place);
          }
        }
      }
    }
    return true;
  }

  void Push(std::size_t axis, std::vector<Placement>& placements) const {
    FewVector<std::size_t> order(chosen_.size());
    for (std::size_t i = 0; i < order.size(); ++i) order[i] = i;
    std::sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
      return places_[chosen_[a]].lo[axis] < places_[chosen_[b]].lo[axis];
    });
    for (const std::size_t later : order) {
      for (const std::size_t earlier : order) {
        if (places_[chosen_[earlier]].hi[axis] > places_[chosen_[later]].lo[axis]) continue;
        const Placement& before = placements[earlier];
        placements[later].at[axis] =
            std::max(placements[later].at[axis],
                     before.at[axis] + before.sides[axis] + model_.Gap(before.unit, placements[later].unit));
      }
    }
  }

  // The places of which `tell` holds.
  template <typename Tell>
  Bits Those(const Tell& tell) const {
    Bits bits(words_, 0);
    for (std::size_t place = 0; place < places_.size(); ++place) {
      if (tell(places_[place])) bits[place / 64] |= std::uint64_t{1} << place % 64;
    }
    return bits;
  }

  // Of an axis, for each length at which some place starts or ends.
  struct Lengths {
    std::vector<std::int64_t> lengths;
    std::vector<Bits> start_before, end_after;  // places that start before the length, and that end after it
    std::size_t Of(std::int64_t length) const {
      return static_cast<std::size_t>(std::lower_bound(lengths.begin(), lengths.end(), length) - lengths.begin());
    }
  };
  Lengths LengthsOf(std::size_t axis) const {
    Lengths all;
    for (const Place& place : places_) {
      all.lengths.push_back(place.lo[axis]);
      all.lengths.push_back(place.hi[axis]);
    }
    std::sort(all.lengths.begin(), all.lengths.end());
    all.lengths.erase(std::unique(all.lengths.begin(), all.lengths.end()), all.lengths.end());
    for (const std::int64_t length : all.lengths) {
      all.start_before.push_back(Those([&](const Place& place) { return place.lo[axis] < length; }));
      all.end_after.push_back(Those([&](const Place& place) { return place.hi[axis] > length; }));
    }
    return all;
  }

  // What each place excludes, and what covers its last point: what starts before its end, and ends there or later.
  void Compare() {
    const std::array<Lengths, 3> axes = {LengthsOf(0), LengthsOf(1), LengthsOf(2)};
    const Bits free_tops = Those([&](const Place& place) { return model_.units[place.kind].top_free; });
    excludes_.assign(places_.size() * words_, 0);
    stabs_.assign(places_.size() * words_, 0);
    of_kind_.assign(geometry_.count * words_, 0);
    for (std::size_t at = 0; at < places_.size(); ++at) {
      const Place& place = places_[at];
      const bool free_top = model_.units[place.kind].top_free;
      of_kind_[place.kind * words_ + at / 64] |= std::uint64_t{1} << at % 64;
      std::array<const Bits*, 3> starts, ends, ends_later;
      for (std::size_t axis = 0; axis < 3; ++axis) {
        const std::size_t last = axes[axis].Of(place.hi[axis]);
        starts[axis] = &axes[axis].start_before[last];
        ends[axis] = &axes[axis].end_after[axes[axis].Of(place.lo[axis])];
        ends_later[axis] = &axes[axis].end_after[last - 1];
      }
      for (std::size_t word = 0; word < words_; ++word) {
        const std::uint64_t foot = (*starts[0])[word] & (*ends[0])[word] & (*starts[1])[word] & (*ends[1])[word];
        std::uint64_t& excluded = excludes_[at * words_ + word];
        excluded = foot & (*starts[2])[word] & (*ends[2])[word];
        if (free_top) excluded |= foot & ~(*starts[2])[word];
        excluded |= foot & ~(*ends[2])[word] & free_tops[word];
        stabs_[at * words_ + word] = (*starts[0])[word] & (*starts[1])[word] & (*starts[2])[word] &
                                     (*ends_later[0])[word] & (*ends_later[1])[word] & (*ends_later[2])[word];
      }
    }
  }

  // The room in cells between raster lengths: a place takes each cell that it reaches into, as nothing starts within
  // one.
  void MakeCells() {
    std::array<std::size_t, 3> cells;
    std::size_t count = 1;
    for (std::size_t axis = 0; axis < 3; ++axis) {
      while (!raster_[axis].empty() && raster_[axis].back() >= geometry_.room[axis]) raster_[axis].pop_back();
      cells[axis] = raster_[axis].size();
      count *= cells[axis];
    }
    if (count > kMostCells) return;
    cell_words_ = (count + 63) / 64;
    const auto share = [&](std::size_t axis, std::size_t cell) {
      const std::int64_t end = cell + 1 < cells[axis] ? raster_[axis][cell + 1] : geometry_.room[axis];
      return (end - raster_[axis][cell]);
    };
    cell_volume_.assign(cell_words_ * 64, 0);
    for (std::size_t cell = 0; cell < count; ++cell) {
      cell_volume_[cell] =
          share(0, cell % cells[0]) * share(1, cell / cells[0] % cells[1]) * share(2, cell / cells[0] / cells[1]);
    }
    cells_.assign(places_.size() * cell_words_, 0);
    takes_.assign(places_.size(), 0);
    for (std::size_t at = 0; at < places_.size(); ++at) {
      const Place& place = places_[at];
      std::array<std::size_t, 3> first, end;
      for (std::size_t axis = 0; axis < 3; ++axis) {
        first[axis] = CellAt(axis, place.lo[axis]);
        end[axis] = CellAt(axis, place.hi[axis]);
      }
      for (std::size_t z = first[2]; z < end[2]; ++z) {
        for (std::size_t y = first[1]; y < end[1]; ++y) {
          for (std::size_t x = first[0]; x < end[0]; ++x) {
            const std::size_t cell = (z * cells[1] + y) * cells[0] + x;
            cells_[at * cell_words_ + cell / 64] |= std::uint64_t{1} << cell % 64;
            takes_[at] += cell_volume_[cell];
          }
        }
      }
    }
  }
  // The first cell that starts at a length or after.
  std::size_t CellAt(std::size_t axis, std::int64_t length) const {
    return static_cast<std::size_t>(std::lower_bound(raster_[axis].begin(), raster_[axis].end(), length) -
                                    raster_[axis].begin());
  }

  // Of a packing and its mirror image along an axis, pushed to the far wall, one has half of the units of each sort in
  // the upper half: a start there, and in the image, come to the room less the side at least. So no more than the other
  // half of the sort with the fewest units starts lower than where the middle comes to on the raster.
  void Mirror() {
    std::size_t fewest = geometry_.count;
    for (std::size_t kind = 0; kind < geometry_.count; ++kind) {
      if (asked_[kind] != 0 && (fewest == geometry_.count || asked_[kind] < asked_[fewest])) fewest = kind;
    }
    for (std::size_t axis = 0; axis < (model_.any_top_free ? 2u : 3u); ++axis) {
      low_[axis] = Those([&](const Place& place) {
        if (place.kind != fewest) return false;
        const std::int64_t middle = (geometry_.room[axis] - (place.hi[axis] - place.lo[axis]) + 1) / 2;
        // The raster holds no sum between its lengths that a start could come to.
        return place.lo[axis] < *(std::upper_bound(raster_[axis].begin(), raster_[axis].end(), middle) - 1);
      });
      low_left_[axis] = asked_[fewest] / 2;
    }
  }
  void CloseLow(std::size_t axis, Bits& open) const {
    if (low_[axis].empty() || low_left_[axis] != 0) return;
    for (std::size_t word = 0; word < words_; ++word) open[word] &= ~low_[axis][word];
  }
  bool IsLow(std::size_t axis, std::size_t place) const {
    return !low_[axis].empty() && (low_[axis][place / 64] >> place % 64 & 1) != 0;
  }

  // Whether what open places reach is less than what units that are asked for take at least.
  bool TooLittle(const Bits& open) {
    if (cell_words_ == 0) return false;
    reached_.assign(cell_words_, 0);
    std::array<std::int64_t, kFewUnits> least;
    least.fill(std::numeric_limits<std::int64_t>::max());
    for (std::size_t word = 0; word < words_; ++word) {
      for (std::uint64_t bits = open[word]; bits != 0; bits &= bits - 1) {
        const std::size_t place = word * 64 + static_cast<std::size_t>(std::countr_zero(bits));
        least[places_[place].kind] = std::min(least[places_[place].kind], takes_[place]);
        for (std::size_t cell = 0; cell < cell_words_; ++cell) reached_[cell] |= cells_[place * cell_words_ + cell];
      }
    }
    std::int64_t volume = 0;
    for (std::size_t word = 0; word < cell_words_; ++word) {
      for (std::uint64_t bits = reached_[word]; bits != 0; bits &= bits - 1) {
        volume += cell_volume_[word * 64 + static_cast<std::size_t>(std::countr_zero(bits))];
      }
    }
    for (std::size_t kind = 0; kind < geometry_.count; ++kind) {
      for (std::size_t unit = 0; unit < asked_[kind]; ++unit) {
        if (least[kind] > volume) return true;
        volume -= least[kind];
      }
    }
    return false;
  }

  Fit Search(Bits& open, std::size_t left) {
    if (left == 0) return Fit::kFits;
    if (++nodes_ > budget_) return Fit::kUnknown;
    if (TooLittle(open)) return Fit::kDoesNotFit;
    Bits best;
    std::size_t fewest = Uncovered(open, left, nullptr, best);
    Bits tried;
    for (std::size_t kind = 0; kind < geometry_.count && fewest > 0; ++kind) {
      if (asked_[kind] == 0) continue;
      const std::size_t uncovered = Uncovered(open, asked_[kind], &of_kind_[kind * words_], tried);
      if (uncovered >= fewest) continue;
      fewest = uncovered;
      best.swap(tried);
    }
    Bits child(words_);
    for (std::size_t word = 0; word < words_ && fewest > 0; ++word) {
      for (std::uint64_t bits = best[word]; bits != 0; bits &= bits - 1) {
        const std::size_t place = word * 64 + static_cast<std::size_t>(std::countr_zero(bits));
        const Fit fit = Choose(open, child, place, left);
        if (fit != Fit::kDoesNotFit) return fit;
        open[place / 64] &= ~(std::uint64_t{1} << place % 64);
      }
    }
    return Fit::kDoesNotFit;
  }

  Fit Choose(const Bits& open, Bits& child, std::size_t place, std::size_t left) {
    const std::size_t kind = places_[place].kind;
    for (std::size_t word = 0; word < words_; ++word) child[word] = open[word] & ~excludes_[place * words_ + word];
    if (--asked_[kind] == 0) {
      for (std::size_t word = 0; word < words_; ++word) child[word] &= ~of_kind_[kind * words_ + word];
    }
    for (std::size_t axis = 0; axis < 3; ++axis) {
      if (!IsLow(axis, place)) continue;
      --low_left_[axis];
      CloseLow(axis, child);
    }
    chosen_.push_back(place);
    const Fit fit = Search(child, left - 1);
    ++asked_[kind];
    for (std::size_t axis = 0; axis < 3; ++axis) low_left_[axis] += IsLow(axis, place) ? 1 : 0;
    if (fit != Fit::kFits) chosen_.pop_back();
    return fit;
  }

  // Of the open places (of a kind), what is left by the points that cover most, one fewer than units are asked for.
  std::size_t Uncovered(const Bits& open, std::size_t asked, const std::uint64_t* kind, Bits& left) const {
    constexpr int kLooks = 64;
    left.resize(words_);
    std::size_t count = 0;
    for (std::size_t word = 0; word < words_; ++word) {
      left[word] = kind == nullptr ? open[word] : open[word] & kind[word];
      count += static_cast<std::size_t>(BitsIn(left[word]));
    }
    for (std::size_t point = 1; point < asked && count > 0; ++point) {
      std::size_t most = 0;
      std::size_t chosen = 0;
      int looks = 0;
      for (std::size_t word = 0; word < words_ && looks < kLooks; ++word) {
        for (std::uint64_t bits = left[word]; bits != 0 && looks < kLooks; bits &= bits - 1, ++looks) {
          const std::size_t place = word * 64 + static_cast<std::size_t>(std::countr_zero(bits));
          const std::size_t covered = Common(left, &stabs_[place * words_]);
          if (covered <= most) continue;
          most = covered;
          chosen = place;
        }
      }
      count -= most;
      for (std::size_t word = 0; word < words_; ++word) left[word] &= ~stabs_[chosen * words_ + word];
    }
    return count;
  }
  std::size_t Common(const Bits& left, const std::uint64_t* with) const {
    std::size_t count = 0;
    for (std::size_t word = 0; word < words_; ++word) {
      count += static_cast<std::size_t>(BitsIn(left[word] & with[word]));
    }
    return count;
  }

  const PackModel& model_;
  const PackGeometry& geometry_;
  std::int64_t budget_;
  std::int64_t nodes_ = 0;
  std::array<std::vector<std::int64_t>, 3> raster_;
  std::array<std::size_t, kFewUnits> asked_ = {};
  std::vector<Place> places_;
  std::size_t words_ = 0;
  std::vector<std::uint64_t> excludes_, stabs_, of_kind_;
  std::vector<std::size_t> chosen_;
  std::array<Bits, 3> low_;
  std::array<std::size_t, 3> low_left_ = {};
  std::size_t cell_words_ = 0;
  std::vector<std::int64_t> cell_volume_, takes_;
  std::vector<std::uint64_t> cells_, reached_;
};

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_PACKING_INTERNAL_PACK_RASTER_H_
