#ifndef TAREWISE_LIB_COMMAND_OFFER_FACTS_H_
#define TAREWISE_LIB_COMMAND_OFFER_FACTS_H_

#include <string>
#include <string_view>

#include "tarewise/ranking/ranking.h"

namespace tarewise::command {

/// What the addressee has to do where a service does not end at the door; empty where it does.
std::string_view EndWords(Delivery delivers);
/// Where a parcel may end, as "at the door or at a counter".
std::string AcceptedText(const Request& request);
/// What goes in a week and is spent, as "60 parcels a week; 25 with harbourline"; empty where nothing is stated.
std::string WeekText(const Week& week, int decimals);
/// "2026-08-05 to 2026-08-07".
std::string ArrivalText(const Arrival& arrives);
/// "VAT 19 %: 11.90 EUR with it, 10.00 without".
std::string TaxText(const OfferTax& tax, Currency currency);
/// "1.20 packing a carton and 0.75 trip to the counter"; empty where there is none.
std::string HandicapsText(const Offer& offer, int decimals);

}  // namespace tarewise::command

#endif  // TAREWISE_LIB_COMMAND_OFFER_FACTS_H_
