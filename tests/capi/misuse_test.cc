// 10,000 random sequences of calls with bad arguments: null and foreign handles, wrong sizes, huge counts, broken
// UTF-8, extreme numbers. Each gives a status; none may crash, and a handle stays usable after it.
#include <cstdint>
#include <limits>
#include <random>
#include <string>
#include <vector>

#include "support.h"

namespace {

class Caller {
 public:
  explicit Caller(std::uint32_t seed) : random_(seed) {
    static tw_ratebook* const kBook = capi_test::LoadBook().release();
    book_ = kBook;
    tw_error_create(&error_);
    tw_ranking_create(&ranking_, nullptr);
    tw_shipment shipment = capi_test::Shipment();
    tw_dispatch_create(&dispatch_, book_, tw_ratebook_shelf(book_), &shipment, nullptr);
    tw_ratebook_slot_create(&slot_, book_, nullptr);
  }
  ~Caller() {
    tw_ratebook_slot_free(slot_);
    tw_ranking_free(ranking_);
    tw_dispatch_release(dispatch_);
    tw_error_free(error_);
  }

  // Packing alone, and looking at what somebody else packed.
  tw_status Arrange() {
    kept_.clear();
    kept_.reserve(32);
    words_[0] = Chance(20) ? nullptr : Keep(Text());
    words_[1] = Keep(Text());
    FillItems();
    tw_packaging packaging = TW_PACKAGING_INIT;
    packaging.kind = Chance(10) ? static_cast<std::int32_t>(Number()) : static_cast<std::int32_t>(Below(5));
    for (std::int64_t& side : packaging.inside_nm) side = Chance(10) ? Number() : 20 * TW_INCH;
    if (Chance(10)) packaging.outside_nm[Below(3)] = Number();
    if (Chance(10)) packaging.wall_nm = Number();
    if (Chance(10)) packaging.least_height_nm = Number();
    Spoil(packaging.struct_size);
    tw_arrange_options options = TW_ARRANGE_OPTIONS_INIT;
    options.has_padding = static_cast<std::int32_t>(Below(2));
    options.padding_nm = Chance(20) ? Number() : 0;
    options.nodes = Chance(20) ? -1 - static_cast<std::int64_t>(Below(9)) : 1 + static_cast<std::int64_t>(Below(50));
    const tw_packaging* into = Chance(10) ? nullptr : &packaging;
    const tw_arrange_options* how = Chance(20) ? nullptr : &options;
    const std::size_t count = Chance(10) ? SIZE_MAX - Below(9) : Below(3);
    if (Chance(50)) {
      std::vector<tw_arranged_unit> units(Below(4), tw_arranged_unit(TW_ARRANGED_UNIT_INIT));
      for (tw_arranged_unit& unit : units) {
        unit.item = static_cast<std::uint32_t>(Below(3));
        for (std::int64_t& at : unit.at_nm) at = Chance(20) ? Number() : 0;
        for (std::int64_t& side : unit.sides_nm) side = Chance(20) ? Number() : TW_INCH;
        Spoil(unit.struct_size);
      }
      std::int32_t keeps = 7;
      const tw_status status = tw_check_arrangement(Maybe(&keeps), items_, count, into, how, units.data(),
                                                    Chance(10) ? SIZE_MAX : units.size(), Error());
      EXPECT_EQ(status != TW_OK, keeps == 7);
      return status;
    }
    tw_arrangement* made = nullptr;
    const tw_status status = tw_arrange(Maybe(&made), items_, count, into, how, Error());
    EXPECT_EQ(status == TW_OK, made != nullptr);
    tw_fit fit = TW_FIT_INIT;
    tw_arranged_unit unit = TW_ARRANGED_UNIT_INIT;
    tw_arrangement_fit(Maybe(&fit), made, Error());
    tw_arrangement_unit(Maybe(&unit), made, Index(), Error());
    tw_arrangement_free(made);
    return status;
  }

