// Every price that a tariff document copies from its published list, priced again.

#include "tarewise/documents/examples.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <string>
#include <vector>

#include "support/worlds.h"

namespace tarewise::examples_test {
namespace {

class Examples : public ::testing::TestWithParam<std::string> {};

// A tariff alone, without terms, and an example's zone taken as given.
std::shared_ptr<const Ratebook> BookFor(const Tariff& tariff, const Example& example, const Gazetteer& gazetteer) {
  Tariff copy = tariff;
  if (example.zone) {
    copy.zone_lists.push_back({"given", {OneZoneChart{*example.zone, {}}}});
    for (Service& service : copy.services) service.zone_list = static_cast<std::uint32_t>(copy.zone_lists.size() - 1);
  }
  return Ratebook::Create({std::move(copy)}, {}, gazetteer).value();
}

Request RequestOf(const Tariff& tariff, const Example& example) {
  Request request;
  request.parcel = example.parcel;
  if (example.lane) request.lane = *example.lane;
  // With a zone alone no place is known, but for the address's kind.
  if (!example.lane) request.lane.to = Place::Somewhere(example.residential);
  request.date = example.date.value_or(tariff.in_force.from.value_or(Date()));
  request.extras = example.extras;
  request.cover = example.cover;
  request.cash_on_delivery = example.cash_on_delivery;
  request.week.each = example.week;
  request.consignment = example.consignment;
  request.time = example.time;
  request.accepts = {Delivery::kDoor, Delivery::kPoint, Delivery::kLocker};
  request.currency = tariff.currency;
  return request;
}

std::string LinesOf(const Ranking& ranking, const Offer& offer) {
  std::string text = "billable " + offer.billable.In("lb") + " (" + offer.billable.In("kg") + ", " +
                     std::string(kBillableFromNames[static_cast<int>(offer.billable_from)]) + "), zone " +
                     std::string(offer.zone);
  for (const Charge& charge : offer.charges) {
    text += "\n    " + std::string(charge.code) + " " + charge.amount.ToString() + "  " + ranking.Why(offer, charge);
  }
  return text;
}

void Check(const Tariff& tariff, const Example& example, const Gazetteer& gazetteer) {
  const std::string name = tariff.file + ":" + std::to_string(example.line) + ": " + example.pointer + " (" +
                           example.service + ": " + example.why + ")";
  SCOPED_TRACE(name);
  ASSERT_TRUE(example.total.has_value() != example.refused.has_value()) << "a total or a refusal";
  const auto ranking = Rank(BookFor(tariff, example, gazetteer), nullptr, RequestOf(tariff, example));
  ASSERT_TRUE(ranking.ok()) << ranking.status();
  for (const Offer& offer : ranking->offers()) {
    if (offer.service != example.service) continue;
    const std::string got = "got " + offer.service_total.ToString() + "\n    " + LinesOf(*ranking, offer);
    ASSERT_FALSE(example.refused) << got;
    EXPECT_EQ(offer.service_total.ToString(), example.total->ToString()) << got;
    if (example.billable_weight) {
      EXPECT_EQ(offer.billable.In("lb"), example.billable_weight->In("lb")) << got;
    }
    return;
  }
  for (const Refusal& refusal : ranking->refusals()) {
    if (refusal.service != example.service) continue;
    std::string got = "got refused:";
    bool among = false;
    for (const RefusalReason& reason : refusal.reasons) {
      got += "\n    " + std::string(NameOf(reason.code)) + ": " + reason.text;
      among = among || reason.code == example.refused;
    }
    EXPECT_TRUE(example.refused) << got;
    EXPECT_TRUE(among) << "expected " << NameOf(example.refused.value_or(Reason::kNoPrice)) << ", " << got;
    return;
  }
  FAIL() << "the tariff has no service " << example.service;
}

TEST_P(Examples, ArePricedAsPublished) {
  const Tables tables = testing::LoadTables(TW_TEST_ROOT "/" + GetParam());
  ASSERT_FALSE(tables.tariffs.empty());
  std::size_t examples = 0;
  for (const Tariff& tariff : tables.tariffs) {
    for (const Example& example : tariff.examples) Check(tariff, example, tables.gazetteer);
    for (const DifferingExample& one : DifferingExamples(tariff, tables.gazetteer)) ADD_FAILURE() << one.text;
    examples += tariff.examples.size();
  }
  EXPECT_GT(examples, 0U) << "no document of the folder has an example";
  RecordProperty("examples", static_cast<int>(examples));
}

INSTANTIATE_TEST_SUITE_P(Tables, Examples, ::testing::ValuesIn(testing::TableFolders()), [](const auto& folder) {
  std::string name = folder.param;
  std::replace_if(
      name.begin(), name.end(), [](char c) { return !std::isalnum(static_cast<unsigned char>(c)); }, '_');
  return name;
});

TEST(DifferingExamplesOf, ATariffAreTold) {
  const Tables tables = testing::LoadTables(TW_TEST_ROOT "/tables/demo");
  Tariff tariff = tables.tariffs.front();
  ASSERT_GE(tariff.examples.size(), 3U);
  const auto priced = std::find_if(tariff.examples.begin(), tariff.examples.end(),
                                   [](const Example& example) { return example.total.has_value(); });
  ASSERT_NE(priced, tariff.examples.end());
  const std::size_t dearer = static_cast<std::size_t>(priced - tariff.examples.begin());
  const std::string published = priced->total->ToString();
  priced->total = *priced->total + Amount::Micros(10'000);
  priced->billable_weight.reset();
  const std::string changed = priced->total->ToString();
  Example unknown = tariff.examples.front();
  unknown.service = "no-such-service";
  tariff.examples.push_back(unknown);
  const std::vector<DifferingExample> differing = DifferingExamples(tariff, tables.gazetteer);
  ASSERT_EQ(differing.size(), 2U);
  EXPECT_EQ(differing[0].example, &tariff.examples[dearer]);
  EXPECT_EQ(differing[0].number, dearer + 1);
  EXPECT_TRUE(differing[0].text.ends_with(": expected " + changed + ", got " + published)) << differing[0].text;
  EXPECT_FALSE(differing[0].lines.empty());
  EXPECT_EQ(differing[1].number, tariff.examples.size());
  EXPECT_TRUE(differing[1].text.ends_with("got no such service")) << differing[1].text;
}

// Each demonstration tariff has at least one example for each service, and for each surcharge and extra that any has.
TEST(DemonstrationExamples, ShowEveryRule) {
  const Tables& tables = testing::DemoTables();
  for (const Tariff& tariff : tables.tariffs) {
    std::vector<std::string> seen;
    for (const Example& example : tariff.examples) {
      seen.push_back(example.service);
      const auto ranking = Rank(BookFor(tariff, example, tables.gazetteer), nullptr, RequestOf(tariff, example));
      ASSERT_TRUE(ranking.ok());
      for (const Offer& offer : ranking->offers()) {
        if (offer.service != example.service) continue;
        for (const Charge& charge : offer.charges) seen.emplace_back(charge.code);
      }
    }
    for (const Service& service : tariff.services) {
      EXPECT_NE(std::find(seen.begin(), seen.end(), service.code), seen.end()) << tariff.file << ": " << service.code;
      for (const auto* rules : {&service.surcharges, &service.extras}) {
        for (const std::uint32_t index : *rules) {
          const std::string& code = tariff.rules[index].code;
          EXPECT_NE(std::find(seen.begin(), seen.end(), code), seen.end()) << tariff.file << ": " << code;
        }
      }
    }
  }
}

}  // namespace
}  // namespace tarewise::examples_test
