// What `Rank` and `Repricer` say alike at the bound of money, of packaging that is none, and of threads.
#include <dlfcn.h>
#include <gtest/gtest.h>
#include <pthread.h>

#include <atomic>
#include <cerrno>
#include <cstdint>
#include <memory>
#include <string>
#include <utility>
#include <vector>

#include "support/reprice_support.h"
#include "tarewise/documents/load.h"
#include "tarewise/ranking/rank.h"
#include "tarewise/ranking/totals.h"

#ifndef TW_TEST_SANITIZED
namespace {
std::atomic<int> threads_to_start{-1};  // -1: as many as are asked for.
}  // namespace

// In front of the system's: now and then there are no more threads to be had.
extern "C" int pthread_create(pthread_t* thread, const pthread_attr_t* attributes, void* (*start)(void*),
                              void* argument) {
  const int left = threads_to_start.load();
  if (left == 0) return EAGAIN;
  if (left > 0) threads_to_start.store(left - 1);
  using Create = int (*)(pthread_t*, const pthread_attr_t*, void* (*)(void*), void*);
  static const Create create = reinterpret_cast<Create>(dlsym(RTLD_NEXT, "pthread_create"));
  return create(thread, attributes, start, argument);
}
#endif

namespace tarewise::reprice_bounds_test {
namespace {

using namespace reprice_test;  // NOLINT(google-build-using-namespace)

std::string TariffText(const std::string& currency, const std::string& price) {
  return R"({"format": "tarewise-tariff-1", "carrier": {"code": "harbourline", "name": "Harbourline Post"}, "title": "Parcels",
    "source": "invented", "currency": ")" +
         currency + R"(", "in_force": {"from": "2026-01-01"}, "zones": {"all": [{"kind": "one", "zone": "N"}]},
    "packaging": [{"code": "hl-wrap", "title": "A label alone", "kind": "bare", "tare": "0 oz", "cost": 0}],
    "services": [{"code": "freight", "title": "Freight", "zones": "all", "packaging": {"issued": ["hl-wrap"]},
                  "mode": "surface", "prices": [)" +
         price + "]}]}";
}
constexpr char kMillionAKilogram[] =
    R"({"per": {"measure": "weight", "step": "1 kg", "first": 1000000, "each": 1000000}})";

std::string ShelfText(const std::string& currency, const std::string& own) {
  return R"({"format": "tarewise-shelf-1", "currency": ")" + currency + R"(", "packaging": [)" + own +
         R"(], "issued": [{"carrier": "harbourline", "code": "hl-wrap"}]})";
}
constexpr char kCrate[] = R"({"code": "crate", "title": "Crate", "kind": "carton", "inside": "50 x 50 x 50 cm",
                              "wall": "1 cm", "tare": "0 oz", "cost": "1"})";

RepriceSetup SetupOf(const std::string& tariff, const std::string& shelf, const std::string& currency,
                     const std::vector<std::pair<std::string, std::string>>& exchange = {}) {
  Loaded<Tables> tables = ReadTables({{"tariff.json", tariff}, {"shelf.json", shelf}});
  for (const Diagnostic& diagnostic : tables.diagnostics) ADD_FAILURE() << diagnostic.ToString();
  RepriceSetup setup;
  setup.shelf = std::make_shared<const Shelf>(*std::move(tables.value->shelf));
  setup.book = *Ratebook::Create(std::move(tables.value->tariffs), {}, {});
  setup.shipment.date = *Date::Parse("2026-08-03");
  setup.shipment.currency = *Currency::Parse(currency);
  for (const auto& [code, rate] : exchange) setup.shipment.exchange.emplace(code, *ExchangeRate::Parse(rate));
  setup.lanes.push_back(LaneTo("US", "60614"));
  return setup;
}

Item Goods(std::int64_t kilograms, bool bare, std::int64_t value = 0) {
  Item item;
  item.weight = Weight::Kilograms(kilograms);
  for (Length& side : item.sides) side = Length::Millimetres(100);
  item.bare_allowed = bare;
  item.value = Amount::Micros(value);
  return item;
}

// One row's best total and reason, one way and the other, which must be the same as `Rank`'s.
struct Answer {
  std::int64_t total = kNoTotal;
  RowReason reason = RowReason::kPriced;
  std::string refusal;  // The first reason of the first way that is not offered.
};

Answer Ask(const RepriceSetup& setup, const Item& item) {
  const Repricer repricer = *Repricer::Create(setup);
  Table table;
  table.Add(item, 0);
  const std::vector<Contents> classes(1);
  Answer answer;
  for (const bool one_by_one : {false, true}) {
    Columns columns;
    const RepriceResults results = columns.Make(1, 1);
    // Often enough that the answers are worked out ahead.
    for (int i = 0; i < 40; ++i) {
      EXPECT_TRUE(repricer.Run(table.Columns(classes), results, {.one_by_one = one_by_one}).ok());
    }
    if (one_by_one) {
      EXPECT_EQ(columns.total[0], answer.total);
      EXPECT_EQ(columns.reason[0], static_cast<std::uint8_t>(answer.reason));
    }
    answer.total = columns.total[0];
    answer.reason = static_cast<RowReason>(columns.reason[0]);
  }
  const Request request = *repricer.RequestFor(table.Columns(classes), 0, 0);
  const Ranking ranking = *Rank(repricer.dispatch(0), setup.shelf, request);
  EXPECT_EQ(ranking.offers().empty() ? kNoTotal : ranking.offers().front().total.micros(), answer.total);
  // The same packaging closed, by totals alone.
  for (const Candidate& candidate : ranking.candidates()) {
    TotalsResult totals;
    RankTotals(*repricer.dispatch(0), candidate.facts, Amount::Micros(item.value.micros()),
               {candidate.own_cost, candidate.issued_cost}, totals);
    std::size_t offered = 0;
    for (const Offer& offer : ranking.offers()) {
      if (&ranking.candidates()[offer.candidate_index] != &candidate) continue;
      ++offered;
      EXPECT_EQ(totals.offers.at(0).total, offer.total);
    }
    EXPECT_EQ(totals.offers.size(), offered);
  }
  for (const Refusal& refusal : ranking.refusals()) {
    if (!refusal.reasons.empty() && answer.refusal.empty()) {
      answer.refusal = std::string(NameOf(refusal.reasons.front().code)) + ": " + refusal.reasons.front().text;
    }
  }
  return answer;
}

constexpr std::int64_t kMillion = 1'000'000'000'000;

TEST(Bounds, BareGoodsOnlyWhereTheyMay) {
  // Nothing on the shelf but what the carrier issues, and that is no packaging at all.
  const RepriceSetup setup = SetupOf(TariffText("USD", R"({"amount": 5})"), ShelfText("USD", ""), "USD");
  const Answer may = Ask(setup, Goods(2, true));
  EXPECT_EQ(may.total, 5'000'000);
  EXPECT_EQ(may.reason, RowReason::kPriced);
  const Answer may_not = Ask(setup, Goods(2, false));
  EXPECT_EQ(may_not.total, kNoTotal);
  EXPECT_EQ(may_not.reason, RowReason::kFitsNothing);
  EXPECT_EQ(may_not.refusal, "does_not_fit: the goods may not be shipped bare");
}

TEST(Bounds, PackagingTakesNoTotalPastTheBound) {
  // In a currency without a minor unit the totals of catalogues are kept in units, which hold more than the bound.
  const RepriceSetup setup = SetupOf(TariffText("JPY", kMillionAKilogram), ShelfText("JPY", kCrate), "JPY");
  EXPECT_EQ(Ask(setup, Goods(999, false)).total, 999 * kMillion + 1'000'000);
  const Answer at = Ask(setup, Goods(1000, false));
  EXPECT_EQ(at.total, kNoTotal);
  EXPECT_EQ(at.reason, RowReason::kOfferedNowhere);
  const Answer over = Ask(setup, Goods(1001, false));
  EXPECT_EQ(over.total, kNoTotal);
  EXPECT_EQ(over.reason, RowReason::kOfferedNowhere);
  EXPECT_EQ(Ask(setup, Goods(1000, true)).total, 1000 * kMillion);  // bare, without the crate's cost
  const RepriceSetup crate_alone = SetupOf(
      TariffText("JPY", kMillionAKilogram),
      R"({"format": "tarewise-shelf-1", "currency": "JPY", "packaging": [)" + std::string(kCrate) + "]}", "JPY");
  EXPECT_EQ(Ask(crate_alone, Goods(1000, false)).refusal, "no_price: the total comes to more than 1000 million in JPY");
  EXPECT_EQ(Ask(crate_alone, Goods(1001, false)).refusal,
            "no_price: the charge \"base\" comes to more than 1000 million");
}

TEST(Bounds, ExchangeTakesNoTotalPastTheBound) {
  const std::string price = R"({"per": {"measure": "weight", "step": "1 kg", "first": 1, "each": 1}})";
  const RepriceSetup setup = SetupOf(TariffText("USD", price), ShelfText("USD", ""), "JPY", {{"USD", "1000000"}});
  EXPECT_EQ(Ask(setup, Goods(1000, true)).total, 1000 * kMillion);
  const Answer over = Ask(setup, Goods(1001, true));
  EXPECT_EQ(over.total, kNoTotal);
  EXPECT_EQ(over.refusal, "no_price: the total comes to more than 1000 million in JPY");
}

TEST(Bounds, ExchangeMakesNoValueVanish) {
  const std::string price = R"({"per": {"measure": "value", "step": "1000000", "first": 1, "each": 1}})";
  const RepriceSetup setup = SetupOf(TariffText("JPY", price), ShelfText("JPY", ""), "USD", {{"JPY", "0.000001"}});
  // 1,000 dollars are 1,000 million there.
  EXPECT_NE(Ask(setup, Goods(2, true, 1000'000'000)).total, kNoTotal);
  for (const std::int64_t dollars : {1001, 20'000'000}) {
    const Answer over = Ask(setup, Goods(2, true, dollars * 1'000'000));
    EXPECT_EQ(over.total, kNoTotal);
    EXPECT_EQ(over.refusal,
              "no_price: the declared value or the cover is more than 1000 million in JPY, which no price covers");
  }
}

TEST(Bounds, CoverIsBoundWhereADispatchIsMade) {
  RepriceSetup setup = DemoSetup();
  Shipment terms = setup.shipment;
  terms.lane = setup.lanes[0];
  terms.cover = Amount::Micros(1000 * kMillion);
  EXPECT_TRUE(Dispatch::Create(setup.book, terms).ok());
  terms.cover = Amount::Micros(1000 * kMillion + 1);
  EXPECT_EQ(Dispatch::Create(setup.book, terms).status().message(),
            "cover: found 1000000000.000001, expected 0 to 1000 million");
}

#ifndef TW_TEST_SANITIZED
TEST(Threads, ThatCannotStartAreDoneWithout) {
  const Repricer repricer = *Repricer::Create(DemoSetup());
  constexpr std::size_t kRows = 60'000;
  Table table;
  for (std::size_t i = 0; i < kRows; ++i) table.Add(Goods(1 + static_cast<std::int64_t>(i % 30), i % 2 == 0), 0);
  const std::vector<Contents> classes(1);
  auto run = [&](int can_start) {
    Columns columns;
    const RepriceResults results = columns.Make(kRows, repricer.lanes().size());
    threads_to_start.store(can_start);
    const absl::Status status = repricer.Run(table.Columns(classes), results, {.threads = 6});
    threads_to_start.store(-1);
    EXPECT_TRUE(status.ok()) << status;
    return columns;
  };
  const Columns all = run(-1);
  for (const int can_start : {0, 1, 3}) EXPECT_TRUE(run(can_start) == all) << can_start;
}
#endif

TEST(Threads, WhatProgressThrowsReachesTheCaller) {
  const Repricer repricer = *Repricer::Create(DemoSetup());
  constexpr std::size_t kRows = 60'000;
  Table table;
  for (std::size_t i = 0; i < kRows; ++i) table.Add(Goods(1, true), 0);
  const std::vector<Contents> classes(1);
  Columns columns;
  const RepriceResults results = columns.Make(kRows, repricer.lanes().size());
  for (const unsigned threads : {1u, 4u}) {
    RepriceOptions options;
    options.threads = threads;
    options.progress = [](std::size_t) -> bool { throw 7; };
    EXPECT_THROW(static_cast<void>(repricer.Run(table.Columns(classes), results, options)), int);
  }
}

}  // namespace
}  // namespace tarewise::reprice_bounds_test
