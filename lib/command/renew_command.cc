#include <algorithm>
#include <functional>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "command/commands.h"
#include "command/layout.h"
#include "command/new_files.h"
#include "command/renew_text.h"
#include "command/tables.h"
#include "documents/codes.h"
#include "documents/files.h"
#include "documents/text.h"
#include "tarewise/documents/load.h"
#include "tarewise/documents/renew.h"

namespace tarewise::command {
namespace {

using Kind = Option::Kind;

constexpr Option kRenewOptions[] = {
    {Kind::kValue, "--from", "DATE", "the first day in force, as 2027-01-18"},
    {Kind::kValue, "--until", "DATE", "the last one (else left open)"},
    {Kind::kValue, "--increase", "PERCENT", "what every base price rises by, as \"5.9 %\" (else nothing does)"},
    {Kind::kValue, "--services", "CODES", "the services that it is of, joined by commas (else all)"},
    {Kind::kFlag, "--surcharges", "",
     "amounts of surcharges and extras rise too, but those that a service without an increase shares"},
    {Kind::kValue, "--lay", "PRICE=FILE",
     "a printed grid (CSV) in the place of a price's: parcel=printed.csv; parcel/2=printed.csv for the second of its "
     "prices; or the old grid's file, old.csv=printed.csv, for every price that has it",
     false, true},
    {Kind::kHeading, "What is written", "", ""},
    {Kind::kValue, "--out", "FOLDER", "where to: the folder of the old document, or another"},
    {Kind::kValue, "--name", "NAME", "what the new files' names begin with (else CARRIER-YEAR-MONTH of --from)"},
    {Kind::kValue, "--title", "TEXT", "the new document's title (else the old one's)"},
    {Kind::kFlag, "--all", "", "every cell that differs from a printed grid (else the first 20)"},
    {Kind::kFlag, "--help", "", "this page"},
};

constexpr std::string_view kAboutRenew =
    "Makes next season's price list from this one: a new document with new grids, in which every base price (amounts, "
    "prices by zone, cells, what is added past the last row, least amounts) is increased exactly and then rounded as "
    "the list rounds its lines; a price that keeps more decimals than that keeps them. Percentages, reductions, "
    "limits, zones and all else stay as they are written. It tells what changed, price by price.\n"
    "With --lay the grid that the carrier has printed stands in the place of the computed one. Each row and zone that "
    "it "
    "lacks or has anew is told, and every cell in which the two differ: old, computed, printed; without --increase old "
    "and printed.\n"
    "The new document's source says that it was computed, and from what: replace it, and what is computed, by the "
    "printed list. The examples are left out, for their prices hold no more. No file is overwritten, the old one is "
    "not changed, and all is written or nothing: nothing where `tarewise check` would not pass the folder with it, as "
    "where another list of the carrier begins on the same day.\n"
    "Exit code 0, or 2 for bad input.";

constexpr const char* kNameIt =
    "remove what an earlier run computed, or write to another folder (--out) or under another name (--name)";

class Renewing {
 public:
  Renewing(const Arguments& arguments, Console& console) : arguments_(arguments), console_(console) {}

  int Run() {
    if (!TakeArguments()) return kBadInput;
    const Loaded<SourceText> old = ReadFile(path_);
    if (!old.ok()) {
      SayFindings(old.diagnostics, console_, true);
      return kBadInput;
    }
    std::vector<Diagnostic> unread;
    const FileReader there = load::FilesIn(std::string(load::FolderOf(path_)), unread);
    // Each file is read once, so that what is checked is what is written.
    std::map<std::string, std::optional<std::string>, std::less<>> texts;
    const FileReader beside = [&](std::string_view name) -> std::optional<std::string> {
      auto at = texts.find(name);
      if (at == texts.end()) at = texts.emplace(name, there(name)).first;
      return at->second;
    };
    const Loaded<Tariff> before = ReadTariff(*old.value, beside);
    if (before.ok()) NameFiles(*before.value);
    if (before.ok() && !KnowsServices(*before.value)) return kBadInput;
    Loaded<Renewed> made = RenewTariff(*old.value, renewal_, beside);
    SayFindings(unread, console_, true);
    SayFindings(made.diagnostics, console_, true);
    if (!before.ok() || !made.ok()) return kBadInput;
    const bool computes = arguments_.Has("--increase");
    std::string told = RenewedText(console_.style(), *before.value, *made.value, path_, computes);
    if (!renewal_.charges && !before.value->rules.empty()) {
      told += Paragraph(console_.style(), "  ", 2,
                        "Surcharges and extras are the old list's" +
                            std::string(computes ? " (--surcharges lets their amounts rise too)." : "."));
    }
    if (!renewal_.laid.empty() && !computes) {
      told += LaidText(console_.style(), *before.value, nullptr, *made.value, arguments_.Has("--all"));
    } else if (!renewal_.laid.empty()) {
      Renewal plain = renewal_;
      plain.laid.clear();
      const Loaded<Renewed> computed = RenewTariff(*old.value, plain, beside);
      if (!computed.ok()) return kBadInput;
      told += LaidText(console_.style(), *before.value, &computed.value->tariff, *made.value, arguments_.Has("--all"));
    }
    if (!Write(*made.value, beside)) return kBadInput;
    console_.Write(told);
    return kAnswered;
  }

