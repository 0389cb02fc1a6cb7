// Sides, dates, places and contents are made of their own types, by the functions that check them.
#include <string>

#include "tarewise/parcel/contents.h"
#include "tarewise/parcel/dimensions.h"
#include "tarewise/units/date.h"
#include "tarewise/units/literals.h"
#include "tarewise/zone/gazetteer.h"
#include "tarewise/zone/place.h"

namespace tarewise::compile_fail {

using namespace literals;  // NOLINT(google-build-using-namespace)

[[maybe_unused]] inline constexpr Dimensions kSides(13_in, 10_in, 6_in);
inline absl::StatusOr<Place> Home() { return Place::Make("US", "05401"); }

#ifdef TW_FAIL_SIDES_OF_NUMBERS
inline Dimensions sides_of_numbers(13, 10, 6);  // error: no matching function for call to .*Dimensions|no matching constructor
#endif
#ifdef TW_FAIL_SIDES_OF_WEIGHT
inline Dimensions sides_of_weight(13_in, 10_in, 6_lb);  // error: no matching function for call to .*Dimensions|no matching constructor
#endif
#ifdef TW_FAIL_SIDES_CHANGED
inline void SidesChanged(Dimensions& sides) { sides.sides()[0] = 1_in; }  // error: passing .const|no viable overloaded
#endif
#ifdef TW_FAIL_DATE_FROM_NUMBER
inline Date date_from_number = 20'646;  // error: conversion from .int. to .*Date|no viable conversion
#endif
#ifdef TW_FAIL_DATE_OF_TODAY
inline auto date_of_today = Date::Today();  // error: .Today. is not a member|no member named .Today
#endif
#ifdef TW_FAIL_PLACE_FROM_TEXT
inline Place place_from_text("US", "05401");  // error: no matching function for call to .*Place|no matching constructor
#endif
#ifdef TW_FAIL_PLACE_UNCHECKED
inline Place PlaceUnchecked() { return Place::Make("US", "05401"); }  // error: could not convert .*StatusOr|no viable conversion
#endif
#ifdef TW_FAIL_DISTANCE_OF_PLACES
inline double distance_of_places = GreatCircleMetres(Place(), Place());  // error: (invalid initialization|cannot convert).*GeoPoint|no matching function
#endif
#ifdef TW_FAIL_CONTENTS_FROM_TEXT
inline Contents contents_from_text = std::string("media");  // error: conversion from .*string.* to .*Contents|no viable conversion
#endif

}  // namespace tarewise::compile_fail
