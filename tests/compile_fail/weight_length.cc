// Weights and lengths do not mix with each other or with bare numbers, and are not made of broken numbers.
#include "tarewise/units/length.h"
#include "tarewise/units/literals.h"
#include "tarewise/units/volume.h"
#include "tarewise/units/weight.h"

namespace tarewise::compile_fail {

using namespace literals;  // NOLINT(google-build-using-namespace)

[[maybe_unused]] inline constexpr Weight kWeight = 1_lb + 3_oz;
[[maybe_unused]] inline constexpr Length kLength = 1_ft + 2_in;

#ifdef TW_FAIL_WEIGHT_PLUS_LENGTH
inline auto weight_plus_length = 1_lb + 1_in;  // error: no match for .operator\+|invalid operands
#endif
#ifdef TW_FAIL_LENGTH_MINUS_WEIGHT
inline auto length_minus_weight = 1_in - 1_lb;  // error: no match for .operator-|invalid operands
#endif
#ifdef TW_FAIL_WEIGHT_LESS_THAN_LENGTH
inline bool weight_less_than_length = 1_lb < 1_in;  // error: no match for .operator<|invalid operands
#endif
#ifdef TW_FAIL_WEIGHT_EQUALS_LENGTH
inline bool weight_equals_length = 1_lb == 1_in;  // error: no match for .operator==|invalid operands
#endif
#ifdef TW_FAIL_WEIGHT_IS_LENGTH
inline Weight weight_is_length = 1_in;  // error: conversion from .*Length. to .*Weight|no viable conversion
#endif
#ifdef TW_FAIL_WEIGHT_FROM_BARE_NUMBER
inline Weight weight_from_bare_number = 5;  // error: conversion from .int. to .*Weight|no viable conversion
#endif
#ifdef TW_FAIL_WEIGHT_FROM_PRIVATE_NUMBER
inline Weight weight_from_private_number(std::int64_t{5});  // error: is private within this context|private constructor
#endif
#ifdef TW_FAIL_WEIGHT_PLUS_BARE_NUMBER
inline auto weight_plus_bare_number = 1_lb + 5;  // error: no match for .operator\+|invalid operands
#endif
#ifdef TW_FAIL_WEIGHT_TIMES_WEIGHT
inline auto weight_times_weight = 1_lb * 1_lb;  // error: no match for .operator\*|invalid operands
#endif
#ifdef TW_FAIL_LENGTH_TIMES_LENGTH
inline auto length_times_length = 1_in * 1_in;  // error: no match for .operator\*|invalid operands
#endif
#ifdef TW_FAIL_WEIGHT_TO_NUMBER
inline std::int64_t weight_to_number = 1_lb;  // error: cannot convert .*Weight. to .*int64_t|no viable conversion
#endif
#ifdef TW_FAIL_LENGTH_TO_DOUBLE
inline double length_to_double = static_cast<double>(1_in);  // error: invalid .static_cast|cannot convert
#endif
#ifdef TW_FAIL_POUNDS_OF_DOUBLE
inline auto pounds_of_double = Weight::Pounds(1.5);  // error: use of deleted function|call to deleted
#endif
#ifdef TW_FAIL_NANOGRAMS_OF_DOUBLE
inline auto nanograms_of_double = Weight::Nanograms(1e9);  // error: use of deleted function|call to deleted
#endif
#ifdef TW_FAIL_OUNCES_OF_FLOAT
inline auto ounces_of_float = Weight::Ounces(3.5F);  // error: use of deleted function|call to deleted
#endif
#ifdef TW_FAIL_INCHES_OF_DOUBLE
inline auto inches_of_double = Length::Inches(12.375);  // error: use of deleted function|call to deleted
#endif
#ifdef TW_FAIL_CUBIC_INCHES_OF_DOUBLE
inline auto cubic_inches_of_double = Volume::CubicInches(0.5);  // error: use of deleted function|call to deleted
#endif
#ifdef TW_FAIL_BROKEN_POUND_LITERAL
inline auto broken_pound_literal = 1.5_lb;  // error: unable to find numeric literal operator|no matching literal operator
#endif
#ifdef TW_FAIL_BROKEN_INCH_LITERAL
inline auto broken_inch_literal = 12.375_in;  // error: unable to find numeric literal operator|no matching literal operator
#endif
#ifdef TW_FAIL_TEXT_LITERAL
inline auto text_literal = "1.5 lb"_lb;  // error: unable to find string literal operator|no matching literal operator
#endif
#ifdef TW_FAIL_VOLUME_OF_WEIGHT
inline auto volume_of_weight = Volume::Of(1_in, 1_in, 1_lb);  // error: cannot convert .*Weight. to .*Length|no viable conversion
#endif
#ifdef TW_FAIL_VOLUME_PLUS_LENGTH
inline auto volume_plus_length = Volume::CubicInches(1) + 1_in;  // error: no match for .operator\+|invalid operands
#endif

}  // namespace tarewise::compile_fail
