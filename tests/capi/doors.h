// Every function of the interface with all that a call of it needs, for the test that lets their allocations fail.
#ifndef TAREWISE_TESTS_CAPI_DOORS_H_
#define TAREWISE_TESTS_CAPI_DOORS_H_

#include <algorithm>
#include <cstdint>
#include <functional>
#include <map>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "support.h"

namespace no_memory_test {

/// One way to call a function. `prepare` makes what the call needs, `after` looks at what came of it and gives it back;
/// allocations fail within `call` alone.
struct Door {
  std::function<void()> prepare = [] {};
  std::function<tw_status(tw_error*)> call;
  std::function<void(tw_status)> after = [](tw_status) {};
  tw_status expected = TW_OK;
  bool tells = true;  // It takes an error.
};

using Doors = std::map<std::string, Door>;

inline constexpr char kTariff[] = R"({
  "format": "tarewise-tariff-1", "title": "Parcels", "carrier": {"code": "harbourline", "name": "Harbourline Post"}, "currency": "USD",
  "in_force": {"from": "2026-01-01"}, "rounding": {"line": "0.01", "total": "0.01", "mode": "half_up"},
  "zones": {"main": [{"kind": "regions", "zones": {"1": ["US:0-4"], "2": ["US:5-9", "CA"]}},
                     {"kind": "distance", "bands": [{"zone": "1", "up_to": "100 mi"}, {"zone": "2"}],
                      "same": {"prefix": 3, "zone": "1"}}]},
  "series": {"fuel": {"columns": ["road"], "rows": [["2026-01-01", 9.5]], "good_for": "7 days"}},
  "packaging": [{"code": "hl-crate", "title": "Box", "kind": "carton", "inside": "9 x 6 x 4 in", "wall": "0.1 in",
                 "tare": "3 oz", "cost": "0.50"}],
  "services": [{"code": "ground", "title": "Ground", "zones": "main", "days": {"*": [2, 5]}, "tracked": true, "mode": "surface",
    "packaging": {"own": true, "issued": ["hl-crate"]},
    "measure": {"sides": {"round": "up", "to": "1 in"}, "weight": {"round": "up", "to": "1 lb"},
                "dimensional": [{"when": {"volume": {"over": "1728 in3"}}, "volume_per_weight": "166 in3/lb"}],
                "at_least": [{"when": {"length": {"over": "30 in"}}, "weight": "5 lb"}]},
    "refuse": [{"when": {"any": [{"weight": {"over": "70 lb"}}, {"contents": {"has": "live"}}]}, "reason": "too much"}],
    "prices": [{"table": {"by": "billable_weight", "unit": "lb", "columns": ["1", "2"],
                          "rows": [[1, 3.69, 3.75], [5, "4.10", 5.2]], "beyond": {"step": 1, "add": [0.4, 0.5]}}}],
    "surcharges": ["home", {"code": "fuel", "title": "Fuel", "percent": {"series": "fuel"}, "of": ["base", "home"]}],
    "extras": ["cover"], "included_cover": "50"}],
  "surcharges": [{"code": "home", "title": "To a home", "when": {"residential": true}, "amount": "1.25"}],
  "extras": [{"code": "cover", "title": "Cover", "per": {"measure": "cover", "step": "100", "first": 1, "each": "0.75"}}],
  "examples": [{"service": "ground", "parcel": {"weight": "1 lb", "sides": "9 x 6 x 4 in"}, "zone": "1",
                "total": "4.04"}]})";
inline constexpr char kTerms[] =
    R"({"format": "tarewise-terms-1", "carrier": "harbourline", "in_force": {"from": "2026-01-01"},
  "discounts": [{"percent": 10, "of": ["base"], "floor": "3.00"}]})";
inline constexpr char kSeller[] =
    R"({"format": "tarewise-seller-1", "currency": "USD", "hour": "18.00",
  "ask": [{"when": {"value": {"over": "900"}}, "cover": "value"}],
  "handicaps": [{"code": "packing", "title": "Packing", "minutes": 1.5}]})";
