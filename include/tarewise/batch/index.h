#ifndef TAREWISE_BATCH_INDEX_H_
#define TAREWISE_BATCH_INDEX_H_

#include <cstddef>
#include <cstdint>
#include <memory>
#include <vector>

#include "absl/status/statusor.h"
#include "tarewise/batch/columns.h"
#include "tarewise/batch/reprice.h"
#include "tarewise/internal/switch.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {
namespace internal {
class IndexState;
}

/// Knows which rows of a catalogue each worked-out price answers, so that a change of rates prices only the rows again
/// that it can touch. It holds 16 bytes a row; the goods stay with the caller and must not change between calls.
///
///     Repricer before = *Repricer::Create(setup);
///     RepriceIndex index = *RepriceIndex::Create(before, goods);  // `results` hold what `before.Run` gave
///     absl::StatusOr<RepriceIndex::Touched> touched = index.Update(*before.WithRates(book), goods, results);
class RepriceIndex {
 public:
  /// What an update looked at.
  struct Touched {
    bool everything = false;  ///< All rows were priced: tests or bounds changed, not only prices.
    /// Rows priced again, rising; the others are as they were. Empty if `everything`. Of an order its first row: orders
    /// are priced again whenever a service has changed.
    std::vector<std::uint32_t> rows;
  };

  /// Errors: InvalidArgument as `Repricer::Run`, and for 2^32 rows or more.
  static absl::StatusOr<RepriceIndex> Create(const Repricer& repricer, const GoodsColumns& goods);

  RepriceIndex(RepriceIndex&&) noexcept;
  RepriceIndex& operator=(RepriceIndex&&) noexcept;
  ~RepriceIndex();

  /// Brings result columns that hold the answers of this index's repricer up to `after`'s (made by its `WithRates`),
  /// which the index then stands for. They become the very bytes that `after.Run` gives.
  ///
  /// Errors: InvalidArgument as `Repricer::Run`, where `goods` has another number of rows, and where cautions are asked
  /// for: those of a row can change with no price. Nothing is written then.
  absl::StatusOr<Touched> Update(const Repricer& after, const GoodsColumns& goods, const RepriceResults& results);

  const Repricer& repricer() const;
  std::size_t rows() const;

 private:
  explicit RepriceIndex(std::unique_ptr<internal::IndexState> state);

  std::unique_ptr<internal::IndexState> state_;
};

}  // namespace tarewise::inline TW_VERSIONED

#ifdef TW_HEADER_ONLY
#include "tarewise/batch/internal/index-inl.h"
#endif

#endif  // TAREWISE_BATCH_INDEX_H_
