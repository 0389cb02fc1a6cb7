#include "command/ranking_text.h"

#include <algorithm>
#include <map>
#include <optional>
#include <set>
#include <string_view>
#include <utility>
#include <vector>

#include "command/arrangement_text.h"
#include "command/asked_text.h"
#include "command/caution_text.h"
#include "command/layout.h"
#include "command/offer_facts.h"
#include "command/quantities.h"
#include "command/tables.h"

namespace tarewise::command {
namespace {

constexpr std::size_t kLabel = 15;
constexpr std::size_t kMostNamed = 3;

std::string DaysText(const std::optional<Days>& days) {
  if (!days) return "?";
  if (days->least == days->most) return std::to_string(days->most);
  return std::to_string(days->least) + "-" + std::to_string(days->most);
}

// A reason's code as people say it: "over_limit" is "over limit".
std::string ReasonWords(Reason reason) {
  std::string words(NameOf(reason));
  std::replace(words.begin(), words.end(), '_', ' ');
  return words;
}

class Teller {
 public:
  Teller(const Ranking& ranking, const RankingView& view, const Style& style)
      : ranking_(ranking), request_(ranking.request()), view_(view), style_(style) {}

  std::string Text() {
    out_ += AskedText(request_, ranking_.currency(), style_);
    if (ranking_.offers().empty()) {
      out_ += "\n" + style_.Paint(Tone::kWarning, "Nothing can be offered for this.") + "\n";
    } else {
      TellBest();
      if (view_.arrangement) out_ += ArrangementText(ranking_, ranking_.offers().front(), style_);
      TellOffers();
      TellLines();
    }
    TellRefusals();
    out_ += CautionsText(ranking_.cautions(), style_);
    return std::move(out_);
  }

  std::string WayOf(const Offer& offer) const { return Named(offer); }
  std::string LinesOf(const Offer& offer) {
    TellLines(offer);
    return std::move(out_);
  }

 private:
  // ---- words ----

  std::string Money(Amount amount) const { return amount.ToString(ranking_.currency().decimals()); }
  std::string MoneyWithCode(Amount amount) const {
    return Money(amount) + " " + std::string(ranking_.currency().code());
  }
  std::string TotalText(const Offer& offer, const std::string& between) const {
    if (!offer.range || offer.range->lowest == offer.range->highest) return Money(offer.total);
    return Money(offer.range->lowest) + between + Money(offer.range->highest);
  }
  const Candidate& CandidateOf(const Offer& offer) const { return ranking_.candidates()[offer.candidate_index]; }

  std::string ServiceTitle(const Offer& offer) const { return ServiceTitle(offer.service_index); }
  std::string ServiceTitle(std::size_t index) const {
    const Dispatch::Entry& state = ranking_.dispatch().services()[index];
    return command::ServiceTitle(*state.edition->tariff, *state.service);
  }

  // "in Carton 14 x 9 x 5", "unpacked, as it is"; empty where the packaging has no name.
  std::string InPackaging(const Offer& offer) const {
    const Candidate& candidate = CandidateOf(offer);
    if (ranking_.estimate()) return "";
    if (candidate.packaging == nullptr) return "";
    if (Unpacked(offer)) return "without packaging";
    return "in " + PackagingTitle(candidate) + CutText(offer, ", cut down to ");
  }
  bool Unpacked(const Offer& offer) const {
    const Packaging* packaging = CandidateOf(offer).packaging;
    return packaging != nullptr && packaging->kind == PackagingKind::kBare;
  }
  static std::string PackagingTitle(const Candidate& candidate) {
    if (candidate.packaging == nullptr) return "own";
    return Clean(candidate.packaging->title.empty() ? candidate.packaging->code : candidate.packaging->title);
  }
  std::string PackagingCode(const Offer& offer) const {
    return offer.packaging.empty() ? "own" : Clean(offer.packaging) + CutText(offer, " cut to ");
  }
  std::string CutText(const Offer& offer, std::string_view words) const {
    return offer.cut_to ? std::string(words) + LengthText(*offer.cut_to) : std::string();
  }

