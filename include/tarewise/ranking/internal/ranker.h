#ifndef TAREWISE_RANKING_INTERNAL_RANKER_H_
#define TAREWISE_RANKING_INTERNAL_RANKER_H_

#include <algorithm>
#include <array>
#include <cstdint>
#include <limits>
#include <memory>
#include <numeric>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "tarewise/parcel/packaging.h"
#include "tarewise/pricing/internal/evaluate.h"
#include "tarewise/pricing/ratebook.h"
#include "tarewise/ranking/cautions.h"
#include "tarewise/ranking/internal/dispatch_state.h"
#include "tarewise/ranking/internal/order.h"
#include "tarewise/ranking/internal/pieces.h"
#include "tarewise/ranking/internal/request_checks.h"
#include "tarewise/ranking/internal/weight_set.h"
#include "tarewise/ranking/packer.h"
#include "tarewise/ranking/rank.h"
#include "tarewise/ranking/ranking.h"
#include "tarewise/ranking/request.h"

namespace tarewise::internal {

/// Works out one ranking; see `Rank`.
class Ranker {
 public:
  static absl::StatusOr<Ranking> Run(std::shared_ptr<const Dispatch> dispatch, std::shared_ptr<const Shelf> shelf,
                                     Request request, const RankOptions& options) {
    Ranker ranker(std::move(dispatch), std::move(shelf), std::move(request), options);
    if (absl::Status status = ranker.CheckGoods(); !status.ok()) return status;
    if (absl::Status status = ranker.MakeCandidates(); !status.ok()) return status;
    if (absl::Status status = ranker.Price(); !status.ok()) return status;
    ranker.Sort();
    if (options.thresholds) {
      ranker.FindHeadroom();
      ranker.FindSavers();
    }
    ranker.FindChanges();
    ranker.FindCautions();
    return std::move(ranker.ranking_);
  }

 private:
  // What candidates point into; lives as long as the ranking.
  struct Kept {
    std::shared_ptr<const Shelf> shelf;
    Contents contents;
    std::vector<const Contents*> items;
  };

  Ranker(std::shared_ptr<const Dispatch> dispatch, std::shared_ptr<const Shelf> shelf, Request request,
         const RankOptions& options)
      : dispatch_(StateOf(*dispatch)),
        options_(options),
        candidates_(std::make_shared<std::vector<Candidate>>()),
        kept_(std::make_shared<Kept>()) {
    auto kept_request = std::make_shared<const Request>(std::move(request));
    request_ = kept_request.get();
    kept_->shelf = std::move(shelf);
    ranking_.request_ = std::move(kept_request);
    ranking_.dispatch_ = std::move(dispatch);
    ranking_.candidates_ = candidates_;
    ranking_.kept_ = kept_;
  }

  static absl::Status Bad(const std::string& message) { return Invalid(message); }

  absl::Status CheckGoods();

  // ---- candidates ----

  void CommonFacts(Candidate& candidate, bool rigid) const {
    candidate.facts.contents = &kept_->contents;
    candidate.facts.items = kept_->items;
    candidate.facts.rigid = rigid;
  }

  absl::Status MakeCandidates();

  void RefusePackaging(std::string_view code, Reason reason, std::string text) {
    Refusal refusal;
    refusal.packaging = code;
    refusal.reasons.push_back({reason, nullptr, std::move(text)});
    ranking_.refusals_.push_back(std::move(refusal));
  }

  absl::Status TryPackaging(const Packaging& packaging, std::optional<std::int64_t> on_hand,
                            const CarrierState* issued_by, bool bare_allowed);

  void SetCost(Candidate& candidate, const Packaging& packaging, const CarrierState* issued_by) const;

  absl::Status AddCandidate(Candidate candidate);

  absl::Status MakeEstimate();

  absl::Status MakeSealed();

  // ---- goods of a range ----

  absl::Status MakeRanges();

