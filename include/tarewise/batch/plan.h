#ifndef TAREWISE_BATCH_PLAN_H_
#define TAREWISE_BATCH_PLAN_H_

#include <algorithm>
#include <array>
#include <atomic>
#include <bit>
#include <cstddef>
#include <cstdint>
#include <deque>
#include <limits>
#include <map>
#include <memory>
#include <mutex>
#include <numeric>
#include <optional>
#include <string>
#include <string_view>
#include <tuple>
#include <unordered_map>
#include <utility>
#include <vector>

#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "tarewise/batch/cells.h"
#include "tarewise/batch/envelope.h"
#include "tarewise/batch/goods.h"
#include "tarewise/batch/packs.h"
#include "tarewise/batch/service_facts.h"
#include "tarewise/batch/setup.h"
#include "tarewise/ranking/dispatch.h"

namespace tarewise::detail {

/// What one service asks by gross weight, in its tariff's currency and without packaging, on each of its lane classes.
struct Curves {
  std::vector<std::int64_t> upper;   ///< Gross weights, inclusive, rising; past the last nothing is known.
  std::vector<std::int64_t> totals;  ///< Bounds x the service's lane classes; `kNoOffer` where it does not take the parcel.
};

/// One service on all lanes.
struct PlannedService {
  ServiceFacts facts;
  std::uint32_t carrier = 0;
  std::uint16_t side_profile = 0;
  std::vector<std::int32_t> class_of_lane;  ///< By lane class of the plan: the service's own, or -1 where it is out.
  std::vector<std::uint32_t> lanes;         ///< By the service's own lane class: a lane that stands for it.
};

/// Goods that every service treats alike, and what has been worked out for them.
struct GoodsClass {
  std::uint32_t number = 0;
  const Contents* contents = nullptr;
  bool rigid = false;
  std::int64_t value = 0;                  ///< One that stands for the class, ranking's currency.
  bool value_known = true;                 ///< False: worth so much that rows are priced one by one.
  std::vector<std::string> outcomes;       ///< By service, with the place among its value cuts.
  std::vector<std::atomic<const Envelope*>> envelopes;  ///< By packaging of fixed sides.
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

/// A cell of a group for a class of goods and some of its packagings: its envelope, once it has been asked for often enough.
struct GroupCell {
  std::atomic<const Envelope*> envelope{nullptr};
  std::atomic<std::uint32_t> visits{0};
};

/// What all rows share, worked out once. The first part is fixed when it is made; the second grows as rows need it, under a
/// lock, and what is in it never changes or goes away while the plan lives.
class RepricePlan {
 public:
  static absl::StatusOr<std::shared_ptr<RepricePlan>> Create(RepriceSetup setup) {
    std::shared_ptr<RepricePlan> plan(new RepricePlan);
    plan->setup_ = std::move(setup);
    if (absl::Status status = plan->Prepare(); !status.ok()) return status;
    return plan;
  }

  const RepriceSetup& setup() const { return setup_; }
  const std::vector<ServiceName>& service_names() const { return service_names_; }
  const std::vector<PackagingName>& packaging_names() const { return packaging_names_; }
  const std::shared_ptr<const Dispatch>& dispatch(std::size_t lane) const { return dispatches_[lane]; }
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
  /// Where a part of a record's key stands: class, shape, a mask for each table, a mask and a cell for each group.
  struct Field {
    std::uint16_t word = 0;
    std::uint16_t shift = 0;
  };
  const std::vector<Field>& fields() const { return fields_; }
  std::size_t key_words() const { return key_words_; }
  std::int64_t most_around() const { return most_around_; }
  /// True where some packaging makes parcels whose sides are past what is accepted.
  bool has_bad_packs() const { return has_bad_packs_; }
  bool Allowed(std::size_t service, std::size_t pack) const { return allowed_[service * packs_.size() + pack] != 0; }

  std::int64_t PaddingOf(const Goods& goods) const {
    if (setup_.padding) return setup_.padding->nanometres();
    return goods.fragile ? Length::Inches(1).nanometres() : 0;
  }

  /// Places among all declared values where something changes.
  std::uint32_t ValueBand(std::int64_t value) const {
    return static_cast<std::uint32_t>(std::lower_bound(value_cuts_.begin(), value_cuts_.end(), value) -
                                      value_cuts_.begin());
  }

  // ---- what grows ----

