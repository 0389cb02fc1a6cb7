#ifndef TAREWISE_PLANS_PLANS_H_
#define TAREWISE_PLANS_PLANS_H_

#include <cstddef>
#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "absl/status/statusor.h"
#include "tarewise/internal/switch.h"
#include "tarewise/parcel/kinds.h"
#include "tarewise/parcel/packaging.h"
#include "tarewise/pricing/ratebook.h"
#include "tarewise/ranking/cautions.h"
#include "tarewise/ranking/dispatch.h"
#include "tarewise/ranking/packer.h"
#include "tarewise/ranking/ranking.h"
#include "tarewise/ranking/request.h"
#include "tarewise/tariff/calendar.h"
#include "tarewise/tariff/tariff.h"
#include "tarewise/units/money.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {
namespace internal {
class PlansMaker;
}

/// Some units of one item of a request.
struct PlannedGoods {
  std::size_t item = 0;  ///< Its place in `Request::goods`.
  std::int32_t units = 0;
  friend bool operator==(const PlannedGoods&, const PlannedGoods&) = default;
};

/// One parcel of a plan: what is in it, and how it goes.
struct PlannedParcel {
  std::vector<PlannedGoods> goods;    ///< By item; empty of a sealed parcel.
  std::optional<std::size_t> sealed;  ///< The place of a sealed parcel in `Request::sealed`.
  /// Every way to send these goods in the packaging that was chosen. Its request is of these goods alone: `item` in a
  /// placement counts `goods`.
  Ranking ranking;
  std::size_t offer_index = 0;  ///< Into `ranking.offers()`: the way that was chosen.

  const Offer& offer() const { return ranking.offers()[offer_index]; }
};

/// What is due once for all parcels of a plan that go by one service. Views live as the plan's parcels do.
struct OnceCharge {
  std::size_t parcel = 0;  ///< Which bears it.
  std::string_view carrier;
  std::string_view service;
  std::string_view code;  ///< "base": the price itself.
  std::string_view title;
  Amount amount;  ///< As in the parcel's charges: in the tariff's currency, before discounts.
};

/// A set of parcels that together hold every unit of an order once.
struct Plan {
  std::vector<PlannedParcel> parcels;
  Amount total;                         ///< Of all parcels, in the ranking's currency.
  Amount handicap;                      ///< The sum of theirs: counts in the order, and is in no total.
  bool at_risk = false;                 ///< One of its parcels is.
  std::optional<Amount> total_at_risk;  ///< Nothing while at risk: one would then be refused.
  std::optional<Days> days;             ///< Of the parcel that takes longest; nothing where one is not published.
  std::optional<Arrival> arrives;       ///< Likewise: the last to arrive.
  std::vector<OnceCharge> once;
};

/// What keeps an order from being sent.
enum class Obstacle : std::uint8_t { kNothingTakes, kNotOnHand, kMoreParcels, kNotByOne, kNotFound };
inline constexpr std::string_view kObstacleNames[] = {"nothing_takes", "not_on_hand", "more_parcels", "not_by_one",
                                                      "not_found"};

/// One of these, with what it is about.
struct PlanObstacle {
  Obstacle code = Obstacle::kNotFound;
  std::string text;
  std::vector<PlannedGoods> goods = {};    ///< What nothing takes; empty of the others.
  std::optional<Ranking> alone = {};       ///< Of these goods: no offers, and every refusal.
  std::optional<std::int32_t> need = {};   ///< So many parcels would do.
  std::optional<std::size_t> sealed = {};  ///< The place of a sealed parcel that nothing takes.
};

/// How much of an answer to work out.
struct PlanOptions {
  bool thresholds = false;         ///< Headroom and savers of each parcel's offers.
  const Packer* packer = nullptr;  ///< Nothing: `GoodsPacker`. Used during the call alone.
  std::int64_t steps = 200'000;    ///< Of the search that looks at every way.
  std::int64_t sets = 4'000;       ///< Past `pairs`: sets of goods that are packed and priced, at most.
  std::int64_t pairs =
      2'000'000;  ///< Past so many pairs of a set of goods and a part of it, not every way is looked at.
};

/// The answer: how to part an order, cheapest first. Immutable: any number of threads may read one; copies share what
/// its views point into.
class Plans {
 public:
  const std::vector<Plan>& plans() const { return plans_; }
  /// No plan costs less than the first; or, without any, there is none.
  bool proved() const { return proved_; }
  /// No plan costs less, total and handicap together (cautious: total at risk and handicap); nothing where that is not
  /// known, as where there is no plan.
  const std::optional<Amount>& at_least() const { return at_least_; }
  /// The total of the best single parcel; nothing where none takes the whole order, and of sealed parcels.
  const std::optional<Amount>& single() const { return single_; }
  /// What stands in the way where there is no plan.
  const std::vector<PlanObstacle>& obstacles() const { return obstacles_; }
  /// Of the goods, and of every offer that was chosen.
  const std::vector<Caution>& cautions() const { return cautions_; }
  /// The goods were not packed: no shelf was given.
  bool estimate() const { return estimate_; }
  Currency currency() const { return currency_; }
  /// The whole order.
  const Request& request() const { return *request_; }

 private:
  friend class internal::PlansMaker;
  std::shared_ptr<const Request> request_;
  std::vector<Plan> plans_;
  std::vector<PlanObstacle> obstacles_;
  std::vector<Caution> cautions_;
  std::optional<Amount> at_least_;
  std::optional<Amount> single_;
  Currency currency_;
  bool proved_ = false;
  bool estimate_ = false;
};

/// Finds the cheapest plans for an order in several parcels, as `request.parcels` allows (nothing: in one), or for its
/// `sealed` parcels (FORMAT.md B9). `shelf` may be nothing: then the goods of each parcel are estimated. Safe from any
/// thread.
///
///     Request order;
///     order.goods = {item, item};
///     order.parcels = SeveralParcels{.most = 2};
///     absl::StatusOr<Plans> plans = FindPlans(book, shelf, order);
///     if (plans.ok() && !plans->plans().empty()) Tell(plans->plans().front().total, plans->single());
///
/// Errors: InvalidArgument as `Request::Check` and `Rank`; for a cover of goods without a value that may be parted, and
/// for cash on delivery of several parcels. "No plan" is an answer, not an error. Cost: see bench/; bounded by
/// `options.steps`, whatever the order.
absl::StatusOr<Plans> FindPlans(std::shared_ptr<const Ratebook> book, std::shared_ptr<const Shelf> shelf,
                                Request request, const PlanOptions& options = {});

/// The same with a dispatch made before, as `Rank` takes one.
absl::StatusOr<Plans> FindPlans(std::shared_ptr<const Dispatch> dispatch, std::shared_ptr<const Shelf> shelf,
                                Request request, const PlanOptions& options = {});

}  // namespace tarewise::inline TW_VERSIONED

#ifdef TW_HEADER_ONLY
#include "tarewise/plans/internal/plans-inl.h"
#endif

#endif  // TAREWISE_PLANS_PLANS_H_
