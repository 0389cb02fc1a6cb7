#ifndef TAREWISE_TESTS_SUPPORT_DEMO_GOODS_H_
#define TAREWISE_TESTS_SUPPORT_DEMO_GOODS_H_

// The demonstration's tables, made ready, and goods to send, for tests and benchmarks. All of it is invented; see
// tables/README.md.

#include <array>
#include <cstddef>
#include <cstdint>
#include <initializer_list>
#include <iterator>
#include <memory>
#include <span>
#include <sstream>
#include <string>
#include <string_view>
#include <type_traits>
#include <utility>
#include <vector>

#include "support/catalogue.h"
#include "support/random.h"
#include "support/stop.h"
#include "tarewise/batch/columns.h"
#include "tarewise/batch/setup.h"
#include "tarewise/documents/load.h"
#include "tarewise/pricing/ratebook.h"
#include "tarewise/ranking/request.h"

namespace tarewise::testing {

// ---- tables ----

/// Reads a folder of tables; stops the program with its findings where there are errors.
inline Tables LoadTables(const std::string& folder) {
  Loaded<Tables> loaded = ReadFolder(folder);
  if (loaded.ok()) return *std::move(loaded.value);
  std::string message = folder + " cannot be read:";
  for (const Diagnostic& diagnostic : loaded.diagnostics) message += "\n" + diagnostic.ToString();
  Stop(message);
}

struct Compiled {
  std::shared_ptr<const Ratebook> book;
  std::shared_ptr<const Shelf> shelf;  ///< Nothing: estimates.
};

/// Stops the program where no ratebook can be made of them; `name` is for its message.
inline Compiled Compile(Tables tables, const std::string& name = "tables") {
  Compiled compiled;
  if (tables.shelf) compiled.shelf = std::make_shared<const Shelf>(*std::move(tables.shelf));
  absl::StatusOr<std::shared_ptr<const Ratebook>> book = Ratebook::Create(
      std::move(tables.tariffs), std::move(tables.terms), std::move(tables.gazetteer), std::move(tables.seller));
  if (!book.ok()) Stop(name + ": " + book.status().ToString());
  compiled.book = *std::move(book);
  return compiled;
}

inline std::string DemoFolder() { return TW_TEST_ROOT "/tables/demo"; }

/// The demonstration, read and made ready once.
inline const Tables& DemoTables() {
  static const Tables tables = LoadTables(DemoFolder());
  return tables;
}
inline const Compiled& Demo() {
  static const Compiled compiled = Compile(DemoTables());
  return compiled;
}

// ---- lanes, and what is asked of them ----

/// The day of most tests, inside the second edition of each of the demonstration's carriers.
inline Date DemoDay() { return *Date::Parse("2026-08-03"); }

/// From the demonstration's seller.
inline Lane LaneTo(std::string_view country, std::string_view code, bool residential = true) {
  return {*Place::Make("US", "05401"), *Place::Make(country, code, residential)};
}
inline std::vector<Lane> LanesToHomes(std::initializer_list<std::string_view> codes) {
  std::vector<Lane> lanes;
  for (const std::string_view code : codes) lanes.push_back(LaneTo("US", code));
  return lanes;
}

/// On the day of most tests, in US dollars.
inline Request RequestOn(Lane lane) {
  Request request;
  request.lane = std::move(lane);
  request.date = DemoDay();
  request.currency = *Currency::Parse("USD");
  return request;
}
inline RepriceSetup SetupOn(std::vector<Lane> lanes, const Compiled& tables = Demo()) {
  RepriceSetup setup;
  setup.book = tables.book;
  setup.shelf = tables.shelf;
  setup.shipment.date = DemoDay();
  setup.shipment.currency = *Currency::Parse("USD");
  setup.lanes = std::move(lanes);
  return setup;
}

// ---- goods ----

/// The goods of a row of the catalogue, exactly.
inline Item ItemOf(const CatalogueRow& row) {
  Item item;
  item.weight = Weight::Parse(row.weight).value();
  for (std::size_t i = 0; i < 3; ++i) item.sides[i] = Length::Parse(row.sides[i]).value();
  item.quantity = row.quantity;
  item.value = Amount::Parse(row.value).value();
  std::istringstream words(row.contents);
  for (std::string word; words >> word;) {
    if (!item.contents.Add(word).ok()) Stop(row.sku + ": found contents " + word);
  }
  item.shape = ShapeFromName(row.shape).value();
  item.this_side_up = row.this_side_up;
  item.rigid = row.rigid;
  item.bare_allowed = row.bare;
  return item;
}

/// Goods in base units, a column each. A column that is left empty is left out.
struct GoodsTable {
  std::vector<std::int64_t> weight;                ///< ng.
  std::array<std::vector<std::int64_t>, 3> sides;  ///< nm.
  std::vector<std::int32_t> quantity;
  std::vector<std::int64_t> value;      ///< Millionths.
  std::vector<std::uint16_t> contents;  ///< Numbers of classes where there are some, else bits by `Trait`.
  std::vector<std::uint8_t> shape;
  std::vector<std::uint8_t> up;
  std::vector<std::uint8_t> rigid;
  std::vector<std::uint8_t> bare;

