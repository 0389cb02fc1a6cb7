#include "doors.h"

#include <cstring>

namespace no_memory_test {

// ---- names and first values ----

void World::NameDoors(Doors& doors) {
  doors["tw_abi_version"] = Silent([] { tw_abi_version(); });
  doors["tw_version"] = Silent([] { tw_version(); });
  doors["tw_version_text"] = Silent([] { tw_version_text(); });
  doors["tw_status_name"] = Silent([] { tw_status_name(TW_E_MEMORY); });
  doors["tw_obstacle_name"] = Silent([] { tw_obstacle_name(TW_OBSTACLE_MORE_PARCELS); });
  doors["tw_reason_name"] = Silent([] { tw_reason_name(TW_REASON_NO_ZONE); });
  doors["tw_delivers_name"] = Silent([] { tw_delivers_name(TW_DELIVERS_POINT); });
  doors["tw_fit_name"] = Silent([] { tw_fit_name(TW_FIT_UNKNOWN); });
  doors["tw_proof_name"] = Silent([] { tw_proof_name(TW_PROOF_VOLUME); });
  doors["tw_caution_name"] = Silent([] { tw_caution_name(TW_CAUTION_AEROSOL); });
  doors["tw_row_status_name"] = Silent([] { tw_row_status_name(TW_ROW_PRICED); });
#define TW_TEST_INIT(name)                                        \
  doors["tw_" #name "_init"] = Plain([](tw_error*) -> tw_status { \
    tw_##name out;                                                \
    return tw_##name##_init(&out, sizeof out);                    \
  })
  TW_TEST_INIT(arrange_options);
  TW_TEST_INIT(arranged_unit);
  TW_TEST_INIT(carrier_week);
  TW_TEST_INIT(caution);
  TW_TEST_INIT(change);
  TW_TEST_INIT(charge);
  TW_TEST_INIT(finding);
  TW_TEST_INIT(fit);
  TW_TEST_INIT(goods);
  TW_TEST_INIT(grid_note);
  TW_TEST_INIT(grid_options);
  TW_TEST_INIT(handicap);
  TW_TEST_INIT(overdue);
  TW_TEST_INIT(item);
  TW_TEST_INIT(item_list);
  TW_TEST_INIT(obstacle);
  TW_TEST_INIT(once_charge);
  TW_TEST_INIT(parting);
  TW_TEST_INIT(plan);
  TW_TEST_INIT(planned_goods);
  TW_TEST_INIT(planned_parcel);
  TW_TEST_INIT(plans_facts);
  TW_TEST_INIT(lane);
  TW_TEST_INIT(offer);
  TW_TEST_INIT(packaging);
  TW_TEST_INIT(parcel);
  TW_TEST_INIT(reason);
  TW_TEST_INIT(refusal);
  TW_TEST_INIT(reprice_options);
  TW_TEST_INIT(request);
  TW_TEST_INIT(results);
  TW_TEST_INIT(saver);
  TW_TEST_INIT(service);
  TW_TEST_INIT(shipment);
  TW_TEST_INIT(source);
#undef TW_TEST_INIT
}

// ---- errors ----

void World::ErrorDoors(Doors& doors) {
  doors["tw_error_create"] =
      Makes<tw_error>(error_out_, tw_error_free, [this](tw_error*) { return tw_error_create(&error_out_); });
  doors["tw_error_create"].tells = false;
  auto filled = [this] {
    tw_error* made = nullptr;
    EXPECT_EQ(tw_error_create(&made), TW_OK);
    EXPECT_EQ(tw_parse_weight(&number_, "a stone", made), TW_E_INPUT);
    return made;
  };
  doors["tw_error_free"] = GivesBack<tw_error>(error_out_, filled, tw_error_free);
  Door read_error = GivesBack<tw_error>(error_out_, filled, tw_error_free);
  read_error.call = [this](tw_error*) {
    tw_finding finding = TW_FINDING_INIT;
    EXPECT_EQ(tw_error_status(error_out_), TW_E_INPUT);
    EXPECT_NE(tw_error_message(error_out_)[0], '\0');
    EXPECT_EQ(tw_error_count(error_out_), 1u);
    return tw_error_finding(&finding, error_out_, 0);
  };
  read_error.after = [this](tw_status) { tw_error_free(error_out_); };
  for (const char* name : {"tw_error_status", "tw_error_message", "tw_error_count", "tw_error_finding"}) {
    doors[name] = read_error;
  }
}

// ---- loading ----

