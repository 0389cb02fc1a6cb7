// Checked by compiling: whatever the order of three sides, length >= width >= height; girth is around the two shorter.
#include "can.h"
#include "tarewise/parcel/dimensions.h"
#include "tarewise/units/literals.h"

namespace tarewise {
namespace {

using namespace literals;  // NOLINT(google-build-using-namespace): the literals are what is tested

constexpr Dimensions kSides(6_in, 13_in, 10_in);
static_assert(kSides.length() == 13_in && kSides.width() == 10_in && kSides.height() == 6_in);
static_assert(kSides == Dimensions(13_in, 10_in, 6_in) && kSides == Dimensions(10_in, 6_in, 13_in));
static_assert(kSides == Dimensions(13_in, 6_in, 10_in) && kSides == Dimensions(6_in, 10_in, 13_in));
static_assert(kSides == Dimensions(10_in, 13_in, 6_in));
static_assert(kSides != Dimensions(13_in, 10_in, 7_in));
static_assert(kSides.girth() == 32_in && kSides.length_plus_girth() == 45_in);
static_assert(Dimensions(2_cm, 2_cm, 2_cm).girth() == 8_cm);
// Australia Post, "Calculating parcel weight": girth is (width + height) x 2, so 30 x 20 cm is 100 cm.
static_assert(Dimensions(50_cm, 30_cm, 20_cm).girth() == 100_cm);

static_assert(std::is_trivially_copyable_v<Dimensions> && sizeof(Dimensions) == 3 * sizeof(Length));
static_assert(!std::is_constructible_v<Dimensions, int, int, int>);
static_assert(!std::is_constructible_v<Dimensions, Length, Length>);
static_assert(!std::is_constructible_v<Dimensions, Length, Length, Weight>);
static_assert(!can::Add<Dimensions, Dimensions> && !can::Order<Dimensions, Dimensions>);

}  // namespace
}  // namespace tarewise
