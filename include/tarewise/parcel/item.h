#ifndef TAREWISE_PARCEL_ITEM_H_
#define TAREWISE_PARCEL_ITEM_H_

#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "tarewise/parcel/contents.h"
#include "tarewise/parcel/dimensions.h"
#include "tarewise/parcel/kinds.h"
#include "tarewise/units/money.h"
#include "tarewise/units/percent.h"
#include "tarewise/units/weight.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

/// A side that is known only as a range: the side at `index` (as the sides are held) may be anything from its value
/// there to `most`.
struct SideRange {
  std::size_t index = 0;
  Length most;
};

/// Goods that give, as far as the seller is willing to press them: what no table has, and the seller measures.
struct Soft {
  Percent presses_to;  ///< What the volume at rest may be pressed to: more than 0, at most 100 %.
  Length
      least_thickness;  ///< Under which it does not go, however it is pressed: more than 0, at most the shortest side.
};

/// Goods that were sold: `quantity` (1 to 10,000) alike. Weight and value are of one of them. The sides stay in the
/// order written, because the third is the upright one under `this_side_up`.
///
///     Item record;
///     record.weight = Weight::Ounces(15);
///     record.sides = {Length::Inches(13), Length::Inches(13), Length::Inches(1)};
///     if (absl::Status status = record.contents.Add("media"); !status.ok()) return;
struct Item {
  Weight weight;
  std::array<Length, 3> sides = {};
  std::int32_t quantity = 1;
  Contents contents;
  Amount value;  ///< Declared value of one, in the request's currency; 0 where none is declared.
  Shape shape = Shape::kBox;
  bool this_side_up = false;
  bool rigid = false;
  bool bare_allowed = false;           ///< May be shipped with no packaging at all.
  std::optional<Weight> weight_most;   ///< The weight is a range: from `weight` to this.
  std::vector<SideRange> side_ranges;  ///< Sides that are ranges, at most one of each index.
  /// Which sides, in the order written, may be upright. With `this_side_up` the third alone may, whatever stands here.
  std::array<bool, 3> may_stand = {true, true, true};
  std::string title;            ///< For people, who are told how to pack it; nothing else is made of it.
  bool top_free = false;        ///< Nothing may be above one of them in a packaging, at any height.
  std::optional<Weight> bears;  ///< The most that the units above one of them may weigh together. Nothing: anything.
  /// Soft goods: `sides` are those of the folded good at rest. They have no range of sides, and neither `this_side_up`,
  /// a `may_stand`, `top_free`, `bears` nor `rigid`.
  std::optional<Soft> soft;
};

/// A parcel that is packed and closed: outside sides and gross weight.
struct Parcel {
  Weight weight;
  Dimensions sides;
  Shape shape = Shape::kBox;
  std::string packaging;  ///< A packaging's code; empty: the seller's own, not named.
  Contents contents;
  Amount value;
  bool rigid = false;
  std::optional<Weight> weight_most;   ///< As for an item.
  std::vector<SideRange> side_ranges;  ///< Indices into the sorted `sides`.
};

}  // namespace tarewise::inline TW_VERSIONED

#endif  // TAREWISE_PARCEL_ITEM_H_
