// What selling leaves, as columns: rows a second over 223 places, against `Economics` asked row by row. Invented fees,
// prices and totals, seeded; both answers are compared before anything is timed. Aim: a million rows in a few seconds
// of one core.
#include <benchmark/benchmark.h>

#include <atomic>
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <iostream>
#include <memory>
#include <optional>
#include <random>
#include <vector>

#include "tarewise/economics/economics.h"
#include "tarewise/economics/sale_columns.h"

namespace tarewise {
namespace {

constexpr std::size_t kPlaces = 223;
constexpr std::size_t kRows = 20'000;
constexpr std::size_t kOneByOne = 200;

struct Listings {
  std::vector<std::int64_t> prices, costs, totals;
  std::vector<std::int64_t> shares = std::vector<std::int64_t>(kPlaces);
  SaleTerms terms;

  Listings() {
    std::mt19937_64 random(20'260'803);
    const auto pick = [&random](std::int64_t low, std::int64_t high) {
      return low + static_cast<std::int64_t>(random() % static_cast<std::uint64_t>(high - low + 1));
    };
    for (std::int64_t& share : shares) share = pick(1, 40);
    for (std::size_t row = 0; row < kRows; ++row) {
      prices.push_back(pick(800, 20'000));
      costs.push_back(pick(50, 4'000));
      // Nine zones: nine totals.
      std::int64_t zones[9];
      for (std::int64_t& zone : zones) zone = pick(400, 3'000) * 10'000;
      for (std::size_t i = 0; i < kPlaces; ++i) totals.push_back(zones[i * 7 % 9]);
    }
    EconomicsSetup setup;
    setup.currency = *Currency::Parse("USD");
    setup.fees = {Fee::Flat("selling", *Percent::Parse("11.4"), Amount(), FeeOf::kPriceAndShipping),
                  Fee::Flat("payment", *Percent::Parse("2.2"), *Amount::Parse("0.25"), FeeOf::kPriceAndShipping)};
    setup.labour = *Amount::Parse("1.20");
    setup.returns.share = *Percent::Parse("3");
    setup.returns.recovered = *Percent::Parse("80");
    terms.shop = std::make_shared<const Economics>(*Economics::Create(setup));
    terms.wanted = *Amount::Parse("4.00");
    terms.up_to = *Amount::Parse("1000");
  }

  std::vector<PlaceTotal> PlacesOf(std::size_t row) const {
    std::vector<PlaceTotal> places;
    for (std::size_t i = 0; i < kPlaces; ++i) {
      places.push_back({Amount::Micros(totals[row * kPlaces + i]), Amount(), shares[i]});
    }
    return places;
  }
};

struct Answers {
  std::vector<std::int64_t> profit = std::vector<std::int64_t>(kRows);
  std::vector<std::int64_t> most = std::vector<std::int64_t>(kRows);
  std::vector<std::int64_t> least = std::vector<std::int64_t>(kRows);
};

void AsColumns(const Listings& listings, Answers& answers) {
  SaleColumns columns;
  columns.price.values = Column::Of(listings.prices, 10'000);
  columns.cost.values = Column::Of(listings.costs, 10'000);
  columns.profit = answers.profit.data();
  columns.most_to_pay = answers.most.data();
  columns.least_price = answers.least.data();
  const std::atomic<bool> stop{false};
  if (!RunSales(listings.terms, columns, kRows, listings.totals.data(), listings.shares, 1, stop).ok()) std::abort();
}

void RowByRow(const Listings& listings, std::size_t rows, Answers& answers) {
  const SaleTerms& terms = listings.terms;
  for (std::size_t row = 0; row < rows; ++row) {
    const std::vector<PlaceTotal> places = listings.PlacesOf(row);
    const Sale sale{Amount::Micros(listings.costs[row] * 10'000), Amount::Micros(listings.prices[row] * 10'000)};
    const auto micros = [](const std::optional<Amount>& amount) { return amount ? amount->micros() : -1; };
    answers.profit[row] = terms.shop->ProfitOf(sale, places)->expected.micros();
    answers.most[row] = micros(*terms.shop->MostToPay(sale.price, places, *terms.wanted, terms.which));
    answers.least[row] = micros(*terms.shop->LeastPrice(sale.cost, places, *terms.wanted, terms.which, terms.up_to));
  }
}

const Listings& Made() {
  static const Listings* const listings = [] {
    const auto* made = new Listings;
    Answers columns;
    Answers rows;
    AsColumns(*made, columns);
    RowByRow(*made, kOneByOne, rows);
    for (std::size_t row = 0; row < kOneByOne; ++row) {
      if (columns.profit[row] != rows.profit[row] || columns.most[row] != rows.most[row] ||
          columns.least[row] != rows.least[row]) {
        std::cerr << "row " << row << " differs\n";
        std::abort();
      }
    }
    return made;
  }();
  return *listings;
}

void Columns(benchmark::State& state) {
  const Listings& listings = Made();
  Answers answers;
  for (auto _ : state) AsColumns(listings, answers);
  state.SetItemsProcessed(state.iterations() * static_cast<std::int64_t>(kRows));
}
BENCHMARK(Columns)->Unit(benchmark::kMillisecond);

void OneByOne(benchmark::State& state) {
  const Listings& listings = Made();
  Answers answers;
  for (auto _ : state) RowByRow(listings, kOneByOne, answers);
  state.SetItemsProcessed(state.iterations() * static_cast<std::int64_t>(kOneByOne));
}
BENCHMARK(OneByOne)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace tarewise

BENCHMARK_MAIN();
