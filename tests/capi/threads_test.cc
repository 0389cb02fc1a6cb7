// Eight threads price while another swaps the ratebook 1,000 times. Run it under the thread sanitizer too (preset
// tsan).
#include <atomic>
#include <thread>
#include <vector>

#include "support.h"

namespace {

constexpr int kThreads = 8;
constexpr int kSwaps = 1000;

// A small book of its own whose one service asks `cents` for everything.
capi_test::BookPtr FlatBook(int cents) {
  const std::string text =
      R"({"format": "tarewise-tariff-1", "carrier": {"code": "harbourline", "name": "Harbourline Post"},
          "title": "Flat, invented", "source": "invented for tests", "currency": "USD",
          "in_force": {"from": "2026-01-01"},
          "zones": {"main": [{"kind": "one", "zone": "1"}]},
          "services": [{"code": "ground", "title": "Ground", "zones": "main", "days": {"*": [2, 5]},
                        "prices": [{"amount": ")" +
      std::to_string(cents / 100) + "." + (cents % 100 < 10 ? "0" : "") + std::to_string(cents % 100) + R"("}]}]})";
  tw_source source = TW_SOURCE_INIT;
  source.name = "flat.json";
  source.text = text.data();
  source.length = text.size();
  const capi_test::ErrorPtr error = capi_test::NewError();
  tw_ratebook* book = nullptr;
  EXPECT_EQ(tw_ratebook_load_memory(&book, &source, 1, error.get()), TW_OK) << tw_error_message(error.get());
  return capi_test::BookPtr(book);
}

TEST(Threads, EachCallSeesOneWholeRatebook) {
  const std::vector<int> prices = {701, 702, 703, 704, 705};
  std::vector<capi_test::BookPtr> books;
  for (const int cents : prices) books.push_back(FlatBook(cents));
  tw_ratebook_slot* raw = nullptr;
  ASSERT_EQ(tw_ratebook_slot_create(&raw, books[0].get(), nullptr), TW_OK);
  const capi_test::SlotPtr slot(raw);
  std::atomic<bool> done{false};
  std::atomic<int> ready{0};
  std::atomic<std::int64_t> priced{0};
  std::atomic<int> wrong{0};
  std::vector<std::thread> threads;
  for (int t = 0; t < kThreads; ++t) {
    threads.emplace_back([&, t] {
      const capi_test::RankingPtr ranking = capi_test::NewRanking();
      const capi_test::ErrorPtr error = capi_test::NewError();
      tw_shipment shipment = capi_test::Shipment();
      tw_parcel parcel = capi_test::Parcel();
      tw_request request = TW_REQUEST_INIT;
      request.parcel = &parcel;
      request.detail = t % 3;
      capi_test::DispatchPtr dispatch;
      std::uint64_t generation = 0;
      ready.fetch_add(1);
      do {
        // One way: a fresh dispatch for each call; the other: one kept until the rates change.
        const std::uint64_t now = tw_ratebook_slot_generation(slot.get());
        if (t % 2 == 0 || dispatch == nullptr || now != generation) {
          generation = now;
          tw_ratebook* book = nullptr;
          tw_ratebook_slot_get(&book, slot.get());
          const capi_test::BookPtr taken(book);
          tw_dispatch* made = nullptr;
          if (tw_dispatch_create(&made, taken.get(), nullptr, &shipment, error.get()) != TW_OK) wrong.fetch_add(1);
          dispatch.reset(made);
        }
        tw_offer offer = TW_OFFER_INIT;
        tw_charge charge = TW_CHARGE_INIT;
        if (tw_rank(ranking.get(), dispatch.get(), &request, error.get()) != TW_OK ||
            tw_ranking_offer(&offer, ranking.get(), 0, error.get()) != TW_OK) {
          wrong.fetch_add(1);
          continue;
        }
        const std::int64_t cents = offer.total_micros / 10'000;
        if (cents < prices.front() || cents > prices.back()) wrong.fetch_add(1);
        if (request.detail > 0 && (tw_ranking_charge(&charge, ranking.get(), 0, 0, error.get()) != TW_OK ||
                                   charge.amount_micros != offer.total_micros)) {
          wrong.fetch_add(1);
        }
        priced.fetch_add(1);
      } while (!done.load());
    });
  }
  while (ready.load() < kThreads) std::this_thread::yield();
  for (int i = 1; i <= kSwaps; ++i) {
    // A book that nobody else holds is freed by whoever lets it go last, a pricing thread perhaps.
    capi_test::BookPtr fresh =
        i % 10 == 0 ? FlatBook(prices[static_cast<std::size_t>(i / 10) % prices.size()]) : nullptr;
    ASSERT_EQ(
        tw_ratebook_slot_set(slot.get(), fresh ? fresh.get() : books[static_cast<std::size_t>(i) % books.size()].get()),
        TW_OK);
    // Swaps keep pace with pricing, so that they fall into the midst of it.
    while (priced.load() + wrong.load() < 4 * i) std::this_thread::yield();
  }
  done.store(true);
  for (std::thread& thread : threads) thread.join();
  EXPECT_EQ(wrong.load(), 0);
  EXPECT_GE(priced.load(), 4 * kSwaps);
  EXPECT_EQ(tw_ratebook_slot_generation(slot.get()), static_cast<std::uint64_t>(kSwaps));
  EXPECT_EQ(tw_ratebook_slot_set(slot.get(), nullptr), TW_OK);
  tw_ratebook* book = books[0].get();
  EXPECT_EQ(tw_ratebook_slot_get(&book, slot.get()), TW_OK);
  EXPECT_EQ(book, nullptr);
}

TEST(Threads, OneDispatchServesAll) {
  const capi_test::BookPtr book = capi_test::LoadBook();
  const capi_test::DispatchPtr dispatch =
      capi_test::NewDispatch(book.get(), tw_ratebook_shelf(book.get()), capi_test::Shipment());
  std::vector<std::vector<std::int64_t>> totals(kThreads);
  std::vector<std::thread> threads;
  for (auto& mine : totals) {
    threads.emplace_back([&dispatch, &mine] {
      const capi_test::RankingPtr ranking = capi_test::NewRanking();
      tw_item item = TW_ITEM_INIT;
      for (std::int64_t& side : item.sides_nm) side = 4 * TW_INCH;
      tw_request request = TW_REQUEST_INIT;
      request.items = &item;
      request.item_count = 1;
      for (int ounces = 1; ounces < 40; ++ounces) {
        item.weight_ng = ounces * TW_OUNCE;
        request.detail = ounces % 3;
        EXPECT_EQ(tw_rank(ranking.get(), dispatch.get(), &request, nullptr), TW_OK);
        tw_offer offer = TW_OFFER_INIT;
        EXPECT_EQ(tw_ranking_offer(&offer, ranking.get(), 0, nullptr), TW_OK);
        mine.push_back(offer.total_micros);
        tw_dispatch_release(tw_dispatch_retain(dispatch.get()));
      }
    });
  }
  for (std::thread& thread : threads) thread.join();
  for (const auto& mine : totals) EXPECT_EQ(mine, totals[0]);
}

}  // namespace
