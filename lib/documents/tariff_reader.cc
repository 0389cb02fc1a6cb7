#include <algorithm>
#include <map>
#include <optional>
#include <set>
#include <string>
#include <string_view>
#include <unordered_map>
#include <utility>
#include <vector>

#include "area_lists.h"
#include "calendar_reader.h"
#include "consignment_reader.h"
#include "cover_reader.h"
#include "documents.h"
#include "packaging_reader.h"
#include "percentages.h"
#include "reduction_reader.h"
#include "series_reader.h"
#include "tarewise/rules/facts.h"
#include "tarewise/rules/price.h"
#include "tax_reader.h"
#include "test_reader.h"
#include "text.h"
#include "week_reader.h"
#include "zone_reader.h"

namespace tarewise::inline TW_VERSIONED::load {
namespace {

constexpr std::size_t kMostServices = 1'000;
constexpr std::size_t kMostRules = 10'000;
constexpr std::size_t kMostPrices = 10'000;
constexpr std::size_t kMostExamples = 100'000;
// Sides of 50 m that are rounded up to steps of 1 m keep a volume times a factor in millionths inside 128 bits.
constexpr std::int64_t kMostSideStep = 1'000'000'000;

constexpr std::string_view kRoundModes[] = {"half_up", "half_even", "up", "down"};
constexpr std::string_view kStepModes[] = {"exact", "up", "down", "nearest"};
constexpr std::string_view kPicks[] = {"first", "lowest"};
constexpr std::string_view kRefuseCodes[] = {"over_limit", "contents_not_accepted"};

enum class RuleKind { kSurcharge, kExtra };

class TariffReader {
 public:
  TariffReader(Fields& fields, GridFiles& grids) : fields_(fields), grids_(grids), series_(fields, grids, tariff_) {}

  Tariff Read(Value value) {
    const Object object(
        fields_, value, "a tariff",
        {"format", "carrier", "title", "source", "currency", "in_force", "rounding", "calendar", "zones", "packaging",
         "services", "surcharges", "extras", "examples", "tax", "areas", "series"});
    if (!object) return {};
    ReadHead(object);
    names_.area_lists = &area_lists_;
    if (const Value v = object["areas"]) area_lists_.Read(fields_, v, grids_);
    if (const Value v = object.Require("zones")) {
      tariff_.zone_lists = ReadZoneLists(fields_, v, names_, grids_);
    } else {
      names_.zones_sound = false;
    }
    tariff_.zone_names.assign(names_.zones.names.begin(), names_.zones.names.end());
    if (const Value v = object["packaging"]) ReadPackagings(v);
    GatherCodes(object);
    if (const Value v = object["series"]) series_.Read(v);
    if (const Value v = object["tax"]) tariff_.tax = AddTax(v, nullptr);
    if (const Value v = object["surcharges"]) ReadSharedRules(v, RuleKind::kSurcharge);
    if (const Value v = object["extras"]) ReadSharedRules(v, RuleKind::kExtra);
    FindRings(shared_surcharges_);
    if (const Value v = object.Require("services")) ReadServices(v);
    CheckPercentages(fields_, tariff_, rule_values_);
    if (const Value v = object["examples"]) ReadExamples(v);
    series_.Check();
    WarnOfUnused();
    WarnOfNoMode();
    tariff_.area_lists = area_lists_.All();
    return std::move(tariff_);
  }

 private:
  void ReadHead(const Object& object) {
    if (const Value v = object.Require("carrier")) {
      const Object carrier(fields_, v, "a carrier, such as {\"code\": \"...\", \"name\": \"...\"}", {"code", "name"});
      if (carrier) {
        if (const Value code = carrier.Require("code")) tariff_.carrier = fields_.ReadCode(code);
        if (const Value name = carrier.Require("name"))
          tariff_.carrier_name = fields_.Words(name, "a name").value_or("");
      }
    }
    if (const Value v = object.Require("title")) tariff_.title = fields_.Words(v, "a title").value_or("");
    if (const Value v = object["source"]) tariff_.source = ReadSource(v);
    if (const Value v = object.Require("currency")) {
      if (const std::optional<Currency> currency = fields_.ReadCurrency(v)) tariff_.currency = *currency;
    }
    if (const Value v = object.Require("in_force")) {
      if (const std::optional<DateRange> dates =
              fields_.ReadDates(v, "dates such as {\"from\": \"2026-07-12\"}", /*from_required=*/true)) {
        tariff_.in_force = *dates;
      }
    }
    if (const Value v = object["calendar"]) tariff_.calendar = ReadCalendar(fields_, v);
    tariff_.rounding.line = tariff_.rounding.total = tariff_.currency.minor_unit();
    if (const Value v = object["rounding"]) {
      const Object rounding(fields_, v, "a rounding of money", {"line", "total", "mode"});
      if (const Value line = rounding["line"]) ReadMoneyStep(line, tariff_.rounding.line);
      if (const Value total = rounding["total"]) ReadMoneyStep(total, tariff_.rounding.total);
      if (const Value mode = rounding["mode"]) {
        if (const std::optional<std::size_t> word = fields_.Word(mode, kRoundModes, "a mode of rounding")) {
          tariff_.rounding.mode = static_cast<RoundMode>(*word);
        }
      }
    }
  }

  void ReadMoneyStep(Value value, std::int64_t& step) {
    if (const std::optional<Amount> amount = fields_.ReadMoney(value, Zero::kRefused)) step = amount->micros();
  }

