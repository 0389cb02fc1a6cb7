#ifndef TAREWISE_RANKING_DISPATCH_H_
#define TAREWISE_RANKING_DISPATCH_H_

#include <cstddef>
#include <cstdint>
#include <functional>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "absl/status/statusor.h"
#include "tarewise/internal/switch.h"
#include "tarewise/pricing/ratebook.h"
#include "tarewise/ranking/request.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {
namespace internal {
class DispatchState;
}

/// What of a request a dispatch is made of: where, when and how, but not what is sent.
struct Shipment {
  Lane lane;
  Date date;
  std::optional<TimeOfDay> time;
  Promise promise;
  std::vector<Delivery> accepts = {Delivery::kDoor};
  std::vector<std::string> extras;
  std::optional<Amount> cover;             ///< In the ranking's currency.
  std::optional<Amount> cash_on_delivery;  ///< To be collected, in the ranking's currency.
  std::optional<Currency> currency;        ///< Of the ranking; nothing: the one of the tariffs in force and the shelf.
  std::map<std::string, ExchangeRate, std::less<>> exchange;  ///< By currency code: one unit of it in the ranking's.
  std::optional<Currency> shelf_currency;                     ///< Of the shelf's costs; nothing where it has none.
  Totals totals = Totals::kWithTax;
  Week week;
  Consignment consignment;

  /// Of a request, and of the shelf that is sent from (it may be nothing).
  static Shipment Of(const Request& request, const Shelf* shelf);
};

/// Everything of a request but its goods, made ready once for any number of parcels: the editions in force on the day,
/// the zone of the lane in each list of zones, days, currency, and which services are out whatever the parcel.
/// Immutable: any number of threads may price with one; copies share.
///
///     std::shared_ptr<const Dispatch> today = std::make_shared<const Dispatch>(*Dispatch::Create(book, shipment));
///     absl::StatusOr<Ranking> one = Rank(today, shelf, request);
class Dispatch {
 public:
  /// A carrier: the edition in force on the day, or where none is, the one whose services stand for it.
  struct Carrier {
    const Edition* edition = nullptr;
    bool in_force = true;
    bool same_currency = true;         ///< As the ranking.
    std::optional<ExchangeRate> rate;  ///< One unit of the tariff's currency in the ranking's, where given.
    bool currency_ok() const { return same_currency || rate.has_value(); }
  };

  /// A service of a carrier on the lane.
  struct Entry {
    const Service* service = nullptr;
    const Edition* edition = nullptr;
    std::uint32_t carrier = 0;       ///< Into `carriers()`.
    ZoneId zone = kNoZone;           ///< Of the edition's tariff; `kNoZone`: the lane is in none.
    std::optional<Days> days;        ///< Nothing: none are published for the zone.
    std::optional<Arrival> arrives;  ///< Nothing: no days are published, or the carrier tells no calendar.
    bool promise_met = true;
    bool elsewhere = false;  ///< It ends where the shipment does not accept it.
    /// Refused whatever the parcel: nothing in force, no rate, no zone, not wanted, elsewhere, or a promise not met.
    bool out = false;
    Amount included_cover;  ///< In the ranking's currency; 0 where that cannot be told. Of one by the weight: at 1 ng.
  };

  /// Errors: InvalidArgument where no ratebook is given, the cover or the cash on delivery is below 0 or over 1,000
  /// million, an extra is asked for twice or `cover` or `cash-on-delivery` among them, the promise names a service that
  /// no carrier has or that several have, the ranking's currency is not given and cannot be told, or that of the
  /// seller's own rules has no rate.
  static absl::StatusOr<Dispatch> Create(std::shared_ptr<const Ratebook> book, Shipment shipment);

  const std::shared_ptr<const Ratebook>& book() const;
  const Shipment& shipment() const;
  /// Of the ranking.
  Currency currency() const;
  /// By code. What they and the services point at is the ratebook's, which this keeps alive.
  const std::vector<Carrier>& carriers() const;
  /// Carrier after carrier, each tariff's in its own order.
  const std::vector<Entry>& services() const;

  /// The order among equal totals in one packaging, by the numbers of two services: longest days (unknown last),
  /// tracked first, higher included cover, service code, carrier code. True where `a` comes before `b`. Both are less
  /// than the number of `services()`.
  bool ComesBefore(std::size_t a, std::size_t b) const;

  /// For the library itself.
  const internal::DispatchState& state() const { return *state_; }

 private:
  explicit Dispatch(std::shared_ptr<const internal::DispatchState> state) : state_(std::move(state)) {}

  std::shared_ptr<const internal::DispatchState> state_;
};

}  // namespace tarewise::inline TW_VERSIONED

#ifdef TW_HEADER_ONLY
#include "tarewise/ranking/internal/dispatch-inl.h"
#endif

#endif  // TAREWISE_RANKING_DISPATCH_H_
