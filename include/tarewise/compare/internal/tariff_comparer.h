#ifndef TAREWISE_COMPARE_INTERNAL_TARIFF_COMPARER_H_
#define TAREWISE_COMPARE_INTERNAL_TARIFF_COMPARER_H_

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <iterator>
#include <map>
#include <optional>
#include <set>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "tarewise/compare/comparison.h"
#include "tarewise/compare/internal/prices.h"
#include "tarewise/compare/internal/series.h"
#include "tarewise/compare/internal/words.h"
#include "tarewise/compare/internal/zones.h"
#include "tarewise/pricing/ratebook.h"
#include "tarewise/tariff/tariff.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// One side of a comparison: a tariff, the terms beside it, and the date that counts, if one does.
struct ComparedSide {
  const Tariff* tariff = nullptr;
  const Terms* terms = nullptr;
  std::optional<Date> date;
};

class TariffComparer {
 public:
  static TariffComparison Run(const ComparedSide& before, const ComparedSide& after) {
    TariffComparer comparer(before, after);
    comparer.All();
    return std::move(comparer.out_);
  }

 private:
  TariffComparer(const ComparedSide& before, const ComparedSide& after)
      : a_(before.tariff != nullptr ? *before.tariff : Nothing()),
        b_(after.tariff != nullptr ? *after.tariff : Nothing()),
        before_(before),
        after_(after),
        dated_(before.date.has_value() && after.date.has_value()),
        side_a_{a_, dated_ ? before.date : std::nullopt},
        side_b_{b_, dated_ ? after.date : std::nullopt} {
    if (before.tariff == nullptr) out_.kind = ChangeKind::kAdded;
    if (after.tariff == nullptr) out_.kind = ChangeKind::kRemoved;
  }

  static const Tariff& Nothing() {
    static const Tariff nothing;
    return nothing;
  }

  void All() {
    const Tariff& shown = after_.tariff != nullptr ? b_ : a_;
    out_.carrier = shown.carrier;
    out_.carrier_name = shown.carrier_name;
    out_.currency = shown.currency;
    out_.title_before = a_.title;
    out_.title_after = b_.title;
    out_.in_force_before = a_.in_force;
    out_.in_force_after = b_.in_force;
    if (out_.kind == ChangeKind::kChanged) {
      Differ(out_.differences, "carrier", a_.carrier, b_.carrier);
      Differ(out_.differences, "name", a_.carrier_name, b_.carrier_name);
      Differ(out_.differences, "currency", std::string(a_.currency.code()), std::string(b_.currency.code()));
      Differ(out_.differences, "rounding", RoundingWords(a_), RoundingWords(b_));
      Differ(out_.differences, "tax", TaxWords(a_, a_.tax), TaxWords(b_, b_.tax));
      CalendarsDiffer(out_.differences, a_.calendar, b_.calendar);
    }
    Services();
    Charges();
    // Between days each charge tells its own value.
    if (!dated_ && out_.kind == ChangeKind::kChanged) SeriesComparer(a_, b_, out_).Run();
    ZoneComparer(a_, b_, out_).Run();
    PackagingList();
    Discounts();
  }

  static void Differ(std::vector<Difference>& out, std::string what, std::string before, std::string after) {
    if (before != after) out.push_back({std::move(what), std::move(before), std::move(after)});
  }

  static std::string RoundingWords(const Tariff& tariff) {
    constexpr std::string_view kModes[] = {"half up", "half even", "up", "down"};
    return "lines to " + Amount::Micros(tariff.rounding.line).ToString(0) + ", total to " +
           Amount::Micros(tariff.rounding.total).ToString(0) + ", " +
           std::string(kModes[static_cast<int>(tariff.rounding.mode)]);
  }