  std::string ReadSource(Value value) {
    if (value.is(Kind::kString)) return fields_.Words(value, "a source").value_or("");
    const Object object(fields_, value, "a source: text, or an object", {"title", "page", "published"});
    if (!object) return {};
    std::string out;
    for (const std::string_view key : {"title", "page", "published"}) {
      const Value v = key == "title" ? object.Require(key) : object[key];
      if (!v) continue;
      std::string part;
      if (key == "page" && v.is(Kind::kNumber)) {
        part = v.text();
      } else {
        part = fields_.Words(v, "text in quotation marks").value_or("");
      }
      if (part.empty()) continue;
      if (!out.empty()) out += key == "page" ? ", page " : ", published ";
      out += part;
    }
    return out;
  }

  void ReadPackagings(Value value) {
    if (!fields_.List(value, "a list of packagings")) return;
    std::unordered_map<std::string_view, Value> first;
    for (const Value item : value) {
      if (item.is(Kind::kObject)) {
        for (const Value member : item) {
          if (member.key() != "code" || !member.is(Kind::kString)) continue;
          if (!names_.packaging.Add(member.text())) ReportTwice(member, "packaging", first[member.text()]);
          first.emplace(member.text(), member);
        }
      }
      if (tariff_.packaging.size() == kMostRules) {
        fields_.Error(kTooMany, item, "found more than 10000 packagings, expected at most 10000");
        return;
      }
      std::optional<Packaging> packaging = load::ReadPackaging(fields_, item, /*on_shelf=*/false);
      if (!packaging) continue;
      packaging->issued_by = tariff_.carrier;
      packaging_values_.push_back(item);
      tariff_.packaging.push_back(*std::move(packaging));
    }
  }

  void ReportTwice(Value value, std::string_view what, Value first) {
    fields_.Error(kDuplicateCode, value,
                  "found the " + std::string(what) + " " + FoundText(value) +
                      " twice, expected it once (the first is on line " +
                      std::to_string(fields_.findings().At(first.offset()).line) + ")");
  }

  // Every code that the document defines, before anything that names one is read.
  void GatherCodes(const Object& object) {
    std::unordered_map<std::string_view, Value> first;
    for (const std::string_view key : {"surcharges", "extras"}) {
      const Value list = object[key];
      if (!list.is(Kind::kArray)) continue;
      const bool extras = key == "extras";
      for (const Value item : list) {
        const Value code = item.Member("code");
        if (!code.is(Kind::kString)) continue;
        if (!names_.charge_codes.Add(code.text())) ReportTwice(code, "charge", first[code.text()]);
        first.emplace(code.text(), code);
        (extras ? names_.extras : names_.surcharges).Add(code.text());
        if (extras) names_.extra_codes.Add(code.text());
      }
    }
    const Value services = object["services"];
    if (!services.is(Kind::kArray)) return;
    first.clear();
    for (const Value service : services) {
      if (const Value code = service.Member("code"); code.is(Kind::kString)) {
        if (!names_.services.Add(code.text())) ReportTwice(code, "service", first[code.text()]);
        first.emplace(code.text(), code);
      }
      for (const std::string_view key : {"surcharges", "extras"}) {
        const Value list = service.Member(key);
        if (!list.is(Kind::kArray)) continue;
        for (const Value item : list) {
          const Value code = item.Member("code");
          if (!code.is(Kind::kString)) continue;
          names_.charge_codes.Add(code.text());
          if (key == "extras") names_.extra_codes.Add(code.text());
        }
      }
    }
  }

  void ReadSharedRules(Value value, RuleKind kind) {
    const bool surcharge = kind == RuleKind::kSurcharge;
    if (!fields_.List(value, surcharge ? "a list of surcharges" : "a list of extras")) return;
    for (const Value item : value) {
      if (item.is(Kind::kString)) {
        fields_.Expected(kWrongKind, item, surcharge ? "a surcharge" : "an extra");
        continue;
      }
      const std::optional<std::uint32_t> index = ReadRule(item, kind, nullptr);
      if (!index) continue;
      auto& rules = surcharge ? shared_surcharges_ : shared_extras_;
      rules.push_back(*index);
      shared_by_code_.emplace(tariff_.rules[*index].code, *index);
    }
  }