inline constexpr char kShelf[] =
    "code,title,kind,inside,outside,wall,thickness,tare,cost,currency,on_hand,carrier\n"
    "carton-14x9,Carton,carton,14 x 9 x 5 in,,0.15 in,,8.3 oz,0.78,USD,18,\n"
    "poly-7,Mailer,mailer,7.5 x 10.5 in,,0.005 in,,0.4 oz,0.26,USD,,\n"
    "stiff-6,Envelope,envelope,6 x 8 in,,0.03 in,0.4 in,1.0 oz,0.29,USD,50,\n"
    "hl-crate,,,,,,,,,,3,harbourline\n";
inline constexpr char kGazetteer[] = "country,prefix,latitude,longitude\nUS,430,39.9,-82.9\nUS,606,41.9,-87.6\n";
inline constexpr char kRequest[] = R"({"format": "tarewise-request-1",
  "goods": [{"weight": "15.3..16.4 oz", "sides": "8 x 5..5.5 x 2 in", "quantity": 1, "contents": ["media", "fragile"],
             "value": "24.00", "shape": "box"}, {"weight": "4 oz", "sides": "4 x 4 x 1 in", "contents": ["x-signed"]}],
  "from": {"country": "US", "postal_code": "05401"},
  "to": {"country": "US", "postal_code": "60614", "residential": true},
  "date": "2026-08-03", "promise": {"within": 9}, "cover": "80.00", "currency": "USD",
  "tolerance": {"weight": "0.5 oz", "sides": "0.25 in"}})";

inline constexpr char kOrder[] = R"({"format": "tarewise-request-1",
  "goods": [{"weight": "15 oz", "sides": "8 x 5 x 2 in"}, {"weight": "4 oz", "sides": "4 x 4 x 1 in", "quantity": 2}],
  "from": {"country": "US", "postal_code": "05401"}, "to": {"country": "US", "postal_code": "60614"},
  "date": "2026-08-03", "currency": "USD", "parcels": {"most": 2, "together": [[1]]}})";

inline tw_source Source(const char* name, std::string_view text) {
  tw_source source = TW_SOURCE_INIT;
  source.name = name;
  source.text = text.data();
  source.length = text.size();
  return source;
}

