#include "tarewise/economics/economics.h"

#include <atomic>
#include <cstdint>
#include <iterator>
#include <memory>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "handles.h"
#include "reprice_handle.h"
#include "tarewise/economics/sale_columns.h"

struct tw_economics {
  static constexpr tarewise::capi::Tag kTag = tarewise::capi::Tag::kEconomics;
  explicit tw_economics(tarewise::Economics made) : economics(std::move(made)) {}
  tarewise::capi::Tag tag = kTag;
  mutable std::atomic<std::uint32_t> owners{1};
  tarewise::Economics economics;
};

namespace tarewise::capi {
namespace {

static_assert(static_cast<int>(FeeOf::kPriceAndShipping) == TW_FEE_OF_PRICE_AND_SHIPPING);
static_assert(static_cast<int>(FeeScale::kByParts) == TW_FEE_BY_PARTS);
static_assert(static_cast<int>(FeeOnReturn::kFixedKept) == TW_FEE_FIXED_KEPT);
static_assert(static_cast<int>(FeeOnReturn::kGivenBack) == TW_FEE_GIVEN_BACK);
static_assert(static_cast<int>(Case::kAverage) == TW_CASE_AVERAGE);
static_assert(static_cast<int>(SaleReason::kNotPriced) == TW_SALE_NOT_PRICED);
static_assert(static_cast<int>(SaleReason::kBadCharged) == TW_SALE_BAD_CHARGED);
static_assert(static_cast<int>(SaleReason::kAtNoPrice) == TW_SALE_AT_NO_PRICE);
static_assert(kNoProfit == TW_NO_PROFIT);

constexpr std::size_t kMostFees = 1000;
constexpr std::size_t kMostPlaces = 100'000;
constexpr std::size_t kMostLevels = 100;

void CheckWithin(std::int64_t value, std::int64_t least, std::int64_t most, const std::string& field) {
  if (value >= least && value <= most) return;
  Fail(TW_E_INPUT,
       "found " + std::to_string(value) + ", expected " + std::to_string(least) + " to " + std::to_string(most), field);
}

Amount AmountOf(std::int64_t micros, const std::string& field) {
  if (micros < 0 || micros > kMostMicros) {
    Fail(TW_E_INPUT, "found " + Amount::Micros(micros).ToString(0) + ", expected 0 to 1000 million", field);
  }
  return Amount::Micros(micros);
}

Percent PercentOf(std::int64_t millionths, std::int64_t most, const std::string& field) {
  CheckWithin(millionths, 0, most, field);
  return Percent::TenThousandths(millionths);
}

void CheckArray(const void* array, std::size_t count, std::size_t least, std::size_t most, const std::string& field) {
  if (count < least || count > most) {
    Fail(TW_E_COUNT,
         "found " + std::to_string(count) + ", expected " + std::to_string(least) + " to " + std::to_string(most),
         field);
  }
  if (count != 0 && array == nullptr) Fail(TW_E_NULL, "found NULL, expected an array", field);
}

Fee FeeAt(const tw_fee& from, const std::string& field) {
  Fee fee;
  fee.code = TextOf(from.code, (field + "/code").c_str(), true);
  fee.title = TextOf(from.title, (field + "/title").c_str());
  CheckWithin(from.of, TW_FEE_OF_PRICE, TW_FEE_OF_PRICE_AND_SHIPPING, field + "/of");
  fee.of = static_cast<FeeOf>(from.of);
  CheckWithin(from.scale, TW_FEE_WHOLE, TW_FEE_BY_PARTS, field + "/scale");
  fee.scale = static_cast<FeeScale>(from.scale);
  CheckWithin(from.on_return, TW_FEE_KEPT, TW_FEE_GIVEN_BACK, field + "/on_return");
  fee.on_return = static_cast<FeeOnReturn>(from.on_return);
  CheckArray(from.tiers, from.tier_count, 1, kMostFees, field + "/tier_count");
  const std::string tiers = field + "/tiers";
  CheckSize<tw_fee_tier>(from.tiers->struct_size, tiers.c_str());
  for (std::size_t i = 0; i < from.tier_count; ++i) {
    const tw_fee_tier given = ReadElement(from.tiers, i, tiers.c_str());
    const std::string at = tiers + "/" + std::to_string(i);
    FeeTier tier;
    CheckWithin(given.has_up_to, 0, 1, at + "/has_up_to");
    if (given.has_up_to == 1) {
      tier.up_to = AmountOf(given.up_to_micros, at + "/up_to_micros");
    } else if (given.up_to_micros != 0) {
      Fail(TW_E_INPUT, "found an end, expected has_up_to beside it", at + "/up_to_micros");
    }
    tier.percent = PercentOf(given.percent_millionths, 1'000'000, at + "/percent_millionths");
    tier.fixed = AmountOf(given.fixed_micros, at + "/fixed_micros");
    fee.tiers.push_back(tier);
  }
  auto bound = [&field](std::int32_t has, std::int64_t micros, const char* name) -> std::optional<Amount> {
    CheckWithin(has, 0, 1, field + "/has_" + name);
    const std::string of = field + "/" + name + "_micros";
    if (has == 1) return AmountOf(micros, of);
    if (micros != 0) Fail(TW_E_INPUT, std::string("found an amount, expected has_") + name + " beside it", of);
    return std::nullopt;
  };
  fee.least = bound(from.has_least, from.least_micros, "least");
  fee.most = bound(from.has_most, from.most_micros, "most");
  FailUnlessOk(fee.Check(), field);
  return fee;
}

EconomicsSetup SetupOf(const tw_economics_setup& from) {
  EconomicsSetup setup;
  setup.currency = Take(Currency::Parse(TextOf(from.currency, "/currency", true)), "/currency");
  CheckReserved(from.reserved, "/reserved");
  CheckArray(from.fees, from.fee_count, 0, kMostFees, "/fee_count");
  if (from.fee_count != 0) CheckSize<tw_fee>(from.fees->struct_size, "fees/0");
  for (std::size_t i = 0; i < from.fee_count; ++i) {
    setup.fees.push_back(FeeAt(ReadElement(from.fees, i, "fees"), "/fees/" + std::to_string(i)));
  }
  setup.packaging = AmountOf(from.packaging_micros, "/packaging_micros");
  setup.labour = AmountOf(from.labour_micros, "/labour_micros");
  Returns& returns = setup.returns;
  returns.share = PercentOf(from.return_share_millionths, 1'000'000, "/return_share_millionths");
  CheckWithin(from.seller_pays_return, 0, 1, "/seller_pays_return");
  returns.seller_pays = from.seller_pays_return == 1;
  returns.of_total = PercentOf(from.return_of_total_millionths, 10'000'000, "/return_of_total_millionths");
  returns.plus = AmountOf(from.return_plus_micros, "/return_plus_micros");
  CheckWithin(from.shipping_refunded, 0, 1, "/shipping_refunded");
  returns.shipping_refunded = from.shipping_refunded == 1;
  returns.recovered = PercentOf(from.return_recovered_millionths, 1'000'000, "/return_recovered_millionths");
  returns.handling = AmountOf(from.return_handling_micros, "/return_handling_micros");
  return setup;
}

PlaceTotal PlaceTotalOf(const tw_place_total& from, const std::string& field) {
  PlaceTotal place;
  place.total = AmountOf(from.total_micros, field + "/total_micros");
  place.charged = AmountOf(from.charged_micros, field + "/charged_micros");
  CheckWithin(from.share, 0, 1'000'000'000'000, field + "/share");
  place.share = from.share;
  CheckWithin(from.parcels, 1, 100, field + "/parcels");
  place.parcels = from.parcels;
  return place;
}

std::vector<PlaceTotal> PlacesOf(const tw_place_total* places, std::size_t count) {
  CheckArray(places, count, 1, kMostPlaces, "/place_count");
  CheckSize<tw_place_total>(places->struct_size, "places/0");
  std::vector<PlaceTotal> out;
  out.reserve(count);
  for (std::size_t i = 0; i < count; ++i) {
    out.push_back(PlaceTotalOf(ReadElement(places, i, "places"), "/places/" + std::to_string(i)));
  }
  return out;
}

Sale SaleOf(std::int64_t cost, std::int64_t price) {
  return {AmountOf(cost, "/cost_micros"), AmountOf(price, "/price_micros")};
}

Wanted WantedOf(std::int32_t kind, std::int64_t wanted) {
  CheckWithin(kind, TW_WANTED_AMOUNT, TW_WANTED_PERCENT, "/wanted_kind");
  if (kind == TW_WANTED_PERCENT) return PercentOf(wanted, 1'000'000, "/wanted");
  return AmountOf(wanted, "/wanted");
}

Case CaseOf(std::int32_t which) {
  CheckWithin(which, TW_CASE_WORST, TW_CASE_AVERAGE, "/which");
  return static_cast<Case>(which);
}

SaleTerms TermsOf(const Economics& shop, const tw_sale_columns& asked) {
  SaleTerms terms;
  // For the call alone, which its caller's handle outlives.
  terms.shop = std::shared_ptr<const Economics>(std::shared_ptr<const Economics>(), &shop);
  terms.wanted = WantedOf(asked.wanted_kind, asked.wanted);
  terms.which = CaseOf(asked.which);
  terms.up_to = AmountOf(asked.up_to_micros == 0 ? 1'000'000'000'000 : asked.up_to_micros, "/up_to_micros");
  return terms;
}

SaleColumns ColumnsOf(const tw_sale_columns& asked) {
  SaleColumns columns;
  columns.price = {MeasuredColumn(asked.price, asked.rows, "/price"),
                   CountedColumn(asked.price_missing, asked.rows, "/price_missing")};
  columns.cost = {MeasuredColumn(asked.cost, asked.rows, "/cost"),
                  CountedColumn(asked.cost_missing, asked.rows, "/cost_missing")};
  columns.charged = {MeasuredColumn(asked.charged, asked.rows, "/charged"),
                     CountedColumn(asked.charged_missing, asked.rows, "/charged_missing")};
  columns.profit = asked.profit_micros;
  columns.most_to_pay = asked.most_to_pay_micros;
  columns.least_price = asked.least_price_micros;
  columns.keeps = asked.keeps;
  columns.reason = asked.reason;
  return columns;
}

void CheckNeeds(const tw_sale_columns& asked) {
  const auto need = [](const void* answer, const char* name, const tw_column& column, const char* field) {
    if (answer != nullptr && column.data == nullptr) {
      Fail(TW_E_NULL, std::string("found NULL, expected a column, as ") + name + " is asked for", field);
    }
  };
  need(asked.profit_micros, "profit_micros", asked.price, "/price");
  need(asked.profit_micros, "profit_micros", asked.cost, "/cost");
  need(asked.keeps, "keeps", asked.price, "/price");
  need(asked.keeps, "keeps", asked.cost, "/cost");
  need(asked.most_to_pay_micros, "most_to_pay_micros", asked.price, "/price");
  need(asked.least_price_micros, "least_price_micros", asked.cost, "/cost");
}

const Economics& EconomicsOf(const tw_economics* economics) {
  CheckHandle(economics, "tw_economics");
  return economics->economics;
}

}  // namespace
}  // namespace tarewise::capi

