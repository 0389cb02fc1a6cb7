#include <algorithm>
#include <cstdint>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "command/caution_text.h"
#include "command/commands.h"
#include "command/layout.h"
#include "command/quantities.h"
#include "command/request_arguments.h"
#include "command/staircase_overdue.h"
#include "command/tables.h"
#include "documents/text.h"
#include "tarewise/ranking/rank.h"
#include "tarewise/ranking/steps.h"
#include "tarewise/ranking/totals.h"

namespace tarewise::command {
namespace {

using Kind = Option::Kind;

constexpr Option kStaircaseParcelOptions[] = {
    {Kind::kValue, "--tables", "FOLDER", "the folder of the price lists and postal areas"},
    {Kind::kValue, "--sides", "SIDES", "outside sides of the parcel: \"12 x 9 x 4 in\""},
    {Kind::kValue, "--from", "PLACE", "country and postal code: \"US 05401\""},
    {Kind::kValue, "--to", "PLACE", "likewise"},
    {Kind::kFlag, "--residential", "", "to a home"},
    {Kind::kValue, "--date", "DATE", "hand-over, as 2026-08-03"},
    {Kind::kValue, "--up-to", "WEIGHT", "the heaviest gross weight (else 5 lb, or 2.5 kg where the sides are metric)"},
    {Kind::kValue, "--services", "CODES", "these alone, as \"parcel,larkspur/two-day\" (else the six best)"},
    {Kind::kFlag, "--all", "", "the exact steps of every service drawn, not of the cheapest alone"},
    {Kind::kHeading, "What else a price may depend on", "", ""},
    {Kind::kValue, "--shape", "SHAPE", "box, tube, soft, flat or irregular"},
    {Kind::kValue, "--packaging", "CODE", "what it is packed in"},
    {Kind::kValue, "--contents", "WORDS", "traits, as \"fragile media\""},
    {Kind::kValue, "--value", "AMOUNT", "declared value"},
    {Kind::kFlag, "--rigid", "", "it cannot be bent"},
};
constexpr Option kStaircasePromiseOptions[] = {
    {Kind::kValue, "--within", "DAYS", "promised within so many business days"},
    {Kind::kValue, "--paid-for", "SERVICE", "the buyer paid for this service: none slower"},
    {Kind::kValue, "--extra", "CODE", "an extra, as signature; may stand several times", false, true},
    {Kind::kValue, "--cover", "AMOUNT", "cover to this value"},
};
constexpr Option kStaircaseAnswerOptions[] = {
    {Kind::kValue, "--currency", "CODE", "currency of the totals; needed where the tables have several"},
    {Kind::kValue, "--exchange", "CODE=RATE", "one unit of a currency in that of the totals; may stand several times",
     false, true},
    {Kind::kFlag, "--help", "", "this page"},
};
constexpr auto kStaircaseOptions = Joined(kStaircaseParcelOptions, kWhenOptions, kStaircasePromiseOptions, kTermOptions,
                                          kConsignmentOptions, kStaircaseAnswerOptions);

constexpr std::string_view kAboutStaircase =
    "Draws what a sealed parcel of these sides costs from the lightest to the heaviest, a letter a service, the "
    "cheapest in capitals. Below the chart stand the exact steps: they are the tariffs' own thresholds, not samples, "
    "while the chart shows the price at the heavy end of each of its columns.";

constexpr std::size_t kMostDrawn = 6;
constexpr std::size_t kRows = 16;

// From just above the step before up to and including `until`: one total, or not offered.
struct Step {
  std::int64_t until = 0;
  std::optional<Amount> total;
};

struct Stairs {
  std::size_t service = 0;  // In the dispatch.
  std::string name;         // "harbourline/ground"
  std::string title;
  std::vector<Step> steps;
  Amount handicap;  // Counted in the order, whatever the weight.
  std::vector<OverdueSeries> overdue;
  bool unconfirmed = false;  // It does not say how it goes, and these contents never go by air.
  char letter = '?';

  std::optional<Amount> At(std::int64_t weight) const {
    const auto at = std::lower_bound(steps.begin(), steps.end(), weight,
                                     [](const Step& step, std::int64_t w) { return step.until < w; });
    return at == steps.end() ? std::nullopt : at->total;
  }
};

class Chart {
 public:
  Chart(const Book& book, const Ranking& ranking, std::int64_t most, const Style& style)
      : book_(book), ranking_(ranking), dispatch_(ranking.dispatch()), most_(most), style_(style) {}

