// Several parcels: C tells the plans that C++ tells, and refuses every input that is wrong with its place.
#include "tarewise/plans/plans.h"

#include <cstddef>
#include <cstdint>
#include <functional>
#include <string>
#include <vector>

#include "same_offers.h"
#include "support.h"
#include "support/demo_goods.h"
#include "tarewise/documents/load.h"
#include "tarewise/documents/plans_json.h"

namespace {

using tarewise::testing::Demo;
using PlansPtr = std::unique_ptr<tw_plans, capi_test::Free<tw_plans_free>>;

PlansPtr NewPlans() {
  tw_plans* plans = nullptr;
  EXPECT_EQ(tw_plans_create(&plans, nullptr), TW_OK);
  return PlansPtr(plans);
}

constexpr char kOrder[] = R"({"format": "tarewise-request-1",
  "goods": [{"weight": "9 lb", "sides": "12 x 9 x 4 in", "quantity": 2, "value": "30.00"},
            {"weight": "11 oz", "sides": "7 x 5 x 3 in", "contents": ["fragile"], "value": "80.00"},
            {"weight": "2 lb", "sides": "10 x 8 x 2 in", "value": "12.00"}],
  "from": {"country": "US", "postal_code": "05401"}, "to": {"country": "US", "postal_code": "98101"},
  "date": "2026-08-03", "currency": "USD", "cover": "100.00", "tolerance": {"weight": "0.2 oz", "sides": "0.1 in"},
  "parcels": {"most": 3, "together": [[1, 2]], "plans": 7}})";

tarewise::Plans CppPlans(const std::string& text) {
  const tarewise::Loaded<tarewise::Request> request = tarewise::ReadRequest({"order", text});
  EXPECT_TRUE(request.ok());
  tarewise::PlanOptions options;
  options.thresholds = true;
  const auto plans = tarewise::FindPlans(Demo().book, Demo().shelf, *request.value, options);
  EXPECT_TRUE(plans.ok()) << plans.status().message();
  return *plans;
}

// Field by field, each parcel's ranking offer by offer.
void ExpectSamePlans(const tarewise::Plans& want, tw_plans* got, std::int32_t detail) {
  tw_plans_facts facts = TW_PLANS_FACTS_INIT;
  ASSERT_EQ(tw_plans_get_facts(&facts, got, nullptr), TW_OK);
  EXPECT_EQ(facts.proved, want.proved() ? 1 : 0);
  EXPECT_EQ(facts.is_estimate, want.estimate() ? 1 : 0);
  EXPECT_EQ(facts.has_single, want.single() ? 1 : 0);
  EXPECT_EQ(facts.single_micros, want.single() ? want.single()->micros() : 0);
  EXPECT_EQ(facts.has_at_least, want.at_least() ? 1 : 0);
  EXPECT_EQ(facts.at_least_micros, want.at_least() ? want.at_least()->micros() : 0);
  EXPECT_EQ(facts.currency, want.currency().code());
  std::uint32_t cautions = 0;
  for (const tarewise::Caution& caution : want.cautions()) cautions |= 1u << static_cast<unsigned>(caution.code);
  EXPECT_EQ(facts.cautions, cautions);
  ASSERT_EQ(facts.plan_count, want.plans().size());
  ASSERT_EQ(facts.obstacle_count, want.obstacles().size());
  const capi_test::RankingPtr ranking = capi_test::NewRanking();
  for (std::size_t p = 0; p < want.plans().size(); ++p) {
    const tarewise::Plan& plan = want.plans()[p];
    tw_plan told = TW_PLAN_INIT;
    ASSERT_EQ(tw_plans_plan(&told, got, p, nullptr), TW_OK);
    EXPECT_EQ(told.total_micros, plan.total.micros());
    EXPECT_EQ(told.handicap_micros, plan.handicap.micros());
    EXPECT_EQ(told.days_least, plan.days ? plan.days->least : -1);
    EXPECT_EQ(told.days_most, plan.days ? plan.days->most : -1);
    EXPECT_EQ(told.has_arrival, plan.arrives ? 1 : 0);
    EXPECT_EQ(told.risk != TW_RISK_NONE, plan.at_risk);
    EXPECT_EQ(told.once_count, plan.once.size());
    ASSERT_EQ(told.parcel_count, plan.parcels.size());
    for (std::size_t i = 0; i < plan.parcels.size(); ++i) {
      const tarewise::PlannedParcel& parcel = plan.parcels[i];
      tw_planned_parcel one = TW_PLANNED_PARCEL_INIT;
      ASSERT_EQ(tw_plans_parcel(&one, got, p, i, nullptr), TW_OK);
      EXPECT_EQ(one.sealed, parcel.sealed ? static_cast<std::int32_t>(*parcel.sealed) : -1);
      EXPECT_EQ(one.offer_index, parcel.offer_index);
      ASSERT_EQ(one.goods_count, parcel.goods.size());
      for (std::size_t g = 0; g < parcel.goods.size(); ++g) {
        tw_planned_goods goods = TW_PLANNED_GOODS_INIT;
        ASSERT_EQ(tw_plans_goods(&goods, got, p, i, g, nullptr), TW_OK);
        EXPECT_EQ(goods.item, parcel.goods[g].item);
        EXPECT_EQ(goods.units, parcel.goods[g].units);
      }
      ASSERT_EQ(tw_plans_ranking(ranking.get(), got, p, i, nullptr), TW_OK);
      capi_test::ExpectSameOffers(parcel.ranking, ranking.get(), detail);
    }
  }
}

