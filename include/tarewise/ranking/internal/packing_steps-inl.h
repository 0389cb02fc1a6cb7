#ifndef TAREWISE_RANKING_INTERNAL_PACKING_STEPS_INL_H_
#define TAREWISE_RANKING_INTERNAL_PACKING_STEPS_INL_H_

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <map>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "tarewise/packing/arrange.h"
#include "tarewise/parcel/item.h"
#include "tarewise/ranking/internal/packing_blocks.h"
#include "tarewise/ranking/packer.h"
#include "tarewise/ranking/packing_steps.h"
#include "tarewise/ranking/request.h"
#include "tarewise/units/rounding.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {
namespace internal {

/// Tells how to pack one candidate; see `PackingSteps`.
class PackingTeller {
 public:
  PackingTeller(const Request& request, const Candidate& candidate)
      : request_(request), candidate_(candidate), told_(request.goods.size()) {
    for (std::size_t i = 0; i < 3; ++i) inside_[i] = InsideOf(candidate)[i].nanometres();
    // Nothing is kept free in what is no carton.
    if (!in_carton()) return;
    const PackPadding padding = PackPadding::Of(request.padding);
    padding_ = padding.padded;
    walls_ = padding.walls;
  }

  void Tell() {
    if (candidate_.packaging == nullptr) return;
    if (candidate_.cut_to) TellCut();
    if (candidate_.arrangement == nullptr) return;
    if (walls_ > 0) {
      steps_.push_back("Line the carton with " + Text(walls_) + " of padding: bottom, walls and top.");
    }
    for (const PackingBlock& block : BlocksOf()) TellBlock(block);
    TellFilling();
  }

  std::vector<std::string> TakeSteps() { return std::move(steps_); }

  std::vector<std::size_t> StepsOfUnits() const {
    std::map<std::size_t, std::size_t> by_unit;
    for (const Put& one : put_) by_unit[one.placement.unit] = one.step;
    std::vector<std::size_t> out;
    if (candidate_.arrangement == nullptr) return out;
    for (const Placement& one : *candidate_.arrangement) out.push_back(by_unit[one.unit]);
    return out;
  }

 private:
  // What is told of a side of the carton: an end of it, the whole of it, or somewhere between.
  enum class Where : std::uint8_t { kBegin, kEnd, kWhole, kBetween };

  // Units that are in the carton, with the step that put them there.
  struct Put {
    Placement placement;
    std::size_t item = 0;
    std::size_t step = 0;
  };

  bool in_carton() const {
    return candidate_.packaging != nullptr && candidate_.packaging->kind == PackagingKind::kCarton;
  }

  // ---- words ----

  // Nobody lays a thing to a millionth of an inch.
  std::string Text(std::int64_t nm) const {
    const bool imperial = request_.side_units == UnitSystem::kImperial;
    const std::int64_t step =
        imperial ? Length::Inches(1).nanometres() / 100 : Length::Millimetres(1).nanometres() / 10;
    const std::int64_t rounded = static_cast<std::int64_t>(DivideRounded(nm, step, 1, RoundMode::kHalfUp)) * step;
    return Length::Nanometres(rounded > 0 ? rounded : nm).ToString(request_.side_units);
  }

  static std::string Joined(const std::vector<std::string>& parts) {
    std::string out;
    for (std::size_t i = 0; i < parts.size(); ++i) {
      out += (i == 0 ? "" : i + 1 < parts.size() ? ", " : " and ") + parts[i];
    }
    return out;
  }

  std::string NameOf(std::size_t item) const {
    const std::string& title = request_.goods[item].title;
    return title.empty() ? "item " + std::to_string(item + 1) : "\"" + title + "\"";
  }

  // "\"Board game\"", "all 3 of item 1", "2 more of item 1"
  std::string GoodsText(const PackingBlock& block) const {
    const auto quantity = static_cast<std::size_t>(request_.goods[block.item].quantity);
    const std::size_t n = block.units.size();
    if (quantity == 1) return NameOf(block.item);
    if (n == quantity) return (n == 2 ? "both of " : "all " + std::to_string(n) + " of ") + NameOf(block.item);
    const bool first = told_[block.item] == 0;
    if (n == 1) return (first ? "one of " : "another of ") + NameOf(block.item);
    return std::to_string(n) + (first ? " of " : " more of ") + NameOf(block.item);
  }

  bool Padded(std::size_t item) const { return request_.goods[item].contents.Has(Trait::kFragile); }
  // What is kept free between an item and the carton.
  std::int64_t KeptFree(std::size_t item) const { return Padded(item) ? std::max(padding_, walls_) : walls_; }

  // ---- steps ----

  void TellCut() {
    const std::string& title = candidate_.packaging->title;
    const std::string name = title.empty() ? candidate_.packaging->code : title;
    steps_.push_back("Cut the carton " + (name.empty() ? "" : "\"" + name + "\" ") + "down to a height of " +
                     candidate_.cut_to->ToString(request_.side_units) + " outside; inside it is then " +
                     Text(inside_[2]) + " high.");
  }

