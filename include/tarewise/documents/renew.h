#ifndef TAREWISE_DOCUMENTS_RENEW_H_
#define TAREWISE_DOCUMENTS_RENEW_H_

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "tarewise/documents/load.h"
#include "tarewise/tariff/tariff.h"
#include "tarewise/units/date.h"
#include "tarewise/units/money.h"
#include "tarewise/units/percent.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

/// A printed grid (CSV, as a tariff names by `csv`) in the place of the grid that a service's price has.
struct LaidGrid {
  std::string service;    ///< Its code; empty: `file` says where.
  std::size_t price = 0;  ///< Which of its price alternatives, from 1; 0: the only one that is a table.
  std::string file;       ///< The grid's file as the old document names it: every price that has it.
  SourceText grid;        ///< The name is for messages.
};

/// How next season's price list is made from this one.
struct Renewal {
  Date from;                          ///< The first day in force.
  std::optional<Date> until;          ///< The last one; nothing: left open.
  Percent increase;                   ///< Of every base price.
  std::vector<std::string> services;  ///< Codes of those that it is of; empty: all.
  bool charges = false;               ///< Of surcharges and extras too, those that other services do not share.
  std::string title;                  ///< Empty: as it was.
  std::string stem;                   ///< What the names of the new files begin with: "kestrel-2027-01".
  std::vector<LaidGrid> laid;
};

/// What an increase did to one price of the list.
struct RenewedPrice {
  std::string service;     ///< The code; empty for a charge that services share.
  std::size_t number = 0;  ///< Which of the service's price alternatives, from 1; 0: a surcharge or an extra.
  std::string charge;      ///< The code of the surcharge or extra.
  std::string file;        ///< The grid's file as the old document names it; empty: in place.
  std::size_t amounts = 0;
  std::size_t changed = 0;
  std::int64_t step = 0;  ///< What it was rounded to, in millionths.
  bool finer = false;   ///< The amounts keep more decimals than the list's lines: they are rounded as they are printed.
  bool laid = false;    ///< A printed grid stands in its place; `amounts` are those beside the grid.
  Amount least_before;  ///< The amount with the least rise of those that are more than 0, before and after.
  Amount least_after;
  Amount most_before;
  Amount most_after;
};

/// Next season's price list, ready to be written.
struct Renewed {
  SourceText document;             ///< "STEM.json".
  std::vector<SourceText> grids;   ///< New files that it names.
  std::vector<std::string> files;  ///< Files that it names as the old one does, unchanged.
  Tariff tariff;                   ///< The new document, read.
  std::vector<RenewedPrice> prices;
  std::vector<std::string> left;  ///< What stays as it was although it may look as if it changed, in words.
  std::size_t examples = 0;       ///< How many examples of the old one it lacks: their prices hold no more.
};

/// Makes next season's document from a tariff document: every base price times 1 + increase, exactly, rounded to the
/// step and by the mode of the list's lines (to the decimals that a price keeps, where these are more); the dates in
/// force; a source that says that it was computed. All else stays as it is written, to the last space. The old
/// document is not changed. Examples are left out.
///
/// What is wrong with the old document, with a laid grid, or with what is asked is a diagnostic. Linear in the
/// documents.
///
///     const SourceText old = *ReadFile("rates/kestrel-2026-09.json").value;
///     Renewal next;
///     next.from = *Date::Parse("2027-01-18");
///     next.increase = *Percent::Parse("5.9 %");
///     next.stem = "kestrel-2027-01";
///     Loaded<Renewed> made = RenewTariff(old, next, [](std::string_view name) -> std::optional<std::string> {
///       return ReadFile("rates/" + std::string(name)).value.value_or(SourceText()).text;
///     });
///     if (made.ok()) Tell(made.value->document.text);
Loaded<Renewed> RenewTariff(const SourceText& source, const Renewal& renewal, const FileReader& beside = {});

}  // namespace tarewise::inline TW_VERSIONED

#endif  // TAREWISE_DOCUMENTS_RENEW_H_