TEST(Plans, FromADocument) {
  const capi_test::BookPtr book = capi_test::LoadBook();
  const capi_test::ErrorPtr error = capi_test::NewError();
  const PlansPtr plans = NewPlans();
  ASSERT_EQ(tw_find_plans_json(plans.get(), book.get(), tw_ratebook_shelf(book.get()), kOrder, sizeof kOrder - 1,
                               error.get()),
            TW_OK)
      << tw_error_message(error.get());
  const tarewise::Plans want = CppPlans(kOrder);
  ASSERT_GT(want.plans().size(), 2u);
  ExpectSamePlans(want, plans.get(), TW_DETAIL_FULL);
  const char* text = nullptr;
  std::size_t length = 0;
  ASSERT_EQ(tw_plans_json(&text, &length, plans.get(), 2, nullptr), TW_OK);
  EXPECT_EQ(std::string(text, length), tarewise::ToJson(want, 2));
}

// Sealed parcels, and goods of the same order typed in.
TEST(Plans, Typed) {
  const capi_test::BookPtr book = capi_test::LoadBook();
  const capi_test::ErrorPtr error = capi_test::NewError();
  const PlansPtr plans = NewPlans();
  tw_shipment shipment = capi_test::Shipment("98101");
  shipment.to_residential = 0;
  const capi_test::DispatchPtr dispatch = capi_test::NewDispatch(book.get(), tw_ratebook_shelf(book.get()), shipment);
  tw_parcel sealed[2] = {capi_test::Parcel("9 lb", "14 x 9 x 5 in"), capi_test::Parcel("31.3 oz", "8 x 6 x 4 in")};
  tw_parting parting = TW_PARTING_INIT;
  parting.most = 0;
  parting.sealed = sealed;
  parting.sealed_count = 2;
  parting.all_by = TW_ALL_BY_SERVICE;
  tw_request request = TW_REQUEST_INIT;
  request.detail = TW_DETAIL_CHARGES;
  ASSERT_EQ(tw_find_plans(plans.get(), dispatch.get(), &request, &parting, error.get()), TW_OK)
      << tw_error_message(error.get());
  const tarewise::Plans want = CppPlans(R"({"format": "tarewise-request-1",
    "sealed": [{"weight": "9 lb", "sides": "14 x 9 x 5 in"}, {"weight": "31.3 oz", "sides": "8 x 6 x 4 in"}],
    "from": {"country": "US", "postal_code": "05401"}, "to": {"country": "US", "postal_code": "98101"},
    "date": "2026-08-03", "currency": "USD", "parcels": {"all_by": "service"}})");
  ASSERT_EQ(want.plans().size(), 1u);
  ExpectSamePlans(want, plans.get(), TW_DETAIL_CHARGES);

  tw_item items[3] = {TW_ITEM_INIT, TW_ITEM_INIT, TW_ITEM_INIT};
  const char* weights[] = {"9 lb", "11 oz", "2 lb"};
  const char* sides[] = {"12 x 9 x 4 in", "7 x 5 x 3 in", "10 x 8 x 2 in"};
  for (std::size_t i = 0; i < 3; ++i) {
    ASSERT_EQ(tw_parse_weight(&items[i].weight_ng, weights[i], nullptr), TW_OK);
    ASSERT_EQ(tw_parse_sides(items[i].sides_nm, sides[i], nullptr), TW_OK);
  }
  const std::uint32_t apart_items[] = {0, 2};
  tw_item_list apart = TW_ITEM_LIST_INIT;
  apart.items = apart_items;
  apart.count = 2;
  parting = TW_PARTING_INIT;
  parting.most = 3;
  parting.apart = &apart;
  parting.apart_count = 1;
  request.items = items;
  request.item_count = 3;
  ASSERT_EQ(tw_find_plans(plans.get(), dispatch.get(), &request, &parting, error.get()), TW_OK)
      << tw_error_message(error.get());
  const tarewise::Plans parted = CppPlans(R"({"format": "tarewise-request-1",
    "goods": [{"weight": "9 lb", "sides": "12 x 9 x 4 in"}, {"weight": "11 oz", "sides": "7 x 5 x 3 in"},
              {"weight": "2 lb", "sides": "10 x 8 x 2 in"}],
    "from": {"country": "US", "postal_code": "05401"}, "to": {"country": "US", "postal_code": "98101"},
    "date": "2026-08-03", "currency": "USD", "parcels": {"most": 3, "apart": [[0, 2]]}})");
  ASSERT_EQ(parted.plans().size(), 3u);
  ExpectSamePlans(parted, plans.get(), TW_DETAIL_CHARGES);
}

