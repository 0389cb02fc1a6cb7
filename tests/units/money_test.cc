// Money, percentages and dates, against exact fractions (Boost.Multiprecision).

#include "tarewise/units/money.h"

#include <gtest/gtest.h>

#include <string>
#include <utility>
#include <vector>

#include "support/error_of.h"
#include "support/exact.h"
#include "tarewise/units/date.h"
#include "tarewise/units/percent.h"

namespace tarewise {
namespace {

using testing::AnySize;
using testing::Between;
using testing::BigInt;
using testing::ErrorOf;
using testing::HalfUp;
using testing::OneOf;
using testing::Random;
using testing::Rational;

Currency Of(const char* code) { return Currency::Parse(code).value(); }

TEST(Money, AmountsAreWholeMillionths) {
  EXPECT_EQ(Amount::Parse("6.45").value().micros(), 6'450'000);
  EXPECT_EQ(Amount::Parse("0.000001").value().micros(), 1);
  EXPECT_EQ(Amount::Parse("7").value().micros(), 7'000'000);
  EXPECT_EQ(Amount::Parse("6.4500000000").value().micros(), 6'450'000);
  EXPECT_EQ(Amount::Parse("999999999999.999999").value().micros(), 999'999'999'999'999'999);
  for (const char* text : {"", "-1", "+1", "1,000", "1.", "1e3", "$1", "1 USD", "NaN", "1.2.3"}) {
    EXPECT_EQ(ErrorOf(Amount::Parse(text).status()),
              std::string("found \"") + text + "\", expected an amount of money such as \"6.45\"");
  }
  EXPECT_EQ(ErrorOf(Amount::Parse("1.0000001").status()),
            "found \"1.0000001\", expected an amount of money with at most 6 decimals");
  EXPECT_FALSE(Amount::Parse("1000000000000").ok());
}

TEST(Money, IsPrintedWithTheCurrencysDecimalsOrMore) {
  EXPECT_EQ(Amount::Micros(7'500'000).ToString(), "7.50");
  EXPECT_EQ(Amount::Micros(485'000).ToString(), "0.485");
  EXPECT_EQ(Amount::Micros(485'000).ToString(3), "0.485");
  EXPECT_EQ(Amount::Micros(-130'000).ToString(), "-0.13");
  EXPECT_EQ(Amount::Micros(8'000'000).ToString(0), "8");
  EXPECT_EQ(Amount::Micros(8'500'000).ToString(0), "8.5");
  EXPECT_EQ(Amount().ToString(), "0.00");
  EXPECT_EQ((Money{Amount::Micros(8'000'000), Of("JPY")}.ToString()), "8 JPY");
  EXPECT_EQ((Money{Amount::Micros(8'000'000), Of("KWD")}.ToString()), "8.000 KWD");
  Random random(9);
  for (int i = 0; i < 20'000; ++i) {
    const Amount amount = Amount::Micros(testing::AnySize(random, 59));
    for (const int decimals : {0, 2, 3}) {
      const std::string text = amount.ToString(decimals);
      ASSERT_EQ(Amount::Parse(text).value(), amount) << text;
      const std::size_t point = text.find('.');
      ASSERT_GE(point == std::string::npos ? 0 : text.size() - point - 1, static_cast<std::size_t>(decimals)) << text;
    }
  }
}

TEST(Money, TwoCurrenciesGiveAStatusNeverANumber) {
  const Money dollars{Amount::Micros(1'000'000), Of("USD")};
  const Money euros{Amount::Micros(1'000'000), Of("EUR")};
  EXPECT_EQ(ErrorOf(Add(dollars, euros).status()), "found 1.00 USD and 1.00 EUR, expected one currency");
  EXPECT_EQ(ErrorOf(Compare(dollars, euros).status()), "found 1.00 USD and 1.00 EUR, expected one currency");
  EXPECT_EQ(Add(dollars, dollars).value().amount.micros(), 2'000'000);
  EXPECT_EQ(Compare(dollars, dollars).value(), 0);
  EXPECT_FALSE(dollars == euros);
  const Money large{Amount::Micros(INT64_MAX), Of("USD")};
  EXPECT_EQ(Add(large, dollars).status().code(), absl::StatusCode::kOutOfRange);
}

TEST(Money, CurrenciesAreThoseOfTheStandard) {
  EXPECT_EQ(Of("USD").decimals(), 2);
  EXPECT_EQ(Of("JPY").decimals(), 0);
  EXPECT_EQ(Of("KWD").decimals(), 3);
  EXPECT_EQ(Of("JPY").minor_unit(), 1'000'000);
  EXPECT_EQ(Of("KWD").minor_unit(), 1'000);
  for (const char* code : {"", "US", "usd", "USDX", "XXY", "U D", "D A", " US", "ED ", "SD "}) {
    EXPECT_EQ(ErrorOf(Currency::Parse(code).status()),
              std::string("found \"") + code + "\", expected a currency code of ISO 4217, such as \"USD\"");
  }
}

TEST(Money, ConversionIsRoundedOnceHalfUp) {
  Random random(10);
  for (int i = 0; i < 20'000; ++i) {
    const std::int64_t micros = testing::AnySize(random, 50);
    const std::int64_t rate = Between(random, 1, 200'000'000);
    const Currency to = Of(OneOf(random, std::vector<const char*>{"USD", "JPY", "KWD"}));
    const ExchangeRate exchange = ExchangeRate::Parse(Amount::Micros(rate).ToString(0)).value();
    ASSERT_EQ(exchange.micros(), rate);
    const Rational into = Rational(BigInt(micros) * rate, 1'000'000) / to.minor_unit();
    ASSERT_EQ(BigInt(exchange.Into(Amount::Micros(micros), to).value().micros()), HalfUp(into) * to.minor_unit());
    const Rational back = Rational(BigInt(micros) * 1'000'000, rate) / to.minor_unit();
    const std::optional<Amount> got = exchange.Back(Amount::Micros(micros), to);
    const BigInt expected = HalfUp(back) * to.minor_unit();
    if (expected > INT64_MAX) {
      ASSERT_FALSE(got.has_value());
    } else {
      ASSERT_EQ(BigInt(got.value().micros()), expected);
    }
  }
  for (const char* text : {"", "0", "0.0000001", "-1", "1.08425555", "x"}) {
    EXPECT_EQ(ErrorOf(ExchangeRate::Parse(text).status()),
              std::string("found \"") + text +
                  "\", expected a rate of exchange over 0 with at most 6 decimals, such as \"1.0842\"");
  }
}

// ---- percentages ----

TEST(Percentages, ReadAndPrint) {
  EXPECT_EQ(Percent::Parse("16.75 %").value().ten_thousandths(), 167'500);
  EXPECT_EQ(Percent::Parse("16.75").value().ten_thousandths(), 167'500);
  EXPECT_EQ(Percent::Parse(" 16.75% ").value().ten_thousandths(), 167'500);
  EXPECT_EQ(Percent::Parse("0.0001").value().ten_thousandths(), 1);
  EXPECT_EQ(Percent::TenThousandths(167'500).ToString(), "16.75 %");
  for (const char* text : {"", "%", "-1 %", "16,75", "1e2", "16.75 %%", "16.75 percent"}) {
    EXPECT_EQ(ErrorOf(Percent::Parse(text).status()),
              std::string("found \"") + text + "\", expected a percentage such as \"16.75 %\"");
  }
  EXPECT_EQ(ErrorOf(Percent::Parse("1.00001").status()),
            "found \"1.00001\", expected a percentage with at most 4 decimals");
  EXPECT_EQ(ErrorOf(Percent::Parse("100000001").status()), "found \"100000001\", expected a percentage, not so large");
}

// ---- dates ----

TEST(Dates, AreThoseOfTheCalendar) {
  EXPECT_EQ(Date::Parse("1970-01-01").value().days(), 0);
  EXPECT_EQ(Date::Parse("2026-07-12").value().days(), 20'646);
  EXPECT_EQ(Date::Parse("2000-02-29").value().days(), 11'016);
  EXPECT_LT(Date::Parse("2026-07-11").value(), Date::Parse("2026-07-12").value());
  // Every day of the years 1 to 9999 reads back, and is one after the day before.
  for (std::int32_t days = Date::Parse("0001-01-01").value().days(); days <= Date::Parse("9999-12-31").value().days();
       ++days) {
    const std::string text = Date::Days(days).ToString();
    const absl::StatusOr<Date> date = Date::Parse(text);
    ASSERT_TRUE(date.ok()) << text;
    ASSERT_EQ(date->days(), days) << text;
  }
  for (const char* text : {"2026-02-29", "1900-02-29", "2026-13-01", "2026-00-10", "2026-04-31", "0000-01-01"}) {
    EXPECT_EQ(ErrorOf(Date::Parse(text).status()), std::string("found \"") + text + "\", expected a date that exists");
  }
  for (const char* text : {"", "2026-7-12", "12.07.2026", "2026/07/12", "20260712", "2026-07-12T00:00", " 2026-07-12",
                           "2026-07-1x", "+026-07-12"}) {
    EXPECT_EQ(ErrorOf(Date::Parse(text).status()),
              std::string("found \"") + text + "\", expected a date such as \"2026-07-12\"");
  }
}

}  // namespace
}  // namespace tarewise
