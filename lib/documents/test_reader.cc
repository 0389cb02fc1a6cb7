#include "test_reader.h"

#include <algorithm>
#include <initializer_list>
#include <utility>

#include "area_lists.h"
#include "text.h"
#include "week_reader.h"

namespace tarewise::inline TW_VERSIONED::load {
namespace {

constexpr std::string_view kOtherKeys[] = {
    "zone",        "shape",         "packaging", "packaging_kind", "mode", "contents", "every_item", "extras", "rigid",
    "residential", "own_packaging", "origin",    "destination",    "date", "week",     "any",        "all",    "not"};

std::vector<std::string_view> AllKeys() {
  std::vector<std::string_view> keys(std::begin(kMeasureNames), std::end(kMeasureNames));
  keys.insert(keys.end(), std::begin(kOtherKeys), std::end(kOtherKeys));
  return keys;
}

// The values of {"is": x} or {"is": [x, y]}.
std::vector<Value> ReadIs(Fields& fields, Value value) {
  std::vector<Value> out;
  Object object(fields, value, "a test such as {\"is\": \"x\"}", {"is"});
  const Value is = object.Require("is");
  if (!is) return out;
  if (!is.is(Kind::kArray)) {
    out.push_back(is);
  } else if (fields.List(is, "a list", /*empty_allowed=*/false)) {
    for (const Value item : is) out.push_back(item);
  }
  return out;
}

template <typename E, std::size_t N>
std::vector<E> ReadWords(Fields& fields, Value value, const std::string_view (&names)[N], std::string_view what) {
  std::vector<E> out;
  for (const Value item : ReadIs(fields, value)) {
    if (const std::optional<std::size_t> word = fields.Word(item, names, what)) out.push_back(static_cast<E>(*word));
  }
  return out;
}

class TestReader {
 public:
  TestReader(Fields& fields, const TestScope& scope) : fields_(fields), scope_(scope) {}

  Test Read(Value value) {
    Test test;
    if (!value.is(Kind::kObject)) {
      fields_.Expected(kWrongKind, value, "a test, such as {\"weight\": {\"over\": \"20 lb\"}}");
      return test;
    }
    for (const Value member : value) {
      const std::string_view key = member.key();
      if (const std::string_view may = SellerMay(key); !may.empty()) {
        fields_.ErrorAtKey(kTestNotOfSeller, member,
                           "found a test of " + Quoted(key) + ", expected " + std::string(may));
        continue;
      }
      if (scope_.once && DiffersInConsignment(key)) {
        fields_.ErrorAtKey(kNotOfConsignment, member,
                           "found a test of " + Quoted(key) +
                               ", expected one of zone, mode, origin, destination, residential, date, week, pieces or "
                               "consignment_weight: what is due once a consignment is so whichever parcel is asked");
        continue;
      }
      if (const std::optional<Measure> measure = MeasureFromName(key)) {
        ReadMeasure(*measure, member, test);
      } else if (key == "zone") {
        ReadZones(member, test);
      } else if (key == "shape") {
        test.conditions.emplace_back(ShapeCondition{ReadWords<Shape>(fields_, member, kShapeNames, "a shape")});
      } else if (key == "packaging") {
        ReadPackaging(member, test);
      } else if (key == "packaging_kind") {
        test.conditions.emplace_back(PackagingKindCondition{
            ReadWords<PackagingKind>(fields_, member, kPackagingKindNames, "a kind of packaging")});
      } else if (key == "mode") {
        test.conditions.emplace_back(ModeCondition{ReadWords<Mode>(fields_, member, kModeNames, "a mode")});
      } else if (key == "contents" || key == "every_item") {
        ReadContents(member, key == "every_item", test);
      } else if (key == "extras") {
        ReadExtras(member, test);
      } else if (key == "rigid") {
        ReadFlag(member, FlagCondition::Flag::kRigid, test);
      } else if (key == "residential") {
        ReadFlag(member, FlagCondition::Flag::kResidential, test);
      } else if (key == "own_packaging") {
        ReadFlag(member, FlagCondition::Flag::kOwnPackaging, test);
      } else if (key == "origin" || key == "destination") {
        Object object(fields_, member, "a test such as {\"in\": [\"US:967-968\"]}", {"in"});
        if (const Value in = object.Require("in")) {
          AreaLists* const lists = scope_.names == nullptr ? nullptr : scope_.names->area_lists;
          AreaItems items = ReadAreaItems(fields_, in, lists, /*count_lists=*/false);
          test.conditions.emplace_back(
              PlaceCondition{key == "origin", AreaSet(std::move(items.areas)), std::move(items.lists)});
        }
      } else if (key == "date") {
        ReadDate(member, test);
      } else if (key == "week") {
        ReadWeekTest(fields_, member, test);
      } else if (key == "any" || key == "all") {
        ReadCompound(member, key == "any" ? CompoundCondition::Op::kAny : CompoundCondition::Op::kAll, test);
      } else if (key == "not") {
        CompoundCondition condition;
        condition.op = CompoundCondition::Op::kNot;
        condition.tests.push_back(Read(member));
        test.conditions.emplace_back(std::move(condition));
      } else if (fields_.findings().full()) {
        fields_.ErrorAtKey(kUnknownKey, member, "");
      } else {
        fields_.ErrorAtKey(kUnknownKey, member,
                           "found the key " + Quoted(key) + ", expected a measure or another key of a test" +
                               Suggestion(key, AllKeys()));
      }
    }
    return test;
  }

