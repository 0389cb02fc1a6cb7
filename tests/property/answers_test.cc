// What holds of every answer, over the demonstration tables and over random tables (tests/oracle/random_world.py):
// nothing depends on how a request is written or in what order things stand, and nothing is left out.

#include <gtest/gtest.h>

#include <algorithm>
#include <map>
#include <numeric>
#include <set>
#include <string>
#include <thread>
#include <tuple>
#include <vector>

#include "support/exact.h"
#include "support/fewer.h"
#include "support/worlds.h"
#include "tarewise/documents/ranking_json.h"
#include "tarewise/ranking/totals.h"

namespace tarewise::answers_test {
namespace {

using testing::Between;
using testing::Chance;
using testing::Describe;
using testing::Random;
using testing::Seed;
using testing::Share;
using testing::TryRank;
using testing::World;

constexpr int kDemoRequests = 1'500;

// Both kinds of worlds, read once.
const std::vector<World>& Worlds() {
  static const std::vector<World> worlds = [] {
    std::vector<World> all = testing::RandomWorlds();
    all.push_back(testing::SellerWorld(Seed(12), kDemoRequests / 3));
    all.push_back(testing::DemoWorld(Seed(11), kDemoRequests));
    return all;
  }();
  return worlds;
}

// Calls `check(world, request, ranking)` for each request that is answered; stops at the first failure.
template <typename Check>
void ForEachAnswer(std::size_t least, Check check) {
  std::size_t answered = 0;
  for (const World& world : Worlds()) {
    for (const Request& request : world.requests) {
      RankOptions options;
      options.thresholds = false;
      const std::optional<Ranking> ranking = TryRank(world, request, options);
      if (!ranking) continue;
      ++answered;
      check(world, request, *ranking);
      if (::testing::Test::HasFailure()) {
        ADD_FAILURE() << Describe(world, request);
        return;
      }
    }
  }
  EXPECT_GE(answered, Share(least));
}

using Way =
    std::tuple<std::string, std::string, std::string, std::string>;  // carrier, service, packaging, who issued it

Way WayOf(const Offer& offer) {
  return {std::string(offer.carrier), std::string(offer.service), std::string(offer.packaging),
          std::string(offer.issued_by)};
}

// An offer as far as it is about money.
std::string Money(const Ranking& ranking, const Offer& offer) {
  std::string text;
  for (const std::string& part : {std::get<0>(WayOf(offer)), std::get<1>(WayOf(offer)), std::get<2>(WayOf(offer))})
    text += part + " ";
  text += offer.total.ToString() + " " + offer.packaging_cost.ToString() + " " + offer.service_total.ToString() + " " +
          offer.billable.In("g") + " " + std::string(kBillableFromNames[static_cast<int>(offer.billable_from)]) + " " +
          std::string(offer.zone);
  for (const Charge& charge : offer.charges) {
    text += "; " + std::string(charge.code) + " " + charge.amount.ToString() + " (" + ranking.Why(offer, charge) + ")";
  }
  return text;
}

std::vector<std::string> Offers(const Ranking& ranking) {
  std::vector<std::string> out;
  for (const Offer& offer : ranking.offers()) out.push_back(Money(ranking, offer));
  return out;
}

std::vector<std::string> Refusals(const Ranking& ranking) {
  std::vector<std::string> out;
  for (const Refusal& refusal : ranking.refusals()) {
    std::string text =
        std::string(refusal.carrier) + "/" + std::string(refusal.service) + "/" + std::string(refusal.packaging);
    for (const RefusalReason& reason : refusal.reasons)
      text += "; " + std::string(NameOf(reason.code)) + ": " + reason.text;
    out.push_back(std::move(text));
  }
  std::sort(out.begin(), out.end());
  return out;
}

void ExpectSame(const Ranking& expected, const std::optional<Ranking>& got) {
  ASSERT_TRUE(got.has_value());
  ASSERT_EQ(Offers(*got), Offers(expected));
  ASSERT_EQ(Refusals(*got), Refusals(expected));
}

// ---- how it is written ----

TEST(Answers, DoNotDependOnTheOrderOfTheItems) {
  Random random(Seed(1));
  std::size_t shuffled = 0;
  ForEachAnswer(2'000, [&](const World& world, const Request& request, const Ranking& ranking) {
    if (request.goods.size() < 2) return;
    ++shuffled;
    Request other = request;
    std::shuffle(other.goods.begin(), other.goods.end(), random);
    RankOptions options;
    options.thresholds = false;
    ExpectSame(ranking, TryRank(world, other, options));
  });
  EXPECT_GT(shuffled, Share(300));
}

TEST(Answers, DoNotDependOnTheUnitsOrTheOrderOfTheSides) {
  Random random(Seed(2));
  ForEachAnswer(2'000, [&](const World& world, const Request& request, const Ranking& ranking) {
    Request other = request;
    for (Item& item : other.goods) {
      // The third side is the upright one where that matters.
      for (std::size_t i = item.this_side_up ? 1 : 2; i > 0; --i) {
        const std::size_t j = static_cast<std::size_t>(Between(random, 0, static_cast<std::int64_t>(i)));
        std::swap(item.sides[i], item.sides[j]);
        if (!item.this_side_up) {
          const bool may = item.may_stand[i];
          item.may_stand[i] = item.may_stand[j];
          item.may_stand[j] = may;
        }
      }
    }
    Loaded<Request> read = ReadRequest({"request", testing::RequestText(other, random)});
    ASSERT_TRUE(read.ok()) << read.diagnostics.front().ToString();
    RankOptions options;
    options.thresholds = false;
    ExpectSame(ranking, TryRank(world, *read.value, options));
  });
}