void World::LoadingDoors(Doors& doors) {
  doors["tw_ratebook_load_folder"] = Makes<tw_ratebook>(book_out_, tw_ratebook_release, [this](tw_error* error) {
    return tw_ratebook_load_folder(&book_out_, TW_TEST_TABLES, error);
  });
  doors["tw_ratebook_load_folder/missing"] = Makes<tw_ratebook>(
      book_out_, tw_ratebook_release,
      [this](tw_error* error) { return tw_ratebook_load_folder(&book_out_, "/nowhere/tables", error); }, TW_E_FILE);
  doors["tw_ratebook_load_files"] = Makes<tw_ratebook>(book_out_, tw_ratebook_release, [this](tw_error* error) {
    static const char* const kPaths[] = {TW_TEST_TABLES "/larkspur-eu-2026-02.json", TW_TEST_TABLES "/shelf.csv"};
    return tw_ratebook_load_files(&book_out_, kPaths, 1, error);
  });
  doors["tw_ratebook_load_memory"] = Makes<tw_ratebook>(book_out_, tw_ratebook_release, [this](tw_error* error) {
    return tw_ratebook_load_memory(&book_out_, memory_.data(), memory_.size(), error);
  });
  doors["tw_ratebook_load_memory/wrong"] = Makes<tw_ratebook>(
      book_out_, tw_ratebook_release,
      [this](tw_error* error) { return tw_ratebook_load_memory(&book_out_, wrong_.data(), wrong_.size(), error); },
      TW_E_TABLE);
  doors["tw_ratebook_load_memory/warning"] =
      Makes<tw_ratebook>(book_out_, tw_ratebook_release, [this](tw_error* error) {
        const tw_status status = tw_ratebook_load_memory(&book_out_, with_warning_.data(), with_warning_.size(), error);
        // A warning is never lost.
        if (error != nullptr && status == TW_OK) {
          EXPECT_EQ(tw_error_count(error), 1u);
          EXPECT_STREQ(tw_error_message(error), "");
        }
        return status;
      });
  doors["tw_shelf_load_file"] = Makes<tw_shelf>(shelf_out_, tw_shelf_release, [this](tw_error* error) {
    return tw_shelf_load_file(&shelf_out_, TW_TEST_TABLES "/shelf.csv", error);
  });
  doors["tw_shelf_load_memory"] = Makes<tw_shelf>(shelf_out_, tw_shelf_release, [this](tw_error* error) {
    return tw_shelf_load_memory(&shelf_out_, &memory_[2], error);
  });
  doors["tw_grid_create"] = Makes<tw_grid>(grid_out_, tw_grid_free, [this](tw_error* error) {
    return tw_grid_create(&grid_out_, &printed_, nullptr, error);
  });
  const auto read = [this] {
    tw_grid* made = nullptr;
    EXPECT_EQ(tw_grid_create(&made, &printed_, nullptr, nullptr), TW_OK);
    return made;
  };
  doors["tw_grid_free"] = GivesBack<tw_grid>(grid_out_, read, tw_grid_free);
  Door read_grid = GivesBack<tw_grid>(grid_out_, read, tw_grid_free);
  read_grid.call = [this](tw_error* error) {
    tw_grid_note note = TW_GRID_NOTE_INIT;
    std::size_t length = 0;
    EXPECT_STREQ(tw_grid_csv(grid_out_, &length), "bound,1 & 2,3\n1,3.69,3.75\n2,3.85,\n");
    EXPECT_EQ(length, std::strlen(tw_grid_csv(grid_out_, nullptr)));
    EXPECT_STREQ(tw_grid_unit(grid_out_), "lb");
    EXPECT_GT(tw_grid_note_count(grid_out_), 2u);
    return tw_grid_note_at(&note, grid_out_, 0, error);
  };
  read_grid.after = [this](tw_status) { tw_grid_free(grid_out_); };
  for (const char* name : {"tw_grid_csv", "tw_grid_unit", "tw_grid_note_count", "tw_grid_note_at"})
    doors[name] = read_grid;
  doors["tw_ratebook_retain"] = Silent([this] { tw_ratebook_release(tw_ratebook_retain(small_.get())); });
  doors["tw_ratebook_release"] = GivesBack<tw_ratebook>(
      book_out_,
      [this] {
        tw_ratebook* made = nullptr;
        EXPECT_EQ(tw_ratebook_load_memory(&made, memory_.data(), memory_.size(), nullptr), TW_OK);
        return made;
      },
      tw_ratebook_release);
  doors["tw_ratebook_shelf"] = Silent([this] { EXPECT_NE(tw_ratebook_shelf(small_.get()), nullptr); });
  doors["tw_ratebook_tariff_count"] = Silent([this] { EXPECT_EQ(tw_ratebook_tariff_count(small_.get()), 1u); });
  doors["tw_shelf_retain"] = Silent([this] { tw_shelf_release(tw_shelf_retain(tw_ratebook_shelf(small_.get()))); });
  doors["tw_shelf_release"] = GivesBack<tw_shelf>(
      shelf_out_,
      [this] {
        tw_shelf* made = nullptr;
        EXPECT_EQ(tw_shelf_load_memory(&made, &memory_[2], nullptr), TW_OK);
        return made;
      },
      tw_shelf_release);
}

