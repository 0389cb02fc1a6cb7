#include <unistd.h>

#include <algorithm>
#include <array>
#include <cstdint>
#include <limits>
#include <map>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "command/catalogue.h"
#include "command/caution_text.h"
#include "command/commands.h"
#include "command/layout.h"
#include "command/output_file.h"
#include "command/pricing_arguments.h"
#include "command/tables.h"
#include "documents/text.h"
#include "tarewise/batch/reprice.h"
#include "tarewise/units/percent.h"

namespace tarewise::command {
namespace {

using Kind = Option::Kind;

constexpr Option kRepriceCatalogueOptions[] = {
    {Kind::kHeading, "Tables and catalogue", "", ""},
    {Kind::kValue, "--tables", "FOLDER", "the folder of the price lists, postal areas and shelf"},
    kColumnOption,
    {Kind::kValue, "--out", "FILE", "write there, not to standard output; the file is there only when it is whole"},
    {Kind::kHeading, "From, to, when", "", ""},
};
constexpr Option kRepriceDateOptions[] = {
    {Kind::kValue, "--date", "DATE", "hand-over, as 2026-08-03; needed, for the program has no clock"},
    {Kind::kHeading, "Wishes", "", ""},
    {Kind::kValue, "--parcels", "N",
     "rows of one order may go in so many parcels: the best plan, and in how many it goes"},
};
constexpr Option kRepriceAnswerOptions[] = {
    {Kind::kHeading, "Answer", "", ""},
    {Kind::kValue, "--quantile", "PERCENT",
     "with --mix: the total that so many percent of the parcels do not pass; may stand several times", false, true},
    kThreadsOption,
    {Kind::kFlag, "--help", "", "this page"},
};
constexpr auto kRepriceOptions = Joined(kRepriceCatalogueOptions, kLaneOptions, kRepriceDateOptions, kWhenOptions,
                                        kWishOptions, kTermOptions, kRepriceAnswerOptions);

constexpr std::string_view kAboutReprice =
    "Prices a catalogue: a CSV file of any size, read row by row from a file or from standard input. Every row is "
    "written again as it is, with columns of ours behind it, in the same order.\n"
    "To one place: the best total with the packaging's cost, its service and packaging, and the least total of another "
    "service. To several places: the same for each. To a mix: the mean total, the dearest and where to. Last stand "
    "reason, empty where the row is priced (a bad row gets its reason and never stops the rest), and cautions, the "
    "codes of what to take care of with these goods; their words are said once, on standard error.\n"
    "Columns are known by the words and units of the header: weight_oz, \"Length (cm)\", sides_in, quantity, "
    "value_usd, contents, shape, this_side_up, rigid, bare, order; without a unit each cell has its own (\"1 lb 3 "
    "oz\"). "
    "Other columns are kept.\n"
    "Rows with the same entry under order, next to each other or not, are one parcel with the goods of all of them. "
    "Its "
    "answer stands on its first row, and the others say in_order. A catalogue with orders is held in memory.\n"
    "With --parcels an order is parted where several parcels cost less, or where one cannot take it: the total is that "
    "of all its parcels, service and packaging are those of the first, there is no total of another service, and the "
    "column parcels says how many there are (not to a mix). It takes far longer.\n"
    "Exit code 0 where at least one row is priced, 1 where none is, 2 for bad input.";

// What is written for one row, made once for the run.
class Answers {
 public:
  /// `parcels`: in how many an order goes is told too.
  Answers(const Repricer& repricer, std::vector<std::int64_t> levels, bool parcels)
      : repricer_(repricer),
        mix_(!repricer.setup().shares.empty()),
        decimals_(repricer.currency().decimals()),
        tells_parcels_(parcels),
        levels_(std::move(levels)) {}

  // Names of our columns.
  std::vector<std::string> Header() const {
    std::string currency(repricer_.currency().code());
    for (char& c : currency) c = static_cast<char>(c - 'A' + 'a');
    std::vector<std::string> names;
    if (mix_) {
      names = {"expected_total_" + currency, "worst_total_" + currency, "worst_place"};
      for (const std::int64_t level : levels_) {
        // A level is a part of the whole in millionths, "95 %".
        const std::string percent = Percent::TenThousandths(level).ToString();
        names.push_back("total_" + percent.substr(0, percent.find(' ')) + "_percent_" + currency);
      }
    } else {
      const std::vector<Lane>& lanes = repricer_.lanes();
      for (const Lane& lane : lanes) {
        std::string place;
        if (lanes.size() > 1) {
          place = "_" + lane.to.country() + (lane.to.postal_code().empty() ? "" : "_") + lane.to.postal_code();
        }
        for (const std::string& name : {"best_total_" + currency, std::string("parcels"), std::string("best_service"),
                                        std::string("best_packaging"), "second_total_" + currency}) {
          if (tells_parcels_ || name != "parcels") names.push_back(name + place);
        }
      }
    }
    names.emplace_back("reason");
    names.emplace_back("cautions");
    return names;
  }

