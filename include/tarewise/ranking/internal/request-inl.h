#ifndef TAREWISE_RANKING_INTERNAL_REQUEST_INL_H_
#define TAREWISE_RANKING_INTERNAL_REQUEST_INL_H_

#include <cstddef>
#include <string>
#include <string_view>

#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "tarewise/ranking/internal/request_checks.h"
#include "tarewise/ranking/request.h"
#include "tarewise/units/internal/quantity_text.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

TW_INLINE absl::StatusOr<PaidFor> PaidFor::Parse(std::string_view text) {
  PaidFor paid_for;
  const std::size_t slash = text.find('/');
  paid_for.service = slash == std::string_view::npos ? text : text.substr(slash + 1);
  if (slash != std::string_view::npos) paid_for.carrier = text.substr(0, slash);
  if (!internal::IsCode(paid_for.service) || (slash != std::string_view::npos && !internal::IsCode(paid_for.carrier))) {
    return internal::FoundExpected(text, internal::kPaidForExpected);
  }
  return paid_for;
}

TW_INLINE std::string PaidFor::ToString() const { return carrier.empty() ? service : carrier + "/" + service; }

TW_INLINE absl::Status Request::Check() const {
  if (absl::Status status = internal::CheckTerms(*this); !status.ok()) return status;
  return internal::CheckSent(*this);
}

}  // namespace tarewise::inline TW_VERSIONED

#endif  // TAREWISE_RANKING_INTERNAL_REQUEST_INL_H_
