#ifndef TAREWISE_RANKING_RANK_H_
#define TAREWISE_RANKING_RANK_H_

#include <algorithm>
#include <array>
#include <cstdint>
#include <limits>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "tarewise/parcel/packaging.h"
#include "tarewise/pricing/evaluate.h"
#include "tarewise/pricing/ratebook.h"
#include "tarewise/ranking/cautions.h"
#include "tarewise/ranking/dispatch.h"
#include "tarewise/ranking/order.h"
#include "tarewise/ranking/packer.h"
#include "tarewise/ranking/pieces.h"
#include "tarewise/ranking/ranking.h"
#include "tarewise/ranking/request.h"

namespace tarewise {

/// How much of an answer to work out.
struct RankOptions {
  bool thresholds = true;          ///< Headroom and savers.
  const Packer* packer = nullptr;  ///< Nothing: `PilePacker`.
};

/// The most units (items times quantity) of one request.
inline constexpr std::int64_t kMostUnits = 10'000;

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
    ranker.ranking_.cautions_ = CautionsFor(ranker.kept_->contents, Weight::Nanograms(ranker.HeaviestGross()));
    return std::move(ranker.ranking_);
  }

  static Dispatch::Terms TermsOf(const Request& request, const Shelf* shelf) {
    Dispatch::Terms terms;
    terms.lane = request.lane;
    terms.date = request.date;
    terms.promise = request.promise;
    terms.extras = request.extras;
    terms.cover = request.cover;
    terms.currency = request.currency;
    terms.exchange = request.exchange;
    if (shelf != nullptr) terms.shelf_currency = shelf->currency;
    return terms;
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
      : dispatch_(*dispatch),
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

  static absl::Status Bad(const std::string& message) { return detail::Invalid(message); }

  static absl::Status CheckWeight(Weight weight, const std::string& where) {
    if (weight.nanograms() < 1 || weight.nanograms() > Weight::kMostNanograms) {
      return Bad(where + ": found " + weight.In("kg") + ", expected a weight of more than 0 and at most 100000 kg");
    }
    return absl::OkStatus();
  }
  static absl::Status CheckSide(Length side, const std::string& where) {
    if (side.nanometres() < 1 || side.nanometres() > Length::kMostSideNanometres) {
      return Bad(where + ": found " + side.In("mm") + ", expected a side of more than 0 and at most 50 m");
    }
    return absl::OkStatus();
  }

  absl::Status CheckGoods() {
    const Request& request = *request_;
    if (request.goods.empty() == !request.parcel.has_value()) {
      return Bad(request.parcel ? "found both goods and a parcel, expected one of them"
                                : "found neither goods nor a parcel, expected one of them");
    }
    if (!request.steps.weight.positive() || !request.steps.sides.positive()) {
      return Bad("steps: found a step of 0 or less, expected more");
    }
    if (request.tolerance.weight.nanograms() < 0 || request.tolerance.sides.nanometres() < 0 ||
        request.tolerance.weight.nanograms() > Weight::kMostNanograms ||
        request.tolerance.sides.nanometres() > Length::kMostSideNanometres) {
      return Bad("tolerance: found one below 0 or over the greatest parcel, expected 0 or more");
    }
    if (request.fill_weight.nanograms() < 0 || request.fill_weight.nanograms() > Weight::kMostNanograms) {
      return Bad("fill_weight: expected 0 or more, at most 100000 kg");
    }
    if (request.allowance.least.nanograms() < 0 || request.allowance.most < request.allowance.least ||
        request.allowance.most.nanograms() > Weight::kMostNanograms) {
      return Bad("allowance: expected a least of 0 or more and a most that is no less");
    }
    if (request.padding &&
        (request.padding->nanometres() < 0 || request.padding->nanometres() > Length::kMostSideNanometres)) {
      return Bad("padding: expected 0 or more, at most 50 m");
    }
    if (request.cover && (request.cover->micros() < 0 || request.cover->micros() > kMostMicros)) {
      return Bad("cover: expected 0 or more, at most 1000 million");
    }
    if (request.parcel) {
      const Parcel& parcel = *request.parcel;
      if (absl::Status status = CheckWeight(parcel.weight, "parcel/weight"); !status.ok()) return status;
      for (const Length side : parcel.sides.sides()) {
        if (absl::Status status = CheckSide(side, "parcel/sides"); !status.ok()) return status;
      }
      if (absl::Status status =
              CheckRanges(parcel.weight, parcel.weight_most, parcel.sides.sides(), parcel.side_ranges, "parcel");
          !status.ok()) {
        return status;
      }
      if (parcel.value.micros() < 0 || parcel.value.micros() > kMostMicros) return Bad("parcel/value: out of range");
      value_ = parcel.value;
      kept_->contents = parcel.contents;
      kept_->items.push_back(&parcel.contents);
      return absl::OkStatus();
    }
    Int128 value = 0;
    Int128 weight = 0;
    std::int64_t units = 0;
    for (std::size_t i = 0; i < request.goods.size(); ++i) {
      const Item& item = request.goods[i];
      const std::string where = "goods/" + std::to_string(i);
      if (absl::Status status = CheckWeight(item.weight, where + "/weight"); !status.ok()) return status;
      for (const Length side : item.sides) {
        if (absl::Status status = CheckSide(side, where + "/sides"); !status.ok()) return status;
      }
      if (absl::Status status = CheckRanges(item.weight, item.weight_most, item.sides, item.side_ranges, where);
          !status.ok()) {
        return status;
      }
      if (item.quantity < 1 || item.quantity > kMostUnits) return Bad(where + "/quantity: expected 1 to 10000");
      units += item.quantity;
      value += Int128(item.value.micros()) * item.quantity;
      weight += Int128(item.weight_most.value_or(item.weight).nanograms()) * item.quantity;
      if (item.value.micros() < 0 || value > kMostMicros) return Bad(where + "/value: out of range");
      kept_->contents.AddAll(item.contents);
      kept_->items.push_back(&item.contents);
    }
    if (units > kMostUnits) return Bad("goods: found " + std::to_string(units) + " units, expected at most 10000");
    if (weight > Weight::kMostNanograms) return Bad("goods: found more than 100000 kg together, expected less");
    value_ = Amount::Micros(static_cast<std::int64_t>(value));
    return absl::OkStatus();
  }

  static absl::Status CheckRanges(Weight weight, const std::optional<Weight>& most, const std::array<Length, 3>& sides,
                                  const std::vector<SideRange>& ranges, const std::string& where) {
    if (most && *most < weight) return Bad(where + "/weight: found a range that falls, expected one that rises");
    if (most) {
      if (absl::Status status = CheckWeight(*most, where + "/weight"); !status.ok()) return status;
    }
    for (const SideRange& range : ranges) {
      if (range.index > 2 || range.most < sides[range.index]) {
        return Bad(where + "/sides: found a range that falls, expected one that rises");
      }
      if (absl::Status status = CheckSide(range.most, where + "/sides"); !status.ok()) return status;
    }
    return absl::OkStatus();
  }

  // ---- candidates ----

  void CommonFacts(Candidate& candidate, bool rigid) const {
    candidate.facts.contents = &kept_->contents;
    candidate.facts.items = kept_->items;
    candidate.facts.rigid = rigid;
  }

  absl::Status MakeCandidates() {
    if (request_->parcel) return MakeSealed();
    std::int64_t weight = 0;
    std::int64_t weight_most = 0;
    bool rigid = false;
    bool bare = true;
    bool alike = true;
    for (const Item& item : request_->goods) {
      weight += item.weight.nanograms() * item.quantity;
      weight_most += item.weight_most.value_or(item.weight).nanograms() * item.quantity;
      rigid = rigid || item.rigid;
      bare = bare && item.bare_allowed;
      alike = alike && item.shape == request_->goods.front().shape;
      PackUnit unit;
      PackUnit unit_most;
      for (std::size_t i = 0; i < 3; ++i) unit.sides[i] = item.sides[i].nanometres();
      unit.this_side_up = item.this_side_up;
      unit_most = unit;
      for (const SideRange& range : item.side_ranges) unit_most.sides[range.index] = range.most.nanometres();
      for (std::int32_t n = 0; n < item.quantity; ++n) {
        units_.push_back(unit);
        units_most_.push_back(unit_most);
      }
    }
    ranging_sides_ = units_.size() != units_most_.size();
    for (std::size_t i = 0; i < units_.size(); ++i)
      ranging_sides_ = ranging_sides_ || units_[i].sides != units_most_[i].sides;
    goods_weight_ = weight;
    goods_weight_most_ = weight_most;
    goods_shape_ = alike ? request_->goods.front().shape : Shape::kIrregular;
    rigid_ = rigid;
    padding_ = request_->padding ? request_->padding->nanometres()
                                 : (kept_->contents.Has(Trait::kFragile) ? Length::Inches(1).nanometres() : 0);
    if (kept_->shelf == nullptr) return MakeEstimate();
    const Shelf& shelf = *kept_->shelf;
    for (const Shelf::Own& own : shelf.own) {
      const bool allowed = own.packaging.kind != PackagingKind::kBare || bare;
      if (absl::Status status = TryPackaging(own.packaging, own.on_hand, nullptr, allowed); !status.ok()) return status;
    }
    for (const Shelf::Issued& issued : shelf.issued) {
      const Packaging* packaging = nullptr;
      const Dispatch::Carrier* by = nullptr;
      for (const Dispatch::Carrier& carrier : dispatch_.carriers()) {
        if (carrier.edition->tariff->carrier != issued.carrier) continue;
        packaging = Ratebook::FindPackaging(*carrier.edition->tariff, issued.code);
        by = &carrier;
      }
      if (packaging == nullptr) {
        RefusePackaging(
            issued.code, Reason::kNotInForce,
            "no tariff of " + issued.carrier + " in force on " + dispatch_.terms().date.ToString() + " has it");
        continue;
      }
      if (absl::Status status = TryPackaging(*packaging, issued.on_hand, by); !status.ok()) return status;
    }
    return absl::OkStatus();
  }

  void RefusePackaging(std::string_view code, Reason reason, std::string text) {
    Refusal refusal;
    refusal.packaging = code;
    refusal.reasons.push_back({reason, nullptr, std::move(text)});
    ranking_.refusals_.push_back(std::move(refusal));
  }

  absl::Status TryPackaging(const Packaging& packaging, std::optional<std::int64_t> on_hand,
                            const Dispatch::Carrier* issued_by, bool allowed = true) {
    const PilePacker pile;
    const Packer& packer = options_.packer != nullptr ? *options_.packer : pile;
    Packing packing;
    if (allowed) {
      packing = packer.Pack(units_most_, packaging, padding_);
    } else {
      packing.fit = Fit::kDoesNotFit;
      packing.why = "the goods may not be shipped bare";
    }
    if (packing.fit != Fit::kFits || (on_hand && *on_hand <= 0)) {
      Refusal refusal;
      refusal.packaging = packaging.code;
      if (packing.fit != Fit::kFits) {
        refusal.reasons.push_back({Reason::kDoesNotFit, nullptr,
                                   packing.fit == Fit::kUnknown ? "whether the goods fit is not known" : packing.why});
      }
      if (on_hand && *on_hand <= 0) refusal.reasons.push_back({Reason::kOutOfStock, nullptr, "none is on hand"});
      ranking_.refusals_.push_back(std::move(refusal));
      return absl::OkStatus();
    }
    Candidate candidate;
    CommonFacts(candidate, rigid_);
    candidate.most = packing.outside;
    candidate.least = ranging_sides_ ? packer.Pack(units_, packaging, padding_).outside : packing.outside;
    const bool bare = packaging.kind == PackagingKind::kBare;
    const std::int64_t around = packaging.tare.nanograms() + (bare ? 0 : request_->fill_weight.nanograms());
    candidate.facts.weight = goods_weight_ + around;
    candidate.weight_most = goods_weight_most_ + around;
    candidate.weight_floor = around;
    candidate.facts.shape = ShapeIn(packaging.kind, goods_shape_);
    candidate.facts.kind = packaging.kind;
    candidate.facts.packaging = packaging.code;
    candidate.packaging = &packaging;
    candidate.sides_adjustable = issued_by == nullptr && packaging.kind == PackagingKind::kCarton;
    SetCost(candidate, packaging, issued_by);
    return AddCandidate(candidate);
  }

  void SetCost(Candidate& candidate, const Packaging& packaging, const Dispatch::Carrier* issued_by) const {
    if (issued_by != nullptr) {
      candidate.facts.issued_by = issued_by->edition->tariff->carrier;
      candidate.issued_cost = packaging.cost;
      return;
    }
    if (packaging.cost.micros() == 0 || !kept_->shelf || !kept_->shelf->currency) return;
    if (*kept_->shelf->currency == dispatch_.currency()) {
      candidate.own_cost = packaging.cost;
      return;
    }
    const auto rate = dispatch_.terms().exchange.find(kept_->shelf->currency->code());
    const std::optional<Amount> cost = rate == dispatch_.terms().exchange.end()
                                           ? std::nullopt
                                           : rate->second.Into(packaging.cost, dispatch_.currency());
    candidate.cost_known = cost.has_value();
    candidate.cost_currency = *kept_->shelf->currency;
    candidate.own_cost = cost.value_or(Amount());
  }

  absl::Status AddCandidate(Candidate candidate) {
    candidate.facts.sides = Sorted(candidate.least);
    for (const std::int64_t side : Sorted(candidate.most)) {
      if (absl::Status status = CheckSide(Length::Nanometres(side), "the packed parcel"); !status.ok()) return status;
    }
    if (candidate.weight_most > Weight::kMostNanograms) return Bad("the packed parcel is heavier than 100000 kg");
    candidates_->push_back(candidate);
    return absl::OkStatus();
  }

  absl::Status MakeEstimate() {
    ranking_.estimate_ = true;
    const PilePacker::Pile pile = PilePacker::MakePile(units_);
    const PilePacker::Pile pile_most = PilePacker::MakePile(units_most_);
    Candidate candidate;
    CommonFacts(candidate, rigid_);
    const std::int64_t inch = Length::Inches(1).nanometres();
    for (std::size_t i = 0; i < 3; ++i) {
      candidate.least[i] = pile.sides[i] + inch;
      candidate.most[i] = pile_most.sides[i] + inch;
    }
    // The allowance, which stands for packaging and fill, is for goods over a pound. Goods are ranked at its most; its
    // least is priced beside that.
    const std::int64_t pound = Weight::Pounds(1).nanograms();
    const std::int64_t most = request_->allowance.most.nanograms();
    candidate.facts.weight = goods_weight_ + (goods_weight_ > pound ? most : 0);
    candidate.weight_most = goods_weight_most_ + (goods_weight_most_ > pound ? most : 0);
    candidate.allowance_span = goods_weight_ > pound ? most - request_->allowance.least.nanograms() : 0;
    candidate.weight_floor = candidate.facts.weight - goods_weight_;
    candidate.facts.shape = goods_shape_;
    candidate.facts.kind = KindOf(goods_shape_);
    candidate.facts.packaging = "estimate";
    return AddCandidate(candidate);
  }

  absl::Status MakeSealed() {
    const Parcel& parcel = *request_->parcel;
    Candidate candidate;
    CommonFacts(candidate, parcel.rigid);
    for (std::size_t i = 0; i < 3; ++i) candidate.least[i] = parcel.sides.sides()[i].nanometres();
    candidate.most = candidate.least;
    for (const SideRange& range : parcel.side_ranges) candidate.most[range.index] = range.most.nanometres();
    ranging_sides_ = candidate.most != candidate.least;
    candidate.facts.weight = parcel.weight.nanograms();
    candidate.weight_most = parcel.weight_most.value_or(parcel.weight).nanograms();
    goods_weight_ = candidate.facts.weight;
    goods_weight_most_ = candidate.weight_most;
    candidate.facts.shape = parcel.shape;
    candidate.facts.kind = KindOf(parcel.shape);
    candidate.sides_adjustable = true;
    if (!parcel.packaging.empty()) {
      const Packaging* own = nullptr;
      if (kept_->shelf != nullptr) {
        for (const Shelf::Own& entry : kept_->shelf->own) {
          if (entry.packaging.code == parcel.packaging) own = &entry.packaging;
        }
      }
      const Packaging* issued = nullptr;
      const Dispatch::Carrier* by = nullptr;
      for (const Dispatch::Carrier& carrier : dispatch_.carriers()) {
        const Packaging* found = Ratebook::FindPackaging(*carrier.edition->tariff, parcel.packaging);
        if (found == nullptr) continue;
        if (issued != nullptr) {
          return Bad("parcel/packaging: found " + detail::Quoted(parcel.packaging) +
                     ", which several carriers issue, expected a code of one");
        }
        issued = found;
        by = &carrier;
      }
      const Packaging* packaging = own != nullptr ? own : issued;
      if (packaging == nullptr) {
        return Bad("parcel/packaging: found " + detail::Quoted(parcel.packaging) +
                   ", expected the code of a packaging on the shelf or of a carrier");
      }
      candidate.facts.packaging = packaging->code;
      candidate.facts.kind = packaging->kind;
      candidate.packaging = packaging;
      candidate.sides_adjustable = own != nullptr && packaging->kind == PackagingKind::kCarton;
      SetCost(candidate, *packaging, own != nullptr ? nullptr : by);
    }
    return AddCandidate(candidate);
  }

  // ---- pricing ----

  static ParcelBox BoxOf(const Candidate& candidate) {
    return {candidate.facts.weight, candidate.weight_most, candidate.least, candidate.most};
  }

  std::int64_t FactorOf(const Dispatch::ServiceState& state, const Candidate& candidate) const {
    return candidate.facts.irregular() ? state.service().measure.irregular_factor : kVolumeScale;
  }

  // The total in the ranking's currency of a service at one weight and three sorted sides.
  std::optional<Amount> TotalAt(const Dispatch::ServiceState& state, const Candidate& candidate, std::int64_t weight,
                                const std::array<std::int64_t, 3>& sides) const {
    ParcelFacts facts = candidate.facts;
    facts.weight = weight;
    facts.sides = sides;
    return TotalAt(state, candidate, facts, dispatch_.MeasureSides(facts, state));
  }

  std::optional<Amount> TotalAt(const Dispatch::ServiceState& state, const Candidate& candidate,
                                const ParcelFacts& facts, const SideFacts& sides) const {
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

  Point PointAt(const Dispatch::ServiceState& state, const Candidate& candidate, std::int64_t weight,
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

  std::optional<Amount> Converted(const Dispatch::ServiceState& state, Amount total, const Candidate& candidate) const {
    const std::optional<Amount> converted =
        dispatch_.Converted(dispatch_.CarrierOf(state), total + candidate.issued_cost);
    if (!converted) return std::nullopt;
    return *converted + candidate.own_cost;
  }

  absl::Status Price() {
    for (const Dispatch::Carrier& carrier : dispatch_.carriers()) {
      shipments_.push_back(dispatch_.Shipment(carrier, value_));
    }
    Dispatch::SideProfiles profiles;
    for (std::size_t c = 0; c < candidates_->size(); ++c) {
      const Candidate& candidate = (*candidates_)[c];
      const ParcelBox box = BoxOf(candidate);
      const bool point = box.IsPoint();
      if (point) dispatch_.MeasureSides(candidate.facts, profiles);
      for (std::size_t s = 0; s < dispatch_.services().size(); ++s) {
        const Dispatch::ServiceState& state = dispatch_.services()[s];
        if (point) {
          PricePoint(c, s, candidate.facts, profiles[state.side_profile], std::nullopt);
        } else if (absl::Status status = PriceRange(c, s, box); !status.ok()) {
          return status;
        }
      }
    }
    return absl::OkStatus();
  }

  absl::Status PriceRange(std::size_t c, std::size_t s, const ParcelBox& box) {
    const Candidate& candidate = (*candidates_)[c];
    const Dispatch::ServiceState& state = dispatch_.services()[s];
    ParcelFacts worst = candidate.facts;
    std::optional<TotalRange> range;
    std::optional<ParcelFacts> refused;
    PieceVisitor visitor(*state.compiled, FactorOf(state, candidate));
    auto visit = [&](std::int64_t weight, const std::array<std::int64_t, 3>& sides) {
      if (refused) return;
      ParcelFacts facts = candidate.facts;
      facts.weight = weight;
      facts.sides = sides;
      const std::optional<Amount> total = TotalAt(state, candidate, facts, dispatch_.MeasureSides(facts, state));
      if (!total) {
        refused = facts;
        return;
      }
      if (!range || *total > range->highest || (*total == range->highest && weight > worst.weight)) worst = facts;
      if (!range) range = TotalRange{*total, *total};
      range->lowest = std::min(range->lowest, *total);
      range->highest = std::max(range->highest, *total);
    };
    // The greatest parcel first: if it is refused, its reasons are the ones to tell.
    visit(box.weight_most, Sorted(box.most));
    if (!refused && !visitor.Visit(box, visit)) {
      return Bad(
          "the ranges of several sides together are too wide to be priced exactly; narrow them or give one side");
    }
    const ParcelFacts& facts = refused ? *refused : worst;
    PricePoint(c, s, facts, dispatch_.MeasureSides(facts, state), refused ? std::nullopt : range);
    return absl::OkStatus();
  }

  void PricePoint(std::size_t c, std::size_t s, const ParcelFacts& facts, const SideFacts& sides,
                  std::optional<TotalRange> range) {
    const Candidate& candidate = (*candidates_)[c];
    const Dispatch::ServiceState& state = dispatch_.services()[s];
    const Dispatch::Carrier& carrier = dispatch_.CarrierOf(state);
    const bool allowed = Dispatch::PackagingAllowed(state.service(), carrier, facts);
    const bool by_air = Dispatch::ForbiddenByAir(state.service(), *facts.contents);
    if (!state.out && allowed && !by_air && candidate.cost_known) {
      const Evaluation evaluation(*state.compiled, state.rules, facts, shipments_[state.carrier], state.zone, sides);
      if (!evaluation.Refused()) {
        std::vector<Charge> charges;
        charges.reserve(8);
        const std::optional<Amount> total = evaluation.Total(charges);
        const std::optional<Amount> converted = total ? Converted(state, *total, candidate) : std::nullopt;
        if (converted) {
          AddOffer(c, s, facts, evaluation, *total, *converted, std::move(charges), range);
          return;
        }
      }
    }
    AddRefusal(c, state, facts, sides, allowed, by_air);
  }

  void AddOffer(std::size_t c, std::size_t s, const ParcelFacts& facts, const Evaluation& evaluation,
                Amount service_total, Amount total, std::vector<Charge> charges, std::optional<TotalRange> range) {
    const Candidate& candidate = (*candidates_)[c];
    const Dispatch::ServiceState& state = dispatch_.services()[s];
    const Dispatch::Carrier& carrier = dispatch_.CarrierOf(state);
    const Tariff& tariff = *carrier.edition->tariff;
    Offer& offer = ranking_.offers_.emplace_back();
    offer.carrier = tariff.carrier;
    offer.service = state.service().code;
    offer.title = state.service().title;
    offer.packaging = facts.packaging;
    offer.issued_by = facts.issued_by;
    offer.zone = tariff.zone_names[state.zone];
    offer.days = state.days;
    offer.tracked = state.service().tracked;
    offer.mode = state.service().mode;
    offer.weight = Weight::Nanograms(facts.weight);
    offer.sides = Dimensions(Length::Nanometres(facts.sides[0]), Length::Nanometres(facts.sides[1]),
                             Length::Nanometres(facts.sides[2]));
    offer.billable = evaluation.billable();
    offer.billable_from = evaluation.from();
    offer.charges = std::move(charges);
    offer.tariff_currency = tariff.currency;
    offer.service_total = service_total;
    offer.packaging_cost = dispatch_.Converted(carrier, candidate.issued_cost).value_or(Amount()) + candidate.own_cost;
    offer.total = total;
    offer.included_cover = Amount::Micros(state.included_cover);
    offer.range = range;
    if (ranking_.estimate_) {
      // Both ends of the allowance; where nothing ranges, they are the only two totals.
      const std::optional<Amount> least =
          TotalAt(state, candidate, candidate.facts.weight - candidate.allowance_span, candidate.facts.sides);
      if (!offer.range) offer.range = TotalRange{total, total};
      if (least) {
        offer.range->lowest = std::min(offer.range->lowest, *least);
        offer.range->highest = std::max(offer.range->highest, *least);
      }
    }
    offer.service_index = static_cast<std::uint32_t>(s);
    offer.candidate_index = static_cast<std::uint32_t>(c);
    FindRisk(offer, facts);
  }

  void FindRisk(Offer& offer, const ParcelFacts& facts) const {
    const Tolerance& tolerance = request_->tolerance;
    if (tolerance.weight.nanograms() == 0 && tolerance.sides.nanometres() == 0) return;
    const Dispatch::ServiceState& state = dispatch_.services()[offer.service_index];
    const Candidate& candidate = (*candidates_)[offer.candidate_index];
    ParcelBox box;
    box.weight = facts.weight;
    box.weight_most = std::min(facts.weight + tolerance.weight.nanograms(), Weight::kMostNanograms);
    box.least = facts.sides;
    for (std::size_t i = 0; i < 3; ++i) {
      box.most[i] = std::min(facts.sides[i] + tolerance.sides.nanometres(), Length::kMostSideNanometres);
    }
    PieceVisitor visitor(*state.compiled, FactorOf(state, candidate));
    if (visitor.OnePiece(box)) return;
    Amount highest = offer.total;
    bool refused = false;
    auto visit = [&](std::int64_t weight, const std::array<std::int64_t, 3>& sides) {
      if (refused) return;
      const std::optional<Amount> total = TotalAt(state, candidate, weight, sides);
      refused = !total;
      if (total) highest = std::max(highest, *total);
    };
    visitor.Visit(box, visit);
    visit(box.weight_most, Sorted(box.most));
    if (refused) {
      offer.at_risk = true;
    } else if (highest > offer.total) {
      offer.at_risk = true;
      offer.total_at_risk = highest;
    }
  }

  void AddRefusal(std::size_t c, const Dispatch::ServiceState& state, const ParcelFacts& facts, const SideFacts& sides,
                  bool allowed, bool by_air) {
    const Candidate& candidate = (*candidates_)[c];
    const Dispatch::Carrier& carrier = dispatch_.CarrierOf(state);
    const Tariff& tariff = *carrier.edition->tariff;
    Refusal& refusal = ranking_.refusals_.emplace_back();
    refusal.carrier = tariff.carrier;
    refusal.service = state.service().code;
    refusal.packaging = facts.packaging;
    auto add = [&refusal](Reason reason, std::string text, const RefuseRule* rule = nullptr) {
      refusal.reasons.push_back({reason, rule, std::move(text)});
    };
    const Dispatch::Terms& terms = dispatch_.terms();
    if (!carrier.in_force) {
      add(Reason::kNotInForce, "no tariff of " + tariff.carrier + " is in force on " + terms.date.ToString());
      return;
    }
    if (!carrier.currency_ok()) {
      add(Reason::kCurrencyDiffers, "the tariff is in " + std::string(tariff.currency.code()) + ", the ranking in " +
                                        std::string(dispatch_.currency().code()) +
                                        ", and no rate of exchange is given");
    } else if (!candidate.cost_known) {
      add(Reason::kCurrencyDiffers, "the packaging's cost is in " + std::string(candidate.cost_currency.code()) +
                                        ", the ranking in " + std::string(dispatch_.currency().code()) +
                                        ", and no rate of exchange is given");
    }
    if (state.zone == kNoZone) {
      add(Reason::kNoZone, "no zone from " + PlaceText(terms.lane.from) + " to " + PlaceText(terms.lane.to));
    }
    if (!allowed) add(Reason::kPackagingNotAllowed, PackagingWhy(state.service(), facts));
    if (!state.promise_met && state.zone != kNoZone) add(Reason::kPromiseNotMet, PromiseWhy(state));
    if (by_air) add(Reason::kContentsNotAccepted, "goes by air, which these contents never may");
    const Evaluation evaluation(*state.compiled, state.rules, facts, shipments_[state.carrier], state.zone, sides);
    // Value and cover cannot be told in a currency without a rate, unless there are none.
    const bool money_known =
        carrier.currency_ok() || (value_.micros() == 0 && terms.cover.value_or(Amount()).micros() == 0);
    bool refused = by_air;
    for (const Reason code : {Reason::kContentsNotAccepted, Reason::kOverLimit}) {
      for (const LaneRules::Rule& at : state.rules.refuse) {
        const RefuseRule& rule = state.service().refuse[at.index];
        if (rule.code != code || (state.zone == kNoZone && MentionsZone(rule.when)) ||
            (!money_known && MentionsMoney(rule.when)) || !evaluation.Holds(rule.when)) {
          continue;
        }
        const std::string measured = detail::DescribeTest(rule.when, evaluation, tariff, true);
        add(code, measured.empty() ? rule.reason : rule.reason + ": " + measured, &rule);
        refused = true;
      }
    }
    if (state.zone == kNoZone || !money_known) return;
    if (!refused && evaluation.NoPrice()) {
      add(Reason::kNoPrice,
          "no price covers " +
              detail::DescribeBillable(evaluation.billable(), evaluation.from(), WeightUnit(state.service())) +
              " in zone " + tariff.zone_names[state.zone]);
    }
    std::string_view missing;
    if (evaluation.ExtraMissing(&missing)) {
      add(Reason::kExtraNotOffered, "\"" + std::string(missing) + "\" is not offered for this parcel");
    }
    // Sums too large to hold are the only way to be here with nothing said.
    if (refusal.reasons.empty()) add(Reason::kNoPrice, "the charges add up to more than 1000 million");
  }

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

  static std::string PackagingWhy(const Service& service, const ParcelFacts& facts) {
    if (facts.issued_by.empty()) return "this service takes only the carrier's own packaging";
    std::string text = "packaging issued by " + std::string(facts.issued_by) + " is only for the services that list it";
    static_cast<void>(service);
    return text;
  }

  std::string PromiseWhy(const Dispatch::ServiceState& state) const {
    const std::string days = state.days ? "takes up to " + std::to_string(state.days->most) + " business days"
                                        : std::string("publishes no days for this zone");
    if (const auto* within = std::get_if<WithinDays>(&dispatch_.terms().promise)) {
      return days + ", the promise is " + std::to_string(within->days);
    }
    const auto& paid = std::get<PaidFor>(dispatch_.terms().promise);
    return days + (state.service().tracked ? "" : ", untracked") + "; the buyer paid for " + paid.service;
  }

  // ---- order ----

  bool Before(const Dispatch::ServiceState& a, const Candidate& in_a, const Dispatch::ServiceState& b,
              const Candidate& in_b) const {
    return ComesBefore(dispatch_, {&a, in_a.facts.packaging, in_a.facts.issued_by},
                       {&b, in_b.facts.packaging, in_b.facts.issued_by});
  }

  void Sort() {
    const bool cautious = request_->objective == Objective::kCautious;
    auto due = [cautious](const Offer& offer) {
      if (!cautious || !offer.at_risk) return offer.total.micros();
      return offer.total_at_risk ? offer.total_at_risk->micros() : std::numeric_limits<std::int64_t>::max();
    };
    std::sort(ranking_.offers_.begin(), ranking_.offers_.end(), [&](const Offer& a, const Offer& b) {
      if (due(a) != due(b)) return due(a) < due(b);
      if (a.total != b.total) return a.total < b.total;
      return Before(dispatch_.services()[a.service_index], (*candidates_)[a.candidate_index],
                    dispatch_.services()[b.service_index], (*candidates_)[b.candidate_index]);
    });
  }

  // ---- thresholds ----

  static constexpr int kMostVisits = 4096;

  void FindHeadroom() {
    for (Offer& offer : ranking_.offers_) {
      const Dispatch::ServiceState& state = dispatch_.services()[offer.service_index];
      const Candidate& candidate = (*candidates_)[offer.candidate_index];
      const MeasureRules& rules = state.service().measure;
      const Cuts& cuts = state.compiled->cuts;
      const std::array<std::int64_t, 3> sides = {offer.sides.sides()[0].nanometres(),
                                                 offer.sides.sides()[1].nanometres(),
                                                 offer.sides.sides()[2].nanometres()};
      const std::int64_t weight = offer.weight.nanograms();
      const Cuts::Billable billable = BillableOf(offer.billable, offer.billable_from);
      const bool strides = state.compiled->groups == 0;
      offer.headroom.weight = Grow<Weight>(
          weight, Weight::kMostNanograms, offer.total, billable, strides,
          [&](std::int64_t w, const Cuts::Billable& now, bool series) {
            return cuts.NextWeight(w, rules.weight, now, series);
          },
          [&](std::int64_t w) { return PointAt(state, candidate, w, sides); });
      const std::int64_t factor = FactorOf(state, candidate);
      for (std::size_t i = 0; i < 3; ++i) {
        const std::int64_t a = sides[(i + 1) % 3];
        const std::int64_t b = sides[(i + 2) % 3];
        offer.headroom.sides[i] = Grow<Length>(
            sides[i], Length::kMostSideNanometres, offer.total, billable, strides,
            [&](std::int64_t x, const Cuts::Billable& now, bool series) {
              return cuts.NextSide(x, a, b, rules.sides, factor, now, series);
            },
            [&](std::int64_t x) {
              return PointAt(state, candidate, weight, Sorted({x, a, b}));
            });
      }
    }
  }

  // How far `from` can grow at the same total. Between cuts that are no series, only prices by the step change, and
  // they only rise; so a whole such stretch keeps the total if its end does, and else the first change is found by
  // halving. `strides` is false where a dearer member of a group could take over from one that a percentage is of, or
  // strike something, and the total fall: then step by step.
  template <typename Q, typename Next, typename At>
  static std::optional<Q> Grow(std::int64_t from, std::int64_t most, Amount total, Cuts::Billable billable,
                               bool strides, Next next, At at_point) {
    std::int64_t at = from;
    while (true) {
      const std::int64_t end = next(at, billable, true);
      if (end >= most) return std::nullopt;
      Point point = at_point(end + 1);
      if (point.total != total) return Make<Q>(end - from);
      billable = point.billable;
      at = end + 1;
      if (!strides) continue;
      const std::int64_t stretch = std::min(next(at, billable, false), most);
      if (stretch <= at || next(at, billable, true) >= stretch) continue;
      point = at_point(stretch);
      if (point.total == total) {
        if (stretch >= most) return std::nullopt;
        billable = point.billable;
        at = stretch;
        continue;
      }
      std::int64_t same = at;
      std::int64_t differs = stretch;
      while (differs - same > 1) {
        const std::int64_t middle = same + (differs - same) / 2;
        (at_point(middle).total == total ? same : differs) = middle;
      }
      return Make<Q>(same - from);
    }
  }

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

  void FindSavers() {
    for (std::size_t c = 0; c < candidates_->size(); ++c) {
      const Candidate& candidate = (*candidates_)[c];
      // Services by total now; those refused now come last, as less weight may open them.
      std::vector<std::uint32_t> order;
      std::optional<At> at;
      std::optional<Amount> best;
      for (const Offer& offer : ranking_.offers_) {
        if (offer.candidate_index != c) continue;
        order.push_back(offer.service_index);
        if (!best || offer.total < *best) {
          best = offer.total;
          at = At{offer.weight.nanograms(),
                  {offer.sides.sides()[0].nanometres(), offer.sides.sides()[1].nanometres(),
                   offer.sides.sides()[2].nanometres()}};
        }
      }
      if (!best) continue;
      for (std::uint32_t s = 0; s < dispatch_.services().size(); ++s) {
        if (std::find(order.begin(), order.end(), s) != order.end()) continue;
        const Dispatch::ServiceState& state = dispatch_.services()[s];
        if (!state.out && Dispatch::PackagingAllowed(state.service(), dispatch_.CarrierOf(state), candidate.facts) &&
            !Dispatch::ForbiddenByAir(state.service(), *candidate.facts.contents)) {
          order.push_back(s);
        }
      }
      // Services that can be cheaper at less weight, and at this weight with shorter sides.
      auto could = [&](std::int64_t weight) {
        std::vector<std::uint32_t> some;
        for (const std::uint32_t s : order) {
          if (Floor(dispatch_.services()[s], candidate, weight) < *best) some.push_back(s);
        }
        return some;
      };
      std::vector<Saver> savers;
      const std::vector<std::uint32_t> lighter = could(0);
      const std::vector<std::uint32_t> smaller =
          candidate.sides_adjustable ? could(at->weight) : std::vector<std::uint32_t>();
      if (std::optional<Saver> saver = SaveWeight(candidate, lighter, *at, *best)) savers.push_back(*saver);
      if (candidate.sides_adjustable) {
        for (std::size_t i = 0; i < 3; ++i) {
          if (std::optional<Saver> saver = SaveSide(candidate, smaller, *at, *best, i)) savers.push_back(*saver);
        }
      }
      for (Offer& offer : ranking_.offers_) {
        if (offer.candidate_index != c) continue;
        offer.savers = savers;
        for (Saver& saver : offer.savers) saver.saves = offer.total - saver.total;
      }
    }
  }

  std::optional<Saver> SaveWeight(const Candidate& candidate, const std::vector<std::uint32_t>& order, const At& at,
                                  Amount best) const {
    const std::int64_t floor = candidate.weight_floor;
    auto total = [&](const Dispatch::ServiceState& state, std::int64_t weight) {
      return PointAt(state, candidate, weight, at.sides);
    };
    auto previous = [&](const Dispatch::ServiceState& state, std::int64_t weight, const Cuts::Billable& now) {
      return state.compiled->cuts.PreviousWeight(weight, state.service().measure.weight, now);
    };
    return Save<Aspect::kWeight>(order, at.weight, floor, request_->steps.weight, best, total, previous);
  }

  std::optional<Saver> SaveSide(const Candidate& candidate, const std::vector<std::uint32_t>& order, const At& at,
                                Amount best, std::size_t i) const {
    const ScaleStep<Length>& step = request_->steps.sides;
    const std::int64_t a = at.sides[(i + 1) % 3];
    const std::int64_t b = at.sides[(i + 2) % 3];
    auto total = [&](const Dispatch::ServiceState& state, std::int64_t side) {
      return PointAt(state, candidate, at.weight, Sorted({side, a, b}));
    };
    auto previous = [&](const Dispatch::ServiceState& state, std::int64_t side, const Cuts::Billable& now) {
      return state.compiled->cuts.PreviousSide(side, a, b, state.service().measure.sides, FactorOf(state, candidate),
                                               now);
    };
    std::int64_t floor = 0;
    if (!request_->parcel && candidate.packaging != nullptr) floor = at.sides[i] - SpareRoom(candidate, i) - 1;
    std::optional<Saver> saver;
    switch (i) {
      case 0:
        saver = Save<Aspect::kLength>(order, at.sides[i], floor, step, best, total, previous);
        break;
      case 1:
        saver = Save<Aspect::kWidth>(order, at.sides[i], floor, step, best, total, previous);
        break;
      default:
        saver = Save<Aspect::kHeight>(order, at.sides[i], floor, step, best, total, previous);
        break;
    }
    return saver;
  }

  // How much a carton's i-th longest side can lose so that the goods still go in (by halving: fitting is monotone).
  std::int64_t SpareRoom(const Candidate& candidate, std::size_t i) const {
    std::array<std::size_t, 3> by_size = {0, 1, 2};
    std::stable_sort(by_size.begin(), by_size.end(),
                     [&](std::size_t x, std::size_t y) { return candidate.most[x] > candidate.most[y]; });
    const std::size_t axis = by_size[i];
    const PilePacker pile;
    const Packer& packer = options_.packer != nullptr ? *options_.packer : pile;
    Packaging cut = *candidate.packaging;
    const std::int64_t inside = cut.inside[axis].nanometres();
    std::int64_t fits = 0;
    std::int64_t fails = inside;
    while (fails - fits > 1) {
      const std::int64_t middle = fits + (fails - fits) / 2;
      cut.inside[axis] = Length::Nanometres(inside - middle);
      (packer.Pack(units_most_, cut, padding_).fit == Fit::kFits ? fits : fails) = middle;
    }
    return fits;
  }

  // No total of the service in this packaging at `weight` or more (billable) is lower: the lowest base price that could
  // apply, less the deepest discount, with the surcharges that are certain; the others only add.
  Amount Floor(const Dispatch::ServiceState& state, const Candidate& candidate, std::int64_t weight) const {
    const CompiledService& compiled = *state.compiled;
    const std::int64_t billable = RoundToStep(weight, state.service().measure.weight);
    std::int64_t base = kMostMicros;
    for (const LaneRules::Rule& at : state.rules.prices) {
      const tarewise::Price& price = state.service().prices[at.index].price;
      if (const auto* flat = std::get_if<FlatPrice>(&price)) {
        base = std::min(base, flat->amount.micros());
      } else if (const auto* by_zone = std::get_if<ZonePrice>(&price)) {
        const std::int64_t amount = by_zone->by_zone[state.zone];
        if (amount != kNotOffered) base = std::min(base, amount);
      } else if (const auto* table = std::get_if<TablePrice>(&price)) {
        const std::uint16_t column = table->column_of_zone[state.zone];
        if (column == TablePrice::kNoColumn || table->rows() == 0) continue;
        std::size_t row = 0;
        if (table->by == Measure::kBillableWeight) {
          row = static_cast<std::size_t>(
              std::lower_bound(table->bounds.begin(), table->bounds.end(), MeasureValue(billable)) -
              table->bounds.begin());
          row = std::min(row, table->rows() - 1);
        }
        for (; row < table->rows(); ++row) {
          const std::int64_t amount = table->cell(row, column);
          if (amount != kNotOffered) base = std::min(base, amount);
        }
      } else if (const auto* steps = std::get_if<StepPrice>(&price)) {
        base = std::min(base, steps->first.micros());
      }
    }
    std::int64_t deepest = 0;
    for (const Discount* discount : compiled.base_discounts) {
      deepest = std::max(deepest, discount->percent.ten_thousandths());
    }
    const MoneyRounding& rounding = compiled.tariff->rounding;
    const Amount off = Percent::TenThousandths(deepest).Of(Amount::Micros(base), 1, RoundMode::kUp);
    // Surcharges that stand whatever the parcel (settled by the lane, in no group, struck by nothing, without
    // discount).
    std::int64_t certain = 0;
    for (const LaneRules::Rule& at : state.rules.surcharges) {
      const CompiledService::Rule& rule = compiled.surcharges[at.index];
      if (!at.settled || rule.group >= 0 || rule.struck || !rule.discounts.empty()) continue;
      std::int64_t amount = 0;
      if (const auto* flat = std::get_if<FlatPrice>(&rule.rule->price)) amount = flat->amount.micros();
      if (const auto* by_zone = std::get_if<ZonePrice>(&rule.rule->price)) amount = by_zone->by_zone[state.zone];
      if (amount > rounding.line) certain += amount - rounding.line;
    }
    // Roundings of line, discount and total can each take less than a step.
    const std::int64_t lowest =
        std::max<std::int64_t>(0, base - off.micros() - 2 * rounding.line - rounding.total + certain);
    return Converted(state, Amount::Micros(lowest), candidate).value_or(Amount::Micros(kMostMicros));
  }

  // The fewest whole steps off `from`, staying above `floor`, for a best total below `best`.
  template <Aspect kOf, typename Q, typename Total, typename Previous>
  std::optional<Saver> Save(const std::vector<std::uint32_t>& order, std::int64_t from, std::int64_t floor,
                            const ScaleStep<Q>& step, Amount best, Total total, Previous previous) const {
    auto taken = [&step](std::int64_t steps) {
      if constexpr (kOf == Aspect::kWeight) {
        return step.Times(steps).nanograms();
      } else {
        return step.Times(steps).nanometres();
      }
    };
    // The most steps that stay above the floor.
    const std::int64_t most_steps = step.Reaching(from - floor) - 1;
    std::int64_t fewest = most_steps + 1;
    for (const std::uint32_t s : order) {
      const Dispatch::ServiceState& state = dispatch_.services()[s];
      std::int64_t at = from;
      Cuts::Billable billable = total(state, at).billable;
      for (int visits = 0; visits < kMostVisits; ++visits) {
        const std::int64_t cut = previous(state, at, billable);
        if (cut < 0) break;
        const std::int64_t steps = step.Reaching(from - cut);
        if (steps >= fewest) break;
        at = from - taken(steps);
        const Point here = total(state, at);
        billable = here.billable;
        if (here.total && *here.total < best) {
          fewest = steps;
          break;
        }
      }
    }
    if (fewest > most_steps) return std::nullopt;
    Saver saver;
    saver.of = kOf;
    if constexpr (kOf == Aspect::kWeight) {
      saver.weight = step.Times(fewest);
    } else {
      saver.length = step.Times(fewest);
    }
    std::optional<Amount> lowest;
    for (const std::uint32_t s : order) {
      const std::optional<Amount> here = total(dispatch_.services()[s], from - taken(fewest)).total;
      if (here && (!lowest || *here < *lowest)) lowest = here;
    }
    saver.total = *lowest;
    return saver;
  }

  // ---- ranges: where the winner changes ----

  // One service in one packaging along a range: its answer at `t` above the range's least, which holds up to `until`.
  struct Way {
    const Candidate* candidate;
    const Dispatch::ServiceState* state;
    std::int64_t until = -1;
    std::optional<Amount> total;
  };

  void FindChanges() {
    const bool weight_ranges = std::any_of(candidates_->begin(), candidates_->end(), [](const Candidate& candidate) {
      return candidate.weight_most != candidate.facts.weight;
    });
    if (weight_ranges) FindChangesOf(Aspect::kWeight, 0);
    if (!ranging_sides_) return;
    // A side's range is told along that side alone, for one unit or a sealed parcel: a pile has no one side to name.
    if (!request_->parcel && units_.size() != 1) return;
    for (std::size_t i = 0; i < 3; ++i) {
      const bool ranges = request_->parcel ? (*candidates_)[0].least[i] != (*candidates_)[0].most[i]
                                           : units_[0].sides[i] != units_most_[0].sides[i];
      if (ranges) FindChangesOf(Aspect::kLength, i);
    }
  }

  void FindChangesOf(Aspect of, std::size_t axis) {
    std::vector<Way> ways;
    for (const Candidate& candidate : *candidates_) {
      for (const Dispatch::ServiceState& state : dispatch_.services()) {
        if (state.out || !Dispatch::PackagingAllowed(state.service(), dispatch_.CarrierOf(state), candidate.facts) ||
            Dispatch::ForbiddenByAir(state.service(), *candidate.facts.contents)) {
          continue;
        }
        ways.push_back({&candidate, &state, -1, std::nullopt});
      }
    }
    const bool by_weight = of == Aspect::kWeight;
    std::int64_t span = 0;
    if (by_weight) {
      for (const Candidate& candidate : *candidates_) {
        span = std::max(span, candidate.weight_most - candidate.facts.weight);
      }
    } else if (request_->parcel) {
      span = (*candidates_)[0].most[axis] - (*candidates_)[0].least[axis];
    } else {
      span = units_most_[0].sides[axis] - units_[0].sides[axis];
    }
    const Way* winner = nullptr;
    for (std::int64_t t = 0; t <= span;) {
      std::int64_t end = span;
      const Way* best = nullptr;
      for (Way& way : ways) {
        if (t > way.until) Answer(way, by_weight, axis, span, t);
        end = std::min(end, way.until);
        if (!way.total) continue;
        if (best == nullptr || *way.total < *best->total ||
            (*way.total == *best->total && Before(*way.state, *way.candidate, *best->state, *best->candidate))) {
          best = &way;
        }
      }
      if (t > 0 && best != winner) {
        WinnerChange change;
        change.of = by_weight ? Aspect::kWeight : static_cast<Aspect>(axis + 1);
        const std::int64_t base = by_weight
                                      ? (ranking_.estimate_ ? (*candidates_)[0].facts.weight : goods_weight_)
                                      : (request_->parcel ? (*candidates_)[0].least[axis] : units_[0].sides[axis]);
        if (by_weight) {
          change.above_weight = Weight::Nanograms(base + t - 1);
        } else {
          change.above_length = Length::Nanometres(base + t - 1);
        }
        if (best != nullptr) {
          change.carrier = dispatch_.CarrierOf(*best->state).edition->tariff->carrier;
          change.service = best->state->service().code;
          change.packaging = best->candidate->facts.packaging;
          change.total = *best->total;
        }
        ranking_.changes_.push_back(change);
      }
      winner = best;
      t = end + 1;
    }
  }

  // The total of a way at `t`, and up to which t it holds.
  void Answer(Way& way, bool by_weight, std::size_t axis, std::int64_t span, std::int64_t t) const {
    const Candidate& candidate = *way.candidate;
    const Service& service = way.state->service();
    const Cuts& cuts = way.state->compiled->cuts;
    way.until = span;
    if (by_weight) {
      const std::int64_t weight = std::min(candidate.facts.weight + t, candidate.weight_most);
      way.total = TotalAt(*way.state, candidate, weight, Sorted(candidate.most));
      const std::int64_t end = cuts.NextWeight(weight, service.measure.weight);
      if (end < candidate.weight_most) way.until = end - candidate.facts.weight;
      return;
    }
    std::array<std::int64_t, 3> sides = candidate.most;
    // The parcel's side that grows with the goods' one; none in a carton, or where another turning takes over.
    std::size_t grows = 3;
    for (std::size_t i = 0; i < 3; ++i) {
      if (candidate.most[i] - candidate.least[i] == span && (grows == 3 || i == axis)) grows = i;
    }
    if (grows < 3) {
      sides[grows] = candidate.least[grows] + t;
      const std::int64_t end = cuts.NextSide(sides[grows], sides[(grows + 1) % 3], sides[(grows + 2) % 3],
                                             service.measure.sides, FactorOf(*way.state, candidate));
      if (end < candidate.most[grows]) way.until = end - candidate.least[grows];
    }
    way.total = TotalAt(*way.state, candidate, candidate.weight_most, Sorted(sides));
  }

  std::int64_t HeaviestGross() const {
    std::int64_t heaviest = 0;
    for (const Candidate& candidate : *candidates_) heaviest = std::max(heaviest, candidate.weight_most);
    return heaviest == 0 ? goods_weight_most_ : heaviest;
  }

  const Dispatch& dispatch_;
  RankOptions options_;
  std::shared_ptr<std::vector<Candidate>> candidates_;
  std::shared_ptr<Kept> kept_;
  const Request* request_ = nullptr;
  Ranking ranking_;
  std::vector<ShipmentFacts> shipments_;
  Amount value_;
  std::vector<PackUnit> units_;
  std::vector<PackUnit> units_most_;
  bool ranging_sides_ = false;
  std::int64_t goods_weight_ = 0;
  std::int64_t goods_weight_most_ = 0;
  Shape goods_shape_ = Shape::kBox;
  bool rigid_ = false;
  std::int64_t padding_ = 0;
};

/// Ranks every way to send what the request asks about, best first (cheapest, or by the total at risk), with every
/// refusal and its reasons. `shelf` may be nothing: then goods are estimated before they are packed. Safe from any
/// thread.
///
/// Errors: InvalidArgument for goods, ranges, steps or extras out of range, for a packaging, a promise or a currency
/// that cannot be told; see `Dispatch::Create`. "Nothing can be offered" is an answer, not an error. Cost: about the
/// number of packagings that fit times the services; see bench/.
inline absl::StatusOr<Ranking> Rank(std::shared_ptr<const Ratebook> book, std::shared_ptr<const Shelf> shelf,
                                    Request request, const RankOptions& options = {}) {
  absl::StatusOr<Dispatch> dispatch = Dispatch::Create(std::move(book), Ranker::TermsOf(request, shelf.get()));
  if (!dispatch.ok()) return dispatch.status();
  return Ranker::Run(std::make_shared<const Dispatch>(*std::move(dispatch)), std::move(shelf), std::move(request),
                     options);
}

/// The same with a dispatch made before: its lane, date, promise, extras, cover and currency stand in place of the
/// request's.
inline absl::StatusOr<Ranking> Rank(std::shared_ptr<const Dispatch> dispatch, std::shared_ptr<const Shelf> shelf,
                                    Request request, const RankOptions& options = {}) {
  if (dispatch == nullptr) return detail::Invalid("found no dispatch, expected one");
  return Ranker::Run(std::move(dispatch), std::move(shelf), std::move(request), options);
}

}  // namespace tarewise

#endif  // TAREWISE_RANKING_RANK_H_
