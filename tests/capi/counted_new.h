// Every operator new of this program and of the libraries that it loads, counted, and made to fail when a test says so.
#ifndef TAREWISE_TESTS_CAPI_COUNTED_NEW_H_
#define TAREWISE_TESTS_CAPI_COUNTED_NEW_H_

#include <cstddef>

namespace capi_test {

// How many there were so far, and how many of them were not given back.
std::size_t Allocations();
std::size_t Living();

// While one of these lives, the n-th allocation from its making on fails, and with `and_all_after` every later one too.
class FailingNew {
 public:
  FailingNew(std::size_t n, bool and_all_after);
  ~FailingNew();
  FailingNew(const FailingNew&) = delete;
  FailingNew& operator=(const FailingNew&) = delete;
  // Whether one has failed yet.
  bool failed() const;
};

}  // namespace capi_test

#endif  // TAREWISE_TESTS_CAPI_COUNTED_NEW_H_
