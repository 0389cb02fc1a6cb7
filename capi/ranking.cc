#include <algorithm>
#include <cstdint>
#include <deque>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "handles.h"
#include "ranking_handle.h"
#include "tarewise/documents/load.h"
#include "tarewise/documents/ranking_json.h"
#include "tarewise/ranking/growth.h"
#include "tarewise/ranking/packing_steps.h"
#include "tarewise/ranking/rank.h"
#include "tarewise/ranking/totals.h"
#include "tarewise/units/placed_error.h"

namespace tarewise::capi {
namespace {

// The library's numbers are those that the header pins.
static_assert(static_cast<int>(Basis::Kind::kDiscount) == TW_BASIS_DISCOUNT);
static_assert(static_cast<int>(Basis::Kind::kClasses) == TW_BASIS_CLASSES);
static_assert(static_cast<int>(Basis::Kind::kRate) == TW_BASIS_RATE);
static_assert(static_cast<int>(Basis::Kind::kTax) == TW_BASIS_TAX);
static_assert(static_cast<int>(Reason::kNotWanted) == TW_REASON_NOT_WANTED);
static_assert(static_cast<int>(Reason::kDeliveredElsewhere) == TW_REASON_DELIVERED_ELSEWHERE);
static_assert(static_cast<int>(RankingJson::Refusals::kGrouped) == TW_REFUSALS_GROUPED);
static_assert(static_cast<int>(RankingJson::Refusals::kNone) == TW_REFUSALS_NONE);
static_assert(static_cast<int>(Reason::kExtrasDisagree) == TW_REASON_EXTRAS_DISAGREE);

// Among the dispatch's packaging; by name, for a ranking that was made with a part of the shelf has its own.
void IndexPackaging(const Ranking& full, tw_ranking& ranking) {
  for (const Candidate& candidate : full.candidates()) {
    std::int32_t index = -1;
    for (std::size_t i = 0; i < ranking.dispatch->packaging.size() && candidate.packaging != nullptr; ++i) {
      const tw_dispatch::Packaging& at_hand = ranking.dispatch->packaging[i];
      if (at_hand.code == candidate.packaging->code && at_hand.issued_by == candidate.packaging->issued_by) {
        index = static_cast<std::int32_t>(i);
        break;
      }
    }
    ranking.packaging_index.push_back(index);
  }
}

void RankInFull(tw_ranking& ranking, Request request, std::int32_t detail) {
  RankOptions options;
  options.thresholds = detail == TW_DETAIL_FULL;
  absl::StatusOr<Ranking> answer =
      Rank(ranking.dispatch->dispatch, ranking.dispatch->shelf, std::move(request), options);
  if (!answer.ok()) FailRank(answer.status());
  IndexPackaging(*answer, ranking);
  ranking.full = *std::move(answer);
  ranking.detail = detail;
}

// The sealed parcel's packaging as a ranking finds it: on the shelf first, then among the carriers'. False where a full
// ranking has to judge (an unknown code, one of several carriers, or a cost in another currency).
bool FindQuickPackaging(tw_ranking& ranking, PackagingCosts& costs) {
  const tw_dispatch& dispatch = *ranking.dispatch;
  ParcelFacts& facts = ranking.quick.facts;
  const std::string& code = ranking.request.parcel->packaging;
  const Packaging* found = nullptr;
  if (dispatch.shelf != nullptr) {
    for (const Shelf::Own& own : dispatch.shelf->own) {
      if (own.packaging.code == code) found = &own.packaging;
    }
  }
  if (found != nullptr) {
    costs.own = found->cost;
    if (found->cost.micros() != 0 && dispatch.shelf->currency &&
        *dispatch.shelf->currency != dispatch.dispatch->currency()) {
      return false;
    }
  } else {
    for (const Dispatch::Carrier& carrier : dispatch.dispatch->carriers()) {
      const Packaging* issued = Ratebook::FindPackaging(*carrier.edition->tariff, code);
      if (issued == nullptr) continue;
      if (found != nullptr) return false;
      found = issued;
      facts.issued_by = carrier.edition->tariff->carrier;
    }
    if (found == nullptr) return false;
    costs.issued = found->cost;
  }
  facts.packaging = found->code;
  facts.kind = found->kind;
  for (std::size_t i = 0; i < dispatch.packaging.size(); ++i) {
    if (dispatch.packaging[i].packaging != found) continue;
    ranking.quick.packaging = static_cast<std::int32_t>(i);
    break;
  }
  return true;
}

// Totals alone of a closed parcel without ranges. False where it takes a full ranking.
bool RankQuickly(tw_ranking& ranking) {
  if (!ranking.request.parcel) return false;
  const Parcel& parcel = *ranking.request.parcel;
  if (const absl::Status status = ranking.request.Check(); !status.ok()) FailRank(status);
  if (parcel.weight_most || !parcel.side_ranges.empty()) return false;
  tw_ranking::Quick& quick = ranking.quick;
  quick.items.assign(1, &parcel.contents);
  quick.packaging = -1;
  quick.facts = ParcelFacts();
  ParcelFacts& facts = quick.facts;
  facts.weight = parcel.weight.nanograms();
  for (std::size_t i = 0; i < 3; ++i) facts.sides[i] = parcel.sides.sides()[i].nanometres();
  facts.shape = parcel.shape;
  facts.kind = KindOf(parcel.shape);
  facts.rigid = parcel.rigid;
  facts.contents = &parcel.contents;
  facts.items = quick.items;
  PackagingCosts costs;
  if (!parcel.packaging.empty() && !FindQuickPackaging(ranking, costs)) return false;
  quick.value = parcel.value;
  RankTotals(*ranking.dispatch->dispatch, facts, parcel.value, costs, quick.totals);
  quick.in_use = true;
  ranking.detail = TW_DETAIL_TOTALS;
  return true;
}

void CheckAsked(const tw_ranking* ranking, std::int32_t detail) {
  CheckHandle(ranking, "tw_ranking");
  if (ranking->detail == tw_ranking::kEmpty) Fail(TW_E_INDEX, "found an empty ranking, expected an answer in it");
  if (ranking->detail < detail) {
    Fail(TW_E_NOT_ASKED, detail == TW_DETAIL_CHARGES
                             ? "found an answer with totals alone, expected TW_DETAIL_CHARGES or more in the request"
                             : "found an answer without thresholds, expected TW_DETAIL_FULL in the request");
  }
}

const Offer& OfferAt(const tw_ranking& ranking, std::size_t index) {
  CheckIndex(index, ranking.full->offers().size(), "offer");
  return ranking.full->offers()[index];
}

// Nothing of a closed parcel with totals alone, and of candidates without one.
const std::vector<Placement>* ArrangementOf(const tw_ranking& ranking, std::size_t offer) {
  if (!ranking.full) return nullptr;
  return ranking.full->candidates()[OfferAt(ranking, offer).candidate_index].arrangement.get();
}

const std::vector<Growth>& GrowthOf(tw_ranking& ranking, std::size_t offer) {
  CheckIndex(offer, tw_ranking_offer_count(&ranking), "offer");
  if (!ranking.full) return ranking.no_growth;
  const std::uint32_t candidate = OfferAt(ranking, offer).candidate_index;
  const auto known = ranking.growth.find(candidate);
  if (known != ranking.growth.end()) return known->second;
  std::vector<Growth> growth = RoomToGrow(*ranking.full, ranking.full->candidates()[candidate]);
  return ranking.growth.emplace(candidate, std::move(growth)).first->second;
}

const std::vector<std::string>& StepsOf(tw_ranking& ranking, std::size_t offer) {
  CheckIndex(offer, tw_ranking_offer_count(&ranking), "offer");
  if (!ranking.full) return ranking.no_steps;
  const std::uint32_t candidate = OfferAt(ranking, offer).candidate_index;
  const auto known = ranking.steps.find(candidate);
  if (known != ranking.steps.end()) return known->second;
  std::vector<std::string> steps = PackingSteps(*ranking.full, ranking.full->candidates()[candidate]);
  return ranking.steps.emplace(candidate, std::move(steps)).first->second;
}

void FillCharges(const tw_ranking& ranking, const Offer& from, tw_offer& offer) {
  const std::uint32_t carrier = ranking.dispatch->dispatch->services()[from.service_index].carrier;
  offer.tariff_currency = ranking.dispatch->tariff_currencies[carrier].c_str();
  offer.service_total_micros = from.service_total.micros();
  offer.packaging_cost_micros = from.packaging_cost.micros();
  offer.lowest_total_micros = from.range ? from.range->lowest.micros() : from.total.micros();
  offer.highest_total_micros = from.range ? from.range->highest.micros() : from.total.micros();
  offer.total_at_risk_micros = from.total_at_risk ? from.total_at_risk->micros() : 0;
  offer.billable_weight_ng = from.billable.nanograms();
  offer.billable_from = static_cast<std::int32_t>(from.billable_from);
  offer.risk = !from.at_risk ? TW_RISK_NONE : from.total_at_risk ? TW_RISK_DEARER : TW_RISK_REFUSED;
  offer.charge_count = static_cast<std::uint32_t>(from.charges.size());
  offer.handicap_count = static_cast<std::uint32_t>(from.handicaps.size());
  offer.overdue_count = static_cast<std::uint32_t>(from.overdue.size());
  if (!from.tax) return;
  offer.tax_code = from.tax->tax->code.c_str();
  offer.tax_title = from.tax->tax->title.c_str();
  offer.tax_millionths = from.tax->tax->percent.ten_thousandths();
  offer.tax_micros = from.tax->amount.micros();
  offer.net_micros = from.tax->net.micros();
  offer.with_tax_micros = from.tax->with_tax.micros();
}

void FillThresholds(const Offer& from, tw_offer& offer) {
  offer.saver_count = static_cast<std::uint32_t>(from.savers.size());
  if (from.headroom.weight) offer.headroom_weight_ng = from.headroom.weight->nanograms();
  for (std::size_t i = 0; i < 3; ++i) {
    if (from.headroom.sides[i]) offer.headroom_sides_nm[i] = from.headroom.sides[i]->nanometres();
  }
}

tw_offer EmptyOffer(std::int32_t detail) {
  tw_offer offer{};
  offer.detail = detail;
  offer.tariff_currency = offer.tax_code = offer.tax_title = "";
  offer.headroom_weight_ng = -1;
  for (std::int64_t& side : offer.headroom_sides_nm) side = -1;
  return offer;
}

tw_offer QuickOfferOf(const tw_ranking& ranking, const ServiceTotal& from) {
  const Dispatch& dispatch = *ranking.dispatch->dispatch;
  const Dispatch::Entry& state = dispatch.services()[from.service];
  const Tariff& tariff = *state.edition->tariff;
  const ParcelFacts& facts = ranking.quick.facts;
  tw_offer offer = EmptyOffer(TW_DETAIL_TOTALS);
  offer.carrier = tariff.carrier.c_str();
  offer.service = state.service->code.c_str();
  offer.title = state.service->title.c_str();
  offer.packaging = CText(facts.packaging);
  offer.issued_by = CText(facts.issued_by);
  offer.zone = tariff.zone_names[state.zone].c_str();
  offer.total_micros = from.total.micros();
  offer.handicap_micros = from.handicap.micros();
  WriteArrival(state.service->delivers, state.arrives, offer);
  offer.included_cover_micros = IncludedCover(dispatch, from.service, facts).micros();
  offer.weight_ng = facts.weight;
  for (std::size_t i = 0; i < 3; ++i) offer.sides_nm[i] = facts.sides[i];
  offer.service_index = static_cast<std::int32_t>(from.service);
  offer.packaging_index = ranking.quick.packaging;
  offer.days_least = state.days ? state.days->least : -1;
  offer.days_most = state.days ? state.days->most : -1;
  offer.tracked = state.service->tracked ? 1 : 0;
  offer.mode = static_cast<std::int32_t>(state.service->mode);
  CautionSet cautions = CautionsOfOffer(facts.contents->bits(), Weight::Nanograms(facts.weight), state.service->mode);
  if (GoesByOverdue(dispatch, from.service, facts, ranking.quick.value)) cautions.Add(CautionCode::kValueOverdue);
  offer.cautions = cautions.bits();
  return offer;
}

tw_offer OfferOf(const tw_ranking& ranking, const Offer& from) {
  tw_offer offer = EmptyOffer(ranking.detail);
  offer.carrier = CText(from.carrier);
  offer.service = CText(from.service);
  offer.title = CText(from.title);
  offer.packaging = CText(from.packaging);
  offer.issued_by = CText(from.issued_by);
  offer.zone = CText(from.zone);
  offer.total_micros = from.total.micros();
  offer.included_cover_micros = from.included_cover.micros();
  offer.weight_ng = from.weight.nanograms();
  for (std::size_t i = 0; i < 3; ++i) offer.sides_nm[i] = from.sides.sides()[i].nanometres();
  offer.service_index = static_cast<std::int32_t>(from.service_index);
  offer.packaging_index = ranking.packaging_index[from.candidate_index];
  offer.days_least = from.days ? from.days->least : -1;
  offer.days_most = from.days ? from.days->most : -1;
  offer.tracked = from.tracked ? 1 : 0;
  offer.mode = static_cast<std::int32_t>(from.mode);
  offer.cautions = from.cautions.bits();
  offer.handicap_micros = from.handicap.micros();
  if (from.cut_to) offer.cut_to_nm = from.cut_to->nanometres();
  WriteArrival(from.delivers, from.arrives, offer);
  if (ranking.detail >= TW_DETAIL_CHARGES) FillCharges(ranking, from, offer);
  if (ranking.detail >= TW_DETAIL_FULL) FillThresholds(from, offer);
  return offer;
}

// The one caution that a TW_CAUTION_ names, or nothing.
const Caution* FindCaution(std::uint32_t code) {
  for (const Caution& caution : kCautions) {
    if (code == 1u << static_cast<unsigned>(caution.code)) return &caution;
  }
  return nullptr;
}

tw_caution CautionOf(const Caution& from) {
  tw_caution caution{};
  caution.text = CText(from.text);
  caution.source = CText(from.source);
  caution.code = 1u << static_cast<unsigned>(from.code);
  return caution;
}

const tw_ranking::ChargeText& TextOfCharge(tw_ranking& ranking, std::size_t offer_index, std::size_t index) {
  const Ranking& full = *ranking.full;
  const Offer& offer = full.offers()[offer_index];
  if (ranking.texts.empty()) ranking.texts.resize(full.offers().size());
  std::vector<std::optional<tw_ranking::ChargeText>>& texts = ranking.texts[offer_index];
  // Of this size for good, so that texts given out stay where they are.
  if (texts.empty()) texts.resize(offer.charges.size());
  if (!texts[index]) {
    const Charge& charge = offer.charges[index];
    texts[index] = tw_ranking::ChargeText{full.Why(offer, charge), Ranking::Row(charge), full.Column(offer, charge),
                                          Ranking::BilledAs(charge)};
  }
  return *texts[index];
}

}  // namespace
}  // namespace tarewise::capi

