#ifndef TAREWISE_COMPARE_INTERNAL_KEPT_CATALOGUE_INL_H_
#define TAREWISE_COMPARE_INTERNAL_KEPT_CATALOGUE_INL_H_

#include <cstddef>
#include <cstdint>
#include <memory>
#include <span>
#include <utility>

#include "absl/status/statusor.h"
#include "tarewise/compare/internal/kept_state.h"
#include "tarewise/compare/kept_catalogue.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

TW_INLINE KeptCatalogue::KeptCatalogue(std::unique_ptr<internal::KeptState> state) : state_(std::move(state)) {}
TW_INLINE KeptCatalogue::KeptCatalogue(KeptCatalogue&&) noexcept = default;
TW_INLINE KeptCatalogue& KeptCatalogue::operator=(KeptCatalogue&&) noexcept = default;
TW_INLINE KeptCatalogue::~KeptCatalogue() = default;

TW_INLINE absl::StatusOr<KeptCatalogue> KeptCatalogue::Create(RepriceSetup setup, const GoodsColumns& goods,
                                                              const Column& monthly, const RepriceOptions& options) {
  absl::StatusOr<std::unique_ptr<internal::KeptState>> state =
      internal::KeptState::Create(std::move(setup), goods, monthly, options);
  if (!state.ok()) return state.status();
  return KeptCatalogue(*std::move(state));
}

TW_INLINE absl::StatusOr<CatalogueChange> KeptCatalogue::Change(std::shared_ptr<const Ratebook> book,
                                                                std::size_t most_losers) {
  return state_->Change(std::move(book), most_losers);
}

TW_INLINE std::span<const std::int64_t> KeptCatalogue::totals() const { return state_->totals(); }
TW_INLINE std::span<const std::int16_t> KeptCatalogue::services() const { return state_->services(); }
TW_INLINE std::span<const std::int16_t> KeptCatalogue::packagings() const { return state_->packagings(); }
TW_INLINE const Repricer& KeptCatalogue::repricer() const { return state_->repricer(); }

}  // namespace tarewise::inline TW_VERSIONED

#endif  // TAREWISE_COMPARE_INTERNAL_KEPT_CATALOGUE_INL_H_
