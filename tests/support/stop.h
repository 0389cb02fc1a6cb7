#ifndef TAREWISE_TESTS_SUPPORT_STOP_H_
#define TAREWISE_TESTS_SUPPORT_STOP_H_

#include <cstdlib>
#include <iostream>
#include <string>

namespace tarewise::testing {

/// Ends a test program or a benchmark that has nothing to work on.
[[noreturn]] inline void Stop(const std::string& why) {
  std::cerr << why << "\n";
  std::exit(3);
}

}  // namespace tarewise::testing

#endif  // TAREWISE_TESTS_SUPPORT_STOP_H_
