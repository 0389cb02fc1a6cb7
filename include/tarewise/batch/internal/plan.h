#ifndef TAREWISE_BATCH_INTERNAL_PLAN_H_
#define TAREWISE_BATCH_INTERNAL_PLAN_H_

#include <algorithm>
#include <array>
#include <bit>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <map>
#include <memory>
#include <numeric>
#include <optional>
#include <string>
#include <string_view>
#include <tuple>
#include <utility>
#include <vector>

#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "tarewise/batch/internal/cells.h"
#include "tarewise/batch/internal/fingerprint.h"
#include "tarewise/batch/internal/goods.h"
#include "tarewise/batch/internal/packs.h"
#include "tarewise/batch/internal/service_facts.h"
#include "tarewise/batch/internal/staircase.h"
#include "tarewise/batch/setup.h"
#include "tarewise/ranking/internal/at_hand.h"
#include "tarewise/ranking/internal/dispatch_state.h"
#include "tarewise/ranking/internal/order.h"
#include "tarewise/ranking/internal/request_checks.h"
#include "tarewise/units/internal/halving.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// One service on all lanes.
struct PlannedService {
  ServiceFacts facts;
  std::uint32_t carrier = 0;
  std::uint16_t side_profile = 0;
  std::vector<std::int32_t> class_of_lane;  ///< By lane class of the plan: the service's own, or -1 where it is out.
  std::vector<std::uint32_t> lanes;         ///< By the service's own lane class: a lane that stands for it.
};

/// Packagings of one kind whose parcels' sides follow the goods' in one way, up to 64.
struct PackGroup {
  std::vector<std::uint16_t> packs;
  Pack::Sides how = Pack::Sides::kAround;
  std::int64_t walls = 0;
  GroupFit fit;
  std::array<CellIndex, 2> cells;  ///< For parcels whose volume takes the irregular factor: the second.
  bool bounded = true;             ///< The packaging bounds the sides.
};

/// What all rows of a catalogue share, as far as it is known before the first row. Immutable.
class RepricePlan {
 public:
  static absl::StatusOr<std::shared_ptr<const RepricePlan>> Create(RepriceSetup setup) {
    std::shared_ptr<RepricePlan> plan(new RepricePlan);
    plan->setup_ = std::move(setup);
    if (absl::Status status = plan->Prepare(); !status.ok()) return status;
    return std::shared_ptr<const RepricePlan>(std::move(plan));
  }

  const RepriceSetup& setup() const { return setup_; }
  const std::vector<ServiceName>& service_names() const { return service_names_; }
  const std::vector<PackagingName>& packaging_names() const { return packaging_names_; }
  const std::shared_ptr<const Dispatch>& dispatch(std::size_t lane) const { return dispatches_[lane]; }
  const DispatchState& on_lane(std::size_t lane) const { return StateOf(*dispatches_[lane]); }
  Currency currency() const { return dispatches_[0]->currency(); }

  const std::vector<Pack>& packs() const { return packs_; }
  const std::vector<PlannedService>& services() const { return services_; }
  const std::vector<FitTable>& tables() const { return tables_; }
  const std::vector<PackGroup>& groups() const { return groups_; }
  const TieOrder& order() const { return order_; }
  std::size_t classes() const { return class_lanes_.size(); }
  /// By lane: its class.
  const std::vector<std::uint32_t>& lane_class() const { return lane_class_; }
  /// By class: a lane that stands for it, the first.
  const std::vector<std::uint32_t>& class_lanes() const { return class_lanes_; }
  bool plain_lanes() const { return class_lanes_.size() == lane_class_.size(); }
  bool estimate() const { return setup_.shelf == nullptr; }
  /// Where a part of a record's key stands, of one unit: class, shape, a mask for each table, a mask and a cell for
  /// each group. Of several: see `RepriceWorker::KeyOfSeveral`.
  struct Field {
    std::uint16_t word = 0;
    std::uint16_t shift = 0;
  };
  const std::vector<Field>& fields() const { return fields_; }
  std::size_t key_words() const { return key_words_; }
  std::int64_t most_around() const { return most_around_; }
  /// True where the order goes by more than totals (see `OfferHandicap`).
  bool handicapped() const { return handicapped_; }
  /// True where rows are priced one by one: there are handicaps, or the cover asked for goes by the value and the cover
  /// included by the weight, so that neither has cuts without the other.
  bool one_by_one() const { return one_by_one_; }
  /// Some value that changes by date is overdue on the day.
  bool overdue() const { return overdue_; }
  /// True where some packaging makes parcels whose sides are past what is accepted.
  bool has_bad_packs() const { return has_bad_packs_; }
  /// Some carton may be cut down.
  bool cuts_down() const { return cuts_down_; }
  bool Allowed(std::size_t service, std::size_t pack) const { return allowed_[service * packs_.size() + pack] != 0; }