namespace tarewise::capi {

void FailRank(const absl::Status& status) {
  FailUnlessOk(status);
  Fail(TW_E_INTERNAL, "found no error, expected one");
}

Request ReadRequestText(const char* json, std::size_t length, tw_error* error) {
  CheckPointer(json, "json");
  if (length > kMostDocument) {
    Fail(TW_E_COUNT, "found " + std::to_string(length) + " bytes, expected at most 16 MiB", "/length");
  }
  Loaded<Request> read = ReadRequest({"request", std::string(json, length)});
  if (!read.ok()) throw Findings{TW_E_REQUEST, std::move(read.diagnostics)};
  KeepWarnings(error, read.diagnostics);
  return *std::move(read.value);
}

void CheckIndent(std::int32_t indent) {
  if (indent < -1 || indent > 16) {
    Fail(TW_E_INPUT, "found " + std::to_string(indent) + ", expected -1 to 16", "/indent");
  }
}

RankingJson JsonOptionsOf(const tw_json_options* options) {
  RankingJson how;
  how.indent = -1;
  if (options == nullptr) return how;
  const tw_json_options given = ReadStruct(options, "options");
  CheckIndent(given.indent);
  how.indent = given.indent;
  if (given.most_offers != 0) how.most_offers = given.most_offers;
  constexpr std::uint32_t kKnown = TW_WITHOUT_CHARGES | TW_WITHOUT_THRESHOLDS | TW_WITHOUT_ARRANGEMENTS;
  if ((given.without & ~kKnown) != 0) {
    Fail(TW_E_INPUT, "found " + std::to_string(given.without) + ", expected TW_WITHOUT_ added", "/without");
  }
  how.charges = (given.without & TW_WITHOUT_CHARGES) == 0;
  how.thresholds = (given.without & TW_WITHOUT_THRESHOLDS) == 0;
  how.arrangements = (given.without & TW_WITHOUT_ARRANGEMENTS) == 0;
  if (given.refusals < TW_REFUSALS_WHOLE || given.refusals > TW_REFUSALS_NONE) {
    Fail(TW_E_INPUT, "found " + std::to_string(given.refusals) + ", expected a TW_REFUSALS_", "/refusals");
  }
  how.refusals = static_cast<RankingJson::Refusals>(given.refusals);
  if (given.room_to_grow != 0 && given.room_to_grow != 1) {
    Fail(TW_E_INPUT, "found " + std::to_string(given.room_to_grow) + ", expected 0 or 1", "/room_to_grow");
  }
  how.room_to_grow = given.room_to_grow == 1;
  CheckReserved(given.reserved, "/reserved");
  return how;
}

void HoldRanking(tw_ranking& ranking, const Ranking& answer, std::shared_ptr<const Shelf> shelf, std::int32_t detail) {
  ranking.Clear();
  tw_dispatch* made = MakeDispatch(std::make_shared<const Dispatch>(answer.dispatch()), std::move(shelf));
  ranking.Keep(made);
  Release(made);
  IndexPackaging(answer, ranking);
  ranking.full = answer;
  ranking.detail = detail;
}

tw_arranged_unit ArrangedUnitOf(const Request& request, const Placement& placement) {
  const GoodsUnit of = GoodsUnitOf(request, placement.unit);
  tw_arranged_unit unit{};
  unit.item = static_cast<std::uint32_t>(of.item);
  unit.unit = static_cast<std::uint32_t>(of.unit);
  std::copy(placement.at.begin(), placement.at.end(), unit.at_nm);
  std::copy(placement.sides.begin(), placement.sides.end(), unit.sides_nm);
  return unit;
}

}  // namespace tarewise::capi

