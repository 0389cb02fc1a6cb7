// The C interface gives what C++ gives, over the whole demonstration catalogue.
#include <map>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "same_offers.h"
#include "support.h"
#include "support/demo_goods.h"
#include "support/fewer.h"
#include "tarewise/documents/load.h"
#include "tarewise/documents/ranking_json.h"
#include "tarewise/ranking/rank.h"

namespace {

using capi_test::ExpectSameOffers;
using capi_test::Goods;
using tarewise::testing::Demo;

tarewise::Request CppRequest(const char* to, const char* country) {
  return tarewise::testing::RequestOn(tarewise::testing::LaneTo(country, to));
}

std::shared_ptr<const tarewise::Dispatch> CppDispatch(const tarewise::Request& request, const tarewise::Shelf* shelf) {
  return std::make_shared<const tarewise::Dispatch>(
      *tarewise::Dispatch::Create(Demo().book, tarewise::Shipment::Of(request, shelf)));
}

const std::map<std::string, std::int32_t>& Shapes() {
  static const auto* const shapes = new std::map<std::string, std::int32_t>{{"box", TW_SHAPE_BOX},
                                                                            {"tube", TW_SHAPE_TUBE},
                                                                            {"soft", TW_SHAPE_SOFT},
                                                                            {"flat", TW_SHAPE_FLAT},
                                                                            {"irregular", TW_SHAPE_IRREGULAR}};
  return *shapes;
}

const std::map<std::string, std::uint32_t>& Traits() {
  static const auto* const traits =
      new std::map<std::string, std::uint32_t>{{"media", TW_CONTENTS_MEDIA},
                                               {"documents", TW_CONTENTS_DOCUMENTS},
                                               {"fragile", TW_CONTENTS_FRAGILE},
                                               {"liquid", TW_CONTENTS_LIQUID},
                                               {"perishable", TW_CONTENTS_PERISHABLE},
                                               {"lithium_in_equipment", TW_CONTENTS_LITHIUM_IN_EQUIPMENT},
                                               {"lithium_alone", TW_CONTENTS_LITHIUM_ALONE},
                                               {"flammable_liquid", TW_CONTENTS_FLAMMABLE_LIQUID},
                                               {"aerosol", TW_CONTENTS_AEROSOL},
                                               {"sharp", TW_CONTENTS_SHARP},
                                               {"magnetic", TW_CONTENTS_MAGNETIC},
                                               {"live", TW_CONTENTS_LIVE}};
  return *traits;
}

// A row both ways; `words` holds the text that the C item points to.
struct Row {
  tarewise::Item cpp;
  tw_item c = TW_ITEM_INIT;
  std::vector<std::string> words;
  std::vector<const char*> own;
};

void Read(const Goods& goods, Row& row) {
  row.cpp = tarewise::testing::ItemOf(goods);
  row.c.quantity = goods.quantity;
  ASSERT_EQ(tw_parse_weight(&row.c.weight_ng, goods.weight.c_str(), nullptr), TW_OK);
  ASSERT_EQ(tw_parse_money(&row.c.value_micros, goods.value.c_str(), nullptr), TW_OK);
  for (std::size_t i = 0; i < 3; ++i) {
    ASSERT_EQ(tw_parse_length(&row.c.sides_nm[i], goods.sides[i].c_str(), nullptr), TW_OK);
  }
  row.c.shape = Shapes().at(goods.shape);
  row.c.flags = (goods.this_side_up ? TW_THIS_SIDE_UP : 0) | (goods.rigid ? TW_RIGID : 0) | (goods.bare ? TW_BARE : 0);
  std::istringstream words(goods.contents);
  for (std::string word; words >> word;) {
    if (word.rfind("x-", 0) == 0) {
      row.words.push_back(word);
    } else {
      row.c.contents |= Traits().at(word);
    }
  }
  for (const std::string& word : row.words) row.own.push_back(word.c_str());
  row.c.own_traits = row.own.data();
  row.c.own_trait_count = static_cast<std::uint32_t>(row.own.size());
}

// Every goods of the catalogue, packed from the shelf, near, far and abroad.
TEST(Parity, TheWholeCatalogue) {
  const std::vector<Goods>& catalogue = capi_test::Catalogue();
  const capi_test::BookPtr book = capi_test::LoadBook();
  const capi_test::RankingPtr ranking = capi_test::NewRanking();
  const capi_test::ErrorPtr error = capi_test::NewError();
  const std::pair<const char*, const char*> lanes[] = {{"60614", "US"}, {"98101", "US"}, {"10117", "DE"}};
  std::size_t offers = 0;
  for (const auto& [to, country] : lanes) {
    const tarewise::Request base = CppRequest(to, country);
    const auto cpp_dispatch = CppDispatch(base, Demo().shelf.get());
    const capi_test::DispatchPtr dispatch =
        capi_test::NewDispatch(book.get(), tw_ratebook_shelf(book.get()), capi_test::Shipment(to, country));
    for (std::size_t i = 0; i < catalogue.size(); i += tarewise::testing::kFewer) {
      SCOPED_TRACE(catalogue[i].sku + " to " + to);
      Row row;
      Read(catalogue[i], row);
      tarewise::Request cpp_request = base;
      cpp_request.goods.push_back(row.cpp);
      // Thresholds for some of them: they take a hundred times as long.
      const std::int32_t detail = i % 50 == 0 ? TW_DETAIL_FULL : i % 5 == 0 ? TW_DETAIL_CHARGES : TW_DETAIL_TOTALS;
      tarewise::RankOptions options;
      options.thresholds = detail == TW_DETAIL_FULL;
      const auto cpp = tarewise::Rank(cpp_dispatch, Demo().shelf, cpp_request, options);
      tw_request request = TW_REQUEST_INIT;
      request.items = &row.c;
      request.item_count = 1;
      request.detail = detail;
      ASSERT_TRUE(cpp.ok()) << cpp.status().message();
      ASSERT_EQ(tw_rank(ranking.get(), dispatch.get(), &request, error.get()), TW_OK) << tw_error_message(error.get());
      ASSERT_NO_FATAL_FAILURE(ExpectSameOffers(*cpp, ranking.get(), detail));
      offers += cpp->offers().size();
      if (HasFailure()) return;
    }
  }
  EXPECT_GT(offers, tarewise::testing::Share(50'000));
}

// Closed parcels take another way through the library when totals alone are asked for: the very same offers.
TEST(Parity, ClosedParcels) {
  const std::vector<Goods>& catalogue = capi_test::Catalogue();
  const capi_test::BookPtr book = capi_test::LoadBook();
  const capi_test::RankingPtr ranking = capi_test::NewRanking();
  const capi_test::ErrorPtr error = capi_test::NewError();
  tw_shipment shipment = capi_test::Shipment("10117", "DE");
  tarewise::Request base = CppRequest("10117", "DE");
  const char* currencies[] = {"EUR"};
  const std::int64_t rates[] = {1'084'200};
  shipment.exchange_currencies = currencies;
  shipment.exchange_micros = rates;
  shipment.exchange_count = 1;
  shipment.cover_micros = 80'000'000;
  base.exchange.emplace("EUR", *tarewise::ExchangeRate::Parse("1.0842"));
  base.cover = *tarewise::Amount::Parse("80");
  const auto cpp_dispatch = CppDispatch(base, Demo().shelf.get());
  const capi_test::DispatchPtr dispatch = capi_test::NewDispatch(book.get(), tw_ratebook_shelf(book.get()), shipment);
  std::vector<std::string> codes = {""};
  for (const tarewise::Shelf::Own& own : Demo().shelf->own) codes.push_back(own.packaging.code);
  for (const tarewise::Shelf::Issued& issued : Demo().shelf->issued) codes.push_back(issued.code);
  for (std::size_t i = 0; i < catalogue.size(); ++i) {
    SCOPED_TRACE(catalogue[i].sku);
    Row row;
    Read(catalogue[i], row);
    const std::string& code = codes[i % codes.size()];
    tarewise::Request cpp_request = base;
    cpp_request.parcel.emplace();
    tarewise::Parcel& cpp_parcel = *cpp_request.parcel;
    cpp_parcel.weight = row.cpp.weight;
    cpp_parcel.sides = tarewise::Dimensions(row.cpp.sides[0], row.cpp.sides[1], row.cpp.sides[2]);
    cpp_parcel.shape = row.cpp.shape;
    cpp_parcel.contents = row.cpp.contents;
    cpp_parcel.value = row.cpp.value;
    cpp_parcel.rigid = row.cpp.rigid;
    cpp_parcel.packaging = code;
    tw_parcel parcel = TW_PARCEL_INIT;
    parcel.weight_ng = row.c.weight_ng;
    for (std::size_t k = 0; k < 3; ++k) parcel.sides_nm[k] = row.c.sides_nm[k];
    parcel.shape = row.c.shape;
    parcel.contents = row.c.contents;
    parcel.own_traits = row.c.own_traits;
    parcel.own_trait_count = row.c.own_trait_count;
    parcel.value_micros = row.c.value_micros;
    parcel.flags = row.c.flags & TW_RIGID;
    parcel.packaging = code.empty() ? nullptr : code.c_str();
    tw_request request = TW_REQUEST_INIT;
    request.parcel = &parcel;
    if (i % 7 == 0) {  // ranges and tolerances take the long way
      parcel.weight_most_ng = parcel.weight_ng + 2 * TW_OUNCE;
      cpp_parcel.weight_most = cpp_parcel.weight + tarewise::Weight::Ounces(2);
      parcel.sides_most_nm[1] = parcel.sides_nm[1] + TW_INCH;
      const tarewise::Length side = row.cpp.sides[1];
      std::size_t at = 0;
      while (cpp_parcel.sides.sides()[at] != side) ++at;
      cpp_parcel.side_ranges.push_back({at, side + tarewise::Length::Inches(1)});
      request.tolerance_weight_ng = cpp_request.tolerance.weight.nanograms();
      request.detail = TW_DETAIL_CHARGES;
    }
    if (i % 11 == 0) {
      request.detail = TW_DETAIL_FULL;
      request.tolerance_weight_ng = TW_OUNCE / 5;
      request.tolerance_sides_nm = TW_INCH / 4;
      request.step_weight_ng = TW_OUNCE;
      request.step_weight_parts = 10;
      request.objective = TW_OBJECTIVE_CAUTIOUS;
      cpp_request.tolerance = {tarewise::Weight::Nanograms(TW_OUNCE / 5), tarewise::Length::Nanometres(TW_INCH / 4)};
      cpp_request.objective = tarewise::Objective::kCautious;
    }
    tarewise::RankOptions options;
    options.thresholds = request.detail == TW_DETAIL_FULL;
    const auto cpp = tarewise::Rank(cpp_dispatch, Demo().shelf, cpp_request, options);
    const tw_status status = tw_rank(ranking.get(), dispatch.get(), &request, error.get());
    ASSERT_EQ(cpp.ok(), status == TW_OK) << cpp.status().message() << " / " << tw_error_message(error.get());
    if (cpp.ok()) {
      ASSERT_NO_FATAL_FAILURE(ExpectSameOffers(*cpp, ranking.get(), request.detail));
    }
    if (HasFailure()) return;
  }
}

// A request document gives the document that C++ gives, and the same offers one by one.
TEST(Parity, Documents) {
  const capi_test::BookPtr book = capi_test::LoadBook();
  const capi_test::RankingPtr ranking = capi_test::NewRanking();
  const capi_test::ErrorPtr error = capi_test::NewError();
  const char* orders[] = {"record.json",
                          "kettle-to-berlin.json",
                          "cautious-near-the-edge.json",
                          "two-books-and-a-score.json",
                          "weight-not-known-yet.json",
                          "sealed-in-a-carriers-box.json",
                          "spare-cells-alone.json"};
  for (const char* order : orders) {
    SCOPED_TRACE(order);
    std::ifstream in(std::string(TW_TEST_ORDERS) + "/" + order);
    const std::string text{std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>()};
    ASSERT_FALSE(text.empty());
    tarewise::Loaded<tarewise::Request> request = tarewise::ReadRequest({"request", text});
    ASSERT_TRUE(request.ok());
    const auto cpp = tarewise::Rank(Demo().book, Demo().shelf, *request.value);
    ASSERT_TRUE(cpp.ok()) << cpp.status().message();
    ASSERT_EQ(
        tw_rank_json(ranking.get(), book.get(), tw_ratebook_shelf(book.get()), text.data(), text.size(), error.get()),
        TW_OK)
        << tw_error_message(error.get());
    const char* json = nullptr;
    std::size_t length = 0;
    ASSERT_EQ(tw_ranking_json(&json, &length, ranking.get(), 2, error.get()), TW_OK);
    EXPECT_EQ(std::string(json, length), tarewise::ToJson(*cpp));
    ExpectSameOffers(*cpp, ranking.get(), TW_DETAIL_FULL);
  }
}

// Answers stay good after the ratebook, the shelf and the dispatch were given back.
TEST(Parity, AnswersOutliveTheirMakers) {
  capi_test::BookPtr book = capi_test::LoadBook();
  tw_shelf* shelf = tw_shelf_retain(tw_ratebook_shelf(book.get()));
  capi_test::DispatchPtr dispatch = capi_test::NewDispatch(book.get(), shelf, capi_test::Shipment());
  book.reset();
  tw_shelf_release(shelf);
  const capi_test::RankingPtr ranking = capi_test::NewRanking();
  tw_parcel parcel = capi_test::Parcel();
  tw_request request = TW_REQUEST_INIT;
  request.parcel = &parcel;
  for (const std::int32_t detail : {TW_DETAIL_TOTALS, TW_DETAIL_FULL}) {
    request.detail = detail;
    ASSERT_EQ(tw_rank(ranking.get(), dispatch.get(), &request, nullptr), TW_OK);
    if (detail == TW_DETAIL_FULL) dispatch.reset();
    tw_offer offer = TW_OFFER_INIT;
    ASSERT_EQ(tw_ranking_offer(&offer, ranking.get(), 0, nullptr), TW_OK);
    EXPECT_TEXT(offer.carrier, "harbourline");
    EXPECT_NE(tw_ranking_dispatch(ranking.get()), nullptr);
  }
}

}  // namespace
