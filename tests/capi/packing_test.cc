// Goods arranged in cartons, and cartons cut down: C tells what C++ tells, and refuses what is said wrongly.
#include <cstdint>
#include <cstring>
#include <memory>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "support.h"
#include "support/demo_goods.h"
#include "tarewise/documents/load.h"
#include "tarewise/ranking/growth.h"
#include "tarewise/ranking/packing_steps.h"
#include "tarewise/ranking/rank.h"

namespace {

constexpr char kShelf[] =
    "code,title,kind,inside,outside,wall,thickness,tare,cost,currency,on_hand,carrier,cut_down,least_height\n"
    "carton-18,Carton 18,carton,18 x 12 x 10 in,,0.15 in,,12 oz,0.90,USD,,,true,2 in\n"
    "carton-12,Carton 12,carton,12 x 9 x 8 in,,0.15 in,,9 oz,0.60,USD,,,,\n"
    "poly-12,Mailer,mailer,14 x 18 in,,0.005 in,,0.8 oz,0.30,USD,,,,\n";

struct Goods {
  Goods() {
    items[0] = items[1] = TW_ITEM_INIT;
    items[0].quantity = 3;
    items[0].weight_ng = 30 * TW_OUNCE;
    items[0].sides_nm[0] = 10 * TW_INCH, items[0].sides_nm[1] = 8 * TW_INCH, items[0].sides_nm[2] = 2 * TW_INCH;
    items[0].title = "Board game";
    items[0].may_stand = TW_THIRD_UPRIGHT;
    items[1].weight_ng = 9 * TW_OUNCE;
    for (std::int64_t& side : items[1].sides_nm) side = 5 * TW_INCH;
    items[1].flags = TW_TOP_FREE;
    items[1].has_bears = 1;
    items[1].bears_ng = 2 * TW_POUND;
    request.items = items;
    request.item_count = 2;
    request.detail = TW_DETAIL_FULL;
  }
  tw_item items[2];
  tw_request request = TW_REQUEST_INIT;
};

tarewise::Request InCpp(const Goods& goods) {
  tarewise::Request request = tarewise::testing::RequestOn(tarewise::testing::LaneTo("US", "60614"));
  for (const tw_item& from : goods.items) {
    tarewise::Item item;
    item.weight = tarewise::Weight::Nanograms(from.weight_ng);
    for (std::size_t i = 0; i < 3; ++i) item.sides[i] = tarewise::Length::Nanometres(from.sides_nm[i]);
    item.quantity = from.quantity;
    item.title = from.title == nullptr ? "" : from.title;
    item.top_free = (from.flags & TW_TOP_FREE) != 0;
    if (from.may_stand != 0) {
      for (std::size_t i = 0; i < 3; ++i) item.may_stand[i] = ((from.may_stand >> i) & 1u) != 0;
    }
    if (from.has_bears == 1) item.bears = tarewise::Weight::Nanograms(from.bears_ng);
    request.goods.push_back(std::move(item));
  }
  request.currency = *tarewise::Currency::Parse("USD");
  return request;
}

struct World {
  World() {
    tw_source source = TW_SOURCE_INIT;
    source.name = "shelf.csv";
    source.text = kShelf;
    source.length = sizeof kShelf - 1;
    tw_shelf* made = nullptr;
    EXPECT_EQ(tw_shelf_load_memory(&made, &source, error.get()), TW_OK) << tw_error_message(error.get());
    shelf.reset(made);
    dispatch = capi_test::NewDispatch(book.get(), shelf.get(), capi_test::Shipment());
  }
  capi_test::ErrorPtr error = capi_test::NewError();
  capi_test::BookPtr book = capi_test::LoadBook();
  capi_test::ShelfPtr shelf;
  capi_test::DispatchPtr dispatch;
  capi_test::RankingPtr ranking = capi_test::NewRanking();
};

void ExpectSame(const tarewise::Ranking& cpp, tw_ranking* c, std::size_t offer) {
  const tarewise::Offer& expected = cpp.offers()[offer];
  const tarewise::Candidate& candidate = cpp.candidates()[expected.candidate_index];
  tw_offer told = TW_OFFER_INIT;
  ASSERT_EQ(tw_ranking_offer(&told, c, offer, nullptr), TW_OK);
  EXPECT_EQ(told.cut_to_nm, expected.cut_to ? expected.cut_to->nanometres() : 0);
  const std::vector<tarewise::Placement> none;
  const std::vector<tarewise::Placement>& units = candidate.arrangement ? *candidate.arrangement : none;
  ASSERT_EQ(tw_ranking_arrangement_count(c, offer), units.size());
  for (std::size_t i = 0; i < units.size(); ++i) {
    tw_arranged_unit unit = TW_ARRANGED_UNIT_INIT;
    ASSERT_EQ(tw_ranking_arrangement_unit(&unit, c, offer, i, nullptr), TW_OK);
    EXPECT_EQ(unit.item * 3 + unit.unit, units[i].unit);
    EXPECT_EQ(std::memcmp(unit.at_nm, units[i].at.data(), sizeof unit.at_nm), 0);
    EXPECT_EQ(std::memcmp(unit.sides_nm, units[i].sides.data(), sizeof unit.sides_nm), 0);
  }
  tw_arranged_unit unit = TW_ARRANGED_UNIT_INIT;
  EXPECT_EQ(tw_ranking_arrangement_unit(&unit, c, offer, units.size(), nullptr), TW_E_INDEX);
  const std::vector<tarewise::Growth> growth = tarewise::RoomToGrow(cpp, candidate);
  std::size_t grows = 99;
  ASSERT_EQ(tw_ranking_growth_count(&grows, c, offer, nullptr), TW_OK);
  ASSERT_EQ(grows, growth.size());
  std::int64_t sides[3] = {};
  for (std::size_t i = 0; i < grows; ++i) {
    ASSERT_EQ(tw_ranking_growth(sides, c, offer, i, nullptr), TW_OK);
    for (std::size_t k = 0; k < 3; ++k) EXPECT_EQ(sides[k], growth[i].sides[k].nanometres());
  }
  EXPECT_EQ(tw_ranking_growth(sides, c, offer, grows, nullptr), TW_E_INDEX);
  EXPECT_EQ(tw_ranking_growth(nullptr, c, offer, 0, nullptr), TW_E_NULL);
  const std::vector<std::string> steps = tarewise::PackingSteps(cpp, candidate);
  std::size_t count = 99;
  ASSERT_EQ(tw_ranking_step_count(&count, c, offer, nullptr), TW_OK);
  ASSERT_EQ(count, steps.size());
  const char* text = nullptr;
  for (std::size_t i = 0; i < count; ++i) {
    ASSERT_EQ(tw_ranking_step(&text, c, offer, i, nullptr), TW_OK);
    EXPECT_EQ(text, steps[i]);
  }
  EXPECT_EQ(tw_ranking_step(&text, c, offer, count, nullptr), TW_E_INDEX);
}

TEST(Packing, ArrangementsStepsAndCutsAreThoseOfCpp) {
  World world;
  Goods goods;
  ASSERT_EQ(tw_rank(world.ranking.get(), world.dispatch.get(), &goods.request, world.error.get()), TW_OK)
      << tw_error_message(world.error.get());
  const tarewise::Loaded<tarewise::Shelf> shelf = tarewise::ReadShelf({"shelf.csv", kShelf});
  ASSERT_TRUE(shelf.ok());
  const absl::StatusOr<tarewise::Ranking> cpp = tarewise::Rank(
      tarewise::testing::Demo().book, std::make_shared<const tarewise::Shelf>(*shelf.value), InCpp(goods));
  ASSERT_TRUE(cpp.ok()) << cpp.status();
  ASSERT_EQ(tw_ranking_offer_count(world.ranking.get()), cpp->offers().size());
  std::size_t arranged = 0;
  std::size_t cut = 0;
  for (std::size_t i = 0; i < cpp->offers().size(); ++i) {
    SCOPED_TRACE(i);
    ExpectSame(*cpp, world.ranking.get(), i);
    arranged += tw_ranking_arrangement_count(world.ranking.get(), i) == 4 ? 1 : 0;
    cut += cpp->offers()[i].cut_to ? 1 : 0;
  }
  EXPECT_GT(arranged, 0u);
  EXPECT_GT(cut, 0u);
  const std::size_t past = cpp->offers().size();
  std::size_t count = 0;
  const char* text = nullptr;
  tw_arranged_unit unit = TW_ARRANGED_UNIT_INIT;
  EXPECT_EQ(tw_ranking_arrangement_count(world.ranking.get(), past), 0u);
  EXPECT_EQ(tw_ranking_arrangement_count(nullptr, 0), 0u);
  EXPECT_EQ(tw_ranking_arrangement_unit(&unit, world.ranking.get(), past, 0, nullptr), TW_E_INDEX);
  EXPECT_EQ(tw_ranking_step_count(&count, world.ranking.get(), past, nullptr), TW_E_INDEX);
  EXPECT_EQ(tw_ranking_step(&text, world.ranking.get(), past, 0, nullptr), TW_E_INDEX);
  tw_packaging packaging = TW_PACKAGING_INIT;
  ASSERT_EQ(tw_dispatch_packaging(&packaging, world.dispatch.get(), 0, nullptr), TW_OK);
  EXPECT_EQ(packaging.least_height_nm, 2 * TW_INCH);
  ASSERT_EQ(tw_dispatch_packaging(&packaging, world.dispatch.get(), 1, nullptr), TW_OK);
  EXPECT_EQ(packaging.least_height_nm, 0);
}

// Soft goods fill the mailer as a pillow: no arrangement, sides of a model, and a caution that says so.
TEST(Packing, SoftGoodsFillAMailer) {
  World world;
  Goods goods;
  for (tw_item& item : goods.items) {
    item.flags = 0;
    item.may_stand = 0;
    item.has_bears = 0;
    item.bears_ng = 0;
    item.soft_presses_to = 600'000;
    item.soft_least_thickness_nm = TW_INCH / 2;
  }
  ASSERT_EQ(tw_rank(world.ranking.get(), world.dispatch.get(), &goods.request, world.error.get()), TW_OK)
      << tw_error_message(world.error.get());
  std::size_t soft = 0;
  for (std::size_t i = 0; i < tw_ranking_offer_count(world.ranking.get()); ++i) {
    tw_offer offer = TW_OFFER_INIT;
    ASSERT_EQ(tw_ranking_offer(&offer, world.ranking.get(), i, nullptr), TW_OK);
    const bool mailer = std::string_view(offer.packaging) == "poly-12";
    EXPECT_EQ((offer.cautions & TW_CAUTION_MEASURE_SOFT) != 0, mailer);
    EXPECT_EQ(tw_ranking_arrangement_count(world.ranking.get(), i), mailer ? 0u : 4u);
    soft += mailer ? 1 : 0;
  }
  EXPECT_GT(soft, 0u);

  const auto refused = [&] {
    return tw_rank(world.ranking.get(), world.dispatch.get(), &goods.request, world.error.get());
  };
  tw_item& item = goods.items[0];
  for (const auto& [part, thickness] : {std::pair<std::int64_t, std::int64_t>{600'000, 0},
                                        {0, TW_INCH},
                                        {1'000'001, TW_INCH},
                                        {-1, TW_INCH},
                                        {600'000, -1},
                                        {600'000, 2 * TW_INCH + 1}}) {
    item.soft_presses_to = part;
    item.soft_least_thickness_nm = thickness;
    EXPECT_EQ(refused(), TW_E_INPUT) << part << " " << thickness;
    EXPECT_NE(std::string(tw_error_message(world.error.get())).find("soft_"), std::string::npos);
  }
  item.soft_presses_to = 600'000;
  item.soft_least_thickness_nm = TW_INCH;
  item.flags = TW_RIGID;
  EXPECT_EQ(refused(), TW_E_INPUT);
  item.flags = 0;
  item.sides_most_nm[0] = item.sides_nm[0] + 1;
  EXPECT_EQ(refused(), TW_E_INPUT);
}

// A closed parcel with totals alone has no steps, and no full ranking behind it.
TEST(Packing, AClosedParcelHasNone) {
  World world;
  tw_parcel parcel = capi_test::Parcel();
  tw_request request = TW_REQUEST_INIT;
  request.parcel = &parcel;
  ASSERT_EQ(tw_rank(world.ranking.get(), world.dispatch.get(), &request, nullptr), TW_OK);
  ASSERT_GT(tw_ranking_offer_count(world.ranking.get()), 0u);
  std::size_t count = 99;
  EXPECT_EQ(tw_ranking_arrangement_count(world.ranking.get(), 0), 0u);
  EXPECT_EQ(tw_ranking_step_count(&count, world.ranking.get(), 0, nullptr), TW_OK);
  EXPECT_EQ(count, 0u);
  EXPECT_EQ(tw_ranking_growth_count(&count, world.ranking.get(), 0, nullptr), TW_OK);
  EXPECT_EQ(count, 0u);
  const capi_test::RankingPtr empty = capi_test::NewRanking();
  EXPECT_EQ(tw_ranking_step_count(&count, empty.get(), 0, nullptr), TW_E_INDEX);
  EXPECT_EQ(tw_ranking_arrangement_count(empty.get(), 0), 0u);
}

TEST(Packing, WhatIsSaidWronglyIsRefusedWithItsPlace) {
  World world;
  const auto refused = [&](auto spoil, tw_status status, const char* message, const char* place) {
    SCOPED_TRACE(message);
    Goods goods;
    spoil(goods.items[1]);
    EXPECT_EQ(tw_rank(world.ranking.get(), world.dispatch.get(), &goods.request, world.error.get()), status);
    EXPECT_NE(std::strstr(tw_error_message(world.error.get()), message), nullptr)
        << tw_error_message(world.error.get());
    tw_finding finding = TW_FINDING_INIT;
    ASSERT_EQ(tw_error_finding(&finding, world.error.get(), 0), TW_OK);
    EXPECT_STREQ(finding.pointer, place);
  };
  refused([](tw_item& i) { i.may_stand = 8; }, TW_E_INPUT, "found 8, expected 0 to 7", "/items/1/may_stand");
  refused([](tw_item& i) { i.may_stand = TW_FIRST_UPRIGHT, i.flags = TW_THIS_SIDE_UP; }, TW_E_INPUT,
          "found sides that may be upright beside TW_THIS_SIDE_UP, expected 0", "/items/1/may_stand");
  refused([](tw_item& i) { i.flags = 16; }, TW_E_INPUT, "found 16, expected 0 to 15", "/items/1/flags");
  refused([](tw_item& i) { i.has_bears = 2; }, TW_E_INPUT, "found 2, expected 0 to 1", "/items/1/has_bears");
  refused([](tw_item& i) { i.bears_ng = -1; }, TW_E_INPUT, "found -1 ng, expected 1 ng to", "/items/1/bears_ng");
  refused([](tw_item& i) { i.has_bears = 0; }, TW_E_INPUT, "found a weight, expected has_bears beside it",
          "/items/1/bears_ng");
  refused([](tw_item& i) { i.title = "\xFF"; }, TW_E_TEXT, "which is not UTF-8", "/items/1/title");
}

}  // namespace
