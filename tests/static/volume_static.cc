// Checked by compiling. The identities of volumes, whose 128-bit products are no constants here, are in
// units/units_test.cc.
#include "can.h"
#include "tarewise/units/volume.h"

namespace tarewise {
namespace {

static_assert(sizeof(Volume) == 16);
static_assert(std::is_trivially_copyable_v<Volume> && std::is_trivially_destructible_v<Volume>);
static_assert(std::is_nothrow_move_constructible_v<Volume>);
static_assert(can::kNoBareNumbers<Volume>);
static_assert(can::Order<Volume, Volume> && can::Equal<Volume, Volume>);
static_assert(!can::Add<Volume, Length> && !can::Order<Volume, Length> && !can::Order<Volume, Weight>);
static_assert(!std::is_constructible_v<Volume, Length> && !std::is_constructible_v<Volume, Length, Length, Length>,
              "three lengths become a volume by name: Volume::Of");

template <typename T>
concept FromCubicInches = requires(T n) {
  Volume::CubicInches(n);
};
template <typename T>
concept FromCubicCentimetres = requires(T n) {
  Volume::CubicCentimetres(n);
};
static_assert(FromCubicInches<int> && FromCubicCentimetres<int>);
static_assert(!FromCubicInches<double> && !FromCubicCentimetres<float>);

template <typename A, typename B, typename C>
concept ProductOf = requires(A a, B b, C c) {
  Volume::Of(a, b, c);
};
static_assert(ProductOf<Length, Length, Length>);
static_assert(!ProductOf<Length, Length, int> && !ProductOf<Weight, Length, Length> && !ProductOf<int, int, int>);

}  // namespace
}  // namespace tarewise