using namespace tarewise::capi;  // NOLINT(google-build-using-namespace): definitions of the C interface only.

tw_status tw_economics_create(tw_economics** out, const tw_economics_setup* setup, tw_error* error) {
  return Guard(error, [&] {
    CheckPointer(out, "out");
    *out = new tw_economics(Take(tarewise::Economics::Create(SetupOf(ReadStruct(setup, "setup")))));
  });
}

tw_economics* tw_economics_retain(tw_economics* economics) { return Retain(economics); }
void tw_economics_release(tw_economics* economics) { Release(economics); }

tw_status tw_economics_profit(tw_profit* out, const tw_economics* economics, int64_t cost_micros, int64_t price_micros,
                              const tw_place_total* places, size_t place_count, const int64_t* levels,
                              size_t level_count, int64_t* quantiles_out, tw_error* error) {
  return Guard(error, [&] {
    CheckOut(out, "out");
    const tarewise::Economics& shop = EconomicsOf(economics);
    CheckArray(levels, level_count, 0, kMostLevels, "/level_count");
    if (level_count != 0) CheckPointer(quantiles_out, "quantiles_out");
    const tarewise::Profit profit = Take(shop.ProfitOf(SaleOf(cost_micros, price_micros), PlacesOf(places, place_count),
                                                       {levels, levels == nullptr ? 0 : level_count}));
    for (std::size_t i = 0; i < profit.quantiles.size(); ++i) quantiles_out[i] = profit.quantiles[i].micros();
    tw_profit told{};
    told.worst_micros = profit.worst.micros();
    told.worst_place = static_cast<std::int64_t>(profit.worst_place);
    told.expected_micros = profit.expected.micros();
    told.worst_returned_micros = profit.worst_returned.micros();
    WriteStruct(out, told);
  });
}