  // What goods of a weight weigh in a packaging. Of an estimate the allowance, which is for goods over a pound.
  std::int64_t Gross(const Candidate& candidate, std::int64_t goods) const {
    if (ranking_.estimate_) return goods + AllowanceFor(goods);
    return goods + candidate.weight_floor;
  }
  std::int64_t AllowanceFor(std::int64_t goods) const {
    return goods > kPound ? request_->allowance.most.nanograms() : 0;
  }

  // Every gross weight that the goods come to in a packaging, of an estimate with this allowance.
  WeightSet WeightsOf(const Candidate& candidate, Weight allowance) const {
    if (candidate.facts.weight == candidate.weight_most && !ranking_.estimate_) {
      return WeightSet::Between(candidate.weight_most, candidate.weight_most);
    }
    if (ranking_.estimate_) return goods_weights_->Plus(kPound, 0, allowance.nanograms());
    return goods_weights_->Plus(candidate.weight_floor);
  }

  // A side of the goods that ranges: the units of one item are alike.
  struct GoodsSide {
    std::size_t item = 0;
    std::size_t side = 0;
    std::int64_t least = 0;
    std::int64_t most = 0;
  };
  PieceVisitor::Values Ends(bool most) const {
    PieceVisitor::Values values;
    for (const GoodsSide& side : ranging_) values.push_back(most ? side.most : side.least);
    return values;
  }

  // The sides of the parcel that goods make of ranging sides of these values; no side falls where a value rises.
  std::array<std::int64_t, 3> SidesOf(const Candidate& candidate, const PieceVisitor::Values& values) const;

  // Visits points of all the parcels that the goods make in a packaging; see `PieceVisitor`.
  template <typename F>
  bool VisitRange(const Candidate& candidate, const ServiceState& state, const WeightSet& weights, F visit) const {
    PieceVisitor visitor = VisitorOf(state, candidate);
    if (!candidate.follows_goods) return visitor.Visit(BoxOf(candidate), weights, visit);
    return visitor.Visit(
        Ends(false), Ends(true), [&](const PieceVisitor::Values& values) { return SidesOf(candidate, values); },
        weights, visit);
  }
  PieceVisitor VisitorOf(const ServiceState& state, const Candidate& candidate) const {
    return {state.cuts(), state.service().measure, FactorOf(state, candidate), Strides(state)};
  }
  // Between cuts that are no series, only prices by the step change, and they only rise: but where a dearer member of
  // a group could take over from one that a percentage is of, or strike something, the total may fall.
  static bool Strides(const ServiceState& state) { return !state.compiled->group_steps; }

  // ---- pricing ----

  static ParcelBox BoxOf(const Candidate& candidate) {
    return {candidate.facts.weight, candidate.weight_most, candidate.least, candidate.most};
  }

  std::int64_t FactorOf(const ServiceState& state, const Candidate& candidate) const {
    return candidate.facts.irregular() ? state.service().measure.irregular_factor : kVolumeScale;
  }

  // The total in the ranking's currency of a service at one weight and three sorted sides.
  std::optional<Amount> TotalAt(const ServiceState& state, const Candidate& candidate, std::int64_t weight,
                                const std::array<std::int64_t, 3>& sides) const {
    ParcelFacts facts = candidate.facts;
    facts.weight = weight;
    facts.sides = sides;
    return TotalAt(state, candidate, facts, dispatch_.MeasureSides(facts, state));
  }

  std::optional<Amount> TotalAt(const ServiceState& state, const Candidate& candidate, const ParcelFacts& facts,
                                const SideFacts& sides) const {
    if (!candidate.cost_known) return std::nullopt;
    const std::optional<Amount> total = dispatch_.Total(state, facts, shipments_[state.carrier], sides);
    if (!total) return std::nullopt;
    const std::optional<Amount> converted = Converted(state, *total, candidate);
    return converted;
  }

  // The total at a point, and the billable weight there, from which the next change is sought.
  struct Point {
    std::optional<Amount> total;
    Cuts::Billable billable;
  };

  static Cuts::Billable BillableOf(Weight weight, BillableFrom from) {
    return {weight.nanograms(), from == BillableFrom::kActual, from == BillableFrom::kDimensional};
  }

