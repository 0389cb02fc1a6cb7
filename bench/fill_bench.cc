// Published problems, whole sets: one container (700 problems) and many bins (320), by steps. What a run finds hangs on
// the steps alone; the time of a problem is the counter `each`. Every filling is checked, outside of the time.
//
// Aims: containers 89 % at 0.5 ms and 92.5 % at 50 ms a problem; bins 9,900 at 10 ms and 9,850 at 100 ms.
#include <benchmark/benchmark.h>

#include <array>
#include <cstdint>
#include <string>
#include <vector>

#include "packing/fill_check.h"
#include "packing/published.h"
#include "tarewise/packing/fill.h"

namespace tarewise::bench {
namespace {

using testing::FillProblem;

std::vector<FillProblem> Containers(int types) {
  std::vector<FillProblem> problems;
  for (int problem = 1; problem <= 100; ++problem) problems.push_back(testing::BischoffRatcliff(types, problem));
  return problems;
}

std::vector<FillProblem> Bins(int kind) {
  std::vector<FillProblem> problems;
  for (int size : {50, 100, 150, 200}) {
    for (int replicate = 1; replicate <= 10; ++replicate) {
      problems.push_back(testing::MartelloPisingerVigo(kind, size, replicate));
    }
  }
  return problems;
}

void Finish(benchmark::State& state, std::size_t problems, const std::string& wrong) {
  if (!wrong.empty()) state.SkipWithError(wrong.c_str());
  state.counters["each"] = benchmark::Counter(
      static_cast<double>(problems), benchmark::Counter::kIsIterationInvariantRate | benchmark::Counter::kInvert);
}

void OneContainer(benchmark::State& state) {
  std::vector<FillProblem> problems;
  for (int types : {3, 5, 8, 10, 12, 15, 20}) {
    for (FillProblem& problem : Containers(types)) problems.push_back(std::move(problem));
  }
  std::int64_t sum = 0;
  std::string wrong;
  for (auto _ : state) {
    sum = 0;
    for (const FillProblem& problem : problems) {
      const Filling filling = FillRoom(problem.goods, problem.room, {.steps = state.range(0)});
      state.PauseTiming();
      sum += testing::Utilisation(filling, problem.room);
      wrong += testing::WrongWith(filling, problem.goods, problem.room);
      state.ResumeTiming();
    }
  }
  state.counters["percent"] = static_cast<double>(sum) / (100.0 * static_cast<double>(problems.size()));
  Finish(state, problems.size(), wrong);
}
BENCHMARK(OneContainer)->Arg(1)->Arg(1'000)->Arg(8'000)->Unit(benchmark::kMillisecond)->Iterations(1);

// By class: types, steps.
void ContainersOfTypes(benchmark::State& state) {
  const std::vector<FillProblem> problems = Containers(static_cast<int>(state.range(0)));
  std::int64_t sum = 0;
  for (auto _ : state) {
    sum = 0;
    for (const FillProblem& problem : problems) {
      sum += testing::Utilisation(FillRoom(problem.goods, problem.room, {.steps = state.range(1)}), problem.room);
    }
  }
  state.counters["percent"] = static_cast<double>(sum) / (100.0 * static_cast<double>(problems.size()));
  Finish(state, problems.size(), "");
}
BENCHMARK(ContainersOfTypes)
    ->ArgsProduct({{3, 5, 8, 10, 12, 15, 20}, {1, 8'000}})
    ->Unit(benchmark::kMillisecond)
    ->Iterations(1);

void ManyBins(benchmark::State& state) {
  std::vector<FillProblem> problems;
  for (int kind = 1; kind <= 8; ++kind) {
    if (state.range(1) != 0 && state.range(1) != kind) continue;
    for (FillProblem& problem : Bins(kind)) problems.push_back(std::move(problem));
  }
  std::size_t rooms = 0;
  std::string wrong;
  for (auto _ : state) {
    rooms = 0;
    for (const FillProblem& problem : problems) {
      const Binning found = FillRooms(problem.goods, problem.room, {.steps = state.range(0)});
      state.PauseTiming();
      rooms += found.rooms.size();
      for (const Filling& filling : found.rooms) wrong += testing::WrongWith(filling, problem.goods, problem.room);
      state.ResumeTiming();
    }
  }
  state.counters["bins"] = static_cast<double>(rooms);
  Finish(state, problems.size(), wrong);
}
// Steps; the class, or 0 for all.
BENCHMARK(ManyBins)
    ->ArgsProduct({{1, 24'000, 240'000}, {0}})
    ->ArgsProduct({{24'000, 240'000}, {1, 2, 3, 4, 5, 6, 7, 8}})
    ->Unit(benchmark::kMillisecond)
    ->Iterations(1);

}  // namespace
}  // namespace tarewise::bench