tw_status tw_economics_account(tw_sale_line* lines, size_t capacity, size_t* count_out, const tw_economics* economics,
                               int64_t cost_micros, int64_t price_micros, const tw_place_total* place, int32_t returned,
                               tw_error* error) {
  return Guard(error, [&] {
    CheckPointer(count_out, "count_out");
    const tarewise::Economics& shop = EconomicsOf(economics);
    if (capacity != 0) CheckOut(lines, "lines");
    CheckWithin(returned, 0, 1, "/returned");
    const std::vector<tarewise::SaleLine> account = Take(shop.Account(
        SaleOf(cost_micros, price_micros), PlaceTotalOf(ReadStruct(place, "place"), "/place"), returned == 1));
    *count_out = account.size();
    if (capacity < account.size()) {
      Fail(TW_E_BUFFER, "found room for " + std::to_string(capacity) + ", expected " + std::to_string(account.size()),
           "/capacity");
    }
    const std::uint32_t size = lines->struct_size;
    for (std::size_t i = 0; i < account.size(); ++i) {
      auto* at = reinterpret_cast<tw_sale_line*>(reinterpret_cast<char*>(lines) + i * size);
      tw_sale_line line{};
      line.code = account[i].code.data();  // a whole string or a literal
      line.amount_micros = account[i].amount.micros();
      at->struct_size = size;
      WriteStruct(at, line);
    }
  });
}

