#ifndef TAREWISE_UNITS_INTERNAL_PLACED_ERROR_INL_H_
#define TAREWISE_UNITS_INTERNAL_PLACED_ERROR_INL_H_

#include <string>
#include <string_view>

#include "absl/status/status.h"
#include "absl/strings/cord.h"
#include "tarewise/units/internal/place_of_error.h"
#include "tarewise/units/placed_error.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

TW_INLINE PlacedError PlacedErrorOf(const absl::Status& status) {
  PlacedError out;
  std::string_view message(status.message().data(), status.message().size());
  if (const absl::optional<absl::Cord> place = status.GetPayload(internal::kPlaceOfError)) {
    out.place = std::string(*place);
    message.remove_prefix(out.place->size() + 2);
  }
  out.message = message;
  return out;
}

}  // namespace tarewise::inline TW_VERSIONED

#endif  // TAREWISE_UNITS_INTERNAL_PLACED_ERROR_INL_H_
