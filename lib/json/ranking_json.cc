#include "tarewise/json/ranking_json.h"

#include <nlohmann/json.hpp>
#include <string>

namespace tarewise {
namespace {

using Json = nlohmann::ordered_json;

// The seller's own packaging, where it is not named.
std::string_view Shown(std::string_view packaging) { return packaging.empty() ? "own" : packaging; }

Json ChargeJson(const Ranking& ranking, const Offer& offer, const Charge& charge) {
  Json json;
  json["code"] = charge.code;
  json["title"] = charge.title;
  json["amount"] = charge.amount.ToString(offer.tariff_currency.decimals());
  json["why"] = ranking.Why(offer, charge);
  if (std::string row = Ranking::Row(charge); !row.empty()) json["row"] = row;
  if (std::string column = ranking.Column(offer, charge); !column.empty()) json["column"] = column;
  return json;
}

Json OfferJson(const Ranking& ranking, const Offer& offer) {
  const Request& request = ranking.request();
  const int decimals = ranking.currency().decimals();
  Json json;
  json["carrier"] = offer.carrier;
  json["service"] = offer.service;
  json["title"] = offer.title;
  json["packaging"] = Shown(offer.packaging);
  if (!offer.issued_by.empty()) json["issued_by"] = offer.issued_by;
  json["zone"] = offer.zone;
  json["days"] = offer.days ? Json::array({offer.days->least, offer.days->most}) : Json(nullptr);
  json["tracked"] = offer.tracked;
  json["parcel"] = {{"weight", offer.weight.ToString(request.weight_units)},
                    {"sides", offer.sides.ToString(request.side_units)}};
  json["billable_weight"] = {{"weight", offer.billable.ToString(request.weight_units)},
                             {"from", kBillableFromNames[static_cast<int>(offer.billable_from)]}};
  Json charges = Json::array();
  for (const Charge& charge : offer.charges) charges.push_back(ChargeJson(ranking, offer, charge));
  json["charges"] = std::move(charges);
  if (offer.tariff_currency != ranking.currency()) {
    json["tariff_currency"] = offer.tariff_currency.code();
    json["tariff_total"] = offer.service_total.ToString(offer.tariff_currency.decimals());
  }
  json["packaging_cost"] = offer.packaging_cost.ToString(decimals);
  json["total"] = offer.total.ToString(decimals);
  if (offer.range) {
    json["total_range"] = {{"lowest", offer.range->lowest.ToString(decimals)},
                           {"highest", offer.range->highest.ToString(decimals)}};
  }
  json["at_risk"] = offer.at_risk;
  if (offer.total_at_risk) json["total_at_risk"] = offer.total_at_risk->ToString(decimals);
  Json headroom = Json::object();
  if (offer.headroom.weight) headroom["weight"] = offer.headroom.weight->ToString(request.weight_units);
  for (std::size_t i = 0; i < 3; ++i) {
    if (offer.headroom.sides[i]) {
      headroom[std::string(kAspectNames[i + 1])] = offer.headroom.sides[i]->ToString(request.side_units);
    }
  }
  json["headroom"] = std::move(headroom);
  Json savers = Json::array();
  for (const Saver& saver : offer.savers) {
    savers.push_back({{"of", kAspectNames[static_cast<int>(saver.of)]},
                      {"take", saver.of == Aspect::kWeight ? saver.weight.ToString(request.weight_units)
                                                           : saver.length.ToString(request.side_units)},
                      {"total", saver.total.ToString(decimals)},
                      {"saves", saver.saves.ToString(decimals)}});
  }
  json["savers"] = std::move(savers);
  if (!offer.cautions.empty()) {
    Json codes = Json::array();
    for (const Caution& caution : offer.cautions.List()) codes.push_back(caution.name);
    json["cautions"] = std::move(codes);
  }
  return json;
}

}  // namespace

std::string ToJson(const Ranking& ranking, int indent) {
  const Request& request = ranking.request();
  Json json;
  json["format"] = "tarewise-ranking-1";
  json["estimate"] = ranking.estimate();
  json["currency"] = ranking.currency().code();
  json["steps"] = {{"weight", request.steps.weight.Times(1).ToString(request.weight_units)},
                   {"sides", request.steps.sides.Times(1).ToString(request.side_units)}};
  Json offers = Json::array();
  for (const Offer& offer : ranking.offers()) offers.push_back(OfferJson(ranking, offer));
  json["offers"] = std::move(offers);
  Json refusals = Json::array();
  for (const Refusal& refusal : ranking.refusals()) {
    Json one;
    one["carrier"] = refusal.carrier;
    one["service"] = refusal.service;
    one["packaging"] = Shown(refusal.packaging);
    Json reasons = Json::array();
    for (const RefusalReason& reason : refusal.reasons) {
      reasons.push_back({{"code", NameOf(reason.code)}, {"text", reason.text}});
    }
    one["reasons"] = std::move(reasons);
    refusals.push_back(std::move(one));
  }
  json["refusals"] = std::move(refusals);
  if (!ranking.changes().empty()) {
    Json changes = Json::array();
    for (const WinnerChange& change : ranking.changes()) {
      Json one;
      one["of"] = kAspectNames[static_cast<int>(change.of)];
      one["above"] = change.of == Aspect::kWeight ? change.above_weight.ToString(request.weight_units)
                                                  : change.above_length.ToString(request.side_units);
      if (!change.service.empty()) {
        one["carrier"] = change.carrier;
        one["service"] = change.service;
        one["packaging"] = Shown(change.packaging);
        one["total"] = change.total.ToString(ranking.currency().decimals());
      }
      changes.push_back(std::move(one));
    }
    json["changes"] = std::move(changes);
  }
  Json cautions = Json::array();
  for (const Caution& caution : ranking.cautions()) {
    cautions.push_back({{"code", caution.name}, {"text", caution.text}, {"source", caution.source}});
  }
  json["cautions"] = std::move(cautions);
  // Codes and words were checked on the way in; anything that is not UTF-8 all the same is replaced, never thrown at.
  return json.dump(indent, ' ', false, Json::error_handler_t::replace);
}

}  // namespace tarewise
