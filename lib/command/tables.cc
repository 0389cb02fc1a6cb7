#include "command/tables.h"

#include <utility>

#include "command/layout.h"

namespace tarewise::command {
namespace {

void Say(const Console& console, std::string_view command, const std::string& text) {
  console.Error("tarewise " + std::string(command) + ": " + text);
}

std::string Message(const absl::Status& status) { return std::string(status.message()); }

}  // namespace

void SayFindings(const std::vector<Diagnostic>& findings, const Console& console, bool warnings) {
  for (const Diagnostic& finding : findings) {
    if (warnings || finding.severity == Diagnostic::Severity::kError) console.Error(finding.ToString());
  }
}

std::optional<Book> LoadBook(std::string_view command, const Arguments& arguments, const Console& console) {
  const std::optional<std::string> folder = arguments.Get("--tables");
  if (!folder) {
    Say(console, command, "--tables: found none, expected the folder of the price lists");
    return std::nullopt;
  }
  Loaded<Tables> tables = ReadFolder(*folder);
  if (!tables.ok()) {
    SayFindings(tables.diagnostics, console, false);
    return std::nullopt;
  }
  Book book;
  if (tables.value->shelf) book.shelf = std::make_shared<const Shelf>(*std::move(tables.value->shelf));
  absl::StatusOr<std::shared_ptr<const Ratebook>> ratebook =
      Ratebook::Create(std::move(tables.value->tariffs), std::move(tables.value->terms),
                       std::move(tables.value->gazetteer), std::move(tables.value->seller));
  if (!ratebook.ok()) {
    Say(console, command, *folder + ": " + Message(ratebook.status()));
    return std::nullopt;
  }
  book.ratebook = *std::move(ratebook);
  return book;
}

std::optional<LaneAndDate> ReadLaneAndDate(std::string_view command, const Arguments& arguments,
                                           const Console& console) {
  LaneAndDate out;
  bool good = true;
  auto bad = [&](const std::string& text) {
    Say(console, command, text);
    good = false;
  };
  auto place = [&](std::string_view option, bool residential, Place& into) {
    const std::optional<std::string> text = arguments.Get(option);
    if (!text) return bad(std::string(option) + ": found none, expected a place such as \"US 05401\"");
    absl::StatusOr<Place> read = Place::Parse(*text, residential);
    if (!read.ok()) return bad(std::string(option) + ": " + Message(read.status()));
    into = *std::move(read);
  };
  place("--from", false, out.lane.from);
  place("--to", arguments.Has("--residential"), out.lane.to);
  if (const std::optional<std::string> text = arguments.Get("--date")) {
    const absl::StatusOr<Date> date = Date::Parse(*text);
    if (date.ok()) {
      out.date = *date;
    } else {
      bad("--date: " + Message(date.status()));
    }
  } else {
    bad(std::string(kDateWanted));
  }
  if (!good) return std::nullopt;
  return out;
}

std::string ServiceTitle(const Tariff& tariff, const Service& service) {
  const std::string first_word = tariff.carrier_name.substr(0, tariff.carrier_name.find(' '));
  if (tariff.carrier_name.empty() || service.title.starts_with(first_word)) return Clean(service.title);
  return Clean(tariff.carrier_name + " " + service.title);
}

std::string PlaceText(const Place& place) {
  return place.country() + (place.postal_code().empty() ? "" : " " + place.postal_code());
}

}  // namespace tarewise::command