  // Errors: the codes name a service that there is not, as a line to say.
  std::optional<std::string> Choose(const std::optional<std::string>& codes) {
    std::vector<std::size_t> chosen;
    if (codes) {
      std::string rest = *codes;
      std::replace(rest.begin(), rest.end(), ',', ' ');
      for (std::size_t at = 0; at < rest.size();) {
        const std::size_t end = std::min(rest.find(' ', at), rest.size());
        const std::string code = rest.substr(at, end - at);
        at = end + 1;
        if (code.empty()) continue;
        bool found = false;
        for (std::size_t s = 0; s < dispatch_.services().size(); ++s) {
          if (code != dispatch_.services()[s].service->code && code != NameOf(s)) continue;
          found = true;
          if (std::find(chosen.begin(), chosen.end(), s) == chosen.end()) chosen.push_back(s);
        }
        if (!found) return UnknownService(code);
      }
    } else {
      for (std::size_t s = 0; s < dispatch_.services().size(); ++s) chosen.push_back(s);
    }
    for (const std::size_t s : chosen) {
      Stairs stairs = Walk(s);
      const bool offered =
          std::any_of(stairs.steps.begin(), stairs.steps.end(), [](const Step& one) { return one.total.has_value(); });
      if (offered) {
        all_.push_back(std::move(stairs));
      } else {
        none_.push_back(std::move(stairs));
      }
    }
    chosen_ = codes.has_value();
    FindWinners();
    PickDrawn(!chosen_);
    return std::nullopt;
  }

  bool empty() const { return all_.empty(); }

  /// In words, those of the heaviest parcel drawn and of every service that is offered somewhere.
  std::string CautionsText() const {
    CautionSet all = CautionsOf(ranking_.request().parcel->contents.bits());
    all.AddAll(Cautions(Mode::kSurface));
    for (const Stairs& stairs : all_) {
      if (stairs.unconfirmed) all.Add(CautionCode::kConfirmSurface);
      if (!stairs.overdue.empty()) all.Add(CautionCode::kValueOverdue);
    }
    return command::CautionsText(all.Told().List(), style_);
  }

  /// Where nothing is offered at any weight: what the ranking of the heaviest parcel says of each service.
  std::string WhyNone() const {
    Table table({{"", Table::Align::kLeft, true}, {"", Table::Align::kLeft, true}}, 2);
    for (const Stairs& stairs : none_) {
      std::string name = stairs.title;
      for (const Refusal& refusal : ranking_.refusals()) {
        if (std::string(refusal.carrier) + "/" + std::string(refusal.service) != stairs.name) continue;
        for (const RefusalReason& reason : refusal.reasons) {
          table.Add({{std::exchange(name, "")}, {Clean(reason.text), Tone::kFaint}});
        }
      }
    }
    return table.Text(style_, false);
  }

  std::string Text(bool all) {
    std::string out;
    Draw(out);
    TellKey(out);
    TellWinners(out);
    if (all) TellSteps(out);
    TellNone(out);
    return out + CautionsText();
  }

 private:
  struct Winner {
    std::int64_t until = 0;
    const Stairs* stairs = nullptr;  // Nothing: not offered.
    std::optional<Amount> total;
  };

  // Of an offer of the heaviest parcel drawn.
  CautionSet Cautions(Mode mode) const {
    return CautionsOfOffer(ranking_.request().parcel->contents.bits(), Weight::Nanograms(most_), mode);
  }

  std::string NameOf(std::size_t s) const {
    const Dispatch::Entry& state = dispatch_.services()[s];
    return state.edition->tariff->carrier + "/" + state.service->code;
  }

  std::string UnknownService(const std::string& code) const {
    std::vector<std::string> names;
    for (std::size_t s = 0; s < dispatch_.services().size(); ++s) {
      names.push_back(NameOf(s));
      names.push_back(dispatch_.services()[s].service->code);
    }
    const std::vector<std::string_view> views(names.begin(), names.end());
    const std::string_view nearest = load::NearestName(code, views);
    return "--services: found " + load::Quoted(code) + ", expected services of the tariffs" +
           (nearest.empty() ? "" : " (the nearest is " + std::string(nearest) + ")");
  }