  // One call; its status, which must be one that is named.
  tw_status Call() {
    switch (Below(28)) {
      case 27:
        return Arrange();
      case 0: {
        tw_dispatch* made = nullptr;
        tw_shipment shipment = Shipment();
        const tw_status status =
            tw_dispatch_create(Maybe(&made), Book(), Shelf(), Chance(30) ? nullptr : &shipment, Error());
        EXPECT_EQ(status == TW_OK, made != nullptr);
        tw_dispatch_release(made);
        return status;
      }
      case 1:
      case 2:
      case 3:
      case 4:
      case 5: {
        tw_request request = Request();
        return tw_rank(Ranking(), Dispatch(), Chance(30) ? nullptr : &request, Error());
      }
      case 6: {
        const std::string text = Document();
        return tw_rank_json(Ranking(), Book(), Shelf(), Chance(20) ? nullptr : text.data(),
                            Chance(20) ? SIZE_MAX - Below(9) : text.size(), Error());
      }
      case 7: {
        tw_offer offer = TW_OFFER_INIT;
        Spoil(offer.struct_size);
        return tw_ranking_offer(Maybe(&offer), Ranking(), Index(), Error());
      }
      case 8: {
        tw_charge charge = TW_CHARGE_INIT;
        Spoil(charge.struct_size);
        return tw_ranking_charge(Maybe(&charge), Ranking(), Index(), Index(), Error());
      }
      case 9: {
        tw_saver saver = TW_SAVER_INIT;
        Spoil(saver.struct_size);
        return tw_ranking_saver(Maybe(&saver), Ranking(), Index(), Index(), Error());
      }
      case 10: {
        tw_refusal refusal = TW_REFUSAL_INIT;
        Spoil(refusal.struct_size);
        return tw_ranking_refusal(Maybe(&refusal), Ranking(), Index(), Error());
      }
      case 11: {
        tw_reason reason = TW_REASON_INIT;
        return tw_ranking_reason(Maybe(&reason), Ranking(), Index(), Index(), Error());
      }
      case 12: {
        tw_caution caution = TW_CAUTION_INIT;
        if (Chance(3)) return tw_caution_words(Maybe(&caution), static_cast<std::uint32_t>(Number()), Error());
        return tw_ranking_caution(Maybe(&caution), Ranking(), Index(), Error());
      }
      case 13: {
        tw_handicap handicap = TW_HANDICAP_INIT;
        Spoil(handicap.struct_size);
        if (Chance(30)) return tw_ranking_handicap(Maybe(&handicap), Ranking(), Index(), Index(), Error());
        tw_change change = TW_CHANGE_INIT;
        return tw_ranking_change(Maybe(&change), Ranking(), Index(), Error());
      }
      case 14: {
        const char* json = nullptr;
        std::size_t length = 0;
        return tw_ranking_json(Maybe(&json), Maybe(&length), Ranking(), static_cast<std::int32_t>(Number()), Error());
      }
      case 15: {
        std::int64_t out[3] = {};
        const std::string text = Text();
        const char* given = Chance(10) ? nullptr : text.c_str();
        switch (Below(4)) {
          case 0:
            return tw_parse_weight(Maybe(&out[0]), given, Error());
          case 1:
            return tw_parse_length(Maybe(&out[0]), given, Error());
          case 2:
            return tw_parse_sides(Chance(10) ? nullptr : out, given, Error());
          default:
            return tw_parse_money(Maybe(&out[0]), given, Error());
        }
      }
      case 16: {
        char buffer[64];
        std::size_t size = 0;
        const std::string unit = Text();
        const std::size_t capacity = Below(sizeof buffer + 1);
        char* into = Chance(10) ? nullptr : buffer;
        switch (Below(4)) {
          case 0:
            return tw_format_weight(into, capacity, Maybe(&size), Number(), unit.c_str(), Error());
          case 1:
            return tw_format_length(into, capacity, Maybe(&size), Number(), "in", Error());
          case 2:
            return tw_format_money(into, capacity, Maybe(&size), Number(), "JPY", Error());
          default:
            return tw_format_date(into, capacity, Maybe(&size), static_cast<std::int32_t>(Number()), Error());
        }
      }
      case 17: {
        tw_source source = TW_SOURCE_INIT;
        const std::string text = Document();
        const std::string name = Chance(50) ? "a.json" : Chance(50) ? "shelf.csv" : Text();
        source.name = Chance(10) ? nullptr : name.c_str();
        source.text = Chance(10) ? nullptr : text.data();
        source.length = Chance(10) ? SIZE_MAX : text.size();
        Spoil(source.struct_size);
        tw_ratebook* made = nullptr;
        const tw_status status = tw_ratebook_load_memory(Maybe(&made), Chance(5) ? nullptr : &source,
                                                         Chance(10) ? SIZE_MAX : Below(2), Error());
        tw_ratebook_release(made);
        return status;
      }
      case 18: {
        const std::string path = Text();
        const char* paths[] = {path.c_str(), nullptr};
        tw_ratebook* made = nullptr;
        const tw_status status =
            Chance(50) ? tw_ratebook_load_folder(Maybe(&made), path.c_str(), Error())
                       : tw_ratebook_load_files(Maybe(&made), paths, Chance(20) ? SIZE_MAX / 2 : Below(3), Error());
        tw_ratebook_release(made);
        return status;
      }
      case 19: {
        tw_ratebook* taken = nullptr;
        if (Chance(50)) {
          // Another handle's memory, and the current book, in turn.
          return tw_ratebook_slot_set(Chance(10) ? nullptr : slot_, Chance(20) ? nullptr : Book());
        }
        const tw_status status = tw_ratebook_slot_get(Maybe(&taken), Chance(10) ? nullptr : slot_);
        tw_ratebook_release(taken);
        return status;
      }
      case 20: {
        tw_service service = TW_SERVICE_INIT;
        Spoil(service.struct_size);
        return tw_dispatch_service(Maybe(&service), Dispatch(), Index(), Error());
      }
      case 21: {
        tw_packaging packaging = TW_PACKAGING_INIT;
        return tw_dispatch_packaging(Maybe(&packaging), Dispatch(), Index(), Error());
      }
      case 22: {
        tw_finding finding = TW_FINDING_INIT;
        Spoil(finding.struct_size);
        return tw_error_finding(Maybe(&finding), Error(), Index());
      }
      case 23:
      case 24:
        return Reprice();
      case 25: {
        tw_lane lanes[2] = {TW_LANE_INIT, TW_LANE_INIT};
        kept_.clear();
        kept_.reserve(64);
        for (tw_lane& lane : lanes) {
          lane.from_country = Chance(10) ? nullptr : Chance(80) ? "US" : Keep(Text());
          lane.to_country = Chance(80) ? "US" : Keep(Text());
          lane.to_postal_code = Chance(50) ? nullptr : Keep(Text());
          lane.share = Chance(50) ? 0 : Number();
          Spoil(lane.struct_size);
        }
        const tw_shipment shipment = capi_test::Shipment();
        tw_repricer* made = nullptr;
        const tw_status status =
            tw_repricer_create(Maybe(&made), Book(), Shelf(), Chance(5) ? nullptr : &shipment,
                               Chance(5) ? nullptr : lanes, Chance(10) ? SIZE_MAX : Below(3), nullptr, Error());
        tw_repricer_release(made);
        return status;
      }
      default: {
        // Those that give no status.
        EXPECT_NE(tw_error_message(Error()), nullptr);
        EXPECT_NE(tw_status_name(static_cast<tw_status>(Number())), nullptr);
        EXPECT_NE(tw_reason_name(static_cast<std::int32_t>(Number())), nullptr);
        EXPECT_NE(tw_caution_name(static_cast<std::uint32_t>(Number())), nullptr);
        EXPECT_NE(tw_ranking_currency(Ranking()), nullptr);
        tw_ranking_offer_count(Ranking());
        tw_ranking_refusal_count(Ranking());
        tw_ranking_caution_count(Ranking());
        tw_ranking_change_count(Ranking());
        tw_ranking_is_estimate(Ranking());
        tw_dispatch_release(tw_dispatch_retain(dispatch_));
        tw_ratebook_slot_generation(slot_);
        return TW_OK;
      }
    }
  }

