// Checked by compiling. Identities: International yard and pound agreement, 1959 (1 lb = 0.45359237 kg exactly).
#include "can.h"
#include "tarewise/units/length.h"
#include "tarewise/units/literals.h"
#include "tarewise/units/money.h"
#include "tarewise/units/percent.h"
#include "tarewise/units/volume.h"
#include "tarewise/units/weight.h"

namespace tarewise {
namespace {

using namespace literals;  // NOLINT(google-build-using-namespace): the literals are what is tested

static_assert(Weight::Pounds(1).nanograms() == 453'592'370'000);
static_assert(16_oz == 1_lb);
static_assert(Weight::Ounces(1).nanograms() == 28'349'523'125);
static_assert(Weight::Ounces(35) == 2_lb + 3_oz);
static_assert(1000_g == 1_kg);
static_assert(Weight::Milligrams(1000) == 1_g);
static_assert(Weight::Nanograms(1'000'000) == Weight::Milligrams(1));
static_assert(453'592'370_g == 1'000'000_lb);
static_assert(1_lb < 454_g && 1_lb > 453_g && 1_lb != 453_g);
static_assert(1_kg > 2_lb && 1_kg < 3_lb);
static_assert(1_lb - 1_oz == 15_oz);
static_assert(Weight() == 0_oz);
static_assert(Weight::Kilograms(100'000).nanograms() == Weight::kMostNanograms);

static_assert(sizeof(Weight) == sizeof(std::int64_t) && alignof(Weight) == alignof(std::int64_t));
static_assert(can::kPlainValue<Weight>);
static_assert(std::three_way_comparable<Weight, std::strong_ordering>);

static_assert(can::kNoBareNumbers<Weight>);
static_assert(can::Add<Weight, Weight> && can::Subtract<Weight, Weight> && can::Order<Weight, Weight>);
// Nothing is a weight but a weight.
static_assert(!can::Add<Weight, Length> && !can::Add<Length, Weight> && !can::Subtract<Weight, Length>);
static_assert(!can::Add<Weight, Volume> && !can::Add<Weight, Amount> && !can::Add<Weight, Percent>);
static_assert(!can::Order<Weight, Length> && !can::Equal<Weight, Length> && !can::Order<Weight, Amount>);
static_assert(!can::Multiply<Weight, Weight> && !can::Multiply<Weight, Amount> && !can::Divide<Weight, Weight>);
static_assert(!std::is_convertible_v<Length, Weight> && !std::is_constructible_v<Weight, Length>);
static_assert(!std::is_constructible_v<Weight, Amount> && !std::is_constructible_v<Weight, Volume>);

template <typename T>
concept FromPounds = requires(T n) {
  Weight::Pounds(n);
};
template <typename T>
concept FromNanograms = requires(T n) {
  Weight::Nanograms(n);
};
static_assert(FromPounds<int> && FromPounds<std::int64_t> && FromNanograms<int>);
static_assert(!FromPounds<float> && !FromPounds<double> && !FromPounds<long double> && !FromNanograms<double>);

}  // namespace
}  // namespace tarewise