  std::string WeightText(Weight weight) const { return weight.ToString(request_.weight_units); }
  std::string LengthText(Length length) const { return length.ToString(request_.side_units); }

  std::string HandicapsText(const Offer& offer) const {
    return command::HandicapsText(offer, ranking_.currency().decimals()) + "; counted in the order, in no total";
  }
  bool WithoutTax() const { return request_.totals == Totals::kWithoutTax; }

  static std::string RangeText(const std::string& least, const std::string& most) {
    return least == most ? least : least + " to " + most;
  }

  // ---- what to do ----

  void Fact(std::string_view label, std::string_view text, Tone tone = Tone::kPlain) {
    out_ += Paragraph(style_, "  " + std::string(label), kLabel + 2, text, tone);
  }

  std::string Named(const Offer& offer) const {
    const std::string in = InPackaging(offer);
    return ServiceTitle(offer) + (in.empty() ? "" : " " + in);
  }

  void TellBest() {
    const Offer& best = ranking_.offers().front();
    std::string sentence = "Send it by " + Named(best) + (best.cut_to ? ", for " : " for ");
    if (ranking_.estimate()) sentence += "about ";
    sentence += TotalText(best, " to ") + " " + std::string(ranking_.currency().code());
    if (best.days)
      sentence += ", " + RangeText(std::to_string(best.days->least), std::to_string(best.days->most)) +
                  (best.days->most == 1 ? " business day" : " business days");
    sentence += best.tracked ? "." : ", not tracked.";
    out_ += "\n" + Paragraph(style_, "", 0, sentence, Tone::kBest);
    if (ranking_.estimate()) {
      out_ +=
          Paragraph(style_, "", 0,
                    "An estimate before packing: an inch more on each side, and the packing allowance for goods over a "
                    "pound. Weigh and measure the parcel before paying.",
                    Tone::kWarning);
    }
    out_ += "\n";
    if (Unconfirmed(best)) Fact("take care", kConfirmSurfaceText, Tone::kWarning);
    if (!best.overdue.empty()) Fact("out of date", OverdueText(best.overdue), Tone::kWarning);
    if (best.delivers != Delivery::kDoor) Fact("it ends", EndWords(best.delivers));
    if (best.arrives) Fact("it arrives", ArrivalText(*best.arrives));
    if (best.tax) Fact("tax", TaxText(*best.tax, best.tariff_currency));
    if (!best.handicaps.empty()) Fact("handicap", HandicapsText(best));
    TellNext(best);
    TellSaver(best);
    TellRoom(best);
    TellRisk(best);
    TellChanges();
  }

  // Month and day: the year stands at the top, and the dates of the best in full.
  static std::string DayText(Date date) { return date.ToString().substr(5); }

  static bool Unconfirmed(const Offer& offer) { return offer.cautions.Has(CautionCode::kConfirmSurface); }

  void TellNext(const Offer& best) {
    const Offer* next = nullptr;
    const Offer* other_service = nullptr;
    for (const Offer& offer : ranking_.offers()) {
      if (&offer == &best) continue;
      if (next == nullptr) next = &offer;
      if (other_service == nullptr && offer.service_index != best.service_index) other_service = &offer;
    }
    if (next == nullptr) {
      Fact("next best", "none; this is the only way");
      return;
    }
    Fact("next best", NextText(best, *next));
    if (other_service != nullptr && other_service != next) Fact("other service", NextText(best, *other_service));
  }

