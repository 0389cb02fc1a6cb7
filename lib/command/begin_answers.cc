#include "command/begin_answers.h"

#include <algorithm>
#include <array>
#include <cstddef>
#include <utility>

#include "absl/status/status.h"
#include "documents/fields.h"
#include "documents/text.h"
#include "tarewise/documents/load.h"
#include "tarewise/parcel/kinds.h"
#include "tarewise/tariff/measure.h"
#include "tarewise/units/date.h"
#include "tarewise/units/length.h"
#include "tarewise/units/money.h"
#include "tarewise/units/percent.h"
#include "tarewise/units/volume.h"
#include "tarewise/units/weight.h"
#include "tarewise/zone/area.h"

namespace tarewise::command {
namespace {

using Read = absl::StatusOr<Json>;

absl::Status Found(std::string_view text, std::string_view expected) {
  return absl::InvalidArgumentError("found " + load::Quoted(text) + ", expected " + std::string(expected));
}

std::string Trimmed(std::string_view text) {
  const std::size_t begin = text.find_first_not_of(" \t\r");
  if (begin == std::string_view::npos) return {};
  return std::string(text.substr(begin, text.find_last_not_of(" \t\r") + 1 - begin));
}

std::vector<std::string> Parts(std::string_view text, char mark) {
  std::vector<std::string> parts;
  while (true) {
    const std::size_t end = std::min(text.find(mark), text.size());
    parts.push_back(Trimmed(text.substr(0, end)));
    if (end == text.size()) return parts;
    text.remove_prefix(end + 1);
  }
}

// What a text holds before and after a word that stands between spaces.
std::optional<std::pair<std::string, std::string>> Around(const std::string& text, const std::string& word) {
  const std::size_t at = text.find(" " + word + " ");
  if (at == std::string::npos) return std::nullopt;
  return std::pair(Trimmed(text.substr(0, at)), Trimmed(text.substr(at + word.size() + 2)));
}

Read Words(const std::string& text) {
  if (load::FirstNotUtf8(text)) return Found(text, "text in UTF-8");
  if (text.empty() || text.size() > 1000) return Found(text, "text of at most 1000 bytes");
  return Json(text);
}

Read Code(const std::string& text) {
  const auto good = [](char c) { return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '-'; };
  if (text.empty() || text.front() == '-' || !std::all_of(text.begin(), text.end(), good)) {
    return Found(text, "a code of small letters, digits and hyphens, such as \"road\"");
  }
  return Json(text);
}

template <typename T>
Read Checked(const std::string& text, const absl::StatusOr<T>& read) {
  if (!read.ok()) return read.status();
  return Json(text);
}

Read CurrencyCode(const std::string& text) { return Checked(text, Currency::Parse(text)); }
Read Day(const std::string& text) { return Checked(text, Date::Parse(text)); }
Read WeightText(const std::string& text) { return Checked(text, Weight::Parse(text)); }
Read LengthText(const std::string& text) { return Checked(text, Length::Parse(text)); }

Read ModeName(const std::string& text) {
  if (text != "surface" && text != "air" && text != "any") return Found(text, "surface, air or any");
  return Json(text);
}

Read YesOrNo(const std::string& text) {
  if (text == "yes" || text == "y") return Json(true);
  if (text == "no" || text == "n") return Json(false);
  return Found(text, "yes or no");
}

// "2-5", or by zone "1 = 1-2, * = 2-5".
Read DaysByZone(const std::string& text) {
  constexpr std::string_view kExpected = "business days such as \"2-5\", or by zone \"1 = 1-2, * = 2-5\"";
  const auto number = [](const std::string& digits) -> std::optional<int> {
    const bool good = !digits.empty() && digits.size() < 4 &&
                      std::all_of(digits.begin(), digits.end(), [](char c) { return c >= '0' && c <= '9'; });
    return good ? std::optional<int>(std::stoi(digits)) : std::nullopt;
  };
  Json days = Json::object();
  for (const std::string& part : Parts(text, ',')) {
    const std::size_t equals = part.rfind('=');
    const std::string zone = equals == std::string::npos ? "*" : Trimmed(part.substr(0, equals));
    const std::vector<std::string> bounds = Parts(equals == std::string::npos ? part : part.substr(equals + 1), '-');
    const std::optional<int> least = number(bounds.front());
    const std::optional<int> most = number(bounds.back());
    if (zone.empty() || days.contains(zone) || bounds.size() > 2 || !least || !most || *most < *least) {
      return Found(text, kExpected);
    }
    days[zone] = {*least, *most};
  }
  return days;
}

// The name alone: whoever takes the answer reads the file, once.
Read FilePath(const std::string& text) {
  const std::string_view name = load::BaseName(text);
  if (!name.ends_with(".csv") || name.front() == '.' || load::FirstNotUtf8(name)) {
    return Found(text, "a file whose name ends in .csv");
  }
  if (name.starts_with("gazetteer") || name.starts_with("shelf")) {
    return Found(text,
                 "a name that begins otherwise: a folder of tables takes gazetteer*.csv for postal areas and "
                 "shelf*.csv for packaging");
  }
  return Json(std::string(name));
}

// One measure, or several: "sum_of_sides, weight".
Read MeasureNames(const std::string& text) {
  Json names = Json::array();
  for (const std::string& part : Parts(text, ',')) {
    std::string name = part;
    std::replace(name.begin(), name.end(), ' ', '_');
    if (!MeasureFromName(name)) {
      return Found(part, "a measure" + load::Suggestion(name, {std::begin(kMeasureNames), std::end(kMeasureNames)}));
    }
    names.push_back(name);
  }
  return names.size() == 1 ? names.front() : names;
}

Read UnitNames(const std::string& text) {
  Json units = Json::array();
  for (const std::string& unit : Parts(text, ',')) {
    const auto of = [&unit](Measure measure) { return load::IsUnitOf(measure, unit); };
    if (!of(Measure::kWeight) && !of(Measure::kLength) && !of(Measure::kVolume)) {
      return Found(unit, "a unit such as lb, oz, kg, g, in, cm or in3");
    }
    units.push_back(unit);
  }
  return units.size() == 1 ? units.front() : units;
}

Read AreaList(const std::string& text) {
  Json areas = Json::array();
  for (const std::string& part : Parts(text, ',')) {
    const absl::StatusOr<Area> area = Area::Parse(part);
    if (!area.ok()) return area.status();
    areas.push_back(part);
  }
  return areas;
}

// The names of one column, or of two.
Read ColumnNames(const std::string& text) {
  Json names = Json::array();
  for (const std::string& name : Parts(text, ',')) {
    if (name.empty()) return Found(text, "the name of a column, or of two with a comma between them");
    names.push_back(name);
  }
  if (names.size() > 2) return Found(text, "the name of a column, or of two with a comma between them");
  return names.size() == 1 ? names.front() : names;
}

// "175 in3/lb" or "200 kg/m3", perhaps "over 1500 in3".
Read Divisor(const std::string& text) {
  constexpr std::string_view kExpected =
      "a volume for a weight such as \"175 in3/lb\", or a weight for a volume such as \"200 kg/m3\", perhaps with "
      "\"over 1500 in3\" behind it";
  const auto over = Around(text, "over");
  const std::string ratio = over ? over->first : text;
  Json rule = Json::object();
  if (over) {
    const absl::StatusOr<Volume> least = Volume::Parse(over->second);
    if (!least.ok()) return least.status();
    rule["when"] = {{"volume", {{"over", over->second}}}};
  }
  const std::vector<std::string> parts = Parts(ratio, '/');
  if (parts.size() != 2) return Found(ratio, kExpected);
  const bool volume_first = Volume::Parse(parts[0]).ok() && load::IsUnitOf(Measure::kWeight, parts[1]);
  const bool weight_first = Weight::Parse(parts[0]).ok() && load::IsUnitOf(Measure::kVolume, parts[1]);
  if (!volume_first && !weight_first) return Found(ratio, kExpected);
  rule[volume_first ? "volume_per_weight" : "weight_per_volume"] = ratio;
  return rule;
}

Read Rounding(const std::string& text, bool weight) {
  const std::string expected = weight ? "up, down or nearest and a weight, such as \"up 1 lb\""
                                      : "up, down or nearest and a length, such as \"up 1 in\"";
  const std::size_t space = std::min(text.find(' '), text.size());
  const std::string mode = text.substr(0, space);
  std::string step = Trimmed(text.substr(space));
  if (step.starts_with("to ")) step = Trimmed(step.substr(3));
  if (mode != "up" && mode != "down" && mode != "nearest") return Found(text, expected);
  if (weight ? !Weight::Parse(step).ok() : !Length::Parse(step).ok()) return Found(text, expected);
  return Json{{"round", mode}, {"to", step}};
}
Read WeightRounding(const std::string& text) { return Rounding(text, true); }
Read SideRounding(const std::string& text) { return Rounding(text, false); }

// "always", "residential", "length over 30 in", joined by "and".
Read When(const std::string& text) {
  constexpr std::pair<std::string_view, std::string_view> kBounds[] = {
      {"over", "over"}, {"at least", "at_least"}, {"under", "under"}, {"up to", "up_to"}};
  Json when = Json::object();
  std::string rest = text;
  while (!rest.empty()) {
    const auto and_more = Around(rest, "and");
    const std::string part = and_more ? and_more->first : rest;
    rest = and_more ? and_more->second : "";
    if (part == "always") continue;
    if (part == "residential") {
      when["residential"] = true;
      continue;
    }
    bool read = false;
    for (const auto& [word, key] : kBounds) {
      const auto sides = Around(part, std::string(word));
      if (!sides) continue;
      const Read measure = MeasureNames(sides->first);
      if (!measure.ok() || !measure->is_string()) return Found(sides->first, "a measure such as length or weight");
      const auto quantity = load::ParseMeasure(*MeasureFromName(measure->get<std::string>()), sides->second, "");
      if (!quantity.ok()) return quantity.status();
      when[measure->get<std::string>()][std::string(key)] = sides->second;
      read = true;
      break;
    }
    if (!read) return Found(part, "always, residential, or a measure and a bound such as \"length over 30 in\"");
  }
  return when;
}

// "residential; Delivery to a home; 2.10; residential" or "fuel; Fuel; 8.5 % of base, residential".
Read Surcharge(const std::string& text) {
  const std::vector<std::string> parts = Parts(text, ';');
  if (parts.size() < 3 || parts.size() > 4) {
    return Found(text,
                 "a code, a title, a price and when, such as \"long; Longer than 30 in; 4.00; length over 30 in\"");
  }
  const Read code = Code(parts[0]);
  const Read title = Words(parts[1]);
  const Read when = When(parts.size() == 4 ? parts[3] : "");
  for (const Read* read : {&code, &title, &when}) {
    if (!read->ok()) return read->status();
  }
  Json charge = {{"code", *code}, {"title", *title}};
  if (!when->empty()) charge["when"] = *when;
  if (parts[2].find('%') == std::string::npos) {
    const absl::StatusOr<Amount> amount = Amount::Parse(parts[2]);
    if (!amount.ok()) return amount.status();
    charge["amount"] = parts[2];
    return charge;
  }
  const auto of = Around(parts[2], "of");
  if (!of) return Found(parts[2], "a percentage and what it is of, such as \"8.5 % of base, residential\"");
  const absl::StatusOr<Percent> percent = Percent::Parse(of->first);
  if (!percent.ok()) return percent.status();
  charge["percent"] = of->first;
  charge["of"] = Parts(of->second, ',');
  return charge;
}

bool WithZoneFile(const Answers& answers) { return answers.Has("--zones"); }
bool WithoutZoneFile(const Answers& answers) { return !answers.Has("--zones"); }
bool WithoutOrigin(const Answers& answers) { return answers.Has("--zones") && !answers.Has("--origin"); }
// Money alone has no unit.
bool HasUnit(const Answers& answers) {
  const std::string by = answers.Text("--by");
  return by != "value" && by != "cover";
}

constexpr Question kQuestions[] = {
    {"--carrier", "The carrier's code, as kestrel", "a code such as kestrel", Code},
    {"--carrier-name", "The carrier's name", "the carrier's name", Words},
    {"--title", "The list's title", "a title", Words},
    {"--source", "What it is copied from, as \"Ground price list\"", "what the list is copied from", Words},
    {"--page", "On which page", "", Words},
    {"--published", "Published when, as 2026-08-20", "", Day},
    {"--currency", "Its currency, as USD", "a currency such as USD", CurrencyCode},
    {"--from", "The first day in force, as 2026-09-01", "the first day in force, as 2026-09-01", Day},
    {"--until", "The last day in force", "", Day},
    {"--service", "The service's code, as ground", "a code such as ground", Code},
    {"--service-title", "The service's title", "the service's title", Words},
    {"--mode", "How it goes: surface, air, or any where the carrier does not say", "surface, air or any", ModeName},
    {"--tracked", "Can a parcel be followed: yes or no", "", YesOrNo},
    {"--days", "Business days, as 2-5, or by zone as 1 = 1-2, * = 2-5", "", DaysByZone},
    {"--grid", "The file of the grid (CSV: a header of bound and the zones)", "the CSV file of the grid", FilePath,
     nullptr, Question::Takes::kFile},
    {"--by", "What its rows are bounded by (Enter: billable_weight)", "", MeasureNames},
    {"--unit", "The unit of its bounds, as lb", "the unit of the grid's bounds, as lb", UnitNames, HasUnit},
    {"--zones", "The file of the zones (CSV; Enter where all is one zone)", "", FilePath, nullptr,
     Question::Takes::kFile},
    {"--one-zone", "The name of the one zone", "the one zone's name, or --zones with the file of zones", Words,
     WithoutZoneFile},
    {"--origin", "Where the zones are reckoned from, as US:664-668 (Enter: they go by the destination alone)", "",
     AreaList, WithZoneFile},
    {"--country", "The country of its codes, as US (Enter: they bear theirs)", "", Words, WithoutOrigin},
    {"--code-column", "The column of its codes, or two, as From, To (Enter: its first)", "", ColumnNames, WithZoneFile},
    {"--zone-column", "The column of its zones (Enter: it has but one more, and no line above its header)", "", Words,
     WithZoneFile},
    {"--divisor", "The dimensional divisor, as 175 in3/lb or 200 kg/m3", "", Divisor},
    {"--round-weight", "How weights are rounded, as up 1 lb", "", WeightRounding},
    {"--round-sides", "How sides are rounded, as up 1 in", "", SideRounding},
    {"--most-weight", "The most weight, as 20 lb", "", WeightText},
    {"--most-length", "The most length, as 48 in", "", LengthText},
    {"--most-length-plus-girth", "The most length plus girth, as 90 in", "", LengthText},
    {"--surcharge",
     "A surcharge: code; title; price; when. As \"fuel; Fuel; 8.5 % of base\" or \"home; To a home; 2.10; "
     "residential\" (Enter: no more)",
     "", Surcharge, nullptr, Question::Takes::kSeveral},
    {"--out", "The folder that it is written to", "the folder that it is written to", Words},
};

}  // namespace

std::span<const Question> Questions() { return kQuestions; }

absl::StatusOr<Json> ReadExample(const std::string& text) {
  std::vector<std::string> parts = Parts(text, ';');
  if (parts.size() < 4) {
    return Found(text,
                 "weight, sides, zone, total and where it stands, as \"4.01 lb; 12 x 9 x 6 in; 3; 13.35; page 3\"");
  }
  const absl::StatusOr<Weight> weight = Weight::Parse(parts[0]);
  const absl::StatusOr<Amount> total = Amount::Parse(parts[3]);
  for (const absl::Status& status : {weight.status(), total.status()}) {
    if (!status.ok()) return status;
  }
  Json example = {{"parcel", {{"weight", parts[0]}, {"sides", parts[1]}}}, {"zone", parts[2]}};
  std::size_t at = 4;
  if (parts.size() > at && parts[at] == "residential") {
    example["residential"] = true;
    ++at;
  }
  example["total"] = parts[3];
  std::string why;
  for (; at < parts.size(); ++at) why += (why.empty() ? "" : "; ") + parts[at];
  if (!why.empty()) {
    const Read words = Words(why);
    if (!words.ok()) return words.status();
    example["why"] = why;
  }
  return example;
}

}  // namespace tarewise::command
