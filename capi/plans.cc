#include "tarewise/plans/plans.h"

#include <cstddef>
#include <cstdint>
#include <iterator>
#include <memory>
#include <optional>
#include <string>
#include <utility>

#include "handles.h"
#include "ranking_handle.h"
#include "tarewise/documents/load.h"
#include "tarewise/documents/plans_json.h"

struct tw_plans {
  static constexpr tarewise::capi::Tag kTag = tarewise::capi::Tag::kPlans;
  tarewise::capi::Tag tag = kTag;
  std::optional<tarewise::Plans> found;
  std::shared_ptr<const tarewise::Shelf> shelf;
  std::int32_t detail = TW_DETAIL_CHARGES;  // Of the parcels' rankings.
  std::string currency;
  std::string json;
};

namespace tarewise::capi {
namespace {

static_assert(static_cast<int>(AllBy::kCarrier) == TW_ALL_BY_CARRIER);
static_assert(static_cast<int>(AllBy::kService) == TW_ALL_BY_SERVICE);
static_assert(static_cast<int>(Obstacle::kMoreParcels) == TW_OBSTACLE_MORE_PARCELS);
static_assert(static_cast<int>(Obstacle::kNotFound) == TW_OBSTACLE_NOT_FOUND);

void Clear(tw_plans* plans) {
  CheckHandle(plans, "tw_plans");
  plans->found.reset();
  plans->json.clear();
}

void Find(tw_plans& plans, std::shared_ptr<const Dispatch> dispatch, std::shared_ptr<const Shelf> shelf,
          Request request, std::int32_t detail) {
  PlanOptions options;
  options.thresholds = detail == TW_DETAIL_FULL;
  absl::StatusOr<Plans> found = FindPlans(std::move(dispatch), shelf, std::move(request), options);
  if (!found.ok()) FailRank(found.status());
  plans.shelf = std::move(shelf);
  plans.detail = options.thresholds ? TW_DETAIL_FULL : TW_DETAIL_CHARGES;
  plans.currency = found->currency().code();
  plans.found = *std::move(found);
}

const Plans& Answer(const tw_plans* plans) {
  CheckHandle(plans, "tw_plans");
  if (!plans->found) Fail(TW_E_INDEX, "found empty plans, expected an answer in them");
  return *plans->found;
}
const Plan& PlanAt(const tw_plans* plans, std::size_t plan) {
  const Plans& answer = Answer(plans);
  CheckIndex(plan, answer.plans().size(), "plan");
  return answer.plans()[plan];
}
const PlannedParcel& ParcelAt(const tw_plans* plans, std::size_t plan, std::size_t parcel) {
  const Plan& of = PlanAt(plans, plan);
  CheckIndex(parcel, of.parcels.size(), "parcel");
  return of.parcels[parcel];
}
const PlanObstacle& ObstacleAt(const tw_plans* plans, std::size_t index) {
  const Plans& answer = Answer(plans);
  CheckIndex(index, answer.obstacles().size(), "obstacle");
  return answer.obstacles()[index];
}

tw_planned_goods GoodsOf(const PlannedGoods& from) {
  tw_planned_goods goods{};
  goods.item = static_cast<std::uint32_t>(from.item);
  goods.units = from.units;
  return goods;
}

}  // namespace
}  // namespace tarewise::capi

using namespace tarewise::capi;  // NOLINT(google-build-using-namespace): definitions of the C interface only.

tw_status tw_plans_create(tw_plans** out, tw_error* error) {
  return Guard(error, [&] {
    CheckPointer(out, "out");
    *out = new tw_plans;
  });
}

void tw_plans_free(tw_plans* plans) {
  if (plans == nullptr || plans->tag != tw_plans::kTag) return;
  plans->tag = Tag{};
  delete plans;
}

tw_status tw_find_plans(tw_plans* plans, const tw_dispatch* dispatch, const tw_request* request,
                        const tw_parting* parting, tw_error* error) {
  return Guard(error, [&] {
    Clear(plans);
    CheckHandle(dispatch, "tw_dispatch");
    const tw_request asked = ReadStruct(request, "request");
    tarewise::Request order;
    FillPlanned(asked, ReadStruct(parting, "parting"), order);
    WarnOfUnits(order, error);
    Find(*plans, dispatch->dispatch, dispatch->shelf, std::move(order), asked.detail);
  });
}