  // Every step of a service up to the heaviest weight, threshold by threshold.
  Stairs Walk(std::size_t s) const {
    const Dispatch::Entry& state = dispatch_.services()[s];
    Stairs stairs;
    stairs.service = s;
    stairs.name = NameOf(s);
    stairs.title = ServiceTitle(*state.edition->tariff, *state.service);
    stairs.unconfirmed = Cautions(state.service->mode).Has(CautionCode::kConfirmSurface);
    const std::vector<WeightStep> steps = StepsByWeight(ranking_, s, Weight::Nanograms(most_));
    for (const WeightStep& step : steps) stairs.steps.push_back({step.until.nanograms(), step.total});
    stairs.overdue = OverdueOfSteps(book_, ranking_, s, steps);
    const auto offered =
        std::find_if(stairs.steps.begin(), stairs.steps.end(), [](const Step& step) { return step.total.has_value(); });
    if (offered != stairs.steps.end()) stairs.handicap = HandicapAt(s, offered->until);
    return stairs;
  }

  Amount HandicapAt(std::size_t s, std::int64_t weight) const {
    const Candidate& candidate = ranking_.candidates().front();
    ParcelFacts facts = candidate.facts;
    facts.weight = weight;
    TotalsResult totals;
    RankTotals(dispatch_, facts, ranking_.request().parcel->value, {candidate.own_cost, candidate.issued_cost}, totals);
    for (const ServiceTotal& one : totals.offers) {
      if (one.service == s) return one.handicap;
    }
    return {};
  }

  // The ranking's own order, between services in one packaging.
  bool Before(const Stairs& a, Amount total_a, const Stairs& b, Amount total_b) const {
    const Amount counted_a = total_a + a.handicap;
    const Amount counted_b = total_b + b.handicap;
    if (counted_a != counted_b) return counted_a < counted_b;
    return dispatch_.ComesBefore(a.service, b.service);
  }

  const Stairs* WinnerAt(std::int64_t weight) const {
    const Stairs* best = nullptr;
    std::optional<Amount> lowest;
    for (const Stairs& stairs : all_) {
      const std::optional<Amount> total = stairs.At(weight);
      if (!total || (best != nullptr && !Before(stairs, *total, *best, *lowest))) continue;
      best = &stairs;
      lowest = total;
    }
    return best;
  }

  void FindWinners() {
    std::vector<std::int64_t> ends;
    for (const Stairs& stairs : all_) {
      for (const Step& step : stairs.steps) ends.push_back(step.until);
    }
    std::sort(ends.begin(), ends.end());
    ends.erase(std::unique(ends.begin(), ends.end()), ends.end());
    for (const std::int64_t end : ends) {
      const Stairs* best = WinnerAt(end);
      const std::optional<Amount> total = best == nullptr ? std::nullopt : best->At(end);
      if (!winners_.empty() && winners_.back().stairs == best && winners_.back().total == total) {
        winners_.back().until = end;
      } else {
        winners_.push_back({end, best, total});
      }
    }
  }

  const Winner* WinnerOver(std::int64_t weight) const {
    const auto at = std::lower_bound(winners_.begin(), winners_.end(), weight,
                                     [](const Winner& winner, std::int64_t w) { return winner.until < w; });
    return at == winners_.end() ? nullptr : &*at;
  }

  // Those that are cheapest somewhere, in that order, then those that come nearest to it, as many as can be told apart.
  void PickDrawn(bool few) {
    std::vector<std::pair<Int128, Stairs*>> order;
    for (Stairs& stairs : all_) {
      const auto wins = std::find_if(winners_.begin(), winners_.end(),
                                     [&stairs](const Winner& winner) { return winner.stairs == &stairs; });
      if (wins != winners_.end()) {
        order.emplace_back(wins - winners_.begin() - static_cast<std::ptrdiff_t>(winners_.size()), &stairs);
        continue;
      }
      Int128 above = 0;
      constexpr std::int64_t kPlaces = 64;
      for (std::int64_t i = 1; i <= kPlaces; ++i) {
        const std::int64_t weight = most_ / kPlaces * i;
        const Winner* winner = WinnerOver(weight);
        if (winner == nullptr || !winner->total) continue;
        const std::optional<Amount> total = stairs.At(weight);
        above += total ? total->micros() - winner->total->micros() : kMostMicros;
      }
      order.emplace_back(above, &stairs);
    }
    std::stable_sort(order.begin(), order.end(), [](const auto& a, const auto& b) { return a.first < b.first; });
    std::size_t drawn = order.size();
    while (few && drawn > kMostDrawn && order[drawn - 1].first >= 0) --drawn;
    constexpr std::size_t kLetters = 26;
    for (std::size_t i = 0; i < drawn && i < kLetters; ++i) {
      order[i].second->letter = static_cast<char>('a' + i);
      drawn_.push_back(order[i].second);
    }
  }

