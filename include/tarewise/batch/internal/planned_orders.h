#ifndef TAREWISE_BATCH_INTERNAL_PLANNED_ORDERS_H_
#define TAREWISE_BATCH_INTERNAL_PLANNED_ORDERS_H_

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <string_view>
#include <utility>
#include <vector>

#include "absl/status/statusor.h"
#include "tarewise/batch/internal/plan.h"
#include "tarewise/batch/internal/staircase.h"
#include "tarewise/batch/internal/worker.h"
#include "tarewise/parcel/item.h"
#include "tarewise/plans/plans.h"
#include "tarewise/ranking/cautions.h"
#include "tarewise/ranking/request.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// The request for some goods on a lane of a catalogue.
inline Request RequestOnLane(const RepricePlan& plan, std::vector<Item> goods, std::size_t lane) {
  Request request;
  request.goods = std::move(goods);
  const Shipment& shipment = plan.dispatch(lane)->shipment();
  request.lane = shipment.lane;
  request.date = shipment.date;
  request.time = shipment.time;
  request.promise = shipment.promise;
  request.accepts = shipment.accepts;
  request.extras = shipment.extras;
  request.cover = shipment.cover;
  request.cash_on_delivery = shipment.cash_on_delivery;
  request.currency = plan.currency();
  request.exchange = shipment.exchange;
  request.totals = shipment.totals;
  request.week = shipment.week;
  request.padding = plan.setup().padding;
  request.fill_weight = plan.setup().fill_weight;
  request.allowance = plan.setup().allowance;
  return request;
}

/// Orders that may go in several parcels, one after another; one for each thread.
class PlannedOrders {
 public:
  explicit PlannedOrders(const RepricePlan& plan)
      : plan_(plan), totals_(2 * plan.classes()), ways_(plan.classes()), parcels_(plan.classes()) {}

  /// The best plan on each class of lanes, valid until the next call. Its way is that of its first parcel.
  RepriceWorker::Place Price(const std::vector<Item>& goods) {
    RepriceWorker::Place place;
    std::fill(totals_.begin(), totals_.end(), Answers<std::int64_t>::kNone);
    std::fill(ways_.begin(), ways_.end(), kNoWay);
    std::fill(parcels_.begin(), parcels_.end(), std::int16_t{0});
    cautions_ = {};
    // Nobody lifts them all together: each by itself, as `FindPlans` tells them.
    for (const Item& item : goods) cautions_.AddAll(CautionsOfGoods(item.contents.bits(), item.weight));
    for (std::size_t c = 0; c < ways_.size(); ++c) {
      const std::size_t lane = plan_.class_lanes()[c];
      Request request = RequestOnLane(plan_, goods, lane);
      request.parcels = SeveralParcels{.most = plan_.setup().most_parcels, .plans = 1};
      const absl::StatusOr<Plans> plans = FindPlans(plan_.dispatch(lane), plan_.setup().shelf, std::move(request));
      if (!plans.ok()) {
        // What all rows have in common was checked before: it is the value, that a cover is shared by.
        place.reason = RowReason::kBadValue;
        return place;
      }
      if (!plans->plans().empty()) Take(plans->plans().front(), c);
    }
    place.totals = totals_.data();
    place.ways = ways_.data();
    return place;
  }

  /// Of the last order, by class of lanes; 0 where there is no plan.
  const std::int16_t* parcels() const { return parcels_.data(); }
  /// Those of its goods and of its parcels' offers.
  CautionSet cautions() const { return cautions_; }

 private:
  void Take(const Plan& plan, std::size_t c) {
    totals_[c] = plan.total.micros();
    const Offer& first = plan.parcels.front().offer();
    const std::vector<PackagingName>& names = plan_.packaging_names();
    const auto packaging = std::find_if(names.begin(), names.end(), [&first](const PackagingName& name) {
      return name.code == first.packaging && name.issued_by == first.issued_by;
    });
    ways_[c] = MakeWay(first.service_index, static_cast<std::size_t>(packaging - names.begin()));
    parcels_[c] = static_cast<std::int16_t>(plan.parcels.size());
    for (const PlannedParcel& parcel : plan.parcels) cautions_.AddAll(parcel.offer().cautions);
  }

  const RepricePlan& plan_;
  std::vector<std::int64_t> totals_;
  std::vector<Way> ways_;
  std::vector<std::int16_t> parcels_;
  CautionSet cautions_;
};

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_BATCH_INTERNAL_PLANNED_ORDERS_H_
