#ifndef TAREWISE_RANKING_INTERNAL_REQUEST_CHECKS_H_
#define TAREWISE_RANKING_INTERNAL_REQUEST_CHECKS_H_

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <iterator>
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "absl/status/status.h"
#include "tarewise/ranking/request.h"
#include "tarewise/rules/facts.h"
#include "tarewise/units/internal/code.h"
#include "tarewise/units/internal/place_of_error.h"
#include "tarewise/units/internal/quantity_text.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

inline constexpr std::string_view kPaidForExpected = "\"carrier/service\", or the code of a service";

inline absl::Status CheckPromise(const Promise& promise) {
  if (const auto* within = std::get_if<WithinDays>(&promise)) {
    if (within->days >= 0 && within->days <= kMostWithinDays) return absl::OkStatus();
    return InvalidAt("promise/within", "found " + std::to_string(within->days) + ", expected 0 to 10000 business days");
  }
  if (const auto* by = std::get_if<ByDate>(&promise)) {
    if (Date::kFirst <= by->date && by->date <= Date::kLast) return absl::OkStatus();
    return InvalidAt("promise/by", "found " + std::to_string(by->date.days()) +
                                       " days since 1970, expected a date of years 1 to 9999");
  }
  const auto* paid = std::get_if<PaidFor>(&promise);
  if (paid == nullptr || (IsCode(paid->service) && (paid->carrier.empty() || IsCode(paid->carrier)))) {
    return absl::OkStatus();
  }
  return At("promise/paid_for", FoundExpected(paid->ToString(), kPaidForExpected));
}

inline absl::Status CheckExtras(const std::vector<std::string>& extras) {
  if (extras.size() > kMostExtras) {
    return InvalidAt("extras", "found " + std::to_string(extras.size()) + ", expected at most 100");
  }
  for (std::size_t i = 0; i < extras.size(); ++i) {
    if (extras[i] == "cover") {
      return InvalidAt("extras", "found \"cover\", expected the amount under the request's own \"cover\"");
    }
    if (extras[i] == kCashOnDelivery) {
      return InvalidAt("extras", "found \"cash-on-delivery\", expected its amount under the request's own \"amounts\"");
    }
    if (!IsCode(extras[i])) {
      return At("extras", FoundExpected(extras[i], "a code of small letters, digits and hyphens"));
    }
    for (std::size_t j = 0; j < i; ++j) {
      if (extras[i] == extras[j]) {
        return InvalidAt("extras", "found " + Quoted(extras[i]) + " twice, expected once");
      }
    }
  }
  return absl::OkStatus();
}

// The name is put together where something is wrong: what is right allocates nothing.
inline absl::Status CheckMoney(Amount amount, std::string_view place, std::string_view part = {}) {
  if (amount.micros() >= 0 && amount.micros() <= kMostMicros) return absl::OkStatus();
  return InvalidAt(std::string(place).append(part), "found " + amount.ToString() + ", expected 0 to 1000 million");
}

inline absl::Status CheckWeek(const Week& week) {
  auto check = [](const Week::Figures& figures, const std::string& place) -> absl::Status {
    if (figures.parcels < 0 || figures.parcels > kMostWeekParcels) {
      return InvalidAt(place + "/parcels",
                       "found " + std::to_string(figures.parcels) + ", expected 0 to 1000 million parcels");
    }
    return CheckMoney(figures.spend, place, "/spend");
  };
  if (absl::Status status = check(week.each, "week"); !status.ok()) return status;
  for (const auto& [code, figures] : week.carriers) {
    if (!IsCode(code)) {
      return InvalidAt("week/carriers", "found " + Quoted(code) + ", expected the code of a carrier");
    }
    if (absl::Status status = check(figures, "week/carriers/" + code); !status.ok()) return status;
  }
  return absl::OkStatus();
}

