#ifndef TAREWISE_RANKING_INTERNAL_REQUEST_GOODS_H_
#define TAREWISE_RANKING_INTERNAL_REQUEST_GOODS_H_

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "tarewise/parcel/item.h"
#include "tarewise/parcel/parcel_facts.h"
#include "tarewise/ranking/internal/request_checks.h"
#include "tarewise/ranking/internal/weight_set.h"
#include "tarewise/ranking/packer.h"
#include "tarewise/ranking/request.h"
#include "tarewise/units/internal/quantity_text.h"
#include "tarewise/units/rounding.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// Goods of up to this weight are estimated without an allowance for packing, in ng.
inline constexpr std::int64_t kPound = Weight::Pounds(1).nanograms();
constexpr std::int64_t AllowanceOf(std::int64_t goods, Weight allowance) {
  return goods > kPound ? allowance.nanograms() : 0;
}

/// What the facts of every candidate point at: the contents of all goods, and of each item of the request.
struct GoodsContents {
  Contents contents;
  std::vector<const Contents*> items;
};

/// Makes a unit of what gives: its shortest side is pressed, and the others stay.
inline void Press(const Soft& soft, PackUnit& unit) {
  unit.soft = PackSoft{unit.sides, soft.presses_to.ten_thousandths(), soft.least_thickness.nanometres()};
  std::int64_t& shortest = *std::min_element(unit.sides.begin(), unit.sides.end());
  const Int128 pressed = (Int128(shortest) * unit.soft->pressed_millionths + 999'999) / 1'000'000;
  shortest = std::max(static_cast<std::int64_t>(pressed), unit.soft->least_thickness);
}

/// One of an item, every side at its least and its weight at its most.
inline PackUnit PackUnitOf(const Item& item) {
  PackUnit unit;
  for (std::size_t s = 0; s < 3; ++s) unit.sides[s] = item.sides[s].nanometres();
  unit.this_side_up = item.this_side_up;
  // Beside `this_side_up` it says nothing.
  if (!item.this_side_up) unit.may_stand = item.may_stand;
  unit.top_free = item.top_free;
  unit.padded = item.contents.Has(Trait::kFragile);
  unit.weight = item.weight_most.value_or(item.weight).nanograms();
  if (item.bears) unit.bears = item.bears->nanograms();
  if (item.soft) Press(*item.soft, unit);
  return unit;
}

/// The goods of a request, or its sealed parcel, checked and added up. Points into the request, which must outlive it.
class RequestGoods {
 public:
  /// A side that ranges, of the sealed parcel or of an item: the units of one item are alike.
  struct RangingSide {
    std::size_t item = 0;
    std::size_t side = 0;
    std::int64_t least = 0;
    std::int64_t most = 0;
  };

  /// Errors: InvalidArgument for a request whose goods or numbers are out of range; see `Rank`.
  static absl::StatusOr<RequestGoods> Of(const Request& request) {
    if (!request.sealed.empty()) {
      return InvalidAt("sealed", "found several sealed parcels, expected one: `FindPlans` takes several");
    }
    if (absl::Status status = CheckSent(request); !status.ok()) return status;
    RequestGoods goods(request);
    goods.AddContents();
    if (request.parcel) {
      goods.AddParcel(*request.parcel);
    } else {
      goods.AddItems();
    }
    if (absl::Status status = goods.FindWeights(); !status.ok()) return status;
    return goods;
  }

  const Request& request() const { return *request_; }
  bool sealed() const { return request_->parcel.has_value(); }
  const std::shared_ptr<const GoodsContents>& contents() const { return contents_; }
  /// Declared, of all of them, in the ranking's currency.
  Amount value() const { return value_; }

  /// One by one, every side at its least; none of a sealed parcel.
  const std::vector<PackUnit>& units() const { return units_; }
  /// The same units, every side at its most.
  const std::vector<PackUnit>& units_most() const { return units_most_; }
  const std::vector<RangingSide>& ranging() const { return ranging_; }

  /// Together, in ng.
  std::int64_t weight() const { return weight_; }
  std::int64_t weight_most() const { return weight_most_; }
  /// Every weight from the one to the other that they can come to.
  const WeightSet& weights() const { return weights_; }

  /// Of goods that differ: irregular.
  Shape shape() const { return shape_; }
  bool rigid() const { return rigid_; }
  /// What of a parcel is the goods': their contents, and whether they are rigid.
  ParcelFacts facts() const {
    ParcelFacts facts;
    facts.contents = &contents_->contents;
    facts.items = contents_->items;
    facts.rigid = rigid_;
    return facts;
  }
  bool all_soft() const {
    return std::all_of(units_.begin(), units_.end(), [](const PackUnit& unit) { return unit.soft.has_value(); });
  }
  bool bare_allowed() const { return bare_allowed_; }
  /// To be kept free in a carton.
  const PackPadding& padding() const { return padding_; }
  /// On each side of the only unit, in nm.
  std::int64_t padding_of_one() const { return padding_.Around(units_.front().padded); }

 private:
  explicit RequestGoods(const Request& request) : request_(&request) {}

  void AddContents();
  void AddParcel(const Parcel& parcel);
  void AddItems();
  void AddRange(std::size_t item, Length least, const SideRange& range);
  absl::Status FindWeights();

  const Request* request_;
  std::shared_ptr<const GoodsContents> contents_;
  Amount value_;
  std::vector<PackUnit> units_;
  std::vector<PackUnit> units_most_;
  std::vector<RangingSide> ranging_;
  std::int64_t weight_ = 0;
  std::int64_t weight_most_ = 0;
  WeightSet weights_;
  Shape shape_ = Shape::kBox;
  bool rigid_ = false;
  bool bare_allowed_ = true;
  PackPadding padding_;
};

inline void RequestGoods::AddContents() {
  auto kept = std::make_shared<GoodsContents>();
  if (request_->parcel) {
    value_ = request_->parcel->value;
    kept->contents = request_->parcel->contents;
    kept->items.push_back(&request_->parcel->contents);
  }
  for (const Item& item : request_->goods) {
    value_ = value_ + Amount::Micros(item.value.micros() * item.quantity);
    kept->contents.AddAll(item.contents);
    kept->items.push_back(&item.contents);
  }
  contents_ = std::move(kept);
}

inline void RequestGoods::AddParcel(const Parcel& parcel) {
  weight_ = parcel.weight.nanograms();
  weight_most_ = parcel.weight_most.value_or(parcel.weight).nanograms();
  shape_ = parcel.shape;
  rigid_ = parcel.rigid;
  for (const SideRange& range : parcel.side_ranges) AddRange(0, parcel.sides.sides()[range.index], range);
}

inline void RequestGoods::AddItems() {
  bool alike = true;
  for (std::size_t i = 0; i < request_->goods.size(); ++i) {
    const Item& item = request_->goods[i];
    weight_ += item.weight.nanograms() * item.quantity;
    weight_most_ += item.weight_most.value_or(item.weight).nanograms() * item.quantity;
    rigid_ = rigid_ || item.rigid;
    bare_allowed_ = bare_allowed_ && item.bare_allowed;
    alike = alike && item.shape == request_->goods.front().shape;
    const PackUnit unit = PackUnitOf(item);
    PackUnit unit_most = unit;
    for (const SideRange& range : item.side_ranges) {
      unit_most.sides[range.index] = range.most.nanometres();
      AddRange(i, item.sides[range.index], range);
    }
    units_.insert(units_.end(), static_cast<std::size_t>(item.quantity), unit);
    units_most_.insert(units_most_.end(), static_cast<std::size_t>(item.quantity), unit_most);
  }
  shape_ = alike ? request_->goods.front().shape : Shape::kIrregular;
  padding_ = PackPadding::Of(request_->padding);
}

inline void RequestGoods::AddRange(std::size_t item, Length least, const SideRange& range) {
  if (range.most > least) ranging_.push_back({item, range.index, least.nanometres(), range.most.nanometres()});
}

inline absl::Status RequestGoods::FindWeights() {
  weights_ = WeightSet::Between(weight_, sealed() ? weight_most_ : weight_);
  for (const Item& item : request_->goods) {
    const std::int64_t span = item.weight_most.value_or(item.weight).nanograms() - item.weight.nanograms();
    if (!weights_.Add(item.quantity, span)) {
      return Invalid(
          "the ranges of several weights together are too wide to be priced exactly; narrow them or give one");
    }
  }
  return absl::OkStatus();
}

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_RANKING_INTERNAL_REQUEST_GOODS_H_
