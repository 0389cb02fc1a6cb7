// The doors to what there is, what it comes to and what changes: see doors.h.
#include <cstring>

#include "doors.h"

namespace no_memory_test {

void World::ReachDoors(Doors& doors) {
#define TW_TEST_INIT(name)                                        \
  doors["tw_" #name "_init"] = Plain([](tw_error*) -> tw_status { \
    tw_##name out;                                                \
    return tw_##name##_init(&out, sizeof out);                    \
  })
  TW_TEST_INIT(json_options);
  TW_TEST_INIT(tariff);
  TW_TEST_INIT(zone);
  TW_TEST_INIT(example);
  TW_TEST_INIT(place);
  TW_TEST_INIT(fee_tier);
  TW_TEST_INIT(fee);
  TW_TEST_INIT(economics_setup);
  TW_TEST_INIT(place_total);
  TW_TEST_INIT(profit);
  TW_TEST_INIT(sale_columns);
  TW_TEST_INIT(sale_line);
  TW_TEST_INIT(cell_change);
  TW_TEST_INIT(catalogue_facts);
  TW_TEST_INIT(row_loss);
#undef TW_TEST_INIT
  ListingDoors(doors);
  EconomicsDoors(doors);
  ChangeDoors(doors);
  doors["tw_parse_place"] = Plain([](tw_error* error) {
    tw_place place = TW_PLACE_INIT;
    return tw_parse_place(&place, "GB PA2 1AA", error);
  });
  doors["tw_parse_contents"] = Plain([](tw_error* error) {
    std::uint32_t contents = 0;
    return tw_parse_contents(&contents, "media lithium_in_equipment", error);
  });
  doors["tw_parse_contents/wrong"] = Plain(
      [](tw_error* error) {
        std::uint32_t contents = 0;
        return tw_parse_contents(&contents, "media porcelain-and-other-things", error);
      },
      TW_E_INPUT);
  doors["tw_parse_shape"] = Plain([this](tw_error* error) { return tw_parse_shape(&day_, "irregular", error); });
  doors["tw_parse_packaging_kind"] =
      Plain([this](tw_error* error) { return tw_parse_packaging_kind(&day_, "envelope", error); });
}

// ---- what there is ----