  std::string Money(Amount amount) const { return amount.ToString(ranking_.currency().decimals()); }
  std::string WeightText(std::int64_t ng) const {
    return ExactText(Weight::Nanograms(ng), ranking_.request().weight_units);
  }

  void Draw(std::string& out) const {
    std::optional<Amount> low;
    std::optional<Amount> high;
    for (const Stairs* stairs : drawn_) {
      for (const Step& step : stairs->steps) {
        if (!step.total) continue;
        if (!low || *step.total < *low) low = step.total;
        if (!high || *step.total > *high) high = step.total;
      }
    }
    if (!low) return;
    const std::int64_t span = std::max<std::int64_t>(high->micros() - low->micros(), 1);
    const std::size_t label = std::max(Columns(Money(*high)), Columns(std::string("cheapest"))) + 1;
    const std::size_t columns = style_.width - label - 2;
    std::vector<std::string> grid(kRows, std::string(columns, ' '));
    std::string best(columns, ' ');
    for (std::size_t column = 0; column < columns; ++column) {
      const std::int64_t weight = HeavyEnd(column, columns);
      const Winner* winner = WinnerOver(weight);
      if (winner != nullptr && winner->stairs != nullptr) best[column] = Capital(winner->stairs->letter);
      // The later letters first, so that where several stand at one price the better one is seen.
      for (auto at = drawn_.rbegin(); at != drawn_.rend(); ++at) {
        const std::optional<Amount> total = (*at)->At(weight);
        if (!total) continue;
        const std::size_t row = RowOf(*total, *low, span);
        const bool wins = winner != nullptr && winner->stairs == *at;
        char& place = grid[row][column];
        if (place >= 'A' && place <= 'Z') continue;
        place = wins ? Capital((*at)->letter) : (*at)->letter;
      }
    }
    for (std::size_t row = 0; row < kRows; ++row) {
      // A row's price is that of its lower edge: all that stands in it costs as much or more, and less than the row
      // above.
      const std::int64_t micros =
          low->micros() + static_cast<std::int64_t>(Int128(span) * (kRows - 1 - row) / (kRows - 1));
      const std::int64_t cent = ranking_.currency().minor_unit();
      const std::string price = row % 3 == 0 ? Money(Amount::Micros(micros / cent * cent)) : "";
      out += PadLeft(price, label) + " |" + Painted(grid[row]) + "\n";
    }
    out += std::string(label, ' ') + " +" + Axis(columns) + "\n";
    out += std::string(label, ' ') + "  " + AxisLabels(columns) + "\n";
    out += PadLeft("cheapest", label) + "  " + Painted(best) + "\n";
  }

  static char Capital(char letter) {
    return letter >= 'a' && letter <= 'z' ? static_cast<char>(letter - 'a' + 'A') : letter;
  }

  std::int64_t HeavyEnd(std::size_t column, std::size_t columns) const {
    return static_cast<std::int64_t>(Int128(most_) * (column + 1) / columns);
  }

  static std::size_t RowOf(Amount total, Amount low, std::int64_t span) {
    const Int128 up = Int128(total.micros() - low.micros()) * (kRows - 1) / span;
    return kRows - 1 - static_cast<std::size_t>(up);
  }

  // Capitals in the tone of the best.
  std::string Painted(std::string line) const {
    while (!line.empty() && line.back() == ' ') line.pop_back();
    if (!style_.colour) return line;
    std::string out;
    for (std::size_t i = 0; i < line.size();) {
      const bool capital = line[i] >= 'A' && line[i] <= 'Z';
      std::size_t end = i;
      while (end < line.size() && (line[end] >= 'A' && line[end] <= 'Z') == capital) ++end;
      out += style_.Paint(capital ? Tone::kSaving : Tone::kFaint, line.substr(i, end - i));
      i = end;
    }
    return out;
  }