tw_status tw_find_plans_json(tw_plans* plans, const tw_ratebook* book, const tw_shelf* shelf, const char* json,
                             size_t length, tw_error* error) {
  return Guard(error, [&] {
    Clear(plans);
    CheckHandle(book, "tw_ratebook");
    if (shelf != nullptr) CheckHandle(shelf, "tw_shelf");
    tarewise::Request asked = ReadRequestText(json, length, error);
    const std::shared_ptr<const tarewise::Shelf> at_hand = shelf == nullptr ? nullptr : shelf->shelf;
    absl::StatusOr<tarewise::Dispatch> dispatch =
        tarewise::Dispatch::Create(book->book, tarewise::Shipment::Of(asked, at_hand.get()));
    if (!dispatch.ok()) FailRank(dispatch.status());
    Find(*plans, std::make_shared<const tarewise::Dispatch>(*std::move(dispatch)), at_hand, std::move(asked),
         TW_DETAIL_FULL);
  });
}

tw_status tw_plans_json(const char** out, size_t* length_out, tw_plans* plans, int32_t indent, tw_error* error) {
  return Guard(error, [&] {
    CheckPointer(out, "out");
    const tarewise::Plans& answer = Answer(plans);
    CheckIndent(indent);
    plans->json = tarewise::ToJson(answer, indent);
    *out = plans->json.c_str();
    if (length_out != nullptr) *length_out = plans->json.size();
  });
}

tw_status tw_plans_json_with(const char** out, size_t* length_out, tw_plans* plans, const tw_json_options* options,
                             tw_error* error) {
  return Guard(error, [&] {
    CheckPointer(out, "out");
    const tarewise::Plans& answer = Answer(plans);
    plans->json = tarewise::ToJson(answer, JsonOptionsOf(options));
    *out = plans->json.c_str();
    if (length_out != nullptr) *length_out = plans->json.size();
  });
}

tw_status tw_plans_get_facts(tw_plans_facts* out, const tw_plans* plans, tw_error* error) {
  return Guard(error, [&] {
    CheckOut(out, "out");
    const tarewise::Plans& answer = Answer(plans);
    tw_plans_facts facts{};
    facts.proved = answer.proved() ? 1 : 0;
    facts.is_estimate = answer.estimate() ? 1 : 0;
    facts.has_at_least = answer.at_least() ? 1 : 0;
    facts.at_least_micros = answer.at_least() ? answer.at_least()->micros() : 0;
    facts.has_single = answer.single() ? 1 : 0;
    facts.single_micros = answer.single() ? answer.single()->micros() : 0;
    for (const tarewise::Caution& caution : answer.cautions()) {
      facts.cautions |= 1u << static_cast<unsigned>(caution.code);
    }
    facts.currency = plans->currency.c_str();
    facts.plan_count = answer.plans().size();
    facts.obstacle_count = answer.obstacles().size();
    WriteStruct(out, facts);
  });
}

tw_status tw_plans_plan(tw_plan* out, const tw_plans* plans, size_t plan, tw_error* error) {
  return Guard(error, [&] {
    CheckOut(out, "out");
    const tarewise::Plan& from = PlanAt(plans, plan);
    tw_plan written{};
    written.risk = !from.at_risk ? TW_RISK_NONE : from.total_at_risk ? TW_RISK_DEARER : TW_RISK_REFUSED;
    written.total_micros = from.total.micros();
    written.handicap_micros = from.handicap.micros();
    written.total_at_risk_micros = from.at_risk && from.total_at_risk ? from.total_at_risk->micros() : 0;
    written.days_least = from.days ? from.days->least : -1;
    written.days_most = from.days ? from.days->most : -1;
    written.has_arrival = from.arrives ? 1 : 0;
    written.arrives_earliest = from.arrives ? from.arrives->earliest.days() : 0;
    written.arrives_latest = from.arrives ? from.arrives->latest.days() : 0;
    written.parcel_count = static_cast<std::uint32_t>(from.parcels.size());
    written.once_count = static_cast<std::uint32_t>(from.once.size());
    WriteStruct(out, written);
  });
}

