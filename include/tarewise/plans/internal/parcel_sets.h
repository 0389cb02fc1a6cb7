#ifndef TAREWISE_PLANS_INTERNAL_PARCEL_SETS_H_
#define TAREWISE_PLANS_INTERNAL_PARCEL_SETS_H_

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <unordered_map>
#include <utility>
#include <vector>

#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "tarewise/parcel/packaging.h"
#include "tarewise/plans/internal/order_units.h"
#include "tarewise/plans/plans.h"
#include "tarewise/ranking/internal/at_hand.h"
#include "tarewise/ranking/internal/candidates.h"
#include "tarewise/ranking/internal/goods_fit.h"
#include "tarewise/ranking/internal/offers.h"
#include "tarewise/ranking/internal/price_floor.h"
#include "tarewise/ranking/internal/pricer.h"
#include "tarewise/ranking/internal/request_goods.h"
#include "tarewise/units/internal/quantity_text.h"
#include "tarewise/units/rounding.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// More than any sum of totals: there is no way.
inline constexpr std::int64_t kNoPlan = std::int64_t{1} << 62;
/// What counts beside the total of a parcel that would be refused within the tolerance, of a cautious order: it comes
/// behind every other. A hundred of them are less than `kNoPlan`.
inline constexpr std::int64_t kWouldBeRefused = kNoPlan / 128;

/// Sums stay at `kNoPlan`.
constexpr std::int64_t AddDue(std::int64_t a, std::int64_t b) { return a >= kNoPlan - b ? kNoPlan : a + b; }

/// One way to send a set of goods.
struct ParcelWay {
  static constexpr std::uint32_t kNone = 0xFFFF'FFFF;
  std::int64_t due = 0;             ///< Total and handicap; cautious: at risk. What plans are ordered by.
  std::uint32_t packaging = kNone;  ///< Into `ParcelSets::at_hand`; none of an estimate and of a sealed parcel.
  std::uint32_t service = 0;        ///< Into the dispatch's services.
  bool floor = false;               ///< `due` is no more than a bound: it hangs on the other parcels by this service.
};

/// A set of goods that could be one parcel, with what was found out about it. Grows while plans are sought.
struct ParcelSet {
  enum class Goes : std::uint8_t { kNotAsked, kFits, kNever, kNo };

  UnitCounts counts;
  std::int64_t units = 0;
  std::unique_ptr<Request> request;  // At a place of its own: `goods` points into it.
  std::optional<RequestGoods> goods;
  std::optional<GoodsFit> fit;
  std::shared_ptr<const Dispatch> dispatch;
  std::optional<Pricer> pricer;
  std::vector<Goes> goes;                              // By packaging at hand.
  std::vector<std::vector<WorkingCandidate>> parcels;  // By packaging at hand: whole, and cut down.
  std::vector<std::vector<WorkingCandidate>> untried;  // Likewise, with the sides of what keeps its own.
  std::vector<WorkingCandidate> unshelved;             // Of an estimate, and of a sealed parcel.
  bool ready = false;
  bool may_travel = true;
};

/// The greatest volume of goods that a packaging can hold, however they lie, in nm3; -1: any.
inline Int128 VolumeAtMost(const Packaging& packaging) {
  const Int128 a = packaging.inside[0].nanometres();
  const Int128 b = packaging.inside[1].nanometres();
  switch (packaging.kind) {
    case PackagingKind::kCarton:
    case PackagingKind::kEnvelope:
      return a * b * packaging.inside[2].nanometres();
    case PackagingKind::kMailer: {
      // A box of thickness t: t (a - t) is at most a quarter of a squared.
      const Int128 width = std::min(a, b);
      return width * width * std::max(a, b) / 4 + 1;
    }
    case PackagingKind::kTube:
      return a * a * b;
    case PackagingKind::kBare:
      break;
  }
  return -1;
}

/// A packaging that can be taken, and how many times.
struct NumberedAtHand : AtHand {
  std::optional<std::int64_t> on_hand;
};