  // A surcharge or an extra; its index in the tariff. `zones` of the service in which it stands, if it is not shared.
  std::optional<std::uint32_t> ReadRule(Value value, RuleKind kind, const ZoneSet* zones) {
    const bool surcharge = kind == RuleKind::kSurcharge;
    if (tariff_.rules.size() == kMostRules) {
      fields_.Error(kTooMany, value,
                    "found more than 10000 surcharges and extras, expected at most 10000 in a document");
      return std::nullopt;
    }
    const Object object(fields_, value, surcharge ? "a surcharge" : "an extra",
                        {"code", "title", "when", "group", "replaces", "requires", "excludes", "amount", "by_zone",
                         "table", "per", "percent", "of", "less", "once"});
    if (!object) return std::nullopt;
    ChargeRule rule;
    if (const Value v = object["once"]) rule.once = ReadOnce(v, object, surcharge);
    if (const Value v = object.Require("code")) {
      rule.code = fields_.ReadCode(v);
      if (rule.code == "base" || rule.code == "discount" || rule.code == "extras" ||
          (surcharge && (rule.code == "cover" || rule.code == internal::kCashOnDelivery))) {
        fields_.Expected(kReservedCode, v, "another code (this one is reserved)");
      }
    }
    if (const Value v = object.Require("title")) rule.title = fields_.Words(v, "a title").value_or("");
    if (const Value v = object["when"]) rule.when = ReadTest(fields_, v, {&names_, zones, false, {}, rule.once});
    const Value group = object["group"];
    const Value replaces = object["replaces"];
    for (const Value v : {group, replaces}) {
      if (v && !surcharge) {
        fields_.ErrorAtKey(kConflictingKeys, v,
                           "found " + Quoted(v.key()) + " in an extra, expected it in surcharges alone");
      }
    }
    for (const std::string_view key : {"requires", "excludes"}) {
      if (const Value v = object[key]; v && surcharge) {
        fields_.ErrorAtKey(kConflictingKeys, v,
                           "found " + Quoted(key) + " in a surcharge, expected it in extras alone");
      }
    }
    if (!surcharge) ReadBonds(object, rule);
    if (group) rule.group = fields_.ReadCode(group);
    if (replaces && fields_.List(replaces, "a list of the codes of surcharges", /*empty_allowed=*/false)) {
      for (const Value item : replaces) {
        std::string code = fields_.ReadCode(item);
        if (item.is(Kind::kString) && !names_.charge_codes.Has(code)) {
          fields_.UnknownName(kUnknownChargeCode, item, "the code of a surcharge of this document",
                              names_.charge_codes.names());
        }
        rule.replaces.push_back(std::move(code));
      }
    }
    PriceScope scope;
    scope.names = &names_;
    scope.zones = zones;
    scope.grids = &grids_;
    scope.series = &series_;
    scope.zone_cells = &zone_cells_;
    scope.once = rule.once;
    rule.less = static_cast<bool>(object["less"]);
    std::optional<Price> price = rule.less ? ReadReduction(fields_, object, scope) : ReadPrice(fields_, object, scope);
    if (price && group && internal::PartOfLines(*price) != nullptr) {
      fields_.ErrorAtKey(
          kPercentageInGroup, object["percent"],
          "found a percentage in the group " + FoundText(group) + ", expected an amount, a table or another price");
    }
    if (price) rule.price = *std::move(price);
    const auto index = static_cast<std::uint32_t>(tariff_.rules.size());
    tariff_.rules.push_back(std::move(rule));
    rule_values_.push_back(value);
    rule_used_.push_back(false);
    return index;
  }

  // Of a surcharge alone, and of none in a group.
  bool ReadOnce(Value value, const Object& rule, bool surcharge) {
    const bool once = fields_.Flag(value).value_or(false);
    if (!surcharge) {
      fields_.ErrorAtKey(kConflictingKeys, value, "found \"once\" in an extra, expected it in surcharges alone");
      return false;
    }
    if (once && rule["group"]) {
      fields_.ErrorAtKey(kConflictingKeys, value,
                         "found \"once\" in the group " + FoundText(rule["group"]) +
                             ", expected it in no group: which of one stands may differ from parcel to parcel");
    }
    return once;
  }

  // Rings among the rules that can stand together: those of one service, or all shared ones. Each ring is shown once.
  void FindRings(const std::vector<std::uint32_t>& rules) {
    std::unordered_map<std::string_view, std::uint32_t> by_code;
    for (const std::uint32_t rule : rules) by_code.emplace(tariff_.rules[rule].code, rule);
    std::unordered_map<std::uint32_t, int> state;  // 1: on the path, 2: done
    std::vector<std::uint32_t> path;
    struct Step {
      std::uint32_t rule;
      std::size_t next;
    };
    for (const std::uint32_t start : rules) {
      if (state[start] != 0) continue;
      std::vector<Step> steps = {{start, 0}};
      path = {start};
      state[start] = 1;
      while (!steps.empty()) {
        Step& step = steps.back();
        const std::vector<std::string>& replaces = tariff_.rules[step.rule].replaces;
        if (step.next == replaces.size()) {
          state[step.rule] = 2;
          steps.pop_back();
          path.pop_back();
          continue;
        }
        const auto to = by_code.find(replaces[step.next++]);
        if (to == by_code.end()) continue;
        const std::uint32_t rule = to->second;
        if (state[rule] == 1) {
          ReportRing(std::vector<std::uint32_t>(std::find(path.begin(), path.end(), rule), path.end()));
        } else if (state[rule] == 0) {
          state[rule] = 1;
          path.push_back(rule);
          steps.push_back({rule, 0});
        }
      }
    }
  }

  void ReportRing(std::vector<std::uint32_t> ring) {
    std::rotate(ring.begin(), std::min_element(ring.begin(), ring.end()), ring.end());
    if (!rings_.insert(ring).second) return;
    std::string shown;
    for (const std::uint32_t rule : ring) shown += Quoted(tariff_.rules[rule].code) + " replaces ";
    shown += Quoted(tariff_.rules[ring.front()].code);
    const Value replaces = rule_values_[ring.back()].Member("replaces");
    fields_.Error(kRingOfReplaces, replaces, "found the ring " + shown + ", expected no ring");
  }

  std::optional<std::uint32_t> AddTax(Value value, const ZoneSet* zones) {
    std::optional<Tax> tax = ReadTax(fields_, value, names_, zones);
    if (!tax) return std::nullopt;
    tariff_.taxes.push_back(*std::move(tax));
    return static_cast<std::uint32_t>(tariff_.taxes.size() - 1);
  }

  void ReadServices(Value value) {
    if (!fields_.List(value, "a list of services", /*empty_allowed=*/false)) return;
    if (value.size() > kMostServices) {
      fields_.Error(kTooMany, value,
                    "found " + std::to_string(value.size()) + " services, expected at most 1000 in a document");
      return;
    }
    for (const Value item : value) ReadService(item);
  }

