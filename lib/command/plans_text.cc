#include "command/plans_text.h"

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <iterator>
#include <string_view>
#include <utility>
#include <vector>

#include "command/arrangement_text.h"
#include "command/asked_text.h"
#include "command/caution_text.h"
#include "command/layout.h"
#include "command/offer_facts.h"
#include "command/ranking_text.h"

namespace tarewise::command {
namespace {

constexpr std::size_t kLabel = 15;

// "Two parcels", "13 parcels".
std::string ParcelsText(std::size_t n) {
  constexpr std::string_view kWords[] = {"No",    "One",   "Two",  "Three", "Four",   "Five",  "Six",
                                         "Seven", "Eight", "Nine", "Ten",   "Eleven", "Twelve"};
  return (n < std::size(kWords) ? std::string(kWords[n]) : std::to_string(n)) + (n == 1 ? " parcel" : " parcels");
}
std::string Lowered(std::string text) {
  if (!text.empty() && text[0] >= 'A' && text[0] <= 'Z') text[0] = static_cast<char>(text[0] - 'A' + 'a');
  return text;
}

class PlansTeller {
 public:
  PlansTeller(const Plans& plans, bool arrangement, const Style& style)
      : plans_(plans), request_(plans.request()), arrangement_(arrangement), style_(style) {}

  std::string Text() {
    out_ += AskedText(request_, plans_.currency(), style_);
    if (plans_.plans().empty()) {
      TellNone();
    } else {
      TellFirst();
      const Plan& first = plans_.plans().front();
      for (std::size_t i = 0; i < first.parcels.size(); ++i) TellParcel(first, i);
      TellOthers();
    }
    out_ += CautionsText(plans_.cautions(), style_);
    return std::move(out_);
  }

 private:
  std::string Money(Amount amount) const { return amount.ToString(plans_.currency().decimals()); }
  std::string MoneyWithCode(Amount amount) const { return Money(amount) + " " + std::string(plans_.currency().code()); }

  void Fact(std::string_view label, std::string_view text, Tone tone = Tone::kPlain) {
    out_ += Paragraph(style_, "  " + std::string(label), kLabel + 2, text, tone);
  }
  void Heading(const std::string& text, const std::string& beside = "") {
    out_ += "\n" + command::Heading(style_, text, beside);
  }

  // ---- goods ----

  std::string ItemName(std::size_t item) const {
    const std::string& title = request_.goods[item].title;
    return title.empty() ? "item " + std::to_string(item + 1) : Clean(title);
  }

  // "tin, 2 times games".
  std::string GoodsText(const std::vector<PlannedGoods>& goods) const {
    std::string text;
    for (const PlannedGoods& some : goods) {
      text += text.empty() ? "" : ", ";
      text += (some.units > 1 ? std::to_string(some.units) + " times " : "") + ItemName(some.item);
    }
    return text;
  }
  // "tin, 1 of 3 games".
  std::string LeftText(const std::vector<PlannedGoods>& goods) const {
    std::string text;
    for (const PlannedGoods& some : goods) {
      const std::int32_t all = request_.goods[some.item].quantity;
      text += text.empty() ? "" : ", ";
      if (all > 1)
        text += std::to_string(some.units) + (some.units < all ? " of " + std::to_string(all) + " " : " times ");
      text += ItemName(some.item);
    }
    return text;
  }
  std::string HeldText(const PlannedParcel& parcel) const {
    return parcel.sealed ? "sealed parcel " + std::to_string(*parcel.sealed + 1) : GoodsText(parcel.goods);
  }

  // ---- the first plan ----

