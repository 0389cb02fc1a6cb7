#include <unistd.h>

#include <algorithm>
#include <filesystem>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <system_error>
#include <utility>
#include <vector>

#include "command/catalogue.h"
#include "command/caution_text.h"
#include "command/commands.h"
#include "command/layout.h"
#include "command/output_file.h"
#include "command/pricing_arguments.h"
#include "command/tables.h"
#include "documents/files.h"
#include "documents/text.h"
#include "tarewise/compare/catalogues.h"
#include "tarewise/compare/summary.h"
#include "tarewise/compare/tariffs.h"
#include "tarewise/documents/comparison_json.h"
#include "tarewise/documents/load.h"

namespace tarewise::command {
namespace {

using Kind = Option::Kind;

constexpr Option kCompareWhatOptions[] = {
    {Kind::kHeading, "What to compare", "", ""},
    {Kind::kValue, "--tables", "FOLDER",
     "one folder on two dates; beside two price lists, the folder of the shelf, the postal areas and the other "
     "carriers"},
    {Kind::kValue, "--dates", "DATE DATE", "the days to compare, before and after, of one folder or of two"},
    {Kind::kHeading, "With a catalogue", "", ""},
    {Kind::kValue, "--catalogue", "FILE",
     "goods, one a row, as for reprice, with monthly_sales where they are known; - is standard input"},
    kColumnOption,
    {Kind::kValue, "--date", "DATE",
     "beside two price lists: the day that everything else is taken from (else the day the second begins)"},
};
constexpr Option kCompareAnswerOptions[] = {
    {Kind::kValue, "--out", "FILE",
     "every row of the catalogue with its totals before and after, what changes, and the cautions of its goods"},
    kThreadsOption,
    {Kind::kHeading, "Answer", "", ""},
    {Kind::kFlag, "--json", "", "a tarewise-comparison-1 document, with every cell that differs"},
    {Kind::kFlag, "--help", "", "this page"},
};
constexpr auto kCompareOptions =
    Joined(kCompareWhatOptions, kLaneOptions, kWhenOptions, kWishOptions, kTermOptions, kCompareAnswerOptions);

constexpr std::string_view kAboutCompare =
    "Tells what differs between two price lists, between two folders of tables, or in one folder between two days: "
    "cells, rules, zones, packaging, days, terms; a line for each service that changed.\n"
    "Between two documents everything counts, whatever the date. Between days, what is in force on them: a charge that "
    "is not due on a day is not there, and charges whose codes end in a date (fuel by the week) are compared with each "
    "other.\n"
    "With a catalogue: how many rows change their best total, service or packaging, the total a month, and the ten "
    "that lose most. Between two documents of one carrier the catalogue is priced on one day, with every other carrier "
    "as it is.\n"
    "Exit code 0, whether or not there are differences; 2 for bad input.";

struct Sides {
  Comparison comparison;
  std::shared_ptr<const Ratebook> book_before;
  std::shared_ptr<const Ratebook> book_after;
  std::shared_ptr<const Shelf> shelf_before;
  std::shared_ptr<const Shelf> shelf_after;
  std::string date_before;
  std::string date_after;
};

class Comparing {
 public:
  Comparing(const Arguments& arguments, Console& console) : arguments_(arguments), console_(console) {}

  int Run() {
    paths_ = arguments_.rest();
    if (arguments_.Has("--dates") && !TakeDates()) return kBadInput;
    std::optional<Sides> sides;
    std::error_code ignored;
    if (paths_.empty()) {
      sides = OneFolder();
    } else if (paths_.size() != 2) {
      Say("found " + std::to_string(paths_.size()) + (paths_.size() == 1 ? " path" : " paths") +
          ", expected two price lists or two folders (or none, with --tables and --dates)");
    } else {
      const bool folder_before = std::filesystem::is_directory(paths_[0], ignored);
      const bool folder_after = std::filesystem::is_directory(paths_[1], ignored);
      if (folder_before != folder_after) {
        Say("found a folder and a document, expected two of one kind");
      } else {
        sides = folder_before ? TwoFolders() : TwoDocuments();
      }
    }
    if (!sides) return kBadInput;
    if (!arguments_.Has("--catalogue")) {
      for (const std::string_view option : {"--out", "--mix", "--from", "--to"}) {
        if (!arguments_.Has(option)) continue;
        Say(std::string(option) + ": found it without --catalogue, expected both");
        return kBadInput;
      }
      if (arguments_.Has("--json")) {
        console_.Write(ToJson(sides->comparison) + "\n");
      } else {
        console_.Write(Lines(Summary(sides->comparison)));
      }
      return kAnswered;
    }
    return Catalogue(*sides);
  }