  std::string NextText(const Offer& best, const Offer& offer) const {
    std::string text = Money(offer.total);
    const std::string in = InPackaging(offer);
    if (offer.service_index == best.service_index) {
      text += " by the same service" + (in.empty() ? "" : " " + in);
    } else if (offer.candidate_index == best.candidate_index) {
      text += " by " + ServiceTitle(offer);
      if (!in.empty()) text += Unpacked(offer) ? ", without packaging too" : " in the same packaging";
    } else {
      text += " by " + Named(offer);
    }
    const Amount more = offer.total - best.total;
    if (more.micros() > 0) {
      text += ": " + Money(more) + " more";
    } else if (more.micros() < 0) {
      text += ": " + Money(-more) + " less";
    } else {
      const bool slower = best.days && offer.days && offer.days->most > best.days->most;
      text += slower ? ": the same price, but slower" : ": the same price";
    }
    if (more.micros() <= 0 && offer.handicap > best.handicap) {
      text += ", but a handicap of " + Money(offer.handicap) + " against " + Money(best.handicap);
    }
    if (offer.at_risk && !best.at_risk) {
      text += offer.total_at_risk ? ", but " + Money(*offer.total_at_risk) + " at risk"
                                  : ", but at risk of not being taken";
    }
    if (Unconfirmed(offer) && !Unconfirmed(best)) text += "; " + std::string(kConfirmSurfaceText);
    if (!offer.overdue.empty() && best.overdue.empty()) text += "; " + OverdueText(offer.overdue);
    return text;
  }

  // Worth a seller's while: goods rarely lose more than a tenth.
  static bool Practical(const Offer& offer, const Saver& saver) {
    if (saver.of == Aspect::kWeight) return saver.weight.nanograms() <= offer.weight.nanograms() / 10;
    const std::size_t side = static_cast<std::size_t>(saver.of) - 1;
    return saver.length.nanometres() <= offer.sides.sides()[side].nanometres() / 10;
  }

  void TellSaver(const Offer& best) {
    const Offer* with = nullptr;
    const Saver* saver = nullptr;
    for (const Offer& offer : ranking_.offers()) {
      for (const Saver& one : offer.savers) {
        if (one.total >= best.total || !Practical(offer, one)) continue;
        if (saver == nullptr || one.total < saver->total) {
          with = &offer;
          saver = &one;
        }
      }
    }
    if (saver == nullptr) return;
    constexpr std::string_view kSides[] = {"", "longest", "second", "shortest"};
    std::string text;
    const bool same = with->candidate_index == best.candidate_index;
    if (!same) text += "pack it " + InPackaging(*with) + " and ";
    if (saver->of == Aspect::kWeight) {
      text += "take out " + WeightText(saver->weight);
    } else {
      text += "take " + LengthText(saver->length) + " off the " +
              std::string(kSides[static_cast<std::size_t>(saver->of)]) + " side";
    }
    text += " and it is " + Money(saver->total) + ", saving " + Money(best.total - saver->total);
    Fact("to pay less", text, Tone::kSaving);
  }

  void TellRoom(const Offer& best) {
    constexpr std::string_view kSides[] = {"longest", "second", "shortest"};
    std::string text =
        best.headroom.weight ? RoomText(*best.headroom.weight, request_.weight_units) + " more" : "any weight more";
    // The least that every side may grow, alone; the sides that may not at all by name.
    std::optional<Length> least;
    std::string none;
    int without = 0;
    for (std::size_t i = 0; i < 3; ++i) {
      const std::optional<Length>& side = best.headroom.sides[i];
      if (side && side->nanometres() == 0) {
        none += (none.empty() ? "" : " and ") + std::string(kSides[i]);
        ++without;
      } else if (side && (!least || *side < *least)) {
        least = side;
      }
    }
    if (least)
      text += ", or " + RoomText(*least, request_.side_units) + (none.empty() ? " on any one side" : " on a side");
    text += ", at the same price";
    if (without == 3) {
      text += "; nothing on any side";
    } else if (without > 0) {
      text += "; nothing on the " + none + (without == 1 ? " side" : " sides");
    }
    Fact("room left", text);
  }