// ---- slots ----

void World::SlotDoors(Doors& doors) {
  doors["tw_ratebook_slot_create"] = Makes<tw_ratebook_slot>(slot_out_, tw_ratebook_slot_free, [this](tw_error* error) {
    return tw_ratebook_slot_create(&slot_out_, small_.get(), error);
  });
  auto new_slot = [this] {
    tw_ratebook_slot* made = nullptr;
    EXPECT_EQ(tw_ratebook_slot_create(&made, small_.get(), nullptr), TW_OK);
    return made;
  };
  doors["tw_ratebook_slot_free"] = GivesBack<tw_ratebook_slot>(slot_out_, new_slot, tw_ratebook_slot_free);
  doors["tw_ratebook_slot_get"] = Plain([this](tw_error*) {
    tw_ratebook* got = nullptr;
    const tw_status status = tw_ratebook_slot_get(&got, slot_.get());
    tw_ratebook_release(got);
    return status;
  });
  doors["tw_ratebook_slot_set"] = Plain([this](tw_error*) { return tw_ratebook_slot_set(slot_.get(), book_.get()); });
  doors["tw_ratebook_slot_generation"] = Silent([this] { tw_ratebook_slot_generation(slot_.get()); });
  for (const char* name : {"tw_ratebook_slot_get", "tw_ratebook_slot_set", "tw_ratebook_slot_generation"}) {
    doors[name].tells = false;
    doors[name].prepare = [this, new_slot] { slot_.reset(new_slot()); };
    doors[name].after = [this](tw_status status) {
      tw_ratebook* got = nullptr;
      EXPECT_EQ(tw_ratebook_slot_get(&got, slot_.get()), TW_OK);
      EXPECT_TRUE(got == small_.get() || (got == book_.get() && status == TW_OK));
      tw_ratebook_release(got);
      slot_.reset();
    };
  }
}

// ---- dispatches ----

void World::DispatchDoors(Doors& doors) {
  doors["tw_dispatch_create"] = Makes<tw_dispatch>(dispatch_out_, tw_dispatch_release, [this](tw_error* error) {
    return tw_dispatch_create(&dispatch_out_, book_.get(), shelf_, &shipment_, error);
  });
  doors["tw_dispatch_retain"] = Silent([this] { tw_dispatch_release(tw_dispatch_retain(dispatch_.get())); });
  doors["tw_dispatch_release"] = GivesBack<tw_dispatch>(
      dispatch_out_, [this] { return capi_test::NewDispatch(small_.get(), shelf_, capi_test::Shipment()).release(); },
      tw_dispatch_release);
  doors["tw_dispatch_currency"] = Silent([this] { tw_dispatch_currency(dispatch_.get()); });
  doors["tw_dispatch_currency_decimals"] = Silent([this] { tw_dispatch_currency_decimals(dispatch_.get()); });
  doors["tw_dispatch_service_count"] = Silent([this] { tw_dispatch_service_count(dispatch_.get()); });
  doors["tw_dispatch_packaging_count"] = Silent([this] { tw_dispatch_packaging_count(dispatch_.get()); });
  doors["tw_dispatch_service"] = Plain([this](tw_error* error) {
    tw_service service = TW_SERVICE_INIT;
    return tw_dispatch_service(&service, dispatch_.get(), 0, error);
  });
  doors["tw_dispatch_packaging"] = Plain([this](tw_error* error) {
    tw_packaging packaging = TW_PACKAGING_INIT;
    return tw_dispatch_packaging(&packaging, dispatch_.get(), 0, error);
  });
}

// ---- rankings ----