// What the calls work with.
class World {
 public:
  World() {
    memory_ = {Source("harbourline.json", kTariff), Source("terms.json", kTerms), Source("shelf.csv", kShelf),
               Source("gazetteer.csv", kGazetteer), Source("seller.json", kSeller)};
    with_warning_ = memory_;
    with_warning_.push_back(Source("order.json", kRequest));
    wrong_ = {Source("harbourline.json", std::string_view(kTariff).substr(0, 900))};
    tw_ratebook* made = nullptr;
    EXPECT_EQ(tw_ratebook_load_memory(&made, memory_.data(), memory_.size(), nullptr), TW_OK);
    small_.reset(made);
    book_ = capi_test::LoadBook();
    shelf_ = tw_ratebook_shelf(book_.get());
    shipment_ = capi_test::Shipment();
    shipment_.extras = kExtras;
    shipment_.extra_count = 1;
    shipment_.cover_micros = 250'000'000;
    shipment_.exchange_currencies = kCurrencies;
    shipment_.exchange_micros = kRates;
    shipment_.exchange_count = 1;
    shipment_.accepts = TW_DELIVERS_DOOR | TW_DELIVERS_POINT;
    shipment_.time_minutes = 15 * 60 + 30;
    shipment_.week_parcels = 60;
    week_.carrier = "harbourline";
    week_.parcels = 25;
    shipment_.carrier_weeks = &week_;
    shipment_.carrier_week_count = 1;
    dispatch_ = capi_test::NewDispatch(book_.get(), shelf_, shipment_);
    few_ = capi_test::NewDispatch(small_.get(), tw_ratebook_shelf(small_.get()), capi_test::Shipment());
    estimate_ = capi_test::NewDispatch(small_.get(), nullptr, capi_test::Shipment());

    parcel_ = capi_test::Parcel();
    parcel_.contents = TW_CONTENTS_MEDIA | TW_CONTENTS_LITHIUM_ALONE;
    parcel_.packaging = "carton-14x9";
    parcel_.own_traits = kTraits;
    parcel_.own_trait_count = 1;
    items_[0] = items_[1] = TW_ITEM_INIT;
    items_[0].weight_ng = 15 * TW_OUNCE;
    items_[0].weight_most_ng = 480 * TW_OUNCE;  // past where another way is the cheapest
    items_[1].weight_ng = 4 * TW_OUNCE;
    for (std::size_t i = 0; i < 3; ++i) {
      items_[0].sides_nm[i] = static_cast<std::int64_t>(8 - 3 * i) * TW_INCH;
      items_[1].sides_nm[i] = 2 * TW_INCH;
    }
    items_[0].contents = TW_CONTENTS_FRAGILE | TW_CONTENTS_SHARP;
    items_[1].quantity = 2;
    items_[1].value_micros = 9'000'000;
    goods_request_ = TW_REQUEST_INIT;
    goods_request_.items = items_;
    goods_request_.item_count = 2;
    goods_request_.detail = TW_DETAIL_FULL;
    goods_request_.has_padding = 1;  // none, so that they go into the few packagings
    goods_request_.tolerance_weight_ng = TW_OUNCE;
    parcel_request_ = TW_REQUEST_INIT;
    parcel_request_.parcel = &parcel_;
    full_request_ = parcel_request_;
    full_request_.detail = TW_DETAIL_FULL;
    full_request_.objective = TW_OBJECTIVE_CAUTIOUS;
    full_request_.tolerance_weight_ng = TW_OUNCE;
    answered_ = capi_test::NewRanking();
    EXPECT_EQ(tw_rank(answered_.get(), dispatch_.get(), &goods_request_, nullptr), TW_OK);

    for (std::size_t i = 0; i < 2; ++i) {
      lanes_[i] = TW_LANE_INIT;
      lanes_[i].from_country = lanes_[i].to_country = "US";
      lanes_[i].from_postal_code = "05401";
      lanes_[i].to_postal_code = i == 0 ? "60614" : "98101";
      lanes_[i].to_residential = i == 0 ? 1 : 0;
      lanes_[i].share = static_cast<std::int64_t>(1 + i);
    }
    repricer_.reset(NewRepricer());
    for (std::size_t row = 0; row < kRows; ++row) {
      weights_.push_back((3 + 11 * static_cast<std::int64_t>(row)) * TW_OUNCE);
      sides_[0].push_back((4 + static_cast<std::int64_t>(row)) * TW_INCH);
      sides_[1].push_back(4 * TW_INCH);
      sides_[2].push_back((1 + static_cast<std::int64_t>(row % 3)) * TW_INCH / 2);
      contents_.push_back(static_cast<std::int32_t>(row % 3));
      values_.push_back(static_cast<std::int64_t>(row) * 40'000'000);
    }
    EXPECT_EQ(Reprice(repricer_.get(), kRows, nullptr, nullptr), TW_OK);
    expected_ = totals_;
    dearer_text_ = kTariff;
    dearer_text_.replace(dearer_text_.find("[1, 3.69, 3.75]"), 15, "[1, 3.79, 3.95]");
    dearer_ = BookWith(dearer_text_);
    tw_repricer* dearer = nullptr;
    EXPECT_EQ(tw_repricer_with_rates(&dearer, repricer_.get(), dearer_.get(), nullptr), TW_OK);
    dearer_repricer_.reset(dearer);
    differing_text_ = kTariff;
    const std::size_t example = differing_text_.find("\"total\": \"4.04\"");
    differing_text_.replace(example, 15, "\"total\": \"9.99\"");
    differing_ = BookWith(differing_text_);
  }

  // Doors by function; a second way into one has a word of its own behind a slash.
  Doors AllDoors();

