#include <algorithm>
#include <cstdio>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "command/commands.h"
#include "command/layout.h"
#include "command/tables.h"

namespace tarewise::command {
namespace {

using Kind = Option::Kind;

constexpr Option kZoneOptions[] = {
    {Kind::kValue, "--tables", "FOLDER", "the folder of the price lists and postal areas"},
    {Kind::kValue, "--from", "PLACE", "country and postal code: \"US 05401\""},
    {Kind::kValue, "--to", "PLACE", "likewise"},
    {Kind::kValue, "--date", "DATE", "which price lists are in force, as 2026-08-03"},
    {Kind::kFlag, "--help", "", "this page"},
};

constexpr std::string_view kAboutZone =
    "Tells the zone of a lane in each list of zones of each carrier, which chart of the list answered, the distance "
    "where one was used, and the business days of each service. Zones are not symmetric: the way back may be another.\n"
    "Exit code 1 where no list gives a zone.";

// A tenth of a mile or kilometre; from here on a distance is only shown.
std::string Tenths(double value) {
  char out[32];
  std::snprintf(out, sizeof out, "%.1f", value);
  return out;
}

std::string ChartText(const ZoneList& list, const ZoneFinding& finding) {
  constexpr std::string_view kKinds[] = {"one zone", "by region", "by origin and destination", "by distance"};
  std::string text(kKinds[list.charts[finding.chart].index()]);
  if (list.charts.size() > 1) {
    text += ", chart " + std::to_string(finding.chart + 1) + " of " + std::to_string(list.charts.size());
  }
  if (finding.distance_metres) {
    text +=
        ": " + Tenths(*finding.distance_metres / 1609.344) + " mi, " + Tenths(*finding.distance_metres / 1000) + " km";
  }
  return text;
}

std::string InForceText(const DateRange& dates) {
  std::string text = "in force";
  if (dates.from) text += " from " + dates.from->ToString();
  if (dates.until) text += " until " + dates.until->ToString();
  return text;
}

// By the zone of the list that the days go by.
std::string DaysText(const Service& service, const std::optional<ZoneFinding>& finding) {
  if (!finding || finding->zone >= service.days.size() || !service.days[finding->zone]) return "not published";
  const Days& found = *service.days[finding->zone];
  return std::to_string(found.least) + (found.most != found.least ? " to " + std::to_string(found.most) : "");
}

int RunZone(const Arguments& arguments, Console& console) {
  if (!arguments.rest().empty()) {
    console.Error("tarewise zone: found \"" + arguments.rest().front() +
                  "\", expected options only (see tarewise help zone)");
    return kBadInput;
  }
  const std::optional<LaneAndDate> asked = ReadLaneAndDate("zone", arguments, console);
  const std::optional<Book> book = LoadBook("zone", arguments, console);
  if (!asked || !book) return kBadInput;
  const Style& style = console.style();
  console.Write(style.Paint(Tone::kFaint, PlaceText(asked->lane.from) + " to " + PlaceText(asked->lane.to) +
                                              ", handed over " + asked->date.ToString()) +
                "\n");
  bool any = false;
  for (const std::string_view code : book->ratebook->Carriers()) {
    const Edition* edition = book->ratebook->InForce(code, asked->date);
    if (edition == nullptr) {
      console.Write("\n" + style.Paint(Tone::kHeading, Clean(code)) + "  no tariff in force on that date\n");
      continue;
    }
    const Tariff& tariff = *edition->tariff;
    console.Write("\n" + style.Paint(Tone::kHeading, Clean(tariff.carrier_name)) +
                  style.Paint(Tone::kFaint, "  " + Clean(code) + ", " + InForceText(tariff.in_force)) + "\n");
    Table lists({{"zones", Table::Align::kLeft}, {"zone", Table::Align::kLeft}, {"found", Table::Align::kLeft, true}},
                2);
    std::vector<std::optional<ZoneFinding>> findings;
    for (const ZoneList& list : tariff.zone_lists) {
      const std::optional<ZoneFinding>& finding =
          findings.emplace_back(list.Find(asked->lane, book->ratebook->gazetteer()));
      any = any || finding.has_value();
      lists.Add({{Clean(list.name)},
                 {finding ? Clean(tariff.zone_names[finding->zone]) : "none", finding ? Tone::kBest : Tone::kWarning},
                 {finding ? ChartText(list, *finding) : "no chart answers", Tone::kFaint}});
    }
    console.Write(lists.Text(style) + "\n");
    const bool ends = std::any_of(tariff.services.begin(), tariff.services.end(),
                                  [](const Service& service) { return service.delivers != Delivery::kDoor; });
    std::vector<Table::Column> columns = {{"service", Table::Align::kLeft},
                                          {"", Table::Align::kLeft, true},
                                          {"zones", Table::Align::kLeft},
                                          {"zone", Table::Align::kLeft},
                                          {"days", Table::Align::kRight}};
    if (ends) columns.push_back({"ends at", Table::Align::kLeft});
    Table services(std::move(columns), 2);
    for (const Service& service : tariff.services) {
      const std::optional<ZoneFinding>& finding = findings[service.zone_list];
      std::vector<Table::Cell> row = {{Clean(service.code)},
                                      {Clean(service.title)},
                                      {Clean(tariff.zone_lists[service.zone_list].name)},
                                      {finding ? Clean(tariff.zone_names[finding->zone]) : "none"},
                                      {finding ? DaysText(service, findings[service.days_list()]) : ""}};
      if (ends) row.push_back({std::string(NameOf(service.delivers))});
      services.Add(std::move(row));
    }
    console.Write(services.Text(style));
  }
  return any ? kAnswered : kNothingOffered;
}

}  // namespace

const Command kZoneCommand = {
    "zone",
    "tells the zone of a lane with each carrier, how it was found, and the days of each service",
    "tarewise zone --tables FOLDER --from PLACE --to PLACE --date DATE",
    kAboutZone,
    kZoneOptions,
    RunZone,
};

}  // namespace tarewise::command
