#include "command/begin_document.h"

#include <cstddef>
#include <string_view>
#include <utility>

namespace tarewise::command {
namespace {

constexpr std::size_t kLine = 160;

void PutIf(Json& object, const std::string& key, Json value) {
  if (!value.is_null()) object[key] = std::move(value);
}

Json SourceOf(const Answers& answers) {
  Json source = {{"title", answers.Get("--source")}};
  PutIf(source, "page", answers.Get("--page"));
  PutIf(source, "published", answers.Get("--published"));
  return source;
}

Json ChartOf(const Answers& answers) {
  if (!answers.Has("--zones")) return {{"kind", "one"}, {"zone", answers.Get("--one-zone")}};
  Json chart = {{"kind", answers.Has("--origin") ? "pairs" : "regions"}, {"csv", answers.Get("--zones")}};
  PutIf(chart, "origin", answers.Get("--origin"));
  PutIf(chart, "country", answers.Get("--country"));
  PutIf(chart, "codes", answers.Get("--code-column"));
  PutIf(chart, "column", answers.Get("--zone-column"));
  return chart;
}

Json MeasureOf(const Answers& answers) {
  Json measure = Json::object();
  PutIf(measure, "sides", answers.Get("--round-sides"));
  PutIf(measure, "weight", answers.Get("--round-weight"));
  if (answers.Has("--divisor")) measure["dimensional"] = Json::array({answers.Get("--divisor")});
  return measure;
}

Json RefusalsOf(const Answers& answers) {
  struct Limit {
    const char* option;
    const char* measure;
    const char* before;
    const char* behind;
  };
  constexpr Limit kLimits[] = {
      {"--most-weight", "weight", "heavier than ", ""},
      {"--most-length", "length", "longer than ", ""},
      {"--most-length-plus-girth", "length_plus_girth", "larger than ", " of length plus girth"}};
  Json refuse = Json::array();
  for (const Limit& limit : kLimits) {
    if (!answers.Has(limit.option)) continue;
    const std::string most = answers.Text(limit.option);
    refuse.push_back({{"when", {{limit.measure, {{"over", most}}}}}, {"reason", limit.before + most + limit.behind}});
  }
  return refuse;
}

Json ServiceOf(const Answers& answers) {
  Json service = {{"code", answers.Get("--service")}, {"title", answers.Get("--service-title")}, {"zones", "main"}};
  PutIf(service, "days", answers.Get("--days"));
  PutIf(service, "tracked", answers.Get("--tracked"));
  service["mode"] = answers.Get("--mode");
  if (Json measure = MeasureOf(answers); !measure.empty()) service["measure"] = std::move(measure);
  if (Json refuse = RefusalsOf(answers); !refuse.empty()) service["refuse"] = std::move(refuse);
  Json table = {{"by", answers.Has("--by") ? answers.Get("--by") : Json("billable_weight")}};
  PutIf(table, "unit", answers.Get("--unit"));
  table["csv"] = answers.Get("--grid");
  service["prices"] = Json::array({{{"table", std::move(table)}}});
  if (answers.Has("--surcharge")) {
    Json codes = Json::array();
    for (const Answers::Answer& one : answers.All("--surcharge")) codes.push_back(one.value["code"]);
    service["surcharges"] = std::move(codes);
  }
  return service;
}

void LayOut(const Json& value, std::size_t indent, std::size_t before, std::string& out) {
  const std::string line = InOneLine(value);
  // The document itself, and a list of objects, are read line by line.
  const bool short_enough = indent > 0 && indent + before + line.size() < kLine;
  if (!value.is_structured() || value.empty() || short_enough) {
    out += line;
    return;
  }
  const std::string spaces(indent + 2, ' ');
  out += value.is_object() ? "{\n" : "[\n";
  bool first = true;
  for (const auto& [key, member] : value.items()) {
    if (!std::exchange(first, false)) out += ",\n";
    out += spaces;
    const std::string head = value.is_object() ? Json(key).dump() + ": " : "";
    out += head;
    LayOut(member, indent + 2, head.size(), out);
  }
  out += "\n" + std::string(indent, ' ') + (value.is_object() ? "}" : "]");
}

}  // namespace

Json DraftOf(const Answers& answers) {
  Json draft = {{"format", "tarewise-tariff-1"},
                {"carrier", {{"code", answers.Get("--carrier")}, {"name", answers.Get("--carrier-name")}}},
                {"title", answers.Get("--title")},
                {"source", SourceOf(answers)},
                {"currency", answers.Get("--currency")}};
  Json in_force = {{"from", answers.Get("--from")}};
  PutIf(in_force, "until", answers.Get("--until"));
  draft["in_force"] = std::move(in_force);
  draft["zones"] = {{"main", Json::array({ChartOf(answers)})}};
  draft["services"] = Json::array({ServiceOf(answers)});
  if (answers.Has("--surcharge")) {
    Json charges = Json::array();
    for (const Answers::Answer& one : answers.All("--surcharge")) charges.push_back(one.value);
    draft["surcharges"] = std::move(charges);
  }
  return draft;
}

std::string_view OptionAt(std::string_view pointer) {
  constexpr std::pair<std::string_view, std::string_view> kPlaces[] = {{"/carrier", "--carrier"},
                                                                       {"/currency", "--currency"},
                                                                       {"/in_force/until", "--until"},
                                                                       {"/in_force", "--from"},
                                                                       {"/zones/main/0/zone", "--one-zone"},
                                                                       {"/zones/main/0/origin", "--origin"},
                                                                       {"/zones/main/0/country", "--country"},
                                                                       {"/zones/main/0/codes", "--code-column"},
                                                                       {"/zones/main/0/column", "--zone-column"},
                                                                       {"/zones", "--zones"},
                                                                       {"/services/0/code", "--service"},
                                                                       {"/services/0/days", "--days"},
                                                                       {"/services/0/measure/sides", "--round-sides"},
                                                                       {"/services/0/measure/weight", "--round-weight"},
                                                                       {"/services/0/measure/dimensional", "--divisor"},
                                                                       {"/services/0/prices/0/table/by", "--by"},
                                                                       {"/services/0/prices/0/table/unit", "--unit"},
                                                                       {"/services/0/prices", "--grid"},
                                                                       {"/services/0/surcharges", "--surcharge"},
                                                                       {"/surcharges", "--surcharge"},
                                                                       {"/examples", "--example"}};
  for (const auto& [place, option] : kPlaces) {
    if (pointer.starts_with(place)) return option;
  }
  return {};
}

std::string InOneLine(const Json& value) {
  if (!value.is_structured()) return value.dump();
  std::string out = value.is_object() ? "{" : "[";
  bool first = true;
  for (const auto& [key, member] : value.items()) {
    if (!std::exchange(first, false)) out += ", ";
    if (value.is_object()) out += Json(key).dump() + ": ";
    out += InOneLine(member);
  }
  return out + (value.is_object() ? "}" : "]");
}

std::string LaidOut(const Json& document) {
  std::string out;
  LayOut(document, 0, 0, out);
  return out + "\n";
}

}  // namespace tarewise::command