  PackPadding Padding() const { return PackPadding::Of(setup_.padding); }
  /// On each side of the only unit of a row.
  std::int64_t PaddingOf(const Goods& goods) const { return Padding().Around(goods.fragile); }

  /// Places among all declared values where something changes.
  std::uint32_t ValueBand(std::int64_t value) const {
    return static_cast<std::uint32_t>(std::lower_bound(value_cuts_.begin(), value_cuts_.end(), value) -
                                      value_cuts_.begin());
  }

  /// Goods worth more than this, in the ranking's currency, are priced one by one.
  std::int64_t value_known_to() const { return value_known_to_; }
  const CarrierState& CarrierOf(const PlannedService& service) const { return on_lane(0).carriers()[service.carrier]; }

  /// One unit of the totals in staircases, in millionths of the ranking's currency.
  std::int64_t unit() const { return unit_; }
  /// What means of totals are rounded to: the ranking currency's minor unit, or the step of ten below it that totals
  /// keep.
  std::int64_t mean_step() const { return mean_step_; }
  /// A total in that unit; false where 32 bits do not hold it.
  bool ToWord(std::int64_t micros, Staircase::Word& out) const {
    if (micros == kNoOffer) {
      out = Answers<Staircase::Word>::kNone;
      return true;
    }
    const std::int64_t units = micros / unit_;
    if (micros < 0 || units >= std::int64_t{Answers<Staircase::Word>::kNone} || units * unit_ != micros) return false;
    out = static_cast<Staircase::Word>(units);
    return true;
  }

  /// A service's total with its packaging, in the ranking's currency.
  std::int64_t Converted(const CarrierState& carrier, std::int64_t total, const Pack& pack) const {
    if (total == kNoOffer) return kNoOffer;
    const std::optional<Amount> whole =
        on_lane(0).WithPackaging(carrier, Amount::Micros(total), pack.issued_cost, pack.own_cost);
    return whole ? whole->micros() : kNoOffer;
  }

  // ---- against another plan ----

  /// True where every row that fits here into one class, packagings and cells does so in `other` too: the packagings,
  /// lanes and services are the same, and the services' prices can change at the same places.
  bool SamePlaces(const RepricePlan& other) const {
    if (!SamePacks(other) || !SameServices(other) || lane_class_ != other.lane_class_ ||
        value_cuts_ != other.value_cuts_) {
      return false;
    }
    for (std::size_t s = 0; s < services_.size(); ++s) {
      if (bounds_[s] != other.bounds_[s]) return false;
    }
    return handicapped_ == other.handicapped_ && one_by_one_ == other.one_by_one_ && allowed_ == other.allowed_ &&
           unit_ == other.unit_ && setup_.padding == other.setup_.padding && setup_.shares == other.setup_.shares &&
           currency() == other.currency();
  }

