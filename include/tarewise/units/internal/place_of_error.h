#ifndef TAREWISE_UNITS_INTERNAL_PLACE_OF_ERROR_H_
#define TAREWISE_UNITS_INTERNAL_PLACE_OF_ERROR_H_

#include <string>
#include <string_view>

#include "absl/status/status.h"
#include "absl/strings/cord.h"
#include "tarewise/units/internal/quantity_text.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

// Where in what was asked an error is, as "goods/0/weight". It stands before the message for people, and beside it for
// those who put a name of their own in its place.
inline constexpr char kPlaceOfError[] = "tarewise/place";

/// The error with its place: "goods/0/weight: found ...".
inline absl::Status At(std::string_view place, const absl::Status& error) {
  std::string message(place);
  message += ": ";
  message.append(error.message().data(), error.message().size());
  absl::Status status(error.code(), Av(message));
  status.SetPayload(kPlaceOfError, absl::Cord(Av(place)));
  return status;
}

inline absl::Status InvalidAt(std::string_view place, std::string_view message) { return At(place, Invalid(message)); }

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_UNITS_INTERNAL_PLACE_OF_ERROR_H_
