#include "cover_reader.h"

#include <optional>
#include <string>
#include <utility>
#include <variant>

#include "text.h"

namespace tarewise::inline TW_VERSIONED::load {
namespace {

// What is included goes by the weight alone: neither by another measure, nor by zone, several bounds or rates.
bool GoesByWeight(Fields& fields, const Price& price, Value of) {
  const auto* steps = std::get_if<StepPrice>(&price);
  const auto* table = std::get_if<TablePrice>(&price);
  if (steps == nullptr && table == nullptr) {
    if (const Value rate = of.Member("rate")) {
      fields.ErrorAtKey(kConflictingKeys, rate, "found \"rate\", expected a table of plain amounts");
    } else {
      fields.Expected(kWrongKind, of.Member("by"), "\"weight\" or \"billable_weight\"");
    }
    return false;
  }
  const Measure measure = steps != nullptr ? steps->measure : table->by;
  if (measure != Measure::kWeight && measure != Measure::kBillableWeight) {
    fields.Expected(kUnknownWord, of.Member(steps != nullptr ? "measure" : "by"), "\"weight\" or \"billable_weight\"");
    return false;
  }
  if (table != nullptr && (table->columns.size() != 1 || table->columns[0] != "*")) {
    const Value columns = of.Member("columns");
    fields.Error(kConflictingKeys, columns ? columns : of.Member("csv"),
                 "found columns by zone, expected the column \"*\" alone: what is included is the same in all zones");
    return false;
  }
  return true;
}

}  // namespace

std::optional<Amount> ReadCashOnDelivery(Fields& fields, Value value) {
  const Object object(fields, value, "amounts, such as {\"cash_on_delivery\": \"64.00\"}", {"cash_on_delivery"});
  const Value cash = object ? object["cash_on_delivery"] : Value();
  return cash ? fields.ReadMoney(cash) : std::nullopt;
}

void ReadIncludedCover(Fields& fields, Value value, const PriceScope& scope, Service& service) {
  if (!value.is(Kind::kObject)) {
    service.included_cover = fields.ReadMoney(value).value_or(Amount());
    return;
  }
  const Object object(fields, value, "what is included of cover by the weight", {"per", "table", "at_most"});
  if (!object) return;
  CoverByWeight cover;
  if (const Value most = object["at_most"]) cover.at_most = fields.ReadMoney(most);
  const Value of = object["per"] ? object["per"] : object["table"];
  if (!of) {
    fields.Error(kMissingKey, value, "found neither \"per\" nor \"table\", expected one of the two");
    return;
  }
  std::optional<Price> price = ReadPrice(fields, object, scope);
  if (!price || !GoesByWeight(fields, *price, of)) return;
  cover.price = *std::move(price);
  service.cover_by_weight = std::move(cover);
}

}  // namespace tarewise::inline TW_VERSIONED::load