  void ReadService(Value value) {
    const Object object(
        fields_, value, "a service",
        {"code", "title", "zones", "days", "days_by", "calendar", "delivers", "requires", "tracked", "mode",
         "packaging", "measure", "refuse", "prices", "pick", "surcharges", "extras", "included_cover", "tax"});
    if (!object) return;
    Service service;
    if (const Value v = object.Require("code")) service.code = fields_.ReadCode(v);
    if (const Value v = object.Require("title")) service.title = fields_.Words(v, "a title").value_or("");
    const ZoneSet* zones = nullptr;
    if (const Value v = object.Require("zones")) {
      if (const std::optional<std::uint32_t> list = ReadZoneListName(v)) {
        service.zone_list = *list;
        zones = &names_.zone_sets[*list];
      }
    }
    zones_of_service_.emplace(service.code, zones);
    ReadWhenAndWhere(object, zones, service);
    if (const Value v = object["tracked"]) service.tracked = fields_.Flag(v).value_or(false);
    if (const Value v = object["mode"]) {
      if (const std::optional<std::size_t> mode = fields_.Word(v, kModeNames, "a mode")) {
        service.mode = static_cast<Mode>(*mode);
      }
    } else {
      without_mode_.push_back(value);
    }
    if (const Value v = object["packaging"]) ReadServicePackaging(v, service);
    if (const Value v = object["measure"]) ReadMeasure(v, zones, service.measure);
    if (const Value v = object["refuse"]) ReadRefuse(v, zones, service);
    if (const Value v = object["pick"]) {
      service.pick_lowest = fields_.Word(v, kPicks, "a way to pick a price").value_or(0) == 1;
    }
    if (const Value v = object.Require("prices")) ReadPrices(v, zones, service);
    std::unordered_map<std::string, Value> codes;
    if (const Value v = object["surcharges"]) {
      ReadRules(v, RuleKind::kSurcharge, zones, codes, service.surcharges);
    }
    if (const Value v = object["extras"]) ReadRules(v, RuleKind::kExtra, zones, codes, service.extras);
    FindRings(service.surcharges);
    if (const Value v = object["included_cover"]) {
      PriceScope scope;
      scope.names = &names_;
      scope.zones = zones;
      scope.grids = &grids_;
      scope.zone_cells = &zone_cells_;
      ReadIncludedCover(fields_, v, scope, service);
    }
    service.tax = tariff_.tax;
    if (const Value v = object["tax"]) service.tax = v.is(Kind::kNull) ? std::nullopt : AddTax(v, zones);
    tariff_.services.push_back(std::move(service));
  }

  std::optional<std::uint32_t> ReadZoneListName(Value value) {
    const std::optional<std::string_view> name = fields_.Text(value, "the name of a list of zone charts");
    if (!name) return std::nullopt;
    const std::vector<std::string_view>& lists = names_.zone_lists.names();
    const auto at = std::find(lists.begin(), lists.end(), *name);
    if (at != lists.end()) return static_cast<std::uint32_t>(at - lists.begin());
    if (!lists.empty()) fields_.UnknownName(kUnknownZoneList, value, "a list of zone charts of this document", lists);
    return std::nullopt;
  }

  // Days and dates, and where the service ends.
  void ReadWhenAndWhere(const Object& object, const ZoneSet* zones, Service& service) {
    const Value days_by = object["days_by"];
    const Value days = object["days"];
    if (days_by) {
      service.days_by = ReadZoneListName(days_by);
      zones = service.days_by ? &names_.zone_sets[*service.days_by] : nullptr;
      if (!days) {
        fields_.ErrorAtKey(kConflictingKeys, days_by, "found \"days_by\" without \"days\", expected both");
      }
    }
    if (days) ReadDays(days, zones, service);
    if (const Value v = object["calendar"]) {
      service.own_calendar = true;
      if (!v.is(Kind::kNull)) service.calendar = ReadCalendar(fields_, v);
    }
    if (const Value v = object["delivers"]) {
      if (const std::optional<std::size_t> word = fields_.Word(v, kDeliveryNames, "where a service ends")) {
        service.delivers = static_cast<Delivery>(*word);
      }
    }
    if (const Value v = object["requires"]) ReadOtherExtras(v, "", service.required);
  }

  // The codes of extras that an extra (`own`), or a service (empty), is bound to.
  void ReadOtherExtras(Value value, std::string_view own, std::vector<std::string>& codes) {
    if (!fields_.List(value, "a list of the codes of extras", /*empty_allowed=*/false)) return;
    std::set<std::string> seen;
    for (const Value item : value) {
      std::string code = fields_.ReadCode(item);
      if (!item.is(Kind::kString)) continue;
      if (code == own) {
        fields_.Error(kContradiction, item, "found the extra's own code, expected another's");
      } else if (code != "cover" && code != internal::kCashOnDelivery && !names_.extra_codes.Has(code)) {
        fields_.UnknownName(kUnknownExtra, item, "an extra of this document", names_.extra_codes.names());
      } else if (!seen.insert(code).second) {
        fields_.Error(kDuplicateCode, item, "found the extra " + FoundText(item) + " twice, expected it once");
      }
      codes.push_back(std::move(code));
    }
  }

  void ReadBonds(const Object& object, ChargeRule& rule) {
    const Value excludes = object["excludes"];
    if (const Value v = object["requires"]) ReadOtherExtras(v, rule.code, rule.required);
    if (excludes) ReadOtherExtras(excludes, rule.code, rule.excluded);
    if (!excludes) return;
    for (const Value item : excludes) {
      if (item.is(Kind::kString) &&
          std::find(rule.required.begin(), rule.required.end(), item.text()) != rule.required.end()) {
        fields_.Error(kContradiction, item,
                      "found " + FoundText(item) + " under \"requires\" too, expected it under one of the two");
      }
    }
  }