  /// The numbers of a run's classes of contents.
  std::vector<std::uint32_t> NumberContents(std::span<const Contents> classes) {
    const std::lock_guard<std::mutex> lock(mutex_);
    std::vector<std::uint32_t> numbers;
    for (const Contents& contents : classes) {
      if (contents.own().empty()) {
        numbers.push_back(contents.bits());
        continue;
      }
      std::string key = std::to_string(contents.bits());
      for (const std::string& word : contents.own()) key += " " + word;
      const auto [at, added] =
          own_contents_.try_emplace(key, kFirstOwnContents + static_cast<std::uint32_t>(own_contents_.size()));
      if (added) contents_.emplace(at->second, contents);
      numbers.push_back(at->second);
    }
    return numbers;
  }

  const Contents* ContentsOf(std::uint32_t number) {
    const std::lock_guard<std::mutex> lock(mutex_);
    return ContentsLocked(number);
  }

  GoodsClass* ClassOf(const Goods& goods) {
    const std::lock_guard<std::mutex> lock(mutex_);
    auto made = std::make_unique<GoodsClass>();
    made->contents = ContentsLocked(goods.contents);
    made->rigid = goods.rigid;
    made->value = goods.value;
    made->value_known = goods.value <= value_known_to_;
    std::string key;
    for (const PlannedService& service : services_) {
      std::string outcome = service.facts.GoodsOutcomes(*made->contents, goods.rigid);
      const std::int64_t value = dispatches_[0]->Shipment(CarrierOf(service), Amount::Micros(goods.value)).value;
      const std::vector<std::int64_t>& cuts = service.facts.value_cuts();
      outcome += std::to_string(std::lower_bound(cuts.begin(), cuts.end(), value) - cuts.begin());
      key += outcome + ';';
      made->outcomes.push_back(std::move(outcome));
    }
    if (!made->value_known) key += "!";
    const auto found = goods_classes_.find(key);
    if (found != goods_classes_.end()) return found->second.get();
    made->number = static_cast<std::uint32_t>(goods_classes_.size());
    made->envelopes = std::vector<std::atomic<const Envelope*>>(packs_.size());
    return goods_classes_.emplace(std::move(key), std::move(made)).first->second.get();
  }

  /// The envelope of a packaging of fixed sides.
  const Envelope* FixedEnvelope(GoodsClass& goods, std::size_t pack) {
    const Envelope* envelope = goods.envelopes[pack].load(std::memory_order_acquire);
    if (envelope != nullptr) return envelope;
    const std::lock_guard<std::mutex> lock(mutex_);
    envelope = goods.envelopes[pack].load(std::memory_order_relaxed);
    if (envelope != nullptr) return envelope;
    envelope = PackEnvelope(goods, pack, packs_[pack].outside, Shape::kBox);
    goods.envelopes[pack].store(envelope, std::memory_order_release);
    return envelope;
  }

  /// Leaves out envelopes that others leave nothing to win. What is left answers as all of them, as far as they are known.
  void Reduce(std::vector<const Envelope*>& parts) {
    const std::lock_guard<std::mutex> lock(mutex_);
    std::vector<const Envelope*> kept;
    for (const Envelope* part : parts) {
      if (std::any_of(kept.begin(), kept.end(), [&](const Envelope* other) { return DominatesLocked(other, part); })) {
        continue;
      }
      std::erase_if(kept, [&](const Envelope* other) { return DominatesLocked(part, other); });
      kept.push_back(part);
    }
    parts = std::move(kept);
  }

  /// What is kept of a cell of a group; nothing where no more can be kept.
  GroupCell* CellOf(const GoodsClass& goods, std::size_t group, std::uint64_t mask, std::uint64_t cell, Shape shape) {
    const std::lock_guard<std::mutex> lock(mutex_);
    const CellKey key{goods.number, static_cast<std::uint32_t>(group), mask, cell, static_cast<std::uint32_t>(shape)};
    const auto found = cells_.find(key);
    if (found != cells_.end()) return found->second.get();
    if (cells_.size() >= kMostCells) return nullptr;
    return cells_.emplace(key, std::make_unique<GroupCell>()).first->second.get();
  }

