#include <cstdint>
#include <cstring>
#include <string>
#include <vector>

#include "support.h"

namespace {

using capi_test::ErrorPtr;
using capi_test::NewError;

tw_finding FirstOf(const tw_error* error) {
  tw_finding finding = TW_FINDING_INIT;
  EXPECT_EQ(tw_error_finding(&finding, error, 0), TW_OK);
  return finding;
}

// Pinned: a status keeps its number and its name for good.
TEST(Errors, StatusesArePinned) {
  const std::pair<tw_status, const char*> pinned[] = {{0, "TW_OK"},
                                                      {100, "TW_E_INPUT"},
                                                      {101, "TW_E_REQUEST"},
                                                      {200, "TW_E_TABLE"},
                                                      {201, "TW_E_FILE"},
                                                      {400, "TW_E_NULL"},
                                                      {401, "TW_E_STRUCT_SIZE"},
                                                      {402, "TW_E_INDEX"},
                                                      {403, "TW_E_NOT_ASKED"},
                                                      {404, "TW_E_TEXT"},
                                                      {405, "TW_E_BUFFER"},
                                                      {406, "TW_E_HANDLE"},
                                                      {407, "TW_E_COUNT"},
                                                      {500, "TW_E_CANCELLED"},
                                                      {900, "TW_E_MEMORY"},
                                                      {901, "TW_E_INTERNAL"},
                                                      {1, "TW_E_UNKNOWN"},
                                                      {-1, "TW_E_UNKNOWN"}};
  for (const auto& [status, name] : pinned) EXPECT_STREQ(tw_status_name(status), name);
  const char* reasons[] = {"",
                           "not_in_force",
                           "currency_differs",
                           "no_zone",
                           "packaging_not_allowed",
                           "does_not_fit",
                           "out_of_stock",
                           "promise_not_met",
                           "contents_not_accepted",
                           "over_limit",
                           "no_price",
                           "extra_not_offered",
                           "not_wanted",
                           "delivered_elsewhere",
                           "extras_disagree",
                           ""};
  for (int i = 0; i < 16; ++i) EXPECT_STREQ(tw_reason_name(i), reasons[i]);
  EXPECT_STREQ(tw_reason_name(-1), "");
}

TEST(Errors, NullIsSafeEverywhere) {
  tw_error_free(nullptr);
  tw_ratebook_release(nullptr);
  tw_shelf_release(nullptr);
  tw_dispatch_release(nullptr);
  tw_ranking_free(nullptr);
  tw_ratebook_slot_free(nullptr);
  EXPECT_EQ(tw_error_create(nullptr), TW_E_NULL);
  EXPECT_EQ(tw_error_status(nullptr), TW_OK);
  EXPECT_STREQ(tw_error_message(nullptr), "");
  EXPECT_EQ(tw_error_count(nullptr), 0u);
  EXPECT_EQ(tw_error_finding(nullptr, nullptr, 0), TW_E_NULL);
  EXPECT_EQ(tw_ratebook_load_folder(nullptr, "x", nullptr), TW_E_NULL);
  tw_ratebook* book = nullptr;
  EXPECT_EQ(tw_ratebook_load_folder(&book, nullptr, nullptr), TW_E_NULL);
  EXPECT_EQ(tw_ratebook_load_files(&book, nullptr, 1, nullptr), TW_E_NULL);
  EXPECT_EQ(tw_ratebook_load_memory(&book, nullptr, 1, nullptr), TW_E_NULL);
  EXPECT_EQ(tw_ratebook_retain(nullptr), nullptr);
  EXPECT_EQ(tw_ratebook_shelf(nullptr), nullptr);
  EXPECT_EQ(tw_ratebook_tariff_count(nullptr), 0u);
  EXPECT_EQ(tw_dispatch_create(nullptr, nullptr, nullptr, nullptr, nullptr), TW_E_NULL);
  EXPECT_EQ(tw_dispatch_service_count(nullptr), 0u);
  EXPECT_EQ(tw_dispatch_packaging_count(nullptr), 0u);
  EXPECT_STREQ(tw_dispatch_currency(nullptr), "");
  EXPECT_EQ(tw_dispatch_currency_decimals(nullptr), 0);
  EXPECT_EQ(tw_rank(nullptr, nullptr, nullptr, nullptr), TW_E_NULL);
  EXPECT_EQ(tw_rank_json(nullptr, nullptr, nullptr, nullptr, 0, nullptr), TW_E_NULL);
  EXPECT_EQ(tw_ranking_offer_count(nullptr), 0u);
  EXPECT_EQ(tw_ranking_refusal_count(nullptr), 0u);
  EXPECT_EQ(tw_ranking_caution_count(nullptr), 0u);
  EXPECT_EQ(tw_ranking_change_count(nullptr), 0u);
  EXPECT_EQ(tw_ranking_dispatch(nullptr), nullptr);
  EXPECT_STREQ(tw_ranking_currency(nullptr), "");
  EXPECT_EQ(tw_ranking_is_estimate(nullptr), 0);
  EXPECT_EQ(tw_ratebook_slot_set(nullptr, nullptr), TW_E_NULL);
  EXPECT_EQ(tw_ratebook_slot_get(&book, nullptr), TW_E_NULL);
  EXPECT_EQ(tw_ratebook_slot_generation(nullptr), 0u);
  EXPECT_EQ(tw_parse_weight(nullptr, "1 lb", nullptr), TW_E_NULL);
  EXPECT_EQ(book, nullptr);
}

TEST(Errors, AHandleOfAnotherKindIsTold) {
  const ErrorPtr error = NewError();
  const capi_test::RankingPtr ranking = capi_test::NewRanking();
  const capi_test::BookPtr book = capi_test::LoadBook();
  const auto* wrong = reinterpret_cast<const tw_dispatch*>(book.get());
  tw_request request = TW_REQUEST_INIT;
  EXPECT_EQ(tw_rank(ranking.get(), wrong, &request, error.get()), TW_E_HANDLE);
  EXPECT_STREQ(tw_error_message(error.get()), "found another handle, expected a tw_dispatch");
}

TEST(Errors, ATablesFindingSaysWhere) {
  const std::string bad = "{\n  \"format\": \"tarewise-tariff-1\",\n  \"carrier\": 7\n}\n";
  tw_source source = TW_SOURCE_INIT;
  source.name = "folder/bad.json";
  source.text = bad.data();
  source.length = bad.size();
  const ErrorPtr error = NewError();
  tw_ratebook* book = nullptr;
  ASSERT_EQ(tw_ratebook_load_memory(&book, &source, 1, error.get()), TW_E_TABLE);
  EXPECT_EQ(book, nullptr);
  EXPECT_EQ(tw_error_status(error.get()), TW_E_TABLE);
  ASSERT_GT(tw_error_count(error.get()), 1u);  // every finding, not the first alone
  bool carrier = false;
  for (std::size_t i = 0; i < tw_error_count(error.get()); ++i) {
    tw_finding finding = TW_FINDING_INIT;
    ASSERT_EQ(tw_error_finding(&finding, error.get(), i), TW_OK);
    EXPECT_STREQ(finding.file, "folder/bad.json");
    EXPECT_GT(finding.number, 0);
    EXPECT_NE(finding.message[0], '\0');
    if (std::strcmp(finding.pointer, "/carrier") == 0) {
      carrier = true;
      EXPECT_EQ(finding.line, 3);
      EXPECT_EQ(finding.column, 14);
      EXPECT_NE(std::strstr(finding.message, "7"), nullptr);
    }
  }
  EXPECT_TRUE(carrier);
  tw_finding finding = TW_FINDING_INIT;
  EXPECT_EQ(tw_error_finding(&finding, error.get(), tw_error_count(error.get())), TW_E_INDEX);
  // The next call empties it.
  std::int64_t ng = 0;
  EXPECT_EQ(tw_parse_weight(&ng, "1 lb", error.get()), TW_OK);
  EXPECT_EQ(tw_error_count(error.get()), 0u);
  EXPECT_STREQ(tw_error_message(error.get()), "");
  EXPECT_EQ(tw_error_status(error.get()), TW_OK);
}

TEST(Errors, AMissingFileOrFolder) {
  const ErrorPtr error = NewError();
  tw_ratebook* book = nullptr;
  EXPECT_EQ(tw_ratebook_load_folder(&book, "no/such/folder", error.get()), TW_E_FILE);
  EXPECT_NE(std::strstr(tw_error_message(error.get()), "no/such/folder"), nullptr);
  const char* paths[] = {"no/such.json"};
  EXPECT_EQ(tw_ratebook_load_files(&book, paths, 1, error.get()), TW_E_FILE);
  EXPECT_NE(std::strstr(tw_error_message(error.get()), "no/such.json"), nullptr);
  tw_shelf* shelf = nullptr;
  EXPECT_EQ(tw_shelf_load_file(&shelf, "no/shelf.csv", error.get()), TW_E_FILE);
}

TEST(Errors, ARequestFindingSaysWhere) {
  const capi_test::BookPtr book = capi_test::LoadBook();
  const capi_test::RankingPtr ranking = capi_test::NewRanking();
  const ErrorPtr error = NewError();
  const std::string request =
      "{\"format\": \"tarewise-request-1\",\n"
      " \"parcel\": {\"weight\": \"31.3\", \"sides\": \"14 x 9 x 5 in\"},\n"
      " \"from\": {\"country\": \"US\"}, \"to\": {\"country\": \"US\"}, \"date\": \"2026-08-03\"}";
  ASSERT_EQ(tw_rank_json(ranking.get(), book.get(), nullptr, request.data(), request.size(), error.get()),
            TW_E_REQUEST);
  const tw_finding finding = FirstOf(error.get());
  EXPECT_EQ(finding.line, 2);
  EXPECT_STREQ(finding.pointer, "/parcel/weight");
  EXPECT_NE(std::strstr(finding.message, "31.3"), nullptr);
  EXPECT_EQ(tw_ranking_offer_count(ranking.get()), 0u);
}

// Typed calls name the field.
TEST(Errors, ATypedCallNamesTheField) {
  const capi_test::BookPtr book = capi_test::LoadBook();
  const capi_test::DispatchPtr dispatch = capi_test::NewDispatch(book.get(), nullptr, capi_test::Shipment());
  const capi_test::RankingPtr ranking = capi_test::NewRanking();
  const ErrorPtr error = NewError();
  tw_item items[2] = {TW_ITEM_INIT, TW_ITEM_INIT};
  tw_request request = TW_REQUEST_INIT;
  request.items = items;
  request.item_count = 2;
  auto fill = [&items] {
    for (tw_item& item : items) {
      item = TW_ITEM_INIT;
      item.weight_ng = TW_POUND;
      for (std::int64_t& side : item.sides_nm) side = 5 * TW_INCH;
    }
  };
  struct Broken {
    const char* pointer;
    void (*breaks)(tw_item&);
    tw_status status = TW_E_INPUT;
  };
  const Broken broken[] = {
      {"/items/1/weight_ng", [](tw_item& i) { i.weight_ng = 0; }},
      {"/items/1/weight_ng", [](tw_item& i) { i.weight_ng = INT64_MIN; }},
      {"/items/1/weight_ng", [](tw_item& i) { i.weight_ng = INT64_MAX; }},
      {"/items/1/weight_most_ng", [](tw_item& i) { i.weight_most_ng = 1; }},
      {"/items/1/sides_nm", [](tw_item& i) { i.sides_nm[2] = -1; }},
      {"/items/1/sides_nm", [](tw_item& i) { i.sides_nm[0] = 50'000'000'001; }},
      {"/items/1/sides_most_nm", [](tw_item& i) { i.sides_most_nm[1] = 2; }},
      {"/items/1/quantity", [](tw_item& i) { i.quantity = 0; }},
      {"/items/1/quantity", [](tw_item& i) { i.quantity = 10'001; }},
      {"/items/1/value_micros", [](tw_item& i) { i.value_micros = -1; }},
      {"/items/1/shape", [](tw_item& i) { i.shape = 5; }},
      {"/items/1/flags", [](tw_item& i) { i.flags = 16; }},
      {"/items/1/contents", [](tw_item& i) { i.contents = 0x1000; }},
      {"/items/1/own_trait_count", [](tw_item& i) { i.own_trait_count = 101; }},
      {"/items/1/own_traits", [](tw_item& i) { i.own_trait_count = 1; }, TW_E_NULL},
      {"/items/1/own_traits",
       [](tw_item& i) {
         static const char* const kWords[] = {"frajile"};
         i.own_traits = kWords;
         i.own_trait_count = 1;
       }},
      {"/items/1/own_traits",
       [](tw_item& i) {
         static const char* const kWords[] = {"x-\xFF"};
         i.own_traits = kWords;
         i.own_trait_count = 1;
       },
       TW_E_TEXT},
  };
  fill();
  ASSERT_EQ(tw_rank(ranking.get(), dispatch.get(), &request, error.get()), TW_OK) << tw_error_message(error.get());
  for (const Broken& one : broken) {
    fill();
    one.breaks(items[1]);
    EXPECT_EQ(tw_rank(ranking.get(), dispatch.get(), &request, error.get()), one.status) << one.pointer;
    EXPECT_STREQ(FirstOf(error.get()).pointer, one.pointer);
    EXPECT_EQ(tw_ranking_offer_count(ranking.get()), 0u);  // nothing of the answer before is left
  }
  fill();
  tw_parcel parcel = capi_test::Parcel();
  request.parcel = &parcel;
  EXPECT_EQ(tw_rank(ranking.get(), dispatch.get(), &request, error.get()), TW_E_INPUT);  // items and a parcel
  request.items = nullptr;
  request.item_count = 0;
  parcel.packaging = "no-such-box";
  EXPECT_EQ(tw_rank(ranking.get(), dispatch.get(), &request, error.get()), TW_E_INPUT);
  EXPECT_STREQ(FirstOf(error.get()).pointer, "/parcel/packaging");
  request.parcel = nullptr;
  EXPECT_EQ(tw_rank(ranking.get(), dispatch.get(), &request, error.get()), TW_E_INPUT);  // neither
  request.items = items;
  request.item_count = SIZE_MAX;
  EXPECT_EQ(tw_rank(ranking.get(), dispatch.get(), &request, error.get()), TW_E_COUNT);
}

TEST(Errors, AShipmentNamesTheField) {
  const capi_test::BookPtr book = capi_test::LoadBook();
  const ErrorPtr error = NewError();
  static const char* const kTwice[] = {"signature", "signature"};
  static const char* const kEur[] = {"EUR"};
  static const std::int64_t kZero[] = {0};
  struct Broken {
    const char* pointer;
    void (*breaks)(tw_shipment&);
    tw_status status = TW_E_INPUT;
  };
  const Broken broken[] = {
      {"/from_country", [](tw_shipment& s) { s.from_country = nullptr; }, TW_E_NULL},
      {"/to_country", [](tw_shipment& s) { s.to_country = "usa"; }},
      {"/to_country", [](tw_shipment& s) { s.to_country = "XX"; }},
      {"/to_postal_code", [](tw_shipment& s) { s.to_postal_code = "2134"; }},
      {"/to_postal_code", [](tw_shipment& s) { s.to_postal_code = "9810I"; }},
      {"/from_postal_code", [](tw_shipment& s) { s.from_postal_code = "981010"; }},
      {"/from_postal_code", [](tw_shipment& s) { s.from_postal_code = "43_004"; }},
      {"/to_residential", [](tw_shipment& s) { s.to_residential = 2; }},
      {"/date", [](tw_shipment& s) { s.date = INT32_MAX; }},
      {"/promise", [](tw_shipment& s) { s.promise = 4; }},
      {"/within_days", [](tw_shipment& s) { s.promise = TW_PROMISE_WITHIN, s.within_days = -1; }},
      {"/paid_for", [](tw_shipment& s) { s.promise = TW_PROMISE_PAID_FOR; }, TW_E_NULL},
      {"/paid_for", [](tw_shipment& s) { s.promise = TW_PROMISE_PAID_FOR, s.paid_for = "harbourline/"; }},
      {"/paid_for", [](tw_shipment& s) { s.promise = TW_PROMISE_PAID_FOR, s.paid_for = "harbourline/prcel"; }},
      {"/extras", [](tw_shipment& s) { s.extra_count = 1; }, TW_E_NULL},
      {"/extras", [](tw_shipment& s) { s.extra_count = 2, s.extras = kTwice; }},
      {"/extras", [](tw_shipment& s) { s.extra_count = SIZE_MAX, s.extras = kTwice; }, TW_E_COUNT},
      {"/cover_micros", [](tw_shipment& s) { s.cover_micros = -1; }},
      {"/currency", [](tw_shipment& s) { s.currency = "usd"; }},
      {"/currency", [](tw_shipment& s) { s.currency = "\xC3"; }, TW_E_TEXT},
      {"/exchange_micros", [](tw_shipment& s) { s.exchange_count = 1, s.exchange_currencies = kEur; }, TW_E_NULL},
      {"/exchange_micros",
       [](tw_shipment& s) { s.exchange_count = 1, s.exchange_currencies = kEur, s.exchange_micros = kZero; }},
  };
  for (const Broken& one : broken) {
    tw_shipment shipment = capi_test::Shipment();
    one.breaks(shipment);
    tw_dispatch* dispatch = nullptr;
    EXPECT_EQ(tw_dispatch_create(&dispatch, book.get(), nullptr, &shipment, error.get()), one.status) << one.pointer;
    EXPECT_STREQ(FirstOf(error.get()).pointer, one.pointer) << tw_error_message(error.get());
    EXPECT_EQ(dispatch, nullptr);
  }
}

TEST(Errors, ALaneTellsWhatItsCodeMayHaveBeen) {
  const capi_test::BookPtr book = capi_test::LoadBook();
  const ErrorPtr error = NewError();
  struct Asked {
    const char* country;
    const char* code;
    std::int64_t share;
    const char* pointer;  // Null: taken.
    const char* message;
  };
  const Asked asked[] = {
      {"US", "2134", 0, "/lanes/1/to_postal_code",
       "found \"2134\", expected five digits, perhaps a hyphen and four more; was it \"02134\"?"},
      {"US", "9810I", 0, "/lanes/1/to_postal_code",
       "found \"9810I\", expected five digits, perhaps a hyphen and four more; was it \"98101\"?"},
      {"US", "981010", 0, "/lanes/1/to_postal_code",
       "found \"981010\", expected five digits, perhaps a hyphen and four more"},
      {"XX", "98101", 0, "/lanes/1/to_country", "found \"XX\", expected an ISO 3166-1 code such as \"US\""},
      {"US", "902", 0, "/lanes/1/to_postal_code",
       "found \"902\", expected five digits, perhaps a hyphen and four more; was it \"00902\"?"},
      // With a share it is of a mix, whose places may be areas.
      {"US", "902", 5, nullptr, nullptr},
      {"US", "2134", 5, "/lanes/1/to_postal_code",
       "found \"2134\", expected five digits, perhaps a hyphen and four more, or a shorter beginning of such a code; "
       "was it "
       "\"02134\"?"},
      {"XX", "", 5, "/lanes/1/to_country", "found \"XX\", expected an ISO 3166-1 code such as \"US\""},
  };
  for (const Asked& one : asked) {
    tw_lane lanes[2] = {TW_LANE_INIT, TW_LANE_INIT};
    for (tw_lane& lane : lanes) {
      lane.from_country = lane.to_country = "US";
      lane.from_postal_code = "05401";
      lane.to_postal_code = "60614";
      lane.share = one.share;
    }
    lanes[1].to_country = one.country;
    lanes[1].to_postal_code = one.code;
    const tw_shipment shipment = capi_test::Shipment();
    tw_repricer* repricer = nullptr;
    const tw_status status = tw_repricer_create(&repricer, book.get(), tw_ratebook_shelf(book.get()), &shipment, lanes,
                                                2, nullptr, error.get());
    const capi_test::RepricerPtr made(repricer);
    EXPECT_EQ(status, one.pointer == nullptr ? TW_OK : TW_E_INPUT) << one.code;
    if (one.pointer == nullptr) continue;
    EXPECT_STREQ(FirstOf(error.get()).pointer, one.pointer);
    EXPECT_STREQ(FirstOf(error.get()).message, one.message);
  }
}

TEST(Errors, DetailThatWasNotAskedFor) {
  const capi_test::BookPtr book = capi_test::LoadBook();
  const capi_test::DispatchPtr dispatch = capi_test::NewDispatch(book.get(), nullptr, capi_test::Shipment());
  const capi_test::RankingPtr ranking = capi_test::NewRanking();
  tw_parcel parcel = capi_test::Parcel();
  tw_request request = TW_REQUEST_INIT;
  request.parcel = &parcel;
  tw_offer offer = TW_OFFER_INIT;
  EXPECT_EQ(tw_ranking_offer(&offer, ranking.get(), 0, nullptr), TW_E_INDEX);  // an empty ranking
  ASSERT_EQ(tw_rank(ranking.get(), dispatch.get(), &request, nullptr), TW_OK);
  tw_charge charge = TW_CHARGE_INIT;
  tw_saver saver = TW_SAVER_INIT;
  tw_refusal refusal = TW_REFUSAL_INIT;
  const char* json = nullptr;
  EXPECT_EQ(tw_ranking_charge(&charge, ranking.get(), 0, 0, nullptr), TW_E_NOT_ASKED);
  EXPECT_EQ(tw_ranking_saver(&saver, ranking.get(), 0, 0, nullptr), TW_E_NOT_ASKED);
  EXPECT_EQ(tw_ranking_refusal(&refusal, ranking.get(), 0, nullptr), TW_E_NOT_ASKED);
  EXPECT_EQ(tw_ranking_json(&json, nullptr, ranking.get(), -1, nullptr), TW_E_NOT_ASKED);
  EXPECT_EQ(tw_ranking_offer(&offer, ranking.get(), 1'000, nullptr), TW_E_INDEX);
  request.detail = TW_DETAIL_CHARGES;
  ASSERT_EQ(tw_rank(ranking.get(), dispatch.get(), &request, nullptr), TW_OK);
  EXPECT_EQ(tw_ranking_charge(&charge, ranking.get(), 0, 0, nullptr), TW_OK);
  EXPECT_EQ(tw_ranking_charge(&charge, ranking.get(), 0, 99, nullptr), TW_E_INDEX);
  EXPECT_EQ(tw_ranking_saver(&saver, ranking.get(), 0, 0, nullptr), TW_E_NOT_ASKED);
  EXPECT_EQ(tw_ranking_json(&json, nullptr, ranking.get(), 17, nullptr), TW_E_INPUT);
}

TEST(Errors, TextInAndOut) {
  const ErrorPtr error = NewError();
  char buffer[32];
  std::size_t size = 0;
  ASSERT_EQ(tw_format_weight(buffer, sizeof buffer, &size, 31 * TW_OUNCE, "oz", error.get()), TW_OK);
  EXPECT_STREQ(buffer, "31 oz");
  EXPECT_EQ(size, 6u);
  buffer[0] = 'z';
  EXPECT_EQ(tw_format_weight(buffer, 5, &size, 31 * TW_OUNCE, "oz", error.get()), TW_E_BUFFER);
  EXPECT_EQ(buffer[0], 'z');
  EXPECT_EQ(size, 6u);
  EXPECT_EQ(tw_format_weight(nullptr, 0, &size, 31 * TW_OUNCE, "oz", error.get()), TW_E_BUFFER);
  EXPECT_EQ(tw_format_weight(nullptr, 9, &size, 31 * TW_OUNCE, "oz", error.get()), TW_E_NULL);
  EXPECT_EQ(tw_format_weight(buffer, sizeof buffer, nullptr, 1, "stone", error.get()), TW_E_INPUT);
  ASSERT_EQ(tw_format_length(buffer, sizeof buffer, nullptr, 254 * TW_MILLIMETRE, "in", nullptr), TW_OK);
  EXPECT_STREQ(buffer, "10 in");
  ASSERT_EQ(tw_format_money(buffer, sizeof buffer, nullptr, 7'990'000, "USD", nullptr), TW_OK);
  EXPECT_STREQ(buffer, "7.99");
  ASSERT_EQ(tw_format_money(buffer, sizeof buffer, nullptr, -485'000, "USD", nullptr), TW_OK);
  EXPECT_STREQ(buffer, "-0.485");
  std::int32_t days = 0;
  ASSERT_EQ(tw_parse_date(&days, "2026-08-03", nullptr), TW_OK);
  ASSERT_EQ(tw_format_date(buffer, sizeof buffer, nullptr, days, nullptr), TW_OK);
  EXPECT_STREQ(buffer, "2026-08-03");
  EXPECT_EQ(tw_format_date(buffer, sizeof buffer, nullptr, INT32_MIN, nullptr), TW_E_INPUT);
  std::int64_t sides[3] = {};
  ASSERT_EQ(tw_parse_sides(sides, "5 x 14 x 9 in", nullptr), TW_OK);
  EXPECT_EQ(sides[0], 5 * TW_INCH);
  EXPECT_EQ(sides[1], 14 * TW_INCH);
  std::int64_t value = 5;
  EXPECT_EQ(tw_parse_weight(&value, "11.4", error.get()), TW_E_INPUT);
  EXPECT_EQ(value, 5);
  EXPECT_NE(std::strstr(tw_error_message(error.get()), "11.4"), nullptr);
  EXPECT_EQ(tw_parse_money(&value, "1.2345678", error.get()), TW_E_INPUT);
  // What was found is shown even where it is no text.
  EXPECT_EQ(tw_parse_weight(&value, "\xFE lb", error.get()), TW_E_TEXT);
  EXPECT_NE(std::strstr(tw_error_message(error.get()), "\xEF\xBF\xBD lb"), nullptr);
  const std::string endless(5000, '1');
  EXPECT_EQ(tw_parse_weight(&value, endless.c_str(), error.get()), TW_E_TEXT);
}

TEST(Errors, DocumentsFromFilesMemoryAndFolderAreTheSame) {
  const ErrorPtr error = NewError();
  const std::string folder = TW_TEST_TABLES;
  const char* names[] = {"harbourline-2026-07.json",       "harbourline-2026-07-parcel.csv",
                         "harbourline-2026-07-swift.csv",  "harbourline-2026-07-noon.csv",
                         "harbourline-2026-07-abroad.csv", "gazetteer-us.csv"};
  std::vector<std::string> paths;
  std::vector<std::string> texts;
  for (const char* name : names) {
    paths.push_back(folder + "/" + name);
    std::ifstream in(paths.back());
    texts.emplace_back(std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>());
    ASSERT_FALSE(texts.back().empty()) << name;
  }
  std::vector<const char*> raw;
  std::vector<tw_source> sources;
  for (std::size_t i = 0; i < paths.size(); ++i) {
    raw.push_back(paths[i].c_str());
    tw_source source = TW_SOURCE_INIT;
    source.name = names[i];
    source.text = texts[i].data();
    source.length = texts[i].size();
    sources.push_back(source);
  }
  tw_ratebook* by_files = nullptr;
  tw_ratebook* by_memory = nullptr;
  ASSERT_EQ(tw_ratebook_load_files(&by_files, raw.data(), raw.size(), error.get()), TW_OK)
      << tw_error_message(error.get());
  ASSERT_EQ(tw_ratebook_load_memory(&by_memory, sources.data(), sources.size(), error.get()), TW_OK)
      << tw_error_message(error.get());
  const capi_test::BookPtr books[] = {capi_test::BookPtr(by_files), capi_test::BookPtr(by_memory)};
  texts.clear();
  std::vector<std::int64_t> totals;
  for (const capi_test::BookPtr& book : books) {
    EXPECT_EQ(tw_ratebook_tariff_count(book.get()), 1u);
    EXPECT_EQ(tw_ratebook_shelf(book.get()), nullptr);
    const capi_test::DispatchPtr dispatch = capi_test::NewDispatch(book.get(), nullptr, capi_test::Shipment());
    const capi_test::RankingPtr ranking = capi_test::NewRanking();
    tw_parcel parcel = capi_test::Parcel();
    tw_request request = TW_REQUEST_INIT;
    request.parcel = &parcel;
    ASSERT_EQ(tw_rank(ranking.get(), dispatch.get(), &request, error.get()), TW_OK);
    tw_offer offer = TW_OFFER_INIT;
    ASSERT_EQ(tw_ranking_offer(&offer, ranking.get(), 0, error.get()), TW_OK);
    totals.push_back(offer.total_micros);
  }
  EXPECT_EQ(totals[0], totals[1]);
  tw_shelf* shelf = nullptr;
  ASSERT_EQ(tw_shelf_load_file(&shelf, (folder + "/shelf.csv").c_str(), error.get()), TW_OK);
  tw_shelf_release(shelf);
}

// One form at every door: where, what was found, what was expected; and nothing in it that cannot be seen.
TEST(Errors, MessagesHaveOneForm) {
  const capi_test::BookPtr book = capi_test::LoadBook();
  const capi_test::ErrorPtr error = capi_test::NewError();
  const tw_shipment good = capi_test::Shipment();
  auto told = [&](const tw_shipment& shipment) {
    tw_dispatch* out = nullptr;
    EXPECT_EQ(tw_dispatch_create(&out, book.get(), nullptr, &shipment, error.get()), TW_E_INPUT);
    EXPECT_EQ(out, nullptr);
    return std::string(tw_error_message(error.get()));
  };
  tw_shipment shipment = good;
  shipment.date = 0;
  EXPECT_EQ(told(shipment), "/date: found 0, expected a day, counted from 1970-01-01 (tw_parse_date reads one)");
  shipment = good;
  shipment.promise = TW_PROMISE_BY;  // and its day forgotten
  EXPECT_EQ(told(shipment).rfind("/by_date: found 0, expected a day", 0), 0u);
  shipment = good;
  shipment.to_postal_code =
      "606\xE2\x80\x8B"
      "14";  // with a space of no width
  EXPECT_EQ(told(shipment).rfind("/to_postal_code: found \"", 0), 0u) << told(shipment);
  EXPECT_NE(told(shipment).find("606\\u200b14"), std::string::npos) << told(shipment);
  shipment.to_postal_code =
      "\xEF\xBB\xBF"
      "60614";  // with a byte-order mark
  EXPECT_NE(told(shipment).find("\\ufeff60614"), std::string::npos) << told(shipment);
  shipment = good;
  tw_carrier_week week = TW_CARRIER_WEEK_INIT;
  week.carrier = "harbourline";
  week.reserved = 5;
  shipment.carrier_weeks = &week;
  shipment.carrier_week_count = 1;
  EXPECT_EQ(told(shipment), "/carrier_weeks/0/reserved: found 5, expected 0");
  // Reserved fields of what is asked.
  const capi_test::DispatchPtr dispatch = capi_test::NewDispatch(book.get(), nullptr, good);
  const capi_test::RankingPtr ranking = capi_test::NewRanking();
  tw_parcel parcel = capi_test::Parcel();
  tw_request request = TW_REQUEST_INIT;
  request.parcel = &parcel;
  auto asked = [&] {
    EXPECT_EQ(tw_rank(ranking.get(), dispatch.get(), &request, error.get()), TW_E_INPUT);
    return std::string(tw_error_message(error.get()));
  };
  parcel.reserved = 1;
  EXPECT_EQ(asked(), "/parcel/reserved: found 1, expected 0");
  parcel.reserved = 0;
  request.reserved_2 = 3;
  EXPECT_EQ(asked(), "/reserved_2: found 3, expected 0");
  tw_source source = TW_SOURCE_INIT;
  source.name = "shelf.csv";
  source.reserved = 2;
  tw_shelf* shelf = nullptr;
  EXPECT_EQ(tw_shelf_load_memory(&shelf, &source, error.get()), TW_E_INPUT);
  EXPECT_STREQ(tw_error_message(error.get()), "/source/reserved: found 2, expected 0");
}

}  // namespace
