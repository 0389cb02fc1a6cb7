#include "tarewise/documents/examples.h"

#include <algorithm>
#include <map>
#include <memory>
#include <optional>
#include <utility>

#include "tarewise/pricing/ratebook.h"
#include "tarewise/ranking/rank.h"

namespace tarewise::inline TW_VERSIONED {
namespace {

class ExampleChecker {
 public:
  ExampleChecker(const Tariff& tariff, const Gazetteer& gazetteer) : tariff_(tariff), gazetteer_(gazetteer) {}

  std::vector<DifferingExample> Check() {
    std::vector<DifferingExample> out;
    for (std::size_t i = 0; i < tariff_.examples.size(); ++i) {
      DifferingExample one;
      one.example = &tariff_.examples[i];
      one.number = i + 1;
      if (!Agrees(*one.example, one)) out.push_back(std::move(one));
    }
    return out;
  }

 private:
  // A ratebook of the one service, whose lane is in the given zone wherever it goes.
  absl::StatusOr<std::shared_ptr<const Ratebook>> BookOf(const Service& service, std::optional<ZoneId> zone) {
    std::shared_ptr<const Ratebook>& book = books_[{service.code, zone.value_or(kNoZone)}];
    if (book != nullptr) return book;
    Tariff tariff = tariff_;
    tariff.in_force = {};
    tariff.services = {service};
    tariff.examples.clear();
    Gazetteer gazetteer;
    if (zone) {
      for (ZoneList& list : tariff.zone_lists) list.charts = {OneZoneChart{*zone, {}}};
      // Days that go by other zones are not known by this one.
      if (service.days_by) tariff.services.front().days.clear();
    } else {
      gazetteer = gazetteer_;
    }
    absl::StatusOr<std::shared_ptr<const Ratebook>> made =
        Ratebook::Create({std::move(tariff)}, {}, std::move(gazetteer));
    if (!made.ok()) return made.status();
    book = *std::move(made);
    return book;
  }

  Request RequestOf(const Example& example) const {
    Request request;
    request.parcel = example.parcel;
    if (example.lane) {
      request.lane = *example.lane;
    } else {
      request.lane.to = Place::Somewhere(example.residential);
    }
    request.date = example.date ? *example.date : tariff_.in_force.from.value_or(Date());
    request.extras = example.extras;
    request.time = example.time;
    request.accepts = {Delivery::kDoor, Delivery::kPoint, Delivery::kLocker};
    request.cover = example.cover;
    request.cash_on_delivery = example.cash_on_delivery;
    request.currency = tariff_.currency;
    request.week.each = example.week;
    request.consignment = example.consignment;
    request.weight_units = example.weight_units;
    request.side_units = example.side_units;
    return request;
  }

  std::string Money(Amount amount) const { return amount.ToString(tariff_.currency.decimals()); }

  static std::string Named(const Place& place) {
    return place.country() + (place.postal_code().empty() ? "" : " " + place.postal_code());
  }

  std::string Described(const Example& example) const {
    std::string text = example.service + ", " + example.parcel.weight.ToString(example.weight_units) + ", " +
                       example.parcel.sides.ToString(example.side_units);
    if (!example.parcel.packaging.empty()) text += " in " + example.parcel.packaging;
    if (example.consignment.others > 0) {
      text += ", beside " + std::to_string(example.consignment.others) + " of " +
              example.consignment.others_weight.ToString(example.weight_units);
    }
    if (example.zone) text += ", zone " + tariff_.zone_names[*example.zone];
    if (example.lane) text += ", " + Named(example.lane->from) + " to " + Named(example.lane->to);
    return text;
  }

  static std::string Billable(const Example& example, Weight weight) {
    return "billable weight " + weight.In(example.weight_units == UnitSystem::kImperial ? "lb" : "kg");
  }

  static std::string Dates(const std::optional<Arrival>& arrives) {
    if (!arrives) return "no dates";
    return "arriving " + arrives->earliest.ToString() + " to " + arrives->latest.ToString();
  }

  std::string Wanted(const Example& example) const {
    std::string text;
    if (example.total) text += Money(*example.total);
    if (example.net) text += (text.empty() ? "" : ", ") + Money(*example.net) + " net";
    if (example.refused)
      text += std::string(text.empty() ? "" : " and ") + "refused, " + std::string(NameOf(*example.refused));
    if (example.billable_weight) {
      text += (text.empty() ? "" : ", ") + Billable(example, *example.billable_weight);
    }
    if (example.arrives) text += (text.empty() ? "" : ", ") + Dates(example.arrives);
    return text.empty() ? "a price" : text;
  }

  // False where it differs; what it got is then told in `out`.
  bool Agrees(const Example& example, DifferingExample& out) {
    const std::string head = Described(example) + ": expected " + Wanted(example) + ", got ";
    const auto service = std::find_if(tariff_.services.begin(), tariff_.services.end(),
                                      [&example](const Service& one) { return one.code == example.service; });
    if (service == tariff_.services.end()) {
      out.text = head + "no such service";
      return false;
    }
    const absl::StatusOr<std::shared_ptr<const Ratebook>> book = BookOf(*service, example.zone);
    RankOptions options;
    options.thresholds = false;
    const absl::StatusOr<Ranking> ranking =
        book.ok() ? Rank(*book, nullptr, RequestOf(example), options) : absl::StatusOr<Ranking>(book.status());
    if (!ranking.ok()) {
      out.text = head + "an error: " + std::string(ranking.status().message());
      return false;
    }
    if (ranking->offers().empty()) return AgreesRefused(example, *ranking, head, out);
    const Offer& offer = ranking->offers().front();
    const Amount net = offer.tax ? offer.tax->net : offer.service_total;
    const bool total = (example.total || example.net) &&
                       example.total.value_or(offer.service_total) == offer.service_total &&
                       example.net.value_or(net) == net;
    const bool billable = !example.billable_weight || *example.billable_weight == offer.billable;
    const bool arrives = !example.arrives || example.arrives == offer.arrives;
    if (total && billable && arrives && !example.refused) return true;
    out.text = head + Money(offer.service_total);
    if (example.net || offer.tax) out.text += ", " + Money(net) + " net";
    if (!billable) out.text += ", " + Billable(example, offer.billable);
    if (!arrives) out.text += ", " + Dates(offer.arrives);
    for (const Charge& charge : offer.charges) {
      out.lines.push_back(Money(charge.amount) + "  " + std::string(charge.code) + ": " + ranking->Why(offer, charge));
    }
    return false;
  }

  static bool AgreesRefused(const Example& example, const Ranking& ranking, const std::string& head,
                            DifferingExample& out) {
    std::string codes;
    bool found = false;
    for (const Refusal& refusal : ranking.refusals()) {
      for (const RefusalReason& reason : refusal.reasons) {
        found = found || (example.refused && reason.code == *example.refused);
        codes += (codes.empty() ? "" : ", ") + std::string(NameOf(reason.code));
        out.lines.push_back(std::string(NameOf(reason.code)) + ": " + reason.text);
      }
    }
    if (found && !example.total && !example.net) return true;
    out.text = head + "refused, " + codes;
    return false;
  }

  const Tariff& tariff_;
  const Gazetteer& gazetteer_;
  std::map<std::pair<std::string, ZoneId>, std::shared_ptr<const Ratebook>> books_;
};

}  // namespace

std::vector<DifferingExample> DifferingExamples(const Tariff& tariff, const Gazetteer& gazetteer) {
  return ExampleChecker(tariff, gazetteer).Check();
}

}  // namespace tarewise::inline TW_VERSIONED
