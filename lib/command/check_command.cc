#include <algorithm>
#include <cstdint>
#include <filesystem>
#include <nlohmann/json.hpp>
#include <optional>
#include <set>
#include <string>
#include <system_error>
#include <tuple>
#include <utility>
#include <vector>

#include "command/commands.h"
#include "command/layout.h"
#include "command/tables.h"
#include "documents/codes.h"
#include "documents/files.h"
#include "documents/text.h"
#include "tarewise/documents/examples.h"

namespace tarewise::command {
namespace {

using Kind = Option::Kind;

constexpr Option kCheckOptions[] = {
    {Kind::kValue, "--date", "DATE",
     "values that change by date are looked at on this day: those too old, those missing"},
    {Kind::kFlag, "--strict", "", "warnings count as errors"},
    {Kind::kFlag, "--help", "", "this page"},
};

constexpr std::string_view kAboutCheck =
    "Checks documents: price lists, terms, shelves, postal areas and requests. Every finding is told on standard error "
    "as file:line:column, its number and what was found and expected. Then every example of each price list is priced, "
    "by the list alone, and each that differs is named with the lines of the price it got.\n"
    "A folder is checked whole, its documents against each other too; a document given by itself is checked alone, "
    "with the grids and the postal areas (gazetteer*.csv) beside it.\n"
    "Exit code 0 where all is well (warnings allowed), 2 otherwise.";

class Check {
 public:
  Check(Console& console, bool strict, std::optional<Date> date) : console_(console), strict_(strict), date_(date) {}

  void Path(const std::string& path) {
    std::error_code ignored;
    if (std::filesystem::is_directory(path, ignored)) {
      Folder(path);
    } else {
      File(path);
    }
  }

  int Finish() {
    std::string text = Count(documents_, "document") + " checked, " + Count(errors_, "error") + ", " +
                       Count(warnings_, "warning") + "; ";
    if (examples_ > 0) {
      text += Count(examples_, "example") + " priced, " +
              (differing_ == 0 ? "all as published" : std::to_string(differing_) + " not as published");
    } else {
      text += "no example priced";
    }
    if (unpriced_) text += " (examples wait until the errors are gone)";
    const bool fine = errors_ == 0 && differing_ == 0 && (!strict_ || warnings_ == 0);
    if (fine) {
      console_.Write(text + "\n");
      return kAnswered;
    }
    console_.Error(text);
    return kBadInput;
  }

 private:
  static std::string Count(std::size_t n, const std::string& word) {
    return std::to_string(n) + " " + word + (n == 1 ? "" : "s");
  }

  void Findings(const std::vector<Diagnostic>& findings) {
    for (const Diagnostic& finding : findings) {
      console_.Error(Clean(finding.ToString()));
      ++(finding.severity == Diagnostic::Severity::kError ? errors_ : warnings_);
    }
  }

  void Examples(const Tariff& tariff, const Gazetteer& gazetteer, const std::string& file) {
    examples_ += tariff.examples.size();
    for (const DifferingExample& one : DifferingExamples(tariff, gazetteer)) {
      ++differing_;
      std::string where = tariff.file.empty() ? file : tariff.file;
      if (one.example->line > 0) where.append(":").append(std::to_string(one.example->line));
      console_.Error(Clean(where + ": example " + std::to_string(one.number) + ": " + one.text));
      for (const std::string& line : one.lines) console_.Error(Clean("    " + line));
      if (!one.example->why.empty()) console_.Error(Clean("    published: " + one.example->why));
    }
  }

  // What prices take on the day; of each column of a series once that it is overdue, and once that it has no value.
  void ValuesOnDate(const Tariff& tariff, const std::string& file) {
    if (!date_ || !tariff.in_force.Has(*date_)) return;
    std::set<std::tuple<std::uint32_t, std::uint32_t, bool>> told;
    for (const ValueByDate& by : tariff.by_date) {
      const Series& series = tariff.series[by.series];
      const DatedValue value = DatedValue::On(series, by, *date_);
      if ((value.known() && !value.overdue_since) || !told.emplace(by.series, by.column, value.known()).second) {
        continue;
      }
      Diagnostic finding;
      finding.severity = Diagnostic::Severity::kWarning;
      finding.file = tariff.file.empty() ? file : tariff.file;
      finding.pointer = "/series/" + series.code;
      finding.code = value.known() ? load::kValueOverdue : load::kNoValueOnDate;
      const std::string column = "the column " + load::Quoted(series.columns[by.column]);
      finding.message = value.known() ? "found " + column + " without a value since " +
                                            value.overdue_since->ToString() + ", expected one for " + date_->ToString()
                                      : "found no value in " + column + " on " + date_->ToString() + ", expected one";
      Findings({finding});
    }
  }

