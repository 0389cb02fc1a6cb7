#include <algorithm>
#include <array>
#include <cstdint>
#include <iterator>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "handles.h"

namespace tarewise::capi {
namespace {

// Where a field is; spelled out only for an error.
struct Field {
  const char* of;  // "/parcel", or "/items" with an index
  std::size_t index = 0;
  bool indexed = false;
  std::string Path(const char* name) const {
    return (indexed ? std::string(of) + "/" + std::to_string(index) : std::string(of)) + "/" + name;
  }
};

// "54 ng", with the unit that the field's name ends with; the bounds of weights, sides and money in words.
std::string InUnit(std::int64_t value, std::string_view name) {
  std::string number = std::to_string(value);
  if (name.ends_with("_ng")) return value == Weight::kMostNanograms ? "100000 kg" : number + " ng";
  if (name.ends_with("_nm")) return value == Length::kMostSideNanometres ? "50 m" : number + " nm";
  if (name.ends_with("_micros")) return value == kMostMicros ? "1000 million units" : number + " millionths";
  return number;
}

void CheckRange(std::int64_t value, std::int64_t least, std::int64_t most, const Field& field, const char* name) {
  if (value >= least && value <= most) [[likely]]
    return;
  Fail(TW_E_INPUT, "found " + InUnit(value, name) + ", expected " + InUnit(least, name) + " to " + InUnit(most, name),
       field.Path(name));
}

// Nothing that is sent is lighter than a milligram, or shorter than a millimetre along its longest side.
constexpr Weight kLightest = Weight::Nanograms(1'000'000);
constexpr Length kShortest = Length::Nanometres(1'000'000);

void WarnOfWeight(Weight weight, std::int64_t longest_nm, const Field& field, tw_error* error) {
  if (weight < kLightest) [[unlikely]] {
    Warn(error,
         "found " + InUnit(weight.nanograms(), "_ng") +
             ", expected 1 mg or more: a number of TW_OUNCE, TW_GRAM or another unit",
         field.Path("weight_ng"));
  }
  if (longest_nm < kShortest.nanometres()) [[unlikely]] {
    Warn(error,
         "found " + InUnit(longest_nm, "_nm") +
             " along the longest side, expected 1 mm or more: a number of TW_INCH, TW_MILLIMETRE or another unit",
         field.Path("sides_nm"));
  }
}

template <typename C>
void ReadContents(const C& from, const Field& field, Contents& out) {
  CheckRange(from.contents, 0, (1 << std::size(kTraitNames)) - 1, field, "contents");
  for (std::size_t i = 0; i < std::size(kTraitNames); ++i) {
    if ((from.contents >> i) & 1u) out.Add(static_cast<Trait>(i));
  }
  if (from.own_trait_count == 0) return;
  CheckRange(from.own_trait_count, 0, 100, field, "own_trait_count");
  if (from.own_traits == nullptr) Fail(TW_E_NULL, "found NULL, expected an array", field.Path("own_traits"));
  for (std::uint32_t i = 0; i < from.own_trait_count; ++i) {
    const std::string path = field.Path("own_traits");
    const std::string_view word = TextOf(from.own_traits[i], path.c_str(), true);
    if (word.substr(0, 2) != "x-") {
      Fail(TW_E_INPUT, "found \"" + std::string(word) + "\", expected a word that begins with x-", path);
    }
    FailUnlessOk(out.Add(word), path);
  }
}

template <typename C>
std::optional<Weight> ReadWeight(const C& from, const Field& field, Weight& out) {
  CheckRange(from.weight_ng, 1, Weight::kMostNanograms, field, "weight_ng");
  out = Weight::Nanograms(from.weight_ng);
  if (from.weight_most_ng == 0) return std::nullopt;
  CheckRange(from.weight_most_ng, from.weight_ng, Weight::kMostNanograms, field, "weight_most_ng");
  return Weight::Nanograms(from.weight_most_ng);
}

template <typename C>
void CheckSides(const C& from, const Field& field) {
  for (std::size_t i = 0; i < 3; ++i) {
    CheckRange(from.sides_nm[i], 1, Length::kMostSideNanometres, field, "sides_nm");
    if (from.sides_most_nm[i] != 0) {
      CheckRange(from.sides_most_nm[i], from.sides_nm[i], Length::kMostSideNanometres, field, "sides_most_nm");
    }
  }
}

// How it may lie in a carton.
void ReadLying(const tw_item& from, const Field& field, Item& out) {
  out.top_free = (from.flags & TW_TOP_FREE) != 0;
  CheckRange(from.may_stand, 0, TW_FIRST_UPRIGHT | TW_SECOND_UPRIGHT | TW_THIRD_UPRIGHT, field, "may_stand");
  if (out.this_side_up && from.may_stand != 0) {
    Fail(TW_E_INPUT, "found sides that may be upright beside TW_THIS_SIDE_UP, expected 0", field.Path("may_stand"));
  }
  for (std::size_t i = 0; i < 3; ++i) out.may_stand[i] = from.may_stand == 0 || ((from.may_stand >> i) & 1u) != 0;
  CheckRange(from.has_bears, 0, 1, field, "has_bears");
  if (from.has_bears == 1) {
    CheckRange(from.bears_ng, 1, Weight::kMostNanograms, field, "bears_ng");
    out.bears = Weight::Nanograms(from.bears_ng);
  } else if (from.bears_ng != 0) {
    Fail(TW_E_INPUT, "found a weight, expected has_bears beside it", field.Path("bears_ng"));
  }
  out.title = from.title == nullptr ? "" : TextOf(from.title, field.Path("title").c_str());
}

// What is wrong with them beside the rest of an item is told where the goods are ranked.
void ReadSoft(const tw_item& from, const Field& field, Item& out) {
  if (from.soft_presses_to == 0 && from.soft_least_thickness_nm == 0) return;
  CheckRange(from.soft_presses_to, 1, 1'000'000, field, "soft_presses_to");
  CheckRange(from.soft_least_thickness_nm, 1, *std::min_element(from.sides_nm, from.sides_nm + 3), field,
             "soft_least_thickness_nm");
  out.soft = tarewise::Soft{tarewise::Percent::TenThousandths(from.soft_presses_to),
                            Length::Nanometres(from.soft_least_thickness_nm)};
}

void ReadItem(const tw_item& from, const Field& field, Item& out) {
  out.weight_most = ReadWeight(from, field, out.weight);
  CheckSides(from, field);
  for (std::size_t i = 0; i < 3; ++i) {
    out.sides[i] = Length::Nanometres(from.sides_nm[i]);
    if (from.sides_most_nm[i] != 0) out.side_ranges.push_back({i, Length::Nanometres(from.sides_most_nm[i])});
  }
  CheckRange(from.quantity, 1, kMostUnits, field, "quantity");
  out.quantity = from.quantity;
  CheckRange(from.value_micros, 0, kMostMicros, field, "value_micros");
  out.value = Amount::Micros(from.value_micros);
  CheckRange(from.shape, 0, TW_SHAPE_IRREGULAR, field, "shape");
  out.shape = static_cast<Shape>(from.shape);
  CheckRange(from.flags, 0, TW_THIS_SIDE_UP | TW_RIGID | TW_BARE | TW_TOP_FREE, field, "flags");
  out.this_side_up = (from.flags & TW_THIS_SIDE_UP) != 0;
  out.rigid = (from.flags & TW_RIGID) != 0;
  out.bare_allowed = (from.flags & TW_BARE) != 0;
  ReadLying(from, field, out);
  ReadSoft(from, field, out);
  ReadContents(from, field, out.contents);
}

void ReadParcel(const tw_parcel& from, const Field& field, Parcel& out) {
  if (from.reserved != 0) [[unlikely]]
    CheckReserved(from.reserved, field.Path("reserved"));
  out.weight_most = ReadWeight(from, field, out.weight);
  CheckSides(from, field);
  // Longest first, each with its own range: the ranges are told by place among the sorted sides.
  std::array<std::size_t, 3> by_size = {0, 1, 2};
  // By insertion: three of them, and no memory is to be asked for.
  for (const auto& [a, b] : {std::pair{0u, 1u}, std::pair{1u, 2u}, std::pair{0u, 1u}}) {
    if (from.sides_nm[by_size[a]] < from.sides_nm[by_size[b]]) std::swap(by_size[a], by_size[b]);
  }
  out.sides = Dimensions(Length::Nanometres(from.sides_nm[0]), Length::Nanometres(from.sides_nm[1]),
                         Length::Nanometres(from.sides_nm[2]));
  for (std::size_t i = 0; i < 3; ++i) {
    const std::int64_t most = from.sides_most_nm[by_size[i]];
    if (most != 0) out.side_ranges.push_back({i, Length::Nanometres(most)});
  }
  CheckRange(from.value_micros, 0, kMostMicros, field, "value_micros");
  out.value = Amount::Micros(from.value_micros);
  CheckRange(from.shape, 0, TW_SHAPE_IRREGULAR, field, "shape");
  out.shape = static_cast<Shape>(from.shape);
  CheckRange(from.flags, 0, TW_RIGID, field, "flags");
  if ((from.flags & ~TW_RIGID) != 0)
    Fail(TW_E_INPUT, "found a flag of items, expected TW_RIGID or 0", field.Path("flags"));
  out.rigid = from.flags != 0;
  out.packaging = TextOf(from.packaging, field.indexed ? field.Path("packaging").c_str() : "/parcel/packaging");
  ReadContents(from, field, out.contents);
}

}  // namespace

void FillGoods(const tw_item* items, std::size_t count, std::vector<Item>& out) {
  if (count > static_cast<std::size_t>(kMostUnits)) {
    Fail(TW_E_COUNT, "found " + std::to_string(count) + ", expected at most 10000", "/item_count");
  }
  CheckPointer(items, "items");
  CheckSize<tw_item>(items->struct_size, "items/0");
  out.resize(count);
  for (std::size_t i = 0; i < count; ++i) ReadItem(ReadElement(items, i, "items"), {"/items", i, true}, out[i]);
}

void FillSettings(const tw_request& from, Request& out) {
  const Field field{""};
  if (from.reserved != 0) [[unlikely]]
    CheckReserved(from.reserved, field.Path("reserved"));
  if (from.reserved_2 != 0) [[unlikely]]
    CheckReserved(from.reserved_2, field.Path("reserved_2"));
  CheckRange(from.has_padding, 0, 1, field, "has_padding");
  out.padding.reset();
  if (from.has_padding == 1) {
    CheckRange(from.padding_nm, 0, Length::kMostSideNanometres, field, "padding_nm");
    out.padding = Length::Nanometres(from.padding_nm);
  } else if (from.padding_nm != 0) {
    Fail(TW_E_INPUT, "found a padding, expected has_padding beside it", "/padding_nm");
  }
  CheckRange(from.fill_weight_ng, 0, Weight::kMostNanograms, field, "fill_weight_ng");
  out.fill_weight = Weight::Nanograms(from.fill_weight_ng);
  CheckRange(from.has_allowance, 0, 1, field, "has_allowance");
  out.allowance = {};
  if (from.has_allowance == 1) {
    CheckRange(from.allowance_least_ng, 0, Weight::kMostNanograms, field, "allowance_least_ng");
    CheckRange(from.allowance_most_ng, from.allowance_least_ng, Weight::kMostNanograms, field, "allowance_most_ng");
    out.allowance = {Weight::Nanograms(from.allowance_least_ng), Weight::Nanograms(from.allowance_most_ng)};
  } else if (from.allowance_least_ng != 0 || from.allowance_most_ng != 0) {
    Fail(TW_E_INPUT, "found an allowance, expected has_allowance beside it", "/allowance_least_ng");
  }
}

namespace {

// How to answer: all of a request but what is sent.
void FillHow(const tw_request& from, Request& out) {
  const Field field{""};
  FillSettings(from, out);
  CheckRange(from.detail, TW_DETAIL_TOTALS, TW_DETAIL_FULL, field, "detail");
  CheckRange(from.objective, TW_OBJECTIVE_CHEAPEST, TW_OBJECTIVE_CAUTIOUS, field, "objective");
  out.objective = static_cast<Objective>(from.objective);
  if (from.most_parcels != 0) {
    Fail(TW_E_INPUT, "found " + std::to_string(from.most_parcels) + ", expected it in a repricer's settings alone",
         "/most_parcels");
  }
  if (from.detail == TW_DETAIL_TOTALS && from.objective == TW_OBJECTIVE_CAUTIOUS) {
    Fail(TW_E_INPUT, "found TW_OBJECTIVE_CAUTIOUS with TW_DETAIL_TOTALS, expected more detail", "/objective");
  }
  CheckRange(from.tolerance_weight_ng, 0, Weight::kMostNanograms, field, "tolerance_weight_ng");
  CheckRange(from.tolerance_sides_nm, 0, Length::kMostSideNanometres, field, "tolerance_sides_nm");
  out.tolerance = {Weight::Nanograms(from.tolerance_weight_ng), Length::Nanometres(from.tolerance_sides_nm)};
  CheckRange(from.step_weight_ng, 0, Weight::kMostNanograms, field, "step_weight_ng");
  CheckRange(from.step_sides_nm, 0, Length::kMostSideNanometres, field, "step_sides_nm");
  out.steps = {};
  CheckRange(from.step_weight_parts, 0, from.step_weight_ng == 0 ? 0 : 1'000'000, field, "step_weight_parts");
  CheckRange(from.step_sides_parts, 0, from.step_sides_nm == 0 ? 0 : 1'000'000, field, "step_sides_parts");
  if (from.step_weight_ng != 0) {
    out.steps.weight =
        ScaleStep<Weight>::Of(Weight::Nanograms(from.step_weight_ng), std::max(1, from.step_weight_parts));
  }
  if (from.step_sides_nm != 0) {
    out.steps.sides = ScaleStep<Length>::Of(Length::Nanometres(from.step_sides_nm), std::max(1, from.step_sides_parts));
  }
  CheckRange(from.weight_units, TW_UNITS_IMPERIAL, TW_UNITS_METRIC, field, "weight_units");
  CheckRange(from.side_units, TW_UNITS_IMPERIAL, TW_UNITS_METRIC, field, "side_units");
  out.weight_units = static_cast<UnitSystem>(from.weight_units);
  out.side_units = static_cast<UnitSystem>(from.side_units);
  out.goods.clear();
}

// Lists of items, each by its place.
std::vector<std::vector<std::size_t>> ReadLists(const tw_item_list* lists, std::size_t count, const char* of) {
  if (count > static_cast<std::size_t>(kMostUnits)) {
    Fail(TW_E_COUNT, "found " + std::to_string(count) + ", expected at most 10000", std::string(of) + "_count");
  }
  std::vector<std::vector<std::size_t>> out(count);
  if (count == 0) return out;
  CheckPointer(lists, of + 1);
  CheckSize<tw_item_list>(lists->struct_size, (std::string(of + 1) + "/0").c_str());
  for (std::size_t i = 0; i < count; ++i) {
    const Field field{of, i, true};
    const tw_item_list list = ReadElement(lists, i, of + 1);
    if (list.reserved != 0) [[unlikely]]
      CheckReserved(list.reserved, field.Path("reserved"));
    if (list.count > static_cast<std::size_t>(kMostUnits)) {
      Fail(TW_E_COUNT, "found " + std::to_string(list.count) + ", expected at most 10000", field.Path("count"));
    }
    if (list.count != 0 && list.items == nullptr) Fail(TW_E_NULL, "found NULL, expected an array", field.Path("items"));
    out[i].assign(list.items, list.items + list.count);
  }
  return out;
}

}  // namespace

void FillPlanned(const tw_request& from, const tw_parting& parting, Request& out) {
  const Field field{""};
  FillHow(from, out);
  out.parcel.reset();
  out.sealed.clear();
  if (from.parcel != nullptr) {
    Fail(TW_E_INPUT, "found a parcel, expected items, or several parcels as sealed", "/parcel");
  }
  if ((from.item_count == 0) == (parting.sealed_count == 0)) {
    Fail(TW_E_INPUT,
         from.item_count != 0 ? "found items and sealed parcels, expected one of them"
                              : "found neither items nor sealed parcels, expected one of them",
         "/items");
  }
  CheckRange(parting.all_by, TW_ALL_BY_ANY, TW_ALL_BY_SERVICE, field, "all_by");
  SeveralParcels parcels;
  parcels.all_by = static_cast<AllBy>(parting.all_by);
  if (parting.sealed_count != 0) {
    if (parting.most != 0 || parting.plans != 0 || parting.together_count != 0 || parting.apart_count != 0) {
      Fail(TW_E_INPUT, "found how to part goods beside sealed parcels, expected all_by alone", "/sealed");
    }
    if (parting.sealed_count > static_cast<std::size_t>(kMostParcels)) {
      Fail(TW_E_COUNT, "found " + std::to_string(parting.sealed_count) + ", expected at most 100", "/sealed_count");
    }
    CheckPointer(parting.sealed, "sealed");
    CheckSize<tw_parcel>(parting.sealed->struct_size, "sealed/0");
    out.sealed.resize(parting.sealed_count);
    for (std::size_t i = 0; i < parting.sealed_count; ++i) {
      ReadParcel(ReadElement(parting.sealed, i, "sealed"), {"/sealed", i, true}, out.sealed[i]);
    }
  } else {
    CheckRange(parting.most, 1, kMostParcels, field, "most");
    CheckRange(parting.plans, 0, kMostPlans, field, "plans");
    parcels.most = parting.most;
    if (parting.plans != 0) parcels.plans = parting.plans;
    parcels.together = ReadLists(parting.together, parting.together_count, "/together");
    parcels.apart = ReadLists(parting.apart, parting.apart_count, "/apart");
    FillGoods(from.items, from.item_count, out.goods);
  }
  out.parcels = std::move(parcels);
}

void FillRequest(const tw_request& from, Request& out) {
  FillHow(from, out);
  if ((from.item_count == 0) == (from.parcel == nullptr)) {
    Fail(TW_E_INPUT,
         from.parcel != nullptr ? "found items and a parcel, expected one of them"
                                : "found neither items nor a parcel, expected one of them",
         "/items");
  }
  if (from.parcel != nullptr) {
    if (!out.parcel) out.parcel.emplace();
    Parcel& parcel = *out.parcel;
    parcel.contents = Contents();
    parcel.side_ranges.clear();
    ReadParcel(ReadStruct(from.parcel, "parcel"), {"/parcel"}, parcel);
    return;
  }
  out.parcel.reset();
  FillGoods(from.items, from.item_count, out.goods);
}

void WarnOfUnits(const Request& asked, tw_error* error) {
  for (std::size_t i = 0; i < asked.goods.size(); ++i) {
    const Item& item = asked.goods[i];
    WarnOfWeight(item.weight, std::max({item.sides[0], item.sides[1], item.sides[2]}).nanometres(), {"/items", i, true},
                 error);
  }
  if (asked.parcel) WarnOfWeight(asked.parcel->weight, asked.parcel->sides.length().nanometres(), {"/parcel"}, error);
  for (std::size_t i = 0; i < asked.sealed.size(); ++i) {
    const Parcel& parcel = asked.sealed[i];
    WarnOfWeight(parcel.weight, parcel.sides.length().nanometres(), {"/sealed", i, true}, error);
  }
}

}  // namespace tarewise::capi