  // Columns whose rows are there, or that are refused before they are looked at.
  tw_status Reprice() {
    static tw_repricer* const kRepricer = [this] {
      tw_repricer* made = nullptr;
      tw_lane lane = TW_LANE_INIT;
      lane.from_country = lane.to_country = "US";
      lane.from_postal_code = "05401";
      lane.to_postal_code = "60614";
      const tw_shipment shipment = capi_test::Shipment();
      EXPECT_EQ(tw_repricer_create(&made, book_, tw_ratebook_shelf(book_), &shipment, &lane, 1, nullptr, nullptr),
                TW_OK);
      return made;
    }();
    constexpr std::size_t kRows = 8;
    std::int64_t numbers[kRows];
    double reals[kRows];
    for (std::size_t i = 0; i < kRows; ++i) {
      numbers[i] = Chance(50) ? static_cast<std::int64_t>(Below(100)) * TW_OUNCE : Number();
      reals[i] = Chance(50)   ? static_cast<double>(Below(20))
                 : Chance(50) ? std::numeric_limits<double>::quiet_NaN()
                              : 1e300;
    }
    auto column = [&](std::int64_t unit) {
      tw_column one = TW_COLUMN_INIT;
      if (Chance(5)) return one;
      const bool real = Chance(50);
      one.data = real ? static_cast<const void*>(reals) : numbers;
      one.element = Chance(5) ? static_cast<std::int32_t>(Number()) : real ? TW_ELEMENT_FLOAT64 : TW_ELEMENT_INT64;
      one.stride = Chance(80) ? 8 : Chance(50) ? 0 : INT64_MIN + static_cast<std::int64_t>(Below(3));
      one.unit = real ? unit : Chance(5) ? Number() : 1;
      return one;
    };
    tw_goods goods = TW_GOODS_INIT;
    goods.rows = Chance(10) ? SIZE_MAX - Below(3) : Below(kRows + 1);
    goods.weight = column(TW_OUNCE);
    for (tw_column& side : goods.sides) side = column(TW_INCH);
    if (Chance(30)) goods.value = column(1'000'000);
    if (Chance(20)) goods.quantity = column(1);
    if (Chance(20)) goods.contents = column(1);
    if (Chance(20)) goods.shape = column(1);
    const std::string words = Text();
    const char* classes[] = {words.c_str(), Chance(50) ? nullptr : "media"};
    if (Chance(10)) {
      goods.contents_classes = Chance(20) ? nullptr : classes;
      goods.contents_class_count = static_cast<std::uint32_t>(Chance(30) ? UINT32_MAX : Below(3));
    }
    Spoil(goods.struct_size);
    std::int64_t totals[kRows];
    std::uint8_t rows[kRows];
    tw_results results = TW_RESULTS_INIT;
    results.total_micros = Chance(20) ? nullptr : totals;
    results.row_status = Chance(20) ? nullptr : rows;
    if (Chance(5)) results.expected_micros = totals;
    if (Chance(5)) results.level_count = UINT32_MAX;
    Spoil(results.struct_size);
    tw_reprice_options options = TW_REPRICE_OPTIONS_INIT;
    if (Chance(20)) options.progress = [](std::size_t, std::size_t, void*) -> std::int32_t { return 1; };
    if (Chance(10)) options.threads = static_cast<std::uint32_t>(Chance(50) ? 3 : UINT32_MAX);
    return tw_reprice(Chance(5) ? nullptr : &results, Handle(kRepricer), Chance(5) ? nullptr : &goods,
                      Chance(30) ? nullptr : &options, Error());
  }