TEST(Answers, SplittingAQuantityChangesNothing) {
  std::size_t split = 0;
  ForEachAnswer(2'000, [&](const World& world, const Request& request, const Ranking& ranking) {
    Request other = request;
    other.goods.clear();
    for (const Item& item : request.goods) {
      for (std::int32_t n = 0; n < item.quantity; ++n) {
        other.goods.push_back(item);
        other.goods.back().quantity = 1;
      }
    }
    if (other.goods.size() == request.goods.size() || other.goods.empty()) return;
    ++split;
    RankOptions options;
    options.thresholds = false;
    ExpectSame(ranking, TryRank(world, other, options));
  });
  EXPECT_GT(split, Share(200));
}

TEST(Answers, TheSameInputGivesTheSameBytes) {
  ForEachAnswer(2'000, [&](const World& world, const Request& request, const Ranking&) {
    const std::optional<Ranking> one = TryRank(world, request);
    const std::optional<Ranking> two = TryRank(world, request);
    ASSERT_TRUE(one && two);
    ASSERT_EQ(ToJson(*one), ToJson(*two));
  });
}

TEST(Answers, ManyThreadsGiveTheSameBytes) {
  const World& world = Worlds().back();
  std::vector<std::string> alone;
  for (const Request& request : world.requests) {
    const std::optional<Ranking> ranking = TryRank(world, request);
    alone.push_back(ranking ? ToJson(*ranking) : "");
    if (alone.size() == 200) break;
  }
  std::vector<std::vector<std::string>> together(4);
  std::vector<std::thread> threads;
  for (std::vector<std::string>& mine : together) {
    threads.emplace_back([&world, &mine, &alone] {
      for (std::size_t i = 0; i < alone.size(); ++i) {
        const std::optional<Ranking> ranking = TryRank(world, world.requests[i]);
        mine.push_back(ranking ? ToJson(*ranking) : "");
      }
    });
  }
  for (std::thread& thread : threads) thread.join();
  for (const std::vector<std::string>& mine : together) ASSERT_EQ(mine, alone);
}

