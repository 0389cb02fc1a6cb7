// Documents of answers: the same text from C and C++, written as another JSON writer writes it, and as much of it as is
// asked for.
#include <tarewise_c.h>

#include <algorithm>
#include <cstddef>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <nlohmann/json.hpp>
#include <set>
#include <string>
#include <vector>

#include "support.h"
#include "support/demo_goods.h"
#include "support/random_worlds.h"
#include "tarewise/documents/load.h"
#include "tarewise/documents/plans_json.h"
#include "tarewise/documents/ranking_json.h"
#include "tarewise/plans/plans.h"
#include "tarewise/ranking/rank.h"

namespace {

using Json = nlohmann::ordered_json;
using tarewise::testing::Demo;

std::vector<std::filesystem::path> Orders() {
  std::vector<std::filesystem::path> paths;
  for (const auto& entry : std::filesystem::directory_iterator(TW_TEST_ORDERS)) {
    if (entry.path().extension() == ".json") paths.push_back(entry.path());
  }
  std::sort(paths.begin(), paths.end());
  return paths;
}
std::string TextOf(const std::filesystem::path& path) {
  std::ifstream in(path);
  return {std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>()};
}

std::string Word(const Json& json) { return json.get<std::string>(); }

// Read by another library and written by it, a text is the same to the byte: with two spaces a level, and without.
void ExpectWellWritten(const tarewise::Ranking& ranking) {
  for (const int indent : {2, -1}) {
    const std::string text = tarewise::ToJson(ranking, indent);
    ASSERT_TRUE(text == Json::parse(text).dump(indent)) << "with an indent of " << indent;
  }
}

TEST(JsonOfAnswers, IsWrittenAsAnotherWriterDoes) {
  std::size_t bytes = 0;
  for (const std::filesystem::path& path : Orders()) {
    SCOPED_TRACE(path);
    const tarewise::Loaded<tarewise::Request> request = tarewise::ReadRequest({"request", TextOf(path)});
    ASSERT_TRUE(request.ok());
    const auto ranking = tarewise::Rank(Demo().book, Demo().shelf, *request.value);
    if (!ranking.ok()) continue;
    ExpectWellWritten(*ranking);
    bytes += tarewise::ToJson(*ranking).size();
  }
  EXPECT_GT(bytes, 3'000'000u);
  std::size_t worlds = 0;
  for (const std::filesystem::path& folder : tarewise::testing::RandomWorldFolders()) {
    const tarewise::testing::Compiled world =
        tarewise::testing::Compile(tarewise::testing::LoadTables(folder.string()), folder.string());
    for (const tarewise::Request& request : tarewise::testing::RequestsOf(folder, 5)) {
      const auto ranking = tarewise::Rank(world.book, world.shelf, request);
      if (!ranking.ok()) continue;
      SCOPED_TRACE(folder);
      ExpectWellWritten(*ranking);
      ++worlds;
      if (HasFailure()) return;
    }
  }
  EXPECT_GT(worlds, 100u);
}

// Words that need to be escaped, in titles of one's own.
TEST(JsonOfAnswers, EscapesWhatAnotherWriterEscapes) {
  for (const std::string& title :
       {std::string("quote \" back \\ slash / end"), std::string("\b\f\n\r\t\x01\x1f\x7f"),
        std::string("caf\xC3\xA9 \xE2\x82\xAC \xF0\x9F\x93\xA6"), std::string("\""), std::string("plain")}) {
    tarewise::Tariff tariff = Demo().book->tariffs().front();
    for (tarewise::Service& service : tariff.services) service.title = title;
    tariff.in_force = {};
    const auto book = tarewise::Ratebook::Create({tariff}, {}, Demo().book->gazetteer());
    ASSERT_TRUE(book.ok()) << book.status().message();
    tarewise::Request request = tarewise::testing::RequestOn(tarewise::testing::LaneTo("US", "60614"));
    request.currency = tariff.currency;
    tarewise::Item item;
    item.weight = tarewise::Weight::Ounces(12);
    item.sides = {tarewise::Length::Inches(9), tarewise::Length::Inches(6), tarewise::Length::Inches(2)};
    request.goods = {item};
    const auto ranking = tarewise::Rank(*book, nullptr, request);
    ASSERT_TRUE(ranking.ok()) << ranking.status().message();
    ASSERT_FALSE(ranking->offers().empty());
    ExpectWellWritten(*ranking);
    EXPECT_EQ(Json::parse(tarewise::ToJson(*ranking))["offers"][0]["title"], title);
  }
}

class JsonDetail : public testing::Test {
 protected:
  void Rank(const char* order, std::int32_t detail = TW_DETAIL_FULL) {
    const std::string text = TextOf(std::filesystem::path(TW_TEST_ORDERS) / order);
    ASSERT_EQ(tw_rank_json_with(ranking_.get(), book_.get(), tw_ratebook_shelf(book_.get()), text.data(), text.size(),
                                detail, error_.get()),
              TW_OK)
        << tw_error_message(error_.get());
  }
  Json Told(const tw_json_options* options, std::size_t* bytes = nullptr) {
    const char* json = nullptr;
    std::size_t length = 0;
    EXPECT_EQ(tw_ranking_json_with(&json, &length, ranking_.get(), options, error_.get()), TW_OK)
        << tw_error_message(error_.get());
    if (bytes != nullptr) *bytes = length;
    return Json::parse(std::string(json, length));
  }