tw_status tw_plans_parcel(tw_planned_parcel* out, const tw_plans* plans, size_t plan, size_t parcel, tw_error* error) {
  return Guard(error, [&] {
    CheckOut(out, "out");
    const tarewise::PlannedParcel& from = ParcelAt(plans, plan, parcel);
    tw_planned_parcel written{};
    written.sealed = from.sealed ? static_cast<std::int32_t>(*from.sealed) : -1;
    written.goods_count = static_cast<std::uint32_t>(from.goods.size());
    written.offer_index = from.offer_index;
    WriteStruct(out, written);
  });
}

tw_status tw_plans_ranking(tw_ranking* ranking, const tw_plans* plans, size_t plan, size_t parcel, tw_error* error) {
  return Guard(error, [&] {
    CheckHandle(ranking, "tw_ranking");
    ranking->Clear();
    HoldRanking(*ranking, ParcelAt(plans, plan, parcel).ranking, plans->shelf, plans->detail);
  });
}

tw_status tw_plans_goods(tw_planned_goods* out, const tw_plans* plans, size_t plan, size_t parcel, size_t index,
                         tw_error* error) {
  return Guard(error, [&] {
    CheckOut(out, "out");
    const tarewise::PlannedParcel& from = ParcelAt(plans, plan, parcel);
    CheckIndex(index, from.goods.size(), "index");
    WriteStruct(out, GoodsOf(from.goods[index]));
  });
}

tw_status tw_plans_once(tw_once_charge* out, const tw_plans* plans, size_t plan, size_t index, tw_error* error) {
  return Guard(error, [&] {
    CheckOut(out, "out");
    const tarewise::Plan& from = PlanAt(plans, plan);
    CheckIndex(index, from.once.size(), "index");
    const tarewise::OnceCharge& one = from.once[index];
    tw_once_charge once{};
    once.parcel = static_cast<std::uint32_t>(one.parcel);
    once.carrier = CText(one.carrier);
    once.service = CText(one.service);
    once.code = CText(one.code);
    once.title = CText(one.title);
    once.amount_micros = one.amount.micros();
    WriteStruct(out, once);
  });
}

const char* tw_obstacle_name(int32_t code) {
  return code < 0 || code >= static_cast<int32_t>(std::size(tarewise::kObstacleNames))
             ? ""
             : CText(tarewise::kObstacleNames[code]);
}

tw_status tw_plans_obstacle(tw_obstacle* out, const tw_plans* plans, size_t index, tw_error* error) {
  return Guard(error, [&] {
    CheckOut(out, "out");
    const tarewise::PlanObstacle& from = ObstacleAt(plans, index);
    tw_obstacle obstacle{};
    obstacle.code = static_cast<std::int32_t>(from.code);
    obstacle.text = from.text.c_str();
    obstacle.need = from.need.value_or(0);
    obstacle.goods_count = static_cast<std::uint32_t>(from.goods.size());
    obstacle.has_ranking = from.alone ? 1 : 0;
    obstacle.sealed = from.sealed ? static_cast<std::int32_t>(*from.sealed) : -1;
    WriteStruct(out, obstacle);
  });
}

tw_status tw_plans_obstacle_goods(tw_planned_goods* out, const tw_plans* plans, size_t obstacle, size_t index,
                                  tw_error* error) {
  return Guard(error, [&] {
    CheckOut(out, "out");
    const tarewise::PlanObstacle& from = ObstacleAt(plans, obstacle);
    CheckIndex(index, from.goods.size(), "index");
    WriteStruct(out, GoodsOf(from.goods[index]));
  });
}

tw_status tw_plans_obstacle_ranking(tw_ranking* ranking, const tw_plans* plans, size_t obstacle, tw_error* error) {
  return Guard(error, [&] {
    CheckHandle(ranking, "tw_ranking");
    ranking->Clear();
    const tarewise::PlanObstacle& from = ObstacleAt(plans, obstacle);
    if (!from.alone) Fail(TW_E_INDEX, "found an obstacle without a ranking, expected has_ranking");
    HoldRanking(*ranking, *from.alone, plans->shelf, plans->detail);
  });
}
