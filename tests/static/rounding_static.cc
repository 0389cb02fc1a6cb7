// Checked by compiling. The worked values of the header, and the rounding of the Domestic Mail Manual, 123.1.4 (May
// 2007): each side to the nearest inch, 20-1/4 to 20, 20-3/4 to 21; half goes up.
#include "can.h"
#include "tarewise/units/length.h"
#include "tarewise/units/rounding.h"
#include "tarewise/units/weight.h"

namespace tarewise {
namespace {

constexpr StepRounding Up(std::int64_t step) { return {StepMode::kUp, step}; }
constexpr StepRounding Down(std::int64_t step) { return {StepMode::kDown, step}; }
constexpr StepRounding Nearest(std::int64_t step) { return {StepMode::kNearest, step}; }

static_assert(RoundToStep(41, Up(10)) == 50 && RoundToStep(50, Up(10)) == 50 && RoundToStep(0, Up(10)) == 0);
static_assert(RoundToStep(49, Down(10)) == 40 && RoundToStep(50, Down(10)) == 50);
static_assert(RoundToStep(45, Nearest(10)) == 50 && RoundToStep(44, Nearest(10)) == 40);
static_assert(RoundToStep(7, Nearest(5)) == 5 && RoundToStep(8, Nearest(5)) == 10);
static_assert(RoundToStep(123, StepRounding{}) == 123);

constexpr std::int64_t kInch = Length::Inches(1).nanometres();
static_assert(RoundToStep(20 * kInch + kInch / 4, Nearest(kInch)) == 20 * kInch);
static_assert(RoundToStep(20 * kInch + kInch * 3 / 4, Nearest(kInch)) == 21 * kInch);
static_assert(RoundToStep(20 * kInch + kInch / 2, Nearest(kInch)) == 21 * kInch);

// Any fraction of a pound goes up: 1.2 to 2 lb (DMM 123.1.2, May 2007), 0.08 to 1 (DMM 223.1.1a, Jan 2024).
constexpr std::int64_t kPound = Weight::Pounds(1).nanograms();
static_assert(RoundToStep(kPound * 12 / 10, Up(kPound)) == 2 * kPound);
static_assert(RoundToStep(kPound * 8 / 100, Up(kPound)) == kPound);
static_assert(RoundToStep(kPound + 1, Up(kPound)) == 2 * kPound);

static_assert(LargestRoundingTo(50, Up(10)) == 50 && LargestRoundingTo(59, Up(10)) == 50);
static_assert(LargestRoundingTo(40, Down(10)) == 49 && LargestRoundingTo(49, Down(10)) == 49);
static_assert(LargestRoundingTo(40, Nearest(10)) == 44 && LargestRoundingTo(40, Nearest(5)) == 42);
static_assert(LargestRoundingTo(-1, Up(10)) == -1 && LargestRoundingTo(9, StepRounding{}) == 9);

static_assert(sizeof(StepRounding) == 16 && can::kPlainValue<StepRounding>);
static_assert(!std::is_convertible_v<int, RoundMode> && !std::is_convertible_v<RoundMode, int>);
static_assert(!std::is_convertible_v<StepMode, RoundMode>);

}  // namespace
}  // namespace tarewise