/// Everything that is asked about sets of goods while plans are sought: packed and priced when it is needed, and once.
class ParcelSets {
 public:
  /// All views must outlive it; `shelf` may be nothing. `order` is the whole request.
  ParcelSets(const OrderUnits& units, std::shared_ptr<const Dispatch> dispatch, std::shared_ptr<const Shelf> shelf,
             const Packer* packer)
      : units_(units), dispatch_(std::move(dispatch)), shelf_(std::move(shelf)), packer_(packer) {
    const Request& order = units.request();
    terms_ = order;
    terms_.goods.clear();
    terms_.sealed.clear();
    terms_.parcels.reset();
    terms_.cover = dispatch_->shipment().cover;  // A dispatch stands in the place of the request's.
    Int128 value = 0;
    for (const Item& item : order.goods) {
      value += Int128(item.value.micros()) * item.quantity;
      ranges_ = ranges_ || !item.side_ranges.empty() || (item.weight_most && *item.weight_most != item.weight);
      soft_ = soft_ || item.soft.has_value();
    }
    for (const Parcel& parcel : order.sealed) value += parcel.value.micros();
    value_ = static_cast<std::int64_t>(value);
    parted_ = order.sealed.size() > 1 || (order.parcels && order.parcels->most > 1);
    whole_ = shelf_ == nullptr || packer_ != nullptr || ranges_ || order.objective == Objective::kCautious ||
             !order.sealed.empty();
    floors_known_ = !state().seller().asks_by_goods() && !(terms_.cover && parted_);
    if (shelf_ != nullptr) FindAtHand();
    for (std::uint32_t s = 0; s < state().services().size(); ++s) {
      AddAtLeast(s);
      const ServiceState& service = state().services()[s];
      takes_.push_back(!service.out && (order.goods.empty() || TakesSome(service)));
    }
  }

  const OrderUnits& units() const { return units_; }
  const DispatchState& state() const { return StateOf(*dispatch_); }
  const std::shared_ptr<const Dispatch>& dispatch() const { return dispatch_; }
  const std::shared_ptr<const Shelf>& shelf() const { return shelf_; }
  const std::vector<NumberedAtHand>& at_hand() const { return at_hand_; }
  /// Sets that were packed or priced so far; one of many units counts as several.
  std::int64_t looked_at() const { return looked_at_; }
  /// From now on sets of many goods are packed with less patience: for who cannot look at every way anyway. Fewer
  /// packagings may take them then, and none takes more.
  void BeQuick() { quick_ = true; }
  bool quick() const { return quick_; }

  /// Nothing: `GoodsPacker`.
  const Packer* packer() const { return packer_; }
  /// Each set is ranked as a whole: what is asked cannot be told packaging by packaging.
  bool whole() const { return whole_; }

  ParcelSet& Of(const UnitCounts& counts) {
    std::unique_ptr<ParcelSet>& found = sets_[counts];
    if (found == nullptr) {
      found = std::make_unique<ParcelSet>();
      found->counts = counts;
      for (const std::uint16_t count : counts) found->units += count;
      found->may_travel = units_.MayTravel(counts);
    }
    return *found;
  }
  /// A sealed parcel of the order.
  std::unique_ptr<ParcelSet> OfSealed(const Parcel& parcel) const {
    auto set = std::make_unique<ParcelSet>();
    set->request = std::make_unique<Request>(terms_);
    set->request->parcel = parcel;
    return set;
  }

  /// Only the packaging at a place, for who knows which it is; nothing where the goods are estimated or sealed.
  std::shared_ptr<const Shelf> ShelfWith(std::uint32_t packaging) const {
    if (packaging == ParcelWay::kNone) return shelf_;
    auto one = std::make_shared<Shelf>();
    one->currency = shelf_->currency;
    const NumberedAtHand& at_hand = at_hand_[packaging];
    if (at_hand.issued_by == nullptr) {
      one->own.push_back({*at_hand.packaging, at_hand.on_hand});
    } else {
      one->issued.push_back({at_hand.issued_by->edition->tariff->carrier, at_hand.packaging->code, at_hand.on_hand});
    }
    return one;
  }
  /// The request for some of the goods alone, in a parcel's terms.
  Request RequestFor(const ParcelSet& set, const std::vector<PlannedGoods>& goods) const {
    Request request = units_.RequestFor(goods, terms_);
    request.cover = set.request->cover;
    return request;
  }