  std::size_t rows() const { return weight.size(); }

  void Add(const Item& item, std::uint16_t contents_number) {
    weight.push_back(item.weight.nanograms());
    for (std::size_t i = 0; i < 3; ++i) sides[i].push_back(item.sides[i].nanometres());
    quantity.push_back(item.quantity);
    value.push_back(item.value.micros());
    contents.push_back(contents_number);
    shape.push_back(static_cast<std::uint8_t>(item.shape));
    up.push_back(item.this_side_up ? 1 : 0);
    rigid.push_back(item.rigid ? 1 : 0);
    bare.push_back(item.bare_allowed ? 1 : 0);
  }

  GoodsColumns Columns(std::span<const Contents> classes = {}) const {
    auto given = [](const auto& values) { return values.empty() ? Column() : Column::Of(values); };
    GoodsColumns goods;
    goods.rows = rows();
    goods.weight = given(weight);
    for (std::size_t i = 0; i < 3; ++i) goods.sides[i] = given(sides[i]);
    goods.quantity = given(quantity);
    goods.value = given(value);
    goods.contents = given(contents);
    goods.shape = given(shape);
    goods.this_side_up = given(up);
    goods.rigid = given(rigid);
    goods.bare = given(bare);
    goods.contents_classes = classes;
    return goods;
  }

  /// A row of a table without classes as a request names it: weight and sides, and value and traits where it has them.
  Item At(std::size_t row) const {
    Item item;
    item.weight = Weight::Nanograms(weight[row]);
    for (std::size_t i = 0; i < 3; ++i) item.sides[i] = Length::Nanometres(sides[i][row]);
    if (!value.empty()) item.value = Amount::Micros(value[row]);
    for (unsigned bit = 0; bit < std::size(kTraitNames) && !contents.empty(); ++bit) {
      if ((contents[row] >> bit & 1u) != 0) item.contents.Add(static_cast<Trait>(bit));
    }
    return item;
  }
};

/// Goods, and how many of each go out in a month: as a number, or whole, in millionths.
template <typename Monthly>
struct MonthlyGoods : GoodsTable {
  std::vector<Monthly> monthly;
};

/// What bounds seeded goods.
struct Stock {
  std::int64_t most_weight;     ///< Tenths of an ounce, of every other good; the others weigh 20 oz at the most.
  std::int64_t most_side;       ///< Quarters of an inch, of one side in six; the others have 17.5 in at the most.
  std::int64_t most_value;      ///< Halves of a unit of money.
  std::size_t light_every = 0;  ///< One good in so many may weigh less than half an ounce, or nothing.
};

/// Goods from scale and tape: one in ten each is media, fragile, or lithium cells by themselves; up to 40 a month.
template <typename Monthly>
MonthlyGoods<Monthly> SeededGoods(std::uint64_t seed, std::size_t rows, const Stock& stock) {
  Random random(seed);
  auto pick = [&random](std::int64_t least, std::int64_t most) { return Pick(random, least, most); };
  MonthlyGoods<Monthly> goods;
  for (std::size_t i = 0; i < rows; ++i) {
    const std::int64_t least = stock.light_every > 0 && i % stock.light_every == 0 ? 0 : 5;
    goods.weight.push_back(pick(least, pick(0, 1) == 0 ? stock.most_weight : 200) * 2'834'952'313);
    for (auto& side : goods.sides) side.push_back(pick(4, pick(0, 5) == 0 ? stock.most_side : 70) * 6'350'000);
    goods.value.push_back(pick(0, stock.most_value) * 500'000);
    const std::int64_t kind = pick(0, 9);
    goods.contents.push_back(static_cast<std::uint16_t>(kind == 0 ? 1 : kind == 1 ? 1 << 2 : kind == 2 ? 1 << 6 : 0));
    const std::int64_t hundredths = pick(0, 4000);
    if constexpr (std::is_floating_point_v<Monthly>) {
      goods.monthly.push_back(static_cast<Monthly>(hundredths) / 100);
    } else {
      goods.monthly.push_back(hundredths * 10'000);
    }
  }
  return goods;
}

}  // namespace tarewise::testing

#endif  // TAREWISE_TESTS_SUPPORT_DEMO_GOODS_H_
