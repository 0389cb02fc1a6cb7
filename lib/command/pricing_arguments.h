#ifndef TAREWISE_LIB_COMMAND_PRICING_ARGUMENTS_H_
#define TAREWISE_LIB_COMMAND_PRICING_ARGUMENTS_H_

#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "command/arguments.h"
#include "command/console.h"
#include "command/request_arguments.h"
#include "tarewise/batch/reprice.h"

namespace tarewise::command {

/// Options that commands about catalogues share.
inline constexpr Option kLaneOptions[] = {
    {Option::Kind::kValue, "--from", "PLACE", "country and postal code: \"US 05401\""},
    {Option::Kind::kValue, "--to", "PLACE", "likewise; may stand several times", false, true},
    {Option::Kind::kValue, "--mix", "FILE",
     "in the place of --to: where parcels go, a CSV file with country, postal_code and "
     "share (and perhaps residential)"},
    {Option::Kind::kFlag, "--residential", "", "to homes"},
};
inline constexpr Option kWishOptions[] = {
    {Option::Kind::kValue, "--within", "DAYS", "promised within so many business days"},
    {Option::Kind::kValue, "--paid-for", "SERVICE",
     "the buyer paid for this service, as harbourline/swift: none slower"},
    {Option::Kind::kValue, "--extra", "CODE", "an extra, as signature; may stand several times", false, true},
    {Option::Kind::kValue, "--cover", "AMOUNT", "cover to this value"},
    {Option::Kind::kValue, "--currency", "CODE", "currency of the totals; needed where the tables have several"},
    {Option::Kind::kValue, "--exchange", "CODE=RATE",
     "one unit of a currency in that of the totals; may stand several times", false, true},
    {Option::Kind::kValue, "--padding", "LENGTH",
     "kept free on each side in a carton (else 1 in where goods are fragile)"},
    {Option::Kind::kValue, "--fill-weight", "WEIGHT", "of paper and cushions"},
    {Option::Kind::kValue, "--allowance", "WEIGHTS",
     "packing allowance of an estimate over a pound (else \"8..12 oz\", common practice)"},
    {Option::Kind::kFlag, "--estimate", "", "do not look at the shelf: estimate before the goods are packed"},
};
inline constexpr Option kColumnOption = {Option::Kind::kValue,
                                         "--column",
                                         "WHAT=NAME",
                                         "what a column holds, where its name does not say: \"weight=Gewicht in g\"; "
                                         "\"none=NAME\" passes one over; may stand several "
                                         "times",
                                         false,
                                         true};
inline constexpr Option kThreadsOption = {
    Option::Kind::kValue, "--threads", "N",
    "so many threads (else as many as the machine has); the answer does not depend on it"};

/// A setup from the arguments: lanes, promise, extras, in how many parcels and the rest, on `date`; the ratebook and
/// the shelf are those given. Nothing after errors, which are said.
std::optional<RepriceSetup> ReadPricing(std::string_view command, const Arguments& arguments, std::string_view date,
                                        std::shared_ptr<const Ratebook> book, std::shared_ptr<const Shelf> shelf,
                                        const Console& console);

/// The number of threads asked for; 0: as many as the machine has. Nothing after an error, which is said.
std::optional<unsigned> ReadThreads(std::string_view command, const Arguments& arguments, const Console& console);

/// Tells on standard error how far a run is, where that is a terminal; about ten times a second.
class Progress {
 public:
  explicit Progress(std::uint64_t size);
  ~Progress();
  Progress(const Progress&) = delete;
  Progress& operator=(const Progress&) = delete;
  /// `rows` done, `bytes` of the catalogue read.
  void Show(std::uint64_t rows, std::uint64_t bytes);

 private:
  bool terminal_ = false;
  std::uint64_t size_ = 0;
  std::int64_t begun_ = 0;
  std::int64_t shown_ = 0;
  bool any_ = false;
};

}  // namespace tarewise::command

#endif  // TAREWISE_LIB_COMMAND_PRICING_ARGUMENTS_H_