  Point PointAt(const ServiceState& state, const Candidate& candidate, std::int64_t weight,
                const std::array<std::int64_t, 3>& sides) const {
    ParcelFacts facts = candidate.facts;
    facts.weight = weight;
    facts.sides = sides;
    const SideFacts measured = dispatch_.MeasureSides(facts, state);
    const Evaluation evaluation(*state.compiled, state.rules, facts, shipments_[state.carrier], state.zone, measured);
    Point point;
    point.billable = BillableOf(evaluation.billable(), evaluation.from());
    if (candidate.cost_known && !evaluation.Refused()) {
      if (const std::optional<Amount> total = evaluation.Total()) point.total = Converted(state, *total, candidate);
    }
    return point;
  }

  std::optional<Amount> Converted(const ServiceState& state, Amount total, const Candidate& candidate) const {
    return dispatch_.WithPackaging(dispatch_.CarrierOf(state), total, candidate.issued_cost, candidate.own_cost);
  }

  absl::Status Price();

  absl::Status PriceRange(std::size_t c, std::size_t s);

  absl::Status PricePoint(std::size_t c, std::size_t s, const ParcelFacts& facts, const SideFacts& sides,
                          std::optional<TotalRange> range);

  absl::Status AddOffer(std::size_t c, std::size_t s, const ParcelFacts& facts, const Evaluation& evaluation,
                        Amount service_total, Amount total, std::vector<Charge> charges,
                        std::optional<TotalRange> range);

  absl::Status FindRisk(Offer& offer, const ParcelFacts& facts) const;

  void AddRefusal(std::size_t c, const ServiceState& state, const ParcelFacts& facts, const SideFacts& sides,
                  bool allowed, bool by_air);

  template <typename C, typename Which>
  static bool Mentions(const Test& test, Which which) {
    for (const Condition& condition : test.conditions) {
      if (const auto* one = std::get_if<C>(&condition); one != nullptr && which(*one)) return true;
      if (const auto* compound = std::get_if<CompoundCondition>(&condition)) {
        for (const Test& inner : compound->tests) {
          if (Mentions<C>(inner, which)) return true;
        }
      }
    }
    return false;
  }
  static bool MentionsZone(const Test& test) {
    return Mentions<ZoneCondition>(test, [](const ZoneCondition&) { return true; });
  }
  static bool MentionsMoney(const Test& test) {
    return Mentions<MeasureCondition>(
        test, [](const MeasureCondition& condition) { return QuantityOf(condition.measure) == Quantity::kMoney; });
  }

  // The unit that a service's grids are written in.
  static std::string_view WeightUnit(const Service& service) {
    for (const PriceAlternative& alternative : service.prices) {
      const auto* table = std::get_if<TablePrice>(&alternative.price);
      if (table != nullptr && QuantityOf(table->by) == Quantity::kWeight) return table->unit;
    }
    return {};
  }

  static std::string PlaceText(const Place& place) {
    return place.country() + (place.postal_code().empty() ? "" : " " + place.postal_code());
  }

  static std::string PackagingWhy(const ParcelFacts& facts) {
    if (facts.issued_by.empty()) return "this service takes only the carrier's own packaging";
    return "packaging issued by " + std::string(facts.issued_by) + " is only for the services that list it";
  }

  std::string PromiseWhy(const ServiceState& state) const;

  // ---- order ----

  bool Before(const ServiceState& a, const Candidate& in_a, const ServiceState& b, const Candidate& in_b) const {
    return ComesBefore(dispatch_, {&a, in_a.facts.packaging, in_a.facts.issued_by},
                       {&b, in_b.facts.packaging, in_b.facts.issued_by});
  }

  void Sort();

  static constexpr std::int64_t kPound = Weight::Pounds(1).nanograms();

  // ---- thresholds ----

  // The most cuts that a saver is sought at one by one, where steps cannot be passed over.
  static constexpr int kMostVisits = 1'000'000;
  // Steps that are visited one by one before whole stretches of them are.
  static constexpr int kFewVisits = 16;