TEST(Plans, ARankingOutlivesThem) {
  const capi_test::BookPtr book = capi_test::LoadBook();
  const capi_test::RankingPtr ranking = capi_test::NewRanking();
  PlansPtr plans = NewPlans();
  ASSERT_EQ(
      tw_find_plans_json(plans.get(), book.get(), tw_ratebook_shelf(book.get()), kOrder, sizeof kOrder - 1, nullptr),
      TW_OK);
  ASSERT_EQ(tw_plans_ranking(ranking.get(), plans.get(), 0, 0, nullptr), TW_OK);
  plans.reset();
  const char* text = nullptr;
  ASSERT_EQ(tw_ranking_json(&text, nullptr, ranking.get(), -1, nullptr), TW_OK);
  EXPECT_EQ(text, tarewise::ToJson(CppPlans(kOrder).plans()[0].parcels[0].ranking, -1));
}

TEST(Plans, WhatIsWrong) {
  const capi_test::BookPtr book = capi_test::LoadBook();
  const capi_test::ErrorPtr error = capi_test::NewError();
  const PlansPtr plans = NewPlans();
  const capi_test::DispatchPtr dispatch =
      capi_test::NewDispatch(book.get(), tw_ratebook_shelf(book.get()), capi_test::Shipment("98101"));
  struct Asked {
    tw_item items[2] = {TW_ITEM_INIT, TW_ITEM_INIT};
    tw_parcel sealed[1] = {capi_test::Parcel()};
    std::uint32_t places[2] = {0, 1};
    tw_item_list list = TW_ITEM_LIST_INIT;
    tw_request request = TW_REQUEST_INIT;
    tw_parting parting = TW_PARTING_INIT;
  };
  struct Case {
    std::function<void(Asked&)> change;
    tw_status status;
    const char* pointer;
  };
  const Case cases[] = {
      {[](Asked& a) { a.parting.most = 0; }, TW_E_INPUT, "/most"},
      {[](Asked& a) { a.parting.most = 101; }, TW_E_INPUT, "/most"},
      {[](Asked& a) { a.parting.plans = 101; }, TW_E_INPUT, "/plans"},
      {[](Asked& a) { a.parting.all_by = 3; }, TW_E_INPUT, "/all_by"},
      {[](Asked& a) { a.list.count = 0, a.parting.together = &a.list, a.parting.together_count = 1; }, TW_E_INPUT,
       "/parcels/together/0"},
      {[](Asked& a) { a.places[1] = 2, a.parting.apart = &a.list, a.parting.apart_count = 1; }, TW_E_INPUT,
       "/parcels/apart/0/1"},
      {[](Asked& a) { a.parting.apart_count = 1; }, TW_E_NULL, "/apart"},
      {[](Asked& a) { a.list.struct_size = 3, a.parting.apart = &a.list, a.parting.apart_count = 1; }, TW_E_STRUCT_SIZE,
       "/apart/0/struct_size"},
      {[](Asked& a) { a.list.items = nullptr, a.parting.apart = &a.list, a.parting.apart_count = 1; }, TW_E_NULL,
       "/apart/0/items"},
      {[](Asked& a) { a.parting.sealed = a.sealed, a.parting.sealed_count = 1; }, TW_E_INPUT, "/items"},
      {[](Asked& a) { a.request.item_count = 0; }, TW_E_INPUT, "/items"},
      {[](Asked& a) { a.request.parcel = a.sealed; }, TW_E_INPUT, "/parcel"},
      {[](Asked& a) { a.request.item_count = 0, a.parting.sealed = a.sealed, a.parting.sealed_count = 1; }, TW_E_INPUT,
       "/sealed"},
      {[](Asked& a) {
         a.request.item_count = 0, a.parting.sealed = a.sealed, a.parting.sealed_count = 101, a.parting.most = 0;
       },
       TW_E_COUNT, "/sealed_count"},
      {[](Asked& a) {
         a.request.item_count = 0, a.parting.sealed = a.sealed, a.parting.sealed_count = 1, a.parting.most = 0;
         a.sealed[0].weight_ng = 0;
       },
       TW_E_INPUT, "/sealed/0/weight_ng"},
      {[](Asked& a) { a.parting.struct_size = 3; }, TW_E_STRUCT_SIZE, "/parting/struct_size"},
      {[](Asked& a) { a.items[1].weight_ng = 0; }, TW_E_INPUT, "/items/1/weight_ng"},
  };
  std::size_t n = 0;
  for (const Case& one : cases) {
    Asked asked;
    for (tw_item& item : asked.items) {
      item.weight_ng = TW_POUND;
      for (std::int64_t& side : item.sides_nm) side = 4 * TW_INCH;
    }
    asked.list.items = asked.places;
    asked.list.count = 2;
    asked.request.items = asked.items;
    asked.request.item_count = 2;
    asked.parting.most = 2;
    ASSERT_EQ(tw_find_plans(plans.get(), dispatch.get(), &asked.request, &asked.parting, error.get()), TW_OK)
        << tw_error_message(error.get());
    one.change(asked);
    EXPECT_EQ(tw_find_plans(plans.get(), dispatch.get(), &asked.request, &asked.parting, error.get()), one.status) << n;
    tw_finding finding = TW_FINDING_INIT;
    ASSERT_EQ(tw_error_finding(&finding, error.get(), 0), TW_OK) << n;
    EXPECT_STREQ(finding.pointer, one.pointer) << n << ": " << finding.message;
    // Nothing is left of the answer before.
    tw_plans_facts facts = TW_PLANS_FACTS_INIT;
    EXPECT_EQ(tw_plans_get_facts(&facts, plans.get(), error.get()), TW_E_INDEX) << n;
    ++n;
  }
}

TEST(Plans, NamesOfObstacles) {
  EXPECT_STREQ(tw_obstacle_name(TW_OBSTACLE_NOTHING_TAKES), "nothing_takes");
  EXPECT_STREQ(tw_obstacle_name(TW_OBSTACLE_NOT_FOUND), "not_found");
  EXPECT_STREQ(tw_obstacle_name(5), "");
  EXPECT_STREQ(tw_obstacle_name(-1), "");
}

}  // namespace
