#ifndef TAREWISE_PACKING_INTERNAL_LEAST_BOX_H_
#define TAREWISE_PACKING_INTERNAL_LEAST_BOX_H_

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <utility>
#include <vector>

#include "tarewise/packing/arrange.h"
#include "tarewise/packing/internal/shrink.h"
#include "tarewise/units/internal/halving.h"
#include "tarewise/units/rounding.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// The boxes that a packaging without a shape of its own takes, nm: the thicker, the less along and across.
class YieldingSpace {
 public:
  /// Of film, which goes round: flat width and usable length.
  static YieldingSpace Mailer(std::int64_t width, std::int64_t length) {
    return {Kind::kMailer, width, length, std::min(width, length)};
  }
  static YieldingSpace Envelope(std::int64_t width, std::int64_t length, std::int64_t thickness) {
    return {Kind::kEnvelope, width, length, thickness};
  }
  static YieldingSpace Tube(std::int64_t diameter, std::int64_t length) {
    return {Kind::kTube, diameter, length, diameter};
  }

  std::int64_t most_thickness() const { return thickness_; }
  std::int64_t AlongAt(std::int64_t thickness) const { return kind_ == Kind::kMailer ? length_ - thickness : length_; }
  std::int64_t AcrossAt(std::int64_t thickness) const {
    switch (kind_) {
      case Kind::kMailer:
        return width_ - thickness;
      case Kind::kEnvelope:
        return width_;
      case Kind::kTube:
        return Chord(thickness);
    }
    return 0;
  }
  /// A box of so much along, across and thick.
  bool Takes(const std::array<std::int64_t, 3>& box) const {
    return box[2] <= thickness_ && box[0] <= AlongAt(box[2]) && box[1] <= AcrossAt(box[2]);
  }

 private:
  enum class Kind : std::uint8_t { kMailer, kEnvelope, kTube };

  YieldingSpace(Kind kind, std::int64_t width, std::int64_t length, std::int64_t thickness)
      : kind_(kind), width_(width), length_(length), thickness_(thickness) {}

  // The widest that lies across a tube beside its thickness.
  std::int64_t Chord(std::int64_t thickness) const {
    const Int128 square = Int128(width_) * width_ - Int128(thickness) * thickness;
    return GreatestThat(0, width_ + 1, [square](std::int64_t across) { return Int128(across) * across <= square; });
  }

  Kind kind_;
  std::int64_t width_;
  std::int64_t length_;
  std::int64_t thickness_;
};

/// The box that just holds some units: along, across and thick, nm.
struct LeastBox {
  Fit fit = Fit::kUnknown;
  std::array<std::int64_t, 3> sides = {};
  std::vector<Placement> placements;
  FitProof proof = FitProof::kNone;
};

/// Finds, of the boxes that a space takes and the units go into, that of the least thickness, of those that of the
/// least length, and of those that of the least width. Of a range of thicknesses the room that has the most of each
/// side is tried: where the units do not go into that, no box in the range takes them.
class LeastBoxFinder {
 public:
  /// `steps` of the search until a box is found, and a tenth of them to find a lesser one.
  LeastBoxFinder(std::span<const PackUnit> units, const YieldingSpace& space, std::int64_t steps)
      : units_(units), space_(space), steps_(steps), left_(steps) {
    for (const PackUnit& unit : units_) volume_ += Int128(unit.sides[0]) * unit.sides[1] * unit.sides[2];
  }

  LeastBox Find() && {
    LeastBox box;
    std::int64_t least = 1;
    for (const PackUnit& unit : units_) {
      least = std::max(least, *std::min_element(unit.sides.begin(), unit.sides.end()));
    }
    Search(least, space_.most_thickness());
    if (!found_) {
      box.fit = unknown_ > 0 ? Fit::kUnknown : Fit::kDoesNotFit;
      // More than one room was ruled out, or none had to be tried.
      if (box.fit == Fit::kDoesNotFit) box.proof = tries_ == 1 ? proof_ : FitProof::kSearched;
      return box;
    }
    Room room;
    room.sides[2] = ExtentOf(units_, room, *found_, 2);
    room.sides[1] = space_.AcrossAt(room.sides[2]);
    room.sides[0] = space_.AlongAt(room.sides[2]);
    for (const std::size_t axis : {std::size_t{0}, std::size_t{1}}) {
      room.sides[axis] =
          ShortenAsFarAsItGoes(units_, room, axis, *found_, [this](const Room& shorter) { return Try(shorter); });
    }
    box.fit = Fit::kFits;
    box.sides = room.sides;
    box.placements = std::move(found_->placements);
    return box;
  }

