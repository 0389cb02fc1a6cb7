// A parcel of a consignment, in C and as a request document, on the tables of rules-consignment.case; C against C++
// field by field, and one price that is worked by hand there.
#include <cstdint>
#include <memory>
#include <string>
#include <utility>

#include "same_offers.h"
#include "support.h"
#include "tarewise/documents/load.h"
#include "tarewise/ranking/rank.h"

namespace {

constexpr char kPieces[] = TW_TEST_ROOT "/tests/cases/consignment";

TEST(Consignment, CIsAsCppAndAsTheDocument) {
  const capi_test::BookPtr book = capi_test::LoadBook(kPieces);
  const capi_test::RankingPtr typed = capi_test::NewRanking();
  const capi_test::RankingPtr by_json = capi_test::NewRanking();
  const capi_test::ErrorPtr error = capi_test::NewError();
  tarewise::Loaded<tarewise::Tables> tables = tarewise::ReadFolder(kPieces);
  ASSERT_TRUE(tables.ok());
  const auto cpp_book = tarewise::Ratebook::Create(std::move(tables.value->tariffs), {}, {});
  ASSERT_TRUE(cpp_book.ok());
  struct Case {
    std::int32_t others;
    const char* weight;
    bool first;
  };
  for (const Case& one : {Case{0, "0 lb", true}, Case{2, "140 lb", true}, Case{2, "140 lb", false},
                          Case{1, "240.001 lb", false}, Case{999, "0.5 lb", true}}) {
    const std::string document =
        R"({"format": "tarewise-request-1", "date": "2026-08-03", "currency": "USD", )"
        R"("from": {"country": "US", "postal_code": "05401"}, "to": {"country": "US", "postal_code": "60614"}, )"
        R"("parcel": {"weight": "60 lb", "sides": "20 x 20 x 20 in"}, "consignment": {"others": )" +
        std::to_string(one.others) + R"(, "others_weight": ")" + one.weight + R"(", "first": )" +
        (one.first ? "true" : "false") + "}}";
    SCOPED_TRACE(document);
    const tarewise::Loaded<tarewise::Request> asked = tarewise::ReadRequest({"request", document});
    ASSERT_TRUE(asked.ok()) << asked.diagnostics[0].ToString();
    const auto cpp = tarewise::Rank(*cpp_book, nullptr, *asked.value);
    ASSERT_TRUE(cpp.ok()) << cpp.status().message();
    ASSERT_EQ(tw_rank_json(by_json.get(), book.get(), nullptr, document.data(), document.size(), error.get()), TW_OK)
        << tw_error_message(error.get());
    capi_test::ExpectSameOffers(*cpp, by_json.get(), TW_DETAIL_FULL);

    tw_shipment shipment = capi_test::Shipment();
    shipment.to_residential = 0;
    shipment.others = one.others;
    ASSERT_EQ(tw_parse_weight(&shipment.others_weight_ng, one.weight, nullptr), TW_OK);
    shipment.not_first = one.first ? 0 : 1;
    const capi_test::DispatchPtr dispatch = capi_test::NewDispatch(book.get(), nullptr, shipment);
    ASSERT_NE(dispatch, nullptr);
    const tw_parcel parcel = capi_test::Parcel("60 lb", "20 x 20 x 20 in");
    tw_request request = TW_REQUEST_INIT;
    request.parcel = &parcel;
    request.detail = TW_DETAIL_FULL;
    ASSERT_EQ(tw_rank(typed.get(), dispatch.get(), &request, error.get()), TW_OK) << tw_error_message(error.get());
    capi_test::ExpectSameOffers(*cpp, typed.get(), TW_DETAIL_FULL);
    if (one.others != 2) continue;
    bool found = false;
    for (std::size_t i = 0; i < tw_ranking_offer_count(typed.get()); ++i) {
      tw_offer offer = TW_OFFER_INIT;
      ASSERT_EQ(tw_ranking_offer(&offer, typed.get(), i, error.get()), TW_OK);
      if (std::string(offer.service) != "road") continue;
      found = true;
      EXPECT_EQ(offer.total_micros, one.first ? 55'750'000 : 0);
    }
    EXPECT_TRUE(found);
  }
}

TEST(Consignment, ErrorsNameTheirField) {
  const capi_test::BookPtr book = capi_test::LoadBook(kPieces);
  const capi_test::ErrorPtr error = capi_test::NewError();
  const auto field = [&](std::int32_t others, std::int64_t ng, std::int32_t not_first) {
    tw_shipment shipment = capi_test::Shipment();
    shipment.others = others, shipment.others_weight_ng = ng, shipment.not_first = not_first;
    tw_dispatch* dispatch = nullptr;
    const tw_status status = tw_dispatch_create(&dispatch, book.get(), nullptr, &shipment, error.get());
    EXPECT_EQ(dispatch, nullptr);
    EXPECT_EQ(status, TW_E_INPUT);
    tw_finding finding = TW_FINDING_INIT;
    EXPECT_EQ(tw_error_finding(&finding, error.get(), 0), TW_OK);
    return std::string(finding.pointer);
  };
  EXPECT_EQ(field(1000, 1, 0), "/others");
  EXPECT_EQ(field(-1, 0, 0), "/others");
  EXPECT_EQ(field(1, 0, 0), "/others_weight_ng");
  EXPECT_EQ(field(1, TW_KILOGRAM * 100'000 + 1, 0), "/others_weight_ng");
  EXPECT_EQ(field(0, 1, 0), "/others_weight_ng");
  EXPECT_EQ(field(1, 1, 2), "/not_first");
  EXPECT_EQ(field(1, 1, -1), "/not_first");
  EXPECT_EQ(field(0, 0, 1), "/not_first");
  // Each row of a catalogue goes by itself.
  tw_shipment shipment = capi_test::Shipment();
  shipment.others = 1, shipment.others_weight_ng = 1;
  tw_lane lane = TW_LANE_INIT;
  lane.from_country = lane.to_country = "US";
  lane.from_postal_code = "05401", lane.to_postal_code = "60614";
  tw_repricer* repricer = nullptr;
  EXPECT_EQ(tw_repricer_create(&repricer, book.get(), nullptr, &shipment, &lane, 1, nullptr, error.get()), TW_E_INPUT);
  EXPECT_EQ(repricer, nullptr);
}

}  // namespace
