// One sealed parcel over all services of the demonstration, and loading the demonstration's tables.
//
// Aims: under 5 us for totals and order, under 40 us with every line, refusal and threshold; loading under 20 ms, of
// 50,000 cells under 50 ms.
#include <benchmark/benchmark.h>

#include <filesystem>
#include <fstream>
#include <iterator>
#include <memory>
#include <string>
#include <utility>
#include <vector>

#include "absl/strings/str_replace.h"
#include "support.h"
#include "tarewise/documents/ranking_json.h"
#include "tarewise/ranking/totals.h"

namespace tarewise::bench {
namespace {

struct Question {
  const World& world = Demo();
  Request request = RequestOn(NineZones().back());
  std::shared_ptr<const Dispatch> dispatch;
  Contents none;
  const Contents* items[1] = {&none};

  Question() {
    Parcel parcel;
    parcel.weight = *Weight::Parse("4.01 lb");
    parcel.sides = *Dimensions::Parse("12 x 9 x 6 in");
    request.parcel = parcel;
    auto made = Dispatch::Create(world.book, Shipment::Of(request, nullptr));
    if (!made.ok()) Stop(made.status().ToString());
    dispatch = std::make_shared<const Dispatch>(*std::move(made));
  }

  ParcelFacts Facts(std::int64_t more) const {
    ParcelFacts facts;
    facts.weight = request.parcel->weight.nanograms() + more;
    for (std::size_t i = 0; i < 3; ++i) facts.sides[i] = request.parcel->sides.sides()[i].nanometres();
    facts.contents = &none;
    facts.items = items;
    return facts;
  }
};

const Question& Asked() {
  static const Question question;
  return question;
}

void TotalsAndOrder(benchmark::State& state) {
  const Question& asked = Asked();
  TotalsResult out;
  RankTotals(*asked.dispatch, asked.Facts(0), Amount(), {}, out);
  const auto ranking = Rank(asked.dispatch, nullptr, asked.request);
  if (!ranking.ok() || out.offers.size() != ranking->offers().size() ||
      out.offers.front().total != ranking->offers().front().total) {
    Stop("totals differ from the ranking's");
  }
  std::int64_t more = 0;
  for (auto _ : state) {
    RankTotals(*asked.dispatch, asked.Facts(more), Amount(), {}, out);
    more = (more + 7'919'000'000) % 400'000'000'000;  // other steps of the grids each time
    benchmark::DoNotOptimize(out.offers.data());
  }
  state.counters["services"] = static_cast<double>(asked.dispatch->services().size());
}
BENCHMARK(TotalsAndOrder)->Unit(benchmark::kMicrosecond);

void LinesAndRefusals(benchmark::State& state) {
  const Question& asked = Asked();
  for (auto _ : state) {
    auto ranking = Rank(asked.dispatch, nullptr, asked.request, {.thresholds = false});
    benchmark::DoNotOptimize(ranking);
  }
}
BENCHMARK(LinesAndRefusals)->Unit(benchmark::kMicrosecond);

void WithThresholds(benchmark::State& state) {
  const Question& asked = Asked();
  for (auto _ : state) {
    auto ranking = Rank(asked.dispatch, nullptr, asked.request);
    benchmark::DoNotOptimize(ranking);
  }
}
BENCHMARK(WithThresholds)->Unit(benchmark::kMicrosecond);

void WithThresholdsFromTheRatebook(benchmark::State& state) {
  const Question& asked = Asked();
  for (auto _ : state) {
    auto ranking = Rank(asked.world.book, nullptr, asked.request);
    benchmark::DoNotOptimize(ranking);
  }
}
BENCHMARK(WithThresholdsFromTheRatebook)->Unit(benchmark::kMicrosecond);

void AsJson(benchmark::State& state) {
  const Question& asked = Asked();
  const auto ranking = Rank(asked.dispatch, nullptr, asked.request);
  for (auto _ : state) benchmark::DoNotOptimize(ToJson(*ranking, -1));
}
BENCHMARK(AsJson)->Unit(benchmark::kMicrosecond);

void LoadTables(benchmark::State& state) {
  for (auto _ : state) benchmark::DoNotOptimize(testing::LoadTables(testing::DemoFolder()));
}
BENCHMARK(LoadTables)->Unit(benchmark::kMillisecond);

std::size_t CellsOf(const Ratebook& book) {
  std::size_t cells = 0;
  for (const Tariff& tariff : book.tariffs()) {
    for (const Service& service : tariff.services) {
      for (const PriceAlternative& price : service.prices) {
        if (const auto* table = std::get_if<TablePrice>(&price.price)) cells += table->cells.size();
      }
    }
  }
  return cells;
}

void LoadAndCompile(benchmark::State& state) {
  std::size_t cells = 0;
  for (auto _ : state) cells = CellsOf(*LoadDemo().book);
  state.counters["cells"] = static_cast<double>(cells);
}
BENCHMARK(LoadAndCompile)->Unit(benchmark::kMillisecond);

// The demonstration's documents, those of the carriers again under other codes, so that the ratebook grows.
std::vector<SourceText> Copies(std::int64_t count) {
  std::vector<SourceText> sources;
  for (const std::filesystem::directory_entry& entry : std::filesystem::directory_iterator(testing::DemoFolder())) {
    std::ifstream file(entry.path());
    const std::string text{std::istreambuf_iterator<char>(file), {}};
    const std::string name = entry.path().filename().string();
    const bool carriers = !name.starts_with("gazetteer") && !name.starts_with("shelf");
    for (std::int64_t copy = 0; copy < (carriers ? count : 1); ++copy) {
      SourceText source{name, text};
      // Codes of the carriers, and the beginnings of those of their packaging.
      for (const std::string code : {"harbourline", "fenwick-dray", "larkspur", "\"hl", "\"fd", "\"lk"}) {
        for (std::string* of : {&source.name, &source.text}) {
          if (copy > 0) *of = absl::StrReplaceAll(*of, {{code, code + "-" + std::to_string(copy)}});
        }
      }
      sources.push_back(std::move(source));
    }
  }
  return sources;
}

void LoadAndCompileFromMemory(benchmark::State& state) {
  const std::vector<SourceText> sources = Copies(state.range(0));
  std::size_t cells = 0;
  for (auto _ : state) {
    Loaded<Tables> loaded = ReadTables(sources);
    if (!loaded.ok()) Stop(loaded.diagnostics.back().ToString());
    auto book = Ratebook::Create(std::move(loaded.value->tariffs), std::move(loaded.value->terms),
                                 std::move(loaded.value->gazetteer));
    if (!book.ok()) Stop(book.status().ToString());
    cells = CellsOf(**book);
  }
  state.counters["cells"] = static_cast<double>(cells);
}
BENCHMARK(LoadAndCompileFromMemory)->Arg(1)->Arg(3)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace tarewise::bench

BENCHMARK_MAIN();