  // Whether several parcels are cheaper than one, and by how much.
  std::string Sentence(const Plan& plan) const {
    const std::size_t count = plan.parcels.size();
    const std::string cost = MoneyWithCode(plan.total);
    const std::string about = plans_.estimate() ? "about " : "";
    if (!request_.sealed.empty()) {
      return ParcelsText(count) + (count == 1 ? " costs " : " cost ") + about + cost +
             (count == 1 ? "." : " together.");
    }
    if (count == 1) {
      std::string text = "One parcel is the cheapest, for " + about + cost;
      for (const Plan& other : plans_.plans()) {
        if (other.parcels.size() == 1) continue;
        return text + ": the best in more, " + Lowered(ParcelsText(other.parcels.size())) + ", cost " +
               Money(other.total) + ".";
      }
      return text + ".";
    }
    const std::string leave = count == 2 ? ": leave " + LeftText(plan.parcels[1].goods) + " for a second parcel." : ".";
    if (!plans_.single()) return "It takes " + Lowered(ParcelsText(count)) + ", for " + about + cost + leave;
    return ParcelsText(count) + " cost " + about + cost + ", the best single parcel " + Money(*plans_.single()) + leave;
  }

  void TellFirst() {
    const Plan& plan = plans_.plans().front();
    out_ += "\n" + Paragraph(style_, "", 0, Sentence(plan), Tone::kBest);
    if (plans_.estimate()) {
      out_ += Paragraph(style_, "", 0,
                        "An estimate before packing: an inch more on each side of every parcel, and the packing "
                        "allowance for goods over a pound. Weigh and measure the parcels before paying.",
                        Tone::kWarning);
    }
    out_ += "\n";
    const bool saves = plans_.single() && plan.parcels.size() > 1 && plan.total < *plans_.single();
    if (saves) Fact("saves", Money(*plans_.single() - plan.total), Tone::kSaving);
    if (plan.days) {
      const Days& days = *plan.days;
      Fact("days", (days.least == days.most ? "" : std::to_string(days.least) + " to ") + std::to_string(days.most) +
                       (plan.parcels.size() > 1 ? ", until the last is there" : ""));
    }
    if (plan.arrives) Fact("it arrives", ArrivalText(*plan.arrives));
    if (plan.handicap > Amount()) {
      Fact("handicap", Money(plan.handicap) + " together; counted in the order, in no total");
    }
    if (plan.at_risk) {
      Fact("at risk",
           plan.total_at_risk ? Money(*plan.total_at_risk) + " if scale and tape are short"
                              : "a parcel is not taken if scale and tape are short",
           Tone::kWarning);
    }
    for (const OnceCharge& once : plan.once) {
      const Currency currency = plan.parcels[once.parcel].offer().tariff_currency;
      Fact("charged once", once.amount.ToString(currency.decimals()) + " " +
                               Clean(once.code == "base" ? "price of " + std::string(once.title)
                                                         : std::string(once.title.empty() ? once.code : once.title)) +
                               ", with parcel " + std::to_string(once.parcel + 1));
    }
    if (!plans_.proved()) {
      Fact("not proved", "the best that was found; no plan costs less than " +
                             (plans_.at_least() ? Money(*plans_.at_least()) : std::string("0")));
    }
  }

  void TellParcel(const Plan& plan, std::size_t i) {
    const PlannedParcel& parcel = plan.parcels[i];
    const Offer& offer = parcel.offer();
    Heading("Parcel " + std::to_string(i + 1) + " of " + std::to_string(plan.parcels.size()), Money(offer.total));
    Fact("holds", HeldText(parcel), Tone::kBest);
    Fact("send it by", WayText(parcel.ranking, offer, style_) + (offer.tracked ? "" : ", not tracked"));
    if (offer.cautions.Has(CautionCode::kConfirmSurface)) Fact("take care", kConfirmSurfaceText, Tone::kWarning);
    if (!offer.overdue.empty()) Fact("out of date", OverdueText(offer.overdue), Tone::kWarning);
    if (offer.delivers != Delivery::kDoor) Fact("it ends", EndWords(offer.delivers));
    if (plan.parcels.size() > 1 && offer.days) {
      Fact("days", (offer.days->least == offer.days->most ? "" : std::to_string(offer.days->least) + " to ") +
                       std::to_string(offer.days->most));
    }
    if (parcel.offer_index == 0) {  // Of others the lines below say it.
      if (offer.tax) Fact("tax", TaxText(*offer.tax, offer.tariff_currency));
      if (!offer.handicaps.empty()) {
        Fact("handicap", HandicapsText(offer, plans_.currency().decimals()) + "; counted in the order, in no total");
      }
    }
    out_ += LinesText(parcel.ranking, offer, style_);
    if (arrangement_) out_ += ArrangementText(parcel.ranking, offer, style_);
  }