  // Marks of the weight axis: whole pounds or half kilograms, ounces below three pounds.
  std::int64_t Mark() const {
    const bool imperial = ranking_.request().weight_units == UnitSystem::kImperial;
    const std::vector<std::int64_t> marks =
        imperial ? std::vector<std::int64_t>{Weight::Ounces(1).nanograms(),  Weight::Ounces(2).nanograms(),
                                             Weight::Ounces(4).nanograms(),  Weight::Ounces(8).nanograms(),
                                             Weight::Pounds(1).nanograms(),  Weight::Pounds(2).nanograms(),
                                             Weight::Pounds(5).nanograms(),  Weight::Pounds(10).nanograms(),
                                             Weight::Pounds(20).nanograms(), Weight::Pounds(50).nanograms()}
                 : std::vector<std::int64_t>{Weight::Grams(50).nanograms(),    Weight::Grams(100).nanograms(),
                                             Weight::Grams(250).nanograms(),   Weight::Grams(500).nanograms(),
                                             Weight::Kilograms(1).nanograms(), Weight::Kilograms(2).nanograms(),
                                             Weight::Kilograms(5).nanograms(), Weight::Kilograms(10).nanograms(),
                                             Weight::Kilograms(20).nanograms()};
    for (const std::int64_t mark : marks) {
      if (most_ / mark <= 8) return mark;
    }
    return most_;
  }

  // The column at whose heavy end a weight lies.
  std::size_t ColumnOf(std::int64_t weight, std::size_t columns) const {
    const Int128 column = (Int128(weight) * columns + most_ - 1) / most_ - 1;
    return std::min(columns - 1, static_cast<std::size_t>(column < 0 ? Int128(0) : column));
  }

  std::string Axis(std::size_t columns) const {
    std::string axis(columns, '-');
    for (std::int64_t weight = Mark(); weight <= most_; weight += Mark()) axis[ColumnOf(weight, columns)] = '+';
    return axis;
  }

  std::string AxisLabels(std::size_t columns) const {
    std::string labels(columns, ' ');
    std::size_t free_from = 0;
    for (std::int64_t weight = Mark(); weight <= most_; weight += Mark()) {
      const std::string text = WeightText(weight);
      const std::size_t at = ColumnOf(weight, columns) + 1;
      if (text.size() > at || at - text.size() < free_from) continue;
      labels.replace(at - text.size(), text.size(), text);
      free_from = at + 1;
    }
    while (!labels.empty() && labels.back() == ' ') labels.pop_back();
    return labels;
  }

  void TellKey(std::string& out) const {
    out += "\n";
    std::vector<Table::Column> columns = {{"", Table::Align::kLeft}};
    const bool unconfirmed =
        std::any_of(drawn_.begin(), drawn_.end(), [](const Stairs* stairs) { return stairs->unconfirmed; });
    if (unconfirmed) columns.push_back({"", Table::Align::kLeft});
    columns.push_back({"", Table::Align::kLeft, true});
    columns.push_back({"", Table::Align::kLeft, true});
    bool handicaps = false;
    Table table(std::move(columns), 2);
    for (const Stairs* stairs : drawn_) {
      std::vector<Table::Cell> row = {{std::string(1, stairs->letter), Tone::kBest}};
      if (unconfirmed) row.push_back({stairs->unconfirmed ? "!" : "", Tone::kWarning});
      row.push_back({stairs->title});
      const bool handicap = stairs->handicap > Amount();
      handicaps = handicaps || handicap;
      row.push_back({Clean(stairs->name) + (handicap ? ", handicap " + Money(stairs->handicap) : ""), Tone::kFaint});
      table.Add(std::move(row));
    }
    out += table.Text(style_, false);
    if (unconfirmed) out += Paragraph(style_, "", 2, "!: " + std::string(kConfirmSurfaceText), Tone::kFaint);
    if (handicaps) {
      out += Paragraph(style_, "", 2, "handicap: counted for which is the cheapest, in no total", Tone::kFaint);
    }
    for (const Stairs& stairs : all_) {
      if (stairs.overdue.empty()) continue;
      const bool drawn = std::find(drawn_.begin(), drawn_.end(), &stairs) != drawn_.end();
      out +=
          Paragraph(style_, "", 2,
                    (drawn ? std::string(1, stairs.letter) : Clean(stairs.name)) + ": " + OverdueText(stairs.overdue),
                    Tone::kWarning);
    }
    if (drawn_.size() < all_.size()) {
      out += "  " +
             style_.Paint(Tone::kFaint, std::to_string(all_.size() - drawn_.size()) +
                                            " dearer not drawn; --services names those to draw") +
             "\n";
    }
  }

  void TellWinners(std::string& out) const {
    out += "\n" + style_.Paint(Tone::kHeading, chosen_ ? "Cheapest of these" : "Cheapest") + "\n";
    Table table({{"up to", Table::Align::kRight},
                 {"total", Table::Align::kRight},
                 {"", Table::Align::kLeft},
                 {"", Table::Align::kLeft, true}},
                2);
    for (const Winner& winner : winners_) {
      if (winner.stairs == nullptr) {
        table.Add({{WeightText(winner.until)}, {"-"}, {""}, {"not offered", Tone::kWarning}});
      } else {
        table.Add({{WeightText(winner.until)},
                   {Money(*winner.total)},
                   {std::string(1, Capital(winner.stairs->letter)), Tone::kSaving},
                   {winner.stairs->title}});
      }
    }
    out += table.Text(style_);
  }