  capi_test::BookPtr book_ = capi_test::LoadBook();
  capi_test::RankingPtr ranking_ = capi_test::NewRanking();
  capi_test::ErrorPtr error_ = capi_test::NewError();
};

TEST_F(JsonDetail, AllOfItIsTheWholeDocument) {
  Rank("record.json");
  const char* whole = nullptr;
  std::size_t length = 0;
  ASSERT_EQ(tw_ranking_json(&whole, &length, ranking_.get(), -1, error_.get()), TW_OK);
  const std::string kept(whole, length);
  const char* same = nullptr;
  ASSERT_EQ(tw_ranking_json_with(&same, nullptr, ranking_.get(), nullptr, error_.get()), TW_OK);
  EXPECT_EQ(kept, same);
  tw_json_options options = TW_JSON_OPTIONS_INIT;
  ASSERT_EQ(tw_ranking_json_with(&same, nullptr, ranking_.get(), &options, error_.get()), TW_OK);
  EXPECT_EQ(kept, same);
}

TEST_F(JsonDetail, EachPartIsLeftOutByItself) {
  Rank("two-books-and-a-score.json");
  const Json whole = Told(nullptr);
  ASSERT_TRUE(whole.contains("arrangements"));
  ASSERT_FALSE(whole.contains("left_out"));
  const std::size_t offers = whole["offers"].size();
  const std::size_t refusals = whole["refusals"].size();
  ASSERT_GT(offers, 3u);
  ASSERT_GT(refusals, 3u);
  tw_json_options options = TW_JSON_OPTIONS_INIT;
  auto without = [&](std::uint32_t what, std::initializer_list<const char*> of_offers,
                     std::initializer_list<const char*> of_all) {
    options = TW_JSON_OPTIONS_INIT;
    options.without = what;
    Json expected = whole;
    for (Json& offer : expected["offers"]) {
      for (const char* key : of_offers) offer.erase(key);
    }
    for (const char* key : of_all) expected.erase(key);
    EXPECT_TRUE(Told(&options) == expected) << what;
  };
  without(TW_WITHOUT_CHARGES, {"charges"}, {});
  without(TW_WITHOUT_THRESHOLDS, {"headroom", "savers"}, {});
  without(TW_WITHOUT_ARRANGEMENTS, {}, {"arrangements"});
  without(TW_WITHOUT_CHARGES | TW_WITHOUT_THRESHOLDS | TW_WITHOUT_ARRANGEMENTS, {"charges", "headroom", "savers"},
          {"arrangements"});
  options = TW_JSON_OPTIONS_INIT;
  options.most_offers = 2;
  Json best = whole;
  best["offers"].erase(best["offers"].begin() + 2, best["offers"].end());
  best["left_out"] = {{"offers", offers - 2}};
  EXPECT_TRUE(Told(&options) == best);
  options.most_offers = offers;  // as many as there are
  EXPECT_TRUE(Told(&options) == whole);
  options = TW_JSON_OPTIONS_INIT;
  options.refusals = TW_REFUSALS_NONE;
  Json none = whole;
  none.erase("refusals");
  none["left_out"] = {{"refusals", refusals}};
  EXPECT_TRUE(Told(&options) == none);
}

// Groups hold every reason of every refusal once, and nothing more.
TEST_F(JsonDetail, GroupedRefusalsLoseNoReason) {
  std::size_t groups = 0;
  std::size_t ways = 0;
  for (const std::filesystem::path& path : Orders()) {
    SCOPED_TRACE(path);
    const std::string text = TextOf(path);
    if (tw_rank_json(ranking_.get(), book_.get(), tw_ratebook_shelf(book_.get()), text.data(), text.size(),
                     error_.get()) != TW_OK) {
      continue;
    }
    tw_json_options options = TW_JSON_OPTIONS_INIT;
    const Json whole = Told(&options);
    options.refusals = TW_REFUSALS_GROUPED;
    const Json grouped = Told(&options);
    using Way = std::vector<std::string>;
    std::set<Way> one_by_one, in_groups;
    for (const Json& refusal : whole["refusals"]) {
      for (const Json& reason : refusal["reasons"]) {
        one_by_one.insert(
            {Word(refusal["carrier"]), Word(refusal["service"]), Word(reason["code"]), Word(refusal["packaging"])});
      }
    }
    std::set<Way> heads;
    for (const Json& group : grouped["refusals"]) {
      EXPECT_TRUE(heads.insert({Word(group["carrier"]), Word(group["service"]), Word(group["code"])}).second);
      EXPECT_FALSE(group["text"].get<std::string>().empty());
      for (const Json& packaging : group["packagings"]) {
        EXPECT_TRUE(
            in_groups.insert({Word(group["carrier"]), Word(group["service"]), Word(group["code"]), Word(packaging)})
                .second);
      }
    }
    EXPECT_EQ(one_by_one, in_groups);
    groups += grouped["refusals"].size();
    ways += whole["refusals"].size();
  }
  EXPECT_LT(5 * groups, 2 * ways);
}

TEST_F(JsonDetail, TheBestAloneIsSmall) {
  Rank("record.json", TW_DETAIL_CHARGES);
  tw_json_options options = TW_JSON_OPTIONS_INIT;
  std::size_t whole = 0, best = 0;
  Told(&options, &whole);
  options.most_offers = 1;
  options.refusals = TW_REFUSALS_NONE;
  options.without = TW_WITHOUT_THRESHOLDS | TW_WITHOUT_ARRANGEMENTS;
  const Json told = Told(&options, &best);
  EXPECT_EQ(told["offers"].size(), 1u);
  EXPECT_FALSE(told["offers"][0]["charges"].empty());
  EXPECT_GT(whole, 50'000u);
  EXPECT_LT(best, 2'000u);
}

// Charges alone are worked out in a third of the time; the offers are the same but for the thresholds.
TEST_F(JsonDetail, WithChargesAloneTheOffersAreTheSame) {
  tw_json_options options = TW_JSON_OPTIONS_INIT;
  options.without = TW_WITHOUT_THRESHOLDS;
  Rank("record.json", TW_DETAIL_FULL);
  const Json full = Told(&options);
  Rank("record.json", TW_DETAIL_CHARGES);
  EXPECT_TRUE(Told(&options) == full);
  const std::string text = TextOf(std::filesystem::path(TW_TEST_ORDERS) / "record.json");
  for (const std::int32_t detail : {TW_DETAIL_TOTALS, 3, -1}) {
    EXPECT_EQ(tw_rank_json_with(ranking_.get(), book_.get(), nullptr, text.data(), text.size(), detail, error_.get()),
              TW_E_INPUT);
  }
}

TEST_F(JsonDetail, RefusesWhatIsNoOption) {
  Rank("record.json");
  auto refused = [&](auto change, const char* field) {
    tw_json_options options = TW_JSON_OPTIONS_INIT;
    change(options);
    const char* json = "untouched";
    EXPECT_EQ(tw_ranking_json_with(&json, nullptr, ranking_.get(), &options, error_.get()), TW_E_INPUT) << field;
    EXPECT_STREQ(json, "untouched");
    tw_finding finding = TW_FINDING_INIT;
    ASSERT_EQ(tw_error_finding(&finding, error_.get(), 0), TW_OK);
    EXPECT_STREQ(finding.pointer, field);
  };
  refused([](tw_json_options& o) { o.indent = 17; }, "/indent");
  refused([](tw_json_options& o) { o.indent = -2; }, "/indent");
  refused([](tw_json_options& o) { o.without = 8; }, "/without");
  refused([](tw_json_options& o) { o.refusals = 3; }, "/refusals");
  refused([](tw_json_options& o) { o.room_to_grow = 2; }, "/room_to_grow");
  refused([](tw_json_options& o) { o.reserved = 1; }, "/reserved");
  tw_json_options options = TW_JSON_OPTIONS_INIT;
  options.room_to_grow = 1;
  options.most_offers = 1;
  Rank("two-books-and-a-score.json");
  EXPECT_TRUE(Told(&options)["arrangements"][0].contains("room_to_grow"));
}

TEST_F(JsonDetail, OfPlans) {
  const std::string order =
      R"({"format": "tarewise-request-1", "goods": [{"weight": "9 lb", "sides": "12 x 9 x 4 in", "quantity": 2}],
          "from": {"country": "US", "postal_code": "05401"}, "to": {"country": "US", "postal_code": "98101"},
          "date": "2026-08-03", "currency": "USD", "parcels": {"most": 2}})";
  tw_plans* plans = nullptr;
  ASSERT_EQ(tw_plans_create(&plans, error_.get()), TW_OK);
  ASSERT_EQ(
      tw_find_plans_json(plans, book_.get(), tw_ratebook_shelf(book_.get()), order.data(), order.size(), error_.get()),
      TW_OK);
  const char* text = nullptr;
  ASSERT_EQ(tw_plans_json(&text, nullptr, plans, 2, error_.get()), TW_OK);
  Json whole = Json::parse(text);
  EXPECT_EQ(whole.dump(2), text);
  tw_json_options options = TW_JSON_OPTIONS_INIT;
  options.without = TW_WITHOUT_CHARGES | TW_WITHOUT_THRESHOLDS | TW_WITHOUT_ARRANGEMENTS;
  ASSERT_EQ(tw_plans_json_with(&text, nullptr, plans, &options, error_.get()), TW_OK);
  for (Json& plan : whole["plans"]) {
    for (Json& parcel : plan["parcels"]) {
      parcel.erase("arrangements");
      for (const char* key : {"charges", "headroom", "savers"}) parcel["offer"].erase(key);
    }
  }
  EXPECT_TRUE(Json::parse(text) == whole);
  tw_plans_free(plans);
}

}  // namespace