inline absl::Status CheckConsignment(const Consignment& consignment) {
  if (consignment.others < 0 || consignment.others > kMostOthers) {
    return InvalidAt("consignment/others",
                     "found " + std::to_string(consignment.others) + ", expected 0 to 999 other parcels");
  }
  const std::int64_t ng = consignment.others_weight.nanograms();
  if (consignment.others == 0 && ng != 0) {
    return InvalidAt("consignment/others_weight",
                     "found " + consignment.others_weight.In("kg") + " without others, expected none");
  }
  if (consignment.others > 0 && (ng < 1 || ng > Weight::kMostNanograms)) {
    return InvalidAt("consignment/others_weight", "found " + consignment.others_weight.In("kg") +
                                                      ", expected a weight of more than 0 and at most 100000 kg");
  }
  if (consignment.others == 0 && !consignment.first) {
    return InvalidAt("consignment/first", "found false without others, expected true");
  }
  return absl::OkStatus();
}

inline absl::Status CheckAccepts(const std::vector<Delivery>& accepts) {
  if (accepts.empty()) return InvalidAt("accepts", "found none, expected one or more of door, point and locker");
  for (std::size_t i = 0; i < accepts.size(); ++i) {
    if (static_cast<std::size_t>(accepts[i]) >= std::size(kDeliveryNames)) {
      return InvalidAt("accepts", "expected door, point or locker");
    }
    for (std::size_t j = 0; j < i; ++j) {
      if (accepts[i] == accepts[j]) {
        return InvalidAt("accepts", "found " + Quoted(NameOf(accepts[i])) + " twice, expected once");
      }
    }
  }
  return absl::OkStatus();
}

/// What a request and a shipment have in common. Rates of exchange and places are in range by their types.
template <typename Terms>
absl::Status CheckTerms(const Terms& terms) {
  if (terms.date < Date::kFirst || Date::kLast < terms.date) {
    return InvalidAt(
        "date", "found " + std::to_string(terms.date.days()) + " days since 1970, expected a date of years 1 to 9999");
  }
  if (terms.time && (terms.time->minutes() < 0 || terms.time->minutes() >= 24 * 60)) {
    return InvalidAt("time", "found " + std::to_string(terms.time->minutes()) + " minutes, expected 0 to 1439");
  }
  if (absl::Status status = CheckPromise(terms.promise); !status.ok()) return status;
  if (absl::Status status = CheckAccepts(terms.accepts); !status.ok()) return status;
  if (absl::Status status = CheckExtras(terms.extras); !status.ok()) return status;
  if (absl::Status status = CheckMoney(terms.cover.value_or(Amount()), "cover"); !status.ok()) return status;
  if (absl::Status status = CheckMoney(terms.cash_on_delivery.value_or(Amount()), "amounts/cash_on_delivery");
      !status.ok()) {
    return status;
  }
  if (absl::Status status = CheckWeek(terms.week); !status.ok()) return status;
  if (absl::Status status = CheckConsignment(terms.consignment); !status.ok()) return status;
  if (terms.currency && terms.exchange.contains(terms.currency->code())) {
    const std::string code(terms.currency->code());
    return InvalidAt("exchange/" + code,
                     "found a rate for " + Quoted(code) + ", expected none for the currency of the ranking");
  }
  return absl::OkStatus();
}

/// What a request and a set-up for many rows have in common of packing.
template <typename Settings>
absl::Status CheckSettings(const Settings& settings) {
  if (settings.fill_weight.nanograms() < 0 || settings.fill_weight.nanograms() > Weight::kMostNanograms) {
    return InvalidAt("fill_weight", "expected 0 or more, at most 100000 kg");
  }
  if (settings.allowance.least.nanograms() < 0 || settings.allowance.most < settings.allowance.least ||
      settings.allowance.most.nanograms() > Weight::kMostNanograms) {
    return InvalidAt("allowance", "expected a least of 0 or more and a most that is no less");
  }
  if (settings.padding &&
      (settings.padding->nanometres() < 0 || settings.padding->nanometres() > Length::kMostSideNanometres)) {
    return InvalidAt("padding", "expected 0 or more, at most 50 m");
  }
  return absl::OkStatus();
}

