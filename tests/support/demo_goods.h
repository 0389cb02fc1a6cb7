#ifndef TAREWISE_TESTS_SUPPORT_DEMO_GOODS_H_
#define TAREWISE_TESTS_SUPPORT_DEMO_GOODS_H_

#include <cstdint>
#include <string>
#include <utility>
#include <vector>

#include "gtest/gtest.h"
#include "tarewise/batch/columns.h"
#include "tarewise/documents/load.h"

namespace tarewise::testing {

/// The demonstration's tables, read once; invented, see tables/README.md.
inline const Tables& DemoTables() {
  static const Tables tables = [] {
    Loaded<Tables> loaded = ReadFolder(std::string(TW_TEST_ROOT) + "/tables/demo");
    EXPECT_TRUE(loaded.ok());
    return std::move(loaded.value).value_or(Tables());
  }();
  return tables;
}

/// Goods in base units, and how many of each go out in a month.
template <typename Monthly>
struct MonthlyGoods {
  std::vector<std::int64_t> weight;    // ng
  std::vector<std::int64_t> sides[3];  // nm
  std::vector<std::int64_t> value;     // millionths
  std::vector<std::uint32_t> contents;
  std::vector<Monthly> monthly;

  GoodsColumns Columns() const {
    GoodsColumns columns;
    columns.rows = weight.size();
    columns.weight = Column::Of(weight);
    for (int i = 0; i < 3; ++i) columns.sides[i] = Column::Of(sides[i]);
    columns.value = Column::Of(value);
    columns.contents = Column::Of(contents);
    return columns;
  }
};

}  // namespace tarewise::testing

#endif  // TAREWISE_TESTS_SUPPORT_DEMO_GOODS_H_
