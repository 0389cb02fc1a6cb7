#ifndef TAREWISE_TESTS_SUPPORT_EXACT_H_
#define TAREWISE_TESTS_SUPPORT_EXACT_H_

#include <boost/multiprecision/cpp_int.hpp>
#include <cstdint>
#include <random>
#include <string>

#include "absl/numeric/int128.h"

namespace tarewise::testing {

/// Integers and fractions of any size (Boost.Multiprecision): the yardstick for the library's 64- and 128-bit
/// arithmetic.
using BigInt = boost::multiprecision::cpp_int;
using Rational = boost::multiprecision::cpp_rational;
using Random = std::mt19937_64;

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

/// Every value from `least` to `most` alike likely.
inline std::int64_t Between(Random& random, std::int64_t least, std::int64_t most) {
  return std::uniform_int_distribution<std::int64_t>(least, most)(random);
}
inline bool Chance(Random& random, double probability) { return std::bernoulli_distribution(probability)(random); }
/// Every number of bits alike likely, so that small and large values both come up.
inline std::int64_t AnySize(Random& random, int most_bits) {
  const int bits = static_cast<int>(Between(random, 0, most_bits));
  return bits == 0 ? 0 : static_cast<std::int64_t>(random() >> (64 - bits));
}
template <typename Container>
const auto& OneOf(Random& random, const Container& container) {
  return container[static_cast<std::size_t>(Between(random, 0, static_cast<std::int64_t>(std::size(container)) - 1))];
}

}  // namespace tarewise::testing

#endif  // TAREWISE_TESTS_SUPPORT_EXACT_H_
