#ifndef TAREWISE_COMPARE_INTERNAL_CATALOGUES_INL_H_
#define TAREWISE_COMPARE_INTERNAL_CATALOGUES_INL_H_

#include <cstddef>
#include <memory>
#include <utility>

#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "tarewise/compare/catalogues.h"
#include "tarewise/compare/internal/comparer_state.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

TW_INLINE CatalogueComparer::CatalogueComparer(std::unique_ptr<internal::ComparerState> state)
    : state_(std::move(state)) {}
TW_INLINE CatalogueComparer::CatalogueComparer(CatalogueComparer&&) noexcept = default;
TW_INLINE CatalogueComparer& CatalogueComparer::operator=(CatalogueComparer&&) noexcept = default;
TW_INLINE CatalogueComparer::~CatalogueComparer() = default;

TW_INLINE absl::StatusOr<CatalogueComparer> CatalogueComparer::Create(RepriceSetup before, RepriceSetup after,
                                                                      std::size_t most_losers) {
  absl::StatusOr<std::unique_ptr<internal::ComparerState>> state =
      internal::ComparerState::Create(std::move(before), std::move(after), most_losers);
  if (!state.ok()) return state.status();
  return CatalogueComparer(*std::move(state));
}

TW_INLINE absl::Status CatalogueComparer::Add(const GoodsColumns& goods, const Column& monthly,
                                              const CatalogueColumns& out, const RepriceOptions& options) {
  return state_->Add(goods, monthly, out, options);
}

TW_INLINE CatalogueChange CatalogueComparer::Result() const { return state_->Result(); }
TW_INLINE const Repricer& CatalogueComparer::before() const { return state_->before(); }
TW_INLINE const Repricer& CatalogueComparer::after() const { return state_->after(); }

TW_INLINE absl::StatusOr<CatalogueChange> CompareCatalogue(const GoodsColumns& goods, const Column& monthly,
                                                           CatalogueComparer& comparer, const RepriceOptions& options) {
  if (absl::Status status = comparer.Add(goods, monthly, {}, options); !status.ok()) return status;
  return comparer.Result();
}

}  // namespace tarewise::inline TW_VERSIONED

#endif  // TAREWISE_COMPARE_INTERNAL_CATALOGUES_INL_H_
