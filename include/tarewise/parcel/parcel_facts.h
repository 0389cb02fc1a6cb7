#ifndef TAREWISE_PARCEL_PARCEL_FACTS_H_
#define TAREWISE_PARCEL_PARCEL_FACTS_H_

#include <array>
#include <cstdint>
#include <span>
#include <string_view>

#include "tarewise/parcel/contents.h"
#include "tarewise/parcel/kinds.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

/// A sealed parcel as pricing sees it. Views only: whoever holds the parcel keeps the strings alive.
struct ParcelFacts {
  std::int64_t weight = 0;                 ///< Gross, ng.
  std::array<std::int64_t, 3> sides = {};  ///< Outside, nm, longest first.
  Shape shape = Shape::kBox;
  PackagingKind kind = PackagingKind::kCarton;
  std::string_view packaging;  ///< Code; empty: the seller's own, not named.
  std::string_view issued_by;  ///< Carrier; empty: the seller's own.
  bool rigid = false;
  const Contents* contents = nullptr;      ///< Of all items.
  std::span<const Contents* const> items;  ///< Of each.
  bool irregular() const { return shape == Shape::kTube || shape == Shape::kIrregular; }
};

}  // namespace tarewise::inline TW_VERSIONED

#endif  // TAREWISE_PARCEL_PARCEL_FACTS_H_