 private:
  // Of the keys of tests those that parcels of one consignment may differ in.
  static bool DiffersInConsignment(std::string_view key) {
    if (const std::optional<Measure> measure = MeasureFromName(key)) return !IsOfConsignment(*measure);
    constexpr std::string_view kDiffer[] = {"shape",      "packaging", "packaging_kind", "contents",
                                            "every_item", "extras",    "rigid",          "own_packaging"};
    return std::find(std::begin(kDiffer), std::end(kDiffer), key) != std::end(kDiffer);
  }

  // Of a key that the seller's own rules have no test of here: what they may have; else empty.
  std::string_view SellerMay(std::string_view key) const {
    if (!scope_.seller) return {};
    const auto in = [key](std::initializer_list<std::string_view> keys) {
      return std::find(keys.begin(), keys.end(), key) != keys.end();
    };
    if (*scope_.seller == SellerPart::kAsk) {
      const std::vector<std::string_view> known = AllKeys();
      if (std::find(known.begin(), known.end(), key) == known.end()) return {};
      if (in({"contents", "every_item", "value", "origin", "destination", "date", "rigid", "residential", "any", "all",
              "not"})) {
        return {};
      }
      return "one of contents, every_item, value, origin, destination, date, rigid or residential: what is asked for "
             "by "
             "itself goes by the goods, the places and the day";
    }
    if (in({"zone", "extras", "cover", "week", "pieces", "consignment_weight"})) {
      return "another: the seller's own rules look at neither zones, nor extras, nor cover, nor the week, nor the "
             "consignment";
    }
    const std::optional<Measure> measure = MeasureFromName(key);
    if (*scope_.seller == SellerPart::kHandicap && measure && QuantityOf(*measure) != Quantity::kMoney) {
      return "another: a handicap is the same whatever the parcel weighs and measures";
    }
    return {};
  }

  void ReadDate(Value value, Test& test) {
    const Object object(fields_, value, "dates such as {\"from\": \"2026-10-01\"}", {"from", "until", "days"});
    if (!object) return;
    const Value from = object["from"];
    const Value until = object["until"];
    const Value days = object["days"];
    if (!from && !until && !days) {
      fields_.Error(kMissingKey, value,
                    "found none of \"from\", \"until\" and \"days\", expected at least one of them");
      return;
    }
    DateCondition condition;
    if (from) condition.dates.from = fields_.ReadDate(from);
    if (until) condition.dates.until = fields_.ReadDate(until);
    const std::optional<Weekdays> weekdays = days ? fields_.ReadWeekdays(days) : std::nullopt;
    if ((from && !condition.dates.from) || (until && !condition.dates.until) || (days && !weekdays) ||
        !fields_.DatesRise(condition.dates, from, until)) {
      return;
    }
    condition.days = weekdays.value_or(Weekdays());
    test.conditions.emplace_back(condition);
  }