  void ReadDays(Value value, const ZoneSet* zones, Service& service) {
    if (!value.is(Kind::kObject)) {
      fields_.Expected(kWrongKind, value,
                       "an object with business days by zone, such as {\"1\": [2, 3], \"*\": [3, 5]}");
      return;
    }
    const std::size_t count = names_.zones.names.size();
    PriceScope scope;
    scope.names = &names_;
    scope.zone_cells = &zone_cells_;
    if (!TakeZoneCells(fields_, value, scope)) return;
    service.days.assign(count, std::nullopt);
    std::vector<bool> named(count, false);
    std::optional<Days> others;
    bool any_others = false;
    for (const Value member : value) {
      std::optional<Days> days;
      if (!member.is(Kind::kArray) || member.size() != 2) {
        fields_.Expected(kWrongKind, member, "two whole numbers of days, such as [2, 3]");
      } else {
        const Value most_value = member.first().next();
        const std::optional<std::int64_t> least = fields_.Whole(member.first(), 0, 365);
        const std::optional<std::int64_t> most = fields_.Whole(most_value, 0, 365);
        if (least && most && *most < *least) {
          fields_.Error(kBadRange, most_value,
                        "found " + FoundText(most_value) + ", expected at least " + FoundText(member.first()) +
                            ": the most days are not fewer than the least");
        } else if (least && most) {
          days = Days{static_cast<std::int32_t>(*least), static_cast<std::int32_t>(*most)};
        }
      }
      if (member.key() == "*") {
        others = days;
        any_others = true;
        continue;
      }
      const ZoneId zone = ReadZoneName(fields_, member, /*at_key=*/true, names_, zones);
      if (zone == kNoZone) continue;
      named[zone] = true;
      service.days[zone] = days;
    }
    std::string missing;
    for (std::size_t i = 0; i < count; ++i) {
      if (named[i]) continue;
      service.days[i] = others;
      if (!any_others && zones != nullptr && zones->has[i]) {
        if (!missing.empty()) missing += ", ";
        missing += Quoted(names_.zones.names[i]);
      }
    }
    if (!missing.empty()) {
      fields_.Error(kMissingDays, value,
                    "found no days for " + missing + ", expected them, or \"*\", for every zone that a chart of " +
                        Quoted(zones->list) + " gives");
    }
  }

  void ReadServicePackaging(Value value, Service& service) {
    const Object object(fields_, value, "the packaging of a service, such as {\"own\": true, \"issued\": []}",
                        {"own", "issued"});
    if (!object) return;
    if (const Value v = object["own"]) service.own_packaging = fields_.Flag(v).value_or(true);
    if (const Value v = object["issued"]; v && fields_.List(v, "a list of the codes of packagings")) {
      for (const Value item : v) {
        std::string code = fields_.ReadCode(item);
        if (item.is(Kind::kString) && !names_.packaging.Has(code)) {
          fields_.UnknownName(kUnknownPackaging, item, "a packaging of this document", names_.packaging.names());
        }
        packaging_used_.insert(code);
        service.issued.push_back(std::move(code));
      }
    }
    if (!service.own_packaging && service.issued.empty()) {
      fields_.Warning(kNeverOffered, value,
                      "found neither the seller's own packaging nor any issued one, so the service is never offered");
    }
  }

  void ReadStep(Value value, bool weight, StepRounding& rounding) {
    const Object object(fields_, value, "a rounding, such as {\"round\": \"up\", \"to\": \"1 lb\"}", {"round", "to"});
    if (!object) return;
    std::optional<std::size_t> mode;
    if (const Value v = object.Require("round")) mode = fields_.Word(v, kStepModes, "a way to round");
    const Value to = object["to"];
    if (mode && *mode == 0 && to) {
      fields_.ErrorAtKey(kConflictingKeys, to, "found \"to\" with \"exact\", expected none");
      return;
    }
    if (mode && *mode != 0 && !to) {
      fields_.Error(kMissingKey, value, "found no \"to\", expected it with " + Quoted(kStepModes[*mode]));
      return;
    }
    if (to) {
      if (weight) {
        if (const std::optional<Weight> step = fields_.ReadWeight(to, Zero::kRefused))
          rounding.step = step->nanograms();
      } else {
        if (const std::optional<Length> step = fields_.ReadLength(to, Zero::kRefused, kMostSideStep))
          rounding.step = step->nanometres();
      }
    }
    if (mode) rounding.mode = static_cast<StepMode>(*mode);
  }

  void ReadMeasure(Value value, const ZoneSet* zones, MeasureRules& rules) {
    const Object object(fields_, value, "the measures of a service",
                        {"sides", "irregular_factor", "weight", "dimensional", "at_least"});
    if (!object) return;
    if (const Value v = object["sides"]) ReadStep(v, /*weight=*/false, rules.sides);
    if (const Value v = object["weight"]) ReadStep(v, /*weight=*/true, rules.weight);
    if (const Value v = object["irregular_factor"]) {
      const std::string_view expected = "a factor of more than 0 and at most 1, with at most 6 decimals";
      const std::optional<std::int64_t> factor =
          v.is(Kind::kNumber) || v.is(Kind::kString) ? PlainMicros(v.text()) : std::nullopt;
      if (!factor || *factor < 1 || *factor > 1'000'000) {
        fields_.Expected(kBadNumber, v, expected);
      } else {
        rules.irregular_factor = *factor;
      }
    }
    const TestScope scope{&names_, zones, /*in_measure=*/true};
    if (const Value v = object["dimensional"]; v && fields_.List(v, "a list of rules")) {
      for (const Value item : v) {
        const Object rule(fields_, item, "a rule of dimensional weight",
                          {"when", "volume_per_weight", "weight_per_volume", "at_most"});
        if (!rule) continue;
        MeasureRules::Dimensional out;
        if (const Value when = rule["when"]) out.when = ReadTest(fields_, when, scope);
        ReadDensity(rule, out.volume_per_weight);
        if (const Value most = rule["at_most"]) out.at_most = fields_.ReadWeight(most, Zero::kRefused);
        rules.dimensional.push_back(std::move(out));
      }
    }
    if (const Value v = object["at_least"]; v && fields_.List(v, "a list of rules")) {
      for (const Value item : v) {
        const Object rule(fields_, item, "a rule of least weight", {"when", "weight"});
        if (!rule) continue;
        MeasureRules::AtLeast out;
        if (const Value when = rule["when"]) out.when = ReadTest(fields_, when, scope);
        if (const Value weight = rule.Require("weight")) {
          out.weight = fields_.ReadWeight(weight, Zero::kRefused).value_or(Weight());
        }
        rules.at_least.push_back(std::move(out));
      }
    }
  }