TEST(Answers, DoNotDependOnTheOrderOfTheDocumentsOrTheShelf) {
  Random random(Seed(3));
  for (const World& world : Worlds()) {
    Tables tables = world.tables;
    std::shuffle(tables.tariffs.begin(), tables.tariffs.end(), random);
    std::shuffle(tables.terms.begin(), tables.terms.end(), random);
    for (Tariff& tariff : tables.tariffs) {
      std::shuffle(tariff.packaging.begin(), tariff.packaging.end(), random);
      std::shuffle(tariff.services.begin(), tariff.services.end(), random);
    }
    if (tables.shelf) {
      std::shuffle(tables.shelf->own.begin(), tables.shelf->own.end(), random);
      std::shuffle(tables.shelf->issued.begin(), tables.shelf->issued.end(), random);
    }
    const World other = testing::MakeWorld(world.name, std::move(tables));
    int asked = 0;
    for (const Request& request : world.requests) {
      if (++asked > 300) break;
      const std::optional<Ranking> ranking = TryRank(world, request);
      const std::optional<Ranking> again = TryRank(other, request);
      ASSERT_EQ(ranking.has_value(), again.has_value()) << Describe(world, request);
      if (!ranking) continue;
      ExpectSame(*ranking, again);
      for (std::size_t i = 0; i < ranking->offers().size(); ++i) {
        const Offer& a = ranking->offers()[i];
        const Offer& b = again->offers()[i];
        ASSERT_EQ(a.savers.size(), b.savers.size());
        for (std::size_t j = 0; j < a.savers.size(); ++j) {
          ASSERT_EQ(a.savers[j].total, b.savers[j].total);
          ASSERT_EQ(a.savers[j].weight, b.savers[j].weight);
          ASSERT_EQ(a.savers[j].length, b.savers[j].length);
        }
        ASSERT_EQ(a.headroom.weight, b.headroom.weight);
        ASSERT_EQ(a.headroom.sides, b.headroom.sides);
      }
      if (::testing::Test::HasFailure()) FAIL() << Describe(world, request);
    }
  }
}

TEST(Answers, ThresholdsLeaveTheOffersAsTheyAre) {
  ForEachAnswer(2'000, [&](const World& world, const Request& request, const Ranking& ranking) {
    ExpectSame(ranking, TryRank(world, request));
  });
}

// ---- what they hold ----

// The order of the contract: total and handicap, longest days (not published: last), tracked before untracked, higher
// included cover (by the weight: that of the lightest parcel), service, packaging, carrier.
using Key =
    std::tuple<std::int64_t, std::int64_t, bool, std::int64_t, std::string, std::string, std::string, std::string>;
Key OrderOf(const Ranking& ranking, const Offer& offer) {
  return {(offer.total + offer.handicap).micros(),
          offer.days ? offer.days->most : INT64_MAX,
          !offer.tracked,
          -ranking.dispatch().services()[offer.service_index].included_cover.micros(),
          std::string(offer.service),
          std::string(offer.packaging),
          std::string(offer.carrier),
          std::string(offer.issued_by)};
}

TEST(Answers, AreInAStrictTotalOrder) {
  std::size_t equal_totals = 0;
  ForEachAnswer(2'000, [&](const World&, const Request& request, const Ranking& ranking) {
    if (request.objective != Objective::kCheapest) return;
    for (std::size_t i = 1; i < ranking.offers().size(); ++i) {
      const Offer& before = ranking.offers()[i - 1];
      const Offer& after = ranking.offers()[i];
      ASSERT_LT(OrderOf(ranking, before), OrderOf(ranking, after)) << Money(ranking, before) << "\nthen\n"
                                                                   << Money(ranking, after);
      if (before.total == after.total) ++equal_totals;
    }
  });
  EXPECT_GT(equal_totals, Share(500)) << "ties are what the order is for";
}