  absl::Status Run(const CatalogueBlock& block, const RepriceOptions& options) {
    const std::size_t cells = block.rows * repricer_.lanes().size();
    RepriceResults results;
    reason_.resize(block.rows);
    results.reason = reason_.data();
    cautions_.resize(block.rows);
    results.cautions = cautions_.data();
    if (mix_) {
      for (auto* column : {&expected_, &worst_}) column->resize(block.rows);
      worst_lane_.resize(block.rows);
      quantile_.resize(block.rows * levels_.size());
      results.expected = expected_.data();
      results.worst = worst_.data();
      results.worst_lane = worst_lane_.data();
      if (!levels_.empty()) results.quantile = quantile_.data();
      results.levels = levels_;
    } else {
      for (auto* column : {&total_, &second_}) column->resize(cells);
      for (auto* column : {&service_, &packaging_}) column->resize(cells);
      results.total = total_.data();
      results.service = service_.data();
      results.packaging = packaging_.data();
      results.second_total = second_.data();
      if (tells_parcels_) {
        parcels_.resize(cells);
        results.parcels = parcels_.data();
      }
    }
    return repricer_.Run(block.Columns(), results, options);
  }

  void Add(const CatalogueBlock& block, std::size_t row, std::string& out) {
    const RowReason reason = static_cast<RowReason>(reason_[row]);
    if (mix_) {
      out += ',';
      AddTotal(expected_[row], out);
      out += ',';
      AddTotal(worst_[row], out);
      out += ',';
      if (worst_lane_[row] >= 0) {
        out += CsvField(PlaceText(repricer_.lanes()[static_cast<std::size_t>(worst_lane_[row])].to));
      }
      for (std::size_t i = 0; i < levels_.size(); ++i) {
        out += ',';
        AddTotal(quantile_[row * levels_.size() + i], out);
      }
    } else {
      const std::size_t lanes = repricer_.lanes().size();
      for (std::size_t at = row * lanes; at < (row + 1) * lanes; ++at) {
        out += ',';
        AddTotal(total_[at], out);
        if (tells_parcels_) {
          out += ',';
          if (parcels_[at] > 0) out += std::to_string(parcels_[at]);
        }
        out += ',';
        if (service_[at] >= 0) {
          const auto& service = repricer_.services()[static_cast<std::size_t>(service_[at])];
          out += CsvField(std::string(service.carrier) + "/" + std::string(service.service));
        }
        out += ',';
        if (packaging_[at] >= 0) {
          const std::string_view code = repricer_.packagings()[static_cast<std::size_t>(packaging_[at])].code;
          out += CsvField(code.empty() ? "own" : code);
        }
        out += ',';
        AddTotal(second_[at], out);
      }
    }
    out += ',';
    if (!block.reasons[row].empty()) {
      ++reasons_["bad row"];
      out += CsvField(Clean(block.reasons[row]));
    } else if (reason != RowReason::kPriced) {
      ++reasons_[std::string(NameOf(reason))];
      out += NameOf(reason);
    }
    const CautionSet cautions = CautionSet::FromBits(cautions_[row]);
    all_cautions_.AddAll(cautions);
    out += ',';
    out += cautions.Codes();
    if (reason == RowReason::kPriced || reason == RowReason::kNotEverywhere) ++priced_;
    ++rows_;
  }

  std::uint64_t rows() const { return rows_; }
  std::uint64_t priced() const { return priced_; }
  CautionSet cautions() const { return all_cautions_; }

  // "3012 of 3015 rows priced; 2 fits_nothing, 1 bad row"
  std::string Told() const {
    std::string out = std::to_string(priced_) + " of " + std::to_string(rows_) + " rows priced";
    const char* between = "; ";
    for (const auto& [name, count] : reasons_) {
      out += between + std::to_string(count) + " " + name;
      between = ", ";
    }
    return out;
  }
  bool flawless() const { return reasons_.empty(); }

 private:
  void AddTotal(std::int64_t micros, std::string& out) const {
    if (micros != kNoTotal) out += Amount::Micros(micros).ToString(decimals_);
  }