  // The handles are good after whatever went before.
  void ExpectUsable() {
    tw_parcel parcel = capi_test::Parcel();
    tw_request request = TW_REQUEST_INIT;
    request.parcel = &parcel;
    ASSERT_EQ(tw_rank(ranking_, dispatch_, &request, error_), TW_OK) << tw_error_message(error_);
    ASSERT_GT(tw_ranking_offer_count(ranking_), 0u);
  }

 private:
  std::uint64_t Below(std::uint64_t n) { return std::uniform_int_distribution<std::uint64_t>(0, n - 1)(random_); }
  bool Chance(unsigned percent) { return Below(100) < percent; }
  template <typename T>
  T* Maybe(T* pointer) {
    return Chance(8) ? nullptr : pointer;
  }
  // Null or another kind of handle, now and then.
  template <typename H>
  H* Handle(H* handle) {
    if (Chance(6)) return nullptr;
    if (Chance(4)) return reinterpret_cast<H*>(static_cast<void*>(Chance(50) ? static_cast<void*>(error_) : slot_));
    return handle;
  }
  tw_ratebook* Book() { return Handle(book_); }
  tw_shelf* Shelf() { return Handle(Chance(50) ? nullptr : tw_ratebook_shelf(book_)); }
  tw_dispatch* Dispatch() { return Handle(dispatch_); }
  tw_ranking* Ranking() { return Handle(ranking_); }
  tw_error* Error() { return Chance(10) ? nullptr : Chance(3) ? reinterpret_cast<tw_error*>(ranking_) : error_; }
  std::size_t Index() { return Chance(70) ? Below(12) : Chance(50) ? SIZE_MAX - Below(3) : Below(1u << 20); }