using namespace tarewise::capi;  // NOLINT(google-build-using-namespace): definitions of the C interface only.

tw_status tw_ranking_create(tw_ranking** out, tw_error* error) {
  return Guard(error, [&] {
    CheckPointer(out, "out");
    *out = new tw_ranking;
  });
}

void tw_ranking_free(tw_ranking* ranking) {
  if (ranking == nullptr || ranking->tag != tw_ranking::kTag) return;
  ranking->tag = Tag{};
  delete ranking;
}

tw_status tw_rank(tw_ranking* ranking, const tw_dispatch* dispatch, const tw_request* request, tw_error* error) {
  return Guard(error, [&] {
    CheckHandle(ranking, "tw_ranking");
    ranking->Clear();
    CheckHandle(dispatch, "tw_dispatch");
    const tw_request asked = ReadStruct(request, "request");
    FillRequest(asked, ranking->request);
    WarnOfUnits(ranking->request, error);
    ranking->Keep(dispatch);
    if (asked.detail == TW_DETAIL_TOTALS && RankQuickly(*ranking)) return;
    RankInFull(*ranking, ranking->request, asked.detail);
  });
}

tw_status tw_rank_json(tw_ranking* ranking, const tw_ratebook* book, const tw_shelf* shelf, const char* json,
                       size_t length, tw_error* error) {
  return tw_rank_json_with(ranking, book, shelf, json, length, TW_DETAIL_FULL, error);
}