  /// The same lanes, as far as any service can tell.
  bool SameLanes(const RepricePlan& other) const { return lane_class_ == other.lane_class_; }
  /// A service has the same lane classes of its own.
  bool SameClasses(const RepricePlan& other, std::size_t s) const {
    return services_[s].class_of_lane == other.services_[s].class_of_lane &&
           services_[s].lanes == other.services_[s].lanes;
  }
  /// A service has the same prices, on the same lanes in the same zones: as many lanes may be alike as before although
  /// a place has another zone.
  bool SamePrices(const RepricePlan& other, std::size_t s) const {
    return SameClasses(other, s) && prices_[s] == other.prices_[s] &&
           std::all_of(services_[s].lanes.begin(), services_[s].lanes.end(), [&](std::uint32_t lane) {
             return on_lane(lane).services()[s].zone == other.on_lane(lane).services()[s].zone;
           });
  }
  /// A service's prices can change at the same places.
  bool SameBounds(const RepricePlan& other, std::size_t s) const { return bounds_[s] == other.bounds_[s]; }
  bool SamePacks(const RepricePlan& other) const {
    return packs_.size() == other.packs_.size() &&
           std::equal(packs_.begin(), packs_.end(), other.packs_.begin(), [](const Pack& a, const Pack& b) {
             return (a.packaging == nullptr) == (b.packaging == nullptr) && a.kind == b.kind && a.code == b.code &&
                    a.issued_by == b.issued_by && a.how == b.how && a.outside == b.outside && a.inside == b.inside &&
                    a.walls == b.walls && a.around == b.around && a.around_heavy == b.around_heavy &&
                    a.own_cost == b.own_cost && a.issued_cost == b.issued_cost && a.cost_known == b.cost_known &&
                    a.in_stock == b.in_stock && a.whole == b.whole && a.least_height == b.least_height;
           });
  }
  bool SameServices(const RepricePlan& other) const {
    return services_.size() == other.services_.size() &&
           std::equal(service_names_.begin(), service_names_.end(), other.service_names_.begin(),
                      [](const ServiceName& a, const ServiceName& b) {
                        return a.carrier == b.carrier && a.service == b.service;
                      });
  }
  /// What decides ties is the same on every lane class.
  bool SameTies(const RepricePlan& other, std::size_t s) const {
    for (const std::uint32_t lane : class_lanes_) {
      const ServiceState& a = on_lane(lane).services()[s];
      const ServiceState& b = other.on_lane(lane).services()[s];
      if (a.days != b.days || a.included_cover != b.included_cover || a.service().tracked != b.service().tracked)
        return false;
    }
    return true;
  }

 private:
  RepricePlan() = default;

  static absl::Status Bad(const std::string& message) { return internal::Invalid(message); }

  absl::Status Prepare() {
    if (setup_.book == nullptr) return Bad("found no ratebook, expected one");
    if (setup_.lanes.empty()) return InvalidAt("lanes", "found none, expected one or more");
    if (!setup_.shares.empty() && setup_.shares.size() != setup_.lanes.size()) {
      return InvalidAt("shares", "found " + std::to_string(setup_.shares.size()) + " for " +
                                     std::to_string(setup_.lanes.size()) + " lanes, expected one a lane");
    }
    Int128 sum = 0;
    for (const std::int64_t share : setup_.shares) {
      if (share < 0) return InvalidAt("shares", "found one below 0, expected 0 or more");
      sum += share;
    }
    if (!setup_.shares.empty() && (sum < 1 || sum > 1'000'000'000'000)) {
      return InvalidAt("shares", "expected a sum of 1 to 1000000 million");
    }
    if (absl::Status status = CheckSettings(setup_); !status.ok()) return status;
    if (setup_.most_parcels < 1 || setup_.most_parcels > kMostParcels) {
      return InvalidAt("most_parcels", "found " + std::to_string(setup_.most_parcels) + ", expected 1 to 100");
    }
    if (setup_.most_parcels > 1 && setup_.shipment.cash_on_delivery.value_or(Amount()).micros() > 0) {
      return InvalidAt("amounts/cash_on_delivery",
                       "found with orders in several parcels, expected none: which of them collects it is for seller "
                       "and buyer to settle");
    }
    if (setup_.shipment.consignment.others != 0) {
      return InvalidAt("consignment", "found " + std::to_string(setup_.shipment.consignment.others) +
                                          " others, expected none: each row of many is a consignment of one");
    }
    setup_.shipment.shelf_currency = setup_.shelf == nullptr ? std::nullopt : setup_.shelf->currency;
    for (const Lane& lane : setup_.lanes) {
      Shipment shipment = setup_.shipment;
      shipment.lane = lane;
      absl::StatusOr<Dispatch> dispatch = Dispatch::Create(setup_.book, std::move(shipment));
      if (!dispatch.ok()) return dispatch.status();
      dispatches_.push_back(std::make_shared<const Dispatch>(*std::move(dispatch)));
    }
    if (absl::Status status = PrepareServices(); !status.ok()) return status;
    if (absl::Status status = PreparePacks(); !status.ok()) return status;
    PrepareOrder();
    PrepareValues();
    PrepareTables();
    PrepareUnit();
    PrepareKey();
    return absl::OkStatus();
  }