inline absl::Status CheckWeight(Weight weight) {
  if (weight.nanograms() >= 1 && weight.nanograms() <= Weight::kMostNanograms) return absl::OkStatus();
  return Invalid("found " + weight.In("kg") + ", expected a weight of more than 0 and at most 100000 kg");
}

inline absl::Status CheckSide(Length side) {
  if (side.nanometres() >= 1 && side.nanometres() <= Length::kMostSideNanometres) return absl::OkStatus();
  return Invalid("found " + side.In("mm") + ", expected a side of more than 0 and at most 50 m");
}

/// A weight and sides, each perhaps a range.
inline absl::Status CheckGross(Weight weight, const std::optional<Weight>& most, const std::array<Length, 3>& sides,
                               const std::vector<SideRange>& ranges, const std::string& where) {
  if (absl::Status status = CheckWeight(weight); !status.ok()) return At(where + "/weight", status);
  for (const Length side : sides) {
    if (absl::Status status = CheckSide(side); !status.ok()) return At(where + "/sides", status);
  }
  if (most && *most < weight) {
    return InvalidAt(where + "/weight", "found a range that falls, expected one that rises");
  }
  if (most) {
    if (absl::Status status = CheckWeight(*most); !status.ok()) return At(where + "/weight", status);
  }
  for (std::size_t i = 0; i < ranges.size(); ++i) {
    const SideRange& range = ranges[i];
    for (std::size_t j = 0; j < i; ++j) {
      if (ranges[j].index == range.index) {
        return InvalidAt(where + "/sides", "found two ranges of one side, expected one");
      }
    }
    if (range.index > 2 || range.most < sides[range.index]) {
      return InvalidAt(where + "/sides", "found a range that falls, expected one that rises");
    }
    if (absl::Status status = CheckSide(range.most); !status.ok()) return At(where + "/sides", status);
  }
  return absl::OkStatus();
}

inline absl::Status CheckParcel(const Parcel& parcel, const std::string& where) {
  if (absl::Status status =
          CheckGross(parcel.weight, parcel.weight_most, parcel.sides.sides(), parcel.side_ranges, where);
      !status.ok()) {
    return status;
  }
  return CheckMoney(parcel.value, where, "/value");
}

/// Of soft goods, which lie any way and give wherever they are touched.
inline absl::Status CheckSoft(const Item& item, const std::string& where) {
  if (!item.soft) return absl::OkStatus();
  const std::int64_t millionths = item.soft->presses_to.ten_thousandths();
  if (millionths < 1 || millionths > 1'000'000) {
    return InvalidAt(where + "/soft/presses_to",
                     "found " + item.soft->presses_to.ToString() + ", expected more than 0 and at most 100 %");
  }
  const Length shortest = *std::min_element(item.sides.begin(), item.sides.end());
  const Length least = item.soft->least_thickness;
  if (least.nanometres() < 1 || least > shortest) {
    return InvalidAt(
        where + "/soft/least_thickness",
        "found " + least.In("mm") + ", expected more than 0 and at most " + shortest.In("mm") + ", the shortest side");
  }
  const auto conflict = [&where](std::string_view with) {
    return InvalidAt(where + "/soft", "found soft goods " + std::string(with) + ", expected one of the two");
  };
  if (!item.side_ranges.empty()) return conflict("whose sides range");
  if (item.this_side_up) return conflict("with \"this_side_up\"");
  if (!item.may_stand[0] || !item.may_stand[1] || !item.may_stand[2]) return conflict("with \"may_stand\"");
  if (item.top_free) return conflict("with \"top_free\"");
  if (item.bears) return conflict("with \"bears\"");
  if (item.rigid) return conflict("that are \"rigid\"");
  return absl::OkStatus();
}