  std::string ToleranceText() const {
    std::string text;
    if (request_.tolerance.weight.nanograms() > 0) text += WeightText(request_.tolerance.weight) + " on the scale";
    if (request_.tolerance.sides.nanometres() > 0) {
      text += (text.empty() ? "" : " and ") + LengthText(request_.tolerance.sides) + " on the tape";
    }
    return text;
  }

  void TellRisk(const Offer& best) {
    if (!best.at_risk) return;
    Fact("at risk",
         best.total_at_risk ? "with " + ToleranceText() + " more it is " + Money(*best.total_at_risk) + ", " +
                                  Money(*best.total_at_risk - best.total) + " above"
                            : "with " + ToleranceText() + " more it is not taken at all",
         Tone::kWarning);
  }

  void TellChanges() {
    for (const WinnerChange& change : ranking_.changes()) {
      constexpr std::string_view kSides[] = {"", "first side", "second side", "third side"};
      std::string text = "above ";
      if (change.of == Aspect::kWeight) {
        text += ShortText(change.above_weight, request_.weight_units) +
                (ranking_.estimate() || request_.parcel ? "" : " of goods");
      } else {
        text += LengthText(change.above_length) + " on the " + std::string(kSides[static_cast<std::size_t>(change.of)]);
      }
      if (change.service.empty()) {
        text += ": nothing can be offered";
      } else {
        const std::string in = request_.parcel || ranking_.estimate() ? "" : " in " + Clean(change.packaging);
        text += ": " + Money(change.total) + " by " + Clean(change.carrier) + "/" + Clean(change.service) + in;
      }
      Fact("it changes", text);
    }
  }

  // ---- offers ----

  // Those that are told: all, or the best of each service.
  std::vector<const Offer*> Told() const {
    std::vector<const Offer*> told;
    std::set<std::uint32_t> seen;
    for (const Offer& offer : ranking_.offers()) {
      if (view_.all || seen.insert(offer.service_index).second) told.push_back(&offer);
    }
    return told;
  }

  void Heading(const std::string& text, const std::string& beside = "") {
    out_ += "\n" + command::Heading(style_, text, beside);
  }

