// Checked by compiling: the zone layer knows places, not parcels, and a code is never a bare string.
#include <algorithm>
#include <iterator>
#include <memory>
#include <string_view>

#include "can.h"
#include "tarewise/units/literals.h"
#include "tarewise/zone/area.h"
#include "tarewise/zone/gazetteer.h"
#include "tarewise/zone/internal/postal_form.h"
#include "tarewise/zone/place.h"
#include "tarewise/zone/zone_chart.h"

namespace tarewise {
namespace {

static_assert(!std::is_convertible_v<const char*, Place> && !std::is_constructible_v<Place, const char*, const char*>,
              "a place is made by Place::Make, which checks it");
static_assert(std::is_copy_constructible_v<Place> && std::is_nothrow_move_constructible_v<Place>);
static_assert(!can::Order<Place, Place> && can::Equal<Place, Place>);
static_assert(!can::Equal<Lane, Lane>, "lanes are not compared: zones are not symmetric");
static_assert(!std::is_convertible_v<Area, Place> && !std::is_convertible_v<Place, Area>);
static_assert(!std::is_convertible_v<const char*, Area>);

// What is looked up in them is looked up by halves, and as constants.
static_assert(std::is_sorted(std::begin(internal::kPostalCountries), std::end(internal::kPostalCountries),
                             [](const internal::PostalCountry& a, const internal::PostalCountry& b) {
                               return std::string_view(a.code) < std::string_view(b.code);
                             }));
static_assert(std::size(internal::kPostalFirstEdge) == std::size(internal::kPostalWhole) + 1);
static_assert(internal::FindPostalCountry("XX") == nullptr && internal::FindPostalCountry("") == nullptr);
static_assert(internal::PostalFitOf(*internal::FindPostalCountry("US"), "02134") == internal::PostalFit::kWhole);
static_assert(internal::PostalFitOf(*internal::FindPostalCountry("US"), "2134") == internal::PostalFit::kBeginning);
static_assert(internal::PostalFitOf(*internal::FindPostalCountry("US"), "981010") == internal::PostalFit::kNone);
static_assert(internal::PostalFitOf(*internal::FindPostalCountry("GB"), "pa2 1aa") == internal::PostalFit::kWhole);

static_assert(sizeof(ZoneId) == 2 && kNoZone == 0xFFFF);
static_assert(std::is_trivially_copyable_v<GeoPoint> && sizeof(GeoPoint) == 16);
// The mean radius of the earth, 6371.0088 km.
static_assert(kEarthRadiusMetres == 6371008.8);

static_assert(std::variant_size_v<ZoneChart> == 4);
static_assert(std::is_same_v<decltype(DistanceChart::Band::up_to), std::optional<Length>>,
              "a band's edge is a length, not a number of miles");

template <typename A, typename B>
concept Distance = requires(A a, B b) {
  GreatCircleMetres(a, b);
};
static_assert(Distance<GeoPoint, GeoPoint> && !Distance<Place, Place> && !Distance<GeoPoint, Length>);

}  // namespace
}  // namespace tarewise
