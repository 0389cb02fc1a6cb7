#ifndef TAREWISE_LIB_COMMAND_BEGIN_OPTIONS_H_
#define TAREWISE_LIB_COMMAND_BEGIN_OPTIONS_H_

#include <string_view>

#include "command/arguments.h"

namespace tarewise::command {

inline constexpr Option kBeginOptions[] = {
    {Option::Kind::kHeading, "The list", "", ""},
    {Option::Kind::kValue, "--carrier", "CODE", "the carrier's code: small letters, digits, hyphens"},
    {Option::Kind::kValue, "--carrier-name", "NAME", "its name"},
    {Option::Kind::kValue, "--title", "TEXT", "what the list is called"},
    {Option::Kind::kValue, "--source", "TEXT", "what it is copied from"},
    {Option::Kind::kValue, "--page", "TEXT", "on which page"},
    {Option::Kind::kValue, "--published", "DATE", "and published when"},
    {Option::Kind::kValue, "--currency", "CODE", "USD, EUR and so on"},
    {Option::Kind::kValue, "--from", "DATE", "the first day in force"},
    {Option::Kind::kValue, "--until", "DATE", "the last one (else left open)"},
    {Option::Kind::kHeading, "The service", "", ""},
    {Option::Kind::kValue, "--service", "CODE", "its code"},
    {Option::Kind::kValue, "--service-title", "TEXT", "its title"},
    {Option::Kind::kValue, "--mode", "MODE", "surface, air, or any where the carrier does not say"},
    {Option::Kind::kValue, "--tracked", "YES|NO", "whether a parcel can be followed (else no)"},
    {Option::Kind::kValue, "--days", "DAYS",
     "business days: 2-5, or by zone \"1 = 1-2, * = 2-5\" (else not published)"},
    {Option::Kind::kValue, "--grid", "FILE", "its prices: CSV with a header of bound and the zones"},
    {Option::Kind::kValue, "--by", "MEASURE",
     "what a row is bounded by, one or several joined by commas (else billable_weight)"},
    {Option::Kind::kValue, "--unit", "UNIT", "the unit of the bounds, one for each measure"},
    {Option::Kind::kHeading, "Zones", "", ""},
    {Option::Kind::kValue, "--zones", "FILE",
     "a zone chart as it is printed: CSV with a column of codes and columns of zones"},
    {Option::Kind::kValue, "--origin", "AREAS",
     "where it is reckoned from: US:664-668 (else zones go by the destination alone)"},
    {Option::Kind::kValue, "--country", "CODE", "the country of its codes, without --origin (else they bear theirs)"},
    {Option::Kind::kValue, "--code-column", "NAME", "the column of codes, or of first and last ones (else the first)"},
    {Option::Kind::kValue, "--zone-column", "NAME", "the column of zones, where the file has several"},
    {Option::Kind::kValue, "--one-zone", "NAME", "in the place of --zones: all is one zone, of this name"},
    {Option::Kind::kHeading, "Weights, sides and limits", "", ""},
    {Option::Kind::kValue, "--divisor", "RATIO", "\"175 in3/lb\" or \"200 kg/m3\", perhaps with \"over 1500 in3\""},
    {Option::Kind::kValue, "--round-weight", "STEP", "\"up 1 lb\", \"nearest 100 g\" (else exact)"},
    {Option::Kind::kValue, "--round-sides", "STEP", "\"up 1 in\" (else exact)"},
    {Option::Kind::kValue, "--most-weight", "WEIGHT", "heavier ones are refused"},
    {Option::Kind::kValue, "--most-length", "LENGTH", "longer ones are refused"},
    {Option::Kind::kValue, "--most-length-plus-girth", "LENGTH", "larger ones are refused"},
    {Option::Kind::kHeading, "Surcharges and examples", "", ""},
    {Option::Kind::kValue, "--surcharge", "TEXT",
     "\"code; title; price; when\", once for each: a price is 2.10 or \"8.5 % of base, residential\"; when is "
     "residential or \"length over 30 in\" (else always)",
     false, true},
    {Option::Kind::kValue, "--example", "TEXT",
     "a price of the printed list, \"4.01 lb; 12 x 9 x 6 in; 3; 13.35; page 3\": weight, sides, zone, total, perhaps "
     "the word residential, and where it stands; once for each",
     false, true},
    {Option::Kind::kHeading, "What is written", "", ""},
    {Option::Kind::kValue, "--out", "FOLDER", "where to"},
    {Option::Kind::kValue, "--name", "NAME", "the document's name without .json (else CARRIER-YEAR-MONTH of --from)"},
    {Option::Kind::kFlag, "--help", "", "this page"},
};

inline constexpr std::string_view kAboutBegin =
    "Begins a carrier's price list: asks on the terminal for what is not given by options, and writes a document that "
    "`tarewise check` passes, with its grid and its zones beside it. Every answer is read as the document will be; "
    "what is typed is written as it was typed. Where all that is needed is given, nothing is asked.\n"
    "Prices of the printed list are asked for at telling places (beside a bound, a dimensional parcel) and kept as "
    "examples where the draft agrees; one that differs is told with its lines, and is not written. Without an example "
    "it says so: nothing was then compared with the printed list.\n"
    "No file is overwritten, and all is written or nothing: nothing where `tarewise check` would not pass the folder "
    "with "
    "it, as where a list of the carrier begins on the same day (`tarewise renew` makes the next season's). A grid or "
    "zones that lie in the folder already are named where they are. More services, and whatever else the list has, are "
    "typed into the document.\n"
    "Exit code 0, or 2 for bad input.";

}  // namespace tarewise::command

#endif  // TAREWISE_LIB_COMMAND_BEGIN_OPTIONS_H_
