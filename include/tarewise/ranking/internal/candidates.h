#ifndef TAREWISE_RANKING_INTERNAL_CANDIDATES_H_
#define TAREWISE_RANKING_INTERNAL_CANDIDATES_H_

#include <array>
#include <cstddef>
#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "tarewise/parcel/packaging.h"
#include "tarewise/ranking/internal/at_hand.h"
#include "tarewise/ranking/internal/dispatch_state.h"
#include "tarewise/ranking/internal/goods_fit.h"
#include "tarewise/ranking/internal/parcel_box.h"
#include "tarewise/ranking/internal/request_goods.h"
#include "tarewise/ranking/ranking.h"
#include "tarewise/units/internal/quantity_text.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// A candidate, with what only the working out of a ranking asks about.
struct WorkingCandidate : tarewise::Candidate {
  bool estimated = false;         ///< Not packed yet: an allowance stands for the packaging.
  bool follows_goods = false;     ///< Not every parcel between `least` and `most` can be: see `GoodsRange::SidesOf`.
  std::int64_t weight_floor = 0;  ///< Gross weight that no taking out may reach: tare and fill.
  Currency cost_currency;         ///< Of a cost that is not known: the currency that has no rate.
};

/// Every parcel that the goods make, and what they do not go into.
struct Candidates {
  std::vector<WorkingCandidate> all;
  std::vector<WorkingCandidate> partly;  ///< That hold the least of a range of sides but not its most.
  std::vector<Refusal> refusals;

  /// True where the next candidate is the same carton, cut down: of each service the better of the two counts.
  bool IsCutDownNext(std::size_t candidate) const {
    return candidate + 1 < all.size() && all[candidate + 1].cut_to.has_value();
  }

  bool estimate() const { return !all.empty() && all.front().estimated; }
};

/// Finds them; see `FindCandidates`.
class CandidateFinder {
 public:
  CandidateFinder(const RequestGoods& goods, const GoodsFit& fit, const Shelf* shelf, const DispatchState& dispatch)
      : goods_(goods), request_(goods.request()), fit_(fit), shelf_(shelf), dispatch_(dispatch) {}

  absl::StatusOr<Candidates> Find() && {
    absl::Status status =
        goods_.sealed() ? AddSealed(*request_.parcel) : (shelf_ == nullptr ? AddEstimate() : TryShelf());
    if (!status.ok()) return status;
    return std::move(out_);
  }

  /// The goods in one packaging, all but the parcel's sides.
  WorkingCandidate In(const AtHand& at_hand) const;
  /// Adds the parcel that they make where they fit as `packing` says, whole and cut down. Errors: as `Find`.
  absl::Status AddPacked(const AtHand& at_hand, Packing packing);
  /// What was added so far.
  Candidates Take() && { return std::move(out_); }

 private:
  WorkingCandidate Unpacked(bool rigid) const;
  absl::Status Add(WorkingCandidate candidate);
  absl::Status AddCut(WorkingCandidate candidate, std::int64_t height);
  void Refuse(std::string_view packaging, std::vector<RefusalReason> reasons);

  absl::Status AddSealed(const Parcel& parcel);
  absl::StatusOr<AtHand> FindByCode(const std::string& code) const;
  absl::Status AddEstimate();
  absl::Status TryShelf();
  absl::Status Try(const AtHand& at_hand, std::optional<std::int64_t> on_hand);
  bool Grows(const Packaging& packaging) const;
  void SetCost(WorkingCandidate& candidate, const AtHand& at_hand) const;

  const RequestGoods& goods_;
  const Request& request_;
  const GoodsFit& fit_;
  const Shelf* shelf_;
  const DispatchState& dispatch_;
  Candidates out_;
};

/// What the goods go into: the sealed parcel as it is, an estimate where there is no shelf, or each packaging of the
/// shelf that holds them. Errors: InvalidArgument where a packed parcel is greater than any may be, a sealed parcel's
/// packaging cannot be told, or sides range and a packer cannot be walked.
inline absl::StatusOr<Candidates> FindCandidates(const RequestGoods& goods, const GoodsFit& fit, const Shelf* shelf,
                                                 const DispatchState& dispatch) {
  return CandidateFinder(goods, fit, shelf, dispatch).Find();
}

inline WorkingCandidate CandidateFinder::Unpacked(bool rigid) const {
  WorkingCandidate candidate;
  candidate.facts.contents = &goods_.contents()->contents;
  candidate.facts.items = goods_.contents()->items;
  candidate.facts.rigid = rigid;
  return candidate;
}

inline absl::Status CandidateFinder::Add(WorkingCandidate candidate) {
  candidate.facts.sides = Sorted(candidate.least);
  for (const std::int64_t side : Sorted(candidate.most)) {
    if (absl::Status status = CheckSide(Length::Nanometres(side)); !status.ok()) {
      return Invalid("the packed parcel: " + std::string(status.message()));
    }
  }
  if (candidate.weight_most > Weight::kMostNanograms) return Invalid("the packed parcel is heavier than 100000 kg");
  out_.all.push_back(std::move(candidate));
  return absl::OkStatus();
}

