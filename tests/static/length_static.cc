// Checked by compiling. Identities: International yard and pound agreement, 1959 (1 yd = 0.9144 m exactly, so 1 in =
// 25.4 mm and 1 mi = 1,609.344 m).
#include "can.h"
#include "tarewise/units/length.h"
#include "tarewise/units/literals.h"
#include "tarewise/units/money.h"
#include "tarewise/units/volume.h"

namespace tarewise {
namespace {

using namespace literals;  // NOLINT(google-build-using-namespace): the literals are what is tested

static_assert(Length::Inches(1).nanometres() == 25'400'000);
static_assert(5_in == 127_mm);
static_assert(12_in == 1_ft);
static_assert(Length::Feet(5280) == Length::Miles(1));
static_assert(Length::Miles(1).nanometres() == 1'609'344'000'000);
static_assert(Length::Millimetres(9144) == Length::Feet(30));
static_assert(10_mm == 1_cm && 100_cm == Length::Metres(1));
static_assert(Length::Nanometres(1'000'000) == 1_mm);
// 1/64 in is a whole number of nanometres.
static_assert(25'400'000 % 64 == 0);
static_assert(Length::Metres(50).nanometres() == Length::kMostSideNanometres);
static_assert(1_in > 25_mm && 1_in < 26_mm);
static_assert(1_ft - 1_in == 11_in && Length() == 0_mm);

static_assert(sizeof(Length) == sizeof(std::int64_t) && alignof(Length) == alignof(std::int64_t));
static_assert(can::kPlainValue<Length>);
static_assert(std::three_way_comparable<Length, std::strong_ordering>);

static_assert(can::kNoBareNumbers<Length>);
static_assert(can::Add<Length, Length> && can::Subtract<Length, Length>);
static_assert(!can::Multiply<Length, Length>, "a product of lengths is asked for by name: Volume::Of");
static_assert(!can::Add<Length, Volume> && !can::Order<Length, Volume> && !can::Add<Length, Amount>);
static_assert(!std::is_constructible_v<Length, Weight> && !std::is_constructible_v<Length, Volume>);

template <typename T>
concept FromInches = requires(T n) {
  Length::Inches(n);
};
template <typename T>
concept FromNanometres = requires(T n) {
  Length::Nanometres(n);
};
static_assert(FromInches<int> && FromNanometres<std::int64_t>);
static_assert(!FromInches<float> && !FromInches<double> && !FromInches<long double> && !FromNanometres<double>);

}  // namespace
}  // namespace tarewise