  void TellOffers() {
    const std::vector<const Offer*> told = Told();
    const std::size_t all = ranking_.offers().size();
    Heading("Ways to send",
            told.size() == all ? Plural(all, "way", "ways")
                               : "the best of each service; " + std::to_string(all) + " ways in all, --all tells them");
    bool risk = false;
    bool untracked = false;
    bool unconfirmed = false;
    bool handicaps = false;
    bool arrives = false;
    bool ends = false;
    std::size_t weight_width = 0;
    for (const Offer* offer : told) {
      risk = risk || offer->at_risk;
      untracked = untracked || !offer->tracked;
      unconfirmed = unconfirmed || Unconfirmed(*offer);
      handicaps = handicaps || offer->handicap > Amount();
      arrives = arrives || offer->arrives.has_value();
      ends = ends || offer->delivers != Delivery::kDoor;
      weight_width = std::max(weight_width, Columns(ShortText(offer->billable, request_.weight_units)));
    }
    std::vector<Table::Column> columns = {{"total", Table::Align::kRight}};
    if (handicaps) columns.push_back({"handicap", Table::Align::kRight});
    if (risk) columns.push_back({"at risk", Table::Align::kRight});
    if (unconfirmed) columns.push_back({"", Table::Align::kLeft});
    columns.push_back({"service", Table::Align::kLeft, true});
    const bool one_packaging = ranking_.estimate() || request_.parcel;
    if (!one_packaging) columns.push_back({"packed in", Table::Align::kLeft, true, 9});
    columns.push_back({"zone", Table::Align::kLeft});
    columns.push_back({"days", Table::Align::kLeft});
    if (arrives) columns.push_back({"by", Table::Align::kLeft});
    if (ends) columns.push_back({"ends", Table::Align::kLeft});
    if (untracked) columns.push_back({"", Table::Align::kLeft});
    // Where much else is told and the screen is narrow it is left to the lines.
    const bool billable = style_.width >= 100 || risk + handicaps + arrives + ends + untracked < 4;
    if (billable) columns.push_back({"billable weight", Table::Align::kLeft, true, 15, true});
    Table table(std::move(columns), 2);
    for (const Offer* offer : told) {
      const Tone tone = offer == told.front() ? Tone::kBest : Tone::kPlain;
      std::vector<Table::Cell> row = {{TotalText(*offer, "-"), tone}};
      if (handicaps) row.push_back({offer->handicap > Amount() ? Money(offer->handicap) : "", Tone::kFaint});
      if (risk) {
        row.push_back({!offer->at_risk ? "" : (offer->total_at_risk ? Money(*offer->total_at_risk) : "not taken"),
                       Tone::kWarning});
      }
      if (unconfirmed) row.push_back({Unconfirmed(*offer) ? "!" : "", Tone::kWarning});
      row.push_back({ServiceTitle(*offer), tone});
      if (!one_packaging) row.push_back({PackagingCode(*offer), tone});
      row.push_back({Clean(offer->zone), tone});
      row.push_back({DaysText(offer->days), tone});
      if (arrives) row.push_back({offer->arrives ? DayText(offer->arrives->latest) : "", tone});
      if (ends) row.push_back({std::string(NameOf(offer->delivers)), tone});
      if (untracked) row.push_back({offer->tracked ? "" : "untracked", Tone::kFaint});
      if (billable) {
        row.push_back({PadLeft(ShortText(offer->billable, request_.weight_units), weight_width) + " " +
                           std::string(kBillableFromNames[static_cast<int>(offer->billable_from)]),
                       tone});
      }
      table.Add(std::move(row));
    }
    out_ += table.Text(style_);
    if (handicaps) {
      out_ += Paragraph(style_, "", 2, "handicap: of the seller's own rules; counted in the order, in no total",
                        Tone::kFaint);
    }
    if (risk) out_ += Paragraph(style_, "", 2, "at risk: the total with " + ToleranceText() + " more", Tone::kFaint);
    if (unconfirmed) out_ += Paragraph(style_, "", 2, "!: " + std::string(kConfirmSurfaceText), Tone::kFaint);
  }

  void TellLines() {
    if (!view_.lines) return TellLines(ranking_.offers().front());
    for (const Offer* offer : Told()) TellLines(*offer);
  }

