#include "tarewise/documents/comparison_json.h"

#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "json_writer.h"
#include "tarewise/compare/summary.h"
#include "tarewise/units/internal/quantity_text.h"

namespace tarewise::inline TW_VERSIONED {
namespace {

void TextOrNull(JsonWriter& json, std::string_view key, std::string_view text) {
  json.Key(key);
  if (text.empty()) {
    json.Null();
  } else {
    json.Text(text);
  }
}

void Count(JsonWriter& json, std::string_view key, std::uint64_t count) {
  json.Key(key).Number(static_cast<std::int64_t>(count));
}

void Write(JsonWriter& json, const Difference& difference) {
  json.BeginObject().Text("what", difference.what);
  TextOrNull(json, "before", difference.before);
  TextOrNull(json, "after", difference.after);
  json.EndObject();
}

void Write(JsonWriter& json, const DaysChange& change) {
  json.BeginObject();
  json.Text("zone", change.zone).Text("before", change.before).Text("after", change.after);
  json.EndObject();
}

void Write(JsonWriter& json, const ZoneChange& change) {
  json.BeginObject().Text("list", change.list);
  Count(json, "chart", change.chart);
  if (!change.origin.empty()) json.Text("origin", change.origin);
  json.Text("area", change.area);
  TextOrNull(json, "before", change.before);
  TextOrNull(json, "after", change.after);
  json.EndObject();
}

void Write(JsonWriter& json, const SeriesChange& change) {
  auto said = [](const std::optional<Amount>& value) {
    return value ? internal::ShortestDecimal(value->micros(), 1'000'000) : std::string();
  };
  json.BeginObject().Text("change", NameOf(change.kind()));
  json.Text("series", change.series).Text("column", change.column).Text("from", change.from.ToString());
  TextOrNull(json, "before", said(change.before));
  TextOrNull(json, "after", said(change.after));
  json.EndObject();
}

void Write(JsonWriter& json, const PackagingComparison& packaging);

template <typename T>
void WriteList(JsonWriter& json, std::string_view key, const std::vector<T>& values) {
  json.Key(key).BeginArray();
  for (const T& value : values) Write(json, value);
  json.EndArray();
}

template <typename T>
void WriteUnlessEmpty(JsonWriter& json, std::string_view key, const std::vector<T>& values) {
  if (!values.empty()) WriteList(json, key, values);
}

void Write(JsonWriter& json, const PackagingComparison& packaging) {
  json.BeginObject().Text("change", NameOf(packaging.kind));
  json.Text("code", packaging.code).Text("title", packaging.title);
  WriteUnlessEmpty(json, "differences", packaging.differences);
  json.EndObject();
}

// Signed, with as many of the four decimals as it has: "-0.125".
std::string PercentText(std::int64_t ten_thousandths) { return internal::ShortestDecimal(ten_thousandths, 10'000); }

void WriteCounts(JsonWriter& json, const CellCounts& counts) {
  json.Key("cells").BeginObject();
  Count(json, "common", counts.common);
  Count(json, "dearer", counts.dearer);
  Count(json, "cheaper", counts.cheaper);
  Count(json, "added", counts.added);
  Count(json, "removed", counts.removed);
  if (counts.median_dearer) json.Text("median_dearer_percent", PercentText(*counts.median_dearer));
  if (counts.median_cheaper) json.Text("median_cheaper_percent", PercentText(*counts.median_cheaper));
  json.EndObject();
}

void WritePrice(JsonWriter& json, const PriceComparison& price, int decimals) {
  json.BeginObject();
  json.Text("change", NameOf(price.kind)).Text("when", price.when);
  WriteUnlessEmpty(json, "differences", price.differences);
  if (!price.cells.empty()) {
    json.Key("cells").BeginArray();
    for (const CellChange& cell : price.cells) {
      json.BeginObject();
      if (!cell.row.empty()) json.Text("row", cell.row);
      if (!cell.column.empty()) json.Text("column", cell.column);
      TextOrNull(json, "before", cell.before ? cell.before->ToString(decimals) : std::string());
      TextOrNull(json, "after", cell.after ? cell.after->ToString(decimals) : std::string());
      if (const std::optional<std::int64_t> percent = cell.percent()) json.Text("percent", PercentText(*percent));
      json.EndObject();
    }
    json.EndArray();
  }
  json.EndObject();
}

void WriteService(JsonWriter& json, const ServiceComparison& service, int decimals) {
  json.BeginObject().Text("change", NameOf(service.kind));
  json.Text("code", service.code).Text("title", service.title);
  WriteUnlessEmpty(json, "differences", service.differences);
  WriteUnlessEmpty(json, "days", service.days);
  WriteUnlessEmpty(json, "measure", service.measure);
  WriteUnlessEmpty(json, "refuse", service.refuse);
  CellCounts counts = CellCounts::Of(service.prices);
  counts.common = service.cells_common;
  WriteCounts(json, counts);
  if (!service.prices.empty()) {
    json.Key("prices").BeginArray();
    for (const PriceComparison& price : service.prices) WritePrice(json, price, decimals);
    json.EndArray();
  }
  json.EndObject();
}

void WriteCharge(JsonWriter& json, const ChargeComparison& charge, int decimals) {
  json.BeginObject().Text("change", NameOf(charge.kind));
  json.Text("code", charge.code).Text("title", charge.title).Text("kind", charge.extra ? "extra" : "surcharge");
  json.Key("services").BeginArray();
  for (const std::string& service : charge.services) json.Text(service);
  json.EndArray();
  WriteUnlessEmpty(json, "differences", charge.differences);
  if (!charge.price.differences.empty() || !charge.price.cells.empty()) {
    json.Key("price");
    WritePrice(json, charge.price, decimals);
  }
  json.EndObject();
}

void WriteSide(JsonWriter& json, std::string_view key, const std::string& title, const DateRange& range) {
  json.Key(key).BeginObject().Text("title", title);
  json.Key("in_force").BeginObject();
  if (range.from) json.Text("from", range.from->ToString());
  if (range.until) json.Text("until", range.until->ToString());
  json.EndObject().EndObject();
}

void WriteCarrier(JsonWriter& json, const TariffComparison& tariff) {
  const int decimals = tariff.currency.decimals();
  json.BeginObject().Text("change", NameOf(tariff.kind));
  json.Text("carrier", tariff.carrier).Text("name", tariff.carrier_name).Text("currency", tariff.currency.code());
  if (tariff.kind != ChangeKind::kAdded) WriteSide(json, "before", tariff.title_before, tariff.in_force_before);
  if (tariff.kind != ChangeKind::kRemoved) WriteSide(json, "after", tariff.title_after, tariff.in_force_after);
  WriteUnlessEmpty(json, "differences", tariff.differences);
  json.Key("services").BeginArray();
  for (const ServiceComparison& service : tariff.services) WriteService(json, service, decimals);
  json.EndArray();
  json.Key("charges").BeginArray();
  for (const ChargeComparison& charge : tariff.charges) WriteCharge(json, charge, decimals);
  json.EndArray();
  WriteUnlessEmpty(json, "zones", tariff.zones);
  WriteUnlessEmpty(json, "charts", tariff.charts);
  WriteUnlessEmpty(json, "series", tariff.series);
  WriteUnlessEmpty(json, "series_terms", tariff.series_terms);
  WriteUnlessEmpty(json, "packaging", tariff.packaging);
  WriteUnlessEmpty(json, "terms", tariff.terms);
  json.EndObject();
}

// A line of a summary each.
void WriteLines(JsonWriter& json, const std::string& text) {
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t end = text.find('\n', at);
    json.Text(std::string_view(text).substr(at, end - at));
    at = end + 1;
  }
}

// All but the end: what follows stands beside it.
void WriteComparison(JsonWriter& json, const Comparison& comparison, const std::string& further_lines) {
  json.BeginObject().Text("format", "tarewise-comparison-1");
  if (comparison.date_before) json.Text("date_before", comparison.date_before->ToString());
  if (comparison.date_after) json.Text("date_after", comparison.date_after->ToString());
  json.Key("summary").BeginArray();
  WriteLines(json, Summary(comparison));
  WriteLines(json, further_lines);
  json.EndArray();
  json.Key("carriers").BeginArray();
  for (const TariffComparison& tariff : comparison.carriers) WriteCarrier(json, tariff);
  json.EndArray();
}

void WriteLaneOffer(JsonWriter& json, std::string_view key, const LaneOffer& offer, int decimals) {
  json.Key(key).BeginObject();
  json.Text("carrier", offer.carrier).Text("service", offer.service);
  json.Text("packaging", offer.packaging.empty() ? "own" : offer.packaging);
  json.Text("total", Amount::Micros(offer.total).ToString(decimals));
  json.EndObject();
}

void WriteLoss(JsonWriter& json, const RowLoss& loss, std::span<const Lane> lanes, const RowName& name, int decimals) {
  json.BeginObject();
  Count(json, "row", loss.row);
  if (name) json.Text("name", name(loss.row));
  json.Text("before", loss.before.ToString(decimals)).Text("after", loss.after.ToString(decimals));
  json.Text("month", loss.month.ToString(decimals));
  if (loss.lane < lanes.size()) {
    const Place& to = lanes[loss.lane].to;
    json.Key("most_to").BeginObject();
    json.Text("country", to.country()).Text("postal_code", to.postal_code());
    WriteLaneOffer(json, "before", loss.lane_before, decimals);
    WriteLaneOffer(json, "after", loss.lane_after, decimals);
    json.EndObject();
  }
  json.EndObject();
}

void WriteCatalogue(JsonWriter& json, const CatalogueChange& change, std::span<const Lane> lanes, const RowName& name) {
  const int decimals = change.currency.decimals();
  json.Key("catalogue").BeginObject().Text("currency", change.currency.code());
  Count(json, "places", lanes.size());
  Count(json, "rows", change.rows);
  Count(json, "comparable", change.comparable);
  json.Key("changed").BeginObject();
  Count(json, "rows", change.changed);
  Count(json, "total", change.total_changed);
  Count(json, "service", change.service_changed);
  Count(json, "packaging", change.packaging_changed);
  Count(json, "offered", change.offered_changed);
  json.EndObject();
  Count(json, "dearer", change.dearer);
  Count(json, "cheaper", change.cheaper);
  Count(json, "lost", change.lost);
  Count(json, "gained", change.gained);
  json.Key("month").BeginObject();
  json.Text("parcels", internal::ShortestDecimal(change.month_parcels, kMillionthsPerParcel));
  json.Text("before", change.month_before.ToString(decimals)).Text("after", change.month_after.ToString(decimals));
  json.EndObject();
  json.Key("lose_most").BeginArray();
  for (const RowLoss& loss : change.losers) WriteLoss(json, loss, lanes, name, decimals);
  json.EndArray().EndObject();
}

}  // namespace

std::string ToJson(const Comparison& comparison, int indent) {
  JsonWriter json(indent);
  WriteComparison(json, comparison, "");
  json.EndObject();
  return json.Take();
}

std::string ToJson(const Comparison& comparison, const CatalogueChange& change, std::span<const Lane> lanes,
                   const RowName& name, int indent) {
  JsonWriter json(indent);
  WriteComparison(json, comparison, Summary(change, lanes, name));
  WriteCatalogue(json, change, lanes, name);
  json.EndObject();
  return json.Take();
}

}  // namespace tarewise::inline TW_VERSIONED
