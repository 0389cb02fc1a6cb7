// Checked by compiling: each literal is its factory, and gives the type of its unit.
#include "can.h"
#include "tarewise/units/literals.h"

namespace tarewise {
namespace {

using namespace literals;  // NOLINT(google-build-using-namespace): the literals are what is tested

static_assert(std::is_same_v<decltype(1_oz), Weight> && std::is_same_v<decltype(1_lb), Weight>);
static_assert(std::is_same_v<decltype(1_g), Weight> && std::is_same_v<decltype(1_kg), Weight>);
static_assert(std::is_same_v<decltype(1_in), Length> && std::is_same_v<decltype(1_ft), Length>);
static_assert(std::is_same_v<decltype(1_mm), Length> && std::is_same_v<decltype(1_cm), Length>);
static_assert(12_oz == Weight::Ounces(12) && 3_lb == Weight::Pounds(3));
static_assert(450_g == Weight::Grams(450) && 2_kg == Weight::Kilograms(2));
static_assert(13_in == Length::Inches(13) && 2_ft == Length::Feet(2));
static_assert(5_mm == Length::Millimetres(5) && 30_cm == Length::Centimetres(30));

}  // namespace
}  // namespace tarewise
