// Checked by compiling: a percentage is a type of its own, and what it gives of an amount is always rounded by name.
#include "can.h"
#include "tarewise/units/percent.h"

namespace tarewise {
namespace {

static_assert(sizeof(Percent) == sizeof(std::int64_t) && can::kPlainValue<Percent>);
static_assert(can::kNoBareNumbers<Percent>);
static_assert(!can::Add<Percent, Percent>, "percentages of different sums do not add up");
static_assert(!can::Multiply<Percent, Amount> && !can::Multiply<Percent, Percent>);
static_assert(Percent::TenThousandths(167'500) < Percent::TenThousandths(1'000'000));

template <typename T>
concept FromTenThousandths = requires(T n) {
  Percent::TenThousandths(n);
};
static_assert(FromTenThousandths<int> && !FromTenThousandths<double>);

template <typename... A>
concept PartOf = requires(Percent percent, A... a) {
  percent.Of(a...);
};
static_assert(PartOf<Amount, std::int64_t, RoundMode>);
static_assert(!PartOf<Amount> && !PartOf<Amount, std::int64_t>, "the rounding is never left out");

}  // namespace
}  // namespace tarewise
