#include <memory>
#include <string>
#include <utility>
#include <vector>

#include "convert.h"
#include "ranking.h"
#include "request.h"
#include "sequence.h"
#include "tables.h"
#include "tarewise/ranking/growth.h"
#include "tarewise/ranking/packing_steps.h"
#include "tarewise/ranking/rank.h"

namespace tarewise::python {
namespace {

struct ChargeValue {
  OfferValue offer;
  std::size_t index = 0;
  const Charge& get() const { return offer.get().charges[index]; }
};
struct RefusalValue {
  py::object owner;
  const RankingValue* ranking = nullptr;
  std::size_t index = 0;
  const Refusal& get() const { return ranking->get().refusals()[index]; }
};

WeightValue In(const RankingValue& ranking, Weight weight) { return {weight, ranking.get().request().weight_units}; }
LengthValue In(const RankingValue& ranking, Length length) { return {length, ranking.get().request().side_units}; }

const Tariff& TariffOf(const OfferValue& offer) {
  const Dispatch& dispatch = offer.ranking->get().dispatch();
  return *dispatch.services()[offer.get().service_index].edition->tariff;
}

RankingValue MakeRanking(const py::object& book, const py::object& shelf, RequestValue request, bool thresholds) {
  const std::shared_ptr<const Ratebook> ratebook = ToRatebook(book).book;
  const std::shared_ptr<const Shelf> at_hand = ToShelf(shelf);
  RankOptions options;
  options.thresholds = thresholds;
  absl::StatusOr<Ranking> ranking = [&] {
    const py::gil_scoped_release release;
    return Rank(ratebook, at_hand, std::move(request.request), options);
  }();
  if (!ranking.ok()) RaiseRequest(ranking.status());
  return {std::make_shared<const Ranking>(*std::move(ranking)), book, shelf, std::move(request.steps), thresholds};
}

std::size_t OfferCount(const py::object& owner) { return owner.cast<const RankingValue&>().get().offers().size(); }
py::tuple RefusalsOf(const py::object& owner) {
  const RankingValue& ranking = owner.cast<const RankingValue&>();
  const std::size_t count = ranking.get().refusals().size();
  py::tuple out(count);
  for (std::size_t i = 0; i < count; ++i) out[i] = RefusalValue{owner, &ranking, i};
  return out;
}

const Candidate& CandidateOf(const OfferValue& self) {
  return self.ranking->get().candidates()[self.get().candidate_index];
}

py::tuple ArrangementOf(const OfferValue& self) {
  const Candidate& candidate = CandidateOf(self);
  if (candidate.arrangement == nullptr) return py::tuple();
  const py::object unit_class = Class("ArrangedUnit");
  const Ranking& ranking = self.ranking->get();
  const std::vector<std::size_t> steps = StepsOfUnits(ranking, candidate);
  py::tuple out(candidate.arrangement->size());
  for (std::size_t i = 0; i < out.size(); ++i) {
    const Placement& one = (*candidate.arrangement)[i];
    const GoodsUnit of = GoodsUnitOf(ranking.request(), one.unit);
    py::tuple at(3);
    SidesValue sides{{}, ranking.request().side_units};
    for (std::size_t k = 0; k < 3; ++k) {
      at[k] = In(*self.ranking, Length::Nanometres(one.at[k]));
      sides.sides[k] = Length::Nanometres(one.sides[k]);
    }
    out[i] = unit_class(of.item, of.unit, at, sides, steps[i]);
  }
  return out;
}

py::object InsideOfOffer(const OfferValue& self) {
  const Candidate& candidate = CandidateOf(self);
  const bool carton = candidate.packaging != nullptr && candidate.packaging->kind == PackagingKind::kCarton;
  if (!carton && candidate.arrangement == nullptr) return py::none();
  return py::cast(SidesValue{InsideOf(candidate), self.ranking->get().request().side_units});
}

py::tuple StepsOfOffer(const RankingValue& ranking, const OfferValue& offer) {
  if (offer.ranking->ranking != ranking.ranking) {
    throw py::value_error("offer: found one of another ranking, expected one of this ranking's own");
  }
  const std::vector<std::string> steps = PackingSteps(ranking.get(), CandidateOf(offer));
  py::tuple out(steps.size());
  for (std::size_t i = 0; i < out.size(); ++i) out[i] = ToStr(steps[i]);
  return out;
}

py::tuple GrowthOf(const OfferValue& self, const py::object& nodes) {
  const ArrangeBudget budget{ToWhole(nodes, "nodes", 1, kMostNodes)};
  const std::vector<Growth> growth = [&] {
    const py::gil_scoped_release release;
    return RoomToGrow(self.ranking->get(), CandidateOf(self), budget);
  }();
  const py::object growth_class = Class("Growth");
  py::tuple out(growth.size());
  for (std::size_t i = 0; i < out.size(); ++i) {
    py::tuple sides(3);
    for (std::size_t k = 0; k < 3; ++k) sides[k] = In(*self.ranking, growth[i].sides[k]);
    out[i] = growth_class(growth[i].item, sides);
  }
  return out;
}

py::object TaxOf(const OfferValue& self) {
  const std::optional<OfferTax>& tax = self.get().tax;
  if (!tax) return py::none();
  const int decimals = self.get().tariff_currency.decimals();
  const std::string percent = tax->tax->percent.ToString();
  return Class("Tax")(tax->tax->code, tax->tax->title, NumberOf(percent), ToMoney(tax->amount, decimals),
                      ToMoney(tax->net, decimals), ToMoney(tax->with_tax, decimals));
}

py::tuple HandicapsOf(const OfferValue& self) {
  const py::object handicap_class = Class("Handicap");
  const std::vector<OfferHandicap>& handicaps = self.get().handicaps;
  py::tuple out(handicaps.size());
  for (std::size_t i = 0; i < out.size(); ++i) {
    out[i] =
        handicap_class(handicaps[i].code, handicaps[i].title, ToMoney(handicaps[i].amount, self.ranking->decimals()));
  }
  return out;
}

py::tuple OverdueOf(const OfferValue& self) {
  const py::object overdue_class = Class("Overdue");
  const std::vector<OverdueSeries>& overdue = self.get().overdue;
  py::tuple out(overdue.size());
  for (std::size_t i = 0; i < out.size(); ++i) out[i] = overdue_class(overdue[i].series, ToPyDate(overdue[i].since));
  return out;
}

py::tuple SaversOf(const OfferValue& self) {
  const py::object saver_class = Class("Saver");
  const std::vector<Saver>& savers = self.get().savers;
  py::tuple out(savers.size());
  for (std::size_t i = 0; i < savers.size(); ++i) {
    const Saver& saver = savers[i];
    py::object take = saver.of == Aspect::kWeight ? py::cast(In(*self.ranking, saver.weight))
                                                  : py::cast(In(*self.ranking, saver.length));
    out[i] = saver_class(kAspectNames[static_cast<int>(saver.of)], take, ToMoney(saver.total, self.ranking->decimals()),
                         ToMoney(saver.saves, self.ranking->decimals()));
  }
  return out;
}

py::object HeadroomOf(const OfferValue& self) {
  auto given = [&self](const auto& value) {
    return value ? py::cast(In(*self.ranking, *value)) : py::object(py::none());
  };
  const Headroom& headroom = self.get().headroom;
  return Class("Headroom")(given(headroom.weight), given(headroom.sides[0]), given(headroom.sides[1]),
                           given(headroom.sides[2]));
}

std::string Money(const RankingValue& ranking, Amount amount) {
  return amount.ToString(ranking.decimals()) + " " + std::string(ranking.get().currency().code());
}

std::string DaysText(const Offer& offer) {
  if (!offer.days) return "days not published";
  if (offer.days->least == offer.days->most)
    return std::to_string(offer.days->most) + (offer.days->most == 1 ? " day" : " days");
  return std::to_string(offer.days->least) + "-" + std::to_string(offer.days->most) + " days";
}

void BindOffer(py::module_& module) {
  py::class_<ChargeValue> charge(module, "Charge", "One line of an offer.");
  charge.def_property_readonly("code", [](const ChargeValue& self) { return ToStr(self.get().code); });
  charge.def_property_readonly("title", [](const ChargeValue& self) { return ToStr(self.get().title); });
  charge.def_property_readonly("amount", [](const ChargeValue& self) {
    return ToMoney(self.get().amount, self.offer.get().tariff_currency.decimals());
  });
  charge.def_property_readonly(
      "why", [](const ChargeValue& self) { return self.offer.ranking->get().Why(self.offer.get(), self.get()); });
  charge.def_property_readonly("row", [](const ChargeValue& self) -> std::optional<std::string> {
    std::string row = Ranking::Row(self.get());
    return row.empty() ? std::nullopt : std::optional<std::string>(std::move(row));
  });
  charge.def_property_readonly("column", [](const ChargeValue& self) -> std::optional<std::string> {
    std::string column = self.offer.ranking->get().Column(self.offer.get(), self.get());
    return column.empty() ? std::nullopt : std::optional<std::string>(std::move(column));
  });
  charge.def_property_readonly("billed_as", [](const ChargeValue& self) -> std::optional<std::string> {
    std::string as = Ranking::BilledAs(self.get());
    return as.empty() ? std::nullopt : std::optional<std::string>(std::move(as));
  });
  charge.def("__repr__", [](const ChargeValue& self) {
    return "<Charge " + std::string(self.get().code) + " " +
           self.get().amount.ToString(self.offer.get().tariff_currency.decimals()) + " " +
           std::string(self.offer.get().tariff_currency.code()) + ": " +
           self.offer.ranking->get().Why(self.offer.get(), self.get()) + ">";
  });
  BindView(charge, "restore_charge",
           [](const ChargeValue& self) { return py::make_tuple(self.offer.owner, self.offer.index, self.index); });

  py::class_<OfferValue> offer(module, "Offer", "One way to send, with its price and why.");
  auto text = [&offer](const char* name, auto read) {
    offer.def_property_readonly(name, [read](const OfferValue& self) { return ToStr(read(self.get())); });
  };
  text("carrier", [](const Offer& o) { return o.carrier; });
  text("service", [](const Offer& o) { return o.service; });
  text("title", [](const Offer& o) { return o.title; });
  text("packaging", [](const Offer& o) { return Shown(o.packaging); });
  text("zone", [](const Offer& o) { return o.zone; });
  text("delivers", [](const Offer& o) { return NameOf(o.delivers); });
  text("mode", [](const Offer& o) { return NameOf(o.mode); });
  text("billable_from", [](const Offer& o) { return kBillableFromNames[static_cast<int>(o.billable_from)]; });
  text("tariff_currency", [](const Offer& o) { return o.tariff_currency.code(); });
  offer.def_property_readonly("carrier_name", [](const OfferValue& self) { return TariffOf(self).carrier_name; });
  offer.def_property_readonly("issued_by", [](const OfferValue& self) -> std::optional<std::string> {
    if (self.get().issued_by.empty()) return std::nullopt;
    return std::string(self.get().issued_by);
  });
  offer.def_property_readonly("packaging_title", [](const OfferValue& self) -> std::optional<std::string> {
    const Candidate& candidate = self.ranking->get().candidates()[self.get().candidate_index];
    if (candidate.packaging == nullptr || candidate.packaging->title.empty()) return std::nullopt;
    return candidate.packaging->title;
  });
  offer.def_property_readonly("days", [](const OfferValue& self) { return ToDays(self.get().days); });
  offer.def_property_readonly("arrives", [](const OfferValue& self) { return ToArrival(self.get().arrives); });
  offer.def_property_readonly("tracked", [](const OfferValue& self) { return self.get().tracked; });
  offer.def_property_readonly("weight", [](const OfferValue& self) { return In(*self.ranking, self.get().weight); });
  offer.def_property_readonly("sides", [](const OfferValue& self) {
    return SidesValue{self.get().sides.sides(), self.ranking->get().request().side_units};
  });
  offer.def_property_readonly("billable_weight",
                              [](const OfferValue& self) { return In(*self.ranking, self.get().billable); });
  offer.def_property_readonly("charges", [](const OfferValue& self) {
    py::tuple out(self.get().charges.size());
    for (std::size_t i = 0; i < out.size(); ++i) out[i] = ChargeValue{self, i};
    return out;
  });
  offer.def_property_readonly("tariff_total", [](const OfferValue& self) {
    return ToMoney(self.get().service_total, self.get().tariff_currency.decimals());
  });
  auto money = [&offer](const char* name, auto read) {
    offer.def_property_readonly(
        name, [read](const OfferValue& self) { return ToMoney(read(self.get()), self.ranking->decimals()); });
  };
  money("packaging_cost", [](const Offer& o) { return o.packaging_cost; });
  money("total", [](const Offer& o) { return o.total; });
  offer.def_property_readonly("tax", &TaxOf);
  offer.def_property_readonly("handicaps", &HandicapsOf);
  offer.def_property_readonly("overdue", &OverdueOf);
  money("handicap", [](const Offer& o) { return o.handicap; });
  money("included_cover", [](const Offer& o) { return o.included_cover; });
  offer.def_property_readonly("cut_to", [](const OfferValue& self) -> std::optional<LengthValue> {
    if (!self.get().cut_to) return std::nullopt;
    return In(*self.ranking, *self.get().cut_to);
  });
  offer.def_property_readonly("arrangement", &ArrangementOf);
  offer.def_property_readonly("inside", &InsideOfOffer);
  offer.def("room_to_grow", &GrowthOf, py::kw_only(), py::arg("nodes") = kFewNodes,
            "How much longer each side of an item may be until the packaging holds the goods no more.");
  offer.def_property_readonly("at_risk", [](const OfferValue& self) { return self.get().at_risk; });
  offer.def_property_readonly("total_at_risk", [](const OfferValue& self) -> py::object {
    return self.get().total_at_risk ? ToMoney(*self.get().total_at_risk, self.ranking->decimals()) : py::none();
  });
  offer.def_property_readonly("total_range", [](const OfferValue& self) -> py::object {
    const std::optional<TotalRange>& range = self.get().range;
    if (!range) return py::none();
    return Class("TotalRange")(ToMoney(range->lowest, self.ranking->decimals()),
                               ToMoney(range->highest, self.ranking->decimals()));
  });
  offer.def_property_readonly("cautions", [](const OfferValue& self) {
    const std::vector<Caution> cautions = self.get().cautions.List();
    py::tuple out(cautions.size());
    for (std::size_t i = 0; i < out.size(); ++i) out[i] = ToStr(cautions[i].name);
    return out;
  });
  offer.def_property_readonly("headroom", &HeadroomOf);
  offer.def_property_readonly("savers", &SaversOf);
  offer.def("__repr__", [](const OfferValue& self) {
    const Offer& o = self.get();
    return "<Offer " + std::string(o.carrier) + "/" + std::string(o.service) + " in " +
           std::string(Shown(o.packaging)) + ": " + Money(*self.ranking, o.total) + ", " + DaysText(o) +
           (o.at_risk ? ", at risk>" : ">");
  });
  BindView(offer, "restore_offer", [](const OfferValue& self) { return py::make_tuple(self.owner, self.index); });

  py::class_<RefusalValue> refusal(module, "Refusal", "One way that is not offered, with every reason.");
  auto optional = [&refusal](const char* name, auto read) {
    refusal.def_property_readonly(name, [read](const RefusalValue& self) -> std::optional<std::string> {
      const std::string_view value = read(self.get());
      return value.empty() ? std::nullopt : std::optional<std::string>(value);
    });
  };
  optional("carrier", [](const Refusal& r) { return r.carrier; });
  optional("service", [](const Refusal& r) { return r.service; });
  refusal.def_property_readonly("packaging",
                                [](const RefusalValue& self) { return ToStr(Shown(self.get().packaging)); });
  refusal.def_property_readonly("reasons", [](const RefusalValue& self) {
    const py::object reason_class = Class("Reason");
    py::tuple out(self.get().reasons.size());
    for (std::size_t i = 0; i < out.size(); ++i) {
      out[i] = reason_class(NameOf(self.get().reasons[i].code), self.get().reasons[i].text);
    }
    return out;
  });
  refusal.def("__repr__", [](const RefusalValue& self) {
    const Refusal& r = self.get();
    std::string out = "<Refusal ";
    if (!r.service.empty()) out += std::string(r.carrier) + "/" + std::string(r.service) + " in ";
    out += std::string(Shown(r.packaging)) + ": ";
    for (std::size_t i = 0; i < r.reasons.size(); ++i) out += (i > 0 ? "; " : "") + r.reasons[i].text;
    return out + ">";
  });
  BindView(refusal, "restore_refusal", [](const RefusalValue& self) { return py::make_tuple(self.owner, self.index); });
}

}  // namespace

py::object OfferAt(const py::object& owner, std::size_t index) {
  return py::cast(OfferValue{owner, &owner.cast<const RankingValue&>(), index});
}
py::object ToDays(const std::optional<Days>& days) {
  return days ? Class("Days")(days->least, days->most) : py::object(py::none());
}

py::object ToArrival(const std::optional<Arrival>& arrives) {
  if (!arrives) return py::none();
  return Class("Arrival")(ToPyDate(arrives->earliest), ToPyDate(arrives->latest));
}

py::object ToCaution(const Caution& caution) {
  return Class("Caution")(ToStr(caution.text), ToStr(caution.source), ToStr(caution.name));
}

void BindRanking(py::module_& module) {
  BindOffer(module);
  py::class_<RankingValue> ranking(module, "Ranking",
                                   "Every way to send, best first, and every way that is not offered.");
  ranking.def_property_readonly("offers", [](const py::object& self) { return PartsOf(self, &OfferCount, &OfferAt); });
  ranking.def_property_readonly("refusals", &RefusalsOf);
  ranking.def_property_readonly("best", [](const py::object& self) -> py::object {
    return self.cast<const RankingValue&>().get().offers().empty() ? py::none() : OfferAt(self, 0);
  });
  ranking.def_property_readonly("cautions", [](const RankingValue& self) {
    py::tuple out(self.get().cautions().size());
    for (std::size_t i = 0; i < out.size(); ++i) out[i] = ToCaution(self.get().cautions()[i]);
    return out;
  });
  ranking.def_property_readonly("changes", [](const RankingValue& self) {
    const py::object change_class = Class("WinnerChange");
    py::tuple out(self.get().changes().size());
    for (std::size_t i = 0; i < out.size(); ++i) {
      const WinnerChange& change = self.get().changes()[i];
      py::object above = change.of == Aspect::kWeight ? py::cast(In(self, change.above_weight))
                                                      : py::cast(In(self, change.above_length));
      if (change.service.empty()) {
        out[i] = change_class(kAspectNames[static_cast<int>(change.of)], above, py::none(), py::none(), py::none(),
                              py::none());
      } else {
        out[i] = change_class(kAspectNames[static_cast<int>(change.of)], above, change.carrier, change.service,
                              Shown(change.packaging), ToMoney(change.total, self.decimals()));
      }
    }
    return out;
  });
  ranking.def("steps", &StepsOfOffer, py::arg("offer"), "How to pack an offer of this ranking, in steps to follow.");
  ranking.def_property_readonly("estimate", [](const RankingValue& self) { return self.get().estimate(); });
  ranking.def_property_readonly("currency",
                                [](const RankingValue& self) { return ToStr(self.get().currency().code()); });
  ranking.def_property_readonly("totals", [](const RankingValue& self) {
    return ToStr(kTotalsNames[static_cast<int>(self.get().dispatch().shipment().totals)]);
  });
  ranking.def_property_readonly("request", &RankingValue::request);
  ranking.def_property_readonly("ratebook", [](const RankingValue& self) { return self.book; });
  ranking.def_property_readonly("shelf", [](const RankingValue& self) { return self.shelf; });
  BindSequence(ranking, &OfferCount, &OfferAt, "there is no such offer");
  BindAnswer(ranking);
  // Ranked again from what it was made of: the same input gives the same ranking.
  ranking.def("__reduce__", [](const RankingValue& self) {
    return py::make_tuple(Class("restore_ranking"),
                          py::make_tuple(1, self.book, self.request(), self.shelf, self.thresholds));
  });
  ranking.def("__repr__", [](const RankingValue& self) {
    const std::size_t n = self.get().offers().size();
    std::string out = "<Ranking of " + std::to_string(n) + (n == 1 ? " offer, " : " offers, ") +
                      std::to_string(self.get().refusals().size()) + " refused";
    if (n > 0) {
      const Offer& best = self.get().offers().front();
      out += "; best: " + std::string(best.carrier) + "/" + std::string(best.service) + " in " +
             std::string(Shown(best.packaging)) + ", " + Money(self, best.total);
    }
    return out + (self.get().estimate() ? "; an estimate>" : ">");
  });

  module.def(
      "caution",
      [](const std::string& code) {
        for (const Caution& caution : kCautions) {
          if (caution.name == code) return ToCaution(caution);
        }
        throw py::key_error("found the caution " + code + ", expected the code of one");
      },
      py::arg("code"), "The words and the source of a caution, by its code.");
  module.def(
      "rank",
      [](const py::object& book, py::object goods, const py::object& shelf, py::object lane, py::object date,
         py::object promise, py::object extras, py::object cover, py::object accepts, py::object amounts,
         py::object time, py::object totals, py::object week, py::object consignment, py::object tolerance,
         py::object steps, py::object objective, py::object currency, py::object exchange, py::object padding,
         py::object fill_weight, py::object allowance, bool thresholds) {
        const RequestArguments arguments{std::move(goods),
                                         std::move(lane),
                                         std::move(date),
                                         std::move(promise),
                                         std::move(extras),
                                         std::move(cover),
                                         TermArguments{std::move(accepts), std::move(amounts), std::move(time),
                                                       std::move(totals), std::move(week), std::move(consignment)},
                                         std::move(tolerance),
                                         std::move(steps),
                                         std::move(objective),
                                         std::move(currency),
                                         std::move(exchange),
                                         std::move(padding),
                                         std::move(fill_weight),
                                         std::move(allowance)};
        return MakeRanking(book, shelf, arguments.Read(), thresholds);
      },
      py::arg("ratebook"), py::arg("goods"), py::kw_only(), py::arg("shelf") = py::none(), py::arg("lane"),
      py::arg("date"), py::arg("promise") = py::none(), py::arg("extras") = py::tuple(), py::arg("cover") = py::none(),
      py::arg("accepts") = "door", py::arg("amounts") = py::none(), py::arg("time") = py::none(),
      py::arg("totals") = "with_tax", py::arg("week") = py::none(), py::arg("consignment") = py::none(),
      py::arg("tolerance") = py::none(), py::arg("steps") = py::none(), py::arg("objective") = "cheapest",
      py::arg("currency") = py::none(), py::arg("exchange") = py::none(), py::arg("padding") = py::none(),
      py::arg("fill_weight") = py::none(), py::arg("allowance") = py::none(), py::arg("thresholds") = true);
  module.def(
      "rank_request",
      [](const py::object& book, const RequestValue& request, const py::object& shelf, bool thresholds) {
        return MakeRanking(book, shelf, request, thresholds);
      },
      py::arg("ratebook"), py::arg("request"), py::kw_only(), py::arg("shelf") = py::none(),
      py::arg("thresholds") = true);
}

}  // namespace tarewise::python