  /// Adds the goods up. Errors: InvalidArgument as `Rank` for these goods alone.
  absl::Status MakeReady(ParcelSet& set) {
    if (set.ready) return absl::OkStatus();
    looked_at_ += 1 + set.units / kUnitsAStep;  // They are held one by one.
    if (set.request == nullptr) {
      set.request = std::make_unique<Request>(units_.RequestFor(units_.GoodsOf(set.counts), terms_));
    }
    set.dispatch = dispatch_;
    if (terms_.cover) {
      absl::StatusOr<std::shared_ptr<const Dispatch>> own = CoveredAsItsShare(*set.request);
      if (!own.ok()) return own.status();
      set.dispatch = *std::move(own);
    }
    absl::StatusOr<RequestGoods> goods = RequestGoods::Of(*set.request);
    if (!goods.ok()) return goods.status();
    set.goods.emplace(*std::move(goods));
    set.fit.emplace(*set.goods, packer_ == nullptr && quick_ && set.units > kQuickly ? &quick_packer_ : packer_);
    set.pricer.emplace(StateOf(*set.dispatch), set.goods->facts(), set.goods->value());
    set.goes.assign(at_hand_.size(), ParcelSet::Goes::kNotAsked);
    set.parcels.resize(at_hand_.size());
    set.untried.resize(at_hand_.size());
    set.ready = true;
    return set.counts.empty() || whole_ ? absl::OkStatus() : RuleOut(set);
  }

  /// True where the goods may go into the packaging; packed at most once.
  bool Goes(ParcelSet& set, std::size_t packaging) {
    ParcelSet::Goes& goes = set.goes[packaging];
    if (goes != ParcelSet::Goes::kNotAsked) return goes == ParcelSet::Goes::kFits;
    const NumberedAtHand& at_hand = at_hand_[packaging];
    goes = ParcelSet::Goes::kNever;
    if (at_hand.packaging->kind == PackagingKind::kBare && !set.goods->bare_allowed()) return false;
    Packing packing = set.fit->AtMost(*at_hand.packaging);
    if (packing.fit != Fit::kFits) {
      // What is not known of a set says nothing of a greater one, nor does the model of a pillow of other goods.
      const bool known =
          packing.fit == Fit::kDoesNotFit && !(soft_ && at_hand.packaging->kind == PackagingKind::kMailer);
      goes = known ? ParcelSet::Goes::kNever : ParcelSet::Goes::kNo;
      return false;
    }
    CandidateFinder finder(*set.goods, *set.fit, shelf_.get(), StateOf(*set.dispatch));
    if (!finder.AddPacked(at_hand, std::move(packing)).ok()) return false;  // A parcel greater than any may be.
    set.parcels[packaging] = std::move(finder).Take().all;
    goes = ParcelSet::Goes::kFits;
    return true;
  }

  /// The goods in a packaging, whether they go in or not, with the sides of what keeps its own.
  WorkingCandidate In(const ParcelSet& set, std::size_t packaging) const {
    CandidateFinder finder(*set.goods, *set.fit, shelf_.get(), StateOf(*set.dispatch));
    WorkingCandidate candidate = finder.In(at_hand_[packaging]);
    for (std::size_t i = 0; i < 3; ++i) {
      candidate.least[i] = candidate.most[i] = at_hand_[packaging].packaging->outside[i].nanometres();
    }
    candidate.facts.sides = Sorted(candidate.least);
    return candidate;
  }
  /// True where a parcel's sides are those of its packaging, whatever is in it.
  bool KeepsItsSides(std::size_t packaging) const {
    const Packaging& own = *at_hand_[packaging].packaging;
    return own.kind == PackagingKind::kCarton && !own.least_height;
  }

  /// As `In`, made once.
  const WorkingCandidate& Untried(ParcelSet& set, std::size_t packaging) const {
    std::vector<WorkingCandidate>& parcels = set.untried[packaging];
    if (!parcels.empty()) return parcels.front();
    parcels.push_back(In(set, packaging));
    return parcels.front();
  }

  /// A service as it is at least, whatever consignment a parcel is of: what is due once is due elsewhere.
  const ServiceState& AtLeast(std::uint32_t service) const {
    const auto found = at_least_.find(service);
    return found == at_least_.end() ? state().services()[service] : found->second;
  }
  /// No parcel of these goods costs less in a packaging by a service, packaging included.
  std::int64_t FloorOf(const ParcelSet& set, std::uint32_t service, const WorkingCandidate& parcel) const {
    const WayToSend way{AtLeast(service), parcel};
    if (!floors_known_) return set.pricer->WithPackaging(way, Amount()).value_or(Amount::Micros(kMostMicros)).micros();
    return internal::FloorOf(*set.pricer, way, parcel.facts.weight, parcel.facts.weight).micros();
  }
  /// False where what is asked for hangs on the goods of a parcel: then prices have no floor.
  bool floors_known() const { return floors_known_; }