 private:
  void Say(const std::string& text) const { console_.Error("tarewise compare: " + text); }

  // The second date is the word after the first, and so among the rest.
  bool TakeDates() {
    std::vector<std::string> texts = {*arguments_.Get("--dates")};
    for (auto at = paths_.begin(); at != paths_.end() && texts.size() < 2;) {
      if (Date::Parse(*at).ok()) {
        texts.push_back(*at);
        at = paths_.erase(at);
      } else {
        ++at;
      }
    }
    if (texts.size() < 2) {
      Say("--dates: found one date, expected two, as --dates 2026-07-01 2026-08-03");
      return false;
    }
    for (const std::string& text : texts) {
      const absl::StatusOr<Date> date = Date::Parse(text);
      if (!date.ok()) {
        Say("--dates: " + std::string(date.status().message()));
        return false;
      }
      dates_.push_back(*date);
    }
    return true;
  }

  std::optional<Book> Load(const std::string& folder) const {
    Arguments one;
    one.Add("--tables", folder);
    return LoadBook("compare", one, console_);
  }

  std::optional<Sides> OneFolder() {
    if (!arguments_.Has("--tables") || dates_.empty()) {
      Say("found nothing to compare, expected two price lists, two folders, or --tables with --dates");
      return std::nullopt;
    }
    const std::optional<Book> book = Load(*arguments_.Get("--tables"));
    if (!book) return std::nullopt;
    return OfBooks(*book, *book);
  }

  std::optional<Sides> TwoFolders() {
    if (arguments_.Has("--tables")) {
      Say("--tables: found it with two folders, expected one or the other");
      return std::nullopt;
    }
    if (dates_.empty()) {
      Say("--dates: found none, expected the days to compare, as --dates 2026-07-01 2026-08-03 (or twice the same)");
      return std::nullopt;
    }
    const std::optional<Book> before = Load(paths_[0]);
    const std::optional<Book> after = Load(paths_[1]);
    if (!before || !after) return std::nullopt;
    return OfBooks(*before, *after);
  }

  Sides OfBooks(const Book& before, const Book& after) const {
    Sides sides;
    sides.comparison = Compare(*before.ratebook, dates_[0], *after.ratebook, dates_[1]);
    sides.book_before = before.ratebook;
    sides.book_after = after.ratebook;
    sides.shelf_before = before.shelf;
    sides.shelf_after = after.shelf;
    sides.date_before = dates_[0].ToString();
    sides.date_after = dates_[1].ToString();
    return sides;
  }

  std::optional<Tariff> Document(const std::string& path) const {
    const Loaded<SourceText> file = ReadFile(path);
    if (!file.ok()) {
      SayFindings(file.diagnostics, console_, false);
      return std::nullopt;
    }
    std::vector<Diagnostic> unread;
    Loaded<Tariff> tariff = ReadTariff(*file.value, load::FilesIn(std::string(load::FolderOf(path)), unread));
    if (!tariff.ok()) SayFindings(tariff.diagnostics, console_, false);
    SayFindings(unread, console_, false);
    return std::move(tariff.value);
  }

  std::optional<Sides> TwoDocuments() {
    if (!dates_.empty()) {
      Say("--dates: found it with two price lists, expected it with folders of tables");
      return std::nullopt;
    }
    std::optional<Tariff> before = Document(paths_[0]);
    std::optional<Tariff> after = Document(paths_[1]);
    if (!before || !after) return std::nullopt;
    Sides sides;
    sides.comparison = Compare(*before, *after);
    if (!arguments_.Has("--catalogue")) return sides;
    if (before->carrier != after->carrier) {
      Say("--catalogue: found price lists of " + before->carrier + " and " + after->carrier +
          ", expected one carrier's");
      return std::nullopt;
    }
    // One day, on which either list stands for the carrier's.
    std::optional<std::string> date = arguments_.Get("--date");
    if (!date && after->in_force.from) date = after->in_force.from->ToString();
    if (!date) {
      Say(std::string(kDateWanted));
      return std::nullopt;
    }
    if (!arguments_.Has("--tables")) {
      Say("--tables: found none, expected the folder of the shelf, the postal areas and the other carriers");
      return std::nullopt;
    }
    const std::string folder = *arguments_.Get("--tables");
    const Loaded<Tables> tables = ReadFolder(folder);
    if (!tables.ok()) {
      SayFindings(tables.diagnostics, console_, false);
      return std::nullopt;
    }
    for (auto& [tariff, book] : {std::pair{&*before, &sides.book_before}, std::pair{&*after, &sides.book_after}}) {
      std::vector<Tariff> all;
      for (const Tariff& other : tables.value->tariffs) {
        if (other.carrier != tariff->carrier) all.push_back(other);
      }
      tariff->in_force = {};
      all.push_back(*tariff);
      absl::StatusOr<std::shared_ptr<const Ratebook>> made =
          Ratebook::Create(std::move(all), tables.value->terms, tables.value->gazetteer, tables.value->seller);
      if (!made.ok()) {
        Say(folder + ": " + std::string(made.status().message()));
        return std::nullopt;
      }
      *book = *std::move(made);
    }
    if (tables.value->shelf) sides.shelf_before = std::make_shared<const Shelf>(*tables.value->shelf);
    sides.shelf_after = sides.shelf_before;
    sides.date_before = sides.date_after = *date;
    return sides;
  }

