#ifndef TAREWISE_UNITS_MONEY_H_
#define TAREWISE_UNITS_MONEY_H_

#include <algorithm>
#include <array>
#include <compare>
#include <concepts>
#include <cstdint>
#include <limits>
#include <optional>
#include <string>
#include <string_view>

#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "tarewise/internal/switch.h"
#include "tarewise/units/rounding.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

/// A currency by its ISO 4217 code. A value type; the default one is no currency ("XXX" in the standard).
class Currency {
 public:
  constexpr Currency() = default;

  /// A code of ISO 4217's list of current currencies. Errors: InvalidArgument for anything else, lower case too.
  static absl::StatusOr<Currency> Parse(std::string_view code);

  std::string_view code() const { return {code_.data(), code_.size()}; }
  /// Decimals of the minor unit: 2 for USD, 0 for JPY, 3 for KWD.
  constexpr int decimals() const { return decimals_; }
  /// The minor unit in millionths: 10,000 for USD.
  constexpr std::int64_t minor_unit() const {
    std::int64_t micros = 1'000'000;
    for (int i = 0; i < decimals_; ++i) micros /= 10;
    return micros;
  }

  friend constexpr bool operator==(Currency, Currency) = default;
  friend constexpr auto operator<=>(Currency, Currency) = default;

 private:
  // From memory of the standard's list one; the exceptions to two decimals first.
  static std::optional<int> Digits(std::string_view code);

  std::array<char, 3> code_ = {'X', 'X', 'X'};
  std::uint8_t decimals_ = 2;
};

/// A number of currency units without the currency: whole millionths, for use inside one document, whose currency is
/// known. Range: about 9.2 million million either way.
class Amount {
 public:
  constexpr Amount() = default;
  static constexpr Amount Micros(std::int64_t n) { return Amount(n); }
  template <std::floating_point T>
  static Amount Micros(T) = delete;

  /// Reads "6.45": no sign, at most 6 decimals. Errors: InvalidArgument saying what was found and expected.
  static absl::StatusOr<Amount> Parse(std::string_view text);

  constexpr std::int64_t micros() const { return micros_; }

  /// With at least `decimals` decimals, and as many more as it has: "7.50", "0.485".
  std::string ToString(int decimals = 2) const;

  friend constexpr Amount operator+(Amount a, Amount b) { return Amount(a.micros_ + b.micros_); }
  friend constexpr Amount operator-(Amount a, Amount b) { return Amount(a.micros_ - b.micros_); }
  friend constexpr Amount operator-(Amount a) { return Amount(-a.micros_); }
  friend constexpr auto operator<=>(Amount, Amount) = default;

  static constexpr std::string_view kExpected = "an amount of money such as \"6.45\"";

 private:
  explicit constexpr Amount(std::int64_t micros) : micros_(micros) {}
  std::int64_t micros_ = 0;
};

/// No price of a tariff, no line and no total may pass 1,000 million units: a sum of lines then never overflows.
inline constexpr std::int64_t kMostMicros = 1'000'000'000'000'000;

/// An amount with its currency. There is no operator+: two currencies give a status, never a number.
struct Money {
  Amount amount;
  Currency currency;

  static absl::StatusOr<Money> Parse(std::string_view amount, std::string_view currency);

  std::string ToString() const;
  friend bool operator==(const Money&, const Money&) = default;
};

/// a + b. Errors: InvalidArgument where the currencies differ; OutOfRange where the sum does not fit.
absl::StatusOr<Money> Add(const Money& a, const Money& b);

/// The order of a and b. Errors: InvalidArgument where the currencies differ.
absl::StatusOr<int> Compare(const Money& a, const Money& b);

/// A rate of exchange: one unit of a currency in another's units, in millionths: more than 0 and, as money, at most
/// 1,000 million.
class ExchangeRate {
 public:
  constexpr ExchangeRate() = default;
  static absl::StatusOr<ExchangeRate> Parse(std::string_view text);
  constexpr std::int64_t micros() const { return micros_; }
  std::string ToString() const;

  /// `amount` in the other currency, half up to its minor unit. Nothing where it does not fit.
  std::optional<Amount> Into(Amount amount, Currency to) const {
    std::optional<std::int64_t> out =
        Narrow(DivideRounded(Int128(amount.micros()) * micros_, 1'000'000, to.minor_unit(), RoundMode::kHalfUp));
    if (!out) return std::nullopt;
    return Amount::Micros(*out);
  }
  /// The way back: an amount of the other currency in units of this one, half up to `to`'s minor unit.
  std::optional<Amount> Back(Amount amount, Currency to) const {
    std::optional<std::int64_t> out =
        Narrow(DivideRounded(Int128(amount.micros()) * 1'000'000, micros_, to.minor_unit(), RoundMode::kHalfUp));
    if (!out) return std::nullopt;
    return Amount::Micros(*out);
  }

 private:
  std::int64_t micros_ = 1'000'000;
};

/// How a tariff rounds its charge lines and its total. Steps in millionths, 1 or more.
struct MoneyRounding {
  std::int64_t line = 10'000;
  std::int64_t total = 10'000;
  RoundMode mode = RoundMode::kHalfUp;
};

}  // namespace tarewise::inline TW_VERSIONED

#ifdef TW_HEADER_ONLY
#include "tarewise/units/internal/money-inl.h"
#endif

#endif  // TAREWISE_UNITS_MONEY_H_