void World::ListingDoors(Doors& doors) {
  doors["tw_ratebook_tariff"] = Plain([this](tw_error* error) {
    tw_tariff tariff = TW_TARIFF_INIT;
    return tw_ratebook_tariff(&tariff, small_.get(), 0, error);
  });
  doors["tw_ratebook_in_force"] = Plain([this](tw_error* error) {
    std::int64_t index = -2;
    return tw_ratebook_in_force(&index, small_.get(), "harbourline", shipment_.date, error);
  });
  doors["tw_ratebook_in_force/unknown"] = Plain(
      [this](tw_error* error) {
        std::int64_t index = -2;
        return tw_ratebook_in_force(&index, small_.get(), "fenwick-and-dray-and-others", shipment_.date, error);
      },
      TW_E_INPUT);
  doors["tw_ratebook_service"] = Plain([this](tw_error* error) {
    tw_service service = TW_SERVICE_INIT;
    return tw_ratebook_service(&service, small_.get(), 0, 0, error);
  });
  const tw_shelf* shelf = tw_ratebook_shelf(small_.get());
  doors["tw_shelf_packaging_count"] = Silent([shelf] { EXPECT_EQ(tw_shelf_packaging_count(shelf), 4u); });
  doors["tw_shelf_currency"] = Silent([shelf] { EXPECT_STREQ(tw_shelf_currency(shelf), "USD"); });
  doors["tw_shelf_packaging"] = Plain([shelf](tw_error* error) {
    tw_packaging packaging = TW_PACKAGING_INIT;
    return tw_shelf_packaging(&packaging, shelf, 1, error);
  });
  static const std::vector<tw_packaging> kAgain = [shelf] {
    std::vector<tw_packaging> out(tw_shelf_packaging_count(shelf), TW_PACKAGING_INIT);
    for (std::size_t i = 0; i < out.size(); ++i) EXPECT_EQ(tw_shelf_packaging(&out[i], shelf, i, nullptr), TW_OK);
    return out;
  }();
  doors["tw_shelf_create"] = Makes<tw_shelf>(shelf_out_, tw_shelf_release, [this](tw_error* error) {
    return tw_shelf_create(&shelf_out_, kAgain.data(), kAgain.size(), "USD", error);
  });
  doors["tw_shelf_create/wrong"] = Makes<tw_shelf>(
      shelf_out_, tw_shelf_release,
      [this](tw_error* error) { return tw_shelf_create(&shelf_out_, kAgain.data(), kAgain.size(), nullptr, error); },
      TW_E_INPUT);
  doors["tw_shelf_with_on_hand"] = Makes<tw_shelf>(shelf_out_, tw_shelf_release, [this, shelf](tw_error* error) {
    return tw_shelf_with_on_hand(&shelf_out_, shelf, "harbourline", "hl-crate", 2, error);
  });

  doors["tw_zone_explain"] = Makes<tw_zone_answer>(zone_out_, tw_zone_answer_free, [this](tw_error* error) {
    return tw_zone_explain(&zone_out_, few_.get(), 0, error);
  });
  const auto zone = [this] {
    tw_zone_answer* made = nullptr;
    EXPECT_EQ(tw_zone_explain(&made, few_.get(), 0, nullptr), TW_OK);
    return made;
  };
  doors["tw_zone_answer_free"] = GivesBack<tw_zone_answer>(zone_out_, zone, tw_zone_answer_free);
  Door read_zone = GivesBack<tw_zone_answer>(zone_out_, zone, tw_zone_answer_free);
  read_zone.call = [this](tw_error* error) {
    tw_zone told = TW_ZONE_INIT;
    return tw_zone_get(&told, zone_out_, error);
  };
  read_zone.after = [this](tw_status) { tw_zone_answer_free(zone_out_); };
  doors["tw_zone_get"] = read_zone;

  // The one example of the small tariff is priced otherwise: its surcharge for fuel is too old.
  doors["tw_examples_check"] = Makes<tw_examples>(examples_out_, tw_examples_free, [this](tw_error* error) {
    return tw_examples_check(&examples_out_, differing_.get(), 0, error);
  });
  const auto examples = [this] {
    tw_examples* made = nullptr;
    EXPECT_EQ(tw_examples_check(&made, differing_.get(), 0, nullptr), TW_OK);
    return made;
  };
  doors["tw_examples_free"] = GivesBack<tw_examples>(examples_out_, examples, tw_examples_free);
  Door read = GivesBack<tw_examples>(examples_out_, examples, tw_examples_free);
  read.call = [this](tw_error* error) {
    tw_example example = TW_EXAMPLE_INIT;
    const char* line = nullptr;
    EXPECT_EQ(tw_examples_agreeing(examples_out_), 0u);
    EXPECT_EQ(tw_examples_differing(examples_out_), 1u);
    EXPECT_EQ(tw_examples_get(&example, examples_out_, 0, error), TW_OK);
    EXPECT_GT(example.line_count, 0u);
    return tw_examples_line(&line, examples_out_, 0, 0, error);
  };
  read.after = [this](tw_status) { tw_examples_free(examples_out_); };
  for (const char* name : {"tw_examples_agreeing", "tw_examples_differing", "tw_examples_get", "tw_examples_line"}) {
    doors[name] = read;
  }
}

// ---- what a sale leaves ----

