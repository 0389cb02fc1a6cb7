#include <cstddef>
#include <cstring>
#include <string>
#include <type_traits>
#include <vector>

#include "support.h"

namespace {

template <typename T>
struct Case {
  const char* name;
  tw_status (*init)(T*, std::uint32_t);
  T macro;
};

template <typename T>
void Check(const Case<T>& c) {
  SCOPED_TRACE(c.name);
  // The function writes what the macro writes, byte for byte.
  T by_function;
  std::memset(&by_function, 0xA5, sizeof by_function);
  ASSERT_EQ(c.init(&by_function, sizeof(T)), TW_OK);
  EXPECT_EQ(std::memcmp(&by_function, &c.macro, sizeof(T)), 0);
  EXPECT_EQ(by_function.struct_size, sizeof(T));
  // A newer, larger structure: the rest is zeros.
  std::vector<unsigned char> larger(sizeof(T) + 64, 0xA5);
  ASSERT_EQ(c.init(reinterpret_cast<T*>(larger.data()), static_cast<std::uint32_t>(larger.size())), TW_OK);
  std::uint32_t size = 0;
  std::memcpy(&size, larger.data(), sizeof size);
  EXPECT_EQ(size, larger.size());
  for (std::size_t i = sizeof(T); i < larger.size(); ++i) ASSERT_EQ(larger[i], 0) << i;
  // Sizes that no version had.
  for (const std::uint32_t bad : {0u, 1u, 4u, static_cast<std::uint32_t>(sizeof(T)) - 4,
                                  static_cast<std::uint32_t>(sizeof(T)) + 1, 5000u, 0xFFFFFFFFu}) {
    EXPECT_EQ(c.init(&by_function, bad), TW_E_STRUCT_SIZE) << bad;
  }
  EXPECT_EQ(c.init(nullptr, sizeof(T)), TW_E_NULL);
}

TEST(Structs, MacroAndFunctionAgree) {
  Check<tw_finding>({"finding", tw_finding_init, TW_FINDING_INIT});
  Check<tw_source>({"source", tw_source_init, TW_SOURCE_INIT});
  Check<tw_grid_options>({"grid_options", tw_grid_options_init, TW_GRID_OPTIONS_INIT});
  Check<tw_grid_note>({"grid_note", tw_grid_note_init, TW_GRID_NOTE_INIT});
  Check<tw_carrier_week>({"carrier_week", tw_carrier_week_init, TW_CARRIER_WEEK_INIT});
  Check<tw_shipment>({"shipment", tw_shipment_init, TW_SHIPMENT_INIT});
  Check<tw_service>({"service", tw_service_init, TW_SERVICE_INIT});
  Check<tw_packaging>({"packaging", tw_packaging_init, TW_PACKAGING_INIT});
  Check<tw_item>({"item", tw_item_init, TW_ITEM_INIT});
  Check<tw_parcel>({"parcel", tw_parcel_init, TW_PARCEL_INIT});
  Check<tw_request>({"request", tw_request_init, TW_REQUEST_INIT});
  Check<tw_offer>({"offer", tw_offer_init, TW_OFFER_INIT});
  Check<tw_charge>({"charge", tw_charge_init, TW_CHARGE_INIT});
  Check<tw_arranged_unit>({"arranged_unit", tw_arranged_unit_init, TW_ARRANGED_UNIT_INIT});
  Check<tw_arrange_options>({"arrange_options", tw_arrange_options_init, TW_ARRANGE_OPTIONS_INIT});
  Check<tw_fit>({"fit", tw_fit_init, TW_FIT_INIT});
  Check<tw_handicap>({"handicap", tw_handicap_init, TW_HANDICAP_INIT});
  Check<tw_overdue>({"overdue", tw_overdue_init, TW_OVERDUE_INIT});
  Check<tw_saver>({"saver", tw_saver_init, TW_SAVER_INIT});
  Check<tw_refusal>({"refusal", tw_refusal_init, TW_REFUSAL_INIT});
  Check<tw_reason>({"reason", tw_reason_init, TW_REASON_INIT});
  Check<tw_caution>({"caution", tw_caution_init, TW_CAUTION_INIT});
  Check<tw_change>({"change", tw_change_init, TW_CHANGE_INIT});
  Check<tw_goods>({"goods", tw_goods_init, TW_GOODS_INIT});
  Check<tw_lane>({"lane", tw_lane_init, TW_LANE_INIT});
  Check<tw_results>({"results", tw_results_init, TW_RESULTS_INIT});
  Check<tw_reprice_options>({"reprice_options", tw_reprice_options_init, TW_REPRICE_OPTIONS_INIT});
  Check<tw_json_options>({"json_options", tw_json_options_init, TW_JSON_OPTIONS_INIT});
  Check<tw_tariff>({"tariff", tw_tariff_init, TW_TARIFF_INIT});
  Check<tw_zone>({"zone", tw_zone_init, TW_ZONE_INIT});
  Check<tw_example>({"example", tw_example_init, TW_EXAMPLE_INIT});
  Check<tw_place>({"place", tw_place_init, TW_PLACE_INIT});
  Check<tw_fee_tier>({"fee_tier", tw_fee_tier_init, TW_FEE_TIER_INIT});
  Check<tw_fee>({"fee", tw_fee_init, TW_FEE_INIT});
  Check<tw_economics_setup>({"economics_setup", tw_economics_setup_init, TW_ECONOMICS_SETUP_INIT});
  Check<tw_place_total>({"place_total", tw_place_total_init, TW_PLACE_TOTAL_INIT});
  Check<tw_profit>({"profit", tw_profit_init, TW_PROFIT_INIT});
  Check<tw_sale_columns>({"sale_columns", tw_sale_columns_init, TW_SALE_COLUMNS_INIT});
  Check<tw_sale_line>({"sale_line", tw_sale_line_init, TW_SALE_LINE_INIT});
  Check<tw_cell_change>({"cell_change", tw_cell_change_init, TW_CELL_CHANGE_INIT});
  Check<tw_catalogue_facts>({"catalogue_facts", tw_catalogue_facts_init, TW_CATALOGUE_FACTS_INIT});
  Check<tw_row_loss>({"row_loss", tw_row_loss_init, TW_ROW_LOSS_INIT});
}

// A later version's caller gives larger structures, and gets no more written than this version knows.
TEST(Structs, LargerStructuresAreTaken) {
  const capi_test::BookPtr book = capi_test::LoadBook();
  struct {
    tw_shipment known;
    std::uint64_t later;
  } shipment{capi_test::Shipment(), 7};
  shipment.known.struct_size = sizeof shipment;
  tw_dispatch* raw = nullptr;
  ASSERT_EQ(tw_dispatch_create(&raw, book.get(), nullptr, &shipment.known, nullptr), TW_OK);
  const capi_test::DispatchPtr dispatch(raw);
  // Two items of a later version, one after the other.
  struct Later {
    tw_item known = TW_ITEM_INIT;
    std::uint64_t later = 99;
  } items[2];
  for (Later& item : items) {
    item.known.struct_size = sizeof(Later);
    item.known.weight_ng = TW_POUND;
    for (std::int64_t& side : item.known.sides_nm) side = 5 * TW_INCH;
  }
  tw_request request = TW_REQUEST_INIT;
  request.items = &items[0].known;
  request.item_count = 2;
  const capi_test::RankingPtr ranking = capi_test::NewRanking();
  ASSERT_EQ(tw_rank(ranking.get(), dispatch.get(), &request, nullptr), TW_OK);
  EXPECT_GT(tw_ranking_offer_count(ranking.get()), 0u);
  struct {
    tw_offer known = TW_OFFER_INIT;
    std::uint64_t later = 0xABCD;
  } offer;
  offer.known.struct_size = sizeof offer;
  ASSERT_EQ(tw_ranking_offer(&offer.known, ranking.get(), 0, nullptr), TW_OK);
  EXPECT_EQ(offer.known.struct_size, sizeof offer);
  EXPECT_EQ(offer.later, 0xABCDu);
  EXPECT_EQ(offer.known.weight_ng, 2 * TW_POUND + 12 * TW_OUNCE);  // the estimate's allowance
  // Sizes that differ within an array.
  items[1].known.struct_size = sizeof(tw_item);
  const capi_test::ErrorPtr error = capi_test::NewError();
  EXPECT_EQ(tw_rank(ranking.get(), dispatch.get(), &request, error.get()), TW_E_STRUCT_SIZE);
  EXPECT_NE(std::string(tw_error_message(error.get())).find("items/1/struct_size"), std::string::npos);
}

// A program that was built with the first version: its structures lack what came later, and nothing is written past
// them.
TEST(Structs, StructuresOfTheFirstVersionAreTaken) {
  constexpr std::uint32_t kOffer = offsetof(tw_offer, cautions);
  constexpr std::uint32_t kCaution = offsetof(tw_caution, code);
  constexpr std::uint32_t kResults = offsetof(tw_results, cautions);
  EXPECT_EQ(kCaution, 24u);
  tw_offer offer;
  std::memset(&offer, 0xA5, sizeof offer);
  ASSERT_EQ(tw_offer_init(&offer, kOffer), TW_OK);
  EXPECT_EQ(offer.struct_size, kOffer);
  EXPECT_EQ(offer.cautions, 0xA5A5A5A5u);
  EXPECT_EQ(tw_offer_init(&offer, kOffer + 4), TW_E_STRUCT_SIZE) << "a size that no version had";
  const capi_test::BookPtr book = capi_test::LoadBook();
  const tw_shipment shipment = capi_test::Shipment();
  tw_dispatch* raw = nullptr;
  ASSERT_EQ(tw_dispatch_create(&raw, book.get(), nullptr, &shipment, nullptr), TW_OK);
  const capi_test::DispatchPtr dispatch(raw);
  tw_item item = TW_ITEM_INIT;
  item.weight_ng = 52 * TW_POUND;
  for (std::int64_t& side : item.sides_nm) side = 9 * TW_INCH;
  item.contents = TW_CONTENTS_LITHIUM_ALONE;
  tw_request request = TW_REQUEST_INIT;
  request.items = &item;
  request.item_count = 1;
  request.detail = TW_DETAIL_CHARGES;
  const capi_test::RankingPtr ranking = capi_test::NewRanking();
  ASSERT_EQ(tw_rank(ranking.get(), dispatch.get(), &request, nullptr), TW_OK);
  ASSERT_EQ(tw_ranking_offer(&offer, ranking.get(), 0, nullptr), TW_OK);
  EXPECT_EQ(offer.struct_size, kOffer);
  EXPECT_GT(offer.total_micros, 0);
  EXPECT_EQ(offer.cautions, 0xA5A5A5A5u);
  tw_caution caution;
  std::memset(&caution, 0xA5, sizeof caution);
  ASSERT_EQ(tw_caution_init(&caution, kCaution), TW_OK);
  ASSERT_EQ(tw_ranking_caution(&caution, ranking.get(), 0, nullptr), TW_OK);
  EXPECT_NE(std::string(caution.text).find("never go by air"), std::string::npos);
  EXPECT_EQ(caution.code, 0xA5A5A5A5u);

  tw_lane lane = TW_LANE_INIT;
  lane.from_country = lane.to_country = "US";
  lane.from_postal_code = "05401";
  lane.to_postal_code = "98101";
  tw_repricer* made = nullptr;
  ASSERT_EQ(tw_repricer_create(&made, book.get(), nullptr, &shipment, &lane, 1, nullptr, nullptr), TW_OK);
  const capi_test::RepricerPtr repricer(made);
  tw_goods goods = TW_GOODS_INIT;
  goods.rows = 1;
  const std::int64_t weight = 52;
  const std::int64_t side = 9;
  const std::uint32_t contents = TW_CONTENTS_LITHIUM_ALONE;
  goods.weight = {&weight, 8, TW_POUND, TW_ELEMENT_INT64, 0};
  for (tw_column& column : goods.sides) column = {&side, 8, TW_INCH, TW_ELEMENT_INT64, 0};
  goods.contents = {&contents, 4, 1, TW_ELEMENT_UINT32, 0};
  std::int64_t total = 0;
  std::uint32_t cautions = 77;
  tw_results results = TW_RESULTS_INIT;
  results.total_micros = &total;
  results.cautions = &cautions;
  results.struct_size = kResults;
  ASSERT_EQ(tw_reprice(&results, repricer.get(), &goods, nullptr, nullptr), TW_OK);
  EXPECT_GT(total, 0);
  EXPECT_EQ(cautions, 77u) << "what an older program does not know is not asked for";
  results.struct_size = sizeof results;
  ASSERT_EQ(tw_reprice(&results, repricer.get(), &goods, nullptr, nullptr), TW_OK);
  EXPECT_EQ(cautions & (TW_CAUTION_LITHIUM_ALONE | TW_CAUTION_LIFT_WITH_HELP),
            TW_CAUTION_LITHIUM_ALONE | TW_CAUTION_LIFT_WITH_HELP);
}

// Each size that a version had: what came later is not written, and not read.
TEST(Structs, EverySizeThatAVersionHadIsTaken) {
  const capi_test::BookPtr book = capi_test::LoadBook();
  tw_shipment shipment = capi_test::Shipment();
  shipment.accepts = TW_DELIVERS_LOCKER;
  shipment.time_minutes = -7;
  shipment.struct_size = offsetof(tw_shipment, by_date);
  const capi_test::DispatchPtr dispatch = capi_test::NewDispatch(book.get(), nullptr, shipment);
  tw_parcel parcel = capi_test::Parcel();
  tw_request request = TW_REQUEST_INIT;
  request.parcel = &parcel;
  request.detail = TW_DETAIL_CHARGES;
  const capi_test::RankingPtr ranking = capi_test::NewRanking();
  ASSERT_EQ(tw_rank(ranking.get(), dispatch.get(), &request, nullptr), TW_OK);
  ASSERT_GT(tw_ranking_offer_count(ranking.get()), 0u);
  for (const std::size_t of_version :
       {offsetof(tw_offer, cautions), offsetof(tw_offer, delivers), offsetof(tw_offer, cut_to_nm), sizeof(tw_offer)}) {
    const auto size = static_cast<std::uint32_t>(of_version);
    tw_offer offer;
    std::memset(&offer, 0xA5, sizeof offer);
    ASSERT_EQ(tw_offer_init(&offer, size), TW_OK);
    ASSERT_EQ(tw_ranking_offer(&offer, ranking.get(), 0, nullptr), TW_OK);
    EXPECT_EQ(offer.struct_size, size);
    EXPECT_GT(offer.charge_count, 0u);
    EXPECT_EQ(offer.cautions == 0xA5A5A5A5u, size < offsetof(tw_offer, delivers));
    EXPECT_EQ(offer.delivers, size < offsetof(tw_offer, cut_to_nm) ? 0xA5A5A5A5u : TW_DELIVERS_DOOR);
    EXPECT_EQ(offer.cut_to_nm == 0, size == sizeof(tw_offer));
  }
  for (const std::size_t of_version : {offsetof(tw_charge, billed_as), sizeof(tw_charge)}) {
    const auto size = static_cast<std::uint32_t>(of_version);
    tw_charge charge;
    std::memset(&charge, 0xA5, sizeof charge);
    charge.struct_size = size;
    ASSERT_EQ(tw_ranking_charge(&charge, ranking.get(), 0, 0, nullptr), TW_OK);
    EXPECT_STREQ(charge.code, "base");
    std::uintptr_t billed_as = 0;
    std::memcpy(&billed_as, &charge.billed_as, sizeof billed_as);
    EXPECT_EQ(billed_as == static_cast<std::uintptr_t>(0xA5A5A5A5A5A5A5A5u), size < sizeof(tw_charge));
  }
  for (const std::size_t of_version : {offsetof(tw_service, delivers), sizeof(tw_service)}) {
    const auto size = static_cast<std::uint32_t>(of_version);
    tw_service service;
    std::memset(&service, 0xA5, sizeof service);
    service.struct_size = size;
    ASSERT_EQ(tw_dispatch_service(&service, dispatch.get(), 0, nullptr), TW_OK);
    EXPECT_STRNE(service.title, "");
    EXPECT_EQ(service.delivers, size < sizeof(tw_service) ? 0xA5A5A5A5u : TW_DELIVERS_DOOR);
  }
}

// What an older item does not say of how it may lie is not read: it may lie anyhow.
TEST(Structs, AnItemOfEverySizeThatAVersionHadIsTaken) {
  const capi_test::BookPtr book = capi_test::LoadBook();
  const capi_test::DispatchPtr dispatch =
      capi_test::NewDispatch(book.get(), tw_ratebook_shelf(book.get()), capi_test::Shipment());
  tw_item item = TW_ITEM_INIT;
  item.weight_ng = TW_POUND;
  for (std::int64_t& side : item.sides_nm) side = 3 * TW_INCH;
  item.may_stand = 0xFFFFFFFFu;
  item.has_bears = -1;
  item.title = reinterpret_cast<const char*>(std::uintptr_t{1});
  tw_request request = TW_REQUEST_INIT;
  request.items = &item;
  request.item_count = 1;
  const capi_test::RankingPtr ranking = capi_test::NewRanking();
  item.struct_size = offsetof(tw_item, may_stand);
  EXPECT_EQ(tw_rank(ranking.get(), dispatch.get(), &request, nullptr), TW_OK);
  EXPECT_GT(tw_ranking_offer_count(ranking.get()), 0u);
  item.struct_size = sizeof item;
  EXPECT_EQ(tw_rank(ranking.get(), dispatch.get(), &request, nullptr), TW_E_INPUT);
  for (const std::size_t of_version : {offsetof(tw_packaging, least_height_nm), sizeof(tw_packaging)}) {
    tw_packaging packaging;
    std::memset(&packaging, 0xA5, sizeof packaging);
    packaging.struct_size = static_cast<std::uint32_t>(of_version);
    ASSERT_EQ(tw_dispatch_packaging(&packaging, dispatch.get(), 0, nullptr), TW_OK);
    EXPECT_STRNE(packaging.code, "");
    EXPECT_EQ(packaging.least_height_nm == 0, of_version == sizeof(tw_packaging));
  }
}

TEST(Structs, EveryEndOfAServiceHasAName) {
  EXPECT_STREQ(tw_delivers_name(TW_DELIVERS_DOOR), "door");
  EXPECT_STREQ(tw_delivers_name(TW_DELIVERS_POINT), "point");
  EXPECT_STREQ(tw_delivers_name(TW_DELIVERS_LOCKER), "locker");
  for (const std::uint32_t none : {0u, 3u, 8u, 0xFFFFFFFFu}) EXPECT_STREQ(tw_delivers_name(none), "") << none;
}

TEST(Structs, EveryCautionHasANameAndWords) {
  for (std::uint32_t code = 1; code <= TW_CAUTION_MEASURE_SOFT; code <<= 1) {
    EXPECT_STRNE(tw_caution_name(code), "") << code;
    tw_caution caution = TW_CAUTION_INIT;
    ASSERT_EQ(tw_caution_words(&caution, code, nullptr), TW_OK) << code;
    EXPECT_EQ(caution.code, code);
    EXPECT_STRNE(caution.text, "");
    EXPECT_STRNE(caution.source, "");
  }
  EXPECT_STREQ(tw_caution_name(TW_CAUTION_CONFIRM_SURFACE), "confirm_surface");
  tw_caution caution = TW_CAUTION_INIT;
  for (const std::uint32_t none : {0u, 3u, TW_CAUTION_MEASURE_SOFT << 1, 0xFFFFFFFFu}) {
    EXPECT_STREQ(tw_caution_name(none), "") << none;
    const capi_test::ErrorPtr error = capi_test::NewError();
    EXPECT_EQ(tw_caution_words(&caution, none, error.get()), TW_E_INPUT) << none;
    EXPECT_NE(std::string(tw_error_message(error.get())).find("expected one TW_CAUTION_"), std::string::npos);
  }
  EXPECT_EQ(tw_caution_words(nullptr, 1, nullptr), TW_E_NULL);
}

TEST(Structs, ConstantsAreOfTheTypesOfWhatHoldsThem) {
  static_assert(std::is_same_v<decltype(TW_OK), const tw_status>);
  static_assert(std::is_same_v<decltype(TW_RIGID), const decltype(tw_item{}.flags)>);
  // A mix of the two is no warning, which the build would take for an error.
  const tw_status status = tw_item_init(nullptr, sizeof(tw_item));
  EXPECT_EQ(status == TW_OK ? TW_E_INTERNAL : status, TW_E_NULL);
}

TEST(Structs, UnsetSizesAreErrors) {
  const capi_test::BookPtr book = capi_test::LoadBook();
  tw_shipment shipment{};
  tw_dispatch* dispatch = nullptr;
  EXPECT_EQ(tw_dispatch_create(&dispatch, book.get(), nullptr, &shipment, nullptr), TW_E_STRUCT_SIZE);
  EXPECT_EQ(dispatch, nullptr);
  tw_finding finding{};
  const capi_test::ErrorPtr error = capi_test::NewError();
  EXPECT_EQ(tw_error_finding(&finding, error.get(), 0), TW_E_STRUCT_SIZE);
}

TEST(Structs, VersionsAgree) {
  EXPECT_EQ(tw_version(), static_cast<std::uint32_t>(TW_VERSION));
  EXPECT_EQ(tw_abi_version(), static_cast<std::uint32_t>(TW_ABI_VERSION));
  EXPECT_EQ(std::string(tw_version_text()), TW_TEST_VERSION);
}

}  // namespace
