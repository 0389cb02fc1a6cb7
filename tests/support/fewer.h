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

}  // namespace tarewise::testing

#endif  // TAREWISE_TESTS_SUPPORT_FEWER_H_
