#ifndef TAREWISE_PRICING_RATEBOOK_SLOT_H_
#define TAREWISE_PRICING_RATEBOOK_SLOT_H_

#include <array>
#include <atomic>
#include <cstddef>
#include <cstdint>
#include <memory>
#include <mutex>
#include <thread>
#include <utility>

#include "tarewise/pricing/ratebook.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

/// A place that holds the current one of something shared and immutable, which one thread replaces while others read.
///
/// `Get` is one atomic addition to find the current one, one to take a share of it and one to leave the place again,
/// whatever other threads do: it takes no lock, never waits and never tries again. Each answer is one whole object;
/// it lives until the last holder lets go, also after it was replaced, and nothing is ever freed inside `Get`.
///
/// How: the state is one word, the number of the cell in use in its top 8 bits and below them how many readers have
/// come since that cell was put in use. A reader adds 1 and so learns its cell in the same step; having taken its
/// share it adds 1 to the cell's count of those who left. Whoever takes a cell out of use subtracts all who came from
/// those who left, so that exactly one thread, the last reader inside or the swapper, sees that count reach 0 and
/// empties the cell.
///
/// Thread-safe, but for construction and destruction. Copying makes no sense and is not offered.
template <typename T>
class SharedSlot {
 public:
  SharedSlot() : SharedSlot(nullptr) {}
  /// `first` may be nothing: the slot is then empty, and `Get` gives nothing.
  explicit SharedSlot(std::shared_ptr<T> first) {
    cells_[0].held = std::move(first);
    cells_[0].in_use.store(true, std::memory_order_relaxed);
  }
  SharedSlot(const SharedSlot&) = delete;
  SharedSlot& operator=(const SharedSlot&) = delete;

  /// The current one, or nothing where the slot is empty. Wait-free.
  std::shared_ptr<T> Get() const {
    Cell& cell = cells_[state_.fetch_add(1, std::memory_order_acquire) >> kCountBits];
    std::shared_ptr<T> held = cell.held;
    if (cell.left.fetch_add(1, std::memory_order_acq_rel) == -1) cell.Empty();
    return held;
  }

  /// Puts `next` (or nothing) in place and gives back what was there. Every `Get` that begins after this returns
  /// gives `next` or a later one. Swappers take turns; one may wait for a reader only where all of the 256 cells
  /// still have one inside, each between two instructions of its `Get`.
  std::shared_ptr<T> Swap(std::shared_ptr<T> next) {
    const std::lock_guard<std::mutex> turn(swapping_);
    const std::size_t index = FreeCell();
    Cell& cell = cells_[index];
    cell.held = std::move(next);
    cell.left.store(0, std::memory_order_relaxed);
    cell.in_use.store(true, std::memory_order_relaxed);
    // Nobody but a swapper ever empties the cell in use, so its share may be read here.
    Cell& old = cells_[current_];
    std::shared_ptr<T> before = old.held;
    const std::uint64_t state =
        state_.exchange(static_cast<std::uint64_t>(index) << kCountBits, std::memory_order_acq_rel);
    current_ = index;
    version_.fetch_add(1, std::memory_order_release);
    const std::int64_t came = static_cast<std::int64_t>(state & kCountMask);
    if (old.left.fetch_sub(came, std::memory_order_acq_rel) == came) old.Empty();
    return before;
  }

  /// How often `Swap` was called. A reader that keeps an answer may compare this before it asks again.
  std::uint64_t version() const { return version_.load(std::memory_order_acquire); }

  /// One thread's view that asks again only after a swap: between swaps its `Get` is one load that no other reader
  /// disturbs, so any number of them scale. It keeps its last answer alive until its next `Get`, `Release` or its
  /// end. Not shared between threads; the slot must outlive it.
  class Reader {
   public:
    explicit Reader(const SharedSlot& slot) : slot_(&slot) {}

    /// The current one; valid until the next call.
    const std::shared_ptr<T>& Get() {
      const std::uint64_t now = slot_->version();
      if (!fresh_ || now != version_) {
        held_ = slot_->Get();
        version_ = now;
        fresh_ = true;
      }
      return held_;
    }
    /// Lets go of the last answer.
    void Release() {
      held_.reset();
      fresh_ = false;
    }

   private:
    const SharedSlot* slot_;
    std::shared_ptr<T> held_;
    std::uint64_t version_ = 0;
    bool fresh_ = false;
  };

 private:
  // 2^56 reads of one version: over 20 years at 100 million a second.
  static constexpr int kCountBits = 56;
  static constexpr std::uint64_t kCountMask = (std::uint64_t{1} << kCountBits) - 1;
  static constexpr std::size_t kCells = std::size_t{1} << (64 - kCountBits);
  static_assert(std::atomic<std::uint64_t>::is_always_lock_free && std::atomic<std::int64_t>::is_always_lock_free);

  struct Cell {
    std::shared_ptr<T> held;
    std::atomic<std::int64_t> left{0};
    std::atomic<bool> in_use{false};

    // By the one thread that saw the last reader out; it holds a share of its own, so nothing is freed here.
    void Empty() {
      held.reset();
      in_use.store(false, std::memory_order_release);
    }
  };

  std::size_t FreeCell() {
    while (true) {
      for (std::size_t i = 1; i < kCells; ++i) {
        const std::size_t index = (current_ + i) % kCells;
        if (!cells_[index].in_use.load(std::memory_order_acquire)) return index;
      }
      std::this_thread::yield();
    }
  }

  mutable std::atomic<std::uint64_t> state_{0};
  alignas(64) std::atomic<std::uint64_t> version_{0};
  alignas(64) mutable std::array<Cell, kCells> cells_;
  std::mutex swapping_;
  std::size_t current_ = 0;  // Under `swapping_`.
};

/// The ratebook in use by a program that runs on while rates change: each call to price takes one whole ratebook.
///
///     RatebookSlot rates(*Ratebook::Create(std::move(tariffs)));
///     // any thread, for each call:
///     std::shared_ptr<const Ratebook> book = rates.Get();
///     // one thread, when a new tariff was read and compiled:
///     rates.Swap(*std::move(next));
using RatebookSlot = SharedSlot<const Ratebook>;

}  // namespace tarewise::inline TW_VERSIONED

#endif  // TAREWISE_PRICING_RATEBOOK_SLOT_H_