  std::int64_t Number() {
    static constexpr std::int64_t kOdd[] = {0,
                                            1,
                                            -1,
                                            2,
                                            255,
                                            65'536,
                                            INT32_MAX,
                                            INT32_MIN,
                                            INT64_MAX,
                                            INT64_MIN,
                                            INT64_MAX - 1,
                                            INT64_MIN + 1,
                                            100'000'000'000'000'000,
                                            50'000'000'000,
                                            50'000'000'001,
                                            TW_INCH,
                                            TW_OUNCE,
                                            1'000'000'000'000'000};
    return Chance(80) ? kOdd[Below(std::size(kOdd))] : static_cast<std::int64_t>(random_());
  }
  std::int64_t Weight() { return Chance(70) ? static_cast<std::int64_t>(Below(3'000)) * TW_OUNCE / 10 : Number(); }
  std::int64_t Side() { return Chance(80) ? static_cast<std::int64_t>(Below(400)) * TW_INCH / 10 : Number(); }
  template <typename T>
  void Spoil(T& size) {
    if (Chance(10)) size = static_cast<T>(Number());
  }

  std::string Text() {
    static const char* const kTexts[] = {"",
                                         "US",
                                         "05401",
                                         "98101",
                                         "oz",
                                         "g",
                                         "1 lb 3 oz",
                                         "12.375 in",
                                         "14 x 9 x 5 in",
                                         "24.00",
                                         "\xFF\xFE",
                                         "\xC3\x28",
                                         "\xED\xA0\x80",
                                         "\xF4\x90\x80\x80",
                                         "\xC0\x80",
                                         "x-\xE2\x82",
                                         "-1 lb",
                                         "1e9 kg",
                                         "9999999999999999999999999999 kg",
                                         "signature",
                                         "harbourline/parcel",
                                         "media",
                                         "USD",
                                         "EUR",
                                         "carton-14x9",
                                         "NaN",
                                         "\n\t\r",
                                         "../../.."};
    if (Chance(5)) return std::string(Below(6000), Chance(50) ? 'x' : '\xE2');
    std::string text = kTexts[Below(std::size(kTexts))];
    if (Chance(20) && !text.empty()) text[Below(text.size())] = static_cast<char>(Below(256));
    return text;
  }

  std::string Document() {
    static const std::string kRequest =
        R"({"format": "tarewise-request-1", "parcel": {"weight": "31.3 oz", "sides": "14 x 9 x 5 in"},
            "from": {"country": "US", "postal_code": "05401"}, "to": {"country": "US", "postal_code": "60614"},
            "date": "2026-08-03", "currency": "USD"})";
    if (Chance(10)) return std::string(Below(5'000), Chance(50) ? '[' : '{');
    std::string text = kRequest;
    for (std::uint64_t i = Below(6); i > 0; --i) {
      const std::size_t at = Below(text.size());
      if (Chance(50)) {
        text[at] = static_cast<char>(Below(256));
      } else {
        text.erase(at, Below(8));
      }
    }
    return text;
  }

  const char* Keep(std::string text) {
    kept_.push_back(std::move(text));
    return kept_.back().c_str();
  }

  tw_shipment Shipment() {
    kept_.clear();
    kept_.reserve(32);
    tw_shipment shipment = capi_test::Shipment();
    Spoil(shipment.struct_size);
    if (Chance(20)) shipment.date = static_cast<std::int32_t>(Number());
    if (Chance(20)) shipment.from_country = Chance(30) ? nullptr : Keep(Text());
    if (Chance(20)) shipment.to_postal_code = Chance(30) ? nullptr : Keep(Text());
    if (Chance(10)) shipment.to_residential = static_cast<std::int32_t>(Number());
    if (Chance(30)) shipment.promise = static_cast<std::int32_t>(Chance(80) ? Below(5) : Below(UINT32_MAX));
    if (Chance(30)) shipment.within_days = static_cast<std::int32_t>(Number());
    if (Chance(50)) shipment.paid_for = Keep(Text());
    words_[0] = Chance(20) ? nullptr : Keep(Text());
    words_[1] = Keep(Text());
    if (Chance(30)) {
      shipment.extras = Chance(20) ? nullptr : words_;
      shipment.extra_count = Chance(30) ? SIZE_MAX - Below(4) : Below(3);
    }
    if (Chance(20)) shipment.cover_micros = Number();
    if (Chance(20)) shipment.currency = Chance(50) ? nullptr : Keep(Text());
    numbers_[0] = Number();
    numbers_[1] = Number();
    if (Chance(30)) {
      shipment.exchange_currencies = Chance(20) ? nullptr : words_;
      shipment.exchange_micros = Chance(20) ? nullptr : numbers_;
      shipment.exchange_count = Chance(20) ? SIZE_MAX / 8 : Below(3);
    }
    if (Chance(30)) shipment.by_date = static_cast<std::int32_t>(Number());
    if (Chance(20)) shipment.time_minutes = static_cast<std::int32_t>(Chance(50) ? Below(1440) : Number());
    if (Chance(30)) shipment.accepts = static_cast<std::uint32_t>(Chance(80) ? Below(9) : Number());
    if (Chance(20)) shipment.totals = static_cast<std::int32_t>(Chance(80) ? Below(3) : Number());
    if (Chance(20)) shipment.cash_on_delivery_micros = Number();
    if (Chance(20)) shipment.week_parcels = Number();
    if (Chance(20)) shipment.others = static_cast<std::int32_t>(Number());
    if (Chance(20)) shipment.others_weight_ng = Number();
    if (Chance(20)) shipment.not_first = static_cast<std::int32_t>(Number());
    if (Chance(20)) shipment.week_spend_micros = Number();
    if (Chance(20)) {
      for (tw_carrier_week& week : weeks_) {
        week = TW_CARRIER_WEEK_INIT;
        week.carrier = Chance(20) ? nullptr : Keep(Text());
        week.parcels = Number();
        Spoil(week.struct_size);
      }
      shipment.carrier_weeks = Chance(20) ? nullptr : weeks_;
      shipment.carrier_week_count = Chance(20) ? SIZE_MAX - Below(4) : Below(3);
    }
    return shipment;
  }

  template <typename T>
  void FillAlike(T& one) {
    one.weight_ng = Weight();
    if (Chance(10)) one.weight_most_ng = Chance(50) ? one.weight_ng / 101 * 100 : Number();
    for (std::int64_t& side : one.sides_nm) side = Side();
    if (Chance(10)) one.sides_most_nm[Below(3)] = Chance(60) ? one.sides_nm[0] : Number();
    if (Chance(20)) one.value_micros = Number();
    if (Chance(30)) one.contents = static_cast<std::uint32_t>(Chance(80) ? Below(0x1000) : Below(UINT32_MAX));
    if (Chance(30)) one.flags = static_cast<std::uint32_t>(Below(Chance(80) ? 16 : UINT32_MAX));
    if (Chance(30)) one.shape = static_cast<std::int32_t>(Chance(80) ? Below(5) : Below(UINT32_MAX));
    if (Chance(10)) {
      one.own_traits = Chance(20) ? nullptr : words_;
      one.own_trait_count = static_cast<std::uint32_t>(Chance(20) ? UINT32_MAX : Below(3));
    }
    Spoil(one.struct_size);
  }

  void FillItems() {
    for (tw_item& item : items_) {
      item = TW_ITEM_INIT;
      FillAlike(item);
      if (Chance(20)) item.may_stand = static_cast<std::uint32_t>(Below(Chance(80) ? 8 : UINT32_MAX));
      if (Chance(20)) item.has_bears = static_cast<std::int32_t>(Below(3));
      if (Chance(20)) item.bears_ng = Number();
      if (Chance(20)) item.title = Keep(Text());
      if (Chance(20))
        item.quantity = static_cast<std::int32_t>(Chance(80) ? static_cast<std::int64_t>(Below(5)) : Number());
    }
  }
  tw_request Request() {
    kept_.clear();
    kept_.reserve(32);
    tw_request request = TW_REQUEST_INIT;
    Spoil(request.struct_size);
    request.detail = static_cast<std::int32_t>(Chance(90) ? Below(3) : Below(UINT32_MAX));
    words_[0] = Chance(20) ? nullptr : Keep(Text());
    words_[1] = Keep(Text());
    parcel_ = TW_PARCEL_INIT;
    FillAlike(parcel_);
    if (Chance(20)) parcel_.packaging = Keep(Text());
    FillItems();
    if (Chance(50)) request.parcel = &parcel_;
    if (Chance(50)) {
      request.items = Chance(10) ? nullptr : items_;
      request.item_count = Chance(10) ? SIZE_MAX - Below(4) : Below(3);
    }
    if (Chance(20)) request.tolerance_weight_ng = Chance(60) ? TW_OUNCE / 10 : Number();
    if (Chance(20)) request.tolerance_sides_nm = Chance(60) ? TW_INCH / 4 : Number();
    if (Chance(10)) request.step_weight_ng = Number();
    if (Chance(10)) request.step_weight_parts = static_cast<std::int32_t>(Number());
    if (Chance(10)) request.step_sides_nm = Number();
    if (Chance(10)) request.has_padding = static_cast<std::int32_t>(Below(3));
    if (Chance(10)) request.padding_nm = Number();
    if (Chance(10)) request.fill_weight_ng = Number();
    if (Chance(10)) request.has_allowance = static_cast<std::int32_t>(Below(3));
    if (Chance(10)) request.allowance_least_ng = Number();
    if (Chance(10)) request.allowance_most_ng = Number();
    if (Chance(10)) request.objective = static_cast<std::int32_t>(Below(3));
    if (Chance(10)) request.weight_units = static_cast<std::int32_t>(Below(3));
    return request;
  }

  std::mt19937_64 random_;
  tw_ratebook* book_ = nullptr;
  tw_error* error_ = nullptr;
  tw_ranking* ranking_ = nullptr;
  tw_dispatch* dispatch_ = nullptr;
  tw_ratebook_slot* slot_ = nullptr;
  tw_parcel parcel_ = TW_PARCEL_INIT;
  tw_item items_[2] = {TW_ITEM_INIT, TW_ITEM_INIT};
  const char* words_[2] = {};
  tw_carrier_week weeks_[2] = {TW_CARRIER_WEEK_INIT, TW_CARRIER_WEEK_INIT};
  std::int64_t numbers_[2] = {};
  std::vector<std::string> kept_;
};

TEST(Misuse, RandomSequences) {
  std::size_t good = 0;
  std::size_t bad = 0;
  for (std::uint32_t seed = 0; seed < 10'000; ++seed) {
    SCOPED_TRACE("seed " + std::to_string(seed));
    Caller caller(seed);
    for (std::uint32_t i = 0; i < 6 + seed % 15; ++i) {
      const tw_status status = caller.Call();
      ASSERT_STRNE(tw_status_name(status), "TW_E_UNKNOWN") << status;
      ASSERT_NE(status, TW_E_INTERNAL);
      ASSERT_NE(status, TW_E_MEMORY);
      (status == TW_OK ? good : bad) += 1;
    }
    ASSERT_NO_FATAL_FAILURE(caller.ExpectUsable());
    if (HasFailure()) return;
  }
  // The mix holds both, so that good calls follow bad ones and bad ones good.
  EXPECT_GT(good, 10'000u);
  EXPECT_GT(bad, 10'000u);
}

}  // namespace