void World::RankingDoors(Doors& doors) {
  doors["tw_ranking_create"] = Makes<tw_ranking>(
      ranking_out_, tw_ranking_free, [this](tw_error* error) { return tw_ranking_create(&ranking_out_, error); });
  doors["tw_rank"] = Ranks(
      [this](tw_ranking* ranking, tw_error* error) { return tw_rank(ranking, few_.get(), &goods_request_, error); });
  doors["tw_rank/many"] = Ranks([this](tw_ranking* ranking, tw_error* error) {
    return tw_rank(ranking, dispatch_.get(), &parcel_request_, error);
  });
  doors["tw_rank/totals"] = Ranks(
      [this](tw_ranking* ranking, tw_error* error) { return tw_rank(ranking, few_.get(), &parcel_request_, error); });
  doors["tw_rank/parcel"] = Ranks(
      [this](tw_ranking* ranking, tw_error* error) { return tw_rank(ranking, few_.get(), &full_request_, error); });
  doors["tw_rank/estimate"] = Ranks([this](tw_ranking* ranking, tw_error* error) {
    return tw_rank(ranking, estimate_.get(), &goods_request_, error);
  });
  doors["tw_rank/again"] = Ranks(
      [this](tw_ranking* ranking, tw_error* error) { return tw_rank(ranking, few_.get(), &parcel_request_, error); });
  doors["tw_rank/again"].prepare = [this] {
    ranking_ = capi_test::NewRanking();
    EXPECT_EQ(tw_rank(ranking_.get(), estimate_.get(), &goods_request_, nullptr), TW_OK);
    EXPECT_EQ(tw_ranking_json(&json_, nullptr, ranking_.get(), 2, nullptr), TW_OK);
  };
  doors["tw_rank_json"] = Ranks([this](tw_ranking* ranking, tw_error* error) {
    return tw_rank_json(ranking, small_.get(), tw_ratebook_shelf(small_.get()), kRequest, sizeof kRequest - 1, error);
  });
  doors["tw_rank_json/wrong"] =
      Ranks([this](tw_ranking* ranking,
                   tw_error* error) { return tw_rank_json(ranking, small_.get(), nullptr, kRequest, 300, error); },
            TW_E_REQUEST);
  doors["tw_rank_json_with"] = Ranks([this](tw_ranking* ranking, tw_error* error) {
    return tw_rank_json_with(ranking, small_.get(), tw_ratebook_shelf(small_.get()), kRequest, sizeof kRequest - 1,
                             TW_DETAIL_CHARGES, error);
  });
  doors["tw_ranking_json_with"] = Asks(
      [this](tw_ranking* ranking, tw_error* error) {
        tw_json_options options = TW_JSON_OPTIONS_INIT;
        options.refusals = TW_REFUSALS_GROUPED;
        options.room_to_grow = 1;
        return tw_ranking_json_with(&json_, nullptr, ranking, &options, error);
      },
      /*of_few=*/true);
  doors["tw_ranking_free"] = GivesBack<tw_ranking>(
      ranking_out_,
      [this] {
        tw_ranking* made = capi_test::NewRanking().release();
        EXPECT_EQ(tw_rank(made, dispatch_.get(), &goods_request_, nullptr), TW_OK);
        return made;
      },
      tw_ranking_free);
  for (const std::int32_t indent : {-1, 2}) {
    Door json =
        Asks([this, indent](tw_ranking* ranking,
                            tw_error* error) { return tw_ranking_json(&json_, nullptr, ranking, indent, error); },
             /*of_few=*/true);
    json.after = [this, after = json.after](tw_status status) {
      if (status == TW_OK) {
        EXPECT_GT(std::strlen(json_), 1000u);
      }
      after(status);
    };
    doors[indent < 0 ? "tw_ranking_json" : "tw_ranking_json/indented"] = json;
  }
  doors["tw_ranking_offer"] = Asks([](tw_ranking* ranking, tw_error* error) {
    tw_offer offer = TW_OFFER_INIT;
    return tw_ranking_offer(&offer, ranking, 0, error);
  });
  doors["tw_ranking_charge"] = Asks([](tw_ranking* ranking, tw_error* error) {
    tw_charge charge = TW_CHARGE_INIT;
    const tw_status status = tw_ranking_charge(&charge, ranking, 0, 0, error);
    EXPECT_EQ(charge.code == nullptr, status != TW_OK);
    return status;
  });
  doors["tw_ranking_handicap"] = Asks(
      [](tw_ranking* ranking, tw_error* error) {
        tw_handicap handicap = TW_HANDICAP_INIT;
        return tw_ranking_handicap(&handicap, ranking, 0, 0, error);
      },
      /*of_few=*/true);
  // Of the first offer that has an arrangement.
  static constexpr auto kArranged = [](const tw_ranking* ranking) {
    std::size_t offer = 0;
    while (offer < tw_ranking_offer_count(ranking) && tw_ranking_arrangement_count(ranking, offer) == 0) ++offer;
    EXPECT_LT(offer, tw_ranking_offer_count(ranking));
    return offer;
  };
  doors["tw_ranking_arrangement_count"] = Asks([](tw_ranking* ranking, tw_error*) {
    EXPECT_EQ(tw_ranking_arrangement_count(ranking, kArranged(ranking)), 3u);
    return tw_status{TW_OK};
  });
  doors["tw_ranking_arrangement_count"].tells = false;
  doors["tw_ranking_arrangement_unit"] = Asks([](tw_ranking* ranking, tw_error* error) {
    tw_arranged_unit unit = TW_ARRANGED_UNIT_INIT;
    const tw_status status = tw_ranking_arrangement_unit(&unit, ranking, kArranged(ranking), 1, error);
    EXPECT_EQ(unit.sides_nm[2] > 0, status == TW_OK);
    return status;
  });
  doors["tw_ranking_step_count"] = Asks([](tw_ranking* ranking, tw_error* error) {
    std::size_t count = 0;
    const tw_status status = tw_ranking_step_count(&count, ranking, kArranged(ranking), error);
    EXPECT_EQ(count > 0, status == TW_OK);
    return status;
  });
  doors["tw_ranking_step"] = Asks([](tw_ranking* ranking, tw_error* error) {
    const char* step = nullptr;
    const tw_status status = tw_ranking_step(&step, ranking, kArranged(ranking), 0, error);
    EXPECT_EQ(step == nullptr, status != TW_OK);
    return status;
  });
  // Of one unit: of several there are tens of thousands of allocations.
  const auto grows = [this](std::function<tw_status(tw_ranking*, tw_error*)> ask) {
    Door door = Asks(std::move(ask));
    door.prepare = [this] {
      tw_request request = TW_REQUEST_INIT;
      request.items = items_;
      request.item_count = 1;
      ranking_ = capi_test::NewRanking();
      ASSERT_EQ(tw_rank(ranking_.get(), few_.get(), &request, nullptr), TW_OK);
    };
    return door;
  };
  doors["tw_ranking_growth_count"] = grows([](tw_ranking* ranking, tw_error* error) {
    std::size_t count = 0;
    const tw_status status = tw_ranking_growth_count(&count, ranking, 0, error);
    EXPECT_EQ(count, status == TW_OK ? 1u : 0u);
    return status;
  });
  doors["tw_ranking_growth"] = grows([](tw_ranking* ranking, tw_error* error) {
    std::int64_t sides[3] = {-1, -1, -1};
    const tw_status status = tw_ranking_growth(sides, ranking, 0, 0, error);
    EXPECT_EQ(sides[2] >= 0, status == TW_OK);
    return status;
  });
  doors["tw_ranking_overdue"] = Asks(
      [](tw_ranking* ranking, tw_error* error) {
        tw_overdue overdue = TW_OVERDUE_INIT;
        const tw_status status = tw_ranking_overdue(&overdue, ranking, 0, 0, error);
        EXPECT_EQ(overdue.series == nullptr, status != TW_OK);
        return status;
      },
      /*of_few=*/true);
  doors["tw_ranking_saver"] = Asks([](tw_ranking* ranking, tw_error* error) {
    for (std::size_t offer = 0; offer < tw_ranking_offer_count(ranking); ++offer) {
      tw_saver saver = TW_SAVER_INIT;
      const tw_status status = tw_ranking_saver(&saver, ranking, offer, 0, error);
      if (status != TW_E_INDEX) return status;
    }
    // With nothing to save on it is the index that is wrong, in words.
    tw_saver saver = TW_SAVER_INIT;
    const tw_status status = tw_ranking_saver(&saver, ranking, 0, 0, error);
    return status == TW_E_INDEX ? tw_status{TW_OK} : status;
  });
  doors["tw_ranking_refusal"] = Asks([](tw_ranking* ranking, tw_error* error) {
    tw_refusal refusal = TW_REFUSAL_INIT;
    return tw_ranking_refusal(&refusal, ranking, 0, error);
  });
  doors["tw_ranking_reason"] = Asks([](tw_ranking* ranking, tw_error* error) {
    tw_reason reason = TW_REASON_INIT;
    return tw_ranking_reason(&reason, ranking, 0, 0, error);
  });
  doors["tw_caution_words"] = Plain([](tw_error* error) {
    tw_caution caution = TW_CAUTION_INIT;
    return tw_caution_words(&caution, TW_CAUTION_AEROSOL, error);
  });
  doors["tw_ranking_caution"] = Asks([](tw_ranking* ranking, tw_error* error) {
    tw_caution caution = TW_CAUTION_INIT;
    return tw_ranking_caution(&caution, ranking, 0, error);
  });
  doors["tw_ranking_change"] = Asks([](tw_ranking* ranking, tw_error* error) {
    tw_change change = TW_CHANGE_INIT;
    return tw_ranking_change(&change, ranking, 0, error);
  });
  doors["tw_ranking_dispatch"] = Silent([this] { EXPECT_EQ(tw_ranking_dispatch(answered_.get()), dispatch_.get()); });
  doors["tw_ranking_is_estimate"] = Silent([this] { tw_ranking_is_estimate(answered_.get()); });
  doors["tw_ranking_currency"] = Silent([this] { tw_ranking_currency(answered_.get()); });
  doors["tw_ranking_offer_count"] = Silent([this] { tw_ranking_offer_count(answered_.get()); });
  doors["tw_ranking_refusal_count"] = Silent([this] { tw_ranking_refusal_count(answered_.get()); });
  doors["tw_ranking_caution_count"] = Silent([this] { tw_ranking_caution_count(answered_.get()); });
  doors["tw_ranking_change_count"] = Silent([this] { tw_ranking_change_count(answered_.get()); });
}