  std::vector<PackingBlock> BlocksOf() const {
    std::vector<std::size_t> items;
    std::vector<std::int64_t> gaps;
    for (std::size_t i = 0; i < request_.goods.size(); ++i) {
      items.insert(items.end(), static_cast<std::size_t>(request_.goods[i].quantity), i);
      gaps.push_back(Padded(i) ? padding_ : 0);
    }
    return PackingBlocks(*candidate_.arrangement, items, gaps).Find();
  }

  void TellBlock(const PackingBlock& block) {
    const bool several = block.units.size() > 1;
    std::string text = TurnedText(block);
    if (request_.goods[block.item].soft) {
      text += ", pressed to " + Text(*std::min_element(block.sides.begin(), block.sides.end()));
    }
    if (several) text += ", " + FormText(block);
    const std::string turned = LengthwiseText(block);
    if (!turned.empty()) text += ", " + turned;
    std::string hollow;
    // "Put the tin on the bottom", but "Lay it flat, on the bottom".
    const bool plain = text == "Put " + GoodsText(block);
    text += (plain ? " " : ", ") + BelowText(block, hollow);
    const std::string place = PlaceText(block);
    if (!place.empty()) text += ", " + place;
    if (Padded(block.item) && padding_ > 0) {
      text += ", with " + Text(padding_) + " of padding on every side of " + (several ? "each" : "it");
    }
    steps_.push_back(text + "." + hollow);
    told_[block.item] += block.units.size();
    for (const Placement& one : block.units) put_.push_back({one, block.item, steps_.size()});
  }

  // "Lay all 3 of item 1 flat", "Stand item 2 on its end, its 12 in side upright"
  std::string TurnedText(const PackingBlock& block) const {
    const std::string goods = GoodsText(block);
    std::array<std::int64_t, 3> sorted = block.sides;
    std::sort(sorted.begin(), sorted.end());
    const std::int64_t upright = block.sides[2];
    if (request_.goods[block.item].this_side_up) return "Put " + goods + " this side up";
    if (sorted[0] == sorted[2]) return "Put " + goods;
    if (upright == sorted[0]) return "Lay " + goods + " flat";
    const bool several = block.units.size() > 1;
    return "Stand " + goods + (several ? " on their " : " on its ") + (upright > sorted[1] ? "end" : "edge") +
           (several ? "s, their " : ", its ") + Text(upright) + (several ? " sides upright" : " side upright");
  }

  static std::string FormText(const PackingBlock& block) {
    constexpr std::string_view kAlone[] = {"side by side from left to right", "one behind the other",
                                           "one on the other"};
    constexpr std::string_view kAlong[] = {" from left to right", " from front to back", " high"};
    std::vector<std::string> parts;
    std::size_t last = 0;
    for (std::size_t axis = 0; axis < 3; ++axis) {
      if (block.count[axis] == 1) continue;
      parts.push_back(std::to_string(block.count[axis]) + std::string(kAlong[axis]));
      last = axis;
    }
    return parts.size() == 1 ? std::string(kAlone[last]) : Joined(parts);
  }

  // Which way the longer of the sides that lie runs.
  std::string LengthwiseText(const PackingBlock& block) const {
    if (block.sides[0] == block.sides[1]) return "";
    const bool across = block.sides[0] > block.sides[1];
    const bool several = block.units.size() > 1;
    return (several ? "their " : "its ") + Text(std::max(block.sides[0], block.sides[1])) +
           (several ? " sides " : " side ") + (across ? "from left to right" : "from front to back");
  }

  Where WhereAlong(const PackingBlock& block, std::size_t axis) const {
    const std::int64_t free = KeptFree(block.item);
    const bool begin = block.at[axis] <= free;
    const bool end = inside_[axis] - block.end[axis] <= free;
    if (begin && end) return Where::kWhole;
    return begin ? Where::kBegin : end ? Where::kEnd : Where::kBetween;
  }

  // "in the left front corner", "at the left, 3 in from the front"; nothing where it takes the whole floor.
  std::string PlaceText(const PackingBlock& block) const {
    constexpr std::string_view kEnds[2][2] = {{"left", "right"}, {"front", "back"}};
    std::vector<std::string> ends;
    std::vector<std::string> between;
    for (std::size_t axis = 0; axis < 2; ++axis) {
      const Where where = WhereAlong(block, axis);
      if (where == Where::kBegin || where == Where::kEnd) {
        ends.emplace_back(kEnds[axis][where == Where::kEnd ? 1 : 0]);
      } else if (where == Where::kBetween) {
        between.push_back(Text(block.at[axis]) + " from the " + std::string(kEnds[axis][0]));
      }
    }
    if (ends.size() == 2) return "in the " + ends[0] + " " + ends[1] + " corner";
    if (!ends.empty()) between.insert(between.begin(), "at the " + ends.front());
    return Joined(between);
  }

