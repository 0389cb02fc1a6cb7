#ifndef TAREWISE_TESTS_SUPPORT_EXACT_H_
#define TAREWISE_TESTS_SUPPORT_EXACT_H_

#include <boost/multiprecision/cpp_int.hpp>

#include "absl/numeric/int128.h"
#include "support/random.h"

namespace tarewise::testing {

/// Integers and fractions of any size (Boost.Multiprecision): the yardstick for the library's 64- and 128-bit
/// arithmetic.
using BigInt = boost::multiprecision::cpp_int;
using Rational = boost::multiprecision::cpp_rational;

inline BigInt Big(absl::int128 value) {
  const bool negative = value < 0;
  const absl::uint128 magnitude = negative ? absl::uint128(0) - absl::uint128(value) : absl::uint128(value);
  BigInt out = absl::Uint128High64(magnitude);
  out <<= 64;
  out += absl::Uint128Low64(magnitude);
  return negative ? BigInt(-out) : out;
}

inline BigInt FloorOf(const Rational& value) {
  const BigInt num = boost::multiprecision::numerator(value);
  const BigInt den = boost::multiprecision::denominator(value);
  BigInt quotient = num / den;
  if (quotient * den > num) quotient -= 1;
  return quotient;
}
inline BigInt CeilingOf(const Rational& value) { return -FloorOf(Rational(-value)); }
/// Of a value of 0 or more.
inline BigInt HalfUp(const Rational& value) { return FloorOf(Rational(value + Rational(1, 2))); }

inline BigInt TenTo(int power) { return boost::multiprecision::pow(BigInt(10), static_cast<unsigned>(power)); }

}  // namespace tarewise::testing

#endif  // TAREWISE_TESTS_SUPPORT_EXACT_H_