  void ReadMeasure(Measure measure, Value value, Test& test) {
    if (scope_.in_measure && measure == Measure::kBillableWeight) {
      fields_.ErrorAtKey(kBillableInMeasure, value,
                         "found a test of \"billable_weight\", expected another measure: this rule comes before the "
                         "billable weight is known");
      return;
    }
    Object object(fields_, value, "bounds such as {\"over\": ...}", {"over", "at_least", "under", "up_to"});
    if (!object) return;
    std::vector<Bound> bounds;
    Value low;
    Value high;
    for (std::size_t i = 0; i < std::size(kBoundNames); ++i) {
      const Value bound = object[kBoundNames[i]];
      if (!bound) continue;
      const bool lower = i < 2;
      Value& other = lower ? low : high;
      if (other) {
        fields_.ErrorAtKey(
            kConflictingKeys, bound,
            "found both " + Quoted(other.key()) + " and " + Quoted(bound.key()) + ", expected one of the two");
        continue;
      }
      other = bound;
      if (!MayBeWrittenAs(bound, measure)) {
        fields_.Expected(CodeFor(measure), bound, ExpectedFor(measure));
        continue;
      }
      absl::StatusOr<ParsedMeasure> parsed = ParseMeasure(measure, bound.text(), "");
      if (!parsed.ok()) {
        fields_.FromStatus(CodeFor(measure), bound, parsed.status());
        continue;
      }
      bounds.push_back({static_cast<Bound::Op>(i), parsed->value, std::move(parsed->unit)});
    }
    if (!low && !high) {
      if (value.size() == 0) {
        fields_.Error(kMissingKey, value,
                      "found no bound, expected one or two of \"over\", \"at_least\", \"under\", \"up_to\"");
      }
      return;
    }
    MeasureCondition condition = MeasureCondition::Make(measure, std::move(bounds));
    if (condition.bounds.size() == static_cast<std::size_t>(static_cast<bool>(low)) + (high ? 1 : 0) &&
        (condition.low > condition.high || condition.high < 0)) {
      const Value at = high;
      std::string found = "found " + std::string(high.key()) + " " + FoundText(high);
      if (low) found += " and " + std::string(low.key()) + " " + FoundText(low);
      fields_.Error(kContradiction, at, found + ", expected bounds that some parcel can meet");
      return;
    }
    test.conditions.emplace_back(std::move(condition));
  }

  void ReadZones(Value value, Test& test) {
    ZoneCondition condition;
    for (const Value item : ReadIs(fields_, value)) {
      if (!item.is(Kind::kString)) {
        fields_.Expected(kWrongKind, item, "a zone in quotation marks");
        continue;
      }
      condition.names.emplace_back(item.text());
      if (scope_.names == nullptr) continue;
      const ZoneId zone = ReadZoneName(fields_, item, /*at_key=*/false, *scope_.names, scope_.zones);
      if (zone != kNoZone) condition.zones.push_back(zone);
    }
    test.conditions.emplace_back(std::move(condition));
  }

  void ReadPackaging(Value value, Test& test) {
    PackagingCondition condition;
    for (const Value item : ReadIs(fields_, value)) {
      std::string code = fields_.ReadCode(item);
      if (scope_.names != nullptr && item.is(Kind::kString) && !scope_.names->packaging.Has(code)) {
        fields_.UnknownName(kUnknownPackaging, item, "a packaging of this document", scope_.names->packaging.names());
      }
      condition.codes.push_back(std::move(code));
    }
    test.conditions.emplace_back(std::move(condition));
  }