tw_status tw_economics_keeps(int32_t* keeps_out, const tw_economics* economics, int64_t cost_micros,
                             int64_t price_micros, const tw_place_total* places, size_t place_count,
                             int32_t wanted_kind, int64_t wanted, int32_t which, tw_error* error) {
  return Guard(error, [&] {
    CheckPointer(keeps_out, "keeps_out");
    const tarewise::Economics& shop = EconomicsOf(economics);
    *keeps_out = Take(shop.Keeps(SaleOf(cost_micros, price_micros), PlacesOf(places, place_count),
                                 WantedOf(wanted_kind, wanted), CaseOf(which)))
                     ? 1
                     : 0;
  });
}

tw_status tw_economics_most_to_pay(int64_t* micros_out, const tw_economics* economics, int64_t price_micros,
                                   const tw_place_total* places, size_t place_count, int32_t wanted_kind,
                                   int64_t wanted, int32_t which, tw_error* error) {
  return Guard(error, [&] {
    CheckPointer(micros_out, "micros_out");
    const tarewise::Economics& shop = EconomicsOf(economics);
    const std::optional<tarewise::Amount> most =
        Take(shop.MostToPay(AmountOf(price_micros, "/price_micros"), PlacesOf(places, place_count),
                            WantedOf(wanted_kind, wanted), CaseOf(which)));
    *micros_out = most ? most->micros() : -1;
  });
}

tw_status tw_economics_least_price(int64_t* micros_out, const tw_economics* economics, int64_t cost_micros,
                                   const tw_place_total* places, size_t place_count, int32_t wanted_kind,
                                   int64_t wanted, int32_t which, int64_t up_to_micros, tw_error* error) {
  return Guard(error, [&] {
    CheckPointer(micros_out, "micros_out");
    const tarewise::Economics& shop = EconomicsOf(economics);
    const tarewise::Amount up_to = AmountOf(up_to_micros == 0 ? 1'000'000'000'000 : up_to_micros, "/up_to_micros");
    const std::optional<tarewise::Amount> least =
        Take(shop.LeastPrice(AmountOf(cost_micros, "/cost_micros"), PlacesOf(places, place_count),
                             WantedOf(wanted_kind, wanted), CaseOf(which), up_to));
    *micros_out = least ? least->micros() : -1;
  });
}

tw_status tw_economics_columns(const tw_economics* economics, const tw_sale_columns* columns, tw_error* error) {
  return Guard(error, [&] {
    const tarewise::Economics& shop = EconomicsOf(economics);
    const tw_sale_columns asked = ReadStruct(columns, "columns");
    const unsigned threads = ThreadsOf(asked.threads);
    CheckRows(asked.rows);
    CheckArray(asked.shares, asked.place_count, 1, kMostPlaces, "/place_count");
    if (asked.rows != 0) CheckPointer(asked.total_micros, "/total_micros");
    for (std::size_t i = 0; i < asked.place_count; ++i) {
      CheckWithin(asked.shares[i], 0, 1'000'000'000'000, "/shares/" + std::to_string(i));
    }
    CheckNeeds(asked);
    const tarewise::SaleTerms terms = TermsOf(shop, asked);
    const std::atomic<bool> stop{false};
    Take(tarewise::RunSales(terms, ColumnsOf(asked), asked.rows, asked.total_micros,
                            std::vector<std::int64_t>(asked.shares, asked.shares + asked.place_count), threads, stop));
  });
}

const char* tw_sale_reason_name(int32_t code) {
  const bool known = code >= 0 && static_cast<std::size_t>(code) < std::size(tarewise::kSaleReasonNames);
  return known ? tarewise::kSaleReasonNames[code].data() : "";  // literals
}
