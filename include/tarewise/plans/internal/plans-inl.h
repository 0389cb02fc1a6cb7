#ifndef TAREWISE_PLANS_INTERNAL_PLANS_INL_H_
#define TAREWISE_PLANS_INTERNAL_PLANS_INL_H_

#include <memory>
#include <utility>

#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "tarewise/plans/internal/planner.h"
#include "tarewise/plans/plans.h"
#include "tarewise/units/internal/quantity_text.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

TW_INLINE absl::StatusOr<Plans> FindPlans(std::shared_ptr<const Ratebook> book, std::shared_ptr<const Shelf> shelf,
                                          Request request, const PlanOptions& options) {
  absl::StatusOr<Dispatch> dispatch = Dispatch::Create(std::move(book), Shipment::Of(request, shelf.get()));
  if (!dispatch.ok()) return dispatch.status();
  return FindPlans(std::make_shared<const Dispatch>(*std::move(dispatch)), std::move(shelf), std::move(request),
                   options);
}

TW_INLINE absl::StatusOr<Plans> FindPlans(std::shared_ptr<const Dispatch> dispatch, std::shared_ptr<const Shelf> shelf,
                                          Request request, const PlanOptions& options) {
  if (dispatch == nullptr) return internal::Invalid("found no dispatch, expected one");
  if (absl::Status status = internal::CheckPlanned(request, *dispatch); !status.ok()) return status;
  const auto order = std::make_shared<const Request>(std::move(request));
  return internal::Planner(order, std::move(dispatch), std::move(shelf), options).Find();
}

}  // namespace tarewise::inline TW_VERSIONED

#endif  // TAREWISE_PLANS_INTERNAL_PLANS_INL_H_
