#include "command/offer_facts.h"

#include <algorithm>
#include <vector>

#include "command/layout.h"

namespace tarewise::command {
namespace {

// "a", "a and b", "a, b and c".
std::string Listed(const std::vector<std::string>& parts, std::string_view last = " and ") {
  std::string out;
  for (std::size_t i = 0; i < parts.size(); ++i) {
    out += (i == 0 ? "" : i + 1 < parts.size() ? ", " : last);
    out += parts[i];
  }
  return out;
}

std::string FiguresText(const Week::Figures& figures, int decimals) {
  std::vector<std::string> parts;
  if (figures.parcels > 0)
    parts.push_back(std::to_string(figures.parcels) + (figures.parcels == 1 ? " parcel" : " parcels"));
  if (figures.spend > Amount()) parts.push_back(figures.spend.ToString(decimals) + " spent");
  return Listed(parts);
}

}  // namespace

std::string_view EndWords(Delivery delivers) {
  switch (delivers) {
    case Delivery::kDoor:
      return "";
    case Delivery::kPoint:
      return "the addressee calls for it at a counter";
    case Delivery::kLocker:
      return "the addressee calls for it at a locker";
  }
  return "";
}

std::string AcceptedText(const Request& request) {
  constexpr std::string_view kPlaces[] = {"at the door", "at a counter", "at a locker"};
  std::vector<std::string> parts;
  for (const Delivery one : request.accepts) parts.emplace_back(kPlaces[static_cast<int>(one)]);
  return Listed(parts, " or ");
}

std::string WeekText(const Week& week, int decimals) {
  std::string out = FiguresText(week.each, decimals);
  if (!out.empty()) out += " a week";
  for (const auto& [carrier, figures] : week.carriers) {
    const std::string own = FiguresText(figures, decimals);
    out += (out.empty() ? "" : "; ") + (own.empty() ? "nothing" : own) + " a week with " + Clean(carrier);
  }
  return out;
}

std::string ArrivalText(const Arrival& arrives) {
  const std::string earliest = arrives.earliest.ToString();
  return arrives.earliest == arrives.latest ? earliest : earliest + " to " + arrives.latest.ToString();
}

std::string TaxText(const OfferTax& tax, Currency currency) {
  const int decimals = currency.decimals();
  return Clean(tax.tax->title) + " " + tax.tax->percent.ToString() + ": " + tax.with_tax.ToString(decimals) + " " +
         std::string(currency.code()) + " with it, " + tax.net.ToString(decimals) + " without";
}

std::string HandicapsText(const Offer& offer, int decimals) {
  std::vector<std::string> parts;
  for (const OfferHandicap& one : offer.handicaps) {
    parts.push_back(one.amount.ToString(decimals) + " " + Clean(one.title.empty() ? one.code : one.title));
  }
  return Listed(parts);
}

}  // namespace tarewise::command