  void TellLines(const Offer& offer) {
    const int decimals = offer.tariff_currency.decimals();
    Heading("What " + Money(offer.total) + " is made of",
            Clean(std::string(offer.carrier) + "/" + std::string(offer.service)) +
                (InPackaging(offer).empty() ? "" : " in " + PackagingCode(offer)) + ", " +
                ShortText(offer.weight, request_.weight_units) + ", " + ShortText(offer.sides, request_.side_units));
    Table table({{"", Table::Align::kRight}, {"", Table::Align::kLeft, true}, {"", Table::Align::kLeft, true}}, 2);
    Amount sum;
    for (const Charge& charge : offer.charges) {
      sum = sum + charge.amount;
      std::string why = ranking_.Why(offer, charge);
      if (const std::string row = Ranking::Row(charge); !row.empty()) {
        why += "; row " + row + ", column " + ranking_.Column(offer, charge);
      }
      const std::string title(charge.title.empty() ? charge.code : charge.title);
      table.Add({{charge.amount.ToString(decimals), charge.amount.micros() < 0 ? Tone::kSaving : Tone::kPlain},
                 {Clean(charge.code == "base" ? "price of " + title : title)},
                 {Clean(why), Tone::kFaint}});
    }
    const bool converted = offer.tariff_currency != ranking_.currency();
    const Amount listed = offer.tax ? offer.tax->with_tax : offer.service_total;
    if (sum != listed) table.Add({{listed.ToString(decimals)}, {"rounded"}, {}});
    const bool tax_off = offer.tax && WithoutTax();
    if (tax_off) {
      table.Add({{(-offer.tax->amount).ToString(decimals), Tone::kSaving},
                 {Clean(offer.tax->tax->title) + " " + offer.tax->tax->percent.ToString()},
                 {"taken off: totals are without tax", Tone::kFaint}});
    }
    if (converted) {
      const Dispatch::Entry& state = ranking_.dispatch().services()[offer.service_index];
      const std::optional<ExchangeRate>& rate = ranking_.dispatch().carriers()[state.carrier].rate;
      table.Add({{Money(offer.total - offer.packaging_cost)},
                 {offer.service_total.ToString(decimals) + " " + std::string(offer.tariff_currency.code()) + " in " +
                  std::string(ranking_.currency().code())},
                 {rate ? "at " + rate->ToString() : "", Tone::kFaint}});
    }
    if (offer.packaging_cost.micros() != 0) {
      table.Add({{Money(offer.packaging_cost)}, {PackagingTitle(CandidateOf(offer))}, {"packaging", Tone::kFaint}});
    }
    if (offer.charges.size() + (offer.packaging_cost.micros() != 0 ? 1 : 0) > 1 || converted || tax_off) {
      table.Add({{Money(offer.total), Tone::kBest}, {"total", Tone::kBest}, {}});
    }
    out_ += table.Text(style_, false);
    // Of the best they stand at the top.
    if (&offer == &ranking_.offers().front()) return;
    if (offer.tax) out_ += Paragraph(style_, "", 2, TaxText(*offer.tax, offer.tariff_currency), Tone::kFaint);
    if (!offer.handicaps.empty()) out_ += Paragraph(style_, "", 2, "handicap: " + HandicapsText(offer), Tone::kFaint);
  }

  // ---- refusals ----

  // Refusals of one reason and one wording.
  struct Wording {
    std::string text;
    std::vector<std::string> names;
  };

  std::string RefusedService(const Refusal& refusal) const {
    const std::vector<Dispatch::Entry>& services = ranking_.dispatch().services();
    for (std::size_t i = 0; i < services.size(); ++i) {
      if (services[i].service->code == refusal.service && services[i].edition->tariff->carrier == refusal.carrier) {
        return ServiceTitle(i);
      }
    }
    return Clean(refusal.service);
  }

  std::string RefusedPackaging(const Refusal& refusal) const {
    return refusal.packaging.empty() ? "own" : Clean(refusal.packaging);
  }

  // What of a refusal is the same for every packaging: the rule's own words, without what was measured.
  static std::string CommonWording(const RefusalReason& reason) {
    return Clean(reason.rule != nullptr ? reason.rule->reason : reason.text);
  }

  bool OfferedOtherwise(const Refusal& refusal) const {
    return std::any_of(ranking_.offers().begin(), ranking_.offers().end(), [&refusal](const Offer& offer) {
      return offer.service == refusal.service && offer.carrier == refusal.carrier;
    });
  }

  // True where the same service is refused in some packaging for another reason than that packaging.
  bool RefusedOtherwise(const Refusal& refusal) const {
    return std::any_of(ranking_.refusals().begin(), ranking_.refusals().end(), [&refusal](const Refusal& other) {
      return other.service == refusal.service && other.carrier == refusal.carrier && !other.reasons.empty() &&
             other.reasons.front().code != Reason::kPackagingNotAllowed;
    });
  }

  static std::string NamesText(const std::vector<std::string>& names) {
    std::string text;
    const std::size_t told = names.size() <= kMostNamed + 1 ? names.size() : kMostNamed;
    for (std::size_t i = 0; i < told; ++i) text += (i == 0 ? "" : ", ") + names[i];
    if (told < names.size()) text += " and " + std::to_string(names.size() - told) + " more";
    return text;
  }