  // "volume_per_weight" or "weight_per_volume".
  void ReadDensity(const Object& rule, VolumePerWeight& ratio) {
    const Value volume = rule["volume_per_weight"];
    const Value weight = rule["weight_per_volume"];
    if (volume && weight) {
      const Value later = volume.key_offset() < weight.key_offset() ? weight : volume;
      fields_.ErrorAtKey(kConflictingKeys, later,
                         "found both \"volume_per_weight\" and \"weight_per_volume\", expected one of the two");
    } else if (volume) {
      ReadRatio(volume, /*weight_first=*/false, ratio);
    } else if (weight) {
      ReadRatio(weight, /*weight_first=*/true, ratio);
    } else {
      fields_.Error(kMissingKey, rule.value(),
                    "found neither \"volume_per_weight\" nor \"weight_per_volume\", expected one of the two");
    }
  }

  // "166 in3/lb": a volume, and a unit of weight or a weight; or "280 kg/m3", the other way round.
  void ReadRatio(Value value, bool weight_first, VolumePerWeight& ratio) {
    const std::string_view expected = weight_first ? "a weight for a volume, such as \"280 kg/m3\" or \"10.4 lb/ft3\""
                                                   : "a volume for a weight, such as \"166 in3/lb\" or \"5000 cm3/kg\"";
    if (!value.is(Kind::kString)) {
      fields_.Expected(kBadRatio, value, expected);
      return;
    }
    const std::string_view text = value.text();
    const std::size_t slash = text.rfind('/');
    if (slash == std::string_view::npos) {
      fields_.Expected(kBadRatio, value, expected);
      return;
    }
    const std::string_view over = text.substr(0, slash);
    const std::string_view under = text.substr(slash + 1);
    const auto one_of = []<typename Q>(std::string_view unit, Q) {
      const absl::StatusOr<Q> whole = Q::Parse(unit);
      return whole.ok() ? whole : Q::Parse("1" + std::string(unit));
    };
    const absl::StatusOr<Volume> volume = weight_first ? one_of(under, Volume()) : Volume::Parse(over);
    const absl::StatusOr<Weight> weight = weight_first ? Weight::Parse(over) : one_of(under, Weight());
    if (!volume.ok() || !weight.ok() || volume->cubic_nanometres() < 1 || weight->nanograms() < 1 ||
        weight->nanograms() > Weight::kMostNanograms) {
      fields_.Expected(kBadRatio, value, expected);
      return;
    }
    ratio = VolumePerWeight::Make(*volume, *weight, std::string(text));
  }

  void ReadRefuse(Value value, const ZoneSet* zones, Service& service) {
    if (!fields_.List(value, "a list of refusals")) return;
    for (const Value item : value) {
      const Object object(fields_, item, "a refusal", {"when", "reason", "code"});
      if (!object) continue;
      RefuseRule rule;
      if (const Value v = object.Require("when")) {
        rule.when = ReadTest(fields_, v, {&names_, zones, false});
        if (v.is(Kind::kObject) && v.size() == 0) {
          fields_.Error(kContradiction, v,
                        "found an empty test, which refuses every parcel, expected at least one key");
        }
      }
      if (const Value v = object.Require("reason")) rule.reason = fields_.Words(v, "a reason in words").value_or("");
      if (const Value v = object["code"]) {
        if (const std::optional<std::size_t> word = fields_.Word(v, kRefuseCodes, "a code of refusal")) {
          rule.code = *word == 0 ? Reason::kOverLimit : Reason::kContentsNotAccepted;
        }
      }
      service.refuse.push_back(std::move(rule));
    }
  }