// ---- catalogues ----

void World::CatalogueDoors(Doors& doors) {
  doors["tw_repricer_create"] = Makes<tw_repricer>(
      repricer_out_, tw_repricer_release, [this](tw_error* error) { return CreateRepricer(&repricer_out_, error); });
  doors["tw_repricer_retain"] = Silent([this] { tw_repricer_release(tw_repricer_retain(repricer_.get())); });
  doors["tw_repricer_release"] = GivesBack<tw_repricer>(
      repricer_out_,
      [this] {
        tw_repricer* made = NewRepricer();
        EXPECT_EQ(Reprice(made, kRows, nullptr, nullptr), TW_OK);
        return made;
      },
      tw_repricer_release);
  doors["tw_repricer_service_count"] = Silent([this] { tw_repricer_service_count(repricer_.get()); });
  doors["tw_repricer_packaging_count"] = Silent([this] { tw_repricer_packaging_count(repricer_.get()); });
  doors["tw_repricer_packaging_code"] = Silent([this] { tw_repricer_packaging_code(repricer_.get(), 0); });
  doors["tw_repricer_lane_count"] = Silent([this] { tw_repricer_lane_count(repricer_.get()); });
  doors["tw_repricer_currency"] = Silent([this] { tw_repricer_currency(repricer_.get()); });
  doors["tw_repricer_service"] = Plain([this](tw_error* error) {
    tw_service service = TW_SERVICE_INIT;
    return tw_repricer_service(&service, repricer_.get(), 0, error);
  });
  doors["tw_reprice"] = Reprices(kRows, 1);
  doors["tw_reprice/threads"] = Reprices(kManyRows, 3);
}

