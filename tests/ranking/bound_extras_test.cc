// Extras that require or exclude each other, and services that require some, worked out by hand. All invented.

#include <memory>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "gtest/gtest.h"
#include "support/refusal_of.h"
#include "tarewise/batch/reprice.h"
#include "tarewise/documents/load.h"
#include "tarewise/ranking/rank.h"
#include "tarewise/ranking/totals.h"

namespace tarewise::bound_extras_test {
namespace {

using testing::RefusalOf;

constexpr std::string_view kTariff = R"({
  "format": "tarewise-tariff-1", "carrier": {"code": "harbourline", "name": "Harbourline Post"}, "title": "List",
  "currency": "USD", "in_force": {"from": "2026-01-01"}, "zones": {"main": [{"kind": "one", "zone": "N"}]},
  "services": [
    {"code": "parcel", "title": "Parcel", "zones": "main", "mode": "surface", "prices": [{"amount": 5}],
     "included_cover": 50, "extras": ["tracking", "signature", "adult", "cover", "cash-on-delivery"]},
    {"code": "letter", "title": "Letter", "zones": "main", "mode": "surface", "prices": [{"amount": 2}],
     "requires": ["tracking"], "extras": ["tracking", "signature"]}],
  "extras": [
    {"code": "tracking", "title": "Tracking", "amount": 0.50},
    {"code": "signature", "title": "Signature", "amount": 1.50, "requires": ["tracking"]},
    {"code": "adult", "title": "Adult", "amount": 2.50, "excludes": ["signature", "cover"]},
    {"code": "cover", "title": "Cover", "amount": 1, "requires": ["signature"]},
    {"code": "cash-on-delivery", "title": "Cash", "amount": 3, "requires": ["cover"]}]})";

std::shared_ptr<const Ratebook> Book(const std::string& seller = "") {
  std::vector<SourceText> sources = {{"harbourline.json", std::string(kTariff)}};
  if (!seller.empty()) sources.push_back({"seller.json", seller});
  Loaded<Tables> tables = ReadTables(sources);
  for (const Diagnostic& finding : tables.diagnostics) ADD_FAILURE() << finding.ToString();
  return *Ratebook::Create(std::move(tables.value->tariffs), {}, {}, std::move(tables.value->seller));
}

Ranking Ranked(std::string_view more, const std::string& seller = "") {
  Loaded<Request> request = ReadRequest(
      {"request.json", R"({"format": "tarewise-request-1", "from": {"country": "US"}, "to": {"country": "US"},
        "date": "2026-08-03", "parcel": {"weight": "1 lb", "sides": "9 x 6 x 2 in", "value": "20"})" +
                           std::string(more) + "}"});
  for (const Diagnostic& finding : request.diagnostics) ADD_FAILURE() << finding.ToString();
  absl::StatusOr<Ranking> ranking = Rank(Book(seller), nullptr, *std::move(request.value));
  EXPECT_TRUE(ranking.ok()) << ranking.status();
  return *std::move(ranking);
}

// "letter 2.50, parcel 5.50"
std::string Offered(const Ranking& ranking) {
  std::string out;
  for (const Offer& offer : ranking.offers()) {
    out += (out.empty() ? "" : ", ") + std::string(offer.service) + " " + offer.total.ToString();
  }
  return out;
}

TEST(BoundExtras, AServiceMayRequireOne) {
  const Ranking without = Ranked("");
  EXPECT_EQ(Offered(without), "parcel 5.00");
  EXPECT_EQ(RefusalOf(without, "letter"),
            "extras_disagree: this service requires \"tracking\", which is not asked for");
  EXPECT_EQ(Offered(Ranked(R"(, "extras": ["tracking"])")), "letter 2.50, parcel 5.50");
}

TEST(BoundExtras, AnExtraMayRequireOthers) {
  const Ranking alone = Ranked(R"(, "extras": ["signature"])");
  EXPECT_EQ(Offered(alone), "");
  EXPECT_EQ(RefusalOf(alone, "parcel"), "extras_disagree: \"signature\" requires \"tracking\", which is not asked for");
  EXPECT_EQ(RefusalOf(alone, "letter"),
            "extras_disagree: this service requires \"tracking\", which is not asked for; "
            "extras_disagree: \"signature\" requires \"tracking\", which is not asked for");
  EXPECT_EQ(Offered(Ranked(R"(, "extras": ["signature", "tracking"])")), "letter 4.00, parcel 7.00");
}

TEST(BoundExtras, AnExtraMayExcludeOthers) {
  const Ranking both = Ranked(R"(, "extras": ["tracking", "signature", "adult"])");
  EXPECT_EQ(Offered(both), "");
  EXPECT_EQ(RefusalOf(both, "parcel"), "extras_disagree: \"adult\" excludes \"signature\"");
  // What is not offered is told first, and what it would require is not known here.
  EXPECT_EQ(RefusalOf(both, "letter"), "extra_not_offered: \"adult\" is not offered for this parcel");
  EXPECT_EQ(Offered(Ranked(R"(, "extras": ["tracking", "adult"])")), "parcel 8.00");
}

TEST(BoundExtras, CoverAndCashCountAsAskedForWhereAnyIs) {
  // Included cover too.
  EXPECT_EQ(RefusalOf(Ranked(R"(, "extras": ["adult"], "cover": "10")"), "parcel"),
            "extras_disagree: \"adult\" excludes \"cover\"; "
            "extras_disagree: \"cover\" requires \"signature\", which is not asked for");
  EXPECT_EQ(Offered(Ranked(R"(, "extras": ["adult"], "cover": "0")")), "parcel 7.50");
  EXPECT_EQ(RefusalOf(Ranked(R"(, "amounts": {"cash_on_delivery": "20"})"), "parcel"),
            "extras_disagree: \"cash-on-delivery\" requires \"cover\", which is not asked for");
  EXPECT_EQ(
      Offered(Ranked(R"(, "amounts": {"cash_on_delivery": "20"}, "extras": ["signature", "tracking"], "cover": "60")")),
      "parcel 11.00");
}

TEST(BoundExtras, HoldForWhatTheSellersOwnRulesAskForToo) {
  const std::string seller = R"({"format": "tarewise-seller-1", "currency": "USD",
    "ask": [{"when": {"value": {"over": "15"}}, "extras": ["signature"]}]})";
  EXPECT_EQ(RefusalOf(Ranked("", seller), "parcel"),
            "extras_disagree: \"signature\" requires \"tracking\", which is not asked for");
  EXPECT_EQ(Offered(Ranked(R"(, "extras": ["tracking"])", seller)), "letter 4.00, parcel 7.00");
}

TEST(BoundExtras, OneThatNoTariffHasIsToldWithTheOneThatWasMeant) {
  EXPECT_EQ(RefusalOf(Ranked(R"(, "extras": ["sinature"])"), "parcel"),
            "extra_not_offered: \"sinature\" is not offered for this parcel (did you mean \"signature\"?)");
  EXPECT_EQ(RefusalOf(Ranked(R"(, "extras": ["gift-wrapping"])"), "parcel"),
            "extra_not_offered: \"gift-wrapping\" is not offered for this parcel");
}

TEST(BoundExtras, TotalsAloneSayTheSame) {
  const Ranking ranking = Ranked("");
  ParcelFacts parcel = ranking.candidates().front().facts;
  TotalsResult totals;
  RankTotals(ranking.dispatch(), parcel, Amount(), {}, totals);
  ASSERT_EQ(totals.offers.size(), 1u);
  EXPECT_EQ(totals.offers[0].total, *Amount::Parse("5"));
}

}  // namespace
}  // namespace tarewise::bound_extras_test