void World::EconomicsDoors(Doors& doors) {
  static const tw_fee_tier kTiers[2] = {{sizeof(tw_fee_tier), 1, 100'000'000, 114'000, 250'000},
                                        {sizeof(tw_fee_tier), 0, 0, 90'000, 250'000}};
  static const tw_fee kFee = [] {
    tw_fee fee = TW_FEE_INIT;
    fee.code = "selling-fee-of-the-marketplace";
    fee.tiers = kTiers;
    fee.tier_count = 2;
    return fee;
  }();
  static const tw_place_total kPlaces[2] = {{sizeof(tw_place_total), 1, 5'100'000, 0, 3},
                                            {sizeof(tw_place_total), 1, 9'400'000, 0, 1}};
  const auto create = [](tw_economics** out, tw_error* error) {
    tw_economics_setup setup = TW_ECONOMICS_SETUP_INIT;
    setup.currency = "USD";
    setup.fees = &kFee;
    setup.fee_count = 1;
    setup.return_share_millionths = 50'000;
    return tw_economics_create(out, &setup, error);
  };
  const auto made = [create] {
    tw_economics* out = nullptr;
    EXPECT_EQ(create(&out, nullptr), TW_OK);
    return out;
  };
  doors["tw_economics_create"] = Makes<tw_economics>(
      economics_out_, tw_economics_release, [this, create](tw_error* error) { return create(&economics_out_, error); });
  doors["tw_economics_release"] = GivesBack<tw_economics>(economics_out_, made, tw_economics_release);
  Door ask = GivesBack<tw_economics>(economics_out_, made, tw_economics_release);
  ask.after = [this](tw_status) { tw_economics_release(economics_out_); };
  ask.call = [this](tw_error*) {
    tw_economics_release(tw_economics_retain(economics_out_));
    return tw_status{TW_OK};
  };
  doors["tw_economics_retain"] = ask;
  ask.call = [this](tw_error* error) {
    tw_profit profit = TW_PROFIT_INIT;
    const std::int64_t levels[2] = {50'000, 500'000};
    return tw_economics_profit(&profit, economics_out_, 4'000'000, 24'900'000, kPlaces, 2, levels, 2, numbers_, error);
  };
  doors["tw_economics_profit"] = ask;
  ask.call = [this](tw_error* error) {
    tw_sale_line lines[16];
    for (tw_sale_line& line : lines) line = TW_SALE_LINE_INIT;
    std::size_t count = 0;
    return tw_economics_account(lines, 16, &count, economics_out_, 4'000'000, 24'900'000, kPlaces, 1, error);
  };
  doors["tw_economics_account"] = ask;
  ask.call = [this](tw_error* error) {
    return tw_economics_keeps(&day_, economics_out_, 4'000'000, 24'900'000, kPlaces, 2, TW_WANTED_AMOUNT, 5'000'000,
                              TW_CASE_AVERAGE, error);
  };
  doors["tw_economics_keeps"] = ask;
  ask.call = [this](tw_error* error) {
    return tw_economics_most_to_pay(&number_, economics_out_, 24'900'000, kPlaces, 2, TW_WANTED_PERCENT, 100'000,
                                    TW_CASE_WORST, error);
  };
  doors["tw_economics_most_to_pay"] = ask;
  ask.call = [this](tw_error* error) {
    return tw_economics_least_price(&number_, economics_out_, 4'000'000, kPlaces, 2, TW_WANTED_AMOUNT, 5'000'000,
                                    TW_CASE_WORST, 0, error);
  };
  doors["tw_economics_least_price"] = ask;
  ask.call = [this](tw_error* error) {
    static const std::int64_t kTotals[2] = {5'100'000, 9'400'000}, kShares[2] = {3, 1}, kPrice = 24'900'000;
    tw_sale_columns columns = TW_SALE_COLUMNS_INIT;
    columns.rows = 1;
    columns.place_count = 2;
    columns.total_micros = kTotals;
    columns.shares = kShares;
    columns.price.data = &kPrice;
    columns.price.stride = sizeof kPrice;
    columns.price.unit = 1;
    columns.price.element = TW_ELEMENT_INT64;
    columns.most_to_pay_micros = &number_;
    return tw_economics_columns(economics_out_, &columns, error);
  };
  doors["tw_economics_columns"] = ask;
  doors["tw_sale_reason_name"] = Silent([] { tw_sale_reason_name(TW_SALE_NOT_PRICED); });
}

// ---- what changes ----