tw_status tw_rank_json_with(tw_ranking* ranking, const tw_ratebook* book, const tw_shelf* shelf, const char* json,
                            size_t length, int32_t detail, tw_error* error) {
  return Guard(error, [&] {
    CheckHandle(ranking, "tw_ranking");
    ranking->Clear();
    CheckHandle(book, "tw_ratebook");
    if (detail != TW_DETAIL_CHARGES && detail != TW_DETAIL_FULL) {
      Fail(TW_E_INPUT, "found " + std::to_string(detail) + ", expected TW_DETAIL_CHARGES or TW_DETAIL_FULL", "/detail");
    }
    if (shelf != nullptr) CheckHandle(shelf, "tw_shelf");
    tarewise::Request asked = ReadRequestText(json, length, error);
    if (!asked.sealed.empty()) {
      Fail(TW_E_INPUT, "found several sealed parcels, expected one, as \"parcel\"; tw_find_plans_json takes several",
           "/sealed");
    }
    if (asked.parcels) {
      Warn(error, "found an order that may go in several parcels, ranked in one: tw_find_plans_json takes several",
           "/parcels");
    }
    const std::shared_ptr<const tarewise::Shelf> at_hand = shelf == nullptr ? nullptr : shelf->shelf;
    absl::StatusOr<tarewise::Dispatch> dispatch =
        tarewise::Dispatch::Create(book->book, tarewise::Shipment::Of(asked, at_hand.get()));
    if (!dispatch.ok()) FailRank(dispatch.status());
    tw_dispatch* made = MakeDispatch(std::make_shared<const tarewise::Dispatch>(*std::move(dispatch)), at_hand);
    ranking->Keep(made);
    Release(made);
    RankInFull(*ranking, std::move(asked), detail);
  });
}