  void Folder(const std::string& path) {
    Loaded<Tables> tables = ReadFolder(path);
    Findings(tables.diagnostics);
    documents_ += ReadIn(path, tables.diagnostics);
    if (!tables.ok()) {
      unpriced_ = true;
      return;
    }
    for (const Tariff& tariff : tables.value->tariffs) {
      ValuesOnDate(tariff, path);
      Examples(tariff, tables.value->gazetteer, path);
    }
  }

  // How many documents a folder has, without those that could not be read.
  static std::size_t ReadIn(const std::string& path, const std::vector<Diagnostic>& findings) {
    const Loaded<std::vector<std::string>> names = load::DocumentsIn(path);
    if (!names.ok()) return 0;
    std::size_t count = 0;
    for (const std::string& name : *names.value) {
      const std::string file = load::WithSlash(path) + name;
      count += std::none_of(findings.begin(), findings.end(),
                            [&file](const Diagnostic& finding) { return IsUnread(finding) && finding.file == file; })
                   ? 1
                   : 0;
    }
    return count;
  }
  static bool IsUnread(const Diagnostic& finding) {
    return finding.line == 0 &&
           (finding.code == load::kNoFile || finding.code == load::kUnreadable || finding.code == load::kTooLarge);
  }

  static std::string FormatOf(const SourceText& source) {
    const nlohmann::json json = nlohmann::json::parse(source.text, nullptr, false);
    if (!json.is_object() || !json.contains("format") || !json["format"].is_string()) return {};
    return json["format"].get<std::string>();
  }

  void File(const std::string& path) {
    Loaded<SourceText> file = ReadFile(path);
    if (!file.ok()) return Findings(file.diagnostics);
    ++documents_;
    const SourceText& source = *file.value;
    const std::string name = std::filesystem::path(path).filename().string();
    if (name.ends_with(".csv") && name.starts_with("gazetteer")) {
      Gazetteer gazetteer;
      return Findings(ReadGazetteer(source, gazetteer));
    }
    if (name.ends_with(".csv") && !name.starts_with("shelf")) {
      ++errors_;
      return console_.Error(
          path + ": a grid is checked by the price list that names it; found it alone, expected that document");
    }
    const std::string format = name.ends_with(".csv") ? "tarewise-shelf-1" : FormatOf(source);
    if (format == "tarewise-shelf-1") return Findings(ReadShelf(source).diagnostics);
    if (format == "tarewise-terms-1") return Findings(ReadTerms(source).diagnostics);
    if (format == "tarewise-seller-1") return Findings(ReadSeller(source).diagnostics);
    if (format == "tarewise-request-1") return Findings(ReadRequest(source).diagnostics);
    TariffFile(path, source);
  }

  void TariffFile(const std::string& path, const SourceText& source) {
    const std::string folder(load::FolderOf(path));
    std::vector<Diagnostic> unread;
    const Loaded<Tariff> tariff = ReadTariff(source, load::FilesIn(folder, unread));
    Findings(unread);
    Findings(tariff.diagnostics);
    if (!tariff.ok()) {
      unpriced_ = true;
      return;
    }
    ValuesOnDate(*tariff.value, path);
    Gazetteer gazetteer;
    const Loaded<std::vector<std::string>> names = load::DocumentsIn(folder.empty() ? "." : folder);
    Findings(names.diagnostics);
    for (const std::string& name : names.ok() ? *names.value : std::vector<std::string>()) {
      if (!name.starts_with("gazetteer") || !name.ends_with(".csv")) continue;
      const Loaded<SourceText> areas = load::ReadFileText(folder + name, /*pipes=*/false);
      Findings(areas.ok() ? ReadGazetteer(*areas.value, gazetteer) : areas.diagnostics);
    }
    static_cast<void>(gazetteer.Finish());
    Examples(*tariff.value, gazetteer, path);
  }

  Console& console_;
  bool strict_;
  std::optional<Date> date_;  // Nothing: no day is looked at.
  std::size_t documents_ = 0;
  std::size_t errors_ = 0;
  std::size_t warnings_ = 0;
  std::size_t examples_ = 0;
  std::size_t differing_ = 0;
  bool unpriced_ = false;
};

int RunCheck(const Arguments& arguments, Console& console) {
  if (arguments.rest().empty()) {
    console.Error("tarewise check: found no path, expected documents or folders of tables");
    return kBadInput;
  }
  std::optional<Date> date;
  if (const std::optional<std::string> text = arguments.Get("--date")) {
    const absl::StatusOr<Date> read = Date::Parse(*text);
    if (!read.ok()) {
      console.Error("tarewise check: --date: " + std::string(read.status().message()));
      return kBadInput;
    }
    date = *read;
  }
  Check check(console, arguments.Has("--strict"), date);
  for (const std::string& path : arguments.rest()) check.Path(path);
  return check.Finish();
}

}  // namespace

const Command kCheckCommand = {
    "check",
    "checks documents and folders of tables, and prices the examples of each price list",
    "tarewise check [--date DATE] [--strict] PATH...",
    kAboutCheck,
    kCheckOptions,
    RunCheck,
};

}  // namespace tarewise::command