  static std::string TaxWords(const Tariff& tariff, std::optional<std::uint32_t> index) {
    if (!index) return "none";
    const Tax& tax = tariff.taxes[*index];
    std::string out = tax.title + " (" + tax.code + ") " + tax.percent.ToString() +
                      (tax.listed_with ? ", in the prices" : ", on top");
    if (tax.by_line) out += ", line by line";
    if (!tax.when.always()) out += " (where " + TestWords(tax.when) + ")";
    return out;
  }
  // Of a service: one that goes with the document says so, so that a change of the document's is told once.
  static std::string OwnTaxWords(const Tariff& tariff, const Service& service) {
    return service.tax == tariff.tax ? "as the list's" : TaxWords(tariff, service.tax);
  }

  // ---- services ----

  static const Service* ByCode(const Tariff& tariff, std::string_view code) {
    for (const Service& service : tariff.services) {
      if (service.code == code) return &service;
    }
    return nullptr;
  }

  void Services() {
    for (const Service& service : a_.services) OneService(&service, ByCode(b_, service.code));
    for (const Service& service : b_.services) {
      if (ByCode(a_, service.code) == nullptr) OneService(nullptr, &service);
    }
  }

  static std::set<ZoneId> Reach(const Tariff& tariff, const Service* service) {
    if (service == nullptr || service->zone_list >= tariff.zone_lists.size()) return {};
    return ZonesOf(tariff.zone_lists[service->zone_list]);
  }

  static std::string ListName(const Tariff& tariff, const Service& service) {
    return service.zone_list < tariff.zone_lists.size() ? tariff.zone_lists[service.zone_list].name : std::string();
  }

  static std::set<ZoneId> DaysReach(const Tariff& tariff, const Service& service) {
    if (service.days_list() >= tariff.zone_lists.size()) return {};
    return ZonesOf(tariff.zone_lists[service.days_list()]);
  }
  static std::string DaysListName(const Tariff& tariff, const Service& service) {
    if (!service.days_by || *service.days_by == service.zone_list) return "its zones";
    return *service.days_by < tariff.zone_lists.size() ? tariff.zone_lists[*service.days_by].name : std::string();
  }

  static std::optional<Calendar> CalendarIn(const Tariff& tariff, const Service& service) {
    return service.own_calendar ? service.calendar : tariff.calendar;
  }
  static void CalendarsDiffer(std::vector<Difference>& out, const std::optional<Calendar>& a,
                              const std::optional<Calendar>& b) {
    if (!a || !b) return Differ(out, "calendar", CalendarWords(a), CalendarWords(b));
    Differ(out, "working days", WeekdayWords(a->working, ", "), WeekdayWords(b->working, ", "));
    Differ(out, "delivering days", WeekdayWords(a->delivering, ", "), WeekdayWords(b->delivering, ", "));
    Differ(out, "cut-off", a->cut_off ? a->cut_off->ToString() : "none", b->cut_off ? b->cut_off->ToString() : "none");
    auto only_in = [](const std::vector<Date>& these, const std::vector<Date>& those) {
      std::vector<Date> dates;
      std::set_difference(these.begin(), these.end(), those.begin(), those.end(), std::back_inserter(dates));
      return dates;
    };
    for (const Date date : only_in(a->holidays, b->holidays)) out.push_back({"holiday", date.ToString(), ""});
    for (const Date date : only_in(b->holidays, a->holidays)) out.push_back({"holiday", "", date.ToString()});
  }