  // Handles that a failing call was given are as good as before.
  void ExpectUsable() {
    const capi_test::RankingPtr ranking = capi_test::NewRanking();
    tw_request request = parcel_request_;
    EXPECT_EQ(tw_rank(ranking.get(), dispatch_.get(), &request, nullptr), TW_OK);
    EXPECT_GT(tw_ranking_offer_count(ranking.get()), 0u);
    EXPECT_EQ(tw_ratebook_tariff_count(small_.get()), 1u);
  }

 private:
  void NameDoors(Doors& doors);
  void ArrangementDoors(Doors& doors);
  void ErrorDoors(Doors& doors);
  void LoadingDoors(Doors& doors);
  void SlotDoors(Doors& doors);
  void DispatchDoors(Doors& doors);
  void RankingDoors(Doors& doors);
  void CatalogueDoors(Doors& doors);
  void PlansDoors(Doors& doors);
  void TextDoors(Doors& doors);
  void ReachDoors(Doors& doors);
  void ListingDoors(Doors& doors);
  void EconomicsDoors(Doors& doors);
  void ChangeDoors(Doors& doors);

  static constexpr std::size_t kRows = 9;
  static constexpr std::size_t kManyRows = 20'000;  // more than one thread's share
  static constexpr const char* kExtras[] = {"signature"};
  static constexpr const char* kTraits[] = {"x-signed-by-the-author-in-person"};
  static constexpr const char* kCurrencies[] = {"EUR"};
  static constexpr std::int64_t kRates[] = {1'084'200};
  static constexpr const char* kClasses[] = {"media", "fragile x-signed-by-the-author", "lithium_in_equipment"};

  template <typename H>
  static H* Untouched() {
    static char there;
    return reinterpret_cast<H*>(&there);
  }

  // A call that makes a handle.
  template <typename H>
  static Door Makes(H*& out, void (*release)(H*), std::function<tw_status(tw_error*)> call,
                    tw_status expected = TW_OK) {
    Door door;
    door.prepare = [&out] { out = Untouched<H>(); };
    door.call = std::move(call);
    door.after = [&out, release](tw_status status) {
      if (status == TW_OK) {
        EXPECT_NE(out, Untouched<H>());
        release(out);
      } else {
        EXPECT_EQ(out, Untouched<H>());
      }
    };
    door.expected = expected;
    return door;
  }

  // A call that gives nothing that could be wrong, on handles that stay.
  static Door Plain(std::function<tw_status(tw_error*)> call, tw_status expected = TW_OK) {
    Door door;
    door.call = std::move(call);
    door.expected = expected;
    return door;
  }
  static Door Silent(std::function<void()> call) {
    return Plain([call = std::move(call)](tw_error*) {
      call();
      return tw_status{TW_OK};
    });
  }

  // A handle made before the call and given back in it.
  template <typename H>
  static Door GivesBack(H*& handle, std::function<H*()> make, void (*release)(H*)) {
    Door door;
    door.prepare = [&handle, make = std::move(make)] { handle = make(); };
    door.call = [&handle, release](tw_error*) {
      release(handle);
      return tw_status{TW_OK};
    };
    return door;
  }

  // An answer into a ranking of its own, which is empty where it failed.
  Door Ranks(std::function<tw_status(tw_ranking*, tw_error*)> rank, tw_status expected = TW_OK) {
    Door door;
    door.prepare = [this] { ranking_ = capi_test::NewRanking(); };
    door.call = [this, rank = std::move(rank)](tw_error* error) { return rank(ranking_.get(), error); };
    door.after = [this](tw_status status) {
      if (status == TW_OK) {
        EXPECT_GT(tw_ranking_offer_count(ranking_.get()), 0u);
      } else {
        EXPECT_EQ(tw_ranking_offer_count(ranking_.get()), 0u);
        EXPECT_EQ(tw_ranking_is_estimate(ranking_.get()), 0);
        EXPECT_EQ(tw_ranking_dispatch(ranking_.get()), nullptr);
        tw_offer offer = TW_OFFER_INIT;
        EXPECT_EQ(tw_ranking_offer(&offer, ranking_.get(), 0, nullptr), TW_E_INDEX);
      }
      ranking_.reset();
    };
    door.expected = expected;
    return door;
  }