  /// Every offer of the goods (FORMAT.md B3), for what is not told packaging by packaging.
  absl::StatusOr<std::vector<ParcelWay>> RankWhole(ParcelSet& set) const {
    absl::StatusOr<Candidates> candidates = FindCandidates(*set.goods, *set.fit, shelf_.get(), StateOf(*set.dispatch));
    if (!candidates.ok()) return candidates.status();
    absl::StatusOr<Offers> offers = FindOffers(*set.goods, *candidates, *set.pricer);
    if (!offers.ok()) return offers.status();
    set.unshelved = std::move(candidates->all);
    std::vector<ParcelWay> ways;
    for (const Offer& offer : offers->offers) {
      ParcelWay way;
      way.due = DueOf(offer);
      // A sealed parcel takes nothing from the shelf.
      if (!set.request->parcel) way.packaging = NumberOf(offer.packaging, offer.issued_by);
      way.service = offer.service_index;
      ways.push_back(way);
    }
    return ways;
  }

  /// A parcel by its packaging, which takes the goods; whole, where it may be cut down.
  const WorkingCandidate& ParcelIn(const ParcelSet& set, std::uint32_t packaging) const {
    return packaging == ParcelWay::kNone ? set.unshelved.front() : set.parcels[packaging].front();
  }

  /// What an offer counts as in the order of plans.
  std::int64_t DueOf(const Offer& offer) const {
    const std::int64_t due = (offer.total + offer.handicap).micros();
    if (terms_.objective != Objective::kCautious || !offer.at_risk) return due;
    return offer.total_at_risk ? (*offer.total_at_risk + offer.handicap).micros() : kWouldBeRefused + due;
  }

  std::uint32_t NumberOf(std::string_view packaging, std::string_view issued_by) const {
    for (std::size_t i = 0; i < at_hand_.size(); ++i) {
      const std::string_view by =
          at_hand_[i].issued_by == nullptr ? std::string_view() : at_hand_[i].issued_by->edition->tariff->carrier;
      if (at_hand_[i].packaging->code == packaging && by == issued_by) return static_cast<std::uint32_t>(i);
    }
    return ParcelWay::kNone;
  }

  /// False where a service is out, or refuses every set of the goods for what they are.
  bool Takes(std::size_t service) const { return takes_[service]; }

 private:
  bool TakesSome(const ServiceState& service) const {
    const CarrierState& carrier = state().CarrierOf(service);
    const ShipmentFacts shipment = state().FactsFor(carrier, Amount());
    const std::vector<Item>& items = units_.request().goods;
    std::vector<const Contents*> contents(items.size());
    std::vector<ParcelFacts> alone(items.size());
    std::transform(items.begin(), items.end(), contents.begin(), [](const Item& item) { return &item.contents; });
    const SideFacts sides;
    std::vector<PointFacts> points;
    points.reserve(items.size());
    for (std::size_t i = 0; i < items.size(); ++i) {
      alone[i].contents = contents[i];
      alone[i].items = {&contents[i], 1};
      alone[i].rigid = items[i].rigid;
      points.push_back({{*carrier.edition->tariff, service.service().mode, service.zone, shipment}, alone[i], sides});
    }
    return std::none_of(service.rules.refuse.begin(), service.rules.refuse.end(), [&](const LaneRules::Rule& rule) {
      return HoldsForAnyOf(service.service().refuse[rule.index].when, points).value_or(false);
    });
  }

  void AddAtLeast(std::uint32_t number) {
    const ServiceState& service = state().services()[number];
    if (!service.of_consignment()) return;
    const CarrierState& carrier = state().CarrierOf(service);
    ShipmentFacts any = state().FactsFor(carrier, Amount());
    any.pieces = 0;
    any.first = true;
    ServiceState least = service;
    least.rules =
        LaneRules::Of(*service.compiled, {*carrier.edition->tariff, service.service().mode, service.zone, any});
    for (LaneRules::Rule& at : least.rules.prices) at.waived = service.service().prices[at.index].once;
    for (LaneRules::Surcharge& at : least.rules.surcharges) {
      const ChargeRule& rule = *service.compiled->surcharges[at.index].rule;
      at.waived = rule.once && !rule.less;
    }
    at_least_.emplace(number, std::move(least));
  }

  void FindAtHand() {
    for (const Shelf::Own& own : shelf_->own) {
      if (own.on_hand && *own.on_hand <= 0) continue;
      at_hand_.push_back({{&own.packaging, nullptr}, own.on_hand});
    }
    for (const Shelf::Issued& issued : shelf_->issued) {
      const AtHand found = FindIssued(issued, state());
      if (found.packaging == nullptr || (issued.on_hand && *issued.on_hand <= 0)) continue;
      at_hand_.push_back({found, issued.on_hand});
    }
  }