  void FindHeadroom();

  // How far `from` can grow at the same total. With `strides` (see `Strides`) a whole stretch between cuts that are no
  // series keeps the total if its end does, and else the first change is found by halving; without, step by step.
  template <typename Q, typename Next, typename PointOf>
  static std::optional<Q> Grow(std::int64_t from, std::int64_t most, Amount total, Cuts::Billable billable,
                               bool strides, Next next, PointOf at_point);

  template <typename Q>
  static Q Make(std::int64_t base_units) {
    if constexpr (std::is_same_v<Q, Weight>) {
      return Weight::Nanograms(base_units);
    } else {
      return Length::Nanometres(base_units);
    }
  }

  // Weight and sides at which an offer of a candidate was priced (they differ from the candidate's own for ranges).
  struct At {
    std::int64_t weight = 0;
    std::array<std::int64_t, 3> sides = {};
  };

  void FindSavers();

  std::optional<Saver> SaveWeight(const Candidate& candidate, const std::vector<std::uint32_t>& order, const At& at,
                                  Amount best) const;

  std::optional<Saver> SaveSide(const Candidate& candidate, const std::vector<std::uint32_t>& order, const At& at,
                                Amount best, std::size_t i) const;

  // How much a carton's i-th longest side can lose so that the goods still go in (by halving: fitting is monotone).
  std::int64_t SpareRoom(const Candidate& candidate, std::size_t i) const;

  // No total of the service in this packaging at `weight` or more (billable) is lower: the lowest base price that could
  // apply, less the deepest discount, with the surcharges that are certain; the others only add.
  Amount Floor(const ServiceState& state, const Candidate& candidate, std::int64_t weight) const;

  // The fewest whole steps off `from`, staying above `floor`, for a best total below `best`.
  template <Aspect kOf, typename Q, typename Total, typename Previous>
  std::optional<Saver> Save(const std::vector<std::uint32_t>& order, std::int64_t from, std::int64_t floor,
                            const ScaleStep<Q>& step, Amount best, Total total, Previous previous) const;

  // ---- ranges: where the winner changes ----

  // One service in one packaging along a range: its answer, which holds up to `until` of the goods' weight or side.
  struct Way {
    const Candidate* candidate;
    const ServiceState* state;
    std::int64_t until = -1;
    std::optional<Amount> total;
    std::int64_t fits_until = 0;  // of the goods' side: the packaging does not hold them beyond
  };

  void FindChanges();

  // Along the weight of the goods (`side` is nothing) or one of their sides.
  void FindChangesOf(const std::size_t* side);

  // How far a side of the only unit may grow, everything else at its most, in a packaging that does not hold all of the
  // range; less than the range's least where it holds none of it.
  std::int64_t FitsUntil(const Candidate& candidate, std::size_t side) const;

  // The total of a way where the goods are at `at`, and up to where it holds.
  void Answer(Way& way, const std::size_t* side, std::int64_t at) const;

  void FindCautions();

  const DispatchState& dispatch_;
  RankOptions options_;
  std::shared_ptr<std::vector<Candidate>> candidates_;
  std::shared_ptr<Kept> kept_;
  const Request* request_ = nullptr;
  Ranking ranking_;
  std::vector<ShipmentFacts> shipments_;
  Amount value_;
  std::vector<PackUnit> units_;
  std::vector<PackUnit> units_most_;
  std::vector<GoodsSide> ranging_;
  std::vector<Candidate> partly_;           // that hold the least of a range of sides but not its most
  std::optional<WeightSet> goods_weights_;  // where a weight ranges, and of every estimate
  std::int64_t goods_weight_ = 0;
  std::int64_t goods_weight_most_ = 0;
  Shape goods_shape_ = Shape::kBox;
  bool rigid_ = false;
  std::int64_t padding_ = 0;
};

}  // namespace tarewise::internal

#endif  // TAREWISE_RANKING_INTERNAL_RANKER_H_