  // Something asked of an answer that was made before the call.
  Door Asks(std::function<tw_status(tw_ranking*, tw_error*)> ask, bool of_few = false) {
    Door door;
    door.prepare = [this, of_few] {
      ranking_ = capi_test::NewRanking();
      const tw_dispatch* dispatch = of_few ? few_.get() : dispatch_.get();
      ASSERT_EQ(tw_rank(ranking_.get(), dispatch, &goods_request_, nullptr), TW_OK);
    };
    door.call = [this, ask = std::move(ask)](tw_error* error) { return ask(ranking_.get(), error); };
    door.after = [this](tw_status) {
      EXPECT_GT(tw_ranking_offer_count(ranking_.get()), 0u);
      ranking_.reset();
    };
    return door;
  }

  // The small tables with another tariff, which stays where it is.
  capi_test::BookPtr BookWith(const std::string& tariff) const {
    std::vector<tw_source> sources = memory_;
    sources[0] = Source("harbourline.json", tariff);
    tw_ratebook* made = nullptr;
    EXPECT_EQ(tw_ratebook_load_memory(&made, sources.data(), sources.size(), nullptr), TW_OK);
    return capi_test::BookPtr(made);
  }

  tw_repricer* NewRepricer() {
    tw_repricer* made = nullptr;
    EXPECT_EQ(CreateRepricer(&made, nullptr), TW_OK);
    return made;
  }
  tw_status CreateRepricer(tw_repricer** out, tw_error* error) {
    tw_request settings = TW_REQUEST_INIT;
    settings.fill_weight_ng = TW_OUNCE;
    const tw_shipment shipment = capi_test::Shipment();
    return tw_repricer_create(out, small_.get(), tw_ratebook_shelf(small_.get()), &shipment, lanes_, 2, &settings,
                              error);
  }

  tw_goods Goods(std::size_t rows) const {
    auto column = [rows](const auto& values, std::int32_t element, std::int64_t unit) {
      tw_column one = TW_COLUMN_INIT;
      one.data = values.data();
      one.stride = rows > kRows ? 0 : static_cast<std::int64_t>(sizeof values[0]);
      one.element = element;
      one.unit = unit;
      return one;
    };
    tw_goods goods = TW_GOODS_INIT;
    goods.rows = rows;
    goods.weight = column(weights_, TW_ELEMENT_INT64, 1);
    for (std::size_t i = 0; i < 3; ++i) goods.sides[i] = column(sides_[i], TW_ELEMENT_INT64, 1);
    goods.contents = column(contents_, TW_ELEMENT_INT32, 0);
    goods.value = column(values_, TW_ELEMENT_INT64, 1);
    goods.contents_classes = kClasses;
    goods.contents_class_count = 3;
    return goods;
  }
  tw_status Reprice(const tw_repricer* repricer, std::size_t rows, const tw_reprice_options* options, tw_error* error) {
    const tw_goods goods = Goods(rows);
    totals_.resize(2 * kManyRows);  // as much every time, so that nothing is allocated
    expected_mean_.resize(kManyRows);
    tw_results results = TW_RESULTS_INIT;
    results.total_micros = totals_.data();
    results.expected_micros = expected_mean_.data();
    return tw_reprice(&results, repricer, &goods, options, error);
  }

