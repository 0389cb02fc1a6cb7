#include "offer_json.h"

#include <array>
#include <cstddef>
#include <cstdint>
#include <map>
#include <string>
#include <string_view>
#include <tuple>
#include <vector>

#include "tarewise/ranking/growth.h"
#include "tarewise/ranking/packing_steps.h"

namespace tarewise::inline TW_VERSIONED {
namespace {

void WriteCharge(JsonWriter& json, const Ranking& ranking, const Offer& offer, const Charge& charge,
                 std::string_view why) {
  json.BeginObject();
  json.Text("code", charge.code);
  json.Text("title", charge.title);
  json.Text("amount", charge.amount.ToString(offer.tariff_currency.decimals()));
  json.Text("why", why);
  if (const std::string row = Ranking::Row(charge); !row.empty()) json.Text("row", row);
  if (const std::string column = ranking.Column(offer, charge); !column.empty()) json.Text("column", column);
  if (const std::string as = Ranking::BilledAs(charge); !as.empty()) json.Text("billed_as", as);
  json.EndObject();
}

void WriteTax(JsonWriter& json, const OfferTax& tax, int decimals) {
  json.Key("tax").BeginObject();
  json.Text("code", tax.tax->code);
  json.Text("title", tax.tax->title);
  json.Text("percent", Amount::Micros(tax.tax->percent.ten_thousandths() * 100).ToString(0));
  json.Text("amount", tax.amount.ToString(decimals));
  json.Text("net", tax.net.ToString(decimals));
  json.Text("with_tax", tax.with_tax.ToString(decimals));
  json.EndObject();
}

void WriteThresholds(JsonWriter& json, const Ranking& ranking, const Offer& offer) {
  const Request& request = ranking.request();
  const int decimals = ranking.currency().decimals();
  json.Key("headroom").BeginObject();
  if (offer.headroom.weight) json.Text("weight", offer.headroom.weight->ToString(request.weight_units));
  for (std::size_t i = 0; i < 3; ++i) {
    if (offer.headroom.sides[i]) {
      json.Text(kAspectNames[i + 1], offer.headroom.sides[i]->ToString(request.side_units));
    }
  }
  json.EndObject();
  json.Key("savers").BeginArray();
  for (const Saver& saver : offer.savers) {
    json.BeginObject();
    json.Text("of", kAspectNames[static_cast<int>(saver.of)]);
    json.Text("take", saver.of == Aspect::kWeight ? saver.weight.ToString(request.weight_units)
                                                  : saver.length.ToString(request.side_units));
    json.Text("total", saver.total.ToString(decimals));
    json.Text("saves", saver.saves.ToString(decimals));
    json.EndObject();
  }
  json.EndArray();
}

// Where the goods of a ranking stand in what was asked.
struct OfGoods {
  std::span<const std::size_t> items;
  std::int64_t ItemOf(std::size_t item) const { return static_cast<std::int64_t>(items.empty() ? item : items[item]); }
};

// Of a carton the same, whole and cut down: worked out once.
using KnownGrowth = std::map<const Packaging*, std::vector<Growth>>;

void WriteGrowth(JsonWriter& json, const Ranking& ranking, const Candidate& candidate, ArrangeBudget budget,
                 const OfGoods& goods, KnownGrowth& known) {
  auto at = known.find(candidate.packaging);
  if (at == known.end()) {
    at = known.emplace(candidate.packaging, RoomToGrow(ranking, candidate, budget)).first;
  }
  json.Key("room_to_grow").BeginArray();
  for (const Growth& growth : at->second) {
    json.BeginObject();
    json.Key("item").Number(goods.ItemOf(growth.item));
    json.Key("sides").BeginArray();
    for (const Length side : growth.sides) json.Text(side.ToString(ranking.request().side_units));
    json.EndArray().EndObject();
  }
  json.EndArray();
}

void WriteArrangement(JsonWriter& json, const Ranking& ranking, const Candidate& candidate, const RankingJson& how,
                      const OfGoods& goods, KnownGrowth& known) {
  const UnitSystem units = ranking.request().side_units;
  json.BeginObject();
  json.Text("packaging", PackagingShown(candidate.packaging->code));
  if (!candidate.packaging->issued_by.empty()) json.Text("issued_by", candidate.packaging->issued_by);
  json.Text("sides", SidesText(InsideOf(candidate), units));
  if (candidate.cut_to) json.Text("cut_to", candidate.cut_to->ToString(units));
  json.Key("units").BeginArray();
  const ToldPacking told = TellPacking(ranking, candidate);
  for (std::size_t n = 0; n < candidate.arrangement->size(); ++n) {
    const Placement& one = (*candidate.arrangement)[n];
    const GoodsUnit unit = GoodsUnitOf(ranking.request(), one.unit);
    std::array<Length, 3> at;
    std::array<Length, 3> sides;
    for (std::size_t i = 0; i < 3; ++i) {
      at[i] = Length::Nanometres(one.at[i]);
      sides[i] = Length::Nanometres(one.sides[i]);
    }
    json.BeginObject();
    json.Key("item").Number(goods.ItemOf(unit.item));
    json.Key("unit").Number(static_cast<std::int64_t>(unit.unit));
    json.Text("at", SidesText(at, units)).Text("sides", SidesText(sides, units));
    json.Key("step").Number(static_cast<std::int64_t>(told.of_units[n]));
    json.EndObject();
  }
  json.EndArray();
  json.Key("steps").BeginArray();
  for (const std::string& step : told.steps) json.Text(step);
  json.EndArray();
  if (how.room_to_grow) WriteGrowth(json, ranking, candidate, how.budget, goods, known);
  json.EndObject();
}

void WriteRefusal(JsonWriter& json, const Refusal& refusal) {
  json.BeginObject();
  json.Text("carrier", refusal.carrier);
  json.Text("service", refusal.service);
  json.Text("packaging", PackagingShown(refusal.packaging));
  json.Key("reasons").BeginArray();
  for (const RefusalReason& reason : refusal.reasons) {
    json.BeginObject().Text("code", NameOf(reason.code)).Text("text", reason.text).EndObject();
  }
  json.EndArray().EndObject();
}

// Each reason of each refusal once, in the order in which service and code first come up.
void WriteRefusalGroups(JsonWriter& json, const std::vector<Refusal>& refusals) {
  struct Group {
    const Refusal* refusal;
    const RefusalReason* reason;
    std::vector<std::string_view> packagings;
  };
  std::vector<Group> groups;
  std::map<std::tuple<std::string_view, std::string_view, Reason>, std::size_t> places;
  for (const Refusal& refusal : refusals) {
    for (const RefusalReason& reason : refusal.reasons) {
      const auto [at, added] = places.try_emplace({refusal.carrier, refusal.service, reason.code}, groups.size());
      if (added) groups.push_back({&refusal, &reason, {}});
      std::vector<std::string_view>& packagings = groups[at->second].packagings;
      // Of several reasons with one code (two limits) a packaging is named once.
      if (packagings.empty() || packagings.back() != refusal.packaging) packagings.push_back(refusal.packaging);
    }
  }
  for (const Group& group : groups) {
    json.BeginObject();
    json.Text("carrier", group.refusal->carrier);
    json.Text("service", group.refusal->service);
    json.Text("code", NameOf(group.reason->code));
    json.Text("text", group.reason->text);
    json.Key("packagings").BeginArray();
    for (const std::string_view packaging : group.packagings) json.Text(PackagingShown(packaging));
    json.EndArray().EndObject();
  }
}

}  // namespace

std::string_view PackagingShown(std::string_view packaging) { return packaging.empty() ? "own" : packaging; }

void WriteOffer(JsonWriter& json, const Ranking& ranking, const Offer& offer, const RankingJson& how) {
  const Request& request = ranking.request();
  const int decimals = ranking.currency().decimals();
  json.BeginObject();
  json.Text("carrier", offer.carrier);
  json.Text("service", offer.service);
  json.Text("title", offer.title);
  json.Text("packaging", PackagingShown(offer.packaging));
  if (!offer.issued_by.empty()) json.Text("issued_by", offer.issued_by);
  json.Text("zone", offer.zone);
  json.Key("days");
  if (offer.days) {
    json.BeginArray().Number(offer.days->least).Number(offer.days->most).EndArray();
  } else {
    json.Null();
  }
  if (offer.arrives) {
    json.Key("arrives").BeginArray();
    json.Text(offer.arrives->earliest.ToString()).Text(offer.arrives->latest.ToString());
    json.EndArray();
  }
  if (offer.delivers != Delivery::kDoor) json.Text("delivers", NameOf(offer.delivers));
  json.Flag("tracked", offer.tracked);
  json.Key("parcel").BeginObject();
  json.Text("weight", offer.weight.ToString(request.weight_units));
  json.Text("sides", offer.sides.ToString(request.side_units));
  json.EndObject();
  if (offer.cut_to) json.Text("cut_to", offer.cut_to->ToString(request.side_units));
  json.Key("billable_weight").BeginObject();
  json.Text("weight", offer.billable.ToString(request.weight_units));
  json.Text("from", kBillableFromNames[static_cast<int>(offer.billable_from)]);
  json.EndObject();
  if (how.charges) {
    json.Key("charges").BeginArray();
    const std::vector<std::string> whys = ranking.Whys(offer);
    for (std::size_t i = 0; i < whys.size(); ++i) WriteCharge(json, ranking, offer, offer.charges[i], whys[i]);
    json.EndArray();
  }
  if (offer.tax) WriteTax(json, *offer.tax, offer.tariff_currency.decimals());
  if (offer.tariff_currency != ranking.currency()) {
    json.Text("tariff_currency", offer.tariff_currency.code());
    json.Text("tariff_total", offer.service_total.ToString(offer.tariff_currency.decimals()));
  }
  json.Text("packaging_cost", offer.packaging_cost.ToString(decimals));
  json.Text("total", offer.total.ToString(decimals));
  if (offer.range) {
    json.Key("total_range").BeginObject();
    json.Text("lowest", offer.range->lowest.ToString(decimals));
    json.Text("highest", offer.range->highest.ToString(decimals));
    json.EndObject();
  }
  json.Flag("at_risk", offer.at_risk);
  if (!offer.handicaps.empty()) {
    json.Key("handicaps").BeginArray();
    for (const OfferHandicap& one : offer.handicaps) {
      json.BeginObject();
      json.Text("code", one.code).Text("title", one.title).Text("amount", one.amount.ToString(decimals));
      json.EndObject();
    }
    json.EndArray();
    json.Text("handicap", offer.handicap.ToString(decimals));
  }
  if (offer.total_at_risk) json.Text("total_at_risk", offer.total_at_risk->ToString(decimals));
  if (how.thresholds) WriteThresholds(json, ranking, offer);
  if (!offer.overdue.empty()) {
    json.Key("overdue").BeginArray();
    for (const OverdueSeries& one : offer.overdue) {
      json.BeginObject();
      json.Text("series", one.series).Text("since", one.since.ToString());
      json.EndObject();
    }
    json.EndArray();
  }
  if (!offer.cautions.empty()) {
    json.Key("cautions").BeginArray();
    for (const Caution& caution : offer.cautions.List()) json.Text(caution.name);
    json.EndArray();
  }
  json.EndObject();
}

void WriteArrangements(JsonWriter& json, const Ranking& ranking, const RankingJson& how,
                       std::span<const std::size_t> items) {
  if (!how.arrangements) return;
  const OfGoods goods{items};
  KnownGrowth known;
  bool any = false;
  for (const Candidate& candidate : ranking.candidates()) {
    if (candidate.arrangement == nullptr) continue;
    if (!any) json.Key("arrangements").BeginArray();
    any = true;
    WriteArrangement(json, ranking, candidate, how, goods, known);
  }
  if (any) json.EndArray();
}

void WriteRefusals(JsonWriter& json, const std::vector<Refusal>& refusals, const RankingJson& how) {
  if (how.refusals == RankingJson::Refusals::kNone) return;
  json.Key("refusals").BeginArray();
  if (how.refusals == RankingJson::Refusals::kGrouped) {
    WriteRefusalGroups(json, refusals);
  } else {
    for (const Refusal& refusal : refusals) WriteRefusal(json, refusal);
  }
  json.EndArray();
}

void WriteCautions(JsonWriter& json, const std::vector<Caution>& cautions) {
  json.Key("cautions").BeginArray();
  for (const Caution& caution : cautions) {
    json.BeginObject().Text("code", caution.name).Text("text", caution.text).Text("source", caution.source).EndObject();
  }
  json.EndArray();
}

}  // namespace tarewise::inline TW_VERSIONED