  void OneService(const Service* a, const Service* b) {
    ServiceComparison out;
    const Service& shown = b != nullptr ? *b : *a;
    out.kind = a == nullptr ? ChangeKind::kAdded : (b == nullptr ? ChangeKind::kRemoved : ChangeKind::kChanged);
    out.code = shown.code;
    out.title = shown.title;
    const std::vector<ZonePair> zones = PairZones(a_, Reach(a_, a), b_, Reach(b_, b));
    if (a != nullptr && b != nullptr) {
      Differ(out.differences, "title", a->title, b->title);
      Differ(out.differences, "zones", ListName(a_, *a), ListName(b_, *b));
      Differ(out.differences, "days by", DaysListName(a_, *a), DaysListName(b_, *b));
      if (a->own_calendar || b->own_calendar) {
        CalendarsDiffer(out.differences, CalendarIn(a_, *a), CalendarIn(b_, *b));
      }
      Differ(out.differences, "delivers to", std::string(NameOf(a->delivers)), std::string(NameOf(b->delivers)));
      SetsDiffer(out.differences, "requires", a->required, b->required);
      Differ(out.differences, "tracked", a->tracked ? "yes" : "no", b->tracked ? "yes" : "no");
      Differ(out.differences, "mode", std::string(NameOf(a->mode)), std::string(NameOf(b->mode)));
      Differ(out.differences, "own packaging", a->own_packaging ? "taken" : "not taken",
             b->own_packaging ? "taken" : "not taken");
      SetsDiffer(out.differences, "packaging of the carrier", a->issued, b->issued);
      CoverDiffers(out.differences, zones, *a, *b);
      Differ(out.differences, "tax", OwnTaxWords(a_, *a), OwnTaxWords(b_, *b));
      if (a->prices.size() > 1 || b->prices.size() > 1) {
        Differ(out.differences, "of several prices", a->pick_lowest ? "the lowest" : "the first that covers the parcel",
               b->pick_lowest ? "the lowest" : "the first that covers the parcel");
      }
      OrderDiffers(out.differences, *a, *b);
      DaysDiffer(out.days, PairZones(a_, DaysReach(a_, *a), b_, DaysReach(b_, *b)), *a, *b);
      MeasureDiffers(out.measure, a->measure, b->measure);
      RefuseDiffers(out.refuse, *a, *b);
    }
    BasePrices(out, zones, a, b);
    if (!out.empty()) out_.services.push_back(std::move(out));
  }

  // Amount against amount, or what goes by the weight cell by cell.
  void CoverDiffers(std::vector<Difference>& out, const std::vector<ZonePair>& zones, const Service& a,
                    const Service& b) const {
    auto words = [](const Tariff& tariff, const Service& service) {
      if (!service.cover_by_weight) return service.included_cover.ToString(tariff.currency.decimals());
      const CoverByWeight& cover = *service.cover_by_weight;
      return PriceWords(cover.price) +
             (cover.at_most ? ", at most " + cover.at_most->ToString(tariff.currency.decimals()) : "");
    };
    Differ(out, "included cover", words(a_, a), words(b_, b));
    if (!a.cover_by_weight || !b.cover_by_weight) return;
    PriceComparison cells;
    PriceComparer(zones, side_a_, side_b_, cells).Run(&a.cover_by_weight->price, &b.cover_by_weight->price);
    for (Difference& difference : cells.differences) {
      // What the words above have told.
      if (difference.what != "price")
        out.push_back({"included cover, " + difference.what, difference.before, difference.after});
    }
    auto money = [](const Tariff& tariff, const std::optional<Amount>& amount) {
      return amount ? amount->ToString(tariff.currency.decimals()) : std::string();
    };
    for (const CellChange& cell : cells.cells) {
      out.push_back({"included cover, " + cell.row, money(a_, cell.before), money(b_, cell.after)});
    }
  }

  static void OnceDiffers(std::vector<Difference>& out, bool a, bool b) {
    auto words = [](bool once) { return once ? "once a consignment" : "with each parcel"; };
    Differ(out, "due", words(a), words(b));
  }

  static void SetsDiffer(std::vector<Difference>& out, const std::string& what, const std::vector<std::string>& a,
                         const std::vector<std::string>& b) {
    for (const std::string& code : a) {
      if (std::find(b.begin(), b.end(), code) == b.end()) out.push_back({what, code, ""});
    }
    for (const std::string& code : b) {
      if (std::find(a.begin(), a.end(), code) == a.end()) out.push_back({what, "", code});
    }
  }

