// Packing alone: C tells what C++ tells of goods in one packaging, and refuses every input that is wrong with its
// place.
#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <cstring>
#include <functional>
#include <limits>
#include <memory>
#include <string>
#include <utility>
#include <vector>

#include "support.h"
#include "tarewise/ranking/pack_goods.h"

namespace {

struct FreeArrangement {
  void operator()(tw_arrangement* arrangement) const { tw_arrangement_free(arrangement); }
};
using ArrangementPtr = std::unique_ptr<tw_arrangement, FreeArrangement>;

void SetSides(std::int64_t (&sides)[3], std::int64_t a, std::int64_t b, std::int64_t c) {
  sides[0] = a * TW_INCH, sides[1] = b * TW_INCH, sides[2] = c * TW_INCH;
}

struct Order {
  Order() {
    items[0] = items[1] = TW_ITEM_INIT;
    items[0].quantity = 3;
    items[0].weight_ng = 30 * TW_OUNCE;
    SetSides(items[0].sides_nm, 10, 8, 2);
    items[1].weight_ng = 9 * TW_OUNCE;
    items[1].flags = TW_TOP_FREE;
    SetSides(items[1].sides_nm, 5, 5, 5);
    SetSides(carton.inside_nm, 18, 12, 10);
    carton.wall_nm = 3 * TW_MILLIMETRE;
    carton.least_height_nm = 2 * TW_INCH;
  }
  tw_status Arrange() {
    tw_arrangement* made = nullptr;
    const tw_status status = tw_arrange(&made, items, count, &carton, &options, error.get());
    EXPECT_EQ(status == TW_OK, made != nullptr);
    arrangement.reset(made);
    return status;
  }
  tw_fit Fit() {
    EXPECT_EQ(Arrange(), TW_OK) << tw_error_message(error.get());
    tw_fit fit = TW_FIT_INIT;
    EXPECT_EQ(tw_arrangement_fit(&fit, arrangement.get(), nullptr), TW_OK);
    return fit;
  }
  std::vector<tw_arranged_unit> Units() {
    std::vector<tw_arranged_unit> units(Fit().unit_count);
    for (std::size_t i = 0; i < units.size(); ++i) {
      units[i] = TW_ARRANGED_UNIT_INIT;
      EXPECT_EQ(tw_arrangement_unit(&units[i], arrangement.get(), i, nullptr), TW_OK);
    }
    return units;
  }
  tw_status Check(const std::vector<tw_arranged_unit>& units, std::int32_t& keeps) {
    return tw_check_arrangement(&keeps, items, count, &carton, &options, units.data(), units.size(), error.get());
  }
  tw_item items[2];
  std::size_t count = 2;
  tw_packaging carton = TW_PACKAGING_INIT;
  tw_arrange_options options = TW_ARRANGE_OPTIONS_INIT;
  capi_test::ErrorPtr error = capi_test::NewError();
  ArrangementPtr arrangement;
};

tarewise::Request InCpp(const Order& order) {
  tarewise::Request request;
  for (const tw_item& from : order.items) {
    tarewise::Item item;
    item.weight = tarewise::Weight::Nanograms(from.weight_ng);
    for (std::size_t i = 0; i < 3; ++i) item.sides[i] = tarewise::Length::Nanometres(from.sides_nm[i]);
    item.quantity = from.quantity;
    item.top_free = (from.flags & TW_TOP_FREE) != 0;
    request.goods.push_back(std::move(item));
  }
  return request;
}

TEST(Arrange, IsWhatCppSays) {
  Order order;
  tarewise::Packaging carton;
  for (std::size_t i = 0; i < 3; ++i) {
    carton.inside[i] = tarewise::Length::Nanometres(order.carton.inside_nm[i]);
    carton.outside[i] = carton.inside[i] + tarewise::Length::Millimetres(6);
  }
  carton.least_height = tarewise::Length::Inches(2);
  const tarewise::Request request = InCpp(order);
  const absl::StatusOr<tarewise::Packing> cpp = tarewise::PackGoods(request, carton);
  ASSERT_TRUE(cpp.ok()) << cpp.status();
  ASSERT_TRUE(cpp->cut_height.has_value());
  const std::vector<tw_arranged_unit> units = order.Units();
  const tw_fit fit = order.Fit();
  EXPECT_EQ(fit.fit, TW_FIT_FITS);
  EXPECT_EQ(fit.proof, TW_PROOF_NONE);
  EXPECT_STREQ(fit.why, "");
  EXPECT_EQ(fit.cut_to_nm, *cpp->cut_height);
  EXPECT_EQ(std::memcmp(fit.sides_nm, cpp->outside.data(), sizeof fit.sides_nm), 0);
  EXPECT_EQ(std::memcmp(fit.room_nm, RoomOf(carton, *cpp).data(), sizeof fit.room_nm), 0);
  EXPECT_EQ(fit.room_nm[2], fit.cut_to_nm - 6 * TW_MILLIMETRE);
  ASSERT_EQ(units.size(), 4u);
  for (std::size_t i = 0; i < 4; ++i) {
    EXPECT_EQ(units[i].item * 3 + units[i].unit, cpp->placements[i].unit);
    EXPECT_EQ(std::memcmp(units[i].at_nm, cpp->placements[i].at.data(), sizeof units[i].at_nm), 0);
    EXPECT_EQ(std::memcmp(units[i].sides_nm, cpp->placements[i].sides.data(), sizeof units[i].sides_nm), 0);
  }
  const std::vector<std::string> steps = TellPacking(request, carton, *cpp).steps;
  ASSERT_EQ(tw_arrangement_step_count(order.arrangement.get()), steps.size());
  const char* step = nullptr;
  for (std::size_t i = 0; i < steps.size(); ++i) {
    ASSERT_EQ(tw_arrangement_step(&step, order.arrangement.get(), i, nullptr), TW_OK);
    EXPECT_EQ(step, steps[i]);
  }
  tw_arranged_unit unit = TW_ARRANGED_UNIT_INIT;
  EXPECT_EQ(tw_arrangement_unit(&unit, order.arrangement.get(), 4, nullptr), TW_E_INDEX);
  EXPECT_EQ(tw_arrangement_step(&step, order.arrangement.get(), steps.size(), nullptr), TW_E_INDEX);
}

TEST(Arrange, ARefusalHasItsProofAndWords) {
  const auto refused = [](auto change, std::int32_t proof, const char* why) {
    SCOPED_TRACE(why);
    Order order;
    order.carton.least_height_nm = 0;
    change(order);
    const tw_fit fit = order.Fit();
    EXPECT_EQ(fit.fit, TW_FIT_DOES_NOT_FIT);
    EXPECT_EQ(fit.proof, proof);
    EXPECT_STREQ(fit.why, why);
    EXPECT_EQ(fit.unit_count, 0u);
    EXPECT_EQ(fit.sides_nm[0] + fit.room_nm[0] + fit.cut_to_nm, 0);
    EXPECT_EQ(tw_arrangement_step_count(order.arrangement.get()), 0u);
  };
  refused([](Order& o) { SetSides(o.carton.inside_nm, 9, 9, 9); }, TW_PROOF_UNIT_TOO_LARGE,
          "the longest side is 10 in, the carton has 9 in");
  refused([](Order& o) { o.items[0].quantity = 30; }, TW_PROOF_VOLUME,
          "the goods fill 4925 in3, the carton holds 2160 in3");
  refused(
      [](Order& o) {
        o.count = 1;
        SetSides(o.items[0].sides_nm, 7, 7, 7);
        SetSides(o.carton.inside_nm, 13, 13, 13);
      },
      TW_PROOF_BOUND, "no arrangement of these 3 units goes in");
}

TEST(Arrange, AllStepsTakenIsUnknown) {
  Order order;
  order.items[0].quantity = 3;
  SetSides(order.items[0].sides_nm, 7, 5, 3);
  order.items[1].quantity = 3;
  order.items[1].flags = 0;
  SetSides(order.items[1].sides_nm, 6, 4, 4);
  SetSides(order.carton.inside_nm, 11, 9, 7);
  order.options.nodes = 1;
  const tw_fit fit = order.Fit();
  EXPECT_EQ(fit.fit, TW_FIT_UNKNOWN);
  EXPECT_EQ(fit.proof, TW_PROOF_NONE);
  EXPECT_STREQ(fit.why, "whether the goods fit is not known");
}

TEST(Arrange, PaddingAndUnitsAreTheOptions) {
  Order order;
  order.count = 1;
  order.items[0].quantity = 1;
  order.items[0].contents = TW_CONTENTS_FRAGILE;
  SetSides(order.carton.inside_nm, 12, 10, 4);
  EXPECT_EQ(order.Fit().fit, TW_FIT_FITS);
  order.options.has_padding = 1;
  order.options.padding_nm = TW_INCH + 1;
  EXPECT_EQ(order.Fit().fit, TW_FIT_DOES_NOT_FIT);
  EXPECT_EQ(order.Fit().proof, TW_PROOF_UNIT_TOO_LARGE);
  order.options.padding_nm = 0;
  order.options.side_units = TW_UNITS_METRIC;
  EXPECT_EQ(order.Fit().fit, TW_FIT_FITS);
  const char* step = nullptr;
  ASSERT_EQ(tw_arrangement_step(&step, order.arrangement.get(), 0, nullptr), TW_OK);
  EXPECT_NE(std::strstr(step, "cm"), nullptr) << step;
  tw_arrangement* made = nullptr;
  EXPECT_EQ(tw_arrange(&made, order.items, 1, &order.carton, nullptr, nullptr), TW_OK);
  tw_arrangement_free(made);
}

// One of a dispatch: with its wall, so that a mailer's parcel is what a ranking says.
TEST(Arrange, TakesThePackagingOfADispatch) {
  const capi_test::BookPtr book = capi_test::LoadBook();
  const capi_test::DispatchPtr dispatch =
      capi_test::NewDispatch(book.get(), tw_ratebook_shelf(book.get()), capi_test::Shipment());
  Order order;
  order.count = 1;
  order.items[0].quantity = 1;
  SetSides(order.items[0].sides_nm, 8, 5, 1);
  tw_request request = TW_REQUEST_INIT;
  request.items = order.items;
  request.item_count = 1;
  const capi_test::RankingPtr ranking = capi_test::NewRanking();
  ASSERT_EQ(tw_rank(ranking.get(), dispatch.get(), &request, nullptr), TW_OK);
  std::size_t kinds = 0;
  for (std::size_t i = 0; i < tw_ranking_offer_count(ranking.get()); ++i) {
    tw_offer offer = TW_OFFER_INIT;
    ASSERT_EQ(tw_ranking_offer(&offer, ranking.get(), i, nullptr), TW_OK);
    if (offer.packaging_index < 0) continue;
    ASSERT_EQ(
        tw_dispatch_packaging(&order.carton, dispatch.get(), static_cast<std::size_t>(offer.packaging_index), nullptr),
        TW_OK);
    if (order.carton.kind == TW_PACKAGING_BARE || offer.cut_to_nm != 0) continue;
    kinds |= std::size_t{1} << order.carton.kind;
    tw_fit fit = order.Fit();
    ASSERT_EQ(fit.fit, TW_FIT_FITS) << offer.packaging;
    std::sort(fit.sides_nm, fit.sides_nm + 3, std::greater<>());
    EXPECT_EQ(std::memcmp(fit.sides_nm, offer.sides_nm, sizeof fit.sides_nm), 0) << offer.packaging;
  }
  EXPECT_EQ(kinds & 3u, 3u);
}

TEST(Arrange, WhatIsSaidWronglyIsRefusedWithItsPlace) {
  const auto refused = [](auto spoil, tw_status status, const char* message, const char* place) {
    SCOPED_TRACE(message);
    Order order;
    spoil(order);
    EXPECT_EQ(order.Arrange(), status);
    EXPECT_NE(std::strstr(tw_error_message(order.error.get()), message), nullptr)
        << tw_error_message(order.error.get());
    tw_finding finding = TW_FINDING_INIT;
    ASSERT_EQ(tw_error_finding(&finding, order.error.get(), 0), TW_OK);
    EXPECT_STREQ(finding.pointer, place);
    std::int32_t keeps = 7;
    EXPECT_EQ(order.Check({}, keeps), status);
    EXPECT_EQ(keeps, 7);
  };
  constexpr std::int64_t kPast = INT64_C(50000000001);
  constexpr std::int64_t kLeast = std::numeric_limits<std::int64_t>::min();
  refused([](Order& o) { o.count = 0; }, TW_E_INPUT, "found neither goods nor a parcel", "");
  refused([](Order& o) { o.count = 10'001; }, TW_E_COUNT, "found 10001, expected at most 10000", "/item_count");
  refused([](Order& o) { o.items[0].struct_size = 5; }, TW_E_STRUCT_SIZE, "found 5, expected", "/items/0/struct_size");
  refused([](Order& o) { o.items[1].struct_size += 4; }, TW_E_STRUCT_SIZE, "as the first has", "/items/1/struct_size");
  refused([](Order& o) { o.items[1].sides_nm[2] = 0; }, TW_E_INPUT, "found 0 nm, expected 1 nm to",
          "/items/1/sides_nm");
  refused([](Order& o) { o.items[1].sides_nm[2] = kPast; }, TW_E_INPUT, "expected 1 nm to 50 m", "/items/1/sides_nm");
  refused([](Order& o) { o.items[1].weight_ng = 0; }, TW_E_INPUT, "found 0 ng, expected 1 ng to", "/items/1/weight_ng");
  refused([](Order& o) { o.items[1].quantity = 0; }, TW_E_INPUT, "found 0, expected 1 to 10000", "/items/1/quantity");
  refused([](Order& o) { o.items[0].quantity = 9'999, o.items[1].quantity = 2; }, TW_E_INPUT, "10001", "/goods");
  refused([](Order& o) { o.items[1].may_stand = 8; }, TW_E_INPUT, "found 8, expected 0 to 7", "/items/1/may_stand");
  refused([](Order& o) { o.carton.struct_size = 0; }, TW_E_STRUCT_SIZE, "found 0, expected", "/packaging/struct_size");
  refused([](Order& o) { o.carton.kind = 5; }, TW_E_INPUT, "found 5, expected 0 to 4", "/packaging/kind");
  refused([](Order& o) { o.carton.kind = -1; }, TW_E_INPUT, "found -1, expected 0 to 4", "/packaging/kind");
  refused([](Order& o) { o.carton.kind = TW_PACKAGING_BARE; }, TW_E_INPUT, "found bare", "/packaging/kind");
  refused([](Order& o) { o.carton.kind = TW_PACKAGING_TUBE; }, TW_E_INPUT, "expected it of a carton alone",
          "/packaging/least_height");
  refused([](Order& o) { o.carton.reserved = 1; }, TW_E_INPUT, "found 1, expected 0 to 0", "/packaging/reserved");
  refused([](Order& o) { o.carton.code = "\xFF"; }, TW_E_TEXT, "which is not UTF-8", "/packaging/code");
  refused([](Order& o) { o.carton.inside_nm[1] = 0; }, TW_E_INPUT, "found 0 mm", "/packaging/inside");
  refused([](Order& o) { o.carton.inside_nm[1] = -1; }, TW_E_INPUT, "found -1", "/packaging/inside_nm");
  refused([](Order& o) { o.carton.inside_nm[0] = kPast; }, TW_E_INPUT, "50000000001", "/packaging/inside_nm");
  refused([](Order& o) { o.carton.inside_nm[0] = kPast - 1; }, TW_E_INPUT, "at most 50 m", "/packaging/outside");
  refused([](Order& o) { o.carton.outside_nm[0] = TW_INCH; }, TW_E_INPUT, "expected no less than the inside",
          "/packaging/outside");
  refused([](Order& o) { o.carton.outside_nm[2] = kLeast; }, TW_E_INPUT, "expected 0 to", "/packaging/outside_nm");
  refused([](Order& o) { o.carton.wall_nm = -1; }, TW_E_INPUT, "found -1", "/packaging/wall_nm");
  refused([](Order& o) { o.carton.wall_nm = std::numeric_limits<std::int64_t>::max(); }, TW_E_INPUT, "expected 0 to",
          "/packaging/wall_nm");
  refused([](Order& o) { o.carton.least_height_nm = 11 * TW_INCH; }, TW_E_INPUT, "at most the third of the outside",
          "/packaging/least_height");
  refused([](Order& o) { o.options.struct_size = 9; }, TW_E_STRUCT_SIZE, "found 9, expected", "/options/struct_size");
  refused([](Order& o) { o.options.has_padding = 2; }, TW_E_INPUT, "found 2, expected 0 to 1", "/options/has_padding");
  refused([](Order& o) { o.options.padding_nm = 1; }, TW_E_INPUT, "expected has_padding beside it",
          "/options/padding_nm");
  refused([](Order& o) { o.options.has_padding = 1, o.options.padding_nm = -1; }, TW_E_INPUT, "found -1",
          "/options/padding_nm");
  refused([](Order& o) { o.options.nodes = -1; }, TW_E_INPUT, "found -1, expected 0 to 1000000000", "/options/nodes");
  refused([](Order& o) { o.options.nodes = 1'000'000'001; }, TW_E_INPUT, "expected 0 to 1000000000", "/options/nodes");
  refused([](Order& o) { o.options.side_units = 2; }, TW_E_INPUT, "found 2, expected 0 to 1", "/options/side_units");
  refused([](Order& o) { o.options.reserved = -1; }, TW_E_INPUT, "found -1, expected 0 to 0", "/options/reserved");
}

TEST(Arrange, NullAndForeignHandlesAreRefused) {
  Order order;
  ASSERT_EQ(order.Arrange(), TW_OK);
  tw_arrangement* made = nullptr;
  tw_error* error = order.error.get();
  EXPECT_EQ(tw_arrange(nullptr, order.items, 2, &order.carton, nullptr, error), TW_E_NULL);
  EXPECT_EQ(tw_arrange(&made, nullptr, 2, &order.carton, nullptr, error), TW_E_NULL);
  EXPECT_EQ(tw_arrange(&made, order.items, 2, nullptr, nullptr, error), TW_E_NULL);
  EXPECT_EQ(made, nullptr);
  tw_fit fit = TW_FIT_INIT;
  tw_arranged_unit unit = TW_ARRANGED_UNIT_INIT;
  const char* step = nullptr;
  EXPECT_EQ(tw_arrangement_fit(nullptr, order.arrangement.get(), error), TW_E_NULL);
  EXPECT_EQ(tw_arrangement_fit(&fit, nullptr, error), TW_E_NULL);
  EXPECT_EQ(tw_arrangement_fit(&fit, reinterpret_cast<tw_arrangement*>(error), nullptr), TW_E_HANDLE);
  fit.struct_size = 3;
  EXPECT_EQ(tw_arrangement_fit(&fit, order.arrangement.get(), error), TW_E_STRUCT_SIZE);
  EXPECT_EQ(tw_arrangement_unit(nullptr, order.arrangement.get(), 0, error), TW_E_NULL);
  EXPECT_EQ(tw_arrangement_unit(&unit, nullptr, 0, error), TW_E_NULL);
  EXPECT_EQ(tw_arrangement_step(nullptr, order.arrangement.get(), 0, error), TW_E_NULL);
  EXPECT_EQ(tw_arrangement_step(&step, nullptr, 0, error), TW_E_NULL);
  EXPECT_EQ(tw_arrangement_step_count(nullptr), 0u);
  tw_arrangement_free(nullptr);
  EXPECT_STREQ(tw_fit_name(TW_FIT_UNKNOWN), "unknown");
  EXPECT_STREQ(tw_fit_name(3), "");
  EXPECT_STREQ(tw_fit_name(-1), "");
  EXPECT_STREQ(tw_proof_name(TW_PROOF_SEARCHED), "searched");
  EXPECT_STREQ(tw_proof_name(TW_PROOF_NONE), "");
  EXPECT_STREQ(tw_proof_name(5), "");
}

TEST(CheckArrangement, TellsWhatIsWrong) {
  Order order;
  std::vector<tw_arranged_unit> units = order.Units();
  std::int32_t keeps = 7;
  ASSERT_EQ(order.Check(units, keeps), TW_OK);
  EXPECT_EQ(keeps, 1);
  EXPECT_EQ(tw_error_count(order.error.get()), 0u);
  const auto wrong = [&](auto spoil, const char* message) {
    std::vector<tw_arranged_unit> spoiled = units;
    spoil(spoiled);
    keeps = 7;
    ASSERT_EQ(order.Check(spoiled, keeps), TW_OK) << tw_error_message(order.error.get());
    EXPECT_EQ(keeps, 0);
    tw_finding finding = TW_FINDING_INIT;
    ASSERT_EQ(tw_error_finding(&finding, order.error.get(), 0), TW_OK);
    EXPECT_EQ(finding.severity, TW_SEVERITY_WARNING);
    EXPECT_NE(std::strstr(finding.message, message), nullptr) << finding.message;
  };
  using Units = std::vector<tw_arranged_unit>;
  wrong([](Units& u) { u.pop_back(); }, "3 placements, expected 4");
  wrong([](Units& u) { u.clear(); }, "0 placements, expected 4");
  wrong([](Units& u) { u[1].unit = u[0].unit; }, "is placed twice");
  wrong([](Units& u) { u[3].at_nm[0] = -1; }, "unit 3 is at -1 to");
  wrong([](Units& u) { u[3].at_nm[2] = 50 * INT64_C(1000000000); }, "unit 3 is at");
  wrong([](Units& u) { u[3].sides_nm[0] += 1; }, "unit 3 is turned as it may not be");
  wrong([](Units& u) { std::memcpy(u[1].at_nm, u[0].at_nm, sizeof u[0].at_nm); }, "nm apart, expected at least 0");
  const auto refused = [&](auto spoil, tw_status status, const char* message) {
    std::vector<tw_arranged_unit> spoiled = units;
    spoil(spoiled);
    keeps = 7;
    EXPECT_EQ(order.Check(spoiled, keeps), status);
    EXPECT_EQ(keeps, 7);
    EXPECT_NE(std::strstr(tw_error_message(order.error.get()), message), nullptr)
        << tw_error_message(order.error.get());
  };
  refused([](Units& u) { u[0].struct_size = 8; }, TW_E_STRUCT_SIZE, "units/0/struct_size");
  refused([](Units& u) { u[2].struct_size += 4; }, TW_E_STRUCT_SIZE, "units/2/struct_size");
  refused([](Units& u) { u[2].reserved = 1; }, TW_E_INPUT, "/units/2/reserved");
  refused([](Units& u) { u[2].item = 2; }, TW_E_INDEX, "/units/2/item: found index 2, expected one below 2");
  refused([](Units& u) { u[2].unit = 3; }, TW_E_INDEX, "/units/2/unit: found index 3, expected one below 3");
  refused([](Units& u) { u[2].at_nm[1] = std::numeric_limits<std::int64_t>::max(); }, TW_E_INPUT, "/units/2/at_nm");
  refused([](Units& u) { u[2].at_nm[1] = std::numeric_limits<std::int64_t>::min(); }, TW_E_INPUT, "/units/2/at_nm");
  refused([](Units& u) { u[2].sides_nm[1] = 0; }, TW_E_INPUT, "/units/2/sides_nm");
  EXPECT_EQ(tw_check_arrangement(nullptr, order.items, 2, &order.carton, nullptr, units.data(), 4, nullptr), TW_E_NULL);
  EXPECT_EQ(tw_check_arrangement(&keeps, order.items, 2, &order.carton, nullptr, nullptr, 4, nullptr), TW_E_NULL);
  EXPECT_EQ(tw_check_arrangement(&keeps, order.items, 2, &order.carton, nullptr, units.data(), 10'001, nullptr),
            TW_E_COUNT);
  // No error to tell it to.
  units.pop_back();
  EXPECT_EQ(tw_check_arrangement(&keeps, order.items, 2, &order.carton, nullptr, units.data(), 3, nullptr), TW_OK);
  EXPECT_EQ(keeps, 0);
  order.carton.kind = TW_PACKAGING_MAILER;
  order.carton.least_height_nm = 0;
  EXPECT_EQ(order.Check(units, keeps), TW_E_INPUT);
  EXPECT_NE(std::strstr(tw_error_message(order.error.get()), "expected a carton"), nullptr);
}

}  // namespace
