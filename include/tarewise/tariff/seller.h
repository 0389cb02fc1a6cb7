#ifndef TAREWISE_TARIFF_SELLER_H_
#define TAREWISE_TARIFF_SELLER_H_

#include <algorithm>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "tarewise/tariff/tariff.h"
#include "tarewise/tariff/test.h"
#include "tarewise/units/money.h"
#include "tarewise/units/percent.h"
#include "tarewise/units/rounding.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

/// The seller's own rules: what is not used, what is always asked for, and what counts in the order although nobody
/// bills it. Nothing of it is a carrier's price. Money in it, in its tests too, is in `currency`.
struct SellerRules {
  /// A service, or all of a carrier's.
  struct Scope {
    std::string carrier;
    std::string service;  ///< Empty: all of them.
  };

  /// A way that the seller does not use.
  struct Avoid {
    std::vector<Scope> services;  ///< Empty: everybody's.
    RefuseRule rule{.when = {}, .reason = {}, .code = Reason::kNotWanted};
  };

  /// What is asked for by itself. Its test looks at goods, value, places and the day alone.
  struct Ask {
    Test when;
    std::vector<std::string> extras;
    std::optional<Amount> cover;
    bool cover_value = false;  ///< Cover to the whole declared value.
  };

  /// What counts in the order beside the total. Its test looks at neither weight nor sides.
  struct Handicap {
    std::string code;
    std::string title;
    std::vector<Scope> services;  ///< Empty: everybody's.
    Test when;
    Amount amount;
    std::optional<Percent> of_value;  ///< In the place of `amount`: a part of the declared value.
  };

  Currency currency;
  std::vector<Avoid> avoid;
  std::vector<Ask> ask;
  std::vector<Handicap> handicaps;
  std::string file;  ///< Where it was read from, for messages; may be empty.

  /// True where a rule for `services` is for this one.
  static bool IsFor(const std::vector<Scope>& services, std::string_view carrier, std::string_view service) {
    return services.empty() || std::any_of(services.begin(), services.end(), [&](const Scope& one) {
             return one.carrier == carrier && (one.service.empty() || one.service == service);
           });
  }

  /// What minutes (in hundredths) are worth at so much an hour, half up to the currency's minor unit, at most 1,000
  /// million.
  static Amount WorthOf(std::int64_t hundredths, Amount hour, Currency currency) {
    const Int128 worth =
        DivideRounded(Int128(hour.micros()) * hundredths, 6000, currency.minor_unit(), RoundMode::kHalfUp);
    return Amount::Micros(worth > kMostMicros ? kMostMicros : static_cast<std::int64_t>(worth));
  }
};

}  // namespace tarewise::inline TW_VERSIONED

#endif  // TAREWISE_TARIFF_SELLER_H_