  // The order of the lines counts for percentages and groups.
  void OrderDiffers(std::vector<Difference>& out, const Service& a, const Service& b) const {
    auto codes = [](const Tariff& tariff, const Service& service, const Tariff& other, const Service& in_other) {
      std::vector<std::string> out_codes;
      for (const std::uint32_t index : service.surcharges) {
        const std::string& code = tariff.rules[index].code;
        for (const std::uint32_t theirs : in_other.surcharges) {
          if (other.rules[theirs].code == code) {
            out_codes.push_back(code);
            break;
          }
        }
      }
      return JoinWords(out_codes, ", ");
    };
    Differ(out, "order of the charges", codes(a_, a, b_, b), codes(b_, b, a_, a));
  }

  static void DaysDiffer(std::vector<DaysChange>& out, const std::vector<ZonePair>& zones, const Service& a,
                         const Service& b) {
    auto days = [](const Service& service, ZoneId zone) {
      return DaysWords(zone < service.days.size() ? service.days[zone] : std::nullopt);
    };
    for (const ZonePair& zone : zones) {
      // A zone of one side only shows in the charts and the prices.
      if (!zone.before || !zone.after) continue;
      const std::string before = days(a, *zone.before);
      const std::string after = days(b, *zone.after);
      if (before != after) out.push_back({zone.name, before, after});
    }
  }

  void MeasureDiffers(std::vector<Difference>& out, const MeasureRules& a, const MeasureRules& b) const {
    Differ(out, "sides rounded", StepWords(a.sides, false), StepWords(b.sides, false));
    Differ(out, "weight rounded", StepWords(a.weight, true), StepWords(b.weight, true));
    Differ(out, "volume of tubes and irregular parcels, times", Amount::Micros(a.irregular_factor).ToString(0),
           Amount::Micros(b.irregular_factor).ToString(0));
    RuleLists(
        out, "dimensional weight", a.dimensional, b.dimensional,
        [](const MeasureRules::Dimensional& rule) {
          return rule.volume_per_weight.text + (rule.at_most ? ", at most " + WeightWords(*rule.at_most) : "");
        },
        // The divisor by its value: 166 in3/lb however it is written.
        [](const MeasureRules::Dimensional& rule) {
          return Int128Key(rule.volume_per_weight.volume) + "/" + std::to_string(rule.volume_per_weight.weight) + "/" +
                 (rule.at_most ? std::to_string(rule.at_most->nanograms()) : "");
        });
    RuleLists(
        out, "least billable weight", a.at_least, b.at_least,
        [](const MeasureRules::AtLeast& rule) { return WeightWords(rule.weight); },
        [](const MeasureRules::AtLeast& rule) { return std::to_string(rule.weight.nanograms()); });
  }

  void RefuseDiffers(std::vector<Difference>& out, const Service& a, const Service& b) const {
    RuleLists(
        out, "refuse rule", a.refuse, b.refuse, [](const RefuseRule& rule) { return rule.reason; },
        [](const RefuseRule& rule) { return std::string(NameOf(rule.code)) + "/" + rule.reason; });
  }