  /// The envelope of a group's cell, from goods that are in it. Nothing where no more can be kept.
  const Envelope* CellEnvelope(GroupCell& cell, GoodsClass& goods, std::size_t group, std::uint64_t mask,
                               const Goods& like) {
    const std::lock_guard<std::mutex> lock(mutex_);
    const Envelope* envelope = cell.envelope.load(std::memory_order_relaxed);
    if (envelope != nullptr) return envelope;
    if (bytes_ >= kMostBytes) return nullptr;
    std::vector<const Envelope*> parts;
    const PackGroup& packs = groups_[group];
    for (std::size_t i = 0; i < packs.packs.size(); ++i) {
      if (((mask >> i) & 1u) == 0) continue;
      const std::size_t pack = packs.packs[i];
      parts.push_back(PackEnvelope(goods, pack, packs_[pack].Outside(like), like.shape));
    }
    envelope = parts.size() == 1 ? parts[0] : Keep(MergeEnvelopes(parts, order_));
    cell.envelope.store(envelope, std::memory_order_release);
    return envelope;
  }

  /// Several envelopes as one. Nothing where no more can be kept.
  const Envelope* Merged(std::vector<const Envelope*> parts) {
    std::sort(parts.begin(), parts.end());
    const std::lock_guard<std::mutex> lock(mutex_);
    const auto found = merged_.find(parts);
    if (found != merged_.end()) return found->second;
    if (bytes_ >= kMostBytes) return nullptr;
    const Envelope* envelope = Keep(MergeEnvelopes(parts, order_));
    merged_.emplace(std::move(parts), envelope);
    return envelope;
  }

  std::size_t bytes() const {
    const std::lock_guard<std::mutex> lock(mutex_);
    return bytes_;
  }

 private:
  static constexpr std::size_t kMostCells = 1u << 18;
  static constexpr std::size_t kMostBytes = std::size_t{512} << 20;
  static constexpr int kMostPieces = 8192;
  /// Heavier gross weights than a tonne are priced one by one.
  static constexpr std::int64_t kMostKnown = 1'000'000'000'000'000;

  using CellKey = std::tuple<std::uint32_t, std::uint32_t, std::uint64_t, std::uint64_t, std::uint32_t>;

  RepricePlan() = default;

  static absl::Status Bad(const std::string& message) { return detail::Invalid(message); }

  const Dispatch::Carrier& CarrierOf(const PlannedService& service) const {
    return dispatches_[0]->carriers()[service.carrier];
  }

  absl::Status Prepare() {
    if (setup_.book == nullptr) return Bad("found no ratebook, expected one");
    if (setup_.lanes.empty()) return Bad("lanes: found none, expected one or more");
    if (!setup_.shares.empty() && setup_.shares.size() != setup_.lanes.size()) {
      return Bad("shares: found " + std::to_string(setup_.shares.size()) + " for " + std::to_string(setup_.lanes.size()) +
                 " lanes, expected one a lane");
    }
    Int128 sum = 0;
    for (const std::int64_t share : setup_.shares) {
      if (share < 0) return Bad("shares: found one below 0, expected 0 or more");
      sum += share;
    }
    if (!setup_.shares.empty() && (sum < 1 || sum > 1'000'000'000'000)) {
      return Bad("shares: expected a sum of 1 to 1000000 million");
    }
    if (setup_.padding &&
        (setup_.padding->nanometres() < 0 || setup_.padding->nanometres() > Length::kMostSideNanometres)) {
      return Bad("padding: expected 0 or more, at most 50 m");
    }
    if (setup_.fill_weight.nanograms() < 0 || setup_.fill_weight.nanograms() > Weight::kMostNanograms) {
      return Bad("fill_weight: expected 0 or more, at most 100000 kg");
    }
    if (setup_.allowance.least.nanograms() < 0 || setup_.allowance.most < setup_.allowance.least ||
        setup_.allowance.most.nanograms() > Weight::kMostNanograms) {
      return Bad("allowance: expected a least of 0 or more and a most that is no less");
    }
    if (setup_.terms.cover && (setup_.terms.cover->micros() < 0 || setup_.terms.cover->micros() > kMostMicros)) {
      return Bad("cover: expected 0 or more, at most 1000 million");
    }
    setup_.terms.shelf_currency = setup_.shelf == nullptr ? std::nullopt : setup_.shelf->currency;
    for (const Lane& lane : setup_.lanes) {
      Dispatch::Terms terms = setup_.terms;
      terms.lane = lane;
      absl::StatusOr<Dispatch> dispatch = Dispatch::Create(setup_.book, std::move(terms));
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
      const Dispatch::Carrier& carrier = CarrierOf(service);
      if (carrier.same_currency) unit_ = std::gcd(unit_, carrier.edition->tariff->rounding.total);
    }
    for (const Pack& pack : packs_) {
      unit_ = std::gcd(unit_, pack.own_cost.micros());
      unit_ = std::gcd(unit_, pack.issued_cost.micros());
    }
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
  }