  // The greatest that every total is a whole number of.
  void PrepareUnit() {
    unit_ = currency().minor_unit();
    for (const PlannedService& service : services_) {
      const CarrierState& carrier = CarrierOf(service);
      if (!carrier.same_currency) continue;
      const MoneyRounding& rounding = carrier.edition->tariff->rounding;
      unit_ = std::gcd(unit_, rounding.total);
      if (on_lane(0).net() && service.facts.compiled().tax != nullptr) unit_ = std::gcd(unit_, rounding.line);
    }
    for (const Pack& pack : packs_) {
      unit_ = std::gcd(unit_, pack.own_cost.micros());
      if (!pack.converted) unit_ = std::gcd(unit_, pack.issued_cost.micros());
    }
    mean_step_ = 1;
    while (mean_step_ < currency().minor_unit() && unit_ % (mean_step_ * 10) == 0) mean_step_ *= 10;
  }

  // Where each part of a record's key stands.
  void PrepareKey() {
    std::size_t used = 64;
    auto field = [&](std::uint64_t most) {
      const std::size_t width = static_cast<std::size_t>(std::bit_width(most));
      if (used + width > 64) {
        ++key_words_;
        used = 0;
      }
      fields_.push_back({static_cast<std::uint16_t>(key_words_ - 1), static_cast<std::uint16_t>(used)});
      used += width;
    };
    field(0xFFFFFFFF);  // class
    field(7);           // shape
    auto mask = [](std::size_t packs) { return packs >= 64 ? ~std::uint64_t{0} : (std::uint64_t{1} << packs) - 1; };
    for (const FitTable& table : tables_) field(mask(table.packs().size()));
    for (const PackGroup& group : groups_) {
      field(mask(group.packs.size()));
      field(std::max(group.cells[0].count(), group.cells[1].count()));
    }
    const auto piles = static_cast<std::size_t>(
        std::count_if(groups_.begin(), groups_.end(), [](const PackGroup& group) { return !group.bounded; }));
    key_words_ = std::max(key_words_, 2 + piles);
  }

  absl::Status PrepareServices() {
    const DispatchState& first = on_lane(0);
    constexpr std::size_t kMost = 32'000;
    if (first.services().size() > kMost) return Bad("found more than 32,000 services");
    for (const ServiceState& state : first.services()) {
      const Service& service = state.service();
      service_names_.push_back({first.CarrierOf(state).edition->tariff->carrier, service.code, service.title});
      services_.push_back({ServiceFacts(*state.compiled), state.carrier, state.side_profile, {}, {}});
      handicapped_ = handicapped_ || !state.compiled->own.handicaps.empty();
      overdue_ = overdue_ || first.CarrierOf(state).overdue;
      one_by_one_ = one_by_one_ || handicapped_ || services_.back().facts.cover_crosses_weight();
      prices_.push_back(Fingerprint::OfPrices(*state.compiled, first.CarrierOf(state).dated));
      bounds_.push_back(Fingerprint::OfBounds(*state.compiled));
    }
    // By lane: each service's own class; lanes with the same ones are one class.
    std::vector<std::map<std::pair<ZoneId, std::string>, std::int32_t>> own(services_.size());
    std::map<std::vector<std::int32_t>, std::uint32_t> classes;
    for (std::uint32_t lane = 0; lane < dispatches_.size(); ++lane) {
      std::vector<std::int32_t> key(services_.size(), -1);
      for (std::size_t s = 0; s < services_.size(); ++s) {
        const ServiceState& state = on_lane(lane).services()[s];
        if (state.out) continue;
        PlannedService& service = services_[s];
        // Days decide ties, and may go by zones of their own.
        std::string outcomes = service.facts.LaneOutcomes(setup_.lanes[lane]);
        if (state.service().days_by) outcomes += state.days ? std::to_string(state.days->most) : "-";
        const auto [at, added] =
            own[s].try_emplace({state.zone, std::move(outcomes)}, static_cast<std::int32_t>(own[s].size()));
        if (added) service.lanes.push_back(lane);
        key[s] = at->second;
      }
      const auto [at, added] = classes.try_emplace(key, static_cast<std::uint32_t>(classes.size()));
      if (added) {
        class_lanes_.push_back(lane);
        for (std::size_t s = 0; s < services_.size(); ++s) services_[s].class_of_lane.push_back(key[s]);
      }
      lane_class_.push_back(at->second);
    }
    return absl::OkStatus();
  }