tw_status tw_ranking_json(const char** out, size_t* length_out, tw_ranking* ranking, int32_t indent, tw_error* error) {
  return Guard(error, [&] {
    CheckPointer(out, "out");
    CheckAsked(ranking, TW_DETAIL_CHARGES);
    CheckIndent(indent);
    ranking->json = tarewise::ToJson(*ranking->full, indent);
    *out = ranking->json.c_str();
    if (length_out != nullptr) *length_out = ranking->json.size();
  });
}

tw_status tw_ranking_json_with(const char** out, size_t* length_out, tw_ranking* ranking,
                               const tw_json_options* options, tw_error* error) {
  return Guard(error, [&] {
    CheckPointer(out, "out");
    CheckAsked(ranking, TW_DETAIL_CHARGES);
    ranking->json = tarewise::ToJson(*ranking->full, JsonOptionsOf(options));
    *out = ranking->json.c_str();
    if (length_out != nullptr) *length_out = ranking->json.size();
  });
}

tw_dispatch* tw_ranking_dispatch(const tw_ranking* ranking) {
  if (ranking == nullptr || ranking->tag != tw_ranking::kTag || ranking->detail == tw_ranking::kEmpty) return nullptr;
  return ranking->dispatch;
}

int32_t tw_ranking_is_estimate(const tw_ranking* ranking) {
  return ranking != nullptr && ranking->tag == tw_ranking::kTag && ranking->full && ranking->full->estimate() ? 1 : 0;
}

