// What a run takes as columns and gives back, whatever its threads, elements and strides. On the demonstration, which
// is invented.

#include "tarewise/batch/reprice.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <cstring>
#include <limits>
#include <string>
#include <utility>
#include <vector>

#include "gtest/gtest.h"
#include "support/reprice_support.h"
#include "tarewise/batch/internal/convert.h"
#include "tarewise/documents/load.h"

namespace tarewise::reprice_columns_test {
namespace {

using namespace reprice_test;  // NOLINT

// What is worked out once against every packaging and service looked at again for each row, on all lanes.
TEST(Reprice, OneByOneIsTheSame) {
  const absl::StatusOr<Repricer> repricer = Repricer::Create(DemoSetup());
  ASSERT_TRUE(repricer.ok()) << repricer.status();
  const std::vector<Contents> classes = SomeContents();
  Random random(15);
  const Table table = NearThresholds(*repricer, classes, 3'000, random);
  Columns fast;
  Columns slow;
  ASSERT_TRUE(repricer->Run(table.Columns(classes), fast.Make(3'000, 9)).ok());
  ASSERT_TRUE(repricer->Run(table.Columns(classes), slow.Make(3'000, 9), {.one_by_one = true}).ok());
  EXPECT_TRUE(fast == slow);
}

TEST(Reprice, ThreadsGiveTheSameBytes) {
  RepriceSetup setup = DemoSetup();
  setup.shares = {5, 10, 15, 20, 10, 10, 20, 1, 0};
  const std::vector<Contents> classes = SomeContents();
  Random random(16);
  const absl::StatusOr<Repricer> first = Repricer::Create(setup);
  ASSERT_TRUE(first.ok()) << first.status();
  const std::size_t rows = 24'000 / kFewer;
  const Table table = NearThresholds(*first, classes, rows, random);
  const std::vector<std::int64_t> levels = {0, 500'000, 950'000, 1'000'000};
  Columns one;
  ASSERT_TRUE(first->Run(table.Columns(classes), one.Make(rows, 9, true, levels)).ok());
  for (const unsigned threads : {2u, 4u, 0u}) {
    // A new one, so that several threads work the same things out at once.
    const absl::StatusOr<Repricer> other = Repricer::Create(setup);
    ASSERT_TRUE(other.ok());
    Columns many;
    ASSERT_TRUE(other->Run(table.Columns(classes), many.Make(rows, 9, true, levels), {.threads = threads}).ok());
    EXPECT_TRUE(one == many) << threads << " threads";
  }
}

TEST(Reprice, ElementsAndStridesAreTheSameGoods) {
  const absl::StatusOr<Repricer> repricer = Repricer::Create(DemoSetup());
  ASSERT_TRUE(repricer.ok()) << repricer.status();
  const Catalogue& catalogue = DemoCatalogue();
  const std::size_t rows = catalogue.ounces.size();
  Columns doubles;
  ASSERT_TRUE(repricer->Run(catalogue.Columns(), doubles.Make(rows, 9)).ok());

  // The same as whole base units: a tenth of an ounce is 2,834,952,312.5 ng, rounded half up.
  std::vector<std::int64_t> nanograms;
  std::array<std::vector<std::int64_t>, 3> nanometres;
  std::vector<std::int32_t> cents;
  for (std::size_t i = 0; i < rows; ++i) {
    const std::int64_t tenths = std::llround(catalogue.ounces[i] * 10);
    ASSERT_NEAR(catalogue.ounces[i] * 10, static_cast<double>(tenths), 1e-9);
    nanograms.push_back((tenths * kNanogramsPerOunce + 5) / 10);
    for (std::size_t k = 0; k < 3; ++k) {
      nanometres[k].push_back(std::llround(catalogue.inches[k][i] * 1000) * 25'400);
    }
    cents.push_back(static_cast<std::int32_t>(std::llround(catalogue.dollars[i] * 100)));
  }
  GoodsColumns goods = catalogue.Columns();
  goods.weight = Column::Of(nanograms);
  for (std::size_t k = 0; k < 3; ++k) goods.sides[k] = Column::Of(nanometres[k]);
  goods.value = Column::Of(cents, 10'000);
  Columns wholes;
  ASSERT_TRUE(repricer->Run(goods, wholes.Make(rows, 9)).ok());
  EXPECT_TRUE(doubles == wholes);

  // Side by side in packed records of no alignment, some backwards, sides as 32-bit thousandths of an inch.
  struct Packed {
    char bytes[29];
  };
  std::vector<Packed> records(rows);
  for (std::size_t i = 0; i < rows; ++i) {
    char* at = records[rows - 1 - i].bytes;
    std::memcpy(at + 1, &catalogue.ounces[i], 8);
    for (std::size_t k = 0; k < 3; ++k) {
      const std::uint32_t mils = static_cast<std::uint32_t>(std::llround(catalogue.inches[k][i] * 1000));
      std::memcpy(at + 9 + 4 * k, &mils, 4);
    }
    const std::int16_t quantity = static_cast<std::int16_t>(catalogue.quantity[i]);
    std::memcpy(at + 21, &quantity, 2);
    const std::uint16_t contents = static_cast<std::uint16_t>(catalogue.contents[i]);
    std::memcpy(at + 23, &contents, 2);
    at[25] = static_cast<char>(catalogue.shape[i]);
    at[26] = static_cast<char>(catalogue.up[i] * 7);
    at[27] = static_cast<char>(catalogue.rigid[i]);
    at[28] = static_cast<char>(catalogue.bare[i]);
  }
  const char* last = records.back().bytes;
  const std::ptrdiff_t stride = -static_cast<std::ptrdiff_t>(sizeof(Packed));
  GoodsColumns packed;
  packed.rows = rows;
  packed.weight = {last + 1, stride, Element::kFloat64, kNanogramsPerOunce};
  for (std::size_t k = 0; k < 3; ++k) packed.sides[k] = {last + 9 + 4 * k, stride, Element::kUint32, 25'400};
  packed.quantity = {last + 21, stride, Element::kInt16, 1};
  packed.value = Column::Of(cents, 10'000);
  packed.contents = {last + 23, stride, Element::kUint16, 1};
  packed.contents_classes = catalogue.classes;
  packed.shape = {last + 25, stride, Element::kUint8, 1};
  packed.this_side_up = {last + 26, stride, Element::kInt8, 1};
  packed.rigid = {last + 27, stride, Element::kUint8, 1};
  packed.bare = {last + 28, stride, Element::kUint8, 1};
  Columns strided;
  ASSERT_TRUE(repricer->Run(packed, strided.Make(rows, 9)).ok());
  EXPECT_TRUE(doubles == strided);
}

TEST(Reprice, OneValueIsRepeated) {
  const absl::StatusOr<Repricer> repricer = Repricer::Create(DemoSetup());
  ASSERT_TRUE(repricer.ok()) << repricer.status();
  const double ounces = 11.3;
  const float inches[3] = {14.0F, 9.0F, 5.0F};
  const std::vector<std::int64_t> weights(1'000, Weight::Parse("11.3 oz")->nanograms());
  GoodsColumns repeated;
  repeated.rows = 1'000;
  repeated.weight = Column::Repeat(ounces, kNanogramsPerOunce);
  for (std::size_t k = 0; k < 3; ++k) repeated.sides[k] = Column::Repeat(inches[k], kNanometresPerInch);
  GoodsColumns given = repeated;
  given.weight = Column::Of(weights);
  Columns a;
  Columns b;
  ASSERT_TRUE(repricer->Run(repeated, a.Make(1'000, 9)).ok());
  ASSERT_TRUE(repricer->Run(given, b.Make(1'000, 9)).ok());
  EXPECT_TRUE(a == b);
  for (std::size_t i = 9; i < a.total.size(); ++i) ASSERT_EQ(a.total[i], a.total[i % 9]);
  EXPECT_GT(a.total[0], 0);
}

// Floating point is taken in whole millionths of the unit, ties away from 0, and those exactly, half up.
TEST(Reprice, FloatingPointBecomesExact) {
  struct {
    double value;
    std::int64_t unit;
    std::int64_t want;
  } const kCases[] = {
      {11.3, kNanogramsPerOunce, Weight::Parse("11.3 oz")->nanograms()},
      {0.1, kNanogramsPerOunce, 2'834'952'313},  // 2,834,952,312.5 up
      {16.000001, kNanogramsPerOunce, Weight::Parse("16.000001 oz")->nanograms()},
      {12.375, kNanometresPerInch, Length::Parse("12.375 in")->nanometres()},
      {1.0078125, kNanometresPerInch, 25'598'450},  // 1,007,812.5 millionths exactly: one more, times 25.4 nm
      {0.0000005, kNanometresPerInch, 0},           // held as a little less than half a millionth
      {0.00000050000000000000009, kNanometresPerInch, 25},
      {0.00000049, kNanometresPerInch, 0},
      {19.99, kMicrosPerUnit, 19'990'000},
      {2.675, kMicrosPerUnit, 2'675'000},
      {220'462.26, kNanogramsPerPound, Weight::Parse("220462.26 lb")->nanograms()},
      {-0.0, kMicrosPerUnit, 0},
  };
  for (const auto& one : kCases) {
    EXPECT_EQ(internal::UnitScale(one.unit)(one.value), one.want) << one.value;
  }
  for (const double bad : {std::numeric_limits<double>::quiet_NaN(), std::numeric_limits<double>::infinity(),
                           -std::numeric_limits<double>::infinity(), -1e-3, 1e300, -1e300}) {
    EXPECT_EQ(internal::UnitScale(kNanogramsPerOunce)(bad), internal::kNotAQuantity) << bad;
  }
}

TEST(Reprice, BadRowsGetTheirReasonAndStopNothing) {
  const absl::StatusOr<Repricer> repricer = Repricer::Create(DemoSetup());
  ASSERT_TRUE(repricer.ok()) << repricer.status();
  constexpr double kNan = std::numeric_limits<double>::quiet_NaN();
  struct Row {
    double weight = 20;
    double sides[3] = {8, 6, 4};
    std::int64_t quantity = 1;
    double value = 10;
    std::int64_t contents = 0;
    std::int32_t shape = 0;
    bool bare = false;
    bool missing = false;
    RowReason reason = RowReason::kPriced;
  };
  const std::vector<Row> rows = {
      {},
      {.weight = kNan, .reason = RowReason::kBadWeight},
      {.weight = 0, .reason = RowReason::kBadWeight},
      {.weight = -4, .reason = RowReason::kBadWeight},
      {.weight = std::numeric_limits<double>::infinity(), .reason = RowReason::kBadWeight},
      {.weight = 3'600'000, .reason = RowReason::kBadWeight},
      {.weight = 40'000, .quantity = 100, .reason = RowReason::kBadWeight},
      {},
      {.sides = {8, kNan, 4}, .reason = RowReason::kBadSide},
      {.sides = {0, 6, 4}, .reason = RowReason::kBadSide},
      {.sides = {8, 6, -1}, .reason = RowReason::kBadSide},
      {.sides = {8, 6, 2'000}, .reason = RowReason::kBadSide},
      {.sides = {90, 90, 90}, .quantity = 100, .bare = true, .reason = RowReason::kBadSide},
      {.quantity = 0, .reason = RowReason::kBadQuantity},
      {.quantity = -1, .reason = RowReason::kBadQuantity},
      {.quantity = 10'001, .reason = RowReason::kBadQuantity},
      {.quantity = std::int64_t{1} << 32, .reason = RowReason::kBadQuantity},
      {.value = -0.01, .reason = RowReason::kBadValue},
      {.value = kNan, .reason = RowReason::kBadValue},
      {.value = 1'000'000'001, .reason = RowReason::kBadValue},
      {.quantity = 2, .value = 600'000'000, .reason = RowReason::kBadValue},
      {.contents = 1 << 12, .reason = RowReason::kBadContents},
      {.contents = -1, .reason = RowReason::kBadContents},
      {.shape = 5, .reason = RowReason::kBadShape},
      {.shape = -1, .reason = RowReason::kBadShape},
      {.sides = {60, 40, 40}, .reason = RowReason::kFitsNothing},
      {.weight = 4'000, .reason = RowReason::kOfferedNowhere},
      {.missing = true, .reason = RowReason::kMissing},
      {.weight = kNan, .quantity = 0, .missing = true, .reason = RowReason::kMissing},
      {.weight = kNan, .sides = {0, 0, 0}, .quantity = 0, .reason = RowReason::kBadWeight},
      {},
  };
  auto column = [&rows]<typename T>(T Row::*member, std::int64_t unit = 1) {
    return Column{&(rows[0].*member), sizeof(Row), ElementOf<T>(), unit};
  };
  GoodsColumns goods;
  goods.rows = rows.size();
  goods.weight = column(&Row::weight, kNanogramsPerOunce);
  for (std::size_t k = 0; k < 3; ++k) {
    goods.sides[k] = {&rows[0].sides[k], sizeof(Row), Element::kFloat64, kNanometresPerInch};
  }
  goods.quantity = column(&Row::quantity);
  goods.value = column(&Row::value, kMicrosPerUnit);
  goods.contents = column(&Row::contents);
  goods.shape = column(&Row::shape);
  goods.bare = column(&Row::bare);
  goods.missing = column(&Row::missing);
  Columns got;
  ASSERT_TRUE(repricer->Run(goods, got.Make(rows.size(), 9)).ok());
  for (std::size_t i = 0; i < rows.size(); ++i) {
    EXPECT_EQ(NameOf(static_cast<RowReason>(got.reason[i])), NameOf(rows[i].reason)) << "row " << i;
    const bool priced = rows[i].reason == RowReason::kPriced;
    EXPECT_EQ(got.worst_lane[i] >= 0, priced) << "row " << i;
    for (std::size_t lane = 0; lane < 9; ++lane) {
      if (priced) {
        EXPECT_EQ(got.total[i * 9 + lane], got.total[lane]);
      } else {
        EXPECT_EQ(got.total[i * 9 + lane], kNoTotal);
        EXPECT_EQ(got.second[i * 9 + lane], kNoTotal);
        EXPECT_EQ(got.service[i * 9 + lane], -1);
        EXPECT_EQ(got.packaging[i * 9 + lane], -1);
      }
    }
  }
}

TEST(Reprice, ContentsPastTheClassesAreBad) {
  const absl::StatusOr<Repricer> repricer = Repricer::Create(DemoSetup());
  ASSERT_TRUE(repricer.ok()) << repricer.status();
  const std::vector<Contents> classes = SomeContents();
  const std::vector<std::int32_t> numbers = {0, static_cast<std::int32_t>(classes.size()) - 1,
                                             static_cast<std::int32_t>(classes.size()), -1};
  const std::int64_t weight = kNanogramsPerPound;
  const std::int64_t side = kNanometresPerInch;
  GoodsColumns goods;
  goods.rows = numbers.size();
  goods.weight = Column::Repeat(weight);
  for (Column& column : goods.sides) column = Column::Repeat(side);
  goods.contents = Column::Of(numbers);
  goods.contents_classes = classes;
  Columns got;
  ASSERT_TRUE(repricer->Run(goods, got.Make(numbers.size(), 9)).ok());
  EXPECT_EQ(got.reason, (std::vector<std::uint8_t>{0, 0, 6, 6}));
}

TEST(Reprice, MistakesInTheCallAreErrors) {
  const absl::StatusOr<Repricer> repricer = Repricer::Create(DemoSetup());
  ASSERT_TRUE(repricer.ok()) << repricer.status();
  const GoodsColumns good = DemoCatalogue().Columns();
  Columns got;
  const RepriceResults results = got.Make(good.rows, 9);
  const Columns untouched = got;
  auto fails = [&](const GoodsColumns& goods, const RepriceResults& out, std::string_view word) {
    const absl::Status status = repricer->Run(goods, out);
    EXPECT_EQ(status.code(), absl::StatusCode::kInvalidArgument) << word;
    EXPECT_NE(status.message().find(std::string(word)), absl::string_view::npos) << status;
    EXPECT_TRUE(got == untouched);
  };
  GoodsColumns goods = good;
  goods.weight.data = nullptr;
  fails(goods, results, "weight");
  goods = good;
  goods.sides[2].data = nullptr;
  fails(goods, results, "height");
  goods = good;
  goods.sides[0].unit = 0;
  fails(goods, results, "unit");
  goods = good;
  goods.quantity = goods.weight;
  fails(goods, results, "quantity");
  RepriceResults out = results;
  out.expected = got.worst.data();
  fails(good, out, "shares");
  out = results;
  const std::vector<std::int64_t> levels = {1'000'001};
  out.levels = levels;
  fails(good, out, "levels");
  goods = {};
  EXPECT_TRUE(repricer->Run(goods, results).ok());
  EXPECT_TRUE(repricer->Run(good, {}).ok());

  for (const auto& [spoil, word] : std::vector<std::pair<std::function<void(RepriceSetup&)>, std::string>>{
           {[](RepriceSetup& setup) { setup.book = nullptr; }, "ratebook"},
           {[](RepriceSetup& setup) { setup.lanes.clear(); }, "lanes"},
           {[](RepriceSetup& setup) {
              setup.shares = {1, 2};
            },
            "shares"},
           {[](RepriceSetup& setup) { setup.shares.assign(9, 0); }, "shares"},
           {[](RepriceSetup& setup) { setup.shares.assign(9, -1); }, "shares"},
           {[](RepriceSetup& setup) { setup.padding = Length::Nanometres(-1); }, "padding"},
           {[](RepriceSetup& setup) { setup.fill_weight = Weight::Nanograms(-1); }, "fill_weight"},
           {[](RepriceSetup& setup) { setup.allowance.most = Weight(); }, "allowance"},
           {[](RepriceSetup& setup) {
              setup.shipment.extras = {"signature", "signature"};
            },
            "signature"}}) {
    RepriceSetup setup = DemoSetup();
    spoil(setup);
    const absl::StatusOr<Repricer> bad = Repricer::Create(setup);
    ASSERT_FALSE(bad.ok()) << word;
    EXPECT_NE(bad.status().message().find(word), absl::string_view::npos) << bad.status();
  }
}

TEST(Reprice, ProgressIsToldAndStops) {
  const absl::StatusOr<Repricer> repricer = Repricer::Create(DemoSetup());
  ASSERT_TRUE(repricer.ok()) << repricer.status();
  const std::size_t rows = 40'000;
  const std::int64_t weight = kNanogramsPerPound;
  const std::int64_t side = 4 * kNanometresPerInch;
  GoodsColumns goods;
  goods.rows = rows;
  goods.weight = Column::Repeat(weight);
  for (Column& column : goods.sides) column = Column::Repeat(side);
  for (const unsigned threads : {1u, 2u}) {
    Columns got;
    std::vector<std::size_t> told;
    RepriceOptions options;
    options.threads = threads;
    options.progress = [&told](std::size_t done) {
      told.push_back(done);
      return true;
    };
    ASSERT_TRUE(repricer->Run(goods, got.Make(rows, 9), options).ok());
    ASSERT_GT(told.size(), 3u);
    EXPECT_TRUE(std::is_sorted(told.begin(), told.end()));
    EXPECT_EQ(told.back(), rows);

    options.progress = [](std::size_t) { return false; };
    const absl::Status stopped = repricer->Run(goods, got.Make(rows, 9), options);
    EXPECT_EQ(stopped.code(), absl::StatusCode::kCancelled);
    // Some rows are done and whole, the rest untouched.
    EXPECT_GT(got.total.front(), 0);
    EXPECT_EQ(got.total.back(), -77);
    EXPECT_EQ(got.reason.back(), 77);
    for (std::size_t i = 0; i < rows; ++i) {
      ASSERT_EQ(got.reason[i] == 77, got.total[i * 9] == -77);
      ASSERT_EQ(got.reason[i] == 77, got.packaging[i * 9 + 8] == -77);
    }
  }
}

// ---- a destination mix ----

TEST(Reprice, MixesAreExact) {
  RepriceSetup setup = DemoSetup();
  setup.lanes.push_back(LaneTo("US", "98101"));  // the same place twice is one place with both shares
  setup.lanes.push_back(LaneTo("US", "05602"));
  setup.shares = {50'000, 99'999, 1, 150'000, 33'333, 66'667, 250'000, 0, 50'000, 200'000, 100'000};
  const absl::StatusOr<Repricer> repricer = Repricer::Create(setup);
  ASSERT_TRUE(repricer.ok()) << repricer.status();
  EXPECT_LT(repricer->lane_classes(), repricer->lanes().size());
  const std::size_t lanes = setup.lanes.size();
  const GoodsColumns goods = DemoCatalogue().Columns();
  const std::vector<std::int64_t> levels = {0, 1, 250'000, 500'000, 899'999, 1'000'000};
  Columns got;
  ASSERT_TRUE(repricer->Run(goods, got.Make(goods.rows, lanes, true, levels)).ok());
  std::size_t known = 0;
  for (std::size_t row = 0; row < goods.rows; ++row) {
    Int128 sum = 0;
    Int128 shares = 0;
    bool all = true;
    std::vector<std::pair<std::int64_t, std::int64_t>> totals;
    for (std::size_t lane = 0; lane < lanes; ++lane) {
      const std::int64_t total = got.total[row * lanes + lane];
      shares += setup.shares[lane];
      if (setup.shares[lane] == 0) continue;
      all = all && total != kNoTotal;
      sum += Int128(total) * setup.shares[lane];
      totals.emplace_back(total, setup.shares[lane]);
    }
    if (!all) {
      EXPECT_EQ(got.expected[row], kNoTotal);
      for (std::size_t i = 0; i < levels.size(); ++i) EXPECT_EQ(got.quantile[row * levels.size() + i], kNoTotal);
      continue;
    }
    ++known;
    // Half up to the cent: the greatest whole cent that is no more than the mean and half a cent.
    const Int128 cents = (sum * 2 + shares * 10'000) / (shares * 20'000);
    EXPECT_EQ(got.expected[row], static_cast<std::int64_t>(cents) * 10'000);
    std::sort(totals.begin(), totals.end());
    for (std::size_t i = 0; i < levels.size(); ++i) {
      Int128 reached = 0;
      std::int64_t quantile = kNoTotal;
      for (const auto& [total, share] : totals) {
        reached += share;
        quantile = total;
        if (reached * 1'000'000 >= Int128(levels[i]) * shares) break;
      }
      EXPECT_EQ(got.quantile[row * levels.size() + i], quantile) << row << " " << levels[i];
    }
  }
  EXPECT_GT(known, 2'000u);
}

}  // namespace
}  // namespace tarewise::reprice_columns_test
