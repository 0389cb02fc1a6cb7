// What goes well and is most likely a mistake all the same: told as a warning, and the answer is what it was. Beside
// it, that what is told of a field names it as the header says.
#include <cstring>
#include <string>
#include <vector>

#include "support.h"

namespace {

using capi_test::NewError;

// "pointer: message" of the only finding, which must be a warning; "" for none.
std::string WarningOf(const capi_test::ErrorPtr& error) {
  EXPECT_EQ(tw_error_status(error.get()), TW_OK);
  EXPECT_STREQ(tw_error_message(error.get()), "");
  if (tw_error_count(error.get()) == 0) return "";
  EXPECT_EQ(tw_error_count(error.get()), 1u);
  tw_finding finding = TW_FINDING_INIT;
  EXPECT_EQ(tw_error_finding(&finding, error.get(), 0), TW_OK);
  EXPECT_EQ(finding.severity, TW_SEVERITY_WARNING);
  return std::string(finding.pointer) + ": " + finding.message;
}

class Warnings : public ::testing::Test {
 protected:
  capi_test::BookPtr book_ = capi_test::LoadBook();
  capi_test::ErrorPtr error_ = NewError();
  tw_shipment shipment_ = capi_test::Shipment();
};

TEST_F(Warnings, NumbersWithoutTheirUnit) {
  const capi_test::DispatchPtr dispatch =
      capi_test::NewDispatch(book_.get(), tw_ratebook_shelf(book_.get()), shipment_);
  const capi_test::RankingPtr ranking = capi_test::NewRanking();
  tw_item items[2] = {TW_ITEM_INIT, TW_ITEM_INIT};
  for (tw_item& item : items) {
    item.weight_ng = 54 * TW_OUNCE;
    item.sides_nm[0] = 12 * TW_INCH, item.sides_nm[1] = 9 * TW_INCH, item.sides_nm[2] = TW_MILLIMETRE / 10;
  }
  tw_request request = TW_REQUEST_INIT;
  request.items = items, request.item_count = 2;
  const auto rank = [&] { return tw_rank(ranking.get(), dispatch.get(), &request, error_.get()); };
  ASSERT_EQ(rank(), TW_OK);
  EXPECT_EQ(WarningOf(error_), "");
  items[1].weight_ng = 54;
  ASSERT_EQ(rank(), TW_OK);
  EXPECT_GT(tw_ranking_offer_count(ranking.get()), 0u);
  EXPECT_EQ(WarningOf(error_),
            "/items/1/weight_ng: found 54 ng, expected 1 mg or more: a number of TW_OUNCE, TW_GRAM or another unit");
  items[1].weight_ng = 1'000'000;
  ASSERT_EQ(rank(), TW_OK);
  EXPECT_EQ(WarningOf(error_), "");
  items[0].sides_nm[0] = 300, items[0].sides_nm[1] = 300, items[0].sides_nm[2] = 70;
  ASSERT_EQ(rank(), TW_OK);
  EXPECT_EQ(WarningOf(error_),
            "/items/0/sides_nm: found 300 nm along the longest side, expected 1 mm or more: a number of TW_INCH, "
            "TW_MILLIMETRE or another unit");
  tw_parcel parcel = capi_test::Parcel();
  request.items = nullptr, request.item_count = 0, request.parcel = &parcel;
  ASSERT_EQ(rank(), TW_OK);
  EXPECT_EQ(WarningOf(error_), "");
  parcel.weight_ng = 999'999;
  ASSERT_EQ(rank(), TW_OK);
  EXPECT_EQ(WarningOf(error_).substr(0, 32), "/parcel/weight_ng: found 999999 ");
  EXPECT_EQ(tw_rank(ranking.get(), dispatch.get(), &request, nullptr), TW_OK);  // with nobody to tell
  // A call that fails says why, and no warning.
  parcel.packaging = "nothing-like-this";
  ASSERT_EQ(rank(), TW_E_INPUT);
  EXPECT_EQ(tw_error_count(error_.get()), 1u);
}

TEST_F(Warnings, PackingAloneWarnsAsRankingDoes) {
  tw_item item = TW_ITEM_INIT;
  item.weight_ng = 54;
  for (std::int64_t& side : item.sides_nm) side = TW_INCH;
  tw_packaging carton = TW_PACKAGING_INIT;
  for (std::int64_t& side : carton.inside_nm) side = 2 * TW_INCH;
  tw_arrangement* found = nullptr;
  ASSERT_EQ(tw_arrange(&found, &item, 1, &carton, nullptr, error_.get()), TW_OK);
  tw_arrangement_free(found);
  EXPECT_EQ(WarningOf(error_).substr(0, 30), "/items/0/weight_ng: found 54 n");
}

TEST_F(Warnings, APromiseThatWasForgotten) {
  const auto warned = [&] {
    tw_dispatch* dispatch = nullptr;
    EXPECT_EQ(tw_dispatch_create(&dispatch, book_.get(), nullptr, &shipment_, error_.get()), TW_OK)
        << tw_error_message(error_.get());
    tw_dispatch_release(dispatch);
    return WarningOf(error_);
  };
  EXPECT_EQ(warned(), "");
  shipment_.within_days = 3;
  EXPECT_EQ(warned(), "/within_days: found 3 without TW_PROMISE_WITHIN, which it is for: nothing is promised by it");
  tw_repricer* repricer = nullptr;
  tw_lane lane = TW_LANE_INIT;
  lane.from_country = lane.to_country = "US", lane.from_postal_code = "05401", lane.to_postal_code = "60614";
  ASSERT_EQ(tw_repricer_create(&repricer, book_.get(), nullptr, &shipment_, &lane, 1, nullptr, error_.get()), TW_OK);
  tw_repricer_release(repricer);
  EXPECT_EQ(WarningOf(error_).substr(0, 12), "/within_days");
  shipment_.promise = TW_PROMISE_WITHIN;
  EXPECT_EQ(warned(), "");
  shipment_.promise = TW_PROMISE_BY, shipment_.within_days = 0, shipment_.by_date = shipment_.date + 4;
  EXPECT_EQ(warned(), "");
  shipment_.promise = TW_PROMISE_NONE;
  EXPECT_EQ(warned().substr(0, 9), "/by_date:");
  shipment_.by_date = 0, shipment_.paid_for = "harbourline/parcel";
  EXPECT_EQ(
      warned(),
      "/paid_for: found \"harbourline/parcel\" without TW_PROMISE_PAID_FOR, which it is for: nothing is promised by "
      "it");
  shipment_.paid_for = "";  // as a program has it that always sets the field
  EXPECT_EQ(warned(), "");
}

std::string OrderIn(const char* parcels) {
  return std::string(
             R"({"format": "tarewise-request-1", "goods": [{"weight": "5 lb", "sides": "12 x 9 x 4 in", "quantity": 2}],
    "from": {"country": "US", "postal_code": "05401"}, "to": {"country": "US", "postal_code": "98101"},
    "date": "2026-08-03", "currency": "USD")") +
         parcels + "}";
}

TEST_F(Warnings, AnOrderThatMayBePartedIsRankedInOne) {
  const capi_test::RankingPtr ranking = capi_test::NewRanking();
  const auto rank = [&](const std::string& order) {
    return tw_rank_json(ranking.get(), book_.get(), tw_ratebook_shelf(book_.get()), order.data(), order.size(),
                        error_.get());
  };
  ASSERT_EQ(rank(OrderIn("")), TW_OK);
  EXPECT_EQ(WarningOf(error_), "");
  const std::size_t offers = tw_ranking_offer_count(ranking.get());
  ASSERT_EQ(rank(OrderIn(R"(, "parcels": {"most": 2})")), TW_OK);
  EXPECT_EQ(WarningOf(error_),
            "/parcels: found an order that may go in several parcels, ranked in one: tw_find_plans_json takes several");
  EXPECT_EQ(tw_ranking_offer_count(ranking.get()), offers);
  std::string sealed = OrderIn("");
  const std::size_t goods = sealed.find("\"goods\"");
  sealed.replace(
      goods, sealed.find(']') + 1 - goods,
      R"("sealed": [{"weight": "5 lb", "sides": "12 x 9 x 4 in"}, {"weight": "5 lb", "sides": "12 x 9 x 4 in"}])");
  ASSERT_EQ(rank(sealed), TW_E_INPUT);
  EXPECT_STREQ(tw_error_message(error_.get()),
               "/sealed: found several sealed parcels, expected one, as \"parcel\"; tw_find_plans_json takes several");
}

TEST_F(Warnings, ANameThatSaysNoDocument) {
  const char shelf[] = R"({"format": "tarewise-shelf-1", "packaging": []})";
  tw_source sources[2] = {TW_SOURCE_INIT, TW_SOURCE_INIT};
  sources[0].name = "shelf.json", sources[0].text = shelf, sources[0].length = std::strlen(shelf);
  sources[1] = sources[0];
  sources[1].name = "kestrel.jsn";
  tw_ratebook* book = nullptr;
  ASSERT_EQ(tw_ratebook_load_memory(&book, sources, 2, error_.get()), TW_OK) << tw_error_message(error_.get());
  tw_ratebook_release(book);
  EXPECT_EQ(WarningOf(error_), ": found \"kestrel.jsn\", whose name ends in neither .json nor .csv: it is passed over");
  ASSERT_EQ(tw_ratebook_load_memory(&book, sources, 1, error_.get()), TW_OK);
  tw_ratebook_release(book);
  EXPECT_EQ(WarningOf(error_), "");
}

// The field in `pointer` and the rest in `message`, whoever found it: a structure, a parameter, the library.
TEST_F(Warnings, EachErrorNamesItsField) {
  const capi_test::DispatchPtr dispatch =
      capi_test::NewDispatch(book_.get(), tw_ratebook_shelf(book_.get()), shipment_);
  const capi_test::RankingPtr ranking = capi_test::NewRanking();
  const auto told = [&](tw_status status, tw_status expected) {
    EXPECT_EQ(status, expected);
    tw_finding finding = TW_FINDING_INIT;
    EXPECT_EQ(tw_error_finding(&finding, error_.get(), 0), TW_OK);
    EXPECT_EQ(std::string(finding.message).substr(0, 5), "found");
    EXPECT_EQ(tw_error_message(error_.get()), std::string(finding.pointer) + ": " + finding.message);
    return std::string(tw_error_message(error_.get()));
  };
  tw_item item = TW_ITEM_INIT;
  tw_request request = TW_REQUEST_INIT;
  request.items = &item, request.item_count = 1;
  const auto ranked = [&](tw_status expected) {
    return told(tw_rank(ranking.get(), dispatch.get(), &request, error_.get()), expected);
  };
  EXPECT_EQ(ranked(TW_E_INPUT), "/items/0/weight_ng: found 0 ng, expected 1 ng to 100000 kg");
  item.weight_ng = TW_OUNCE, item.sides_nm[0] = 51'000 * TW_MILLIMETRE;
  EXPECT_EQ(ranked(TW_E_INPUT), "/items/0/sides_nm: found 51000000000 nm, expected 1 nm to 50 m");
  for (std::int64_t& side : item.sides_nm) side = TW_INCH;
  item.value_micros = -1;
  EXPECT_EQ(ranked(TW_E_INPUT),
            "/items/0/value_micros: found -1 millionths, expected 0 millionths to 1000 million units");
  item.value_micros = 0, item.struct_size = 5;
  EXPECT_EQ(ranked(TW_E_STRUCT_SIZE).substr(0, 21), "/items/0/struct_size:");
  EXPECT_EQ(told(tw_rank(ranking.get(), dispatch.get(), nullptr, error_.get()), TW_E_NULL),
            "/request: found NULL, expected a pointer");
  tw_dispatch* made = nullptr;
  const auto dispatched = [&] {
    return told(tw_dispatch_create(&made, book_.get(), nullptr, &shipment_, error_.get()), TW_E_INPUT);
  };
  shipment_.promise = TW_PROMISE_PAID_FOR, shipment_.paid_for = "harbourline/prcel";
  EXPECT_EQ(dispatched().substr(0, 10), "/paid_for:");
  shipment_.promise = TW_PROMISE_NONE, shipment_.paid_for = nullptr, shipment_.currency = nullptr;
  EXPECT_EQ(dispatched().substr(0, 10), "/currency:");
  char small[2];
  EXPECT_EQ(told(tw_format_money(small, sizeof small, nullptr, 7'990'000, "USD", error_.get()), TW_E_BUFFER),
            "/capacity: found 2, expected 5 or more");
}

}  // namespace
