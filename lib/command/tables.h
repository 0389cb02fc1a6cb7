#ifndef TAREWISE_LIB_COMMAND_TABLES_H_
#define TAREWISE_LIB_COMMAND_TABLES_H_

#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "command/arguments.h"
#include "command/console.h"
#include "tarewise/documents/load.h"
#include "tarewise/pricing/ratebook.h"

namespace tarewise::command {

/// A folder of tables, ready to price from.
struct Book {
  std::shared_ptr<const Ratebook> ratebook;
  std::shared_ptr<const Shelf> shelf;  ///< Nothing where the folder has none.
};

/// Reads the folder that `--tables` names. Nothing where it cannot be read or priced from: every error is said then.
std::optional<Book> LoadBook(std::string_view command, const Arguments& arguments, const Console& console);

/// Says the findings, errors alone unless `warnings`.
void SayFindings(const std::vector<Diagnostic>& findings, const Console& console, bool warnings);

/// The lane and the date of `--from`, `--to`, `--residential` and `--date`. Nothing after errors, which are said.
struct LaneAndDate {
  Lane lane;
  Date date;
};
std::optional<LaneAndDate> ReadLaneAndDate(std::string_view command, const Arguments& arguments,
                                           const Console& console);

/// A service's title, with its carrier's name in front where it does not begin with it.
std::string ServiceTitle(const Tariff& tariff, const Service& service);

/// "US 05401".
std::string PlaceText(const Place& place);

/// What to say where no date is given.
inline constexpr std::string_view kDateWanted =
    "--date: found none, expected the day of handing over, as 2026-08-03 (it decides which price list is in force, and "
    "tarewise never takes it from a clock)";

}  // namespace tarewise::command

#endif  // TAREWISE_LIB_COMMAND_TABLES_H_