  // Rules with a test and something said: those that say the same under the same test do not differ; then those of one
  // test, then those that say the same, are one rule changed.
  template <typename R, typename Said, typename Key>
  void RuleLists(std::vector<Difference>& out, const std::string& what, const std::vector<R>& a,
                 const std::vector<R>& b, Said said, Key key) const {
    struct Keys {
      std::string test;
      std::string said;
    };
    auto keys = [&](const std::vector<R>& rules) {
      std::vector<Keys> all;
      all.reserve(rules.size());
      for (const R& rule : rules) all.push_back({TestKey(rule.when, dated_), key(rule)});
      return all;
    };
    const std::vector<Keys> keys_a = keys(a);
    const std::vector<Keys> keys_b = keys(b);
    auto both = [](const Keys& k) { return k.test + "\n" + k.said; };
    auto test = [](const Keys& k) { return k.test; };
    auto words_said = [](const Keys& k) { return k.said; };
    Matching matching(a.size(), b.size());
    matching.ByKey(keys_a, keys_b, both, both);
    matching.ByKey(keys_a, keys_b, test, test);
    matching.ByKey(keys_a, keys_b, words_said, words_said);
    matching.Finish();
    auto words = [&](const R& rule) {
      return rule.when.always() ? said(rule) : said(rule) + " (where " + TestWords(rule.when) + ")";
    };
    for (const auto& [i, j] : matching.pairs) {
      if (i && j && both(keys_a[*i]) == both(keys_b[*j])) continue;
      out.push_back({what, i ? words(a[*i]) : "", j ? words(b[*j]) : ""});
    }
  }

  void BasePrices(ServiceComparison& out, const std::vector<ZonePair>& zones, const Service* a,
                  const Service* b) const {
    static const std::vector<PriceAlternative> kNone;
    const std::vector<PriceAlternative>& prices_a = a != nullptr ? a->prices : kNone;
    const std::vector<PriceAlternative>& prices_b = b != nullptr ? b->prices : kNone;
    struct Keys {
      std::string test;
      std::size_t kind;
    };
    auto keys = [this](const std::vector<PriceAlternative>& prices) {
      std::vector<Keys> all;
      all.reserve(prices.size());
      for (const PriceAlternative& price : prices) all.push_back({TestKey(price.when, dated_), price.price.index()});
      return all;
    };
    const std::vector<Keys> keys_a = keys(prices_a);
    const std::vector<Keys> keys_b = keys(prices_b);
    auto both = [](const Keys& k) { return k.test + "\n" + std::to_string(k.kind); };
    auto test = [](const Keys& k) { return k.test; };
    auto kind = [](const Keys& k) { return k.kind; };
    Matching matching(prices_a.size(), prices_b.size());
    matching.ByKey(keys_a, keys_b, both, both);
    matching.ByKey(keys_a, keys_b, test, test);
    matching.ByKey(keys_a, keys_b, kind, kind);
    matching.Finish();
    std::optional<std::size_t> last;
    bool order = false;
    for (const auto& [i, j] : matching.pairs) {
      const PriceAlternative* old_price = i ? &prices_a[*i] : nullptr;
      const PriceAlternative* new_price = j ? &prices_b[*j] : nullptr;
      PriceComparison price;
      price.kind = !i ? ChangeKind::kAdded : (!j ? ChangeKind::kRemoved : ChangeKind::kChanged);
      price.when = TestWords((new_price != nullptr ? new_price : old_price)->when);
      if (i && j && keys_a[*i].test != keys_b[*j].test) {
        price.differences.push_back({"test", TestWords(old_price->when), TestWords(new_price->when)});
      }
      if (i && j) OnceDiffers(price.differences, old_price->once, new_price->once);
      PriceComparer(zones, side_a_, side_b_, price)
          .Run(old_price != nullptr ? &old_price->price : nullptr, new_price != nullptr ? &new_price->price : nullptr);
      out.cells_common += price.cells_common;
      if (i && j) {
        order = order || (last && *j < *last);
        last = j;
      }
      if (!price.empty()) out.prices.push_back(std::move(price));
    }
    if (order && !(a->pick_lowest && b->pick_lowest)) {
      out.differences.push_back({"order of the prices", "as listed before", "another"});
    }
  }

  // ---- surcharges and extras ----

  // A rule of one side and the codes of the services that have it.
  struct Usage {
    std::vector<std::string> services;
    bool extra = false;
  };

  // Which rule index a service holds for a code; rules that cannot be due on the date are not there.
  using RuleIndex = std::optional<std::uint32_t>;

