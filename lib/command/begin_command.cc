#include <unistd.h>

#include <algorithm>
#include <cstdio>
#include <map>
#include <optional>
#include <string>
#include <string_view>
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
#include "documents/codes.h"
#include "documents/files.h"
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
    if (!asking_ && !missing.empty()) {
      for (const Question* question : missing) {
        Say(std::string(question->option) + ": found none, expected " + std::string(question->expected));
      }
      Say("standard input is no terminal, so nothing was asked: every answer is an option (see tarewise help begin)");
      return kBadInput;
    }
    const bool written = (!asking_ || Ask()) && Write();
    if (!written && asking_ && answers_.any()) SayOptions();
    return written ? kAnswered : kBadInput;
  }

 private:
  bool Say(const std::string& text) const {
    console_.Error("tarewise begin: " + Clean(text));
    return false;
  }

  bool SayOfFile(const std::string& option, const std::string& file, std::string_view what) const {
    return Say(option + ": " + file + ": " + std::string(what));
  }

  bool Take(const Question& question, const std::string& text) {
    absl::StatusOr<Json> value = question.read(text);
    if (!value.ok()) return Say(std::string(question.option) + ": " + std::string(value.status().message()));
    if (question.takes == Question::Takes::kFile) {
      // Read here and nowhere else: what is checked is what is written, also of a pipe and of a file that changes.
      Loaded<SourceText> file = ReadFile(text);
      if (!file.ok()) {
        return Say(std::string(question.option) + ": " + text + ": " + file.diagnostics.front().message);
      }
      files_[std::string(question.option)] = *std::move(file.value);
    }
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
        example_texts_.push_back(text);
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

  // A line from the terminal, without spaces around it; nothing at its end. `option`: what answers it too.
  std::optional<std::string> Line(const std::string& prompt, std::string_view option) {
    WriteAll(STDERR_FILENO, Clean(prompt) + ": ");
    std::string line;
    for (int c = std::getchar(); c != '\n'; c = std::getchar()) {
      if (c == EOF) {
        WriteAll(STDERR_FILENO, "\n");
        Say("found the end of standard input, expected an answer to \"" + prompt + "\" (" + std::string(option) +
            "); nothing was written");
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
      while (Wanted(question) || (question.takes == Question::Takes::kSeveral && !arguments_.Has(question.option))) {
        const std::optional<std::string> text = Line(std::string(question.asks), question.option);
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
    const auto add = [&](std::string_view option, const std::string& text) {
      line += " \\\n    " + std::string(option) + " " + quoted(text);
    };
    for (const Question& question : Questions()) {
      for (const Answers::Answer& one : answers_.All(question.option)) add(question.option, one.text);
    }
    if (const std::optional<std::string> name = arguments_.Get("--name")) add("--name", *name);
    for (const std::string& text : example_texts_) add("--example", text);
    console_.Error(line);
  }

  std::optional<Tariff> Read(const Json& draft, bool warnings) {
    SourceText source{out_.PathOf(name_), LaidOut(draft)};
    Loaded<Tariff> tariff = ReadTariff(source, [&](std::string_view name) -> std::optional<std::string> {
      for (const auto& [option, file] : files_) {
        if (NameIn(option) == name) return file.text;
      }
      return std::nullopt;
    });
    TellFindings(std::move(tariff.diagnostics), warnings);
    return std::move(tariff.value);
  }

  // What the document calls the file of an option.
  std::string NameIn(std::string_view option) const { return answers_.Get(option).get<std::string>(); }

  // The document is not there yet: its places are answers, and files bear the names that were given.
  void TellFindings(std::vector<Diagnostic> findings, bool warnings) const {
    bool unknown_zone = false;
    for (Diagnostic& finding : findings) {
      if (!warnings && finding.severity != Diagnostic::Severity::kError) continue;
      for (const auto& [option, file] : files_) {
        if (finding.file == out_.PathOf(NameIn(option))) finding.file = file.name;
      }
      const std::string_view option = finding.file == out_.PathOf(name_) ? OptionAt(finding.pointer) : "";
      if (finding.code == load::kSameStart) {
        finding.message += "; tarewise renew makes the next season's list from that one";
      }
      unknown_zone = unknown_zone || (finding.code == load::kUnknownZone && !finding.file.ends_with(".json"));
      if (finding.code == load::kMissingKey && finding.pointer == "/zones/main/0" && !answers_.Has("--zone-column")) {
        Say("--zone-column: found none, expected the name of the column of zones: " + files_.at("--zones").name +
            " has several columns more than those of codes, or lines above its header");
        continue;
      }
      if (option.empty()) {
        console_.Error(Clean(finding.ToString()));
      } else {
        Say(std::string(option) + ": " + finding.message);
      }
    }
    if (unknown_zone) {
      Say("the header of --grid and the zones of --zones or --one-zone name a zone alike: change the one or the other");
    }
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
           one.total.ToString(tariff.currency.decimals()) + (one.made_of.empty() ? "" : " (" + one.made_of + ")");
  }

  // Asks what the printed list says at the telling places. What differs is told and asked again.
  bool AskExamples(const Json& draft, const Tariff& tariff, const std::vector<TellingParcel>& parcels) {
    if (!parcels.empty()) console_.Error("Now the printed list itself, to an address that is no home:");
    for (const TellingParcel& one : parcels) {
      std::string printed;  // what the draft does not give
      while (true) {
        const std::optional<std::string> total =
            Line(Said(one, tariff) + "; the printed list (Enter: not looked up)", "--example");
        if (!total) return false;
        if (total->empty()) break;
        printed = *total;
        examples_.push_back(ExampleOf(one, *total));
        example_texts_.push_back(one.weight + "; " + one.sides + "; " + one.zone + "; " + *total);
        const std::optional<Tariff> with = Read(WithExamples(draft), false);
        if (with && Agrees(*with)) {
          printed.clear();
          break;
        }
        examples_.pop_back();
        example_texts_.pop_back();
      }
      if (!printed.empty()) differing_.push_back(Said(one, tariff) + ", the printed list " + printed);
    }
    return true;
  }

  // The grid and the zones, unless they lie in the folder already.
  bool TakeFiles() {
    for (const auto& [option, file] : files_) {
      const std::string name = NameIn(option);
      if (option != "--grid" && NameIn("--grid") == name) {
        return SayOfFile(option, file.name, "found a second file of this name, expected another name");
      }
      if (SameFile(out_.PathOf(name), file.name)) continue;
      out_.Add({name, file.text}, "rename the file, or give " + option + " the one in the folder");
    }
    return true;
  }

  // Whether the folder, with all that is to be written in it, is one that `check` passes.
  bool Fits(const NewFiles& whole) const {
    if (!whole.AllNew(console_)) return false;
    std::vector<SourceText> drafts;
    for (const auto& [option, file] : files_) {
      const std::string path = out_.PathOf(NameIn(option));
      if (!SameFile(path, file.name)) continue;
      const Loaded<SourceText> now = load::ReadFileText(path, /*pipes=*/false);
      if (!now.ok()) return SayOfFile(option, path, now.diagnostics.front().message);
      if (now.value->text != file.text) return SayOfFile(option, path, load::kChangedWords);
      drafts.push_back({NameIn(option), file.text});
    }
    drafts.insert(drafts.end(), whole.files().begin(), whole.files().end());
    Loaded<Tables> tables = ReadFolderWith(answers_.Text("--out"), drafts);
    if (tables.ok()) return true;
    TellFindings(std::move(tables.diagnostics), false);
    return Say("--out: found a folder that tarewise check would not pass with this list in it; nothing was written");
  }

  NewFiles With(const Json& draft) const {
    NewFiles whole = out_;
    whole.Add({name_, LaidOut(draft)},
              "--name gives another; the next season of a list is made from it by tarewise renew");
    return whole;
  }

  bool Write() {
    out_ = NewFiles("begin", answers_.Text("--out"));
    name_ = arguments_.Get("--name").value_or(answers_.Text("--carrier") + "-" + answers_.Text("--from").substr(0, 7)) +
            ".json";
    if (!TakeFiles()) return false;
    Json draft = DraftOf(answers_);
    std::optional<Tariff> tariff = Read(draft, true);
    if (!tariff || !Fits(With(draft))) return false;
    const std::vector<TellingParcel> parcels = TellingParcels(*tariff);
    if (asking_ && examples_.empty() && !AskExamples(draft, *tariff, parcels)) return false;
    draft = WithExamples(std::move(draft));
    tariff = Read(draft, false);
    if (!tariff || !Agrees(*tariff)) return false;
    NewFiles whole = With(draft);
    if (!Fits(whole) || !whole.Write(console_)) return false;
    std::string written;
    for (const SourceText& file : whole.files()) written += (written.empty() ? " " : ", ") + file.name;
    console_.Write(Paragraph(console_.style(), "", 0, "Written to " + answers_.Text("--out") + ":" + written + "."));
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
      const TellingParcel shown =
          parcels.empty() ? TellingParcel{"WEIGHT", "SIDES", "ZONE", {}, {}, {}} : parcels.front();
      console_.Write(Paragraph(style, "", 0,
                               "Then add each to " + out_.PathOf(name_) +
                                   " before its last brace, with the printed total in the place of PRINTED:"));
      console_.Write(",\n  \"examples\": [\n    " + Clean(InOneLine(Whole(ExampleOf(shown, "PRINTED")))) + "\n  ]\n");
    }
    for (const std::string& one : differing_) {
      console_.Write(
          Paragraph(style, "!", 2, "Not kept, for the draft differs: " + one + ". See which of the two is right."));
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
  std::map<std::string, SourceText> files_;  // by option, under the paths that were given
  std::vector<Json> examples_;
  std::vector<std::string> example_texts_;  // as options
  std::vector<std::string> differing_;      // printed prices that the draft does not give
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
