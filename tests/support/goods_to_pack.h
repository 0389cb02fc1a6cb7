#ifndef TAREWISE_TESTS_SUPPORT_GOODS_TO_PACK_H_
#define TAREWISE_TESTS_SUPPORT_GOODS_TO_PACK_H_

// Goods, a carton and a shelf in a few words, for tests of packing. All of it is invented.

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <memory>
#include <optional>
#include <string_view>
#include <utility>
#include <vector>

#include "tarewise/parcel/dimensions.h"
#include "tarewise/parcel/item.h"
#include "tarewise/parcel/packaging.h"
#include "tarewise/units/length.h"
#include "tarewise/units/money.h"
#include "tarewise/units/weight.h"

namespace tarewise::testing {

/// Of 9 oz each; "10 x 8 x 2 in".
inline Item ThingOf(std::string_view sides, std::int32_t quantity = 1) {
  Item item;
  item.weight = Weight::Ounces(9);
  const std::vector<Length> read = *ParseSides(sides, 3);
  std::copy(read.begin(), read.end(), item.sides.begin());
  item.quantity = quantity;
  return item;
}

/// `wall` thick all round.
inline Packaging CartonOf(std::string_view inside, std::string_view wall) {
  Packaging carton;
  carton.code = "carton";
  carton.wall = *Length::Parse(wall);
  const std::vector<Length> read = *ParseSides(inside, 3);
  for (std::size_t i = 0; i < 3; ++i) {
    carton.inside[i] = read[i];
    carton.outside[i] = read[i] + carton.wall + carton.wall;
  }
  return carton;
}

/// With that packaging alone, in US dollars.
inline std::shared_ptr<const Shelf> ShelfWith(Packaging packaging) {
  auto shelf = std::make_shared<Shelf>();
  shelf->currency = *Currency::Parse("USD");
  shelf->own.push_back({std::move(packaging), std::nullopt});
  return shelf;
}

}  // namespace tarewise::testing

#endif  // TAREWISE_TESTS_SUPPORT_GOODS_TO_PACK_H_
