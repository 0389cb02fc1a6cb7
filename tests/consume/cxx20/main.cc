// A C++20 program of a stranger, from the installed package or from the source tree beside it.
#include <tarewise/documents/load.h>
#include <tarewise/tarewise.h>

#include <iostream>
#include <memory>
#include <utility>

int main(int argc, char** argv) {
  if (argc != 2) return 2;
  tarewise::Loaded<tarewise::Tables> tables = tarewise::ReadFolder(argv[1]);
  for (const tarewise::Diagnostic& finding : tables.diagnostics) std::cerr << finding.ToString() << "\n";
  if (!tables.ok()) return 1;
  auto book = tarewise::Ratebook::Create(std::move(tables.value->tariffs), std::move(tables.value->terms),
                                         std::move(tables.value->gazetteer));
  if (!book.ok()) return 1;
  tarewise::Request request;
  request.parcel.emplace();
  request.parcel->weight = *tarewise::Weight::Parse("31.3 oz");
  request.parcel->sides = *tarewise::Dimensions::Parse("14 x 9 x 5 in");
  request.lane = {*tarewise::Place::Make("US", "05401"), *tarewise::Place::Make("US", "60614", true)};
  request.date = *tarewise::Date::Parse("2026-08-03");
  request.currency = *tarewise::Currency::Parse("USD");
  const auto ranking =
      tarewise::Rank(*book, std::make_shared<const tarewise::Shelf>(*std::move(tables.value->shelf)), request);
  if (!ranking.ok()) {
    std::cerr << ranking.status().message() << "\n";
    return 1;
  }
  if (ranking->offers().empty()) return 1;
  const tarewise::Offer& best = ranking->offers().front();
  std::cout << best.carrier << " " << best.service << " " << best.total.ToString(ranking->currency().decimals())
            << "\n";
  return 0;
}