const char* tw_ranking_currency(const tw_ranking* ranking) {
  return tw_dispatch_currency(tw_ranking_dispatch(ranking));
}

size_t tw_ranking_offer_count(const tw_ranking* ranking) {
  if (ranking == nullptr || ranking->tag != tw_ranking::kTag) return 0;
  if (ranking->quick.in_use) return ranking->quick.totals.offers.size();
  return ranking->full ? ranking->full->offers().size() : 0;
}

tw_status tw_ranking_offer(tw_offer* out, const tw_ranking* ranking, size_t index, tw_error* error) {
  return Guard(error, [&] {
    CheckOut(out, "out");
    CheckAsked(ranking, TW_DETAIL_TOTALS);
    if (ranking->quick.in_use) {
      CheckIndex(index, ranking->quick.totals.offers.size(), "offer");
      WriteStruct(out, QuickOfferOf(*ranking, ranking->quick.totals.offers[index]));
      return;
    }
    WriteStruct(out, OfferOf(*ranking, OfferAt(*ranking, index)));
  });
}

tw_status tw_ranking_charge(tw_charge* out, tw_ranking* ranking, size_t offer, size_t index, tw_error* error) {
  return Guard(error, [&] {
    CheckOut(out, "out");
    CheckAsked(ranking, TW_DETAIL_CHARGES);
    const tarewise::Offer& from = OfferAt(*ranking, offer);
    CheckIndex(index, from.charges.size(), "index");
    const tarewise::Charge& line = from.charges[index];
    const tw_ranking::ChargeText& text = TextOfCharge(*ranking, offer, index);
    tw_charge charge{};
    charge.basis = static_cast<std::int32_t>(line.basis.kind);
    charge.code = CText(line.code);
    charge.title = CText(line.title);
    charge.why = text.why.c_str();
    charge.row = text.row.c_str();
    charge.column = text.column.c_str();
    charge.amount_micros = line.amount.micros();
    charge.billed_as = text.billed_as.c_str();
    WriteStruct(out, charge);
  });
}

