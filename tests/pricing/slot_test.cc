#include <gtest/gtest.h>

#include <atomic>
#include <cstdint>
#include <memory>
#include <string>
#include <thread>
#include <utility>
#include <vector>

#include "tarewise/pricing/ratebook_slot.h"

namespace tarewise {
namespace {

// Invented: a tariff with one service whose every cell, amount and title carry one number, so that half of one ratebook
// and half of another would show.
std::shared_ptr<const Ratebook> MakeBook(std::int64_t number) {
  Tariff tariff;
  tariff.carrier = "harbourline";
  tariff.title = std::to_string(number);
  tariff.currency = *Currency::Parse("USD");
  tariff.zone_names = {"1"};
  ZoneList list;
  list.name = "main";
  list.charts.push_back(OneZoneChart{0, {}});
  tariff.zone_lists.push_back(std::move(list));
  Service service;
  service.code = "ground";
  service.title = std::to_string(number);
  TablePrice table;
  table.unit = "lb";
  table.columns = {"1"};
  table.column_of_zone = {0};
  for (int row = 1; row <= 20; ++row) {
    table.bounds.push_back(Weight::Pounds(row).nanograms());
    table.cells.push_back(number);
  }
  service.prices.push_back({Test(), std::move(table)});
  tariff.services.push_back(std::move(service));
  std::vector<Tariff> tariffs;
  tariffs.push_back(std::move(tariff));
  return *Ratebook::Create(std::move(tariffs));
}

// The number of a book, or -1 where it is not whole.
std::int64_t NumberOf(const Ratebook& book) {
  const Tariff& tariff = book.tariffs().front();
  const TablePrice& table = std::get<TablePrice>(tariff.services.front().prices.front().price);
  for (const std::int64_t cell : table.cells) {
    if (cell != table.cells.front()) return -1;
  }
  const std::string text = std::to_string(table.cells.front());
  return tariff.title == text && tariff.services.front().title == text ? table.cells.front() : -1;
}

// Counts how many of it are alive.
struct Counted {
  explicit Counted(std::atomic<std::int64_t>* count, std::int64_t n) : alive(count), number(n), again(n) { ++*alive; }
  ~Counted() {
    number = -1;
    --*alive;
  }
  Counted(const Counted&) = delete;
  Counted& operator=(const Counted&) = delete;
  std::atomic<std::int64_t>* alive;
  std::int64_t number;
  std::int64_t again;
};

TEST(RatebookSlot, GivesWhatWasPutThere) {
  RatebookSlot slot;
  EXPECT_EQ(slot.Get(), nullptr);
  EXPECT_EQ(slot.version(), 0u);
  const std::shared_ptr<const Ratebook> first = MakeBook(1);
  const std::shared_ptr<const Ratebook> second = MakeBook(2);
  EXPECT_EQ(slot.Swap(first), nullptr);
  EXPECT_EQ(slot.Get(), first);
  EXPECT_EQ(slot.Swap(second), first);
  EXPECT_EQ(slot.Get(), second);
  EXPECT_EQ(slot.version(), 2u);
  EXPECT_EQ(slot.Swap(nullptr), second);
  EXPECT_EQ(slot.Get(), nullptr);
}

TEST(RatebookSlot, FreesTheOldBookWhenTheLastHolderLetsGo) {
  std::atomic<std::int64_t> alive{0};
  {
    SharedSlot<const Counted> slot(std::make_shared<const Counted>(&alive, 0));
    std::shared_ptr<const Counted> held = slot.Get();
    slot.Swap(std::make_shared<const Counted>(&alive, 1));
    EXPECT_EQ(alive, 2);
    EXPECT_EQ(held->number, 0);
    EXPECT_EQ(held.use_count(), 1);
    held.reset();
    EXPECT_EQ(alive, 1);
    // More swaps than the slot has cells, with reads between.
    for (int i = 2; i < 2000; ++i) {
      slot.Swap(std::make_shared<const Counted>(&alive, i));
      EXPECT_EQ(alive, 1);
      for (int reads = 0; reads < i % 3; ++reads) EXPECT_EQ(slot.Get()->number, i);
    }
  }
  EXPECT_EQ(alive, 0);
}

TEST(RatebookSlot, ReaderSeesEachSwapAtItsNextGet) {
  RatebookSlot slot(MakeBook(1));
  RatebookSlot::Reader reader(slot);
  EXPECT_EQ(NumberOf(*reader.Get()), 1);
  EXPECT_EQ(NumberOf(*reader.Get()), 1);
  std::weak_ptr<const Ratebook> old = slot.Swap(MakeBook(2));
  EXPECT_FALSE(old.expired());
  EXPECT_EQ(NumberOf(*reader.Get()), 2);
  EXPECT_TRUE(old.expired());
  old = slot.Swap(nullptr);
  EXPECT_FALSE(old.expired());
  reader.Release();
  EXPECT_TRUE(old.expired());
  EXPECT_EQ(reader.Get(), nullptr);
}

// 8 readers, one thread that swaps 1,000 times: every book read is whole, none is older than one read before by the
// same thread, and all but the last are freed at the end.
TEST(RatebookSlot, ReadersNeverSeeHalfNorGoBack) {
  constexpr int kReaders = 8;
  constexpr std::int64_t kSwaps = 1000;
  RatebookSlot slot(MakeBook(0));
  std::atomic<int> ready{0};
  std::atomic<std::int64_t> torn{0};
  std::atomic<std::int64_t> backwards{0};
  std::atomic<std::int64_t> reads{0};
  std::vector<std::thread> threads;
  for (int r = 0; r < kReaders; ++r) {
    threads.emplace_back([&, r] {
      RatebookSlot::Reader reader(slot);
      std::int64_t last = 0;
      std::int64_t seen = 0;
      ++ready;
      while (last < kSwaps) {
        const std::shared_ptr<const Ratebook> book = r % 2 == 0 ? slot.Get() : reader.Get();
        const std::int64_t number = NumberOf(*book);
        if (number < 0) ++torn;
        if (number < last) ++backwards;
        if (number >= 0) last = number;
        ++seen;
      }
      reads += seen;
    });
  }
  while (ready < kReaders) std::this_thread::yield();
  std::vector<std::weak_ptr<const Ratebook>> old;
  for (std::int64_t i = 1; i <= kSwaps; ++i) old.push_back(slot.Swap(MakeBook(i)));
  for (std::thread& thread : threads) thread.join();
  EXPECT_EQ(torn, 0);
  EXPECT_EQ(backwards, 0);
  EXPECT_GE(reads, kReaders);
  EXPECT_EQ(NumberOf(*slot.Get()), kSwaps);
  for (const std::weak_ptr<const Ratebook>& book : old) EXPECT_TRUE(book.expired());
  EXPECT_EQ(slot.Get().use_count(), 2);
}

// The same race with an object whose end is seen: no reader ever holds a freed one, several swap at once, and none
// leaks.
TEST(RatebookSlot, SwappersTakeTurnsAndNothingLeaks) {
  constexpr std::int64_t kSwaps = 20'000;
  std::atomic<std::int64_t> alive{0};
  std::atomic<std::int64_t> dead_reads{0};
  {
    SharedSlot<const Counted> slot(std::make_shared<const Counted>(&alive, 0));
    std::atomic<bool> done{false};
    std::vector<std::thread> readers;
    for (int r = 0; r < 4; ++r) {
      readers.emplace_back([&] {
        while (!done) {
          const std::shared_ptr<const Counted> held = slot.Get();
          if (held->number != held->again) ++dead_reads;
        }
      });
    }
    std::vector<std::thread> swappers;
    for (int s = 0; s < 2; ++s) {
      swappers.emplace_back([&] {
        for (std::int64_t i = 0; i < kSwaps; ++i) slot.Swap(std::make_shared<const Counted>(&alive, i));
      });
    }
    for (std::thread& thread : swappers) thread.join();
    done = true;
    for (std::thread& thread : readers) thread.join();
    EXPECT_EQ(alive, 1);
    EXPECT_EQ(slot.version(), static_cast<std::uint64_t>(2 * kSwaps));
  }
  EXPECT_EQ(alive, 0);
  EXPECT_EQ(dead_reads, 0);
}

}  // namespace
}  // namespace tarewise