 private:
  bool Say(const std::string& text) const {
    console_.Error("tarewise renew: " + text);
    return false;
  }

  bool TakeDate(std::string_view option, std::optional<Date>& into) {
    const std::optional<std::string> text = arguments_.Get(option);
    if (!text) return true;
    const absl::StatusOr<Date> date = Date::Parse(*text);
    if (!date.ok()) return Say(std::string(option) + ": " + std::string(date.status().message()));
    into = *date;
    return true;
  }

  bool TakeArguments() {
    bool good = true;
    if (arguments_.rest().size() == 1) {
      path_ = arguments_.rest().front();
    } else {
      good = Say("found " + std::to_string(arguments_.rest().size()) + " paths, expected one price list");
    }
    std::optional<Date> from;
    good = TakeDate("--from", from) && good;
    good = TakeDate("--until", renewal_.until) && good;
    if (!arguments_.Has("--from")) good = Say("--from: found none, expected the first day in force, as 2027-01-18");
    if (!arguments_.Has("--out")) good = Say("--out: found none, expected the folder that it is written to");
    if (!arguments_.Has("--increase") && !arguments_.Has("--lay")) {
      good = Say("--increase: found none, nor --lay, expected one of the two or both");
    }
    if (const std::optional<std::string> text = arguments_.Get("--increase")) {
      const absl::StatusOr<Percent> percent = Percent::Parse(*text);
      if (!percent.ok()) good = Say("--increase: " + std::string(percent.status().message()));
      renewal_.increase = percent.value_or(Percent());
    }
    for (const std::string_view option : {"--services", "--surcharges"}) {
      if (arguments_.Has(option) && !arguments_.Has("--increase")) {
        good = Say(std::string(option) + ": found it without --increase, expected both");
      }
    }
    renewal_.from = from.value_or(Date());
    renewal_.charges = arguments_.Has("--surcharges");
    renewal_.title = arguments_.Get("--title").value_or("");
    return TakeServices() && TakeName() && TakeLaid() && good;
  }

  bool TakeServices() {
    std::string_view rest;
    const std::optional<std::string> codes = arguments_.Get("--services");
    if (!codes) return true;
    for (rest = *codes; !rest.empty();) {
      const std::size_t end = std::min(rest.find(','), rest.size());
      std::string_view code = rest.substr(0, end);
      while (code.starts_with(' ')) code.remove_prefix(1);
      while (code.ends_with(' ')) code.remove_suffix(1);
      if (!code.empty()) renewal_.services.emplace_back(code);
      rest.remove_prefix(std::min(end + 1, rest.size()));
    }
    return !renewal_.services.empty() || Say("--services: found " + load::Quoted(*codes) + ", expected codes");
  }

  // What is asked of a service that the list has not is the option's mistake, not the document's.
  bool KnowsServices(const Tariff& before) const {
    std::vector<std::string_view> names;
    for (const Service& service : before.services) names.emplace_back(service.code);
    const auto known = [&](std::string_view option, const std::string& code) {
      if (code.empty() || std::find(names.begin(), names.end(), code) != names.end()) return true;
      std::string all;
      for (const std::string_view name : names) all += (all.empty() ? "" : ", ") + std::string(name);
      return Say(std::string(option) + ": found the service " + load::Quoted(code) + ", expected one of " + path_ +
                 ": " + all + load::Suggestion(code, names));
    };
    bool good = true;
    for (const std::string& code : renewal_.services) good = known("--services", code) && good;
    for (const LaidGrid& grid : renewal_.laid) good = known("--lay", grid.service) && good;
    return good;
  }