  const Repricer& repricer_;
  const bool mix_;
  const int decimals_;
  const bool tells_parcels_;
  std::vector<std::int64_t> levels_;
  std::vector<std::int64_t> total_, second_, expected_, worst_, quantile_;
  std::vector<std::int16_t> service_, packaging_, parcels_;
  std::vector<std::int32_t> worst_lane_;
  std::vector<std::uint8_t> reason_;
  std::vector<std::uint32_t> cautions_;
  CautionSet all_cautions_;
  std::map<std::string, std::uint64_t> reasons_;
  std::uint64_t rows_ = 0;
  std::uint64_t priced_ = 0;
};

int RunReprice(const Arguments& arguments, Console& console) {
  auto say = [&console](const std::string& text) { console.Error("tarewise reprice: " + text); };
  if (arguments.rest().size() > 1) {
    say("found " + std::to_string(arguments.rest().size()) +
        " files, expected one catalogue (or - for standard input)");
    return kBadInput;
  }
  const std::string path = arguments.rest().empty() ? "-" : arguments.rest().front();
  const std::string reader_name = path == "-" ? "standard input" : path;
  if (path == "-" && isatty(STDIN_FILENO) == 1) {
    say("found no catalogue, expected a CSV file's name, or rows on standard input");
    return kBadInput;
  }
  const std::optional<std::string> date = arguments.Get("--date");
  if (!date) {
    say(std::string(kDateWanted));
    return kBadInput;
  }
  std::vector<std::int64_t> levels;
  for (const std::string& text : arguments.All("--quantile")) {
    const absl::StatusOr<Percent> level = Percent::Parse(text);
    if (!level.ok() || level->ten_thousandths() > 1'000'000) {
      say("--quantile: found " + load::Quoted(text) + ", expected 0 to 100 percent");
      return kBadInput;
    }
    levels.push_back(level->ten_thousandths());
  }
  if (!levels.empty() && !arguments.Has("--mix")) {
    say("--quantile: found it without --mix, expected both");
    return kBadInput;
  }
  const std::optional<unsigned> threads = ReadThreads("reprice", arguments, console);
  if (!threads) return kBadInput;
  std::optional<Book> book = LoadBook("reprice", arguments, console);
  if (!book) return kBadInput;
  std::optional<RepriceSetup> setup = ReadPricing("reprice", arguments, *date, book->ratebook, book->shelf, console);
  if (!setup) return kBadInput;
  const absl::StatusOr<Repricer> repricer = Repricer::Create(*std::move(setup));
  if (!repricer.ok()) {
    say(std::string(repricer.status().message()));
    return kBadInput;
  }
  CatalogueReader reader(repricer->currency(), arguments.All("--column"));
  Answers answers(*repricer, std::move(levels), arguments.Has("--parcels"));
  std::string text;
  if (reader.Open(path)) {
    text = reader.header();
    for (const std::string& name : answers.Header()) {
      if (reader.Has(name))
        say(reader_name + ": found the column " + load::Quoted(name) + " already, expected none of that name");
      if (reader.Has(name)) return kBadInput;
      text += "," + CsvField(name);
    }
    text += "\n";
  } else {
    for (const std::string& error : reader.errors()) say(Clean(error));
    return kBadInput;
  }
  OutputFile out(arguments.Get("--out"), console);
  if (!out.Open(reader.stream().file())) return kBadInput;
  constexpr std::size_t kCells = std::size_t{1} << 18;
  // An order may have its rows anywhere, so that all must be read before one is priced.
  const std::size_t most = reader.HasOrders() ? std::numeric_limits<std::size_t>::max()
                                              : std::clamp<std::size_t>(kCells / repricer->lanes().size(), 64, 16384);
  RepriceOptions options;
  options.threads = *threads;
  CatalogueBlock block;
  {
    Progress progress(reader.stream().size());
    while (reader.Read(most, block)) {
      if (const absl::Status status = answers.Run(block, options); !status.ok()) {
        say(std::string(status.message()));
        return kBadInput;
      }
      for (std::size_t row = 0; row < block.rows; ++row) {
        text += block.Raw(row);
        answers.Add(block, row, text);
        text += '\n';
      }
      if (!out.Write(text)) return out.reader_gone() ? kAnswered : kBadInput;
      text.clear();
      progress.Show(answers.rows(), reader.stream().bytes());
    }
  }
  if (!reader.errors().empty()) {
    for (const std::string& error : reader.errors()) say(reader_name + ": " + Clean(error));
    return kBadInput;
  }
  // A header alone is written too.
  if (!out.Write(text) || !out.Close()) return out.reader_gone() ? kAnswered : kBadInput;
  SayCautions("reprice", answers.cautions(), console);
  if (!answers.flawless() || isatty(STDERR_FILENO) == 1) say(answers.Told());
  return answers.priced() > 0 ? kAnswered : kNothingOffered;
}

}  // namespace

const Command kRepriceCommand = {
    "reprice",
    "prices a whole catalogue, row by row, to one place, several, or a mix of them",
    "tarewise reprice --tables FOLDER --date DATE --from PLACE (--to PLACE... | --mix FILE) [options] [CATALOGUE.csv | "
    "-]",
    kAboutReprice,
    kRepriceOptions,
    RunReprice,
};

}  // namespace tarewise::command