// The carton as it is, and then cut down.
inline absl::Status CandidateFinder::AddCut(WorkingCandidate candidate, std::int64_t height) {
  WorkingCandidate cut = candidate;
  cut.cut_to = Length::Nanometres(height);
  cut.least[2] = cut.most[2] = height;
  if (absl::Status status = Add(std::move(candidate)); !status.ok()) return status;
  return Add(std::move(cut));
}

inline void CandidateFinder::Refuse(std::string_view packaging, std::vector<RefusalReason> reasons) {
  Refusal& refusal = out_.refusals.emplace_back();
  refusal.packaging = packaging;
  refusal.reasons = std::move(reasons);
}

// ---- goods that are packed already, and goods that are not yet ----

inline absl::Status CandidateFinder::AddSealed(const Parcel& parcel) {
  WorkingCandidate candidate = Unpacked(goods_.rigid());
  for (std::size_t i = 0; i < 3; ++i) candidate.least[i] = parcel.sides.sides()[i].nanometres();
  candidate.most = candidate.least;
  for (const SideRange& range : parcel.side_ranges) candidate.most[range.index] = range.most.nanometres();
  candidate.facts.weight = goods_.weight();
  candidate.weight_most = goods_.weight_most();
  candidate.facts.shape = goods_.shape();
  candidate.facts.kind = KindOf(goods_.shape());
  candidate.sides_adjustable = true;
  if (!parcel.packaging.empty()) {
    const absl::StatusOr<AtHand> at_hand = FindByCode(parcel.packaging);
    if (!at_hand.ok()) return at_hand.status();
    candidate.facts.packaging = at_hand->packaging->code;
    candidate.facts.kind = at_hand->packaging->kind;
    candidate.packaging = at_hand->packaging;
    candidate.sides_adjustable = at_hand->issued_by == nullptr;
    SetCost(candidate, *at_hand);
  }
  return Add(candidate);
}

// On the shelf first, then among the carriers'.
inline absl::StatusOr<AtHand> CandidateFinder::FindByCode(const std::string& code) const {
  const Packaging* own = nullptr;
  if (shelf_ != nullptr) {
    for (const Shelf::Own& entry : shelf_->own) {
      if (entry.packaging.code == code) own = &entry.packaging;
    }
  }
  AtHand issued;
  for (const CarrierState& carrier : dispatch_.carriers()) {
    const Packaging* found = Ratebook::FindPackaging(*carrier.edition->tariff, code);
    if (found == nullptr) continue;
    if (issued.packaging != nullptr) {
      return InvalidAt("parcel/packaging",
                       "found " + Quoted(code) + ", which several carriers issue, expected a code of one");
    }
    issued = {found, &carrier};
  }
  if (own != nullptr) return AtHand{own, nullptr};
  if (issued.packaging != nullptr) return issued;
  return InvalidAt("parcel/packaging",
                   "found " + Quoted(code) + ", expected the code of a packaging on the shelf or of a carrier");
}

inline absl::Status CandidateFinder::AddEstimate() {
  const PilePacker::Pile pile = PilePacker::MakePileAtRest(goods_.units());
  const PilePacker::Pile pile_most = PilePacker::MakePileAtRest(goods_.units_most());
  WorkingCandidate candidate = Unpacked(goods_.rigid());
  candidate.estimated = true;
  const std::int64_t inch = Length::Inches(1).nanometres();
  for (std::size_t i = 0; i < 3; ++i) {
    candidate.least[i] = pile.sides[i] + inch;
    candidate.most[i] = pile_most.sides[i] + inch;
  }
  // The allowance stands for packaging and fill. Goods are ranked at its most; its least is priced beside that.
  candidate.follows_goods = goods_.units().size() > 1 && candidate.least != candidate.most;
  const Weight allowance = request_.allowance.most;
  candidate.facts.weight = goods_.weight() + AllowanceOf(goods_.weight(), allowance);
  candidate.weight_most = goods_.weight_most() + AllowanceOf(goods_.weight_most(), allowance);
  candidate.weight_floor = AllowanceOf(goods_.weight(), allowance);
  candidate.facts.shape = goods_.shape();
  candidate.facts.kind = KindOf(goods_.shape());
  candidate.facts.packaging = "estimate";
  return Add(candidate);
}

// ---- goods and a shelf ----

inline absl::Status CandidateFinder::TryShelf() {
  for (const Shelf::Own& own : shelf_->own) {
    if (absl::Status status = Try({&own.packaging, nullptr}, own.on_hand); !status.ok()) return status;
  }
  for (const Shelf::Issued& issued : shelf_->issued) {
    const AtHand at_hand = FindIssued(issued, dispatch_);
    if (at_hand.packaging == nullptr) {
      Refuse(issued.code,
             {{Reason::kNotInForce, nullptr,
               "no tariff of " + issued.carrier + " in force on " + dispatch_.shipment().date.ToString() + " has it"}});
      continue;
    }
    if (absl::Status status = Try(at_hand, issued.on_hand); !status.ok()) return status;
  }
  return absl::OkStatus();
}

