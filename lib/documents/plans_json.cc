#include "tarewise/documents/plans_json.h"

#include <cstddef>
#include <cstdint>
#include <string>
#include <vector>

#include "json_writer.h"
#include "offer_json.h"

namespace tarewise::inline TW_VERSIONED {
namespace {

void WriteGoods(JsonWriter& json, const std::vector<PlannedGoods>& goods) {
  json.Key("goods").BeginArray();
  for (const PlannedGoods& some : goods) {
    json.BeginObject();
    json.Key("item").Number(static_cast<std::int64_t>(some.item));
    json.Key("units").Number(some.units);
    json.EndObject();
  }
  json.EndArray();
}

void WriteParcel(JsonWriter& json, const PlannedParcel& parcel, const RankingJson& how) {
  json.BeginObject();
  std::vector<std::size_t> items;
  if (parcel.sealed) {
    json.Key("sealed").Number(static_cast<std::int64_t>(*parcel.sealed));
  } else {
    WriteGoods(json, parcel.goods);
    for (const PlannedGoods& some : parcel.goods) items.push_back(some.item);
  }
  json.Key("offer");
  WriteOffer(json, parcel.ranking, parcel.offer(), how);
  WriteArrangements(json, parcel.ranking, how, items);
  json.EndObject();
}

void WriteOnce(JsonWriter& json, const Plan& plan) {
  if (plan.once.empty()) return;
  json.Key("once").BeginArray();
  for (const OnceCharge& one : plan.once) {
    json.BeginObject();
    json.Key("parcel").Number(static_cast<std::int64_t>(one.parcel));
    json.Text("carrier", one.carrier).Text("service", one.service);
    json.Text("code", one.code).Text("title", one.title);
    json.Text("amount", one.amount.ToString(plan.parcels[one.parcel].offer().tariff_currency.decimals()));
    json.EndObject();
  }
  json.EndArray();
}

void WritePlan(JsonWriter& json, const Plans& plans, const Plan& plan, const RankingJson& how) {
  const int decimals = plans.currency().decimals();
  bool handicaps = false;
  for (const PlannedParcel& parcel : plan.parcels) handicaps = handicaps || !parcel.offer().handicaps.empty();
  json.BeginObject();
  json.Text("total", plan.total.ToString(decimals));
  if (handicaps) json.Text("handicap", plan.handicap.ToString(decimals));
  json.Flag("at_risk", plan.at_risk);
  if (plan.total_at_risk) json.Text("total_at_risk", plan.total_at_risk->ToString(decimals));
  json.Key("days");
  if (plan.days) {
    json.BeginArray().Number(plan.days->least).Number(plan.days->most).EndArray();
  } else {
    json.Null();
  }
  if (plan.arrives) {
    json.Key("arrives").BeginArray();
    json.Text(plan.arrives->earliest.ToString()).Text(plan.arrives->latest.ToString());
    json.EndArray();
  }
  json.Key("parcels").BeginArray();
  for (const PlannedParcel& parcel : plan.parcels) WriteParcel(json, parcel, how);
  json.EndArray();
  WriteOnce(json, plan);
  json.EndObject();
}

void WriteObstacle(JsonWriter& json, const PlanObstacle& obstacle, const RankingJson& how) {
  json.BeginObject();
  json.Text("code", kObstacleNames[static_cast<std::size_t>(obstacle.code)]);
  json.Text("text", obstacle.text);
  if (!obstacle.goods.empty()) WriteGoods(json, obstacle.goods);
  if (obstacle.sealed) json.Key("sealed").Number(static_cast<std::int64_t>(*obstacle.sealed));
  if (obstacle.need) json.Key("need").Number(*obstacle.need);
  if (obstacle.alone) WriteRefusals(json, obstacle.alone->refusals(), how);
  json.EndObject();
}

}  // namespace

std::string ToJson(const Plans& plans, int indent) {
  RankingJson how;
  how.indent = indent;
  return ToJson(plans, how);
}

std::string ToJson(const Plans& plans, const RankingJson& how) {
  const int decimals = plans.currency().decimals();
  JsonWriter json(how.indent);
  json.BeginObject();
  json.Text("format", "tarewise-plans-1");
  json.Text("currency", plans.currency().code());
  const Totals totals = plans.request().totals;
  if (totals != Totals::kWithTax) json.Text("totals", kTotalsNames[static_cast<int>(totals)]);
  json.Flag("estimate", plans.estimate());
  json.Flag("proved", plans.proved());
  if (plans.at_least()) json.Text("at_least", plans.at_least()->ToString(decimals));
  if (plans.request().sealed.empty()) {
    json.Key("single");
    if (plans.single()) {
      json.Text(plans.single()->ToString(decimals));
    } else {
      json.Null();
    }
  }
  json.Key("plans").BeginArray();
  for (const Plan& plan : plans.plans()) WritePlan(json, plans, plan, how);
  json.EndArray();
  json.Key("obstacles").BeginArray();
  for (const PlanObstacle& obstacle : plans.obstacles()) WriteObstacle(json, obstacle, how);
  json.EndArray();
  WriteCautions(json, plans.cautions());
  json.EndObject();
  return json.Take();
}

}  // namespace tarewise::inline TW_VERSIONED
