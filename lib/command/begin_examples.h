#ifndef TAREWISE_LIB_COMMAND_BEGIN_EXAMPLES_H_
#define TAREWISE_LIB_COMMAND_BEGIN_EXAMPLES_H_

#include <string>
#include <vector>

#include "tarewise/tariff/tariff.h"
#include "tarewise/units/money.h"

namespace tarewise::command {

/// A parcel whose price tells whether a list was typed in right: beside a bound of its grid, or a dimensional one.
struct TellingParcel {
  std::string weight;
  std::string sides;
  std::string zone;
  Amount total;         ///< What the draft charges, to an address that is no home.
  std::string made_of;  ///< Its lines where it has several: "20.60 base, 2.01 fuel".
  std::string why;      ///< Which place of the list it looks at.
};

/// Parcels to look up in the printed list, of the first service of a tariff: just under, on and just over a bound in
/// the middle of its grid, and a dimensional one where there are such. Fewer, or none, where the draft prices none of
/// those that are tried; none for a grid that does not go by weight.
std::vector<TellingParcel> TellingParcels(const Tariff& tariff);

}  // namespace tarewise::command

#endif  // TAREWISE_LIB_COMMAND_BEGIN_EXAMPLES_H_