  absl::Status PreparePacks() {
    if (setup_.shelf == nullptr) {
      Pack pack;
      pack.code = "estimate";
      pack.title = "Estimate";
      pack.how = Pack::Sides::kEstimate;
      pack.walls = Length::Inches(1).nanometres();
      pack.around_heavy = setup_.allowance.most.nanograms();
      packs_.push_back(pack);
    } else {
      for (const Shelf::Own& own : setup_.shelf->own) {
        Pack pack = MakePack(own.packaging, own.on_hand);
        const OwnCost cost = OwnCostOf(own.packaging, setup_.shelf->currency, on_lane(0));
        pack.own_cost = cost.cost;
        pack.cost_known = cost.known;
        packs_.push_back(pack);
      }
      for (const Shelf::Issued& issued : setup_.shelf->issued) {
        for (const CarrierState& carrier : on_lane(0).carriers()) {
          if (carrier.edition->tariff->carrier != issued.carrier) continue;
          const Packaging* packaging = Ratebook::FindPackaging(*carrier.edition->tariff, issued.code);
          if (packaging == nullptr) continue;
          Pack pack = MakePack(*packaging, issued.on_hand);
          pack.issued_by = carrier.edition->tariff->carrier;
          pack.issued_cost = packaging->cost;
          pack.converted = !carrier.same_currency;
          pack.cost_known = carrier.currency_ok();
          packs_.push_back(pack);
        }
      }
    }
    if (packs_.size() > 32'000) return InvalidAt("shelf", "found more than 32,000 packagings");
    allowed_.assign(services_.size() * packs_.size(), 0);
    for (const Pack& pack : packs_) {
      packaging_names_.push_back({pack.code, pack.issued_by, pack.title});
      // A carton is cut down for each row anew, which no staircase can tell.
      cuts_down_ = cuts_down_ || pack.cut_down();
      one_by_one_ = one_by_one_ || pack.cut_down();
      most_around_ = std::max({most_around_, pack.around, pack.around_heavy});
      const std::size_t given = pack.how == Pack::Sides::kFixed ? 3 : pack.how == Pack::Sides::kThickness ? 2 : 0;
      for (std::size_t i = 0; i < given; ++i) {
        has_bad_packs_ = has_bad_packs_ || pack.outside[i] < 1 || pack.outside[i] > Length::kMostSideNanometres;
      }
    }
    for (std::size_t s = 0; s < services_.size(); ++s) {
      if (services_[s].lanes.empty()) continue;
      for (std::size_t p = 0; p < packs_.size(); ++p) {
        allowed_[s * packs_.size() + p] =
            packs_[p].cost_known && packs_[p].in_stock &&
            DispatchState::PackagingAllowed(services_[s].facts.service(), CarrierOf(services_[s]),
                                            packs_[p].Facts(Shape::kBox));
      }
    }
    return absl::OkStatus();
  }

  Pack MakePack(const Packaging& packaging, std::optional<std::int64_t> on_hand) const {
    Pack pack;
    pack.packaging = &packaging;
    pack.kind = packaging.kind;
    pack.code = packaging.code;
    pack.title = packaging.title;
    pack.walls = 2 * packaging.wall.nanometres();
    pack.around =
        packaging.kind == PackagingKind::kBare ? 0 : packaging.tare.nanograms() + setup_.fill_weight.nanograms();
    pack.around_heavy = pack.around;
    pack.in_stock = !on_hand || *on_hand > 0;
    const std::array<std::int64_t, 3> outside = {packaging.outside[0].nanometres(), packaging.outside[1].nanometres(),
                                                 packaging.outside[2].nanometres()};
    for (std::size_t i = 0; i < 3; ++i) pack.inside[i] = packaging.inside[i].nanometres();
    switch (packaging.kind) {
      case PackagingKind::kCarton:
        pack.outside = Sorted(outside);
        if (packaging.least_height) {
          pack.whole = outside;
          pack.least_height = packaging.least_height->nanometres();
        }
        break;
      case PackagingKind::kTube:
        pack.outside = Sorted({outside[1], outside[0], outside[0]});
        break;
      case PackagingKind::kEnvelope:
        pack.how = Pack::Sides::kThickness;
        pack.outside = {outside[0], outside[1], 0};
        break;
      case PackagingKind::kMailer:
        pack.how = Pack::Sides::kAround;
        break;
      case PackagingKind::kBare:
        pack.how = Pack::Sides::kAround;
        pack.walls = 0;
        break;
    }
    return pack;
  }

  template <typename Less>
  static std::vector<std::uint16_t> Ranks(std::size_t count, Less less) {
    std::vector<std::size_t> by(count);
    std::iota(by.begin(), by.end(), std::size_t{0});
    std::stable_sort(by.begin(), by.end(), less);
    std::vector<std::uint16_t> ranks(count, 0);
    for (std::size_t i = 1; i < count; ++i) {
      ranks[by[i]] = static_cast<std::uint16_t>(ranks[by[i - 1]] + (less(by[i - 1], by[i]) ? 1 : 0));
    }
    return ranks;
  }

  void PrepareOrder() {
    for (const std::uint32_t lane : class_lanes_) {
      const std::vector<ServiceState>& states = on_lane(lane).services();
      const std::vector<std::uint16_t> ranks = Ranks(
          states.size(), [&states](std::size_t a, std::size_t b) { return TieKeyOf(states[a]) < TieKeyOf(states[b]); });
      order_.service_rank.insert(order_.service_rank.end(), ranks.begin(), ranks.end());
    }
    order_.carrier_rank = Ranks(services_.size(), [this](std::size_t a, std::size_t b) {
      return service_names_[a].carrier < service_names_[b].carrier;
    });
    order_.packaging_rank =
        Ranks(packs_.size(), [this](std::size_t a, std::size_t b) { return packs_[a].code < packs_[b].code; });
    order_.issuer_rank = Ranks(
        packs_.size(), [this](std::size_t a, std::size_t b) { return packs_[a].issued_by < packs_[b].issued_by; });
  }

  // The greatest value that converts to at most `cut`: conversion never falls as the value rises.
  template <typename Convert>
  static std::int64_t GreatestWithin(std::int64_t cut, Convert convert) {
    return GreatestThat(0, kMostMicros + 1, [&](std::int64_t value) { return convert(value) <= cut; });
  }

  // Where declared values change something, in the ranking's currency.
  void PrepareValues() {
    for (const PlannedService& service : services_) {
      const CarrierState& carrier = CarrierOf(service);
      auto known = [&](std::int64_t cut) {
        if (carrier.same_currency) return cut;
        if (!carrier.rate) return kMostMicros;
        return GreatestWithin(cut, [&](std::int64_t value) {
          return DeclaredIn(*carrier.rate, Amount::Micros(value), carrier.edition->tariff->currency);
        });
      };
      for (const std::int64_t cut : service.facts.value_cuts()) value_cuts_.push_back(known(cut));
      for (const std::int64_t cut : service.facts.seller_value_cuts()) {
        value_cuts_.push_back(GreatestWithin(
            cut, [&](std::int64_t value) { return on_lane(0).seller().ValueOf(Amount::Micros(value)); }));
      }
      // What is worth more than the bound in the tariff's currency is priced one by one.
      value_known_to_ = std::min(value_known_to_, known(service.facts.value_known_to()));
    }
    value_cuts_.push_back(value_known_to_);
    std::sort(value_cuts_.begin(), value_cuts_.end());
    value_cuts_.erase(std::unique(value_cuts_.begin(), value_cuts_.end()), value_cuts_.end());
  }

  void PrepareTables() {
    std::map<std::tuple<Pack::Sides, PackagingKind, std::int64_t, std::size_t>, std::vector<std::uint16_t>> groups;
    for (std::size_t p = 0; p < packs_.size(); ++p) {
      const Pack& pack = packs_[p];
      if (!pack.in_stock) continue;
      if (pack.how == Pack::Sides::kFixed) {
        if (tables_.empty() || tables_.back().full()) tables_.emplace_back();
        tables_.back().Add(pack, static_cast<std::uint16_t>(p));
        continue;
      }
      std::size_t apart = pack.how == Pack::Sides::kThickness ? p : 0;
      while (groups[{pack.how, pack.kind, pack.walls, apart}].size() >= FitTable::kMost) apart += packs_.size();
      groups[{pack.how, pack.kind, pack.walls, apart}].push_back(static_cast<std::uint16_t>(p));
    }
    for (FitTable& table : tables_) table.Finish();
    for (const auto& [key, packs] : groups) {
      PackGroup group;
      group.packs = packs;
      group.how = std::get<0>(key);
      for (const std::uint16_t p : packs) group.fit.Add(packs_[p]);
      group.walls = std::get<2>(key);
      group.bounded = std::get<1>(key) != PackagingKind::kBare && group.how != Pack::Sides::kEstimate;
      const CellIndex::Reach reach = ReachOf(group);
      std::vector<const ServiceFacts*> services;
      for (std::size_t s = 0; s < services_.size(); ++s) {
        if (std::any_of(packs.begin(), packs.end(), [&](std::uint16_t p) { return Allowed(s, p); })) {
          services.push_back(&services_[s].facts);
        }
      }
      group.cells[0] = CellIndex(services, reach, false);
      if (!group.bounded) group.cells[1] = CellIndex(services, reach, true);
      groups_.push_back(std::move(group));
    }
  }

  CellIndex::Reach ReachOf(const PackGroup& group) const {
    CellIndex::Reach reach;
    // Longer goods than this, without a packaging that bounds them, are priced one by one.
    constexpr std::int64_t kLongest = 4'000'000'000;
    reach.least.fill(group.walls + 1);
    if (!group.bounded) {
      reach.most.fill(kLongest);
      return reach;
    }
    for (const std::uint16_t p : group.packs) {
      const Pack& pack = packs_[p];
      const std::int64_t room = std::max(pack.inside[0], pack.inside[1]);
      const std::int64_t width = std::min(pack.inside[0], pack.inside[1]);
      if (group.how == Pack::Sides::kThickness) {
        reach.most = Sorted({pack.outside[0], pack.outside[1], pack.inside[2] + pack.walls});
        reach.least = Sorted({pack.outside[0], pack.outside[1], pack.walls + 1});
      } else {
        reach.most[0] = std::max(reach.most[0], room + pack.walls);
        reach.most[1] = std::max(reach.most[1], width + pack.walls);
        reach.most[2] = std::max(reach.most[2], width / 2 + pack.walls);
      }
    }
    return reach;
  }

  RepriceSetup setup_;
  std::vector<std::shared_ptr<const Dispatch>> dispatches_;  // by lane
  std::vector<ServiceName> service_names_;
  std::vector<PackagingName> packaging_names_;
  std::vector<PlannedService> services_;
  std::vector<std::string> prices_;  // by service: fingerprints
  std::vector<std::string> bounds_;
  std::vector<Pack> packs_;
  std::vector<std::uint8_t> allowed_;
  std::vector<std::uint32_t> lane_class_;
  std::vector<std::uint32_t> class_lanes_;
  std::vector<std::int64_t> value_cuts_;
  std::int64_t value_known_to_ = kMostMicros;
  std::int64_t most_around_ = 0;
  bool has_bad_packs_ = false;
  bool handicapped_ = false;
  bool one_by_one_ = false;
  bool overdue_ = false;
  bool cuts_down_ = false;
  std::int64_t unit_ = 1;
  std::int64_t mean_step_ = 1;
  std::vector<Field> fields_;
  std::size_t key_words_ = 0;
  TieOrder order_;
  std::vector<FitTable> tables_;
  std::vector<PackGroup> groups_;
};

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_BATCH_INTERNAL_PLAN_H_