  // ---- the others ----

  void TellOthers() {
    if (plans_.plans().size() < 2) return;
    const Plan& first = plans_.plans().front();
    Heading("Other plans");
    Table table({{"", Table::Align::kRight}, {"", Table::Align::kLeft}, {"", Table::Align::kLeft, true}}, 2);
    for (std::size_t p = 1; p < plans_.plans().size(); ++p) {
      const Plan& plan = plans_.plans()[p];
      std::string text;
      for (const PlannedParcel& parcel : plan.parcels) {
        const Offer& offer = parcel.offer();
        text += (text.empty() ? "" : "; ") + HeldText(parcel) + " by " +
                Clean(std::string(offer.carrier) + "/" + std::string(offer.service));
      }
      const Amount more = plan.total - first.total;
      table.Add({{Money(plan.total)},
                 {more.micros() > 0   ? Money(more) + " more"
                  : more.micros() < 0 ? Money(-more) + " less"
                                      : "the same",
                  Tone::kFaint},
                 {text}});
    }
    out_ += table.Text(style_, false);
  }

  // ---- none ----

  void TellNone() {
    out_ +=
        "\n" +
        Paragraph(style_, "", 0, plans_.proved() ? "It cannot be sent as is asked." : "No way to send it was found.",
                  Tone::kWarning) +
        "\n";
    for (const PlanObstacle& obstacle : plans_.obstacles()) {
      out_ += Paragraph(style_, "  -", 4, obstacle.text);
      if (obstacle.alone) TellAlone(*obstacle.alone);
    }
    if (plans_.single()) Fact("one parcel", MoneyWithCode(*plans_.single()));
  }

  // Why goods that nothing takes are refused: the reasons, each once, with how often.
  void TellAlone(const Ranking& alone) {
    std::vector<std::pair<std::string, std::size_t>> reasons;
    for (const Refusal& refusal : alone.refusals()) {
      if (refusal.reasons.empty()) continue;
      const RefusalReason& first = refusal.reasons.front();
      std::string words(NameOf(first.code));
      std::replace(words.begin(), words.end(), '_', ' ');
      words += ": " + Clean(first.text);
      const auto known =
          std::find_if(reasons.begin(), reasons.end(), [&words](const auto& one) { return one.first == words; });
      if (known != reasons.end()) {
        ++known->second;
      } else {
        reasons.emplace_back(std::move(words), 1);
      }
    }
    constexpr std::size_t kMostTold = 6;
    for (std::size_t i = 0; i < reasons.size() && i < kMostTold; ++i) {
      out_ += Paragraph(style_, PadLeft(std::to_string(reasons[i].second), 7), 9, reasons[i].first, Tone::kFaint);
    }
    if (reasons.size() > kMostTold) {
      out_ += Paragraph(style_, "", 9, "and " + std::to_string(reasons.size() - kMostTold) + " more; --json tells each",
                        Tone::kFaint);
    }
  }

  const Plans& plans_;
  const Request& request_;
  bool arrangement_;
  const Style& style_;
  std::string out_;
};

}  // namespace

std::string PlansText(const Plans& plans, bool arrangement, const Style& style) {
  return PlansTeller(plans, arrangement, style).Text();
}

}  // namespace tarewise::command
