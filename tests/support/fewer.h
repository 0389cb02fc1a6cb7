#ifndef TAREWISE_TESTS_SUPPORT_FEWER_H_
#define TAREWISE_TESTS_SUPPORT_FEWER_H_

#include <cstddef>

namespace tarewise::testing {

/// Sanitizers make a test many times as long: of its random cases, one in so many is then tried.
#ifdef TW_TEST_SANITIZED
inline constexpr std::size_t kFewer = 16;
#else
inline constexpr std::size_t kFewer = 1;
#endif

/// What a test must at least meet to have tried what it is for. Few cases scatter: of the share of those, a quarter is
/// asked.
constexpr std::size_t Share(std::size_t least) { return kFewer > 1 ? least / (4 * kFewer) : least; }

}  // namespace tarewise::testing

#endif  // TAREWISE_TESTS_SUPPORT_FEWER_H_