inline absl::Status CheckItems(const std::vector<Item>& goods) {
  Int128 value = 0;
  Int128 weight = 0;
  std::int64_t units = 0;
  for (std::size_t i = 0; i < goods.size(); ++i) {
    const Item& item = goods[i];
    const std::string where = "goods/" + std::to_string(i);
    if (absl::Status status = CheckGross(item.weight, item.weight_most, item.sides, item.side_ranges, where);
        !status.ok()) {
      return status;
    }
    if (!item.this_side_up && !item.may_stand[0] && !item.may_stand[1] && !item.may_stand[2]) {
      return InvalidAt(where + "/may_stand", "found no side that may be upright, expected one or more");
    }
    if (item.bears && (item.bears->nanograms() < 1 || item.bears->nanograms() > Weight::kMostNanograms)) {
      return InvalidAt(where + "/bears",
                       "found " + item.bears->In("kg") + ", expected a weight of more than 0 and at most 100000 kg");
    }
    if (absl::Status status = CheckSoft(item, where); !status.ok()) return status;
    if (item.quantity < 1 || item.quantity > kMostUnits) return InvalidAt(where + "/quantity", "expected 1 to 10000");
    units += item.quantity;
    value += Int128(item.value.micros()) * item.quantity;
    weight += Int128(item.weight_most.value_or(item.weight).nanograms()) * item.quantity;
    if (item.value.micros() < 0 || value > kMostMicros) {
      return InvalidAt(where + "/value",
                       "found " + item.value.ToString() + ", expected 0 to 1000 million for all goods together");
    }
  }
  if (units > kMostUnits) {
    return InvalidAt("goods", "found " + std::to_string(units) + " units, expected at most 10000");
  }
  if (weight > Weight::kMostNanograms) {
    return InvalidAt("goods", "found goods of more than 100000 kg together, expected at most that");
  }
  return absl::OkStatus();
}

/// Several sealed parcels, in the place of goods.
inline absl::Status CheckSealed(const std::vector<Parcel>& sealed) {
  if (sealed.size() > static_cast<std::size_t>(kMostParcels)) {
    return InvalidAt("sealed", "found " + std::to_string(sealed.size()) + " parcels, expected at most 100");
  }
  Int128 value = 0;
  Int128 weight = 0;
  for (std::size_t i = 0; i < sealed.size(); ++i) {
    if (absl::Status status = CheckParcel(sealed[i], "sealed/" + std::to_string(i)); !status.ok()) return status;
    value += sealed[i].value.micros();
    weight += sealed[i].weight_most.value_or(sealed[i].weight).nanograms();
  }
  if (value > kMostMicros) return InvalidAt("sealed", "found values of more than 1000 million together");
  if (weight > Weight::kMostNanograms) return InvalidAt("sealed", "found parcels of more than 100000 kg together");
  return absl::OkStatus();
}

/// One list of places among the goods, of `at_least` places or more.
inline absl::Status CheckPlaces(const std::vector<std::size_t>& places, std::size_t at_least, std::size_t goods,
                                const std::string& where) {
  if (places.size() < at_least) {
    return InvalidAt(where, "found " + std::to_string(places.size()) + " of the goods, expected at least " +
                                std::to_string(at_least));
  }
  for (std::size_t i = 0; i < places.size(); ++i) {
    if (places[i] >= goods) {
      return InvalidAt(where + "/" + std::to_string(i), "found " + std::to_string(places[i]) +
                                                            ", expected a place of " + "the goods, 0 to " +
                                                            std::to_string(goods - 1));
    }
    for (std::size_t j = 0; j < i; ++j) {
      if (places[i] == places[j]) {
        return InvalidAt(where + "/" + std::to_string(i),
                         "found " + std::to_string(places[i]) + " twice, expected once");
      }
    }
  }
  return absl::OkStatus();
}