  std::vector<std::uint32_t> RulesOf(const Tariff& tariff, const Service* service, bool extra,
                                     std::optional<Date> date) const {
    std::vector<std::uint32_t> out;
    if (service == nullptr) return out;
    for (const std::uint32_t index : extra ? service->extras : service->surcharges) {
      if (!dated_ || MayHoldOn(tariff.rules[index].when, *date)) out.push_back(index);
    }
    return out;
  }

  // Rules of one service on both sides: by code; with dates, then by the code less the date it ends in.
  std::vector<std::pair<RuleIndex, RuleIndex>> PairRules(const std::vector<std::uint32_t>& a,
                                                         const std::vector<std::uint32_t>& b) const {
    std::vector<std::string> codes_a;
    std::vector<std::string> codes_b;
    codes_a.reserve(a.size());
    codes_b.reserve(b.size());
    for (const std::uint32_t index : a) codes_a.push_back(a_.rules[index].code);
    for (const std::uint32_t index : b) codes_b.push_back(b_.rules[index].code);
    auto same = [](const std::string& code) { return code; };
    Matching matching(a.size(), b.size());
    matching.ByKey(codes_a, codes_b, same, same);
    if (dated_) {
      auto stems = [](std::vector<std::string> codes) {
        for (std::size_t i = 0; i < codes.size(); ++i) {
          const std::string_view stem = StemOfDated(codes[i]);
          // A code without a date stands for itself and never meets a stem.
          codes[i] = stem.empty() ? "\n" + std::to_string(i) + codes[i] : std::string(stem);
        }
        return codes;
      };
      matching.ByKey(stems(codes_a), stems(codes_b), same, same);
    }
    matching.Finish();
    std::vector<std::pair<RuleIndex, RuleIndex>> out;
    for (const auto& [i, j] : matching.pairs) {
      out.emplace_back(i ? RuleIndex(a[*i]) : std::nullopt, j ? RuleIndex(b[*j]) : std::nullopt);
    }
    return out;
  }

  void Charges() {
    // One entry for each pair of rules, whatever the number of services that share it.
    std::map<std::pair<RuleIndex, RuleIndex>, Usage> usages;
    std::vector<std::pair<RuleIndex, RuleIndex>> order;
    std::size_t both_sides = 0;
    auto use = [&](std::pair<RuleIndex, RuleIndex> pair, const std::string& service, bool extra) {
      const auto [at, fresh] = usages.try_emplace(pair);
      if (fresh) order.push_back(pair);
      at->second.extra = extra;
      if (!service.empty()) at->second.services.push_back(service);
    };
    auto service_pair = [&](const Service* a, const Service* b) {
      both_sides += a != nullptr && b != nullptr ? 1 : 0;
      for (const bool extra : {false, true}) {
        for (const auto& pair : PairRules(RulesOf(a_, a, extra, before_.date), RulesOf(b_, b, extra, after_.date))) {
          use(pair, (b != nullptr ? b : a)->code, extra);
        }
      }
    };
    for (const Service& service : a_.services) service_pair(&service, ByCode(b_, service.code));
    for (const Service& service : b_.services) {
      if (ByCode(a_, service.code) == nullptr) service_pair(nullptr, &service);
    }
    UnusedRules(use);
    for (const auto& pair : order) OneCharge(pair.first, pair.second, usages[pair], both_sides);
  }

  // Rules in a document that no service of either side lists, by code.
  template <typename Use>
  void UnusedRules(Use use) const {
    std::set<std::string_view> used;
    for (const Tariff* tariff : {&a_, &b_}) {
      for (const Service& service : tariff->services) {
        for (const std::uint32_t index : service.surcharges) used.insert(tariff->rules[index].code);
        for (const std::uint32_t index : service.extras) used.insert(tariff->rules[index].code);
      }
    }
    auto unused = [&used](const Tariff& tariff) {
      std::vector<std::uint32_t> out;
      for (std::uint32_t i = 0; i < tariff.rules.size(); ++i) {
        if (!used.contains(tariff.rules[i].code)) out.push_back(i);
      }
      return out;
    };
    for (const auto& pair : PairRules(unused(a_), unused(b_))) use(pair, "", false);
  }