// ---- packing alone ----

void World::ArrangementDoors(Doors& doors) {
  static const tw_packaging kCarton = [] {
    tw_packaging carton = TW_PACKAGING_INIT;
    for (std::int64_t& side : carton.inside_nm) side = 30 * TW_INCH;
    carton.wall_nm = TW_MILLIMETRE;
    carton.title = "Carton";
    return carton;
  }();
  const auto arrange = [this](tw_arrangement** out, tw_error* error) {
    return tw_arrange(out, items_, 2, &kCarton, nullptr, error);
  };
  doors["tw_arrange"] = Makes<tw_arrangement>(arrangement_out_, tw_arrangement_free, [this, arrange](tw_error* error) {
    return arrange(&arrangement_out_, error);
  });
  const auto made = [arrange] {
    tw_arrangement* out = nullptr;
    EXPECT_EQ(arrange(&out, nullptr), TW_OK);
    return out;
  };
  doors["tw_arrangement_free"] = GivesBack<tw_arrangement>(arrangement_out_, made, tw_arrangement_free);
  Door read = GivesBack<tw_arrangement>(arrangement_out_, made, tw_arrangement_free);
  read.call = [this](tw_error* error) {
    tw_fit fit = TW_FIT_INIT;
    tw_arranged_unit unit = TW_ARRANGED_UNIT_INIT;
    const char* step = nullptr;
    EXPECT_GT(tw_arrangement_step_count(arrangement_out_), 0u);
    EXPECT_EQ(tw_arrangement_fit(&fit, arrangement_out_, error), TW_OK);
    EXPECT_EQ(fit.unit_count, 3u);
    EXPECT_EQ(tw_arrangement_step(&step, arrangement_out_, 0, error), TW_OK);
    return tw_arrangement_unit(&unit, arrangement_out_, 2, error);
  };
  read.after = [this](tw_status) { tw_arrangement_free(arrangement_out_); };
  for (const char* name :
       {"tw_arrangement_fit", "tw_arrangement_unit", "tw_arrangement_step", "tw_arrangement_step_count"})
    doors[name] = read;
  // No place is given for any of the goods: what is wrong is told by a warning.
  doors["tw_check_arrangement"] = Plain([this](tw_error* error) {
    std::int32_t keeps = 7;
    const tw_status status = tw_check_arrangement(&keeps, items_, 2, &kCarton, nullptr, nullptr, 0, error);
    EXPECT_EQ(keeps, status == TW_OK ? 0 : 7);
    if (status == TW_OK && error != nullptr) {
      EXPECT_EQ(tw_error_count(error), 1u);
    }
    return status;
  });
}