/// How an order may be parted.
inline absl::Status CheckParcels(const SeveralParcels& parcels, std::size_t goods) {
  auto in_range = [](std::int32_t found, std::int32_t most, std::string_view key) {
    if (found >= 1 && found <= most) return absl::OkStatus();
    return InvalidAt("parcels/" + std::string(key),
                     "found " + std::to_string(found) + ", expected 1 to " + std::to_string(most));
  };
  if (absl::Status status = in_range(parcels.most, kMostParcels, "most"); !status.ok()) return status;
  if (absl::Status status = in_range(parcels.plans, kMostPlans, "plans"); !status.ok()) return status;
  if (static_cast<std::size_t>(parcels.all_by) >= std::size(kAllByNames)) {
    return InvalidAt("parcels/all_by", "expected any, carrier or service");
  }
  std::vector<std::size_t> list_of(goods, goods);
  for (std::size_t i = 0; i < parcels.together.size(); ++i) {
    const std::string where = "parcels/together/" + std::to_string(i);
    if (absl::Status status = CheckPlaces(parcels.together[i], 1, goods, where); !status.ok()) return status;
    for (const std::size_t place : parcels.together[i]) {
      if (list_of[place] != goods) {
        return InvalidAt(where, "found " + std::to_string(place) + ", which stands in another list too");
      }
      list_of[place] = i;
    }
  }
  for (std::size_t i = 0; i < parcels.apart.size(); ++i) {
    const std::vector<std::size_t>& places = parcels.apart[i];
    const std::string where = "parcels/apart/" + std::to_string(i);
    if (absl::Status status = CheckPlaces(places, 2, goods, where); !status.ok()) return status;
    for (std::size_t a = 0; a < places.size(); ++a) {
      for (std::size_t b = 0; b < a; ++b) {
        if (list_of[places[a]] != goods && list_of[places[a]] == list_of[places[b]]) {
          return InvalidAt(where, "found " + std::to_string(places[b]) + " and " + std::to_string(places[a]) +
                                      ", which must travel together");
        }
      }
    }
  }
  return absl::OkStatus();
}

/// What is sent, and how exactly to answer: all of a request but its terms.
inline absl::Status CheckSent(const Request& request) {
  if (!request.sealed.empty() && (request.parcel || !request.goods.empty())) {
    return InvalidAt("sealed", "found beside goods or a parcel, expected one of them");
  }
  if (request.sealed.empty() && request.goods.empty() == !request.parcel.has_value()) {
    return Invalid(request.parcel ? "found both goods and a parcel, expected one of them"
                                  : "found neither goods nor a parcel, expected one of them");
  }
  if (request.parcels) {
    if (request.parcel) return InvalidAt("parcels", "found beside a sealed parcel, expected goods that can be parted");
    if (absl::Status status = CheckParcels(*request.parcels, request.goods.size()); !status.ok()) return status;
  }
  if (!request.steps.weight.positive() || !request.steps.sides.positive()) {
    return InvalidAt("steps", "found a step of 0 or less, expected more");
  }
  if (request.steps.weight.Times(1).nanograms() > Weight::kMostNanograms ||
      request.steps.sides.Times(1).nanometres() > Length::kMostSideNanometres) {
    return InvalidAt("steps", "found a step over the greatest parcel, expected at most 100000 kg and 50 m");
  }
  if (request.tolerance.weight.nanograms() < 0 || request.tolerance.sides.nanometres() < 0 ||
      request.tolerance.weight.nanograms() > Weight::kMostNanograms ||
      request.tolerance.sides.nanometres() > Length::kMostSideNanometres) {
    return InvalidAt("tolerance", "found one below 0 or over the greatest parcel, expected 0 or more");
  }
  if (absl::Status status = CheckSettings(request); !status.ok()) return status;
  if (!request.sealed.empty()) return CheckSealed(request.sealed);
  return request.parcel ? CheckParcel(*request.parcel, "parcel") : CheckItems(request.goods);
}

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_RANKING_INTERNAL_REQUEST_CHECKS_H_
