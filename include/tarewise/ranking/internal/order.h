#ifndef TAREWISE_RANKING_INTERNAL_ORDER_H_
#define TAREWISE_RANKING_INTERNAL_ORDER_H_

#include <cstdint>
#include <limits>
#include <string>
#include <string_view>

#include "tarewise/ranking/internal/dispatch_state.h"

namespace tarewise::internal {

/// One way to send, as far as the order among equal totals goes. Views only.
struct WayKey {
  const ServiceState* service = nullptr;
  std::string_view packaging;
  std::string_view issued_by;
};

/// The order among equal totals: longest days (unknown last), tracked first, higher included cover, service code,
/// packaging code, carrier code, and of one code the seller's own packaging first. True where `a` comes before `b`.
inline bool ComesBefore(const DispatchState& dispatch, const WayKey& a, const WayKey& b) {
  constexpr std::int32_t kUnknown = std::numeric_limits<std::int32_t>::max();
  const std::int32_t days_a = a.service->days ? a.service->days->most : kUnknown;
  const std::int32_t days_b = b.service->days ? b.service->days->most : kUnknown;
  if (days_a != days_b) return days_a < days_b;
  const Service& service_a = a.service->service();
  const Service& service_b = b.service->service();
  if (service_a.tracked != service_b.tracked) return service_a.tracked;
  if (a.service->included_cover != b.service->included_cover)
    return a.service->included_cover > b.service->included_cover;
  if (const int order = service_a.code.compare(service_b.code); order != 0) return order < 0;
  if (a.packaging != b.packaging) return a.packaging < b.packaging;
  const std::string& carrier_a = dispatch.CarrierOf(*a.service).edition->tariff->carrier;
  const std::string& carrier_b = dispatch.CarrierOf(*b.service).edition->tariff->carrier;
  if (carrier_a != carrier_b) return carrier_a < carrier_b;
  return a.issued_by < b.issued_by;
}

}  // namespace tarewise::internal

#endif  // TAREWISE_RANKING_INTERNAL_ORDER_H_
