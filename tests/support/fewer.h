#ifndef TAREWISE_TESTS_SUPPORT_FEWER_H_
#define TAREWISE_TESTS_SUPPORT_FEWER_H_

#include <cstddef>
#include <cstdlib>

namespace tarewise::testing {

/// Sanitizers make a test many times as long: of its random cases, one in so many is then tried.
#ifdef TW_TEST_SANITIZED
inline constexpr std::size_t kFewer = 16;
// Of random worlds one in so many, and of the requests of each one in so many: reading a world costs more than they do.
inline constexpr std::size_t kFewerWorlds = 4;
inline constexpr std::size_t kFewerRequests = 3;
#else
inline constexpr std::size_t kFewer = 1;
inline constexpr std::size_t kFewerWorlds = 1;
inline constexpr std::size_t kFewerRequests = 1;
#endif

/// How many random cases where one finds nothing new any more long before `many`: those are tried where the environment
/// has TW_TEST_LONG.
inline std::size_t Cases(std::size_t few, std::size_t many) {
  return (std::getenv("TW_TEST_LONG") != nullptr ? many : few) / kFewer;
}

/// What a test must at least meet to have tried what it is for. Few cases scatter: of the share of those, a quarter is
/// asked.
constexpr std::size_t Share(std::size_t least) { return kFewer > 1 ? least / (4 * kFewer) : least; }

}  // namespace tarewise::testing

#endif  // TAREWISE_TESTS_SUPPORT_FEWER_H_