  void ReadPrices(Value value, const ZoneSet* zones, Service& service) {
    if (!fields_.List(value, "a list of prices", /*empty_allowed=*/false)) return;
    if (value.size() > kMostPrices) {
      fields_.Error(kTooMany, value,
                    "found " + std::to_string(value.size()) + " prices, expected at most 10000 in a service");
      return;
    }
    Value covers_all;
    // Up to the last that is due once, all are the same for the whole consignment.
    std::size_t once_left = 0;
    std::size_t count = 0;
    for (const Value item : value) {
      ++count;
      const Value once = item.is(Kind::kObject) ? item.Member("once") : Value();
      if (once && once.is(Kind::kTrue)) once_left = count;
    }
    for (const Value item : value) {
      const bool same = once_left > 0;
      if (same) --once_left;
      const Object object(fields_, item, "a price",
                          {"when", "amount", "by_zone", "table", "per", "percent", "of", "once"});
      if (!object) continue;
      if (covers_all && !service.pick_lowest) {
        fields_.Error(kUnreachablePrice, item,
                      "found a price that can never apply, expected none after " + covers_all.Pointer() +
                          ", which has no test and covers every parcel");
      }
      PriceAlternative alternative;
      if (const Value v = object["once"]) {
        alternative.once = fields_.Flag(v).value_or(false);
        if (alternative.once && service.pick_lowest) {
          fields_.ErrorAtKey(kConflictingKeys, v,
                             "found \"once\" where \"pick\" is \"lowest\", expected it among prices of which the first "
                             "is taken: which is the lowest may differ from parcel to parcel");
        }
      }
      if (const Value v = object["when"]) alternative.when = ReadTest(fields_, v, {&names_, zones, false, {}, same});
      const bool always = !object["when"] || (object["when"].is(Kind::kObject) && object["when"].size() == 0);
      PriceScope scope;
      scope.names = &names_;
      scope.zones = zones;
      scope.grids = &grids_;
      scope.zone_cells = &zone_cells_;
      scope.series = &series_;
      scope.is_base = true;
      scope.once = same;
      if (std::optional<Price> price = ReadPrice(fields_, object, scope)) {
        if (!covers_all && always && internal::CoversAll(*price, zones == nullptr ? nullptr : &zones->has))
          covers_all = item;
        alternative.price = *std::move(price);
      }
      service.prices.push_back(std::move(alternative));
    }
  }

  // A service's list of codes of shared rules, or rules in place.
  void ReadRules(Value value, RuleKind kind, const ZoneSet* zones, std::unordered_map<std::string, Value>& codes,
                 std::vector<std::uint32_t>& out) {
    const bool surcharge = kind == RuleKind::kSurcharge;
    if (!fields_.List(value, surcharge ? "a list of surcharges" : "a list of extras")) return;
    for (const Value item : value) {
      std::optional<std::uint32_t> index;
      Value code = item;
      if (item.is(Kind::kString)) {
        const NameList& known = surcharge ? names_.surcharges : names_.extras;
        if (!known.Has(item.text())) {
          fields_.UnknownName(surcharge ? kUnknownSurcharge : kUnknownExtra, item,
                              surcharge ? "a surcharge of this document, or one in place"
                                        : "an extra of this document, or one in place",
                              known.names());
          continue;
        }
        const auto at = shared_by_code_.find(std::string(item.text()));
        if (at != shared_by_code_.end()) index = at->second;
      } else {
        index = ReadRule(item, kind, zones);
        code = item.Member("code");
      }
      if (!index) continue;
      rule_used_[*index] = true;
      if (code.is(Kind::kString)) {
        if (const auto [first, fresh] = codes.emplace(std::string(code.text()), code); !fresh) {
          ReportTwice(code, surcharge ? "surcharge" : "extra", first->second);
          continue;
        }
      }
      out.push_back(*index);
    }
  }

  void WarnOfUnused() {
    if (fields_.findings().has_errors()) return;
    area_lists_.WarnOfUnused(fields_);
    for (std::size_t i = 0; i < tariff_.rules.size(); ++i) {
      if (rule_used_[i]) continue;
      const Value code = rule_values_[i].Member("code");
      fields_.Warning(kUnusedRule, code,
                      "found " + FoundText(code) + " in no service, expected a service that lists it");
    }
    for (std::size_t i = 0; i < tariff_.packaging.size(); ++i) {
      if (packaging_used_.count(tariff_.packaging[i].code) != 0) continue;
      const Value at = packaging_values_[i].Member("code");
      fields_.Warning(kUnusedPackaging, at,
                      "found " + FoundText(at) + " in no service, expected a service that takes it");
    }
  }

  // Loose lithium cells, flammable liquids and aerosols are kept from air by the mode alone.
  void WarnOfNoMode() {
    if (fields_.findings().has_errors()) return;
    for (const Value service : without_mode_) {
      fields_.Warning(kNoMode, service.Member("code"),
                      "found no \"mode\" in the service " + FoundText(service.Member("code")) +
                          ", expected \"surface\", \"air\" or \"any\", which is what stands for it now");
    }
  }

  void ReadExamples(Value value) {
    if (!fields_.List(value, "a list of examples")) return;
    if (value.size() > kMostExamples) {
      fields_.Error(kTooMany, value, "found " + std::to_string(value.size()) + " examples, expected at most 100000");
      return;
    }
    tariff_.examples.reserve(value.size());
    std::size_t index = 0;
    for (const Value item : value) {
      if (std::optional<Example> example = ReadExample(item)) {
        example->pointer = "/examples/" + std::to_string(index);
        tariff_.examples.push_back(*std::move(example));
      }
      ++index;
    }
  }