void World::ChangeDoors(Doors& doors) {
  const auto compare = [this](tw_comparison** out, tw_error* error) {
    return tw_compare(out, small_.get(), shipment_.date, dearer_.get(), shipment_.date, error);
  };
  const auto compared = [compare] {
    tw_comparison* out = nullptr;
    EXPECT_EQ(compare(&out, nullptr), TW_OK);
    return out;
  };
  doors["tw_compare"] = Makes<tw_comparison>(comparison_out_, tw_comparison_free, [this, compare](tw_error* error) {
    return compare(&comparison_out_, error);
  });
  doors["tw_comparison_free"] = GivesBack<tw_comparison>(comparison_out_, compared, tw_comparison_free);
  Door read = GivesBack<tw_comparison>(comparison_out_, compared, tw_comparison_free);
  read.after = [this](tw_status) { tw_comparison_free(comparison_out_); };
  read.call = [this](tw_error* error) {
    tw_cell_change cell = TW_CELL_CHANGE_INIT;
    EXPECT_NE(tw_comparison_summary(comparison_out_)[0], '\0');
    EXPECT_EQ(tw_comparison_cell_count(comparison_out_), 2u);
    return tw_comparison_cell(&cell, comparison_out_, 0, error);
  };
  for (const char* name : {"tw_comparison_summary", "tw_comparison_cell_count", "tw_comparison_cell"}) {
    doors[name] = read;
  }
  read.call = [this](tw_error* error) { return tw_comparison_json(&json_, nullptr, comparison_out_, 2, error); };
  doors["tw_comparison_json"] = read;

  doors["tw_repricer_with_rates"] = Makes<tw_repricer>(repricer_out_, tw_repricer_release, [this](tw_error* error) {
    return tw_repricer_with_rates(&repricer_out_, repricer_.get(), dearer_.get(), error);
  });
  const auto index = [this](tw_index** out, tw_error* error) {
    const tw_goods goods = Goods(kRows);
    return tw_index_create(out, repricer_.get(), &goods, error);
  };
  const auto indexed = [index] {
    tw_index* out = nullptr;
    EXPECT_EQ(index(&out, nullptr), TW_OK);
    return out;
  };
  doors["tw_index_create"] =
      Makes<tw_index>(index_out_, tw_index_free, [this, index](tw_error* error) { return index(&index_out_, error); });
  doors["tw_index_free"] = GivesBack<tw_index>(index_out_, indexed, tw_index_free);
  Door update = GivesBack<tw_index>(index_out_, indexed, tw_index_free);
  update.prepare = [this, prepare = update.prepare] {
    prepare();
    EXPECT_EQ(tw_repricer_with_rates(&repricer_out_, repricer_.get(), dearer_.get(), nullptr), TW_OK);
    EXPECT_EQ(Reprice(repricer_.get(), kRows, nullptr, nullptr), TW_OK);
  };
  update.call = [this](tw_error* error) {
    const tw_goods goods = Goods(kRows);
    tw_results results = TW_RESULTS_INIT;
    results.total_micros = totals_.data();
    return tw_index_update(&day_, index_out_, repricer_out_, &goods, &results, error);
  };
  update.after = [this](tw_status) {
    std::size_t count = 7;
    const std::uint32_t* rows = tw_index_touched(index_out_, &count);
    EXPECT_EQ(rows == nullptr, count == 0);
    tw_repricer_release(repricer_out_);
    tw_index_free(index_out_);
  };
  doors["tw_index_update"] = doors["tw_index_touched"] = update;

  const auto change = [this](tw_catalogue** out, tw_error* error) {
    const tw_goods goods = Goods(kRows);
    return tw_catalogue_compare(out, repricer_.get(), dearer_repricer_.get(), &goods, nullptr, 3, nullptr, error);
  };
  const auto changed = [change] {
    tw_catalogue* out = nullptr;
    EXPECT_EQ(change(&out, nullptr), TW_OK);
    return out;
  };
  doors["tw_catalogue_compare"] = Makes<tw_catalogue>(
      catalogue_out_, tw_catalogue_free, [this, change](tw_error* error) { return change(&catalogue_out_, error); });
  doors["tw_catalogue_free"] = GivesBack<tw_catalogue>(catalogue_out_, changed, tw_catalogue_free);
  Door told = GivesBack<tw_catalogue>(catalogue_out_, changed, tw_catalogue_free);
  told.after = [this](tw_status) { tw_catalogue_free(catalogue_out_); };
  told.call = [this](tw_error* error) {
    tw_catalogue_facts facts = TW_CATALOGUE_FACTS_INIT;
    tw_row_loss loss = TW_ROW_LOSS_INIT;
    EXPECT_NE(tw_catalogue_summary(catalogue_out_)[0], '\0');
    EXPECT_EQ(tw_catalogue_get_facts(&facts, catalogue_out_, error), TW_OK);
    EXPECT_EQ(facts.rows, kRows);
    return tw_catalogue_loser(&loss, catalogue_out_, 0, error);
  };
  for (const char* name : {"tw_catalogue_get_facts", "tw_catalogue_summary", "tw_catalogue_loser"}) {
    doors[name] = told;
  }
}

}  // namespace no_memory_test