  // {"has": x}, {"has_any": [..]}, {"has_all": [..]}: one condition for each key that is there.
  template <typename F>
  void ReadHas(Value value, F take) {
    Object object(fields_, value, "a test such as {\"has\": \"x\"}", {"has", "has_any", "has_all"});
    if (!object) return;
    bool any = false;
    for (const std::string_view key : {"has", "has_any", "has_all"}) {
      const Value words = object[key];
      if (!words) continue;
      any = true;
      std::vector<Value> items;
      if (key == "has") {
        items.push_back(words);
      } else if (fields_.List(words, "a list", /*empty_allowed=*/false)) {
        for (const Value item : words) items.push_back(item);
      }
      take(items, key != "has_any");
    }
    if (!any && value.size() == 0) {
      fields_.Error(kMissingKey, value, "found no key, expected \"has\", \"has_any\" or \"has_all\"");
    }
  }

  void ReadContents(Value value, bool every_item, Test& test) {
    ReadHas(value, [&](const std::vector<Value>& items, bool all) {
      ContentsCondition condition;
      condition.every_item = every_item;
      condition.all = all;
      for (const Value item : items) fields_.ReadTrait(item, condition.traits);
      test.conditions.emplace_back(std::move(condition));
    });
  }

  void ReadExtras(Value value, Test& test) {
    ReadHas(value, [&](const std::vector<Value>& items, bool all) {
      ExtrasCondition condition;
      condition.all = all;
      for (const Value item : items) {
        std::string code = fields_.ReadCode(item);
        if (scope_.names != nullptr && item.is(Kind::kString) && !scope_.names->extra_codes.Has(code)) {
          fields_.UnknownName(kUnknownExtra, item, "an extra of this document", scope_.names->extra_codes.names());
        }
        condition.codes.push_back(std::move(code));
      }
      test.conditions.emplace_back(std::move(condition));
    });
  }

  void ReadFlag(Value value, FlagCondition::Flag flag, Test& test) {
    if (const std::optional<bool> is = fields_.Flag(value)) test.conditions.emplace_back(FlagCondition{flag, *is});
  }

  void ReadCompound(Value value, CompoundCondition::Op op, Test& test) {
    if (!fields_.List(value, "a list of tests", /*empty_allowed=*/false)) return;
    CompoundCondition condition;
    condition.op = op;
    for (const Value item : value) condition.tests.push_back(Read(item));
    test.conditions.emplace_back(std::move(condition));
  }

  Fields& fields_;
  const TestScope& scope_;
};

}  // namespace

Test ReadTest(Fields& fields, Value value, const TestScope& scope) { return TestReader(fields, scope).Read(value); }

ZoneId ReadZoneName(Fields& fields, Value value, bool at_key, const Names& names, const ZoneSet* zones) {
  const std::string_view name = at_key ? value.key() : value.text();
  const ZoneSet& set = zones == nullptr ? names.all_zones : *zones;
  const ZoneId zone = names.zones.Find(name);
  if (zone != kNoZone && set.has[zone]) return zone;
  if (!names.zones_sound) return kNoZone;
  if (fields.findings().full()) {
    fields.Error(kUnknownZone, value, "");
    return kNoZone;
  }
  std::vector<std::string_view> known;
  for (std::size_t i = 0; i < set.has.size(); ++i) {
    if (set.has[i]) known.push_back(names.zones.names[i]);
  }
  const std::string expected =
      set.list.empty() ? "a zone that a chart gives" : "a zone that a chart of " + Quoted(set.list) + " gives";
  if (at_key) {
    fields.ErrorAtKey(kUnknownZone, value,
                      "found the key " + Quoted(name) + ", expected " + expected + Suggestion(name, known));
  } else {
    fields.UnknownName(kUnknownZone, value, expected, known);
  }
  return kNoZone;
}

}  // namespace tarewise::inline TW_VERSIONED::load
