#ifndef TAREWISE_RANKING_INTERNAL_ORDER_H_
#define TAREWISE_RANKING_INTERNAL_ORDER_H_

#include <compare>
#include <cstdint>
#include <limits>
#include <string>
#include <string_view>
#include <tuple>

#include "tarewise/ranking/internal/dispatch_state.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// The order among equal totals, as far as services alone tell it: longest days (unknown last), tracked first, higher
/// included cover, service code. Views only.
inline auto TieKeyOf(const ServiceState& state) {
  constexpr std::int32_t kUnknown = std::numeric_limits<std::int32_t>::max();
  const Service& service = state.service();
  return std::tuple(state.days ? state.days->most : kUnknown, !service.tracked, -state.included_cover,
                    std::string_view(service.code));
}

/// One way to send, as far as the order among equal totals goes. Views only.
struct WayKey {
  const ServiceState* service = nullptr;
  std::string_view packaging;
  std::string_view issued_by;
};

/// The order among equal totals: by their services, then packaging code, carrier code, and of one code the seller's own
/// packaging first. True where `a` comes before `b`.
inline bool ComesBefore(const DispatchState& dispatch, const WayKey& a, const WayKey& b) {
  if (const auto order = TieKeyOf(*a.service) <=> TieKeyOf(*b.service); order != 0) return order < 0;
  if (a.packaging != b.packaging) return a.packaging < b.packaging;
  const std::string& carrier_a = dispatch.CarrierOf(*a.service).edition->tariff->carrier;
  const std::string& carrier_b = dispatch.CarrierOf(*b.service).edition->tariff->carrier;
  if (carrier_a != carrier_b) return carrier_a < carrier_b;
  return a.issued_by < b.issued_by;
}

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_RANKING_INTERNAL_ORDER_H_
