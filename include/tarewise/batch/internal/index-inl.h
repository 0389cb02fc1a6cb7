#ifndef TAREWISE_BATCH_INTERNAL_INDEX_INL_H_
#define TAREWISE_BATCH_INTERNAL_INDEX_INL_H_

#include <cstddef>
#include <memory>
#include <utility>

#include "absl/status/statusor.h"
#include "tarewise/batch/index.h"
#include "tarewise/batch/internal/index_state.h"
#include "tarewise/batch/internal/reprice-inl.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

TW_INLINE RepriceIndex::RepriceIndex(std::unique_ptr<internal::IndexState> state) : state_(std::move(state)) {}
TW_INLINE RepriceIndex::RepriceIndex(RepriceIndex&&) noexcept = default;
TW_INLINE RepriceIndex& RepriceIndex::operator=(RepriceIndex&&) noexcept = default;
TW_INLINE RepriceIndex::~RepriceIndex() = default;

TW_INLINE absl::StatusOr<RepriceIndex> RepriceIndex::Create(const Repricer& repricer, const GoodsColumns& goods) {
  absl::StatusOr<std::unique_ptr<internal::IndexState>> state = internal::IndexState::Create(repricer, goods);
  if (!state.ok()) return state.status();
  return RepriceIndex(*std::move(state));
}

TW_INLINE absl::StatusOr<RepriceIndex::Touched> RepriceIndex::Update(const Repricer& after, const GoodsColumns& goods,
                                                                     const RepriceResults& results) {
  return state_->Update(after, goods, results);
}

TW_INLINE const Repricer& RepriceIndex::repricer() const { return state_->repricer(); }
TW_INLINE std::size_t RepriceIndex::rows() const { return state_->rows(); }

}  // namespace tarewise::inline TW_VERSIONED

#endif  // TAREWISE_BATCH_INTERNAL_INDEX_INL_H_
