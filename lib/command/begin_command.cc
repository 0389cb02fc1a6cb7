#include <unistd.h>

#include <algorithm>
#include <cstdio>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "command/begin_answers.h"
#include "command/begin_document.h"
#include "command/begin_examples.h"
#include "command/begin_options.h"
#include "command/commands.h"
#include "command/layout.h"
#include "command/new_files.h"
#include "command/tables.h"
#include "documents/text.h"
#include "tarewise/documents/examples.h"
#include "tarewise/documents/load.h"

namespace tarewise::command {
namespace {

class Beginning {
 public:
  Beginning(const Arguments& arguments, Console& console)
      : arguments_(arguments), console_(console), out_("begin", arguments.Get("--out").value_or("")) {}

  int Run() {
    if (!TakeOptions()) return kBadInput;
    const std::vector<const Question*> missing = Missing();
    asking_ = !missing.empty() && isatty(STDIN_FILENO) == 1;
    if (asking_) {
      if (!Ask()) return kBadInput;
    } else if (!missing.empty()) {
      for (const Question* question : missing) {
        Say(std::string(question->option) + ": found none, expected " + std::string(question->expected));
      }
      return kBadInput;
    }
    const bool written = Write();
    if (!written && asking_) SayOptions();
    return written ? kAnswered : kBadInput;
  }

 private:
  bool Say(const std::string& text) const {
    console_.Error("tarewise begin: " + Clean(text));
    return false;
  }

  bool Take(const Question& question, const std::string& text) {
    absl::StatusOr<Json> value = question.read(text);
    if (!value.ok()) return Say(std::string(question.option) + ": " + std::string(value.status().message()));
    answers_.Add(question.option, text, *std::move(value));
    return true;
  }

  bool TakeOptions() {
    bool good = true;
    if (!arguments_.rest().empty()) {
      good =
          Say("found " + load::Quoted(arguments_.rest().front()) + ", expected options only (see tarewise help begin)");
    }
    for (const Question& question : Questions()) {
      for (const std::string& text : arguments_.All(question.option)) good = Take(question, text) && good;
    }
    for (const Question& question : Questions()) {
      if (!answers_.Has(question.option) || question.fits == nullptr || question.fits(answers_)) continue;
      good = Say(std::string(question.option) + ": found it where it has no place: " + Why(question.option));
    }
    for (const std::string& text : arguments_.All("--example")) {
      absl::StatusOr<Json> example = ReadExample(text);
      if (!example.ok()) {
        good = Say("--example: " + std::string(example.status().message()));
      } else {
        examples_.push_back(*std::move(example));
      }
    }
    if (const std::optional<std::string> name = arguments_.Get("--name")) {
      if (name->empty() || name->front() == '.' || name->find_first_of("/\\") != std::string::npos ||
          name->ends_with(".json") || load::FirstNotUtf8(*name)) {
        good =
            Say("--name: found " + load::Quoted(*name) + ", expected a file's name without a folder and without .json");
      }
    }
    return good;
  }

  static std::string Why(std::string_view option) {
    if (option == "--one-zone") return "beside --zones, expected one of the two";
    if (option == "--unit") return "amounts of money have no unit";
    if (option == "--country") return "it is of --zones without --origin";
    return "it is of --zones";
  }

  bool Wanted(const Question& question) const {
    return !answers_.Has(question.option) && (question.fits == nullptr || question.fits(answers_));
  }

  std::vector<const Question*> Missing() const {
    std::vector<const Question*> missing;
    for (const Question& question : Questions()) {
      if (!question.expected.empty() && Wanted(question)) missing.push_back(&question);
    }
    return missing;
  }

  // A line from the terminal, without spaces around it; nothing at its end.
  std::optional<std::string> Line(const std::string& prompt) {
    WriteAll(STDERR_FILENO, Clean(prompt) + ": ");
    std::string line;
    for (int c = std::getchar(); c != '\n'; c = std::getchar()) {
      if (c == EOF) {
        WriteAll(STDERR_FILENO, "\n");
        Say("found the end before the last answer; nothing was written");
        return std::nullopt;
      }
      line += static_cast<char>(c);
    }
    const std::size_t begin = line.find_first_not_of(" \t\r");
    if (begin == std::string::npos) return std::string();
    return line.substr(begin, line.find_last_not_of(" \t\r") + 1 - begin);
  }

