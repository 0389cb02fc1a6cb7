// Loading a large tariff from memory: 500,000 cells of grids and 198,000 areas of charts and lists, all from files.
//
// Aim: under 250 ms.
#include <benchmark/benchmark.h>

#include <cstdint>
#include <string>
#include <vector>

#include "support.h"
#include "tarewise/documents/load.h"

namespace tarewise::bench {
namespace {

std::string Padded(std::int64_t number, std::size_t digits) {
  std::string out = std::to_string(number);
  return std::string(digits > out.size() ? digits - out.size() : 0, '0') + out;
}

// Rows of a pound each and ten zones.
std::string Grid(std::int64_t rows) {
  std::string out = "lb";
  for (int zone = 0; zone < 10; ++zone) out += "," + std::to_string(zone);
  out += "\n";
  for (std::int64_t row = 1; row <= rows; ++row) {
    out += std::to_string(row);
    for (std::int64_t zone = 0; zone < 10; ++zone) {
      const std::int64_t cents = 500 + row * 40 + zone * 25;
      out += "," + std::to_string(cents / 100) + "." + Padded(cents % 100, 2);
    }
    out += "\n";
  }
  return out;
}

// Codes of five digits, in order or not, with a zone and a tier.
std::string Codes(std::int64_t count, std::int64_t step) {
  std::string out = "Areas of the summer\nZIP,Zone,Tier\n";
  for (std::int64_t i = 0; i < count; ++i) {
    const std::int64_t code = i * step % 99'991;
    out += Padded(code, 5) + "," + std::to_string(i % 10) + "," + (i % 2 == 0 ? "near" : "far") + "\n";
  }
  return out;
}

std::vector<SourceText> Large(std::int64_t cells, std::int64_t areas) {
  constexpr std::int64_t kRows = 2'000;
  std::string services;
  for (std::int64_t i = 0; i * kRows * 10 < cells; ++i) {
    services += (i == 0 ? "" : ",") + std::string(R"({"code": "s)") + std::to_string(i) +
                R"(", "title": "S", "zones": "main", "mode": "surface", "prices": [
                   {"table": {"by": "weight", "unit": "lb", "csv": "grid.csv"}}], "surcharges": ["far"]})";
  }
  const std::string document = R"({"format": "tarewise-tariff-1", "carrier": {"code": "harbourline", "name": "H"},
    "title": "Large", "currency": "USD", "in_force": {"from": "2026-07-12"},
    "areas": {"far": {"csv": "far.csv", "country": "US"}},
    "zones": {"main": [{"kind": "pairs", "csv": "zones.csv", "origin": ["US:054"], "codes": "zip", "column": "zone"},
                       {"kind": "regions", "zones": {"9": ["US"]}}]},
    "surcharges": [{"code": "far", "title": "Far", "when": {"destination": {"in": ["@far"]}}, "amount": 3}],
    "services": [)" + services +
                               "]}";
  std::string far = Codes(areas / 2, 7'919);
  far.erase(0, far.find('\n') + 1);
  return {{"large.json", document},
          {"grid.csv", Grid(kRows)},
          {"zones.csv", Codes(areas - areas / 2, 1)},
          {"far.csv", std::move(far)}};
}

void LoadLarge(benchmark::State& state) {
  const std::vector<SourceText> sources = Large(state.range(0), state.range(1));
  for (auto _ : state) {
    const Loaded<Tables> loaded = ReadTables(sources);
    if (!loaded.ok()) Stop(loaded.diagnostics.front().ToString());
    benchmark::DoNotOptimize(loaded.value->tariffs.data());
  }
}
BENCHMARK(LoadLarge)
    ->ArgNames({"cells", "areas"})
    ->Args({500'000, 198'000})
    ->Args({500'000, 20})
    ->Args({20'000, 198'000})
    ->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace tarewise::bench