  // What a smaller set does not go into, a greater one does not either; nor what is smaller than the goods.
  absl::Status RuleOut(ParcelSet& set) {
    UnitCounts smaller = set.counts;
    for (std::size_t k = 0; k < smaller.size(); ++k) {
      if (set.counts[k] == 0) continue;
      ParcelSet& one = Of(units_.One(k));
      if (&one == &set) continue;
      if (absl::Status status = MakeReady(one); !status.ok()) return status;
      for (std::size_t p = 0; p < at_hand_.size(); ++p) Goes(one, p);
      InheritFrom(one, set);
      --smaller[k];
      if (const auto found = sets_.find(smaller); found != sets_.end()) InheritFrom(*found->second, set);
      ++smaller[k];
    }
    Int128 volume = 0;
    for (const PackUnit& unit : set.goods->units_most()) {
      // Soft goods are pressed by a model of their own.
      if (!unit.soft) volume += Int128(unit.sides[0]) * unit.sides[1] * unit.sides[2];
    }
    for (std::size_t p = 0; p < at_hand_.size(); ++p) {
      const Int128 holds = VolumeAtMost(*at_hand_[p].packaging);
      if (holds < 0) continue;
      if (volume > holds) set.goes[p] = ParcelSet::Goes::kNever;
      // Where not every way is looked at anyway, what is nearly full is left alone: it is long in the search.
      if (quick_ && set.units > kQuickly && volume * 100 > holds * 92) set.goes[p] = ParcelSet::Goes::kNever;
    }
    return absl::OkStatus();
  }
  void InheritFrom(const ParcelSet& smaller, ParcelSet& set) const {
    if (!smaller.ready || &smaller == &set) return;
    for (std::size_t p = 0; p < set.goes.size(); ++p) {
      const ParcelSet::Goes goes = smaller.goes[p];
      if (goes == ParcelSet::Goes::kNever || (quick_ && goes == ParcelSet::Goes::kNo)) set.goes[p] = goes;
    }
  }

  absl::StatusOr<std::shared_ptr<const Dispatch>> CoveredAsItsShare(Request& request) {
    if (!parted_ || value_ == 0) return dispatch_;
    Int128 value = request.parcel ? request.parcel->value.micros() : 0;
    for (const Item& item : request.goods) value += Int128(item.value.micros()) * item.quantity;
    const std::int64_t unit = dispatch_->currency().minor_unit();
    const Int128 whole = Int128(terms_.cover->micros()) * value;
    const Int128 steps = (whole + Int128(value_) * unit - 1) / (Int128(value_) * unit);
    const std::int64_t cover = static_cast<std::int64_t>(steps) * unit;
    request.cover = cover == 0 ? std::nullopt : std::optional<Amount>(Amount::Micros(cover));
    std::shared_ptr<const Dispatch>& found = covered_[cover];
    if (found == nullptr) {
      Shipment shipment = dispatch_->shipment();
      shipment.cover = request.cover;
      absl::StatusOr<Dispatch> made = Dispatch::Create(dispatch_->book(), std::move(shipment));
      if (!made.ok()) return made.status();
      found = std::make_shared<const Dispatch>(*std::move(made));
    }
    return found;
  }

  const OrderUnits& units_;
  std::shared_ptr<const Dispatch> dispatch_;
  std::shared_ptr<const Shelf> shelf_;
  const Packer* packer_;
  Request terms_;
  std::vector<NumberedAtHand> at_hand_;
  std::unordered_map<UnitCounts, std::unique_ptr<ParcelSet>, UnitCountsHash> sets_;
  std::map<std::int64_t, std::shared_ptr<const Dispatch>> covered_;
  std::map<std::uint32_t, ServiceState> at_least_;
  std::vector<bool> takes_;
  std::int64_t value_ = 0;
  std::int64_t looked_at_ = 0;
  bool parted_ = false;
  bool ranges_ = false;
  bool soft_ = false;
  bool whole_ = false;
  bool floors_known_ = true;
  bool quick_ = false;
  static constexpr std::int64_t kQuickly = 6;
  static constexpr std::int64_t kUnitsAStep = 8;
  GoodsPacker quick_packer_{ArrangeBudget{.nodes = 100}};
};

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_PLANS_INTERNAL_PARCEL_SETS_H_
