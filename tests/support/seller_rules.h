#ifndef TAREWISE_TESTS_SUPPORT_SELLER_RULES_H_
#define TAREWISE_TESTS_SUPPORT_SELLER_RULES_H_

#include <string>
#include <string_view>
#include <utility>

#include "support/demo_goods.h"
#include "support/stop.h"
#include "tarewise/documents/load.h"
#include "tarewise/tariff/seller.h"

namespace tarewise::testing {

/// A seller's own rules for the demonstration, with every part of them. Prices and minutes are invented.
inline constexpr std::string_view kAvoidText = R"("avoid": [
  {"services": ["harbourline/note", "harbourline/slip"], "when": {"value": {"over": "40"}}, "reason": "nothing over 40 by light mail"},
  {"services": ["fenwick-dray"], "when": {"weight": {"over": "30 lb"}, "packaging_kind": {"is": "bare"}}, "reason": "nothing heavy goes bare"},
  {"when": {"packaging": {"is": ["carton-20", "used-lamp"]}, "contents": {"has": "fragile"}}, "reason": "too loose for what breaks"},
  {"services": ["larkspur"], "when": {"destination": {"in": ["US:006-009"]}}, "reason": "too slow there"},
  {"services": ["harbourline/brick"], "when": {"length_plus_girth": {"over": "60 in"}, "billable_weight": {"at_least": "12 lb"}}, "reason": "no help at the door"}])";
inline constexpr std::string_view kAskText = R"("ask": [
  {"when": {"value": {"at_least": "250"}}, "extras": ["signature"], "cover": "value"},
  {"when": {"contents": {"has_any": ["fragile", "x-clock"]}, "destination": {"in": ["US:9"]}}, "extras": ["signature-adult"]},
  {"when": {"rigid": true, "residential": true, "value": {"over": "90"}}, "extras": ["signature"], "cover": "120"}])";
inline constexpr std::string_view kHandicapsText = R"("handicaps": [
  {"code": "packing", "title": "Packing a carton", "when": {"packaging_kind": {"is": "carton"}}, "minutes": 2.5},
  {"code": "folding", "title": "Folding", "when": {"any": [{"packaging_kind": {"is": ["tube", "bare"]}}, {"contents": {"has": "fragile"}}]}, "minutes": 4},
  {"code": "counter", "title": "Trip to the counter", "services": ["larkspur", "fenwick-dray/road"], "amount": 0.755},
  {"code": "far", "title": "Questions of buyers far away", "when": {"destination": {"in": ["US:9", "CA"]}, "mode": {"is": ["surface", "any"]}}, "amount": 0.4},
  {"code": "loss", "title": "Lost or broken", "services": ["harbourline/note", "harbourline/parcel", "harbourline/printed"], "percent_of_value": 1.2},
  {"code": "broken", "title": "Broken", "when": {"value": {"over": "60"}, "own_packaging": true}, "percent_of_value": 0.35}])";

/// A document of these parts.
inline std::string SellerText(std::string_view currency, std::initializer_list<std::string_view> parts) {
  std::string text = R"({"format": "tarewise-seller-1", "hour": "18.00", "currency": ")" + std::string(currency) + "\"";
  for (const std::string_view part : parts) text += ", " + std::string(part);
  return text + "}";
}

/// Stops the program where it cannot be read.
inline SellerRules SellerOf(std::string text) {
  Loaded<SellerRules> rules = ReadSeller({"seller.json", std::move(text)});
  if (!rules.ok()) Stop(rules.diagnostics.front().ToString());
  return *std::move(rules.value);
}

/// The demonstration, with a seller's own rules.
inline Tables DemoTablesWith(const std::string& seller) {
  Tables tables = DemoTables();
  tables.seller = SellerOf(seller);
  return tables;
}

}  // namespace tarewise::testing

#endif  // TAREWISE_TESTS_SUPPORT_SELLER_RULES_H_
