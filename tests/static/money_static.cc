// Checked by compiling: money of two currencies is never added by an operator, and no number is an amount.
#include "can.h"
#include "tarewise/units/literals.h"
#include "tarewise/units/money.h"
#include "tarewise/units/percent.h"

namespace tarewise {
namespace {

static_assert(sizeof(Amount) == sizeof(std::int64_t) && can::kPlainValue<Amount>);
static_assert(can::kNoBareNumbers<Amount>);
static_assert(can::Add<Amount, Amount> && can::Subtract<Amount, Amount> && can::Order<Amount, Amount>);
static_assert(!can::Multiply<Amount, Amount> && !can::Multiply<Amount, int> && !can::Divide<Amount, int>);
static_assert(!can::Add<Amount, Percent> && !can::Multiply<Amount, Percent> && !can::Order<Amount, Percent>);
static_assert(Amount::Micros(7'520'000) - Amount::Micros(20'000) == Amount::Micros(7'500'000));
static_assert(-Amount::Micros(1) < Amount() && Amount() < Amount::Micros(1));

static_assert(std::is_trivially_copyable_v<Money> && std::is_trivially_copyable_v<Currency>);
static_assert(!can::Add<Money, Money> && !can::Subtract<Money, Money> && !can::Order<Money, Money>);
static_assert(!can::Add<Money, Amount> && !can::Equal<Money, Amount> && !can::Multiply<Money, int>);
static_assert(can::Equal<Money, Money>);
static_assert(!std::is_convertible_v<Amount, Money> && !std::is_convertible_v<Money, Amount>);
static_assert(!std::is_convertible_v<const char*, Currency> && !std::is_constructible_v<Currency, const char*>,
              "a currency is parsed, so that a mistyped code is an error");

static_assert(Currency().decimals() == 2 && Currency().minor_unit() == 10'000);
static_assert(MoneyRounding().line == 10'000 && MoneyRounding().mode == RoundMode::kHalfUp);
static_assert(!std::is_constructible_v<ExchangeRate, double> && !std::is_constructible_v<ExchangeRate, Amount>);

template <typename T>
concept FromMicros = requires(T n) {
  Amount::Micros(n);
};
static_assert(FromMicros<int> && FromMicros<std::int64_t> && !FromMicros<double> && !FromMicros<float>);

}  // namespace
}  // namespace tarewise
