#include "tarewise/documents/ranking_json.h"

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <string>

#include "json_writer.h"
#include "offer_json.h"

namespace tarewise::inline TW_VERSIONED {
namespace {

void WriteChange(JsonWriter& json, const Ranking& ranking, const WinnerChange& change) {
  const Request& request = ranking.request();
  json.BeginObject();
  json.Text("of", kAspectNames[static_cast<int>(change.of)]);
  json.Text("above", change.of == Aspect::kWeight ? change.above_weight.ToString(request.weight_units)
                                                  : change.above_length.ToString(request.side_units));
  if (!change.service.empty()) {
    json.Text("carrier", change.carrier);
    json.Text("service", change.service);
    json.Text("packaging", PackagingShown(change.packaging));
    json.Text("total", change.total.ToString(ranking.currency().decimals()));
  }
  json.EndObject();
}

// Nobody takes a part for the whole.
void WriteLeftOut(JsonWriter& json, const Ranking& ranking, std::size_t told, const RankingJson& how) {
  const std::size_t offers = ranking.offers().size() - told;
  const std::size_t refusals = how.refusals == RankingJson::Refusals::kNone ? ranking.refusals().size() : 0;
  if (offers == 0 && refusals == 0) return;
  json.Key("left_out").BeginObject();
  if (offers > 0) json.Key("offers").Number(static_cast<std::int64_t>(offers));
  if (refusals > 0) json.Key("refusals").Number(static_cast<std::int64_t>(refusals));
  json.EndObject();
}

// What they mostly take, so that the text seldom moves.
constexpr std::size_t kBytesOfOffer = 1'500;
constexpr std::size_t kBytesOfRefusal = 240;

}  // namespace

std::string ToJson(const Ranking& ranking, int indent) {
  RankingJson how;
  how.indent = indent;
  return ToJson(ranking, how);
}

std::string ToJson(const Ranking& ranking, const RankingJson& how) {
  const Request& request = ranking.request();
  // Codes and words were checked on the way in; anything that is not UTF-8 all the same is replaced, never thrown at.
  JsonWriter json(how.indent);
  const std::size_t told = std::min(ranking.offers().size(), how.most_offers);
  const bool whole = how.charges && how.refusals == RankingJson::Refusals::kWhole;
  if (whole) json.Reserve(told * kBytesOfOffer + ranking.refusals().size() * kBytesOfRefusal);
  json.BeginObject();
  json.Text("format", "tarewise-ranking-1");
  json.Flag("estimate", ranking.estimate());
  json.Text("currency", ranking.currency().code());
  // Of the dispatch: one that was made ready beforehand has terms of its own.
  const Totals totals = ranking.dispatch().shipment().totals;
  if (totals != Totals::kWithTax) json.Text("totals", kTotalsNames[static_cast<int>(totals)]);
  json.Key("steps").BeginObject();
  json.Text("weight", request.steps.weight.Times(1).ToString(request.weight_units));
  json.Text("sides", request.steps.sides.Times(1).ToString(request.side_units));
  json.EndObject();
  json.Key("offers").BeginArray();
  for (std::size_t i = 0; i < told; ++i) WriteOffer(json, ranking, ranking.offers()[i], how);
  json.EndArray();
  WriteArrangements(json, ranking, how, {});
  WriteRefusals(json, ranking.refusals(), how);
  if (!ranking.changes().empty()) {
    json.Key("changes").BeginArray();
    for (const WinnerChange& change : ranking.changes()) WriteChange(json, ranking, change);
    json.EndArray();
  }
  WriteCautions(json, ranking.cautions());
  WriteLeftOut(json, ranking, told, how);
  json.EndObject();
  return json.Take();
}

}  // namespace tarewise::inline TW_VERSIONED
