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
#include "tarewise/units/internal/quantity_text.h"
#include "tarewise/units/rounding.h"

namespace tarewise {

/// A currency by its ISO 4217 code. A value type; the default one is no currency ("XXX" in the standard).
class Currency {
 public:
  constexpr Currency() = default;

  /// A code of ISO 4217's list of current currencies. Errors: InvalidArgument for anything else, lower case too.
  static absl::StatusOr<Currency> Parse(std::string_view code) {
    std::optional<int> digits = Digits(code);
    if (!digits) return internal::FoundExpected(code, "a currency code of ISO 4217, such as \"USD\"");
    Currency currency;
    std::copy(code.begin(), code.end(), currency.code_.begin());
    currency.decimals_ = static_cast<std::uint8_t>(*digits);
    return currency;
  }

  std::string_view code() const { return {code_.data(), code_.size()}; }
  /// Decimals of the minor unit: 2 for USD, 0 for JPY, 3 for KWD.
  constexpr int decimals() const { return decimals_; }
  /// The minor unit in millionths: 10,000 for USD.
  constexpr std::int64_t minor_unit() const { return internal::kPowersOfTen[6 - decimals_]; }

  friend constexpr bool operator==(Currency, Currency) = default;
  friend constexpr auto operator<=>(Currency, Currency) = default;

 private:
  // From memory of the standard's list one; the exceptions to two decimals first.
  static std::optional<int> Digits(std::string_view code) {
    if (code.size() != 3) return std::nullopt;
    constexpr std::string_view kNone = "BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX UYI VND VUV XAF XOF XPF";
    constexpr std::string_view kThree = "BHD IQD JOD KWD LYD OMR TND";
    constexpr std::string_view kTwo =
        "AED AFN ALL AMD AOA ARS AUD AWG AZN BAM BBD BDT BMD BND BOB BRL BSD BTN BWP BYN BZD CAD CDF CHF CNY COP CRC "
        "CUP "
        "CVE CZK DKK DOP DZD EGP ERN ETB EUR FJD FKP GBP GEL GHS GIP GMD GTQ GYD HKD HNL HTG HUF IDR ILS INR IRR JMD "
        "KES "
        "KGS KHR KPW KYD KZT LAK LBP LKR LRD LSL MAD MDL MGA MKD MMK MNT MOP MRU MUR MVR MWK MXN MYR MZN NAD NGN NIO "
        "NOK "
        "NPR NZD PAB PEN PGK PHP PKR PLN QAR RON RSD RUB SAR SBD SCR SDG SEK SGD SHP SLE SOS SRD SSP STN SVC SYP SZL "
        "THB "
        "TJS TMT TOP TRY TTD TWD TZS UAH USD UYU UZS VES WST XCD YER ZAR ZMW ZWG";
    auto in = [code](std::string_view list) {
      const std::size_t at = list.find(code);
      return at != std::string_view::npos && at % 4 == 0 && code.find(' ') == std::string_view::npos;
    };
    if (in(kNone)) return 0;
    if (in(kThree)) return 3;
    if (in(kTwo)) return 2;
    return std::nullopt;
  }

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
  static absl::StatusOr<Amount> Parse(std::string_view text) {
    std::string_view rest = internal::Trim(text);
    std::optional<internal::Decimal> decimal = internal::TakeDecimal(rest);
    if (!decimal || !rest.empty()) return internal::FoundExpected(text, kExpected);
    if (decimal->scale > 6) return internal::FoundExpected(text, "an amount of money with at most 6 decimals");
    std::optional<std::int64_t> micros = Narrow(decimal->mantissa * internal::kPowersOfTen[6 - decimal->scale]);
    if (!micros) return internal::FoundExpected(text, "an amount of money, not so large");
    return Amount(*micros);
  }

  constexpr std::int64_t micros() const { return micros_; }

  /// With at least `decimals` decimals, and as many more as it has: "7.50", "0.485".
  std::string ToString(int decimals = 2) const {
    std::string out = internal::ShortestDecimal(micros_, 1'000'000);
    const std::size_t point = out.find('.');
    std::size_t have = point == std::string::npos ? 0 : out.size() - point - 1;
    if (decimals > 0 && point == std::string::npos) out += '.';
    for (; have < static_cast<std::size_t>(decimals); ++have) out += '0';
    return out;
  }

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

  static absl::StatusOr<Money> Parse(std::string_view amount, std::string_view currency) {
    absl::StatusOr<Amount> a = Amount::Parse(amount);
    if (!a.ok()) return a.status();
    absl::StatusOr<Currency> c = Currency::Parse(currency);
    if (!c.ok()) return c.status();
    return Money{*a, *c};
  }

  std::string ToString() const { return amount.ToString(currency.decimals()) + " " + std::string(currency.code()); }
  friend bool operator==(const Money&, const Money&) = default;
};

/// a + b. Errors: InvalidArgument where the currencies differ; OutOfRange where the sum does not fit.
inline absl::StatusOr<Money> Add(const Money& a, const Money& b) {
  if (a.currency != b.currency) {
    return internal::Invalid("found " + a.ToString() + " and " + b.ToString() + ", expected one currency");
  }
  std::optional<std::int64_t> sum = Narrow(Int128(a.amount.micros()) + b.amount.micros());
  if (!sum) return absl::OutOfRangeError("the sum of money is too large");
  return Money{Amount::Micros(*sum), a.currency};
}

/// The order of a and b. Errors: InvalidArgument where the currencies differ.
inline absl::StatusOr<int> Compare(const Money& a, const Money& b) {
  if (a.currency != b.currency) {
    return internal::Invalid("found " + a.ToString() + " and " + b.ToString() + ", expected one currency");
  }
  return a.amount < b.amount ? -1 : (b.amount < a.amount ? 1 : 0);
}

/// A rate of exchange: one unit of a currency in another's units, in millionths: more than 0 and, as money, at most
/// 1,000 million.
class ExchangeRate {
 public:
  constexpr ExchangeRate() = default;
  static absl::StatusOr<ExchangeRate> Parse(std::string_view text) {
    absl::StatusOr<Amount> amount = Amount::Parse(text);
    if (!amount.ok() || amount->micros() < 1) {
      return internal::FoundExpected(text, "a rate of exchange over 0 with at most 6 decimals, such as \"1.0842\"");
    }
    if (amount->micros() > kMostMicros) {
      return internal::FoundExpected(text, "a rate of exchange of at most 1000000000");
    }
    ExchangeRate rate;
    rate.micros_ = amount->micros();
    return rate;
  }
  constexpr std::int64_t micros() const { return micros_; }
  std::string ToString() const { return Amount::Micros(micros_).ToString(0); }

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

}  // namespace tarewise

#endif  // TAREWISE_UNITS_MONEY_H_
