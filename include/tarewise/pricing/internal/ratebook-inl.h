#ifndef TAREWISE_PRICING_INTERNAL_RATEBOOK_INL_H_
#define TAREWISE_PRICING_INTERNAL_RATEBOOK_INL_H_

#include <memory>
#include <optional>
#include <string_view>
#include <utility>
#include <vector>

#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "tarewise/pricing/internal/compile.h"
#include "tarewise/pricing/ratebook.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

TW_INLINE Ratebook::Ratebook() : compiled_(std::make_unique<internal::CompiledBook>()) {}
TW_INLINE Ratebook::~Ratebook() = default;

TW_INLINE absl::StatusOr<std::shared_ptr<const Ratebook>> Ratebook::Create(std::vector<Tariff> tariffs,
                                                                           std::vector<Terms> terms,
                                                                           Gazetteer gazetteer,
                                                                           std::optional<SellerRules> seller) {
  std::shared_ptr<Ratebook> book(new Ratebook);
  book->tariffs_ = std::move(tariffs);
  book->terms_ = std::move(terms);
  book->gazetteer_ = std::move(gazetteer);
  book->seller_ = std::move(seller);
  if (absl::Status status = book->compiled_->Compile(book->tariffs_, book->terms_, book->seller()); !status.ok()) {
    return status;
  }
  return std::shared_ptr<const Ratebook>(std::move(book));
}

TW_INLINE std::vector<std::string_view> Ratebook::Carriers() const { return compiled_->Carriers(); }

TW_INLINE const Edition* Ratebook::InForce(std::string_view carrier, Date date) const {
  return compiled_->InForce(carrier, date);
}

TW_INLINE const Edition* Ratebook::OutOfForce(std::string_view carrier, Date date) const {
  return compiled_->OutOfForce(carrier, date);
}

TW_INLINE const Packaging* Ratebook::FindPackaging(const Tariff& tariff, std::string_view code) {
  for (const Packaging& packaging : tariff.packaging) {
    if (packaging.code == code) return &packaging;
  }
  return nullptr;
}

}  // namespace tarewise::inline TW_VERSIONED

#endif  // TAREWISE_PRICING_INTERNAL_RATEBOOK_INL_H_
