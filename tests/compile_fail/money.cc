// Money of one currency is added by name and with a status; a percentage is rounded by name; neither is a number.
#include "tarewise/units/literals.h"
#include "tarewise/units/money.h"
#include "tarewise/units/percent.h"

namespace tarewise::compile_fail {

using namespace literals;  // NOLINT(google-build-using-namespace)

inline absl::StatusOr<Money> Sum(const Money& a, const Money& b) { return Add(a, b); }
inline Amount Part(Percent percent, Amount amount) { return percent.Of(amount, 10'000, RoundMode::kHalfUp); }

#ifdef TW_FAIL_MONEY_PLUS_MONEY
inline auto MoneyPlusMoney(const Money& a, const Money& b) { return a + b; }  // error: no match for .operator\+|invalid operands
#endif
#ifdef TW_FAIL_MONEY_LESS_THAN_MONEY
inline bool MoneyLessThanMoney(const Money& a, const Money& b) { return a < b; }  // error: no match for .operator<|invalid operands
#endif
#ifdef TW_FAIL_SUM_WITHOUT_STATUS
inline Money SumWithoutStatus(const Money& a, const Money& b) { return Add(a, b); }  // error: could not convert .*StatusOr|no viable conversion
#endif
#ifdef TW_FAIL_MONEY_WITHOUT_CURRENCY
inline Money MoneyWithoutCurrency(Amount amount) { return amount; }  // error: could not convert .*Amount. to .*Money|no viable conversion
#endif
#ifdef TW_FAIL_AMOUNT_PLUS_WEIGHT
inline auto amount_plus_weight = Amount::Micros(1) + 1_lb;  // error: no match for .operator\+|invalid operands
#endif
#ifdef TW_FAIL_AMOUNT_FROM_NUMBER
inline Amount amount_from_number = 7;  // error: conversion from .int. to .*Amount|no viable conversion
#endif
#ifdef TW_FAIL_AMOUNT_OF_DOUBLE
inline auto amount_of_double = Amount::Micros(6.45);  // error: use of deleted function|call to deleted
#endif
#ifdef TW_FAIL_AMOUNT_TO_DOUBLE
inline double amount_to_double = Amount::Micros(1);  // error: cannot convert .*Amount. to .double|no viable conversion
#endif
#ifdef TW_FAIL_PERCENT_TIMES_AMOUNT
inline auto percent_times_amount = Percent::TenThousandths(1) * Amount::Micros(1);  // error: no match for .operator\*|invalid operands
#endif
#ifdef TW_FAIL_PERCENT_WITHOUT_ROUNDING
inline auto percent_without_rounding = Percent::TenThousandths(1).Of(Amount::Micros(1));  // error: no matching function|too few arguments
#endif
#ifdef TW_FAIL_PERCENT_OF_DOUBLE
inline auto percent_of_double = Percent::TenThousandths(16.75);  // error: use of deleted function|call to deleted
#endif
#ifdef TW_FAIL_CURRENCY_FROM_TEXT
inline Currency currency_from_text = "USD";  // error: conversion from .const char.* to .*Currency|no viable conversion
#endif
#ifdef TW_FAIL_ROUNDING_OF_MONEY_FOR_SIDES
inline auto rounding_of_money_for_sides = StepRounding{RoundMode::kHalfUp, 1};  // error: cannot convert .*RoundMode. to .*StepMode|cannot initialize
#endif

}  // namespace tarewise::compile_fail