  bool TakeName() {
    const std::optional<std::string> name = arguments_.Get("--name");
    if (!name) return true;
    renewal_.stem = *name;
    const bool plain = !name->empty() && name->front() != '.' && name->find_first_of("/\\") == std::string::npos &&
                       !name->ends_with(".json") && !load::FirstNotUtf8(*name);
    return plain || Say("--name: found " + load::Quoted(*name) +
                        ", expected the beginning of a file's name, without a folder and without .json");
  }

  bool TakeLaid() {
    bool good = true;
    for (const std::string& text : arguments_.All("--lay")) {
      const std::size_t equals = text.find('=');
      if (equals == std::string::npos || equals == 0 || equals + 1 == text.size()) {
        good = Say("--lay: found " + load::Quoted(text) + ", expected a price and a file, as parcel=printed.csv");
        continue;
      }
      LaidGrid grid;
      const std::string price = text.substr(0, equals);
      const std::size_t slash = price.rfind('/');
      const std::string number = slash == std::string::npos ? "" : price.substr(slash + 1);
      const bool numbered = !number.empty() && number.size() < 5 &&
                            std::all_of(number.begin(), number.end(), [](char c) { return c >= '0' && c <= '9'; });
      if (slash != std::string::npos && (!numbered || std::stoul(number) == 0)) {
        good = Say("--lay: found the price " + load::Quoted(price) + ", expected a service's, as parcel or parcel/2");
        continue;
      }
      if (price.ends_with(".csv")) {
        grid.file = price;
      } else {
        grid.service = price.substr(0, slash);
        grid.price = numbered ? std::stoul(number) : 0;
      }
      Loaded<SourceText> file = ReadFile(text.substr(equals + 1));
      if (!file.ok()) {
        SayFindings(file.diagnostics, console_, true);
        good = false;
        continue;
      }
      grid.grid = *std::move(file.value);
      renewal_.laid.push_back(std::move(grid));
    }
    return good;
  }

  void NameFiles(const Tariff& before) {
    if (renewal_.stem.empty()) renewal_.stem = before.carrier + "-" + renewal_.from.ToString().substr(0, 7);
  }

  // What is named as before is beside the new document too.
  bool Write(const Renewed& made, const FileReader& beside) {
    const std::string folder = *arguments_.Get("--out");
    NewFiles files("renew", folder);
    const std::string old_folder(load::FolderOf(path_));
    const bool one_folder = SameFile(folder, old_folder.empty() ? "." : old_folder);
    for (const std::string& name : made.files) {
      const std::optional<std::string> text = one_folder ? std::nullopt : beside(name);
      if (!text) continue;
      const Loaded<SourceText> there = load::ReadFileText(files.PathOf(name), /*pipes=*/false);
      if (!there.ok() || there.value->text != *text) {
        files.Add({name, *text}, "the old list has another file of this name; another --out has neither");
      }
    }
    for (const SourceText& grid : made.grids) files.Add(grid, kNameIt);
    files.Add(made.document, kNameIt);
    if (!files.AllNew(console_)) return false;
    const Loaded<Tables> tables = ReadFolderWith(folder, files.files());
    if (tables.ok()) return files.Write(console_);
    for (const Diagnostic& finding : tables.diagnostics) {
      // The new document is not there to be looked into.
      if (finding.code == load::kSameStart && finding.file == files.PathOf(made.document.name)) {
        Say("--from: " + Clean(finding.message) + "; remove what an earlier run computed, or write to another folder");
      } else {
        SayFindings({finding}, console_, false);
      }
    }
    return Say("--out: found a folder that tarewise check would not pass with this list in it; nothing was written");
  }

  const Arguments& arguments_;
  Console& console_;
  std::string path_;
  Renewal renewal_;
};

int RunRenew(const Arguments& arguments, Console& console) { return Renewing(arguments, console).Run(); }

}  // namespace

const Command kRenewCommand = {
    "renew",
    "makes next season's price list from this one: an increase, and the printed grids laid over it",
    "tarewise renew --from DATE --increase PERCENT --out FOLDER PRICE-LIST.json\n"
    "tarewise renew --from DATE --lay PRICE=FILE ... --out FOLDER PRICE-LIST.json",
    kAboutRenew,
    kRenewOptions,
    RunRenew,
};

}  // namespace tarewise::command