  void TellSteps(std::string& out) const {
    for (const Stairs* stairs : drawn_) {
      out += "\n" + style_.Paint(Tone::kHeading, stairs->title) + "\n";
      Table table({{"up to", Table::Align::kRight}, {"total", Table::Align::kRight}}, 2);
      for (const Step& step : stairs->steps) {
        table.Add({{WeightText(step.until)}, {step.total ? Money(*step.total) : "not offered"}});
      }
      out += table.Text(style_);
    }
  }

  void TellNone(std::string& out) const {
    if (none_.empty()) return;
    std::string names;
    for (const Stairs& stairs : none_) names += (names.empty() ? "" : ", ") + Clean(stairs.name);
    out += "\n" + Paragraph(style_, "Not offered:", 13, names, Tone::kFaint);
  }

  const Book& book_;
  const Ranking& ranking_;
  const Dispatch& dispatch_;
  std::int64_t most_;
  const Style& style_;
  bool chosen_ = false;  // The services were named.
  std::vector<Stairs> all_;
  std::vector<Stairs> none_;
  std::vector<Winner> winners_;
  std::vector<const Stairs*> drawn_;
};

int RunStaircase(const Arguments& arguments, Console& console) {
  auto bad = [&console](const std::string& text) {
    console.Error("tarewise staircase: " + text);
    return kBadInput;
  };
  if (!arguments.rest().empty()) {
    return bad("found " + load::Quoted(arguments.rest().front()) +
               ", expected options only (see tarewise help staircase)");
  }
  const bool metric = Length::SystemOf(arguments.Get("--sides").value_or("in")) == UnitSystem::kMetric;
  const std::string up_to = arguments.Get("--up-to").value_or(metric ? "2.5 kg" : "5 lb");
  const absl::StatusOr<Weight> most = Weight::Parse(up_to);
  if (!most.ok()) return bad("--up-to: " + std::string(most.status().message()));
  if (most->nanograms() < 1 || most->nanograms() > Weight::kMostNanograms) {
    return bad("--up-to: found " + load::Quoted(up_to) + ", expected more than 0 and at most 100000 kg");
  }
  Arguments with_weight = arguments;
  with_weight.Add("--sealed", "");
  with_weight.Add("--weight", up_to);
  ArgumentsRequest read = ReadRequestArguments(with_weight);
  for (const std::string& error : read.errors) console.Error("tarewise staircase: " + error);
  const std::optional<Book> book = LoadBook("staircase", arguments, console);
  if (!read.request || !book) return kBadInput;
  RankOptions options;
  options.thresholds = false;
  const absl::StatusOr<Ranking> ranking = Rank(book->ratebook, book->shelf, *std::move(read.request), options);
  if (!ranking.ok()) return bad(WithOptionName(ranking.status()));
  const Request& request = ranking->request();
  Chart chart(*book, *ranking, most->nanograms(), console.style());
  if (const std::optional<std::string> error = chart.Choose(arguments.Get("--services"))) return bad(*error);
  std::string head = "Sealed parcel of " + request.parcel->sides.ToString(request.side_units) + ", up to " +
                     most->ToString(request.weight_units) + "; " + PlaceText(request.lane.from) + " to " +
                     PlaceText(request.lane.to) + (request.lane.to.residential() ? ", a home" : "") + "; handed over " +
                     request.date.ToString() + "; totals in " + std::string(ranking->currency().code()) + ".";
  console.Write(Paragraph(console.style(), "", 0, head, Tone::kFaint) + "\n");
  if (chart.empty()) {
    console.Write(console.style().Paint(Tone::kWarning, "Nothing can be offered for this.") + "\n\n");
    console.Write(chart.WhyNone() + chart.CautionsText());
    return kNothingOffered;
  }
  console.Write(chart.Text(arguments.Has("--all")));
  return kAnswered;
}

}  // namespace

const Command kStaircaseCommand = {
    "staircase",
    "draws what a parcel costs by each service from the lightest to the heaviest",
    "tarewise staircase --tables FOLDER --sides S --from P --to P --date D ...",
    kAboutStaircase,
    kStaircaseOptions,
    RunStaircase,
};

}  // namespace tarewise::command
