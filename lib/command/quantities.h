#ifndef TAREWISE_LIB_COMMAND_QUANTITIES_H_
#define TAREWISE_LIB_COMMAND_QUANTITIES_H_

#include <string>

#include "tarewise/parcel/dimensions.h"
#include "tarewise/units/length.h"
#include "tarewise/units/weight.h"

namespace tarewise::command {

/// The same weight, in the unit in which it is short: 500 g of a metric tariff is no "17.6369809748 oz". Exact.
std::string ExactText(Weight weight, UnitSystem system);
/// The same, rounded to the hundredth of an ounce or gram where no unit is short.
std::string ShortText(Weight weight, UnitSystem system);
/// Sides rounded to the hundredth of an inch or the tenth of a centimetre.
std::string ShortText(const Dimensions& sides, UnitSystem system);

/// What can be added, cut to the tenth of an ounce, the gram, the hundredth of an inch or the millimetre: never too
/// much.
std::string RoomText(Weight weight, UnitSystem system);
std::string RoomText(Length length, UnitSystem system);

}  // namespace tarewise::command

#endif  // TAREWISE_LIB_COMMAND_QUANTITIES_H_
