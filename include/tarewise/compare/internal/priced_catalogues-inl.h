#ifndef TAREWISE_COMPARE_INTERNAL_PRICED_CATALOGUES_INL_H_
#define TAREWISE_COMPARE_INTERNAL_PRICED_CATALOGUES_INL_H_

#include <cstddef>
#include <cstdint>
#include <memory>
#include <string>
#include <vector>

#include "absl/status/status.h"
#include "tarewise/batch/internal/convert.h"
#include "tarewise/compare/internal/tally.h"
#include "tarewise/compare/priced_catalogues.h"
#include "tarewise/units/internal/quantity_text.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

TW_INLINE PricedCatalogues::PricedCatalogues(const Repricer& before, const Repricer& after, std::size_t most_losers)
    : tally_(std::make_unique<internal::CatalogueTally>(before, after, most_losers)) {}
TW_INLINE PricedCatalogues::PricedCatalogues(PricedCatalogues&&) noexcept = default;
TW_INLINE PricedCatalogues& PricedCatalogues::operator=(PricedCatalogues&&) noexcept = default;
TW_INLINE PricedCatalogues::~PricedCatalogues() = default;

TW_INLINE absl::Status PricedCatalogues::Add(const PricedRows& before, const PricedRows& after,
                                             const std::vector<std::int64_t>& volumes, const CatalogueColumns& out) {
  const std::size_t cells = volumes.size() * tally_->lanes();
  for (const PricedRows* side : {&before, &after}) {
    if (side->total.size() == cells && side->service.size() == cells && side->packaging.size() == cells) continue;
    return internal::Invalid("found " + std::to_string(side->total.size()) + " totals, expected " +
                             std::to_string(cells) + ", one for each row and lane, with a service and a packaging");
  }
  for (std::size_t row = 0; row < volumes.size(); ++row) {
    absl::Status status = tally_->Add(tally_->rows(), before, after, row, volumes[row], out, row);
    if (!status.ok()) return status;
  }
  return absl::OkStatus();
}

TW_INLINE std::uint64_t PricedCatalogues::rows() const { return tally_->rows(); }
TW_INLINE CatalogueChange PricedCatalogues::Result() const { return tally_->Result(); }

TW_INLINE void ReadMillionths(const Column& column, std::size_t first, std::size_t count, std::int64_t* out) {
  internal::ReadQuantities(column, first, count, out);
}

}  // namespace tarewise::inline TW_VERSIONED

#endif  // TAREWISE_COMPARE_INTERNAL_PRICED_CATALOGUES_INL_H_