// ---- several parcels ----

void World::PlansDoors(Doors& doors) {
  static const tw_parting kTwo = [] {
    tw_parting two = TW_PARTING_INIT;
    two.most = 2;
    return two;
  }();
  doors["tw_plans_create"] = Makes<tw_plans>(plans_out_, tw_plans_free,
                                             [this](tw_error* error) { return tw_plans_create(&plans_out_, error); });
  const auto empty = [] {
    tw_plans* out = nullptr;
    EXPECT_EQ(tw_plans_create(&out, nullptr), TW_OK);
    return out;
  };
  Door find = GivesBack<tw_plans>(plans_out_, empty, tw_plans_free);
  find.call = [this](tw_error* error) { return tw_find_plans(plans_out_, few_.get(), &goods_request_, &kTwo, error); };
  find.after = [this](tw_status status) {
    tw_plans_facts facts = TW_PLANS_FACTS_INIT;
    EXPECT_EQ(tw_plans_get_facts(&facts, plans_out_, nullptr), status == TW_OK ? TW_OK : TW_E_INDEX);
    tw_plans_free(plans_out_);
  };
  doors["tw_find_plans"] = find;
  find.call = [this](tw_error* error) {
    return tw_find_plans_json(plans_out_, small_.get(), tw_ratebook_shelf(small_.get()), kOrder, sizeof kOrder - 1,
                              error);
  };
  doors["tw_find_plans_json"] = find;
  const auto made = [this, empty] {
    tw_plans* out = empty();
    EXPECT_EQ(tw_find_plans(out, few_.get(), &goods_request_, &kTwo, nullptr), TW_OK);
    return out;
  };
  doors["tw_plans_free"] = GivesBack<tw_plans>(plans_out_, made, tw_plans_free);
  Door read = GivesBack<tw_plans>(plans_out_, made, tw_plans_free);
  read.after = [this](tw_status) { tw_plans_free(plans_out_); };
  read.call = [this](tw_error* error) {
    tw_plans_facts facts = TW_PLANS_FACTS_INIT;
    tw_plan plan = TW_PLAN_INIT;
    tw_planned_parcel parcel = TW_PLANNED_PARCEL_INIT;
    tw_planned_goods goods = TW_PLANNED_GOODS_INIT;
    EXPECT_EQ(tw_plans_get_facts(&facts, plans_out_, error), TW_OK);
    EXPECT_GT(facts.plan_count, 0u);
    EXPECT_EQ(tw_plans_plan(&plan, plans_out_, 0, error), TW_OK);
    EXPECT_EQ(tw_plans_parcel(&parcel, plans_out_, 0, 0, error), TW_OK);
    return tw_plans_goods(&goods, plans_out_, 0, 0, 0, error);
  };
  for (const char* name : {"tw_plans_get_facts", "tw_plans_plan", "tw_plans_parcel", "tw_plans_goods"}) {
    doors[name] = read;
  }
  read.call = [this](tw_error* error) { return tw_plans_json(&json_, nullptr, plans_out_, 2, error); };
  doors["tw_plans_json"] = read;
  read.call = [this](tw_error* error) {
    tw_json_options options = TW_JSON_OPTIONS_INIT;
    options.without = TW_WITHOUT_CHARGES;
    return tw_plans_json_with(&json_, nullptr, plans_out_, &options, error);
  };
  doors["tw_plans_json_with"] = read;
  // What is not there.
  read.expected = TW_E_INDEX;
  read.call = [this](tw_error* error) {
    tw_once_charge once = TW_ONCE_CHARGE_INIT;
    return tw_plans_once(&once, plans_out_, 0, 0, error);
  };
  doors["tw_plans_once"] = read;
  read.expected = TW_OK;
  Door rank = read;
  rank.prepare = [this, prepare = read.prepare] {
    prepare();
    ranking_ = capi_test::NewRanking();
  };
  rank.call = [this](tw_error* error) { return tw_plans_ranking(ranking_.get(), plans_out_, 0, 0, error); };
  rank.after = [this](tw_status status) {
    EXPECT_EQ(tw_ranking_offer_count(ranking_.get()) > 0, status == TW_OK);
    ranking_.reset();
    tw_plans_free(plans_out_);
  };
  doors["tw_plans_ranking"] = rank;
  // Of goods that nothing takes.
  const auto none = [this, empty] {
    tw_plans* out = empty();
    tw_item item = items_[0];
    for (std::int64_t& side : item.sides_nm) side = 3000 * TW_MILLIMETRE;
    tw_request request = goods_request_;
    request.items = &item;
    request.item_count = 1;
    EXPECT_EQ(tw_find_plans(out, few_.get(), &request, &kTwo, nullptr), TW_OK);
    return out;
  };
  Door obstacle = GivesBack<tw_plans>(plans_out_, none, tw_plans_free);
  obstacle.after = [this](tw_status) { tw_plans_free(plans_out_); };
  obstacle.call = [this](tw_error* error) {
    tw_obstacle one = TW_OBSTACLE_INIT;
    tw_planned_goods goods = TW_PLANNED_GOODS_INIT;
    EXPECT_EQ(tw_plans_obstacle(&one, plans_out_, 0, error), TW_OK);
    EXPECT_EQ(one.code, TW_OBSTACLE_NOTHING_TAKES);
    return tw_plans_obstacle_goods(&goods, plans_out_, 0, 0, error);
  };
  doors["tw_plans_obstacle"] = doors["tw_plans_obstacle_goods"] = obstacle;
  Door alone = obstacle;
  alone.prepare = [this, prepare = obstacle.prepare] {
    prepare();
    ranking_ = capi_test::NewRanking();
  };
  alone.call = [this](tw_error* error) { return tw_plans_obstacle_ranking(ranking_.get(), plans_out_, 0, error); };
  alone.after = [this](tw_status status) {
    EXPECT_EQ(tw_ranking_refusal_count(ranking_.get()) > 0, status == TW_OK);
    ranking_.reset();
    tw_plans_free(plans_out_);
  };
  doors["tw_plans_obstacle_ranking"] = alone;
}