tw_status tw_ranking_handicap(tw_handicap* out, const tw_ranking* ranking, size_t offer, size_t index,
                              tw_error* error) {
  return Guard(error, [&] {
    CheckOut(out, "out");
    CheckAsked(ranking, TW_DETAIL_CHARGES);
    const tarewise::Offer& from = OfferAt(*ranking, offer);
    CheckIndex(index, from.handicaps.size(), "index");
    const tarewise::OfferHandicap& one = from.handicaps[index];
    tw_handicap handicap{};
    handicap.code = CText(one.code);
    handicap.title = CText(one.title);
    handicap.amount_micros = one.amount.micros();
    WriteStruct(out, handicap);
  });
}

tw_status tw_ranking_overdue(tw_overdue* out, const tw_ranking* ranking, size_t offer, size_t index, tw_error* error) {
  return Guard(error, [&] {
    CheckOut(out, "out");
    CheckAsked(ranking, TW_DETAIL_CHARGES);
    const tarewise::Offer& from = OfferAt(*ranking, offer);
    CheckIndex(index, from.overdue.size(), "index");
    const tarewise::OverdueSeries& one = from.overdue[index];
    tw_overdue overdue{};
    overdue.since = one.since.days();
    overdue.series = CText(one.series);
    WriteStruct(out, overdue);
  });
}

size_t tw_ranking_arrangement_count(const tw_ranking* ranking, size_t offer) {
  if (offer >= tw_ranking_offer_count(ranking)) return 0;
  const std::vector<tarewise::Placement>* arrangement = ArrangementOf(*ranking, offer);
  return arrangement == nullptr ? 0 : arrangement->size();
}

tw_status tw_ranking_arrangement_unit(tw_arranged_unit* out, const tw_ranking* ranking, size_t offer, size_t index,
                                      tw_error* error) {
  return Guard(error, [&] {
    CheckOut(out, "out");
    CheckAsked(ranking, TW_DETAIL_TOTALS);
    CheckIndex(offer, tw_ranking_offer_count(ranking), "offer");
    const std::vector<tarewise::Placement>* arrangement = ArrangementOf(*ranking, offer);
    CheckIndex(index, arrangement == nullptr ? 0 : arrangement->size(), "index");
    WriteStruct(out, ArrangedUnitOf(ranking->full->request(), (*arrangement)[index]));
  });
}

tw_status tw_ranking_step_count(size_t* out, tw_ranking* ranking, size_t offer, tw_error* error) {
  return Guard(error, [&] {
    CheckPointer(out, "out");
    CheckAsked(ranking, TW_DETAIL_TOTALS);
    *out = StepsOf(*ranking, offer).size();
  });
}

tw_status tw_ranking_step(const char** out, tw_ranking* ranking, size_t offer, size_t index, tw_error* error) {
  return Guard(error, [&] {
    CheckPointer(out, "out");
    CheckAsked(ranking, TW_DETAIL_TOTALS);
    const std::vector<std::string>& steps = StepsOf(*ranking, offer);
    CheckIndex(index, steps.size(), "index");
    *out = steps[index].c_str();
  });
}

tw_status tw_ranking_growth_count(size_t* out, tw_ranking* ranking, size_t offer, tw_error* error) {
  return Guard(error, [&] {
    CheckPointer(out, "out");
    CheckAsked(ranking, TW_DETAIL_TOTALS);
    *out = GrowthOf(*ranking, offer).size();
  });
}

tw_status tw_ranking_growth(int64_t sides_nm_out[3], tw_ranking* ranking, size_t offer, size_t index, tw_error* error) {
  return Guard(error, [&] {
    CheckPointer(sides_nm_out, "sides_nm_out");
    CheckAsked(ranking, TW_DETAIL_TOTALS);
    const std::vector<tarewise::Growth>& growth = GrowthOf(*ranking, offer);
    CheckIndex(index, growth.size(), "index");
    for (std::size_t i = 0; i < 3; ++i) sides_nm_out[i] = growth[index].sides[i].nanometres();
  });
}

tw_status tw_ranking_saver(tw_saver* out, const tw_ranking* ranking, size_t offer, size_t index, tw_error* error) {
  return Guard(error, [&] {
    CheckOut(out, "out");
    CheckAsked(ranking, TW_DETAIL_FULL);
    const tarewise::Offer& from = OfferAt(*ranking, offer);
    CheckIndex(index, from.savers.size(), "index");
    const tarewise::Saver& way = from.savers[index];
    tw_saver saver{};
    saver.of = static_cast<std::int32_t>(way.of);
    saver.take = way.of == tarewise::Aspect::kWeight ? way.weight.nanograms() : way.length.nanometres();
    saver.total_micros = way.total.micros();
    saver.saves_micros = way.saves.micros();
    WriteStruct(out, saver);
  });
}

