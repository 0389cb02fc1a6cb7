#ifndef TAREWISE_UNITS_PLACED_ERROR_H_
#define TAREWISE_UNITS_PLACED_ERROR_H_

#include <optional>
#include <string>

#include "absl/status/status.h"
#include "tarewise/internal/switch.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

/// An error of the library taken apart, for a program that calls the things it asked about by names of its own: the
/// place, "goods/0/weight", where the error has one, and the message without it.
///
///     absl::Status status = request.Check();
///     PlacedError error = PlacedErrorOf(status);
///     if (error.place == "parcel/weight") Tell("the scale", error.message);
struct PlacedError {
  std::optional<std::string> place;
  std::string message;
};
PlacedError PlacedErrorOf(const absl::Status& status);

}  // namespace tarewise::inline TW_VERSIONED

#ifdef TW_HEADER_ONLY
#include "tarewise/units/internal/placed_error-inl.h"
#endif

#endif  // TAREWISE_UNITS_PLACED_ERROR_H_