  // Long lines broken, further lines under the text.
  std::string Lines(const std::string& text) const {
    std::string out;
    for (std::size_t at = 0; at < text.size();) {
      const std::size_t end = text.find('\n', at);
      const std::string line = text.substr(at, end - at);
      at = end + 1;
      const std::vector<std::string> lines = Wrapped(line, console_.style().width - 4);
      for (std::size_t i = 0; i < lines.size(); ++i) out += (i == 0 ? "" : "    ") + lines[i] + "\n";
    }
    return out;
  }

  int Catalogue(const Sides& sides) {
    const std::string path = *arguments_.Get("--catalogue");
    if (path == "-" && isatty(STDIN_FILENO) == 1) {
      Say("--catalogue: found no rows, expected a CSV file's name, or rows on standard input");
      return kBadInput;
    }
    const std::optional<unsigned> threads = ReadThreads("compare", arguments_, console_);
    if (!threads) return kBadInput;
    std::optional<RepriceSetup> before =
        ReadPricing("compare", arguments_, sides.date_before, sides.book_before, sides.shelf_before, console_);
    if (!before) return kBadInput;
    std::optional<RepriceSetup> after =
        ReadPricing("compare", arguments_, sides.date_after, sides.book_after, sides.shelf_after, console_);
    if (!after) return kBadInput;
    absl::StatusOr<CatalogueComparer> comparer = CatalogueComparer::Create(*std::move(before), *std::move(after));
    if (!comparer.ok()) {
      Say(std::string(comparer.status().message()));
      return kBadInput;
    }
    const Currency currency = comparer->after().currency();
    CatalogueReader reader(currency, arguments_.All("--column"));
    if (!reader.Open(path)) {
      for (const std::string& error : reader.errors()) Say(Clean(error));
      return kBadInput;
    }
    if (reader.HasOrders()) {
      Say("found a column of orders, expected none: price lists are compared row by row (--column none=NAME passes it "
          "over)");
      return kBadInput;
    }
    bool rows_out = arguments_.Has("--out");
    OutputFile out(arguments_.Get("--out"), console_);
    std::string text;
    if (rows_out) {
      if (!out.Open(reader.stream().file())) return kBadInput;
      if (out.to_standard_output() && arguments_.Has("--json")) {
        Say("--out: found standard output with --json, which writes there too; expected a file's name");
        return kBadInput;
      }
      std::string code(currency.code());
      for (char& c : code) c = static_cast<char>(c - 'A' + 'a');
      text = reader.header();
      for (const std::string& name : {"before_total_" + code, "after_total_" + code, "month_rise_" + code,
                                      std::string("change"), std::string("reason"), std::string("cautions")}) {
        if (reader.Has(name)) {
          Say((path == "-" ? "standard input" : path) + ": found the column " + load::Quoted(name) +
              " already, expected none of that name");
          return kBadInput;
        }
        text += "," + name;
      }
      text += "\n";
    }
    RepriceOptions options;
    options.threads = *threads;
    const std::size_t most =
        std::clamp<std::size_t>((std::size_t{1} << 18) / comparer->before().lanes().size(), 64, 16384);
    CatalogueBlock block;
    std::map<std::uint64_t, std::string> names;
    std::uint64_t rows = 0;
    std::uint64_t bad = 0;
    CautionSet all_cautions;
    {
      Progress progress(reader.stream().size());
      std::vector<std::int64_t> total_before(most), total_after(most), month(most);
      std::vector<std::uint8_t> change(most);
      std::vector<std::uint32_t> cautions(most);
      CatalogueColumns columns;
      columns.before = total_before.data();
      columns.after = total_after.data();
      columns.month = month.data();
      columns.change = change.data();
      columns.cautions = cautions.data();
      while (reader.Read(most, block)) {
        const absl::Status status = comparer->Add(block.Columns(), block.Monthly(), columns, options);
        if (!status.ok()) {
          Say(std::string(status.message()));
          return kBadInput;
        }
        KeepNames(comparer->Result(), block, rows, names);
        for (std::size_t row = 0; row < block.rows; ++row) {
          bad += block.reasons[row].empty() ? 0 : 1;
          const CautionSet of_row = CautionSet::FromBits(cautions[row]);
          all_cautions.AddAll(of_row);
          if (!rows_out) continue;
          text += block.Raw(row);
          for (const std::int64_t total : {total_before[row], total_after[row]}) {
            text += ',';
            if (total != kNoTotal) text += Amount::Micros(total).ToString(currency.decimals());
          }
          text += ',';
          if (month[row] != 0) text += Amount::Micros(month[row]).ToString(currency.decimals());
          text +=
              "," + ChangeWords(change[row]) + "," + CsvField(Clean(block.reasons[row])) + "," + of_row.Codes() + "\n";
        }
        rows += block.rows;
        if (rows_out && !out.Write(text)) {
          // Nobody reads the rows any more; the rest of the answer is wanted all the same.
          if (!out.reader_gone()) return kBadInput;
          rows_out = false;
        }
        text.clear();
        progress.Show(rows, reader.stream().bytes());
      }
    }
    if (!reader.errors().empty()) {
      for (const std::string& error : reader.errors()) {
        Say((path == "-" ? "standard input" : path) + ": " + Clean(error));
      }
      return kBadInput;
    }
    if (rows_out && !(out.Write(text) && out.Close()) && !out.reader_gone()) return kBadInput;
    SayCautions("compare", all_cautions, console_);
    const CatalogueChange result = comparer->Result();
    const RowName name = [&names](std::uint64_t row) {
      const auto at = names.find(row);
      return at == names.end() || at->second.empty() ? "row " + std::to_string(row + 1) : at->second;
    };
    const std::vector<Lane>& lanes = comparer->before().lanes();
    const bool rows_there = arguments_.Has("--out") && out.to_standard_output();
    if (bad > 0) Say(std::to_string(bad) + " of " + std::to_string(rows) + " rows cannot be read; --out tells why");
    if (arguments_.Has("--json")) {
      console_.Write(ToJson(sides.comparison, result, lanes, name) + "\n");
    } else {
      const std::string text_of_all = Lines(Summary(sides.comparison)) + "\n" + Lines(Summary(result, lanes, name));
      // Rows that go to standard output are the answer there.
      if (rows_there) {
        console_.Error(std::string_view(text_of_all).substr(0, text_of_all.size() - 1));
      } else {
        console_.Write(text_of_all);
      }
    }
    return kAnswered;
  }