 private:
  // Past these the rest counts as unknown: the rooms between two thicknesses are many, and only few of them are near.
  // Of many units a try takes long, and proves little.
  int MostTries() const { return std::clamp(4'000 / static_cast<int>(units_.size()), 12, 96); }
  static constexpr int kMostUnknown = 4;
  static constexpr std::size_t kMostSums = 2'048;

  // Puts the least into `found_`; false where there is none from the one thickness to the other.
  bool Search(std::int64_t least, std::int64_t most) {
    bool found = false;
    bool may_narrow = false;
    while (true) {
      least = std::max(least, ThickEnough(least));
      if (may_narrow) Narrow(least, most);
      if (least > most) return found;
      if (tries_ == MostTries() || unknown_ == kMostUnknown) {
        unknown_ += unknown_ == 0 ? 1 : 0;
        return found;
      }
      ++tries_;
      Arrangement arranged = Try({{space_.AlongAt(least), space_.AcrossAt(least), most}, 0, 0});
      if (arranged.fit == Fit::kDoesNotFit) {
        proof_ = arranged.proof;
        return found;
      }
      if (arranged.fit == Fit::kFits) {
        std::array<std::int64_t, 3> box;
        for (std::size_t axis = 0; axis < 3; ++axis) box[axis] = ExtentOf(units_, {}, arranged, axis);
        if (space_.Takes(box)) {
          if (!found_) left_ = std::min(left_, steps_ / 10);
          most = box[2] - 1;
          found_ = std::move(arranged);
          found = true;
          continue;
        }
      } else {
        ++unknown_;
      }
      Narrow(least, most);
      may_narrow = true;
      if (least >= most) {
        if (arranged.fit == Fit::kUnknown || least > most) return found;
        continue;
      }
      const std::int64_t middle = MiddleOf(least, most);
      if (Search(least, middle)) return true;
      least = middle + 1;
    }
  }

  // Where the steps are spent, what is not plain at once is unknown.
  Arrangement Try(const Room& room) {
    Arrangement arranged = Arrange(units_, room, {std::max<std::int64_t>(left_, 0)});
    left_ -= arranged.nodes;
    return arranged;
  }

  // Thinner than this no box of at least a thickness holds so much.
  std::int64_t ThickEnough(std::int64_t least) const {
    const Int128 area = Int128(space_.AlongAt(least)) * space_.AcrossAt(least);
    if (area <= 0) return least;
    const Int128 thickness = (volume_ + area - 1) / area;
    return thickness > kLongestPackSide ? kLongestPackSide : static_cast<std::int64_t>(thickness);
  }

  // To thicknesses that sides of the units add up to: a box that just holds them has no other.
  void Narrow(std::int64_t& least, std::int64_t& most) {
    if (!sums_) sums_ = SumsUpTo(space_.most_thickness());
    if (sums_->empty()) return;
    const auto first = std::lower_bound(sums_->begin(), sums_->end(), least);
    const auto last = std::upper_bound(sums_->begin(), sums_->end(), most);
    if (first >= last) {
      most = least - 1;
      return;
    }
    least = *first;
    most = *(last - 1);
  }

  // At least `least`, and less than `most`.
  std::int64_t MiddleOf(std::int64_t least, std::int64_t most) const {
    if (sums_->empty()) return least + (most - least) / 2;
    const auto first = std::lower_bound(sums_->begin(), sums_->end(), least);
    const auto last = std::lower_bound(sums_->begin(), sums_->end(), most);
    return *(first + (last - first - 1) / 2);
  }

  // In order, each once; none where there are too many.
  std::vector<std::int64_t> SumsUpTo(std::int64_t most) const {
    std::vector<std::int64_t> sums = {0};
    for (const PackUnit& unit : units_) {
      const std::size_t before = sums.size();
      for (const std::int64_t side : unit.sides) {
        for (std::size_t i = 0; i < before; ++i) {
          if (sums[i] + side <= most) sums.push_back(sums[i] + side);
        }
      }
      std::sort(sums.begin(), sums.end());
      sums.erase(std::unique(sums.begin(), sums.end()), sums.end());
      if (sums.size() > kMostSums) return {};
    }
    return sums;
  }

  std::span<const PackUnit> units_;
  const YieldingSpace& space_;
  std::int64_t steps_;
  std::int64_t left_;
  Int128 volume_ = 0;
  std::optional<Arrangement> found_;
  std::optional<std::vector<std::int64_t>> sums_;
  FitProof proof_ = FitProof::kNone;
  int tries_ = 0;
  int unknown_ = 0;
};

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_PACKING_INTERNAL_LEAST_BOX_H_
