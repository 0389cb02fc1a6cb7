#ifndef TAREWISE_UNITS_INTERNAL_MONEY_INL_H_
#define TAREWISE_UNITS_INTERNAL_MONEY_INL_H_

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "tarewise/units/internal/quantity_text.h"
#include "tarewise/units/money.h"
#include "tarewise/units/rounding.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

TW_INLINE absl::StatusOr<Currency> Currency::Parse(std::string_view code) {
  std::optional<int> digits = Digits(code);
  if (!digits) return internal::FoundExpected(code, "a currency code of ISO 4217, such as \"USD\"");
  Currency currency;
  std::copy(code.begin(), code.end(), currency.code_.begin());
  currency.decimals_ = static_cast<std::uint8_t>(*digits);
  return currency;
}

TW_INLINE std::optional<int> Currency::Digits(std::string_view code) {
  if (code.size() != 3) return std::nullopt;
  constexpr std::string_view kNone = "BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX UYI VND VUV XAF XOF XPF";
  constexpr std::string_view kThree = "BHD IQD JOD KWD LYD OMR TND";
  constexpr std::string_view kTwo =
      "AED AFN ALL AMD AOA ARS AUD AWG AZN BAM BBD BDT BMD BND BOB BRL BSD BTN BWP BYN BZD CAD CDF CHF CNY COP CRC CUP "
      "CVE CZK DKK DOP DZD EGP ERN ETB EUR FJD FKP GBP GEL GHS GIP GMD GTQ GYD HKD HNL HTG HUF IDR ILS INR IRR JMD KES "
      "KGS KHR KPW KYD KZT LAK LBP LKR LRD LSL MAD MDL MGA MKD MMK MNT MOP MRU MUR MVR MWK MXN MYR MZN NAD NGN NIO NOK "
      "NPR NZD PAB PEN PGK PHP PKR PLN QAR RON RSD RUB SAR SBD SCR SDG SEK SGD SHP SLE SOS SRD SSP STN SVC SYP SZL THB "
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

TW_INLINE absl::StatusOr<Amount> Amount::Parse(std::string_view text) {
  std::string_view rest = internal::Trim(text);
  std::optional<internal::Decimal> decimal = internal::TakeDecimal(rest);
  if (!decimal || !rest.empty()) return internal::FoundExpected(text, kExpected);
  if (decimal->scale > 6) return internal::FoundExpected(text, "an amount of money with at most 6 decimals");
  std::optional<std::int64_t> micros = Narrow(decimal->mantissa * internal::kPowersOfTen[6 - decimal->scale]);
  if (!micros) return internal::FoundExpected(text, "an amount of money, not so large");
  return Amount(*micros);
}

TW_INLINE std::string Amount::ToString(int decimals) const {
  std::string out = internal::ShortestDecimal(micros_, 1'000'000);
  const std::size_t point = out.find('.');
  std::size_t have = point == std::string::npos ? 0 : out.size() - point - 1;
  if (decimals > 0 && point == std::string::npos) out += '.';
  for (; have < static_cast<std::size_t>(decimals); ++have) out += '0';
  return out;
}

TW_INLINE absl::StatusOr<Money> Money::Parse(std::string_view amount, std::string_view currency) {
  absl::StatusOr<Amount> a = Amount::Parse(amount);
  if (!a.ok()) return a.status();
  absl::StatusOr<Currency> c = Currency::Parse(currency);
  if (!c.ok()) return c.status();
  return Money{*a, *c};
}

TW_INLINE std::string Money::ToString() const {
  return amount.ToString(currency.decimals()) + " " + std::string(currency.code());
}

TW_INLINE absl::StatusOr<ExchangeRate> ExchangeRate::Parse(std::string_view text) {
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

TW_INLINE std::string ExchangeRate::ToString() const { return Amount::Micros(micros_).ToString(0); }

TW_INLINE absl::StatusOr<Money> Add(const Money& a, const Money& b) {
  if (a.currency != b.currency) {
    return internal::Invalid("found " + a.ToString() + " and " + b.ToString() + ", expected one currency");
  }
  std::optional<std::int64_t> sum = Narrow(Int128(a.amount.micros()) + b.amount.micros());
  if (!sum) return absl::OutOfRangeError("the sum of money is too large");
  return Money{Amount::Micros(*sum), a.currency};
}

TW_INLINE absl::StatusOr<int> Compare(const Money& a, const Money& b) {
  if (a.currency != b.currency) {
    return internal::Invalid("found " + a.ToString() + " and " + b.ToString() + ", expected one currency");
  }
  return a.amount < b.amount ? -1 : (b.amount < a.amount ? 1 : 0);
}

}  // namespace tarewise::inline TW_VERSIONED

#endif  // TAREWISE_UNITS_INTERNAL_MONEY_INL_H_