// ---- text ----

void World::TextDoors(Doors& doors) {
  doors["tw_parse_weight"] = Plain([this](tw_error* error) { return tw_parse_weight(&number_, "1 lb 3 oz", error); });
  doors["tw_parse_weight/wrong"] = Plain(
      [this](tw_error* error) {
        number_ = 7;
        const tw_status status = tw_parse_weight(&number_, "fourteen stone or thereabouts", error);
        EXPECT_EQ(number_, 7);
        return status;
      },
      TW_E_INPUT);
  doors["tw_parse_length"] = Plain([this](tw_error* error) { return tw_parse_length(&number_, "12-3/8 in", error); });
  doors["tw_parse_sides"] = Plain([this](tw_error* error) { return tw_parse_sides(numbers_, "14 x 9 x 5 in", error); });
  doors["tw_parse_money"] = Plain([this](tw_error* error) { return tw_parse_money(&number_, "24.00", error); });
  doors["tw_parse_date"] = Plain([this](tw_error* error) { return tw_parse_date(&day_, "2026-08-03", error); });
  doors["tw_format_weight"] = Plain([this](tw_error* error) {
    return tw_format_weight(buffer_, sizeof buffer_, nullptr, 123'456'789'012'345'678, "kg", error);
  });
  doors["tw_format_length"] = Plain([this](tw_error* error) {
    return tw_format_length(buffer_, sizeof buffer_, nullptr, 123'456'789'012'345'678, "m", error);
  });
  doors["tw_format_money"] = Plain([this](tw_error* error) {
    return tw_format_money(buffer_, sizeof buffer_, nullptr, 123'456'789'012'345'678, "USD", error);
  });
  doors["tw_format_date"] =
      Plain([this](tw_error* error) { return tw_format_date(buffer_, sizeof buffer_, nullptr, 20'000, error); });
}

Doors World::AllDoors() {
  Doors doors;
  NameDoors(doors);
  ErrorDoors(doors);
  LoadingDoors(doors);
  SlotDoors(doors);
  DispatchDoors(doors);
  RankingDoors(doors);
  CatalogueDoors(doors);
  ArrangementDoors(doors);
  PlansDoors(doors);
  TextDoors(doors);
  ReachDoors(doors);
  return doors;
}

World& TheWorld() {
  static World* const kWorld = new World;
  return *kWorld;
}

}  // namespace no_memory_test
