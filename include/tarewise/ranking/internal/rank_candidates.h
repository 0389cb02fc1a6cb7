#ifndef TAREWISE_RANKING_INTERNAL_RANK_CANDIDATES_H_
#define TAREWISE_RANKING_INTERNAL_RANK_CANDIDATES_H_

// What can be packed: the checks of a request, and each packaging with the goods in it. Bodies of `Ranker`, declared in
// rank.h.

#include "tarewise/ranking/internal/at_hand.h"
#include "tarewise/ranking/internal/ranker.h"

namespace tarewise::internal {

inline absl::Status Ranker::CheckGoods() {
  const Request& request = *request_;
  if (absl::Status status = CheckSent(request); !status.ok()) return status;
  if (request.parcel) {
    value_ = request.parcel->value;
    kept_->contents = request.parcel->contents;
    kept_->items.push_back(&request.parcel->contents);
    return absl::OkStatus();
  }
  for (const Item& item : request.goods) {
    value_ = value_ + Amount::Micros(item.value.micros() * item.quantity);
    kept_->contents.AddAll(item.contents);
    kept_->items.push_back(&item.contents);
  }
  return absl::OkStatus();
}

inline absl::Status Ranker::MakeCandidates() {
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
  goods_weight_ = weight;
  goods_weight_most_ = weight_most;
  if (absl::Status status = MakeRanges(); !status.ok()) return status;
  goods_shape_ = alike ? request_->goods.front().shape : Shape::kIrregular;
  rigid_ = rigid;
  padding_ = request_->padding ? request_->padding->nanometres()
                               : (kept_->contents.Has(Trait::kFragile) ? Length::Inches(1).nanometres() : 0);
  if (kept_->shelf == nullptr) return MakeEstimate();
  const Shelf& shelf = *kept_->shelf;
  for (const Shelf::Own& own : shelf.own) {
    if (absl::Status status = TryPackaging(own.packaging, own.on_hand, nullptr, bare); !status.ok()) return status;
  }
  for (const Shelf::Issued& issued : shelf.issued) {
    const Packaging* packaging = nullptr;
    const CarrierState* by = nullptr;
    for (const CarrierState& carrier : dispatch_.carriers()) {
      if (carrier.edition->tariff->carrier != issued.carrier) continue;
      packaging = Ratebook::FindPackaging(*carrier.edition->tariff, issued.code);
      by = &carrier;
    }
    if (packaging == nullptr) {
      RefusePackaging(
          issued.code, Reason::kNotInForce,
          "no tariff of " + issued.carrier + " in force on " + dispatch_.shipment().date.ToString() + " has it");
      continue;
    }
    if (absl::Status status = TryPackaging(*packaging, issued.on_hand, by, bare); !status.ok()) return status;
  }
  return absl::OkStatus();
}

inline absl::Status Ranker::MakeRanges() {
  for (std::size_t i = 0; i < request_->goods.size(); ++i) {
    const Item& item = request_->goods[i];
    for (const SideRange& range : item.side_ranges) {
      const std::int64_t least = item.sides[range.index].nanometres();
      if (range.most.nanometres() > least) ranging_.push_back({i, range.index, least, range.most.nanometres()});
    }
  }
  if (goods_weight_most_ == goods_weight_ && ranging_.empty()) return absl::OkStatus();
  goods_weights_ = WeightSet::Between(goods_weight_, goods_weight_);
  if (request_->parcel) goods_weights_ = WeightSet::Between(goods_weight_, goods_weight_most_);
  for (const Item& item : request_->goods) {
    const std::int64_t span = item.weight_most.value_or(item.weight).nanograms() - item.weight.nanograms();
    if (!goods_weights_->Add(item.quantity, span)) {
      return Bad("the ranges of several weights together are too wide to be priced exactly; narrow them or give one");
    }
  }
  return absl::OkStatus();
}

inline std::array<std::int64_t, 3> Ranker::SidesOf(const Candidate& candidate,
                                                   const PieceVisitor::Values& values) const {
  PilePacker::Pile pile;
  std::size_t next = 0;
  const bool one = units_.size() == 1;
  for (std::size_t i = 0; i < request_->goods.size(); ++i) {
    const Item& item = request_->goods[i];
    PackUnit unit;
    for (std::size_t s = 0; s < 3; ++s) unit.sides[s] = item.sides[s].nanometres();
    for (; next < ranging_.size() && ranging_[next].item == i; ++next) unit.sides[ranging_[next].side] = values[next];
    unit.this_side_up = item.this_side_up;
    if (one) {
      pile.sides = unit.sides;
      pile.this_side_up = unit.this_side_up;
    } else {
      PilePacker::AddTo(pile, unit, item.quantity);
    }
  }
  if (candidate.packaging != nullptr) return PilePacker::Pack(pile, *candidate.packaging, padding_).outside;
  for (std::int64_t& side : pile.sides) side += Length::Inches(1).nanometres();
  return pile.sides;
}

inline absl::Status Ranker::TryPackaging(const Packaging& packaging, std::optional<std::int64_t> on_hand,
                                         const CarrierState* issued_by, bool bare_allowed) {
  const PilePacker pile;
  const Packer& packer = options_.packer != nullptr ? *options_.packer : pile;
  const bool allowed = packaging.kind != PackagingKind::kBare || bare_allowed;
  Packing packing;
  if (allowed) {
    packing = packer.Pack(units_most_, packaging, padding_);
  } else {
    packing.fit = Fit::kDoesNotFit;
    packing.why = "the goods may not be shipped bare";
  }
  const bool in_stock = !on_hand || *on_hand > 0;
  // A carton and a tube keep their own sides.
  const bool grows =
      !ranging_.empty() && packaging.kind != PackagingKind::kCarton && packaging.kind != PackagingKind::kTube;
  if (grows && allowed && options_.packer != nullptr) {
    return Bad("found sides that range and a packer of one's own, expected one of the two: only the pile is walked");
  }
  Candidate candidate;
  CommonFacts(candidate, rigid_);
  const bool bare = packaging.kind == PackagingKind::kBare;
  const std::int64_t around = bare ? 0 : packaging.tare.nanograms() + request_->fill_weight.nanograms();
  candidate.facts.weight = goods_weight_ + around;
  candidate.weight_most = goods_weight_most_ + around;
  candidate.weight_floor = around;
  candidate.facts.shape = ShapeIn(packaging.kind, goods_shape_);
  candidate.facts.kind = packaging.kind;
  candidate.facts.packaging = packaging.code;
  candidate.packaging = &packaging;
  candidate.sides_adjustable = issued_by == nullptr && packaging.kind == PackagingKind::kCarton;
  SetCost(candidate, packaging, issued_by);
  if (packing.fit != Fit::kFits || !in_stock) {
    if (allowed && in_stock && !ranging_.empty() && units_.size() == 1 &&
        packer.Pack(units_, packaging, padding_).fit == Fit::kFits) {
      candidate.follows_goods = true;
      partly_.push_back(candidate);
    }
    Refusal refusal;
    refusal.packaging = packaging.code;
    if (packing.fit != Fit::kFits) {
      refusal.reasons.push_back({Reason::kDoesNotFit, nullptr,
                                 packing.fit == Fit::kUnknown ? "whether the goods fit is not known" : packing.why});
    }
    if (!in_stock) refusal.reasons.push_back({Reason::kOutOfStock, nullptr, "none is on hand"});
    ranking_.refusals_.push_back(std::move(refusal));
    return absl::OkStatus();
  }
  candidate.most = packing.outside;
  candidate.least = grows ? packer.Pack(units_, packaging, padding_).outside : packing.outside;
  candidate.follows_goods =
      candidate.least != candidate.most && (units_.size() > 1 || packaging.kind == PackagingKind::kEnvelope);
  return AddCandidate(candidate);
}

inline void Ranker::SetCost(Candidate& candidate, const Packaging& packaging, const CarrierState* issued_by) const {
  if (issued_by != nullptr) {
    candidate.facts.issued_by = issued_by->edition->tariff->carrier;
    candidate.issued_cost = packaging.cost;
    return;
  }
  const OwnCost own = OwnCostOf(packaging, kept_->shelf ? kept_->shelf->currency : std::nullopt, dispatch_);
  candidate.own_cost = own.cost;
  candidate.cost_known = own.known;
  candidate.cost_currency = own.currency;
}

inline absl::Status Ranker::AddCandidate(Candidate candidate) {
  candidate.facts.sides = Sorted(candidate.least);
  for (const std::int64_t side : Sorted(candidate.most)) {
    if (absl::Status status = CheckSide(Length::Nanometres(side)); !status.ok()) {
      return Bad("the packed parcel: " + std::string(status.message()));
    }
  }
  if (candidate.weight_most > Weight::kMostNanograms) return Bad("the packed parcel is heavier than 100000 kg");
  candidates_->push_back(candidate);
  return absl::OkStatus();
}

inline absl::Status Ranker::MakeEstimate() {
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
  // The allowance stands for packaging and fill. Goods are ranked at its most; its least is priced beside that.
  candidate.follows_goods = units_.size() > 1 && candidate.least != candidate.most;
  candidate.facts.weight = goods_weight_ + AllowanceFor(goods_weight_);
  candidate.weight_most = goods_weight_most_ + AllowanceFor(goods_weight_most_);
  candidate.weight_floor = AllowanceFor(goods_weight_);
  candidate.facts.shape = goods_shape_;
  candidate.facts.kind = KindOf(goods_shape_);
  candidate.facts.packaging = "estimate";
  return AddCandidate(candidate);
}

inline absl::Status Ranker::MakeSealed() {
  const Parcel& parcel = *request_->parcel;
  Candidate candidate;
  CommonFacts(candidate, parcel.rigid);
  for (std::size_t i = 0; i < 3; ++i) candidate.least[i] = parcel.sides.sides()[i].nanometres();
  candidate.most = candidate.least;
  for (const SideRange& range : parcel.side_ranges) {
    candidate.most[range.index] = range.most.nanometres();
    const std::int64_t least = candidate.least[range.index];
    if (range.most.nanometres() > least) ranging_.push_back({0, range.index, least, range.most.nanometres()});
  }
  candidate.facts.weight = parcel.weight.nanograms();
  candidate.weight_most = parcel.weight_most.value_or(parcel.weight).nanograms();
  goods_weight_ = candidate.facts.weight;
  goods_weight_most_ = candidate.weight_most;
  if (absl::Status status = MakeRanges(); !status.ok()) return status;
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
    const CarrierState* by = nullptr;
    for (const CarrierState& carrier : dispatch_.carriers()) {
      const Packaging* found = Ratebook::FindPackaging(*carrier.edition->tariff, parcel.packaging);
      if (found == nullptr) continue;
      if (issued != nullptr) {
        return InvalidAt("parcel/packaging", "found " + Quoted(parcel.packaging) +
                                                 ", which several carriers issue, expected a code of one");
      }
      issued = found;
      by = &carrier;
    }
    const Packaging* packaging = own != nullptr ? own : issued;
    if (packaging == nullptr) {
      return InvalidAt("parcel/packaging", "found " + Quoted(parcel.packaging) +
                                               ", expected the code of a packaging on the shelf or of a carrier");
    }
    candidate.facts.packaging = packaging->code;
    candidate.facts.kind = packaging->kind;
    candidate.packaging = packaging;
    candidate.sides_adjustable = own != nullptr;
    SetCost(candidate, *packaging, own != nullptr ? nullptr : by);
  }
  return AddCandidate(candidate);
}

}  // namespace tarewise::internal

#endif  // TAREWISE_RANKING_INTERNAL_RANK_CANDIDATES_H_