  std::optional<Example> ReadExample(Value value) {
    const Object object(
        fields_, value, "an example",
        {"service", "parcel", "zone", "from", "to", "residential", "date", "extras", "cover", "amounts", "total",
         "refused", "billable_weight", "time", "arrives", "why", "net", "week", "consignment"});
    if (!object) return std::nullopt;
    Example example;
    example.line = fields_.findings().At(value.offset()).line;
    const ZoneSet* zones = nullptr;
    if (const Value v = object.Require("service")) {
      if (const std::optional<std::string_view> code = fields_.Text(v, "the code of a service")) {
        example.service = *code;
        if (!names_.services.Has(*code)) {
          fields_.UnknownName(kUnknownService, v, "a service of this document", names_.services.names());
        } else if (const auto at = zones_of_service_.find(example.service); at != zones_of_service_.end()) {
          zones = at->second;
        }
      }
    }
    if (const Value v = object.Require("parcel")) {
      if (std::optional<Parcel> parcel = ReadParcel(fields_, v, /*ranges=*/false, &names_)) {
        example.parcel = *std::move(parcel);
        example.weight_units = Weight::SystemOf(v.Member("weight").text());
        example.side_units = Length::SystemOf(v.Member("sides").text());
      }
    }
    const Value zone = object["zone"];
    const Value from = object["from"];
    const Value to = object["to"];
    const Value residential = object["residential"];
    if (zone && (from || to)) {
      const Value other = from ? from : to;
      fields_.ErrorAtKey(
          kConflictingKeys, other,
          "found both \"zone\" and " + Quoted(other.key()) + ", expected \"zone\" alone or \"from\" and \"to\"");
    } else if (zone) {
      if (fields_.Text(zone, "a zone in quotation marks")) {
        const ZoneId id = ReadZoneName(fields_, zone, /*at_key=*/false, names_, zones);
        if (id != kNoZone) example.zone = id;
      }
    } else if (from || to) {
      std::optional<Place> origin;
      std::optional<Place> destination;
      if (const Value v = object.Require("from")) origin = fields_.ReadPlace(v, "a place");
      if (const Value v = object.Require("to")) destination = fields_.ReadPlace(v, "a place");
      if (origin && destination) {
        example.residential = destination->residential();
        example.lane = Lane{*std::move(origin), *std::move(destination)};
      }
      if (residential) {
        fields_.ErrorAtKey(kConflictingKeys, residential,
                           "found \"residential\" beside \"to\", expected it within \"to\"");
      }
    } else {
      fields_.Error(kMissingKey, value, "found neither \"zone\" nor \"from\" and \"to\", expected one of the two");
    }
    if (residential) {
      const std::optional<bool> flag = fields_.Flag(residential);
      if (zone) example.residential = flag.value_or(false);
    }
    if (const Value v = object["date"]) example.date = fields_.ReadDate(v);
    if (const Value v = object["extras"]) ReadExampleExtras(v, example);
    if (const Value v = object["cover"]) example.cover = fields_.ReadMoney(v);
    if (const Value v = object["week"]) example.week = ReadWeek(fields_, v).With(tariff_.carrier);
    if (const Value v = object["consignment"]) example.consignment = ReadConsignment(fields_, v);
    if (const Value v = object["amounts"]) example.cash_on_delivery = ReadCashOnDelivery(fields_, v);
    const Value total = object["total"];
    const Value net = object["net"];
    const Value refused = object["refused"];
    if ((total || net) && refused) {
      fields_.ErrorAtKey(
          kConflictingKeys, refused,
          "found both " + Quoted((total ? total : net).key()) + " and \"refused\", expected one of the two");
    } else if (total || net) {
      if (total) example.total = fields_.ReadMoney(total);
      if (net) example.net = fields_.ReadMoney(net);
    } else if (refused) {
      const std::vector<std::string_view> reasons(std::begin(kReasonNames) + 1, std::end(kReasonNames));
      if (const std::optional<std::size_t> word = fields_.WordOf(refused, reasons, "a reason")) {
        example.refused = static_cast<Reason>(*word + 1);
      }
    } else {
      fields_.Error(kMissingKey, value,
                    "found none of \"total\", \"net\" and \"refused\", expected a price or a reason");
    }
    if (const Value v = object["billable_weight"]) example.billable_weight = fields_.ReadWeight(v, Zero::kAllowed);
    if (const Value v = object["time"]) example.time = fields_.ReadTime(v);
    if (const Value v = object["arrives"]) example.arrives = ReadArrival(fields_, v);
    if (const Value v = object["why"]) example.why = fields_.Words(v, "text in quotation marks").value_or("");
    return example;
  }

  void ReadExampleExtras(Value value, Example& example) {
    if (!fields_.List(value, "a list of extras")) return;
    std::set<std::string> seen;
    for (const Value item : value) {
      std::string code = fields_.ReadCode(item);
      if (!item.is(Kind::kString)) continue;
      if (code == "cover") {
        fields_.Expected(kReservedCode, item, "another extra: cover is asked for by \"cover\" and its amount");
      } else if (code == internal::kCashOnDelivery) {
        fields_.Expected(kReservedCode, item, "another extra: this one is asked for by \"amounts\"");
      } else if (!names_.extra_codes.Has(code)) {
        fields_.UnknownName(kUnknownExtra, item, "an extra of this document", names_.extra_codes.names());
      } else if (!seen.insert(code).second) {
        fields_.Error(kDuplicateCode, item, "found the extra " + FoundText(item) + " twice, expected it once");
      }
      example.extras.push_back(std::move(code));
    }
  }

  Fields& fields_;
  GridFiles& grids_;
  Tariff tariff_;
  SeriesReader series_;
  Names names_;
  AreaLists area_lists_;
  std::size_t zone_cells_ = 0;
  std::vector<Value> packaging_values_;  // by packaging
  std::vector<Value> rule_values_;       // by rule
  std::vector<Value> without_mode_;      // services
  std::vector<bool> rule_used_;          // by rule
  std::vector<std::uint32_t> shared_surcharges_;
  std::vector<std::uint32_t> shared_extras_;
  std::unordered_map<std::string, std::uint32_t> shared_by_code_;
  std::unordered_map<std::string, const ZoneSet*> zones_of_service_;
  std::set<std::vector<std::uint32_t>> rings_;
  std::set<std::string> packaging_used_;
};

}  // namespace

Tariff ReadTariffDocument(Fields& fields, Value value, GridFiles& grids) {
  return TariffReader(fields, grids).Read(value);
}

}  // namespace tarewise::inline TW_VERSIONED::load
