#include "tarewise/documents/comparison_json.h"

#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "tarewise/compare/summary.h"
#include "tarewise/units/internal/quantity_text.h"

namespace tarewise::inline TW_VERSIONED {
namespace {

using Json = nlohmann::ordered_json;

Json TextOrNull(const std::string& text) { return text.empty() ? Json(nullptr) : Json(text); }

Json ToJson(const std::vector<Difference>& differences) {
  Json json = Json::array();
  for (const Difference& difference : differences) {
    json.push_back({{"what", difference.what},
                    {"before", TextOrNull(difference.before)},
                    {"after", TextOrNull(difference.after)}});
  }
  return json;
}

template <typename T>
void PutUnlessEmpty(Json& json, const char* key, const std::vector<T>& values) {
  if (!values.empty()) json[key] = ToJson(values);
}

// Signed, with as many of the four decimals as it has: "-0.125".
std::string PercentText(std::int64_t ten_thousandths) { return internal::ShortestDecimal(ten_thousandths, 10'000); }

Json CountsJson(const CellCounts& counts) {
  Json json = {{"common", counts.common},
               {"dearer", counts.dearer},
               {"cheaper", counts.cheaper},
               {"added", counts.added},
               {"removed", counts.removed}};
  if (counts.median_dearer) json["median_dearer_percent"] = PercentText(*counts.median_dearer);
  if (counts.median_cheaper) json["median_cheaper_percent"] = PercentText(*counts.median_cheaper);
  return json;
}

Json PriceJson(const PriceComparison& price, int decimals) {
  Json json;
  json["change"] = NameOf(price.kind);
  json["when"] = price.when;
  PutUnlessEmpty(json, "differences", price.differences);
  if (price.cells.empty()) return json;
  Json cells = Json::array();
  for (const CellChange& cell : price.cells) {
    Json one;
    if (!cell.row.empty()) one["row"] = cell.row;
    if (!cell.column.empty()) one["column"] = cell.column;
    one["before"] = cell.before ? Json(cell.before->ToString(decimals)) : Json(nullptr);
    one["after"] = cell.after ? Json(cell.after->ToString(decimals)) : Json(nullptr);
    if (const std::optional<std::int64_t> percent = cell.percent()) one["percent"] = PercentText(*percent);
    cells.push_back(std::move(one));
  }
  json["cells"] = std::move(cells);
  return json;
}

Json ServiceJson(const ServiceComparison& service, int decimals) {
  Json json;
  json["change"] = NameOf(service.kind);
  json["code"] = service.code;
  json["title"] = service.title;
  PutUnlessEmpty(json, "differences", service.differences);
  if (!service.days.empty()) {
    Json days = Json::array();
    for (const DaysChange& change : service.days) {
      days.push_back({{"zone", change.zone}, {"before", change.before}, {"after", change.after}});
    }
    json["days"] = std::move(days);
  }
  PutUnlessEmpty(json, "measure", service.measure);
  PutUnlessEmpty(json, "refuse", service.refuse);
  CellCounts counts = CellCounts::Of(service.prices);
  counts.common = service.cells_common;
  json["cells"] = CountsJson(counts);
  if (!service.prices.empty()) {
    Json prices = Json::array();
    for (const PriceComparison& price : service.prices) prices.push_back(PriceJson(price, decimals));
    json["prices"] = std::move(prices);
  }
  return json;
}

Json ChargeJson(const ChargeComparison& charge, int decimals) {
  Json json;
  json["change"] = NameOf(charge.kind);
  json["code"] = charge.code;
  json["title"] = charge.title;
  json["kind"] = charge.extra ? "extra" : "surcharge";
  json["services"] = charge.services;
  PutUnlessEmpty(json, "differences", charge.differences);
  if (!charge.price.differences.empty() || !charge.price.cells.empty())
    json["price"] = PriceJson(charge.price, decimals);
  return json;
}

Json RangeJson(const DateRange& range) {
  Json json = Json::object();
  if (range.from) json["from"] = range.from->ToString();
  if (range.until) json["until"] = range.until->ToString();
  return json;
}

Json CarrierJson(const TariffComparison& tariff) {
  const int decimals = tariff.currency.decimals();
  Json json;
  json["change"] = NameOf(tariff.kind);
  json["carrier"] = tariff.carrier;
  json["name"] = tariff.carrier_name;
  json["currency"] = tariff.currency.code();
  if (tariff.kind != ChangeKind::kAdded) {
    json["before"] = {{"title", tariff.title_before}, {"in_force", RangeJson(tariff.in_force_before)}};
  }
  if (tariff.kind != ChangeKind::kRemoved) {
    json["after"] = {{"title", tariff.title_after}, {"in_force", RangeJson(tariff.in_force_after)}};
  }
  PutUnlessEmpty(json, "differences", tariff.differences);
  Json services = Json::array();
  for (const ServiceComparison& service : tariff.services) services.push_back(ServiceJson(service, decimals));
  json["services"] = std::move(services);
  Json charges = Json::array();
  for (const ChargeComparison& charge : tariff.charges) charges.push_back(ChargeJson(charge, decimals));
  json["charges"] = std::move(charges);
  if (!tariff.zones.empty()) {
    Json zones = Json::array();
    for (const ZoneChange& change : tariff.zones) {
      Json one;
      one["list"] = change.list;
      one["chart"] = change.chart;
      if (!change.origin.empty()) one["origin"] = change.origin;
      one["area"] = change.area;
      one["before"] = TextOrNull(change.before);
      one["after"] = TextOrNull(change.after);
      zones.push_back(std::move(one));
    }
    json["zones"] = std::move(zones);
  }
  PutUnlessEmpty(json, "charts", tariff.charts);
  if (!tariff.series.empty()) {
    Json changes = Json::array();
    auto said = [](const std::optional<Amount>& value) {
      return value ? Json(internal::ShortestDecimal(value->micros(), 1'000'000)) : Json();
    };
    for (const SeriesChange& change : tariff.series) {
      changes.push_back({{"change", NameOf(change.kind())},
                         {"series", change.series},
                         {"column", change.column},
                         {"from", change.from.ToString()},
                         {"before", said(change.before)},
                         {"after", said(change.after)}});
    }
    json["series"] = std::move(changes);
  }
  PutUnlessEmpty(json, "series_terms", tariff.series_terms);
  if (!tariff.packaging.empty()) {
    Json packagings = Json::array();
    for (const PackagingComparison& packaging : tariff.packaging) {
      Json one = {{"change", NameOf(packaging.kind)}, {"code", packaging.code}, {"title", packaging.title}};
      PutUnlessEmpty(one, "differences", packaging.differences);
      packagings.push_back(std::move(one));
    }
    json["packaging"] = std::move(packagings);
  }
  PutUnlessEmpty(json, "terms", tariff.terms);
  return json;
}

// A line of the summary each.
void AddLines(Json& lines, const std::string& text) {
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t end = text.find('\n', at);
    lines.push_back(text.substr(at, end - at));
    at = end + 1;
  }
}

Json DocumentJson(const Comparison& comparison) {
  Json json;
  json["format"] = "tarewise-comparison-1";
  if (comparison.date_before) json["date_before"] = comparison.date_before->ToString();
  if (comparison.date_after) json["date_after"] = comparison.date_after->ToString();
  json["summary"] = Json::array();
  AddLines(json["summary"], Summary(comparison));
  Json carriers = Json::array();
  for (const TariffComparison& tariff : comparison.carriers) carriers.push_back(CarrierJson(tariff));
  json["carriers"] = std::move(carriers);
  return json;
}

Json OfferJson(const LaneOffer& offer, int decimals) {
  return {{"carrier", offer.carrier},
          {"service", offer.service},
          {"packaging", offer.packaging.empty() ? "own" : offer.packaging},
          {"total", Amount::Micros(offer.total).ToString(decimals)}};
}

Json CatalogueJson(const CatalogueChange& change, std::span<const Lane> lanes, const RowName& name) {
  const int decimals = change.currency.decimals();
  Json json;
  json["currency"] = change.currency.code();
  json["places"] = lanes.size();
  json["rows"] = change.rows;
  json["comparable"] = change.comparable;
  json["changed"] = {{"rows", change.changed},
                     {"total", change.total_changed},
                     {"service", change.service_changed},
                     {"packaging", change.packaging_changed},
                     {"offered", change.offered_changed}};
  json["dearer"] = change.dearer;
  json["cheaper"] = change.cheaper;
  json["lost"] = change.lost;
  json["gained"] = change.gained;
  json["month"] = {{"parcels", internal::ShortestDecimal(change.month_parcels, kMillionthsPerParcel)},
                   {"before", change.month_before.ToString(decimals)},
                   {"after", change.month_after.ToString(decimals)}};
  Json losers = Json::array();
  for (const RowLoss& loss : change.losers) {
    Json one;
    one["row"] = loss.row;
    if (name) one["name"] = name(loss.row);
    one["before"] = loss.before.ToString(decimals);
    one["after"] = loss.after.ToString(decimals);
    one["month"] = loss.month.ToString(decimals);
    if (loss.lane < lanes.size()) {
      const Place& to = lanes[loss.lane].to;
      one["most_to"] = {{"country", to.country()},
                        {"postal_code", to.postal_code()},
                        {"before", OfferJson(loss.lane_before, decimals)},
                        {"after", OfferJson(loss.lane_after, decimals)}};
    }
    losers.push_back(std::move(one));
  }
  json["lose_most"] = std::move(losers);
  return json;
}

std::string Dump(const Json& json, int indent) { return json.dump(indent, ' ', false, Json::error_handler_t::replace); }

}  // namespace

std::string ToJson(const Comparison& comparison, int indent) { return Dump(DocumentJson(comparison), indent); }

std::string ToJson(const Comparison& comparison, const CatalogueChange& change, std::span<const Lane> lanes,
                   const RowName& name, int indent) {
  Json json = DocumentJson(comparison);
  AddLines(json["summary"], Summary(change, lanes, name));
  json["catalogue"] = CatalogueJson(change, lanes, name);
  return Dump(json, indent);
}

}  // namespace tarewise::inline TW_VERSIONED
