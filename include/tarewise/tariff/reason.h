#ifndef TAREWISE_TARIFF_REASON_H_
#define TAREWISE_TARIFF_REASON_H_

#include <cstdint>
#include <optional>
#include <string_view>

#include "tarewise/parcel/kinds.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

/// Why a way to send is not offered: an answer, not an error. The numbers are pinned and never reused.
enum class Reason : std::uint8_t {
  kNotInForce = 1,
  kCurrencyDiffers = 2,
  kNoZone = 3,
  kPackagingNotAllowed = 4,
  kDoesNotFit = 5,
  kOutOfStock = 6,
  kPromiseNotMet = 7,
  kContentsNotAccepted = 8,
  kOverLimit = 9,
  kNoPrice = 10,
  kExtraNotOffered = 11,
  kNotWanted = 12,
  kDeliveredElsewhere = 13,
  kExtrasDisagree = 14,
};

inline constexpr std::string_view kReasonNames[] = {"",
                                                    "not_in_force",
                                                    "currency_differs",
                                                    "no_zone",
                                                    "packaging_not_allowed",
                                                    "does_not_fit",
                                                    "out_of_stock",
                                                    "promise_not_met",
                                                    "contents_not_accepted",
                                                    "over_limit",
                                                    "no_price",
                                                    "extra_not_offered",
                                                    "not_wanted",
                                                    "delivered_elsewhere",
                                                    "extras_disagree"};

constexpr std::string_view NameOf(Reason reason) { return kReasonNames[static_cast<int>(reason)]; }
constexpr std::optional<Reason> ReasonFromName(std::string_view name) {
  if (name.empty()) return std::nullopt;
  return FromName<Reason>(kReasonNames, name);
}

}  // namespace tarewise::inline TW_VERSIONED

#endif  // TAREWISE_TARIFF_REASON_H_
