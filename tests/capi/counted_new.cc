#include "counted_new.h"

#include <atomic>
#include <cstdlib>
#include <new>

namespace {

constexpr std::size_t kNever = 0;

std::atomic<std::size_t> allocations{0};
std::atomic<std::size_t> releases{0};
std::atomic<std::size_t> fail_at{kNever};  // As `allocations` counts.
std::atomic<bool> fail_all_after{false};
std::atomic<bool> has_failed{false};

void* Counted(std::size_t size, std::size_t alignment) {
  const std::size_t number = allocations.fetch_add(1, std::memory_order_relaxed) + 1;
  const std::size_t at = fail_at.load(std::memory_order_relaxed);
  if (at != kNever && (number == at || (number > at && fail_all_after.load(std::memory_order_relaxed)))) {
    has_failed.store(true, std::memory_order_relaxed);
    releases.fetch_add(1, std::memory_order_relaxed);
    throw std::bad_alloc();
  }
  if (size == 0) size = 1;
  void* const memory = alignment == 0 ? std::malloc(size)
                                      : std::aligned_alloc(alignment, (size + alignment - 1) / alignment * alignment);
  if (memory == nullptr) std::abort();
  return memory;
}

void Release(void* memory) {
  if (memory == nullptr) return;
  releases.fetch_add(1, std::memory_order_relaxed);
  std::free(memory);
}

}  // namespace

void* operator new(std::size_t size) { return Counted(size, 0); }
void* operator new[](std::size_t size) { return Counted(size, 0); }
void* operator new(std::size_t size, std::align_val_t alignment) {
  return Counted(size, static_cast<std::size_t>(alignment));
}
void* operator new[](std::size_t size, std::align_val_t alignment) {
  return Counted(size, static_cast<std::size_t>(alignment));
}
void* operator new(std::size_t size, const std::nothrow_t&) noexcept {
  try {
    return Counted(size, 0);
  } catch (const std::bad_alloc&) {
    return nullptr;
  }
}
void* operator new[](std::size_t size, const std::nothrow_t& nothrow) noexcept { return operator new(size, nothrow); }
void operator delete(void* memory) noexcept { Release(memory); }
void operator delete[](void* memory) noexcept { Release(memory); }
void operator delete(void* memory, std::size_t) noexcept { Release(memory); }
void operator delete[](void* memory, std::size_t) noexcept { Release(memory); }
void operator delete(void* memory, std::align_val_t) noexcept { Release(memory); }
void operator delete[](void* memory, std::align_val_t) noexcept { Release(memory); }
void operator delete(void* memory, std::size_t, std::align_val_t) noexcept { Release(memory); }
void operator delete[](void* memory, std::size_t, std::align_val_t) noexcept { Release(memory); }
void operator delete(void* memory, const std::nothrow_t&) noexcept { Release(memory); }
void operator delete[](void* memory, const std::nothrow_t&) noexcept { Release(memory); }

namespace capi_test {

std::size_t Allocations() { return allocations.load(); }
std::size_t Living() { return allocations.load() - releases.load(); }

FailingNew::FailingNew(std::size_t n, bool and_all_after) {
  has_failed.store(false);
  fail_all_after.store(and_all_after);
  fail_at.store(allocations.load() + n);
}
FailingNew::~FailingNew() { fail_at.store(kNever); }
bool FailingNew::failed() const { return has_failed.load(); }

}  // namespace capi_test