  void OneCharge(RuleIndex i, RuleIndex j, const Usage& usage, std::size_t both_sides) {
    const ChargeRule* a = i ? &a_.rules[*i] : nullptr;
    const ChargeRule* b = j ? &b_.rules[*j] : nullptr;
    const ChargeRule& shown = b != nullptr ? *b : *a;
    ChargeComparison out;
    out.kind = a == nullptr ? ChangeKind::kAdded : (b == nullptr ? ChangeKind::kRemoved : ChangeKind::kChanged);
    out.code = shown.code;
    out.title = shown.title;
    out.extra = usage.extra;
    out.services = usage.services;
    std::size_t shared = 0;
    for (const std::string& code : usage.services) shared += ByCode(a_, code) != nullptr && ByCode(b_, code) != nullptr;
    out.every_service = both_sides > 1 && shared == both_sides;
    std::set<ZoneId> reach_a;
    std::set<ZoneId> reach_b;
    for (const std::string& code : usage.services) {
      reach_a.merge(Reach(a_, ByCode(a_, code)));
      reach_b.merge(Reach(b_, ByCode(b_, code)));
    }
    const std::vector<ZonePair> zones = PairZones(a_, reach_a, b_, reach_b);
    out.price.kind = out.kind;
    out.price.when = TestWords(shown.when);
    if (a != nullptr && b != nullptr) {
      if (a->code != b->code) {
        Differ(out.differences, "code", a->code, b->code);
      } else {
        Differ(out.differences, "title", a->title, b->title);
      }
      if (TestKey(a->when, dated_) != TestKey(b->when, dated_)) {
        out.differences.push_back({"test", TestWords(a->when), TestWords(b->when)});
      }
      Differ(out.differences, "group", a->group.empty() ? "none" : a->group, b->group.empty() ? "none" : b->group);
      SetsDiffer(out.differences, "replaces", a->replaces, b->replaces);
      OnceDiffers(out.differences, a->once, b->once);
      Differ(out.differences, "what it comes to", a->less ? "taken off" : "added", b->less ? "taken off" : "added");
      SetsDiffer(out.differences, "requires", a->required, b->required);
      SetsDiffer(out.differences, "excludes", a->excluded, b->excluded);
    }
    PriceComparer(zones, side_a_, side_b_, out.price)
        .Run(a != nullptr ? &a->price : nullptr, b != nullptr ? &b->price : nullptr);
    // A dated code that gives way to the next at the same price is no change.
    const bool only_code = out.differences.size() == 1 && out.differences.front().what == "code" && out.price.empty();
    if (!out.empty() && !only_code) out_.charges.push_back(std::move(out));
  }

  // ---- packaging and terms ----

  static std::string SidesWords(const Packaging& packaging, const std::array<Length, 3>& sides) {
    std::string out;
    for (std::size_t i = 0; i < 3; ++i) {
      if (i == 2 && sides[2].nanometres() == 0) break;
      if (packaging.kind == PackagingKind::kBare) return "none";
      out += (i == 0 ? "" : " x ") + LengthWords(sides[i]);
    }
    return out;
  }

  void PackagingList() {
    auto find = [](const Tariff& tariff, const std::string& code) -> const Packaging* {
      return Ratebook::FindPackaging(tariff, code);
    };
    for (const Packaging& packaging : a_.packaging) OnePackaging(&packaging, find(b_, packaging.code));
    for (const Packaging& packaging : b_.packaging) {
      if (find(a_, packaging.code) == nullptr) OnePackaging(nullptr, &packaging);
    }
  }

