#ifndef TAREWISE_TESTS_SUPPORT_RANDOM_H_
#define TAREWISE_TESTS_SUPPORT_RANDOM_H_

#include <cstddef>
#include <cstdint>
#include <iterator>
#include <random>

namespace tarewise::testing {

using Random = std::mt19937_64;

/// Every value from `least` to `most` alike likely.
inline std::int64_t Between(Random& random, std::int64_t least, std::int64_t most) {
  return std::uniform_int_distribution<std::int64_t>(least, most)(random);
}
/// From 0 to n - 1, by one draw.
inline std::int64_t Below(Random& random, std::int64_t n) {
  return static_cast<std::int64_t>(random() % static_cast<std::uint64_t>(n));
}
/// From `least` to `most` by one draw, the same with every standard library: for goods that a test counts on.
inline std::int64_t Pick(Random& random, std::int64_t least, std::int64_t most) {
  return least + Below(random, most - least + 1);
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

#endif  // TAREWISE_TESTS_SUPPORT_RANDOM_H_