  // On what it rests. `hollow` says what to fill below it first.
  std::string BelowText(const PackingBlock& block, std::string& hollow) const {
    const std::int64_t free = KeptFree(block.item);
    if (block.at[2] <= free) return free > 0 ? "on the padding of the bottom" : "on the bottom";
    std::vector<std::size_t> below;
    Int128 covered = 0;
    for (std::size_t i = 0; i < put_.size(); ++i) {
      const Placement& under = put_[i].placement;
      const std::int64_t apart = block.at[2] - (under.at[2] + under.sides[2]);
      const bool padded = Padded(block.item) || Padded(put_[i].item);
      if (apart < 0 || apart > (padded ? padding_ : 0)) continue;
      Int128 area = 0;
      for (std::size_t n = 0; n < block.per_layer(); ++n) area += SharedArea(block.units[n], under);
      if (area > 0) below.push_back(i);
      covered += area;
    }
    const Int128 whole = Int128(block.sides[0]) * block.sides[1] * static_cast<std::int64_t>(block.per_layer());
    if (below.empty()) {
      hollow = " First fill what is hollow below.";
      return "on filling, " + Text(block.at[2]) + " above the bottom";
    }
    if (covered < whole) hollow = " First fill what is hollow below the rest.";
    return "on top of " + NamesBelow(below);
  }

  // How much of the outlines, seen from above, the two share.
  static Int128 SharedArea(const Placement& a, const Placement& b) {
    Int128 area = 1;
    for (std::size_t axis = 0; axis < 2; ++axis) {
      const std::int64_t shared =
          std::min(a.at[axis] + a.sides[axis], b.at[axis] + b.sides[axis]) - std::max(a.at[axis], b.at[axis]);
      if (shared <= 0) return 0;
      area *= shared;
    }
    return area;
  }

  // Each by its name; by its step too where several steps put goods of that name.
  std::string NamesBelow(const std::vector<std::size_t>& below) const {
    std::vector<std::string> names;
    for (const std::size_t i : below) {
      const Put& one = put_[i];
      const bool in_steps = std::any_of(put_.begin(), put_.end(), [&one](const Put& other) {
        return other.item == one.item && other.step != one.step;
      });
      std::string name = NameOf(one.item) + (in_steps ? " of step " + std::to_string(one.step) : "");
      if (std::find(names.begin(), names.end(), name) == names.end()) names.push_back(std::move(name));
    }
    return Joined(names);
  }

  void TellFilling() {
    if (!in_carton()) {
      steps_.emplace_back("Wrap them together as they lie, and slide them in.");
      return;
    }
    Int128 left = 1;
    for (const std::int64_t side : inside_) left *= side;
    for (const Put& one : put_) {
      left -= Int128(one.placement.sides[0]) * one.placement.sides[1] * one.placement.sides[2];
    }
    if (left > 0) steps_.emplace_back("Fill what is left free, so that nothing moves.");
  }

  const Request& request_;
  const Candidate& candidate_;
  std::array<std::int64_t, 3> inside_ = {};
  std::int64_t padding_ = 0;
  std::int64_t walls_ = 0;
  std::vector<std::size_t> told_;  // Of each item, how many units.
  std::vector<Put> put_;
  std::vector<std::string> steps_;
};

}  // namespace internal

TW_INLINE GoodsUnit GoodsUnitOf(const Request& request, std::size_t unit) {
  GoodsUnit of{0, unit};
  while (of.item + 1 < request.goods.size() && of.unit >= static_cast<std::size_t>(request.goods[of.item].quantity)) {
    of.unit -= static_cast<std::size_t>(request.goods[of.item].quantity);
    ++of.item;
  }
  return of;
}

TW_INLINE std::array<Length, 3> InsideOf(const Candidate& candidate) {
  if (candidate.packaging == nullptr) return {};
  if (candidate.arrangement != nullptr && candidate.packaging->kind != PackagingKind::kCarton) return candidate.box;
  std::array<Length, 3> inside = candidate.packaging->inside;
  if (candidate.cut_to) inside[2] = inside[2] - (candidate.packaging->outside[2] - *candidate.cut_to);
  return inside;
}

TW_INLINE ToldPacking TellPacking(const Ranking& ranking, const Candidate& candidate) {
  internal::PackingTeller teller(ranking.request(), candidate);
  teller.Tell();
  return {teller.TakeSteps(), teller.StepsOfUnits()};
}

TW_INLINE std::vector<std::string> PackingSteps(const Ranking& ranking, const Candidate& candidate) {
  return TellPacking(ranking, candidate).steps;
}

TW_INLINE std::vector<std::size_t> StepsOfUnits(const Ranking& ranking, const Candidate& candidate) {
  return TellPacking(ranking, candidate).of_units;
}

}  // namespace tarewise::inline TW_VERSIONED

#endif  // TAREWISE_RANKING_INTERNAL_PACKING_STEPS_INL_H_