  bool Ask() {
    console_.Error("Enter alone leaves out what a list may lack. Every answer is an option too: tarewise help begin.");
    for (const Question& question : Questions()) {
      while (Wanted(question) || (question.many && !arguments_.Has(question.option))) {
        const std::optional<std::string> text = Line(std::string(question.asks));
        if (!text) return false;
        if (text->empty()) {
          if (question.expected.empty()) break;
          Say("found nothing, expected " + std::string(question.expected));
        } else {
          Take(question, *text);
        }
      }
    }
    return true;
  }

  // What was typed is not to be typed again.
  void SayOptions() const {
    std::string line = "The same answers as options:\n  tarewise begin";
    const auto quoted = [](const std::string& text) {
      std::string out = "'";
      for (const char c : text) out += c == '\'' ? std::string("'\\''") : std::string(1, c);
      return out + "'";
    };
    for (const Question& question : Questions()) {
      for (const Answers::Answer& one : answers_.All(question.option)) {
        line += " \\\n    " + std::string(question.option) + " " + quoted(one.text);
      }
    }
    console_.Error(line);
  }

  std::optional<Tariff> Read(const Json& draft, bool warnings) {
    SourceText source{out_.PathOf(name_), LaidOut(draft)};
    std::vector<std::pair<std::string, std::string>> files;  // by the document's name and by what was given
    for (const std::string_view option : {"--grid", "--zones"}) {
      if (answers_.Has(option)) files.emplace_back(answers_.Get(option).get<std::string>(), answers_.Text(option));
    }
    Loaded<Tariff> tariff = ReadTariff(source, [&](std::string_view name) -> std::optional<std::string> {
      for (const auto& [beside, path] : files) {
        if (beside == name) return ReadFile(path).value.value_or(SourceText()).text;
      }
      return std::nullopt;
    });
    for (Diagnostic& finding : tariff.diagnostics) {
      for (const auto& [beside, path] : files) {
        if (finding.file == out_.PathOf(beside)) finding.file = path;
      }
      if (!warnings && finding.severity != Diagnostic::Severity::kError) continue;
      // The document is not there yet: its places are answers.
      const std::string_view option = finding.file == source.name ? OptionAt(finding.pointer) : "";
      if (option.empty()) {
        console_.Error(Clean(finding.ToString()));
      } else {
        Say(std::string(option) + ": " + finding.message);
      }
    }
    return std::move(tariff.value);
  }

