// Every call of the interface with its n-th allocation failing, and with all from the n-th on: TW_E_MEMORY or a good
// answer, nothing leaked, what was given out untouched, and the handles as good as before.
#include <algorithm>
#include <fstream>
#include <set>
#include <string>
#include <string_view>
#include <vector>

#include "counted_new.h"
#include "doors.h"

namespace no_memory_test {
namespace {

#ifdef TW_TEST_SANITIZED
constexpr std::size_t kStride = 11;
#else
constexpr std::size_t kStride = 1;
#endif
constexpr std::size_t kMost = 5'000;

std::set<std::string> Exported() {
  std::ifstream in(TW_TEST_SYMBOLS);
  std::set<std::string> names;
  for (std::string name; in >> name;) names.insert(name);
  return names;
}

TEST(NoMemory, EveryFunctionIsCalled) {
  std::set<std::string> called;
  for (const auto& [name, door] : TheWorld().AllDoors()) called.insert(name.substr(0, name.find('/')));
  EXPECT_EQ(called, Exported());
}

// How many allocations the call makes, or 0 where that was not reached.
std::size_t Sweep(const Door& door, bool and_all_after, bool with_error, std::size_t stride) {
  std::size_t far = 0;
  for (std::size_t n = 1;;) {
    const std::size_t living = capi_test::Living();
    tw_error* error = nullptr;
    if (with_error && tw_error_create(&error) != TW_OK) ADD_FAILURE() << "no error to begin with";
    door.prepare();
    tw_status status = TW_OK;
    bool failed = false;
    {
      const capi_test::FailingNew failing(n, and_all_after);
      status = door.call(error);
      failed = failing.failed();
    }
    if (status != door.expected && !(failed && status == TW_E_MEMORY)) {
      ADD_FAILURE() << "allocation " << n << (and_all_after ? " and all after it" : "") << ": "
                    << tw_status_name(status) << ", " << tw_error_message(error);
    }
    if (status == TW_E_MEMORY && error != nullptr && door.tells) {
      EXPECT_EQ(tw_error_status(error), TW_E_MEMORY);
      EXPECT_EQ(std::string_view(tw_error_message(error)).substr(0, 17), "no memory is left")
          << tw_error_message(error);
    }
    door.after(status);
    tw_error_free(error);
    if (capi_test::Living() != living) {
      ADD_FAILURE() << "allocation " << n << ": " << capi_test::Living() - living << " were not given back";
    }
    if (!failed) return n - 1;
    if (n % 64 == 1) TheWorld().ExpectUsable();
    if (testing::Test::HasFailure()) return 0;
    // Past the first thousands now and then, with strides that grow.
    if (n >= kMost && ++far > 24) return 0;
    n += n < kMost ? stride : n / 3;
  }
}

class NoMemory : public testing::TestWithParam<std::string> {};

TEST_P(NoMemory, IsAStatus) {
  const Door door = TheWorld().AllDoors().at(GetParam());
  // Once in peace: what the libraries keep for good is then there.
  door.prepare();
  const tw_status status = door.call(nullptr);
  ASSERT_EQ(status, door.expected);
  door.after(status);
  Sweep(door, false, true, kStride);
  if (HasFailure()) return;
  Sweep(door, true, true, 7 * kStride);
  if (HasFailure()) return;
  Sweep(door, false, false, 13 * kStride);
  TheWorld().ExpectUsable();
}

std::vector<std::string> Names() {
  std::vector<std::string> names;
  for (const auto& [name, door] : TheWorld().AllDoors()) names.push_back(name);
  return names;
}

INSTANTIATE_TEST_SUITE_P(Every, NoMemory, testing::ValuesIn(Names()), [](const auto& one) {
  std::string name = one.param;
  std::replace(name.begin(), name.end(), '/', '_');
  return name;
});

}  // namespace
}  // namespace no_memory_test
