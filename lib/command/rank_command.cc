#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cstring>
#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <utility>

#include "command/commands.h"
#include "command/plans_text.h"
#include "command/ranking_text.h"
#include "command/request_arguments.h"
#include "command/tables.h"
#include "documents/files.h"
#include "documents/text.h"
#include "tarewise/documents/plans_json.h"
#include "tarewise/documents/ranking_json.h"
#include "tarewise/plans/plans.h"
#include "tarewise/ranking/rank.h"

namespace tarewise::command {
namespace {

using Kind = Option::Kind;

constexpr Option kRankGoodsOptions[] = {
    {Kind::kHeading, "Tables", "", ""},
    {Kind::kValue, "--tables", "FOLDER", "the folder of the price lists, postal areas and shelf"},
    {Kind::kFlag, "--estimate", "", "do not look at the shelf: estimate before the goods are packed"},
    {Kind::kHeading, "Goods, or a sealed parcel", "", ""},
    {Kind::kValue, "--weight", "WEIGHT",
     "of the goods, or the gross weight of a sealed parcel: \"1 lb 3 oz\", \"540 g\", or a range \"14..18 oz\"", true,
     true},
    {Kind::kValue, "--sides", "SIDES", "\"12 x 9 x 4 in\", or with a range \"10..12 x 9 x 4 in\"", true, true},
    {Kind::kValue, "--quantity", "N", "so many alike", true, true},
    {Kind::kValue, "--value", "AMOUNT", "declared value of one", true, true},
    {Kind::kValue, "--contents", "WORDS", "traits, as \"fragile media\"", true, true},
    {Kind::kValue, "--shape", "SHAPE", "box, tube, soft, flat or irregular", true, true},
    {Kind::kFlag, "--this-side-up", "", "the third side stays upright", true, true},
    {Kind::kValue, "--may-stand", "PLACES", "which of the three sides may be upright, as \"2,3\" (else any)", true,
     true},
    {Kind::kFlag, "--top-free", "", "nothing may be above it in a carton", true, true},
    {Kind::kValue, "--bears", "WEIGHT", "the most that may be above it in a carton (else anything)", true, true},
    {Kind::kValue, "--presses-to", "PERCENT", "of soft goods: what their volume may be pressed to, as \"60 %\"", true,
     true},
    {Kind::kValue, "--least-thickness", "LENGTH", "of soft goods: under which they do not go, however pressed", true,
     true},
    {Kind::kValue, "--title", "TEXT", "what it is called where it is told how to pack", true, true},
    {Kind::kFlag, "--rigid", "", "it cannot be bent", true, true},
    {Kind::kFlag, "--bare", "", "it may go without any packaging", true, true},
    {Kind::kFlag, "--and", "", "what follows is another thing of the same order", true, true},
    {Kind::kFlag, "--sealed", "", "it is a parcel, packed and closed: gross weight, outside sides", true},
    {Kind::kValue, "--packaging", "CODE", "what a sealed parcel is packed in, where that matters", true, true},
    {Kind::kHeading, "Several parcels", "", ""},
    {Kind::kValue, "--parcels", "N", "the goods may go in so many parcels: how to part them for the least", true},
    {Kind::kValue, "--all-by", "WORD", "service or carrier: all parcels go by one", true},
    {Kind::kValue, "--together", "THINGS",
     "things that travel in one parcel, counted from 1, as \"1,2\"; may stand several times", true, true},
    {Kind::kValue, "--apart", "THINGS", "things of which no two share a parcel; may stand several times", true, true},
    {Kind::kValue, "--plans", "N", "how many ways to part them are told (else 3)", true},
    {Kind::kHeading, "From, to, when", "", ""},
    {Kind::kValue, "--from", "PLACE", "country and postal code: \"US 05401\"", true},
    {Kind::kValue, "--to", "PLACE", "likewise", true},
    {Kind::kFlag, "--residential", "", "to a home", true},
    {Kind::kValue, "--date", "DATE", "hand-over, as 2026-08-03; needed, for the program has no clock", true},
};
constexpr Option kRankPromiseOptions[] = {
    {Kind::kValue, "--within", "DAYS", "promised within so many business days", true},
    {Kind::kValue, "--paid-for", "SERVICE", "the buyer paid for this service, as harbourline/swift: none slower", true},
    {Kind::kHeading, "Wishes", "", ""},
    {Kind::kValue, "--extra", "CODE", "an extra, as signature; may stand several times", true, true},
    {Kind::kValue, "--cover", "AMOUNT", "cover to this value", true},
};
constexpr Option kRankAnswerOptions[] = {
    {Kind::kValue, "--tolerance", "WEIGHT", "what the scale may be short by", true},
    {Kind::kValue, "--tolerance-sides", "LENGTH", "what the tape may be short by", true},
    {Kind::kValue, "--objective", "WORD", "cheapest, or cautious: by the total due if scale and tape are short", true},
    {Kind::kValue, "--currency", "CODE", "currency of the totals; needed where the tables have several", true},
    {Kind::kValue, "--exchange", "CODE=RATE", "one unit of a currency in that of the totals; may stand several times",
     true, true},
    {Kind::kValue, "--padding", "LENGTH", "kept free on each side in a carton (else 1 in where goods are fragile)",
     true},
    {Kind::kValue, "--fill-weight", "WEIGHT", "of paper and cushions", true},
    {Kind::kValue, "--allowance", "WEIGHTS",
     "packing allowance of an estimate over a pound (else \"8..12 oz\", common practice)", true},
    {Kind::kValue, "--step", "WEIGHT", "finest step of the scale, for what to take out (else 0.1 oz or 1 g)", true},
    {Kind::kValue, "--step-sides", "LENGTH", "finest step of the tape (else 1/8 in or 1 mm)", true},
    {Kind::kHeading, "Answer", "", ""},
    {Kind::kFlag, "--all", "", "every way and every refusal, not the best of each service"},
    {Kind::kFlag, "--lines", "", "the charge lines of every way told"},
    {Kind::kFlag, "--arrangement", "",
     "how to pack the best way: steps to follow, the layers drawn, and what each thing may grow"},
    {Kind::kFlag, "--json", "", "the ranking as a tarewise-ranking-1 document, plans as a tarewise-plans-1 document"},
    {Kind::kFlag, "--room-to-grow", "",
     "with --json: exactly how much longer each side may be in each packaging; may take minutes"},
    {Kind::kFlag, "--each", "",
     "one request a line on standard input, one ranking a line as JSON in answer; a bad request is answered with "
     "{\"error\": \"...\"} on its line, and the exit code is 0 unless the input itself cannot be read"},
    {Kind::kFlag, "--help", "", "this page"},
};
constexpr auto kRankOptions =
    Joined(kRankGoodsOptions, kWhenOptions, kRankPromiseOptions, kTermOptions, kConsignmentOptions, kRankAnswerOptions);

constexpr std::string_view kAboutRank =
    "Ranks every way to send goods or a sealed parcel, from a request document or from plain arguments.\n"
    "Goods are tried in every packaging of the shelf, the carriers' own included. The answer tells the cheapest way, "
    "the next best, what to change to pay less, then every offer, the charges of the best one, and what is not offered "
    "and why. With --parcels the goods are parted where several parcels cost less, or where one cannot take them.\n"
    "Changes that pay less are named at the top where they take off no more than a tenth; --json has them all.";

std::optional<std::string> ReadStandardInput(const Console& console) {
  if (isatty(STDIN_FILENO) == 1) {
    console.Error(
        "tarewise rank: found no request, expected a request document (a file's name, or on standard input), or "
        "--weight, --sides, --from, --to and --date");
    return std::nullopt;
  }
  std::string text;
  char buffer[1 << 16];
  while (true) {
    const ssize_t got = load::ReadSome(STDIN_FILENO, buffer, sizeof buffer);
    if (got > 0) text.append(buffer, static_cast<std::size_t>(got));
    if (got == 0 || text.size() > load::kMostBytes) return text;
    if (got < 0) {
      console.Error(std::string("tarewise rank: standard input cannot be read: ") + std::strerror(errno));
      return std::nullopt;
    }
  }
}

absl::StatusOr<Ranking> RankIn(const Book& book, Request request, bool estimate) {
  return Rank(book.ratebook, estimate ? nullptr : book.shelf, std::move(request));
}

// Whether the answer is plans of several parcels and not a ranking.
bool AsksForPlans(const Request& request) { return request.parcels.has_value() || !request.sealed.empty(); }

// In JSON with headroom and savers, as of a ranking; in words they are not told of each parcel.
absl::StatusOr<Plans> PlanIn(const Book& book, Request request, bool estimate, bool thresholds) {
  // Steps to pack a parcel name what has no title by its place in the order, not in the parcel.
  for (std::size_t i = 0; i < request.goods.size(); ++i) {
    if (request.goods[i].title.empty()) request.goods[i].title = "item " + std::to_string(i + 1);
  }
  PlanOptions options;
  options.thresholds = thresholds;
  return FindPlans(book.ratebook, estimate ? nullptr : book.shelf, std::move(request), options);
}

std::string ErrorJson(const std::string& message) {
  nlohmann::ordered_json json;
  json["error"] = message;
  return json.dump(-1, ' ', false, nlohmann::ordered_json::error_handler_t::replace) + "\n";
}

std::string AnswerLine(const Book& book, std::string_view line, std::size_t number, bool estimate) {
  Loaded<Request> request = ReadRequest({"request " + std::to_string(number), std::string(line)});
  if (!request.ok()) {
    std::string message;
    for (const Diagnostic& finding : request.diagnostics) {
      if (finding.severity != Diagnostic::Severity::kError) continue;
      message += (message.empty() ? "" : "; ") + finding.ToString();
    }
    return ErrorJson(message);
  }
  auto answered = [number](const auto& answer) {
    if (answer.ok()) return ToJson(*answer, -1) + "\n";
    return ErrorJson("request " + std::to_string(number) + ": " + std::string(answer.status().message()));
  };
  if (AsksForPlans(*request.value)) return answered(PlanIn(book, *std::move(request.value), estimate, true));
  return answered(RankIn(book, *std::move(request.value), estimate));
}

int RankEach(const Book& book, bool estimate, Console& console) {
  std::string line;
  std::size_t number = 0;
  char buffer[1 << 16];
  while (true) {
    const ssize_t got = load::ReadSome(STDIN_FILENO, buffer, sizeof buffer);
    if (got < 0) {
      console.Error(std::string("tarewise rank: standard input cannot be read: ") + std::strerror(errno));
      return kBadInput;
    }
    if (got == 0) break;
    std::string_view piece(buffer, static_cast<std::size_t>(got));
    while (!piece.empty()) {
      const std::size_t end = piece.find('\n');
      const std::string_view part = piece.substr(0, end);
      // Of a line over the limit no more is kept than it takes to refuse it.
      if (line.size() <= load::kMostBytes) line += part;
      if (end == std::string_view::npos) break;
      console.Write(AnswerLine(book, line, ++number, estimate));
      line.clear();
      piece.remove_prefix(end + 1);
    }
    if (!console.Flush()) return kAnswered;
  }
  if (!line.empty()) console.Write(AnswerLine(book, line, ++number, estimate));
  return kAnswered;
}

// The request, from arguments or a document; nothing after errors, which are said.
std::optional<Request> FindRequest(const Arguments& arguments, bool by_arguments, const Console& console) {
  if (by_arguments) {
    ArgumentsRequest read = ReadRequestArguments(arguments);
    for (const std::string& error : read.errors) console.Error("tarewise rank: " + error);
    return std::move(read.request);
  }
  SourceText source;
  if (arguments.rest().empty() || arguments.rest().front() == "-") {
    std::optional<std::string> text = ReadStandardInput(console);
    if (!text) return std::nullopt;
    source = {"standard input", *std::move(text)};
  } else {
    Loaded<SourceText> file = ReadFile(arguments.rest().front());
    SayFindings(file.diagnostics, console, false);
    if (!file.ok()) return std::nullopt;
    source = *std::move(file.value);
  }
  Loaded<Request> request = ReadRequest(source);
  if (!request.ok()) SayFindings(request.diagnostics, console, false);
  return std::move(request.value);
}

int RunRank(const Arguments& arguments, Console& console) {
  std::string_view of_request;
  for (const Option& option : kRankOptions) {
    if (option.of_request && of_request.empty() && arguments.Has(option.name)) of_request = option.name;
  }
  const bool each = arguments.Has("--each");
  const bool by_arguments = !of_request.empty();
  auto bad = [&console](const std::string& text) {
    console.Error("tarewise rank: " + text);
    return kBadInput;
  };
  if (arguments.rest().size() > 1) {
    return bad("found " + load::Quoted(arguments.rest()[1]) + " after " + load::Quoted(arguments.rest()[0]) +
               ", expected one request document");
  }
  if (by_arguments && (each || !arguments.rest().empty())) {
    return bad("found " + std::string(of_request) + " beside " +
               (each ? "--each" : "the request document " + load::Quoted(arguments.rest()[0])) +
               ", expected a document or arguments, not both");
  }
  if (each && !arguments.rest().empty() && arguments.rest()[0] != "-") {
    return bad("--each: found the name " + load::Quoted(arguments.rest()[0]) + ", expected requests on standard input");
  }
  if (arguments.Has("--room-to-grow") && (each || !arguments.Has("--json"))) {
    return bad("--room-to-grow: found it without --json, or beside --each, expected it beside --json");
  }
  const std::optional<Book> book = LoadBook("rank", arguments, console);
  const bool estimate = arguments.Has("--estimate");
  if (each) return book ? RankEach(*book, estimate, console) : static_cast<int>(kBadInput);
  if (!book && !by_arguments) return kBadInput;
  std::optional<Request> request = FindRequest(arguments, by_arguments, console);
  if (!book || !request) return kBadInput;
  auto bad_request = [&](const absl::Status& status) {
    return bad(by_arguments ? WithOptionName(status) : std::string(status.message()));
  };
  const bool as_json = arguments.Has("--json");
  RankingJson how;
  how.room_to_grow = arguments.Has("--room-to-grow");
  if (AsksForPlans(*request)) {
    const absl::StatusOr<Plans> plans = PlanIn(*book, *std::move(request), estimate, as_json);
    if (!plans.ok()) return bad_request(plans.status());
    console.Write(as_json ? ToJson(*plans, how) + "\n"
                          : PlansText(*plans, arguments.Has("--arrangement"), console.style()));
    return plans->plans().empty() ? kNothingOffered : kAnswered;
  }
  const absl::StatusOr<Ranking> ranking = RankIn(*book, *std::move(request), estimate);
  if (!ranking.ok()) return bad_request(ranking.status());
  if (as_json) {
    console.Write(ToJson(*ranking, how) + "\n");
  } else {
    console.Write(RankingText(
        *ranking, {arguments.Has("--all"), arguments.Has("--lines"), arguments.Has("--arrangement")}, console.style()));
  }
  return ranking->offers().empty() ? kNothingOffered : kAnswered;
}

}  // namespace

const Command kRankCommand = {
    "rank",
    "ranks every way to send goods or a sealed parcel, cheapest first, with reasons",
    "tarewise rank --tables FOLDER [--json] [REQUEST.json | < REQUEST.json]\n"
    "tarewise rank --tables FOLDER --weight W --sides S --from P --to P --date D ...\n"
    "tarewise rank --tables FOLDER --each < REQUESTS",
    kAboutRank,
    kRankOptions,
    RunRank,
};

}  // namespace tarewise::command