  static std::string_view OptionAt(std::string_view pointer) {
    constexpr std::pair<std::string_view, std::string_view> kPlaces[] = {
        {"/carrier", "--carrier"},
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

  // Whether the draft has the prices that examples give; says each that it has not.
  bool Agrees(const Tariff& tariff) const {
    const std::vector<DifferingExample> differing = DifferingExamples(tariff, Gazetteer());
    for (const DifferingExample& one : differing) {
      console_.Error(Clean("example " + std::to_string(one.number) + ": " + one.text));
      for (const std::string& line : one.lines) console_.Error(Clean("    " + line));
    }
    return differing.empty();
  }

  Json Whole(Json example) const {
    Json out = {{"service", answers_.Get("--service")}};
    for (auto& [key, value] : example.items()) out[key] = std::move(value);
    if (!out.contains("why"))
      out["why"] = answers_.Has("--page") ? "page " + answers_.Text("--page") : answers_.Text("--source");
    return out;
  }

  Json WithExamples(Json draft) const {
    if (examples_.empty()) return draft;
    for (const Json& example : examples_) draft["examples"].push_back(Whole(example));
    return draft;
  }

  static Json ExampleOf(const TellingParcel& one, const std::string& total) {
    return {{"parcel", {{"weight", one.weight}, {"sides", one.sides}}}, {"zone", one.zone}, {"total", total}};
  }

  std::string Said(const TellingParcel& one, const Tariff& tariff) const {
    return one.weight + ", " + one.sides + ", zone " + one.zone + " (" + one.why + "): the draft gives " +
           one.total.ToString(tariff.currency.decimals());
  }

  // Asks what the printed list says at the telling places. What differs is told and asked again.
  bool AskExamples(const Json& draft, const Tariff& tariff, const std::vector<TellingParcel>& parcels) {
    if (!parcels.empty()) console_.Error("Now the printed list itself, to an address that is no home:");
    for (const TellingParcel& one : parcels) {
      while (true) {
        const std::optional<std::string> total = Line(Said(one, tariff) + "; the printed list (Enter: not looked up)");
        if (!total) return false;
        if (total->empty()) break;
        examples_.push_back(ExampleOf(one, *total));
        const std::optional<Tariff> with = Read(WithExamples(draft), false);
        if (with && Agrees(*with)) break;
        examples_.pop_back();
      }
    }
    return true;
  }

  bool Write() {
    out_ = NewFiles("begin", answers_.Text("--out"));
    name_ = arguments_.Get("--name").value_or(answers_.Text("--carrier") + "-" + answers_.Text("--from").substr(0, 7)) +
            ".json";
    Json draft = DraftOf(answers_);
    std::optional<Tariff> tariff = Read(draft, true);
    if (!tariff) return false;
    const std::vector<TellingParcel> parcels = TellingParcels(*tariff);
    if (asking_ && examples_.empty() && !AskExamples(draft, *tariff, parcels)) return false;
    draft = WithExamples(std::move(draft));
    tariff = Read(draft, false);
    if (!tariff || !Agrees(*tariff)) return false;
    std::string written;
    for (const std::string_view option : {"--grid", "--zones"}) {
      if (!answers_.Has(option)) continue;
      const std::string name = answers_.Get(option).get<std::string>();
      if (SameFile(out_.PathOf(name), answers_.Text(option))) continue;
      if (written.find(" " + name + ",") != std::string::npos) {
        return Say(std::string(option) + ": found a second file of the name " + name + ", expected another name");
      }
      out_.Add({name, ReadFile(answers_.Text(option)).value.value_or(SourceText()).text});
      written += " " + name + ",";
    }
    out_.Add({name_, LaidOut(draft)});
    if (!out_.Write(console_)) return false;
    console_.Write(
        Paragraph(console_.style(), "", 0, "Written to " + answers_.Text("--out") + ":" + written + " " + name_ + "."));
    Tell(*tariff, parcels);
    return true;
  }

  void Tell(const Tariff& tariff, const std::vector<TellingParcel>& parcels) {
    const Style& style = console_.style();
    if (!examples_.empty()) {
      const std::size_t n = examples_.size();
      console_.Write(Paragraph(style, "", 0,
                               std::to_string(n) + (n == 1 ? " example" : " examples") +
                                   " of the printed list, as the draft prices " + (n == 1 ? "it." : "them.")));
    } else {
      console_.Write(Paragraph(style, "", 0,
                               "No example was given: nothing of this draft has been compared with the printed list." +
                                   std::string(parcels.empty() ? "" : " Look these up in it:")));
      for (const TellingParcel& one : parcels) console_.Write(Paragraph(style, "  ", 4, Said(one, tariff)));
      const TellingParcel shown = parcels.empty() ? TellingParcel{"WEIGHT", "SIDES", "ZONE", {}, {}} : parcels.front();
      console_.Write(Paragraph(style, "", 0,
                               "Then add each to " + out_.PathOf(name_) +
                                   " before its last brace, with the printed total in the place of PRINTED:"));
      console_.Write(",\n  \"examples\": [\n    " + Clean(InOneLine(Whole(ExampleOf(shown, "PRINTED")))) + "\n  ]\n");
    }
    console_.Write(Paragraph(style, "", 0,
                             "Next: tarewise check " + answers_.Text("--out") +
                                 "; what the list has besides, and how "
                                 "it is written, is in tables/FORMAT.md."));
  }

  const Arguments& arguments_;
  Console& console_;
  NewFiles out_;
  Answers answers_;
  std::vector<Json> examples_;
  std::string name_;
  bool asking_ = false;
};

int RunBegin(const Arguments& arguments, Console& console) { return Beginning(arguments, console).Run(); }

}  // namespace

const Command kBeginCommand = {
    "begin",
    "begins a carrier's price list from answers: a document that check passes",
    "tarewise begin\n"
    "tarewise begin --carrier CODE --carrier-name NAME ... --out FOLDER",
    kAboutBegin,
    kBeginOptions,
    RunBegin,
};

}  // namespace tarewise::command
