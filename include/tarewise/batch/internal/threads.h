#ifndef TAREWISE_BATCH_INTERNAL_THREADS_H_
#define TAREWISE_BATCH_INTERNAL_THREADS_H_

#include <cstddef>
#include <exception>
#include <mutex>
#include <new>
#include <system_error>
#include <thread>
#include <vector>

#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// Calls `work` on `threads` threads at once, the caller's among them, and comes back when all are done. Where a thread
/// cannot be had, fewer do the work, down to the caller alone. What is thrown first is thrown on to the caller, after
/// `stop()`, which tells the others to make an end.
template <typename Work, typename Stop>
void OnThreads(std::size_t threads, const Work& work, const Stop& stop) {
  std::mutex mutex;
  std::exception_ptr thrown;
  auto guarded = [&]() noexcept {
    try {
      work();
    } catch (...) {
      stop();
      const std::lock_guard<std::mutex> lock(mutex);
      if (thrown == nullptr) thrown = std::current_exception();
    }
  };
  std::vector<std::thread> others;
  try {
    if (threads > 1) others.reserve(threads - 1);
    while (others.size() + 1 < threads) others.emplace_back(guarded);
  } catch (const std::system_error&) {
    // No more threads.
  } catch (const std::bad_alloc&) {
    // No memory for another.
  }
  guarded();
  for (std::thread& other : others) other.join();
  if (thrown != nullptr) std::rethrow_exception(thrown);
}

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_BATCH_INTERNAL_THREADS_H_