  void OnePackaging(const Packaging* a, const Packaging* b) {
    PackagingComparison out;
    const Packaging& shown = b != nullptr ? *b : *a;
    out.kind = a == nullptr ? ChangeKind::kAdded : (b == nullptr ? ChangeKind::kRemoved : ChangeKind::kChanged);
    out.code = shown.code;
    out.title = shown.title;
    if (a != nullptr && b != nullptr) {
      Differ(out.differences, "title", a->title, b->title);
      Differ(out.differences, "kind", std::string(NameOf(a->kind)), std::string(NameOf(b->kind)));
      Differ(out.differences, "inside", SidesWords(*a, a->inside), SidesWords(*b, b->inside));
      Differ(out.differences, "outside", SidesWords(*a, a->outside), SidesWords(*b, b->outside));
      Differ(out.differences, "wall", LengthWords(a->wall), LengthWords(b->wall));
      Differ(out.differences, "tare", WeightWords(a->tare), WeightWords(b->tare));
      Differ(out.differences, "cost", a->cost.ToString(a_.currency.decimals()),
             b->cost.ToString(b_.currency.decimals()));
      if (out.differences.empty()) return;
    }
    out_.packaging.push_back(std::move(out));
  }

  void Discounts() {
    static const std::vector<Discount> kNone;
    const std::vector<Discount>& a = before_.terms != nullptr ? before_.terms->discounts : kNone;
    const std::vector<Discount>& b = after_.terms != nullptr ? after_.terms->discounts : kNone;
    auto scope = [](const Discount& discount) {
      return (discount.all_services ? std::string("all services") : JoinWords(discount.services, ", ")) + ", off " +
             (discount.of_all ? std::string("all charges") : JoinWords(discount.of, ", "));
    };
    auto scope_key = [this](const Discount& discount) {
      return SortedKey(discount.all_services ? "*" : "", discount.services) + "\n" +
             SortedKey(discount.of_all ? "*" : "", discount.of) + "\n" + TestKey(discount.when, dated_) +
             (discount.adds ? "\nadds" : "");
    };
    auto value_key = [](const Discount& discount) {
      return std::to_string(discount.percent.ten_thousandths()) + "/" +
             (discount.floor ? std::to_string(discount.floor->micros()) : "") + "/" +
             (discount.less ? std::to_string(discount.less->micros()) : "");
    };
    std::vector<std::string> scopes_a;
    std::vector<std::string> scopes_b;
    scopes_a.reserve(a.size());
    scopes_b.reserve(b.size());
    for (const Discount& discount : a) scopes_a.push_back(scope_key(discount));
    for (const Discount& discount : b) scopes_b.push_back(scope_key(discount));
    auto same = [](const std::string& key) { return key; };
    Matching matching(a.size(), b.size());
    matching.ByKey(scopes_a, scopes_b, same, same);
    matching.Finish();
    auto words = [&](const Discount& discount, const Tariff& tariff) {
      const int decimals = tariff.currency.decimals();
      std::string out = discount.less ? discount.less->ToString(decimals) : discount.percent.ToString();
      if (discount.floor) out += ", not below " + discount.floor->ToString(decimals);
      if (discount.adds) out += ", beside others";
      return out;
    };
    for (const auto& [i, j] : matching.pairs) {
      if (i && j && value_key(a[*i]) == value_key(b[*j])) continue;
      const Discount& shown = j ? b[*j] : a[*i];
      std::string what = "discount: " + scope(shown);
      if (!shown.when.always()) what += " (where " + TestWords(shown.when) + ")";
      out_.terms.push_back({std::move(what), i ? words(a[*i], a_) : "", j ? words(b[*j], b_) : ""});
    }
  }

  const Tariff& a_;
  const Tariff& b_;
  const ComparedSide& before_;
  const ComparedSide& after_;
  const bool dated_;
  const DatedSide side_a_;
  const DatedSide side_b_;
  TariffComparison out_;
};

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_COMPARE_INTERNAL_TARIFF_COMPARER_H_