  // By the first reason; services that go in no packaging by name, the others only counted.
  void TellRefusals() {
    if (ranking_.refusals().empty()) return;
    if (view_.all) return TellEveryRefusal();
    struct Group {
      std::size_t count = 0;
      std::size_t otherwise = 0;
      std::vector<Wording> wordings;
    };
    std::map<Reason, Group> groups;
    for (const Refusal& refusal : ranking_.refusals()) {
      if (refusal.reasons.empty()) continue;
      const RefusalReason& reason = refusal.reasons.front();
      Group& group = groups[reason.code];
      ++group.count;
      const bool service = !refusal.service.empty();
      if (service &&
          (OfferedOtherwise(refusal) || (reason.code == Reason::kPackagingNotAllowed && RefusedOtherwise(refusal)))) {
        ++group.otherwise;
        continue;
      }
      const std::string name = service ? RefusedService(refusal) : RefusedPackaging(refusal);
      Add(group.wordings, service ? CommonWording(reason) : "", name);
    }
    Heading("Not offered", Plural(ranking_.refusals().size(), "way", "ways") + "; --all tells each");
    for (const auto& [reason, group] : groups) {
      const std::string head = PadLeft(std::to_string(group.count), 5) + "  " + ReasonWords(reason);
      std::string text;
      for (const Wording& wording : group.wordings) {
        text +=
            (text.empty() ? "" : "; ") + NamesText(wording.names) + (wording.text.empty() ? "" : ": " + wording.text);
      }
      if (group.otherwise > 0) {
        text += (text.empty() ? "" : "; ") +
                (group.otherwise == group.count ? std::string() : std::to_string(group.otherwise) + " ") +
                (reason == Reason::kPackagingNotAllowed ? "in packaging that the service does not take"
                                                        : "of services that take it in other packaging");
      }
      out_ += Paragraph(style_, head, 32, text, Tone::kFaint);
    }
  }

  static void Add(std::vector<Wording>& wordings, const std::string& text, const std::string& name) {
    // A service is named once, with the first of its wordings.
    for (const Wording& wording : wordings) {
      if (std::find(wording.names.begin(), wording.names.end(), name) != wording.names.end()) return;
    }
    const auto at =
        std::find_if(wordings.begin(), wordings.end(), [&text](const Wording& one) { return one.text == text; });
    if (at != wordings.end()) {
      at->names.push_back(name);
    } else {
      wordings.push_back({text, {name}});
    }
  }

  void TellEveryRefusal() {
    Heading("Not offered", Plural(ranking_.refusals().size(), "way", "ways"));
    Table table({{"", Table::Align::kLeft, true}, {"", Table::Align::kLeft, true}, {"", Table::Align::kLeft, true}}, 2);
    for (const Refusal& refusal : ranking_.refusals()) {
      const std::string name = refusal.service.empty() ? "any service" : RefusedService(refusal);
      bool first = true;
      for (const RefusalReason& reason : refusal.reasons) {
        table.Add({{first ? name : ""},
                   {first ? RefusedPackaging(refusal) : ""},
                   {ReasonWords(reason.code) + ": " + Clean(reason.text), Tone::kFaint}});
        first = false;
      }
    }
    out_ += table.Text(style_, false);
  }

  const Ranking& ranking_;
  const Request& request_;
  const RankingView& view_;
  const Style& style_;
  std::string out_;
};

}  // namespace

std::string RankingText(const Ranking& ranking, const RankingView& view, const Style& style) {
  return Teller(ranking, view, style).Text();
}

std::string WayText(const Ranking& ranking, const Offer& offer, const Style& style) {
  return Teller(ranking, {}, style).WayOf(offer);
}

std::string LinesText(const Ranking& ranking, const Offer& offer, const Style& style) {
  return Teller(ranking, {}, style).LinesOf(offer);
}

}  // namespace tarewise::command