const char* tw_reason_name(int32_t code) {
  return code < 0 || code >= static_cast<int32_t>(std::size(tarewise::kReasonNames))
             ? ""
             : CText(tarewise::kReasonNames[code]);
}

size_t tw_ranking_refusal_count(const tw_ranking* ranking) {
  if (ranking == nullptr || ranking->tag != tw_ranking::kTag || ranking->detail < TW_DETAIL_CHARGES) return 0;
  return ranking->full->refusals().size();
}

tw_status tw_ranking_refusal(tw_refusal* out, const tw_ranking* ranking, size_t index, tw_error* error) {
  return Guard(error, [&] {
    CheckOut(out, "out");
    CheckAsked(ranking, TW_DETAIL_CHARGES);
    CheckIndex(index, ranking->full->refusals().size(), "index");
    const tarewise::Refusal& from = ranking->full->refusals()[index];
    tw_refusal refusal{};
    refusal.reason_count = static_cast<std::uint32_t>(from.reasons.size());
    refusal.carrier = CText(from.carrier);
    refusal.service = CText(from.service);
    refusal.packaging = CText(from.packaging);
    WriteStruct(out, refusal);
  });
}

tw_status tw_ranking_reason(tw_reason* out, const tw_ranking* ranking, size_t refusal, size_t index, tw_error* error) {
  return Guard(error, [&] {
    CheckOut(out, "out");
    CheckAsked(ranking, TW_DETAIL_CHARGES);
    CheckIndex(refusal, ranking->full->refusals().size(), "refusal");
    const tarewise::Refusal& from = ranking->full->refusals()[refusal];
    CheckIndex(index, from.reasons.size(), "index");
    tw_reason reason{};
    reason.code = static_cast<std::int32_t>(from.reasons[index].code);
    reason.text = from.reasons[index].text.c_str();
    WriteStruct(out, reason);
  });
}

size_t tw_ranking_caution_count(const tw_ranking* ranking) {
  if (ranking == nullptr || ranking->tag != tw_ranking::kTag || ranking->detail < TW_DETAIL_CHARGES) return 0;
  return ranking->full->cautions().size();
}

tw_status tw_ranking_caution(tw_caution* out, const tw_ranking* ranking, size_t index, tw_error* error) {
  return Guard(error, [&] {
    CheckOut(out, "out");
    CheckAsked(ranking, TW_DETAIL_CHARGES);
    CheckIndex(index, ranking->full->cautions().size(), "index");
    WriteStruct(out, CautionOf(ranking->full->cautions()[index]));
  });
}

const char* tw_caution_name(uint32_t code) {
  const tarewise::Caution* caution = FindCaution(code);
  return caution == nullptr ? "" : CText(caution->name);
}

tw_status tw_caution_words(tw_caution* out, uint32_t code, tw_error* error) {
  return Guard(error, [&] {
    CheckOut(out, "out");
    const tarewise::Caution* caution = FindCaution(code);
    if (caution == nullptr) Fail(TW_E_INPUT, "found " + std::to_string(code) + ", expected one TW_CAUTION_", "/code");
    WriteStruct(out, CautionOf(*caution));
  });
}

size_t tw_ranking_change_count(const tw_ranking* ranking) {
  if (ranking == nullptr || ranking->tag != tw_ranking::kTag || ranking->detail < TW_DETAIL_CHARGES) return 0;
  return ranking->full->changes().size();
}

tw_status tw_ranking_change(tw_change* out, const tw_ranking* ranking, size_t index, tw_error* error) {
  return Guard(error, [&] {
    CheckOut(out, "out");
    CheckAsked(ranking, TW_DETAIL_CHARGES);
    CheckIndex(index, ranking->full->changes().size(), "index");
    const tarewise::WinnerChange& from = ranking->full->changes()[index];
    tw_change change{};
    change.of = static_cast<std::int32_t>(from.of);
    change.above =
        from.of == tarewise::Aspect::kWeight ? from.above_weight.nanograms() : from.above_length.nanometres();
    change.carrier = CText(from.carrier);
    change.service = CText(from.service);
    change.packaging = CText(from.packaging);
    change.total_micros = from.total.micros();
    WriteStruct(out, change);
  });
}