inline absl::Status CandidateFinder::Try(const AtHand& at_hand, std::optional<std::int64_t> on_hand) {
  const Packaging& packaging = *at_hand.packaging;
  const bool allowed = packaging.kind != PackagingKind::kBare || goods_.bare_allowed();
  Packing packing;
  if (allowed) {
    packing = fit_.AtMost(packaging);
  } else {
    packing.fit = Fit::kDoesNotFit;
    packing.why = "the goods may not be shipped bare";
  }
  const bool ranging = !goods_.ranging().empty();
  const bool one_unit = goods_.units().size() == 1;
  if (Grows(packaging) && allowed && !fit_.walks()) {
    return Invalid(
        "found sides that range and a packer of one's own, expected one of the two: only the library's own is walked");
  }
  const bool in_stock = !on_hand || *on_hand > 0;
  if (packing.fit == Fit::kFits && in_stock) return AddPacked(at_hand, std::move(packing));
  if (allowed && in_stock && ranging && one_unit && fit_.AtLeast(packaging).fit == Fit::kFits) {
    WorkingCandidate candidate = In(at_hand);
    candidate.follows_goods = true;
    out_.partly.push_back(std::move(candidate));
  }
  std::vector<RefusalReason> reasons;
  if (packing.fit != Fit::kFits) {
    reasons.push_back({Reason::kDoesNotFit, nullptr,
                       packing.fit == Fit::kUnknown ? "whether the goods fit is not known" : packing.why});
  }
  if (!in_stock) reasons.push_back({Reason::kOutOfStock, nullptr, "none is on hand"});
  Refuse(packaging.code, std::move(reasons));
  return absl::OkStatus();
}

// A carton and a tube keep their own sides, and several units make a parcel of their sides at their most.
inline bool CandidateFinder::Grows(const Packaging& packaging) const {
  if (goods_.ranging().empty()) return false;
  const bool takes_their_sides = packaging.kind == PackagingKind::kMailer || packaging.kind == PackagingKind::kEnvelope;
  return packaging.kind == PackagingKind::kBare || (goods_.units().size() == 1 && takes_their_sides);
}

inline absl::Status CandidateFinder::AddPacked(const AtHand& at_hand, Packing packing) {
  const Packaging& packaging = *at_hand.packaging;
  const bool one_unit = goods_.units().size() == 1;
  WorkingCandidate candidate = In(at_hand);
  candidate.most = packing.outside;
  candidate.least = Grows(packaging) ? fit_.AtLeast(packaging).outside : packing.outside;
  candidate.pillow = packaging.kind == PackagingKind::kMailer && goods_.all_soft();
  candidate.follows_goods =
      candidate.least != candidate.most && (!one_unit || packaging.kind == PackagingKind::kEnvelope);
  if (!one_unit && packaging.kind != PackagingKind::kBare && !packing.placements.empty()) {
    candidate.arrangement = std::make_shared<const std::vector<Placement>>(std::move(packing.placements));
    if (packaging.kind != PackagingKind::kCarton) {
      for (std::size_t i = 0; i < 3; ++i) candidate.box[i] = Length::Nanometres(packing.room[i]);
    }
  }
  return packing.cut_height ? AddCut(std::move(candidate), *packing.cut_height) : Add(std::move(candidate));
}

inline WorkingCandidate CandidateFinder::In(const AtHand& at_hand) const {
  const Packaging& packaging = *at_hand.packaging;
  WorkingCandidate candidate = Unpacked(goods_.rigid());
  const bool bare = packaging.kind == PackagingKind::kBare;
  const std::int64_t around = bare ? 0 : packaging.tare.nanograms() + request_.fill_weight.nanograms();
  candidate.facts.weight = goods_.weight() + around;
  candidate.weight_most = goods_.weight_most() + around;
  candidate.weight_floor = around;
  candidate.facts.shape = ShapeIn(packaging.kind, goods_.shape());
  candidate.facts.kind = packaging.kind;
  candidate.facts.packaging = packaging.code;
  candidate.packaging = &packaging;
  candidate.sides_adjustable = at_hand.issued_by == nullptr && packaging.kind == PackagingKind::kCarton;
  SetCost(candidate, at_hand);
  return candidate;
}

inline void CandidateFinder::SetCost(WorkingCandidate& candidate, const AtHand& at_hand) const {
  const Packaging& packaging = *at_hand.packaging;
  if (at_hand.issued_by != nullptr) {
    candidate.facts.issued_by = at_hand.issued_by->edition->tariff->carrier;
    candidate.issued_cost = packaging.cost;
    return;
  }
  const OwnCost own = OwnCostOf(packaging, shelf_ != nullptr ? shelf_->currency : std::nullopt, dispatch_);
  candidate.own_cost = own.cost;
  candidate.cost_known = own.known;
  candidate.cost_currency = own.currency;
}

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_RANKING_INTERNAL_CANDIDATES_H_