  // Rows with a repricer that has worked nothing out yet; and once more, in peace, with what is left of it.
  Door Reprices(std::size_t rows, std::uint32_t threads) {
    Door door;
    door.prepare = [this] {
      made_ = NewRepricer();
      std::fill(totals_.begin(), totals_.end(), -7);
    };
    door.call = [this, rows, threads](tw_error* error) {
      tw_reprice_options options = TW_REPRICE_OPTIONS_INIT;
      options.threads = threads;
      options.progress = [](std::size_t, std::size_t, void*) -> std::int32_t { return 0; };
      return Reprice(made_, rows, &options, error);
    };
    door.after = [this, rows](tw_status status) {
      if (status == TW_OK) ExpectTotals(rows);
      EXPECT_EQ(Reprice(made_, rows, nullptr, nullptr), TW_OK);
      ExpectTotals(rows);
      tw_repricer_release(made_);
    };
    return door;
  }
  void ExpectTotals(std::size_t rows) {
    std::size_t wrong = 0;
    for (std::size_t i = 0; i < 2 * rows; ++i) wrong += totals_[i] != expected_[rows > kRows ? i % 2 : i] ? 1 : 0;
    EXPECT_EQ(wrong, 0u);
  }

  std::vector<tw_source> memory_;
  std::vector<tw_source> with_warning_;
  std::vector<tw_source> wrong_;
  capi_test::BookPtr small_;
  capi_test::BookPtr book_;
  const tw_shelf* shelf_ = nullptr;
  tw_shipment shipment_ = TW_SHIPMENT_INIT;
  tw_carrier_week week_ = TW_CARRIER_WEEK_INIT;
  capi_test::DispatchPtr dispatch_;
  capi_test::DispatchPtr few_;
  capi_test::DispatchPtr estimate_;
  tw_parcel parcel_ = TW_PARCEL_INIT;
  tw_item items_[2];
  tw_request goods_request_ = TW_REQUEST_INIT;
  tw_request parcel_request_ = TW_REQUEST_INIT;
  tw_request full_request_ = TW_REQUEST_INIT;
  capi_test::RankingPtr answered_;
  tw_lane lanes_[2];
  capi_test::RepricerPtr repricer_;
  std::string dearer_text_;
  std::string differing_text_;
  capi_test::BookPtr dearer_;     // Two cells of the small tariff cost more.
  capi_test::BookPtr differing_;  // Its example is another price.
  capi_test::RepricerPtr dearer_repricer_;
  std::vector<std::int64_t> weights_;
  std::vector<std::int64_t> sides_[3];
  std::vector<std::int64_t> values_;
  std::vector<std::int32_t> contents_;
  std::vector<std::int64_t> totals_;
  std::vector<std::int64_t> expected_;
  std::vector<std::int64_t> expected_mean_;

  // Of one call.
  tw_error* error_out_ = nullptr;
  tw_ratebook* book_out_ = nullptr;
  tw_shelf* shelf_out_ = nullptr;
  tw_grid* grid_out_ = nullptr;
  tw_zone_answer* zone_out_ = nullptr;
  tw_examples* examples_out_ = nullptr;
  tw_economics* economics_out_ = nullptr;
  tw_comparison* comparison_out_ = nullptr;
  tw_index* index_out_ = nullptr;
  tw_catalogue* catalogue_out_ = nullptr;
  tw_arrangement* arrangement_out_ = nullptr;
  tw_plans* plans_out_ = nullptr;
  tw_source printed_ = Source("printed.txt", "Weight (lb);Zones 1 & 2;Zone 3\n1;$3.69;$3.75\n2;3.85;-\n");
  tw_ratebook_slot* slot_out_ = nullptr;
  tw_dispatch* dispatch_out_ = nullptr;
  tw_ranking* ranking_out_ = nullptr;
  tw_repricer* repricer_out_ = nullptr;
  capi_test::RankingPtr ranking_;
  tw_repricer* made_ = nullptr;
  capi_test::SlotPtr slot_;
  const char* json_ = nullptr;
  std::int64_t number_ = 0;
  std::int64_t numbers_[3] = {};
  std::int32_t day_ = 0;
  char buffer_[64] = {};
};

/// Made once.
World& TheWorld();

}  // namespace no_memory_test

#endif  // TAREWISE_TESTS_CAPI_DOORS_H_