  absl::Status PrepareServices() {
    const Dispatch& first = *dispatches_[0];
    constexpr std::size_t kMost = 32'000;
    if (first.services().size() > kMost) return Bad("found more than 32,000 services");
    for (const Dispatch::ServiceState& state : first.services()) {
      const Service& service = state.service();
      service_names_.push_back({first.CarrierOf(state).edition->tariff->carrier, service.code, service.title});
      services_.push_back({ServiceFacts(*state.compiled), state.carrier, state.side_profile, {}, {}});
    }
    // By lane: each service's own class; lanes with the same ones are one class.
    std::vector<std::map<std::pair<ZoneId, std::string>, std::int32_t>> own(services_.size());
    std::map<std::vector<std::int32_t>, std::uint32_t> classes;
    for (std::uint32_t lane = 0; lane < dispatches_.size(); ++lane) {
      std::vector<std::int32_t> key(services_.size(), -1);
      for (std::size_t s = 0; s < services_.size(); ++s) {
        const Dispatch::ServiceState& state = dispatches_[lane]->services()[s];
        if (state.out) continue;
        PlannedService& service = services_[s];
        const auto [at, added] =
            own[s].try_emplace({state.zone, service.facts.LaneOutcomes(setup_.lanes[lane])},
                               static_cast<std::int32_t>(own[s].size()));
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
        SetOwnCost(own.packaging, pack);
        packs_.push_back(pack);
      }
      for (const Shelf::Issued& issued : setup_.shelf->issued) {
        for (const Dispatch::Carrier& carrier : dispatches_[0]->carriers()) {
          if (carrier.edition->tariff->carrier != issued.carrier) continue;
          const Packaging* packaging = Ratebook::FindPackaging(*carrier.edition->tariff, issued.code);
          if (packaging == nullptr) continue;
          Pack pack = MakePack(*packaging, issued.on_hand);
          pack.issued_by = carrier.edition->tariff->carrier;
          pack.issued_cost = packaging->cost;
          pack.cost_known = carrier.currency_ok();
          packs_.push_back(pack);
        }
      }
    }
    if (packs_.size() > 32'000) return Bad("shelf: found more than 32,000 packagings");
    allowed_.assign(services_.size() * packs_.size(), 0);
    for (const Pack& pack : packs_) {
      packaging_names_.push_back({pack.code, pack.issued_by, pack.title});
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
            Dispatch::PackagingAllowed(services_[s].facts.service(), CarrierOf(services_[s]), packs_[p].Facts(Shape::kBox));
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
    pack.around = packaging.tare.nanograms() +
                  (packaging.kind == PackagingKind::kBare ? 0 : setup_.fill_weight.nanograms());
    pack.around_heavy = pack.around;
    pack.in_stock = !on_hand || *on_hand > 0;
    const std::array<std::int64_t, 3> outside = {packaging.outside[0].nanometres(), packaging.outside[1].nanometres(),
                                                 packaging.outside[2].nanometres()};
    for (std::size_t i = 0; i < 3; ++i) pack.inside[i] = packaging.inside[i].nanometres();
    switch (packaging.kind) {
      case PackagingKind::kCarton:
        pack.outside = Sorted(outside);
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

  void SetOwnCost(const Packaging& packaging, Pack& pack) const {
    if (packaging.cost.micros() == 0 || !setup_.shelf->currency) return;
    if (*setup_.shelf->currency == currency()) {
      pack.own_cost = packaging.cost;
      return;
    }
    const auto rate = setup_.terms.exchange.find(setup_.shelf->currency->code());
    const std::optional<Amount> cost =
        rate == setup_.terms.exchange.end() ? std::nullopt : rate->second.Into(packaging.cost, currency());
    pack.cost_known = cost.has_value();
    pack.own_cost = cost.value_or(Amount());
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
      const std::vector<Dispatch::ServiceState>& states = dispatches_[lane]->services();
      auto key = [&states](std::size_t s) {
        constexpr std::int32_t kUnknown = std::numeric_limits<std::int32_t>::max();
        const Dispatch::ServiceState& state = states[s];
        return std::tuple(state.days ? state.days->most : kUnknown, !state.service().tracked, -state.included_cover,
                          std::string_view(state.service().code));
      };
      const std::vector<std::uint16_t> ranks =
          Ranks(states.size(), [&key](std::size_t a, std::size_t b) { return key(a) < key(b); });
      order_.service_rank.insert(order_.service_rank.end(), ranks.begin(), ranks.end());
    }
    order_.carrier_rank = Ranks(services_.size(), [this](std::size_t a, std::size_t b) {
      return service_names_[a].carrier < service_names_[b].carrier;
    });
    order_.packaging_rank =
        Ranks(packs_.size(), [this](std::size_t a, std::size_t b) { return packs_[a].code < packs_[b].code; });
    order_.issuer_rank =
        Ranks(packs_.size(), [this](std::size_t a, std::size_t b) { return packs_[a].issued_by < packs_[b].issued_by; });
  }

  // Where declared values change something, in the ranking's currency.
  void PrepareValues() {
    for (const PlannedService& service : services_) {
      const Dispatch::Carrier& carrier = CarrierOf(service);
      auto known = [&](std::int64_t cut) {
        if (carrier.same_currency) return cut;
        if (!carrier.rate) return kMostMicros;
        // The greatest value that converts to at most `cut`, by halving: conversion never falls as the value rises.
        std::int64_t least = 0;
        std::int64_t most = kMostMicros + 1;
        while (most - least > 1) {
          const std::int64_t middle = least + (most - least) / 2;
          const std::optional<Amount> back = carrier.rate->Back(Amount::Micros(middle), carrier.edition->tariff->currency);
          (back && back->micros() <= cut ? least : most) = middle;
        }
        return least;
      };
      for (const std::int64_t cut : service.facts.value_cuts()) value_cuts_.push_back(known(cut));
      // Past 64 bits a conversion gives 0; what is worth so much is priced one by one.
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

  const Contents* ContentsLocked(std::uint32_t number) {
    const auto found = contents_.find(number);
    if (found != contents_.end()) return &found->second;
    Contents contents;
    for (std::uint32_t bit = 0; bit < kTraitCount; ++bit) {
      if ((number >> bit) & 1u) contents.Add(static_cast<Trait>(bit));
    }
    return &contents_.emplace(number, std::move(contents)).first->second;
  }

  // One of each content.
  const Envelope* Keep(Envelope envelope) {
    std::vector<const Envelope*>& alike = by_hash_[envelope.Hash()];
    for (const Envelope* one : alike) {
      if (*one == envelope) return one;
    }
    bytes_ += envelope.bytes();
    alike.push_back(&envelopes_.emplace_back(std::move(envelope)));
    return alike.back();
  }

  bool DominatesLocked(const Envelope* a, const Envelope* b) {
    if (a == b) return true;
    const auto [at, added] = dominates_.try_emplace({a, b}, false);
    if (added) at->second = Dominates(*a, *b, order_);
    return at->second;
  }

  // One packaging around parcels with these sides: the best of all services that take it.
  const Envelope* PackEnvelope(const GoodsClass& goods, std::size_t pack, const std::array<std::int64_t, 3>& sides,
                               Shape shape) {
    std::vector<const Curves*> curves(services_.size(), nullptr);
    for (std::size_t s = 0; s < services_.size(); ++s) {
      if (!Allowed(s, pack) || Dispatch::ForbiddenByAir(services_[s].facts.service(), *goods.contents)) continue;
      curves[s] = CurvesOf(goods, s, packs_[pack], sides, shape);
    }
    const auto [known, added] = by_curves_.try_emplace({pack, curves}, nullptr);
    if (added) known->second = Keep(BuildEnvelope(pack, curves));
    return known->second;
  }

  Envelope BuildEnvelope(std::size_t pack, const std::vector<const Curves*>& curves) const {
    const Pack& around = packs_[pack];
    const std::int64_t most_around = std::max(around.around, around.around_heavy);
    std::int64_t known = kMostKnown - most_around;
    for (const Curves* curve : curves) {
      if (curve != nullptr) known = std::min(known, curve->upper.back() - most_around);
    }
    Envelope out(classes());
    if (known < 1) return out;
    // Goods' weights at which some curve turns.
    std::vector<std::int64_t> turns = {known};
    auto turn = [&](std::int64_t weight, bool heavy) {
      if (weight >= 1 && weight < known && (weight > Pack::kPound) == heavy) turns.push_back(weight);
    };
    const bool one = around.around == around.around_heavy;
    for (const Curves* curve : curves) {
      if (curve == nullptr) continue;
      const std::size_t before = turns.size();
      for (const std::int64_t upper : curve->upper) {
        const std::int64_t weight = upper - around.around;
        if (one ? weight >= 1 && weight < known : false) turns.push_back(weight);
        if (!one) {
          turn(weight, false);
          turn(upper - around.around_heavy, true);
        }
      }
      if (one) {
        std::inplace_merge(turns.begin(), turns.begin() + static_cast<std::ptrdiff_t>(before), turns.end());
      }
    }
    if (!one) {
      turn(Pack::kPound, false);
      std::sort(turns.begin(), turns.end());
    }
    turns.erase(std::unique(turns.begin(), turns.end()), turns.end());
    out.upper = std::move(turns);
    out.words.resize(out.upper.size() * out.stride());
    for (std::size_t i = 0; i < out.upper.size(); ++i) Clear(out.At(i), classes());
    std::size_t held = out.upper.size();
    for (std::size_t s = 0; s < curves.size(); ++s) {
      if (curves[s] != nullptr) TakeInCurves(out, s, *curves[s], pack, held);
    }
    out.CutTo(held);
    out.Join();
    return out;
  }

  // `held`: bounds up to which every total can be held.
  void TakeInCurves(Envelope& out, std::size_t s, const Curves& curve, std::size_t pack, std::size_t& held) const {
    const PlannedService& service = services_[s];
    const Dispatch::Carrier& carrier = CarrierOf(service);
    const std::size_t lanes = classes();
    const std::size_t own = service.lanes.size();
    const Way way = MakeWay(s, pack);
    std::vector<Envelope::Word> totals(lanes, Answers<Envelope::Word>::kNone);
    std::size_t priced = curve.upper.size();
    std::size_t at = 0;
    bool any = false;
    for (std::size_t i = 0; i < held; ++i) {
      const std::int64_t gross = packs_[pack].Gross(out.upper[i]);
      while (curve.upper[at] < gross) ++at;
      if (at != priced) {
        any = false;
        for (std::size_t lane = 0; lane < lanes; ++lane) {
          const std::int32_t k = service.class_of_lane[lane];
          totals[lane] = Answers<Envelope::Word>::kNone;
          if (k < 0) continue;
          const std::int64_t total = Converted(carrier, curve.totals[at * own + static_cast<std::size_t>(k)], packs_[pack]);
          if (!ToWord(total, totals[lane])) {
            held = i;
            return;
          }
          any = any || total != kNoOffer;
        }
        priced = at;
      }
      if (!any) continue;
      const Answers<Envelope::Word> answers = out.At(i);
      for (std::size_t lane = 0; lane < lanes; ++lane) {
        if (totals[lane] != Answers<Envelope::Word>::kNone) TakeInOne(order_, lane, answers, totals[lane], way);
      }
    }
  }

 public:
  /// One unit of the totals in envelopes, in millionths of the ranking's currency.
  std::int64_t unit() const { return unit_; }
  /// A total in that unit; false where 32 bits do not hold it.
  bool ToWord(std::int64_t micros, Envelope::Word& out) const {
    if (micros == kNoOffer) {
      out = Answers<Envelope::Word>::kNone;
      return true;
    }
    const std::int64_t units = micros / unit_;
    if (micros < 0 || units >= std::int64_t{Answers<Envelope::Word>::kNone} || units * unit_ != micros) return false;
    out = static_cast<Envelope::Word>(units);
    return true;
  }

  /// A service's total with its packaging, in the ranking's currency.
  std::int64_t Converted(const Dispatch::Carrier& carrier, std::int64_t total, const Pack& pack) const {
    if (total == kNoOffer) return kNoOffer;
    const std::optional<Amount> converted = dispatches_[0]->Converted(carrier, Amount::Micros(total) + pack.issued_cost);
    return converted ? (*converted + pack.own_cost).micros() : kNoOffer;
  }

 private:
  const Curves* CurvesOf(const GoodsClass& goods, std::size_t s, const Pack& pack, const std::array<std::int64_t, 3>& sides,
                         Shape shape) {
    const PlannedService& service = services_[s];
    ParcelFacts facts = pack.Facts(shape);
    facts.sides = sides;
    facts.rigid = goods.rigid;
    facts.contents = goods.contents;
    facts.items = std::span<const Contents* const>(&facts.contents, 1);
    std::string key = std::to_string(s) + '/' + goods.outcomes[s] + '/' + service.facts.PackagingOutcomes(facts) + '/' +
                      service.facts.SideOutcomes(sides, facts.irregular());
    const auto found = curves_.find(key);
    if (found != curves_.end()) return found->second.get();
    auto curves = std::make_unique<Curves>();
    Compile(service, s, goods, facts, *curves);
    bytes_ += (curves->upper.capacity() + curves->totals.capacity()) * sizeof(std::int64_t);
    return curves_.emplace(std::move(key), std::move(curves)).first->second.get();
  }

  void Compile(const PlannedService& service, std::size_t s, const GoodsClass& goods, ParcelFacts facts, Curves& out) const {
    const std::size_t own = service.lanes.size();
    std::vector<const Dispatch*> dispatches;
    std::vector<ShipmentFacts> shipments;
    for (const std::uint32_t lane : service.lanes) {
      dispatches.push_back(dispatches_[lane].get());
      shipments.push_back(dispatches.back()->Shipment(dispatches.back()->carriers()[service.carrier],
                                                      Amount::Micros(goods.value)));
    }
    const SideFacts sides = dispatches_[0]->MeasureSides(facts, dispatches_[0]->services()[s]);
    const Cuts& cuts = service.facts.compiled().cuts;
    std::vector<std::int64_t> row(own);
    std::int64_t weight = 1;
    for (int pieces = 0; pieces < kMostPieces && weight <= kMostKnown; ++pieces) {
      const std::int64_t end = std::min(cuts.NextWeight(weight, service.facts.rules().weight), kMostKnown);
      facts.weight = weight;
      for (std::size_t k = 0; k < own; ++k) {
        const std::optional<Amount> total =
            dispatches[k]->Total(dispatches[k]->services()[s], facts, shipments[k], sides);
        row[k] = total ? total->micros() : kNoOffer;
      }
      if (!out.upper.empty() && std::equal(row.begin(), row.end(), out.totals.end() - static_cast<std::ptrdiff_t>(own))) {
        out.upper.back() = end;
      } else {
        out.upper.push_back(end);
        out.totals.insert(out.totals.end(), row.begin(), row.end());
      }
      weight = end + 1;
    }
  }

  RepriceSetup setup_;
  std::vector<std::shared_ptr<const Dispatch>> dispatches_;  // by lane
  std::vector<ServiceName> service_names_;
  std::vector<PackagingName> packaging_names_;
  std::vector<PlannedService> services_;
  std::vector<Pack> packs_;
  std::vector<std::uint8_t> allowed_;
  std::vector<std::uint32_t> lane_class_;
  std::vector<std::uint32_t> class_lanes_;
  std::vector<std::int64_t> value_cuts_;
  std::int64_t value_known_to_ = kMostMicros;
  std::int64_t most_around_ = 0;
  bool has_bad_packs_ = false;
  std::int64_t unit_ = 1;
  std::vector<Field> fields_;
  std::size_t key_words_ = 0;
  TieOrder order_;
  std::vector<FitTable> tables_;
  std::vector<PackGroup> groups_;

  mutable std::mutex mutex_;
  std::unordered_map<std::uint32_t, Contents> contents_;
  std::map<std::string, std::uint32_t> own_contents_;
  std::unordered_map<std::string, std::unique_ptr<GoodsClass>> goods_classes_;
  std::unordered_map<std::string, std::unique_ptr<Curves>> curves_;
  std::map<CellKey, std::unique_ptr<GroupCell>> cells_;
  std::map<std::vector<const Envelope*>, const Envelope*> merged_;
  std::map<std::pair<std::size_t, std::vector<const Curves*>>, const Envelope*> by_curves_;
  std::map<std::pair<const Envelope*, const Envelope*>, bool> dominates_;
  std::unordered_map<std::uint64_t, std::vector<const Envelope*>> by_hash_;
  std::deque<Envelope> envelopes_;
  std::size_t bytes_ = 0;
};

}  // namespace tarewise::detail

#endif  // TAREWISE_BATCH_PLAN_H_