  // The names of the rows that lose most so far, while their block is at hand.
  static void KeepNames(const CatalogueChange& so_far, const CatalogueBlock& block, std::uint64_t first,
                        std::map<std::uint64_t, std::string>& names) {
    std::map<std::uint64_t, std::string> kept;
    for (const RowLoss& loss : so_far.losers) {
      if (loss.row >= first) {
        kept[loss.row] = Clean(block.names[static_cast<std::size_t>(loss.row - first)]);
      } else {
        kept[loss.row] = names[loss.row];
      }
    }
    names = std::move(kept);
  }

  static std::string ChangeWords(std::uint8_t change) {
    std::string out;
    const std::pair<std::uint8_t, const char*> words[] = {{kTotalChanges, "total"},
                                                          {kServiceChanges, "service"},
                                                          {kPackagingChanges, "packaging"},
                                                          {kOfferedChanges, "offered"}};
    for (const auto& [bit, word] : words) {
      if ((change & bit) != 0) out += (out.empty() ? "" : " ") + std::string(word);
    }
    return out;
  }

  const Arguments& arguments_;
  Console& console_;
  std::vector<std::string> paths_;
  std::vector<Date> dates_;
};

int RunCompare(const Arguments& arguments, Console& console) { return Comparing(arguments, console).Run(); }

}  // namespace

const Command kCompareCommand = {
    "compare",
    "tells what differs between two price lists, and what that does to a catalogue",
    "tarewise compare BEFORE.json AFTER.json [--catalogue FILE --tables FOLDER --from PLACE (--to PLACE... | --mix "
    "FILE)]\n"
    "tarewise compare FOLDER FOLDER --dates DATE DATE [--catalogue FILE ...]\n"
    "tarewise compare --tables FOLDER --dates DATE DATE [--catalogue FILE ...]",
    kAboutCompare,
    kCompareOptions,
    RunCompare,
};

}  // namespace tarewise::command
