#include "command/asked_text.h"

#include <optional>
#include <variant>
#include <vector>

#include "command/layout.h"
#include "command/offer_facts.h"
#include "command/tables.h"

namespace tarewise::command {
namespace {

constexpr std::size_t kMostNamed = 3;

class Asked {
 public:
  Asked(const Request& request, Currency currency) : request_(request), decimals_(currency.decimals()) {}

  std::string Text() const {
    std::string what;
    auto add = [&what](const std::string& text) { what += (what.empty() ? "" : "; ") + text; };
    if (request_.parcel) {
      add("Sealed parcel of " + WeightRange(request_.parcel->weight, request_.parcel->weight_most) + ", " +
          SidesText(request_.parcel->sides.sides(), request_.parcel->side_ranges));
    } else if (!request_.sealed.empty()) {
      Weight weight;
      for (const Parcel& parcel : request_.sealed) weight = weight + parcel.weight_most.value_or(parcel.weight);
      add(Plural(request_.sealed.size(), "sealed parcel", "sealed parcels") + " of " + WeightText(weight));
    } else {
      std::size_t told = 0;
      for (const Item& item : request_.goods) {
        if (++told > kMostNamed) break;
        add((item.quantity > 1 ? std::to_string(item.quantity) + " times " : "") +
            WeightRange(item.weight, item.weight_most) + ", " + SidesText(item.sides, item.side_ranges));
      }
      if (request_.goods.size() > kMostNamed)
        add(Plural(request_.goods.size() - kMostNamed, "thing more", "things more"));
    }
    if (request_.parcels && request_.sealed.empty()) {
      add("in at most " + Plural(static_cast<std::size_t>(request_.parcels->most), "parcel", "parcels"));
    }
    if (request_.parcels && request_.parcels->all_by != AllBy::kAny) {
      add("all by one " + std::string(kAllByNames[static_cast<std::size_t>(request_.parcels->all_by)]));
    }
    add(PlaceText(request_.lane.from) + " to " + PlaceText(request_.lane.to) +
        (request_.lane.to.residential() ? ", a home" : ""));
    add("handed over " + request_.date.ToString() + (request_.time ? " at " + request_.time->ToString() : ""));
    if (const auto* within = std::get_if<WithinDays>(&request_.promise)) {
      add("promised within " + Plural(static_cast<std::size_t>(within->days), "business day", "business days"));
    } else if (const auto* by = std::get_if<ByDate>(&request_.promise)) {
      add("promised by " + by->date.ToString());
    } else if (const auto* paid = std::get_if<PaidFor>(&request_.promise)) {
      add("the buyer paid for " + Clean(paid->service));
    }
    for (const std::string& extra : request_.extras) add("with " + Clean(extra));
    if (request_.cover) add("cover to " + request_.cover->ToString(decimals_));
    if (request_.cash_on_delivery) add(request_.cash_on_delivery->ToString(decimals_) + " to be collected");
    if (request_.accepts != std::vector<Delivery>{Delivery::kDoor}) add("it may end " + AcceptedText(request_));
    if (const std::string week = WeekText(request_.week, decimals_); !week.empty()) add(week);
    if (const Consignment& of = request_.consignment; of.others > 0) {
      add((of.first ? "the first of " : "one of ") + std::to_string(of.others + 1) + " pieces" +
          (of.first ? "" : ", not the first") + ", the others " + of.others_weight.ToString(request_.weight_units));
    }
    if (request_.totals == Totals::kWithoutTax) add("totals without tax");
    return what + ".";
  }

 private:
  std::string WeightText(Weight weight) const { return weight.ToString(request_.weight_units); }

  static std::string RangeText(const std::string& least, const std::string& most) {
    return least == most ? least : least + " to " + most;
  }

  std::string WeightRange(Weight least, const std::optional<Weight>& most) const {
    return RangeText(WeightText(least), WeightText(most.value_or(least)));
  }

  template <typename Sides>
  std::string SidesText(const Sides& sides, const std::vector<SideRange>& ranges) const {
    std::string out;
    for (std::size_t i = 0; i < 3; ++i) {
      std::string side = sides[i].ToString(request_.side_units);
      for (const SideRange& range : ranges) {
        if (range.index == i) side = RangeText(side, range.most.ToString(request_.side_units));
      }
      out += (i > 0 ? " x " : "") + side;
    }
    if (!ranges.empty()) return out;
    return Dimensions(sides[0], sides[1], sides[2]).ToString(request_.side_units);
  }

  const Request& request_;
  int decimals_;
};

}  // namespace

std::string Plural(std::size_t n, std::string_view one, std::string_view many) {
  return std::to_string(n) + " " + std::string(n == 1 ? one : many);
}

std::string AskedText(const Request& request, Currency currency, const Style& style) {
  return Paragraph(style, "", 0, Asked(request, currency).Text(), Tone::kFaint);
}

}  // namespace tarewise::command