TEST(Answers, EveryWayIsOfferedOrRefusedOnce) {
  std::size_t ways = 0;
  std::size_t packagings_out = 0;
  ForEachAnswer(2'000, [&](const World& world, const Request& request, const Ranking& ranking) {
    // Each service of the edition of each carrier, by the documents.
    std::set<std::pair<std::string, std::string>> services;
    for (const std::string_view carrier : world.book->Carriers()) {
      const Edition* edition = world.book->InForce(carrier, request.date);
      if (edition == nullptr) edition = world.book->OutOfForce(carrier, request.date);
      for (const Service& service : edition->tariff->services) services.emplace(carrier, service.code);
    }
    // Each packaging that is at hand.
    std::multiset<std::string> packagings;
    if (request.parcel) {
      packagings.insert(request.parcel->packaging);
    } else if (world.shelf == nullptr) {
      packagings.insert("estimate");
    } else {
      for (const Shelf::Own& own : world.shelf->own) packagings.insert(own.packaging.code);
      for (const Shelf::Issued& issued : world.shelf->issued) packagings.insert(issued.code);
    }
    std::map<std::string, std::multiset<std::pair<std::string, std::string>>> told;
    std::multiset<std::string> out;
    for (const Offer& offer : ranking.offers())
      told[std::string(offer.packaging)].emplace(offer.carrier, offer.service);
    for (const Refusal& refusal : ranking.refusals()) {
      ASSERT_FALSE(refusal.reasons.empty());
      for (const RefusalReason& reason : refusal.reasons) ASSERT_FALSE(reason.text.empty()) << NameOf(reason.code);
      for (std::size_t i = 1; i < refusal.reasons.size(); ++i) {
        const bool whole = refusal.service.empty();
        const auto place = [](Reason code) {
          static constexpr Reason order[] = {Reason::kNotInForce,
                                             Reason::kCurrencyDiffers,
                                             Reason::kNoZone,
                                             Reason::kPackagingNotAllowed,
                                             Reason::kDeliveredElsewhere,
                                             Reason::kNotWanted,
                                             Reason::kPromiseNotMet,
                                             Reason::kContentsNotAccepted,
                                             Reason::kOverLimit,
                                             Reason::kNoPrice,
                                             Reason::kExtraNotOffered,
                                             Reason::kExtrasDisagree,
                                             Reason::kDoesNotFit,
                                             Reason::kOutOfStock};
          return std::find(std::begin(order), std::end(order), code) - std::begin(order);
        };
        ASSERT_LE(place(refusal.reasons[i - 1].code), place(refusal.reasons[i].code)) << whole;
      }
      if (refusal.service.empty()) {
        ASSERT_TRUE(refusal.carrier.empty());
        out.insert(std::string(refusal.packaging));
      } else {
        told[std::string(refusal.packaging)].emplace(refusal.carrier, refusal.service);
      }
    }
    std::multiset<std::string> all = out;
    for (const auto& [packaging, pairs] : told) {
      // A code that several packagings bear stands for each of them.
      const std::size_t times = packagings.count(packaging) - out.count(packaging);
      for (std::size_t i = 0; i < times; ++i) all.insert(packaging);
      ASSERT_EQ(pairs.size(), services.size() * times) << packaging;
      for (const auto& pair : pairs)
        ASSERT_EQ(pairs.count(pair), times) << pair.first << "/" << pair.second << " in " << packaging;
      ways += pairs.size();
    }
    ASSERT_EQ(all, packagings);
    packagings_out += out.size();
  });
  EXPECT_GT(ways, Share(20'000));
  EXPECT_GT(packagings_out, Share(2'000));
}

// A fraction of 0 or more rounded to a step, with no arithmetic of the library's.
testing::BigInt Rounded(const testing::Rational& value, std::int64_t step, RoundMode mode) {
  const testing::Rational steps = value / step;
  const testing::BigInt down = testing::FloorOf(steps);
  const testing::Rational rest = steps - testing::Rational(down);
  const testing::Rational half(1, 2);
  const bool up = mode == RoundMode::kUp       ? rest > 0
                  : mode == RoundMode::kDown   ? false
                  : mode == RoundMode::kHalfUp ? rest >= half
                                               : rest > half || (rest == half && down % 2 == 1);
  return (down + (up ? 1 : 0)) * step;
}

// The same with a sign put back.
testing::BigInt RoundedWithSign(const testing::Rational& value, std::int64_t step, RoundMode mode) {
  return value < 0 ? testing::BigInt(-Rounded(-value, step, mode)) : Rounded(value, step, mode);
}

// The tax on lines that it is not one of, as the page reckons it.
testing::BigInt TaxOf(const Tax& tax, const std::vector<std::int64_t>& lines, testing::BigInt total,
                      const MoneyRounding& rounding) {
  const testing::Rational percent(tax.percent.ten_thousandths(), 1'000'000);
  const testing::Rational part = tax.listed_with ? testing::Rational(percent / (1 + percent)) : percent;
  testing::BigInt sum = 0;
  if (tax.by_line) {
    for (const std::int64_t line : lines) sum += RoundedWithSign(part * line, rounding.line, rounding.mode);
  } else {
    testing::BigInt of = 0;
    for (const std::int64_t line : lines) of += line;
    sum = Rounded(part * testing::Rational(tax.listed_with ? total : of), rounding.line, rounding.mode);
  }
  return sum < 0 ? testing::BigInt(0) : sum;
}

const ChargeRule* RuleOf(const Tariff& tariff, const Charge& charge) {
  for (const ChargeRule& rule : tariff.rules) {
    if (&rule.price == charge.basis.price) return &rule;
  }
  return nullptr;
}

// The lines of an offer but its tax: each is what its kind may be. What they are counts into `seen` by name.
void ExpectLines(const Ranking& ranking, const Offer& offer, std::vector<std::int64_t>& lines,
                 std::map<std::string, std::size_t>& seen) {
  const Tariff& tariff = *ranking.dispatch().services()[offer.service_index].edition->tariff;
  ASSERT_FALSE(offer.charges.empty());
  ASSERT_EQ(offer.charges.front().code, "base");
  std::int64_t sum = 0;
  std::int64_t listed = 0;  // the last line that is no discount, and what its discounts have left of it
  std::int64_t left = 0;
  bool floors = false;
  for (const Charge& charge : offer.charges) {
    const std::int64_t amount = charge.amount.micros();
    ASSERT_FALSE(ranking.Why(offer, charge).empty()) << charge.code;
    const bool on_step = amount % tariff.rounding.line == 0;
    if (charge.basis.tax != nullptr) {
      ASSERT_EQ(&charge, &offer.charges.back());
      ASSERT_GE(amount, 0);
      ASSERT_TRUE(on_step);
      ++seen["tax"];
      continue;
    }
    lines.push_back(amount);
    sum += amount;
    ASSERT_GE(sum, 0) << charge.code << " takes the lines below 0";
    const ChargeRule* rule = RuleOf(tariff, charge);
    if (charge.code == "discount") {
      ASSERT_LT(amount, 0);
      seen["second discount"] += left != listed ? 1 : 0;
      left += amount;
      ASSERT_GE(left, 0) << "more off than the line";
      // One that a floor cuts short ends at the floor, on a step or not, and so may those after it.
      floors = floors || charge.basis.discount->floor;
      if (charge.basis.discount->floor && left < charge.basis.discount->floor->micros()) {
        ADD_FAILURE() << "a discount goes below its floor";
      }
      ASSERT_TRUE(on_step || floors) << charge.code;
      continue;
    }
    listed = left = amount;
    floors = false;
    if (rule != nullptr && rule->less) {
      ASSERT_LT(amount, 0) << charge.code;
      ASSERT_TRUE(on_step || sum == 0) << charge.code;
      ++seen[sum == 0 ? "reduction to 0" : "reduction"];
    } else {
      ASSERT_GE(amount, 0) << charge.code;
      ASSERT_TRUE(on_step) << charge.code;
    }
  }
}

TEST(Answers, LinesAddUpToTheTotal) {
  std::size_t count = 0;
  std::map<std::string, std::size_t> seen;
  ForEachAnswer(2'000, [&](const World&, const Request& request, const Ranking& ranking) {
    for (const Offer& offer : ranking.offers()) {
      const MoneyRounding& rounding = ranking.dispatch().services()[offer.service_index].edition->tariff->rounding;
      std::vector<std::int64_t> lines;
      ExpectLines(ranking, offer, lines, seen);
      if (::testing::Test::HasFatalFailure()) return;
      count += lines.size();
      testing::BigInt sum = 0;
      for (const Charge& charge : offer.charges) sum += charge.amount.micros();
      const testing::BigInt total = Rounded(testing::Rational(sum), rounding.total, rounding.mode);
      testing::BigInt counted = total;
      if (offer.tax) {
        ++seen[offer.tax->tax->listed_with ? "tax with" : "tax without"];
        const testing::BigInt tax = TaxOf(*offer.tax->tax, lines, total, rounding);
        ASSERT_EQ(testing::BigInt(offer.tax->amount.micros()), tax);
        const testing::BigInt net = total < tax ? testing::BigInt(0) : testing::BigInt(total - tax);
        ASSERT_EQ(testing::BigInt(offer.tax->with_tax.micros()), total);
        ASSERT_EQ(testing::BigInt(offer.tax->net.micros()), net);
        if (!offer.tax->tax->listed_with) {
          ASSERT_EQ(testing::BigInt(offer.charges.back().amount.micros()), tax);
          ASSERT_NE(offer.charges.back().basis.tax, nullptr);
        }
        if (request.totals == Totals::kWithoutTax) counted = net;
        seen["counted without"] += request.totals == Totals::kWithoutTax ? 1 : 0;
      }
      ASSERT_EQ(testing::BigInt(offer.service_total.micros()), counted);
      if (offer.tariff_currency == ranking.currency()) {
        ASSERT_EQ(offer.total, offer.service_total + offer.packaging_cost);
      } else {
        // Converted once, half up to the minor unit: what the carrier gets within half of one of the exact sum. A
        // packaging of the shelf's own has its cost in the ranking's currency beside that.
        const Candidate& candidate = ranking.candidates()[offer.candidate_index];
        const std::int64_t rate = request.exchange.at(std::string(offer.tariff_currency.code())).micros();
        const testing::Rational exact(
            testing::BigInt(offer.service_total.micros() + candidate.issued_cost.micros()) * rate, 1'000'000);
        const testing::BigInt minor(ranking.currency().minor_unit());
        ASSERT_EQ(testing::BigInt(offer.total.micros() - candidate.own_cost.micros()),
                  testing::HalfUp(testing::Rational(exact / testing::Rational(minor))) * minor);
      }
    }
  });
  EXPECT_GT(count, Share(20'000));
  for (const char* what : {"second discount", "tax with", "tax without", "counted without", "reduction"}) {
    EXPECT_GT(seen[what], Share(20)) << what;
  }
}

// A closed parcel's totals alone are those of the whole answer.
TEST(Answers, TotalsAloneAreTheTotals) {
  std::size_t compared = 0;
  ForEachAnswer(2'000, [&](const World&, const Request& request, const Ranking& ranking) {
    if (!request.parcel) return;
    ++compared;
    const Candidate& candidate = ranking.candidates().front();
    if (!candidate.cost_known) return;
    TotalsResult totals;
    RankTotals(ranking.dispatch(), candidate.facts, request.parcel->value, {candidate.own_cost, candidate.issued_cost},
               totals);
    ASSERT_EQ(totals.offers.size(), ranking.offers().size());
    if (request.objective != Objective::kCheapest) return;
    for (std::size_t i = 0; i < totals.offers.size(); ++i) {
      ASSERT_EQ(totals.offers[i].total, ranking.offers()[i].total);
      ASSERT_EQ(totals.offers[i].handicap, ranking.offers()[i].handicap);
      ASSERT_EQ(totals.offers[i].service, ranking.offers()[i].service_index);
    }
  });
  EXPECT_GT(compared, Share(500));
}

// The dispatch made once for many parcels gives what each call by itself gives.
TEST(Answers, ADispatchMadeBeforeGivesTheSame) {
  ForEachAnswer(2'000, [&](const World& world, const Request& request, const Ranking& ranking) {
    absl::StatusOr<Dispatch> dispatch = Dispatch::Create(world.book, Shipment::Of(request, world.shelf.get()));
    ASSERT_TRUE(dispatch.ok());
    RankOptions options;
    options.thresholds = false;
    absl::StatusOr<Ranking> again =
        Rank(std::make_shared<const Dispatch>(*std::move(dispatch)), world.shelf, request, options);
    ASSERT_TRUE(again.ok());
    ASSERT_EQ(Offers(*again), Offers(ranking));
  });
}

}  // namespace
}  // namespace tarewise::answers_test
